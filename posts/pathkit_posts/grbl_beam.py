"""GRBL 1.1 in its laser mode."""

from __future__ import annotations

from dataclasses import replace

from pathkit_posts.grbl import GRAMMAR, Grbl


class GrblBeam(Grbl):
    """GRBL 1.1 with a beam and no spindle, in its laser mode ($32 = 1): S beside each move, M4 throughout.

    Its wiki, "Grbl v1.1 Laser Mode" (from memory): with M4 the power follows the speed and is 0 where the machine
    stands; a new S does not stop it; in G0 the beam is off. The last needs $32 = 1, so rapids say S0 all the same: with
    $32 = 0 the machine would stop at each S, and still be dark on its way. S is at full power at $30, which is 1000 as
    delivered: if yours differs, make [output] speed in the profile the same.
    """

    name = "grbl-beam"
    title = "GRBL 1.1 with a beam"
    capabilities = replace(
        Grbl.capabilities,
        beam=True,
        speed_unit=1000,
        spindle_senses=frozenset(),
        grammar=replace(GRAMMAR, title="GRBL 1.1 in laser mode"),
    )
