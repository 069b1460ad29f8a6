"""Arcs for chains of short lines, and one line for several that are in line: fewer spans, within a tolerance.

What is made may be told from what was there by no more than the tolerance, both ways and place by place in their order.
Only vertices that were there are used. An arc needs evidence: at least four lines in a row, none of which turns by more
than 28.8° about the centre; the sagitta r(1 − cos(θ/2)) of each (circle geometry) within the tolerance; and no corner
among them: nowhere does the path turn back, or turn by more than twice what the arc turns there. So a polygon that is
larger than the tolerance stays one, whatever circle its corners lie on.

What was fitted and is fitted again stays as it is. A second look sees only the vertices that are left, and would drop
some of these, each time within its own tolerance: so lines end where it drops none (`lines_kernel`), and what else it
would do is done at once, or made impossible (`settling_kernel`). Only where there was noise, lines that are left of it
may become arcs.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import InputError
from pathkit.tolerances import FITTED

Array = NDArray[np.float64]
Ints = NDArray[np.int64]


class Fitted(NamedTuple):
    """Fewer spans for a path: ``points`` (m + 1, 3) mm, ``sweeps`` (m,) radians, ``feeds`` (m,) mm/min.

    It lies within ``deviation`` mm of the path that was there, and that one of it. Span k stands for the spans from
    ``first[k]`` on, up to ``first[k + 1]``; it begins exactly at their first vertex and ends at their last.
    """

    points: Array
    sweeps: Array
    feeds: Array
    deviation: float
    first: Ints


def fit(points: Array, sweeps: Array, feeds: Array, tolerance: float = FITTED, *, arcs: bool = True) -> Fitted:
    """Fewer spans for an open path of ``points`` (n, 3) mm, ``sweeps`` (n − 1,) radians, 0 a line, and ``feeds``
    (n − 1,) mm/min, all within ``tolerance`` mm.

    Arcs lie in the plan, and rise evenly if they rise (helices). Those that are there are kept, and joined where they
    are of one circle. A change of feed is never passed over. Without ``arcs`` none is made or joined.

    Raises `InputError` for a tolerance that is not above 0.
    """
    if not tolerance > 0.0:
        raise InputError(f"a tolerance of {tolerance} mm can never be kept; give one above 0, such as {FITTED:g}")
    spans = len(points) - 1
    if spans < 1:
        return Fitted(points, sweeps, feeds, 0.0, np.zeros(0, np.int64))
    from pathkit.curves.settling_kernel import settle

    # Copies: for an array that cannot be written, kernels would be compiled once more.
    vertices, angles = (np.array(array, dtype=float, order="C") for array in (points, sweeps))
    room = np.empty(spans + 1, np.int64), np.empty(spans + 1, np.int64)
    until, turns, deviation = _runs(vertices, angles, feeds, float(tolerance), arcs, room)
    for _ in range(_ROUNDS):
        first = np.flatnonzero(until >= 0)
        kept = np.append(first, spans)
        again, bent, _ = _runs(vertices[kept], turns[first], feeds[first], float(tolerance), arcs, room)
        changed, worst = settle(vertices, kept, again, bent, angles == 0.0, float(tolerance), until, turns, *room)
        deviation = max(deviation, worst)
        if not changed:
            break
    first = np.flatnonzero(until >= 0)
    return Fitted(points[np.append(first, spans)], turns[first], feeds[first], float(deviation), first)


_ROUNDS = 12
"""Looks at what would be fitted again; three or four are enough, mostly."""


def _runs(
    points: Array, sweeps: Array, feeds: Array, tolerance: float, arcs: bool, room: tuple[Ints, Ints]
) -> tuple[Ints, Array, float]:  # fmt: skip
    """For each vertex (n,) where the span that begins there ends (-1: none does) and how much it turns; the largest
    deviation, mm."""
    from pathkit.curves.fitting_kernel import fit_runs

    spans = len(sweeps)
    line = sweeps == 0.0
    changes = (feeds[1:] != feeds[:-1]) | (line[1:] != line[:-1])
    ends = np.append(np.flatnonzero(changes) + 1, spans)
    until, turns = np.full(spans, -1, np.int64), np.zeros(spans)
    return until, turns, float(fit_runs(points, sweeps, ends, tolerance, arcs, until, turns, *room))
