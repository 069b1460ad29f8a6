"""Kernels for 1-trees over a sparse graph of items, and the ascent that finds weights for them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.pairs import Pairs, Rim

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

PATIENCE = 50  # steps without a better value before they shrink
SHRINK = 0.7
FRESH = 0.1  # part of a step that is the newest slope; the rest is what the last ones agree on


class Grid(NamedTuple):
    """Nested grids over the points: ``cell[l, v]`` is variant v's cell on grid l, ``share[l, cell]`` what it moves."""

    cell: Ints  # (levels, m)
    share: Floats  # (levels, cells)


class Scratch(NamedTuple):
    """Room for one 1-tree."""

    priced: Floats  # of each pair, weights included
    arc: Ints  # cheapest arc of each pair
    via: Ints  # pair by which an item hangs on the tree, -1 at a stage's first
    key: Floats
    heap: Ints
    place: Ints  # in the heap, -1 outside, -2 in the tree
    link: Ints  # pair between a stage and the next
    slope: Floats  # degree less two
    pull: Floats  # how often a variant is left less how often it is entered


@kernel
def scratch(pairs: Pairs, m: int) -> Scratch:
    """Room for 1-trees over these pairs."""
    n = len(pairs.at) - 1
    e = len(pairs.one)
    whole = np.empty((5, n), dtype=np.int32)
    return Scratch(
        np.empty(e),
        np.empty(e, dtype=np.int32),
        whole[0],
        np.empty(n),
        whole[1],
        whole[2],
        np.empty(pairs.stage.max(), dtype=np.int32),
        np.empty(n),
        np.empty(m),
    )


@kernel(allocates=False, inner=True)
def price(pairs: Pairs, weight: Floats, premium: Floats, own: Scratch) -> None:
    """Each pair at the arc that is cheapest under the premiums."""
    for e in range(len(pairs.one)):
        best = np.inf
        chosen = -1
        for k in range(pairs.arc_at[e], pairs.arc_at[e + 1]):
            cost = pairs.cost[k] + premium[pairs.tail[k]] - premium[pairs.head[k]]
            if cost < best:
                best = cost
                chosen = k
        own.arc[e] = chosen
        own.priced[e] = best + weight[pairs.one[e]] + weight[pairs.two[e]]


@kernel(allocates=False, inner=True)
def grow(pairs: Pairs, own: Scratch) -> None:
    """A cheapest spanning tree of every stage (Prim 1957, with a binary heap)."""
    n = len(pairs.at) - 1
    key = own.key
    heap = own.heap
    place = own.place
    for p in range(n):
        key[p] = np.inf
        place[p] = -1
        own.via[p] = -1
    for start in range(1, n):
        if place[start] != -1:
            continue
        heap[0] = start
        size = 1
        while size > 0:
            p = heap[0]
            place[p] = -2
            size -= 1
            if size > 0:
                _sink(heap, place, key, heap[size], size)
            for k in range(pairs.at[p], pairs.at[p + 1]):
                q = pairs.other[k]
                cost = own.priced[pairs.edge[k]]
                if place[q] == -2 or cost >= key[q]:
                    continue
                key[q] = cost
                own.via[q] = pairs.edge[k]
                if place[q] == -1:
                    place[q] = size
                    size += 1
                _rise(heap, place, key, q)


@kernel(allocates=False, inner=True)
def _sink(heap: Ints, place: Ints, key: Floats, q: int, size: int) -> None:
    """Put q at the top of the heap and let it sink to where it belongs."""
    at = 0
    while True:
        below = 2 * at + 1
        if below >= size:
            break
        if below + 1 < size and key[heap[below + 1]] < key[heap[below]]:
            below += 1
        if key[heap[below]] >= key[q]:
            break
        heap[at] = heap[below]
        place[heap[at]] = at
        at = below
    heap[at] = q
    place[q] = at


@kernel(allocates=False, inner=True)
def _rise(heap: Ints, place: Ints, key: Floats, q: int) -> None:
    """Let q rise from its place to where it belongs."""
    at = place[q]
    while at > 0:
        above = (at - 1) // 2
        if key[heap[above]] <= key[q]:
            break
        heap[at] = heap[above]
        place[heap[at]] = at
        at = above
    heap[at] = q
    place[q] = at


@kernel(allocates=False)
def rim_cost(rim: Rim, owner: Ints, weight: Floats, premium: Floats, chosen: Ints) -> float:
    """The cheapest arc out of item 0 and the cheapest into it, written into ``chosen``."""
    total = 0.0
    for way in range(2):
        best = np.inf
        for k in range(0 if way == 0 else rim.out, rim.out if way == 0 else len(rim.tail)):
            u = rim.tail[k]
            v = rim.head[k]
            cost = rim.cost[k] + premium[u] - premium[v] + weight[owner[u]] + weight[owner[v]]
            if cost < best:
                best = cost
                chosen[way] = k
        total += best
    return total


