"""Engraving, relief of inside corners, webs, cores, and the finished shapes of parts."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, MultiLineString, Point, Polygon, box

import pathkit as pk
from pathkit.curves.regions import area_of
from pathkit.errors import InputError, ModelError, Refused
from pathkit.model.curve import Curve
from pathkit.model.job import Feature, Job, Part
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Ramp
from pathkit.operations import (
    bridged_pocket,
    check_edges,
    check_webs,
    contour,
    drill,
    engrave,
    fill,
    laid_out,
    part_of,
    pocket,
    rectangle,
    relieve,
    rotated,
    slot,
)
from pathkit.operations.webs import webs
from tests.swept import gouged, missed, swept

BIT = Tool("4 mm", 4.0, centre_cutting=True)
VEE = Tool("60° vee", 6.0, kind="vee", angle=60.0, centre_cutting=True)
CUT = Cutting(feed=1800.0, plunge=500.0, spindle=16000.0)
FEWER = settings(max_examples=settings().max_examples * 2 // 5)  # each of them lays out or cuts a whole job
STOCK = Stock(300.0, 200.0, 9.0, underlay=1.0)


def test_engraving_follows_every_line_with_any_bit() -> None:
    arc = Curve([(0, 0), (10, 0)], [1.0])
    lines: list[Any] = [arc, LineString([(0, 5), (9, 5)]), box(20, 0, 30, 10).difference(box(23, 3, 26, 6))]
    paths = engrave("logo", lines, VEE, CUT, bottom=-0.5, part="plate")
    assert [path.name for path in paths] == ["logo 1", "logo 2", "logo 3", "logo 4"]
    assert {path.role for path in paths} == {"engrave"}
    assert paths[0].curve == arc, "arcs stay exact"
    assert paths[1].may_reverse
    assert [path.curve.closed for path in paths] == [False, False, True, True]
    assert sum(path.curve.length for path in paths) == pytest.approx(arc.length + 9 + 40 + 12)
    (single,) = engrave("line", LineString([(0, 0), (5, 5), (5, 0), (0, 0)]), VEE, CUT, bottom=-0.5)
    assert (single.name, single.curve.closed) == ("line", True)
    assert len(engrave("two", MultiLineString([[(0, 0), (1, 0)], [(0, 1), (1, 1)]]), VEE, CUT, bottom=-0.5)) == 2
    trace = Curve([(0, 0, 1), (5, 0, -0.5), (9, 0, 1)])
    assert engrave("t", trace, VEE, CUT, bottom=-9.0)[0].bottom is None, "a trace is cut as it lies"


@pytest.mark.parametrize("lines", [Curve.point((1, 1)), Point(1, 1), [], "abc", [LineString()], 7])
def test_what_is_no_line_is_not_engraved(lines: Any) -> None:
    with pytest.raises(InputError, match="line"):
        engrave("logo", lines, VEE, CUT, bottom=-0.5)


@FEWER
@given(st.floats(20, 60), st.floats(20, 60), st.floats(1.0, 3.0), st.floats(0, 360), st.floats(-6, 6))
def test_a_square_peg_fits_a_relieved_hole(width: float, depth: float, radius: float, turn: float, lean: float) -> None:
    peg = rotated(Curve([(0, 0), (width, 0), (width + lean, depth), (lean, depth)], closed=True), turn)
    opening = relieve(peg, radius)
    bit = Tool("bit", 2 * radius, centre_cutting=True)
    paths = pocket("hole", opening, bit, CUT, bottom=-4.0, angle=0.0)
    cleared = swept(paths)
    plate = Polygon(peg.points)
    assert plate.buffer(-0.005, join_style="mitre").difference(cleared).is_empty, "the whole peg goes in"
    # Only discs through the corners are taken: nothing is cut further from the peg than their diameter.
    assert cleared.difference(plate.buffer(2 * (radius + 0.06))).is_empty
    assert opening.area < peg.area + 4 * math.pi * (radius + 0.05) ** 2
    for corner in peg.points:
        assert LineString(np.vstack([opening.flattened(1e-5), opening.points[:1]])).distance(Point(corner)) < 1e-4


def test_relief_of_a_right_angle_is_half_a_circle() -> None:
    square = rectangle((0, 0), 20.0, 20.0)
    relieved = relieve(square, 2.0, clearance=0.0)
    # Inscribed angle theorem: 2π − 2·90°. Area: the square and, at each corner, half a disc less its right triangle.
    assert sorted(relieved.sweeps.tolist())[-4:] == pytest.approx([math.pi] * 4)
    assert relieved.area == pytest.approx(400.0 + 4 * (2 * math.pi - 4.0))
    rounded = rectangle((0, 0), 20.0, 20.0, 3.0)
    assert relieve(rounded, 2.0) == rounded, "rounds are left alone"
    ell = Curve([(0, 0), (30, 0), (30, 10), (10, 10), (10, 30), (0, 30)], closed=True)
    assert np.count_nonzero(relieve(ell, 1.5).sweeps) == 5, "the corner that stands out is none of the bit's"
    assert np.count_nonzero(relieve(Curve(ell.points[::-1], closed=True), 1.5).sweeps) == 5


@FEWER
@given(st.floats(20, 60), st.floats(20, 60), st.floats(1.0, 3.0), st.floats(0, 360), st.floats(-6, 6))
def test_a_square_peg_fits_the_corner_of_a_relieved_outline(
    width: float, depth: float, radius: float, turn: float, lean: float
) -> None:
    """The peg stands in the corner that points into the part; the bit runs round the part."""
    peg = rotated(Curve([(0, 0), (width, 0), (width + lean, depth), (lean, depth)], closed=True), turn)
    corner, left, _, right = peg.points[0], peg.points[3], peg.points[2], peg.points[1]
    out = peg.points[2] - corner
    around = [right - (left - corner) * 2.0, right, corner, left, left - (right - corner) * 2.0, corner - out * 2.0]
    plain = Curve(around, closed=True)
    stays = relieve(plain, radius, outside=True)
    (path,) = contour("part", stays, Tool("bit", 2 * radius, centre_cutting=True), CUT, bottom=-4.0)
    plate = Polygon(np.concatenate([stays.flattened(1e-5)]))
    assert swept([path]).intersection(plate).area < 0.02, "nothing of what stays is cut"
    assert plate.intersection(Polygon(peg.points)).area < 1e-6
    near = Polygon(peg.points).intersection(Point(corner).buffer(2.0 * radius))
    assert near.buffer(-0.005, join_style="mitre").difference(swept([path])).is_empty, "and the peg goes in"
    assert Polygon(plain.points).difference(plate).area < math.pi * (radius + 0.05) ** 2
    assert np.count_nonzero(stays.sweeps) == 1, "corners that stand out are left alone"


def test_relief_that_has_no_room_is_refused() -> None:
    with pytest.raises(InputError, match=r"side of 5\.000 mm at .* too short.*at most 3\.43 mm") as refused:
        relieve(rectangle((0, 0), 20.0, 5.0), 2.0)
    assert len(refused.value.findings) == 2
    assert relieve(rectangle((0, 0), 20.0, 5.0), 3.43 / 2.0), "the bit that is named fits"
    slits = [(0, 0), (20, 0), (20, 10), (40, 10), (40, 0), (60, 0), (60, 30), (40, 30), (40, 11), (20, 11),
             (20, 30), (0, 30)]  # fmt: skip
    neck = Curve(slits, closed=True)
    with pytest.raises(InputError, match=r"run into each other at \(.*narrower bit"):
        relieve(neck, 2.0, outside=True)
    with pytest.raises(InputError, match="not a closed plane curve"):
        relieve(Curve([(0, 0), (1, 0)]), 2.0)
    with pytest.raises(ModelError, match="radius is 0"):
        relieve(rectangle((0, 0), 20.0, 5.0), 0.0)


def outlines(gap: float) -> list[pk.Toolpath]:
    plate = rectangle((20, 20), 40.0, 30.0, 4.0)
    one = contour("a", plate, BIT, CUT, bottom=-9.3)
    two = contour("b", rectangle((60.0 + gap, 20), 40.0, 30.0, 4.0), BIT, CUT, bottom=-9.3)
    return [*one, *two]


def test_a_web_is_what_two_kerfs_leave_between_them() -> None:
    # Two kerfs of 4 mm in a gap of 9.5 leave 1.5 mm.
    (web,) = webs(outlines(9.5), STOCK, below=2.0)
    assert (web.first, web.second) == ("a", "b")
    assert web.width == pytest.approx(1.5, abs=1e-3)
    assert web.place[0] == pytest.approx(64.75, abs=0.01)
    with pytest.raises(Refused, match=r"only 1\.50 mm of wood would stand between it and 'b'.*at least 2 mm"):
        check_webs(outlines(9.5), STOCK)
    check_webs(outlines(9.5), STOCK, least=1.4)
    check_webs(outlines(10.1), STOCK)
    check_webs(outlines(8.0), STOCK)  # one kerf along the other: no web at all
    check_webs(outlines(6.0), STOCK)
    shallow = [pk.Toolpath("s", Curve([(64.5, 20), (64.5, 50)]), BIT, CUT, bottom=-2.0)]
    check_webs([*outlines(13.0), *shallow], STOCK)  # a cut that does not go through leaves wood below


def test_what_runs_over_an_edge_is_warned_of() -> None:
    """A plate of 40 × 30 mm and a bit of 4 mm on a board of 300 × 200 mm, at each edge in turn."""

    def said(x: float, y: float) -> list[str]:
        plate = rectangle((x, y), 40.0, 30.0, 4.0)
        cut = contour("cut", plate, BIT, CUT, bottom=-9.3, part="plate")
        found = check_edges(Job("j", STOCK, cut, parts=(Part("plate", plate),)))
        assert {finding.severity for finding in found} <= {"warning"}
        return [finding.what for finding in found]

    assert said(4.0, 4.0) == said(256.0, 166.0) == []
    over = "the cut round 'plate' runs over the board's edge: "
    assert said(0.0, 10.0) == [over + "4.00 mm at the left"]
    assert said(258.5, 168.0) == [over + "2.50 mm at the right, 2.00 mm at the back"]
    assert said(30.0, -1.5) == [
        "the part 'plate' hangs over the board: 1.50 mm at the front", over + "5.50 mm at the front"
    ]  # fmt: skip
    within = pocket("floor", rectangle((-5.0, 50.0), 40.0, 30.0, 4.0), BIT, CUT, bottom=-3.0, angle=0.0)
    assert check_edges(Job("j", STOCK, within)) == (), "a floor may be cleared past an edge"


def test_every_thin_web_is_named_also_of_holes() -> None:
    paths = [*outlines(30.0), *drill("h", [(62.9, 60.0), (68.0, 60.0), (80.0, 60.0)], BIT, CUT, bottom=-9.3)]
    with pytest.raises(Refused) as raised:
        check_webs(paths, STOCK, least=2.0)
    assert [finding.toolpath for finding in raised.value.findings] == ["h 1"]
    with pytest.raises(ModelError, match="least is -1"):
        check_webs(paths, STOCK, least=-1.0)


@FEWER
@given(st.floats(0.0, 8.0), st.floats(0.5, 6.0))
def test_a_layout_keeps_the_web_it_was_asked_for(web: float, least: float) -> None:
    plate = rectangle((0, 0), 40.0, 30.0, 4.0)
    layout = fill(plate, STOCK, BIT, web=web)
    cut = contour("plate", plate, BIT, CUT, bottom=-9.3, part="plate")
    found = webs(laid_out(cut, layout.placements).toolpaths, STOCK, below=least)
    assert bool(found) == (1e-3 < web < least - 1e-3) or abs(web - least) < 0.01 or web < 0.01


def hold(paths: Any) -> tuple[pk.Toolpath, ...]:
    machine = pk.load_machine("grbl-front-left")
    return pk.Pipeline([pk.HoldTabs(count=2)]).run(Job("j", STOCK, tuple(paths)), machine, check=True).job.toolpaths


def test_cores_that_would_drop_get_tabs() -> None:
    big = rectangle((20, 20), 60.0, 40.0, 4.0)
    (inside,) = contour("window", big, BIT, CUT, bottom=-9.3, side="inside")
    (ring,) = slot("ring", Curve.circle((150, 100), 20.0), BIT, CUT, bottom=-9.3)
    (line,) = slot("line", Curve([(200, 20), (250, 20)]), BIT, CUT, bottom=-9.3)
    (groove,) = slot("groove", Curve.circle((250, 100), 20.0), BIT, CUT, bottom=-3.0)
    held = {path.name: len(path.tabs) for path in hold([inside, ring, line, groove])}
    assert held == {"window": 2, "ring": 2, "line": 0, "groove": 0}


def test_where_the_bit_takes_all_the_wood_there_is_nothing_to_hold() -> None:
    (hole,) = contour("hole", Curve.circle((50, 50), 3.5), BIT, CUT, bottom=-9.3, side="inside")
    assert hold([hole])[0].tabs == ()


def test_tabs_of_a_led_contour_stand_on_its_single_run() -> None:
    for shape in (Curve.circle((100, 100), 25.0), rectangle((60, 60), 80.0, 60.0, 6.0)):
        (path,) = hold(contour("o", shape, BIT, CUT, bottom=-9.3, lead=4.0, overlap=10.0))
        assert not path.curve.closed
        assert len(path.tabs) == 2
        assert isinstance(path.entry, Ramp)
        lead = path.entry.within
        assert lead is not None
        for tab in path.tabs:
            half = (tab.width + BIT.diameter) / 2.0
            assert lead + 10.0 + half <= tab.at <= path.curve.length - lead - 10.0 - half


def test_a_led_outline_still_comes_after_what_lies_within_it() -> None:
    from pathkit.passes.precedence import precedence_of

    washer = Point(100, 100).buffer(30).difference(Point(100, 100).buffer(15))
    hole, outer = contour("washer", washer, BIT, CUT, bottom=-9.3, lead=2.0)
    assert not hole.curve.closed
    assert not outer.curve.closed
    rule = precedence_of(Job("j", STOCK, (outer, hole)))
    assert (1, 0) in rule.pairs, "the hole, although it is listed last"


def test_a_part_is_made_of_the_same_shapes() -> None:
    outline = rectangle((0, 0), 80.0, 50.0, 6.0)
    recess = box(10, 10, 40, 40).difference(box(20, 20, 30, 30))
    part = part_of("plate", outline, recesses=[(recess, -4.0)], holes=[Curve.circle((60, 25), 3.0)])
    assert part.outline == outline, "arcs stay exact"
    (floor,) = part.recesses
    assert (floor.bottom, len(floor.islands)) == (-4.0, 1)
    assert area_of((floor.curve, *floor.islands)).equals(recess)
    assert part.holes == (Feature(Curve.circle((60, 25), 3.0)),)
    washer = part_of("washer", Point(0, 0).buffer(20).difference(Point(0, 0).buffer(8)))
    assert len(washer.holes) == 1
    assert washer.holes[0].curve.area > 0
    two = box(0, 0, 5, 5).union(box(9, 0, 14, 5))
    assert len(part_of("p", outline, holes=[two]).holes) == 2
    with pytest.raises(InputError, match="2 separate shapes"):
        part_of("two", two)
    with pytest.raises(InputError, match="crosses itself") as raised:
        part_of("plate", outline, holes=[Polygon([(0, 0), (10, 10), (10, 0), (0, 10)])])
    assert raised.value.findings[0].toolpath == "plate hole"


@pytest.mark.parametrize("island", [Curve.circle((100, 80), 9.0), rectangle((85, 70), 30.0, 22.0, 2.0)])
def test_an_island_in_a_through_pocket_is_held_by_its_bridges(island: Curve) -> None:
    stock = Stock(200.0, 160.0, 9.0, z_zero="bed", underlay=3.0)
    frame = rectangle((60, 50), 80.0, 60.0, 5.0)
    paths = bridged_pocket(
        "window", frame, BIT, CUT, bottom=stock.underside - 0.3, stock=stock, islands=[island], stepdown=3.0
    )  # fmt: skip
    below = [path for path in paths if path.name.startswith("window below")]
    above = [path for path in paths if path not in below]
    assert {path.bottom for path in above} == {stock.underside + 3.0} == {path.top for path in below}
    opening = area_of((frame,)).difference(area_of((island,)))
    assert not gouged(paths, opening)
    assert not missed(above, opening)
    standing = area_of((rectangle((50, 40), 100, 80),)).difference(swept(below))
    assert standing.buffer(-2.9).buffer(2.9).geom_type == "Polygon", "island and board are one piece, 5.8 mm wide"
    left = opening.difference(swept(below)).buffer(-0.5)
    assert len(getattr(left, "geoms", [left])) == 2
    # Every lower cut waits for what lies above it, and the file is proved: no bite too deep, and the island held.
    job = Job("window", stock, tuple(reversed(paths)))
    machine = pk.load_machine("grbl-front-left")
    after = pk.Pipeline([pk.MergeStepdowns(), pk.RampEntries(), pk.OrderTravel(effort=0.1)]).run(job, machine).job
    names = [path.name for path in after.toolpaths]
    assert max(names.index(path.name) for path in above if path.role == "pocket") < min(
        names.index(path.name) for path in below
    )
    program = pk.lower(after, machine)
    proof = pk.verify(pk.post(program, machine), program, machine, job=after)
    assert proof.ok, [str(finding) for finding in proof.findings]


def test_a_bridge_runs_into_a_corner_as_far_as_its_width_takes() -> None:
    """Corners of 84° point at the nearest walls: 6 mm of wood begin 3 / tan 42° = 3.33 mm behind the corner."""
    stock = Stock(200.0, 160.0, 9.0, z_zero="bed", underlay=3.0)
    frame = rectangle((60, 50), 80.0, 60.0, 5.0)
    half = 12.0 * math.tan(math.radians(42.0))
    island = Curve.polyline([(100, 68), (100 + half, 80), (100, 92), (100 - half, 80)], closed=True)
    paths = bridged_pocket("w", frame, BIT, CUT, bottom=2.7, stock=stock, islands=[island], width=6.0, stepdown=3.0)
    below = [path for path in paths if path.name.startswith("w below")]
    standing = area_of((rectangle((50, 40), 100, 80),)).difference(swept(below))
    assert standing.buffer(0.01).contains(box(97.0, 50.0, 103.0, 71.33))
    assert standing.buffer(0.01).contains(box(97.0, 88.67, 103.0, 110.0))


def test_bridges_that_cannot_be_are_refused() -> None:
    frame, island = rectangle((60, 50), 80.0, 60.0, 5.0), Curve.circle((100, 80), 9.0)
    options: dict[str, Any] = {"stock": STOCK, "bottom": -9.8}
    with pytest.raises(InputError, match="does not go through"):
        bridged_pocket("w", frame, BIT, CUT, islands=[island], **{**options, "bottom": -4.0})
    with pytest.raises(InputError, match="no island"):
        bridged_pocket("w", frame, BIT, CUT, islands=[], **options)
    with pytest.raises(InputError, match="make height less than"):
        bridged_pocket("w", frame, BIT, CUT, islands=[island], height=9.0, **options)
    on_bed: dict[str, Any] = {"stock": Stock(200.0, 160.0, 9.0, z_zero="bed", underlay=3.0), "bottom": 2.7}
    with pytest.raises(InputError, match=r"in 8\.5 mm of wood \(the least allowed\)"):
        bridged_pocket("w", frame, BIT, CUT, islands=[island], height=8.5, **on_bed)
    with pytest.raises(ModelError, match="count is 0"):
        bridged_pocket("w", frame, BIT, CUT, islands=[island], count=0, **options)
    crescent = Point(100, 80).buffer(20).difference(Point(100, 80).buffer(14)).difference(box(100, 70, 130, 90))
    fence = [crescent, Point(100, 80).buffer(5)]
    with pytest.raises(InputError, match="no room for 2 straight bridges"):
        bridged_pocket("w", Polygon(frame.flattened()), BIT, CUT, islands=fence, **options)
