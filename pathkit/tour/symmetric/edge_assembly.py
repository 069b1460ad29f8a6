"""Edge assembly crossover of two symmetric tours (Nagata and Kobayashi, INFORMS J. Computing 25(2), 2013, 346-363).

The differing edges of two tours A and B fall into *AB-cycles*, closed walks along edges of A and of B in turn. Replace
one cycle's A-edges in A by its B-edges: every point keeps two edges, so the result is a tour or a few rings. The
smallest ring is joined to another by the cheapest exchange of two edges until one tour is left. A gains more from B
this way than perturbations find: a cycle may run all over the board, and every edge it brings was good elsewhere.

A is an array of places. Removed edges are *cuts* between places. Each stretch between two cuts has two *ends* (2j is
the first place of stretch j, 2j + 1 its last), and ``mate`` says which ends are joined.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.symmetric.ab_cycles import Pair, ab_cycles_between
from pathkit.tour.symmetric.lin_kernighan import cost_between
from pathkit.tour.symmetric.state import State

Ints = NDArray[np.int32]

BREADTH = 8  # near points over which rings are joined
REACH = 500  # points at each end of a stretch from which rings are joined
LONGEST = 2_000  # most edges of a cycle worth trying


@kernel(allocates=False, pasted=True)
def cut_before(pair: Pair, j: int) -> int:
    """The place before the first of a stretch; stretch 0 wraps round the end of the array."""
    return pair.cuts[j - 1 if j > 0 else pair.counts[0] - 1]  # type: ignore[no-any-return]


@kernel(allocates=False, pasted=True)
def length(pair: Pair, j: int) -> int:
    """Points of a stretch."""
    size = pair.cuts[j] - cut_before(pair, j)
    return int(size if size > 0 else size + len(pair.tour))


@kernel(allocates=False, pasted=True)
def end_at(pair: Pair, u: int) -> int:
    """A stretch's end at point u that is not joined yet."""
    p = pair.place[u]
    cut = pair.cut_at[p]
    if cut >= 0 and pair.mate[2 * cut + 1] < 0:
        return int(2 * cut + 1)
    end = first_end(pair, p)
    return end if end >= 0 and pair.mate[end] < 0 else -1


@kernel(allocates=False, pasted=True)
def first_end(pair: Pair, p: int) -> int:
    """The end of which a place is the first of its stretch, -1 if it is not the first."""
    cut = pair.cut_at[p - 1 if p > 0 else len(pair.tour) - 1]
    if cut < 0:
        return -1
    return int(2 * (cut + 1)) if cut + 1 < pair.counts[0] else 0


@kernel(allocates=False, pasted=True)
def point_of(pair: Pair, end: int) -> int:
    """The point at a stretch's end."""
    j = end // 2
    if end % 2 == 1:
        return pair.tour[pair.cuts[j]]  # type: ignore[no-any-return]
    p = cut_before(pair, j) + 1
    return pair.tour[p if p < len(pair.tour) else 0]  # type: ignore[no-any-return]


@kernel(allocates=False, pasted=True)
def cut_up(pair: Pair) -> bool:
    """Sort the removed edges and their cuts along A and number these; False if one of the edges no longer exists."""
    n = len(pair.tour)
    count = pair.counts[0]
    for e in range(count):
        p = pair.place[pair.out[e, 0]]
        q = pair.place[pair.out[e, 1]]
        if abs(p - q) != 1 and abs(p - q) != n - 1:
            return False
        cut = min(p, q) if abs(p - q) == 1 else n - 1
        at = e
        while at > 0 and pair.cuts[at - 1] > cut:
            pair.cuts[at] = pair.cuts[at - 1]
            at -= 1
        pair.cuts[at] = cut
    for j in range(count):
        p = pair.cuts[j]
        pair.cut_at[p] = j
        pair.out[j, 0] = pair.tour[p]
        pair.out[j, 1] = pair.tour[p + 1 if p + 1 < n else 0]
    return True


