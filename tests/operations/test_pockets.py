"""Leads, open sides, rings: judged by shapely from the swept area, and from what the lowered program does."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import unary_union

import pathkit as pk
from pathkit.curves.regions import area_of, rotated
from pathkit.errors import InputError
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Descend, Plunge, Ramp, Toolpath
from pathkit.motion.program import RAPID
from pathkit.operations import contour, part_of, pocket, rectangle, slot
from tests.swept import SLIVER, gouged, missed, swept

BIT = Tool("4 mm", 4.0, centre_cutting=True)
BLUNT = Tool("4 mm blunt", 4.0)
CUT = Cutting(feed=1800.0, plunge=500.0, spindle=16000.0)
FEWER = settings(max_examples=settings().max_examples * 2 // 5)  # each of them cuts a whole pocket, several times


@st.composite
def blobs(draw: st.DrawFn) -> Polygon:
    """The largest piece of boxes and discs that are joined or cut away again."""
    place, size = st.floats(0.0, 40.0), st.floats(6.0, 28.0)
    shapes = []
    for _ in range(draw(st.integers(1, 3))):
        x, y, w, h = draw(place), draw(place), draw(size), draw(size)
        shapes.append(box(x, y, x + w, y + h) if draw(st.booleans()) else Point(x, y).buffer(w / 2, quad_segs=24))
    area = unary_union(shapes)
    for _ in range(draw(st.integers(0, 2))):
        area = area.difference(Point(draw(place), draw(place)).buffer(draw(st.floats(1.0, 6.0)), quad_segs=16))
    assume(not area.is_empty)
    largest: Polygon = max(
        (p for p in getattr(area, "geoms", [area]) if p.geom_type == "Polygon"), key=lambda p: p.area
    )
    assume(largest.is_valid and not largest.buffer(-2.01).is_empty)
    return largest


def turns(curve: Curve) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Degrees by which the heading jumps at each inner vertex of an open curve."""
    spans = curve.spans
    chord = np.arctan2(*(spans.end - spans.start).T[::-1])
    jump = (chord[1:] - spans.sweep[1:] / 2) - (chord[:-1] + spans.sweep[:-1] / 2)
    return np.asarray(np.abs(np.degrees((jump + math.pi) % (2 * math.pi) - math.pi)))


@FEWER
@given(blobs(), st.sampled_from(["climb", "conventional"]), st.floats(0.5, 4.0), st.floats(0.0, 6.0))
def test_leads_gouge_nothing_and_meet_the_wall_along_its_tangent(
    shape: Polygon, direction: Any, lead: float, overlap: float
) -> None:
    options: dict[str, Any] = {"bottom": -4.0, "angle": 0.0, "direction": direction}
    plain = [p for p in pocket("p", shape, BIT, CUT, lead=0.0, **options) if p.role == "finish"]
    with_lead = [p for p in pocket("p", shape, BIT, CUT, lead=lead, overlap=overlap, **options) if p.role == "finish"]
    assert not gouged(with_lead, shape)
    assert len(with_lead) == len(plain)
    for one, other in zip(with_lead, plain, strict=True):
        if one.curve.closed:
            assert one.entry == Plunge()
            continue
        assert isinstance(one.entry, Ramp | Descend)
        assert one.entry.within is not None
        assert one.entry.within == pytest.approx(one.curve.spans.length[0])
        assert not one.may_reverse
        assert one.curve.length == pytest.approx(
            other.curve.length + min(overlap, other.curve.length / 4) + 2 * one.entry.within, abs=1e-6
        )
        jumps = turns(one.curve)
        assert jumps[0] < 1e-3, "on along the tangent"
        assert jumps[-1] < 1e-3, "off along the tangent"
        wall = LineString(np.vstack([other.curve.flattened(1e-4), other.curve.points[:1]]))
        assert wall.distance(Point(one.curve.points[0])) > 0.1, "the bit comes down beside the wall"
        assert wall.distance(Point(one.curve.points[-1])) > 0.1, "and goes up beside it"


