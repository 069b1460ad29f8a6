"""The best variants for a given order: dynamic programming along it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import arc


@kernel
def choose_variants(core: Core, sequence: NDArray[np.int32]) -> float:
    """Replace the variants in ``sequence`` by the cheapest ones for this order of items; returns the cost.

    Item 0 closes the cycle, so each of its variants is tried in turn.
    """
    n = len(sequence)
    offset = np.zeros(n + 1, dtype=np.int64)
    for place in range(n):
        item = core.owner[sequence[place]]
        offset[place + 1] = offset[place] + core.first[item + 1] - core.first[item]
    came = np.zeros(offset[n], dtype=np.int32)
    reached = np.zeros(offset[n])
    best = np.inf
    chosen = np.empty(n, dtype=np.int32)
    for lead in range(core.first[0], core.first[1]):
        reached[lead] = 0.0
        for place in range(1, n):
            item = core.owner[sequence[place]]
            behind = core.owner[sequence[place - 1]]
            low = core.first[behind] if place > 1 else lead
            high = core.first[behind + 1] if place > 1 else lead + 1
            for v in range(core.first[item], core.first[item + 1]):
                cheapest = np.inf
                source = low
                for u in range(low, high):
                    cost = reached[offset[place - 1] + u - core.first[behind]] + arc(core, u, v)
                    if cost < cheapest:
                        cheapest = cost
                        source = u
                reached[offset[place] + v - core.first[item]] = cheapest
                came[offset[place] + v - core.first[item]] = source
        item = core.owner[sequence[n - 1]]
        for v in range(core.first[item] if n > 1 else lead, core.first[item + 1] if n > 1 else lead + 1):
            cost = reached[offset[n - 1] + v - core.first[item]] + arc(core, v, lead)
            if cost < best:
                best = cost
                last = v
                for place in range(n - 1, 0, -1):
                    chosen[place] = last
                    last = came[offset[place] + last - core.first[core.owner[sequence[place]]]]
                chosen[0] = lead
    for place in range(n):
        sequence[place] = chosen[place]
    return best
