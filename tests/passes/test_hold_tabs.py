"""Tabs: where they stand, and how much wood the bit really leaves."""

from __future__ import annotations

import dataclasses
import math
from itertools import pairwise, product
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
import shapely

from pathkit.curves.alike import lap_of
from pathkit.errors import InputError, PassRefused
from pathkit.lowering.lower import lower
from pathkit.machine.profile import Machine
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Entry, Plunge, Ramp, Spiral, Tab, Toolpath
from pathkit.operations import contour, rectangle, slot
from pathkit.operations.offset import swept_rings
from pathkit.passes.hold_tabs import HoldTabs
from pathkit.passes.pipeline import Pipeline
from pathkit.registry import load_machine
from tests.how_long import usually

MACHINE = load_machine("grbl-front-left")

if TYPE_CHECKING:
    from tests.passes.conftest import Cut, Ring, Swept


SHAPES = {
    "rectangle": Curve.polyline([(20, 20), (120, 20), (120, 80), (20, 80)], closed=True),
    "clockwise": Curve.polyline([(20, 80), (120, 80), (120, 20), (20, 20)], closed=True),
    "rounded": Curve(
        [(30, 20), (110, 20), (120, 30), (120, 70), (110, 80), (30, 80), (20, 70), (20, 30)],
        closed=True,
        sweeps=[0.0, math.pi / 2] * 4,
    ),
    "circle": Curve.circle((80, 80), 25.0),
    "small circle": Curve.circle((80, 80), 16.0, ccw=False),
    "half moon": Curve([(40, 40), (120, 40)], closed=True, sweeps=[0.0, math.pi]),
    "chords": Curve.polyline(
        [(80 + 30 * math.cos(a), 80 + 30 * math.sin(a)) for a in np.arange(60) * math.pi / 30], closed=True
    ),
    "pieced rectangle": Curve.polyline(
        [(20, 20), (50, 20), (70, 20), (120, 20), (120, 80), (70, 80), (20, 80), (20, 50)], closed=True
    ),
    "triangle": Curve.polyline([(20, 20), (140, 20), (60, 90)], closed=True),
}


def hold(job: Job, machine: Machine, **options: Any) -> Job:
    return Pipeline([HoldTabs(**options)]).run(job, machine, check=True).job


ENTRIES: dict[str, Entry] = {"plunge": Plunge(), "ramp": Ramp(3.0), "spiral": Spiral(3.0)}
PAIRS = [(shape, entry, (m + k) % 2 == 0) for m, shape in enumerate(SHAPES) for k, entry in enumerate(ENTRIES)]
"""Any two values of two of these stand together in at least one case."""


@pytest.mark.parametrize(("shape", "way_in", "plunges"), usually(PAIRS, of=product(SHAPES, ENTRIES, (True, False))))
def test_the_wood_left_is_as_wide_as_asked(
    cut: Cut, board: Stock, machine: Machine, swept_below: Swept, shape: str, way_in: str, plunges: bool
) -> None:
    """Least width by shapely, from what the lowered program sweeps below the tabs' tops."""
    entry = ENTRIES[way_in]
    if isinstance(entry, Plunge) and not plunges:
        entry = Ramp(5.0)
    tool = Tool("6 mm", 6.0, centre_cutting=plunges)
    job = Job("j", board, (cut("part", SHAPES[shape], tool, role="outline", entry=entry),))
    for count in (2, 3):
        if shape == "small circle" and count == 3:
            continue
        held = hold(job, machine, count=count, width=6.0, height=3.0)
        program = lower(held, machine)
        top = board.underside + 3.0
        swept = swept_below(program, tool.radius, top)
        stretches = list(shapely.get_parts(swept))
        assert len(stretches) == count, "the groove below the tabs is in as many pieces as there are tabs"
        for k, one in enumerate(stretches):
            for other in stretches[k + 1 :]:
                assert one.distance(other) >= 6.0 - 0.01
        # Above the tabs the groove is not interrupted.
        assert len(shapely.get_parts(swept_below(program, tool.radius, top + 0.5))) == 1
        # Nothing goes lower at the tabs than their tops.
        for tab in held.toolpaths[0].tabs:
            assert not swept.intersects(shapely.Point(held.toolpaths[0].curve.at(tab.at)))


