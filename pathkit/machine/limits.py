"""Does the board fit the machine's bed, and is the bed's own size likely?"""

from __future__ import annotations

from typing import Final

import numpy as np

from pathkit.findings import Finding
from pathkit.machine.orientation import orientation
from pathkit.machine.profile import Machine
from pathkit.model.job import Setup
from pathkit.model.stock import Stock
from pathkit.tolerances import ROUNDING
from pathkit.units import MM_PER_INCH

SHORT: Final = 80.0
"""mm: no router moves less along both X and Y. As many inches are two metres (common practice, no source)."""


def travel_findings(machine: Machine) -> tuple[Finding, ...]:
    """A warning where the travel of X and Y looks like inches; a profile gives mm."""
    x, y, z = machine.travel.x, machine.travel.y, machine.travel.z
    if max(x, y) >= SHORT:
        return ()
    inches = " × ".join(f"{each * MM_PER_INCH:.4g}" for each in (x, y, z))
    what = f"it moves {x:g} × {y:g} × {z:g} mm, which looks like inches; those would be {inches} mm"
    fix = f"look at travel in its profile: x = {x * MM_PER_INCH:.4g}, y = {y * MM_PER_INCH:.4g} if inches were meant"
    return (Finding(check="units", what=what, fix=fix, severity="warning", file=machine.name),)


def board_fits(stock: Stock, machine: Machine, setup: Setup | None = None) -> tuple[Finding, ...]:
    """Whether the placed board fits the machine's travel, by size alone; one finding for each axis too short."""
    way = orientation(machine, stock, setup)
    corners = way.points(np.array([[0.0, 0.0, 0.0], [stock.width, stock.depth, 0.0]]))
    size = np.abs(corners[1] - corners[0])
    return tuple(
        Finding(
            check="board fits",
            what=f"the board needs {size[i]:g} mm along {axis}, but {machine.name!r} moves {room:g} mm",
            fix=f"take a board that measures at most {room:g} mm there (width, depth), or turn it",
        )
        for i, (axis, room) in enumerate((("X", machine.travel.x), ("Y", machine.travel.y)))
        if size[i] > room + ROUNDING
    )
