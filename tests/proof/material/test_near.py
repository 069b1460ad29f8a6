"""Places held against segments: the same answers as shapely's distance, place by place (GEOS is the reference)."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from pathkit.proof.material.near import Near

SEGMENTS = st.tuples(st.integers(0, 60), st.floats(0.1, 300.0), st.integers(0, 2**32 - 1))


def made(count: int, size: float, seed: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Segments of several owners: short and long ones, level and upright ones, and some without length."""
    random = np.random.default_rng(seed)
    start = random.uniform(-size, size, (count, 3))
    end = start + random.normal(0.0, size * random.choice([0.01, 1.0], (count, 1)), (count, 3))
    end[::3, 0] = start[::3, 0]
    end[::4, 1] = start[::4, 1]
    return start, end, random.integers(0, 4, count).astype(np.int32)


@given(SEGMENTS, st.floats(0.01, 50.0))
def test_distance_and_lowest_place_are_those_of_the_geometry(segments: tuple[int, float, int], near: float) -> None:
    start, end, owner = made(*segments)
    random = np.random.default_rng(segments[2] + 1)
    places = random.uniform(-1.3 * segments[1], 1.3 * segments[1], (40, 2))
    mine = random.integers(0, 4, 40).astype(np.int32)
    apart, lowest, which = Near(start, end, owner).held(places, mine, near)
    for place, index, found, z, nearest in zip(places, mine, apart, lowest, which, strict=True):
        own = owner == index
        one, other = start[own], end[own]
        still = (one[:, :2] == other[:, :2]).all(axis=1)
        lines = [
            shapely.Point(a[:2]) if s else shapely.LineString([a[:2], b[:2]])
            for a, b, s in zip(one, other, still, strict=True)
        ]
        away = np.array([line.distance(shapely.Point(place)) for line in lines])
        if (np.abs(away - near) < 1e-9).any():
            continue
        inside = away < near
        assert found == pytest.approx(away[inside].min(initial=np.inf), abs=1e-9)
        assert (nearest < 0) == (not inside.any())
        if nearest >= 0:
            assert away[np.flatnonzero(own).tolist().index(nearest)] == pytest.approx(found, abs=1e-9)
        share = [
            0.0 if s else line.project(shapely.Point(place), normalized=True)
            for line, s in zip(lines, still, strict=True)
        ]
        heights = np.where(still, np.minimum(one[:, 2], other[:, 2]), one[:, 2] + np.array(share) * (other - one)[:, 2])
        assert z == pytest.approx(heights[inside].min(initial=np.inf), abs=1e-6)


@given(SEGMENTS)
def test_a_group_lies_near_an_owner_only_with_all_its_places(segments: tuple[int, float, int]) -> None:
    start, end, owner = made(*segments)
    random = np.random.default_rng(segments[2] + 2)
    places = random.uniform(-segments[1], segments[1], (12, 2))
    first = np.array([0, 1, 1, 4, 12])
    reach = random.uniform(0.1, segments[1], 4)
    near = Near(start, end, owner)
    found = {(g, o): mean for g, o, mean in zip(*near.all_near(places, first, reach), strict=True)}
    for group in range(4):
        some = places[first[group] : first[group + 1]]
        for index in range(4):
            apart, _, _ = near.held(some, index, float(reach[index]))
            whole = len(some) > 0 and bool(np.isfinite(apart).all())
            assert ((group, index) in found) == whole
            if whole:
                assert found[group, index] == pytest.approx(apart.mean())


def test_nothing_is_near_no_segments() -> None:
    nothing = Near(np.zeros((0, 3)), np.zeros((0, 3)), np.zeros(0, np.int32))
    apart, lowest, which = nothing.held(np.zeros((2, 2)), 0, 5.0)
    assert (which == -1).all()
    assert np.isinf(apart).all()
    assert np.isinf(lowest).all()
