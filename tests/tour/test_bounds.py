"""A bound may never claim more than is so."""

from __future__ import annotations

import numpy as np
import pytest

from pathkit.tour import Problem, solve
from pathkit.tour.core import frame
from pathkit.tour.solve import proved_bound


def test_a_tree_over_few_edges_would_claim_too_much() -> None:
    """With 5 neighbours of 200 points the sparse tree's value passes the tour found; the bound from all pairs does not.

    Clusters make it plain: five nearest never leave a cluster, so that what joins them is dear.
    """
    from pathkit.tour import bound, plain
    from pathkit.tour.onetree import sparse_one_tree

    random = np.random.default_rng(5)
    points = np.vstack([centre + random.random((20, 2)) for centre in random.random((10, 2)) * 1000])
    problem = Problem.from_points(points, closed=True)
    tour = solve(problem, effort=1, bound=False)
    core = frame(problem).core
    own = plain.nodes(core)
    far = np.linalg.norm(own.points[:, None] - own.points[None], axis=2)
    near = np.argsort(far, axis=1)[:, 1:6].astype(np.int32)
    chain = np.array(tour.order, dtype=np.int32)
    node = {tuple(p): k for k, p in enumerate(own.points.tolist())}
    ring = np.array([node[tuple(points[item])] for item in chain], dtype=np.int32)
    # the sparse graph: five nearest, and a poor chain that joins the clusters
    poor = np.concatenate([ring[::20], ring[:1]]).astype(np.int32)
    u = np.concatenate([np.repeat(np.arange(200), 5), poor[:-1]]).astype(np.int32)
    v = np.concatenate([near.ravel(), poor[1:]]).astype(np.int32)
    cost = far[u, v]
    empty = np.full(200, -1, dtype=np.int32)
    degree, parent = np.zeros(200, dtype=np.int32), np.zeros(200, dtype=np.int32)
    graph = bound._joined(
        bound._Graph(np.zeros(0, dtype=np.int32), np.zeros(0, dtype=np.int32), np.zeros(0)), u, v, cost, empty
    )
    weight = bound._weights(graph, empty, tour.length, np.zeros(200), 500, 1.0)
    order = np.argsort(graph.cost + weight[graph.u] + weight[graph.v])
    sparse = sparse_one_tree(graph.u, graph.v, graph.cost, order, empty, weight, degree, parent) - 2 * weight.sum()
    assert sparse > tour.length
    proved = proved_bound(problem, tour.length)
    assert 0.85 * tour.length < proved <= tour.length


@pytest.mark.parametrize("count", [60, 300])
def test_close_below_good_tours_of_random_points(count: int) -> None:
    """The Held-Karp bound of random uniform points is 0.7 to 0.8 % below the optimum (Johnson and McGeoch 1996)."""
    problem = Problem.from_points(np.random.default_rng(count).random((count, 2)), closed=True)
    tour = solve(problem, effort=0.5)
    assert 0.97 < tour.bound / tour.length <= 1


def test_linear_memory_bound_of_very_many_points() -> None:
    from pathkit.tour import bound, plain

    core = frame(Problem.from_points(np.random.default_rng(1).random((400, 2)), closed=True)).core
    own = plain.nodes(core)
    _, gap = plain.near_nodes(core, own)
    weak = bound._two_nearest(own, gap)
    assert 0 < weak < bound.plain_bound(core, own, 20.0) < 0.7124 * 20 * 1.1
