"""The proof's own frame: against numbers worked out by hand, and against the frame that the writer builds."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from pathkit.machine.orientation import orientation
from pathkit.machine.profile import Axes, Corner, Machine, Motion, Sideways, Travel, Upright
from pathkit.model.job import Setup
from pathkit.model.stock import Stock
from pathkit.proof.frame import bench_frame

BOARD = Stock(300.0, 200.0, 12.0)
Way = tuple[Sideways, Sideways, Upright, Corner]
PLACE = np.array([[10.0, 20.0, -3.0]])


def router(x: Sideways, y: Sideways, z: Upright, corner: Corner) -> Machine:
    axes = Axes(x, y, z)
    motion = Motion((5000, 5000, 2000), (4000, 4000, 1000), (400, 400, 200))
    return Machine("router", "grbl", axes, Travel(600, 400, 80), motion, origin=corner, left_handed=axes.left_handed)


# Each row worked out by hand on paper with a board 300 wide and 200 deep: a hole 10 mm from its left edge, 20 mm from
# its front edge, 3 mm deep. Seen from the back right corner it is 290 left and 180 toward; and so on.
BY_HAND = [
    (("right", "away", "up", "front-left"), 0, (10.0, 20.0, -3.0), False),
    (("left", "toward", "up", "back-right"), 0, (290.0, 180.0, -3.0), False),
    (("away", "right", "up", "front-left"), 0, (20.0, 10.0, -3.0), True),
    (("toward", "right", "down", "back-left"), 0, (180.0, 10.0, 3.0), False),
    (("left", "away", "down", "front-right"), 0, (290.0, 20.0, 3.0), True),
    (("right", "away", "up", "centre"), 0, (-140.0, -80.0, -3.0), False),
    # The board turned a quarter counter-clockwise is 200 wide and 300 deep: its own left edge now lies at the front
    # and its own front edge at the right, so the hole is 10 from the front and 20 from the right.
    (("right", "away", "up", "front-left"), 1, (180.0, 10.0, -3.0), False),
    (("left", "toward", "up", "back-right"), 1, (20.0, 290.0, -3.0), False),
    # Half a turn: its own left edge lies at the right, its own front at the back.
    (("right", "away", "up", "front-left"), 2, (290.0, 180.0, -3.0), False),
    # Three quarters: its own left edge lies at the back, its own front edge at the left.
    (("right", "away", "up", "front-left"), 3, (20.0, 290.0, -3.0), False),
]


@pytest.mark.parametrize(("words", "turn", "numbers", "mirrored"), BY_HAND)
def test_numbers_worked_out_by_hand(words: Way, turn: int, numbers: tuple[float, ...], mirrored: bool) -> None:
    frame = bench_frame(router(*words), BOARD, Setup(turn=turn))
    assert frame.to_controller(PLACE)[0].tolist() == list(numbers)
    assert frame.to_bench(np.array([numbers]))[0].tolist() == PLACE[0].tolist()
    assert frame.mirrored is mirrored


def all_routers() -> list[Way]:
    sides: tuple[Sideways, ...] = ("right", "left", "away", "toward")
    ends: tuple[Upright, ...] = ("up", "down")
    pairs = [
        (x, y)
        for x, y in itertools.product(sides, repeat=2)
        if ("right" in (x, y) or "left" in (x, y)) and ("away" in (x, y) or "toward" in (x, y))
    ]
    corners: tuple[Corner, ...] = ("front-left", "front-right", "back-left", "back-right", "centre")
    return [(x, y, z, c) for (x, y), z, c in itertools.product(pairs, ends, corners)]


def test_there_are_eighty_ways_and_both_buildings_agree_on_each_to_the_last_bit() -> None:
    ways = all_routers()
    assert len(ways) == 80
    board = Stock(301.7, 199.3, 12.0)
    points = np.random.default_rng(1).uniform(-20, 320, (200, 3))
    for way, turn in itertools.product(ways, range(4)):
        machine = router(*way)
        frame = bench_frame(machine, board, Setup(turn=turn))
        other = orientation(machine, board, Setup(turn=turn))
        assert np.array_equal(frame.to_controller(points), other.points(points)), (way, turn)
        assert np.abs(frame.to_bench(frame.to_controller(points)) - points).max() < 1e-12
        assert frame.mirrored is other.swaps_arcs, (way, turn)


def test_an_unknown_axis_stays_unknown_alone() -> None:
    frame = bench_frame(router("away", "right", "up", "front-left"), BOARD)
    moved = frame.to_controller(np.array([[np.nan, np.nan, 8.0]]))
    assert np.isnan(moved[0, :2]).all()
    assert moved[0, 2] == 8.0
    half = frame.to_bench(np.array([[1.0, np.nan, 2.0]]))
    assert np.isnan(half[0, 0])
    assert half[0, 1:].tolist() == [1.0, 2.0]
