"""A first tour from the shortest edges that fit (greedy matching of fragments, Bentley 1992)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.union_find import root

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

CLOSE = 8  # ends of other fragments tried when fragments are joined


def greedy_tour(points: Floats, near: Ints, gap: Floats, fixed: Ints, free: int) -> Ints:
    """Closed tour over all points that holds every fixed edge; a free point is joined last."""
    from scipy.spatial import cKDTree

    n = len(points)
    links = np.full((n, 2), -1, dtype=np.int32)
    parent = np.arange(n, dtype=np.int32)
    for end in np.flatnonzero(fixed >= 0).tolist():
        if end < fixed[end]:
            join(links, parent, end, int(fixed[end]))
    u, v = np.repeat(np.arange(n, dtype=np.int32), near.shape[1]), near.ravel()
    cost = gap.ravel()
    keep = (u != free) & (v != free) & (u != v)
    order = _ascending(cost[keep])
    take(links, parent, u[keep][order], v[keep][order])
    looked_at = CLOSE
    while True:
        ends = np.flatnonzero((links[:, 1] < 0) & (np.arange(n) != free))
        if len(ends) <= 2:
            break
        k = min(looked_at, len(ends))
        far, found = cKDTree(points[ends]).query(points[ends], k=[*range(1, k + 1)])
        u, v = np.repeat(ends, k).astype(np.int32), ends[np.asarray(found).ravel()].astype(np.int32)
        keep = u < v
        order = _ascending(np.asarray(far).ravel()[keep])
        joined = take(links, parent, u[keep][order], v[keep][order])
        if joined == 0:
            if k == len(ends):
                break
            looked_at *= 4
    return cycle(links)


def _ascending(costs: Floats) -> NDArray[np.int64]:
    """Indices by rising cost, 0 or more; those of equal cost in order.

    They are sorted as whole numbers, the cost above and the index below, which takes half a stable sort's time.
    """
    keys = costs.astype(np.float32).view(np.uint32).astype(np.uint64) << np.uint64(32)
    keys |= np.arange(len(keys), dtype=np.uint64)
    keys.sort()
    return (keys & np.uint64(0xFFFFFFFF)).astype(np.int64)


@kernel(allocates=False)
def join(links: Ints, parent: Ints, u: int, v: int) -> None:
    """Add the edge between u and v."""
    links[u, 0 if links[u, 0] < 0 else 1] = v
    links[v, 0 if links[v, 0] < 0 else 1] = u
    parent[root(parent, u)] = root(parent, v)


@kernel(allocates=False)
def take(links: Ints, parent: Ints, u: Ints, v: Ints) -> int:
    """Add edges in turn if both points have a side left and no cycle closes; returns their number."""
    count = 0
    for e in range(len(u)):
        a = u[e]
        b = v[e]
        if links[a, 1] < 0 and links[b, 1] < 0 and root(parent, a) != root(parent, b):
            join(links, parent, a, b)
            count += 1
    return count


@kernel
def cycle(links: Ints) -> Ints:
    """Points along the fragments, one fragment after the other; a free point's fragment closes the tour."""
    n = len(links)
    tour = np.empty(n, dtype=np.int32)
    seen = np.zeros(n, dtype=np.bool_)
    count = 0
    for first in range(n):
        if seen[first] or links[first, 1] >= 0:
            continue
        previous = -1
        at = first
        while at >= 0:
            seen[at] = True
            tour[count] = at
            count += 1
            onward = links[at, 0] if links[at, 0] != previous else links[at, 1]
            previous = at
            at = onward
    return tour
