"""Many curves at once: what each of them says of itself, asked one by one."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from pathkit.curves.at_once import areas_of, bounds_of, flatten_all, lengths_of, polygons
from pathkit.errors import ModelError
from pathkit.model.curve import FARTHEST, Curve
from pathkit.testing.strategies import curves

EVERY = st.lists(curves(), max_size=6)
RINGS = st.lists(curves(closed=True), max_size=6)
Place = tuple[float, float]
PLACE = st.tuples(st.integers(-900, 900), st.integers(-900, 900)).map(lambda p: (p[0] / 100.0, p[1] / 100.0))
CIRCLES = st.builds(Curve.circle, st.tuples(st.floats(-50, 50), st.floats(-50, 50)), st.floats(0.5, 40), st.booleans())


def anew(curve: Curve) -> Curve:
    """The same curve without anything that it keeps."""
    return Curve(curve.points, curve.sweeps, curve.closed)


@given(st.lists(curves() | CIRCLES, max_size=6))
def test_bounds_and_lengths(every: list[Curve]) -> None:
    assert bounds_of(every).tolist() == [list(anew(curve).bounds) for curve in every]
    assert lengths_of(every) == pytest.approx([anew(curve).length for curve in every])


@given(EVERY, st.sampled_from([0.1, 0.001]))
def test_vertices_are_the_same_bit_for_bit(every: list[Curve], tolerance: float) -> None:
    fresh = [anew(curve) for curve in every]
    flatten_all(fresh, tolerance)
    for one, other in zip(fresh, every, strict=True):
        assert one.has_flattened(tolerance)
        assert one.flattened(tolerance).tolist() == anew(other).flattened(tolerance).tolist()
        assert not one.flattened(tolerance).flags.writeable


@given(st.lists(curves(closed=True) | CIRCLES, max_size=6))
def test_areas_and_polygons(rings: list[Curve]) -> None:
    assert areas_of(rings) == pytest.approx([anew(ring).area for ring in rings])
    made = polygons(rings, 0.01)
    wanted = [shapely.Polygon(anew(ring).flattened(0.01)) for ring in rings]
    assert len(made) == len(wanted)
    assert all(shapely.equals_exact(one, other, 0.0) for one, other in zip(made, wanted, strict=True))


def test_points_have_no_length_among_lines() -> None:
    line = Curve([(0.0, 0.0), (3.0, 4.0)])
    assert lengths_of([Curve.point((1.0, 1.0)), line, Curve.point((2.0, 2.0))]).tolist() == [0.0, 5.0, 0.0]
    assert lengths_of([]).tolist() == []


@given(st.lists(st.tuples(PLACE, PLACE).filter(lambda ends: ends[0] != ends[1]), max_size=5))
def test_lines_made_at_once_are_those_made_one_by_one(ends: list[tuple[Place, Place]]) -> None:
    made = Curve.lines(ends)
    assert made == [Curve(pair) for pair in ends]
    assert all(not line.points.flags.writeable and not line.sweeps.flags.writeable for line in made)


@pytest.mark.parametrize("end", [(2.0 * FARTHEST, 1.0), (math.nan, 1.0), (1.0, math.inf), (1e-9, 0.0), (0.0, 0.0)])
def test_a_line_that_cannot_be_is_refused_as_alone(end: Place) -> None:
    with pytest.raises(ModelError) as alone:
        Curve([(0.0, 0.0), end])
    with pytest.raises(ModelError) as among:
        Curve.lines([((0.0, 0.0), (1.0, 1.0)), ((0.0, 0.0), end)])
    assert among.value.findings == alone.value.findings