@kernel(allocates=False, inner=True)
def _count(pairs: Pairs, own: Scratch, e: int) -> float:
    """Take pair e into the tree."""
    own.slope[pairs.one[e]] += 1.0
    own.slope[pairs.two[e]] += 1.0
    own.pull[pairs.tail[own.arc[e]]] += 1.0
    own.pull[pairs.head[own.arc[e]]] -= 1.0
    return own.priced[e]  # type: ignore[no-any-return]


@kernel(allocates=False)
def one_tree(pairs: Pairs, rim: Rim, owner: Ints, weight: Floats, premium: Floats, chosen: Ints, own: Scratch) -> float:
    """Cost of a cheapest 1-tree over the sparse graph, less twice the weights; writes slope and pull."""
    price(pairs, weight, premium, own)
    grow(pairs, own)
    total = 0.0
    for p in range(len(weight)):
        own.slope[p] = -2.0
        total -= 2.0 * weight[p]
    for v in range(len(premium)):
        own.pull[v] = 0.0
    for p in range(1, len(weight)):
        if own.via[p] >= 0:
            total += _count(pairs, own, own.via[p])
    for s in range(len(own.link)):
        own.link[s] = -1
    for e in range(pairs.within, len(pairs.one)):
        s = min(pairs.stage[pairs.one[e]], pairs.stage[pairs.two[e]])
        if own.arc[e] >= 0 and (own.link[s] < 0 or own.priced[e] < own.priced[own.link[s]]):
            own.link[s] = e
    for s in range(len(own.link)):
        if own.link[s] >= 0:
            total += _count(pairs, own, own.link[s])
    total += rim_cost(rim, owner, weight, premium, chosen)
    for k in chosen:
        own.slope[owner[rim.tail[k]]] += 1.0
        own.slope[owner[rim.head[k]]] += 1.0
        own.pull[rim.tail[k]] += 1.0
        own.pull[rim.head[k]] -= 1.0
    return total


@kernel
def spread(grid: Grid, pull: Floats, move: Floats) -> None:
    """Move every premium by its own pull and by a share of what its cell of each grid is pulled in all."""
    total = np.empty(grid.share.shape[1])
    for v in range(len(pull)):
        move[v] = pull[v]
    for level in range(len(grid.cell)):
        for c in range(len(total)):
            total[c] = 0.0
        for v in range(len(pull)):
            total[grid.cell[level, v]] += pull[v]
        for c in range(len(total)):
            total[c] *= grid.share[level, c]
        for v in range(len(pull)):
            move[v] += total[grid.cell[level, v]]


@kernel
def ascend(
    pairs: Pairs,
    rim: Rim,
    owner: Ints,
    grid: Grid,
    weight: Floats,
    premium: Floats,
    free: bool,
    length: float,
    iterations: int,
    eager: float,
) -> float:
    """Raise the 1-tree's cost by weights and, where they are ``free``, premiums; leaves the best ones in place.

    Subgradient steps of the length Polyak (1969) gives for a target, the known length, shrinking where nothing comes of
    them. Directions are averaged over many steps, without which a 1-tree that jumps between equals tells little
    (Barahona and Anbil, Mathematical Programming 87, 2000).
    """
    n = len(weight)
    m = len(premium)
    own = scratch(pairs, m)
    chosen = np.zeros(2, dtype=np.int32)
    best = -np.inf
    idle = 0
    weights = weight.copy()
    premiums = premium.copy()
    drift = np.zeros(n)
    lean = np.zeros(m)
    move = np.zeros(m)
    for _ in range(iterations):
        value = one_tree(pairs, rim, owner, weights, premiums, chosen, own)
        idle += 1
        if value > best:
            best = value
            idle = 0
            weight[:] = weights
            premium[:] = premiums
        elif idle >= PATIENCE:
            eager *= SHRINK
            idle = 0
            weights[:] = weight
            premiums[:] = premium
        square = 0.0
        for p in range(n):
            square += own.slope[p] * own.slope[p]
        if free:
            spread(grid, own.pull, move)
            for v in range(m):
                square += own.pull[v] * move[v]
        if square == 0.0 or eager < 1e-3:
            break
        step = eager * max(length * 1.001 - value, 1e-6 * length) / square
        for p in range(n):
            drift[p] += FRESH * (own.slope[p] - drift[p])
            weights[p] += step * drift[p]
        if free:
            for v in range(m):
                lean[v] += FRESH * (move[v] - lean[v])
                premiums[v] += step * lean[v]
    return best
