"""The travel order as a value: what to visit, where each item can be entered and left, and what must wait."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pathkit.door import expect, expect_number
from pathkit.errors import InputError
from pathkit.tour.metric import Metric
from pathkit.tour.validation import check_order, check_problem

Point = tuple[float, float]
Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

MOST = 2**31
"""No index or stage is as large."""


@dataclass(frozen=True)
class Item:
    """One thing to visit.

    ``variants`` are the ways to do it, each an (entry, exit) pair of points; a closed contour offers several whose
    entry and exit are the same. A ``reversible`` item may also be done backwards: each of its variants is then repeated
    with entry and exit swapped. All items of a lower ``stage`` come before all of a higher one.
    """

    variants: Sequence[tuple[Point, Point]]
    reversible: bool = False
    stage: int = 0
    group: int = 0

    @classmethod
    def at(cls, x: float, y: float, *, stage: int = 0, group: int = 0) -> Item:
        """A single point, such as a hole."""
        return cls((((x, y), (x, y)),), False, stage, group)


@dataclass(frozen=True, eq=False)
class Problem:
    """A travel order to find. Build it with `from_points`, `from_items`, `from_matrix` or `read`.

    Item i owns the variants ``offset[i] : offset[i + 1]``: first the ``given[i]`` as passed in, then the same ones
    backwards. Variant v is entered at ``entry[v]`` and left at ``exit[v]``. With a ``matrix`` the cost of going from
    variant u to v is ``matrix[u, v]`` (inf: forbidden) and there are no points.

    The order starts at the point ``start``, with the item ``first``, or anywhere; it ends at the point ``end``, returns
    to where it started (``closed``), or ends anywhere. ``switch_cost`` is added wherever two neighbours in the order
    (not the start and the end) have a different ``group``.
    """

    offset: Ints
    given: Ints
    entry: Floats
    exit: Floats
    matrix: Floats | None
    metric: Metric
    precedence: Ints
    stage: Ints
    group: Ints
    switch_cost: float
    start: Point | None
    end: Point | None
    closed: bool
    first: int | None
    name: str = ""

    def __post_init__(self) -> None:
        for label in ("offset", "given", "stage", "group", "precedence"):
            object.__setattr__(self, label, whole(getattr(self, label), label).astype(np.int32))
        for label in ("entry", "exit"):
            object.__setattr__(self, label, np.array(getattr(self, label), dtype=np.float64))
        if self.first is not None:
            expect_number("Problem", "first", self.first, whole=True)
        expect_number("Problem", "switch_cost", self.switch_cost)
        object.__setattr__(self, "precedence", np.unique(self.precedence.reshape(-1, 2), axis=0).astype(np.int32))
        object.__setattr__(self, "entry", self.entry.reshape(-1, 2))
        object.__setattr__(self, "exit", self.exit.reshape(-1, 2))
        for label in ("start", "end"):
            point = getattr(self, label)
            if point is not None:
                object.__setattr__(self, label, _place(point, label))
        if self.matrix is not None:
            object.__setattr__(self, "matrix", np.array(self.matrix, dtype=np.float64))
        check_problem(self)
        for column in fields(self):
            value = getattr(self, column.name)
            if isinstance(value, np.ndarray):
                value.setflags(write=False)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Problem):
            return NotImplemented
        return all(_same(getattr(self, f.name), getattr(other, f.name)) for f in fields(self))

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        called = f" {self.name!r}" if self.name else ""
        costs = "a matrix" if self.matrix is not None else "points"
        return f"Problem({len(self)} items{called} by {costs}, {len(self.precedence)} pairs of precedence)"

    def __len__(self) -> int:
        """Number of items."""
        return len(self.offset) - 1

    @classmethod
    def from_points(  # noqa: PLR0913 - keyword arguments
        cls,
        points: ArrayLike,
        *,
        start: Point | None = None,
        end: Point | None = None,
        closed: bool = False,
        metric: Metric | None = None,
        precedence: Iterable[tuple[int, int]] = (),
        stage: ArrayLike | None = None,
        group: ArrayLike | None = None,
        switch_cost: float = 0.0,
        name: str = "",
    ) -> Problem:
        """Single points, an array (n, 2), each visited once."""
        at = _points(points, "points")
        n = len(at)
        return cls(
            offset=np.arange(n + 1, dtype=np.int32),
            given=np.ones(n, dtype=np.int32),
            entry=at,
            exit=at,
            matrix=None,
            metric=metric or Metric(),
            precedence=_pairs(precedence),
            stage=_column(stage, n, "stage"),
            group=_column(group, n, "group"),
            switch_cost=switch_cost,
            start=start,
            end=end,
            closed=closed,
            first=None,
            name=name,
        )

    @classmethod
    def from_items(
        cls,
        items: Sequence[Item],
        *,
        start: Point | None = None,
        end: Point | None = None,
        closed: bool = False,
        metric: Metric | None = None,
        precedence: Iterable[tuple[int, int]] = (),
        switch_cost: float = 0.0,
        name: str = "",
    ) -> Problem:
        """Items with variants. ``precedence`` holds pairs of item indices, the first before the second."""
        entry: list[Point] = []
        exit_: list[Point] = []
        offset, given = [0], []
        for index, item in enumerate(items):
            expect("Problem.from_items", **{f"items[{index}]": (item, Item)})
            variants = list(item.variants)
            backwards = item.reversible and any(a != b for a, b in variants)
            entry += [a for a, _ in variants] + ([b for _, b in variants] if backwards else [])
            exit_ += [b for _, b in variants] + ([a for a, _ in variants] if backwards else [])
            given.append(len(variants))
            offset.append(len(entry))
        return cls(
            offset=np.array(offset, dtype=np.int32),
            given=np.array(given, dtype=np.int32),
            entry=_points(entry, "entry points"),
            exit=_points(exit_, "exit points"),
            matrix=None,
            metric=metric or Metric(),
            precedence=_pairs(precedence),
            stage=_column([item.stage for item in items], len(items), "stage"),
            group=_column([item.group for item in items], len(items), "group"),
            switch_cost=switch_cost,
            start=start,
            end=end,
            closed=closed,
            first=None,
            name=name,
        )

    @classmethod
    def from_matrix(  # noqa: PLR0913 - keyword arguments
        cls,
        matrix: ArrayLike,
        *,
        items: Sequence[Sequence[int]] | None = None,
        first: int | None = None,
        closed: bool = False,
        precedence: Iterable[tuple[int, int]] = (),
        stage: ArrayLike | None = None,
        group: ArrayLike | None = None,
        switch_cost: float = 0.0,
        name: str = "",
    ) -> Problem:
        """Costs given as a matrix: ``matrix[u, v]`` for going from u to v, inf if that is forbidden.

        ``items`` lists for each item the rows that are its variants, every row in exactly one item; without it, every
        row is an item. ``first`` is the item that the order must begin with.
        """
        costs = _array(matrix, "matrix")
        costs = costs.reshape(0, 0) if costs.size == 0 else costs
        if costs.ndim != 2 or costs.shape[0] != costs.shape[1]:
            raise InputError(f"matrix has shape {costs.shape}; give a square one")
        members = [[row] for row in range(len(costs))] if items is None else [list(rows) for rows in items]
        rows = whole([row for own in members for row in own], "items").tolist()
        if sorted(rows) != list(range(len(costs))):
            raise InputError(f"items must hold each of the matrix' {len(costs)} rows exactly once")
        sizes = [len(own) for own in members]
        return cls(
            offset=np.concatenate([[0], np.cumsum(sizes)]).astype(np.int32),
            given=np.array(sizes, dtype=np.int32),
            entry=np.zeros((0, 2)),
            exit=np.zeros((0, 2)),
            matrix=costs[np.ix_(rows, rows)] if rows else costs,
            metric=Metric(),
            precedence=_pairs(precedence),
            stage=_column(stage, len(sizes), "stage"),
            group=_column(group, len(sizes), "group"),
            switch_cost=switch_cost,
            start=None,
            end=None,
            closed=closed,
            first=first,
            name=name,
        )

    @classmethod
    def read(cls, path: str | Path) -> Problem:
        """A published instance: ``.tsp``, ``.sop``, ``.gtsp`` or ``.pcglns``."""
        from pathkit.tour.instances import read

        return read(Path(path))

    def variant(self, item: int, choice: int) -> tuple[int, bool]:
        """Variant ``choice`` of ``item`` in a `Tour`: its index among those given, and whether it is run backwards."""
        given = int(self.given[item])
        return choice % given, choice >= given

    def length(self, order: Sequence[int], variants: Sequence[int]) -> float:
        """Cost of the whole order in the problem's own metric; inf if it needs a forbidden arc.

        Raises InputError if the order is not a permutation, breaks a precedence or stage, or names an unknown variant.
        """
        items, chosen = check_order(self, order, variants)
        if len(items) == 0:
            ends = self.start is not None and self.end is not None
            return float(self.metric.cost(np.array(self.start), np.array(self.end))) if ends else 0.0
        nodes = self.offset[items] + chosen
        tail, head = nodes[:-1], nodes[1:]
        if self.closed and self.start is None and (len(nodes) > 1 or self.matrix is None):
            tail, head = nodes, np.roll(nodes, -1)
        total = float(np.sum(self.arcs(tail, head)))
        if self.start is not None:
            total += float(self.metric.cost(np.array(self.start), self.entry[nodes[0]]))
        home = self.start if self.closed else self.end
        if home is not None:
            total += float(self.metric.cost(self.exit[nodes[-1]], np.array(home)))
        return total

    def arcs(self, tail: NDArray[Any], head: NDArray[Any]) -> Floats:
        """Cost of going from variants ``tail`` to variants ``head`` (broadcast), including switches between groups."""
        if self.matrix is not None:
            cost: Floats = self.matrix[tail, head]
        else:
            cost = self.metric.cost(self.exit[tail], self.entry[head])
        if self.switch_cost:
            owner = np.repeat(np.arange(len(self)), np.diff(self.offset))
            cost = cost + self.switch_cost * (self.group[owner[tail]] != self.group[owner[head]])
        return cost


def _same(a: object, b: object) -> bool:
    if isinstance(a, np.ndarray) and isinstance(b, np.ndarray):
        return a.shape == b.shape and bool(np.array_equal(a, b))
    return a is b if isinstance(a, np.ndarray) or isinstance(b, np.ndarray) else a == b


def _array(values: ArrayLike, what: str) -> Floats:
    try:
        return np.array(values, dtype=np.float64)
    except (TypeError, ValueError) as problem:
        raise InputError(f"{what} cannot be read as numbers ({problem}); give x and y for each") from None


def _points(values: ArrayLike, what: str) -> Floats:
    at = _array(values, what)
    at = at.reshape(0, 2) if at.size == 0 else at
    if at.ndim != 2 or at.shape[1] != 2:
        raise InputError(f"{what} have shape {at.shape}; give an array (n, 2) of x and y")
    return at


def whole(values: Any, what: str) -> NDArray[np.int64]:
    """Whole numbers as an array. Raises InputError for fractions: rounded, they would name another item or stage."""
    try:
        given = np.array(values)
        numbers = given.astype(np.float64)
    except (TypeError, ValueError) as problem:
        raise InputError(f"{what} cannot be read as whole numbers ({problem})") from None
    bad = (numbers != np.floor(numbers)) | ~(np.abs(numbers) < MOST)
    if given.dtype.kind not in "iuf" and given.size:
        raise InputError(f"{what} holds {given.ravel()[0]!r}; give whole numbers")
    if bad.any():
        raise InputError(f"{what} holds {numbers[bad][0]:g}; give whole numbers below {MOST}")
    return numbers.astype(np.int64)


def _place(point: Any, what: str) -> Point:
    at = _array(point, what)
    if at.shape != (2,):
        raise InputError(f"{what} is {point!r}; give two numbers, x and y")
    return float(at[0]), float(at[1])


def _pairs(precedence: Iterable[tuple[int, int]]) -> Ints:
    pairs = list(precedence) if not isinstance(precedence, np.ndarray) else precedence
    table = whole(pairs, "precedence")
    if table.size and table.shape[1:] != (2,):
        raise InputError("precedence must hold pairs of item indices, the first before the second")
    return table.reshape(-1, 2).astype(np.int32)


def _column(values: ArrayLike | None, n: int, what: str) -> Ints:
    if values is None:
        return np.zeros(n, dtype=np.int32)
    column = whole(values, what)
    if column.shape != (n,):
        raise InputError(f"{what} has shape {column.shape}; give one whole number for each of the {n} items")
    return column.astype(np.int32)
