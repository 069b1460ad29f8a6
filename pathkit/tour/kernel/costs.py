"""Kernels for the cost of a move. Every search measures costs by `arc`, which is exactly the problem's own metric."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.kernel.core import Core
from pathkit.tour.metric import Pricing

Floats = NDArray[np.float64]


@kernel(allocates=False)
def move(by: Pricing, dx: float, dy: float) -> float:
    """Cost of a displacement; the same formulas as `Metric.cost`."""
    kind = by.kind
    dx = abs(dx)
    dy = abs(dy)
    distance = math.sqrt(dx * dx + dy * dy)
    if kind == 0.0:
        cost = distance
    elif kind == 1.0:
        cost = np.floor(distance + 0.5)  # math.floor makes a whole number, and back takes as long again
    elif kind == 2.0:
        cost = np.ceil(distance)
    else:
        cruise = max(dx * by.slow_x, dy * by.slow_y)
        speeding = max(dx * by.soft_x, dy * by.soft_y)
        if cruise * cruise >= speeding:
            cost = cruise + speeding / cruise if cruise > 0.0 else 0.0
        else:
            cost = 2.0 * math.sqrt(speeding)
    if by.retract > 0.0 and distance > by.meet:
        cost += by.retract
    return cost


@kernel(allocates=False)
def between(core: Core, u: int, v: int) -> float:
    """Cost of going from variant u to variant v, from their points."""
    free = core.free
    if free > 0.0:
        if u == 0 and (free == 1.0 or free == 3.0):
            return core.inner[v] if len(core.inner) > 0 else 0.0
        if v == 0 and free >= 2.0:
            return 0.0
    cost = move(core.pricing, core.entry[v, 0] - core.exit[u, 0], core.entry[v, 1] - core.exit[u, 1])
    if len(core.inner) > 0:
        cost += core.inner[v]
    if core.switch_cost > 0.0:
        one = core.group[core.owner[u]]
        other = core.group[core.owner[v]]
        if one != other and one >= 0 and other >= 0:
            cost += core.switch_cost
    return cost


@kernel(allocates=False)
def arc(core: Core, u: int, v: int) -> float:
    """Cost of going from variant u to variant v."""
    if core.costs.shape[0] > 0:
        return core.costs[u, v]  # type: ignore[no-any-return]
    return between(core, u, v)


@kernel(allocates=False)
def fill(core: Core, table: Floats) -> None:
    """Write every cost into ``table`` (m, m)."""
    m = len(core.owner)
    for u in range(m):
        for v in range(m):
            table[u, v] = between(core, u, v)


@kernel(allocates=False)
def total(core: Core, sequence: NDArray[np.int32]) -> float:
    """Cost of the whole cycle."""
    cost = arc(core, sequence[len(sequence) - 1], sequence[0])
    for place in range(1, len(sequence)):
        cost += arc(core, sequence[place - 1], sequence[place])
    return cost


@kernel(allocates=False)
def arcs(core: Core, sequence: NDArray[np.int32], costs: Floats) -> None:
    """Write the cost of the arc into each place of the sequence."""
    for place in range(len(sequence)):
        costs[place] = arc(core, sequence[place - 1 if place > 0 else len(sequence) - 1], sequence[place])


@kernel(allocates=False)
def draw(random: NDArray[np.uint64], limit: int) -> int:
    """A random whole number from 0 to limit - 1 (xorshift, Marsaglia 2003); ``random`` holds one nonzero number."""
    x = random[0]
    x ^= x << np.uint64(13)
    x ^= x >> np.uint64(7)
    x ^= x << np.uint64(17)
    random[0] = x
    return np.int64(((x >> np.uint64(32)) * np.uint64(limit)) >> np.uint64(32))  # type: ignore[return-value]


def seeded(seed: int) -> NDArray[np.uint64]:
    """Random state of a seed (SplitMix64, Steele et al. 2014), never zero."""
    mask = (1 << 64) - 1
    z = (seed * 0x9E3779B97F4A7C15 + 0x9E3779B97F4A7C15) & mask
    z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & mask
    z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & mask
    return np.array([(z ^ (z >> 31)) or 1], dtype=np.uint64)
