"""What was fitted and is fitted again stays as it is, and still lies within the tolerance of all that was there."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from pathkit.curves.fitting import fit
from tests.geometry.judged_fits import judge

Array = NDArray[np.float64]


def fitted_twice(points: Array, sweeps: Array, feeds: Array, tolerance: float) -> None:
    once = fit(points, sweeps, feeds, tolerance)
    judge(points, sweeps, feeds, tolerance, once)
    twice = fit(once.points, once.sweeps, once.feeds, tolerance)
    assert twice.points.tolist() == once.points.tolist()
    assert twice.sweeps.tolist() == once.sweeps.tolist()


@given(
    st.integers(0, 2**32 - 1), st.sampled_from([0.0, 0.001, 0.004, 0.02]), st.sampled_from([0.005, 0.01, 0.05]),
    st.booleans(),
)  # fmt: skip
def test_a_smooth_ground_stays(seed: int, noise: float, tolerance: float, rounded: bool) -> None:
    """To and fro over hills, where a bound on each chord alone lets the next look drop more."""
    draws = np.random.default_rng(seed)
    long, high, slow = draws.uniform(4.0, 20.0), draws.uniform(0.3, 3.0), draws.uniform(5.0, 25.0)
    rows = []
    for row in range(4):
        x = np.linspace(0.0, 100.0, 250)[:: 1 if row % 2 == 0 else -1]
        z = high * np.sin(x / long) * math.cos(row / slow) + noise * draws.standard_normal(len(x))
        rows.append(np.stack([x, np.full(len(x), 0.5 * row), z], axis=1))
    points = np.concatenate(rows)
    points = np.round(points, 3) if rounded else points
    spans = len(points) - 1
    fitted_twice(points, np.zeros(spans), np.full(spans, 1800.0), tolerance)


@given(st.integers(0, 2**32 - 1), st.sampled_from([0.0, 0.002]), st.sampled_from([0.005, 0.02, 0.1]))
def test_a_curve_in_the_plane_stays(seed: int, noise: float, tolerance: float) -> None:
    """Arcs, where lines that are left after noise was dropped would become more of them."""
    draws = np.random.default_rng(seed)
    t = np.linspace(0.0, 12.0, 800)
    radius = 30.0 + sum(draws.uniform(0.0, 6.0) * np.sin(draws.uniform(0.3, 3.0) * t + draws.uniform(0.0, 6.0))
                        for _ in range(3))  # fmt: skip
    points = np.stack([radius * np.cos(t), radius * np.sin(t), np.zeros(len(t))], axis=1)
    points[:, :2] += noise * draws.standard_normal((len(t), 2))
    spans = len(points) - 1
    fitted_twice(points, np.zeros(spans), np.full(spans, 900.0), tolerance)


def test_where_the_ground_bends_the_other_way_one_vertex_vouches() -> None:
    """An S in five vertices: its ends' chord passes the one that was left, and not those that were dropped for it."""
    x = np.linspace(0.0, 40.0, 81)
    points = np.stack([x, np.zeros(81), 0.012 * np.sin(x / 40.0 * 2.0 * math.pi)], axis=1)
    once = fit(points, np.zeros(80), np.full(80, 900.0), 0.01)
    assert fit(once.points, once.sweeps, once.feeds, 0.01).points.tolist() == once.points.tolist()
    assert np.abs(np.interp(x, once.points[:, 0], once.points[:, 2]) - points[:, 2]).max() <= 0.01 + 1e-9


@pytest.mark.parametrize("rows", [3, 12])
def test_it_costs_few_vertices(rows: int) -> None:
    """Beside the same greedy search without a second look, whose rows are at most as many lines as here."""
    x = np.linspace(0.0, 200.0, 500)
    spans = 499
    for row in range(rows):
        points = np.stack([x, np.full(500, float(row)), -2.0 + 1.5 * np.sin(x / 9.0) * math.cos(row / 13.0)], axis=1)
        once = fit(points, np.zeros(spans), np.full(spans, 1800.0), 0.01)
        # A chord of length c on a radius r has a sagitta of c²/8r; r is at least 81/1.5 mm (1/|z''|).
        assert len(once.sweeps) < 200.0 / math.sqrt(8.0 * 0.01 * 54.0) * 1.25
