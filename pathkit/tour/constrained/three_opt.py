"""3-opt, 2-opt and Or-opt moves on an order under rules, carried out at once if they gain.

A move replaces the arc that leaves an item by an arc to or from a near item. By the standard gain criterion (Lin and
Kernighan, Operations Research 21(2), 1973) every move that gains can be found from one of its arcs whose replacement
gains on its own. There are three kinds: two neighbouring stretches are swapped (or-3opt: 3-opt without reversal, for
sequential ordering by Gambardella and Dorigo, INFORMS J. Computing 12(3), 2000), a stretch is reversed (2-opt), and an
item moves elsewhere in its best variant there (Or-opt; Or, PhD thesis, Northwestern University, 1976). Precedence is
checked last, since few moves get that far.
"""

from __future__ import annotations

from pathkit.kernels import kernel
from pathkit.tour.constrained.state import State, at, enqueue, excess_at, place_of, turned, write
from pathkit.tour.kernel.costs import arc
from pathkit.tour.kernel.undo_log import FILL, FULL, LOGGED, room
from pathkit.tour.kernel.work_queue import WAITING, dequeue

SUMMED = 1_000  # most arcs whose backward costs are summed for one reversal


@kernel(allocates=False)
def or3_allowed(state: State, i: int, j: int, k: int) -> bool:
    """Whether the stretches from i to j and from j + 1 to k may be swapped."""
    core = state.core
    if core.high[core.owner[state.sequence[i]]] < k or k - i >= state.rewrite_limit or not room(state.log, k - i + 1):
        return False
    if j - i <= k - j:
        for p in range(i, j + 1):
            item = core.owner[state.sequence[p]]
            for e in range(core.after_at[item], core.after_at[item + 1]):
                if j < state.place[core.after[e]] <= k:
                    return False
    else:
        for p in range(j + 1, k + 1):
            item = core.owner[state.sequence[p]]
            for e in range(core.before_at[item], core.before_at[item + 1]):
                if i <= state.place[core.before[e]] <= j:
                    return False
    return True


@kernel(allocates=False)
def or3_move(state: State, i: int, j: int, k: int) -> None:
    """Swap the stretches from i to j and from j + 1 to k."""
    fill = 0
    for p in range(j + 1, k + 1):
        state.scratch[fill] = state.sequence[p]
        fill += 1
    for p in range(i, j + 1):
        state.scratch[fill] = state.sequence[p]
        fill += 1
    write(state, i, k)
    enqueue(state, i - 1)
    enqueue(state, i)
    enqueue(state, i + k - j - 1)
    enqueue(state, i + k - j)
    enqueue(state, k)
    enqueue(state, k + 1)


@kernel(allocates=False)
def or3_gain(state: State, i: int, j: int, k: int) -> float:
    """Gain of swapping the stretches from i to j and from j + 1 to k."""
    core = state.core
    u = state.sequence[i - 1]
    a = state.sequence[i]
    b = state.sequence[j]
    c = state.sequence[j + 1]
    d = state.sequence[k]
    x = at(state, k + 1)
    before = arc(core, u, a) + arc(core, b, c) + arc(core, d, x)
    return before - arc(core, u, c) - arc(core, d, a) - arc(core, b, x)


@kernel(allocates=False)
def try_or3(state: State, i: int, j: int, k: int) -> float:
    """Swap two stretches if that gains and is allowed; returns the gain, else 0."""
    if not 1 <= i <= j < k < len(state.sequence):
        return 0.0
    gain = or3_gain(state, i, j, k)
    if gain <= state.rounding or not or3_allowed(state, i, j, k):
        return 0.0
    or3_move(state, i, j, k)
    return gain


@kernel(allocates=False)
def tied(state: State, i: int, j: int) -> bool:
    """Whether an item at the places i to j must come before another there."""
    core = state.core
    if len(core.after) == 0:
        return False
    for p in range(i, j + 1):
        item = core.owner[state.sequence[p]]
        for e in range(core.after_at[item], core.after_at[item + 1]):
            if state.place[core.after[e]] <= j:
                return True
    return False


