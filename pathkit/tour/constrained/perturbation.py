"""Perturbations of an order under rules: a small change and a descent, undone if they do not help."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.constrained.block_reversal import reverse_into, reversed_rise, split
from pathkit.tour.constrained.state import State, enqueue, place_of, take_back, write
from pathkit.tour.constrained.three_opt import choose_two, descend, or3_allowed, or3_gain, or3_move
from pathkit.tour.kernel.acceptance import allows
from pathkit.tour.kernel.costs import draw
from pathkit.tour.kernel.undo_log import FULL, LOGGED, begin, room

LONGEST = 50  # longest stretch, in places, that is moved along the order
SHORT = 4  # the same, half the time: with many precedence rules only short stretches can move
TRIES = 50  # attempts at a perturbation before it is given up: precedence may allow few


@kernel(allocates=False)
def reverse_blocks(state: State, i: int, j: int) -> float:
    """Reverse the stretch from i to j run by run; returns its cost, inf if nothing was changed."""
    n = len(state.sequence)
    core = state.core
    if core.high[core.owner[state.sequence[i]]] < j or not room(state.log, j - i + 1):
        return np.inf
    count = split(core, state.sequence, state.place, state.scratch, i, j)
    if count == 1:
        return np.inf
    cost = reversed_rise(core, state.sequence, state.scratch, count)
    for r in range(count + 1):
        p = state.scratch[n + r]
        enqueue(state, p - 1)
        enqueue(state, p)
    reverse_into(core, state.sequence, state.scratch, count)
    write(state, i, j)
    return cost


@kernel(allocates=False)
def perturb(state: State, random: NDArray[np.uint64]) -> float:
    """Reverse a stretch, or swap two neighbouring ones; returns the cost of the change."""
    n = len(state.sequence)
    core = state.core
    width = state.near.shape[2]
    longest = min(LONGEST, max(n // 3, 1))
    for _ in range(TRIES):
        i = 1 + draw(random, n - 2)
        kind = draw(random, 8)
        if kind < 2:
            cost = reverse_blocks(state, i, min(i + 1 + draw(random, longest), n - 1))
            if cost == np.inf:
                continue
            return cost
        if kind < 5:
            most = min(longest, SHORT) if draw(random, 2) == 0 else longest
            j = i + draw(random, most)
            k = j + 1 + draw(random, most)
        else:
            # three cuts near each other on the plane
            a = place_of(state, state.near[1, core.owner[state.sequence[i]], draw(random, width)])
            b = place_of(state, state.near[draw(random, 2), core.owner[state.sequence[a]], draw(random, width)])
            j = max(min(i, a), min(max(i, a), b)) - 1
            k = max(i, a, b) - 1
            i = min(i, a, b)
        if not 1 <= i <= j < k < n or k - i > state.kick_limit or not or3_allowed(state, i, j, k):
            continue
        cost = -or3_gain(state, i, j, k)
        or3_move(state, i, j, k)
        # choose variants for the new order first, else the descent would restore the old order before trying them
        return (
            cost
            - choose_two(state, i)
            - choose_two(state, i + k - j - 1)
            - choose_two(state, i + k - j)
            - choose_two(state, k)
        )
    return 0.0


@kernel(allocates=False)
def perturb_and_descend(state: State, random: NDArray[np.uint64], heat: float, rounds: int) -> float:
    """Descend, then perturb and descend many times; undo each change that costs more than ``heat`` allows.

    Returns the gain.
    """
    gained = descend(state)
    state.log.counters[LOGGED] = 1
    for _ in range(rounds):
        begin(state.log)
        cost = perturb(state, random)
        mended = descend(state)
        if state.log.counters[FULL] == 1 or not allows(heat, cost - mended, random):
            take_back(state)
        else:
            gained += mended - cost
    state.log.counters[LOGGED] = 0
    state.log.counters[FULL] = 0
    return gained
