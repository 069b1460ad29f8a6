"""Double bridges: a perturbation of four edges near each other and a descent, undone if they do not help.

Martin, Otto and Felten, Complex Systems 5(3), 1991, 299-326: the double bridge is the smallest change that a
Lin-Kernighan move does not undo.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.kernel.acceptance import allows
from pathkit.tour.kernel.costs import draw
from pathkit.tour.kernel.undo_log import LOGGED, begin
from pathkit.tour.kernel.work_queue import drop_all, enqueue
from pathkit.tour.symmetric.lin_kernighan import (
    carry_out,
    cost_between,
    descend,
    longest_piece,
    point_at,
    take_back,
)
from pathkit.tour.symmetric.state import PIECES_FOUND, State

WALK = 3  # steps of the random walks that find the edges of a double bridge


@kernel(allocates=False, pasted=True)
def double_bridge(state: State, random: NDArray[np.uint64], base: int) -> float:
    """A double bridge at four edges near each other, close to a point numbered soon after ``base``; returns its cost.

    The four are found by short random walks among near points (Applegate, Cook, Rohe, INFORMS J. Computing 15(1),
    2003). They are close together on the plane, though not along the tour, so that rows far apart in the order are
    exchanged too.
    """
    n = len(state.tour)
    cuts = state.cuts
    while True:
        v = base + draw(random, state.around)
        if v >= n:
            v -= n
        count = 0
        for _ in range(12):
            u = v
            for _step in range(WALK if count > 0 else 0):
                u = state.near[u, draw(random, state.near.shape[1])]
            p = state.place[u]
            after = p + 1 if p + 1 < n else 0
            if state.fixed[u] == state.tour[after]:
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
        head = state.head
        tail = state.tail
        # stretches A B C D in the order A D C B
        head[0] = 0
        tail[0] = cuts[1] - origin
        head[1] = cuts[3] + 1 - origin
        tail[1] = n - 1
        head[2] = cuts[2] + 1 - origin
        tail[2] = cuts[3] - origin
        head[3] = cuts[1] + 1 - origin
        tail[3] = cuts[2] - origin
        state.found[PIECES_FOUND] = 4
        longest = longest_piece(state)
        if n - 1 - (tail[longest] - head[longest]) <= state.kick_limit:
            break
    cost = 0.0
    for q in range(4):
        before = tail[q - 1 if q > 0 else 3]
        u = point_at(state, origin, True, before)
        v = point_at(state, origin, True, head[q])
        cost += cost_between(state, u, v)
        enqueue(state.queue, u)
        enqueue(state.queue, v)
    for q in range(4):
        cost -= cost_between(state, state.tour[cuts[q]], state.tour[cuts[q] + 1 if cuts[q] + 1 < n else 0])
    carry_out(state, origin, True)
    return cost


@kernel(allocates=False)
def perturb_and_descend(state: State, random: NDArray[np.uint64], heat: float, rounds: int, base: int) -> float:
    """Perturb and descend, many times; undo each change that costs more than ``heat`` allows. Returns the gain.

    All are near the points from ``base`` on: on a large board these then stay in the processor's cache.
    """
    gained = 0.0
    state.log.counters[LOGGED] = 1
    for _ in range(rounds):
        begin(state.log)
        cost = double_bridge(state, random, base)
        mended = descend(state)
        if mended < 0.0 or not allows(heat, cost - mended, random):
            drop_all(state.queue)
            take_back(state)
        else:
            gained += mended - cost
    state.log.counters[LOGGED] = 0
    return gained
