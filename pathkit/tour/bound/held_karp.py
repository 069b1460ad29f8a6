"""What no order can cost less than: Held-Karp ascent on 1-trees (Operations Research 18(6), 1970; Mathematical
Programming 1, 1971), carried over to items with variants, directions and rules.

**The relaxation.** Every item i has a weight w(i) and every variant v a premium p(v). Going from variant u of item i to
variant v of item j is priced at

    cost(u, v) + w(i) + w(j) + p(u) - p(v).

An order enters and leaves every item once, *at the same variant*: the premiums cancel, every weight counts twice, and
its cost is its price less 2·Σw. Whatever it is, its arcs are a spanning tree of the items other than item 0, one arc
out of item 0 and one into it (a 1-tree). So the cheapest 1-tree, each pair of items at the cheapest arc between them,
less 2·Σw is a lower bound for *any* weights and premiums.

- Weights pull every item's degree to two. Premiums pull leaving and entering together: without them an item costs
  nothing to cross, by entering one variant and leaving another; and the tree would run every one-way street the cheap
  way. With one variant an item they are the multipliers of an assignment, and this is the bound of asymmetric tours.
- Precedence bars arcs: what must come before an item cannot stand behind it, nor directly before it if something else
  must come between; what waits for others cannot come first, nor what others wait for last. No order has such an arc.
- Stages stand together in every order: its arcs within a stage are a path, so that the 1-tree is one spanning tree a
  stage and one arc from each to the next.

Orders that break a rule in a way no arc shows are let through; that can lower the bound, never raise it above an order.

**Cuts** carry the bound past Held and Karp's: inequalities that no order breaks, but averages of 1-trees do (`cuts`).
What a cut's multiplier puts on an order is at most the multiplier times its right-hand side, which is taken off again.

**The ascent** finds weights, premiums and multipliers on a sparse graph, which alone would bound nothing: a tree over
few arcs is dearer than one over all. The bound is read off the cheapest 1-tree over *all* arcs (`forest.every_pair`);
the arcs it uses join the sparse graph, cuts are looked for, and a new round begins. Work is counted in arcs, never in
seconds: the same input has the same bound on every machine.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.tolerances import RELATIVE_ROUNDING
from pathkit.tour.bound.boruvka import blocks, every_pair
from pathkit.tour.bound.cuts import Cut, broken, compiled, renewed
from pathkit.tour.bound.sparse_graph import Prices, arc_costs, join, rim_of, rules_of
from pathkit.tour.bound.subgradient import Dual, Grid, ascend, set_prices
from pathkit.tour.kernel.candidates import near_both_ways, near_items, quadrant_points
from pathkit.tour.kernel.core import Core
from pathkit.tour.metric import MATRIX, TIME

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

WHOLE = 200  # items up to which the graph holds every pair of a matrix
FEW = 60  # the same for points
NEAR = 8  # items nearest to each that it holds above that, and as many in all directions
ROUNDS = 8, 6  # ascents without variants or directions, and with them ...
SMALL = 2_800  # ... which make cuts many: smaller problems have more rounds
WORK = 7e7, 5e7  # of one ascent
ALL = 5e8  # work after which no more follow
PAIR = 10  # work of a pair of items in each step, that of an arc being 1; ALL are two seconds or three
FEWEST, MOST = 75, 1200  # steps of an ascent
LITTLE = 1e-5  # of the length, a gain that three rounds together do not stop for
MARGIN = 1.0  # of the mean arc, by which an arc may be dearer than the tree's at its items, ...
LEAK = 0.01  # ... doubled when the tree over every pair is by so much of the length cheaper than the graph's
CROWD = 8  # items in a cell of the finest grid


def lower_bound(core: Core, length: float) -> float:
    """Lower bound on the cost of any order; ``length``, that of a known one, only guides the steps."""
    n, m = len(core.first) - 1, len(core.owner)
    if n < 3:
        return 0.0
    rules = rules_of(core)
    rim, own = rim_of(core, rules), blocks(core, rules)
    free = _directed(core)
    whole = free or m > n
    grids = _grid(core, core.first[:-1]), _grid(core, np.arange(m))
    near, tree = _near(core), (np.zeros(n - 2, dtype=np.int32), np.zeros(n - 2, dtype=np.int32))
    nothing = np.zeros(m)
    limit = np.full(n, np.inf)
    pairs = join(core, rules, near, whole, Prices(nothing, nothing, nothing), limit)
    prices = Prices(nothing, nothing, np.zeros(len(pairs.tail)))
    best = every_pair(core, rules, own, rim, pairs, prices, *tree) * (1.0 - RELATIVE_ROUNDING)
    if not np.isfinite(best):
        return 0.0
    dual, cuts = Dual(np.zeros(n), np.zeros(m), np.zeros(0)), list[Cut]()
    kept, margin = (dual, cuts), MARGIN * length / n
    work, idle = 0.0, 0
    rounds = ROUNDS[whole] + (SMALL // n if whole else 0)
    for round_ in range(rounds):
        pairs = join(core, rules, _together(near, (pairs.tail, pairs.head), tree), whole, prices, limit)
        compact = compiled(cuts, pairs, m)
        dual = Dual(dual.weight.copy(), dual.premium.copy(), np.array([cut.multiplier for cut in cuts]))
        each = PAIR * len(pairs.one) + len(pairs.tail)
        steps = int(min(max(WORK[whole] / each, FEWEST), MOST))
        reached, average = ascend(pairs, rim, core.owner, grids, compact, dual, free, length, steps)
        prices = Prices(np.zeros(m), np.zeros(m), np.zeros(len(pairs.tail)))
        worth = set_prices(core.owner, dual, compact, prices)
        value = every_pair(core, rules, own, rim, pairs, prices, *tree) - worth
        value -= RELATIVE_ROUNDING * (abs(length) + sum(float(np.sum(np.abs(part))) for part in dual))
        work += steps * each
        idle = 0 if value > best + LITTLE * length else idle + 1
        best, better = max(best, value), value > best
        if length - best <= RELATIVE_ROUNDING * length or work > ALL or idle == 3 or round_ == rounds - 1:
            break
        if reached - value > LEAK * length:
            margin *= 2.0
        if whole:
            limit = _dearest(core, prices, tree) + margin
        if reached > length and not better:
            # too thin a graph to hold any order: back to what was good, and leave less out
            (dual, cuts), limit = kept, np.full(n, np.inf)
            continue
        cuts = renewed(cuts, dual.multiplier, broken(core, pairs, average))
        if better:
            kept = dual, cuts
    return best


def _together(*arcs: tuple[Ints, Ints]) -> tuple[Ints, Ints]:
    tail, head = zip(*arcs, strict=True)
    return np.concatenate(tail), np.concatenate(head)


def _dearest(core: Core, prices: Prices, tree: tuple[Ints, Ints]) -> Floats:
    """Price of the dearest arc that a tree has at each item."""
    tail, head = tree
    cost = arc_costs(core, tail, head) + prices.leave[tail] + prices.enter[head]
    limit = np.full(len(core.first) - 1, -np.inf)
    np.maximum.at(limit, core.owner[tail], cost)
    np.maximum.at(limit, core.owner[head], cost)
    return limit


def _directed(core: Core) -> bool:
    """Whether premiums can raise the bound.

    Where every order costs the same backwards, variants being their own reverse, turning the premiums' signs leaves
    the bound as it is; it is concave, so that none at all are as good as any.
    """
    turned = np.array_equal(core.mate, np.arange(len(core.mate)))
    return not (turned and core.two_way and len(core.after) == 0 and len(np.unique(core.low)) == 1)


def _near(core: Core) -> tuple[Ints, Ints]:
    """Pairs of items the weights are first found on, by a variant of each."""
    n = len(core.first) - 1
    if n <= (WHOLE if core.pricing.kind == MATRIX else FEW):
        every = np.argwhere(np.triu(np.ones((n, n), dtype=bool), 1)).astype(np.int32)
        return core.first[every.ravel()], core.first[every[:, ::-1].ravel()]
    tables = [near_items(core, NEAR)]
    if len(core.costs):
        tables += list(near_both_ways(core, NEAR))
    if core.pricing.kind != MATRIX:
        timed = core.pricing.kind == TIME
        scale = np.array([core.pricing.slow_x, core.pricing.slow_y]) if timed else np.ones(2)
        heads = core.first[:-1]
        tables.append(quadrant_points((core.entry[heads] + core.exit[heads]) * (0.5 * scale), NEAR))
    one = np.concatenate([np.repeat(np.arange(n, dtype=np.int32), table.shape[1]) for table in tables])
    two = np.concatenate([table.ravel() for table in tables])
    return core.first[np.concatenate([one, two])], core.first[np.concatenate([two, one])]


def _grid(core: Core, variants: NDArray[np.integer]) -> Grid:
    """Nested grids of 2 x 2, 4 x 4, ... cells over variants, down to a few items a cell."""
    crowds = (len(core.first) - 1) // CROWD
    levels = crowds.bit_length() // 2 if core.pricing.kind != MATRIX else 0
    middle = 0.5 * (core.entry[variants] + core.exit[variants])
    low = middle.min(axis=0)
    span = float((middle.max(axis=0) - low).max()) or 1.0
    cell, share = np.zeros((levels, len(variants)), dtype=np.int32), np.zeros((levels, 4**levels))
    for level in range(levels):
        side = 2 << level
        place = np.minimum((middle - low) * (side / span), side - 1).astype(np.int32)
        cell[level] = place[:, 0] * side + place[:, 1]
        held = np.bincount(cell[level], minlength=4**levels)
        share[level] = 1.0 / np.sqrt(np.maximum(held, 1))
    return Grid(cell, share)