@kernel(allocates=False, pasted=True)
def restore(pair: Pair) -> None:
    """Clear the cuts."""
    for j in range(pair.counts[0]):
        pair.cut_at[pair.cuts[j]] = -1


@kernel(allocates=False, pasted=True)
def find_rings(pair: Pair) -> bool:
    """Join the ends and number the rings; False if the ends do not fit (an edge was already gone)."""
    count = pair.counts[0]
    for end in range(2 * count):
        pair.mate[end] = -1
    for e in range(pair.counts[1]):
        one = end_at(pair, pair.into[e, 0])
        if one < 0:
            return False
        pair.mate[one] = one
        other = end_at(pair, pair.into[e, 1])
        if other < 0:
            return False
        pair.mate[one] = other
        pair.mate[other] = one
    for j in range(count):
        pair.ring[j] = -1
    rings = 0
    for first in range(count):
        if pair.ring[first] >= 0:
            continue
        size = 0
        j = first
        end = 2 * first
        while pair.ring[j] < 0:
            pair.ring[j] = rings
            size += length(pair, j)
            end = pair.mate[end ^ 1]
            j = end // 2
        pair.sizes[rings] = size
        rings += 1
    pair.counts[2] = rings
    return True


@kernel(allocates=False, pasted=True)
def beside(pair: Pair, u: int, ahead: bool) -> int:
    """The point next to u, ahead or behind along A, across joined ends."""
    n = len(pair.tour)
    p = pair.place[u]
    end = -1
    if ahead:
        if pair.cut_at[p] >= 0:
            end = 2 * pair.cut_at[p] + 1
    else:
        end = first_end(pair, p)
    if end >= 0:
        return point_of(pair, pair.mate[end])
    p += 1 if ahead else -1
    if p == n:
        p = 0
    return pair.tour[p if p >= 0 else n - 1]  # type: ignore[no-any-return]


@kernel(allocates=False, pasted=True)
def mark_ring(pair: Pair, ring: int, mark: int) -> None:
    """Mark all points of a ring, or clear their marks."""
    for j in range(pair.counts[0]):
        if pair.ring[j] == ring:
            p = cut_before(pair, j)
            for _ in range(length(pair, j)):
                p = p + 1 if p + 1 < len(pair.tour) else 0
                pair.marked[pair.tour[p]] = mark


@kernel(allocates=False, pasted=True)
def best_joint(state: State, pair: Pair) -> float:
    """The cheapest exchange of two edges that joins the smallest ring to another, into ``best``; returns its gain.

    In a long stretch it looks near the ends only: nowhere else are the rings likelier to be near each other.
    """
    ring = 0
    for other in range(pair.counts[2]):
        if pair.sizes[other] < pair.sizes[ring]:
            ring = other
    best = -np.inf
    mark_ring(pair, ring, 1)
    breadth = min(BREADTH, state.near.shape[1])
    for j in range(pair.counts[0]):
        if pair.ring[j] != ring:
            continue
        p = cut_before(pair, j)
        size = length(pair, j)
        for step in range(size):
            p = p + 1 if p + 1 < len(pair.tour) else 0
            if REACH <= step < size - REACH:
                continue
            u = pair.tour[p]
            for k in range(breadth):
                v = state.near[u, k]
                if pair.marked[v]:
                    continue
                for turns in range(4):
                    u2 = beside(pair, u, turns < 2)
                    v2 = beside(pair, v, turns % 2 == 0)
                    if state.fixed[u] == u2 or state.fixed[v] == v2:
                        continue
                    gain = cost_between(state, u, u2) - state.gap[u, k]
                    gain += cost_between(state, v, v2) - cost_between(state, u2, v2)
                    if gain > best:
                        best = gain
                        pair.best[0] = u
                        pair.best[1] = u2
                        pair.best[2] = v
                        pair.best[3] = v2
    mark_ring(pair, ring, 0)
    return best


