"""Results of the library against formulas of handbooks and textbooks; the source stands beside each check."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

import pathkit as pk
from pathkit.geometry.spans import chord_count
from pathkit.machine.kinematics import rest_to_rest
from pathkit.operations import contour, rectangle
from pathkit.operations.contour import Direction, Side

BIT = pk.Tool("6 mm", 6.0)
FEEDS = pk.Cutting(feed=1500.0, plunge=1500.0, spindle=18000.0)
BOARD = pk.Stock(300, 200, 12)
# So quick that every move runs at its full feed: its length is time × feed.
SWIFT = pk.Machine(
    "swift", "grbl", pk.Axes(), pk.Travel(600, 400, 80), pk.Motion((1e5,) * 3, (1e5,) * 3, (1e9,) * 3, idle_delay=0.0)
)


def lowered(toolpath: pk.Toolpath) -> pk.Program:
    return pk.lower(pk.Job("check", BOARD, (toolpath,)), SWIFT)


@given(st.floats(0.1, 500), st.floats(0.01, 6.28), st.floats(0.001, 0.05))
def test_chords_keep_the_sagitta(radius: float, sweep: float, tolerance: float) -> None:
    """s = r(1 − cos(θ/2)) (geometry of the circle): as many chords as needed, and no more."""

    def sagitta(count: int) -> float:
        return radius * (1 - math.cos(sweep / count / 2))

    count = chord_count(radius, sweep, tolerance)
    assert sagitta(count) <= tolerance * (1 + 1e-6)
    assert count == 1 or sagitta(count - 1) > tolerance * (1 - 1e-6)


@given(st.floats(1.0, 15.0), st.floats(0.5, 6.0))
@example(4.435894154106234, 0.5)  # length and ramp differ in their last bit
def test_a_slot_as_long_as_its_ramp_goes_down_in_one_leg(angle: float, depth: float) -> None:
    """Ramp length for depth d at angle α: d / tan α (trigonometry of the slope)."""
    length = depth / math.tan(math.radians(angle))
    if not 5.0 < length < 250.0:
        return
    line = pk.Curve.polyline([[10.0, 100.0], [10.0 + length, 100.0]])
    slot = pk.Toolpath("slot", line, BIT, FEEDS, bottom=-depth, role="slot", entry=pk.Ramp(angle))
    program = lowered(slot)
    falling = (program.kind == pk.LINE) & (program.end[:, 2] < program.origins[:, 2] - 1e-9)
    leg = np.flatnonzero(falling & (program.end[:, 2] < -1e-9))
    assert len(leg) == 1
    run = program.end[leg[0]] - program.origins[leg[0]]
    assert math.degrees(math.atan2(-run[2], math.hypot(run[0], run[1]))) == pytest.approx(angle, rel=1e-6)


@given(st.floats(1.0, 10.0), st.floats(1.0, 6.0), st.floats(1.0, 8.0))
def test_a_bore_is_as_long_as_its_helix(angle: float, diameter: float, depth: float) -> None:
    """Helix length per turn: sqrt((2πr)² + pitch²) (a turn unrolled is the hypotenuse of a right triangle)."""
    hole = pk.Toolpath("bore", pk.Curve.point([100, 100]), BIT, FEEDS, bottom=-depth, role="drill",
                       entry=pk.Helix(angle, diameter))  # fmt: skip
    program = lowered(hole)
    round_ = math.pi * diameter
    turns = math.ceil(depth / (round_ * math.tan(math.radians(angle))) - 1e-9)
    pitch = depth / turns
    assert math.degrees(math.atan2(pitch, round_)) <= angle + 1e-6
    expected = turns * math.hypot(round_, pitch)
    seconds = pk.run_time(program, SWIFT).per_move
    down = np.flatnonzero((program.kind == pk.ARC) & (program.end[:, 2] < program.origins[:, 2] - 1e-9))
    lengths = seconds[down] * program.feed[down] / 60.0
    # The planner runs chords whose sagitta is arc_tolerance: a little shorter than the helix itself.
    assert float(lengths.sum()) == pytest.approx(expected, rel=3e-3)


@given(st.floats(0.01, 500), st.floats(100, 6000), st.floats(20, 2000))
def test_one_move_from_rest_to_rest(length: float, rapid: float, acceleration: float) -> None:
    """t = L/v + v/a if L ≥ v²/a, else 2·sqrt(L/a) (uniform acceleration, any mechanics textbook)."""
    motion = pk.Motion((rapid,) * 3, (rapid,) * 3, (acceleration,) * 3)
    v = rapid / 60.0
    expected = length / v + v / acceleration if length >= v * v / acceleration else 2 * math.sqrt(length / acceleration)
    assert rest_to_rest(np.array([[length, 0.0, 0.0]]), motion)[0] == pytest.approx(expected, rel=1e-9)


def test_climb_goes_clockwise_round_the_outside_and_the_other_way_inside() -> None:
    """Clockwise spindle seen from above: outside a part clockwise is climb; in a pocket the other way round
    (Machinery's Handbook, climb and conventional milling; from memory)."""
    plate = rectangle((50, 50), 100, 60, radius=8)

    def area(side: Side, direction: Direction) -> float:
        (path,) = contour("c", plate, BIT, FEEDS, side=side, direction=direction, bottom=-3.0)
        return path.curve.area

    assert area("outside", "climb") < 0 < area("outside", "conventional")
    assert area("inside", "conventional") < 0 < area("inside", "climb")


@pytest.mark.parametrize(
    ("depth", "stepdown", "count"), [(12, 4, 3), (12, 5, 3), (12.3, 4, 4), (0.6, 0.2, 3), (2, 9, 1)]
)
def test_equal_levels(depth: float, stepdown: float, count: int) -> None:
    """n = ceil(depth / stepdown) equal levels (common practice, no source); 0.6 in steps of 0.2 are three, not four."""
    path = pk.Toolpath("p", pk.Curve.polyline([[0, 0], [50, 0]]), BIT, FEEDS, bottom=-depth, stepdown=stepdown)
    levels = path.depths(BOARD)
    assert len(levels) == count
    assert np.diff([0.0, *levels]) == pytest.approx(-depth / count)
