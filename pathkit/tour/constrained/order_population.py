"""Several orders under rules, found by chains of exchanges and then crossed.

Where costs are as good as random, two searches end in basins that differ all over the order, and no kick leads from one
to the other. So a short search makes each of many orders. Then a stretch of one takes over the order in which another
has its items (order-based crossover: Syswerda, in Handbook of Genetic Algorithms, 1991), which keeps every rule that
both keep, and chains mend the rest. A new order replaces the one it came from if it is cheaper, or else the dearest.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.constrained.chains import KEPT, new_chained, search_chains
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import total
from pathkit.tour.stopping import Stopping

Ints = NDArray[np.int32]

WORTH = 300  # of the budget for one kick with its descent by chains
WORTH_DESCENT = 20  # of the budget for an item: the descent after orders are crossed
KICKS = 100  # of a search between two looks at the clock and at the penalty
KICKS_CROSSED = 60  # after orders are crossed
HOT = 0.3  # when a search begins, in mean costs of an arc; it falls to zero
WARM = 0.1  # after orders are crossed
PENALTY = (5.0, 1_000.0)  # of a broken rule, in mean costs of an arc: at first, and the most
STRICT = 15.0  # the same after orders are crossed
SELDOM, OFTEN = 0.2, 0.6  # of kicks after which no rule is broken: between them the penalty stays
STEEPER = 1.3  # factor by which the penalty changes
ORDERS = 0.03  # times the root of the budget for an item
FEWEST, MOST = 4, 60  # orders
SHORTEST = 0.1  # part of an order's items in the shortest stretch that is crossed


class OrderPopulation:
    """Orders (n,) of a problem for which chains can be searched, each with its cost."""

    def __init__(
        self, core: Core, first: Ints, mean: float, rounding: float, draws: NDArray[np.uint64], stopping: Stopping
    ) -> None:
        """``first`` is where every search begins; ``mean`` is the scale of heat and penalty."""
        self.core, self.first, self.mean, self.rounding, self.stopping = core, first, mean, rounding, stopping
        self.chained = new_chained(core, max(total(core, first), 1.0))
        self.draws = draws
        self.random = np.random.default_rng(int(draws[0]))
        self.penalty = PENALTY[0]
        self.orders: list[Ints] = []
        self.costs: list[float] = []

    def fill(self, each: float, end: float) -> None:
        """Search orders until the part ``end`` of the stage is over; ``each`` is the stage's budget for an item."""
        for ahead in range(min(max(int(ORDERS * each**0.5), FEWEST), MOST), 0, -1):
            if self.over():
                return
            began = self.stopping.fraction()
            self.orders.append(self.searched(began, began + (end - began) / ahead))
            self.costs.append(total(self.core, self.orders[-1]))

    def include(self, order: Ints) -> None:
        """Replace the dearest order by one that another search found."""
        self.replace(-1, order)

    def breed(self, end: float) -> None:
        """Cross orders until the part ``end`` of the stage is over."""
        if len(self.orders) < FEWEST:
            return
        while self.stopping.fraction() < end and not self.over():
            one, other = self.random.choice(len(self.orders), 2, replace=False).tolist()
            crossed = self.crossed(self.orders[one], self.orders[other])
            best = crossed.copy()
            self.kick(crossed, best, WARM, STRICT, KICKS_CROSSED)
            self.stopping.count(WORTH_DESCENT * len(best))
            self.replace(one, best)

    def best(self) -> Ints:
        """The cheapest order."""
        return self.orders[int(np.argmin(self.costs))].copy() if self.orders else self.first.copy()

    def over(self) -> bool:
        """Whether to end now."""
        return self.stopping.over(f"{min(self.costs):g}" if self.costs else "")

    def searched(self, began: float, end: float) -> Ints:
        """The cheapest order of one search, from ``began`` to ``end`` of the stage.

        The penalty of a broken rule follows how often the order breaks none.
        """
        sequence = self.first.copy()
        found = sequence.copy()
        while (now := self.stopping.fraction()) < end and not self.over():
            ahead = (end - now) / (end - began)
            kept = self.kick(sequence, found, HOT * ahead * ahead, self.penalty, KICKS)
            if kept < SELDOM:
                self.penalty = min(self.penalty * STEEPER, PENALTY[1])
            elif kept > OFTEN:
                self.penalty /= STEEPER
        return found

    def kick(self, sequence: Ints, best: Ints, heat: float, penalty: float, most: int) -> float:
        """Kick ``sequence``; ``best`` becomes the cheapest order seen that keeps all rules.

        Returns the part of the kicks after which no rule was broken. Heat and penalty are in mean costs of an arc.
        """
        rounds = max(-(-self.stopping.left(most * WORTH) // WORTH), 1)
        mean = self.mean
        search_chains(self.chained, sequence, best, self.draws, heat * mean, penalty * mean, self.rounding, rounds)
        self.stopping.count(rounds * WORTH)
        return float(self.chained.counters[KEPT]) / rounds

    def crossed(self, one: Ints, other: Ints) -> Ints:
        """One order, a random stretch of which is in the other's order; item 0 stays first."""
        n = len(one)
        size = int(self.random.integers(int(n * SHORTEST) + 2, n))
        begin = int(self.random.integers(1, n - size + 1))
        place = np.empty(n, dtype=np.int32)
        place[other] = np.arange(n, dtype=np.int32)
        crossed = one.copy()
        stretch = one[begin : begin + size]
        crossed[begin : begin + size] = stretch[np.argsort(place[stretch], kind="stable")]
        return crossed

    def replace(self, k: int, order: Ints) -> None:
        """Put an order in the place of the ``k``-th if it is cheaper, or else of the dearest; never one twice."""
        cost = total(self.core, order)
        same = (known for known, own in zip(self.orders, self.costs, strict=True) if abs(own - cost) <= self.rounding)
        if not self.orders or any(np.array_equal(known, order) for known in same):
            return
        if k < 0 or cost >= self.costs[k]:
            k = int(np.argmax(self.costs))
        if cost < self.costs[k]:
            self.orders[k], self.costs[k] = order.copy(), cost