@kernel(allocates=False)
def try_reversal(state: State, i: int, j: int) -> float:
    """Reverse the stretch from i to j if that gains and is allowed; returns the gain, else 0."""
    core = state.core
    if not 1 <= i <= j < len(state.sequence):
        return 0.0
    u = state.sequence[i - 1]
    a = state.sequence[i]
    b = state.sequence[j]
    x = at(state, j + 1)
    gain = arc(core, u, a) + arc(core, b, x) - arc(core, u, turned(core, b)) - arc(core, turned(core, a), x)
    if j - i >= state.rewrite_limit or core.high[core.owner[a]] < j:
        return 0.0
    summed = len(state.excess) > 0
    if (gain <= state.rounding and not summed) or (j - i > SUMMED and summed) or tied(state, i, j):
        return 0.0
    if summed:
        for p in range(i + 1, j + 1):
            gain -= excess_at(state, p)
    if gain <= state.rounding or not room(state.log, j - i + 1):
        return 0.0
    for p in range(i, j + 1):
        state.scratch[p - i] = turned(core, state.sequence[j + i - p])
    write(state, i, j)
    enqueue(state, i - 1)
    enqueue(state, i)
    enqueue(state, j)
    enqueue(state, j + 1)
    return gain


@kernel(allocates=False)
def third_cut(state: State, p: int, q: int) -> float:
    """Look for a third cut that puts q directly after p; carry out the first that gains and return its gain, else 0.

    Every place is tried if the state says so, else only places beside near items of the two loose ends.
    """
    core = state.core
    n = len(state.sequence)
    if state.full_cuts:
        if q > p:
            for k in range(q, n):
                gain = try_or3(state, p + 1, q - 1, k)
                if gain > 0.0:
                    return gain
            for k in range(1, p + 1):
                gain = try_or3(state, k, p, q - 1)
                if gain > 0.0:
                    return gain
        else:
            for k in range(q, p):
                gain = try_or3(state, q, k, p)
                if gain > 0.0:
                    return gain
        return 0.0
    u = state.sequence[p]
    a = at(state, p + 1)
    b = state.sequence[q - 1]
    c = at(state, q)
    worth = arc(core, u, a) + arc(core, b, c) - arc(core, u, c)
    after = core.owner[a]
    behind = core.owner[b]
    for s in range(2 * state.near.shape[2]):
        if s & 1 == 0:
            k = place_of(state, state.near[0, after, s >> 1])
        else:
            k = place_of(state, state.near[1, behind, s >> 1]) - 1
            if k < 0:
                k = n - 1
        if not (q <= k or k < p) if q > p else not q <= k < p:
            continue
        # wherever it lies, the third cut joins what is before it to a and b to what is behind it
        d = state.sequence[k]
        x = at(state, k + 1)
        rest = worth + arc(core, d, x) - arc(core, d, a)
        if rest <= 0.0 or rest <= arc(core, b, x):
            continue
        if q < p:
            gain = try_or3(state, q, k, p)
        else:
            gain = try_or3(state, p + 1, q - 1, k) if k >= q else try_or3(state, k + 1, p, q - 1)
        if gain > 0.0:
            return gain
    return 0.0


@kernel(allocates=False)
def try_arc(state: State, p: int) -> float:
    """Look for a move that removes the arc after place p; carry out the first that gains; returns the gain, else 0."""
    core = state.core
    n = len(state.sequence)
    u = state.sequence[p]
    h = at(state, p + 1)
    out = arc(core, u, h)
    width = state.near.shape[2]
    item = core.owner[u]
    after = core.owner[h]
    for t in range(width):
        if out - state.gap[1, item, t] <= state.rounding:
            break
        q = place_of(state, state.near[1, item, t])
        if q == 0:
            q = n
        if q == p + 1 or q == p:
            continue
        # reversals that bring the two together, one of them reversed
        gain = try_reversal(state, p + 1, q) if q > p else try_reversal(state, q + 1, p)
        if gain > 0.0:
            return gain
        if out - arc(core, u, at(state, q)) <= state.rounding:
            continue
        gain = third_cut(state, p, q)
        if gain > 0.0:
            return gain
    for t in range(width):
        if out - state.gap[0, after, t] <= state.rounding:
            break
        q = place_of(state, state.near[0, after, t])
        if q == p:
            continue
        # the item after the removed arc, reversed, beside the near one
        gain = try_reversal(state, p + 1, q - 1) if q > p else try_reversal(state, q, p)
        if gain > 0.0:
            return gain
    return 0.0


