"""What a wide bit must leave of a pocket, cut by a narrower one: corners, necks, and the wall there."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from pathkit.curves.regions import Region, Shape, backward, line_of, refusal, region_of, rings_of
from pathkit.geometry import spans as geometry
from pathkit.model.curve import Curve
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Descend, Entry, Plunge, Toolpath
from pathkit.operations.contour import Direction, refuse_bit, too_narrow
from pathkit.operations.leads import SHARES, quarters, with_lead
from pathkit.operations.offset import buffered, inset
from pathkit.operations.pocket import (
    STEPOVER,
    Round,
    Style,
    floor_and_walls,
    floor_of,
    refuse_wide_steps,
    usual_allowance,
)
from pathkit.tolerances import IN_CLEARED, ROUNDING, SHAPE_CHORDS

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

CRUMB: Final = 5.0 * SHAPE_CHORDS
"""mm: an area nowhere wider than twice this is not wood left standing, but comes of chords and rounding."""

BRIDGED: Final = 3.0
"""In radii: a shorter stretch of cleared wall between two uncleared ones is run along too."""

_FINE: Final = 0.25  # of the radius: the pieces into which a wall is divided to find where wood is left at it


def rest(  # noqa: PLR0913 - each is asked for by its name
    name: str,
    shape: Shape,
    tool: Tool,
    cutting: Cutting,
    *,
    wide: Tool,
    bottom: float,
    top: float | None = None,
    stepdown: float | None = None,
    stepover: float = STEPOVER,
    angle: float = 0.0,
    islands: Sequence[Shape] = (),
    wall_allowance: float | None = None,
    direction: Direction = "climb",
    part: str | None = None,
    style: Style = "rows",
    lead: float | None = None,
    overlap: float | None = None,
) -> tuple[Toolpath, ...]:
    """Toolpaths of ``tool`` that clear what a `pocket` of the same shape, cut with the ``wide`` bit, leaves standing.

    That is the shape less its (morphological) opening by the disc of the wide bit. The narrow bit runs along the wall
    where wood is left at it, and a radius further on either side; it clears by rows or rings what it does not reach
    from the wall. It joins and leaves the wall along quarter circles of ``lead`` mm radius (the bit's radius unless
    given), or runs on along the wall if there is no room for them, and goes straight down where the wide bit has
    cleared the ground. The walls too are cut level by level, since nothing has been cleared there before. The other
    options are those of `pocket`.

    Names: ``name rows`` (``name rings``) and ``name wall``, numbered if there are several. There is no toolpath if the
    wide bit reaches as far as the narrow one. Raises `InputError` if ``tool`` is not the narrower bit, and as `pocket`
    does.
    """
    refuse_bit(name, tool)
    if tool.diameter >= wide.diameter:
        what = (
            f"the bit {tool.name!r} of {tool.diameter:g} mm is to clear what {wide.name!r} leaves, and is not narrower"
            f" than its {wide.diameter:g} mm"
        )
        raise refusal(name, what, "name the wider bit first")
    allowance = usual_allowance(tool) if wall_allowance is None else wall_allowance
    refuse_wide_steps(name, tool, stepover, allowance, style)
    region = region_of(shape, name, islands)
    room = inset(region.rings, tool.radius)
    if not room:
        raise too_narrow(name, region, tool)
    ground = _Ground(region, Region(room), tool, wide)
    if ground.left.is_empty:
        return ()
    radius, over = (tool.radius if value is None else value for value in (lead, overlap))
    walls = [run for ring in room for run in ground.along(ring, direction, radius, over)]
    field = ground.beyond([run.wall for run in walls], tool.radius + allowance)
    floor = floor_of(field, style, stepover * tool.diameter, angle, direction)
    rounds = [Round(run.curve, run.entry) for run in walls]
    common: dict[str, Any] = {"top": top, "bottom": bottom, "part": part}
    return floor_and_walls(name, style, tool, cutting, floor, rounds, stepdown, stepdown, **common)


@dataclass(frozen=True)
class _Run:
    """One pass along a wall: the ``wall`` alone, the curve with its leads, and how it is entered."""

    wall: Curve
    curve: Curve
    entry: Entry


class _Ground:
    """What the wide bit has ``cleared`` of a region, and what is ``left`` to the narrow one, whose centre stays in
    ``room``."""

    def __init__(self, region: Region, room: Region, tool: Tool, wide: Tool) -> None:
        import shapely

        self.region, self.room, self.radius, self.tool = region, room, tool.radius, tool
        self.cleared = buffered(buffered(region.area, -wide.radius), wide.radius)
        self.left = _without_crumbs(buffered(room.area, tool.radius).difference(self.cleared))
        shapely.prepare(self.left)
        shapely.prepare(self.cleared)

    def along(self, ring: Curve, direction: Direction, lead: float, overlap: float) -> list[_Run]:
        """The passes along an edge of the room from which the bit reaches what is left."""
        stretches = self._stretches(ring)
        climb = direction == "climb"
        if stretches != [(0.0, ring.length)]:
            return [self._led(ring, low, high, lead, left=climb) for low, high in stretches]
        run = ring if climb else backward(ring)
        if lead <= 0.0:
            return [_Run(run, run, Plunge())]
        whole = with_lead(run, self.room.area, self.tool, lead, overlap, left=climb)
        sunk = whole.lead > 0.0 and self._may_sink(whole.curve)
        return [_Run(run, whole.curve, Descend(whole.lead) if sunk else whole.entry)]

    def _stretches(self, ring: Curve) -> list[tuple[float, float]]:
        """The stretches (from, to; mm along the ring) that come within the bit's radius of what is left."""
        import shapely

        points = shapely.get_coordinates(shapely.segmentize(line_of(ring), _FINE * self.radius))
        station = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
        # Chords are a little shorter than their arcs.
        station *= ring.length / station[-1]
        pieces = shapely.linestrings(np.stack([points[:-1], points[1:]], axis=1))
        near = np.flatnonzero(shapely.dwithin(self.left, pieces, self.radius))
        found: list[tuple[float, float]] = []
        for k in near.tolist():
            low, high = float(station[k]), float(station[k + 1])
            if found and low - found[-1][1] <= BRIDGED * self.radius:
                found[-1] = (found[-1][0], high)
            else:
                found.append((low, high))
        if not found:
            return []
        wrapped = found[0][0] + ring.length - found[-1][1] <= BRIDGED * self.radius
        if wrapped and len(found) == 1:
            return [(0.0, ring.length)]
        if wrapped:
            first = found.pop(0)
            found[-1] = (found[-1][0], first[1] + ring.length)
        return found

    def _led(self, ring: Curve, low: float, high: float, lead: float, *, left: bool) -> _Run:
        """The pass along one stretch and a radius more on either side, with its leads."""
        import shapely

        further = self.radius
        wall = _stretch(ring, low - further, high + further, forward=left)
        room = self.room.area.buffer(3.0 * SHAPE_CHORDS)
        for share in SHARES if lead > 0.0 else ():
            curve = _with_quarters(wall, share * lead, 1.0 if left else -1.0)
            arcs = shapely.union_all([line_of(Curve(curve.points[k : k + 2], curve.sweeps[k : k + 1]))
                                      for k in (0, len(curve.sweeps) - 1)])  # fmt: skip
            if shapely.covers(room, arcs) and self._may_sink(curve):
                return _Run(wall, curve, Descend(share * lead * math.pi / 2.0))
        # Beyond the stretch the bit runs along the finished wall, and cuts nothing.
        return _Run(
            _stretch(ring, low, high, forward=left), wall, Descend(further) if self._may_sink(wall) else Plunge()
        )

    def _may_sink(self, curve: Curve) -> bool:
        import shapely

        return bool(shapely.covers(self.cleared, shapely.Point(curve.points[0]).buffer(self.radius - IN_CLEARED)))

    def beyond(self, walls: Sequence[Curve], off: float) -> Region:
        """Where the bit's centre must go to cut what it does not reach along the walls, ``off`` mm off every wall."""
        import shapely

        swept = shapely.union_all([buffered(line_of(wall), self.radius) for wall in walls])
        more = _without_crumbs(self.left.difference(swept))
        if more.is_empty:
            return Region(())
        inner = inset(self.region.rings, off)
        return Region(rings_of(Region(inner).area.intersection(buffered(more, self.radius))))


def _without_crumbs(area: BaseGeometry) -> BaseGeometry:
    return area.buffer(-CRUMB).buffer(2.0 * CRUMB).intersection(area)


def _stretch(ring: Curve, low: float, high: float, *, forward: bool) -> Curve:
    low, high = (low, high) if low >= 0.0 else (low + ring.length, high + ring.length)
    spans = geometry.between(ring.spans, low, high)
    curve = Curve(np.concatenate([spans.start, spans.end[-1:]]), spans.sweep)
    return curve if forward else backward(curve)


def _with_quarters(wall: Curve, radius: float, side: float) -> Curve:
    """The open curve with a quarter circle before and behind, tangential to it; on its left if ``side`` is 1."""
    ahead = geometry.heading_at(wall.spans, 0.0)
    away = geometry.heading_at(wall.spans, wall.length - 10.0 * ROUNDING)
    on, off = quarters((wall.points[0], ahead), (wall.points[-1], away), radius, side)
    return Curve([on.points[0], *wall.points, off.points[-1]], [*on.sweeps, *wall.sweeps, *off.sweeps])
