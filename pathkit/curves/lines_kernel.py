"""One line for several that are in line, such that nothing more is dropped if the path is fitted again.

A second look sees only the vertices that are left. It would drop each of them that lies within the tolerance of the
line from the one before it to the one after it, whatever was dropped there before. So a vertex is kept only where it
lies farther off; where that leads nowhere, the search goes back, and keeps earlier ones.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tolerances import ROUNDING

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

PATIENCE = 400
"""Vertices tried in vain before one is kept that a second look would drop: mostly, fewer than ten are."""


@kernel(allocates=False)
def line_through(points: Array, first: int, last: int, tolerance: float) -> float:
    """mm that the vertices between ``first`` and ``last`` lie beside the line from one to the other; -1 if that is more
    than ``tolerance``, or if the path goes back anywhere."""
    dx, dy, dz = (
        points[last, 0] - points[first, 0],
        points[last, 1] - points[first, 1],
        points[last, 2] - points[first, 2],
    )
    length = math.sqrt(dx * dx + dy * dy + dz * dz)
    if length <= ROUNDING:
        return -1.0
    dx, dy, dz = dx / length, dy / length, dz / length
    reached, worst = 0.0, 0.0
    for k in range(first + 1, last):
        x, y, z = points[k, 0] - points[first, 0], points[k, 1] - points[first, 1], points[k, 2] - points[first, 2]
        along = x * dx + y * dy + z * dz
        x, y, z = x - along * dx, y - along * dy, z - along * dz
        worst = max(worst, x * x + y * y + z * z)
        if along < reached - ROUNDING or along > length + ROUNDING or worst > tolerance * tolerance:
            return -1.0
        reached = along
    return math.sqrt(worst)


@kernel(allocates=False)
def _longest_line(points: Array, first: int, limit: int, tolerance: float) -> int:
    """The last vertex of the longest line from ``first`` on."""
    last, size, beyond = first + 1, 2, limit + 1
    while last < limit:
        probe = min(first + size, limit)
        if line_through(points, first, probe, tolerance) < 0.0:
            beyond = probe
            break
        last = probe
        size *= 2
    while beyond <= limit and beyond - last > 1:
        middle = (last + beyond) // 2
        if line_through(points, first, middle, tolerance) < 0.0:
            beyond = middle
        else:
            last = middle
    return last


@kernel(allocates=False)
def _would_be_dropped(points: Array, before: int, here: int, after: int, tolerance: float) -> bool:
    """Whether a vertex that is kept between two others would be dropped if the path were fitted again."""
    x, y, z = (
        points[after, 0] - points[before, 0],
        points[after, 1] - points[before, 1],
        points[after, 2] - points[before, 2],
    )
    length = math.sqrt(x * x + y * y + z * z)
    if length <= ROUNDING:
        return False
    a, b, c = (
        points[here, 0] - points[before, 0],
        points[here, 1] - points[before, 1],
        points[here, 2] - points[before, 2],
    )
    along = (a * x + b * y + c * z) / length
    off_x, off_y, off_z = a - along * x / length, b - along * y / length, c - along * z / length
    beside = off_x * off_x + off_y * off_y + off_z * off_z
    reach = tolerance + ROUNDING
    return bool(-ROUNDING <= along <= length + ROUNDING and beside <= reach * reach)


@kernel(allocates=False)
def lines_within(
    points: Array, first: int, limit: int, tolerance: float, until: Ints, stack: Ints, tries: Ints
) -> float:  # fmt: skip
    """Enter where each line ends, from left to right, each as long as it can be if no vertex between two of them is to
    be dropped by a second look. ``stack`` and ``tries`` (n + 1,) are room to go back in. Returns the largest deviation,
    mm.
    """
    top, best, left, given_up = 0, first, PATIENCE, first
    stack[0], tries[0] = first, _longest_line(points, first, limit, tolerance)
    while stack[top] < limit:
        here, after = stack[top], tries[top]
        if left == 0 or (after == here and top == 0):
            # No way was found on which nothing would be dropped: go on without, a little farther each time.
            given_up, left = max(given_up, best) + 1, PATIENCE
            tries[top] = _longest_line(points, here, limit, tolerance)
            continue
        if after == here:
            # No way on from here: the vertex before it has others.
            top -= 1
            here, after = stack[top], tries[top]
        elif (after == here + 1 or line_through(points, here, after, tolerance) >= 0.0) and (
            top == 0 or here < given_up or not _would_be_dropped(points, stack[top - 1], here, after, tolerance)
        ):
            top += 1
            stack[top] = after
            if after > best:
                best, left = after, PATIENCE
            if after < limit:
                tries[top] = _longest_line(points, after, limit, tolerance)
            continue
        tries[top] -= 1
        left -= 1
    worst = 0.0
    for k in range(top):
        until[stack[k]] = stack[k + 1]
        worst = max(worst, line_through(points, stack[k], stack[k + 1], tolerance))
    return worst
