"""Cheapest spanning trees over *all* pairs of items under any weights, without computing every pair.

Every component is joined to another by its cheapest arc, until one is left (Borůvka 1926). Variants are grouped in
blocks, the leaves of a tree of bounding boxes. Each block has a lower bound on its cheapest arc: the distance to its
box, plus the least weight in it. The bounds let the search skip nearly all blocks (after March, Ram and Gray, KDD
2010). Costs given as a matrix have no boxes; there every pair is computed.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.bound.one_tree import price, rim_cost
from pathkit.tour.bound.sparse_graph import Pairs, Prices, Rim, Rules, arc_of, may_follow
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import arc, move
from pathkit.tour.metric import MATRIX
from pathkit.union_find import root

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

BLOCK = 8  # variants
FINE = 1 << 15  # cells along each side of the grid that a stage's Z curve is drawn on


class Blocks(NamedTuple):
    """Variants of all items but item 0, stage by stage; each stage has a binary tree of boxes over blocks of variants.

    The tree of stage s is stored as a heap from ``root[s]``: node k (from 1) is at ``root[s] + k`` and its children are
    2k and 2k + 1. The last ``leaves[s]`` nodes are blocks; block b holds
    ``variants[begin[s] + b * BLOCK : ...][:BLOCK]``.
    """

    variants: Ints
    begin: NDArray[np.int64]  # (stages + 1,)
    root: NDArray[np.int64]
    leaves: NDArray[np.int64]
    entry: Floats  # (nodes, 4) bounding box of the entries: least x, least y, greatest x, greatest y
    exit: Floats


def blocks(core: Core, rules: Rules) -> Blocks:
    """Bounding boxes over a core's variants, in the order of a Z curve through their entries (Morton 1966)."""
    rows = np.arange(core.first[1], len(core.owner))
    geometric = core.pricing.kind != MATRIX
    stage = rules.stage[core.owner[rows]]
    low = core.entry[rows].min(axis=0)
    span = float((core.entry[rows].max(axis=0) - low).max()) or 1.0
    place = np.minimum((core.entry[rows] - low) * (FINE / span), FINE - 1).astype(np.int64)
    order = np.lexsort((_spread_bits(place[:, 0]) | _spread_bits(place[:, 1]) << 1, stage))
    sizes = np.bincount(stage)
    count = -(-sizes // BLOCK) if geometric else np.ones(len(sizes), dtype=np.int64)
    leaves = np.array([1 << int(c - 1).bit_length() for c in count], dtype=np.int64)
    root = np.concatenate([[0], np.cumsum(2 * leaves)])
    begin = np.concatenate([[0], np.cumsum(sizes)]).astype(np.int64)
    boxes = np.tile(np.array([np.inf, np.inf, -np.inf, -np.inf]), (2, root[-1], 1))
    own = Blocks(rows[order].astype(np.int32), begin, root[:-1], leaves, boxes[0], boxes[1])
    if geometric:
        enclose(core, own)
    return own


def _spread_bits(number: NDArray[np.int64]) -> NDArray[np.int64]:
    """Put a zero bit after each bit."""
    for shift, mask in ((8, 0x00FF00FF), (4, 0x0F0F0F0F), (2, 0x33333333), (1, 0x55555555)):
        number = (number | number << shift) & mask
    return number


@kernel(allocates=False)
def enclose(core: Core, own: Blocks) -> None:
    """Write the bounding boxes."""
    for s in range(len(own.root)):
        for k in range(own.begin[s + 1] - own.begin[s]):
            v = own.variants[own.begin[s] + k]
            node = own.root[s] + own.leaves[s] + k // BLOCK
            for d in range(2):
                own.entry[node, d] = min(own.entry[node, d], core.entry[v, d])
                own.entry[node, 2 + d] = max(own.entry[node, 2 + d], core.entry[v, d])
                own.exit[node, d] = min(own.exit[node, d], core.exit[v, d])
                own.exit[node, 2 + d] = max(own.exit[node, 2 + d], core.exit[v, d])
        for k in range(own.leaves[s] - 1, 0, -1):
            for child in (own.root[s] + 2 * k, own.root[s] + 2 * k + 1):
                node = own.root[s] + k
                for d in range(2):
                    own.entry[node, d] = min(own.entry[node, d], own.entry[child, d])
                    own.entry[node, 2 + d] = max(own.entry[node, 2 + d], own.entry[child, 2 + d])
                    own.exit[node, d] = min(own.exit[node, d], own.exit[child, d])
                    own.exit[node, 2 + d] = max(own.exit[node, 2 + d], own.exit[child, 2 + d])


class _View(NamedTuple):
    """What changes with the prices, and working memory."""

    prices: Prices
    leaving: Floats  # (nodes,) the least price of leaving a variant of the node
    entering: Floats
    part: Ints  # (n,) component of an item
    whole: Ints  # (nodes,) the component that all variants of a node are in, or -1
    priced: Floats  # price of each pair of the sparse graph
    arc: Ints
    floor: Floats  # (m,) lower bound on the arcs between a variant and other components
    best: Floats  # (n,) cost of each component's cheapest arc
    begin: Ints
    end: Ints
    stack: NDArray[np.int64]
    bounds: Floats


@kernel(allocates=False)
def _least_prices(own: Blocks, size: int, view: _View, s: int) -> None:
    """Write the least price of leaving and entering a variant for each node of a stage."""
    for k in range(2 * own.leaves[s] - 1, 0, -1):
        node = own.root[s] + k
        view.leaving[node] = np.inf
        view.entering[node] = np.inf
        if k >= own.leaves[s]:
            first = own.begin[s] + (k - own.leaves[s]) * size
            for v in own.variants[first : min(first + size, own.begin[s + 1])]:
                view.leaving[node] = min(view.leaving[node], view.prices.leave[v])
                view.entering[node] = min(view.entering[node], view.prices.enter[v])
        else:
            child = own.root[s] + 2 * k
            view.leaving[node] = min(view.leaving[child], view.leaving[child + 1])
            view.entering[node] = min(view.entering[child], view.entering[child + 1])


@kernel(allocates=False)
def _mark_components(core: Core, own: Blocks, size: int, view: _View, s: int) -> None:
    """Write for each node of a stage the component it lies in: -1 if several, -2 if the node is empty."""
    for k in range(2 * own.leaves[s] - 1, 0, -1):
        node = own.root[s] + k
        whole = -2
        if k >= own.leaves[s]:
            first = own.begin[s] + (k - own.leaves[s]) * size
            for v in own.variants[first : min(first + size, own.begin[s + 1])]:
                part = view.part[core.owner[v]]
                whole = part if whole == -2 or whole == part else -1
        else:
            one = view.whole[own.root[s] + 2 * k]
            two = view.whole[own.root[s] + 2 * k + 1]
            whole = one if two == -2 or one == two else two if one == -2 else -1
        view.whole[node] = whole


@kernel(allocates=False)
def _least_arc(core: Core, own: Blocks, view: _View, node: int, u: int, both: bool, part: int) -> float:
    """Lower bound on an arc between variant u and a variant of another component in a node."""
    if view.whole[node] == -2 or (both and view.whole[node] == part):
        return np.inf
    out = 0.0
    back = 0.0
    if core.pricing.kind != MATRIX:
        x = core.exit[u, 0]
        y = core.exit[u, 1]
        box = own.entry[node]
        out = move(core.pricing, max(max(box[0] - x, x - box[2]), 0.0), max(max(box[1] - y, y - box[3]), 0.0))
        x = core.entry[u, 0]
        y = core.entry[u, 1]
        box = own.exit[node]
        back = move(core.pricing, max(max(box[0] - x, x - box[2]), 0.0), max(max(box[1] - y, y - box[3]), 0.0))
    out += view.prices.leave[u] + view.entering[node]
    return min(out, back + view.leaving[node] + view.prices.enter[u]) if both else out  # type: ignore[no-any-return]


@kernel(allocates=False)
def _allowed(core: Core, rules: Rules, pairs: Pairs, view: _View, u: int, v: int, best: float) -> float:
    """Price of going from variant u to variant v; inf if not allowed or not below ``best``."""
    cost = arc(core, u, v) + view.prices.leave[u] + view.prices.enter[v]
    if cost >= best:
        return np.inf
    i = core.owner[u]
    j = core.owner[v]
    if not may_follow(rules, i, j):
        return np.inf
    k = arc_of(pairs, i, j, u, v)
    if k >= 0:
        cost += view.prices.toll[k]
    return cost  # type: ignore[no-any-return]


@kernel(allocates=False)
def _cheapest(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    core: Core,
    rules: Rules,
    pairs: Pairs,
    own: Blocks,
    size: int,
    view: _View,
    s: int,
    u: int,
    both: bool,
    best: float,
) -> tuple[float, float, int, int]:
    """The cheapest arc between variant u and another component's variants in stage s, if cheaper than ``best``.

    Returns a lower bound on all such arcs, then the arc's cost, tail and head (-1 if none is cheaper).
    """
    item = core.owner[u]
    part = view.part[item]
    floor = np.inf
    tail = -1
    head = -1
    view.stack[0] = 1
    view.bounds[0] = -np.inf
    depth = 1
    while depth > 0:
        depth -= 1
        k = view.stack[depth]
        if view.bounds[depth] >= best:
            floor = min(floor, view.bounds[depth])
            continue
        if k >= own.leaves[s]:
            first = own.begin[s] + (k - own.leaves[s]) * size
            for v in own.variants[first : min(first + size, own.begin[s + 1])]:
                other = core.owner[v]
                if view.part[other] == part and both:
                    continue
                cost = _allowed(core, rules, pairs, view, u, v, best)
                if cost < best:
                    best = cost
                    tail = u
                    head = v
                if both:
                    cost = _allowed(core, rules, pairs, view, v, u, best)
                    if cost < best:
                        best = cost
                        tail = v
                        head = u
            continue
        child = 2 * k
        node = own.root[s] + child
        one = _least_arc(core, own, view, node, u, both, part)
        two = _least_arc(core, own, view, node + 1, u, both, part)
        # the nearer is opened first, so it goes on top
        view.stack[depth] = child if one >= two else child + 1
        view.bounds[depth] = max(one, two)
        view.stack[depth + 1] = child + 1 if one >= two else child
        view.bounds[depth + 1] = min(one, two)
        depth += 2
    return min(floor, best), best, tail, head


def every_pair(
    core: Core, rules: Rules, own: Blocks, rim: Rim, pairs: Pairs, prices: Prices, tail: Ints, head: Ints
) -> float:
    """Price of the cheapest 1-tree over all allowed arcs.

    The sparse graph's ``pairs`` give the tolls and the first candidates. Writes the tree's arcs, without item 0's, into
    ``tail`` and ``head`` (n - 2,). Returns inf if no tree is allowed.
    """
    n, m, nodes = len(core.first) - 1, len(core.owner), len(own.entry)
    view = _View(
        prices=prices,
        leaving=np.empty(nodes),
        entering=np.empty(nodes),
        part=np.arange(n, dtype=np.int32),
        whole=np.empty(nodes, dtype=np.int32),
        priced=np.empty(len(pairs.one)),
        arc=np.empty(len(pairs.one), dtype=np.int32),
        floor=np.full(m, -np.inf),
        best=np.empty(n),
        begin=np.empty(n, dtype=np.int32),
        end=np.empty(n, dtype=np.int32),
        stack=np.empty(128, dtype=np.int64),
        bounds=np.empty(128),
    )
    size = BLOCK if core.pricing.kind != MATRIX else m
    return spanning(core, rules, own, rim, pairs, view, size, tail, head)


@kernel(allocates=False)
def spanning(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    core: Core, rules: Rules, own: Blocks, rim: Rim, pairs: Pairs, view: _View, size: int, tail: Ints, head: Ints
) -> float:
    """One tree for each stage, one arc from each stage to the next, and item 0's two arcs."""
    price(pairs, view.prices, view.priced, view.arc)
    total = 0.0
    fill = 0
    for s in range(len(own.root)):
        _least_prices(own, size, view, s)
        cost, fill = _stage_tree(core, rules, pairs, own, size, view, s, tail, head, fill)
        total += cost
    for s in range(1, len(own.root)):
        best = np.inf
        for k in range(own.begin[s - 1], own.begin[s]):
            _, cost, a, b = _cheapest(core, rules, pairs, own, size, view, s, own.variants[k], False, best)
            if a >= 0:
                best = cost
                tail[fill] = a
                head[fill] = b
        total += best
        fill += 1
    return total + rim_cost(rim, view.prices, view.begin)


@kernel(allocates=False)
def _start_from_pairs(pairs: Pairs, view: _View, s: int) -> None:
    """Start each component with its cheapest arc of the sparse graph; few nodes can then offer a better one."""
    for e in range(pairs.within):
        i = view.part[pairs.one[e]]
        j = view.part[pairs.two[e]]
        if i != j and pairs.stage[pairs.one[e]] == s and view.arc[e] >= 0:
            tail = pairs.tail[view.arc[e]]
            head = pairs.head[view.arc[e]]
            _keep_cheaper(view, i, view.priced[e], tail, head)
            _keep_cheaper(view, j, view.priced[e], tail, head)


@kernel(allocates=False)
def _keep_cheaper(view: _View, part: int, cost: float, tail: int, head: int) -> None:
    """Store the arc for a component if it is the cheapest so far."""
    if cost < view.best[part]:
        view.best[part] = cost
        view.begin[part] = tail
        view.end[part] = head


@kernel(allocates=False)
def _stage_tree(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    core: Core,
    rules: Rules,
    pairs: Pairs,
    own: Blocks,
    size: int,
    view: _View,
    s: int,
    tail: Ints,
    head: Ints,
    fill: int,
) -> tuple[float, int]:
    """A cheapest spanning tree of a stage's items; its arcs are written from place ``fill`` on."""
    total = 0.0
    left = -1
    for k in range(own.begin[s], own.begin[s + 1]):
        # an item's variants need not be neighbours here, so count only the first of each
        left += 1 if core.first[core.owner[own.variants[k]]] == own.variants[k] else 0
    while left > 0:
        _cheapest_of_each(core, rules, pairs, own, size, view, s)
        before = left
        for k in range(own.begin[s], own.begin[s + 1]):
            item = core.owner[own.variants[k]]
            if view.best[item] == np.inf:
                continue
            a = root(view.part, core.owner[view.begin[item]])
            b = root(view.part, core.owner[view.end[item]])
            if a != b:
                view.part[a] = b
                total += view.best[item]
                tail[fill] = view.begin[item]
                head[fill] = view.end[item]
                fill += 1
                left -= 1
        if left == before:
            return np.inf, fill
    return total, fill


@kernel(allocates=False)
def _cheapest_of_each(core: Core, rules: Rules, pairs: Pairs, own: Blocks, size: int, view: _View, s: int) -> None:
    """The cheapest arc between each component of a stage and the rest of it."""
    for k in range(own.begin[s], own.begin[s + 1]):
        item = core.owner[own.variants[k]]
        view.part[item] = root(view.part, item)
        view.best[item] = np.inf
    _mark_components(core, own, size, view, s)
    _start_from_pairs(pairs, view, s)
    for k in range(own.begin[s], own.begin[s + 1]):
        u = own.variants[k]
        part = view.part[core.owner[u]]
        # as components grow, a variant's cheapest arc to another component can only cost more
        if view.floor[u] >= view.best[part]:
            continue
        floor, cost, a, b = _cheapest(core, rules, pairs, own, size, view, s, u, True, view.best[part])
        view.floor[u] = floor
        if a >= 0:
            _keep_cheaper(view, view.part[core.owner[a]], cost, a, b)
            _keep_cheaper(view, view.part[core.owner[b]], cost, a, b)
