"""Lin-Kernighan moves on symmetric tours, priced before anything is moved (Lin and Kernighan, Operations Research
21(2), 1973, 498-516; Johnson and McGeoch 1997), and a log to undo them.

Remove the edge from t1 to t2: a path from t2 to t1 remains. One exchange joins the path's free end to a near point t3
and removes an edge of t3, which leaves a path again. The first exchange has three forms: reversing the beginning of the
path, and two that swap stretches (the two pure sequential 3-opt moves, which include Or-opt). Later exchanges reverse
beginnings. A move is carried out, all at once, if closing the path makes the tour cheaper.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.kernel.costs import move
from pathkit.tour.kernel.undo_log import FILL, LOGGED, last, note, room
from pathkit.tour.kernel.work_queue import WAITING, dequeue, enqueue
from pathkit.tour.symmetric.state import DEPTH, OWN, PIECES_FOUND, S3, S4, STRETCHES, State

Ints = NDArray[np.int32]


@kernel(allocates=False, pasted=True)
def cost_between(state: State, u: int, v: int) -> float:
    """Cost of going between points u and v."""
    if u == state.free or v == state.free:
        return 0.0
    return move(state.pricing, state.at[u, 0] - state.at[v, 0], state.at[u, 1] - state.at[v, 1])


@kernel(allocates=False)
def tour_cost(state: State) -> float:
    """Cost of the whole closed tour, fixed edges left out."""
    n = len(state.tour)
    cost = 0.0
    for p in range(n):
        u = state.tour[p]
        v = state.tour[p + 1 if p + 1 < n else 0]
        if state.fixed[u] != v:
            cost += cost_between(state, u, v)
    return cost


@kernel(allocates=False, pasted=True)
def steps_from(state: State, origin: int, forward: bool, point: int) -> int:
    """Steps along the tour from place ``origin`` to a point."""
    steps = state.place[point] - origin if forward else origin - state.place[point]
    return int(steps if steps >= 0 else steps + len(state.tour))


@kernel(allocates=False, pasted=True)
def point_at(state: State, origin: int, forward: bool, steps: int) -> int:
    """The point that many steps along the tour from place ``origin``."""
    n = len(state.tour)
    if forward:
        p = origin + steps
        if p >= n:
            p -= n
    else:
        p = origin - steps
        if p < 0:
            p += n
    return state.tour[p]  # type: ignore[no-any-return]


@kernel(allocates=False, pasted=True)
def set_pieces(state: State, a: int, b: int, c: int, d: int, e: int) -> None:
    """Three pieces: from a to b, from c to d, and from e to the end (without the middle one if c < 0)."""
    head = state.head
    tail = state.tail
    head[0] = a
    tail[0] = b
    last = 1
    if c >= 0:
        head[1] = c
        tail[1] = d
        last = 2
    head[last] = e
    tail[last] = len(state.tour) - 1
    state.found[PIECES_FOUND] = last + 1


@kernel(allocates=False, pasted=True)
def improve(state: State, t1: int, forward: bool) -> float:
    """Look for a move that removes the edge from t1 to its successor (predecessor); returns its gain, 0 if none.

    The pieces of the move are left in ``head`` and ``tail``.
    """
    n = len(state.tour)
    p = state.place[t1]
    origin = (p + 1 if p + 1 < n else 0) if forward else (p - 1 if p > 0 else n - 1)
    t2 = state.tour[origin]
    if state.fixed[t1] == t2:
        return 0.0
    removed = cost_between(state, t1, t2)
    for k in range(state.near.shape[1]):
        rest = removed - state.gap[t2, k]
        if rest <= state.rounding:
            break
        t3 = state.near[t2, k]
        s3 = steps_from(state, origin, forward, t3)
        if s3 == n - 1:
            continue
        if s3 > 1:
            t4 = point_at(state, origin, forward, s3 - 1)
            if state.fixed[t3] != t4:
                worth = rest + cost_between(state, t3, t4)
                gain = worth - cost_between(state, t4, t1)
                if gain > state.rounding:
                    set_pieces(state, s3 - 1, 0, -1, -1, s3)
                    return float(gain)
                gain = follow(state, t1, origin, forward, s3, t4, worth)
                if gain > 0.0:
                    return gain
        t4 = point_at(state, origin, forward, s3 + 1)
        if state.fixed[t3] != t4:
            gain = swap_stretches(state, t1, origin, forward, s3, t4, rest + cost_between(state, t3, t4))
            if gain > 0.0:
                return gain
    return 0.0


@kernel(allocates=False, pasted=True)
def swap_stretches(state: State, t1: int, origin: int, forward: bool, s3: int, t4: int, worth: float) -> float:
    """The two 3-opt moves that also cut the beginning of the path, before step s3; returns the gain or 0."""
    for k in range(state.near.shape[1]):
        rest = worth - state.gap[t4, k]
        if rest <= state.rounding:
            break
        t5 = state.near[t4, k]
        s5 = steps_from(state, origin, forward, t5)
        if s5 >= s3:
            continue
        t6 = point_at(state, origin, forward, s5 + 1)
        if state.fixed[t5] != t6:
            gain = rest + cost_between(state, t5, t6) - cost_between(state, t6, t1)
            if gain > state.rounding:
                set_pieces(state, s5 + 1, s3, 0, s5, s3 + 1)
                return float(gain)
        if s5 > 0:
            t6 = point_at(state, origin, forward, s5 - 1)
            if state.fixed[t5] != t6:
                gain = rest + cost_between(state, t5, t6) - cost_between(state, t6, t1)
                if gain > state.rounding:
                    set_pieces(state, s5 - 1, 0, s3, s5, s3 + 1)
                    return float(gain)
    return 0.0


@kernel(allocates=False, pasted=True)
def follow(state: State, t1: int, origin: int, forward: bool, s3: int, end: int, worth: float) -> float:
    """Follow the most promising link again and again until closing the path gains; returns the gain or 0.

    The path's beginning, before step s3, is reversed already; it ends at the point ``end``.
    """
    cut_in_two(state, s3)
    for level in range(DEPTH):
        worth = best_link(state, origin, forward, t1, end, worth)
        if worth <= 0.0:
            return 0.0
        turn_beginning(state, 2 + level)
        end = point_at(state, origin, forward, state.link[S4])
        gain = worth - cost_between(state, end, t1)
        if gain > state.rounding:
            list_pieces(state, 3 + level)
            return gain
    return 0.0


@kernel(allocates=False, pasted=True)
def cut_in_two(state: State, s3: int) -> None:
    """Two stretches: the one before step s3, reversed, and the rest."""
    n = len(state.tour)
    for q in range(STRETCHES):
        state.start[q] = n
    state.start[0] = 0
    state.start[1] = s3
    state.rank[0] = 0
    state.rank[1] = 1
    state.way[0] = -1
    state.way[1] = 1


@kernel(allocates=False, pasted=True)
def best_link(state: State, origin: int, forward: bool, t1: int, end: int, worth: float) -> float:
    """The best link from the path's ``end``, written into ``link``; returns its worth, 0 if there is none."""
    best = 0.0
    for k in range(state.near.shape[1]):
        rest = worth - state.gap[end, k]
        if rest <= state.rounding:
            break
        t3 = state.near[end, k]
        if t3 == t1:
            continue
        s3 = steps_from(state, origin, forward, t3)
        # counted over all, without a branch: the processor compares them at once
        own = -1
        for q in range(STRETCHES):
            own += state.start[q] <= s3
        way = state.way[own]
        if s3 == (state.start[own] if way > 0 else state.start[own + 1] - 1):
            continue  # t3 is the first of its stretch: the edge before it was only just added
        t4 = point_at(state, origin, forward, s3 - way)
        if state.fixed[t3] == t4:
            continue
        value = rest + cost_between(state, t3, t4)
        if value > best:
            best = value
            state.link[S3] = s3
            state.link[S4] = s3 - way
            state.link[OWN] = own
    return best


