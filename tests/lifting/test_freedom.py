"""Where cuts may begin elsewhere, and where not."""

from __future__ import annotations

import numpy as np
import pytest

import pathkit as pk
from tests.tuning import written

MACHINE = pk.load_machine("grbl-front-left")
BIT = pk.Tool("3 mm", 3.0, centre_cutting=True)
BOARD = pk.Stock(200.0, 150.0, 9.0, underlay=3.0, thickness_tolerance=0.0)


def groove(*places: tuple[float, float], z: float = -2.0) -> list[str]:
    (x, y), *others = places
    return [f"G0 X{x} Y{y}", f"G1 Z{z} F300", "F900", *(f"G1 X{x} Y{y}" for x, y in others), "G0 Z6"]


def lifted(*lines: list[str], reversible: bool = False) -> list[pk.Toolpath]:
    text = written.text([line for group in lines for line in group])
    found = pk.lift(pk.read_any(text).program, MACHINE, bits=BIT, stock=BOARD, reversible=reversible)
    return list(found.job.toolpaths)


STRAIGHT = groove((20, 20), (80, 20), (80, 60))


def test_a_groove_may_run_from_either_end() -> None:
    assert [path.may_reverse for path in lifted(STRAIGHT)] == [True]


@pytest.mark.parametrize(
    "lines",
    [
        [groove((20, 20), (80, 20), z=-9)],
        [groove((20, 20), (80, 20), z=-8.5)],
        [groove((20, 20), (80, 20), (80, 22), (20, 22))],
        [groove((20, 20), (80, 20), (25, 24))],
        [STRAIGHT, groove((20, 22), (60, 22))],
        [written.drilled([(50.0, 20.0)]), STRAIGHT],
    ],
    ids=["it goes through", "a skin is left", "rows", "a sharp bend", "a neighbour", "a hole on it"],
)
def test_others_keep_their_direction_unless_one_says_so(lines: list[list[str]]) -> None:
    assert not any(path.may_reverse for path in lifted(*lines) if not path.curve.is_point)
    assert all(path.may_reverse for path in lifted(*lines, reversible=True) if not path.curve.is_point)


def test_grooves_in_a_row_are_cut_to_and_fro() -> None:
    grooves = [groove((20.0, 20.0 + 8.0 * k), (120.0, 20.0 + 8.0 * k)) for k in range(10)]
    tuned = pk.tune(written.text(line for each in grooves for line in each), MACHINE, bits=BIT, stock=BOARD)
    assert tuned.proof.ok, tuned.proof.findings
    # Nine ways of 8 mm, and at most the way to the first; one way only they were nine of 100 mm more.
    assert tuned.after.travel is not None
    assert tuned.after.travel < 9 * 8.0 + np.hypot(20.0, 20.0) + 1e-6


def test_levels_of_a_groove_are_cut_to_and_fro_without_lifting() -> None:
    lines = [groove((20, 20), (80, 20), (80, 60), z=z) for z in (-2, -4, -6)]
    (path,) = lifted(*lines)
    assert path.levels == (-2.0, -4.0, -6.0)
    tuned = pk.tune(written.text(line for each in lines for line in each), MACHINE, bits=BIT, stock=BOARD)
    assert tuned.proof.ok, tuned.proof.findings
    assert tuned.after.retracts == 1


def cleared(rows: int) -> list[list[str]]:
    return [written.rows(20, 20, 40, rows, 2.0, depth) for depth in (-1.0, -2.0)]


@pytest.mark.parametrize("rows", [5, 6])
def test_rows_cleared_level_by_level_are_one_toolpath(rows: int) -> None:
    # The way back runs along the rows, or across them: the toolpath itself lifts there, as the file does.
    (path,) = lifted(*cleared(rows))
    assert (path.levels, path.may_reverse) == ((-1.0, -2.0), False)


@pytest.mark.parametrize("rows", [5, 6])
def test_rows_cleared_level_by_level_are_cut_to_and_fro_if_one_says_so(rows: int) -> None:
    assert [path.levels for path in lifted(*cleared(rows), reversible=True)] == [(-1.0, -2.0)]
    text = written.text(line for each in cleared(rows) for line in each)
    tuned = pk.tune(text, MACHINE, bits=BIT, stock=BOARD, reversible=True)
    assert tuned.proof.ok, tuned.proof.findings
    assert tuned.after.retracts == 1


def test_what_lies_within_a_cut_that_frees_nothing_has_its_own_order() -> None:
    inside = groove((35, 35), (40, 35))
    shallow, deep = written.square(20, 20, 30, (-3,)), written.square(20, 20, 30, (-9,))
    for outer, pairs in ((shallow, 0), (deep, 1)):
        text = written.text([*outer, *inside])
        job = pk.lift(pk.read_any(text).program, MACHINE, bits=BIT, stock=BOARD).job
        assert len(job.precedence) == pairs


def test_a_vee_reaches_no_wider_than_its_point_is_at_the_top() -> None:
    vee = pk.Tool("vee", 12.0, kind="vee", angle=90.0, centre_cutting=True)
    # 1 mm deep it is 1 mm wide to each side (trigonometry).
    for apart, pairs in ((2.0, 1), (2.2, 0)):
        text = written.text([*groove((20, 20), (80, 20), z=-1), *groove((20, 20 + apart), (80, 20 + apart), z=-1)])
        job = pk.lift(pk.read_any(text).program, MACHINE, bits=vee, stock=BOARD).job
        assert len(job.precedence) == pairs
