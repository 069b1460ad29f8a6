"""Weights and multipliers for tours without rules, by linear programming (Dantzig, Fulkerson and Johnson, Operations
Research 2, 1954).

The ascent comes near the best weights for its cuts, but averages of its trees never quite settle, and show few of the
cuts that are missing. A linear program over edges gives points where many more can be seen: its rows are two edges an
item, subtours and combs, and each solution shows which further rows it violates. Its dual prices are weights and
multipliers (`Program.dual`): with those a 1-tree costs at least what the program does, subtours being none of trees.

Nothing here is trusted. What it proposes is a dual as any other, and is worth what the cheapest 1-tree over all arcs
then costs.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.bound.combs import (
    Family,
    blossoms,
    combs,
    crossings,
    handles,
    least_crossed,
    least_crossings,
    support,
)
from pathkit.tour.bound.cuts import Cut, cut_of
from pathkit.tour.bound.proof import Proof
from pathkit.tour.bound.sparse_graph import arc_costs, dearest
from pathkit.tour.bound.subgradient import Dual
from pathkit.tour.kernel.core import Core

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

ROUNDS = 26  # most programs
LEAST, MOST = 200, 4_000  # items for which the programs are solved; loading the solver takes half a second
TRIED, LAST = 4, 15  # the dual is tried after so many programs, and at the end at most so many times
PRECISE = 1e-5  # of the length: by so much less may be proved than the last program costs
STALLED, GAIN = 8, 1e-4  # the last so many programs must have gained this part of the length
STRETCH = 1_000  # steps of the simplex method before it is asked whether to go on
THRESHOLDS = (1e-6, 0.1, 0.2, 0.3)  # usages below these count as zero where handles are sought
CLEAR = 0.02  # violation from which a cut is worth a row
COMBS = 60  # most combs found in a round
TOOTH = 0.3  # crossings more than two with which a subtour's set may be a tooth
SLACK = 0.05  # rows with so much more than they ask for are dropped
DEAR = 1e-9  # of the mean arc: reduced costs below less this let an edge in
NEAR, ENDS = 0.5, 8  # edges to begin with: those dearer than a tree's by this part of the mean arc, so many at item 0
NESTED = 0.02  # of the mean arc: price of a set from which a program begins with its row
ENTER = 500  # most edges let in at a time


class Edges(NamedTuple):
    """All edges that a program may use. Item 0's two edges are edges of two ends, row 0 (out of it) and row n (into
    it), so that they may have different costs."""

    n: int
    one: Ints  # 0 for both ends of item 0
    two: Ints
    row: Ints  # the row of ``one``
    cost: Floats


def solver() -> Any:
    """scipy's HiGHS, so that a program goes on from the last one's solution. None where scipy keeps it otherwise: its
    public function starts anew each time, which takes ten times as long."""
    try:
        return importlib.import_module("scipy.optimize._highspy._core")._Highs
    except (ImportError, AttributeError):
        return None


class Program:
    """A linear program to which rows and edges are added as they are found."""

    def __init__(self, highs: Any, edges: Edges, begin: NDArray[np.bool_]) -> None:
        self.edges, self.rows, self.known = edges, list[Family](), set[tuple[bytes, ...]]()
        self.columns, self.added = np.zeros(0, dtype=np.int64), 0
        self.x, self.slack = np.zeros(len(edges.one)), np.zeros(0)
        self.row_price, self.node_price = np.zeros(0), np.zeros(edges.n + 1)
        self._highs = highs()
        for name, value in (("output_flag", False), ("threads", 1), ("presolve", "off"), ("solver", "simplex")):
            self._highs.setOptionValue(name, value)
        self._highs.setOptionValue("simplex_iteration_limit", STRETCH)
        two, empty = np.full(edges.n + 1, 2.0), np.zeros(0, dtype=np.int32)
        two[[0, -1]] = 1.0
        self._highs.addRows(edges.n + 1, two, two, 0, np.zeros(edges.n + 1, dtype=np.int32), empty, np.zeros(0))
        self._enter(np.flatnonzero(begin))

    def offer(self, one: Ints, two: Ints, cost: Floats) -> None:
        """More edges that may be used."""
        edges, n = self.edges, self.edges.n
        low, high = np.minimum(one, two), np.maximum(one, two)
        new = ~np.isin(low.astype(np.int64) * n + high, edges.one.astype(np.int64) * n + edges.two)
        low, high = low[new], high[new]
        both = np.append(edges.one, low), np.append(edges.two, high)
        self.edges = Edges(n, *both, np.append(edges.row, low), np.append(edges.cost, cost[new]))
        self.x = np.append(self.x, np.zeros(len(low)))

    def add(self, families: Sequence[Family]) -> int:
        """Add rows that are not there yet; returns how many."""
        before = len(self.rows)
        for family in families:
            handle, *teeth = (self._side(own, subtour=len(family) == 1) for own in family)
            teeth.sort(key=lambda own: own.tolist())
            name = tuple(own.tobytes() for own in (handle, *teeth))
            if name not in self.known:
                self.known.add(name)
                self.rows.append((handle, *teeth))
        return len(self.rows) - before

    def _side(self, own: Ints, *, subtour: bool) -> Ints:
        """The set or its complement, which have the same border: for a subtour the one without item 0, else the smaller
        one, within which few edges are missing."""
        turned = own[0] == 0 if subtour else 2 * len(own) > self.edges.n
        return np.setdiff1d(np.arange(self.edges.n, dtype=np.int32), own) if turned else own

    def _coefficients(self, families: Sequence[Family], columns: NDArray[np.integer]) -> Any:
        """Sparse matrix (families, columns): how many of a family's borders an edge crosses."""
        from scipy.sparse import csr_array

        of = np.repeat(np.arange(len(families)), [len(family) for family in families])
        sets = [own for family in families for own in family]
        summed = csr_array((np.ones(len(of)), (of, np.arange(len(of)))), shape=(len(families), len(of)))
        edges = self.edges
        return (summed @ crossings(edges.n, sets, edges.one[columns], edges.two[columns])).tocsr()

    def _enter(self, columns: NDArray[np.integer]) -> None:
        """Let edges in."""
        from scipy.sparse import csc_array, vstack

        edges, k = self.edges, len(columns)
        if k == 0:
            return
        ends = np.concatenate([edges.row[columns], edges.two[columns]])
        degree = csc_array((np.ones(2 * k), (ends, np.tile(np.arange(k), 2))), shape=(edges.n + 1, k))
        rows = [degree, self._coefficients(self.rows[: self.added], columns)] if self.added else [degree]
        both = vstack(rows, format="csc")
        both.sort_indices()
        at, row = both.indptr[:-1].astype(np.int32), both.indices.astype(np.int32)
        self._highs.addCols(k, edges.cost[columns], np.zeros(k), np.ones(k), both.nnz, at, row, both.data)
        self.columns = np.concatenate([self.columns, columns])

    def solve(self, over: Callable[[], bool], *, settled: bool) -> float | None:
        """The least cost; None if it is ``over``, or if there is no tour of these edges.

        Edges that pay are let in; if ``settled``, until there are none, else for the next program.
        """
        new = self.rows[self.added :]
        if new:
            matrix = self._coefficients(new, self.columns)
            matrix.sort_indices()
            least, none = np.array([least_crossings(family) for family in new]), np.full(len(new), np.inf)
            at, place = matrix.indptr[:-1].astype(np.int32), matrix.indices.astype(np.int32)
            self._highs.addRows(len(new), least, none, matrix.nnz, at, place, matrix.data)
            self.added = len(self.rows)
        while True:
            while self._run() == "kIterationLimit":
                if over():
                    return None
            if self._status() == "kInfeasible" and len(self.columns) < len(self.edges.one):
                self._enter(np.setdiff1d(np.arange(len(self.edges.one)), self.columns))
                continue
            if self._status() != "kOptimal":
                return None
            self._read()
            reduced = self._reduced()
            scale = float(np.mean(self.edges.cost[self.columns]))
            cheap = np.flatnonzero(reduced < -DEAR * scale)
            value = float(self._highs.getInfo().objective_function_value)
            self._enter(cheap[np.argsort(reduced[cheap], kind="stable")][:ENTER])
            if len(cheap) == 0 or not settled:
                return value

    def _run(self) -> str:
        self._highs.run()
        return self._status()

    def _status(self) -> str:
        return str(self._highs.getModelStatus().name)

    def _read(self) -> None:
        solution, n = self._highs.getSolution(), self.edges.n
        self.x[:] = 0.0
        self.x[self.columns] = np.array(solution.col_value)
        prices = np.array(solution.row_dual)
        self.node_price, self.row_price = prices[: n + 1], prices[n + 1 :]
        self.slack = np.array(solution.row_value)[n + 1 :] - [least_crossings(family) for family in self.rows]

    def _reduced(self) -> Floats:
        """What each edge that is not in would cost, less what its rows pay for it."""
        edges, priced = self.edges, np.flatnonzero(self.row_price > 0.0)
        out = np.ones(len(edges.one), dtype=bool)
        out[self.columns] = False
        columns = np.flatnonzero(out)
        paid = self.node_price[edges.row[columns]] + self.node_price[edges.two[columns]]
        if len(priced):
            paid += self.row_price[priced] @ self._coefficients([self.rows[r] for r in priced], columns)
        reduced = np.full(len(edges.one), np.inf)
        reduced[columns] = edges.cost[columns] - paid
        return reduced

    def drop(self) -> None:
        """Drop the rows that are met with room to spare."""
        gone = np.flatnonzero(self.slack > SLACK)
        if len(gone):
            self._highs.deleteRows(len(gone), (gone + self.edges.n + 1).astype(np.int32))
        stay = np.ones(len(self.rows), dtype=bool)
        stay[gone] = False
        self.rows = [family for family, kept in zip(self.rows, stay.tolist(), strict=True) if kept]
        self.known = {tuple(own.tobytes() for own in family) for family in self.rows}
        self.slack, self.added = np.delete(self.slack, gone), self.added - len(gone)

    def dual(self) -> tuple[Floats, list[tuple[Family, float]]]:
        """Weights of the items, and combs with their multipliers."""
        weight, cuts = -self.node_price[:-1], list[tuple[Family, float]]()
        for family, price in zip(self.rows, self.row_price.tolist(), strict=False):
            if price > 0.0:
                for own in family:
                    weight[own] -= price
                if len(family) > 1:
                    cuts.append((family, 2.0 * price))
        weight[0] = 0.0
        return weight, cuts

    def violated(self) -> list[Family]:
        """Subtours, blossoms and combs that the solution violates."""
        edges = self.edges
        on = support(edges.n, edges.one, edges.two, self.x)
        below, tight = least_crossed(on)
        tried = list({own.tobytes(): own for nothing in THRESHOLDS for own in handles(on, nothing)}.values())
        found: list[Family] = [(own,) for own in below]
        found += blossoms(on, tried, CLEAR)
        small = [own for own in tight if 2 * len(own) <= edges.n]
        rows = list(zip(self.rows, self.slack.tolist(), strict=False))
        teeth = small + [family[0] for family, slack in rows if len(family) == 1 and slack < TOOTH]
        given = [*tried, *(family[0] for family, _ in rows if len(family) > 1), *small]
        return found + combs(on, _each_once(given), _each_once(teeth), CLEAR, COMBS)


