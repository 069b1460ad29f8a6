"""What cuts sweep at a height, in plan."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import shapely
from hypothesis import given
from hypothesis import strategies as st

from pathkit.proof.material.cross_sections import grown, united


@given(st.lists(st.tuples(*[st.floats(0.0, 50.0)] * 2, *[st.floats(0.1, 9.0)] * 2), max_size=25))
def test_what_is_united_in_clusters_is_the_union(boxes: list[tuple[float, float, float, float]]) -> None:
    """Held against one union of them all, by GEOS."""
    regions = [shapely.box(x, y, x + width, y + depth) for x, y, width, depth in boxes]
    whole = shapely.union_all(regions)
    assert shapely.area(shapely.symmetric_difference(united(regions), whole)) <= 1e-9 * max(whole.area, 1.0)
    assert len(shapely.get_parts(united(regions))) == len(shapely.get_parts(whole))


def test_what_a_cut_goes_round_is_not_swept() -> None:
    """A lap with a way on and a way off, whose middle one call of the buffer calls swept (GEOS 3.14)."""
    points = [
        (2.84, 7.05), (3.4, 8.85), (3.2, 8.9), (-8.8, -3.6), (-7.0, -6.4), (6.0, -7.3), (3.6, 8.8), (3.4, 8.85),
        (2.6, 7.11),
    ]  # fmt: skip
    line = shapely.LineString(points)
    assert not line.is_simple
    middle = shapely.Point(-1.0, -1.0)
    assert line.distance(middle) > 1.6
    for swept in (grown(line, 1.6), grown(np.array([line, middle], dtype=object), 1.6)[0]):
        assert swept.is_valid
        assert not swept.contains(middle)
        whole = shapely.union_all([shapely.LineString(pair).buffer(1.6, quad_segs=64) for pair in pairwise(points)])
        assert swept.symmetric_difference(whole).area < 0.01
