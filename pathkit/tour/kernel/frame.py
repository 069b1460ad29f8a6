"""A problem compiled: one cyclic sequence whose place 0 is pinned.

Start and end become an added item 0, left at the start and entered at the end, so that the cycle costs exactly what the
order costs. At a free start or end the arcs of item 0 cost nothing. If a problem names its first item, or is closed
without a start, one of its own items is pinned instead.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.kernel.core import FREE_END, FREE_START, Core, Floats, Ints
from pathkit.tour.metric import NOT_PRICED
from pathkit.tour.problem import Problem

DENSE_LIMIT: Final = 1600
"""Variants up to which all costs are tabulated (20 MB)."""


class Frame(NamedTuple):
    """How the core's numbers map to the problem's."""

    core: Core
    items: NDArray[np.int64]  # problem item of each core item, -1 for the added one
    added: bool
    forbidden: float  # the cost that replaces inf in core.costs


def frame(problem: Problem) -> Frame:
    """Build the core. An added item 0 comes first, then the problem's items; a pinned item is moved to the front."""
    n = len(problem)
    added = problem.first is None and (problem.start is not None or problem.end is not None or not problem.closed)
    pinned = problem.first if problem.first is not None else int(np.argmin(np.diff(problem.offset)))
    order = np.arange(n) if added else np.concatenate([[pinned], np.delete(np.arange(n), pinned)])
    rows = _rows(problem, order)
    sizes = np.diff(problem.offset)[order]
    lead = 1 if added else 0
    items = np.concatenate([np.full(lead, -1), order]).astype(np.int64)
    first = np.concatenate([[0], np.cumsum(np.concatenate([np.ones(lead, dtype=np.int64), sizes]))])
    new = np.empty(n, dtype=np.int64)
    new[order] = np.arange(n) + lead
    edges = reduced(new[problem.precedence], n + lead)
    entry, exit_, costs, forbidden = _places(problem, rows, added)
    group = np.unique(problem.group[order], return_inverse=True)[1].reshape(-1)
    stage = np.unique(problem.stage[order], return_inverse=True)[1].reshape(-1)
    group = np.concatenate([np.full(lead, -1), group])
    low, high = spans(np.concatenate([np.full(lead, stage.min(initial=0)), stage]))
    mate = _mates(problem, order, rows, added)
    core = Core(
        first=first.astype(np.int32),
        owner=np.repeat(np.arange(n + lead), np.diff(first)).astype(np.int32),
        entry=entry,
        exit=exit_,
        costs=costs,
        inner=np.zeros(0),
        pricing=NOT_PRICED if problem.matrix is not None else problem.metric.pricing(),
        switch_cost=float(problem.switch_cost),
        free=_free(problem, added),
        two_way=bool(np.all(mate >= 0)) and (problem.matrix is None or np.array_equal(costs, costs.T)),
        group=group.astype(np.int32),
        low=low,
        high=high,
        mate=mate,
        **neighbours(edges, n + lead),
    )
    if problem.matrix is None and 0 < len(core.owner) <= DENSE_LIMIT:
        core = core._replace(costs=tabulate(core))
    return Frame(core, items, added, forbidden)


def tabulate(core: Core) -> Floats:
    """All costs between variants as a table, from the points."""
    from pathkit.tour.kernel.costs import fill

    table = np.empty((len(core.owner), len(core.owner)))
    fill(core, table)
    return table


def _rows(problem: Problem, order: NDArray[np.int64]) -> NDArray[np.int64]:
    """Variants of the problem in the core's order of items."""
    sizes = np.diff(problem.offset)[order]
    total = int(sizes.sum())
    starts = np.cumsum(sizes) - sizes
    rows: NDArray[np.int64] = np.arange(total) - np.repeat(starts - problem.offset[:-1][order], sizes)
    return rows


