"""Small questions about the moves of a file that several checks ask."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.motion.program import ARC, Program

Array = NDArray[np.float64]

MOST = 20
"""Places named one by one."""


def runs_and_falls(bench: Program) -> tuple[Array, Array]:
    """(m,) how far each move goes in the plan, along its arc, and by how much it falls (negative: rises), mm.

    0 where the previous place is unknown.
    """
    origin, end = bench.origins, bench.end
    run = np.hypot(*(end[:, :2] - origin[:, :2]).T)
    arcs = bench.kind == ARC
    run[arcs] = np.hypot(*(origin[arcs, :2] - bench.centre[arcs]).T) * np.abs(bench.sweep[arcs])
    return np.nan_to_num(run), np.nan_to_num(origin[:, 2] - end[:, 2])


def first_of_each(owner: NDArray[np.int32], marked: NDArray[np.bool_]) -> list[int]:
    """The first marked place of each owner, at most `MOST` in all."""
    places = np.flatnonzero(marked)
    _, first = np.unique(owner[places], return_index=True)
    return sorted(int(places[k]) for k in first)[:MOST]
