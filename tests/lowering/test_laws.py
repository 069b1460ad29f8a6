"""Laws that hold whatever is cut: slope, bite, depth, tabs, and where rapids may go.

The law of ramps is judged by the wood that is removed at each place, not by the spacing of levels. Angles of 2-5° and
bites up to one diameter are common practice (no single source); drop = length × tan α is plane geometry.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from pathkit.errors import Refused
from pathkit.lowering.lower import lower
from pathkit.machine.profile import Machine
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Entry, Helix, Plunge, Ramp, Spiral, Tab, Toolpath
from pathkit.motion.program import ARC, RAPID, Program

STOCK = Stock(300.0, 200.0, 18.0, z_zero="bed", thickness_tolerance=0.5)
BLUNT = Tool("6 mm flat", 6.0)
SHARP = Tool("6 mm upcut", 6.0, centre_cutting=True)
# The plunge feed is so low that it slows most ramps down.
CUTTING = Cutting(feed=2000.0, plunge=80.0, spindle=18000.0)
QUARTER = math.pi / 2
GRAIN = 0.4
"""mm between the places along a curve where wood is measured; the walk takes steps half as long."""


def rounded(width: float, depth: float, radius: float, ccw: bool = True) -> Curve:
    x, y, r = 60.0, 60.0, radius
    points = [
        [x + r, y], [x + width - r, y], [x + width, y + r], [x + width, y + depth - r],
        [x + width - r, y + depth], [x + r, y + depth], [x, y + depth - r], [x, y + r],
    ]  # fmt: skip
    return Curve(points if ccw else points[::-1], [0.0, QUARTER if ccw else -QUARTER] * 4, closed=True)


@st.composite
def closed_cuts(draw: st.DrawFn) -> Toolpath:
    width, depth = draw(st.floats(40.0, 120.0)), draw(st.floats(40.0, 80.0))
    curve = rounded(width, depth, draw(st.floats(1.0, 15.0)), draw(st.booleans()))
    tool = draw(st.sampled_from([BLUNT, SHARP]))
    angle = draw(st.floats(1.0, 12.0))
    entries: list[Entry] = [Spiral(angle), Ramp(angle), *([Plunge()] if tool.plunges else [])]
    entry = draw(st.sampled_from(entries))
    count = draw(st.integers(0, 3))
    width_of_tab, height = draw(st.floats(2.0, 6.0)), draw(st.floats(0.5, 10.0))
    first = draw(st.floats(0.0, 1.0, exclude_max=True)) * curve.length
    tabs = tuple(Tab((first + i * curve.length / count) % curve.length, width_of_tab, height) for i in range(count))
    return Toolpath(
        "closed", curve, tool, CUTTING, bottom=draw(st.floats(0.0, 10.0)), stepdown=draw(st.floats(1.0, 8.0)),
        entry=entry, tabs=tabs, role="outline", start=draw(st.floats(0.0, 1.0, exclude_max=True)) * curve.length,
    )  # fmt: skip


@st.composite
def open_cuts(draw: st.DrawFn) -> Toolpath:
    length = draw(st.floats(10.0, 150.0))
    points = [[60.0, 60.0], [60.0 + length, 60.0], [60.0 + length, 60.0 + draw(st.floats(5.0, 60.0))]]
    curve = Curve(points, [0.0, draw(st.sampled_from([0.0, 1.0, -2.0]))])
    tool = draw(st.sampled_from([BLUNT, SHARP]))
    entries: list[Entry] = [Ramp(draw(st.floats(1.0, 12.0))), *([Plunge()] if tool.plunges else [])]
    entry = draw(st.sampled_from(entries))
    reversible = draw(st.booleans())
    return Toolpath(
        "open", curve, tool, CUTTING, bottom=draw(st.floats(0.0, 16.0)), stepdown=draw(st.floats(1.0, 8.0)),
        entry=entry, role="slot", reversible=reversible, backward=reversible and draw(st.booleans()),
    )  # fmt: skip


def lowered(toolpath: Toolpath, machine: Machine) -> Program:
    return lower(Job("one cut", STOCK, (toolpath,)), machine)


def lowered_or_refused(toolpath: Toolpath, machine: Machine) -> Program | Refused:
    try:
        return lowered(toolpath, machine)
    except Refused as refused:
        return refused


def check_refusal(toolpath: Toolpath, refused: Refused) -> None:
    """A generated cut may be refused only for its tabs; the refusal names the cut and a remedy."""
    assert near_a_tab(toolpath) or tabs_crowd(toolpath), refused
    assert all(f.toolpath == "closed" and f.fix for f in refused.findings)


def near_a_tab(toolpath: Toolpath) -> bool:
    """Whether the start lies so near a tab that refusing it is right: in its gap, or a ramp's shortest leg before."""
    length = toolpath.curve.length
    for tab in toolpath.tabs:
        ahead = (tab.at - toolpath.start) % length
        # On a bent stretch the gap is longer than its chord.
        half = 0.75 * (tab.width + toolpath.tool.diameter)
        leg = toolpath.tool.diameter if isinstance(toolpath.entry, Ramp) else 0.0
        if ahead < half + leg or length - ahead < half:
            return True
    return False


