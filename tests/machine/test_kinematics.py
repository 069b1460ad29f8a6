"""Run time against closed forms: trapezoids, corners, stops, chords, and the link.

Sources: trapezoid and triangle from rest to rest, textbook kinematics; junction deviation, look-ahead and dwell
rounding, GRBL 1.1h settings documents and published planner source.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any, Literal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathkit.errors import InputError
from pathkit.machine.kinematics import RunTime, rest_to_rest, run_time
from pathkit.machine.profile import Axes, Machine, Motion, Travel
from pathkit.model.job import Setup
from pathkit.model.stock import Stock
from pathkit.motion.program import (
    ARC,
    LINE,
    RAPID,
    Coolant,
    Dwell,
    Event,
    Note,
    Offset,
    Pause,
    Program,
    Spindle,
    Stop,
    ToolChange,
)

MOTION = Motion(
    rapid=(6000, 3000, 1200), feed_limit=(3000, 2400, 600), acceleration=(400, 200, 100),
    junction_deviation=0.01, arc_tolerance=0.002, idle_delay=0.0,
)  # fmt: skip
MACHINE = Machine("bench", "any", Axes(), Travel(600, 400, 80), MOTION)


def program_of(
    ends: object, *, feed: float | None = 1200.0, kind: int | None = None, events: tuple[tuple[int, Event], ...] = (),
    **columns: Any,
) -> Program:  # fmt: skip
    """Lines at one feed (rapids if it is None), from the origin in the controller's axes unless said otherwise."""
    end = np.atleast_2d(np.array(ends, dtype=float))
    count = len(end)
    none = np.full(count, -1)
    move = kind if kind is not None else (RAPID if feed is None else LINE)
    values: dict[str, Any] = {
        "start": np.zeros(3), "kind": np.full(count, move), "end": end, "centre": np.full((count, 2), np.nan),
        "sweep": np.full(count, np.nan), "feed": np.full(count, np.nan if feed is None else feed), "toolpath": none,
        "level": none, "line": none, "event": tuple(e for _, e in events), "event_at": [at for at, _ in events],
        "frame": "controller",
    }  # fmt: skip
    return Program(**{**values, **columns})


def rest_to_rest_by_hand(length: float, speed: float, acceleration: float) -> float:
    if length >= speed**2 / acceleration:
        return length / speed + speed / acceleration
    return 2 * math.sqrt(length / acceleration)


# One move.


@pytest.mark.parametrize(
    ("end", "feed", "speed", "acceleration"),
    [
        ((100, 0, 0), 1200, 20, 400),
        ((0.1, 0, 0), 1200, 20, 400),
        ((100, 0, 0), 99999, 50, 400),
        ((0, 100, 0), None, 50, 200),
        ((0, 0, -30), None, 20, 100),
        ((0, 0, -30), 600, 10, 100),
        # Along the diagonal no axis may exceed its own limit: y reaches its limit first in both.
        ((30, 40, 0), None, 50 / 0.8, 200 / 0.8),
        ((30, 40, 0), 99999, 40 / 0.8, 200 / 0.8),
        ((30, 40, 0), 600, 10, 250),
        # Never slower than 1 mm/min.
        ((1, 0, 0), 0.001, 1 / 60, 400),
    ],
)
def test_one_move_from_rest_to_rest(
    end: tuple[float, float, float], feed: float | None, speed: float, acceleration: float
) -> None:
    result = run_time(program_of([end], feed=feed), MACHINE)
    assert result.total == pytest.approx(rest_to_rest_by_hand(math.hypot(*end), speed, acceleration), rel=1e-12)
    assert (result.planned_moves, result.stops) == (1, 1)


@given(st.tuples(*[st.floats(-300, 300).map(lambda v: round(v, 3))] * 3))
def test_rest_to_rest_is_the_planners_single_rapid(delta: tuple[float, float, float]) -> None:
    assert rest_to_rest(delta, MOTION)[0] == pytest.approx(
        run_time(program_of([delta], feed=None), MACHINE).total, rel=1e-9
    )


