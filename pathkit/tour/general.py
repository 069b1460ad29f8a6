"""Search for problems with variants, precedence, stages or costs of their own."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.annealing import anneal
from pathkit.tour.arcs import arcs, seeded, total
from pathkit.tour.chain import choose_variants
from pathkit.tour.core import Core
from pathkit.tour.neighbours import near_both_ways
from pathkit.tour.watch import Watch

Ints = NDArray[np.int32]

NEAR = 10
STRETCH = 20_000  # proposals between two looks at the clock
PACE = 3_000_000  # proposals a second, to plan a search that only time ends
HOT, COLD = 0.8, 0.03  # of the mean cost of an arc, where there is time for it
UNHURRIED = 5_000  # proposals an item for a full anneal
REHEATS = 8  # anneals, each from the best so far, where there is time for all


def budget(core: Core, effort: float) -> int:
    """Proposals for an effort."""
    n = len(core.first) - 1
    return int(effort * (100_000 + 10_000 * min(n, 500) + 500 * max(n - 500, 0)))


def plan(n: int, watch: Watch) -> tuple[int, float]:
    """How many anneals, and from what temperature: the fewer proposals an item gets, the less may be stirred up."""
    expected = watch.budget if watch.budget is not None else PACE * (watch.seconds or 0.0)
    each = expected / n
    reheats = int(min(max(each / UNHURRIED, 1), REHEATS))
    return reheats, HOT * min(each / UNHURRIED, 1.0) ** 0.5


def search(core: Core, start: Ints, seed: int, watch: Watch, history: list[tuple[int, float]]) -> Ints:
    """The cheapest sequence found from ``start``; every anneal begins with the best so far."""
    n = len(start)
    state = seeded(seed)
    near = near_both_ways(core, NEAR)
    best = start.copy()
    choose_variants(core, best)
    lowest = total(core, best)
    history.append((0, lowest))
    if n < 3 and len(core.owner) == n:
        return best
    sequence = best.copy()
    place, scratch = np.empty(n, dtype=np.int32), np.empty(2 * n, dtype=np.int32)
    reheats, hot = plan(n, watch)
    mean, cycle = scale(core, best), 0
    stretch = max(STRETCH, n)
    while not watch.over(f"{lowest:g}"):
        run = watch.fraction() * reheats
        if int(run) > cycle:
            cycle = int(run)
            choose_variants(core, best)
            sequence[:] = best
            mean = scale(core, best)
        ahead = 1.0 - (run - cycle)
        heat = mean * (COLD + (hot - COLD) * ahead * ahead)
        steps = watch.left(stretch)
        cost = anneal(core, near, sequence, best, place, scratch, state, heat, heat, steps)
        watch.count(steps)
        if cost < lowest:
            lowest = cost
            history.append((watch.done, lowest))
    choose_variants(core, best)
    return best


def scale(core: Core, sequence: Ints) -> float:
    """Mean cost of an arc, the dearest tenth left out: what a first order could not avoid sets no temperature."""
    costs = np.empty(len(sequence))
    arcs(core, sequence, costs)
    costs.sort()
    return float(np.mean(costs[: max(len(costs) - len(costs) // 10, 1)]))
