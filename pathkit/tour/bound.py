"""What no order can cost less than: Held-Karp ascent on 1-trees (Operations Research 18(6), 1970; 19, 1971), and
assignment where costs differ by direction.

Weights on the points are found on a sparse graph, which alone would bound nothing: a tree over few edges is dearer
than one over all. So the bound is read off once from the cheapest tree over *all* pairs under those weights, which is
valid whatever the weights are.

For items with variants each pair counts at its cheapest variants and direction; precedence only forbids arcs; stages
stand together, with one edge between each and the next. All this leaves orders in that are not allowed, which can
lower the bound but never raise it above the best order.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.core import Core
from pathkit.tour.neighbours import between_items, near_items
from pathkit.tour.onetree import (
    complete_tree,
    ends,
    item_costs,
    item_tree,
    pair_costs,
    second_item_links,
    second_links,
    sparse_one_tree,
)
from pathkit.tour.plain import Nodes, near_nodes
from pathkit.tour.quadrants import least

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

ROUNDS = 3  # ascents; after each, edges the complete tree uses are added to the sparse graph
PATIENCE = 100  # steps without a better value before they shrink
WORK = 1.2e6  # points times iterations of one ascent
PAIRS = 30_000**2  # pairs a complete tree looks through, two seconds
ASSIGNED = 2_000  # items up to which an assignment is solved
SAFE = 1e-9  # relative; keeps rounding in a long sum from claiming more than is proved

Complete = Callable[[Floats, Ints, Ints], float]
Price = Callable[[Ints, Ints], Floats]


class _Graph(NamedTuple):
    u: Ints
    v: Ints
    cost: Floats


def plain_bound(core: Core, own: Nodes, length: float) -> float:
    """Lower bound of a plain tour; ``length`` is that of a known one."""
    n = len(own.points)
    near, gap = near_nodes(core, own)
    if float(n) * n > PAIRS:
        return _two_nearest(own, gap)
    rules, free, fixed = core.rules, own.free, own.fixed

    def complete(weight: Floats, degree: Ints, link: Ints) -> float:
        tree = complete_tree(own.points, rules, free, fixed, weight, degree, link)
        return tree + second_links(own.points, rules, free, fixed, weight, degree)

    def price(tail: Ints, head: Ints) -> Floats:
        return pair_costs(own.points, rules, free, tail, head)

    return _ascend(near, gap, fixed, length, complete, price)


def general_bound(core: Core, length: float) -> float:
    """Lower bound of any problem; ``length`` is that of a known order."""
    n = len(core.first) - 1
    if n < 3 or float(n) * n > PAIRS:
        return 0.0
    near = near_items(core, 10)
    gap = least(core, near, 1 << 30)
    heads = core.first[:-1]
    corners = [np.minimum(core.entry, core.exit), np.maximum(core.entry, core.exit)]
    boxes = np.hstack([np.minimum.reduceat(corners[0], heads), np.maximum.reduceat(corners[1], heads)])

    staged = len(np.unique(core.low)) > 1
    big = 10.0 * (1.0 + length) if staged else 0.0

    def complete(weight: Floats, degree: Ints, link: Ints) -> float:
        if staged:
            big_enough = big + 4.0 * float(np.max(np.abs(weight)))
            return item_tree(core, boxes, weight, degree, link, 1, big_enough) + ends(core, weight, degree, link)
        tree = item_tree(core, boxes, weight, degree, link, 0, 0.0)
        return tree + second_item_links(core, boxes, weight, degree)

    def price(tail: Ints, head: Ints) -> Floats:
        # in the sparse graph an edge between stages is a last resort
        across = (core.low[tail] != core.low[head]) & (tail > 0) & (head > 0)
        costs: Floats = np.where(across, big, 0.0) + item_costs(core, boxes, tail, head)
        return costs

    fixed = np.full(n, -1, dtype=np.int32)
    if staged:
        u = np.repeat(np.arange(n, dtype=np.int32), near.shape[1])
        gap = price(u, near.ravel()).reshape(near.shape)
    bound = _ascend(near, gap, fixed, length, complete, price)
    if len(core.costs) and n <= ASSIGNED:
        bound = max(bound, _assignment(core))
    return bound


def _ascend(near: Ints, gap: Floats, fixed: Ints, length: float, complete: Complete, price: Price) -> float:
    """Best bound over a few ascents, each on a graph that holds the complete trees found before."""
    n = len(near)
    graph = _Graph(np.zeros(0, dtype=np.int32), np.zeros(0, dtype=np.int32), np.zeros(0))
    graph = _joined(graph, np.repeat(np.arange(n, dtype=np.int32), near.shape[1]), near.ravel(), gap.ravel(), fixed)
    weight, best = np.zeros(n), 0.0
    degree, link = np.zeros(n, dtype=np.int32), np.zeros(n, dtype=np.int32)
    iterations = int(min(max(WORK / n, 30), 3000))
    for round_ in range(ROUNDS + 1):
        bound = complete(weight, degree, link) - 2.0 * float(np.sum(weight))
        best = max(best, bound - SAFE * (abs(length) + float(np.sum(np.abs(weight)))))
        if round_ == ROUNDS or length - best <= SAFE * length:
            break
        tail, head = np.arange(1, n, dtype=np.int32), link[1:]
        graph = _joined(graph, tail, head, price(tail, head), fixed)
        weight = _weights(graph, fixed, length, weight, iterations, 1.0 / (1 + round_))
    return best


def _joined(graph: _Graph, u: Ints, v: Ints, cost: Floats, fixed: Ints) -> _Graph:
    """The graph with more edges, each pair once and without the fixed ones."""
    tail = np.concatenate([graph.u, np.minimum(u, v)]).astype(np.int64)
    head = np.concatenate([graph.v, np.maximum(u, v)]).astype(np.int64)
    both = np.concatenate([graph.cost, cost])
    keep = (tail != head) & (fixed[tail] != head)
    tail, head, both = tail[keep], head[keep], both[keep]
    _, once = np.unique(tail * len(fixed) + head, return_index=True)
    return _Graph(tail[once].astype(np.int32), head[once].astype(np.int32), both[once])


def _weights(graph: _Graph, fixed: Ints, length: float, weight: Floats, iterations: int, eager: float) -> Floats:
    """Weights that pull every degree of the sparse 1-tree towards two (subgradient steps, shrinking to nothing)."""
    n = len(fixed)
    degree, parent = np.zeros(n, dtype=np.int32), np.zeros(n, dtype=np.int32)
    best, kept = -np.inf, weight.copy()
    before, idle = np.zeros(n), 0
    for _ in range(iterations):
        order = np.argsort(graph.cost + weight[graph.u] + weight[graph.v], kind="stable")
        tree = sparse_one_tree(graph.u, graph.v, graph.cost, order, fixed, weight, degree, parent)
        value = tree - 2.0 * float(np.sum(weight))
        idle += 1
        if value > best:
            best, kept, idle = value, weight.copy(), 0
        elif idle >= PATIENCE:
            eager, idle, weight = eager * 0.7, 0, kept.copy()
        slope: Floats = degree.astype(np.float64) - 2.0
        square = float(slope @ slope)
        if square == 0.0 or eager < 1e-3:
            break
        step = eager * max(length * 1.001 - value, 1e-6 * length) / square
        weight = weight + step * (0.7 * slope + 0.3 * before)
        before = slope
    return kept


def _two_nearest(own: Nodes, gap: Floats) -> float:
    """Half of what the two nearest of every point cost: weak, but it takes no look at every pair."""
    sides = np.where(own.fixed >= 0, 1, 2)
    if own.free >= 0:
        gap = np.delete(gap, own.free, axis=0)[:, 1:]  # the free point is first in every row
        sides = np.delete(sides, own.free)
    each = gap[:, 0] + np.where(sides == 2, gap[:, min(1, gap.shape[1] - 1)], 0.0)
    spared = float(np.sort(gap[:, 0])[-2:].sum()) if own.free >= 0 else 0.0
    return max(0.5 * float(each.sum()) - spared, 0.0)


def _assignment(core: Core) -> float:
    """Every item is left once and entered once: the cheapest way to do that over arcs that precedence allows."""
    from scipy.optimize import linear_sum_assignment

    costs = between_items(core)
    big = 10.0 * (1.0 + float(costs.max()))
    np.fill_diagonal(costs, big * len(costs))
    for item in range(len(costs)):
        # what must come before an item cannot follow it
        costs[item, core.before[core.before_at[item] : core.before_at[item + 1]]] = big * len(costs)
    rows, columns = linear_sum_assignment(costs)
    total = float(costs[rows, columns].sum())
    return total * (1.0 - SAFE) if total < big * len(costs) else 0.0
