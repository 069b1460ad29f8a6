"""Operations gouge nothing and leave nothing, as shapely judges from the swept area; refusals name the shape.

The bit sweeps the buffer of its path. It may not leave the region that may be cut, and must clear all of the region
that a disc of the bit's size can reach (the region's morphological opening by that disc).
"""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import LineString, MultiPoint, Point, Polygon, box
from shapely.ops import unary_union

from pathkit.curves.regions import area_of
from pathkit.errors import InputError
from pathkit.model.curve import Curve
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Peck, Plunge
from pathkit.operations import contour, drill, obround, pocket, rectangle, slot
from pathkit.operations.contour import Direction
from tests.how_long import usually
from tests.swept import SLIVER, gouged, missed, swept

BIT = Tool("4 mm", 4.0, centre_cutting=True)
CUT = Cutting(feed=1800.0, plunge=500.0, spindle=16000.0)


@st.composite
def blobs(draw: st.DrawFn) -> Polygon:
    """Anything from a comb to a pebble: boxes and discs, some joined and some cut away."""
    # Below 1e-307 shapely itself divides by zero; which numbers are drawn depends on the modules that are loaded.
    place = st.floats(0.0, 50.0, allow_subnormal=False)
    size = st.floats(5.0, 30.0)
    shapes = []
    for _ in range(draw(st.integers(1, 4))):
        x, y, w, h = draw(place), draw(place), draw(size), draw(size)
        shapes.append(box(x, y, x + w, y + h) if draw(st.booleans()) else Point(x, y).buffer(w / 2, quad_segs=24))
    area = unary_union(shapes)
    for _ in range(draw(st.integers(0, 3))):
        area = area.difference(Point(draw(place), draw(place)).buffer(draw(st.floats(1.0, 6.0)), quad_segs=16))
    assume(not area.is_empty)
    parts = [part for part in getattr(area, "geoms", [area]) if part.geom_type == "Polygon"]
    largest: Polygon = max(parts, key=lambda part: part.area)
    assume(largest.is_valid and not largest.buffer(-2.01).is_empty)
    return largest


@given(blobs(), st.floats(0.0, 180.0), st.floats(0.2, 0.85))
def test_pockets_are_gouge_free_and_complete(shape: Polygon, angle: float, stepover: float) -> None:
    paths = pocket("p", shape, BIT, CUT, bottom=-4.0, angle=angle, stepover=stepover)
    assert not gouged(paths, shape)
    assert not missed(paths, shape)
    rasters = [path for path in paths if path.role == "pocket"]
    assert not rasters or not gouged(rasters, shape.buffer(-0.2 + SLIVER)), (
        "the raster keeps its distance from the wall"
    )


@given(blobs(), st.sampled_from(["climb", "conventional"]))
def test_contours_touch_the_part_and_never_cut_it(shape: Polygon, direction: Direction) -> None:
    solid = Polygon(shape.exterior)
    outside = contour("o", solid, BIT, CUT, bottom=-4.0, direction=direction)
    assert swept(outside).intersection(solid).buffer(-SLIVER).is_empty
    outer = max((path.curve for path in outside), key=lambda curve: abs(curve.area))
    assert (outer.area < 0) == (direction == "climb"), (
        "climb runs clockwise round what stays (references: common practice)"
    )
    inside = contour("i", shape, BIT, CUT, bottom=-4.0, side="inside", direction=direction)
    assert not gouged(inside, shape)
    inner = max((path.curve for path in inside), key=lambda curve: abs(curve.area))
    assert (inner.area > 0) == (direction == "climb")


def test_a_rounded_recess_keeps_exact_arcs() -> None:
    recess = rectangle((0, 0), 42.0, 30.0, 4.0)
    *rasters, wall = pocket("recess", recess, BIT, CUT, bottom=-4.0, angle=0.0, stepdown=2.0, lead=0.0)
    assert [path.name for path in rasters] == ["recess rows"], "a plain shape is one zigzag"
    assert wall.name == "recess wall"
    assert wall.role == "finish"
    assert wall.curve.area == pytest.approx(38.0 * 26.0 - (4.0 - math.pi) * 4.0)
    assert wall.curve.area > 0, "climb inside is counter-clockwise"
    assert np.count_nonzero(wall.curve.sweeps) == 4
    assert wall.stepdown is None, "only the allowance is left for it"
    assert rasters[0].stepdown == 2.0
    assert rasters[0].may_reverse
    assert pocket("r", recess, BIT, CUT, bottom=-4.0, angle=0.0, direction="conventional", lead=0.0)[-1].curve.area < 0


