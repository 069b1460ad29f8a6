"""Compression cuts that are entered in waste, judged by what the lowered program does to the part's edge."""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from pathkit.errors import PassRefused
from pathkit.lowering.lower import lower
from pathkit.machine.profile import Machine
from pathkit.model.curve import Curve
from pathkit.model.job import Feature, Job, Part
from pathkit.model.stock import Stock
from pathkit.model.tool import Tool
from pathkit.model.toolpath import Helix, Plunge
from pathkit.motion.program import Program
from pathkit.passes.hold_tabs import HoldTabs
from pathkit.passes.merge_stepdowns import MergeStepdowns
from pathkit.passes.order_travel import OrderTravel
from pathkit.passes.pipeline import Outcome, Pipeline
from pathkit.passes.ramp_entries import RampEntries
from pathkit.passes.spare_top_edge import SpareTopEdge
from pathkit.passes.standard import standard_passes
from pathkit.registry import find_pass

if TYPE_CHECKING:
    from tests.passes.conftest import Cut, Ring


BIT = Tool("6 mm compression", 6.0, kind="compression", tip_length=4.0, centre_cutting=True)
AROUND = Curve.polyline([(-1.5, -1.5), (401.5, -1.5), (401.5, 301.5), (-1.5, 301.5)], closed=True)
ALL = (
    MergeStepdowns(),
    SpareTopEdge(strict=True),
    HoldTabs(),
    RampEntries(strict=True),
    OrderTravel(effort=0.1),
)


def run(job: Job, machine: Machine) -> Outcome:
    return Pipeline(ALL).run(job, machine, check=True)


def spared(job: Job, machine: Machine) -> Job:
    return Pipeline(ALL[:2]).run(job, machine, check=True).job


def torn(program: Program, part: shapely.Polygon, stock: Stock, tip: float) -> float:
    """mm of the part's edge that the bit first passes with only its tip at the top, by shapely, row after row."""
    edge, length = part.exterior, 0.0
    reached: BaseGeometry = shapely.Point()
    for row in range(1, len(program)):
        a, b = program.end[row - 1], program.end[row]
        if np.isnan(a).any() or min(a[2], b[2]) >= stock.top - stock.thickness_tolerance:
            continue
        # Only rows down at the edge matter here; arcs of the helix are covered by the disc they bore.
        points = [a[:2], b[:2]] if program.sweep[row] == 0.0 else [*_on_arc(program, row)]
        line = shapely.Point(points[0]) if np.allclose(points, points[0]) else shapely.LineString(points)
        swept = line.buffer(3.0 + 0.01, quad_segs=32)
        fresh = edge.intersection(swept).difference(reached)
        if max(a[2], b[2]) > stock.top - stock.thickness_tolerance - tip:
            length += fresh.length
        reached = reached.union(swept)
    return length


def _on_arc(program: Program, row: int) -> NDArray[np.float64]:
    a, centre = program.end[row - 1][:2], program.centre[row]
    turn = np.linspace(0.0, program.sweep[row], 65)
    arm = a - centre
    ends = [np.cos(turn) * arm[0] - np.sin(turn) * arm[1], np.sin(turn) * arm[0] + np.cos(turn) * arm[1]]
    return np.asarray(centre + np.stack(ends, axis=1))


@pytest.mark.parametrize("radius", [0.0, 9.0])
def test_no_edge_is_torn_but_where_the_hole_touches_it(
    cut: Cut, ring: Ring, board: Stock, machine: Machine, radius: float
) -> None:
    curve = ring(17, 17, 86, 56, radius)
    job = Job("j", board, (cut("plate", curve, BIT, role="outline", stepdown=6.5),))
    outcome = run(job, machine)
    assert outcome.findings == ()
    hole, plate = outcome.job.toolpaths
    assert (hole.name, plate.name) == ("plate entry", "plate")
    assert isinstance(hole.entry, Helix)
    assert plate.entry == Plunge()
    part = shapely.Polygon(curve.flattened(0.001)).buffer(-3.0)
    program = lower(outcome.job, machine)
    # A disc of radius R that reaches 0.01 mm over a straight edge covers 2·sqrt(2·R·0.01) of it: 0.6 mm at most here.
    assert torn(program, part, board, BIT.tip_length) < 0.65
    spiral = Pipeline([MergeStepdowns(), RampEntries()]).run(job, machine).job
    assert torn(lower(spiral, machine), part, board, BIT.tip_length) > 100.0, "the judge sees what a spiral tears"


