"""Cheapest spanning trees over *all* pairs of items under any weights, without looking at all pairs.

Every component is joined to another by its cheapest arc, until one is left (Borůvka 1926). Variants lie in blocks of a
tree of boxes; what a block can offer at best - the gap to its boxes, which no metric makes cheaper than it is, and the
least weight in it - leaves nearly all of them unopened (after March, Ram and Gray, KDD 2010). Costs given as a matrix
have no boxes and are looked through.
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
FINE = 1 << 15  # places along each side that the order in a stage tells apart


class Blocks(NamedTuple):
    """Variants of all items but item 0, stage by stage, each stage with a heap of boxes over blocks of its variants.

    The heap of stage s begins at ``root[s]``: its node k (from 1) stands at ``root[s] + k`` and holds the nodes 2k and
    2k + 1; the last ``leaves[s]`` nodes are blocks, of which number b holds
    ``variants[begin[s] + b * BLOCK : ...][:BLOCK]``.
    """

    variants: Ints
    begin: NDArray[np.int64]  # (stages + 1,)
    root: NDArray[np.int64]
    leaves: NDArray[np.int64]
    entry: Floats  # (nodes, 4) box round the entries: least x, y, most x, y
    exit: Floats


def blocks(core: Core, rules: Rules) -> Blocks:
    """Boxes over a core's variants, in the order of a Z curve through their entries (Morton 1966)."""
    rows = np.arange(core.first[1], len(core.owner))
    geometric = core.pricing.kind != MATRIX
    stage = rules.stage[core.owner[rows]]
    low = core.entry[rows].min(axis=0)
    span = float((core.entry[rows].max(axis=0) - low).max()) or 1.0
    place = np.minimum((core.entry[rows] - low) * (FINE / span), FINE - 1).astype(np.int64)
    order = np.lexsort((_spaced(place[:, 0]) | _spaced(place[:, 1]) << 1, stage))
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


def _spaced(number: NDArray[np.int64]) -> NDArray[np.int64]:
    """Bits with a gap after each."""
    for shift, mask in ((8, 0x00FF00FF), (4, 0x0F0F0F0F), (2, 0x33333333), (1, 0x55555555)):
        number = (number | number << shift) & mask
    return number


@kernel(allocates=False)
def enclose(core: Core, own: Blocks) -> None:
    """Write the boxes."""
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
    """What changes with the prices, and room."""

    prices: Prices
    leaving: Floats  # (nodes,) the least that is added for leaving a variant of the node
    entering: Floats
    part: Ints  # (n,) component of an item
    whole: Ints  # (nodes,) the component that all of a node is in, or -1
    priced: Floats  # of the sparse graph's pairs
    arc: Ints
    floor: Floats  # (m,) what no arc between a variant and another component is cheaper than
    best: Floats  # (n,) of a component, its cheapest arc
    begin: Ints
    end: Ints
    stack: NDArray[np.int64]
    bounds: Floats


@kernel(allocates=False, inner=True)
def _summed(own: Blocks, size: int, view: _View, s: int) -> None:
    """Least weights of a stage's nodes."""
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


@kernel(allocates=False, inner=True)
def _parted(core: Core, own: Blocks, size: int, view: _View, s: int) -> None:
    """Which of a stage's nodes lie in one component; empty ones lie in any, for which -2 stands."""
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


@kernel(allocates=False, inner=True)
def _offer(core: Core, own: Blocks, view: _View, node: int, u: int, both: bool, part: int) -> float:
    """What an arc between variant u and another component's variant in a node costs at least."""
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


@kernel(allocates=False, inner=True)
def _allowed(core: Core, rules: Rules, pairs: Pairs, view: _View, u: int, v: int, best: float) -> float:
    """Price of going from variant u to variant v, inf where that is not allowed or not below ``best``."""
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


@kernel(allocates=False, inner=True)
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

    Returns what no such arc is cheaper than, then the arc's cost, tail and head (-1 where none is cheaper).
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
        one = _offer(core, own, view, node, u, both, part)
        two = _offer(core, own, view, node + 1, u, both, part)
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
    """Price of the cheapest 1-tree over all arcs that are allowed.

    The sparse graph's ``pairs`` are for the tolls, and as a first offer. Writes the tree's arcs, without item 0's, into
    ``tail`` and ``head`` (n - 2,). inf where no tree is allowed.
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
    """A tree a stage, an arc from each to the next, and item 0's two."""
    price(pairs, view.prices, view.priced, view.arc)
    total = 0.0
    fill: int = np.int64(0)  # type: ignore[assignment]  # else the callee is compiled for a constant, too
    for s in range(len(own.root)):
        _summed(own, size, view, s)
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


@kernel(allocates=False, inner=True)
def _offered(pairs: Pairs, view: _View, s: int) -> None:
    """The cheapest arc of the sparse graph for each component, with which little else is worth looking at."""
    for e in range(pairs.within):
        i = view.part[pairs.one[e]]
        j = view.part[pairs.two[e]]
        if i != j and pairs.stage[pairs.one[e]] == s and view.arc[e] >= 0:
            tail = pairs.tail[view.arc[e]]
            head = pairs.head[view.arc[e]]
            _offer_to(view, i, view.priced[e], tail, head)
            _offer_to(view, j, view.priced[e], tail, head)


@kernel(allocates=False, inner=True)
def _offer_to(view: _View, part: int, cost: float, tail: int, head: int) -> None:
    """A component takes the arc if it is its cheapest so far."""
    if cost < view.best[part]:
        view.best[part] = cost
        view.begin[part] = tail
        view.end[part] = head


@kernel(allocates=False, inner=True)
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
    """A cheapest spanning tree of a stage's items, with its arcs from place ``fill`` on."""
    total = 0.0
    left = -1
    for k in range(own.begin[s], own.begin[s + 1]):
        # variants of an item need not be neighbours here, but one of them is its first
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


@kernel(allocates=False, inner=True)
def _cheapest_of_each(core: Core, rules: Rules, pairs: Pairs, own: Blocks, size: int, view: _View, s: int) -> None:
    """The cheapest arc between each component of a stage and the rest of it."""
    for k in range(own.begin[s], own.begin[s + 1]):
        item = core.owner[own.variants[k]]
        view.part[item] = root(view.part, item)
        view.best[item] = np.inf
    _parted(core, own, size, view, s)
    _offered(pairs, view, s)
    for k in range(own.begin[s], own.begin[s + 1]):
        u = own.variants[k]
        part = view.part[core.owner[u]]
        # what a variant was offered at best only gets dearer as components grow
        if view.floor[u] >= view.best[part]:
            continue
        floor, cost, a, b = _cheapest(core, rules, pairs, own, size, view, s, u, True, view.best[part])
        view.floor[u] = floor
        if a >= 0:
            _offer_to(view, view.part[core.owner[a]], cost, a, b)
            _offer_to(view, view.part[core.owner[b]], cost, a, b)
