"""A bound is never higher than the optimum."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathkit.tour import Item, Metric, Problem, solve
from pathkit.tour.kernel.frame import frame, tabulate
from pathkit.tour.solve import proved_bound


def test_a_tree_over_few_edges_would_claim_too_much() -> None:
    """With 5 neighbours for each of 200 points the sparse tree costs more than the tour found; the bound from all pairs
    costs less.

    Clusters show it best: the five nearest never leave a cluster, so that the links between clusters are dear.
    """
    from pathkit.tour.bound.cuts import compiled
    from pathkit.tour.bound.sparse_graph import Prices, join, rim_of, rules_of
    from pathkit.tour.bound.subgradient import Dual, Grid, ascend

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
    rules, nothing = rules_of(core), np.zeros(200)
    pairs = join(core, rules, (one, two), False, Prices(nothing, nothing, nothing), np.full(200, np.inf))
    grid = Grid(np.zeros((0, 200), dtype=np.int32), np.zeros((0, 1)))
    dual = Dual(np.zeros(200), np.zeros(200), np.zeros(0))
    rim, cuts = rim_of(core, rules), compiled([], pairs, 200)
    sparse, _ = ascend(pairs, rim, core.owner, (grid, grid), cuts, dual, False, tour.length, 1000)
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
    """scipy's minimum spanning tree over the whole table of prices costs the same, whatever is added to the arcs."""
    from scipy.sparse.csgraph import minimum_spanning_tree

    from pathkit.tour.bound.boruvka import blocks, every_pair
    from pathkit.tour.bound.sparse_graph import Prices, join, rim_of, rules_of

    random = np.random.default_rng(3)
    n = 300
    at = random.random((n, 3, 2)) * 30 + random.random((n, 1, 2)) * 100
    items = [Item([((a, b), (a + 2, b)) for a, b in spots], reversible=k % 2 == 0) for k, spots in enumerate(at)]
    core = frame(Problem.from_items(items, start=(0, 0), metric=Metric(retract=2))).core
    rules = rules_of(core)
    rim, m = rim_of(core, rules), len(core.owner)
    near = random.integers(0, m, (2, 4 * m), dtype=np.int32)
    none = Prices(np.zeros(m), np.zeros(m), np.zeros(0))
    pairs = join(core, rules, (near[0], near[1]), True, none, np.full(n + 1, np.inf))
    for scale in (0.0, 1.0, 30.0):
        leave, enter = random.normal(size=(2, m)) * scale
        prices = Prices(leave, enter, random.random(len(pairs.tail)) * scale)
        tail, head = np.zeros(n - 1, dtype=np.int32), np.zeros(n - 1, dtype=np.int32)
        value = every_pair(core, rules, blocks(core, rules), rim, pairs, prices, tail, head)
        price = tabulate(core) + leave[:, None] + enter
        price[pairs.tail, pairs.head] += prices.toll
        heads = core.first[:-1]
        table = np.minimum.reduceat(np.minimum.reduceat(price, heads, axis=0), heads, axis=1)
        least = np.minimum(table, table.T)[1:, 1:]
        lift = 1.0 - least.min()  # scipy takes 0 for no edge
        tree = minimum_spanning_tree(np.triu(least + lift, 1)).sum() - (n - 1) * lift
        assert value == pytest.approx(tree + table[0, 1:].min() + table[1:, 0].min())


@st.composite
def ruled(draw: st.DrawFn) -> Problem:
    """Costs as a matrix, some arcs forbidden, with variants, precedence, stages, groups, a fixed first item."""
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
@given(
    ruled(),
    st.sampled_from([1.0, 1.1]),
    st.sampled_from(["trees", "trees of many", "some remembered", "all remembered"]),
)
def test_never_above_the_optimum_of_what_a_matrix_rules(problem: Problem, slack: float, how: str) -> None:
    """Against dynamic programming over sets (Held and Karp 1962)."""
    from pathkit.tour import dynamic_programming
    from pathkit.tour.bound import held_karp, last_stages, short_memory
    from pathkit.tour.kernel.costs import total

    framed = frame(problem)
    optimum = total(framed.core, dynamic_programming.best_order(framed.core))
    with pytest.MonkeyPatch.context() as patch:
        if how.startswith("trees"):
            patch.setattr(last_stages, "affordable", lambda *_: False)
            patch.setattr(held_karp, "LARGE", 2 if how == "trees of many" else held_karp.LARGE)
        elif how == "some remembered":
            patch.setattr(last_stages, "CONTOURS", 1)
            for name, value in (("ALL", 1), ("MOST", 2), ("LEAST", 1)):
                patch.setattr(short_memory, name, value)
        if optimum < framed.forbidden:
            assert held_karp.lower_bound(framed.core, optimum * slack) <= optimum + 1e-9


