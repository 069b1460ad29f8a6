"""How far a program moves outside the wood, and how often it lifts the bit out of it."""

from __future__ import annotations

import numpy as np

from pathkit.motion.program import RAPID, Program


def travel(program: Program) -> float:
    """mm in the plane at rapid; moves from or to a place not yet known count as 0."""
    rapid = program.kind == RAPID
    step = (program.end - program.origins)[rapid, :2]
    return float(np.nansum(np.sqrt((step**2).sum(axis=1))))


def vertical(program: Program) -> float:
    """mm up and down at rapid; moves from or to an unknown height count as 0."""
    rise = (program.end - program.origins)[program.kind == RAPID, 2]
    return float(np.nansum(np.abs(rise)))


def retracts(program: Program) -> int:
    """How often the bit is lifted out of a cut: upward at rapid, directly after a move at feed."""
    rapid = program.kind == RAPID
    rise = program.end[:, 2] - program.origins[:, 2]
    after_cut = np.concatenate([[False], ~rapid[:-1]])
    return int(np.count_nonzero(rapid & after_cut & (rise > 0.0)))
