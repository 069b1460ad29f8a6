"""Kernels for spanning 1-trees under weights on the points."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.arcs import arc, move
from pathkit.tour.core import Core

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

LEAVES = 400  # leaves whose second link is worked out; any of them proves a bound


@kernel(allocates=False)
def separation(points: Floats, rules: Floats, free: int, u: int, v: int) -> float:
    """Cost between two points."""
    if u == free or v == free:
        return 0.0
    return move(rules, points[u, 0] - points[v, 0], points[u, 1] - points[v, 1])


@kernel
def sparse_one_tree(
    u: Ints, v: Ints, cost: Floats, order: NDArray[np.int64], fixed: Ints, weight: Floats, degree: Ints, parent: Ints
) -> float:
    """Weight of a 1-tree over the listed edges (in ``order`` of weighted cost), fixed edges first; writes the degrees.

    Kruskal's tree, and the second link of the leaf for which that is dearest.
    """
    n = len(weight)
    within = np.zeros(len(u), dtype=np.bool_)
    for p in range(n):
        parent[p] = p
        degree[p] = 0
    total = 0.0
    for p in range(n):
        if fixed[p] > p:
            total += weight[p] + weight[fixed[p]]
            degree[p] += 1
            degree[fixed[p]] += 1
            parent[top(parent, p)] = top(parent, fixed[p])
    for e in order:
        a = top(parent, u[e])
        b = top(parent, v[e])
        if a != b:
            parent[a] = b
            total += cost[e] + weight[u[e]] + weight[v[e]]
            degree[u[e]] += 1
            degree[v[e]] += 1
            within[e] = True
    # edges come cheapest first: the first spare one met is a leaf's second link, the last so met the dearest
    last = -1
    for e in order:
        if within[e]:
            continue
        for p in (u[e], v[e]):
            if degree[p] == 1 and parent[p] >= 0:
                parent[p] = -1
                last = e
    if last >= 0:
        total += cost[last] + weight[u[last]] + weight[v[last]]
        degree[u[last]] += 1
        degree[v[last]] += 1
    return total


@kernel(allocates=False)
def top(parent: Ints, p: int) -> int:
    """Representative of p's tree."""
    while parent[p] != p:
        parent[p] = parent[parent[p]]
        p = parent[p]
    return p


@kernel
def complete_tree(
    points: Floats, rules: Floats, free: int, fixed: Ints, weight: Floats, degree: Ints, link: Ints
) -> float:
    """Weight of a cheapest spanning tree that holds the fixed edges, over *all* pairs (Prim, n² time, linear memory).

    Writes the degrees and, for every point but the first, the one it is linked to.
    """
    n = len(points)
    key = np.full(n, np.inf)
    done = np.zeros(n, dtype=np.bool_)
    for p in range(n):
        degree[p] = 0
    total = 0.0
    at = 0
    done[0] = True
    for _ in range(1, n):
        best = np.inf
        chosen = -1
        pair = fixed[at]
        for p in range(n):
            if done[p]:
                continue
            if p == pair:
                key[p] = -np.inf
                link[p] = at
            elif key[p] > -np.inf:
                cost = separation(points, rules, free, at, p) + weight[at] + weight[p]
                if cost < key[p]:
                    key[p] = cost
                    link[p] = at
            if key[p] < best:
                best = key[p]
                chosen = p
        done[chosen] = True
        other = link[chosen]
        degree[chosen] += 1
        degree[other] += 1
        if best == -np.inf:
            total += weight[chosen] + weight[other]
        else:
            total += best
        at = chosen
    return total


@kernel
def second_links(points: Floats, rules: Floats, free: int, fixed: Ints, weight: Floats, degree: Ints) -> float:
    """The most that a second link of any one leaf must cost: max over leaves of its second-cheapest edge.

    A tour is, for every point, a spanning tree's worth plus one more edge; taking the leaf with the dearest second
    edge gives the best of these bounds (Helsgaun, EJOR 126(1), 2000). The first edge of a leaf is its cheapest, or
    fixed.
    """
    n = len(points)
    most = -np.inf
    looked = 0
    for p in range(n):
        if degree[p] != 1 or looked == LEAVES:
            continue
        looked += 1
        first = np.inf
        second = np.inf
        for q in range(n):
            if q == p:
                continue
            cost = separation(points, rules, free, p, q) + weight[p] + weight[q]
            if q == fixed[p]:
                cost = -np.inf
            if cost < first:
                second = first
                first = cost
            elif cost < second:
                second = cost
        most = max(most, second)
    return most


