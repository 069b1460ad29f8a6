"""Kernels for cheapest 1-trees over a sparse graph of items."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.bound.sparse_graph import Pairs, Prices, Rim

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]


class Tree(NamedTuple):
    """A 1-tree, and working memory to grow it."""

    priced: Floats  # price of each pair's cheapest arc
    arc: Ints  # that arc
    via: Ints  # pair that joins an item to the tree, -1 for a stage's first item
    key: Floats
    heap: Ints
    place: Ints  # in the heap, -1 outside, -2 in the tree
    link: Ints  # pair between a stage and the next, -1 if the graph has none
    taken: NDArray[np.bool_]  # arcs of the tree
    chosen: Ints  # item 0's two arcs, as places in the rim
    degree: Ints  # of items
    left: Ints  # how often a variant is left
    entered: Ints


def room(pairs: Pairs, m: int) -> Tree:
    """Working memory for 1-trees over these pairs, with m variants."""
    n, e = len(pairs.at) - 1, len(pairs.one)
    items, variants = np.zeros((4, n), dtype=np.int32), np.zeros((2, m), dtype=np.int32)
    return Tree(
        priced=np.zeros(e),
        arc=np.zeros(e, dtype=np.int32),
        via=items[0],
        key=np.zeros(n),
        heap=items[1],
        place=items[2],
        link=np.zeros(int(pairs.stage.max()), dtype=np.int32),
        taken=np.zeros(len(pairs.tail), dtype=np.bool_),
        chosen=np.zeros(2, dtype=np.int32),
        degree=items[3],
        left=variants[0],
        entered=variants[1],
    )


@kernel(allocates=False)
def price(pairs: Pairs, prices: Prices, priced: Floats, arc: Ints) -> None:
    """Write the price and the place of each pair's cheapest arc."""
    for e in range(len(pairs.one)):
        best = np.inf
        chosen = -1
        for k in range(pairs.arc_at[e], pairs.arc_at[e + 1]):
            cost = pairs.cost[k] + prices.toll[k] + prices.leave[pairs.tail[k]] + prices.enter[pairs.head[k]]
            if cost < best:
                best = cost
                chosen = k
        arc[e] = chosen
        priced[e] = best


@kernel(allocates=False)
def _grow(pairs: Pairs, tree: Tree) -> None:
    """A cheapest spanning tree of every stage (Prim 1957, with a binary heap)."""
    n = len(pairs.at) - 1
    key = tree.key
    heap = tree.heap
    place = tree.place
    for p in range(n):
        key[p] = np.inf
        place[p] = -1
        tree.via[p] = -1
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
                cost = tree.priced[pairs.edge[k]]
                if place[q] == -2 or cost >= key[q]:
                    continue
                key[q] = cost
                tree.via[q] = pairs.edge[k]
                if place[q] == -1:
                    place[q] = size
                    size += 1
                _rise(heap, place, key, q)


@kernel(allocates=False)
def _sink(heap: Ints, place: Ints, key: Floats, q: int, size: int) -> None:
    """Put q at the top of the heap and let it sink to its place."""
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


@kernel(allocates=False)
def _rise(heap: Ints, place: Ints, key: Floats, q: int) -> None:
    """Let q rise from its place as far as it belongs."""
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
def rim_cost(rim: Rim, prices: Prices, chosen: Ints) -> float:
    """Price of the cheapest arc out of item 0 and of the cheapest into it, written into ``chosen``."""
    total = 0.0
    for way in range(2):
        best = np.inf
        for k in range(0 if way == 0 else rim.out, rim.out if way == 0 else len(rim.tail)):
            cost = rim.cost[k] + prices.leave[rim.tail[k]] + prices.enter[rim.head[k]]
            if cost < best:
                best = cost
                chosen[way] = k
        total += best
    return total


@kernel(allocates=False)
def _take(pairs: Pairs, tree: Tree, e: int) -> float:
    """Add pair e to the tree."""
    k = tree.arc[e]
    tree.taken[k] = True
    tree.degree[pairs.one[e]] += 1
    tree.degree[pairs.two[e]] += 1
    tree.left[pairs.tail[k]] += 1
    tree.entered[pairs.head[k]] += 1
    return tree.priced[e]  # type: ignore[no-any-return]


@kernel(allocates=False)
def one_tree(pairs: Pairs, rim: Rim, owner: Ints, prices: Prices, tree: Tree) -> float:
    """Price of a cheapest 1-tree over the sparse graph; writes its arcs and degrees into ``tree``."""
    tree.taken[:] = False
    tree.degree[:] = 0
    tree.left[:] = 0
    tree.entered[:] = 0
    tree.link[:] = -1
    price(pairs, prices, tree.priced, tree.arc)
    _grow(pairs, tree)
    total = 0.0
    for p in range(1, len(tree.via)):
        if tree.via[p] >= 0:
            total += _take(pairs, tree, tree.via[p])
    for e in range(pairs.within, len(pairs.one)):
        s = min(pairs.stage[pairs.one[e]], pairs.stage[pairs.two[e]])
        if tree.arc[e] >= 0 and (tree.link[s] < 0 or tree.priced[e] < tree.priced[tree.link[s]]):
            tree.link[s] = e
    for e in tree.link:
        if e >= 0:
            total += _take(pairs, tree, e)
    total += rim_cost(rim, prices, tree.chosen)
    for k in tree.chosen:
        tree.degree[owner[rim.tail[k]]] += 1
        tree.degree[owner[rim.head[k]]] += 1
        tree.left[rim.tail[k]] += 1
        tree.entered[rim.head[k]] += 1
    return total
