"""What a second look would make of a path that was fitted, held against all that was there.

It sees only the vertices that are left, and may still drop some of them, each time within its own tolerance. Where all
that was there lies as near, that is done; where not, the vertex that lies farthest off is kept.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pathkit.curves.fitting_kernel import ARC, arc_through, circle_of
from pathkit.curves.lines_kernel import line_through, lines_within
from pathkit.kernels import kernel

Array = NDArray[np.float64]
Ints = NDArray[np.int64]


@kernel(allocates=False)
def settle(  # noqa: PLR0913 - a kernel takes arrays alone
    points: Array,
    kept: Ints,
    again: Ints,
    bent: Array,
    made: NDArray[np.bool_],
    tolerance: float,
    until: Ints,
    turns: Array,
    stack: Ints,
    tries: Ints,
) -> tuple[int, float]:
    """Hold what a second look would make of the vertices ``kept`` against all of the ``points``: its spans from each of
    them to the one ``again``, turning by ``bent``. ``made`` tells at which vertices a line began, so that an arc there
    is one that was made.

    Those within the ``tolerance`` are entered in ``until`` and ``turns``; where one is not, the vertex that lies
    farthest beside it is kept in place of those within it. Returns how many that are, and the largest deviation, mm.
    """
    changed, worst = 0, 0.0
    for k in range(len(kept) - 1):
        to = again[k]
        if to <= k + 1:
            continue
        first, last = kept[k], kept[to]
        sweep, deviation = 0.0, -1.0
        if bent[k] == 0.0:
            deviation = line_through(points, first, last, tolerance)
        elif turns[first] == 0.0:
            what, sweep, deviation = arc_through(points, first, last, tolerance, tolerance)
            if what != ARC:
                deviation = -1.0
        elif made[first:last].any():
            # Arcs of one circle, nearly: what lies beside one of them may lie farther beside the whole.
            what, sweep, deviation = arc_through(points, first, last, tolerance, tolerance)
            if what != ARC:
                continue
        else:
            # Arcs that were there already, and were held against the whole.
            sweep, deviation = bent[k], 0.0
        if deviation >= 0.0:
            for m in range(k + 1, to):
                until[kept[m]] = -1
            until[first], turns[first] = last, sweep
            worst = max(worst, deviation)
            changed += 1
            continue
        witness = _witness(points, kept, k, to, bent[k])
        if witness >= 0:
            for m in range(k + 1, to):
                until[kept[m]] = -1
            worst = max(worst, lines_within(points, first, witness, tolerance, until, stack, tries))
            worst = max(worst, lines_within(points, witness, last, tolerance, until, stack, tries))
            changed += 1
    return changed, worst


@kernel(allocates=False)
def _witness(points: Array, kept: Ints, k: int, to: int, sweep: float) -> int:
    """The vertex farthest beside one span from the vertex ``kept[k]`` to ``kept[to]``, none of those kept; -1 if there
    is none between them."""
    first, last = kept[k], kept[to]
    found, farthest = -1, -1.0
    run_x, run_y, run_z = (
        points[last, 0] - points[first, 0],
        points[last, 1] - points[first, 1],
        points[last, 2] - points[first, 2],
    )
    square = run_x * run_x + run_y * run_y + run_z * run_z
    cx, cy, radius = 0.0, 0.0, 0.0
    if sweep != 0.0:
        cx, cy, radius = circle_of(points, first, last, sweep)
    for m in range(k, to):
        for v in range(kept[m] + 1, kept[m + 1]):
            x, y, z = points[v, 0] - points[first, 0], points[v, 1] - points[first, 1], points[v, 2] - points[first, 2]
            if sweep != 0.0:
                off = abs(math.hypot(points[v, 0] - cx, points[v, 1] - cy) - radius)
            else:
                along = (x * run_x + y * run_y + z * run_z) / square if square > 0.0 else 0.0
                off = math.sqrt((x - along * run_x) ** 2 + (y - along * run_y) ** 2 + (z - along * run_z) ** 2)
            if off > farthest:
                found, farthest = v, off
    return found
