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


def join(core: Core, rules: Rules, one: Ints, two: Ints, keep: int) -> Pairs:
    """Pairs of items (in any order, also twice) with up to ``keep`` arcs each way; with 0 the cheapest one."""
    n = len(rules.stage)
    apart = np.abs(rules.stage[one] - rules.stage[two])
    kept = (np.minimum(one, two) > 0) & (one != two) & (apart <= 1)
    both = np.unique(np.minimum(one, two)[kept].astype(np.int64) * n + np.maximum(one, two)[kept])
    across = rules.stage[both // n] != rules.stage[both % n]
    both = both[np.argsort(across, kind="stable")]
    low, high = (both // n).astype(np.int32), (both % n).astype(np.int32)
    within = int(np.count_nonzero(~across))
    arc_at, tail, head, cost = cheapest_arcs(core, rules, low, high, keep)
    edge = np.tile(np.arange(within, dtype=np.int32), 2)
    ends = np.concatenate([low[:within], high[:within]])
    others = np.concatenate([high[:within], low[:within]])
    order = np.argsort(ends, kind="stable")
    at = np.concatenate([[0], np.cumsum(np.bincount(ends, minlength=n))]).astype(np.int32)
    return Pairs(low, high, within, arc_at, tail, head, cost, at, others[order], edge[order], rules.stage)


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


@kernel
def arc_costs(core: Core, tail: Ints, head: Ints) -> Floats:
    """Costs of arcs between variants."""
    cost = np.empty(len(tail))
    for k in range(len(tail)):
        cost[k] = arc(core, tail[k], head[k])
    return cost


@kernel
def cheapest_arcs(core: Core, rules: Rules, one: Ints, two: Ints, keep: int) -> tuple[Ints, Ints, Ints, Floats]:
    """The ``keep`` cheapest arcs of each pair in each direction that is allowed, or the one cheapest of both."""
    room = max(keep, 1)
    ways = 2 if keep > 0 else 1
    tail = np.empty(len(one) * room * ways, dtype=np.int32)
    head = np.empty(len(one) * room * ways, dtype=np.int32)
    cost = np.empty(len(one) * room * ways)
    at = np.zeros(len(one) + 1, dtype=np.int32)
    fill = 0
    for e in range(len(one)):
        begin = fill
        for way in range(2):
            i = one[e] if way == 0 else two[e]
            j = two[e] if way == 0 else one[e]
            if not may_follow(rules, i, j):
                continue
            if keep > 0:
                begin = fill
            for u in range(core.first[i], core.first[i + 1]):
                for v in range(core.first[j], core.first[j + 1]):
                    far = arc(core, u, v)
                    if fill - begin == room:
                        if far >= cost[fill - 1]:
                            continue
                        fill -= 1
                    k = fill
                    while k > begin and cost[k - 1] > far:
                        tail[k] = tail[k - 1]
                        head[k] = head[k - 1]
                        cost[k] = cost[k - 1]
                        k -= 1
                    tail[k] = u
                    head[k] = v
                    cost[k] = far
                    fill += 1
        at[e + 1] = fill
    return at, tail[:fill].copy(), head[:fill].copy(), cost[:fill].copy()
