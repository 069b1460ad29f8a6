"""Search for problems with variants, precedence, stages or costs given as a matrix.

It runs in stages (`Stopping.stages`), each from the best order so far or from the first, and keeps the best of all.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.constrained.best_variants import choose_variants
from pathkit.tour.constrained.parts import Parts, greedy_order, parts_of, spelled_out
from pathkit.tour.constrained.perturbation import perturb_and_descend
from pathkit.tour.constrained.state import new_state, settle
from pathkit.tour.kernel.candidates import near_items
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import arcs, seeded, total
from pathkit.tour.kernel.work_queue import queue_all
from pathkit.tour.metric import MATRIX
from pathkit.tour.stopping import Stopping

Ints = NDArray[np.int32]
History = list[tuple[int, float]]

NEAR = 10
WORTH = 400  # what one perturbation with its descent takes of the budget
WORTH_REBUILDING = 3  # the same for one change of rebuilding
ROUNDS = 200  # perturbations between two looks at the clock
CHANGES = 2_000  # changes of rebuilding between two looks at the clock
PACE = 3_000_000  # of the budget in a second, to plan a search that is limited by time alone
HEAT_OF_ROUNDS = 0.5  # at the start of a round of perturbations, in mean costs of an arc; it falls to zero
HOT, COLD = 1.0, 0.02  # the same at the start and end of a round of rebuilding
HOTTER = (1.0, 3.0)  # times that, in turn: where a few arcs are dear, other basins are reached when it is hotter
UNHURRIED = 50_000  # of the budget for an item: a full round of perturbations
REHEATS = 8  # rounds of a stage, each from the order that the last one found, if there is time for all
UNHURRIED_REBUILDING = 30_000  # of the budget for an item: a full round of rebuilding
HURRIED_REBUILDING = 1_000  # of the budget for an item: with less, perturbations find more
POLISH = 0.1  # part of a round of rebuilding in which perturbations go on from what it found
TRIALS = (0.1, 0.35, 0.4, 0.44)
"""Where parts of a stage end: rebuilding, orders by chains, crossing them, what found less; the other has the rest."""
SHORTEST = 500  # of the budget for an item: the longest first stage
LONG = 5_000  # of the budget for an item: stages from which patience counts
PARTS = 0.85  # part of a stage that goes to the order of the parts, where a board has them
HEAT_OF_PARTS = 0.08  # at the start of such rounds: their first order is better than others
FEW = 32  # items below which perturbations have too few choices


def budget(core: Core, effort: float) -> int:
    """What a search of an effort may spend."""
    n = len(core.first) - 1
    return int(effort * (100_000 + 10_000 * min(n, 500) + 2_000 * max(n - 500, 0)))


def search(core: Core, start: Ints, seed: int, stopping: Stopping, history: History) -> Ints:
    """The cheapest sequence found from ``start``."""
    first = start.copy()
    choose_variants(core, first)
    history.append((0, total(core, first)))
    if len(first) < 3 or stopping.over():
        return first
    parts = parts_of(core)
    by_part = None if parts is None else _ByPart(parts, seed, stopping)
    if by_part is not None:
        spelled = spelled_out(by_part.parts, by_part.search.best)
        choose_variants(core, spelled)
        if total(core, spelled) < total(core, first):
            first = spelled
        else:
            by_part = None  # what is tied lies far apart
    return _Search(core, first, seed, stopping, history).run(by_part)


class _Search:
    """One search: the first order after a descent, from which rebuilding begins, and the best of all."""

    def __init__(self, core: Core, first: Ints, seed: int, stopping: Stopping, history: History) -> None:
        self.core = core
        self.fixed = 0.0  # what is to be added to costs where they are told
        self.stopping = stopping
        self.history = history
        self.random = seeded(seed)
        self.state = new_state(core, first, NEAR)
        queue_all(self.state.queue, core.owner[first])
        perturb_and_descend(self.state, self.random, heat=0.0, rounds=0)
        self.lowest = np.inf
        self.first = self.best = self.keep(self.state.sequence.copy())

    def run(self, by_part: _ByPart | None = None) -> Ints:
        """The best order after all stages."""
        n = len(self.first)
        table = self.core.pricing.kind == MATRIX or n <= FEW
        for brief in self.stopping.stages(SHORTEST * n, LONG * n):
            each = self.stopping.planned(PACE) / n
            if by_part is not None:
                self.keep(by_part.round((0.0, 1.0 if brief else PARTS), 0.0 if brief else HEAT_OF_PARTS))
                self.perturb(self.best.copy(), (PARTS, 1.0), HEAT_OF_PARTS)
            elif brief:
                self.perturb(self.best.copy(), (0.0, 1.0), 0.0)
            elif table and each > HURRIED_REBUILDING:
                self.compete(each)
            else:
                found = self.best
                for span in _spans(min(each / UNHURRIED, REHEATS)):
                    found = self.perturb(found.copy(), span, HEAT_OF_ROUNDS)
        return self.best

    def keep(self, found: Ints) -> Ints:
        """Give an order its best variants; the best of all is kept. Returns it."""
        choose_variants(self.core, found)
        cost = total(self.core, found)
        if cost < self.lowest - self.state.rounding:
            self.best, self.lowest = found.copy(), cost
            self.stopping.gained = True
            self.history.append((self.stopping.done, cost))
        return found

    def perturb(self, best: Ints, span: tuple[float, float], hot: float) -> Ints:
        """One round of perturbations, cooling to zero from ``hot`` mean costs of an arc; ``span`` is its part of the
        stage. ``best`` becomes the cheapest order seen."""
        state, stopping = self.state, self.stopping
        state.sequence[:] = best
        settle(state)
        heat = hot * scale(self.core, best)
        lowest = cost = total(self.core, best)
        while not stopping.over(f"{self.lowest + self.fixed:g}") and (ahead := _ahead(span, stopping)) > 0.0:
            rounds = -(-stopping.left(ROUNDS * WORTH) // WORTH)
            cost -= perturb_and_descend(state, self.random, heat * ahead * ahead, rounds)
            stopping.count(rounds * WORTH)
            if cost < lowest - state.rounding:
                best[:] = state.sequence
                lowest = cost
        return self.keep(best)

    def compete(self, each: float) -> None:
        """Rebuild. Where chains can be searched, try both for a while; what found the cheaper order gets more.

        ``each`` is the stage's budget for an item.
        """
        from pathkit.tour.constrained import chains
        from pathkit.tour.constrained.order_population import OrderPopulation

        if not chains.suits(self.core) or each < UNHURRIED_REBUILDING:
            self.rebuild(each, (0.0, 1.0))
            return
        tried, filled, bred, second = TRIALS
        rebuilt = self.rebuild(each, (0.0, tried))
        mean = scale(self.core, self.first)
        own = OrderPopulation(self.core, self.first, mean, self.state.rounding, self.random, self.stopping)
        own.fill(each, filled)
        own.breed(bred)
        chains_won = total(self.core, self.keep(own.best())) < rebuilt - self.state.rounding
        if chains_won:
            self.rebuild(each, (bred, second))
        own.include(self.best)
        own.breed(1.0 if chains_won else second)
        self.keep(own.best())
        if not chains_won:
            self.rebuild(each, (second, 1.0))

    def rebuild(self, each: float, part: tuple[float, float]) -> float:
        """Rebuild the first order again and again, cooling from HOT to COLD, and perturb what that finds.

        Returns the cost of the best order that it found.
        """
        from pathkit.tour.constrained.linked_order import new_linked
        from pathkit.tour.constrained.rebuilding import rebuild

        ring, stopping = new_linked(self.core, self.state.near), self.stopping
        mean = scale(self.core, self.best)
        lowest = np.inf
        for number, (begin, end) in enumerate(_spans(each / UNHURRIED_REBUILDING, part)):
            hot = mean * HOTTER[number % len(HOTTER)]
            span = (begin, end - POLISH * (end - begin))
            sequence = self.first.copy()
            found = sequence.copy()
            while not stopping.over(f"{self.lowest + self.fixed:g}") and (ahead := _ahead(span, stopping)) > 0.0:
                heat = hot * (COLD + (HOT - COLD) * ahead * ahead)
                changes = -(-stopping.left(CHANGES * WORTH_REBUILDING) // WORTH_REBUILDING)
                rebuild(ring, sequence, found, self.random, heat, changes)
                stopping.count(changes * WORTH_REBUILDING)
            self.keep(found)
            lowest = min(lowest, total(self.core, self.perturb(found, (span[1], end), HEAT_OF_ROUNDS * POLISH)))
        return float(lowest)


class _ByPart:
    """The search for an order of the parts of a board, whose items `spelled_out` finds."""

    def __init__(self, parts: Parts, seed: int, stopping: Stopping) -> None:
        first = greedy_order(parts.core, near_items(parts.core, NEAR))
        choose_variants(parts.core, first)
        self.parts = parts
        self.search = _Search(parts.core, first, seed, stopping, [])
        self.search.fixed = parts.fixed

    def round(self, span: tuple[float, float], hot: float) -> Ints:
        """An order of all items after one round of perturbations of the best order of the parts."""
        return spelled_out(self.parts, self.search.perturb(self.search.best.copy(), span, hot))


def _spans(rounds: float, part: tuple[float, float] = (0.0, 1.0)) -> list[tuple[float, float]]:
    """A part of a stage, cut into equal ones: so many as a whole stage has rounds, in proportion, and at least one."""
    begin, end = part
    count = max(int(rounds * (end - begin)), 1)
    return list(pairwise(begin + (end - begin) * number / count for number in range(count + 1)))


def _ahead(span: tuple[float, float], stopping: Stopping) -> float:
    """The part of a round that is still ahead, 1 to 0."""
    return (span[1] - stopping.fraction()) / (span[1] - span[0])


def scale(core: Core, sequence: Ints) -> float:
    """Mean cost of an arc without the dearest tenth: arcs that a first order could not avoid set no temperature."""
    costs = np.empty(len(sequence))
    arcs(core, sequence, costs)
    costs.sort()
    return float(np.mean(costs[: max(len(costs) - len(costs) // 10, 1)]))