def test_the_raster_follows_the_grain() -> None:
    stock = Stock(100.0, 100.0, 9.0, grain=90.0)
    (raster, _) = pocket("p", rectangle((0, 0), 30.0, 30.0), BIT, CUT, bottom=-2.0, stock=stock)
    steps = np.abs(np.diff(raster.curve.points, axis=0))
    assert steps[steps[:, 1] > 5.0][:, 0].max() < 1e-6, "long strokes run along y"
    with pytest.raises(InputError, match="neither angle nor stock"):
        pocket("p", rectangle((0, 0), 30.0, 30.0), BIT, CUT, bottom=-2.0)


def test_islands_stand_and_a_peninsula_is_cut_off_the_region() -> None:
    frame = rectangle((0, 0), 60.0, 40.0, 4.0)
    islands = [Curve.circle((20.0, 20.0), 5.0), rectangle((35.0, -5.0), 8.0, 25.0, 2.0)]
    paths = pocket("p", frame, BIT, CUT, bottom=-4.0, angle=20.0, islands=islands)
    assert len([path for path in paths if path.role == "pocket"]) == 1, "the bit is not lifted between the islands"
    allowed = area_of((frame,)).difference(unary_union([area_of((island,)) for island in islands]))
    assert not gouged(paths, allowed)
    assert not missed(paths, allowed)


def test_a_neck_only_the_wall_pass_reaches_is_cut_level_by_level() -> None:
    neck = Polygon([(0, 0), (20, 0), (20, 8), (30, 8), (30, 0), (50, 0), (50, 20), (30, 20), (30, 12.2), (20, 12.2),
                    (20, 20), (0, 20)])  # fmt: skip
    paths = pocket("p", neck, BIT, CUT, bottom=-6.0, stepdown=2.0, angle=0.0)
    walls = [path for path in paths if path.role == "finish"]
    assert len(walls) == 1
    assert walls[0].stepdown == 2.0
    assert len([path for path in paths if path.role == "pocket"]) == 2
    assert not missed(paths, neck)


def test_a_pocket_just_as_wide_as_the_bit_is_one_way_there_and_back() -> None:
    shape = rectangle((0, 0), 40.0, 4.0)
    (wall,) = pocket("p", shape, BIT, CUT, bottom=-3.0, stepdown=1.0, angle=0.0)
    assert wall.curve.bounds == pytest.approx((2.0, 2.0, 38.0, 2.0))
    assert wall.stepdown == 1.0
    assert not gouged([wall], area_of((shape,)))


def test_a_slot_is_one_pass_or_a_pocket() -> None:
    line = Curve([(0, 0), (20, 0)], sweeps=[1.0])
    (single,) = slot("s", line, BIT, CUT, bottom=-3.0)
    assert (single.role, single.curve) == ("slot", line)
    assert slot("s", line, BIT, CUT, bottom=-3.0, width=4.0)[0].role == "slot"
    wide = slot("s", line, BIT, CUT, bottom=-3.0, width=9.0)
    area = LineString(line.flattened(1e-4)).buffer(4.5, quad_segs=64)
    assert not gouged(wide, area)
    assert not missed(wide, area)
    ring = slot("s", Curve.circle((0, 0), 20.0), BIT, CUT, bottom=-3.0, width=9.0)
    annulus = Point(0, 0).buffer(24.5, quad_segs=256).difference(Point(0, 0).buffer(15.5, quad_segs=256))
    assert not gouged(ring, annulus)
    assert not missed(ring, annulus)
    with pytest.raises(InputError, match=r"widest bit that fits has 3\.5 mm"):
        slot("s", line, BIT, CUT, bottom=-3.0, width=3.5)


def test_drills_are_one_toolpath_a_hole() -> None:
    holes = drill("hole", [(1.0, 2.0), (3.0, 4.0)], BIT, CUT, bottom=-9.0, peck=3.0, part="plate")
    assert [hole.name for hole in holes] == ["hole 1", "hole 2"]
    assert {hole.role for hole in holes} == {"drill"}
    assert holes[0].entry == Peck(3.0)
    assert holes[1].curve.points.tolist() == [[3.0, 4.0]]
    (single,) = drill("hole", Point(5, 6), BIT, CUT, bottom=-9.0)
    assert (single.name, single.entry) == ("hole", Plunge())
    assert len(drill("hole", MultiPoint([(0, 0), (1, 1)]), BIT, CUT, bottom=-1.0)) == 2
    with pytest.raises(InputError) as raised:
        drill("hole", [(0, 0), (0, 0), (math.nan, 1)], BIT, CUT, bottom=-9.0)
    assert {"hole 2", "hole 3"} == {finding.what[:6] for finding in raised.value.findings}, "all at once"


