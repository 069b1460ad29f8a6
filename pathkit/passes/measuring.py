"""How far a program moves outside the wood, and how often it lifts the bit out of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from pathkit.errors import PathkitError
from pathkit.motion.program import RAPID, Program

if TYPE_CHECKING:
    from pathkit.machine.profile import Machine
    from pathkit.model.job import Setup


@dataclass(frozen=True)
class Measured:
    """A program on one machine: travel in the plane and up and down at rapid (mm), how often the bit is lifted out of
    the wood, s. None for a job that could not be lowered."""

    travel: float | None = None
    vertical: float | None = None
    retracts: int | None = None
    run_time: float | None = None


def measured(
    program: Program | None, machine: Machine, setup: Setup | None = None, *, seconds: float | None = None
) -> Measured:  # fmt: skip
    """How a program runs on this machine; every figure is None for no program. ``seconds`` is its time, if known."""
    from pathkit.machine.kinematics import run_time

    if program is None:
        return Measured()
    try:
        spent = run_time(program, machine, setup).total if seconds is None else seconds
    except PathkitError:
        return Measured()
    return Measured(travel(program), vertical(program), retracts(program), spent)


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
