"""What duals prove of a problem: the price of its cheapest 1-tree over all arcs.

The arcs of each such tree join the sparse graph, so that the next dual knows of them.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.tolerances import RELATIVE_ROUNDING
from pathkit.tour.bound.boruvka import blocks, every_pair
from pathkit.tour.bound.cuts import Cut, Cuts, compiled
from pathkit.tour.bound.last_stages import Rest
from pathkit.tour.bound.sparse_graph import Prices, Rim, join, rim_of
from pathkit.tour.bound.subgradient import Dual, set_prices
from pathkit.tour.kernel.candidates import by_time, near_both_ways, near_items, quadrant_points
from pathkit.tour.kernel.core import Core
from pathkit.tour.metric import MATRIX
from pathkit.tour.stopping import Stopping

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

WHOLE = 200  # items up to which the sparse graph holds every pair, for costs given as a matrix
FEW = 60  # the same for points
NEAR = 8  # above that: nearest items of each in the graph, and as many over all directions


class Proof:
    """What is proved of a problem, and the sparse graph by which; a proof ``took`` so many seconds at most."""

    def __init__(self, rest: Rest, length: float, stopping: Stopping) -> None:
        self.core, self.rules, self.length, self.stopping = rest.core, rest.rules, length, stopping
        n, m = len(self.core.first) - 1, len(self.core.owner)
        self.rim, self.own = rim_of(self.core, self.rules, rest.leave), blocks(self.core, self.rules)
        self.free = _directed(self.core, self.rim)
        self.whole = self.free or m > n
        self.near, self.tree = _near(self.core), (np.zeros(n - 2, dtype=np.int32), np.zeros(n - 2, dtype=np.int32))
        nothing = np.zeros(m)
        self.limit = np.full(n, np.inf)
        self.prices = Prices(nothing, nothing, nothing)
        # without tolls one arc stands for each pair: they only give the first tree something to begin with
        self.pairs = join(self.core, self.rules, self.near, False, self.prices, self.limit)
        self.best = self.took = 0.0

    def grow(self) -> None:
        """Let the last tree's arcs join the sparse graph."""
        arcs = _concatenate(self.near, (self.pairs.tail, self.pairs.head), self.tree)
        self.pairs = join(self.core, self.rules, arcs, self.whole, self.prices, self.limit)

    def value(self, dual: Dual, cuts: list[Cut], compact: Cuts | None = None) -> float:
        """The bound that the dual proves: the cheapest 1-tree over all arcs, less what the dual adds to any order."""
        m, begun = len(self.core.owner), self.stopping.elapsed()
        compact = compact or compiled(cuts, self.pairs, m)
        self.prices = Prices(np.zeros(m), np.zeros(m), np.zeros(len(self.pairs.tail)))
        worth = set_prices(self.core.owner, dual, compact, self.prices)
        rim = _tolled(self.rim, cuts, dual.multiplier)
        value = every_pair(self.core, self.rules, self.own, rim, self.pairs, self.prices, *self.tree) - worth
        value -= RELATIVE_ROUNDING * (abs(self.length) + sum(float(np.sum(np.abs(part))) for part in dual))
        self.best, self.took = max(self.best, value), max(self.took, self.stopping.elapsed() - begun)
        return value


def _tolled(rim: Rim, cuts: list[Cut], multiplier: Floats) -> Rim:
    """Item 0's arcs with the tolls of the cuts."""
    cost, away = rim.cost.copy(), np.maximum(rim.tail, rim.head)
    for cut, toll in zip(cuts, multiplier.tolist(), strict=True):
        for own in cut.sets:
            if own[0] == 0:
                cost[np.isin(away, own)] += toll
    return rim._replace(cost=cost)


def _concatenate(*arcs: tuple[Ints, Ints]) -> tuple[Ints, Ints]:
    tail, head = zip(*arcs, strict=True)
    return np.concatenate(tail), np.concatenate(head)


def _directed(core: Core, rim: Rim) -> bool:
    """Whether premiums can raise the bound.

    Where every order costs the same backwards and every variant is its own reverse, changing the premiums' signs leaves
    the bound as it is. The bound is concave, so zero premiums are then as good as any. Points without variants are left
    without them, too, where only the ends differ: little is to be gained there.
    """
    turned = np.array_equal(core.mate, np.arange(len(core.mate)))
    one_way = not (turned and core.two_way and len(core.after) == 0 and len(np.unique(core.low)) == 1)
    alike = len(rim.tail) == 2 * rim.out and np.array_equal(rim.cost[: rim.out], rim.cost[rim.out :])
    return one_way or (len(core.owner) >= len(core.first) and not alike)


def _near(core: Core) -> tuple[Ints, Ints]:
    """Pairs of items that the ascent starts with, by one variant of each."""
    n = len(core.first) - 1
    if n <= (WHOLE if core.pricing.kind == MATRIX else FEW):
        every = np.argwhere(np.triu(np.ones((n, n), dtype=bool), 1)).astype(np.int32)
        return core.first[every.ravel()], core.first[every[:, ::-1].ravel()]
    tables = [near_items(core, NEAR)]
    if len(core.costs):
        tables += list(near_both_ways(core, NEAR))
    if core.pricing.kind != MATRIX:
        heads = core.first[:-1]
        tables.append(quadrant_points(by_time(core.pricing, (core.entry[heads] + core.exit[heads]) / 2.0), NEAR))
    one = np.concatenate([np.repeat(np.arange(n, dtype=np.int32), table.shape[1]) for table in tables])
    two = np.concatenate([table.ravel() for table in tables])
    return core.first[np.concatenate([one, two])], core.first[np.concatenate([two, one])]
