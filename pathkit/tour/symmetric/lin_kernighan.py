"""Chains of exchanges on plain tours, weighed before anything is moved (after Lin and Kernighan, Operations Research
21(2), 1973; Johnson and McGeoch 1997), and kicks that are taken back where they do not help.

Take away the edge from t1 to t2: what is left is a path from t2 to t1. One link of a chain joins the path's free end
to a near point t3 and takes away an edge of t3, which leaves a path again. Three ways are known for the first link:
turning the path's beginning round, and two that swap stretches (the pure and the turned 3-exchange, which hold
Or-opt). The links after that turn beginnings round. A chain is carried out, all at once, when closing the path makes
the tour cheaper.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.kernel.costs import move
from pathkit.tour.symmetric.state import DEPTH, Web

Ints = NDArray[np.int32]


@kernel(allocates=False, pasted=True)
def apart(web: Web, u: int, v: int) -> float:
    """Cost of going between points u and v."""
    if u == web.free or v == web.free:
        return 0.0
    return move(web.rules, web.at[u, 0] - web.at[v, 0], web.at[u, 1] - web.at[v, 1])


@kernel(allocates=False)
def tour_cost(web: Web) -> float:
    """Cost of the whole closed tour, fixed edges left out."""
    n = len(web.tour)
    cost = 0.0
    for p in range(n):
        u = web.tour[p]
        v = web.tour[p + 1 if p + 1 < n else 0]
        if web.fixed[u] != v:
            cost += apart(web, u, v)
    return cost


@kernel(allocates=False, pasted=True)
def steps_from(web: Web, origin: int, forward: bool, point: int) -> int:
    """Steps along the tour from place ``origin`` to a point."""
    steps = web.place[point] - origin if forward else origin - web.place[point]
    return int(steps if steps >= 0 else steps + len(web.tour))


@kernel(allocates=False, pasted=True)
def point_at(web: Web, origin: int, forward: bool, steps: int) -> int:
    """The point so many steps along the tour from place ``origin``."""
    n = len(web.tour)
    if forward:
        p = origin + steps
        if p >= n:
            p -= n
    else:
        p = origin - steps
        if p < 0:
            p += n
    return web.tour[p]  # type: ignore[no-any-return]


@kernel(allocates=False, pasted=True)
def set_pieces(web: Web, a: int, b: int, c: int, d: int, e: int) -> None:
    """Pieces of level 0: from a to b, from c to d, and from e to the end (the middle one left out if c < 0)."""
    head = web.head[0]
    tail = web.tail[0]
    head[0] = a
    tail[0] = b
    last = 1
    if c >= 0:
        head[1] = c
        tail[1] = d
        last = 2
    head[last] = e
    tail[last] = len(web.tour) - 1
    web.marks[3] = last + 1


@kernel(allocates=False, pasted=True)
def improve(web: Web, t1: int, forward: bool) -> float:
    """Look for a chain that takes away the edge from t1 to its successor (predecessor); returns its gain, 0 if none.

    The pieces of the chain found are left at level ``marks[4]``.
    """
    n = len(web.tour)
    p = web.place[t1]
    origin = (p + 1 if p + 1 < n else 0) if forward else (p - 1 if p > 0 else n - 1)
    t2 = web.tour[origin]
    if web.fixed[t1] == t2:
        return 0.0
    removed = apart(web, t1, t2)
    web.marks[4] = 0
    for k in range(web.near.shape[1]):
        rest = removed - web.gap[t2, k]
        if rest <= web.slack:
            break
        t3 = web.near[t2, k]
        s3 = steps_from(web, origin, forward, t3)
        if s3 == n - 1:
            continue
        if s3 > 1:
            t4 = point_at(web, origin, forward, s3 - 1)
            if web.fixed[t3] != t4:
                worth = rest + apart(web, t3, t4)
                set_pieces(web, s3 - 1, 0, -1, -1, s3)
                gain = worth - apart(web, t4, t1)
                if gain > web.slack:
                    return float(gain)
                gain = follow(web, t1, origin, forward, t4, worth)
                if gain > 0.0:
                    return gain
                web.marks[4] = 0
        t4 = point_at(web, origin, forward, s3 + 1)
        if web.fixed[t3] != t4:
            gain = swap_stretches(web, t1, origin, forward, s3, t4, rest + apart(web, t3, t4))
            if gain > 0.0:
                return gain
    return 0.0


@kernel(allocates=False, pasted=True)
def swap_stretches(web: Web, t1: int, origin: int, forward: bool, s3: int, t4: int, worth: float) -> float:
    """The two 3-exchanges that cut the path's beginning, up to step s3, once more; returns the gain or 0."""
    for k in range(web.near.shape[1]):
        rest = worth - web.gap[t4, k]
        if rest <= web.slack:
            break
        t5 = web.near[t4, k]
        s5 = steps_from(web, origin, forward, t5)
        if s5 >= s3:
            continue
        t6 = point_at(web, origin, forward, s5 + 1)
        if web.fixed[t5] != t6:
            gain = rest + apart(web, t5, t6) - apart(web, t6, t1)
            if gain > web.slack:
                set_pieces(web, s5 + 1, s3, 0, s5, s3 + 1)
                return float(gain)
        if s5 > 0:
            t6 = point_at(web, origin, forward, s5 - 1)
            if web.fixed[t5] != t6:
                gain = rest + apart(web, t5, t6) - apart(web, t6, t1)
                if gain > web.slack:
                    set_pieces(web, s5 - 1, 0, s3, s5, s3 + 1)
                    return float(gain)
    return 0.0


