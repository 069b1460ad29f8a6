"""Whether the placed board fits the travel, and how far the bit reaches beyond its edges, as the operator sees it."""

from __future__ import annotations

from dataclasses import replace

import pytest

import pathkit as pk

BIT = pk.Tool("6 mm", 6.0, centre_cutting=True)
FEEDS = pk.Cutting(feed=1200.0, plunge=400.0, spindle=16000.0)
BOARD = pk.Stock(200, 100, 6)
MACHINE = pk.load_machine("grbl-front-left")


def proof_of(line: list[tuple[float, float]], setup: pk.Setup | None = None, machine: pk.Machine = MACHINE) -> pk.Proof:
    path = pk.Toolpath("line", pk.Curve.polyline(line), BIT, FEEDS, bottom=-2.0, role="slot")
    job = pk.Job("room", BOARD, (path,))
    program = pk.lower(job, machine, setup)
    return pk.verify(pk.post(program, machine, setup), program, machine, job=job, setup=setup)


@pytest.mark.parametrize(("turn", "side"), [(0, "right"), (1, "back"), (2, "left"), (3, "front")])
def test_the_side_is_named_as_the_operator_sees_it(turn: int, side: str) -> None:
    # The bit's centre goes 5 mm past the right edge, its rim 3 mm more.
    result = proof_of([(100, 50), (205, 50)], pk.Setup(turn=turn))["room"]
    assert result.status == "passed"
    assert result.figures[f"beyond_{side}_mm"] == pytest.approx(8.0, abs=0.01)
    assert sum(v > 0 for v in result.figures.values() if isinstance(v, float)) == 1
    assert f"8.0 mm at the {side}" in result.findings[0].what


def test_a_bit_that_stays_on_the_board_needs_no_room() -> None:
    result = proof_of([(10, 50), (190, 50)])["room"]
    assert result.findings == ()
    assert set(result.figures.values()) == {0.0}


@pytest.mark.parametrize(
    ("zero", "ok"), [((-600, -400, -60), True), ((-150, -400, -60), False), ((-610, -400, -60), False)]
)
def test_a_board_laid_beyond_the_travel_is_named(zero: tuple[float, float, float], ok: bool) -> None:
    travel = replace(MACHINE.travel, low=(-600.0, -400.0, -80.0))
    machine = replace(MACHINE, travel=travel, homed=True, park=None)
    result = proof_of([(20, 50), (100, 50)], pk.Setup(zero_at=zero), machine)["room"]
    assert (result.status == "passed") is ok
    assert ok or "beyond the" in result.findings[0].what
