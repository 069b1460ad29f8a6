"""Segments filed by the squares of a grid that they run through, so that a place is held only against what is near."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel

Array = NDArray[np.float64]
Numbers = NDArray[np.int32]


class Filed(NamedTuple):
    """Segments with their owners. Square (i, j) lies right of ``left`` + i ``cell`` and behind ``front`` + j ``cell``;
    its segments are ``item[at[k]:at[k + 1]]`` with k = j ``columns`` + i."""

    start: Array  # (m, 3)
    end: Array
    owner: Numbers  # (m,)
    left: float
    front: float
    cell: float
    columns: int
    rows: int
    at: NDArray[np.int64]  # (columns * rows + 1,)
    item: Numbers


@kernel(allocates=False)
def _place(value: float, low: float, cell: float, count: int) -> int:
    """The column or row of a value; the outermost for what lies outside."""
    # Cut short, not rounded down, which takes longer: what is below 0 belongs to 0.
    return max(0, min(count - 1, int((value - low) / cell)))


@kernel(allocates=False)
def _span(segments: Filed, s: int, row: int) -> tuple[int, int]:
    """The columns, first and last, that a segment runs through in one row."""
    x0, y0, x1, y1 = segments.start[s, 0], segments.start[s, 1], segments.end[s, 0], segments.end[s, 1]
    low, high = 0.0, 1.0
    if y0 != y1:
        bottom = segments.front + row * segments.cell
        one, other = (bottom - y0) / (y1 - y0), (bottom + segments.cell - y0) / (y1 - y0)
        # What lies outside the grid belongs to its outermost rows.
        if row == 0:
            one = 0.0 if y0 < y1 else 1.0
        if row == segments.rows - 1:
            other = 1.0 if y0 < y1 else 0.0
        low, high = max(min(one, other), 0.0), min(max(one, other), 1.0)
    a, b = x0 + low * (x1 - x0), x0 + high * (x1 - x0)
    first = _place(min(a, b), segments.left, segments.cell, segments.columns)
    return first, _place(max(a, b), segments.left, segments.cell, segments.columns)


@kernel
def filed(segments: Filed) -> tuple[NDArray[np.int64], Numbers]:
    """``at`` and ``item`` for segments whose own are empty."""
    squares = segments.columns * segments.rows
    at = np.zeros(squares + 1, np.int64)
    item = np.zeros(0, np.int32)
    for filling in range(2):
        if filling == 1:
            for k in range(squares):
                at[k + 1] += at[k]
            item = np.empty(at[squares], np.int32)
        for s in range(len(segments.owner)):
            y0, y1 = segments.start[s, 1], segments.end[s, 1]
            first = _place(min(y0, y1), segments.front, segments.cell, segments.rows)
            last = _place(max(y0, y1), segments.front, segments.cell, segments.rows)
            for row in range(first, last + 1):
                one, other = _span(segments, s, row)
                for column in range(one, other + 1):
                    k = row * segments.columns + column
                    if filling == 0:
                        at[k + 1] += 1
                    else:
                        # From the back, so that ``at`` ends where each square begins.
                        at[k + 1] -= 1
                        item[at[k + 1]] = s
    # Now at[k + 1] is where square k begins: one place to the left.
    for k in range(squares):
        at[k] = at[k + 1]
    at[squares] = len(item)
    return at, item


@kernel(allocates=False)
def _apart(segments: Filed, s: int, x: float, y: float) -> tuple[float, float]:
    """How far a place is from a segment in the plan, squared, and the segment's z where it is nearest to it."""
    x0, y0, z0 = segments.start[s, 0], segments.start[s, 1], segments.start[s, 2]
    wide, deep = segments.end[s, 0] - x0, segments.end[s, 1] - y0
    square = wide * wide + deep * deep
    if square == 0.0:
        return (x - x0) ** 2 + (y - y0) ** 2, min(z0, segments.end[s, 2])
    share = min(max(((x - x0) * wide + (y - y0) * deep) / square, 0.0), 1.0)
    return (x - x0 - share * wide) ** 2 + (y - y0 - share * deep) ** 2, z0 + share * (segments.end[s, 2] - z0)