def _each_once(sets: list[Ints]) -> list[Ints]:
    return list({own.tobytes(): own for own in sets}.values())


def suits(core: Core) -> bool:
    """Whether the programs are of use: a tour of points without rules, not too few and not too many."""
    n = len(core.first) - 1
    return LEAST <= n <= MOST and len(core.owner) == n and solver() is not None


def sharpen(proof: Proof, cuts: Sequence[Cut], usage: Floats, over: Callable[[], bool]) -> None:
    """Solve programs until it is ``over``, and prove what their duals are worth.

    The first program has the edges and sets of an ascent's last tree, its cuts, and the arcs that it made ``usage`` of.
    Ends where no further rows are found or little is gained, or at the length of a known tour; then the last dual is
    tried until it proves what its program costs. Each trial's tree shows arcs that the program lacks.
    """
    core, length = proof.core, proof.length
    n = len(core.first) - 1
    edges, begin = _edges(proof, NEAR * length / n)
    begin[: len(usage)] |= usage > 0.0
    program = Program(solver(), edges, begin)
    program.add([(own,) for own in _nested(proof, NESTED * length / n)])
    program.add([cut.sets for cut in cuts])

    def tried() -> float:
        weight, found = program.dual()
        proof.grow()
        dual = Dual(weight, np.zeros(n), np.array([price for _, price in found]))
        value = proof.value(dual, [cut_of(core, family, price) for family, price in found])
        program.offer(*proof.tree, arc_costs(core, *proof.tree))
        return value

    values = list[float]()
    while len(values) < ROUNDS and not over():
        settled = len(values) % TRIED == TRIED - 1
        value = program.solve(over, settled=settled)
        if value is None:
            return
        values.append(value)
        if settled:
            tried()
        stalled = len(values) > STALLED and value - values[-1 - STALLED] < GAIN * length
        if stalled or value >= length or program.add(program.violated()) == 0:
            break
        program.drop()
    for _ in range(LAST):
        value = None if over() else program.solve(over, settled=True)
        if value is None or tried() > value - PRECISE * length:
            return


