"""Search for problems with variants, precedence, stages or costs of their own."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.annealing import anneal
from pathkit.tour.arcs import arc, seeded, total
from pathkit.tour.chain import choose_variants
from pathkit.tour.core import Core
from pathkit.tour.exchanges import disturb_and_settle, look_at, settle
from pathkit.tour.line import line
from pathkit.tour.neighbours import near_both_ways, near_items
from pathkit.tour.quadrants import least
from pathkit.tour.watch import Watch

Ints = NDArray[np.int32]

REHEATS = 8
NEAR = 10
HOT, COLD = 0.5, 0.01  # of the mean cost of an arc
FEW = 400  # items that are annealed
KICKS = 1_000  # between two looks at the clock
WARM = 0.1  # of the mean cost of an arc
PAIRS = 64  # pairs of variants that are looked through for the least cost between two items
STRETCH = 20_000  # proposals between two looks at the clock


def budget(core: Core, effort: float) -> int:
    """Proposals, or kicks where there are many items, for an effort."""
    n = len(core.first) - 1
    if n > FEW or not len(core.costs):
        return int(effort * (5_000 + 20 * n))
    return int(effort * (200_000 + 20_000 * n))


def search(core: Core, start: Ints, seed: int, watch: Watch, history: list[tuple[int, float]]) -> Ints:
    """The cheapest sequence found from ``start``."""
    few = len(start) <= FEW and len(core.costs) > 0
    return (anneal_from if few else improve_from)(core, start, seed, watch, history)


def improve_from(core: Core, start: Ints, seed: int, watch: Watch, history: list[tuple[int, float]]) -> Ints:
    """Local search with kicks, for what is too large to anneal."""
    n = len(start)
    state = seeded(seed)
    near = near_items(core, NEAR)
    own = start.copy()
    choose_variants(core, own)
    cost = total(core, own)
    history.append((0, cost))
    slack = 1e-9 * cost / n + 1e-12
    order = line(core, near, least(core, near, PAIRS), own, slack)
    for item in own.tolist():
        look_at(order, core.owner[item])
    if not watch.over(f"{cost:g}"):
        settle(order, False)
        cost = choose_variants(core, order.sequence)
    best, lowest = order.sequence.copy(), cost
    history.append((0, lowest))
    while not watch.over(f"{lowest:g}"):
        kicks = watch.left(KICKS)
        ahead = 1.0 - watch.fraction()
        disturb_and_settle(order, state, WARM * lowest / n * ahead * ahead, kicks)
        watch.count(kicks)
        cost = choose_variants(core, order.sequence)
        if cost < lowest - slack:
            best[:] = order.sequence
            lowest = cost
            history.append((watch.done, lowest))
    return best


def anneal_from(core: Core, start: Ints, seed: int, watch: Watch, history: list[tuple[int, float]]) -> Ints:
    """The cheapest sequence found from ``start``; every reheat begins with the best so far."""
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
    mean = lowest / n
    place, scratch = np.empty(n, dtype=np.int32), np.empty(2 * n, dtype=np.int32)
    cycle = 0
    while not watch.over(f"{lowest:g}"):
        run = watch.fraction() * REHEATS
        if int(run) > cycle:
            cycle = int(run)
            choose_variants(core, best)
            sequence[:] = best
            mean = _scale(core, best)
        ahead = 1.0 - (run - cycle)
        heat = mean * (COLD + (HOT - COLD) * ahead * ahead)
        steps = watch.left(STRETCH)
        cost = anneal(core, near, sequence, best, place, scratch, state, heat, heat, steps)
        watch.count(steps)
        if cost < lowest:
            lowest = cost
            history.append((watch.done, lowest))
    choose_variants(core, best)
    return best


def _scale(core: Core, sequence: Ints) -> float:
    """Mean cost of an arc, the dearest tenth left out: one arc that a first order could not avoid sets no temperature."""
    arcs = np.sort([arc(core, u, v) for u, v in zip(sequence.tolist(), np.roll(sequence, -1).tolist(), strict=True)])
    return float(np.mean(arcs[: max(len(arcs) - len(arcs) // 10, 1)]))
