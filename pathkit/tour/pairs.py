"""The sparse graph a bound's weights are found on: pairs of items with the cheapest arcs between their variants."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.arcs import arc
from pathkit.tour.core import Core

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

BARRED = 4_000_000  # remembered pairs that precedence keeps apart; leaving some out is valid, only weaker


class Rules(NamedTuple):
    """Which item may stand directly behind which: stage by stage, and what precedence bars."""

    stage: Ints  # (n,) counted from 0 without gaps; item 0 has none of its own
    barred_at: Ints  # (n + 1,) barred[barred_at[i] : barred_at[i + 1]], sorted, cannot come directly behind item i
    barred: Ints


class Prices(NamedTuple):
    """What is added to the cost of an arc."""

    leave: Floats  # (m,) for leaving a variant
    enter: Floats  # (m,)
    toll: Floats  # for each arc of the sparse graph


class Pairs(NamedTuple):
    """Pairs of items other than item 0; the first ``within`` of them inside a stage, the rest from one to the next.

    Of pair e the arcs are ``arc_at[e] : arc_at[e + 1]``. Item i is in the pairs ``edge[at[i] : at[i + 1]]``, with
    ``other`` on their other side; pairs between stages are left out there.
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
    either: bool  # an arc stands for its reverse too


class Rim(NamedTuple):
    """Arcs at item 0, all there are: the first ``out`` leave it, the rest enter it."""

    out: int
    tail: Ints
    head: Ints
    cost: Floats


def rules_of(core: Core) -> Rules:
    """What must come before an item cannot follow it; what must come after it, but with another between, neither."""
    n = len(core.first) - 1
    most = max(BARRED // n, 64)
    barred_at, barred = barred_behind(core, most)
    stage = np.unique(core.low, return_inverse=True)[1].reshape(-1)
    return Rules(stage.astype(np.int32), barred_at, barred)


def join(core: Core, rules: Rules, arcs: tuple[Ints, Ints], whole: bool, prices: Prices, limit: Floats) -> Pairs:
    """The pairs of items that the given arcs between variants are in, each way with every variant's cheapest arc.

    Not ``whole``, the cheapest arc of a pair stands for them all, whichever way it is gone. Arcs whose price, tolls
    aside, is over the ``limit`` of both their items are left out.
    """
    tail, head = arcs
    leave, enter = prices.leave, prices.enter
    n, m = len(rules.stage), len(core.owner)
    kept = allowed_arcs(core, rules, tail, head)
    tail, head = tail[kept], head[kept]
    both = each_once(_named(core.owner[tail], core.owner[head], n))
    tails, heads = cheapest_arcs(core, rules, both // n, both % n, whole, leave, enter, limit)
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


def each_once(numbers: NDArray[np.integer]) -> NDArray[np.integer]:
    """Each of the numbers once, sorted."""
    numbers = np.sort(numbers)
    return numbers[np.diff(numbers, prepend=-1) > 0]


def rim_of(core: Core, rules: Rules) -> Rim:
    """Only what waits for nothing but item 0 can come first, and only what nothing waits for can come last."""
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
    return Rim(len(own) * len(first), tail, head, arc_costs(core, tail, head))


@kernel
def barred_behind(core: Core, most: int) -> tuple[Ints, Ints]:
    """For each item up to ``most`` others that cannot come directly behind it, sorted, as compressed rows."""
    n = len(core.first) - 1
    seen = np.full(n, -1, dtype=np.int32)
    queue = np.empty(n, dtype=np.int32)
    at = np.zeros(n + 1, dtype=np.int32)
    barred = np.empty(16 * n, dtype=np.int32)
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
                for q in near[row[p] : row[p + 1]]:
                    # a direct successor may follow, one behind it may not
                    if q == 0 or seen[q] == 2 * item + way:
                        continue
                    seen[q] = 2 * item + way
                    queue[size] = q
                    size += 1
                    if way == 0 or not direct:
                        if fill == len(barred):
                            more = np.empty(2 * fill, dtype=np.int32)
                            more[:fill] = barred
                            barred = more
                        barred[fill] = q
                        fill += 1
        at[item + 1] = fill
        barred[begin:fill] = np.sort(barred[begin:fill])
    return at, barred[:fill].copy()


@kernel(allocates=False, inner=True)
def may_follow(rules: Rules, i: int, j: int) -> bool:
    """Whether item j may stand directly behind item i (neither is item 0)."""
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


@kernel(allocates=False, inner=True)
def arc_of(pairs: Pairs, i: int, j: int, u: int, v: int) -> int:
    """The arc from variant u of item i to variant v of item j, -1 where the graph has none inside a stage."""
    for k in range(pairs.at[i], pairs.at[i + 1]):
        if pairs.other[k] == j:
            e = pairs.edge[k]
            for a in range(pairs.arc_at[e], pairs.arc_at[e + 1]):
                if (pairs.tail[a] == u and pairs.head[a] == v) or pairs.either:
                    return a
    return -1


@kernel
def arc_costs(core: Core, tail: Ints, head: Ints) -> Floats:
    """Costs of arcs between variants."""
    cost = np.empty(len(tail))
    for k in range(len(tail)):
        cost[k] = arc(core, tail[k], head[k])
    return cost


@kernel
def allowed_arcs(core: Core, rules: Rules, tail: Ints, head: Ints) -> NDArray[np.bool_]:
    """Which arcs lead to another item that may follow; item 0's are left out."""
    allowed = np.empty(len(tail), dtype=np.bool_)
    for k in range(len(tail)):
        i = core.owner[tail[k]]
        j = core.owner[head[k]]
        allowed[k] = i != j and i > 0 and j > 0 and may_follow(rules, i, j)
    return allowed


@kernel
def cheapest_arcs(
    core: Core,
    rules: Rules,
    one: NDArray[np.int64],
    two: NDArray[np.int64],
    whole: bool,
    leave: Floats,
    enter: Floats,
    limit: Floats,
) -> tuple[Ints, Ints]:
    """Of each pair the arc that is cheapest both ways, or each way the cheapest of every variant of either item."""
    least = np.empty(len(core.owner))
    partner = np.empty(len(core.owner), dtype=np.int32)
    tail = np.empty(4 * len(one) + 64, dtype=np.int32)
    head = np.empty(4 * len(one) + 64, dtype=np.int32)
    fill = 0
    for e in range(len(one)):
        i = one[e]
        j = two[e]
        most = max(limit[i], limit[j])
        best = np.inf
        more = 2 * (core.first[i + 1] - core.first[i] + core.first[j + 1] - core.first[j])
        if fill + more > len(tail):
            tail = _longer(tail, more)
            head = _longer(head, more)
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
                    # unless that is the arc just taken for its tail
                    if whole and least[v] <= most and partner[partner[v]] != v:
                        tail[fill] = partner[v]
                        head[fill] = v
                        fill += 1
            i, j = j, i
        if not whole and best <= most:
            fill += 1
    return tail[:fill].copy(), head[:fill].copy()


@kernel(allocates=False, inner=True)
def _partners(core: Core, i: int, j: int, leave: Floats, enter: Floats, least: Floats, partner: Ints) -> None:
    """For every variant of item i the cheapest to go on to in item j; of item j, the cheapest to come from."""
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


@kernel(inner=True)
def _longer(row: Ints, more: int) -> Ints:
    """The row with room for at least so many more."""
    longer = np.empty(2 * len(row) + more, dtype=np.int32)
    longer[: len(row)] = row
    return longer