def test_the_hole_lies_in_waste_even_within_a_part(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    """A window's waste is inside it, the plate's outside; the neighbour's wood is not touched."""
    window = Feature(ring(40, 30, 40, 30))
    part = Part("plate", ring(20, 20, 80, 50), holes=(window,))
    near = Part("neighbour", ring(106.5, 20, 80, 50))
    paths = (
        cut("window", ring(43, 33, 34, 24), BIT, role="cut", stepdown=6.5, part="plate"),
        cut("plate", ring(17, 17, 86, 56), BIT, role="outline", stepdown=6.5, part="plate"),
        cut("neighbour", ring(103.5, 17, 86, 56), BIT, role="outline", stepdown=6.5, part="neighbour"),
    )
    got = run(Job("j", board, paths, parts=(part, near)), machine).job
    wood = shapely.box(20, 20, 100, 70).difference(shapely.box(40, 30, 80, 60)).union(shapely.box(106.5, 20, 186.5, 70))
    for name in ("window", "plate", "neighbour"):
        hole = got.by_name[f"{name} entry"]
        assert isinstance(hole.entry, Helix)
        disc = shapely.Point(hole.curve.points[0]).buffer((6.0 + hole.entry.diameter) / 2.0)
        assert disc.intersection(wood).area < 0.02
        names = [p.name for p in got.toolpaths]
        assert names.index(hole.name) < names.index(name)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"stepdown": 3.0}, "does not go beyond"),
        ({"tool": dataclasses.replace(BIT, centre_cutting=False)}, "does not cut at its centre"),
        ({"bottom": 9.0}, "cuts it alone"),
        ({"role": "cut"}, "not known which side of it is waste"),
        ({"curve": AROUND}, "no waste"),
    ],
)
def test_what_cannot_be_is_refused_by_name(
    cut: Cut, ring: Ring, board: Stock, machine: Machine, change: dict[str, Any], why: str
) -> None:
    path = dataclasses.replace(cut("plate", ring(17, 17, 86, 56), BIT, role="outline", stepdown=6.5), **change)
    job = Job("j", board, (path,))
    with pytest.raises(PassRefused, match=why) as refused:
        run(job, machine)
    assert [f.toolpath for f in refused.value.findings] == ["plate"]
    # Not asked to be strict it says so, leaves that cut as it is and still spares the others.
    bit = dataclasses.replace(BIT, name="another compression")
    other = cut("other", ring(217, 17, 60, 56), bit, role="outline", stepdown=6.5)
    outcome = Pipeline([MergeStepdowns(), SpareTopEdge()]).run(Job("j", board, (path, other)), machine, check=True)
    finding = outcome.findings[0]
    assert (finding.severity, finding.toolpath) == ("warning", "plate")
    assert why in finding.what
    assert outcome.job.by_name["plate"].entry == path.entry
    assert ("other entry" in outcome.job.by_name) == (why != "no waste"), "round the whole board nothing is waste"


def test_it_is_found_by_its_name_and_belongs_to_the_standard() -> None:
    assert find_pass("spare_top_edge") is SpareTopEdge
    assert [step.name for step in standard_passes()][:2] == ["merge_stepdowns", "spare_top_edge"]


def test_an_open_cut_is_told(cut: Cut, board: Stock, machine: Machine) -> None:
    line = Curve.polyline([(20, 20), (120, 20)])

    def said(stepdown: float) -> list[str]:
        job = Job("j", board, (cut("edge", line, BIT, stepdown=stepdown, role="slot"),))
        return [finding.what for finding in SpareTopEdge()(job, machine).findings]

    assert "its first level is no deeper than the tip" in said(3.0)[0]
    assert said(7.0) == []


def test_an_edge_that_is_torn_more_breaks_its_promise(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    job = spared(Job("j", board, (cut("plate", ring(17, 17, 86, 56), BIT, role="outline", stepdown=6.5),)), machine)
    plate = job.by_name["plate"]
    assert plate.levels is not None
    spoiled = dataclasses.replace(plate, levels=(board.highest_top - 3.0, *plate.levels))
    after = job.with_toolpaths((job.toolpaths[0], spoiled))
    assert [p.name for p in SpareTopEdge.promises if p(job, after)] == ["no top edge is torn more than before"]


def test_a_first_level_that_must_be_deeper_goes_beyond_the_tip(
    cut: Cut, ring: Ring, board: Stock, machine: Machine
) -> None:
    """From 13 mm down to 0.25 mm, steps of 6 mm at most make three of 4.25. The thinnest board's top is 1 mm lower:
    there a tip of 4 mm is through 5 mm below the highest top, and the first level goes half a millimetre deeper."""
    job = Job("j", board, (cut("plate", ring(17, 17, 86, 56), BIT, role="outline", stepdown=6.0),))
    levels = spared(job, machine).by_name["plate"].levels
    assert levels is not None
    assert levels[0] == pytest.approx(board.highest_top - 5.5)
    assert np.diff(levels).min() >= -6.0


def test_asking_twice_bores_once(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    job = Job("j", board, (cut("plate", ring(17, 17, 86, 56), BIT, role="outline", stepdown=6.5),))
    once = spared(job, machine)
    assert spared(once, machine) == once
    assert len(once.toolpaths) == 2


def test_other_bits_are_left_alone(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    job = Job("j", board, (cut("plate", ring(17, 17, 86, 56), role="outline"),))
    merged = MergeStepdowns()(job, machine).job
    assert SpareTopEdge()(merged, machine).job is merged
