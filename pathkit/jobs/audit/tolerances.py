"""Every tolerance of the audit, with its unit and why it has that size.

The audit judges what others made and shares nothing with them, their tolerances included: these are its own, and where
one is wider than the writer's the text says what it is the sum of (`pathkit.tolerances` has the parts; the tests add
them up).
"""

from __future__ import annotations

from typing import Final

ROUNDING: Final = 1e-9
"""mm, degrees, or a share: numbers nearer than this are one, worked out in two ways."""

HAIR: Final = 1e-6
"""mm by which two heights or lengths may differ and still be one: rounding of sums."""

CHORD: Final = 1e-3
"""mm between an arc and the chords that stand for it."""

EXACT: Final = 0.02
"""mm by which what was made may lie beside what was drawn: 0.005 of a wall moved by the bit's radius, 0.001 of chords
on each side and 0.01 of an open edge, and rounding."""

CHORDED: Final = 0.01
"""mm: Béziers are followed by chords here and by arcs there (within 0.005), each a little beside the curve."""

FINE: Final = 0.002
"""mm by which chords may lie beside the curves of a DXF: a fifth of `CHORDED`."""

NO_AREA: Final = 1e-6
"""mm²: what is smaller encloses nothing; a thread of 1 mm that is a `HAIR` wide."""

TURNS: Final = 0.05
"""Radians that a curve turns in the eighth at its end at least, to be plainly no straight side there."""

COMMON: Final = 1e-3
"""mm² that a copy and what must stay clear may have in common: an edge, and no ground."""

TINY: Final = 0.5
"""mm round: a ring shorter than this is the bit turning on the spot, and need not be there. Where it is made it is left
out in room no wider than 0.02, whatever the chords of both sides make of that here."""

SIZES_ALIKE: Final = 0.2
"""Share by which a size may differ from 25.4 times another: a bit's radius to each side. It only words a message."""

LEVEL: Final = 1e-4
"""mm by which the ends of a line at the asked angle may stand askew."""

EDGE: Final = 0.02
"""mm inside a floor's extremes in which its outermost lines run: 0.005 there, and 0.005 of the floor's own edge, with
chords on both sides."""

SPARE_REACH: Final = 0.05
"""mm more that a wider bit may leave of a corner than is worked out: chords of both bits' rounds."""

CRUMB: Final = 0.03
"""mm: what is left over and narrower than twice this is rounding."""

AS_WIDE: Final = 0.01
"""mm by which a hole as wide as the bit may be drawn wider or narrower: as much as there."""

CLOSE: Final = 0.01
"""Share by which a way round, measured along chords, may seem longer or shorter than it is."""

HOLE: Final = 0.003
"""mm: chords of a circle on both sides, and rounding; what brings a hole to size may be little more."""

ROUND: Final = 0.01
"""Share of its area by which a circle may miss one: as much as there, and the chords of small ones."""

THIN: Final = 0.01
"""mm: what a first bit leaves to a second and is nowhere wider than this is rounding: chords on both sides."""

HEADING_STEP: Final = 0.05
"""mm to either side of a place from which the heading of a wall there is taken."""