@pytest.mark.parametrize("shape", ["rectangle", "clockwise", "rounded", "pieced rectangle"])
def test_two_tabs_stand_opposite_in_the_middle_of_the_long_sides(
    cut: Cut, board: Stock, machine: Machine, shape: str
) -> None:
    held = hold(Job("j", board, (cut("part", SHAPES[shape], role="outline"),)), machine)
    places = sorted(tuple(np.round(SHAPES[shape].at(tab.at), 1)) for tab in held.toolpaths[0].tabs)
    assert np.array(places) == pytest.approx(np.array([(70.0, 20.0), (70.0, 80.0)]), abs=2.0)


@pytest.mark.parametrize("shape", ["rectangle", "rounded", "half moon", "triangle"])
@pytest.mark.parametrize("start", [0.0, 33.0, 100.0])
def test_they_keep_clear_of_corners_and_of_the_entry(
    cut: Cut, board: Stock, machine: Machine, shape: str, start: float
) -> None:
    curve = SHAPES[shape]
    path = cut("part", curve, role="outline", start=start, entry=Ramp(5.0))
    held = hold(Job("j", board, (path,)), machine).toolpaths[0]
    half = (6.0 + 6.0) / 2.0
    corners = [s for s, sweep in zip(curve.spans.station, curve.spans.sweep, strict=False) if not curve.sweeps.any()]
    for tab in held.tabs:
        assert (tab.at - start) % curve.length >= half + 3.0 - 1e-6
        assert (start - tab.at) % curve.length >= half + 3.0 - 1e-6
        for corner in corners:
            away = abs(tab.at - corner) % curve.length
            assert min(away, curve.length - away) >= half + 3.0 - 1e-6


