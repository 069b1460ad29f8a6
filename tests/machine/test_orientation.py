"""Orientation against sentences that an operator would say, and against the geometry of a rigid board.

The sign of an axis is the direction in which the tool moves relative to the work (ISO 841:2001, from memory).
"""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

import pathkit as pk
from pathkit.errors import InputError
from pathkit.machine.orientation import orientation, to_bench, to_controller
from pathkit.machine.profile import Axes, Corner, Machine, Motion, Sideways, Travel, Upright
from pathkit.motion.program import ARC, LINE, RAPID

SIDES: tuple[Sideways, ...] = ("right", "left", "away", "toward")
ENDS: tuple[Upright, ...] = ("up", "down")
CORNERS: tuple[Corner, ...] = ("front-left", "front-right", "back-left", "back-right", "centre")
IN_PLANE = [
    (x, y) for x, y in itertools.product(SIDES, repeat=2) if (x in ("right", "left")) != (y in ("right", "left"))
]
WAYS = [(x, y, z, corner) for x, y in IN_PLANE for z in ENDS for corner in CORNERS]
Way = tuple[Sideways, Sideways, Upright, Corner]
STOCK = pk.Stock(300.0, 200.0, 9.0)
MOTION = Motion((5000, 5000, 2000), (4000, 4000, 1000), (400, 400, 200))


def machine_of(x: Sideways, y: Sideways, z: Upright, corner: Corner) -> Machine:
    axes = Axes(x, y, z)
    return Machine(
        "m", "any", axes, Travel(600, 400, 80), MOTION,
        origin=corner, left_handed=axes.left_handed,
    )  # fmt: skip


def program() -> pk.Program:
    """A rapid, a line and a quarter turn counter-clockwise about (50, 30)."""
    nan = math.nan
    return pk.Program(
        start=np.array([0.0, 0, 5]),
        kind=np.array([RAPID, LINE, ARC], np.uint8),
        end=np.array([[60.0, 30, 5], [60, 30, -2], [50, 40, -3]]),
        centre=np.array([[nan, nan], [nan, nan], [50, 30]]),
        sweep=np.array([nan, nan, math.pi / 2]),
        feed=np.array([nan, 300, 900]),
        toolpath=np.array([-1, 0, 0], np.int32),
        level=np.array([-1, 0, 0], np.int32),
        line=np.full(3, -1, np.int32),
        event=(pk.Spindle(12000.0, 1),),
        event_at=np.array([0]),
        names=("corner",),
        stock=STOCK,
    )


def test_there_are_eighty_ways() -> None:
    assert len(WAYS) == len(set(WAYS)) == 80


def test_the_plain_machine_changes_nothing() -> None:
    there = to_controller(program(), machine_of("right", "away", "up", "front-left"))
    assert there.replace(frame="bench") == program()
    assert there.frame == "controller"


@pytest.mark.parametrize(
    ("way", "bench", "numbers"),
    [
        # Zero at the back right corner; both numbers grow from there, to the left and toward the operator.
        (("left", "toward", "up", "back-right"), (60, 30, 5), (240, 170, 5)),
        (("right", "away", "up", "centre"), (60, 30, 5), (-90, -70, 5)),
        # A portrait bed: X runs away from the operator, Y to the left.
        (("away", "left", "up", "front-right"), (60, 30, 5), (30, 240, 5)),
        (("right", "toward", "down", "back-left"), (60, 30, 5), (60, 170, -5)),
    ],
)
def test_places_computed_by_hand(way: Way, bench: tuple[float, ...], numbers: tuple[float, ...]) -> None:
    board = orientation(machine_of(*way), STOCK)
    assert board.points(np.array([bench], dtype=float))[0].tolist() == list(numbers)


@pytest.mark.parametrize(
    ("turn", "bench", "numbers"),
    [(0, (60, 30), (60, 30)), (1, (60, 30), (170, 60)), (2, (60, 30), (240, 170)), (3, (60, 30), (30, 240))],
)
def test_turning_the_board_by_quarters(turn: int, bench: tuple[float, float], numbers: tuple[float, float]) -> None:
    """The board turns counter-clockwise seen from above; then its front left corner is put back at the origin."""
    board = orientation(machine_of("right", "away", "up", "front-left"), STOCK, pk.Setup(turn=turn))
    assert board.points(np.array([[*bench, 0.0]]))[0].tolist() == [*numbers, 0.0]