def test_rest_to_rest_takes_many_at_once() -> None:
    deltas = np.array([[0, 0, 0], [100, 0, 0], [0, 0, -1]])
    expected = [0.0, rest_to_rest_by_hand(100, 100, 400), rest_to_rest_by_hand(1, 20, 100)]
    assert rest_to_rest(deltas, MOTION) == pytest.approx(expected)


# Several moves.


def test_a_straight_line_may_be_cut_into_pieces() -> None:
    whole = run_time(program_of([[100, 50, 0]]), MACHINE)
    pieces = run_time(program_of([[20 * k, 10 * k, 0] for k in range(1, 6)]), MACHINE)
    assert pieces.total == pytest.approx(whole.total, rel=1e-9)
    assert pieces.planned_moves == 5


def test_a_right_angle_is_passed_at_the_junction_speed() -> None:
    motion = replace(MOTION, acceleration=(400, 400, 400))
    result = run_time(program_of([[50, 0, 0], [50, 50, 0]]), replace(MACHINE, motion=motion))
    # s = sin(90°/2); the corner accelerates along the diagonal, where both axes together give √2 times 400 mm/s².
    sine = math.sin(math.radians(45))
    corner = math.sqrt(400 * math.sqrt(2) * 0.01 * sine / (1 - sine))
    accelerate, brake = 20 / 400, (20 - corner) / 400
    distance = 50 - (20**2 + (20**2 - corner**2)) / (2 * 400)
    assert result.per_move == pytest.approx([accelerate + brake + distance / 20] * 2, rel=1e-9)
    assert result.stops == 1


def test_turning_back_stops_the_axes_but_not_the_controller() -> None:
    motion = replace(MOTION, idle_delay=0.025)
    result = run_time(program_of([[50, 0, 0], [0, 0, 0]]), replace(MACHINE, motion=motion))
    assert result.moving == pytest.approx(2 * rest_to_rest_by_hand(50, 20, 400))
    assert (result.stops, result.dwelling) == (1, 0.025)


def test_finely_chopped_paths_starve_the_look_ahead() -> None:
    """What the short queue costs: 4 000 moves of 0.05 mm at F3000 and 100 mm/s² take 16.9 s, not 4.5 s (GRBL 1.1h)."""
    motion = replace(MOTION, acceleration=(100, 100, 100), rapid=(3000,) * 3, feed_limit=(3000,) * 3)
    ends = np.zeros((4000, 3))
    ends[:, 0] = 0.05 * np.arange(1, 4001)
    chopped = run_time(program_of(ends, feed=3000), replace(MACHINE, motion=motion))
    assert chopped.total == pytest.approx(16.9, abs=0.05)
    whole = run_time(program_of(ends[-1:], feed=3000), replace(MACHINE, motion=motion))
    assert whole.total == pytest.approx(4.5, abs=0.01)
    # Held at the speed from which 14 blocks of 0.05 mm are enough to stop, within what one block adds.
    assert chopped.per_move[2000] == pytest.approx(0.05 / math.sqrt(2 * 100 * 14 * 0.05), rel=0.02)


def test_moves_below_one_step_vanish() -> None:
    motion = replace(MOTION, steps_per_mm=(80, 80, 80))
    machine = replace(MACHINE, motion=motion)
    result = run_time(program_of([[0.005, 0, 0], [0.006, 0, 0], [0.00625, 0, 0], [10, 0, 0]]), machine)
    # Half a step (0.00625 mm at 80 steps per mm) rounds away from zero.
    assert result.planned_moves == 2
    assert result.per_move[:2].tolist() == [0.0, 0.0]
    assert run_time(program_of([[-0.00625, 0, 0]]), machine).planned_moves == 1
    assert run_time(program_of([[0, 0, 0]]), machine).total == 0.0