@kernel(allocates=False)
def _around(segments: Filed, x: float, y: float, near: float) -> tuple[int, int, int, int]:
    """The squares within ``near`` of a place: first and last row, first and last column."""
    return (
        _place(y - near, segments.front, segments.cell, segments.rows),
        _place(y + near, segments.front, segments.cell, segments.rows),
        _place(x - near, segments.left, segments.cell, segments.columns),
        _place(x + near, segments.left, segments.cell, segments.columns),
    )


@kernel(allocates=False)
def _of_one(segments: Filed, x: float, y: float, owner: int, near: float) -> tuple[float, float, int]:
    """The least distance, squared, from a place to its owner's segments, their lowest z, both within ``near``, and the
    nearest segment; inf, inf and −1 where none is so near."""
    nearest, lowest, which = np.inf, np.inf, -1
    front, back, left, right = _around(segments, x, y, near)
    for row in range(front, back + 1):
        for column in range(left, right + 1):
            k = row * segments.columns + column
            for t in range(segments.at[k], segments.at[k + 1]):
                s = segments.item[t]
                if segments.owner[s] == owner:
                    square, z = _apart(segments, s, x, y)
                    if square <= near * near:
                        lowest = min(lowest, z)
                        # Segments lie in several squares: the first of equally near ones is taken.
                        if square < nearest or (square == nearest and s < which):
                            nearest, which = square, s
    return nearest, lowest, which


@kernel(allocates=False)
def held(
    segments: Filed, places: Array, owner: Numbers, near: Array, apart: Array, lowest: Array, which: Numbers
) -> None:
    """For each of the ``places`` (k, 2): the distance from its owner's segments, the lowest z of those within ``near``
    of it, and the nearest one; inf, inf and −1 where none is."""
    for i in range(len(places)):
        square, lowest[i], which[i] = _of_one(segments, places[i, 0], places[i, 1], owner[i], near[i])
        apart[i] = math.sqrt(square)


@kernel
def all_near(segments: Filed, reach: Array, places: Array, first: NDArray[np.int64]) -> tuple[Numbers, Numbers, Array]:
    """Which owners a group of places lies near, all of it: place k belongs to group g if first[g] <= k < first[g + 1].

    ``reach`` (owners,) is how near. Returns for each find its group, its owner and the mean distance.
    """
    group, found, mean = np.empty(64, np.int32), np.empty(64, np.int32), np.empty(64)
    seen = np.full(len(reach), -1, np.int64)
    count, widest = 0, 0.0
    for owner in range(len(reach)):
        widest = max(widest, reach[owner])
    for g in range(len(first) - 1):
        if first[g] == first[g + 1]:
            continue
        x, y = places[first[g], 0], places[first[g], 1]
        front, back, left, right = _around(segments, x, y, widest)
        for row in range(front, back + 1):
            for column in range(left, right + 1):
                k = row * segments.columns + column
                for t in range(segments.at[k], segments.at[k + 1]):
                    owner = segments.owner[segments.item[t]]
                    if seen[owner] == g:
                        continue
                    seen[owner] = g
                    total = 0.0
                    for p in range(first[g], first[g + 1]):
                        square, _, _ = _of_one(segments, places[p, 0], places[p, 1], owner, reach[owner])
                        total += math.sqrt(square)
                        if total == np.inf:
                            break
                    if total == np.inf:
                        continue
                    if count == len(group):
                        group = np.concatenate((group, np.empty_like(group)))
                        found = np.concatenate((found, np.empty_like(found)))
                        mean = np.concatenate((mean, np.empty_like(mean)))
                    group[count], found[count], mean[count] = g, owner, total / (first[g + 1] - first[g])
                    count += 1
    return group[:count], found[:count], mean[:count]
