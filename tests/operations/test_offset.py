"""Offsets: closed forms where geometry has one, shapely's buffer (GEOS, an independent library) for everything else."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from pathkit.curves import intersections
from pathkit.curves.intersections import Chain, beyond, distance
from pathkit.curves.regions import Region, area_of, backward, region_of, rotated, widest_bit
from pathkit.model.curve import Curve
from pathkit.operations import obround, rectangle
from pathkit.operations.offset import _agree, _exact, buffered, inset, swept_rings

SAME = 0.005  # mm: a difference from shapely may be twice as thick at most


def differs(rings: tuple[Curve, ...], area: Polygon) -> bool:
    return not area_of(rings).symmetric_difference(area).buffer(-SAME).is_empty


def total(rings: tuple[Curve, ...]) -> float:
    return sum(ring.area for ring in rings)


@pytest.mark.parametrize("by", [-12.0, -2.0, 0.5, 2.0, 7.9, 8.0, 11.0, 24.0])
def test_rounded_rectangle_has_the_area_of_the_closed_form(by: float) -> None:
    # Area of a rounded rectangle: w·d − (4 − π)·r². Inward, the corners' radius shrinks to zero and stays there.
    (ring,) = inset((rectangle((3.0, -2.0), 90.0, 50.0, 8.0),), by)
    radius = max(8.0 - by, 0.0)
    expected = (90.0 - 2 * by) * (50.0 - 2 * by) - (4.0 - math.pi) * radius**2
    assert ring.area == pytest.approx(expected, abs=1e-6)
    assert len(ring.points) == (8 if radius > 0 else 4), "arcs stay arcs"


def test_circle_keeps_two_half_turns_and_vanishes_at_its_centre() -> None:
    (ring,) = inset((Curve.circle((1.0, 2.0), 10.0),), 4.0)
    assert ring.area == pytest.approx(math.pi * 36.0, abs=1e-9)
    assert ring.sweeps.tolist() == [math.pi, math.pi]
    assert inset((Curve.circle((1.0, 2.0), 10.0),), 10.0) == ()


def test_outside_of_a_square_has_round_corners() -> None:
    # Steiner's formula: area + perimeter·d + π·d².
    (ring,) = inset((rectangle((0.0, 0.0), 20.0, 20.0),), -3.0)
    assert ring.area == pytest.approx(400.0 + 80.0 * 3.0 + math.pi * 9.0, abs=1e-9)
    assert np.count_nonzero(ring.sweeps) == 4


def test_a_neck_comes_apart_into_two_rings() -> None:
    dumbbell = Polygon([(0, 0), (20, 0), (20, 8), (30, 8), (30, 0), (50, 0), (50, 20), (30, 20), (30, 12), (20, 12),
                        (20, 20), (0, 20)])  # fmt: skip
    rings = inset(region_of(dumbbell, "dumbbell").rings, 3.0)
    # Between the neck's two corners the edge bulges as far as their discs allow: twice ∫ 3 − √(9 − t²) over 0 … 2.
    bulge = 2.0 * (6.0 - (math.sqrt(5.0) + 4.5 * math.asin(2.0 / 3.0)))
    assert [ring.area for ring in rings] == pytest.approx([14.0 * 14.0 + bulge] * 2)


def test_what_a_disc_sweeps_along_a_line_is_the_textbook_area() -> None:
    # 2rL + πr² along a straight line; the same along a smooth arc of radius above r.
    for line in (Curve.polyline([(0, 0), (30, 0)]), Curve([(0, 0), (20, 0)], sweeps=[math.pi])):
        (ring,) = swept_rings(line, 2.5)
        assert ring.area == pytest.approx(5.0 * line.length + math.pi * 2.5**2, abs=1e-6)
    outer, hole = sorted(swept_rings(Curve.circle((0, 0), 20.0), 3.0), key=lambda r: -r.area)
    assert (outer.area, hole.area) == pytest.approx((math.pi * 23.0**2, -math.pi * 17.0**2))


def test_a_wrong_offset_does_not_pass_the_judge() -> None:
    frame, island = rectangle((0, 0), 60.0, 40.0, 4.0), backward(Curve.circle((20.0, 20.0), 5.0))
    judged = buffered(area_of((frame, island)), -2.0)
    right = inset((frame, island), 2.0)
    assert _agree(right, judged)
    wrong = [
        right[:1],
        right[1:],
        (),
        inset((frame, island), 2.02),
        (right[0], backward(Curve.circle((20.0, 20.05), 7.0))),
        (rectangle((2.0, 2.0), 56.0, 36.0, 3.0), right[1]),
        (*right, Curve.circle((40.0, 20.0), 1.0)),
    ]
    assert [rings for rings in wrong if _agree(rings, judged)] == []


@st.composite
def stars(draw: st.DrawFn) -> Curve:
    """Closed curves round the origin, made of lines and of arcs that bulge in or out; most of them are not convex."""
    count = draw(st.integers(3, 9))
    radii = draw(st.lists(st.floats(6.0, 40.0), min_size=count, max_size=count))
    sweeps = draw(st.lists(st.sampled_from([0.0, 0.0, 0.6, 1.2, -0.5, -0.9]), min_size=count, max_size=count))
    angles = np.arange(count) * 2.0 * math.pi / count + draw(st.floats(0.0, 1.0))
    curve = Curve(np.stack([radii * np.cos(angles), radii * np.sin(angles)], axis=1), sweeps, closed=True)
    plate = Polygon(curve.flattened(5e-4))
    assume(plate.is_valid and plate.area > 60.0 and curve.area > 0)
    return curve


@given(stars(), st.floats(-6.0, 6.0).filter(lambda d: abs(d) > 0.05))
def test_offsets_agree_with_shapely(curve: Curve, by: float) -> None:
    area = area_of((curve,)).buffer(-by, quad_segs=64)
    rings = inset((curve,), by)
    assert not differs(rings, area)
    assert all(ring.area > 0 for ring in rings if Polygon(ring.flattened(0.01)).area > 1.0 and len(rings) == 1)


@given(stars(), st.floats(0.5, 5.0))
def test_every_place_of_an_exact_offset_lies_at_the_distance(curve: Curve, by: float) -> None:
    rings = _exact((curve,), by)
    assume(rings is not None)
    edge = LineString(np.vstack([curve.flattened(1e-5), curve.points[:1]]))
    for ring in rings or ():
        for station in np.linspace(0.0, ring.length, 37):
            assert edge.distance(Point(ring.at(station))) == pytest.approx(by, abs=3e-5)


@given(stars(), st.floats(1.0, 6.0), st.floats(1.0, 4.0))
def test_islands_are_left_standing(curve: Curve, radius: float, by: float) -> None:
    island = Curve.circle((0.0, 0.0), radius)
    whole, hole = area_of((curve,)), area_of((island,))
    assume(whole.contains_properly(hole))
    region = region_of(curve, "pocket", [island])
    expected = whole.difference(hole).buffer(-by, quad_segs=64)
    assert not differs(inset(region.rings, by), expected)


@given(stars(), st.floats(-180.0, 180.0))
def test_turning_and_reversing_change_nothing_but_the_way(curve: Curve, angle: float) -> None:
    turned = rotated(curve, angle)
    assert turned.area == pytest.approx(curve.area)
    assert turned.length == pytest.approx(curve.length)
    there = backward(curve)
    assert there.area == pytest.approx(-curve.area)
    assert np.array_equal(there.points[0], curve.points[0])
    assert backward(there) == curve
    for station in (0.0, 3.0, 11.0):
        assert there.at(curve.length - station) == pytest.approx(curve.at(station), abs=1e-6)


def test_the_widest_bit_of_simple_shapes() -> None:
    assert widest_bit(region_of(rectangle((0, 0), 40.0, 6.0), "r")) == pytest.approx(6.0, abs=0.011)
    assert widest_bit(region_of(Curve.circle((0, 0), 2.5), "c")) == pytest.approx(5.0, abs=0.011)
    ring = Region((Curve.circle((0, 0), 10.0), backward(Curve.circle((0, 0), 7.0))))
    assert widest_bit(ring) == pytest.approx(3.0, abs=0.011)


def test_obround_and_rectangle_are_what_their_names_say() -> None:
    shape = obround((10.0, 5.0), (10.0, 25.0), 6.0)
    assert shape.area == pytest.approx(6.0 * 20.0 + math.pi * 9.0)
    assert shape.bounds == pytest.approx((7.0, 2.0, 13.0, 28.0))
    assert rectangle((0, 0), 10.0, 10.0, 5.0).area == pytest.approx(math.pi * 25.0)
    assert rectangle((1, 2), 10.0, 4.0).bounds == (1.0, 2.0, 11.0, 6.0)


@given(st.integers(1, 90), st.integers(0, 2**32 - 1), st.floats(0.0, 30.0))
def test_points_beyond_a_distance_are_those_whose_distance_is_as_large(count: int, seed: int, away: float) -> None:
    random = np.random.default_rng(seed)
    start, end = random.uniform(-20.0, 20.0, (2, count, 2))
    sweep = np.where(random.random(count) < 0.5, 0.0, random.uniform(0.2, 3.0, count))
    middle, half = (start + end) / 2.0, np.hypot(*(end - start).T)[:, None] / 2.0
    across = (end - start)[:, ::-1] * (-1.0, 1.0) / (2.0 * half)
    tangent = np.tan(np.where(sweep == 0.0, 1.0, sweep / 2.0))[:, None]
    centre = np.where((sweep == 0.0)[:, None], np.nan, middle + across * half / tangent)
    chain, points = Chain(start, end, centre, sweep), random.uniform(-30.0, 30.0, (40, 2))
    assert (beyond(chain, points, away) == (distance(chain, points) >= away)).all()


def test_a_hole_of_many_chords_as_wide_as_the_bit_asks_few_of_them(monkeypatch: pytest.MonkeyPatch) -> None:
    """The shifted chords cross each other n² / 2 times round the middle, each piece near almost every chord."""
    asked: list[int] = []
    plain = intersections.distance

    def counted(chain: Chain, points: np.ndarray) -> np.ndarray:
        asked.append(len(chain.sweep) * len(points))
        return plain(chain, points)

    monkeypatch.setattr(intersections, "distance", counted)
    turns = np.linspace(0.0, 2.0 * math.pi, 128, endpoint=False)
    hole = Curve(1.5 * np.stack([np.cos(turns), np.sin(turns)], axis=1), closed=True)
    assert inset((hole,), 1.5) == ()
    pieces = asked[0] // 8
    assert pieces > 100 * 128
    assert sum(asked) < pieces * 128 / 4
