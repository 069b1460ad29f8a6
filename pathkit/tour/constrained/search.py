"""Search for problems with variants, precedence, stages or costs of their own."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.constrained.annealing import anneal
from pathkit.tour.constrained.best_variants import choose_variants
from pathkit.tour.constrained.perturbation import shake_and_mend
from pathkit.tour.constrained.state import Line, enqueue, lay, settle
from pathkit.tour.constrained.three_opt import descend
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import arcs, seeded, total
from pathkit.tour.stopping import Watch

Ints = NDArray[np.int32]

NEAR = 10
SHAKE = 400  # proposals that take about as long as one shake with what mends it
SHAKES = 200  # between two looks at the clock
PROPOSALS = 20_000  # the same
PACE = 3_000_000  # proposals a second, to plan a search that only time ends
SHAKE_HEAT = 0.5  # of the mean cost of an arc, falling to nothing
HOT, COLD = 1.2, 0.03  # the same for single proposals
UNHURRIED = 50_000  # proposals an item for a whole round
REHEATS = 8  # rounds, each from the best so far, where there is time for all
FEW = 32  # items below which shakes have too little to choose from
# Costs given as a matrix can hold orders apart that no small exchange leads between. Proposals (A) cross there and
# shakes (S) find the bottom; + begins anew from the first order, and > goes on from the best of all.
MIXED_ROUNDS = (*3 * ("+A", "S", "A", "S", "A", "S"), *3 * (">A", "S"))
BRIEF_ROUNDS = ("+A", "S")


def budget(core: Core, effort: float) -> int:
    """Proposals for an effort."""
    n = len(core.first) - 1
    return int(effort * (100_000 + 10_000 * min(n, 500) + 2_000 * max(n - 500, 0)))


def plan(core: Core, watch: Watch) -> tuple[str, ...]:
    """The rounds there is time for."""
    n = len(core.first) - 1
    each = (watch.budget if watch.budget is not None else PACE * (watch.seconds or 0.0)) / n
    if core.rules[0] < 0.0 or n <= FEW:
        return MIXED_ROUNDS if each >= UNHURRIED else BRIEF_ROUNDS
    return ("S",) * int(min(max(each / UNHURRIED, 1), REHEATS))


def search(core: Core, start: Ints, seed: int, watch: Watch, history: list[tuple[int, float]]) -> Ints:
    """The cheapest sequence found from ``start``."""
    first = start.copy()
    choose_variants(core, first)
    history.append((0, total(core, first)))
    if len(first) < 3 or watch.over():
        return first
    line = lay(core, first, NEAR)
    for place in range(len(first)):
        enqueue(line, place)
    descend(line)
    first = line.sequence.copy()
    best, found, lowest = first, first, np.inf
    state = seeded(seed)
    rounds = plan(core, watch)
    for number, kind in enumerate(rounds):
        if kind[0] in "+>":
            found = first if kind[0] == "+" else best
        found = found.copy()
        span = (number / len(rounds), (number + 1) / len(rounds))
        if kind[-1] == "A":
            _propose(line, found, state, span, watch)
        else:
            _shake(line, found, state, span, watch)
        choose_variants(core, found)
        cost = total(core, found)
        if cost < lowest:
            best, lowest = found, cost
            history.append((watch.done, lowest))
    return best


def _shake(line: Line, best: Ints, state: NDArray[np.uint64], span: tuple[float, float], watch: Watch) -> None:
    """One round of shakes that cools from SHAKE_HEAT to nothing, from ``best``, which becomes the cheapest seen."""
    line.sequence[:] = best
    settle(line)
    hot = SHAKE_HEAT * scale(line.core, best)
    lowest = cost = total(line.core, best)
    while not watch.over(f"{lowest:g}") and (ahead := _ahead(span, watch)) > 0.0:
        shakes = -(-watch.left(SHAKES * SHAKE) // SHAKE)
        cost -= shake_and_mend(line, state, hot * ahead, shakes)
        watch.count(shakes * SHAKE)
        if cost < lowest - line.slack:
            best[:] = line.sequence
            lowest = cost


def _propose(line: Line, best: Ints, state: NDArray[np.uint64], span: tuple[float, float], watch: Watch) -> None:
    """One round of single proposals that cools from HOT to COLD, likewise."""
    mean = scale(line.core, best)
    line.sequence[:] = best
    settle(line)
    lowest = total(line.core, best)
    while not watch.over(f"{lowest:g}") and (ahead := _ahead(span, watch)) > 0.0:
        heat = mean * (COLD + (HOT - COLD) * ahead * ahead)
        steps = watch.left(PROPOSALS)
        lowest = anneal(line.core, line.near, line.sequence, best, line.place, line.scratch, state, heat, steps)
        watch.count(steps)


def _ahead(span: tuple[float, float], watch: Watch) -> float:
    """How much of a round is still ahead, 1 to 0; it covers ``span`` of the whole search."""
    return (span[1] - watch.fraction()) / (span[1] - span[0])


def scale(core: Core, sequence: Ints) -> float:
    """Mean cost of an arc, the dearest tenth left out: what a first order could not avoid sets no temperature."""
    costs = np.empty(len(sequence))
    arcs(core, sequence, costs)
    costs.sort()
    return float(np.mean(costs[: max(len(costs) - len(costs) // 10, 1)]))