@kernel(allocates=False)
def or_opt(state: State, p: int) -> float:
    """Move the item at place p beside a near one, in its best variant there; returns the gain, 0 if none."""
    core = state.core
    n = len(state.sequence)
    if p == 0:
        return 0.0
    u = state.sequence[p - 1]
    v = state.sequence[p]
    x = at(state, p + 1)
    item = core.owner[v]
    saved = arc(core, u, v) + arc(core, v, x) - arc(core, u, x)
    if saved <= state.rounding:
        return 0.0
    for t in range(2 * state.near.shape[2]):
        side = t & 1
        if state.gap[side, item, t >> 1] >= saved:
            continue
        g = place_of(state, state.near[side, item, t >> 1])
        if side == 1:
            g = g - 1 if g > 0 else n - 1
        if g == p or g == p - 1:
            continue
        y = state.sequence[g]
        z = at(state, g + 1)
        there = arc(core, y, z) + saved
        best = state.rounding
        chosen = -1
        for w in range(core.first[item], core.first[item + 1]):
            gain = there - arc(core, y, w)
            if gain <= best:
                continue
            gain -= arc(core, w, z)
            if gain > best:
                best = gain
                chosen = w
        if chosen < 0:
            continue
        if g > p:
            if not or3_allowed(state, p, p, g):
                continue
            for q in range(p, g):
                state.scratch[q - p] = state.sequence[q + 1]
            state.scratch[g - p] = chosen
            write(state, p, g)
            enqueue(state, p)
        else:
            if not or3_allowed(state, g + 1, p - 1, p):
                continue
            state.scratch[0] = chosen
            for q in range(g + 1, p):
                state.scratch[q - g] = state.sequence[q]
            write(state, g + 1, p)
            enqueue(state, p + 1)
            g += 1
        enqueue(state, g - 1)
        enqueue(state, g)
        enqueue(state, g + 1)
        enqueue(state, p - 1)
        enqueue(state, p)
        return best
    return 0.0


@kernel(allocates=False)
def choose_two(state: State, p: int) -> float:
    """Give the items at places p and p + 1 their best variants together; returns the gain, else 0.

    At the first and the last place only that one item's variant is chosen.
    """
    core = state.core
    n = len(state.sequence)
    u = state.sequence[p - 1 if p > 0 else n - 1]
    v = state.sequence[p]
    item = core.owner[v]
    last = p + 1 if 0 < p < n - 1 else p
    w = state.sequence[last]
    x = at(state, last + 1)
    other = core.owner[w]
    if core.first[item + 1] - core.first[item] == 1 and core.first[other + 1] - core.first[other] == 1:
        return 0.0
    if last == p:
        best = arc(core, u, v) + arc(core, v, x)
    else:
        best = arc(core, u, v) + arc(core, v, w) + arc(core, w, x)
    now = best - state.rounding
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
    if best == now or not room(state.log, 2):
        return 0.0
    state.scratch[0] = one
    state.scratch[last - p] = two
    write(state, p, last)
    enqueue(state, p - 1 if p > 0 else n - 1)
    enqueue(state, p)
    enqueue(state, last)
    enqueue(state, last + 1)
    return now + state.rounding - best


@kernel(allocates=False)
def descend(state: State) -> float:
    """Carry out moves until no queued item has one; returns the gain.

    With the log's `LOGGED` all of it can be taken back; where the log cannot hold more, its `FULL` is set and the rest
    left undone.
    """
    gained = 0.0
    while state.queue.ends[WAITING] > 0:
        item = dequeue(state.queue)
        while state.log.counters[FULL] == 0:
            if state.log.counters[LOGGED] == 0:
                state.log.counters[FILL] = 0
            p = place_of(state, item)
            gain = choose_two(state, p)
            if gain == 0.0:
                gain = or_opt(state, p)
            if gain == 0.0:
                gain = try_arc(state, p)
            if gain == 0.0:
                break
            gained += gain
    return gained
