"""Kicks for plain tours: a small disturbance, a descent, and back again where that does not help."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.constrained.annealing import allows
from pathkit.tour.kernel.costs import draw
from pathkit.tour.symmetric.lin_kernighan import apart, carry_out, descend, enqueue, longest_piece, point_at, take_back
from pathkit.tour.symmetric.state import Web

WALK = 10  # steps of the random walks that find the edges of a kick


@kernel(allocates=False, pasted=True)
def kick(web: Web, state: NDArray[np.uint64], base: int) -> float:
    """A double bridge at four edges near each other and near a point numbered soon after ``base``; returns its cost.

    The four are found by short random walks among near points (Applegate, Cook, Rohe, INFORMS J. Computing 15(1),
    2003): they lie close together on the plane, though not along the tour, so that rows far apart in the order are
    exchanged too.
    """
    n = len(web.tour)
    cuts = web.cuts
    while True:
        v = base + draw(state, web.around)
        if v >= n:
            v -= n
        count = 0
        for _ in range(12):
            u = v
            for _step in range(WALK if count > 0 else 0):
                u = web.near[u, draw(state, web.near.shape[1])]
            p = web.place[u]
            after = p + 1 if p + 1 < n else 0
            if web.fixed[u] == web.tour[after]:
                continue
            at = count
            while at > 0 and cuts[at - 1] > p:
                at -= 1
            if at > 0 and cuts[at - 1] == p:
                continue
            for q in range(count, at, -1):
                cuts[q] = cuts[q - 1]
            cuts[at] = p
            count += 1
            if count == 4:
                break
        if count < 4:
            continue
        origin = cuts[0] + 1
        head = web.head[0]
        tail = web.tail[0]
        # stretches A B C D in the order A D C B
        head[0] = 0
        tail[0] = cuts[1] - origin
        head[1] = cuts[3] + 1 - origin
        tail[1] = n - 1
        head[2] = cuts[2] + 1 - origin
        tail[2] = cuts[3] - origin
        head[3] = cuts[1] + 1 - origin
        tail[3] = cuts[2] - origin
        longest = longest_piece(web, 0, 4)
        if n - 1 - (tail[longest] - head[longest]) <= web.throw:
            break
    cost = 0.0
    for q in range(4):
        before = tail[q - 1 if q > 0 else 3]
        u = point_at(web, origin, True, before)
        v = point_at(web, origin, True, head[q])
        cost += apart(web, u, v)
        enqueue(web, u)
        enqueue(web, v)
    for q in range(4):
        cost -= apart(web, web.tour[cuts[q]], web.tour[cuts[q] + 1 if cuts[q] + 1 < n else 0])
    web.marks[3] = 4
    web.marks[4] = 0
    carry_out(web, origin, True)
    return cost


@kernel(allocates=False)
def kick_and_mend(web: Web, state: NDArray[np.uint64], heat: float, kicks: int, base: int) -> float:
    """Kick and descend again, many times; what costs more than ``heat`` allows is taken back. Returns the gain.

    All kicks are around the points from ``base`` on: on a large board these stay in the processor's cache meanwhile.
    """
    gained = 0.0
    web.marks[5] = 1
    for _ in range(kicks):
        web.marks[2] = 0
        cost = kick(web, state, base)
        mended = descend(web)
        if mended < 0.0 or not allows(heat, cost - mended, state):
            while web.marks[1] > 0:
                web.queued[web.queue[web.marks[0]]] = 0
                web.marks[0] = web.marks[0] + 1 if web.marks[0] + 1 < len(web.queue) else 0
                web.marks[1] -= 1
            take_back(web)
        else:
            gained += mended - cost
    web.marks[5] = 0
    return gained
