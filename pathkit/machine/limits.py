"""Does it fit the machine: the board on the bed, the feeds and speeds within the limits of axes and spindle?"""

from __future__ import annotations

import numpy as np

from pathkit.findings import Finding
from pathkit.machine.orientation import orientation
from pathkit.machine.profile import Machine
from pathkit.model.job import Setup
from pathkit.model.stock import Stock
from pathkit.tolerances import ROUNDING


def board_fits(stock: Stock, machine: Machine, setup: Setup | None = None) -> tuple[Finding, ...]:
    """Whether the placed board fits the machine's travel, by size alone; one finding for each axis too short."""
    way = orientation(machine, stock, setup)
    corners = way.points(np.array([[0.0, 0.0, 0.0], [stock.width, stock.depth, 0.0]]))
    size = np.abs(corners[1] - corners[0])
    return tuple(
        Finding(
            check="board fits",
            what=f"the board needs {size[i]:g} mm along {axis}, but {machine.name!r} moves {room:g} mm",
            fix="turn the board, take a smaller one, or split the job",
        )
        for i, (axis, room) in enumerate((("X", machine.travel.x), ("Y", machine.travel.y)))
        if size[i] > room + ROUNDING
    )
