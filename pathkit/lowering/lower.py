"""From a job to a program: every toolpath's way in, its laps, its way out, and what happens between them."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from types import NoneType
from typing import Final

import numpy as np

from pathkit.door import expect
from pathkit.errors import Refused
from pathkit.findings import Finding
from pathkit.lowering.air import Air, air_over, summit
from pathkit.lowering.beam import lower_beam
from pathkit.lowering.cut import Course, Cut, course_of, cut_of, refusal
from pathkit.lowering.entries import HelixDown, way_down
from pathkit.lowering.holes import bore, bore_helix, drill
from pathkit.lowering.levels import is_slot, level_by_level, slot, slot_legs, spiral, trace
from pathkit.lowering.rows import Rows
from pathkit.lowering.steady_load import with_steady_load
from pathkit.machine.orientation import orientation
from pathkit.machine.profile import Change, Machine
from pathkit.model.job import Job, Setup
from pathkit.model.stock import Stock
from pathkit.model.tool import Tool
from pathkit.model.toolpath import Helix, Ramp, Spiral, Toolpath
from pathkit.motion.program import Dwell, Note, Offset, Program, Spindle, Stop, ToolChange

HIGHER: Final = Change(0.0, 0.0).height
"""mm above everything that the bit travels over, where bits are changed if the profile does not say."""

ALONE: Final = 1.0
"""mm above the wood at which rapids end where no machine is given."""

Progress = Callable[[int, int, str], bool]


def lower(job: Job, machine: Machine, setup: Setup | None = None, *, progress: Progress | None = None) -> Program:
    """The moves and events of a job on this machine, in the bench frame.

    The program starts with the bit anywhere: its first move is Z alone, as high as everything on the board requires.
    The bit reaches every cut over the board at travel height, higher where the way crosses a clamp or screw (`Air`),
    then goes down at rapid to the approach height and from there at a feed. It leaves every cut straight up.
    `Program.level` counts levels, or laps where a cut goes down in laps, from 0; travel moves have −1.
    A beam's job is lowered by `pathkit.lowering.beam`: at one height, with a `Program.power`.
    If a `Cutting` has a range of feeds, the feed follows the load (`pathkit.lowering.steady_load`).

    Raises `Refused` with one finding for each toolpath that cannot be cut safely, and if ``progress`` returns False,
    since part of a job would be a different job.

    >>> program = pk.lower(job, machine)
    >>> program.names, float(program.end[:, 2].min())
    (('groove',), -2.0)
    """
    expect("lower", job=(job, Job), machine=(machine, Machine), setup=(setup, Setup, NoneType))
    setup = setup or Setup()
    if job.by_beam:
        return lower_beam(job, machine, setup, _on_board(machine.park, job, machine, setup))
    rows = Rows()
    air = air_over(job, machine)
    _open(rows, job, setup, air)
    running = _Running(rows, machine, air, _on_board(machine.change_place, job, machine, setup))
    found: list[Finding] = []
    for index, toolpath in enumerate(job.toolpaths):
        if progress is not None and not progress(index, len(job.toolpaths), toolpath.name):
            raise Refused("lowering was stopped before the program was complete")
        try:
            check_spindle(toolpath, machine)
            rows.level = -1
            rows.toolpath = -1
            running.prepare(toolpath)
            rows.toolpath = index
            _cut(rows, _planned(toolpath, job.stock, machine, air), job.stock)
        except Refused as refused:
            found += refused.findings
    if found:
        raise Refused(found)
    _close(rows, job, machine, setup, running)
    program = rows.program(tuple(t.name for t in job.toolpaths), job.stock, job.name)
    if any(toolpath.cutting.steady for toolpath in job.toolpaths):
        return with_steady_load(program, job, machine)
    return program


def lower_alone(toolpath: Toolpath, stock: Stock) -> Program:
    """The moves of one toolpath on its own, from above a board on which nothing stands and back up.

    Rapids end `ALONE` mm above the wood, and run twice as high. Raises `Refused` as `lower` does.
    """
    top = max(stock.highest_top, summit(toolpath, stock))
    air = Air(top + 2.0 * ALONE)
    rows = Rows()
    rows.rapid(math.nan, math.nan, air.base)
    rows.toolpath = 0
    _cut(rows, cut_of(toolpath, stock, top + ALONE, air), stock)
    return rows.program((toolpath.name,), stock, toolpath.name)


def travel_height(job: Job, machine: Machine) -> float:
    """z that is high enough for every move: above the thickest board, whatever stands on it, and every toolpath."""
    return air_over(job, machine).highest


def check_spindle(toolpath: Toolpath, machine: Machine) -> None:
    """Raises `Refused` where the spindle would be stopped, or cannot turn as fast or as slowly as asked."""
    speed, spindle = toolpath.cutting.spindle, machine.spindle
    if speed <= 0.0:
        raise refusal(toolpath, "it would cut with the spindle stopped", "give its cutting a spindle speed")
    if not spindle.min <= speed <= spindle.max:
        what = f"its spindle speed is {speed:g} rpm, but {machine.name!r} turns {spindle.min:g} to {spindle.max:g} rpm"
        raise refusal(toolpath, what, "choose a speed that the machine has, and a feed to go with it")


def begin_and_end(toolpath: Toolpath, stock: Stock) -> tuple[tuple[float, float], tuple[float, float]]:
    """Where a toolpath is entered and left in x, y (mm), as far as its start and direction decide it.

    A helix may begin a little beside the place of entry.
    """
    curve = toolpath.curve
    if curve.is_point or curve.closed:
        place = curve.points[0] if curve.is_point else curve.at(toolpath.start)
        return (float(place[0]), float(place[1])), (float(place[0]), float(place[1]))
    first, last = (tuple(float(v) for v in curve.points[i, :2]) for i in (0, -1))
    begin, end = (last, first) if toolpath.backward else (first, last)
    if not curve.is_trace and toolpath.may_reverse:
        cut = cut_of(toolpath, stock)
        if _runs(cut, curve.length) % 2 == 0:
            end = begin
    return (begin[0], begin[1]), (end[0], end[1])


def _runs(cut: Cut, length: float) -> int:
    entry = cut.toolpath.entry
    if isinstance(entry, Ramp) and is_slot(cut, length):
        return slot_legs(cut, length, entry) + 1
    return len(cut.levels)


@dataclass
class _Running:
    """The bit and the spindle as the program has left them so far."""

    rows: Rows
    machine: Machine
    air: Air
    change_at: tuple[float, float] | None = None
    tool: Tool | None = None
    speed: float = 0.0

    @property
    def turning(self) -> bool:
        return self.speed > 0.0

    def prepare(self, toolpath: Toolpath) -> None:
        """Before a cut, at travel height: its name, its bit, its speed."""
        tool, speed, event = toolpath.tool, toolpath.cutting.spindle, self.rows.event
        if tool != self.tool:
            if self.tool is not None:
                self._change(ToolChange(tool.name, tool.number))
            self.tool = tool
        if speed != self.speed:
            event(Spindle(speed, 1))
            # Wood met before the spindle has come up to its speed stalls it.
            if speed > self.speed and self.machine.spindle.spin_up > 0.0:
                event(Dwell(self.machine.spindle.spin_up))
            self.speed = speed
        event(Note(toolpath.name))

    def _change(self, change: ToolChange) -> None:
        """Up clear of everything, to where bits are changed, the spindle off; afterwards the first move is Z alone.

        Whoever changes the bit may move it and set Z again. So what follows takes no place for granted: first a move to
        another height, since one to the same height would not be written, then one that states X and Y.
        """
        rows, own = self.rows, self.machine.change
        height = self.air.highest + (own.height if own is not None else HIGHER)
        rows.to_height(height)
        if self.change_at is not None:
            rows.rapid(*self.change_at, height)
        if self.turning:
            rows.event(Spindle(0.0, 0))
            self.speed = 0.0
        rows.event(change)
        rows.to_height(self.air.highest)
        rows.stay()


def _open(rows: Rows, job: Job, setup: Setup, air: Air) -> None:
    stock = job.stock
    rows.event(Note(job.name))
    where = "the board's top" if stock.z_zero == "top" else "the bed"
    rows.event(Note(f"board {stock.width:g} x {stock.depth:g} x {stock.thickness:g} mm, z = 0 on {where}"))
    if job.toolpaths:
        lowest = min(toolpath.lowest for toolpath in job.toolpaths)
        higher = f" to {air.highest:g}" if air.highest > air.base else ""
        rows.event(Note(f"lowest cut at z = {lowest:g} mm, travel at z = {air.base:g}{higher} mm"))
    rows.event(Offset(setup.offset))
    if job.toolpaths:
        first = job.toolpaths[0].tool
        rows.event(ToolChange(first.name, first.number))
    # The bit may stand at bed level beside the board: nothing moves sideways before it is up.
    rows.rapid(math.nan, math.nan, air.highest)


def _close(rows: Rows, job: Job, machine: Machine, setup: Setup, running: _Running) -> None:
    rows.toolpath = rows.level = -1
    if running.turning:
        rows.event(Spindle(0.0, 0))
    if (park := _on_board(machine.park, job, machine, setup)) is not None:
        running.air.cross(rows, running.tool, park)
    rows.event(Stop())


def _on_board(
    place: tuple[float, float] | None, job: Job, machine: Machine, setup: Setup
) -> tuple[float, float] | None:  # fmt: skip
    """A place in work coordinates as one on the bench, mm."""
    if place is None:
        return None
    x, y, _ = orientation(machine, job.stock, setup).points_back(np.array([[*place, 0.0]]))[0]
    return float(x), float(y)


def _planned(toolpath: Toolpath, stock: Stock, machine: Machine, air: Air) -> Cut:
    # Even a cut in a recess is approached from above the board: what lies between is air, but taken at a feed.
    approach = max(stock.highest_top, summit(toolpath, stock)) + machine.heights.approach
    return cut_of(toolpath, stock, approach, air)


def _cut(rows: Rows, cut: Cut, stock: Stock) -> None:
    """One toolpath from travel height to travel height."""
    toolpath = cut.toolpath
    curve, entry = toolpath.curve, toolpath.entry
    if curve.is_point and not curve.is_trace:
        _hole(rows, cut)
        return
    course = course_of(cut, stock)
    if curve.is_trace:
        first = curve.points[0] if curve.is_point else course.spans.start[0]
        _reach(rows, cut, (float(first[0]), float(first[1])))
        trace(rows, cut, course.spans, float(first[2]))
    elif isinstance(entry, Spiral):
        _reach(rows, cut, course.start)
        spiral(rows, cut, course, entry)
    elif isinstance(entry, Ramp) and is_slot(cut, course.length):
        _reach(rows, cut, course.start)
        slot(rows, cut, course, entry)
    else:
        _levels(rows, cut, course)
    _leave(rows, cut)


def _levels(rows: Rows, cut: Cut, course: Course) -> None:
    way = way_down(cut, course)
    _reach(rows, cut, way.begin if isinstance(way, HelixDown) else course.start)
    level_by_level(rows, cut, course, way)


def _hole(rows: Rows, cut: Cut) -> None:
    entry = cut.toolpath.entry
    if isinstance(entry, Helix):
        helix = bore_helix(cut, entry)
        _reach(rows, cut, helix.begin)
        bore(rows, cut, helix)
        _leave(rows, cut)
        return
    x, y = (float(v) for v in cut.toolpath.curve.points[0])
    cut.air.cross(rows, cut.toolpath.tool, (x, y))
    drill(rows, cut)


def _reach(rows: Rows, cut: Cut, place: tuple[float, float]) -> None:
    cut.air.cross(rows, cut.toolpath.tool, place)
    rows.to_height(cut.approach)


def _leave(rows: Rows, cut: Cut) -> None:
    rows.level = -1
    rows.to_height(cut.travel)
