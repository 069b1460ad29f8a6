"""A published drilling board, as a plain program would write it, improved: pcb442 (Groetschel, Juenger, Reinelt).

TSPLIB: G. Reinelt, ORSA Journal on Computing 3(4), 1991, 376-384; see `test_pcb442`.
"""

from __future__ import annotations

import random

import pathkit as pk
from tests.outside.test_pcb442 import OPTIMUM, UNIT, places

MACHINE = pk.load_machine("grbl-front-left")
BIT = pk.Tool("0.8 mm drill", 0.8, kind="drill")
BOARD = pk.Stock(320.0, 400.0, 1.6, underlay=3.0, thickness_tolerance=0.0)


def drill_file(seed: int) -> str:
    holes = places()
    random.Random(seed).shuffle(holes)
    lines = ["G21 G90 G94 G17", "S24000 M3", "G0 Z3"]
    for x, y in holes:
        lines += [f"G0 X{x * UNIT:.3f} Y{y * UNIT:.3f}", "G1 Z-2 F200", "G0 Z3"]
    return "\n".join([*lines, "M5", "M30"]) + "\n"


def test_a_shuffled_drill_file_comes_near_the_published_optimum() -> None:
    tuned = pk.tune(drill_file(5), MACHINE, bits=BIT, stock=BOARD, effort=0.05)
    assert tuned.proof.ok, tuned.proof.findings
    assert tuned.proof["same cuts"].status == "passed"
    assert len(tuned.job.toolpaths) == len(places())
    assert tuned.after.travel is not None
    # An open way from the work zero, so that it may even be a little shorter than the closed tour.
    assert tuned.after.travel < 1.02 * OPTIMUM * UNIT
    assert (tuned.before.travel or 0.0) > 10.0 * tuned.after.travel
