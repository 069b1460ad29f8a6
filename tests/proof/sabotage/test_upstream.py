"""Faults seeded before there is a file: in what a job cuts, or in how it becomes moves.

Such a fault is consistent: program and file agree with each other. What it is held against is the finished part that
the job promises, the bits and the board. Each must be caught by the check named beside it; `FAULTS` is the table, its
rows are the ids of the tests.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
import pytest
from shapely.geometry import box

import pathkit as pk
from pathkit.jobs.demo import demo_job
from pathkit.operations import contour, drill, moved, pocket, rectangle, slot

MACHINES = ("grbl-back-right", "portrait-inch")
DEMO = demo_job()
PART = DEMO.parts[0]
STOCK = replace(DEMO.stock, width=134.0, depth=116.0, zones=DEMO.stock.zones[:1])
BARE = replace(STOCK, zones=())
LEFT, FRONT, RIGHT, BACK = PART.outline.bounds
CORNER = np.array([LEFT, FRONT])
MIDDLE = np.array([(LEFT + RIGHT) / 2.0, (FRONT + BACK) / 2.0])
BIT = replace(DEMO.toolpaths[0].tool, holder=20.0)
DRILL = pk.Tool("4 mm drill", 4.0, number=2, kind="drill", cut_length=20.0, reach=30.0, holder=20.0)
CUTTING = DEMO.toolpaths[0].cutting
RECESS, FLOOR = PART.recesses[0].curve, float(PART.recesses[0].bottom or 0.0)
THROUGH = STOCK.underside - 0.3
SLOT = ((LEFT + 70.0, FRONT + 14.0), (LEFT + 70.0, FRONT + 36.0))
HOLES = tuple((LEFT + x, FRONT + y) for x, y in ((8.0, 8.0), (82.0, 8.0), (82.0, 42.0), (8.0, 42.0)))
NAME = PART.name


@dataclass(frozen=True)
class Plate:
    """What is asked of the operations for one plate of the demo; the defaults are right."""

    bit: pk.Tool = BIT
    drill: pk.Tool = DRILL
    recess: pk.Curve = RECESS
    floor: float = FLOOR
    slot: tuple[tuple[float, float], ...] = SLOT
    slot_bottom: float = THROUGH
    holes: tuple[tuple[float, float], ...] = HOLES
    hole_bottom: float = THROUGH
    outline: pk.Curve = PART.outline
    outline_bottom: float = THROUGH
    side: Any = "outside"
    stepdown: float | None = 3.0
    stock: pk.Stock = STOCK
    part: pk.Part = PART
    tabs: bool = True

    def job(self) -> pk.Job:
        """The job as it is cut; its part is the one promised, whatever was asked for."""
        walls: dict[str, Any] = {"stepdown": self.stepdown, "part": NAME}
        paths = (
            *pocket("recess", self.recess, self.bit, CUTTING, bottom=self.floor, stepdown=2.5, stock=STOCK, part=NAME),
            *slot("slot", pk.Curve.polyline(self.slot), self.bit, CUTTING, bottom=self.slot_bottom, **walls),
            *drill("hole", self.holes, self.drill, CUTTING, bottom=self.hole_bottom, peck=3.0, part=NAME),
            *contour(
                "outline", self.outline, self.bit, CUTTING, side=self.side, bottom=self.outline_bottom, role="outline",
                **walls,
            ),
        )  # fmt: skip
        return finished(pk.Job("one plate", self.stock, paths, parts=(self.part,)), tabs=self.tabs)


def finished(job: pk.Job, *, tabs: bool = True) -> pk.Job:
    holding = [pk.HoldTabs(count=2, width=6.0, height=3.0)] if tabs else []
    return pk.Pipeline([*holding, pk.RampEntries(angle=3.0)]).run(job, pk.load_machine(MACHINES[0])).job


@lru_cache(maxsize=1)
def right() -> pk.Job:
    return Plate().job()


class Seeded(NamedTuple):
    """A job, and another job or program that is posted in its place."""

    job: pk.Job
    posted: pk.Job | Callable[[pk.Program], pk.Program] | None = None


class Fault(NamedTuple):
    name: str
    caught_by: str
    seed: Callable[[], Seeded]


# What is wrong in the shapes and numbers that a job is made of.


def plate(**wrong: Any) -> Callable[[], Seeded]:
    return lambda: Seeded(Plate(**wrong).job())


def grown(curve: pk.Curve, by: float) -> pk.Curve:
    import shapely

    area = shapely.buffer(shapely.Polygon(curve.flattened(0.002)), by, quad_segs=32)
    return pk.Curve.from_shapely(shapely.set_precision(area, 0.001))


def mapped(job: pk.Job, linear: Any, about: Any) -> pk.Job:
    """Every toolpath taken through a plane map about a place; the parts stay where they were promised."""
    matrix, centre = np.asarray(linear, dtype=float), np.asarray(about, dtype=float)
    sign = float(np.sign(np.linalg.det(matrix)))
    paths = tuple(
        replace(
            path,
            curve=pk.Curve(
                (path.curve.points - centre) @ matrix.T + centre, sign * path.curve.sweeps, path.curve.closed
            ),
            tabs=(),
            start=0.0,
            entry=pk.Plunge(),
        )
        for path in job.toolpaths
    )
    return finished(job.with_toolpaths(paths))


def placed(linear: Any, about: Any = None) -> Callable[[], Seeded]:
    middle = (STOCK.width / 2.0, STOCK.depth / 2.0)
    return lambda: Seeded(mapped(right(), linear, middle if about is None else about))


def scaled(curve: pk.Curve, share: float) -> pk.Curve:
    return pk.Curve((curve.points - MIDDLE) * share + MIDDLE, curve.sweeps, curve.closed)


def in_place(curve: pk.Curve, linear: Any, about: Any) -> pk.Curve:
    matrix = np.asarray(linear, dtype=float)
    sign = float(np.sign(np.linalg.det(matrix)))
    points = (curve.points - np.asarray(about)) @ matrix.T + np.asarray(about)
    return pk.Curve(points, sign * curve.sweeps, curve.closed)


def without(*beginnings: str) -> Callable[[], Seeded]:
    def seed() -> Seeded:
        paths = tuple(p for p in right().toolpaths if not p.name.startswith(beginnings))
        assert len(paths) < len(right().toolpaths)
        return Seeded(right().with_toolpaths(paths))

    return seed


def changed(beginning: str, **values: Any) -> Callable[[pk.Job], pk.Job]:
    """The job with the toolpaths of this beginning changed."""

    def change(job: pk.Job) -> pk.Job:
        paths = tuple(replace(p, **values) if p.name.startswith(beginning) else p for p in job.toolpaths)
        assert paths != job.toolpaths
        return job.with_toolpaths(paths)

    return change


def other_bit(assumed: float) -> Callable[[], Seeded]:
    """The outline offset for another bit than the one that cuts."""

    def seed() -> Seeded:
        (path,) = contour(
            "outline", PART.outline, replace(BIT, diameter=assumed), CUTTING, bottom=THROUGH, stepdown=3.0
        )
        paths = [
            replace(path, tool=BIT, part=NAME) if p.role == "outline" else p for p in Plate(tabs=False).job().toolpaths
        ]
        return Seeded(finished(replace(right(), toolpaths=tuple(paths))))

    return seed


def ridges() -> Seeded:
    """Two lines of the raster left out: a ridge stays between its neighbours."""
    job = right()
    (raster,) = (p for p in job.toolpaths if p.role == "pocket")
    points = raster.curve.points
    keep = np.ones(len(points), bool)
    keep[12:20] = False
    sweeps = np.zeros(int(keep.sum()) - 1)
    curve = pk.Curve(points[keep], sweeps)
    return Seeded(changed("recess rows", curve=curve, start=0.0, entry=pk.Ramp(3.0))(job))


def island_cut_away() -> Seeded:
    """The part promises an island in its recess; the pocket was made without it."""
    post = moved(rectangle((30.0, 20.0), 8.0, 8.0, radius=2.0), CORNER)
    recess = replace(PART.recesses[0], islands=(post,))
    return Seeded(Plate(part=replace(PART, recesses=(recess,))).job())


def trimmed() -> Seeded:
    """A second pass round the outline that knows nothing of the tabs."""
    job = right()
    (path,) = (p for p in job.toolpaths if p.role == "outline")
    again = replace(path, name="trim", tabs=())
    return Seeded(job.with_toolpaths((*job.toolpaths, again)))


def clamped() -> Seeded:
    clamp = pk.Zone(box(LEFT - 10.0, FRONT + 20.0, LEFT - 1.0, FRONT + 30.0), "clamp", 10.0)
    return Seeded(replace(right(), stock=replace(STOCK, zones=(*STOCK.zones, clamp))))


# What goes wrong between job and moves: the program is another job's, or has been changed.


def lowered_from(change: Callable[[pk.Job], pk.Job], job: Callable[[], pk.Job] = right) -> Callable[[], Seeded]:
    return lambda: Seeded(job(), change(job()))


def moves(change: Callable[[pk.Program], pk.Program], job: Callable[[], pk.Job] = right) -> Callable[[], Seeded]:
    return lambda: Seeded(job(), change)


def tabs_as(**values: Any) -> Callable[[pk.Job], pk.Job]:
    def change(job: pk.Job) -> pk.Job:
        def tab(old: pk.Tab) -> pk.Tab:
            width, height = values.get("width", old.width), values.get("height", old.height)
            return pk.Tab(old.at + values.get("by", 0.0), width, height)

        return job.with_toolpaths(tuple(replace(p, tabs=tuple(map(tab, p.tabs))) for p in job.toolpaths))

    return change


def one_level(job: pk.Job) -> pk.Job:
    """All of the recess in one go."""
    return changed("recess rows", stepdown=None, levels=None)(job)


def level_left_out(job: pk.Job) -> pk.Job:
    paths = tuple(
        replace(p, levels=p.depths(job.stock)[1:], stepdown=None) if p.name.startswith("recess rows") else p
        for p in job.toolpaths
    )
    return job.with_toolpaths(paths)


def outline_first(job: pk.Job) -> pk.Job:
    last = [p for p in job.toolpaths if p.role == "outline"]
    return job.with_toolpaths((*last, *(p for p in job.toolpaths if p.role != "outline")))


def ordered() -> pk.Job:
    names = [p.name for p in right().toolpaths]
    return replace(right(), precedence=tuple((name, "outline") for name in names if name != "outline"))


def blunt() -> pk.Job:
    """The bit does not cut at its centre, and the ways down are ramps."""
    tool = replace(BIT, centre_cutting=False)
    return Plate(bit=tool).job()


def plunged(job: pk.Job) -> pk.Job:
    sharp = replace(BIT, centre_cutting=True)
    paths = (replace(p, tool=sharp, entry=pk.Plunge()) if p.tool.name == BIT.name else p for p in job.toolpaths)
    return job.with_toolpaths(tuple(paths))


def lower_by(depth: float) -> Callable[[pk.Program], pk.Program]:
    def change(program: pk.Program) -> pk.Program:
        end = np.array(program.end)
        end[program.kind != pk.RAPID, 2] -= depth
        return program.replace(end=end)

    return change


def low_travel(program: pk.Program) -> pk.Program:
    """Travel moves at half the height of the board."""
    end = np.array(program.end)
    travel = float(np.nanmax(end[:, 2]))
    rows = (program.kind == pk.RAPID) & (end[:, 2] == travel)
    rows[0] = False
    end[rows, 2] = 7.5
    return program.replace(end=end)


def cuts_as_rapids(program: pk.Program) -> pk.Program:
    rows = np.flatnonzero(program.kind == pk.LINE)[40:44]
    kind, feed = np.array(program.kind), np.array(program.feed)
    kind[rows], feed[rows] = pk.RAPID, math.nan
    return program.replace(kind=kind, feed=feed)


def arcs_turned(program: pk.Program) -> pk.Program:
    """The sense of every arc lost: the long way round instead of the short one."""
    turn = 2.0 * math.pi
    sweep = np.array(program.sweep)
    arcs = (program.kind == pk.ARC) & (np.abs(sweep) < turn - 1e-6)
    sweep[arcs] -= np.sign(sweep[arcs]) * turn
    return program.replace(sweep=sweep)


def bits_exchanged(program: pk.Program) -> pk.Program:
    """The drill does what the end mill should, and the other way round."""
    others = {BIT.name: pk.ToolChange(DRILL.name, DRILL.number), DRILL.name: pk.ToolChange(BIT.name, BIT.number)}
    events = [others[e.name] if isinstance(e, pk.ToolChange) else e for e in program.event]
    return program.replace(event=tuple(events))


def no_spindle(program: pk.Program) -> pk.Program:
    kept = [k for k, e in enumerate(program.event) if not isinstance(e, pk.Spindle)]
    events = tuple(program.event[k] for k in kept)
    return program.replace(event=events, event_at=program.event_at[kept])


MIRROR, HALF_TURN, EXCHANGE = [[-1, 0], [0, 1]], [[-1, 0], [0, -1]], [[0, 1], [1, 0]]
QUARTER = [[0, -1], [1, 0]]
WIDE = replace(BIT, name="5 mm end mill", number=3, diameter=5.0)
EXCHANGED = tuple((LEFT + y - FRONT, FRONT + x - LEFT) for x, y in HOLES[::3])
HALFWAY = (LEFT + 35.0, FRONT + 25.0)  # the middle of the recess

FAULTS = (
    # side and width of the bit
    Fault("the outline cut on its inside", "gouges", plate(side="inside")),
    Fault("the outline cut on the line", "gouges", plate(side="on")),
    Fault("the outline a bit's radius too far out", "finished shape", plate(outline=grown(PART.outline, 2.0))),
    Fault("the outline offset for a thinner bit", "gouges", other_bit(3.0)),
    Fault("the outline offset for a thicker bit", "finished shape", other_bit(5.0)),
    Fault("the recess cut round its outside", "gouges", plate(recess=grown(RECESS, 4.0))),
    Fault("the recess with its wall on the line", "gouges", plate(recess=grown(RECESS, 2.0))),
    Fault("the recess a bit's radius too small", "finished shape", plate(recess=grown(RECESS, -2.0))),
    Fault("a slot with a wider bit", "gouges", lambda: Seeded(changed("slot", tool=WIDE)(right()))),
    Fault("holes by a wider drill", "gouges", plate(drill=replace(DRILL, diameter=4.5))),
    Fault("holes by a thinner drill", "finished shape", plate(drill=replace(DRILL, diameter=3.5))),
    # depths
    Fault("the recess measured from the bed", "gouges", plate(floor=4.0)),
    Fault("the recess measured from the underside", "gouges", plate(floor=STOCK.underside + 4.0)),
    Fault("the recess as deep as it should be thick", "gouges", plate(floor=STOCK.top - 5.0)),
    Fault("the underlay forgotten in the recess", "gouges", plate(floor=FLOOR - STOCK.underlay)),
    Fault("the underlay counted twice", "finished shape", plate(floor=FLOOR + STOCK.underlay)),
    Fault("the recess 0.1 mm too deep", "gouges", plate(floor=FLOOR - 0.1)),
    Fault("the recess 0.1 mm too shallow", "finished shape", plate(floor=FLOOR + 0.1)),
    Fault("the slot not through", "finished shape", plate(slot_bottom=STOCK.underside + 0.3)),
    Fault("the holes not through", "finished shape", plate(hole_bottom=STOCK.underside + 0.1)),
    Fault("the outline not through", "finished shape", plate(outline_bottom=STOCK.underside + 0.2)),
    # what is missing or too much
    Fault("no recess", "finished shape", without("recess")),
    Fault("the wall of the recess missing", "finished shape", without("recess wall")),
    Fault("the floor of the recess missing", "finished shape", without("recess rows")),
    Fault("a ridge on the floor", "finished shape", ridges),
    Fault("no slot", "finished shape", without("slot")),
    Fault("a hole missing", "finished shape", without("hole 3")),
    Fault("no outline", "finished shape", without("outline")),
    Fault("a hole too many", "gouges", plate(holes=(*HOLES, (LEFT + 45.0, FRONT + 45.0)))),
    Fault("an island cut away", "gouges", island_cut_away),
    # places
    Fault("the slot too short", "finished shape", plate(slot=(SLOT[0], (SLOT[1][0], SLOT[1][1] - 1.0)))),
    Fault("the slot too long", "gouges", plate(slot=(SLOT[0], (SLOT[1][0], SLOT[1][1] + 1.0)))),
    Fault("the slot half a millimetre off", "gouges", plate(slot=tuple((x + 0.5, y) for x, y in SLOT))),
    Fault("a hole half a millimetre off", "gouges", plate(holes=((HOLES[0][0] + 0.5, HOLES[0][1]), *HOLES[1:]))),
    Fault("X and Y of the holes exchanged", "gouges", plate(holes=EXCHANGED)),
    Fault("the recess turned by a quarter", "gouges", plate(recess=in_place(RECESS, QUARTER, HALFWAY))),
    Fault("the recess mirrored within the part", "gouges", plate(recess=in_place(RECESS, MIRROR, MIDDLE))),
    Fault("the recess a millimetre off", "gouges", plate(recess=moved(RECESS, (0.0, 1.0)))),
    Fault("the outline 0.1 mm off", "gouges", plate(outline=moved(PART.outline, (0.1, 0.0)))),
    Fault("the outline one per cent too small", "gouges", plate(outline=scaled(PART.outline, 0.99))),
    Fault("the outline one per cent too large", "finished shape", plate(outline=scaled(PART.outline, 1.01))),
    Fault("the whole job mirrored", "gouges", placed(MIRROR)),
    Fault("the whole job upside down", "gouges", placed(HALF_TURN)),
    Fault("X and Y of the whole job exchanged", "gouges", placed(EXCHANGE, MIDDLE)),
    Fault("the whole job a millimetre too large", "gouges", placed(np.eye(2) * 1.01)),
    # bits that cannot
    Fault("levels deeper than the flutes", "bit length", plate(bit=replace(BIT, cut_length=5.0), stepdown=None)),
    Fault("a bit too short for the board", "bit length", plate(bit=replace(BIT, cut_length=6.0, reach=6.0))),
    Fault("a shank thicker than the bit", "bit length", plate(bit=replace(BIT, cut_length=6.0, shank=6.0))),
    # what holds
    Fault("neither tabs nor tape", "holding", plate(stock=BARE, tabs=False)),
    Fault("tabs as thin as a skin", "holding", lambda: Seeded(tabs_as(height=0.2)(Plate(stock=BARE).job()))),
    Fault("tabs trimmed by a second pass", "tabs", trimmed),
    Fault("a clamp in the way", "keep-out zones", clamped),
    # from job to moves
    Fault("a tab measured from the path, not the wood", "tab strength", lowered_from(tabs_as(width=2.0))),
    Fault("a tab measured from the bed", "tab strength", lowered_from(tabs_as(height=0.5))),
    Fault("tabs at other places", "tab strength", lowered_from(tabs_as(by=30.0))),
    Fault("no tabs", "tab strength", lowered_from(lambda job: changed("outline", tabs=())(job))),
    Fault("a level left out", "stock removal", lowered_from(level_left_out)),
    Fault("all levels in one", "stock removal", lowered_from(one_level)),
    Fault("the outline before all else", "precedence", lowered_from(outline_first, ordered)),
    Fault("straight down with a bit that cannot", "plunges", lowered_from(plunged, blunt)),
    Fault("everything 0.2 mm too deep", "gouges", moves(lower_by(0.2))),
    Fault("everything 0.5 mm too shallow", "finished shape", moves(lower_by(-0.5))),
    Fault("everything into the bed", "above the bed", moves(lower_by(3.0))),
    Fault("travel through the board", "rapids clear the wood", moves(low_travel)),
    Fault("cuts as rapids", "stock removal", moves(cuts_as_rapids)),
    Fault("arcs the long way round", "gouges", moves(arcs_turned)),
    Fault("the two bits exchanged", "stock removal", moves(bits_exchanged, blunt)),
    Fault("the spindle never on", "spindle", moves(no_spindle)),
)  # fmt: skip
"""What catches what."""


def judge(seeded: Seeded, machine: pk.Machine) -> pk.Proof:
    program = pk.lower(seeded.posted if isinstance(seeded.posted, pk.Job) else seeded.job, machine)
    if callable(seeded.posted):
        program = seeded.posted(program)
    return pk.verify(pk.post(program, machine), program, machine, job=seeded.job)


@pytest.mark.parametrize(
    ("fault", "machine"),
    [
        pytest.param(fault, MACHINES[k % 2], id=f"{fault.name} -> {fault.caught_by} [{MACHINES[k % 2]}]")
        for k, fault in enumerate(FAULTS)
    ],
)
def test_a_fault_before_the_file_is_caught_by_the_check_that_is_named(fault: Fault, machine: str) -> None:
    known = pk.load_machine(machine)
    pauses = replace(known, output={**known.output, "tool_change": "pause"})
    proof = judge(fault.seed(), pauses)
    failed = {c.name: [str(f) for f in c.findings] for c in proof.checks if c.status == "failed"}
    assert fault.caught_by in failed, failed


@pytest.mark.parametrize("machine", MACHINES)
def test_the_plate_as_it_should_be_raises_nothing(machine: str) -> None:
    proof = judge(Seeded(right()), pk.load_machine(machine))
    assert proof.findings == ()


def test_the_table_is_large() -> None:
    assert len({fault.name for fault in FAULTS}) == len(FAULTS) >= 40
