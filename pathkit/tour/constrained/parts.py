"""Items that precedence ties together, such as a part's pocket, holes and outline, done one directly after another.

Short orders of a large board do nearly every such part in one go. With each part as one item, whose variants are its
best inner orders, stretches may be reversed and moved that precedence forbids to turn item by item, and there are fewer
items. So the search first finds an order of the parts, and goes on from there item by item.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import arc, move
from pathkit.tour.kernel.frame import neighbours, spans
from pathkit.tour.metric import MATRIX, Pricing

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

LEAST = 1_000  # items from which a board is worth compiling for
LARGEST = 8  # items of a part; what is tied in larger ones stays item by item
WIDEST = 64  # variants of all its items together
STEEPEST = 1 << 20  # of its sets of items, times its variants cubed: what listing its ways may take
KEPT = 32  # ways of doing a part
SHARE = 0.5  # part of the items that must be in parts, else their order says little of all


class Parts(NamedTuple):
    """A core whose items are the parts, and the items that are in none; and what its variants stand for."""

    core: Core
    whole: Core  # of the items
    members_at: Ints  # (n + 1,) what item i of ``core`` holds: members[members_at[i] : members_at[i + 1]]
    members: Ints
    head: Ints  # (m,) variant of ``whole`` with which a variant of ``core`` begins
    tail: Ints  # (m,) and with which it ends
    fixed: float  # cost of all parts, each done the cheapest way, which ``core`` leaves out


class Paths(NamedTuple):
    """Cheapest paths through a part: room for dynamic programming over sets of its items."""

    own: Ints  # (w,) variants of its items
    of: Ints  # (w,) which of its items they belong to
    step: Floats  # (w, w) cost from one to another
    reach: Floats  # (sets, w) cost of doing a set and ending with a variant, inf where rules forbid it
    came: Ints  # (sets, w) the variant before


def parts_of(core: Core) -> Parts | None:
    """The parts of a board; None where it is small, holds few of them, or its costs are a matrix."""
    n = len(core.first) - 1
    if n < LEAST or core.pricing.kind == MATRIX or len(core.after) == 0:
        return None
    label = _labels(core)
    counts = np.bincount(label)
    if np.count_nonzero(counts[label] > 1) < SHARE * n:
        return None
    members_at = np.concatenate([[0], np.cumsum(counts)]).astype(np.int32)
    members = np.argsort(label, kind="stable").astype(np.int32)
    lead = members[members_at[:-1]]
    free = core.pricing._replace(retract=0.0)
    first, head, tail, inner, fixed = _ways(core, free, members_at, members)
    owner = np.repeat(np.arange(len(counts)), np.diff(first)).astype(np.int32)
    low, high = spans(np.unique(core.low[lead], return_inverse=True)[1].reshape(-1))
    edges = np.column_stack([np.repeat(np.arange(n), np.diff(core.after_at)), core.after])
    edges = label[edges[core.low[edges[:, 0]] == core.low[edges[:, 1]]]]  # between stages the stages suffice
    parted = Core(
        first=first,
        owner=owner,
        entry=core.entry[head],
        exit=core.exit[tail],
        costs=np.zeros((0, 0)),
        inner=inner,
        pricing=core.pricing,
        switch_cost=core.switch_cost,
        free=core.free,
        two_way=False,
        group=core.group[lead],
        low=low,
        high=high,
        mate=_mates(core, free, first, owner, head, tail, inner),
        **neighbours(edges[edges[:, 0] != edges[:, 1]], len(counts)),
    )
    return Parts(parted, core, members_at, members, head, tail, fixed)


def _labels(core: Core) -> NDArray[np.int64]:
    """Number of each item's part, in the order of their first items. Item 0 is in none."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    n = len(core.first) - 1
    one = np.repeat(np.arange(n), np.diff(core.after_at))
    other = core.after.astype(np.int64)
    tied = (core.low[one] == core.low[other]) & (one > 0) & (other > 0)
    one, other = one[tied], other[tied]
    label = connected_components(coo_array((np.ones(len(one)), (one, other)), shape=(n, n)), directed=False)[1]
    size = np.bincount(label)
    width = np.bincount(label, weights=np.diff(core.first))
    fits = (size <= LARGEST) & (width <= WIDEST)
    fits &= 2.0 ** np.minimum(size, LARGEST) * width**3 <= STEEPEST
    fits[label[one[core.group[one] != core.group[other]]]] = False  # what is tied changes groups on the way
    alone = np.where(fits[label], label, n + np.arange(n))
    begin, number = np.unique(alone, return_index=True, return_inverse=True)[1:]
    rank = np.empty(len(begin), dtype=np.int64)
    rank[np.argsort(begin)] = np.arange(len(begin))
    return rank[number.reshape(-1)]


