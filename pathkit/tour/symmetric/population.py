"""Several plain tours found apart from each other, then merged.

One search, however long, stays where its first tour led it: kicks mend what is near, not how the rows of a board hang
together. So the time goes into many tours, each from greedy edges under costs of its own, each annealed for a little
while; what they disagree about is decided by edge assembly crossover (`pathkit.tour.symmetric.edge_assembly`), over
and over until no tour gains from another. Tours that were searched only briefly are enough for that, and the more
there are the better.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.kernel.costs import seeded
from pathkit.tour.stopping import Watch
from pathkit.tour.symmetric.ab_cycles import pair_memory
from pathkit.tour.symmetric.double_bridge import kick_and_mend
from pathkit.tour.symmetric.edge_assembly import absorb
from pathkit.tour.symmetric.greedy import greedy_tour
from pathkit.tour.symmetric.lin_kernighan import descend, tour_cost
from pathkit.tour.symmetric.state import Web, lay, queue_all

Ints = NDArray[np.int32]
History = list[tuple[int, float]]

KICKS = 100  # between two looks at the clock
HOT = 0.5  # of the mean cost of an edge, when annealing begins
NOISE = 1.0  # by how much of itself an edge may seem dearer to a greedy start
GROWN = 0.85  # part of the search in which tours are made; merging follows
BREED = 8.0  # tours for each root of the kicks a point gets
FEW = 5.0  # kicks for each point below which one tour gets them all
MOST = 300  # tours
LEAST = 400  # kicks a tour
SOON = 1e-9  # part of the search; as good as no time
GOLDEN = 0.6180339887498949
MAKING = 0.5  # most of the time for tours that may go into their greedy starts and first descents


class Population:
    """The tours of one search. The first takes over at once what is better in a new one; the others wait."""

    def __init__(self, web: Web, seed: int, watch: Watch, history: History) -> None:
        self.web = web
        self.state = seeded(seed)
        self.random = np.random.default_rng(seed)
        self.watch = watch
        self.history = history
        self.runs = 0
        self.pair = pair_memory(len(web.tour))
        self.tours = [web.tour.copy()]
        self.costs = [tour_cost(web)]
        history.append((0, self.costs[0]))

    def search(self, hot: float = HOT) -> Ints:
        """The cheapest tour found until the watch is over; the first tour of all is annealed from ``hot``."""
        if self.over():
            return self.tours[0]
        began = self.watch.fraction()
        cost = self.mend()
        self.keep(cost)
        count, cost = self.measure(began, cost)
        span = max((GROWN if count > 1 else 1.0) - began, 0.0) / count
        for k in range(count):
            end = began + span * (k + 1)
            if k == 0:
                self.anneal(cost, hot, end)
            else:
                lay(self.web, self.scattered())
                self.join(self.anneal(self.mend(), HOT, end))
            if self.over():
                return self.tours[0]
        self.merge()
        self.polish()
        return self.tours[0]

    def over(self) -> bool:
        """Whether to end now."""
        return self.watch.over(f"{self.costs[0]:g}")

    def keep(self, cost: float) -> None:
        """Make the web's tour the first."""
        self.tours[0][:] = self.web.tour
        self.gained(0, self.costs[0] - cost)

    def gained(self, k: int, gain: float) -> None:
        """Note that tour ``k`` became cheaper."""
        self.costs[k] -= gain
        if k == 0 and gain > 0.0:
            self.history.append((self.watch.done, self.costs[0]))

    def scattered(self) -> Ints:
        """A greedy tour under costs that are dearer by chance."""
        web = self.web
        dearer = web.gap * (1.0 + NOISE * self.random.random(web.gap.shape))
        return greedy_tour(web.at, web.near, dearer, web.fixed, web.free)

    def mend(self) -> float:
        """Descend from the web's tour; returns its cost."""
        queue_all(self.web)
        return tour_cost(self.web) - descend(self.web)

    def measure(self, began: float, cost: float) -> tuple[int, float]:
        """How many tours to make; and the first one's cost after the kicks that told, where only time counts."""
        watch = self.watch
        room = float(MOST)
        if watch.budget is not None:
            kicks = watch.budget * GROWN
        else:
            now = watch.fraction()
            room = MAKING * GROWN / max(now - began, SOON)
            cost -= self.kick(HOT * cost / len(self.web.tour))
            kicks = KICKS * GROWN / max(watch.fraction() - now, SOON)
        each = kicks / len(self.web.tour)
        count = min(BREED * each**0.5, kicks / LEAST, room, MOST) if each > FEW else 1.0
        return max(int(count), 1), cost

    def anneal(self, cost: float, hot: float, end: float) -> float:
        """Kick the web's tour ever more coldly until ``end`` of the search; returns its cost."""
        began = self.watch.fraction()
        while (now := self.watch.fraction()) < end and not self.over():
            ahead = (end - now) / (end - began)
            cost -= self.kick(hot * cost / len(self.web.tour) * ahead * ahead)
            if len(self.tours) == 1 and cost < self.costs[0]:
                self.keep(cost)
        return cost

    def kick(self, heat: float) -> float:
        """A run of kicks; returns the gain. Runs begin all over the tour, evenly (steps of the golden ratio)."""
        kicks = self.watch.left(KICKS)
        self.runs += 1
        base = int(self.runs * GOLDEN % 1.0 * len(self.web.tour))
        gain = kick_and_mend(self.web, self.state, heat, kicks, base)
        self.watch.count(kicks)
        return gain

    def join(self, cost: float) -> None:
        """Add the web's tour; the first tour becomes the better of the two and takes over what the other has better."""
        self.tours.append(self.web.tour.copy())
        self.costs.append(cost)
        self.lead(len(self.tours) - 1)
        self.gained(0, absorb(self.web, self.pair, self.tours[0], self.tours[-1], self.state))

    def lead(self, k: int) -> None:
        """Have tour ``k`` and the first change places if it is cheaper."""
        if self.costs[k] < self.costs[0]:
            self.tours[0], self.tours[k] = self.tours[k], self.tours[0]
            self.costs[0], self.costs[k] = self.costs[k], self.costs[0]
            self.history.append((self.watch.done, self.costs[0]))

    def merge(self) -> None:
        """Have tours take over what is better in others, each from the next in a ring by chance, while any gains."""
        count = len(self.tours)
        total = 1.0
        while total > self.web.slack and not self.over():
            ring = self.random.permutation(count).tolist()
            total = 0.0
            for k in range(count):
                one, other = ring[k - 1], ring[k]
                gain = absorb(self.web, self.pair, self.tours[one], self.tours[other], self.state)
                self.gained(one, gain)
                total += gain
                self.lead(one)
                if self.over():
                    return

    def polish(self) -> None:
        """Kick the first tour and take only what makes it cheaper until the watch is over."""
        lay(self.web, self.tours[0])
        while not self.over():
            gain = self.kick(0.0)
            if gain > self.web.slack:
                self.keep(self.costs[0] - gain)