def tabs_crowd(toolpath: Toolpath) -> bool:
    gap = 1.5 * (toolpath.tabs[0].width + toolpath.tool.diameter) if toolpath.tabs else 0.0
    return len(toolpath.tabs) * (gap + 6.0) > toolpath.curve.length


def sine_of_rows(program: Program) -> NDArray[np.float64]:
    """Sine of each cutting row's slope: 0 where it does not fall, 1 where it falls vertically."""
    flat = np.hypot(*(program.end[1:, :2] - program.end[:-1, :2]).T)
    arcs = program.kind[1:] == ARC
    radius = np.hypot(*(program.end[1:, :2] - program.centre[1:]).T)
    flat = np.where(arcs, radius * np.abs(program.sweep[1:]), flat)
    fall = program.end[:-1, 2] - program.end[1:, 2]
    with np.errstate(invalid="ignore"):
        sine = np.where(fall > 1e-9, fall / np.hypot(flat, fall), 0.0)
    return np.concatenate([[0.0], np.where(program.kind[1:] == RAPID, 0.0, sine)])


def stations_of(toolpath: Toolpath, place: NDArray[np.float64]) -> NDArray[np.int64]:
    """For each place, the index of the nearest sample of the curve."""
    distance, index = cKDTree(samples(toolpath)).query(place[:, :2])
    assert np.max(distance) < GRAIN, "a cut along a curve stays on it"
    return np.asarray(index, np.int64)


def samples(toolpath: Toolpath) -> NDArray[np.float64]:
    curve = toolpath.curve
    count = math.ceil(curve.length / GRAIN)
    return np.array([curve.at(curve.length * i / count) for i in range(count + (not curve.closed))])


def check_laws(toolpath: Toolpath, program: Program, walked: Callable[..., Any]) -> NDArray[np.float64]:
    """Checks slope, bite, feeds and rapids; returns the height of the floor at the curve's samples."""
    tool, entry = toolpath.tool, toolpath.entry
    angle = entry.angle if isinstance(entry, Ramp | Spiral) else 3.0
    sine = sine_of_rows(program)
    vertical = sine > 0.999
    falling = (sine > 0.0) & ~vertical
    assert sine[falling].max(initial=0.0) <= math.sin(math.radians(angle)) + 1e-6
    fall_rate = sine * np.nan_to_num(program.feed)
    assert fall_rate.max() <= CUTTING.plunge + 1e-6

    way = walked(program, GRAIN / 2)
    wood, bottom, stepdown = STOCK.highest_top, toolpath.bottom, toolpath.stepdown
    assert bottom is not None
    assert stepdown is not None
    assert way.place[:, 2].min() >= bottom - 1e-9
    station = np.full(len(way.place), -1)
    low = way.place[:, 2] < wood + 0.5
    station[low] = stations_of(toolpath, way.place[low])
    floor = np.full(len(samples(toolpath)), wood)
    resolution = 2 * GRAIN * math.tan(math.radians(angle)) + 1e-6
    for (_, _, z), row, begin, at in zip(way.place, way.row, way.begin, station, strict=True):
        if at < 0:
            continue
        removed = floor[at] - z
        if program.kind[row] == RAPID:
            assert removed <= 1e-9, "no rapid goes through wood"
        elif vertical[row]:
            assert removed <= (stepdown + 1e-6 if tool.plunges else resolution + 1e-6)
        elif not begin:
            limit = min(stepdown, wood - bottom)
            assert removed <= limit + resolution, f"row {row} removes {removed:.3f} mm of {limit:.3f} mm"
        floor[at] = min(floor[at], z)
    return floor


