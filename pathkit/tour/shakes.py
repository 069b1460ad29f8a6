"""Shakes of an order under rules: a small disturbance, a descent, and back again where that does not help."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.annealing import allows
from pathkit.tour.arcs import draw
from pathkit.tour.exchanges import descend, may_swap, rechoose, swap, swap_gain
from pathkit.tour.line import FILL, FULL, Line, enqueue, room, take_back, write
from pathkit.tour.runs import reverse_into, reversed_rise, split

LONGEST = 50  # places of a stretch that is swapped along the order
SHORT = 4
TRIES = 50  # draws of a shake before it is given up: precedence may leave few


@kernel(allocates=False, inner=True)
def shake(line: Line, state: NDArray[np.uint64]) -> float:
    """Two short neighbouring stretches change places; returns what it costs."""
    n = len(line.sequence)
    core = line.core
    longest = min(LONGEST, max(n // 3, 1))
    for _ in range(TRIES):
        i = 1 + draw(state, n - 2)
        kind = draw(state, 8)
        if kind < 2:
            j = min(i + 1 + draw(state, longest), n - 1)
            if core.high[core.owner[line.sequence[i]]] < j or not room(line, j - i + 1):
                continue
            count = split(core, line.sequence, line.place, line.scratch, i, j)
            if count == 1:
                continue
            cost = reversed_rise(core, line.sequence, line.scratch, count)
            for r in range(count + 1):
                p = line.scratch[n + r]
                enqueue(line, p - 1)
                enqueue(line, p)
            reverse_into(core, line.sequence, line.scratch, count)
            write(line, i, j)
            return cost
        if kind < 5:
            # where precedence is dense, only short stretches are free to move
            most = min(longest, SHORT) if draw(state, 2) == 0 else longest
            j = i + draw(state, most)
            k = j + 1 + draw(state, most)
        else:
            # three cuts near each other on the plane
            a = line.place[line.near[1, core.owner[line.sequence[i]], draw(state, line.near.shape[2])]]
            b = line.place[line.near[draw(state, 2), core.owner[line.sequence[a]], draw(state, line.near.shape[2])]]
            j = a
            k = b
            if i > j:
                i, j = j, i
            if j > k:
                j, k = k, j
            if i > j:
                i, j = j, i
            j -= 1
            k -= 1
        if not 1 <= i <= j < k < n or k - i > line.throw or not may_swap(line, i, j, k):
            continue
        cost = -swap_gain(line, i, j, k)
        swap(line, i, j, k)
        # variants that suit the new order come first, else the old order would win before they are looked at
        cost -= rechoose(line, i) + rechoose(line, i + k - j - 1) + rechoose(line, i + k - j) + rechoose(line, k)
        return cost
    return 0.0


@kernel(allocates=False)
def shake_and_mend(line: Line, state: NDArray[np.uint64], heat: float, shakes: int) -> float:
    """Shake and descend again, many times; what costs more than ``heat`` allows is taken back. Returns the gain."""
    gained = 0.0
    for _ in range(shakes):
        line.marks[FILL] = 0
        line.marks[FULL] = 0
        cost = shake(line, state)
        mended = descend(line, True)
        if line.marks[FULL] == 1 or not allows(heat, cost - mended, state):
            take_back(line)
        else:
            gained += mended - cost
    return gained