def test_noise_is_no_move_where_steps_are_unknown() -> None:
    result = run_time(program_of([[1e-200, 0, 0], [1e-12, 0, 0], [10, 0, 0]]), MACHINE)
    assert result.planned_moves == 1
    assert result.total == pytest.approx(rest_to_rest_by_hand(10, 20, 400))


def test_lengths_are_those_of_the_rounded_targets() -> None:
    machine = replace(MACHINE, motion=replace(MOTION, steps_per_mm=(80, 80, 80)))
    rounded = run_time(program_of([[10.004, 0, 0]]), machine).total
    assert rounded == run_time(program_of([[10.0, 0, 0]]), machine).total


# Arcs.


def arc(radius: float, sweep: float, feed: float = 60.0, rise: float = 0.0) -> Program:
    end = [radius * math.cos(sweep) - radius, radius * math.sin(sweep), rise]
    return program_of([end], feed=feed, kind=ARC, centre=np.array([[-radius, 0.0]]), sweep=np.array([sweep]))


@pytest.mark.parametrize(
    ("radius", "sweep", "tolerance"), [(10, math.tau, 0.002), (3, -1.5, 0.002), (40, 3, 0.01), (8, 4 * math.pi, 0.005)]
)
def test_an_arc_is_drawn_in_the_controllers_chords(radius: float, sweep: float, tolerance: float) -> None:
    motion = replace(MOTION, arc_tolerance=tolerance)
    result = run_time(arc(radius, sweep), replace(MACHINE, motion=motion))
    chords = math.floor(abs(sweep * radius / 2) / math.sqrt(tolerance * (2 * radius - tolerance)))
    assert result.planned_moves == chords
    # At 1 mm/s no corner slows down, so only the polygon's length and one start and stop count.
    length = chords * 2 * radius * math.sin(abs(sweep) / chords / 2)
    assert length / 1 < result.total < length / 1 + 1 / 200 + 1e-9


def test_arcs_too_small_for_two_chords_are_one_line() -> None:
    assert run_time(arc(0.0005, 3.0), MACHINE).planned_moves == 1
    assert run_time(arc(5.0, 0.01), MACHINE).planned_moves == 1


def test_a_helix_is_longer_than_its_circle() -> None:
    flat, helix = run_time(arc(10, math.tau), MACHINE).total, run_time(arc(10, math.tau, rise=-30), MACHINE).total
    assert helix / flat == pytest.approx(math.hypot(math.tau * 10, 30) / (math.tau * 10), rel=1e-3)


def test_an_absurd_arc_does_not_take_for_ever() -> None:
    assert run_time(arc(4e8, 6.0, feed=3000), MACHINE).planned_moves == 65535


@pytest.mark.parametrize("columns", [{"start": np.array([1e12, 0, 0])}, {"end": np.array([[1e300, 0, 0]])}])
def test_places_out_of_this_world_are_refused(columns: dict[str, Any]) -> None:
    with pytest.raises(InputError, match="no machine reaches"):
        run_time(program_of([[1, 0, 0]], **columns), MACHINE)


def test_more_chords_than_any_cut_has_are_refused() -> None:
    one = arc(1e8, 6.0, feed=3000)
    count = 20_000
    many = program_of(
        np.repeat(one.end, count, axis=0), kind=ARC, centre=np.repeat(one.centre, count, axis=0),
        sweep=np.repeat(one.sweep, count),
    )  # fmt: skip
    with pytest.raises(InputError, match="chords"):
        run_time(many, MACHINE)


# Standing still.


def test_dwells_round_up_to_the_controllers_step() -> None:
    for asked, waited in ((0.0, 0.0), (0.01, 0.05), (0.05, 0.05), (0.12, 0.15), (0.15, 0.15), (2.5, 2.5), (3.0, 3.0)):
        result = run_time(program_of([[10, 0, 0]], events=((0, Dwell(asked)),)), MACHINE)
        assert result.dwelling == pytest.approx(waited, abs=1e-12)
        assert result.standing[0] == result.dwelling