@settings(max_examples=25)
@given(st.integers(0, 2**32 - 1), st.sampled_from([1, 4]))
def test_no_order_breaks_a_cut(seed: int, variants: int) -> None:
    """An order that runs through the items of a cut one after the other uses as much of the cut as any order can."""
    from pathkit.tour.bound.cuts import broken, compiled
    from pathkit.tour.bound.sparse_graph import Prices, join, rim_of, rules_of
    from pathkit.tour.bound.subgradient import Dual, Grid, ascend

    random = np.random.default_rng(seed)
    n = 40
    spots = random.random((n, 1, 2)) * 100 + (random.random((n, variants, 2)) - 0.5) * 20
    core = frame(Problem.from_items([Item([(p, p) for p in own.tolist()]) for own in spots], start=(0, 0))).core
    rules, m = rules_of(core), len(core.owner)
    every = np.argwhere(core.owner[:, None] < core.owner).astype(np.int32).T
    whole = variants > 1
    none = Prices(np.zeros(m), np.zeros(m), np.zeros(0))
    pairs = join(core, rules, (every[0], every[1]), whole, none, np.full(n + 1, np.inf))
    dual = Dual(np.zeros(n + 1), np.zeros(m), np.zeros(0))
    grid = Grid(np.zeros((0, m), dtype=np.int32), np.zeros((0, 1)))
    no_cuts = compiled([], pairs, m)
    _, average = ascend(pairs, rim_of(core, rules), core.owner, (grid, grid), no_cuts, dual, False, 700.0, 300)
    found = broken(core, pairs, average)
    assert found or variants == 1
    cuts = compiled(found, pairs, m)
    for c, cut in enumerate(found):
        arcs = cuts.arc[cuts.at[c] : cuts.at[c + 1]]
        count = Counter(zip(pairs.tail[arcs].tolist(), pairs.head[arcs].tolist(), strict=True))
        if not whole:
            count += Counter({(v, u): times for (u, v), times in count.items()})
        touched = np.unique(np.concatenate(cut.sets))
        for _ in range(20):
            first = random.permutation(touched)
            visits = np.concatenate([first, random.permutation(m)])
            visits = visits[np.sort(np.unique(core.owner[visits], return_index=True)[1])]
            visits = np.concatenate([[0], visits[visits > 0], [0]])
            used = sum(count[arc] for arc in pairwise(visits.tolist()))
            assert used <= cut.most + np.isin(visits[1:-1], cut.spare).sum()


def test_contours_are_not_crossed_for_nothing() -> None:
    """Rings in a row: a tree that may enter and leave each ring anywhere omits the ways within the rings."""
    turns = np.arange(8) * np.pi / 4
    around = 10.0 * np.column_stack([np.cos(turns), np.sin(turns)])
    rings = [Item([((x + 30.0 * k, y),) * 2 for x, y in around.tolist()]) for k in range(16)]
    problem = Problem.from_items(rings, start=(-15.0, 0.0), end=(465.0, 0.0))
    tour = solve(problem, effort=0.5, bound=False)
    gaps = 15 * 10.0 + 10.0  # all that such a tree counts
    assert 1.2 * gaps < proved_bound(problem, tour.length) <= tour.length


def test_close_below_orders_with_stages_and_precedence() -> None:
    """One-way strokes, contours and holes: the bound knows how they can be run, and precedence."""
    random = np.random.default_rng(2)
    items, pairs = [], []
    for k, (x, y) in enumerate(random.random((40, 2)) * 400):
        items += [
            Item([((x, y), (x + 6, y + 3))]),
            Item.at(x - 8, y - 5),
            Item([((x + a, y + b), (x + a, y + b)) for a, b in ((15, 0), (0, 15), (-15, 0), (0, -15))], stage=k % 2),
        ]
        pairs += [(3 * k, 3 * k + 2), (3 * k + 1, 3 * k + 2)]
    problem = Problem.from_items(items, start=(0, 0), metric=Metric(retract=5), precedence=pairs)
    tour = solve(problem, effort=0.2, bound=False)
    assert 0.75 < proved_bound(problem, tour.length) / tour.length <= 1
