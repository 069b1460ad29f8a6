"""A bound may never claim more than is so."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathkit.tour import Item, Metric, Problem, solve
from pathkit.tour.core import frame, tabulate
from pathkit.tour.solve import proved_bound


def test_a_tree_over_few_edges_would_claim_too_much() -> None:
    """With 5 neighbours of 200 points the sparse tree's value passes the tour found; the bound from all pairs does not.

    Clusters make it plain: five nearest never leave a cluster, so that what joins them is dear.
    """
    from pathkit.tour.onetree import Grid, ascend
    from pathkit.tour.pairs import join, rim_of, rules_of

    random = np.random.default_rng(5)
    points = np.vstack([centre + random.random((20, 2)) for centre in random.random((10, 2)) * 1000])
    problem = Problem.from_points(points, closed=True)
    tour = solve(problem, effort=1, bound=False)
    framed = frame(problem)
    core, place = framed.core, np.argsort(framed.items)
    far = np.linalg.norm(core.entry[:, None] - core.entry[None], axis=2)
    near = np.argsort(far, axis=1)[:, 1:6]
    # the sparse graph: five nearest, and a poor chain that joins the clusters
    ring = place[list(tour.order)]
    poor = np.concatenate([ring[::20], ring[:1]])
    one = np.concatenate([np.repeat(np.arange(200), 5), poor[:-1]]).astype(np.int32)
    two = np.concatenate([near.ravel(), poor[1:]]).astype(np.int32)
    rules = rules_of(core)
    pairs, rim = join(core, rules, one, two, 0), rim_of(core, rules)
    grid = Grid(np.zeros((0, 200), dtype=np.int32), np.zeros((0, 1)))
    weight, premium = np.zeros(200), np.zeros(200)
    sparse = ascend(pairs, rim, core.owner, grid, weight, premium, False, tour.length, 1000, 1.0)
    assert sparse > tour.length
    proved = proved_bound(problem, tour.length)
    assert 0.85 * tour.length < proved <= tour.length


@pytest.mark.parametrize("count", [60, 300])
def test_close_below_good_tours_of_random_points(count: int) -> None:
    """The Held-Karp bound of random uniform points is 0.7 to 0.8 % below the optimum (Johnson and McGeoch 1996)."""
    problem = Problem.from_points(np.random.default_rng(count).random((count, 2)), closed=True)
    tour = solve(problem, effort=0.5)
    assert 0.97 < tour.bound / tour.length <= 1


def test_trees_over_every_pair_are_the_cheapest() -> None:
    """Kruskal's tree over the whole table of prices (scipy's) costs the same, whatever the weights and premiums."""
    from scipy.sparse.csgraph import minimum_spanning_tree

    from pathkit.tour.forest import blocks, every_pair
    from pathkit.tour.pairs import rim_of, rules_of

    random = np.random.default_rng(3)
    n = 300
    at = random.random((n, 3, 2)) * 30 + random.random((n, 1, 2)) * 100
    items = [Item([((a, b), (a + 2, b)) for a, b in spots], reversible=k % 2 == 0) for k, spots in enumerate(at)]
    core = frame(Problem.from_items(items, start=(0, 0), metric=Metric(retract=2))).core
    rules = rules_of(core)
    for scale in (0.0, 1.0, 30.0):
        weight, premium = random.normal(size=n + 1) * scale, random.normal(size=len(core.owner)) * scale
        tail, head = np.zeros(n - 1, dtype=np.int32), np.zeros(n - 1, dtype=np.int32)
        rim = rim_of(core, rules)
        value = every_pair(core, rules, blocks(core, rules), rim, weight, premium, tail, head)
        price = tabulate(core) + premium[:, None] - premium + weight[core.owner][:, None] + weight[core.owner]
        heads = core.first[:-1]
        table = np.minimum.reduceat(np.minimum.reduceat(price, heads, axis=0), heads, axis=1)
        least = np.minimum(table, table.T)[1:, 1:]
        lift = 1.0 - least.min()  # scipy takes 0 for no edge
        tree = minimum_spanning_tree(np.triu(least + lift, 1)).sum() - (n - 1) * lift
        assert value == pytest.approx(tree + table[0, 1:].min() + table[1:, 0].min() - 2 * weight.sum())


@st.composite
def ruled(draw: st.DrawFn) -> Problem:
    """Costs as a matrix or points with variants, some arcs forbidden, with precedence, stages, groups, a fixed first."""
    n = draw(st.integers(2, 7))
    sizes = [draw(st.integers(1, 3)) for _ in range(n)]
    random = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    m = sum(sizes)
    matrix = random.integers(0, draw(st.sampled_from([3, 40])) + 1, (m, m)).astype(float)
    if draw(st.booleans()):
        matrix = np.minimum(matrix, matrix.T)
    matrix[random.random((m, m)) < draw(st.sampled_from([0.0, 0.1]))] = np.inf
    closed = draw(st.booleans())
    stage = np.sort(random.integers(0, draw(st.integers(1, 3)), n)) if not closed else np.zeros(n)
    first = draw(st.sampled_from([None, 0]))
    likely = draw(st.sampled_from([0.0, 0.2, 0.5]))
    pairs = [(a, b) for a in range(n) for b in range(a + 1, n) if random.random() < likely]
    rows = np.split(random.permutation(m), np.cumsum(sizes)[:-1])
    return Problem.from_matrix(
        matrix,
        items=[own.tolist() for own in rows],
        first=first,
        closed=closed,
        precedence=pairs if not closed or first == 0 else [],
        stage=stage,
        group=random.integers(0, 2, n),
        switch_cost=draw(st.sampled_from([0.0, 4.0])),
    )


@settings(max_examples=150)
@given(ruled(), st.sampled_from([1.0, 1.1]))
def test_never_above_the_optimum_of_what_a_matrix_rules(problem: Problem, slack: float) -> None:
    """Against dynamic programming over sets (Held and Karp 1962)."""
    from pathkit.tour import exact
    from pathkit.tour.arcs import total
    from pathkit.tour.bound import lower_bound

    framed = frame(problem)
    optimum = total(framed.core, exact.best_order(framed.core))
    if optimum < framed.forbidden:
        assert lower_bound(framed.core, optimum * slack) <= optimum + 1e-9
