"""Curves as spans, against closed forms (circle geometry, textbook) and shapely."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.typing import NDArray

from pathkit.errors import InputError
from pathkit.geometry.spans import (
    Spans,
    arc_centre,
    between,
    bounds,
    chord_count,
    corner_stations,
    flatten,
    heading_at,
    point_at,
    signed_area,
    take_apart,
    turned_round,
)
from pathkit.model.curve import Curve
from pathkit.tolerances import ROUNDING

Array = NDArray[np.float64]

COORDINATES = st.floats(-200, 200).map(lambda value: round(value, 3))
SWEEPS = st.sampled_from([0.0, 0.0, 0.3, -0.3, math.pi / 2, -math.pi, 3.0, 5.5, -6.0])


@st.composite
def curves(draw: st.DrawFn, *, closed: bool | None = None) -> tuple[Array, Array, bool]:
    """Points, sweeps, closed: lines and arcs of 0.1 mm or more. The curve may cross itself."""
    points = np.array(draw(st.lists(st.tuples(COORDINATES, COORDINATES), min_size=3, max_size=8)))
    is_closed = draw(st.booleans()) if closed is None else closed
    after = np.roll(points, -1, axis=0)
    assume(bool((np.hypot(*(after - points).T) > 0.1).all()))
    count = len(points) if is_closed else len(points) - 1
    return points, np.array(draw(st.lists(SWEEPS, min_size=count, max_size=count))), is_closed


def apart(curve: tuple[Array, Array, bool]) -> Spans:
    return take_apart(*curve)


def circle(radius: float, centre: tuple[float, float] = (0.0, 0.0), ccw: bool = True) -> tuple[Array, Array, bool]:
    turn = math.pi if ccw else -math.pi
    middle = np.array(centre)
    arm = np.array([radius, 0.0])
    return np.stack([middle + arm, middle - arm]), np.array([turn, turn]), True


# Closed forms.


@pytest.mark.parametrize("ccw", [True, False])
def test_a_circle(ccw: bool) -> None:
    curve = circle(7.0, (3.0, -2.0), ccw)
    spans = apart(curve)
    assert spans.station[-1] == pytest.approx(math.tau * 7)
    assert signed_area(take_apart(*curve)) == pytest.approx(math.pi * 49 * (1 if ccw else -1))
    assert bounds(take_apart(*curve)) == pytest.approx((-4, -9, 10, 5))
    assert spans.centre == pytest.approx(np.array([[3, -2], [3, -2]]), abs=1e-9)
    quarter = point_at(spans, math.tau * 7 / 4)
    assert quarter == pytest.approx([3, 5 if ccw else -9])
    assert heading_at(spans, 0.0) == pytest.approx([0, 1 if ccw else -1], abs=1e-12)


def test_a_slot() -> None:
    """Two straights and two half turns: 2L + πd round, L·d + πr² inside."""
    points = np.array([[0.0, -3], [40, -3], [40, 3], [0, 3]])
    sweeps = np.array([0, math.pi, 0, math.pi])
    assert take_apart(points, sweeps, True).station[-1] == pytest.approx(80 + math.pi * 6)
    assert signed_area(take_apart(points, sweeps, True)) == pytest.approx(240 + math.pi * 9)
    assert bounds(take_apart(points, sweeps, True)) == pytest.approx((-3, -3, 43, 3))
    assert corner_stations(take_apart(points, sweeps, True), True) == pytest.approx([])


@given(COORDINATES, COORDINATES, st.floats(0.5, 300), st.floats(-math.pi, math.pi), st.floats(0.01, 6.2))
def test_the_centre_of_an_arc(x: float, y: float, radius: float, begin: float, sweep: float) -> None:
    for turn in (sweep, -sweep):
        angles = np.array([begin, begin + turn])
        ends = np.column_stack([x + radius * np.cos(angles), y + radius * np.sin(angles)])
        assert arc_centre(ends[:1], ends[1:], np.array([turn]))[0] == pytest.approx([x, y], abs=1e-6)
        spans = take_apart(ends, np.array([turn]), False)
        assert spans.length[0] == pytest.approx(radius * sweep, rel=1e-9)


def test_a_line_has_no_centre() -> None:
    assert np.isnan(arc_centre(np.zeros((1, 2)), np.ones((1, 2)), np.zeros(1))).all()


def test_corners_are_where_the_heading_turns() -> None:
    square = np.array([[0.0, 0], [10, 0], [10, 10], [0, 10]])
    assert corner_stations(take_apart(square, np.zeros(4), True), True).tolist() == [0, 10, 20, 30]
    assert corner_stations(take_apart(square, np.zeros(3), False), False).tolist() == [10, 20]
    bend = np.array([[0.0, 0], [10, 0], [20, math.tan(math.radians(4)) * 10]])
    assert corner_stations(take_apart(bend, np.zeros(2), False), False).tolist() == []
    # A line that meets an arc at an angle, and a line that runs smoothly into one.
    half = np.array([[0.0, 0], [10, 0], [10, 6]])
    assert corner_stations(take_apart(half, np.array([0, math.pi]), False), False).tolist() == []
    assert corner_stations(take_apart(half, np.array([0, 0.2]), False), False).tolist() == [10]


@pytest.mark.parametrize(("radius", "sweep", "tolerance"), [(10, math.tau, 0.01), (3, -2, 0.002), (0.01, 4, 0.5)])
def test_chords_keep_the_sagitta(radius: float, sweep: float, tolerance: float) -> None:
    def sagitta(count: int) -> float:
        return radius * (1 - math.cos(abs(sweep) / count / 2))

    count = chord_count(radius, sweep, tolerance)
    assert sagitta(count) <= tolerance * (1 + 1e-9)
    assert count == 1 or radius <= tolerance or sagitta(count - 1) > tolerance


@pytest.mark.parametrize("tolerance", [0.0, -1.0, math.nan])
def test_an_impossible_tolerance_is_refused(tolerance: float) -> None:
    with pytest.raises(InputError, match="tolerance"):
        flatten(*circle(5.0), tolerance)


# Against shapely.


@given(curves(), st.sampled_from([0.1, 0.01]))
def test_length_bounds_and_area_are_those_of_the_flattened_curve(
    curve: tuple[Array, Array, bool], tolerance: float
) -> None:
    points, sweeps, closed = curve
    vertices = flatten(points, sweeps, closed, tolerance)
    ring = np.concatenate([vertices, vertices[:1]]) if closed else vertices
    line = shapely.LineString(ring)
    whole = float(apart(curve).station[-1])
    assert line.length <= whole + 1e-6
    finer = flatten(points, sweeps, closed, 1e-5)
    fine = shapely.LineString(np.concatenate([finer, finer[:1]]) if closed else finer)
    assert fine.length == pytest.approx(whole, rel=1e-5)
    assert bounds(take_apart(points, sweeps, closed)) == pytest.approx(fine.bounds, abs=1e-4)
    some = finer[:: max(1, len(finer) // 200)]
    assert shapely.distance(shapely.points(some), line).max() <= tolerance + 1e-4
    if closed:
        x, y = finer.T
        shoelace = 0.5 * float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
        assert signed_area(take_apart(points, sweeps, True)) == pytest.approx(shoelace, abs=1e-5 * whole + 1e-9)


@given(curves(), st.floats(0, 1))
def test_a_station_is_the_way_along(curve: tuple[Array, Array, bool], share: float) -> None:
    spans = apart(curve)
    station = share * float(spans.station[-1])
    vertices = flatten(*curve, 1e-5)
    line = shapely.LineString(np.concatenate([vertices, vertices[:1]]) if curve[2] else vertices)
    there = line.interpolate(station * line.length / spans.station[-1])
    assert point_at(spans, station) == pytest.approx([there.x, there.y], abs=0.02)


@given(curves(), st.floats(0.001, 0.999))
def test_the_heading_is_the_way_onward(curve: tuple[Array, Array, bool], share: float) -> None:
    spans = apart(curve)
    station = share * float(spans.station[-1])
    assume(np.abs(spans.station - station).min() > 1e-3)
    step = (point_at(spans, station + 1e-4) - point_at(spans, station - 1e-4)) / 2e-4
    assert heading_at(spans, station) == pytest.approx(step, abs=1e-3)
    assert np.hypot(*heading_at(spans, station)) == pytest.approx(1.0)


# Stretches.


def joined(spans: Spans) -> bool:
    return np.allclose(spans.end[:-1], spans.start[1:], atol=2 * ROUNDING)


@given(curves(), st.lists(st.floats(0, 1), min_size=1, max_size=4))
def test_stretches_add_up_to_the_whole(curve: tuple[Array, Array, bool], cuts: list[float]) -> None:
    spans = apart(curve)
    total = float(spans.station[-1])
    stations = [0.0, *sorted(cut * total for cut in cuts), total]
    pieces = [between(spans, a, b) for a, b in pairwise(stations)]
    for piece, (a, b) in zip(pieces, pairwise(stations), strict=True):
        assert piece.station[-1] == pytest.approx(b - a, abs=1e-6)
        if len(piece.length):
            assert joined(piece)
            assert piece.start[0] == pytest.approx(point_at(spans, a), abs=1e-6)
            assert piece.end[-1] == pytest.approx(point_at(spans, b), abs=1e-6)
    assert sum(float(piece.sweep.sum()) for piece in pieces) == pytest.approx(float(spans.sweep.sum()), abs=1e-6)


@given(curves(closed=True), st.floats(0, 3), st.floats(0, 2.5))
def test_a_stretch_of_a_closed_curve_wraps(curve: tuple[Array, Array, bool], begin: float, laps: float) -> None:
    spans = apart(curve)
    total = float(spans.station[-1])
    first, last = begin * total, (begin + laps) * total
    piece = between(spans, first, last)
    assert piece.station[-1] == pytest.approx(last - first, abs=1e-6)
    if len(piece.length):
        assert joined(piece)
        assert piece.start[0] == pytest.approx(point_at(spans, first % total), abs=1e-5)
        assert piece.end[-1] == pytest.approx(point_at(spans, last % total), abs=1e-5)


@given(curves())
def test_the_whole_stretch_is_the_curve_itself(curve: tuple[Array, Array, bool]) -> None:
    spans = apart(curve)
    whole = between(spans, 0.0, float(spans.station[-1]))
    assert np.array_equal(whole.start, spans.start)
    assert np.array_equal(whole.end, spans.end)
    assert whole.sweep == pytest.approx(spans.sweep, rel=1e-9)


def test_nothing_is_between_a_station_and_itself() -> None:
    spans = apart(circle(5.0))
    for station in (0.0, 3.0, float(spans.station[-1])):
        assert len(between(spans, station, station).length) == 0


@given(curves(), st.floats(0, 1))
def test_turned_round_is_the_same_way_back(curve: tuple[Array, Array, bool], share: float) -> None:
    spans = apart(curve)
    back = turned_round(spans)
    total = float(spans.station[-1])
    assert back.station[-1] == pytest.approx(total)
    assert point_at(back, total * (1 - share)) == pytest.approx(point_at(spans, total * share), abs=1e-6)
    again = turned_round(back)
    assert all(np.array_equal(a, b, equal_nan=True) for a, b in zip(again[:5], spans[:5], strict=True))


def test_a_point_is_a_curve_without_spans() -> None:
    spans = take_apart(np.array([[1.0, 2.0]]), np.zeros(0), False)
    assert spans.station.tolist() == [0.0]
    assert Curve.point((1.0, 2.0)).bounds == (1, 2, 1, 2)
    assert flatten(np.array([[1.0, 2.0]]), np.zeros(0), False, 0.1).tolist() == [[1, 2]]


def test_spans_in_space_are_lines() -> None:
    trace = np.array([[0.0, 0, 0], [3, 4, 0], [3, 4, 12]])
    spans = take_apart(trace, np.zeros(2), False)
    assert spans.station.tolist() == [0, 5, 17]
    assert point_at(spans, 11).tolist() == [3, 4, 6]
    piece = between(spans, 2.5, 11)
    assert piece.start[0].tolist() == [1.5, 2, 0]
    assert piece.end[-1].tolist() == [3, 4, 6]