@pytest.mark.parametrize("seconds", [-1.0, math.nan, math.inf])
def test_impossible_dwells_are_refused(seconds: float) -> None:
    with pytest.raises(InputError, match="seconds"):
        run_time(program_of([[1, 0, 0]], events=((0, Dwell(seconds)),)), MACHINE)


@pytest.mark.parametrize(
    "event",
    [Dwell(0.0), Spindle(8000.0, -1), Coolant("mist"), Offset("G55"), Pause("look"), ToolChange("3 mm"), Stop()],
)
def test_events_let_all_motion_end_first(event: Event) -> None:
    machine = replace(MACHINE, motion=replace(MOTION, idle_delay=0.025))
    ends = [[50, 0, 0], [100, 0, 0]]
    through, stopped = run_time(program_of(ends), machine), run_time(program_of(ends, events=((1, event),)), machine)
    assert through.total == pytest.approx(rest_to_rest_by_hand(100, 20, 400) + 0.025)
    assert stopped.total == pytest.approx(2 * rest_to_rest_by_hand(50, 20, 400) + 2 * 0.025)
    assert stopped.standing == pytest.approx([0.0, 0.025, 0.025])
    assert stopped.stops == 2


@pytest.mark.parametrize("event", [Note("hello"), Spindle(12000.0, 1), Coolant("flood"), Offset("G54")])
def test_words_that_change_nothing_do_not_stop(event: Event) -> None:
    before = ((0, Spindle(12000.0, 1)), (0, Coolant("flood")))
    ends = [[50, 0, 0], [100, 0, 0]]
    assert run_time(program_of(ends, events=(*before, (1, event))), MACHINE).stops == 1


def test_a_spindle_that_is_off_may_be_switched_off_again() -> None:
    assert run_time(program_of([[50, 0, 0], [100, 0, 0]], events=((1, Spindle(0.0, 0)),)), MACHINE).stops == 1


# What is known, and what is not.


def test_an_unknown_start_is_the_controllers_zero() -> None:
    unknown = program_of([[30, 40, -5]], start=np.full(3, np.nan))
    assert run_time(unknown, MACHINE).total == run_time(program_of([[30, 40, -5]]), MACHINE).total


def test_an_axis_that_is_still_unknown_does_not_move() -> None:
    ends = [[np.nan, np.nan, 10], [100, 0, 10]]
    program = program_of(ends, start=np.full(3, np.nan), feed=None, events=((1, Dwell(0.0)),))
    alone = [rest_to_rest_by_hand(10, 20, 100), rest_to_rest_by_hand(100, 100, 400)]
    assert run_time(program, MACHINE).per_move == pytest.approx(alone, rel=1e-12)


def test_a_cut_at_an_unknown_feed_is_refused() -> None:
    program = program_of([[1, 0, 0], [2, 0, 0]], feed=None, kind=LINE, line=np.array([7, 8]))
    with pytest.raises(InputError, match="2 cutting moves have no known feed") as caught:
        run_time(program, MACHINE)
    assert caught.value.findings[0].line == 7


def test_an_empty_program_takes_no_time() -> None:
    result = run_time(program_of(np.zeros((0, 3))), MACHINE)
    assert (result.total, result.planned_moves, result.by_toolpath()) == (0.0, 0, {})


# Orientation: limits belong to the controller's axes.


def test_limits_are_those_of_the_controllers_axes() -> None:
    stock = Stock(300, 200, 9)
    bench = program_of([[100, 0, 0]], feed=None, frame="bench", stock=stock)
    sideways = replace(MACHINE, axes=Axes("away", "right", "up"), left_handed=True)
    along_x, along_y = rest_to_rest_by_hand(100, 100, 400), rest_to_rest_by_hand(100, 50, 200)
    assert run_time(bench, MACHINE).total == pytest.approx(along_x)
    assert run_time(bench, sideways).total == pytest.approx(along_y)
    assert run_time(bench, MACHINE, Setup(turn=1)).total == pytest.approx(along_y)


