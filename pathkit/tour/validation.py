"""What makes a problem or an order unusable, reported by name and all at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import InputError
from pathkit.findings import Finding

if TYPE_CHECKING:
    from pathkit.tour.problem import Problem

SHOWN = 5  # reported of one kind: 100 000 bad points need no 100 000 lines


def check_problem(problem: Problem) -> None:
    """Raise InputError with a finding for everything that is wrong with the problem."""
    checks = (_variants, _coordinates, _matrix, _ends, _precedence, _switch)
    found = [
        Finding(check="tour problem", what=what, path=where, fix=fix)
        for check in checks
        for what, where, fix in islice(check(problem), SHOWN)
    ]
    if not found:
        found = [Finding(check="tour problem", what=what, path=where, fix=fix) for what, where, fix in _cycle(problem)]
    if found:
        raise InputError(found)


def check_order(
    problem: Problem, order: Sequence[int], variants: Sequence[int]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The order and its variants as arrays, after checking that they are a permutation that keeps every rule."""
    n = len(problem)
    items = np.array(order, dtype=np.int64).reshape(-1)
    chosen = np.array(variants, dtype=np.int64).reshape(-1)
    if not np.array_equal(np.sort(items), np.arange(n)):
        raise InputError(f"the order must hold each of the {n} items exactly once; it holds {len(items)}")
    sizes = np.diff(problem.offset)
    if chosen.shape != items.shape or np.any(chosen < 0) or np.any(chosen >= sizes[items]):
        raise InputError("variants must name, for each place of the order, one of that item's variants")
    position = np.empty(n, dtype=np.int64)
    position[items] = np.arange(n)
    early, late = problem.precedence[:, 0], problem.precedence[:, 1]
    broken = np.flatnonzero(position[early] > position[late])
    if len(broken):
        pair = problem.precedence[broken[0]]
        raise InputError(f"item {pair[0]} must come before item {pair[1]}, but the order has it after")
    if n and np.any(np.diff(problem.stage[items]) < 0):
        raise InputError("the order goes back to a lower stage; all items of a lower stage must come first")
    if problem.first is not None and n and items[0] != problem.first:
        raise InputError(f"the order begins with item {items[0]}; it must begin with item {problem.first}")
    return items, chosen


def _variants(problem: Problem) -> Iterator[tuple[str, str, str]]:
    for item in np.flatnonzero(problem.given < 1):
        yield "item has no variants", f"$.items[{item}]", "give at least one entry and exit"


def _coordinates(problem: Problem) -> Iterator[tuple[str, str, str]]:
    for label, points in (("entry", problem.entry), ("exit", problem.exit)):
        for row in np.flatnonzero(~np.isfinite(points).all(axis=1)):
            item = int(np.searchsorted(problem.offset, row, side="right")) - 1
            at = tuple(float(value) for value in points[row])
            yield f"{label} point {at} is not finite", f"$.items[{item}]", "give finite x and y"


def _matrix(problem: Problem) -> Iterator[tuple[str, str, str]]:
    if problem.matrix is None:
        return
    bad = np.isnan(problem.matrix) | (problem.matrix < 0)
    for u, v in np.argwhere(bad)[:SHOWN]:
        yield f"cost {problem.matrix[u, v]}", f"$.matrix[{u}][{v}]", "give 0 or more, inf where the arc is forbidden"


def _ends(problem: Problem) -> Iterator[tuple[str, str, str]]:
    for label, point in (("start", problem.start), ("end", problem.end)):
        if point is not None and not np.isfinite(point).all():
            yield f"{label} {point} is not finite", f"$.{label}", "give finite x and y"
        if point is not None and problem.matrix is not None:
            yield f"the {label} point has no cost in a matrix", f"$.{label}", "give first instead"
    if problem.closed and problem.end is not None:
        yield "the order cannot both end at a point and return to its start", "$.end", "leave out end or closed"
    if problem.first is not None and not 0 <= problem.first < len(problem):
        yield f"there is no item {problem.first} to begin with", "$.first", f"give 0 to {len(problem) - 1}"
    if problem.first is not None and problem.matrix is None:
        yield "a first item is for costs given as a matrix", "$.first", "give a start point instead"
    bound = problem.start is None and problem.first is None
    ruled = len(problem.precedence) > 0 or len(np.unique(problem.stage)) > 1
    if problem.closed and bound and ruled:
        yield "a closed order without a start has no before and after", "$.closed", "give start or first"


def _precedence(problem: Problem) -> Iterator[tuple[str, str, str]]:
    n = len(problem)
    for row, (a, b) in enumerate(problem.precedence):
        where = f"$.precedence[{row}]"
        if not (0 <= a < n and 0 <= b < n):
            yield f"pair ({a}, {b}) names an item that does not exist", where, f"items are 0 to {n - 1}"
        elif a == b:
            yield f"item {a} would have to come before itself", where, "drop the pair"
        elif problem.stage[a] > problem.stage[b]:
            yield f"item {a} before item {b} contradicts their stages", where, "change the pair or a stage"
    first = problem.first
    if first is not None and 0 <= first < n:
        if np.any(problem.precedence[:, 1] == first):
            yield f"item {first} must come first, but another comes before it", "$.first", "drop that pair"
        if problem.stage[first] > problem.stage.min():
            yield f"item {first} must come first, but others have a lower stage", "$.first", "lower its stage"


def _switch(problem: Problem) -> Iterator[tuple[str, str, str]]:
    if not (np.isfinite(problem.switch_cost) and problem.switch_cost >= 0):
        yield f"switch_cost is {problem.switch_cost}", "$.switch_cost", "give a finite cost, 0 or more"


def _cycle(problem: Problem) -> Iterator[tuple[str, str, str]]:
    """Remove items that wait for nothing; what remains contains a cycle, which is then followed once."""
    waiting = np.zeros(len(problem), dtype=np.int64)
    after: dict[int, list[int]] = {}
    for a, b in problem.precedence.tolist():
        waiting[b] += 1
        after.setdefault(a, []).append(b)
    ready = np.flatnonzero(waiting == 0).tolist()
    while ready:
        for b in after.get(ready.pop(), ()):
            waiting[b] -= 1
            if waiting[b] == 0:
                ready.append(b)
    stuck = set(np.flatnonzero(waiting > 0).tolist())
    if not stuck:
        return
    before = {b: a for a, b in problem.precedence.tolist() if a in stuck and b in stuck}
    walk = [min(stuck & before.keys())]
    while before[walk[-1]] not in walk:
        walk.append(before[walk[-1]])
    ring = walk[walk.index(before[walk[-1]]) :][::-1]
    text = " before ".join(str(item) for item in [*ring, ring[0]])
    yield f"the precedence holds a cycle: {text}", "$.precedence", "drop one of these pairs"