def _edges(proof: Proof, margin: float) -> tuple[Edges, NDArray[np.bool_]]:
    """The edges, and which of them a program begins with: those not dearer by more than the margin than the tree's."""
    core, pairs, rim, prices = proof.core, proof.pairs, proof.rim, proof.prices
    n = len(core.first) - 1
    away = np.where(np.arange(len(rim.tail)) < rim.out, rim.head, rim.tail)
    item_0 = np.zeros(len(away), dtype=np.int32)
    row = np.where(np.arange(len(away)) < rim.out, 0, n).astype(np.int32)
    edges = Edges(
        n,
        np.concatenate([pairs.one, item_0]),
        np.concatenate([pairs.two, away]),
        np.concatenate([pairs.one, row]),
        np.concatenate([pairs.cost, rim.cost]),
    )
    limit = dearest(core, prices, proof.tree)
    inner = pairs.cost + prices.leave[pairs.tail] + prices.enter[pairs.head]
    outer = rim.cost + prices.leave[rim.tail] + prices.enter[rim.head]
    few = min(ENDS, rim.out) - 1
    ends = [part <= np.partition(part, few)[few] for part in (outer[: rim.out], outer[rim.out :])]
    return edges, np.concatenate([inner <= np.maximum(limit[pairs.one], limit[pairs.two]) + margin, *ends])


def _nested(proof: Proof, least: float) -> list[Ints]:
    """Sets that the cheapest tree joins and that the next arc joins to others for a price higher by the least.

    These differences are the dual prices of a spanning tree's sets (Edmonds 1971): with the best weights those of
    subtours.
    """
    core, prices, (tail, head) = proof.core, proof.prices, proof.tree
    n = len(core.first) - 1
    price = arc_costs(core, tail, head) + prices.leave[tail] + prices.enter[head]
    members, part, born = [[item] for item in range(n)], list(range(n)), [-np.inf] * n
    found = []
    for k in np.argsort(price, kind="stable").tolist():
        few, many = sorted((part[tail[k]], part[head[k]]), key=lambda own: len(members[own]))
        for own in (few, many):
            if len(members[own]) > 1 and price[k] - born[own] > least:
                found.append(np.array(sorted(members[own]), dtype=np.int32))
        for item in members[few]:
            part[item] = many
        members[many] += members[few]
        born[many] = float(price[k])
    return found
