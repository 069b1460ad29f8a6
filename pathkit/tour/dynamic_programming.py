"""The best order of a few items, by dynamic programming over sets (Held and Karp 1962; Bellman 1962)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import arc

LIMIT = 12
WORK = 4e9  # additions; about four seconds


def affordable(core: Core) -> bool:
    """Whether `best_order` takes a few seconds at most."""
    free = len(core.first) - 2
    lead = int(core.first[1])
    m = len(core.owner) - lead
    return free <= LIMIT and lead * float(2**free) * m * m / 4 <= WORK and 2**free * m <= 3e7


def best_order(core: Core) -> NDArray[np.int32]:
    """A shortest sequence of variants, item 0 at place 0."""
    n = len(core.first) - 1
    ahead = np.zeros(n, dtype=np.int64)  # items that must come before, as bits (item i is bit i - 1)
    for item in range(1, n):
        for other in core.before[core.before_at[item] : core.before_at[item + 1]]:
            ahead[item] |= (1 << int(other)) >> 1
        for other in range(1, n):
            if core.high[other] < core.low[item]:
                ahead[item] |= 1 << (other - 1)
    sequences = [_from(core, ahead, lead) for lead in range(int(core.first[1]))]
    return min(sequences, key=lambda pair: pair[0])[1]


def _from(core: Core, ahead: NDArray[np.int64], lead: int) -> tuple[float, NDArray[np.int32]]:
    sequence = np.zeros(len(core.first) - 1, dtype=np.int32)
    return subsets(core, ahead, lead, sequence), sequence


@kernel
def subsets(core: Core, ahead: NDArray[np.int64], lead: int, sequence: NDArray[np.int32]) -> float:
    """Write the cheapest sequence that begins with variant ``lead`` and return its cost.

    ``reached[set, v]`` is the least cost of visiting exactly that set of items and ending at variant v.
    """
    n = len(core.first) - 1
    m = len(core.owner)
    sets = 1 << (n - 1)
    reached = np.full((sets, m), np.inf)
    came = np.full((sets, m), -1, dtype=np.int32)
    reached[0, lead] = 0.0
    for visited in range(sets):
        for v in range(m):
            so_far = reached[visited, v]
            if so_far == np.inf:
                continue
            for item in range(1, n):
                bit = 1 << (item - 1)
                if visited & bit or (ahead[item] & visited) != ahead[item]:
                    continue
                for w in range(core.first[item], core.first[item + 1]):
                    cost = so_far + arc(core, v, w)
                    if cost < reached[visited | bit, w]:
                        reached[visited | bit, w] = cost
                        came[visited | bit, w] = v
    best = np.inf
    last = lead
    for v in range(m):
        if reached[sets - 1, v] < np.inf:
            cost = reached[sets - 1, v] + arc(core, v, lead)
            if cost < best:
                best = cost
                last = v
    visited = sets - 1
    for place in range(n - 1, -1, -1):
        sequence[place] = last
        previous = came[visited, last]
        if place > 0:
            visited ^= 1 << (core.owner[last] - 1)
            last = previous
    return best
