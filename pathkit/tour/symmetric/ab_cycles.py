"""The differences of two symmetric tours as AB-cycles: closed walks along edges of one and the other in turn.

Every point has as many edges that only tour A has as edges that only tour B has. So the differing edges fall into such
walks, and a random walk finds them (Nagata and Kobayashi, INFORMS J. Computing 25(2), 2013, 346-363).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.kernel.costs import draw

Ints = NDArray[np.int32]
Flags = NDArray[np.uint8]


class Pair(NamedTuple):
    """Tour A, the neighbours in tour B, and working memory for their AB-cycles."""

    tour: Ints  # (n,) tour A
    place: Ints  # (n,)
    next_b: Ints  # (n,)
    back_b: Ints  # (n,)
    open_a: Ints  # (n, 2) neighbours along edges that only A has and no cycle has used yet
    open_b: Ints
    left_a: Flags  # (n,) number of them
    left_b: Flags
    path: Ints  # (2n + 2,) the random walk so far
    even: Ints  # (n,) step at which the walk leaves a point along A, or -1
    odd: Ints  # (n,) the same along B
    cycles: Ints  # (2n,) points of all cycles, one after the other; each begins along A
    walk_at: Ints  # (n + 1,)
    out: Ints  # (2n, 2) edges removed
    into: Ints  # (2n, 2) edges added
    cuts: Ints  # (2n,) places after which A is cut, ascending
    cut_at: Ints  # (n,) number of the cut after a place, or -1
    marked: Flags  # (n,) points of the ring that is being joined
    mate: Ints  # (4n,)
    ring: Ints  # (2n,) of each stretch
    sizes: Ints  # (2n,) of each ring
    counts: Ints  # 0: edges removed, 1: edges added, 2: rings
    best: Ints  # (4,) the cheapest exchange: edges u-u2 and v-v2 as points


def pair_memory(n: int) -> Pair:
    """Working memory for tours of n points."""

    def ints(*shape: int) -> Ints:
        return np.zeros(shape, dtype=np.int32)

    def flags() -> Flags:
        return np.zeros(n, dtype=np.uint8)

    return Pair(
        tour=ints(n),
        place=ints(n),
        next_b=ints(n),
        back_b=ints(n),
        open_a=ints(n, 2),
        open_b=ints(n, 2),
        left_a=flags(),
        left_b=flags(),
        path=ints(2 * n + 2),
        even=np.full(n, -1, dtype=np.int32),
        odd=np.full(n, -1, dtype=np.int32),
        cycles=ints(2 * n),
        walk_at=ints(n + 1),
        out=ints(2 * n, 2),
        into=ints(2 * n, 2),
        cuts=ints(2 * n),
        cut_at=np.full(n, -1, dtype=np.int32),
        marked=flags(),
        mate=ints(4 * n),
        ring=ints(2 * n),
        sizes=ints(2 * n),
        counts=ints(3),
        best=ints(4),
    )


@kernel(allocates=False, pasted=True)
def differ(pair: Pair, a: Ints, b: Ints) -> None:
    """Load tours ``a`` and ``b`` and list for each point the edges that only one of them has."""
    n = len(a)
    for p in range(n):
        pair.tour[p] = a[p]
        pair.place[a[p]] = p
        pair.next_b[b[p]] = b[p + 1 if p + 1 < n else 0]
        pair.back_b[b[p]] = b[p - 1 if p > 0 else n - 1]
    for p in range(n):
        u = a[p]
        on = a[p + 1 if p + 1 < n else 0]
        back = a[p - 1 if p > 0 else n - 1]
        on_b = pair.next_b[u]
        back_b = pair.back_b[u]
        list_open(pair.open_a, pair.left_a, u, on, back, on_b, back_b)
        list_open(pair.open_b, pair.left_b, u, on_b, back_b, on, back)


@kernel(allocates=False, pasted=True)
def list_open(ends: Ints, left: Flags, u: int, on: int, back: int, other_on: int, other_back: int) -> None:
    """List u's neighbours in one tour, ``on`` and ``back``, that are not its neighbours in the other."""
    fill = 0
    if on != other_on and on != other_back:
        ends[u, fill] = on
        fill += 1
    if back != other_on and back != other_back:
        ends[u, fill] = back
        fill += 1
    left[u] = fill


@kernel(allocates=False, pasted=True)
def strike(ends: Ints, left: Flags, u: int, v: int) -> None:
    """Remove v from the list of u."""
    left[u] -= 1
    if ends[u, 0] == v:
        ends[u, 0] = ends[u, 1]


@kernel(allocates=False, pasted=True)
def find_ab_cycles(pair: Pair, random: NDArray[np.uint64]) -> int:
    """Split the differing edges into AB-cycles; returns their number.

    A random walk along A and B in turn closes a cycle at a point that it left along the same tour before.
    """
    n = len(pair.tour)
    found = 0
    fill = 0
    pair.walk_at[0] = 0
    for start in range(n):
        while pair.left_a[start] > 0:
            steps = 0
            pair.path[0] = start
            pair.even[start] = 0
            while True:
                u = pair.path[steps]
                along_a = steps % 2 == 0
                ends = pair.open_a if along_a else pair.open_b
                left = pair.left_a if along_a else pair.left_b
                v = ends[u, draw(random, 2) if left[u] == 2 else 0]
                strike(ends, left, u, v)
                strike(ends, left, v, u)
                steps += 1
                pair.path[steps] = v
                seen = pair.odd if along_a else pair.even
                if seen[v] < 0:
                    seen[v] = steps
                    continue
                first = seen[v]
                for s in range(first, steps):
                    other = pair.odd if s % 2 == 1 else pair.even
                    other[pair.path[s]] = -1
                shift = first % 2
                for s in range(first, steps):
                    pair.cycles[fill] = pair.path[s + shift if s + shift < steps else first]
                    fill += 1
                found += 1
                pair.walk_at[found] = fill
                steps = first
                if steps == 0:
                    break
                seen[v] = steps
    return found


@kernel(allocates=False)
def ab_cycles_between(pair: Pair, a: Ints, b: Ints, random: NDArray[np.uint64]) -> int:
    """Split the differences of two tours into AB-cycles; returns their number."""
    differ(pair, a, b)
    return find_ab_cycles(pair, random)