@given(data=st.data())
def test_a_closed_cut_keeps_slope_bite_depth_and_tabs(
    data: st.DataObject, machine: Machine, walked: Callable[..., Any]
) -> None:
    toolpath = data.draw(closed_cuts())
    program = lowered_or_refused(toolpath, machine)
    if isinstance(program, Refused):
        check_refusal(toolpath, program)
        return
    floor = check_laws(toolpath, program, walked)
    length, bottom = toolpath.curve.length, toolpath.bottom
    assert bottom is not None
    station = np.arange(len(floor)) / len(floor) * length
    clear = np.ones(len(floor), bool)
    for tab in toolpath.tabs:
        along = np.abs(station - tab.at)
        along = np.minimum(along, length - along)
        top = min(STOCK.underside + tab.height, STOCK.highest_top)
        gap = tab.width + toolpath.tool.diameter
        assert floor[along < gap / 2 - GRAIN].min() >= max(top, bottom) - 1e-9, "the tab stands"
        # On a bend the gap is longer than its chord.
        clear &= along > 0.75 * gap
    assert floor[clear].max(initial=bottom) <= bottom + 1e-6, "the rest reaches its bottom"


@given(data=st.data())
def test_an_open_cut_keeps_slope_bite_and_depth(
    data: st.DataObject, machine: Machine, walked: Callable[..., Any]
) -> None:
    toolpath = data.draw(open_cuts())
    program = lowered(toolpath, machine)
    floor = check_laws(toolpath, program, walked)
    assert toolpath.bottom is not None
    assert floor.max() <= toolpath.bottom + 1e-6


@given(data=st.data())
def test_a_spiral_always_goes_down_except_over_tabs(
    data: st.DataObject, machine: Machine, walked: Callable[..., Any]
) -> None:
    toolpath = data.draw(closed_cuts().filter(lambda t: isinstance(t.entry, Spiral)))
    program = lowered_or_refused(toolpath, machine)
    if isinstance(program, Refused):
        check_refusal(toolpath, program)
        return
    cutting = np.flatnonzero(program.kind != RAPID)
    z = program.end[cutting, 2]
    last = program.level[cutting].max()
    assert np.all(z[program.level[cutting] == last] >= toolpath.bottom)
    rises = np.flatnonzero(np.diff(z) > 1e-9)
    tops = [STOCK.underside + tab.height for tab in toolpath.tabs]
    for k in rises:
        assert any(math.isclose(z[k + 1], min(top, STOCK.highest_top), abs_tol=1e-6) for top in tops)
    if not len(rises):
        laps = program.level[cutting]
        # Each lap but the last falls throughout; the last is flat and cleans the ramp.
        assert np.all(np.diff(z)[(laps[1:] < last)] < 0.0)
        assert np.ptp(z[laps == last]) == 0.0


@pytest.mark.parametrize("tool", [BLUNT, SHARP])
@pytest.mark.parametrize("entry", [Spiral(3.0), Ramp(3.0)])
def test_a_tab_leaves_its_width_of_wood(tool: Tool, entry: Any, machine: Machine, walked: Callable[..., Any]) -> None:
    """Shapely (GEOS) judges the swept area on a straight stretch: 6 mm asked for, 6 mm left."""
    import shapely

    curve = rounded(100.0, 60.0, 8.0)
    toolpath = Toolpath(
        "tabbed", curve, tool, CUTTING, bottom=0.0, stepdown=4.0, entry=entry, tabs=(Tab(42.0, 6.0, 3.0),)
    )
    way = walked(lowered(toolpath, machine), 0.5)
    deep = way.place[way.place[:, 2] < STOCK.underside + 3.0 - 1e-6]
    swept = shapely.union_all(shapely.buffer(shapely.points(deep[:, :2]), tool.radius, quad_segs=64))
    x, y = curve.at(42.0)
    wood = shapely.box(x - 20.0, y - tool.radius, x + 20.0, y + tool.radius).difference(swept)
    left, _, right, _ = shapely.LineString([(x - 20.0, y), (x + 20.0, y)]).intersection(wood).bounds
    assert right - left == pytest.approx(6.0, abs=2e-3)
    assert (left + right) / 2 == pytest.approx(x, abs=2e-3)