@kernel(allocates=False)
def items_apart(core: Core, boxes: Floats, i: int, j: int, enough: float) -> float:
    """Cheapest way between two items in either direction; any value not below ``enough`` where it is not below that.

    The gap between the boxes round their points bounds it first, since every metric grows with both displacements.
    """
    if i > 0 and j > 0 and core.rules[0] >= 0.0:
        dx = max(max(boxes[i, 0] - boxes[j, 2], boxes[j, 0] - boxes[i, 2]), 0.0)
        dy = max(max(boxes[i, 1] - boxes[j, 3], boxes[j, 1] - boxes[i, 3]), 0.0)
        least = move(core.rules, dx, dy)
        if least >= enough:
            return least
    best = np.inf
    for u in range(core.first[i], core.first[i + 1]):
        for v in range(core.first[j], core.first[j + 1]):
            best = min(best, min(arc(core, u, v), arc(core, v, u)))
    return best


@kernel(allocates=False, inner=True)
def crossing(core: Core, i: int, j: int, big: float) -> float:
    """What keeps apart items of different stages: ``big`` between neighbouring stages, inf between others."""
    if core.low[i] == core.low[j]:
        return 0.0
    if core.low[i] == core.high[j] + 1 or core.low[j] == core.high[i] + 1:
        return big
    return np.inf


@kernel
def item_tree(core: Core, boxes: Floats, weight: Floats, degree: Ints, link: Ints, first: int, big: float) -> float:
    """The same over all pairs of items from ``first`` on, each pair at its cheapest variants and direction.

    A stage's items stand together, so that the order restricted to them is a tree of its own: between stages only one
    edge each is needed. ``big`` makes the tree keep to that and is not counted.
    """
    n = len(weight)
    key = np.full(n, np.inf)
    done = np.zeros(n, dtype=np.bool_)
    for p in range(n):
        degree[p] = 0
    total = 0.0
    at = first
    done[at] = True
    for _ in range(first + 1, n):
        best = np.inf
        chosen = -1
        for p in range(first, n):
            if done[p]:
                continue
            extra = weight[at] + weight[p]
            if big > 0.0:
                extra += crossing(core, at, p, big)
            if extra < np.inf:
                cost = items_apart(core, boxes, at, p, key[p] - extra) + extra
                if cost < key[p]:
                    key[p] = cost
                    link[p] = at
            if key[p] < best:
                best = key[p]
                chosen = p
        done[chosen] = True
        degree[chosen] += 1
        degree[link[chosen]] += 1
        total += best
        if core.low[chosen] != core.low[link[chosen]]:
            total -= big
        at = chosen
    return total


@kernel
def ends(core: Core, weight: Floats, degree: Ints, link: Ints) -> float:
    """Cheapest way from item 0 into the first stage, and from the last stage back to it."""
    n = len(weight)
    into = np.inf
    back = np.inf
    first = -1
    last = -1
    for p in range(1, n):
        for u in range(core.first[0], core.first[1]):
            for v in range(core.first[p], core.first[p + 1]):
                if core.low[p] == 1:
                    cost = arc(core, u, v) + weight[0] + weight[p]
                    if cost < into:
                        into = cost
                        first = p
                if core.high[p] == n - 1:
                    cost = arc(core, v, u) + weight[0] + weight[p]
                    if cost < back:
                        back = cost
                        last = p
    link[1] = 0
    degree[0] = 2
    degree[first] += 1
    degree[last] += 1
    return into + back


@kernel
def second_item_links(core: Core, boxes: Floats, weight: Floats, degree: Ints) -> float:
    """The same as `second_links` over items."""
    n = len(weight)
    most = -np.inf
    looked = 0
    for p in range(n):
        if degree[p] != 1 or looked == LEAVES:
            continue
        looked += 1
        first = np.inf
        second = np.inf
        for q in range(n):
            if q == p:
                continue
            extra = weight[p] + weight[q]
            cost = items_apart(core, boxes, p, q, second - extra) + extra
            if cost < first:
                second = first
                first = cost
            elif cost < second:
                second = cost
        most = max(most, second)
    return most


@kernel
def pair_costs(points: Floats, rules: Floats, free: int, u: Ints, v: Ints) -> Floats:
    """Costs between pairs of points."""
    cost = np.empty(len(u))
    for e in range(len(u)):
        cost[e] = separation(points, rules, free, u[e], v[e])
    return cost


@kernel
def item_costs(core: Core, boxes: Floats, u: Ints, v: Ints) -> Floats:
    """Cheapest ways between pairs of items."""
    cost = np.empty(len(u))
    for e in range(len(u)):
        cost[e] = items_apart(core, boxes, u[e], v[e], np.inf)
    return cost
