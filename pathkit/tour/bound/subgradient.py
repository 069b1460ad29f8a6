"""The ascent: weights, premiums and multipliers that maximise the price of the cheapest 1-tree."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.bound.cuts import Average, Cuts, levy
from pathkit.tour.bound.one_tree import Tree, one_tree, room
from pathkit.tour.bound.sparse_graph import Pairs, Prices, Rim

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

PATIENCE = 50  # steps without a better value before the step size shrinks
SHRINK = 0.7
LEAST = 1e-3  # part of a step below which it does not shrink further: the average needs different trees to the end
FRESH = 0.1  # share of the newest subgradient in a step's direction; the rest is a mean of the earlier ones


class Dual(NamedTuple):
    """The variables of the ascent."""

    weight: Floats  # (n,) of items
    premium: Floats  # (m,) of variants
    multiplier: Floats  # of cuts, 0 or more


class Grid(NamedTuple):
    """Nested grids over points: ``cell[l, p]`` is p's cell on grid l, ``share[l, cell]`` the part of a step spread."""

    cell: Ints  # (levels, points)
    share: Floats  # (levels, cells)


@kernel(allocates=False)
def set_prices(owner: Ints, dual: Dual, cuts: Cuts, prices: Prices) -> float:
    """Write the dual's price of leaving, entering and tolls; returns an upper bound on what it adds to any order."""
    worth = levy(cuts, dual.multiplier, prices.toll, prices.leave)
    for v in range(len(owner)):
        rebate = prices.leave[v]
        prices.leave[v] = dual.weight[owner[v]] + dual.premium[v] - rebate
        prices.enter[v] = dual.weight[owner[v]] - dual.premium[v] - rebate
    for w in dual.weight:
        worth += 2.0 * w
    return worth


@kernel(allocates=False)
def _slopes(tree: Tree, cuts: Cuts, slope: Dual) -> None:
    """Write the subgradient: the derivative of the 1-tree's price with respect to the dual."""
    for p in range(len(slope.weight)):
        slope.weight[p] = tree.degree[p] - 2.0
    for v in range(len(slope.premium)):
        slope.premium[v] = tree.left[v] - tree.entered[v]
    for c in range(len(slope.multiplier)):
        excess = -cuts.most[c]
        for k in cuts.arc[cuts.at[c] : cuts.at[c + 1]]:
            if tree.taken[k]:
                excess += 1.0
        for v in cuts.spare[cuts.spare_at[c] : cuts.spare_at[c + 1]]:
            excess -= 0.5 * (tree.left[v] + tree.entered[v])
        slope.multiplier[c] = excess


@kernel(allocates=False)
def _spread(grid: Grid, slope: Floats, total: Floats, move: Floats) -> float:
    """Write the direction: the slope, plus a share of all slopes in the same cell of each grid; returns their product.

    A path that crosses from one side of a board to the other must come back. The weights and premiums that express this
    vary over the whole board, and steps that act on each point alone take thousands to build them up; coarse grids take
    tens (after Bramble, Pasciak and Xu, Mathematics of Computation 55, 1990). A step on a cell changes prices only
    across the cell's edge, whose length grows with the root of the number of points in the cell: hence the share.
    """
    for p in range(len(slope)):
        move[p] = slope[p]
    for level in range(len(grid.cell)):
        total[:] = 0.0
        for p in range(len(slope)):
            total[grid.cell[level, p]] += slope[p]
        for c in range(grid.share.shape[1]):
            total[c] *= grid.share[level, c]
        for p in range(len(slope)):
            move[p] += total[grid.cell[level, p]]
    product = 0.0
    for p in range(len(slope)):
        product += slope[p] * move[p]
    return product


@kernel(allocates=False)
def _note(rim: Rim, tree: Tree, part: float, average: Average) -> None:
    """Add the 1-tree to the average."""
    for k in range(len(tree.taken)):
        if tree.taken[k]:
            average.usage[k] += part
    for v in range(len(tree.left)):
        average.visits[v] += 0.5 * part * (tree.left[v] + tree.entered[v])
    average.rim[rim.head[tree.chosen[0]]] += part
    average.rim[rim.tail[tree.chosen[1]]] += part


@kernel(allocates=False)
def _copy(source: Dual, target: Dual) -> None:
    for p in range(len(source.weight)):
        target.weight[p] = source.weight[p]
    for v in range(len(source.premium)):
        target.premium[v] = source.premium[v]
    for c in range(len(source.multiplier)):
        target.multiplier[c] = source.multiplier[c]


@kernel(allocates=False)
def _direction(items: Grid, variants: Grid, at: Dual, slope: Dual, free: bool, total: Floats, move: Dual) -> float:
    """Write the direction of the step; returns its product with the slope."""
    square = _spread(items, slope.weight, total, move.weight)
    if free:
        square += _spread(variants, slope.premium, total, move.premium)
    for c in range(len(slope.multiplier)):
        move.multiplier[c] = slope.multiplier[c]
        # a cut that is satisfied and has no multiplier stays as it is
        if slope.multiplier[c] > 0.0 or at.multiplier[c] > 0.0:
            square += slope.multiplier[c] * slope.multiplier[c]
    return square


