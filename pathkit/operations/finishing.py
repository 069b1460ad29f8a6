"""Contours cut in two passes: one that leaves an allowance, and a last lap at the wall that takes it off."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from pathkit.curves.regions import Shape, line_of
from pathkit.fields import Length
from pathkit.geometry import spans as geometry
from pathkit.model.checking import Checked
from pathkit.model.curve import Curve
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Descend, Toolpath
from pathkit.operations.contour import contour, no_room
from pathkit.operations.leads import heading_before, joined, left_of, places_on
from pathkit.tolerances import ON_KERF, SHAPE_CHORDS

ASTRAY: Final = 3.0
"""In allowances: a finishing ring that is further than this from a roughed ring does not belong to it."""

Point = NDArray[np.float64]


@dataclass(frozen=True)
class Finish(Checked):
    """``allowance`` mm are left on the wall for a last lap, which goes to the bottom in one level with ``full_depth``,
    else level by level."""

    allowance: Length
    full_depth: bool = True


def finished_contour(
    name: str, shape: Shape, tool: Tool, cutting: Cutting, *, finish: Finish | None, lead: float = 0.0,
    overlap: float | None = None, **options: Any,
) -> tuple[Toolpath, ...]:  # fmt: skip
    """A `contour` that keeps ``finish.allowance`` mm off the wall, and for each of its rings a lap at the wall.

    On the lap the bit goes straight down in the kerf, joins the wall along an arc of ``lead`` mm radius (the bit's
    radius if 0), runs once round and ``overlap`` mm further (the bit's radius unless given), and leaves along another
    arc. Names: ``name`` and ``name finish``, numbered if there are several. ``options`` are those of `contour`. Raises
    `InputError` as `contour` does, and if the allowance leaves no room. Without a ``finish``, the result is the plain
    contour.
    """
    if finish is None:
        return contour(name, shape, tool, cutting, lead=lead, overlap=overlap, **options)
    rough = contour(name, shape, tool, cutting, allowance=finish.allowance, **options)
    fine = contour(f"{name} finish", shape, tool, cutting, **options)
    # Climb cutting keeps the wood that stays to the right of the bit.
    left = options.get("direction", "climb") == "climb"
    over = tool.radius if overlap is None else overlap
    if len(rough) != len(fine):
        raise no_room(name, finish.allowance)
    laps = []
    for first, last in zip(rough, fine, strict=True):
        if _apart(last.curve, first.curve) > ASTRAY * finish.allowance:
            raise no_room(name, finish.allowance)
        curve, within = _led(last.curve, first.curve, finish.allowance, lead or tool.radius, over, left=left)
        entry = Descend(within) if within else last.entry
        bite = None if finish.full_depth else last.stepdown
        laps.append(replace(last, curve=curve, entry=entry, stepdown=bite, finishes=first.name))
    return (*rough, *laps)


def _apart(one: Curve, other: Curve) -> float:
    """The largest distance (mm) from a vertex of one closed curve, its arcs flattened, to the other curve."""
    import shapely

    places = shapely.points(one.flattened(SHAPE_CHORDS)[:, :2])
    return float(shapely.distance(places, line_of(other)).max())


def _led(
    ring: Curve, kerf: Curve, aside: float, radius: float, overlap: float, *, left: bool
) -> tuple[Curve, float]:  # fmt: skip
    """The ring with an arc from the line of its roughed ring (``kerf``), ``aside`` mm beside it, and an arc back to it.

    Also the length (mm) of each arc. If nothing fits, the ring as it was, and 0.
    """
    import shapely

    side = 1.0 if left else -1.0
    overlap = min(overlap, ring.length / 4.0)
    line, beside = line_of(ring), line_of(kerf)
    for station in places_on(ring):
        on = _arc(ring, station, radius, side, aside, line, before=True)
        off = _arc(ring, (station + overlap) % ring.length, radius, side, aside, line, before=False)
        if on is None or off is None:
            continue
        ends = shapely.points([on.points[0], off.points[-1]])
        if (shapely.distance(ends, beside) <= ON_KERF).all() and abs(on.length - off.length) < ON_KERF:
            return joined(ring, station, overlap, on, off), on.length
    return ring, 0.0


def _arc(
    ring: Curve, station: float, radius: float, side: float, aside: float, line: Any, *, before: bool
) -> Curve | None:  # fmt: skip
    """The arc, tangent to the ring at a station, that comes from ``aside`` mm off the ring or, if not ``before``, leads
    there. None if a quarter turn does not get that far."""
    import shapely

    met = ring.at(station)
    # At a corner the ring arrives on one span and leaves on the next.
    heading = geometry.heading_at(ring.spans, station) if before else heading_before(ring, station)
    centre = met + side * radius * left_of(heading)
    way = -side if before else side

    def end(turn: float) -> Point:
        cos, sin = math.cos(way * turn), math.sin(way * turn)
        return np.asarray(centre + np.array([[cos, -sin], [sin, cos]]) @ (met - centre))

    low, high = 0.0, math.pi / 2.0
    if shapely.distance(shapely.Point(end(high)), line) < aside:
        return None
    for _ in range(40):
        middle = (low + high) / 2.0
        if shapely.distance(shapely.Point(end(middle)), line) < aside:
            low = middle
        else:
            high = middle
    return Curve([end(high), met], [side * high]) if before else Curve([met, end(high)], [side * high])
