"""How high a rapid across the board must be: over the board, and over each clamp and screw that it crosses."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from pathkit.lowering.rows import Rows
from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.model.stock import Stock, Zone
from pathkit.model.tool import Tool
from pathkit.model.toolpath import Toolpath

if TYPE_CHECKING:
    from numpy.typing import NDArray

BESIDE: Final = 2.0
"""mm of clearance at which bit and holder may pass beside a clamp (common practice, no source)."""

NUT: Final = 20.0
"""mm, the radius of a holder of unknown width: a collet nut of a small router (common practice, no source)."""

Place = tuple[float, float]


@dataclass(frozen=True)
class Air:
    """Heights of moves between cuts, mm in the bench frame.

    ``base`` is ``travel`` above the thickest board and every toolpath. A move on which bit, shank or holder crosses one
    of the ``zones``, or passes it by less than `BESIDE`, goes ``travel`` above the zone's top. ``board`` is the z of
    the thickest board's top, from which the heights of zones count.
    """

    base: float
    travel: float = 0.0
    board: float = 0.0
    zones: tuple[Zone, ...] = ()

    @property
    def highest(self) -> float:
        """Over everything: for moves from or to a place that is not known."""
        return max([self.base, *(self.board + zone.height + self.travel for zone in self.zones)])

    @cached_property
    def _shapes(self) -> tuple[NDArray[Any], NDArray[np.float64]]:
        shapes = np.array([zone.shape for zone in self.zones], dtype=object)
        return shapes, np.array([self.board + zone.height + self.travel for zone in self.zones])

    def over(self, tool: Tool, begin: Place, end: Place) -> float:
        """z for a straight rapid between two places."""
        if not self.zones:
            return self.base
        if np.isnan([*begin, *end]).any():
            return self.highest
        import shapely

        shapes, wanted = self._shapes
        apart = shapely.distance(shapely.linestrings([begin, end]), shapes)
        needed = [
            float((wanted - lift)[apart < radius + BESIDE].max(initial=self.base)) for radius, lift in _bodies(tool)
        ]
        return max(self.base, *needed)

    def cross(self, rows: Rows, tool: Tool | None, place: Place) -> None:
        """A rapid to a place, first up as high as the way there needs; it never goes down."""
        if tool is not None and (height := self.over(tool, (rows.x, rows.y), place)) > rows.z:
            rows.to_height(height)
        rows.rapid(*place, rows.z)


NO_AIR: Final = Air(float("nan"))
"""Unknown heights, for callers that do not use them."""


def air_over(job: Job, machine: Machine) -> Air:
    """The air over a job's board."""
    stock, travel = job.stock, machine.heights.travel
    top = max([stock.highest_top, *(summit(toolpath, stock) for toolpath in job.toolpaths)])
    zones = tuple(zone for zone in stock.zones if zone.is_keep_out)
    return Air(top + travel, travel, stock.highest_top, zones)


def summit(toolpath: Toolpath, stock: Stock) -> float:
    """z of the highest place that a toolpath reaches or where it meets wood."""
    highest = toolpath.highest(stock)
    return max(highest, float(toolpath.curve.points[:, 2].max())) if toolpath.curve.is_trace else highest


def _bodies(tool: Tool) -> list[Place]:
    """(radius, height above the tip) of bit, shank and holder; unknown sizes are taken to be wide and low."""
    bodies = [(tool.radius, 0.0)]
    if tool.shank is not None and tool.shank > tool.diameter:
        bodies.append((tool.shank / 2.0, tool.cut_length or 0.0))
    holder = tool.holder / 2.0 if tool.holder is not None else max(NUT, tool.radius)
    bodies.append((holder, tool.reach or tool.cut_length or 0.0))
    return bodies