@kernel(allocates=False, pasted=True)
def follow(web: Web, t1: int, origin: int, forward: bool, end: int, worth: float) -> float:
    """Follow the most promising link on and on until closing the path gains; returns the gain or 0."""
    pieces = web.marks[3]
    for level in range(DEPTH):
        worth = best_link(web, origin, forward, level, pieces, t1, end, worth)
        if worth <= 0.0:
            return 0.0
        turn_beginning(web, level, pieces, web.link[0], web.link[1])
        pieces += 1
        end = point_at(web, origin, forward, web.link[1])
        gain = worth - apart(web, end, t1)
        if gain > web.slack:
            web.marks[3] = pieces
            web.marks[4] = level + 1
            return gain
    return 0.0


@kernel(allocates=False, pasted=True)
def best_link(web: Web, origin: int, forward: bool, level: int, pieces: int, t1: int, end: int, worth: float) -> float:
    """The link from the path's ``end`` that leaves most, put into ``link`` as steps of t3 and t4; returns its worth."""
    best = 0.0
    head = web.head[level]
    tail = web.tail[level]
    for k in range(web.near.shape[1]):
        rest = worth - web.gap[end, k]
        if rest <= web.slack:
            break
        t3 = web.near[end, k]
        if t3 == t1:
            continue
        s3 = steps_from(web, origin, forward, t3)
        s4 = -1
        for q in range(pieces):
            # where t3 is the first of its piece, the edge before it was only just joined
            a = head[q]
            b = tail[q]
            if a <= b:
                if a <= s3 <= b:
                    s4 = s3 - 1 if s3 > a else -1
                    break
            elif b <= s3 <= a:
                s4 = s3 + 1 if s3 < a else -1
                break
        if s4 < 0:
            continue
        t4 = point_at(web, origin, forward, s4)
        if web.fixed[t3] == t4:
            continue
        value = rest + apart(web, t3, t4)
        if value > best:
            best = value
            web.link[0] = s3
            web.link[1] = s4
    return best


@kernel(allocates=False, pasted=True)
def turn_beginning(web: Web, level: int, pieces: int, s3: int, s4: int) -> None:
    """Write the next level's pieces: everything before step s3, which s4 ends, the other way round."""
    head = web.head[level]
    tail = web.tail[level]
    new_head = web.head[level + 1]
    new_tail = web.tail[level + 1]
    q = 0
    while not (head[q] <= s3 <= tail[q] or tail[q] <= s3 <= head[q]):
        q += 1
    new_head[0] = s4
    new_tail[0] = head[q]
    for r in range(q):
        new_head[1 + r] = tail[q - 1 - r]
        new_tail[1 + r] = head[q - 1 - r]
    new_head[q + 1] = s3
    new_tail[q + 1] = tail[q]
    for r in range(q + 1, pieces):
        new_head[r + 1] = head[r]
        new_tail[r + 1] = tail[r]


