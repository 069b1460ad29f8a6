"""What surrounds the cuts of a program: order of events, heights, ways in and out; and what is refused."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
import shapely

from pathkit.errors import Refused
from pathkit.lowering.cut import tab_gap
from pathkit.lowering.entries import helix_fits
from pathkit.lowering.lower import begin_and_end, lower, travel_height
from pathkit.machine.profile import Axes, Machine, SpindleControl
from pathkit.model.curve import Curve
from pathkit.model.job import Job, Setup
from pathkit.model.stock import Stock, Zone
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Helix, Peck, Plunge, Ramp, Spiral, Tab, Toolpath
from pathkit.motion.program import (
    ARC,
    LINE,
    RAPID,
    Dwell,
    Event,
    Note,
    Offset,
    Program,
    Spindle,
    Stop,
    ToolChange,
)

STOCK = Stock(300.0, 200.0, 18.0)
BIT = Tool("6 mm flat", 6.0, number=1)
SHARP = Tool("6 mm upcut", 6.0, number=2, centre_cutting=True)
DRILL = Tool("4 mm drill", 4.0, number=3, kind="drill")
CUTTING = Cutting(feed=2000.0, plunge=400.0, spindle=18000.0)
TRAVEL = 8.0

SLOT = Toolpath("slot", Curve([[50.0, 50.0], [110.0, 50.0]]), BIT, CUTTING, bottom=-6.0, stepdown=3.0, role="slot",
                entry=Ramp(3.0))  # fmt: skip
HOLE = Toolpath("hole", Curve.point([20.0, 30.0]), DRILL, CUTTING, bottom=-18.0, role="drill")
RASTER = Curve(
    [[x, y] for i, y in enumerate(np.arange(60.0, 85.0, 4.0)) for x in ((60.0, 100.0) if i % 2 == 0 else (100.0, 60.0))]
)


def job(*toolpaths: Toolpath, stock: Stock = STOCK) -> Job:
    return Job("cable tidy", stock, toolpaths)


def events(program: Program) -> list[tuple[int, Event]]:
    return list(zip(program.event_at.tolist(), program.event, strict=True))


def rows_of(program: Program, index: int) -> np.ndarray:
    return np.flatnonzero(program.toolpath == index)


def test_events_stand_in_their_order(machine: Machine) -> None:
    slow = dataclasses.replace(SLOT, name="slow slot", cutting=Cutting(feed=1000.0, plunge=300.0, spindle=12000.0))
    program = lower(job(HOLE, SLOT, slow), machine, Setup(offset="G55"))
    happened = [(at, e) for at, e in events(program) if not isinstance(e, Note)]
    second, third = rows_of(program, 1)[0], rows_of(program, 2)[0]
    end = rows_of(program, 2)[-1] + 1
    # Two moves before the change (up and to the park), two after it (Z alone, then X and Y).
    stop = rows_of(program, 0)[-1] + 3
    assert second == stop + 2
    assert happened == [
        (0, Offset("G55")),
        (0, ToolChange("4 mm drill", 3)),
        (1, Spindle(18000.0, 1)),
        (1, Dwell(3.0)),
        (stop, Spindle(0.0, 0)),
        (stop, ToolChange("6 mm flat", 1)),
        (second, Spindle(18000.0, 1)),
        (second, Dwell(3.0)),
        (third, Spindle(12000.0, 1)),
        (end, Spindle(0.0, 0)),
        (len(program), Stop()),
    ]
    notes = [(at, e.text) for at, e in events(program) if isinstance(e, Note)]
    assert notes[0] == (0, "cable tidy")
    assert [n for n in notes if n[1] in ("hole", "slot", "slow slot")] == [
        (1, "hole"), (second, "slot"), (third, "slow slot")
    ]  # fmt: skip


def test_the_first_move_is_z_alone_and_the_last_parks(machine: Machine) -> None:
    program = lower(job(SLOT), machine)
    assert np.isnan(program.start).all()
    assert program.kind[0] == RAPID
    assert np.isnan(program.end[0, :2]).all()
    assert program.end[0, 2] == TRAVEL
    assert program.end[1].tolist() == [50.0, 50.0, TRAVEL]
    assert program.end[-1].tolist() == [5.0, 7.0, TRAVEL]
    assert program.names == ("slot",)
    assert program.title == "cable tidy"
    assert program.stock == STOCK


def test_park_is_in_the_controllers_own_numbers(machine: Machine) -> None:
    """X grows to the left and Y toward the operator from the back right corner; worked out by hand."""
    mirrored = dataclasses.replace(machine, origin="back-right", axes=Axes("left", "toward", "up"))
    assert lower(job(SLOT), mirrored).end[-1, :2].tolist() == [300.0 - 5.0, 200.0 - 7.0]
    assert lower(job(SLOT), dataclasses.replace(machine, park=None)).end[-1, :2].tolist() != [5.0, 7.0]


def test_travel_is_above_the_thickest_board_and_the_tallest_clamp(machine: Machine) -> None:
    clamp = Zone(shapely.box(0, 0, 20, 20), "clamp", 25.0)
    tape = Zone(shapely.box(0, 0, 20, 20), "tape", 99.0)
    bed = Stock(300.0, 200.0, 18.0, z_zero="bed", thickness_tolerance=0.75, underlay=1.0, zones=(clamp, tape))
    through = dataclasses.replace(SLOT, bottom=1.0)
    assert travel_height(job(through, stock=bed), machine) == 18.0 + 1.0 + 0.75 + 25.0 + 8.0
    program = lower(job(through, stock=bed), machine)
    down = rows_of(program, 0)[1]
    assert program.kind[down] == RAPID
    assert program.end[down, 2] == 18.0 + 1.0 + 0.75 + 1.0, "the approach height, above the thickest board"


def test_a_cut_in_a_recess_is_approached_from_above_the_board(machine: Machine) -> None:
    program = lower(job(dataclasses.replace(SLOT, top=-4.0, bottom=-8.0)), machine)
    rapids = program.end[program.kind == RAPID, 2]
    assert rapids.min() == 1.0
    row = rows_of(program, 0)[2]
    assert (program.kind[row], program.end[row, 2], program.feed[row]) == (LINE, -4.0, 400.0)


def test_every_row_knows_its_toolpath_and_level(machine: Machine) -> None:
    outline = Toolpath("outline", Curve.circle([150.0, 100.0], 30.0), SHARP, CUTTING, bottom=-9.0, stepdown=3.0)
    program = lower(job(SLOT, outline), machine)
    moves = program.toolpath[1:-1].tolist()
    assert set(moves) == {-1, 0, 1}
    assert moves.count(-1) == 4, "those of the change of bit"
    rows = rows_of(program, 1)
    cutting = rows[program.kind[rows] != RAPID]
    assert np.all(program.level[rows[program.kind[rows] == RAPID]] == -1)
    assert program.level[cutting].tolist() == [0, 0, 0, 1, 1, 1, 2, 2, 2]
    assert program.end[cutting, 2].tolist() == [-3.0] * 3 + [-6.0] * 3 + [-9.0] * 3
    assert program.feed[cutting].tolist() == [400.0, 2000.0, 2000.0] * 3
    assert program.sweep[cutting].tolist() == [0.0, math.pi, math.pi] * 3


def test_start_and_backward_are_honoured(machine: Machine) -> None:
    square = Curve([[50.0, 50.0], [90.0, 50.0], [90.0, 90.0], [50.0, 90.0]], closed=True)
    cut = Toolpath("square", square, SHARP, CUTTING, bottom=-3.0, start=60.0)
    program = lower(job(cut), machine)
    plan = program.end[rows_of(program, 0)][2:-1, :2]
    assert plan.tolist() == [[90, 70], [90, 90], [50, 90], [50, 50], [90, 50], [90, 70]]
    back = lower(job(dataclasses.replace(SLOT, bottom=-1.0, backward=True)), machine)
    assert back.end[1, :2].tolist() == [110.0, 50.0]


def test_a_slot_is_ramped_back_and_forth_over_its_length(machine: Machine) -> None:
    """30 mm at 3° would allow 1.57 mm in each leg; half a bite of 3 mm is less: 6 mm take four legs and a flat one."""
    short = dataclasses.replace(SLOT, curve=Curve([[50.0, 50.0], [80.0, 50.0]]))
    program = lower(job(short), machine)
    rows = rows_of(program, 0)
    cut = rows[program.kind[rows] == LINE][1:]
    assert program.end[cut, 0].tolist() == [80.0, 50.0, 80.0, 50.0, 80.0]
    assert program.end[cut, 2].tolist() == [-1.5, -3.0, -4.5, -6.0, -6.0]
    # min(feed, plunge / sin α), with α the actual slope.
    assert program.feed[cut][0] == pytest.approx(min(2000.0, 400.0 / (1.5 / math.hypot(30.0, 1.5))))


def test_a_ramp_keeps_the_stepdown_where_a_level_is_deeper(machine: Machine) -> None:
    """One level of 6 mm with bites of 2 mm: after a turn a leg meets twice its drop, so there are six legs of 1 mm."""
    line = Curve([[50.0, 50.0], [250.0, 50.0]])
    program = lower(job(dataclasses.replace(SLOT, curve=line, stepdown=2.0, levels=(-6.0,), bottom=None)), machine)
    rows = rows_of(program, 0)
    cut = rows[program.kind[rows] == LINE][1:]
    assert program.end[cut, 2].tolist() == [-1.0, -2.0, -3.0, -4.0, -5.0, -6.0, -6.0]


def test_a_drilled_hole_is_one_cycle(machine: Machine) -> None:
    program = lower(job(HOLE), machine)
    rows = rows_of(program, 0)
    assert program.end[rows, 2].tolist() == [TRAVEL, 1.0, -18.0, TRAVEL]
    assert program.kind[rows].tolist() == [RAPID, RAPID, LINE, RAPID]
    cycle = program.cycles[0]
    assert (cycle.first, cycle.last, cycle.top, cycle.bottom) == (rows[1], rows[-1], 1.0, -18.0)
    assert (cycle.feed, cycle.peck) == (400.0, None)


def test_pecks_clear_their_chips_and_come_back_above_the_floor(machine: Machine) -> None:
    program = lower(job(dataclasses.replace(HOLE, entry=Peck(7.0))), machine)
    rows = rows_of(program, 0)
    # 18 mm in bites of 7 mm at most: three of 6 mm.
    assert program.end[rows, 2].tolist() == [TRAVEL, 1.0, -6.0, 1.0, -5.5, -12.0, 1.0, -11.5, -18.0, TRAVEL]
    cutting = program.kind[rows] == LINE
    assert program.end[rows[cutting], 2].tolist() == [-6.0, -12.0, -18.0]
    assert program.cycles[0].peck == 6.0


def test_a_helix_at_a_point_bores_a_hole(machine: Machine) -> None:
    """Hole = bit + helix; π d tan α = 5 π tan 4° = 1.098 mm in each turn, so 8 mm take 8 turns and a flat one."""
    bore = Toolpath("bore", Curve.point([40.0, 40.0]), BIT, CUTTING, bottom=-8.0, stepdown=4.0, entry=Helix(4.0, 5.0))
    program = lower(job(bore), machine)
    arcs = np.flatnonzero(program.kind == ARC)
    assert np.diff(program.end[arcs, 2]).tolist() == pytest.approx([-1.0] * 7 + [0.0])
    assert np.all(program.sweep[arcs] == 2 * math.pi)
    assert np.all(program.centre[arcs] == [40.0, 40.0])
    assert program.end[arcs[-1] + 1].tolist() == [40.0, 40.0, -8.0], "it leaves the wall before it goes up"


def test_a_raster_returns_where_it_has_been_and_else_over_the_board(machine: Machine) -> None:
    pocket = Toolpath("pocket", RASTER, SHARP, CUTTING, bottom=-4.0, stepdown=2.0, role="pocket")
    program = lower(job(pocket), machine)
    rows = rows_of(program, 0)
    assert np.count_nonzero(program.kind[rows] == RAPID) == 3
    linked = int(np.flatnonzero(program.level == 1)[0])
    assert program.end[linked].tolist() == [60.0, 60.0, -4.0]
    assert program.end[linked - 1].tolist() == [60.0, 60.0, -2.0]

    bow = Curve([[60.0, 60.0], [60.0, 100.0], [100.0, 100.0]])
    apart = dataclasses.replace(pocket, curve=bow)
    program = lower(job(apart), machine)
    rows = rows_of(program, 0)
    rapids = rows[program.kind[rows] == RAPID]
    assert program.end[rapids].tolist() == [
        [60, 60, 8], [60, 60, 1], [100, 100, 8], [60, 60, 8], [60, 60, 1], [100, 100, 8]
    ]  # fmt: skip


def test_what_must_not_be_reversed_does_not_go_back_along_itself(machine: Machine) -> None:
    """A straight cut: its way back has been swept already, but would run against its direction."""
    line = Curve.polyline([(20, 20), (90, 20)])
    program = lower(job(Toolpath("line", line, SHARP, CUTTING, bottom=-4.0, stepdown=2.0, reversible=False)), machine)
    cutting = program.kind != RAPID
    run = program.end[cutting, 0] - program.origins[cutting, 0]
    assert run.max() == 70.0
    assert run.min() >= 0.0


def test_a_bit_that_cannot_plunge_is_let_down_through_air_and_ramps_on(machine: Machine) -> None:
    bow = Curve([[60.0, 60.0], [60.0, 120.0], [120.0, 120.0]])
    cut = Toolpath("bow", bow, BIT, CUTTING, bottom=-4.0, stepdown=2.0, reversible=False, entry=Ramp(3.0))
    program = lower(job(cut), machine)
    down = int(np.flatnonzero(program.level == 1)[0])
    assert program.end[down].tolist() == [60.0, 60.0, pytest.approx(-1.9)]
    assert program.end[down + 1, 2] > -4.0


def test_a_trace_is_cut_as_it_lies(machine: Machine) -> None:
    points = [[10.0, 10.0, 0.5], [30.0, 10.0, -1.0], [30.0, 30.0, -1.0], [10.0, 30.0, 0.5]]
    cut = Toolpath("trace", Curve(points), BIT, CUTTING, role="engrave", backward=True)
    program = lower(job(cut), machine)
    rows = rows_of(program, 0)
    assert program.end[rows[2:-1]].tolist() == points[::-1]
    slope = 1.5 / math.hypot(20.0, 1.5)
    assert program.feed[rows[3]] == pytest.approx(min(2000.0, 400.0 / slope))
    assert program.feed[rows[-2]] == 2000.0, "the way up is taken at the feed"


def test_a_closed_trace_starts_where_it_is_told_and_comes_back(machine: Machine) -> None:
    points = [[10.0, 10.0, 0.0], [30.0, 10.0, 0.0], [30.0, 30.0, -1.0]]
    cut = Toolpath("trace", Curve(points, closed=True), SHARP, CUTTING, role="engrave", start=10.0)
    program = lower(job(cut), machine)
    rows = rows_of(program, 0)
    begin = [20.0, 10.0, 0.0]
    assert program.end[rows[2:-1]].tolist() == [begin, points[1], points[2], points[0], begin]


@pytest.mark.parametrize(
    "points",
    [[[10.0, 10.0, -1.0], [30.0, 10.0, -1.0]], [[10.0, 10.0, 0.0], [10.5, 10.0, -1.0], [30.0, 10.0, -1.0]]],
)
def test_a_trace_that_plunges_needs_a_bit_that_may(points: list[list[float]], machine: Machine) -> None:
    with pytest.raises(Refused, match="does not cut at its centre"):
        lower(job(Toolpath("trace", Curve(points), BIT, CUTTING)), machine)
    lower(job(Toolpath("trace", Curve(points), SHARP, CUTTING)), machine)


def test_all_that_is_unsafe_is_refused_at_once(machine: Machine) -> None:
    circle = Curve.circle([100.0, 100.0], 20.0)
    fast = Cutting(feed=2000.0, plunge=400.0, spindle=30000.0)
    toolpaths = (
        Toolpath("plunge", circle, BIT, CUTTING, bottom=-3.0, entry=Plunge()),
        dataclasses.replace(HOLE, name="blunt drill", tool=BIT),
        Toolpath("post", circle, BIT, CUTTING, bottom=-3.0, entry=Helix(3.0, 6.5)),
        dataclasses.replace(SLOT, name="speed", cutting=fast),
        dataclasses.replace(SLOT, name="standing", cutting=Cutting(feed=2000.0, plunge=400.0, spindle=0.0)),
        Toolpath("tiny", Curve.circle([100.0, 100.0], 4.0), BIT, CUTTING, bottom=-18.0, entry=Spiral(3.0),
                 tabs=(Tab(3.0, 6.0, 3.0),)),
        Toolpath("in tab", circle, BIT, CUTTING, bottom=-18.0, entry=Spiral(3.0), tabs=(Tab(1.0, 6.0, 3.0),)),
        Toolpath("short", Curve([[10.0, 10.0], [12.0, 10.0]]), BIT, CUTTING, bottom=-3.0, entry=Ramp(3.0)),
        Toolpath("dot", Curve.circle([100.0, 100.0], 0.001), BIT, CUTTING, bottom=-18.0, entry=Spiral(1.0)),
        SLOT,
    )  # fmt: skip
    with pytest.raises(Refused) as refused:
        lower(job(*toolpaths), machine)
    found = refused.value.findings
    assert [f.toolpath for f in found] == [t.name for t in toolpaths[:-1]]
    assert all(f.fix for f in found)


def test_a_slow_spindle_is_refused_too(machine: Machine) -> None:
    picky = dataclasses.replace(machine, spindle=SpindleControl(min=20000.0, max=24000.0))
    with pytest.raises(Refused, match="20000 to 24000 rpm"):
        lower(job(SLOT), picky)


def test_progress_is_told_and_may_stop(machine: Machine) -> None:
    told: list[tuple[int, int, str]] = []

    def watch(done: int, total: int, message: str) -> bool:
        told.append((done, total, message))
        return done < 1

    with pytest.raises(Refused, match="stopped"):
        lower(job(SLOT, HOLE), machine, progress=watch)
    assert told == [(0, 2, "slot"), (1, 2, "hole")]


def test_a_helix_that_fits_nowhere_becomes_a_ramp(machine: Machine) -> None:
    groove = dataclasses.replace(SLOT, entry=Helix(3.0, 5.0))
    pocket = Toolpath("pocket", RASTER, BIT, CUTTING, bottom=-4.0, role="pocket", entry=Helix(3.0, 5.0))
    assert not helix_fits(groove, STOCK)
    assert helix_fits(pocket, STOCK)
    assert helix_fits(Toolpath("bore", Curve.point([9, 9]), BIT, CUTTING, bottom=-4.0, entry=Helix(3.0, 5.0)), STOCK)
    program = lower(job(groove), machine)
    assert not np.any(program.kind == ARC)
    assert np.any(lower(job(pocket), machine).kind == ARC)


def test_where_a_cut_begins_and_ends_is_known_beforehand(machine: Machine) -> None:
    cuts = (
        SLOT,
        dataclasses.replace(SLOT, name="short", curve=Curve([[50.0, 70.0], [80.0, 70.0]])),
        dataclasses.replace(SLOT, name="short and odd", bottom=-4.5, curve=Curve([[50.0, 70.0], [80.0, 70.0]])),
        dataclasses.replace(SLOT, name="long", curve=Curve([[50.0, 60.0], [290.0, 60.0]])),
        dataclasses.replace(SLOT, name="odd", bottom=-8.0, curve=Curve([[50.0, 60.0], [290.0, 60.0]]), backward=True),
        dataclasses.replace(SLOT, name="one way", reversible=False),
        Toolpath("ring", Curve.circle([150.0, 100.0], 30.0), BIT, CUTTING, bottom=-9.0, entry=Spiral(3.0), start=25.0),
        Toolpath("trace", Curve([[10.0, 10.0, 0.5], [30.0, 10.0, -1.0], [30.0, 30.0, 0.0]]), BIT, CUTTING),
        HOLE,
    )
    program = lower(job(*cuts), machine)
    for index, cut in enumerate(cuts):
        rows = rows_of(program, index)
        begin, end = begin_and_end(cut, STOCK)
        assert program.end[rows[0], :2] == pytest.approx(begin), cut.name
        assert program.end[rows[-1], :2] == pytest.approx(end), cut.name


def test_no_row_is_empty_and_the_same_job_gives_the_same_program(machine: Machine) -> None:
    outline = Toolpath("outline", Curve.circle([150.0, 100.0], 30.0), BIT, CUTTING, bottom=-18.0, stepdown=4.0,
                       entry=Spiral(3.0), tabs=(Tab(40.0, 6.0, 3.0), Tab(130.0, 6.0, 3.0)))  # fmt: skip
    work = job(SLOT, outline, HOLE)
    program = lower(work, machine)
    assert lower(work, machine) == program
    moved = np.abs(np.diff(program.end[1:], axis=0)).max(axis=1)
    changes = [at for at, event in events(program) if isinstance(event, ToolChange)][1:]
    again = np.isin(np.arange(2, len(program)), np.array(changes) + 1)
    assert np.all((moved > 1e-6) | (program.kind[2:] == ARC) | again), "only X and Y after a change are said again"


def test_a_tab_that_is_wholly_below_the_cut_changes_nothing(machine: Machine) -> None:
    ring = Toolpath("ring", Curve.circle([150.0, 100.0], 30.0), BIT, CUTTING, bottom=-10.0, entry=Spiral(3.0))
    low = dataclasses.replace(ring, tabs=(Tab(40.0, 6.0, 3.0),))
    assert lower(job(low), machine) == lower(job(ring), machine)


def test_whole_numbers_are_as_good_as_decimals(machine: Machine) -> None:
    trace = Toolpath("trace", Curve([[10, 10, 0], [30, 10, -1], [30, 30, -1]]), BIT, CUTTING)
    cuts = (SLOT, HOLE, trace, Toolpath("ring", Curve.circle([150, 100], 30), BIT, CUTTING, bottom=-9, entry=Spiral(3)))
    whole = tuple(dataclasses.replace(cut, cutting=Cutting(feed=2000, plunge=400, spindle=18000)) for cut in cuts)
    assert lower(job(*whole), machine) == lower(job(*cuts), machine)


def test_an_empty_job_lifts_and_parks(machine: Machine) -> None:
    program = lower(job(), machine)
    assert program.end[-1].tolist() == [5.0, 7.0, TRAVEL]
    assert [type(e) for e in program.event] == [Note, Note, Offset, Stop]


@pytest.mark.parametrize("over", [3e-5, 0.002, 0.02])
def test_no_ramp_is_run_for_less_than_a_step_behind_a_tab(machine: Machine, over: float) -> None:
    """A spiral of two laps of 3 mm reaches a tab a hair above its top: it must not go back and forth and never fall."""
    ring = Curve.polyline([(50, 50), (150, 50), (150, 150), (50, 150)], closed=True)
    path = Toolpath("ring", ring, BIT, CUTTING, bottom=-6.0, stepdown=3.0, role="cut", entry=Spiral(3.0))
    behind = tab_gap(dataclasses.replace(path, tabs=(Tab(250.0, 6.0, 3.0),)), 0)[1]
    top = -3.0 - 3.0 * behind / ring.length + over
    tab = Tab(250.0, 6.0, top - STOCK.highest_underside)
    program = lower(job(dataclasses.replace(path, tabs=(tab,))), machine)
    back = (program.kind[1:] == LINE) & (program.end[1:, 1] == 150.0) & (program.end[1:, 0] > program.end[:-1, 0])
    assert not (back & (np.abs(program.end[1:, 2] - program.end[:-1, 2]) < 1.5e-3)).any()
