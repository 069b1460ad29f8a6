"""Ways on and off a contour that leave no mark on it: quarter circles tangential to it, and an overlap.

The bit comes down beside the contour, meets it along its own tangent, goes once round and a little further, over the
place where it met it, and leaves the same way. So the contour becomes an open curve, run one way only.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.geometry import spans as geometry
from pathkit.model.curve import Curve
from pathkit.model.tool import Tool
from pathkit.model.toolpath import Entry, Plunge, Ramp
from pathkit.tolerances import ROUNDING, SHAPE_CHORDS

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

ANGLE = 3.0
"""Degrees at which the bit goes down on its lead. In wood 2-5 (common practice, no source)."""

SHARES = (1.0, 0.75, 0.5, 0.35)
"""Radii tried, as shares of the one asked for: a lead that is short still meets the contour along its tangent."""

_CLEAR = 0.3
"""Of the radius: how far from any wall a lead begins and ends at least (common practice, no source)."""

_MOST_PLACES = 48


class WithLead(NamedTuple):
    """A contour with its leads; ``lead`` is the length (mm) of each, 0 where there is room for none."""

    curve: Curve
    lead: float

    @property
    def entry(self) -> Entry:
        """Down on the lead alone, so that the contour is never touched by a bit on its way down."""
        return Ramp(ANGLE, within=self.lead) if self.lead else Plunge()


def with_lead(ring: Curve, room: BaseGeometry, tool: Tool, radius: float, overlap: float, *, left: bool) -> WithLead:
    """The closed ``ring`` with leads of at most ``radius`` mm and ``overlap`` mm run twice.

    The leads lie to the ring's ``left`` or right, within ``room``: where the bit's centre may be. They begin and end
    clear of its edge, and are long enough for the bit to go down on. Tried are the middles of the ring's spans, long
    straight ones first; where nothing fits the ring is handed back as it was.
    """
    side = 1.0 if left else -1.0
    stations = places_on(ring)
    overlap = min(overlap, ring.length / 4.0)
    # A bit that does not cut at its centre must run its own radius at least to leave no post under it.
    shortest = 0.0 if tool.plunges else tool.radius
    for share in SHARES:
        if share * radius * math.pi / 2.0 < shortest:
            break
        found = _first_fit(ring, stations, room, share * radius, overlap, side)
        if found is not None:
            on, off = _leads(ring, found, share * radius, overlap, side)
            return WithLead(joined(ring, found, overlap, on, off), share * radius * math.pi / 2.0)
    return WithLead(ring, 0.0)


def places_on(ring: Curve) -> list[float]:
    """Middles of spans: straight before bent, long before short."""
    spans = ring.spans
    order = np.lexsort((np.arange(len(spans.sweep)), -spans.length, spans.sweep != 0.0))[:_MOST_PLACES]
    return [float(spans.station[k] + spans.length[k] / 2.0) for k in order]


def _first_fit(
    ring: Curve, stations: list[float], room: BaseGeometry, radius: float, overlap: float, side: float
) -> float | None:  # fmt: skip
    import shapely

    leads = [_leads(ring, station, radius, overlap, side) for station in stations]
    lines = [
        shapely.MultiLineString([shapely.LineString(lead.flattened(SHAPE_CHORDS)) for lead in pair]) for pair in leads
    ]
    # Both arcs end on the edge of the room, and both are chords.
    wide = room.buffer(3.0 * SHAPE_CHORDS)
    shapely.prepare(wide)
    edge = room.boundary
    ends = np.array([[on.points[0], off.points[-1]] for on, off in leads])
    clear = shapely.distance(edge, shapely.points(ends)).min(axis=1) >= _CLEAR * radius
    fits = np.flatnonzero(shapely.covers(wide, lines) & clear)
    return stations[int(fits[0])] if len(fits) else None


def _leads(ring: Curve, station: float, radius: float, overlap: float, side: float) -> tuple[Curve, Curve]:
    """The way on, which meets the ring at ``station``, and the way off, ``overlap`` further."""
    on, off = station, (station + overlap) % ring.length
    ahead, away = geometry.heading_at(ring.spans, on), heading_before(ring, off)
    return quarters((ring.at(on), ahead), (ring.at(off), away), radius, side)


Place = NDArray[np.float64]


def quarters(
    met: tuple[Place, Place], left: tuple[Place, Place], radius: float, side: float
) -> tuple[Curve, Curve]:  # fmt: skip
    """Quarter circles on to a line where it is ``met`` and off it where it is ``left`` (place and heading, (2,) each);
    on its left if ``side`` is 1, on its right if it is -1."""
    (start, ahead), (stop, away) = met, left
    begin = start + side * radius * left_of(ahead) - radius * ahead
    end = stop + side * radius * left_of(away) + radius * away
    quarter = side * math.pi / 2.0
    return Curve([begin, start], [quarter]), Curve([stop, end], [quarter])


def heading_before(ring: Curve, station: float) -> NDArray[np.float64]:
    """Unit tangent (2,) with which the ring arrives at a station; at a corner that of the span that ends there."""
    return geometry.heading_at(ring.spans, (station - 10.0 * ROUNDING) % ring.length)


def left_of(heading: NDArray[np.float64]) -> NDArray[np.float64]:
    """A heading (2,) turned by a quarter counter-clockwise."""
    return np.array([-heading[1], heading[0]])


def joined(ring: Curve, station: float, overlap: float, on: Curve, off: Curve) -> Curve:
    """The closed ring from ``station`` once round and ``overlap`` mm further, with a way on to it and a way off."""
    lap = geometry.between(ring.spans, station, station + ring.length)
    over = geometry.between(ring.spans, station, station + overlap)
    # The first lap ends exactly where it began, so that the second begins there too.
    points = [on.points[:1], on.points[1:], lap.start[1:], on.points[1:], over.start[1:], off.points]
    sweeps = [on.sweeps, lap.sweep, over.sweep, off.sweeps]
    if overlap <= ROUNDING:
        points = [on.points, lap.start[1:], on.points[1:], off.points[1:]]
        sweeps = [on.sweeps, lap.sweep, off.sweeps]
    return Curve(np.concatenate(points), np.concatenate(sweeps))