@FEWER
@given(blobs(), st.sampled_from(["climb", "conventional"]), st.floats(0.5, 4.0))
def test_leads_of_outlines_stay_in_the_waste(shape: Polygon, direction: Any, lead: float) -> None:
    solid = Polygon(shape.exterior)
    paths = contour("o", solid, BIT, CUT, bottom=-4.0, direction=direction, lead=lead)
    assert swept(paths).intersection(solid).buffer(-SLIVER).is_empty
    outer = max(paths, key=lambda path: path.curve.length)
    assert not outer.curve.closed, "round the outside there is always room"
    plain = swept(contour("o", solid, BIT, CUT, bottom=-4.0, direction=direction))
    assert plain.difference(swept(paths)).buffer(-SLIVER).is_empty, "freed all round"


def test_a_lead_is_a_quarter_circle_and_the_overlap_is_run_twice() -> None:
    *_, wall = pocket("p", rectangle((0, 0), 44.0, 34.0, 6.0), BIT, CUT, bottom=-4.0, angle=0.0, overlap=3.0)
    curve = wall.curve
    assert curve.sweeps[[0, -1]].tolist() == pytest.approx([math.pi / 2] * 2), "the bit's radius, turning left"
    assert curve.points[0].tolist() == pytest.approx([20.0, 4.0])
    assert curve.points[1].tolist() == pytest.approx([22.0, 2.0]), "the middle of a long straight side"
    assert curve.points[-2].tolist() == pytest.approx([25.0, 2.0]), "3 mm beyond where it began"
    assert curve.points[-1].tolist() == pytest.approx([27.0, 4.0])
    assert np.count_nonzero(curve.sweeps) == 6, "the wall's four arcs are exact, and two leads"


def test_where_no_lead_has_room_the_ring_stays_closed() -> None:
    (wall,) = pocket("p", rectangle((0, 0), 40.0, 4.2, 2.1), BIT, CUT, bottom=-3.0, stepdown=1.0, angle=0.0)
    assert wall.curve.closed
    assert wall.entry == Plunge()


@pytest.mark.parametrize("bit", [BIT, BLUNT])
@pytest.mark.parametrize("tabs", [False, True])
def test_the_bit_goes_down_on_its_lead_alone_and_the_file_is_proved(bit: Tool, tabs: bool) -> None:
    stock = Stock(120.0, 90.0, 9.0, z_zero="bed", underlay=3.0)
    plate, recess = rectangle((20, 20), 80, 50, 8), rectangle((35, 30), 40, 28, 5)
    paths = (
        *pocket("recess", recess, bit, CUT, bottom=stock.top - 4, stepdown=2, stock=stock, part="plate"),
        *contour("outline", plate, bit, CUT, bottom=stock.underside - 0.3, stepdown=3, lead=3.0, part="plate"),
    )
    part = part_of("plate", plate, recesses=[(recess, stock.top - 4)])
    machine = pk.load_machine("grbl-front-left")
    passes: list[pk.Pass] = [
        pk.MergeStepdowns(),
        *([pk.HoldTabs()] if tabs else []),
        pk.RampEntries(),
        pk.OrderTravel(effort=0.1),
    ]
    job = pk.Pipeline(passes).run(Job("plate", stock, paths, parts=(part,)), machine, check=True).job
    program = pk.lower(job, machine)
    for name, ring in (("recess wall", rectangle((37, 32), 36, 24, 3)), ("outline", rectangle((18, 18), 84, 54, 10))):
        wall = LineString(np.vstack([ring.flattened(1e-4), ring.points[:1]]))
        mine = program.toolpath == program.names.index(name)
        falling = mine & (program.kind != RAPID) & (program.end[:, 2] < program.origins[:, 2] - 1e-6)
        falling &= program.end[:, 2] < stock.top
        assert falling.any()
        sideways = np.hypot(*(program.end - program.origins)[:, :2].T) > 1e-6
        for row in np.flatnonzero(falling & sideways):
            # Only behind a tab does the bit come down on the outline itself; elsewhere it comes down off the wall.
            on_wall = [wall.distance(Point(place[row, :2])) < 0.01 for place in (program.origins, program.end)]
            assert not all(on_wall) or (tabs and name == "outline")
    posted = pk.post(program, machine)
    proof = pk.verify(posted, program, machine, job=job)
    failed = {check.name for check in proof.checks if check.status == "failed"}
    assert failed <= (set() if tabs else {"holding"}), "without tabs the plate comes loose, and only that is found"


