"""Search for problems with variants, precedence, stages or costs of their own."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.annealing import anneal
from pathkit.tour.arcs import seeded, total
from pathkit.tour.chain import choose_variants
from pathkit.tour.core import Core
from pathkit.tour.neighbours import near_items
from pathkit.tour.watch import Watch

Ints = NDArray[np.int32]

REHEATS = 8
NEAR = 10
HOT, COLD = 0.5, 0.01  # of the mean cost of an arc
STRETCH = 20_000  # proposals between two looks at the clock


def budget(core: Core, effort: float) -> int:
    """Proposals for an effort."""
    n = len(core.first) - 1
    return int(effort * (200_000 + 20_000 * n))


def search(core: Core, start: Ints, seed: int, watch: Watch, history: list[tuple[int, float]]) -> Ints:
    """The cheapest sequence found from ``start``; every reheat begins with the best so far."""
    n = len(start)
    state = seeded(seed)
    near = near_items(core, NEAR)
    best = start.copy()
    choose_variants(core, best)
    lowest = total(core, best)
    history.append((0, lowest))
    if n < 3 and len(core.owner) == n:
        return best
    sequence = best.copy()
    mean = lowest / n
    place, scratch = np.empty(n, dtype=np.int32), np.empty(n, dtype=np.int32)
    cycle = 0
    while not watch.over(f"{lowest:g}"):
        run = watch.fraction() * REHEATS
        if int(run) > cycle:
            cycle = int(run)
            choose_variants(core, best)
            sequence[:] = best
        ahead = 1.0 - (run - cycle)
        heat = mean * (COLD + (HOT - COLD) * ahead * ahead * ahead)
        steps = watch.left(STRETCH)
        cost = anneal(core, near, sequence, best, place, scratch, state, heat, heat, steps)
        watch.count(steps)
        if cost < lowest:
            lowest = cost
            history.append((watch.done, lowest))
    choose_variants(core, best)
    return best
