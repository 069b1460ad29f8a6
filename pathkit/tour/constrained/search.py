"""Search for problems with variants, precedence, stages or costs given as a matrix."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.constrained.annealing import anneal
from pathkit.tour.constrained.best_variants import choose_variants
from pathkit.tour.constrained.perturbation import perturb_and_descend
from pathkit.tour.constrained.state import State, new_state, settle
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import arcs, seeded, total
from pathkit.tour.kernel.work_queue import queue_all
from pathkit.tour.metric import MATRIX
from pathkit.tour.stopping import Stopping

Ints = NDArray[np.int32]

NEAR = 10
WORTH = 400  # proposals that take about as long as one perturbation with its descent
ROUNDS = 200  # perturbations between two looks at the clock
PROPOSALS = 20_000  # proposals between two looks at the clock
PACE = 3_000_000  # proposals a second, to plan a search that is limited by time alone
HEAT_OF_ROUNDS = 0.5  # at the start of a round of perturbations, in mean costs of an arc; it falls to zero
HOT, COLD = 1.2, 0.03  # the same at the start and end of a round of proposals
UNHURRIED = 50_000  # proposals an item for a full round
REHEATS = 8  # rounds, each from the best order so far, if there is time for all
FEW = 32  # items below which perturbations have too few choices
# With costs given as a matrix, no chain of small moves may lead from one good order to another. Proposals (A) cross
# over, perturbations (S) find the local minimum; + restarts from the first order, > continues from the best of all.
MIXED_ROUNDS = (*3 * ("+A", "S", "A", "S", "A", "S"), *3 * (">A", "S"))
BRIEF_ROUNDS = ("+A", "S")


def budget(core: Core, effort: float) -> int:
    """Proposals for an effort."""
    n = len(core.first) - 1
    return int(effort * (100_000 + 10_000 * min(n, 500) + 2_000 * max(n - 500, 0)))


def plan(core: Core, stopping: Stopping) -> tuple[str, ...]:
    """The rounds that the effort or the time allows."""
    n = len(core.first) - 1
    each = (stopping.budget if stopping.budget is not None else PACE * (stopping.seconds or 0.0)) / n
    if core.pricing.kind == MATRIX or n <= FEW:
        return MIXED_ROUNDS if each >= UNHURRIED else BRIEF_ROUNDS
    return ("S",) * int(min(max(each / UNHURRIED, 1), REHEATS))


def search(core: Core, start: Ints, seed: int, stopping: Stopping, history: list[tuple[int, float]]) -> Ints:
    """The cheapest sequence found from ``start``."""
    first = start.copy()
    choose_variants(core, first)
    history.append((0, total(core, first)))
    if len(first) < 3 or stopping.over():
        return first
    state = new_state(core, first, NEAR)
    random = seeded(seed)
    queue_all(state.queue, core.owner[first])
    perturb_and_descend(state, random, heat=0.0, rounds=0)
    first = state.sequence.copy()
    best, found, lowest = first, first, np.inf
    rounds = plan(core, stopping)
    for number, kind in enumerate(rounds):
        if kind[0] in "+>":
            found = first if kind[0] == "+" else best
        found = found.copy()
        span = (number / len(rounds), (number + 1) / len(rounds))
        if kind[-1] == "A":
            _propose(state, found, random, span, stopping)
        else:
            _perturb(state, found, random, span, stopping)
        choose_variants(core, found)
        cost = total(core, found)
        if cost < lowest:
            best, lowest = found, cost
            history.append((stopping.done, lowest))
    return best


def _perturb(
    state: State, best: Ints, random: NDArray[np.uint64], span: tuple[float, float], stopping: Stopping
) -> None:
    """One round of perturbations, cooling from HEAT_OF_ROUNDS to zero; ``best`` becomes the cheapest order seen."""
    state.sequence[:] = best
    settle(state)
    hot = HEAT_OF_ROUNDS * scale(state.core, best)
    lowest = cost = total(state.core, best)
    while not stopping.over(f"{lowest:g}") and (ahead := _ahead(span, stopping)) > 0.0:
        rounds = -(-stopping.left(ROUNDS * WORTH) // WORTH)
        cost -= perturb_and_descend(state, random, hot * ahead, rounds)
        stopping.count(rounds * WORTH)
        if cost < lowest - state.rounding:
            best[:] = state.sequence
            lowest = cost


def _propose(
    state: State, best: Ints, random: NDArray[np.uint64], span: tuple[float, float], stopping: Stopping
) -> None:
    """One round of proposals, cooling from HOT to COLD; ``best`` becomes the cheapest order seen."""
    mean = scale(state.core, best)
    state.sequence[:] = best
    settle(state)
    lowest = total(state.core, best)
    while not stopping.over(f"{lowest:g}") and (ahead := _ahead(span, stopping)) > 0.0:
        heat = mean * (COLD + (HOT - COLD) * ahead * ahead)
        steps = stopping.left(PROPOSALS)
        lowest = anneal(state.core, state.near, state.sequence, best, state.place, state.scratch, random, heat, steps)
        stopping.count(steps)


def _ahead(span: tuple[float, float], stopping: Stopping) -> float:
    """The part of a round that is still ahead, 1 to 0; the round covers ``span`` of the whole search."""
    return (span[1] - stopping.fraction()) / (span[1] - span[0])


def scale(core: Core, sequence: Ints) -> float:
    """Mean cost of an arc without the dearest tenth: arcs that a first order could not avoid set no temperature."""
    costs = np.empty(len(sequence))
    arcs(core, sequence, costs)
    costs.sort()
    return float(np.mean(costs[: max(len(costs) - len(costs) // 10, 1)]))
