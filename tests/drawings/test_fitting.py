"""Smooth curves as lines and arcs: judged by dense samples and shapely's distance, not by the fitting's own."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from pathkit.drawings.biarcs import Floats
from pathkit.drawings.curve_builder import Chain
from pathkit.drawings.svg_path import curves_of_path

place = st.integers(-40, 40)
handle = st.tuples(place, place)


def bezier(p: Floats, t: Floats) -> Floats:
    """A point by De Casteljau's construction, which the fitting does not use."""
    rows = [np.broadcast_to(point, (len(t), 2)) for point in p]
    while len(rows) > 1:
        rows = [a + (b - a) * t[:, None] for a, b in pairwise(rows)]
    return rows[0]


@given(handle, handle, handle, handle)
def test_a_bezier_stays_within_its_tolerance(
    a: tuple[int, int], b: tuple[int, int], c: tuple[int, int], d: tuple[int, int]
) -> None:
    curves = curves_of_path(f"M{a[0]} {a[1]}C{b[0]} {b[1]} {c[0]} {c[1]} {d[0]} {d[1]}", tolerance=0.01)
    dense = bezier(np.array([a, b, c, d], dtype=float), np.linspace(0.0, 1.0, 800))
    if np.ptp(dense, axis=0).max() < 1e-6:
        assert not curves
        return
    (curve,) = curves
    drawn = curve.flattened(1e-4)
    drawn = np.vstack([drawn, drawn[:1]]) if curve.closed else drawn
    line = shapely.LineString(drawn)
    assert shapely.distance(line, shapely.points(dense)).max() < 0.011
    back = shapely.distance(shapely.LineString(dense), shapely.points(drawn)).max()
    step = np.hypot(*np.diff(dense, axis=0).T).max()
    assert back < 0.011 + step / 2.0


def test_a_straight_bezier_is_one_line_and_a_round_one_few_arcs() -> None:
    (straight,) = curves_of_path("M0 0C1 0 2 0 3 0")
    assert len(straight.points) == 2
    # The usual Bézier for a quarter circle (k = 0.5523) strays 0.027 % of the radius (Goldapp 1991, from memory).
    (quarter,) = curves_of_path("M10 0C10 5.523 5.523 10 0 10")
    assert len(quarter.points) <= 5
    assert quarter.length == pytest.approx(math.pi * 5.0, rel=5e-4)


def test_a_bezier_that_turns_back_on_itself_keeps_its_cusp() -> None:
    (cusp,) = curves_of_path("M0 0C10 10 0 10 10 0", tolerance=0.005)
    dense = bezier(np.array([[0, 0], [10, 10], [0, 10], [10, 0]], dtype=float), np.linspace(0, 1, 4001))
    assert cusp.length == pytest.approx(float(np.hypot(*np.diff(dense, axis=0).T).sum()), abs=0.02)


@pytest.mark.parametrize("share", [1.0, 0.5, 0.05])
def test_an_ellipse_has_the_area_it_should(share: float) -> None:
    u, v = np.array([10.0, 0.0]), np.array([0.0, 10.0 * share])
    chain = Chain(u)
    chain.elliptic(np.zeros(2), u, v, 0.0, 2.0 * math.pi, 0.005)
    ring = chain.curve(gap=1e-6)
    assert ring is not None
    assert ring.closed
    assert ring.area == pytest.approx(math.pi * 100.0 * share, abs=0.005 * 45.0)
    assert (len(ring.points) == 2) == (share == 1.0), "a circle stays a circle: two half turns"


@pytest.mark.parametrize(
    "text",
    ["", "hello", "10 10L20 20", "L1 1", "M0 0L10", "M0 0 L10 10 garbage 20 20", "M0 0A5 5 0 2 0 9 9", "M0 0z1", "M",
     "M0 0 L nan 1", "M0 0L1e999 0", "M0 0C1 2 3 4 5"],
)  # fmt: skip
def test_what_is_no_path_is_refused_whole(text: str) -> None:
    with pytest.raises(ValueError, match=r"not a path|not finite"):
        curves_of_path(text)


def test_subpaths_arcs_and_relative_commands() -> None:
    curves = curves_of_path("m0 0h10v5h-10z m20 0a5 5 0 0 1 10 0 M5 5A1 1 0 0 0 25 5")
    assert [c.closed for c in curves] == [True, False, False]
    assert curves[0].area == pytest.approx(50.0)
    assert curves[1].length == pytest.approx(math.pi * 5.0)
    # Radii that are too small are enlarged until the arc reaches its end (SVG 1.1, F.6.6).
    assert curves[2].length == pytest.approx(math.pi * 10.0)
    assert np.count_nonzero(curves[1].sweeps) == len(curves[1].sweeps)