def test_an_open_side_is_run_past_and_has_no_wall() -> None:
    plate = rectangle((0, 0), 60.0, 40.0)
    recess = rectangle((0, 10), 25.0, 20.0, 0.0)
    paths = pocket("r", recess, BIT, CUT, bottom=-3.0, angle=90.0, open_edges=plate, wall_allowance=0.2)
    outside = box(-50, -50, 110, 90).difference(area_of((plate,)))
    opening = area_of((recess,))
    assert not gouged(paths, opening.union(outside))
    # The corners at the open side must be cut away completely.
    cleared = swept(paths)
    left = opening.difference(cleared)
    assert left.intersection(box(-1, 9, 20, 31)).buffer(-SLIVER).is_empty
    raster, wall = paths
    assert raster.curve.bounds[0] <= -BIT.radius, "past the edge by the bit's radius"
    assert not wall.curve.closed
    assert {wall.curve.points[0, 0] <= -BIT.radius, wall.curve.points[-1, 0] <= -BIT.radius} == {True}
    assert LineString(wall.curve.points).intersection(LineString([(0, 12.5), (0, 27.5)])).is_empty, "no pass along it"
    assert isinstance(wall.entry, Ramp)
    assert wall.entry.within is not None
    assert wall.entry.within >= BIT.radius


@given(
    st.floats(12.0, 30.0), st.floats(10.0, 30.0), st.floats(-5.0, 5.0), st.floats(-5.0, 5.0), st.integers(0, 3600),
    st.floats(0.0, 180.0), st.sampled_from(["rows", "rings"]), st.sampled_from(["climb", "conventional"]),
)  # fmt: skip
def test_open_trapezoids_are_gouge_free_and_complete(
    width: float, depth: float, lean: float, other: float, tenths: int, angle: float, style: Any, way: Any
) -> None:
    """The walls lean in or out; the open side is a straight line, and everything beyond it may be cut."""
    turn = tenths / 10.0
    ring = rotated(Curve([(0, 0), (width, 0), (width + lean, depth), (other, depth)], closed=True), turn)
    edge = rotated(Curve([(-90, 0), (90, 0)]), turn)
    beyond = Polygon(rotated(Curve([(-90, 0), (-90, -60), (90, -60), (90, 0)], closed=True), turn).points)
    paths = pocket("r", ring, BIT, CUT, bottom=-3.0, angle=angle, style=style, open_edges=[edge], direction=way)
    opening = Polygon(ring.points)
    assert not gouged(paths, opening.union(beyond.buffer(1e-6)))
    # The bit may run out over the open side, so its reach is judged on the region and all that lies beyond.
    walls = opening.union(beyond.buffer(1e-6))
    reachable = walls.buffer(-BIT.radius - 1e-4, quad_segs=48).buffer(BIT.radius, quad_segs=48).intersection(opening)
    assert reachable.difference(swept(paths)).buffer(-SLIVER).is_empty


@pytest.mark.parametrize("off", [-0.006, 0.0, 0.006])
def test_an_open_line_drawn_a_hair_off_opens_the_same_edge(off: float) -> None:
    recess = rectangle((0, 0), 30.0, 20.0)
    edge = Curve([(-off, 0.5 * off), (30 + off, -0.5 * off)])
    *_, wall = pocket("r", recess, BIT, CUT, bottom=-3.0, angle=0.0, open_edges=edge)
    low, high = wall.curve.bounds[1], wall.curve.bounds[3]
    assert (low, high) == pytest.approx((-2.205, 18.0))
    assert wall.curve.length == pytest.approx(2 * 20.205 + 26.0)


def test_a_part_of_an_edge_may_be_open() -> None:
    recess = rectangle((0, 0), 40.0, 20.0)
    paths = pocket("r", recess, BIT, CUT, bottom=-3.0, angle=0.0, open_edges=LineString([(10, 0), (30, 0)]))
    gap = box(10, -9, 30, 0)
    assert not gouged(paths, area_of((recess,)).union(gap))
    assert swept(paths).intersects(box(15, -3.9, 25, -3.0))