def greedy_order(core: Core, near: Ints) -> Ints:
    """An order of the parts from the cheapest steps between near ones that fit together; of each the cheapest way.

    Precedence that is left between them must not be broken: then the parts stay as they come.
    """
    from pathkit.tour.kernel.greedy import greedy_tour
    from pathkit.tour.kernel.nearest_neighbour import nearest_feasible

    if len(core.after):
        return nearest_feasible(core)
    n = len(core.first) - 1
    begins, counts = core.first[:-1], np.diff(core.first)[:, None]
    middles = (np.add.reduceat(core.entry, begins) + np.add.reduceat(core.exit, begins)) / (2 * counts)
    gap = np.empty(near.shape)
    _steps(core, near, gap)
    order = greedy_tour(middles, near, gap, np.full(n, -1, dtype=np.int32), 0 if core.free else -1)
    order = np.roll(order, -int(np.flatnonzero(order == 0)[0]))
    order = order[np.argsort(core.low[order], kind="stable")]
    return core.first[order].astype(np.int32)


@kernel(allocates=False)
def _steps(core: Core, near: Ints, gap: Floats) -> None:
    """Write into ``gap`` (n, k) the least cost of going between near parts, either way.

    Half of what each way of doing both costs counts, so that a dear way is not taken for two cheap steps.
    """
    for i in range(near.shape[0]):
        for k in range(near.shape[1]):
            j = near[i, k]
            least = np.inf
            for u in range(core.first[i], core.first[i + 1]):
                for v in range(core.first[j], core.first[j + 1]):
                    more = 0.5 * (core.inner[u] - core.inner[v])
                    least = min(least, arc(core, u, v) + more, arc(core, v, u) - more)
            gap[i, k] = least


@kernel
def _new_paths() -> Paths:
    return Paths(
        np.empty(WIDEST, dtype=np.int32),
        np.empty(WIDEST, dtype=np.int32),
        np.empty((WIDEST, WIDEST)),
        np.empty((1 << LARGEST, WIDEST)),
        np.empty((1 << LARGEST, WIDEST), dtype=np.int32),
    )


@kernel(allocates=False)
def _open(core: Core, items: Ints, paths: Paths) -> int:
    """Lay out the variants of a part and the steps between them; returns their number."""
    count = 0
    for k in range(len(items)):
        for v in range(core.first[items[k]], core.first[items[k] + 1]):
            paths.own[count] = v
            paths.of[count] = k
            count += 1
    for u in range(count):
        for v in range(count):
            paths.step[u, v] = arc(core, paths.own[u], paths.own[v])
    return count


@kernel
def _spread(core: Core, items: Ints, count: int, lead: int, paths: Paths) -> None:
    """All paths through a part that begin with its variant ``lead`` (Held and Karp, J. SIAM 10(1), 1962)."""
    need = np.zeros(len(items), dtype=np.int64)
    for k in range(len(items)):
        for e in range(core.before_at[items[k]], core.before_at[items[k] + 1]):
            for j in range(len(items)):
                if core.before[e] == items[j]:
                    need[k] |= 1 << j
    reach = paths.reach
    for done in range(1 << len(items)):
        for v in range(count):
            reach[done, v] = np.inf
    if need[paths.of[lead]] == 0:
        reach[1 << paths.of[lead], lead] = 0.0
    for done in range(1, 1 << len(items)):
        for u in range(count):
            if reach[done, u] == np.inf:
                continue
            for v in range(count):
                k = paths.of[v]
                if done >> k & 1 == 0 and need[k] & ~done == 0:
                    cost = reach[done, u] + paths.step[u, v]
                    if cost < reach[done | 1 << k, v]:
                        reach[done | 1 << k, v] = cost
                        paths.came[done | 1 << k, v] = u


