"""Rebuilding orders under rules: a few items are taken out and put in again, each where it costs least.

Ruin and recreate (Schrimpf et al., J. Computational Physics 159(2), 2000) with strings of neighbours taken out and
places passed over by chance (Christiaens and Vanden Berghe, Transportation Science 54(2), 2020), accepted at a
temperature. A third of the changes or more keep what they take out in one piece, which moves elsewhere, either way
round if rules and costs allow. Exchanges of three arcs cannot reach what moves an item and its successors together, and
so end in basins that this leaves.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tolerances import RELATIVE_ROUNDING
from pathkit.tour.constrained.linked_order import (
    OUT,
    TAKEN,
    Linked,
    copy_to,
    lay,
    limits,
    put_in,
    restore,
    settle,
    take_out,
)
from pathkit.tour.kernel.acceptance import allows
from pathkit.tour.kernel.costs import arc, draw, total

Ints = NDArray[np.int32]
Random = NDArray[np.uint64]

MOST = 12  # most items that are taken out to be put in one by one
STRING = 8  # most neighbours among them
PIECE = 30  # longest piece that is moved whole
SHORT_PIECE = 6  # the same, half the time: with many precedence rules only short ones can move
WHOLE = 75  # of a hundred changes: those that move a piece whole
PASSED = 2  # of 128 places: those that are passed over
SIGHT = 500  # places that are tried on each side of the old one


@kernel(allocates=False)
def rebuild(ring: Linked, sequence: Ints, best: Ints, random: Random, heat: float, rounds: int) -> float:
    """Change ``sequence`` (n,) many times; ``heat`` says what may cost more. ``best`` becomes the cheapest order seen.

    Returns the cost of ``best``. Acceptance uses only + - * / and sqrt, so that every machine decides alike.
    """
    lay(ring, sequence)
    settle(ring)
    cost = total(ring.core, sequence)
    lowest = total(ring.core, best)
    rounding = RELATIVE_ROUNDING * (1.0 + lowest)
    for _ in range(rounds):
        if draw(random, 100) < WHOLE:
            rise = move_piece(ring, random)
        else:
            rise = ruin(ring, random)
            for k in range(ring.counters[TAKEN]):
                if rise < np.inf:
                    rise += put_back(ring, ring.queue[k], random)
        if not allows(heat, rise, random):
            restore(ring)
            continue
        settle(ring)
        cost += rise
        if cost < lowest - rounding:
            lowest = cost
            copy_to(ring, best)
    copy_to(ring, sequence)
    return total(ring.core, best)


@kernel(allocates=False, pasted=True)
def ruin(ring: Linked, random: Random) -> float:
    """Take out strings of items near each other and queue them at random; returns the cost, which is below zero."""
    n = len(ring.key)
    want = min(1 + draw(random, MOST), n - 1)
    item = 1 + draw(random, n - 1)
    cost = 0.0
    for _ in range(2 * MOST):
        if item != 0 and ring.key[item] != OUT:
            length = 1 + draw(random, min(want - ring.counters[TAKEN], STRING))
            for _step in range(draw(random, length)):
                if ring.behind[item] != 0:
                    item = ring.behind[item]
            while length > 0 and item != 0:
                after = ring.ahead[item]
                cost -= take_out(ring, item)
                item = after
                length -= 1
        if ring.counters[TAKEN] == want:
            break
        item = related(ring, ring.taken[draw(random, ring.counters[TAKEN])], random)
    count = ring.counters[TAKEN]
    for k in range(count):
        j = draw(random, k + 1)
        ring.queue[k] = ring.queue[j]
        ring.queue[j] = ring.taken[k]
    return cost


@kernel(allocates=False, pasted=True)
def related(ring: Linked, item: int, random: Random) -> int:
    """An item near another, or tied to it by a rule."""
    core = ring.core
    if draw(random, 4) == 0:
        begin = core.before_at[item]
        count = core.before_at[item + 1] - begin
        other = core.after_at[item]
        both = count + core.after_at[item + 1] - other
        if both > 0:
            k = draw(random, both)
            return core.before[begin + k] if k < count else core.after[other + k - count]  # type: ignore[no-any-return]
    return ring.near[draw(random, 2), item, draw(random, ring.near.shape[2])]  # type: ignore[no-any-return]


@kernel(allocates=False, pasted=True)
def put_back(ring: Linked, item: int, random: Random) -> float:
    """Put one item in where it costs least, in its best variant there; returns the cost, inf if it found no place."""
    core = ring.core
    first = core.first[item]
    choices = core.first[item + 1] - first
    for k in range(choices):
        ring.head[k] = first + k
        ring.tail[k] = first + k
        ring.inner[k] = 0.0
    low, high = limits(ring, item)
    cost, a, k = cheapest_place(ring, item, low, high, choices, OUT, random)
    if a >= 0:
        put_in(ring, item, a, first + k)
    return cost


@kernel(allocates=False, pasted=True)
def move_piece(ring: Linked, random: Random) -> float:
    """Move a stretch of neighbours to where it costs least elsewhere, or turn it; returns the cost, inf if it cannot.

    A stretch of several stages stays.
    """
    core = ring.core
    n = len(ring.key)
    longest = min(PIECE, n - 1)
    length = 1 + draw(random, min(longest, SHORT_PIECE) if draw(random, 2) == 0 else longest)
    item = 1 + draw(random, n - 1)
    head = item
    last = item
    cost = 0.0
    while length > 0 and item != 0:
        after = ring.ahead[item]
        cost -= take_out(ring, item)
        last = item
        item = after
        length -= 1
    if core.low[head] != core.low[last]:
        return np.inf
    low, high, ways = describe(ring)
    rise, a, way = cheapest_place(ring, head, low, high, ways, ring.was_behind[head], random)
    if a < 0:
        return np.inf
    count = ring.counters[TAKEN]
    for k in range(count):
        item = ring.taken[k if way == 0 else count - 1 - k]
        v = ring.was_variant[item]
        put_in(ring, item, a, v if way == 0 else core.mate[v])
        a = item
    return cost + rise


@kernel(allocates=False, pasted=True)
def describe(ring: Linked) -> tuple[int, int, int]:
    """What must come before and after the piece that was taken out, and in how many ways, 1 or 2, it may be put in.

    Those go to ``head``, ``tail`` and ``inner``. It may be turned if none of its items must come before another.
    """
    core = ring.core
    count = ring.counters[TAKEN]
    low = 0
    high = 0
    ways = 2
    ring.inner[0] = 0.0
    ring.inner[1] = 0.0
    for k in range(count):
        item = ring.taken[k]
        v = ring.was_variant[item]
        for e in range(core.before_at[item], core.before_at[item + 1]):
            other = core.before[e]
            if ring.key[other] > ring.key[low]:
                low = other
        for e in range(core.after_at[item], core.after_at[item + 1]):
            other = core.after[e]
            if ring.key[other] == OUT:
                ways = 1
            elif high == 0 or ring.key[other] < ring.key[high]:
                high = other
        if core.mate[v] < 0:
            ways = 1
        if k > 0:
            u = ring.was_variant[ring.taken[k - 1]]
            ring.inner[0] += arc(core, u, v)
            if ways == 2:
                ring.inner[1] += arc(core, core.mate[v], core.mate[u])
    first = ring.was_variant[ring.taken[0]]
    final = ring.was_variant[ring.taken[count - 1]]
    ring.head[0] = first
    ring.tail[0] = final
    if ways == 2:
        ring.head[1] = core.mate[final]
        ring.tail[1] = core.mate[first]
    return low, high, ways


# One loop over places, outwards from the old one: its parts share a dozen numbers.
@kernel(allocates=False, pasted=True)
def cheapest_place(
    ring: Linked, item: int, low: int, high: int, ways: int, old: int, random: Random
) -> tuple[float, int, int]:
    """The cheapest place for the piece that begins with ``item``: its cost, the item before it, and which of its ways.

    Only places after ``low`` and before ``high`` (0: the end) and in the item's stage; inf and -1 if there is none.
    Directly after ``old`` the first way is left out, as it changes nothing.
    """
    core = ring.core
    stage = core.low[item]
    best = np.inf
    where = -1
    chosen = 0
    middle = ring.was_behind[item]
    while ring.key[middle] == OUT:
        middle = ring.was_behind[middle]
    if ring.key[middle] < ring.key[low]:
        middle = low
    elif high != 0 and ring.key[middle] >= ring.key[high]:
        middle = ring.behind[high]
    for side in range(2):
        a = middle if side == 0 else ring.ahead[middle]
        if side == 1 and (a == high or a == 0):
            break
        for _ in range(SIGHT):
            b = ring.ahead[a]
            fits = (a == 0 or core.low[a] <= stage) and (b == 0 or core.low[b] >= stage)
            if fits and (where < 0 or draw(random, 128) >= PASSED):
                u = ring.variant[a]
                w = ring.variant[b]
                now = arc(core, u, w)
                for k in range(1 if a == old else 0, ways):
                    cost = arc(core, u, ring.head[k]) + ring.inner[k] + arc(core, ring.tail[k], w) - now
                    if cost < best:
                        best = cost
                        where = a
                        chosen = k
            if side == 0:
                if a == low or a == 0 or core.low[a] < stage:
                    break
                a = ring.behind[a]
            else:
                if b == high or b == 0 or core.low[b] > stage:
                    break
                a = b
    return best, where, chosen
