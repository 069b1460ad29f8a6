"""The sparse graph for the ascent: pairs of items with the cheapest arcs between their variants."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import arc

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

BARRED = 4_000_000  # most forbidden pairs stored; dropping some is valid, but weakens the bound


class Rules(NamedTuple):
    """Which item may directly follow which: by stage, and by precedence."""

    stage: Ints  # (n,) counted from 0 without gaps; item 0 has none of its own
    barred_at: Ints  # (n + 1,) barred[barred_at[i] : barred_at[i + 1]], sorted, cannot directly follow item i
    barred: Ints


class Prices(NamedTuple):
    """What is added to the cost of an arc."""

    leave: Floats  # (m,) for leaving a variant
    enter: Floats  # (m,)
    toll: Floats  # for each arc of the sparse graph


class Pairs(NamedTuple):
    """Pairs of items other than item 0: the first ``within`` of them inside a stage, the rest from one to the next.

    The arcs of pair e are ``arc_at[e] : arc_at[e + 1]``. Item i is in the pairs ``edge[at[i] : at[i + 1]]``, with
    ``other`` as their other item; these lists leave out pairs between stages.
    """

    one: Ints
    two: Ints
    within: int
    arc_at: Ints
    tail: Ints
    head: Ints
    cost: Floats
    at: Ints
    other: Ints
    edge: Ints
    stage: Ints
    either: bool  # whether an arc also represents its reverse


class Rim(NamedTuple):
    """All arcs at item 0: the first ``out`` leave it, the rest enter it."""

    out: int
    tail: Ints
    head: Ints
    cost: Floats


def rules_of(core: Core) -> Rules:
    """An item's predecessors cannot follow it; nor can its successors directly if another must come between."""
    n = len(core.first) - 1
    stage = np.unique(core.low, return_inverse=True)[1].reshape(-1).astype(np.int32)
    at, none = np.zeros(n + 1, dtype=np.int32), np.zeros(0, dtype=np.int32)
    if len(core.after) == 0:
        return Rules(stage, at, none)
    barred = np.zeros(BARRED, dtype=np.int32)
    barred_behind(core, max(BARRED // n, 64), np.zeros(n, dtype=np.int32), np.zeros(n, dtype=np.int32), at, barred)
    barred = barred[: at[-1]]
    rows = np.repeat(np.arange(n), np.diff(at))
    return Rules(stage, at, barred[np.lexsort((barred, rows))])


def join(core: Core, rules: Rules, arcs: tuple[Ints, Ints], whole: bool, prices: Prices, limit: Floats) -> Pairs:
    """The pairs of items joined by the given arcs; each pair with every variant's cheapest arc in each direction.

    If not ``whole``, one arc represents each pair: the cheapest, in either direction. Arcs whose price without tolls is
    above the ``limit`` of both their items are left out.
    """
    tail, head = arcs
    leave, enter = prices.leave, prices.enter
    n, m = len(rules.stage), len(core.owner)
    kept = np.empty(len(tail), dtype=bool)
    permit(core, rules, tail, head, kept)
    tail, head = tail[kept], head[kept]
    both = each_once(_named(core.owner[tail], core.owner[head], n))
    sizes = np.diff(core.first)
    room = int(np.sum(2 * (sizes[both // n] + sizes[both % n]))) if whole else len(both)
    tails, heads = np.empty(room, dtype=np.int32), np.empty(room, dtype=np.int32)
    partners = np.empty(m), np.empty(m, dtype=np.int32)
    fill = cheapest_arcs(core, rules, both, whole, leave, enter, limit, *partners, tails, heads)
    tails, heads = tails[:fill], heads[:fill]
    if whole:
        one, two = core.owner[tail], core.owner[head]
        kept = arc_costs(core, tail, head) + leave[tail] + enter[head] <= np.maximum(limit[one], limit[two])
        names = each_once(np.concatenate([tails, tail[kept]]).astype(np.int64) * m + np.append(heads, head[kept]))
        tails, heads = (names // m).astype(np.int32), (names % m).astype(np.int32)
    cost = arc_costs(core, tails, heads)
    named = _named(core.owner[tails], core.owner[heads], n)
    across = rules.stage[named // n] != rules.stage[named % n]
    order = np.lexsort((named, across))
    begin = np.flatnonzero(np.diff(named[order], prepend=-1))
    both = named[order][begin]
    low, high = (both // n).astype(np.int32), (both % n).astype(np.int32)
    within = int(np.count_nonzero(~across[order][begin]))
    arc_at = np.append(begin, len(order)).astype(np.int32)
    edge = np.tile(np.arange(within, dtype=np.int32), 2)
    ends = np.concatenate([low[:within], high[:within]])
    others = np.concatenate([high[:within], low[:within]])
    by_end = np.argsort(ends, kind="stable")
    at = np.concatenate([[0], np.cumsum(np.bincount(ends, minlength=n))]).astype(np.int32)
    return Pairs(
        low,
        high,
        within,
        arc_at,
        tails[order],
        heads[order],
        cost[order],
        at,
        others[by_end],
        edge[by_end],
        rules.stage,
        not whole,
    )


def _named(one: Ints, two: Ints, n: int) -> NDArray[np.int64]:
    """A number for each pair of items."""
    return np.minimum(one, two).astype(np.int64) * n + np.maximum(one, two)


def each_once(numbers: NDArray[np.int64]) -> NDArray[np.int64]:
    """The distinct numbers, sorted."""
    numbers = np.sort(numbers)
    return numbers[np.diff(numbers, prepend=-1) > 0]


def rim_of(core: Core, rules: Rules, leave: Floats | None = None) -> Rim:
    """Only items that wait for nothing but item 0 can come first; only items that nothing waits for, last.

    ``leave`` (m,) is what going from a variant, as the last, to item 0 costs, if not what that arc does.
    """
    n = len(rules.stage)
    waits = np.zeros(n, dtype=bool)
    waits[np.repeat(np.arange(n), np.diff(core.before_at))[core.before > 0]] = True
    waited_for = np.diff(core.after_at) > 0
    rows = np.arange(core.first[1], len(core.owner), dtype=np.int32)
    owner = core.owner[rows]
    first = rows[~waits[owner] & (core.low[owner] == 1)]
    last = rows[~waited_for[owner] & (core.high[owner] == n - 1)]
    own = np.arange(core.first[1], dtype=np.int32)
    tail = np.concatenate([np.repeat(own, len(first)), np.tile(last, len(own))])
    head = np.concatenate([np.tile(first, len(own)), np.repeat(own, len(last))])
    cost = arc_costs(core, tail, head)
    out = len(own) * len(first)
    if leave is not None and len(own) == 1:
        cost[out:] = leave[tail[out:]]
    return Rim(out, tail, head, cost)


@kernel(allocates=False)
def barred_behind(core: Core, most: int, seen: Ints, queue: Ints, at: Ints, barred: Ints) -> None:
    """For each item up to ``most`` others that cannot directly follow it, as compressed rows, while there is room."""
    n = len(core.first) - 1
    seen[:] = -1
    fill = 0
    for item in range(n):
        begin = fill
        for way in range(2):
            row = core.before_at if way == 0 else core.after_at
            near = core.before if way == 0 else core.after
            queue[0] = item
            seen[item] = 2 * item + way
            head = 0
            size = 1
            while head < size and fill - begin < most:
                p = queue[head]
                direct = head == 0
                head += 1
                for k in range(row[p], row[p + 1]):
                    q = near[k]
                    if q == 0 or seen[q] == 2 * item + way:
                        continue
                    seen[q] = 2 * item + way
                    queue[size] = q
                    size += 1
                    # a direct successor may follow, an indirect one may not
                    if (way == 0 or not direct) and fill < len(barred):
                        barred[fill] = q
                        fill += 1
        at[item + 1] = fill


@kernel(allocates=False)
def may_follow(rules: Rules, i: int, j: int) -> bool:
    """Whether item j may directly follow item i (neither is item 0)."""
    step = rules.stage[j] - rules.stage[i]
    if step < 0 or step > 1:
        return False
    low = rules.barred_at[i]
    high = rules.barred_at[i + 1]
    while low < high:
        middle = (low + high) // 2
        if rules.barred[middle] < j:
            low = middle + 1
        else:
            high = middle
    return not (low < rules.barred_at[i + 1] and rules.barred[low] == j)


@kernel(allocates=False)
def arc_of(pairs: Pairs, i: int, j: int, u: int, v: int) -> int:
    """The arc from variant u of item i to variant v of item j; -1 if the graph has none inside a stage."""
    for k in range(pairs.at[i], pairs.at[i + 1]):
        if pairs.other[k] == j:
            e = pairs.edge[k]
            for a in range(pairs.arc_at[e], pairs.arc_at[e + 1]):
                if (pairs.tail[a] == u and pairs.head[a] == v) or pairs.either:
                    return a
    return -1


def arc_costs(core: Core, tail: Ints, head: Ints) -> Floats:
    """Costs of arcs between variants."""
    cost = np.empty(len(tail))
    look_up(core, tail, head, cost)
    return cost


def dearest(core: Core, prices: Prices, tree: tuple[Ints, Ints]) -> Floats:
    """Price of the dearest arc of a tree at each item."""
    tail, head = tree
    cost = arc_costs(core, tail, head) + prices.leave[tail] + prices.enter[head]
    limit = np.full(len(core.first) - 1, -np.inf)
    np.maximum.at(limit, core.owner[tail], cost)
    np.maximum.at(limit, core.owner[head], cost)
    return limit


@kernel(allocates=False)
def look_up(core: Core, tail: Ints, head: Ints, cost: Floats) -> None:
    """Write the costs of arcs."""
    for k in range(len(tail)):
        cost[k] = arc(core, tail[k], head[k])


@kernel(allocates=False)
def permit(core: Core, rules: Rules, tail: Ints, head: Ints, allowed: NDArray[np.bool_]) -> None:
    """Write which arcs lead to another item that may follow; arcs at item 0 are left out."""
    for k in range(len(tail)):
        i = core.owner[tail[k]]
        j = core.owner[head[k]]
        allowed[k] = i != j and i > 0 and j > 0 and may_follow(rules, i, j)


@kernel(allocates=False)
def cheapest_arcs(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    core: Core,
    rules: Rules,
    both: NDArray[np.int64],
    whole: bool,
    leave: Floats,
    enter: Floats,
    limit: Floats,
    least: Floats,
    partner: Ints,
    tail: Ints,
    head: Ints,
) -> int:
    """The arcs of each pair: the cheapest in either direction, or each variant's cheapest in each direction.

    ``least`` and ``partner`` are working memory for the cheapest partners; returns the number of arcs.
    """
    n = len(limit)
    fill = 0
    for e in range(len(both)):
        i = both[e] // n
        j = both[e] % n
        most = max(limit[i], limit[j])
        best = np.inf
        for _ in range(2):
            if may_follow(rules, i, j):
                _partners(core, i, j, leave, enter, least, partner)
                for u in range(core.first[i], core.first[i + 1]):
                    if whole and least[u] <= most:
                        tail[fill] = u
                        head[fill] = partner[u]
                        fill += 1
                    elif not whole and least[u] < best:
                        best = least[u]
                        tail[fill] = u
                        head[fill] = partner[u]
                for v in range(core.first[j], core.first[j + 1]):
                    # unless it was just added as the cheapest of its tail
                    if whole and least[v] <= most and partner[partner[v]] != v:
                        tail[fill] = partner[v]
                        head[fill] = v
                        fill += 1
            k = i
            i = j
            j = k
        if not whole and best <= most:
            fill += 1
    return fill


@kernel(allocates=False)
def _partners(core: Core, i: int, j: int, leave: Floats, enter: Floats, least: Floats, partner: Ints) -> None:
    """For each variant of item i the cheapest variant of item j to go to; for each of j, the cheapest to come from."""
    for v in range(core.first[j], core.first[j + 1]):
        least[v] = np.inf
    for u in range(core.first[i], core.first[i + 1]):
        least[u] = np.inf
        for v in range(core.first[j], core.first[j + 1]):
            cost = arc(core, u, v) + leave[u] + enter[v]
            if cost < least[u]:
                least[u] = cost
                partner[u] = v
            if cost < least[v]:
                least[v] = cost
                partner[v] = u