@kernel
def _ways(core: Core, free: Pricing, members_at: Ints, members: Ints) -> tuple[Ints, Ints, Ints, Floats, float]:
    """Ways of doing each part: where its own begin, their first and last variants, their costs beyond its cheapest.

    The last number is the sum of the cheapest. A way is left out where a cheaper one, with steps from and to its ends
    at the costs ``free`` of retracts, costs no more.
    """
    count = len(members_at) - 1
    first = np.zeros(count + 1, dtype=np.int32)
    room = KEPT * count + len(core.owner)
    head = np.empty(room, dtype=np.int32)
    tail = np.empty(room, dtype=np.int32)
    inner = np.empty(room)
    paths = _new_paths()
    begins = np.empty(WIDEST * WIDEST, dtype=np.int32)
    ends = np.empty(WIDEST * WIDEST, dtype=np.int32)
    costs = np.empty(WIDEST * WIDEST)
    fill = 0
    fixed = 0.0
    for part in range(count):
        begin = fill
        items = members[members_at[part] : members_at[part + 1]]
        if len(items) == 1:
            for v in range(core.first[items[0]], core.first[items[0] + 1]):
                head[fill] = v
                tail[fill] = v
                inner[fill] = 0.0
                fill += 1
            first[part + 1] = fill
            continue
        wide = _open(core, items, paths)
        every = (1 << len(items)) - 1
        found = 0
        for lead in range(wide):
            _spread(core, items, wide, lead, paths)
            for v in range(wide):
                if paths.reach[every, v] < np.inf:
                    begins[found] = paths.own[lead]
                    ends[found] = paths.own[v]
                    costs[found] = paths.reach[every, v]
                    found += 1
        for k in np.argsort(costs[:found]):
            worth = fill - begin < KEPT
            for w in range(begin, fill):
                there = _apart(core.entry, free, begins[k], core.entry, head[w])
                back = _apart(core.exit, free, tail[w], core.exit, ends[k])
                worth = worth and inner[w] + there + back > costs[k]
            if worth:
                head[fill] = begins[k]
                tail[fill] = ends[k]
                inner[fill] = costs[k]
                fill += 1
        least = inner[begin]
        fixed += least
        for w in range(begin, fill):
            inner[w] -= least
        first[part + 1] = fill
    return first, head[:fill].copy(), tail[:fill].copy(), inner[:fill].copy(), fixed


@kernel(allocates=False)
def _apart(one: Floats, free: Pricing, u: int, other: Floats, v: int) -> float:
    """Cost of going from one place to another."""
    return move(free, other[v, 0] - one[u, 0], other[v, 1] - one[u, 1])


@kernel
def _mates(
    core: Core, free: Pricing, first: Ints, owner: Ints, head: Ints, tail: Ints, inner: Floats
) -> Ints:  # fmt: skip
    """For each way of a part the one that leads back: it begins near where that ends, and ends near where it begins.

    What is in no part keeps its own reverse.
    """
    mate = np.empty(len(head), dtype=np.int32)
    for v in range(len(head)):
        begin = first[owner[v]]
        mate[v] = -1
        if head[v] == tail[v]:
            back = core.mate[head[v]]
            if back >= 0:
                mate[v] = begin + back - core.first[core.owner[back]]
            continue
        best = np.inf
        for w in range(begin, first[owner[v] + 1]):
            cost = inner[w] + _apart(core.exit, free, tail[v], core.entry, head[w])
            cost += _apart(core.exit, free, tail[w], core.entry, head[v])
            if cost < best:
                best = cost
                mate[v] = w
    return mate


@kernel
def spelled_out(parts: Parts, sequence: Ints) -> Ints:
    """The order of the items for an order of the parts."""
    core = parts.whole
    found = np.empty(len(core.first) - 1, dtype=np.int32)
    paths = _new_paths()
    place = 0
    for way in sequence:
        part = parts.core.owner[way]
        items = parts.members[parts.members_at[part] : parts.members_at[part + 1]]
        if len(items) == 1:
            found[place] = parts.head[way]
            place += 1
            continue
        wide = _open(core, items, paths)
        lead = 0
        at = 0
        for v in range(wide):
            if paths.own[v] == parts.head[way]:
                lead = v
            if paths.own[v] == parts.tail[way]:
                at = v
        _spread(core, items, wide, lead, paths)
        done = (1 << len(items)) - 1
        for k in range(len(items) - 1, -1, -1):
            found[place + k] = paths.own[at]
            before = paths.came[done, at]
            done &= ~(1 << paths.of[at])
            at = before
        place += len(items)
    return found