@kernel(allocates=False)
def _step(at: Dual, drift: Dual, move: Dual, step: float) -> None:
    """Step along a moving average of the last directions (Barahona and Anbil, Mathematical Programming 87, 2000)."""
    for p in range(len(at.weight)):
        drift.weight[p] += FRESH * (move.weight[p] - drift.weight[p])
        at.weight[p] += step * drift.weight[p]
    for v in range(len(at.premium)):
        drift.premium[v] += FRESH * (move.premium[v] - drift.premium[v])
        at.premium[v] += step * drift.premium[v]
    for c in range(len(at.multiplier)):
        drift.multiplier[c] += FRESH * (move.multiplier[c] - drift.multiplier[c])
        at.multiplier[c] = max(at.multiplier[c] + step * drift.multiplier[c], 0.0)


STRETCH = 4e6  # arcs counted before an ascent is asked whether to go on; a fiftieth of a second


def ascend(  # noqa: PLR0913 - what `climb` is handed
    pairs: Pairs,
    rim: Rim,
    owner: Ints,
    grids: tuple[Grid, Grid],
    cuts: Cuts,
    dual: Dual,
    free: bool,
    length: float,
    steps: int,
    eager: float = 1.0,
    over: Callable[[], bool] = lambda: False,
) -> tuple[float, Average]:
    """Raise the price of the sparse graph's cheapest 1-tree; premiums only if they are ``free``. Keeps the best dual.

    ``eager`` is the size of the first step. ``over`` is asked now and then; if it says so, the ascent ends early.
    Returns the price reached, which is not a bound, and the average of the last 1-trees, worth nothing if it ended
    early.
    """
    m, arcs = len(owner), len(pairs.tail)
    average = Average(np.zeros(arcs), np.zeros(m), np.zeros(m))
    at, slope, move, drift = (Dual(*(np.zeros_like(part) for part in dual)) for _ in range(4))
    total = np.zeros(max(grid.share.shape[1] for grid in grids))
    prices = Prices(np.zeros(m), np.zeros(m), np.zeros(arcs))
    work = _Work(at, slope, move, drift, total, prices, room(pairs, m), average)
    _copy(dual, at)
    state = np.array([-np.inf, 0.0, eager])
    stretch = max(int(STRETCH / (len(pairs.one) + arcs + 1)), 1)
    begin = 0
    while begin < steps and not (begin and over()):
        end = min(begin + stretch, steps)
        more = climb(pairs, rim, owner, grids[0], grids[1], cuts, dual, free, length, steps, begin, end, state, work)
        begin = end if more else steps
    return float(state[0]), average


class _Work(NamedTuple):
    """Working memory of an ascent."""

    at: Dual
    slope: Dual
    move: Dual
    drift: Dual
    total: Floats
    prices: Prices
    tree: Tree
    average: Average


@kernel(allocates=False)
def climb(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    pairs: Pairs,
    rim: Rim,
    owner: Ints,
    items: Grid,
    variants: Grid,
    cuts: Cuts,
    dual: Dual,
    free: bool,
    length: float,
    steps: int,
    begin: int,
    end: int,
    state: Floats,
    work: _Work,
) -> bool:
    """Subgradient steps towards the known length (Polyak 1969); the step size shrinks if they do not improve.

    Steps ``begin`` to ``end`` of ``steps``; ``state`` is carried on: the best price, how many steps are without a
    better one, the step size. Returns whether there is anything left to do.
    """
    at = work.at
    tree = work.tree
    best, idle, eager = state[0], state[1], state[2]
    for done in range(begin, end):
        worth = set_prices(owner, at, cuts, work.prices)
        value = one_tree(pairs, rim, owner, work.prices, tree) - worth
        idle += 1.0
        if value > best:
            best = value
            idle = 0.0
            _copy(at, dual)
        elif idle >= PATIENCE:
            eager = max(eager * SHRINK, LEAST)
            idle = 0.0
            _copy(dual, at)
        _slopes(tree, cuts, work.slope)
        if 3 * done >= 2 * steps:
            _note(rim, tree, 3.0 / steps, work.average)
        square = _direction(items, variants, at, work.slope, free, work.total, work.move)
        if square <= 0.0:
            # the direction is zero: all further trees would equal this one
            _note(rim, tree, min(3.0 * (steps - 1 - done) / steps, 1.0), work.average)
            state[0] = best
            return False
        step = eager * max(length * 1.001 - value, 1e-6 * length) / square
        _step(at, work.drift, work.move, step)
    state[0], state[1], state[2] = best, idle, eager
    return True