@kernel(allocates=False, pasted=True)
def turn_beginning(state: State, count: int) -> None:
    """Cut one of ``count`` stretches where ``link`` says, and reverse the path from its beginning to there."""
    own = state.link[OWN]
    way = state.way[own]
    rank = state.rank[own]
    for q in range(count - 1, own, -1):
        state.start[q + 1] = state.start[q]
        state.rank[q + 1] = state.rank[q]
        state.way[q + 1] = state.way[q]
    for q in range(count + 1):
        if state.rank[q] < rank:
            state.rank[q] = rank - state.rank[q]
            state.way[q] = -state.way[q]
        else:
            state.rank[q] += 1
    state.start[own + 1] = max(state.link[S3], state.link[S4])
    first = own if way > 0 else own + 1
    after = own + 1 if way > 0 else own
    state.rank[first] = 0
    state.way[first] = -way
    state.rank[after] = rank + 1
    state.way[after] = way


@kernel(allocates=False, pasted=True)
def list_pieces(state: State, count: int) -> None:
    """Write the stretches as pieces, in the order of the path."""
    for q in range(count):
        a = state.start[q]
        b = state.start[q + 1] - 1
        state.head[state.rank[q]] = a if state.way[q] > 0 else b
        state.tail[state.rank[q]] = b if state.way[q] > 0 else a
    state.found[PIECES_FOUND] = count