@kernel(allocates=False, pasted=True)
def longest_piece(web: Web, level: int, pieces: int) -> int:
    """Index of the piece with the most points."""
    longest = 0
    size = -1
    for q in range(pieces):
        own = abs(web.tail[level, q] - web.head[level, q])
        if own > size:
            size = own
            longest = q
    return longest


@kernel(allocates=False, pasted=True)
def carry_out(web: Web, origin: int, forward: bool) -> bool:
    """Rearrange the tour into the pieces found; the longest stays where it is. False where the log has no room."""
    n = len(web.tour)
    level = web.marks[4]
    pieces = web.marks[3]
    logged = web.marks[5] != 0
    head = web.head[level]
    tail = web.tail[level]
    longest = longest_piece(web, level, pieces)
    changed = n - 1 - abs(tail[longest] - head[longest])
    if logged and web.marks[2] + changed + 2 > len(web.log):
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
            web.scratch[count] = point_at(web, origin, forward, s)
            count += 1
            if s == b:
                break
            s += step
    # the places after the longest piece, along the chain's direction
    s = (tail[longest] if upright else head[longest]) + 1
    if forward:
        first = origin + s
    else:
        first = origin - s - (changed - 1)
    first %= n
    if logged:
        write_log(web, first, changed)
    p = first
    for r in range(changed):
        point = web.scratch[r] if forward else web.scratch[changed - 1 - r]
        web.tour[p] = point
        web.place[point] = p
        p += 1
        if p == n:
            p = 0
    return True


@kernel(allocates=False, pasted=True)
def write_log(web: Web, first: int, count: int) -> None:
    """Note what stands at ``count`` places from ``first`` on."""
    n = len(web.tour)
    fill = web.marks[2]
    p = first
    for r in range(count):
        web.log[fill + r] = web.tour[p]
        p += 1
        if p == n:
            p = 0
    web.log[fill + count] = first
    web.log[fill + count + 1] = count
    web.marks[2] = fill + count + 2


@kernel(allocates=False, pasted=True)
def take_back(web: Web) -> None:
    """Undo everything noted in the log, last first."""
    n = len(web.tour)
    while web.marks[2] > 0:
        fill = web.marks[2] - 2
        first = web.log[fill]
        count = web.log[fill + 1]
        fill -= count
        p = first
        for r in range(count):
            point = web.log[fill + r]
            web.tour[p] = point
            web.place[point] = p
            p += 1
            if p == n:
                p = 0
        web.marks[2] = fill


@kernel(allocates=False, pasted=True)
def enqueue(web: Web, point: int) -> None:
    """Have a point looked at."""
    if web.queued[point] == 0:
        n = len(web.queue)
        at = web.marks[0] + web.marks[1]
        web.queue[at if at < n else at - n] = point
        web.marks[1] += 1
        web.queued[point] = 1


@kernel(allocates=False)
def descend(web: Web) -> float:
    """Carry out chains until no queued point has one; returns the gain, or -1 where the log is full."""
    n = len(web.queue)
    gained = 0.0
    while web.marks[1] > 0:
        t1 = web.queue[web.marks[0]]
        web.marks[0] = web.marks[0] + 1 if web.marks[0] + 1 < n else 0
        web.marks[1] -= 1
        web.queued[t1] = 0
        for side in range(2):
            forward = side == 0
            gain = improve(web, t1, forward)
            if gain <= 0.0:
                continue
            p = web.place[t1]
            origin = (p + 1 if p + 1 < n else 0) if forward else (p - 1 if p > 0 else n - 1)
            level = web.marks[4]
            pieces = web.marks[3]
            longest = longest_piece(web, level, pieces)
            if n - abs(web.tail[level, longest] - web.head[level, longest]) > web.reach:
                continue
            for q in range(pieces):
                enqueue(web, point_at(web, origin, forward, web.head[level, q]))
                enqueue(web, point_at(web, origin, forward, web.tail[level, q]))
            if not carry_out(web, origin, forward):
                return -1.0
            gained += gain
            break
    return gained