def test_only_through_cuts_of_the_roles_and_none_twice(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    own = (Tab(50.0, 10.0, 2.0),)
    paths = (
        cut("through", ring(10, 10, 80, 50), role="outline"),
        cut("recess", ring(110, 10, 80, 50), role="outline", bottom=4.0),
        cut("other role", ring(210, 10, 80, 50), role="cut"),
        cut("has its own", ring(10, 110, 80, 50), role="outline", tabs=own),
    )
    held = hold(Job("j", board, paths), machine)
    assert [len(p.tabs) for p in held.toolpaths] == [2, 0, 0, 1]
    assert held.toolpaths[3].tabs == own


def test_contours_too_small_are_refused_all_by_name(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    paths = (
        cut("washer", Curve.circle((50, 50), 5.0), role="outline"),
        cut("stick", ring(100, 10, 13, 12), role="outline"),
        cut("plate", ring(200, 10, 80, 50), role="outline"),
    )
    with pytest.raises(PassRefused) as refused:
        hold(Job("j", board, paths), machine)
    assert [f.toolpath for f in refused.value.findings] == ["washer", "stick"]
    assert "no room for 2 tabs" in refused.value.findings[0].what


def test_tabs_as_high_as_the_board_are_refused(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    job = Job("j", board, (cut("plate", ring(10, 10, 80, 50), role="outline"),))
    with pytest.raises(PassRefused, match="would leave it uncut"):
        hold(job, machine, height=12.5)


def test_copies_are_held_alike(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    paths = tuple(cut(f"plate {k}", ring(10 + 100 * k, 10, 80, 50, 6), role="outline") for k in range(3))
    held = hold(Job("j", board, paths), machine)
    assert len({p.tabs for p in held.toolpaths}) == 1


@pytest.mark.parametrize(
    "options", [{"count": 0}, {"count": 1.5}, {"width": 0.0}, {"height": math.nan}, {"roles": ("outlin",)}]
)
def test_impossible_options_are_refused(options: dict[str, Any]) -> None:
    with pytest.raises(InputError, match="HoldTabs"):
        HoldTabs(**options)


def test_a_tab_is_wood_above_the_underside_whatever_lies_under_it(
    cut: Cut, ring: Ring, board: Stock, machine: Machine
) -> None:
    for underlay in (0.5, 3.0):
        stock = dataclasses.replace(board, underlay=underlay)
        path = cut("plate", ring(10, 10, 80, 50), role="outline", bottom=stock.underside - 0.25, entry=Spiral(3.0))
        program = lower(hold(Job("j", stock, (path,)), machine), machine)
        levels = {round(float(z), 6) for z in program.end[:, 2]}
        assert round(stock.underside + 3.0, 6) in levels


def test_tabs_higher_than_the_thinnest_board_are_refused(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    """12 ± 0.5 mm on 3 ± 0.4 mm, zero on the bed: from 3.4 up to 14.1 mm there are 10.7 mm of wood at least."""
    stock = dataclasses.replace(board, thickness=12.0, z_zero="bed", thickness_tolerance=0.5, underlay=3.0,
                                underlay_tolerance=0.4)  # fmt: skip
    job = Job("j", stock, (cut("part", ring(10, 10, 80, 50), role="outline", bottom=2.3),))
    with pytest.raises(PassRefused, match=r"10\.7 mm of wood \(the least allowed\)"):
        hold(job, machine, height=10.7)
    assert hold(job, machine, height=10.6).toolpaths[0].tabs


COMB = Curve.polyline(
    [(20, 20), (110, 20), (110, 40), (104, 40), (104, 120), (98, 120), (98, 40), (70, 40), (70, 80), (64, 80), (64, 40),
     (30, 40), (30, 110), (24, 110), (24, 40), (20, 40)], closed=True,
)  # fmt: skip


@pytest.mark.parametrize("grain", [0.0, 90.0])
def test_tabs_stand_on_the_wide_base_and_not_on_thin_fingers(grain: float) -> None:
    bit, feeds = Tool("4 mm", 4.0, centre_cutting=True), Cutting(feed=1000.0, plunge=300.0, spindle=16000.0)
    stock = Stock(200.0, 200.0, 9.0, underlay=3.0, grain=grain)
    job = Job("j", stock, contour("comb", COMB, bit, feeds, bottom=stock.through()))
    (path,) = hold(job, MACHINE).toolpaths
    base = shapely.box(20.0, 20.0, 110.0, 40.0)
    for tab in path.tabs:
        assert base.distance(shapely.Point(path.curve.at(tab.at))) == pytest.approx(2.0, abs=0.01)


def test_tabs_stand_on_edges_along_the_grain() -> None:
    bit, feeds = Tool("6 mm", 6.0, centre_cutting=True), Cutting(feed=1000.0, plunge=300.0, spindle=16000.0)
    for grain, along in ((0.0, 0), (90.0, 1)):
        stock = Stock(200.0, 200.0, 12.0, underlay=3.0, grain=grain)
        job = Job("j", stock, contour("plate", rectangle((40, 40), 90, 90), bit, feeds, bottom=stock.through()))
        (path,) = hold(job, MACHINE).toolpaths
        for tab in path.tabs:
            step = path.curve.at(tab.at + 0.1) - path.curve.at(tab.at - 0.1)
            assert abs(step[along]) == pytest.approx(0.2)


@pytest.mark.parametrize("lead", [2.0, 6.0, 12.0])
def test_no_tab_stands_where_a_lead_passes(lead: float) -> None:
    bit, feeds = Tool("6 mm", 6.0, centre_cutting=True), Cutting(feed=1000.0, plunge=300.0, spindle=16000.0)
    stock = Stock(200.0, 200.0, 12.0, underlay=3.0)
    (oval,) = swept_rings(Curve.polyline([(60, 100), (100, 100)]), 30.0)
    job = Job("j", stock, contour("oval", oval, bit, feeds, bottom=stock.through(), lead=lead))
    (path,) = hold(job, MACHINE).toolpaths
    lap = lap_of(path.curve)
    assert lap is not None
    for low, high in ((0.0, lap.low), (lap.high + lap.over, path.curve.length)):
        swept = shapely.LineString([path.curve.at(float(s)) for s in np.linspace(low, high, 60)]).buffer(3.0)
        for tab in path.tabs:
            stub = shapely.LineString([path.curve.at(tab.at + s) for s in np.linspace(-3.0, 3.0, 20)])
            assert stub.buffer(3.0, cap_style="flat").distance(swept) > 0.0


def test_no_tab_stands_where_another_cut_of_the_part_runs_through() -> None:
    bit, feeds = Tool("6 mm", 6.0, centre_cutting=True), Cutting(feed=1000.0, plunge=300.0, spindle=16000.0)
    stock = Stock(200.0, 200.0, 12.0, underlay=3.0)
    notch = slot("notch", Curve.polyline([(85, 30), (85, 70)]), bit, feeds, bottom=stock.through(), part="plate")
    edge = contour("edge", rectangle((40, 40), 90, 60), bit, feeds, bottom=stock.through(), part="plate")
    held = hold(Job("j", stock, (*notch, *edge)), MACHINE).by_name["edge"]
    for tab in held.tabs:
        x, y = held.curve.at(tab.at)
        assert y > 60 or abs(x - 85) >= 6.0 + 3.0 - 0.01


def gaps(path: Toolpath) -> list[float]:
    """mm along a closed contour from each tab to the next."""
    at = sorted(tab.at for tab in path.tabs)
    return [b - a for a, b in pairwise([*at, at[0] + path.curve.length])]


def test_tabs_get_narrower_where_there_is_no_room(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    """A square of 17 mm, 6 mm bit: a tab of 6 mm asks 18 mm of a side, one of 4.5 mm has room."""
    small = cut("small", ring(50, 50, 17, 17, 0), role="outline")
    wide = cut("wide", ring(100, 50, 80, 80, 0), role="outline")
    passed = HoldTabs()(Job("j", board, (small, wide)), machine)
    narrow, usual = passed.job.toolpaths
    assert {tab.width for tab in narrow.tabs} == {4.5}
    assert {tab.width for tab in usual.tabs} == {6.0}
    (note,) = passed.findings
    assert note.toolpath == "small"
    assert "4.5 mm wide, since it has no room for 6 mm" in note.what
    assert note.severity == "note"
    with pytest.raises(PassRefused, match="no room for 2 tabs 6 mm wide"):
        HoldTabs(least_width=6.0)(Job("j", board, (small,)), machine)


def test_a_least_width_is_no_more_than_the_width() -> None:
    with pytest.raises(InputError, match="least_width"):
        HoldTabs(width=4.0, least_width=5.0)


def test_tabs_never_all_stand_on_one_quarter(cut: Cut, board: Stock, machine: Machine) -> None:
    """A paddle with a thin handle: both of the best places lie on its blade, and one must stand on the handle."""
    points = [[40.0, 40.0], [100.0, 40.0], [100.0, 88.0], [220.0, 88.0], [220.0, 97.0], [100.0, 97.0], [100.0, 100.0],
              [40.0, 100.0]]  # fmt: skip
    bit = Tool("2 mm", 2.0)
    path = cut("paddle", Curve(points, closed=True), tool=bit, role="outline")
    (held,) = HoldTabs()(Job("j", board, (path,)), machine).job.toolpaths
    assert len(held.tabs) == 2
    assert max(gaps(held)) <= 0.75 * held.curve.length


def test_both_tabs_are_not_on_the_tip_of_an_arrow(cut: Cut, board: Stock, machine: Machine) -> None:
    """Its shaft is thin all along, so that both of the places with the widest wood behind them lie at its head."""
    points = [[200.0, 20.0], [220.0, 35.0], [206.0, 35.0], [206.0, 125.0], [194.0, 125.0], [194.0, 35.0], [180.0, 35.0]]
    path = cut("arrow", Curve(points, closed=True), tool=Tool("2 mm", 2.0), role="outline")
    (held,) = HoldTabs()(Job("j", board, (path,)), machine).job.toolpaths
    assert len(held.tabs) == 2
    assert max(gaps(held)) <= 0.75 * held.curve.length


def test_each_piece_of_a_core_gets_its_tabs(cut: Cut, board: Stock, machine: Machine) -> None:
    """Two rooms with a neck between them that the bit fills: what stands in each is a piece of its own."""
    rooms = [[40.0, 40.0], [90.0, 40.0], [90.0, 62.0], [110.0, 62.0], [110.0, 40.0], [160.0, 40.0], [160.0, 90.0],
             [110.0, 90.0], [110.0, 68.0], [90.0, 68.0], [90.0, 90.0], [40.0, 90.0]]  # fmt: skip
    path = cut("rooms", Curve(rooms, closed=True), role="outline")
    (held,) = HoldTabs()(Job("j", board, (path,)), machine).job.toolpaths
    sides = [float(held.curve.at(tab.at)[0]) < 100.0 for tab in held.tabs]
    assert sorted(sides) == [False, False, True, True]