@kernel(allocates=False, pasted=True)
def longest_piece(state: State) -> int:
    """Index of the piece with the most points."""
    longest = 0
    size = -1
    for q in range(state.found[PIECES_FOUND]):
        own = abs(state.tail[q] - state.head[q])
        if own > size:
            size = own
            longest = q
    return longest


@kernel(allocates=False, pasted=True)
def carry_out(state: State, origin: int, forward: bool) -> bool:
    """Rearrange the tour into the pieces found; the longest stays in place. False if the log has no room."""
    n = len(state.tour)
    pieces = state.found[PIECES_FOUND]
    logged = state.log.counters[LOGGED] != 0
    head = state.head
    tail = state.tail
    longest = longest_piece(state)
    changed = n - 1 - abs(tail[longest] - head[longest])
    if logged and not room(state.log, changed):
        return False
    upright = head[longest] <= tail[longest]
    count = 0
    for r in range(1, pieces):
        # in the direction in which the longest piece keeps its own
        q = longest + r if upright else longest - r
        if q >= pieces:
            q -= pieces
        if q < 0:
            q += pieces
        a = head[q] if upright else tail[q]
        b = tail[q] if upright else head[q]
        step = 1 if a <= b else -1
        s = a
        while True:
            state.scratch[count] = point_at(state, origin, forward, s)
            count += 1
            if s == b:
                break
            s += step
    # the places after the longest piece, along the move's direction
    s = (tail[longest] if upright else head[longest]) + 1
    if forward:
        first = origin + s
    else:
        first = origin - s - (changed - 1)
    first %= n
    if logged:
        note(state.log, state.tour, first, changed)
    p = first
    for r in range(changed):
        point = state.scratch[r] if forward else state.scratch[changed - 1 - r]
        state.tour[p] = point
        state.place[point] = p
        p += 1
        if p == n:
            p = 0
    return True


@kernel(allocates=False, pasted=True)
def take_back(state: State) -> None:
    """Undo everything in the log, last change first."""
    n = len(state.tour)
    while state.log.counters[FILL] > 0:
        origin, p, count = last(state.log)
        for r in range(count):
            point = state.log.overwritten[origin + r]
            state.tour[p] = point
            state.place[point] = p
            p += 1
            if p == n:
                p = 0


@kernel(allocates=False)
def descend(state: State) -> float:
    """Carry out moves until no queued point has one; returns the gain, or -1 if the log is full."""
    n = len(state.tour)
    gained = 0.0
    while state.queue.ends[WAITING] > 0:
        t1 = dequeue(state.queue)
        for side in range(2):
            forward = side == 0
            gain = improve(state, t1, forward)
            if gain <= 0.0:
                continue
            p = state.place[t1]
            origin = (p + 1 if p + 1 < n else 0) if forward else (p - 1 if p > 0 else n - 1)
            longest = longest_piece(state)
            if n - abs(state.tail[longest] - state.head[longest]) > state.rewrite_limit:
                continue
            for q in range(state.found[PIECES_FOUND]):
                enqueue(state.queue, point_at(state, origin, forward, state.head[q]))
                enqueue(state.queue, point_at(state, origin, forward, state.tail[q]))
            if not carry_out(state, origin, forward):
                return -1.0
            gained += gain
            break
    return gained