@pytest.mark.parametrize("way", WAYS, ids="-".join)
@pytest.mark.parametrize("turn", range(4))
def test_every_way_there_and_back(way: Way, turn: int) -> None:
    machine, setup = machine_of(*way), pk.Setup(turn=turn)
    there = to_controller(program(), machine, setup)
    assert to_bench(there, machine, STOCK, setup) == program()
    # At the datum corner the numbers are zero, and none is a negative zero.
    across, along = {"centre": (0.5, 0.5)}.get(
        way[3], (1.0 if "right" in way[3] else 0.0, 1.0 if "back" in way[3] else 0.0)
    )
    board = orientation(machine, STOCK, setup)
    wide, deep = (300, 200) if turn % 2 == 0 else (200, 300)
    x, y = across * wide, along * deep
    unturned = [(x, y), (y, 200 - x), (300 - x, 200 - y), (300 - y, x)][turn]
    zero = board.points(np.array([[*unturned, 0.0]]))[0]
    assert zero.tolist() == [0.0, 0.0, 0.0]
    assert not np.signbit(zero).any()


@pytest.mark.parametrize("way", WAYS, ids="-".join)
def test_numbers_grow_the_way_the_profile_says(way: Way) -> None:
    directions = {
        "right": (1, 0, 0), "left": (-1, 0, 0), "away": (0, 1, 0), "toward": (0, -1, 0), "up": (0, 0, 1),
        "down": (0, 0, -1),
    }  # fmt: skip
    board = orientation(machine_of(*way), STOCK)
    for axis, word in enumerate(way[:3]):
        moved = board.points(np.array([[0.0, 0, 0], directions[word]]))
        assert (moved[1] - moved[0]).tolist() == np.eye(3)[axis].tolist()


@pytest.mark.parametrize("way", WAYS, ids="-".join)
def test_arcs_pass_through_the_same_wood(way: Way) -> None:
    """The middle of the arc as the controller draws it is the middle of the arc on the bench."""
    machine = machine_of(*way)
    there = to_controller(program(), machine)
    centre, sweep = there.centre[2], there.sweep[2]
    arm = there.origins[2, :2] - centre
    half = sweep / 2
    turn = np.array([[math.cos(half), -math.sin(half)], [math.sin(half), math.cos(half)]])
    middle = centre + turn @ arm
    drawn = orientation(machine, STOCK).points_back(np.array([[*middle, 0.0]]))[0]
    eighth = 10 * math.sqrt(0.5)
    assert drawn[:2] == pytest.approx([50 + eighth, 30 + eighth])


def test_z_alone_never_swaps_arcs() -> None:
    for x, y in IN_PLANE:
        up, down = (orientation(machine_of(x, y, z, "front-left"), STOCK).swaps_arcs for z in ENDS)
        assert up == down
        assert up == Axes(x, y).left_handed


def test_feeds_and_events_stay() -> None:
    there = to_controller(program(), machine_of("away", "right", "down", "centre"), pk.Setup(turn=3))
    assert np.array_equal(there.feed, program().feed, equal_nan=True)
    assert there.event == program().event


def test_an_unknown_axis_stays_alone_in_being_unknown() -> None:
    start = np.array([np.nan, 20.0, 5.0])
    there = to_controller(program().replace(start=start), machine_of("away", "left", "up", "front-right"))
    assert there.start.tolist()[0] == 20.0
    assert np.isnan(there.start).tolist() == [False, True, False]


def test_a_program_in_its_frame_is_left_alone() -> None:
    machine = machine_of("left", "toward", "up", "back-right")
    there = to_controller(program(), machine)
    assert to_controller(there, machine) is there
    bench = program()
    assert to_bench(bench, machine, STOCK) is bench


def test_without_a_board_there_is_no_corner() -> None:
    with pytest.raises(InputError, match="carries no stock"):
        to_controller(program().replace(stock=None), machine_of("right", "away", "up", "front-left"))


@pytest.mark.parametrize("z", ["up", "down"])
def test_drill_cycles_lie_where_their_rows_do(z: Upright) -> None:
    bit = pk.Tool("3 mm drill", 3.0, kind="drill")
    hole = pk.Toolpath(
        "hole", pk.Curve.point((10.0, 20.0)), bit, pk.Cutting(feed=600.0, plunge=200.0, spindle=9000.0), bottom=-4.0
    )
    machine = replace(pk.load_machine("grbl-front-left"), axes=pk.Axes("right", "away", z), left_handed=z == "down")
    program = pk.lower(pk.Job("hole", pk.Stock(60, 40, 6), (hole,)), machine)
    turned = to_controller(program, machine)
    (cycle,) = turned.cycles
    assert cycle.top == turned.end[cycle.first, 2]
    assert cycle.bottom == turned.end[cycle.first + 1, 2] == (-4.0 if z == "up" else 4.0)
    back = to_bench(turned, machine, pk.Stock(60, 40, 6))
    assert back.cycles == program.cycles