def _places(problem: Problem, rows: NDArray[np.int64], added: bool) -> tuple[Floats, Floats, Floats, float]:
    empty = np.zeros((0, 0))
    if problem.matrix is None:
        entry, exit_ = problem.entry[rows], problem.exit[rows]
        if added:
            home = problem.start if problem.closed else problem.end
            entry = np.vstack([np.array([home or problem.entry[0]]), entry])
            exit_ = np.vstack([np.array([problem.start or problem.entry[0]]), exit_])
        return np.ascontiguousarray(entry), np.ascontiguousarray(exit_), empty, np.inf
    costs = problem.matrix[np.ix_(rows, rows)].copy()
    allowed = costs[np.isfinite(costs)]
    forbidden = 1e3 * (float(allowed.max(initial=0.0)) + problem.switch_cost + 1.0) * (len(problem) + 1)
    costs[~np.isfinite(costs)] = forbidden
    np.fill_diagonal(costs, 0.0)
    if problem.switch_cost:
        group = np.repeat(problem.group, np.diff(problem.offset))[rows]
        costs = costs + problem.switch_cost * (group[:, None] != group[None, :])
    if added:
        costs = np.pad(costs, ((1, 0), (1, 0)))
    elif not problem.closed:
        head = int(np.diff(problem.offset)[problem.first])
        costs[:, :head] = 0.0
    nothing = np.zeros((len(costs), 2))
    return nothing, nothing, np.ascontiguousarray(costs), forbidden


def _free(problem: Problem, added: bool) -> float:
    """Which arcs of variant 0 cost nothing."""
    if not added:
        return 0.0 if problem.closed or problem.matrix is not None else FREE_END
    open_end = problem.end is None and not (problem.closed and problem.start is not None)
    return (FREE_START if problem.start is None else 0.0) + (FREE_END if open_end else 0.0)


def _mates(problem: Problem, order: NDArray[np.int64], rows: NDArray[np.int64], added: bool) -> Ints:
    """For each variant, the variant that is its reverse."""
    lead = 1 if added else 0
    mate = np.arange(len(rows), dtype=np.int64)
    if problem.matrix is not None:
        # Rules make an otherwise symmetric matrix forbid arcs one way only: what they do not touch may be reversed.
        inner = problem.matrix[np.ix_(rows, rows)]
        alike = (inner == inner.T) | ~np.isfinite(inner) | ~np.isfinite(inner.T)
        mate = mate if alike.all() else np.full(len(rows), -1)
    else:
        given = np.repeat(problem.given[order], np.diff(problem.offset)[order])
        twice = np.repeat(np.diff(problem.offset)[order], np.diff(problem.offset)[order]) > given
        within = rows - np.repeat(problem.offset[:-1][order], np.diff(problem.offset)[order])
        mate = np.where(twice, np.where(within < given, mate + given, mate - given), mate)
        apart = (problem.entry[rows] != problem.exit[rows]).any(axis=1)
        mate = np.where(~twice & apart, -1, mate)
    return np.concatenate([np.zeros(lead, dtype=np.int64), np.where(mate < 0, -1, mate + lead)]).astype(np.int32)


def spans(stage: NDArray[np.int64]) -> tuple[Ints, Ints]:
    """First and last place of each item's stage; place 0 is taken."""
    counts = np.bincount(stage)
    last = np.cumsum(counts) - 1
    low = np.maximum(last - counts + 1, 1)
    return low[stage].astype(np.int32), last[stage].astype(np.int32)


def reduced(edges: NDArray[np.int64], n: int) -> NDArray[np.int64]:
    """Only the edges that no chain of others implies; a big sparse graph is left as it is, which is just as valid."""
    if len(edges) == 0 or n > 4000:
        return edges
    reach = np.zeros((n, n), dtype=bool)
    reach[edges[:, 0], edges[:, 1]] = True
    direct = reach.copy()
    for item in _sorted(edges, n)[::-1]:
        for b in np.flatnonzero(direct[item]):
            reach[item] |= reach[b]
    for item in range(n):
        own = np.flatnonzero(direct[item])
        for b in own:
            if direct[item, b]:
                direct[item] &= ~reach[b]
    return np.argwhere(direct)


def _sorted(edges: NDArray[np.int64], n: int) -> list[int]:
    waiting = np.bincount(edges[:, 1], minlength=n)
    at = neighbours(edges, n)
    ready = np.flatnonzero(waiting == 0).tolist()
    done = []
    while ready:
        item = ready.pop()
        done.append(item)
        for b in at["after"][at["after_at"][item] : at["after_at"][item + 1]].tolist():
            waiting[b] -= 1
            if waiting[b] == 0:
                ready.append(b)
    return done


def neighbours(edges: NDArray[np.int64], n: int) -> dict[str, Ints]:
    """Both directions of the precedence graph as compressed rows."""
    out: dict[str, Ints] = {}
    for name, key, value in (("after", 0, 1), ("before", 1, 0)):
        order = np.argsort(edges[:, key], kind="stable")
        counts = np.bincount(edges[:, key], minlength=n)
        out[name] = edges[order, value].astype(np.int32)
        out[f"{name}_at"] = np.concatenate([[0], np.cumsum(counts)]).astype(np.int32)
    return out
