"""Kernel that picks near points in every direction."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.kernel.costs import move
from pathkit.tour.metric import Pricing

FACING = 6  # Delaunay neighbours taken
EACH = 1  # near points wanted from each quadrant


@kernel
def pick(
    points: NDArray[np.float64],
    rows: NDArray[np.int64],
    found: NDArray[np.int32],
    facing_at: NDArray[np.int64],
    facing: NDArray[np.int32],
    near: NDArray[np.int32],
) -> NDArray[np.bool_]:
    """Fill ``near`` for ``rows`` from ``found`` (nearest first); returns the points with a quadrant left unfilled."""
    count = near.shape[1]
    thin = np.zeros(len(points), dtype=np.bool_)
    taken = np.zeros(found.shape[1], dtype=np.bool_)
    tally = np.zeros(4, dtype=np.int64)
    for r in range(len(rows)):
        own = rows[r]
        for k in range(len(taken)):
            taken[k] = False
        for q in range(4):
            tally[q] = 0
        fill = 0
        for e in range(facing_at[own], facing_at[own + 1]):
            if fill < FACING:
                near[own, fill] = facing[e]
                fill += 1
        for k in range(found.shape[1]):
            other = found[r, k]
            dx = points[other, 0] - points[own, 0]
            dy = points[other, 1] - points[own, 1]
            if other == own:
                taken[k] = True
                continue
            for f in range(fill):
                if near[own, f] == other:
                    taken[k] = True
            if dx >= 0.0:
                q = 0 if dy > 0.0 or (dy == 0.0 and dx > 0.0) else 3
            else:
                q = 1 if dy >= 0.0 else 2
            if fill < count and tally[q] < EACH and not taken[k]:
                tally[q] += 1
                taken[k] = True
                near[own, fill] = other
                fill += 1
        for k in range(found.shape[1]):
            if fill < count and not taken[k]:
                near[own, fill] = found[r, k]
                fill += 1
        thin[own] = min(min(tally[0], tally[1]), min(tally[2], tally[3])) == 0
        # fewer others than wanted: repeat the last one
        while 0 < fill < count:
            near[own, fill] = near[own, fill - 1]
            fill += 1
    return thin


@kernel
def price(pricing: Pricing, points: NDArray[np.float64], near: NDArray[np.int32], free: int) -> NDArray[np.float64]:
    """Costs to the near points; sorts each row of ``near`` by them."""
    n, count = near.shape
    gap = np.empty((n, count))
    for u in range(n):
        for k in range(count):
            v = near[u, k]
            cost = 0.0
            if u != free and v != free:
                cost = move(pricing, points[v, 0] - points[u, 0], points[v, 1] - points[u, 1])
            at = k
            while at > 0 and gap[u, at - 1] > cost:
                gap[u, at] = gap[u, at - 1]
                near[u, at] = near[u, at - 1]
                at -= 1
            gap[u, at] = cost
            near[u, at] = v
    return gap


@kernel
def merge(
    owner: NDArray[np.int32], gap: NDArray[np.float64], found: NDArray[np.int32], near: NDArray[np.int32]
) -> None:
    """Nearest other items among those found around each point; points are sorted by ``owner``."""
    n, count = near.shape
    best = np.empty(count)
    place = 0
    for item in range(n):
        fill = 0
        while place < len(owner) and owner[place] == item:
            for k in range(found.shape[1]):
                other = found[place, k]
                far = gap[place, k]
                if other == item or (fill == count and far >= best[count - 1]):
                    continue
                at = 0
                while at < fill and near[item, at] != other:
                    at += 1
                if at < fill:
                    if best[at] <= far:
                        continue
                elif fill < count:
                    fill += 1
                else:
                    at = count - 1
                while at > 0 and best[at - 1] > far:
                    best[at] = best[at - 1]
                    near[item, at] = near[item, at - 1]
                    at -= 1
                best[at] = far
                near[item, at] = other
            place += 1
        for k in range(fill, count):
            near[item, k] = near[item, k - 1] if k > 0 else (item + 1) % n