@pytest.mark.parametrize("at", [88.0, 95.0, 20.0])
def test_a_tab_on_a_bend_is_nowhere_narrower(at: float, machine: Machine, walked: Callable[..., Any]) -> None:
    """Shapely measures the wood between the discs on both sides of the gap: never less than asked, on any stretch."""
    import shapely

    curve = rounded(100.0, 60.0, 14.0)
    tabs = (Tab(at, 5.0, 3.0),)
    toolpath = Toolpath("bent", curve, SHARP, CUTTING, bottom=0.0, stepdown=6.0, tabs=tabs, start=200.0)
    way = walked(lowered(toolpath, machine), 0.5)
    deep = way.place[way.place[:, 2] < STOCK.underside + 3.0 - 1e-6]
    station = stations_of(toolpath, deep) * curve.length / len(samples(toolpath))
    before = shapely.MultiPoint(deep[(station < at) & (station > at - 60.0)][:, :2]).buffer(3.0, quad_segs=64)
    behind = shapely.MultiPoint(deep[(station > at) & (station < at + 60.0)][:, :2]).buffer(3.0, quad_segs=64)
    assert 5.0 - 1e-3 <= before.distance(behind) <= 5.0 + 0.01


@pytest.mark.parametrize("start", [0.0, 55.0, 150.0])
def test_tabs_stay_at_their_place_whatever_the_start(
    start: float, machine: Machine, walked: Callable[..., Any]
) -> None:
    curve, tabs = rounded(100.0, 60.0, 8.0), (Tab(30.0, 6.0, 3.0),)
    toolpath = Toolpath("t", curve, BLUNT, CUTTING, bottom=0.0, stepdown=4.0, entry=Spiral(4.0), tabs=tabs, start=start)
    way = walked(lowered(toolpath, machine))
    near = np.hypot(*(way.place[:, :2] - curve.at(30.0)).T) < 5.9
    assert way.place[near, 2].min() == pytest.approx(3.0)


def test_tabs_stay_at_their_place_on_the_way_back(machine: Machine, walked: Callable[..., Any]) -> None:
    curve, tabs = Curve([[60.0, 60.0], [160.0, 60.0]]), (Tab(30.0, 6.0, 3.0),)
    toolpath = Toolpath("t", curve, BLUNT, CUTTING, bottom=0.0, stepdown=3.0, entry=Ramp(4.0), tabs=tabs, backward=True)
    program = lowered(toolpath, machine)
    way = walked(program)
    near = np.abs(way.place[:, 0] - 90.0) < 5.9
    assert way.place[near, 2].min() == pytest.approx(3.0)
    assert program.end[1, :2] == pytest.approx([160.0, 60.0])


RASTER = Curve(
    [[x, y] for i, y in enumerate(np.arange(60.0, 85.0, 2.0)) for x in ((60, 100) if i % 2 == 0 else (100, 60))]
)


@given(angle=st.floats(1.0, 20.0), diameter=st.floats(1.0, 6.0), stepdown=st.floats(1.0, 8.0))
def test_a_helix_stays_within_what_the_pocket_sweeps(
    angle: float, diameter: float, stepdown: float, machine: Machine
) -> None:
    """Judged by shapely (GEOS); pitch ≤ π d tan α is the helix unrolled."""
    import shapely

    toolpath = Toolpath("pocket", RASTER, BLUNT, CUTTING, bottom=8.0, stepdown=stepdown, entry=Helix(angle, diameter),
                        role="pocket")  # fmt: skip
    program = lowered(toolpath, machine)
    arcs = np.flatnonzero(program.kind == ARC)
    assert len(arcs)
    swept = shapely.LineString(RASTER.points).buffer(3.0)
    for row in arcs:
        pitch = program.end[row - 1, 2] - program.end[row, 2]
        assert 0.0 <= pitch <= min(math.pi * diameter * math.tan(math.radians(angle)), stepdown) + 1e-9
        disc = shapely.Point(program.centre[row]).buffer(diameter / 2 + 3.0)
        assert disc.difference(swept.buffer(0.02)).is_empty
        assert math.hypot(*(program.end[row, :2] - program.centre[row])) == pytest.approx(diameter / 2)
    # One flat turn at each level's bottom leaves no ramp.
    flat = [row for row in arcs if program.end[row - 1, 2] == program.end[row, 2]]
    assert {round(float(program.end[row, 2]), 6) for row in flat} == {round(z, 6) for z in toolpath.depths(STOCK)}
