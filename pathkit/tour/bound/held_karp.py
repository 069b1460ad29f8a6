"""A lower bound on the cost of every order: Held-Karp ascent on 1-trees (Operations Research 18(6), 1970; Mathematical
Programming 1, 1971), extended to items with variants, directions and rules.

**The relaxation.** Every item i has a weight w(i) and every variant v a premium p(v). Going from variant u of item i to
variant v of item j has the price

    cost(u, v) + w(i) + w(j) + p(u) - p(v).

An order enters and leaves every item once, *at the same variant*: the premiums cancel, every weight counts twice, and
its cost is its price less 2·Σw. The arcs of any order are a spanning tree of the items other than item 0, one arc out
of item 0 and one into it (a 1-tree). So the price of the cheapest 1-tree, with the cheapest arc for each pair of items,
less 2·Σw is a lower bound for *any* weights and premiums.

- Weights pull every item's degree to two. Premiums pull leaving and entering to the same variant. Without them crossing
  an item is free, by entering one variant and leaving another, and the tree uses every one-way arc in its cheap
  direction. With one variant an item they are the multipliers of an assignment, and this is the bound of asymmetric
  tours.
- Precedence forbids arcs. An item that must come before another cannot follow it, nor directly precede it if something
  else must come between. An item with predecessors cannot come first, and one with successors cannot come last. No
  order has such an arc.
- Items of a stage are consecutive in every order. Its arcs within a stage form a path, so the 1-tree has one spanning
  tree for each stage and one arc from each stage to the next.

Orders that break a rule in a way that no single arc shows are not excluded. That can lower the bound, never raise it
above the cost of an order.

**Cuts** raise the bound above Held and Karp's: inequalities that every order satisfies, but averages of 1-trees may
violate (`cuts`). A cut's multiplier adds at most the multiplier times its right-hand side to the price of an order, and
that much is subtracted again.

**The ascent** finds weights, premiums and multipliers on a sparse graph. The sparse graph alone gives no bound: a tree
over few arcs may cost more than one over all arcs. The bound is the price of the cheapest 1-tree over *all* arcs
(`boruvka.every_pair`). The arcs of that tree join the sparse graph, new cuts are looked for, and the next round begins.
Work is counted in arcs, never in seconds: the same input gives the same bound on every machine. Tours without rules go
on with linear programs over the same cuts (`linear_program`).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.tolerances import RELATIVE_ROUNDING
from pathkit.tour.bound.cuts import Cut, broken, compiled, renewed
from pathkit.tour.bound.last_stages import Rest, shortened
from pathkit.tour.bound.linear_program import sharpen, suits
from pathkit.tour.bound.proof import Proof
from pathkit.tour.bound.sparse_graph import dearest, rules_of
from pathkit.tour.bound.subgradient import Dual, Grid, ascend
from pathkit.tour.kernel.core import Core
from pathkit.tour.metric import MATRIX
from pathkit.tour.stopping import Stopping

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

ROUNDS = 8, 6  # ascents without variants or directions, and with them
AHEAD = 2  # ascents before the linear programs, where those are of use
SMALL = 2_800  # with variants or directions, problems of fewer items than this get more rounds: they need many cuts
WORK = 7e7, 5e7  # arcs counted in one ascent, likewise
ALL = 5e8  # arcs after which no further ascent begins; two to three seconds, but for large problems
PAIR = 10  # a pair of items counts as so many arcs in each step
FEWEST, MOST = (75, 150), 1200  # steps of an ascent
LEAST = 5  # ascents of so few steps that follow each other in any case, with variants or directions
LARGE = 5_000  # with variants or directions, problems of more items have only three ascents ...
PACE = 100, 250, 250  # ... of so many steps ...
WARM = 0.7  # ... the later ones of which begin with smaller ones ...
SPARE = 1.5, 0.4  # ... on graphs with so much in the place of ``MARGIN``, the first and the later ones
LITTLE = 1e-5  # of the length; three rounds in turn that gain less end the search
MARGIN = 1.0  # of the mean arc: how much dearer than the tree's dearest arc at its items an arc may be ...
LEAK = 0.01  # ... doubled if the tree over all pairs is cheaper than the graph's by more than this part of the length
BOUND = "bound"  # what progress says meanwhile
CROWD = 8  # items in a cell of the finest grid


def lower_bound(core: Core, length: float, stopping: Stopping | None = None) -> float:
    """Lower bound on the cost of any order; ``length``, the cost of a known order, only guides the steps.

    If ``stopping`` ends it early, the bound is what has been proved by then, which may be nothing: 0.
    """
    stopping = stopping or Stopping(None)
    if len(core.first) < 4 or stopping.over(BOUND):
        return 0.0
    rest = shortened(core, rules_of(core), stopping)
    return rest.bound if rest.done else max(rest.bound, _of_trees(rest, length, stopping))


def _of_trees(rest: Rest, length: float, stopping: Stopping) -> float:
    """The bound of the ascent on what is left of a problem."""
    core = rest.core
    n, m = len(core.first) - 1, len(core.owner)
    if n < 3 or stopping.over(BOUND):
        return 0.0
    proof = Proof(rest, length, stopping)
    whole, free = proof.whole, proof.free
    grids = _grid(core, core.first[:-1]), _grid(core, np.arange(m))
    dual, cuts = Dual(np.zeros(n), np.zeros(m), np.zeros(0)), list[Cut]()
    if stopping.over(BOUND):
        return 0.0
    if not np.isfinite(proof.value(dual, cuts)):
        return 0.0

    def over() -> bool:
        return stopping.over(BOUND, proof.took)

    large, sharp = whole and n > LARGE, not whole and suits(core)
    kept, margin = (dual, cuts), (SPARE[1] if large else MARGIN) * length / n
    if large:
        proof.limit = dearest(core, proof.prices, proof.tree) + SPARE[0] * length / n
    work, idle = 0.0, 0
    rounds = AHEAD if sharp else len(PACE) if large else ROUNDS[whole] + (SMALL // n if whole else 0)
    for round_ in range(rounds):
        if over():
            break
        proof.grow()
        pairs, best = proof.pairs, proof.best
        compact = compiled(cuts, pairs, m)
        dual = Dual(dual.weight.copy(), dual.premium.copy(), np.array([cut.multiplier for cut in cuts]))
        each = PAIR * len(pairs.one) + len(pairs.tail)
        steps = PACE[round_] if large else int(min(max(WORK[whole] / each, FEWEST[whole]), MOST))
        eager = WARM if large and round_ else 1.0
        reached, average = ascend(pairs, proof.rim, core.owner, grids, compact, dual, free, length, steps, eager, over)
        if stopping.watch.stopped:
            break
        value = proof.value(dual, cuts, compact)
        work += steps * each
        idle, better = 0 if value > best + LITTLE * length else idle + 1, value > best
        plenty = np.inf if large else max(ALL, LEAST * FEWEST[whole] * each if whole else 0.0)
        met = length - proof.best <= RELATIVE_ROUNDING * length
        if idle == 3 or round_ == rounds - 1 or stopping.capped or work > plenty or met:
            if sharp and not stopping.capped and not met:
                sharpen(proof, cuts, average.usage, over)
            break
        if reached - value > LEAK * length:
            margin *= 2.0
        if whole:
            proof.limit = dearest(core, proof.prices, proof.tree) + margin
        if reached > length and not better:
            # the graph is too sparse to hold any order: return to the best dual and leave out fewer arcs
            (dual, cuts), proof.limit = kept, np.full(n, np.inf)
            continue
        cuts = renewed(cuts, dual.multiplier, broken(core, pairs, average, over))
        if better:
            kept = dual, cuts
    return proof.best


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
