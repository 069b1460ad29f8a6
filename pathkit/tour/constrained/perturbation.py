"""Shakes of an order under rules: a small disturbance, a descent, and back again where that does not help."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.constrained.annealing import allows
from pathkit.tour.constrained.block_reversal import reverse_into, reversed_rise, split
from pathkit.tour.constrained.state import FILL, FULL, LOGGED, Line, enqueue, room, spot, take_back, write
from pathkit.tour.constrained.three_opt import descend, may_swap, rechoose, swap, swap_gain
from pathkit.tour.kernel.costs import draw

LONGEST = 50  # places of a stretch that is moved along the order
SHORT = 4  # the same, half the time: where precedence is dense, only short stretches are free to move
TRIES = 50  # draws of a shake before it is given up: precedence may leave few


@kernel(allocates=False, inner=True)
def reverse_runs(line: Line, i: int, j: int) -> float:
    """Reverse the stretch from i to j run by run; returns what it costs, inf where nothing was changed."""
    n = len(line.sequence)
    core = line.core
    if core.high[core.owner[line.sequence[i]]] < j or not room(line, j - i + 1):
        return np.inf
    count = split(core, line.sequence, line.place, line.scratch, i, j)
    if count == 1:
        return np.inf
    cost = reversed_rise(core, line.sequence, line.scratch, count)
    for r in range(count + 1):
        p = np.int64(line.scratch[n + r])
        enqueue(line, p - 1)  # type: ignore[arg-type]
        enqueue(line, p)  # type: ignore[arg-type]
    reverse_into(core, line.sequence, line.scratch, count)
    write(line, i, j)
    return cost


@kernel(allocates=False, inner=True)
def shake(line: Line, state: NDArray[np.uint64]) -> float:
    """Reverse a stretch, or let two neighbouring ones change places; returns what it costs."""
    n = len(line.sequence)
    core = line.core
    width = line.near.shape[2]
    longest = min(LONGEST, max(n // 3, 1))
    for _ in range(TRIES):
        i = 1 + draw(state, n - 2)
        kind = draw(state, 8)
        if kind < 2:
            cost = reverse_runs(line, i, min(i + 1 + draw(state, longest), n - 1))
            if cost == np.inf:
                continue
            return cost
        if kind < 5:
            most = min(longest, SHORT) if draw(state, 2) == 0 else longest
            j = i + draw(state, most)
            k = j + 1 + draw(state, most)
        else:
            # three cuts near each other on the plane
            a = spot(line, line.near[1, core.owner[line.sequence[i]], draw(state, width)])
            b = spot(line, line.near[draw(state, 2), core.owner[line.sequence[a]], draw(state, width)])
            j = max(min(i, a), min(max(i, a), b)) - 1
            k = max(i, a, b) - 1
            i = min(i, a, b)
        if not 1 <= i <= j < k < n or k - i > line.throw or not may_swap(line, i, j, k):
            continue
        cost = -swap_gain(line, i, j, k)
        swap(line, i, j, k)
        # variants that suit the new order come first, else the old order would win before they are looked at
        return cost - rechoose(line, i) - rechoose(line, i + k - j - 1) - rechoose(line, i + k - j) - rechoose(line, k)
    return 0.0


@kernel(allocates=False)
def shake_and_mend(line: Line, state: NDArray[np.uint64], heat: float, shakes: int) -> float:
    """Shake and descend again, many times; what costs more than ``heat`` allows is taken back. Returns the gain."""
    gained = 0.0
    line.marks[LOGGED] = 1
    for _ in range(shakes):
        line.marks[FILL] = 0
        line.marks[FULL] = 0
        cost = shake(line, state)
        mended = descend(line)
        if line.marks[FULL] == 1 or not allows(heat, cost - mended, state):
            take_back(line)
        else:
            gained += mended - cost
    line.marks[LOGGED] = 0
    line.marks[FULL] = 0
    return gained