def test_arcs_stay_exact_and_a_round_rim_may_be_open() -> None:
    disc = Curve.circle((0, 0), 30.0)
    # A recess between two concentric arcs, open at the rim of the disc.
    half = 0.6
    low, high = (np.array([math.cos(a), math.sin(a)]) for a in (-half, half))
    recess = Curve([18 * low, 30 * low, 30 * high, 18 * high], [0.0, 2 * half, 0.0, -2 * half], closed=True)
    paths = pocket("r", recess, BIT, CUT, bottom=-3.0, angle=30.0, open_edges=disc)
    wall = paths[-1]
    assert np.count_nonzero(wall.curve.sweeps) == 1, "the inner wall is one arc"
    outside = Point(0, 0).buffer(90).difference(area_of((disc,)))
    assert not gouged(paths, area_of((recess,)).union(outside))


def test_open_edges_that_cannot_be_are_refused() -> None:
    square = rectangle((0, 0), 30.0, 30.0)
    with pytest.raises(InputError, match="no stretch of its edge"):
        pocket("p", square, BIT, CUT, bottom=-3.0, angle=0.0, open_edges=Curve([(-1, -1), (40, -1)]))
    with pytest.raises(InputError, match="an open edge is"):
        pocket("p", square, BIT, CUT, bottom=-3.0, angle=0.0, open_edges=Point(0, 0))
    hollow = Curve([(0, 0), (12, 0), (12, 22), (0, 22)], [-2.0, 0, 0, 0], closed=True)
    rim = Curve([(0, 0), (12, 0)], [-2.0])
    with pytest.raises(InputError, match="curves inward too tightly"):
        pocket("p", hollow, Tool("8", 8.0), CUT, bottom=-3.0, angle=0.0, open_edges=rim)
    notched = Polygon([(0, 0), (10, 6), (20, 0), (20, 30), (0, 30)])
    with pytest.raises(InputError, match="turns inward"):
        pocket("p", notched, BIT, CUT, bottom=-3.0, angle=0.0, open_edges=LineString([(0, 0), (10, 6), (20, 0)]))


def test_every_edge_may_be_open() -> None:
    square = rectangle((0, 0), 30.0, 20.0)
    paths = pocket("p", square, BIT, CUT, bottom=-3.0, angle=0.0, open_edges=square)
    assert [path.role for path in paths] == ["pocket"], "there is no wall to go round"
    assert swept(paths).contains(box(0, 0, 30, 20).buffer(-1e-6))


@FEWER
@given(blobs(), st.floats(0.2, 0.5), st.sampled_from(["climb", "conventional"]), st.floats(0.0, 0.5))
def test_rings_clear_the_floor_and_gouge_nothing(
    shape: Polygon, stepover: float, direction: Any, allowance: float
) -> None:
    paths = pocket(
        "p", shape, BIT, CUT, bottom=-4.0, stepover=stepover, style="rings", direction=direction,
        wall_allowance=allowance,
    )  # fmt: skip
    assert not gouged(paths, shape)
    assert not missed(paths, shape)
    floor = [path for path in paths if path.role == "pocket"]
    assert not floor or not gouged(floor, shape.buffer(-allowance + SLIVER)), "off the wall by the allowance"


def test_rings_of_a_plain_shape_are_one_cut_from_within() -> None:
    paths = pocket("p", rectangle((0, 0), 44.0, 30.0, 4.0), BIT, CUT, bottom=-4.0, style="rings")
    assert [path.name for path in paths] == ["p rings", "p wall"]
    rings = paths[0].curve
    assert not rings.closed
    assert not paths[0].may_reverse, "it cuts climb all the way"
    away = [box(0, 0, 44, 30).exterior.distance(Point(rings.at(s))) for s in np.linspace(0, rings.length, 200)]
    assert np.argmax(away) < 20
    assert away[-1] == pytest.approx(2.2, abs=0.01)


def test_rings_too_far_apart_are_refused() -> None:
    with pytest.raises(InputError, match=r"between the rings.*stepover = 0\.5 at most"):
        pocket("p", rectangle((0, 0), 44.0, 30.0), BIT, CUT, bottom=-4.0, style="rings", stepover=0.6)
    with pytest.raises(InputError, match="style is 'spiral'"):
        pocket("p", rectangle((0, 0), 44.0, 30.0), BIT, CUT, bottom=-4.0, style="spiral")  # type: ignore[arg-type]


def test_a_wide_slot_still_is_a_pocket_with_a_led_wall() -> None:
    *_, wall = slot("s", Curve.polyline([(0, 0), (40, 0)]), BIT, CUT, bottom=-3.0, width=12.0)
    assert isinstance(wall, Toolpath)
    assert not wall.curve.closed