def test_a_part_with_a_hole_is_freed_from_within() -> None:
    washer = Point(0, 0).buffer(20).difference(Point(0, 0).buffer(8))
    hole, outer = contour("washer", washer, BIT, CUT, bottom=-9.0)
    assert hole.curve.area > 0 > outer.curve.area, "the hole first, both climb"
    with pytest.raises(InputError, match="a hole of it"):
        contour("washer", Point(0, 0).buffer(20).difference(Point(0, 0).buffer(1.5)), BIT, CUT, bottom=-9.0)


def test_on_the_line() -> None:
    line = Curve.polyline([(0, 0), (10, 0), (10, 10)])
    (path,) = contour("mark", line, BIT, CUT, bottom=-1.0, side="on")
    assert (path.curve, path.role) == (line, "cut")
    (closed,) = contour("mark", Curve.circle((0, 0), 5.0), BIT, CUT, bottom=-1.0, side="on")
    assert closed.curve.area < 0
    lines = contour(
        "mark", LineString([(0, 0), (5, 5)]).union(LineString([(9, 0), (9, 9)])), BIT, CUT, bottom=-1, side="on"
    )
    assert [path.name for path in lines] == ["mark 1", "mark 2"]


BOW_TIE = Polygon([(0, 0), (10, 10), (10, 0), (0, 10)])


@pytest.mark.parametrize(
    ("shape", "said"),
    [
        (rectangle((0, 0), 42.0, 3.5, 1.0), "widest bit that fits has 3.5 mm"),
        (Curve.circle((0, 0), 2.0), "as wide as the bit"),
        (BOW_TIE, "crosses itself"),
        (Curve.polyline(BOW_TIE.exterior.coords[:-1], closed=True), "crosses itself"),
        (Curve.polyline([(0, 0), (10, 0), (10, 10)]), "not a closed plane curve"),
        (Curve.polyline([(0, 0, 0), (10, 0, 0), (10, 10, 0)], closed=True), "not a closed plane curve"),
        (Curve.polyline([(0, 0), (10, 0)], closed=True), "encloses nothing"),
        (Polygon(), "is empty"),
        (Point(1, 1), "has no inside"),
        ("a square", "pass a Curve"),
    ],
)
def test_bad_shapes_are_refused_by_name(shape: Any, said: str) -> None:
    with pytest.raises(InputError, match=said) as raised:
        pocket("cable recess", shape, BIT, CUT, bottom=-3.0, angle=0.0)
    assert raised.value.findings[0].toolpath == "cable recess"


def test_bad_options_are_refused() -> None:
    square = rectangle((0, 0), 30.0, 30.0)
    with pytest.raises(InputError, match="leaves wood standing"):
        pocket("p", square, BIT, CUT, bottom=-3.0, angle=0.0, stepover=0.95)
    with pytest.raises(InputError, match="stepover is 0"):
        pocket("p", square, BIT, CUT, bottom=-3.0, angle=0.0, stepover=0.0)
    with pytest.raises(InputError, match="upright wall"):
        contour("o", square, Tool("v", 6.0, kind="vee", angle=90.0), CUT, bottom=-3.0)
    with pytest.raises(InputError, match="cover all of it"):
        pocket("p", square, BIT, CUT, bottom=-3.0, angle=0.0, islands=[rectangle((-1, -1), 40.0, 40.0)])
    with pytest.raises(InputError, match="radius is 20"):
        rectangle((0, 0), 30.0, 30.0, 20.0)
    with pytest.raises(InputError, match="both ends"):
        obround((1, 1), (1, 1), 4.0)


@pytest.mark.parametrize("more", usually([1e-3], of=[1e-4, 1e-3, 2e-3]))
def test_a_hole_as_wide_as_the_bit_is_a_drills(more: float) -> None:
    shape = box(0, 0, 40, 30).difference(Point(20, 15).buffer(BIT.radius + more, quad_segs=64))
    with pytest.raises(InputError, match="drill it"):
        contour("o", shape, BIT, CUT, bottom=-4.0)


def test_a_lead_begins_and_ends_clear_of_every_wall() -> None:
    """The bit's middle has 3.5 mm between the walls: a lead of 3 mm would begin 0.5 mm from the far one."""
    bit, feeds = Tool("4 mm flat", 4.0, centre_cutting=True), Cutting(feed=900, plunge=300, spindle=16000)
    (path,) = contour("slit", rectangle((0.0, 0.0), 40.0, 7.5), bit, feeds, side="inside", bottom=-2.0, lead=3.0)
    for end in (path.curve.points[0], path.curve.points[-1]):
        assert 2.0 + 0.65 <= end[1] <= 5.5 - 0.65
