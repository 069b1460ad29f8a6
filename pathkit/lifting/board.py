"""The board of a file that does not tell of one: the smallest that holds its cuts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.lifting.chains import CHECK, Chain
from pathkit.machine.orientation import orientation
from pathkit.machine.profile import Machine
from pathkit.model.job import Setup
from pathkit.model.stock import Stock
from pathkit.model.toolpath import FINEST
from pathkit.motion.program import RAPID, Program
from pathkit.tolerances import SAME_HEIGHT

TENTHS: Final = 10.0
"""Parts of a millimetre to which the board is rounded up."""

GIVE: Final = "give the board: its width, depth and thickness, and whether zero is on its top or on the bed"


def assumed_board(
    program: Program, machine: Machine, setup: Setup | None, radius: float, findings: list[Finding]
) -> Stock:
    """The smallest board that holds all cuts, with zero on its top and at the machine's own corner of it.

    ``radius`` (mm) is that of the widest bit. Raises `InputError` if zero cannot be at that corner, or on the top.
    """
    cut = (program.kind != RAPID) & np.isfinite(program.end).all(axis=1) & np.isfinite(program.origins).all(axis=1)
    if not cut.any() and (program.kind != RAPID).any():
        what, fix = "a cut begins at a place that is not known", "move to a known X, Y and Z first"
        raise InputError([Finding(check=CHECK, what=what, fix=fix)])
    if not cut.any():
        raise nothing_cut()
    if setup is not None and setup.turn:
        raise InputError([Finding(check=CHECK, what="the board is turned, and its size is not known", fix=GIVE)])
    # A board of no size has its zero in any corner of it.
    way = orientation(machine, Stock(1.0, 1.0, 1.0), setup)
    places = np.concatenate([program.origins[cut], program.end[cut]])
    placed, zero = way.points_back(places), way.points_back(np.zeros((1, 3)))[0]
    low, high = placed.min(axis=0) - zero, placed.max(axis=0) - zero
    share = zero[:2]
    size = []
    for axis, name in enumerate(("x", "y")):
        before, after = -low[axis] + radius, high[axis] + radius
        if share[axis] == 0.0:
            fits, length = -low[axis] <= radius + SAME_HEIGHT, after
        elif share[axis] == 1.0:
            fits, length = high[axis] <= radius + SAME_HEIGHT, before
        else:
            fits, length = True, 2.0 * max(before, after)
        if not fits:
            what = (
                f"the file cuts on both sides of its zero along {name}, so zero is not at the {machine.origin} corner"
            )
            raise InputError([Finding(check=CHECK, what=what, fix=f"say which corner has the zero, or {GIVE}")])
        size.append(math.ceil(length * TENTHS - SAME_HEIGHT) / TENTHS)
    lowest = float(low[2])
    if lowest > -FINEST:
        what = "the file never cuts below its zero, so zero is not on the board's top"
        raise InputError([Finding(check=CHECK, what=what, fix=GIVE)])
    board = Stock(size[0], size[1], -lowest, thickness_tolerance=0.0)
    what = (
        f"the board is not known; assumed: {size[0]:.4g} x {size[1]:.4g} x {-lowest:.4g} mm, the smallest that holds "
        f"all cuts, zero on its top at the {machine.origin} corner"
    )
    findings.append(Finding(check=CHECK, what=what, fix=GIVE, severity="warning"))
    return board


def nothing_cut() -> InputError:
    """The error for a program without a cut."""
    return InputError([Finding(check=CHECK, what="nothing is cut", fix="give a file with moves at a feed")])


def is_clear_of_zero(chains: Sequence[Chain]) -> None:
    """Raises `InputError` if a cut runs along above the zero of an assumed board: the top is elsewhere, then."""
    for chain in chains:
        if not chain.is_hole and chain.lowest > SAME_HEIGHT:
            what = f"a cut runs at z = {chain.lowest:g} mm, above zero: is zero on the board's top?"
            line = chain.line if chain.line > 0 else None
            raise InputError([Finding(check=CHECK, what=what, fix=GIVE, line=line)])
