"""Local search for large orders with variants and rules: 2-opt, Or-opt and block exchange towards near items.

A move is weighed first and then asked for by the rules, since few moves gain and asking costs the length of the block.
Kicks exchange two small blocks; what does not help is taken back from a log.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.annealing import allows, exchange, reach, reverse, reversible, turned
from pathkit.tour.arcs import arc, draw
from pathkit.tour.line import Line

CARRIED = 3  # longest block Or-opt moves
KICKED = 10  # longest block a kick moves
TURNABLE = 100  # longest stretch turned round where that changes what its links cost


@kernel(allocates=False)
def look_at(line: Line, item: int) -> None:
    """Queue an item."""
    if item > 0 and line.queued[item] == 0:
        n = len(line.queue)
        at = line.marks[0] + line.marks[1]
        line.queue[at if at < n else at - n] = item
        line.marks[1] += 1
        line.queued[item] = 1


@kernel(allocates=False)
def look_around(line: Line, p: int) -> None:
    """Queue the items at place p and after it."""
    n = len(line.sequence)
    if 0 <= p < n:
        look_at(line, line.core.owner[line.sequence[p]])
    if p + 1 < n:
        look_at(line, line.core.owner[line.sequence[p + 1]])


@kernel(allocates=False)
def note(line: Line, first: int, last: int, logged: bool) -> bool:
    """Put what stands from ``first`` to ``last`` into the log; False where it has no room."""
    if not logged:
        return True
    fill = line.marks[2]
    count = last - first + 1
    if fill + count + 2 > len(line.log):
        return False
    for r in range(count):
        line.log[fill + r] = line.sequence[first + r]
    line.log[fill + count] = first
    line.log[fill + count + 1] = count
    line.marks[2] = fill + count + 2
    return True


@kernel(allocates=False)
def take_back(line: Line) -> None:
    """Undo everything in the log, last first."""
    while line.marks[2] > 0:
        fill = line.marks[2] - 2
        first = line.log[fill]
        count = line.log[fill + 1]
        fill -= count
        for r in range(count):
            v = line.log[fill + r]
            line.sequence[first + r] = v
            line.place[line.core.owner[v]] = first + r
        line.marks[2] = fill


@kernel(allocates=False)
def at(line: Line, p: int) -> int:
    """Variant at place p; the one after the last is the first."""
    return line.sequence[p if p < len(line.sequence) else 0]  # type: ignore[no-any-return]


@kernel(allocates=False)
def revary(line: Line, p: int, logged: bool) -> float:
    """The best variant at place p for the neighbours it has; returns the gain."""
    core = line.core
    v = line.sequence[p]
    item = core.owner[v]
    if core.first[item + 1] - core.first[item] == 1:
        return 0.0
    u = line.sequence[p - 1]
    x = at(line, p + 1)
    now = arc(core, u, v) + arc(core, v, x)
    best = now - line.slack
    chosen = -1
    for w in range(core.first[item], core.first[item + 1]):
        cost = arc(core, u, w) + arc(core, w, x)
        if cost < best:
            best = cost
            chosen = w
    if chosen < 0 or not note(line, p, p, logged):
        return 0.0
    line.sequence[p] = chosen
    look_around(line, p - 1)
    look_around(line, p + 1)
    return now - best


@kernel(allocates=False)
def insert(line: Line, p: int, logged: bool) -> float:
    """Or-opt: a block that begins or ends at place p goes beside an item near to that one; returns the gain."""
    core = line.core
    n = len(line.sequence)
    for side in range(2):
        for size in range(1, CARRIED + 1):
            i = p if side == 0 else p - size + 1
            j = i + size - 1
            if i < 1 or j >= n or (side == 1 and size == 1):
                break
            u = line.sequence[i - 1]
            x = at(line, j + 1)
            freed = arc(core, u, line.sequence[i]) + arc(core, line.sequence[j], x) - arc(core, u, x)
            if freed <= line.slack:
                continue
            own = core.owner[line.sequence[p]]
            for k in range(line.near.shape[1]):
                if line.span[own, k] >= freed:
                    continue
                b = line.place[line.near[own, k]]
                for way in range(2):
                    gap = b if way == 0 else b - 1
                    if gap < 0 or i - 1 <= gap <= j:
                        continue
                    # the item at p meets b: forward when the block's near end points that way
                    flipped = way != side
                    gain = moved(line, i, j, gap, flipped, freed, logged)
                    if gain > 0.0:
                        return gain
    return 0.0


@kernel(allocates=False)
def moved(line: Line, i: int, j: int, gap: int, flipped: bool, freed: float, logged: bool) -> float:
    """Move the block from i to j behind place ``gap`` if that gains and the rules allow it; returns the gain."""
    core = line.core
    y = line.sequence[gap]
    z = at(line, gap + 1)
    room = freed + arc(core, y, z)
    head = line.sequence[i]
    tail = line.sequence[j]
    if i == j:
        item = core.owner[head]
        cheapest = room - line.slack
        chosen = -1
        for w in range(core.first[item], core.first[item + 1]):
            cost = arc(core, y, w) + arc(core, w, z)
            if cost < cheapest:
                cheapest = cost
                chosen = w
        if chosen < 0:
            return 0.0
        head = chosen
        gain = room - cheapest
    else:
        if flipped:
            gain = room - arc(core, y, turned(core, tail)) - arc(core, turned(core, head), z)
            if core.rules[9] == 0.0:
                gain -= turning(line, i, j)
        else:
            gain = room - arc(core, y, head) - arc(core, tail, z)
        if gain <= line.slack:
            return 0.0
    first = min(i, gap + 1)
    last = max(j, gap)
    if last - first > line.window:
        return 0.0
    low, high = reach(core, line.sequence, line.place, i, j)
    if gap < low - 1 or gap > high:
        return 0.0
    if flipped and i < j and not reversible(core, line.sequence, line.place, i, j):
        return 0.0
    if not note(line, first, last, logged):
        return 0.0
    look_around(line, i - 1)
    look_around(line, j)
    look_around(line, gap)
    if i == j:
        line.sequence[i] = head
    elif flipped:
        reverse(core, line.sequence, line.place, i, j)
    if gap > j:
        exchange(core, line.sequence, line.place, line.scratch, i, j, gap)
    else:
        exchange(core, line.sequence, line.place, line.scratch, gap + 1, i - 1, j)
    return gain


@kernel(allocates=False)
def turning(line: Line, i: int, j: int) -> float:
    """What turning the block from i to j adds to the cost of its own links."""
    core = line.core
    rise = 0.0
    for p in range(i, j):
        v = line.sequence[p]
        w = line.sequence[p + 1]
        rise += arc(core, turned(core, w), turned(core, v)) - arc(core, v, w)
    return rise


@kernel(allocates=False)
def turn(line: Line, p: int, logged: bool) -> float:
    """2-opt: turn a block round so that the item at p comes to stand beside one near to it; returns the gain."""
    core = line.core
    n = len(line.sequence)
    free = core.rules[9] > 0.0
    own = core.owner[line.sequence[p]]
    ahead = arc(core, line.sequence[p], at(line, p + 1))
    behind = arc(core, line.sequence[p - 1], line.sequence[p])
    for k in range(line.near.shape[1]):
        b = line.place[line.near[own, k]]
        for form in range(2):
            # form 0 gives up the link behind the earlier of the two, form 1 the one before it
            if line.span[own, k] >= (ahead if form == 0 else behind):
                continue
            i = min(p, b) + 1 - form
            j = max(p, b) - form
            if i < 1 or i >= j or j >= n or j - i > line.window or core.high[core.owner[line.sequence[i]]] < j:
                continue
            if not free and j - i > TURNABLE:
                continue
            u = line.sequence[i - 1]
            x = at(line, j + 1)
            head = line.sequence[i]
            tail = line.sequence[j]
            gain = arc(core, u, head) + arc(core, tail, x)
            gain -= arc(core, u, turned(core, tail)) + arc(core, turned(core, head), x)
            if not free:
                gain -= turning(line, i, j)
            if gain <= line.slack or not reversible(core, line.sequence, line.place, i, j):
                continue
            if not note(line, i, j, logged):
                continue
            reverse(core, line.sequence, line.place, i, j)
            look_around(line, i - 1)
            look_around(line, j)
            return gain
    return 0.0


@kernel(allocates=False)
def swap(line: Line, p: int, logged: bool) -> float:
    """Block exchange behind place p: an item near to that at p follows it; returns the gain.

    Of the blocks from i to j and j + 1 to k, j + 1 holds a near item of i - 1, and k one near to that at i.
    """
    core = line.core
    n = len(line.sequence)
    i = p + 1
    if i >= n:
        return 0.0
    a = line.sequence[p]
    head = line.sequence[i]
    limit = core.high[core.owner[head]]
    cut = arc(core, a, head)
    for k1 in range(line.near.shape[1]):
        j = line.place[line.near[core.owner[a], k1]] - 1
        if j < i or j >= limit:
            continue
        tail = line.sequence[j]
        follow = line.sequence[j + 1]
        rest = cut - arc(core, a, follow)
        if rest <= line.slack:
            continue
        rest += arc(core, tail, follow)
        for k2 in range(line.near.shape[1]):
            k = line.place[line.near[core.owner[head], k2]]
            if k <= j or k > limit or k - i > line.window:
                continue
            x = at(line, k + 1)
            gain = rest + arc(core, line.sequence[k], x) - arc(core, line.sequence[k], head) - arc(core, tail, x)
            if gain <= line.slack or not swappable(line, i, j, k) or not note(line, i, k, logged):
                continue
            exchange(core, line.sequence, line.place, line.scratch, i, j, k)
            look_around(line, i - 1)
            look_around(line, i + k - j - 1)
            look_around(line, k)
            return gain
    return 0.0


@kernel(allocates=False)
def swappable(line: Line, i: int, j: int, k: int) -> bool:
    """Whether nothing from i to j must come before something from j + 1 to k; the shorter block is asked."""
    core = line.core
    if len(core.after) == 0:
        return True
    if j - i <= k - j:
        for p in range(i, j + 1):
            item = core.owner[line.sequence[p]]
            for e in range(core.after_at[item], core.after_at[item + 1]):
                if j < line.place[core.after[e]] <= k:
                    return False
    else:
        for p in range(j + 1, k + 1):
            item = core.owner[line.sequence[p]]
            for e in range(core.before_at[item], core.before_at[item + 1]):
                if i <= line.place[core.before[e]] <= j:
                    return False
    return True


@kernel(allocates=False)
def settle(line: Line, logged: bool) -> float:
    """Carry out moves until no queued item has one; returns the gain."""
    n = len(line.queue)
    gained = 0.0
    while line.marks[1] > 0:
        item = line.queue[line.marks[0]]
        line.marks[0] = line.marks[0] + 1 if line.marks[0] + 1 < n else 0
        line.marks[1] -= 1
        line.queued[item] = 0
        p = line.place[item]
        gain = revary(line, p, logged)
        if gain <= 0.0:
            gain = insert(line, p, logged)
        if gain <= 0.0:
            gain = turn(line, p, logged)
        if gain <= 0.0:
            gain = swap(line, p, logged)
        if gain > 0.0:
            gained += gain
            look_at(line, item)
    return gained


@kernel(allocates=False)
def disturb(line: Line, state: NDArray[np.uint64]) -> float:
    """Exchange two small neighbouring blocks at a random place, where the rules let it; returns what that costs."""
    core = line.core
    n = len(line.sequence)
    for _ in range(20):
        i = 1 + draw(state, n - 1)
        j = i + draw(state, KICKED)
        k = j + 1 + draw(state, KICKED)
        if k >= n or core.high[core.owner[line.sequence[i]]] < k or not swappable(line, i, j, k):
            continue
        x = at(line, k + 1)
        u = line.sequence[i - 1]
        cost = arc(core, u, line.sequence[j + 1]) + arc(core, line.sequence[k], line.sequence[i])
        cost += arc(core, line.sequence[j], x) - arc(core, u, line.sequence[i])
        cost -= arc(core, line.sequence[j], line.sequence[j + 1]) + arc(core, line.sequence[k], x)
        note(line, i, k, True)
        exchange(core, line.sequence, line.place, line.scratch, i, j, k)
        look_around(line, i - 1)
        look_around(line, i + k - j - 1)
        look_around(line, k)
        return cost
    return 0.0


@kernel(allocates=False)
def disturb_and_settle(line: Line, state: NDArray[np.uint64], heat: float, kicks: int) -> float:
    """Kick the order and settle again, many times; what costs more than ``heat`` allows is taken back. Returns the gain."""
    gained = 0.0
    for _ in range(kicks):
        line.marks[2] = 0
        cost = disturb(line, state)
        cost -= settle(line, True)
        if allows(heat, cost, state):
            gained -= cost
        else:
            take_back(line)
    return gained