@kernel(allocates=False, pasted=True)
def take_out(pair: Pair, u: int, v: int) -> None:
    """Remove an edge: one added before, or one of A."""
    for e in range(pair.counts[1]):
        a = pair.into[e, 0]
        b = pair.into[e, 1]
        if (a == u and b == v) or (a == v and b == u):
            last = pair.counts[1] - 1
            pair.into[e, 0] = pair.into[last, 0]
            pair.into[e, 1] = pair.into[last, 1]
            pair.counts[1] = last
            return
    at = pair.counts[0]
    pair.out[at, 0] = u
    pair.out[at, 1] = v
    pair.counts[0] = at + 1


@kernel(allocates=False, pasted=True)
def put_in(pair: Pair, u: int, v: int) -> None:
    """Add an edge."""
    at = pair.counts[1]
    pair.into[at, 0] = u
    pair.into[at, 1] = v
    pair.counts[1] = at + 1


@kernel(allocates=False, pasted=True)
def apply_cycle(state: State, pair: Pair, cycle: int) -> float:
    """Exchange a cycle's edges and join the rings, as lists of removed and added edges; returns the gain, 0 if none.

    After a gain A is cut up and its ends are joined, for `rearrange`.
    """
    first = pair.walk_at[cycle]
    last = pair.walk_at[cycle + 1]
    if last - first > LONGEST:
        return 0.0
    gain = 0.0
    pair.counts[0] = 0
    pair.counts[1] = 0
    for s in range(first, last):
        u = pair.cycles[s]
        v = pair.cycles[s + 1 if s + 1 < last else first]
        if (s - first) % 2 == 0:
            take_out(pair, u, v)
            gain += cost_between(state, u, v)
        else:
            put_in(pair, u, v)
            gain -= cost_between(state, u, v)
    while gain > state.rounding:
        if not cut_up(pair):
            return 0.0
        sound = find_rings(pair)
        if sound and pair.counts[2] == 1:
            return gain
        if not sound:
            restore(pair)
            return 0.0
        gain += best_joint(state, pair)
        restore(pair)
        if gain > state.rounding:
            take_out(pair, pair.best[0], pair.best[1])
            take_out(pair, pair.best[2], pair.best[3])
            put_in(pair, pair.best[0], pair.best[2])
            put_in(pair, pair.best[1], pair.best[3])
    return 0.0


@kernel(allocates=False, pasted=True)
def rearrange(state: State, pair: Pair) -> None:
    """Change A as its ends are joined. Its longest stretch stays in place, so that most changes rewrite little."""
    n = len(pair.tour)
    longest = 0
    for j in range(1, pair.counts[0]):
        if length(pair, j) > length(pair, longest):
            longest = j
    fill = 0
    end = pair.mate[2 * longest + 1]
    while end != 2 * longest:
        j = end // 2
        forward = end % 2 == 0
        p = cut_before(pair, j) if forward else pair.cuts[j] + 1
        for _ in range(length(pair, j)):
            p += 1 if forward else -1
            if p == n:
                p = 0
            elif p < 0:
                p = n - 1
            state.scratch[fill] = pair.tour[p]
            fill += 1
        end = pair.mate[end ^ 1]
    p = pair.cuts[longest]
    for at in range(fill):
        p = p + 1 if p + 1 < n else 0
        pair.tour[p] = state.scratch[at]
        pair.place[pair.tour[p]] = p
    restore(pair)


@kernel(allocates=False)
def cross_over(state: State, pair: Pair, a: Ints, b: Ints, random: NDArray[np.uint64]) -> float:
    """Improve tour ``a`` by every AB-cycle of its differences from ``b`` that gains, one after the other."""
    count = ab_cycles_between(pair, a, b, random)
    gained = 0.0
    for cycle in range(count):
        gain = apply_cycle(state, pair, cycle)
        if gain > 0.0:
            rearrange(state, pair)
            gained += gain
    if gained > 0.0:
        for p in range(len(a)):
            a[p] = pair.tour[p]
    return gained
