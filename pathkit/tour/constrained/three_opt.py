"""Exchanges on an order under rules, weighed as pure reconnections and carried out at once where they gain.

An exchange takes away the arc behind some item and puts one to a near item in its place; the standard gain criterion
(Lin and Kernighan, Operations Research 21(2), 1973) lets every exchange that gains be found from one of its arcs for
which this alone gains. Three kinds are known: two neighbouring stretches change places (the 3-exchange without
reversal of sequential ordering, Gambardella and Dorigo, INFORMS J. Computing 12(3), 2000), a stretch is reversed, and
an item goes elsewhere in its best variant there. Whether precedence allows it is asked last: few get so far.
"""

from __future__ import annotations

from pathkit.kernels import kernel
from pathkit.tour.constrained.state import (
    FILL,
    FULL,
    LOGGED,
    WAITING,
    Line,
    at,
    dequeue,
    enqueue,
    room,
    spot,
    turned,
    write,
)
from pathkit.tour.kernel.costs import arc

FULL_CUTS = 400  # items up to which every third cut of an exchange is tried
SUMMED = 1_000  # most arcs whose cost backwards is added up for one reversal


@kernel(allocates=False, inner=True)
def may_swap(line: Line, i: int, j: int, k: int) -> bool:
    """Whether the stretches from i to j and from j + 1 to k may change places."""
    core = line.core
    if core.high[core.owner[line.sequence[i]]] < k or k - i >= line.reach or not room(line, k - i + 1):
        return False
    if line.barrier[i] > k:
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


@kernel(allocates=False, inner=True)
def swap(line: Line, i: int, j: int, k: int) -> None:
    """Let the stretches from i to j and from j + 1 to k change places."""
    fill = 0
    for p in range(j + 1, k + 1):
        line.scratch[fill] = line.sequence[p]
        fill += 1
    for p in range(i, j + 1):
        line.scratch[fill] = line.sequence[p]
        fill += 1
    write(line, i, k)
    enqueue(line, i - 1)
    enqueue(line, i)
    enqueue(line, i + k - j - 1)
    enqueue(line, i + k - j)
    enqueue(line, k)
    enqueue(line, k + 1)


@kernel(allocates=False, inner=True)
def swap_gain(line: Line, i: int, j: int, k: int) -> float:
    """What it gains that the stretches from i to j and from j + 1 to k change places."""
    core = line.core
    u = line.sequence[i - 1]
    a = line.sequence[i]
    b = line.sequence[j]
    c = line.sequence[j + 1]
    d = line.sequence[k]
    x = at(line, k + 1)
    before = arc(core, u, a) + arc(core, b, c) + arc(core, d, x)
    return before - arc(core, u, c) - arc(core, d, a) - arc(core, b, x)


@kernel(allocates=False, inner=True)
def try_swap(line: Line, i: int, j: int, k: int) -> float:
    """Let two stretches change places if that gains and may be; returns the gain, else 0."""
    if not 1 <= i <= j < k < len(line.sequence):
        return 0.0
    gain = swap_gain(line, i, j, k)
    if gain <= line.slack or not may_swap(line, i, j, k):
        return 0.0
    swap(line, i, j, k)
    return gain


@kernel(allocates=False, inner=True)
def try_reversal(line: Line, i: int, j: int) -> float:
    """Reverse the stretch from i to j if that gains and may be; returns the gain, else 0."""
    core = line.core
    if not 1 <= i <= j < len(line.sequence):
        return 0.0
    u = line.sequence[i - 1]
    a = line.sequence[i]
    b = line.sequence[j]
    x = at(line, j + 1)
    gain = arc(core, u, a) + arc(core, b, x) - arc(core, u, turned(core, b)) - arc(core, turned(core, a), x)
    if len(line.excess) > 0:
        if j - i > SUMMED:
            return 0.0
        for p in range(i + 1, j + 1):
            gain -= line.excess[p]
    if gain <= line.slack or line.barrier[i] <= j or j - i >= line.reach:
        return 0.0
    if core.high[core.owner[a]] < j or not room(line, j - i + 1):
        return 0.0
    for p in range(i, j + 1):
        line.scratch[p - i] = turned(core, line.sequence[j + i - p])
    write(line, i, j)
    enqueue(line, i - 1)
    enqueue(line, i)
    enqueue(line, j)
    enqueue(line, j + 1)
    return gain


@kernel(allocates=False, inner=True)
def third_cut(line: Line, p: int, q: int) -> float:
    """Look for the third place to cut so that q comes to stand directly behind p; returns the gain of the first found.

    Up to `FULL_CUTS` items every place is tried, above that those beside what is near to the loose ends.
    """
    core = line.core
    n = len(line.sequence)
    if n <= FULL_CUTS:
        if q > p:
            for k in range(q, n):
                gain = try_swap(line, p + 1, q - 1, k)
                if gain > 0.0:
                    return gain
            for k in range(1, p + 1):
                gain = try_swap(line, k, p, q - 1)
                if gain > 0.0:
                    return gain
        else:
            for k in range(q, p):
                gain = try_swap(line, q, k, p)
                if gain > 0.0:
                    return gain
        return 0.0
    after = core.owner[at(line, p + 1)]
    behind = core.owner[line.sequence[q - 1]]
    for s in range(2 * line.near.shape[2]):
        if s & 1 == 0:
            k = spot(line, line.near[0, after, s >> 1])
        else:
            k = spot(line, line.near[1, behind, s >> 1]) - 1
            if k < 0:
                k = n - 1
        gain = 0.0
        if q > p:
            if k >= q:
                gain = try_swap(line, p + 1, q - 1, k)
            elif k < p:
                gain = try_swap(line, k + 1, p, q - 1)
        elif q <= k < p:
            gain = try_swap(line, q, k, p)
        if gain > 0.0:
            return gain
    return 0.0