@pytest.mark.parametrize("turn", range(4))
@pytest.mark.parametrize("z", ["up", "down"])
@pytest.mark.parametrize(("x", "y"), [("right", "away"), ("left", "away"), ("toward", "right"), ("away", "right")])
def test_where_all_axes_are_alike_the_way_it_stands_costs_nothing(
    x: Literal["right", "left", "toward", "away"], y: Literal["right", "away"], z: Literal["up", "down"], turn: int
) -> None:
    motion = replace(MOTION, rapid=(3000,) * 3, feed_limit=(2000,) * 3, acceleration=(200,) * 3)
    axes = Axes(x, y, z)
    machine = replace(MACHINE, motion=motion)
    turned = replace(machine, axes=axes, left_handed=axes.left_handed, origin="back-right")
    bench = busy().replace(frame="bench", stock=Stock(300, 200, 9))
    straight = run_time(bench, machine)
    assert run_time(bench, turned, Setup(turn=turn)).per_move == pytest.approx(straight.per_move, rel=1e-6)


# Sums.


def busy() -> Program:
    random = np.random.default_rng(5)
    ends = np.cumsum(random.normal(0, 5, (60, 3)) * (1, 1, 0.1), axis=0)
    events: tuple[tuple[int, Event], ...] = (
        (0, ToolChange("6 mm")), (0, Spindle(18000)), (0, Dwell(3.0)), (30, ToolChange("3 mm")), (45, Dwell(0.5)),
        (60, Spindle(0, 0)),
    )  # fmt: skip
    return program_of(ends, events=events, toolpath=np.repeat([0, 1, -1, 2], 15), names=("a", "b", "c"))


def test_the_parts_add_up_to_the_whole() -> None:
    machine = replace(MACHINE, motion=replace(MOTION, idle_delay=0.025), bytes_per_second=400.0)
    for line_bytes in (None, np.full(60, 22)):
        result = run_time(busy(), machine, line_bytes=line_bytes)
        assert result.total == pytest.approx(result.moving + result.dwelling + result.waiting)
        assert result.total == pytest.approx(result.per_move.sum() + result.standing.sum())
        assert set(result.by_toolpath()) == {"", "a", "b", "c"}
        assert set(result.by_tool()) == {"6 mm", "3 mm", ""}
        assert sum(result.by_toolpath().values()) == pytest.approx(result.total)
        assert sum(result.by_tool().values()) == pytest.approx(result.total)


def test_each_toolpath_has_its_own_moves_and_stops() -> None:
    result = run_time(busy(), MACHINE)
    assert result.by_toolpath()["a"] == pytest.approx(result.per_move[:15].sum() + 3.0)
    assert result.by_tool()["3 mm"] == pytest.approx(result.per_move[30:].sum() + 0.5)


@given(st.integers(0, 2**32), st.integers(1, 40))
def test_a_stop_never_makes_it_faster(seed: int, count: int) -> None:
    random = np.random.default_rng(seed)
    ends = np.cumsum(random.normal(0, random.choice([0.05, 1, 20]), (count, 3)), axis=0)
    free = run_time(program_of(ends, feed=3000), MACHINE).total
    at = int(random.integers(0, count + 1))
    assert run_time(program_of(ends, feed=3000, events=((at, Dwell(0.0)),)), MACHINE).total >= free * (1 - 1e-12)


# The kernel.


def test_same_input_same_bytes() -> None:
    first, second = run_time(busy(), MACHINE), run_time(busy(), MACHINE)
    assert first.per_move.tobytes() == second.per_move.tobytes()


def test_results_cannot_be_changed() -> None:
    result: RunTime = run_time(busy(), MACHINE)
    with pytest.raises(ValueError, match="read-only"):
        result.per_move[0] = 1.0
