"""Faults seeded before there is a file: in the shapes, numbers and bits that a job is made of.

Such a fault is consistent: program and file agree with each other. What it is held against is the finished part that
the job promises, the bits and the board. Each must be caught by the check named beside it; `FAULTS` is the table, its
rows are the ids of the tests.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from shapely.geometry import box

import pathkit as pk
from pathkit.operations import contour, moved, rectangle
from tests.proof.sabotage.plate import (
    BARE,
    BIT,
    CORNER,
    CUTTING,
    DRILL,
    FLOOR,
    FRONT,
    HOLES,
    LEFT,
    MACHINES,
    MIDDLE,
    NAME,
    OUTLINE,
    PART,
    RECESS,
    SLOT,
    STOCK,
    THROUGH,
    Fault,
    Plate,
    Seeded,
    changed,
    failed,
    finished,
    judge,
    right,
    tabs_as,
    with_machines,
)


def plate(**wrong: Any) -> Callable[[], Seeded]:
    return lambda: Seeded(Plate(**wrong).job())


def grown(curve: pk.Curve, by: float) -> pk.Curve:
    import shapely

    area = shapely.buffer(shapely.Polygon(curve.flattened(0.002)), by, quad_segs=32)
    return pk.Curve.from_shapely(shapely.set_precision(area, 0.001))


def mapped(job: pk.Job, linear: Any, about: Any) -> pk.Job:
    """Every toolpath goes through a plane map about a place; the parts stay where they were promised."""
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


def other_bit(assumed: float) -> Callable[[], Seeded]:
    """The outline is offset for another bit than the one that cuts."""

    def seed() -> Seeded:
        (path,) = contour("outline", OUTLINE, replace(BIT, diameter=assumed), CUTTING, bottom=THROUGH, stepdown=3.0)
        paths = [
            replace(path, tool=BIT, part=NAME) if p.role == "outline" else p for p in Plate(tabs=False).job().toolpaths
        ]
        return Seeded(finished(replace(right(), toolpaths=tuple(paths))))

    return seed


def ridges() -> Seeded:
    """Two lines of the raster are left out: a ridge stays between their neighbours."""
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


MIRROR, HALF_TURN, EXCHANGE = [[-1, 0], [0, 1]], [[-1, 0], [0, -1]], [[0, 1], [1, 0]]
QUARTER = [[0, -1], [1, 0]]
WIDE = replace(BIT, name="5 mm end mill", number=3, diameter=5.0)
EXCHANGED = tuple((LEFT + y - FRONT, FRONT + x - LEFT) for x, y in HOLES[::3])
HALFWAY = (LEFT + 35.0, FRONT + 25.0)  # the middle of the recess

FAULTS = (
    # side and width of the bit
    Fault("the outline cut on its inside", "gouges", plate(side="inside")),
    Fault("the outline cut on the line", "gouges", plate(side="on")),
    Fault("the outline a bit's radius too far out", "finished shape", plate(outline=grown(OUTLINE, 2.0))),
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
    Fault("the outline 0.1 mm off", "gouges", plate(outline=moved(OUTLINE, (0.1, 0.0)))),
    Fault("the outline one per cent too small", "gouges", plate(outline=scaled(OUTLINE, 0.99))),
    Fault("the outline one per cent too large", "finished shape", plate(outline=scaled(OUTLINE, 1.01))),
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
)  # fmt: skip
"""Each fault, and what catches it."""


@pytest.mark.parametrize(("fault", "machine"), with_machines(FAULTS))
def test_a_fault_before_the_file_is_caught_by_the_check_that_is_named(fault: Fault, machine: str) -> None:
    known = pk.load_machine(machine)
    pauses = replace(known, output={**known.output, "tool_change": "pause"})
    said = failed(judge(fault.seed(), pauses))
    assert fault.caught_by in said, said


@pytest.mark.parametrize("machine", MACHINES)
def test_the_plate_as_it_should_be_raises_nothing(machine: str) -> None:
    proof = judge(Seeded(right()), pk.load_machine(machine))
    assert proof.findings == ()


def test_the_table_is_large() -> None:
    assert len({fault.name for fault in FAULTS}) == len(FAULTS) >= 40
