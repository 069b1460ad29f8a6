"""How fast each toolpath really runs, as the controller plans it: short moves end before their feed is reached."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.machine.kinematics import RunTime
from pathkit.motion.program import ARC, RAPID, Program
from pathkit.tolerances import ROUNDING


def mean_feeds(program: Program, clock: RunTime) -> dict[str, float]:
    """Name → mean feed (mm/min) of each toolpath's level moves: their length over the time they take.

    ``clock`` is the run time of this very program, row by row.
    """
    origin, end = program.origins, program.end
    length = _plan_lengths(program)
    with np.errstate(invalid="ignore"):
        level = np.abs(end[:, 2] - origin[:, 2]) < ROUNDING
    rows = np.flatnonzero((program.kind != RAPID) & level & (program.toolpath >= 0) & (length > 0.0))
    owner, count = program.toolpath[rows], len(program.names)
    way = np.bincount(owner, weights=length[rows], minlength=count)
    spent = np.bincount(owner, weights=clock.per_move[rows], minlength=count)
    return {
        name: float(60.0 * way[k] / spent[k]) for k, name in enumerate(program.names) if spent[k] > 0.0
    }  # fmt: skip


def seconds_at_feed(program: Program) -> float:
    """Seconds that all cutting moves take at the feeds that the program asks for: no machine is quicker."""
    rows = np.flatnonzero(program.kind != RAPID)
    rise = program.end[rows, 2] - program.origins[rows, 2]
    return float(60.0 * (np.hypot(_plan_lengths(program)[rows], rise) / program.feed[rows]).sum())


def _plan_lengths(program: Program) -> NDArray[np.float64]:
    """(n,) mm of each row, seen from above."""
    origin, end = program.origins, program.end
    length: NDArray[np.float64] = np.hypot(*(end[:, :2] - origin[:, :2]).T)
    arcs = np.flatnonzero(program.kind == ARC)
    length[arcs] = np.hypot(*(origin[arcs, :2] - program.centre[arcs]).T) * np.abs(program.sweep[arcs])
    return length