@kernel(allocates=False, inner=True)
def link(line: Line, p: int) -> float:
    """Look for an exchange that takes away the arc behind place p; carry out the first that gains, return its gain."""
    core = line.core
    n = len(line.sequence)
    u = line.sequence[p]
    h = at(line, p + 1)
    out = arc(core, u, h)
    width = line.near.shape[2]
    item = core.owner[u]
    after = core.owner[h]
    for t in range(width):
        if out - line.gap[1, item, t] <= line.slack:
            break
        q = spot(line, line.near[1, item, t])
        if q == 0:
            q = n
        if q == p + 1 or q == p:
            continue
        # reversals that bring the two together, one of them turned round
        gain = try_reversal(line, p + 1, q) if q > p else try_reversal(line, q + 1, p)
        if gain > 0.0:
            return gain
        if out - arc(core, u, at(line, q)) <= line.slack:
            continue
        gain = third_cut(line, p, q)
        if gain > 0.0:
            return gain
    for t in range(width):
        if out - line.gap[0, after, t] <= line.slack:
            break
        q = spot(line, line.near[0, after, t])
        if q == p:
            continue
        # the item that lost its place, turned round, beside the near one
        gain = try_reversal(line, p + 1, q - 1) if q > p else try_reversal(line, q, p)
        if gain > 0.0:
            return gain
    return 0.0


@kernel(allocates=False, inner=True)
def resettle(line: Line, p: int) -> float:
    """Move the item at place p beside a near one, in its best variant there; returns the gain, 0 if none."""
    core = line.core
    n = len(line.sequence)
    if p == 0:
        return 0.0
    u = line.sequence[p - 1]
    v = line.sequence[p]
    x = at(line, p + 1)
    item = core.owner[v]
    saved = arc(core, u, v) + arc(core, v, x) - arc(core, u, x)
    if saved <= line.slack:
        return 0.0
    for t in range(2 * line.near.shape[2]):
        side = t & 1
        if line.gap[side, item, t >> 1] >= saved:
            continue
        g = spot(line, line.near[side, item, t >> 1])
        if side == 1:
            g = g - 1 if g > 0 else n - 1
        if g == p or g == p - 1:
            continue
        y = line.sequence[g]
        z = at(line, g + 1)
        there = arc(core, y, z) + saved
        best = line.slack
        chosen = -1
        for w in range(core.first[item], core.first[item + 1]):
            gain = there - arc(core, y, w) - arc(core, w, z)
            if gain > best:
                best = gain
                chosen = w
        if chosen < 0:
            continue
        if g > p:
            if not may_swap(line, p, p, g):
                continue
            for q in range(p, g):
                line.scratch[q - p] = line.sequence[q + 1]
            line.scratch[g - p] = chosen
            write(line, p, g)
            enqueue(line, p)
        else:
            if not may_swap(line, g + 1, p - 1, p):
                continue
            line.scratch[0] = chosen
            for q in range(g + 1, p):
                line.scratch[q - g] = line.sequence[q]
            write(line, g + 1, p)
            enqueue(line, p + 1)
            g += 1
        enqueue(line, g - 1)
        enqueue(line, g)
        enqueue(line, g + 1)
        enqueue(line, p - 1)
        enqueue(line, p)
        return best
    return 0.0


@kernel(allocates=False, inner=True)
def rechoose(line: Line, p: int) -> float:
    """Give the items at places p and p + 1 the variants that suit best together; returns the gain, else 0.

    At the first and the last place it is that item alone.
    """
    core = line.core
    n = len(line.sequence)
    u = line.sequence[p - 1 if p > 0 else n - 1]
    v = line.sequence[p]
    item = core.owner[v]
    last = p + 1 if 0 < p < n - 1 else p
    w = line.sequence[last]
    x = at(line, last + 1)
    other = core.owner[w]
    if core.first[item + 1] - core.first[item] == 1 and core.first[other + 1] - core.first[other] == 1:
        return 0.0
    if last == p:
        best = arc(core, u, v) + arc(core, v, x)
    else:
        best = arc(core, u, v) + arc(core, v, w) + arc(core, w, x)
    now = best - line.slack
    best = now
    one = v
    two = w
    for a in range(core.first[item], core.first[item + 1]):
        head = arc(core, u, a)
        if last == p:
            cost = head + arc(core, a, x)
            if cost < best:
                best = cost
                one = a
                two = a
            continue
        if head >= best:
            continue
        for b in range(core.first[other], core.first[other + 1]):
            cost = head + arc(core, a, b) + arc(core, b, x)
            if cost < best:
                best = cost
                one = a
                two = b
    if best == now or not room(line, 2):
        return 0.0
    line.scratch[0] = one
    line.scratch[last - p] = two
    write(line, p, last)
    enqueue(line, p - 1 if p > 0 else n - 1)
    enqueue(line, p)
    enqueue(line, last)
    enqueue(line, last + 1)
    return now + line.slack - best


@kernel(allocates=False)
def descend(line: Line) -> float:
    """Carry out exchanges until no queued item has one; returns the gain.

    With ``marks[LOGGED]`` all of it can be taken back; where the log cannot hold more, ``marks[FULL]`` is set and the
    rest left undone.
    """
    gained = 0.0
    while line.marks[WAITING] > 0:
        item = dequeue(line)
        while line.marks[FULL] == 0:
            if line.marks[LOGGED] == 0:
                line.marks[FILL] = 0
            p = spot(line, item)
            gain = rechoose(line, p)
            if gain == 0.0:
                gain = resettle(line, p)
            if gain == 0.0:
                gain = link(line, p)
            if gain == 0.0:
                break
            gained += gain
    return gained
