"""Several symmetric tours, found independently and then merged.

One search, however long, stays near its first tour: double bridges repair what is local, not how the rows of a board
connect. So the time is spent on many tours, each from greedy edges under its own random costs and annealed briefly.
Where they differ, edge assembly crossover (`pathkit.tour.symmetric.edge_assembly`) decides, again and again until no
tour gains from another. Briefly searched tours are enough for that, and more of them are better. Merging takes up to
half of the search; how long is told by how long the tours so far took to give the first what they have better. Where
iterations limit the search, it does so in stages (`Stopping.stages`), and the best tour of each is among the tours of
the next. Making and merging tours count as the iterations that take as long.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.kernel.costs import seeded
from pathkit.tour.kernel.greedy import greedy_tour
from pathkit.tour.kernel.work_queue import queue_all
from pathkit.tour.stopping import Stopping
from pathkit.tour.symmetric.ab_cycles import pair_memory
from pathkit.tour.symmetric.double_bridge import perturb_and_descend
from pathkit.tour.symmetric.edge_assembly import cross_over
from pathkit.tour.symmetric.lin_kernighan import descend, tour_cost
from pathkit.tour.symmetric.state import State, set_tour

Ints = NDArray[np.int32]
History = list[tuple[int, float]]

ROUNDS = 100  # perturbations between two looks at the clock
HOT = 0.5  # in mean costs of an edge, when annealing begins
NOISE = 1.0  # the greatest random increase of an edge's cost for a greedy start, as a part of it
GROWN = 0.9  # most of the search in which tours are made; merging follows
MERGING = 40.0  # what merging the tours takes, for each of them, in times that one adopts what is better in another
MERGED = 0.5  # most of the search that is kept for merging
FRESH = 0.12  # what a greedy start and the first descent from it take, in perturbations a point
ADOPTED = 0.003  # the same for one tour's adopting what is better in another
BREED = 25.0  # tours = this times the root of the perturbations a point
FEW = 1.0  # perturbations a point below which one tour gets them all
MOST = 300  # most tours
ROOM = 50_000_000  # most points of all tours, 4 bytes each
LEAST = 100  # fewest perturbations a tour
SHORTEST = 2  # perturbations a point of the longest first stage
LONG = 50  # perturbations a point of stages from which patience counts
SOON = 1e-9  # part of the search; avoids a division by zero
GOLDEN = 0.6180339887498949
MAKING = 0.5  # most of the tour-making time that greedy starts and first descents may take


class Population:
    """The tours of one search. The first adopts what is better in each new one; the others wait for `merge`."""

    def __init__(self, state: State, seed: int, stopping: Stopping, history: History) -> None:
        self.state = state
        self.draws = seeded(seed)
        self.random = np.random.default_rng(seed)
        self.stopping = stopping
        self.history = history
        self.runs = 0
        self.adopting = 0.0  # part of the stage that the first tour took to adopt what is better in the others
        self.pair = pair_memory(len(state.tour))
        self.tours = [state.tour.copy()]
        self.costs = [tour_cost(state)]
        history.append((0, self.costs[0]))

    def search(self, hot: float = HOT) -> Ints:
        """The cheapest tour found before the search is over; the first tour is annealed from ``hot``."""
        if self.over():
            return self.tours[0]
        self.load()
        began = self.stopping.fraction()
        self.keep(self.mend())
        n = len(self.state.tour)
        for brief in self.stopping.stages(max(SHORTEST * n, LEAST), LONG * n):
            if not brief:
                self.breed(hot, began)
                self.merge()
                began, hot = 0.0, HOT
            self.polish()
        return self.tours[0]

    def load(self) -> None:
        """Call each kernel with nothing to do: a first call reads its machine code, which must not be timed as work."""
        descend(self.state)
        perturb_and_descend(self.state, self.draws, 0.0, 0, 0)
        cross_over(self.state, self.pair, self.tours[0], self.tours[0], self.draws)

    def breed(self, hot: float, began: float) -> None:
        """Make the tours of one stage, of which the part to ``began`` is over; the first tour is annealed from ``hot``.

        Of earlier stages, whose tours are merged, only the first tour goes on.
        """
        del self.tours[1:], self.costs[1:]
        self.adopting = 0.0
        set_tour(self.state, self.tours[0])
        count, cost = self.measure(began, self.costs[0])
        for k in range(count):
            # what merging the tours will take, by what adding the others to the first took so far
            merging = min(max(MERGING * count * self.adopting / max(k, 1), 1.0 - GROWN), MERGED)
            now = self.stopping.fraction()
            end = now + max((1.0 - merging if count > 1 else 1.0) - now, 0.0) / (count - k)
            if k == 0:
                cost = self.anneal(cost, hot, end)
                if cost > self.costs[0] + self.state.rounding:
                    self.join(cost)
            else:
                set_tour(self.state, self.scattered())
                self.work(FRESH)
                self.join(self.anneal(self.mend(), HOT, end))
            if self.over():
                return

    def over(self) -> bool:
        """Whether to end now."""
        return self.stopping.over(f"{self.costs[0]:g}")

    def keep(self, cost: float) -> None:
        """Make the state's tour the first tour."""
        self.tours[0][:] = self.state.tour
        self.gained(0, self.costs[0] - cost)

    def gained(self, k: int, gain: float) -> None:
        """Note that tour ``k`` became cheaper."""
        self.costs[k] -= gain
        if k == 0 and gain > 0.0:
            self.stopping.gained = self.stopping.gained or gain > self.state.rounding
            self.history.append((self.stopping.done, self.costs[0]))

    def scattered(self) -> Ints:
        """A greedy tour under randomly increased costs."""
        state = self.state
        dearer = state.gap * (1.0 + NOISE * self.random.random(state.gap.shape))
        return greedy_tour(state.at, state.near, dearer, state.fixed, state.free)

    def mend(self) -> float:
        """Descend from the state's tour; returns its cost."""
        queue_all(self.state.queue, self.state.tour)
        return tour_cost(self.state) - descend(self.state)

    def measure(self, began: float, cost: float) -> tuple[int, float]:
        """How many tours to make; and the first tour's cost after trial perturbations, if time limits the search."""
        stopping = self.stopping
        if stopping.budget is not None:
            rounds = stopping.planned(0.0) * GROWN
            room = MAKING * rounds / (FRESH * len(self.state.tour))
        else:
            now = stopping.fraction()
            room = MAKING * GROWN / max(now - began, SOON)
            cost -= self.perturb(HOT * cost / len(self.state.tour))
            rounds = ROUNDS * GROWN / max(stopping.fraction() - now, SOON)
        each = rounds / len(self.state.tour)
        room = min(room, MOST, ROOM / len(self.state.tour))
        count = min(BREED * each**0.5, rounds / LEAST, room) if each > FEW else 1.0
        return max(int(count), 1), cost

    def anneal(self, cost: float, hot: float, end: float) -> float:
        """Perturb the state's tour at a falling temperature until ``end`` of the search; returns its cost."""
        began = self.stopping.fraction()
        while (now := self.stopping.fraction()) < end and not self.over():
            ahead = (end - now) / (end - began)
            cost -= self.perturb(hot * cost / len(self.state.tour) * ahead * ahead)
            if len(self.tours) == 1 and cost < self.costs[0]:
                self.keep(cost)
        return cost

    def perturb(self, heat: float) -> float:
        """A run of perturbations; returns the gain. Runs begin evenly all over the tour (steps of the golden ratio)."""
        rounds = self.stopping.left(ROUNDS)
        self.runs += 1
        base = int(self.runs * GOLDEN % 1.0 * len(self.state.tour))
        gain = perturb_and_descend(self.state, self.draws, heat, rounds, base)
        self.stopping.count(rounds)
        return gain

    def join(self, cost: float) -> None:
        """Add the state's tour; the cheaper of it and the first becomes the first and adopts the other's best parts."""
        self.tours.append(self.state.tour.copy())
        self.costs.append(cost)
        self.lead(len(self.tours) - 1)
        began = self.stopping.fraction()
        self.adopt(0, -1)
        self.adopting += self.stopping.fraction() - began

    def adopt(self, k: int, other: int) -> float:
        """Let tour ``k`` adopt what is better in another; returns the gain."""
        gain = cross_over(self.state, self.pair, self.tours[k], self.tours[other], self.draws)
        self.work(ADOPTED)
        self.gained(k, gain)
        return gain

    def work(self, each: float) -> None:
        """Count work that takes as long as ``each`` perturbations a point."""
        self.stopping.count(int(each * len(self.state.tour)))

    def lead(self, k: int) -> None:
        """Swap tour ``k`` and the first if it is cheaper."""
        if self.costs[k] < self.costs[0] - self.state.rounding:
            self.tours[0], self.tours[k] = self.tours[k], self.tours[0]
            self.costs[0], self.costs[k] = self.costs[k], self.costs[0]
            self.stopping.gained = True
            self.history.append((self.stopping.done, self.costs[0]))

    def merge(self) -> None:
        """Let tours adopt what is better in others, each from the next in a random ring, as long as any gains."""
        count = len(self.tours)
        total = 1.0
        while total > self.state.rounding and not self.over():
            ring = self.random.permutation(count).tolist()
            total = 0.0
            for k in range(count):
                total += self.adopt(ring[k - 1], ring[k])
                self.lead(ring[k - 1])
                if self.over():
                    return

    def polish(self) -> None:
        """Perturb the first tour and accept only improvements until the stage is over."""
        set_tour(self.state, self.tours[0])
        while not self.over():
            gain = self.perturb(0.0)
            if gain > self.state.rounding:
                self.keep(self.costs[0] - gain)
