"""Which items, or points, are worth trying beside each other."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.kernel.core import Core
from pathkit.tour.metric import TIME, Pricing

Ints = NDArray[np.int32]

SPOTS = 4  # points of an item from which its near items are searched


def near_items(core: Core, count: int) -> Ints:
    """For each item the ``count`` cheapest others (fewer if there are fewer), nearest first, as (n, k)."""
    n = len(core.first) - 1
    count = max(min(count, n - 1), 1)
    if n == 1:
        return np.zeros((1, 1), dtype=np.int32)
    return _by_table(core, count) if len(core.costs) > 1 else _by_tree(core, count)


def between_items(core: Core) -> NDArray[np.float64]:
    """Cheapest cost from each item to each other over all variants, as (n, n), from the table."""
    heads = core.first[:-1]
    least: NDArray[np.float64] = np.minimum.reduceat(np.minimum.reduceat(core.costs, heads, axis=0), heads, axis=1)
    return least


def near_both_ways(core: Core, count: int) -> Ints:
    """For each item those that can cheaply come directly before it, and directly after it, as (2, n, k).

    Items that precedence forbids there are left out while there are enough others.
    """
    n = len(core.first) - 1
    if len(core.costs) < 2 or n == 1:
        near = near_items(core, count)
        return np.stack([near, near])
    least = between_items(core)
    np.fill_diagonal(least, np.inf)
    if len(core.after):
        apart = np.zeros((n, n), dtype=bool)  # apart[a, b]: b cannot directly follow a
        for item in range(n):
            apart[core.after[core.after_at[item] : core.after_at[item + 1]], item] = True
        for middle in range(n):
            apart[apart[:, middle]] |= apart[middle]
        direct = np.zeros((n, n), dtype=bool)
        for item in range(n):
            direct[item, core.after[core.after_at[item] : core.after_at[item + 1]]] = True
        # a predecessor, but never directly before: another item must come between
        apart |= apart.T & ~direct
        least = np.where(apart, least + 1e3 * (1.0 + np.max(least, initial=0.0, where=np.isfinite(least))), least)
    count = max(min(count, n - 1), 1)
    both = [np.argsort(costs, axis=1, kind="stable")[:, :count] for costs in (least.T, least)]
    return np.ascontiguousarray(np.stack(both).astype(np.int32))


def _by_table(core: Core, count: int) -> Ints:
    least = between_items(core)
    least = np.minimum(least, least.T)
    np.fill_diagonal(least, np.inf)
    order = np.argsort(least, axis=1, kind="stable")[:, :count]
    return np.ascontiguousarray(order.astype(np.int32))


def _by_tree(core: Core, count: int) -> Ints:
    """Nearest other items, from at most `SPOTS` points of each, sampled evenly from its entries and exits.

    Those of its own stage come first, then those of the stages next to it: others it cannot stand beside.
    """
    from scipy.spatial import cKDTree

    from pathkit.tour.kernel.candidates_kernel import merge

    n = len(core.first) - 1
    sizes = np.diff(core.first)
    within = np.arange(len(core.owner)) - core.first[core.owner]
    step = -(-sizes // SPOTS)[core.owner]
    kept = np.flatnonzero(within % step == 0)
    apart = kept[(core.entry[kept] != core.exit[kept]).any(axis=1)]
    places = np.vstack([core.entry[kept], core.exit[apart]])
    owner = np.concatenate([core.owner[kept], core.owner[apart]])
    order = np.argsort(owner, kind="stable")
    places, owner = places[order], owner[order]
    places = with_stages(core, places, owner)
    reach = min(len(places), 2 * count + 2 * SPOTS)
    gap, found = cKDTree(places).query(places, k=[*range(1, reach + 1)])
    near = np.full((n, count), -1, dtype=np.int32)
    merge(owner, np.asarray(gap), owner[found], near)
    return near


def with_stages(core: Core, places: NDArray[np.float64], owner: NDArray[Any]) -> NDArray[np.float64]:
    """The places with a third coordinate, if there are stages, by which those of one stage are nearer to each other
    than to all others, and each stage is nearest to those beside it."""
    if np.ptp(core.low) == 0:
        return places
    level = np.unique(core.low, return_inverse=True)[1].reshape(-1)[owner]
    return np.column_stack([places, level * 2.0 * np.ptp(places, axis=0).sum()])


def by_time(pricing: Pricing, points: NDArray[np.float64]) -> NDArray[np.float64]:
    """The points, under a time metric with their axes scaled by their seconds per mm: what is near is soon reached."""
    return points * [pricing.slow_x, pricing.slow_y] if pricing.kind == TIME else points


def quadrant_points(points: NDArray[np.float64], count: int, skip: int = -1) -> Ints:
    """For each point ``count`` others, as (n, count): first the nearest of each quadrant, then the nearest of the rest.

    With the nearest points alone, a row of holes would be joined only to itself; a neighbour in every direction links
    the rows (Johnson and McGeoch 1997). ``skip`` is a point that is left out. Rows are not sorted.
    """
    from scipy.spatial import cKDTree

    from pathkit.tour.kernel.candidates_kernel import pick

    n = len(points)
    count = min(count, n - 1)
    known = np.arange(n) if skip < 0 else np.delete(np.arange(n), skip)
    tree = cKDTree(points[known])
    near = np.full((n, count), -1, dtype=np.int32)
    rows = np.arange(n)
    facing_at, facing = _facing(points[known], known, n)
    for reach in (2 * count + 2, 16 * count):
        # a second, wider search for points that have an empty quadrant
        asked = min(reach, len(known))
        found = known[np.asarray(tree.query(points[rows], k=[*range(1, asked + 1)])[1])]
        thin = pick(points, rows, found.astype(np.int32), facing_at, facing, near)
        if asked == len(known) or reach > 2 * count + 2:
            break
        rows = np.flatnonzero(thin)
        if len(rows) == 0:
            break
    return near


def _facing(points: NDArray[np.float64], known: NDArray[np.int64], n: int) -> tuple[NDArray[np.int64], Ints]:
    """Delaunay neighbours of each point as compressed rows: they lead across gaps that the nearest points do not."""
    from scipy.spatial import Delaunay, QhullError

    try:
        at, facing = Delaunay(points).vertex_neighbor_vertices
    except (QhullError, ValueError):  # fewer than three points, or all on a line
        return np.zeros(n + 1, dtype=np.int64), np.zeros(0, dtype=np.int32)
    tally = np.zeros(n, dtype=np.int64)
    tally[known] = np.diff(at)
    return np.concatenate([[0], np.cumsum(tally)]), known[facing].astype(np.int32)
