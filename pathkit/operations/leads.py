"""Leads: ways on to and off a contour that leave no mark on it: quarter circles tangent to it, with an overlap.

The bit comes down beside the contour and joins it along its tangent. It goes once round and a little further, past the
place where it joined, and leaves along another quarter circle. The contour becomes an open curve, run one way only.
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
"""Degrees at which the bit goes down on its lead; 2 to 5 in wood (common practice, no source)."""

SHARES = (1.0, 0.75, 0.5, 0.35)
"""Radii tried, as shares of the one asked for: a short lead still joins the contour along its tangent."""

_CLEAR = 0.3
"""The least distance from any wall at which a lead begins and ends, as a share of its radius (common practice, no
source)."""

_MOST_PLACES = 48


class WithLead(NamedTuple):
    """A contour with its leads; ``lead`` is the length (mm) of each, 0 if there is no room for them."""

    curve: Curve
    lead: float

    @property
    def entry(self) -> Entry:
        """Down on the lead alone, so that the bit never touches the contour on its way down."""
        return Ramp(ANGLE, within=self.lead) if self.lead else Plunge()


def with_lead(ring: Curve, room: BaseGeometry, tool: Tool, radius: float, overlap: float, *, left: bool) -> WithLead:
    """The closed ``ring`` with leads of at most ``radius`` mm and ``overlap`` mm run twice.

    The leads lie to the ring's ``left`` or right, within ``room``: where the bit's centre may be. They begin and end
    clear of its edge, and are long enough for the bit to go down on. The middles of the ring's spans are tried, long
    straight ones first. If nothing fits, the ring is returned as it was.
    """
    side = 1.0 if left else -1.0
    stations = places_on(ring)
    overlap = min(overlap, ring.length / 4.0)
    # A bit that does not cut at its centre leaves a post under it unless it runs at least its own radius.
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
    """Stations (mm) of the middles of spans: straight before bent ones, long before short ones."""
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
    # Both arcs end on the edge of the room; arcs and edge are flattened to chords.
    wide = room.buffer(3.0 * SHAPE_CHORDS)
    shapely.prepare(wide)
    edge = room.boundary
    ends = np.array([[on.points[0], off.points[-1]] for on, off in leads])
    clear = shapely.distance(edge, shapely.points(ends)).min(axis=1) >= _CLEAR * radius
    fits = np.flatnonzero(shapely.covers(wide, lines) & clear)
    return stations[int(fits[0])] if len(fits) else None


def _leads(ring: Curve, station: float, radius: float, overlap: float, side: float) -> tuple[Curve, Curve]:
    """The lead on to the ring, which joins it at ``station``, and the lead off it, ``overlap`` mm further."""
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
    """Unit tangent (2,) with which the ring arrives at a station; at a corner, that of the span which ends there."""
    return geometry.heading_at(ring.spans, (station - 10.0 * ROUNDING) % ring.length)


def left_of(heading: NDArray[np.float64]) -> NDArray[np.float64]:
    """A heading (2,) turned a quarter turn counter-clockwise."""
    return np.array([-heading[1], heading[0]])


def joined(ring: Curve, station: float, overlap: float, on: Curve, off: Curve) -> Curve:
    """The closed ring from ``station`` once round and ``overlap`` mm further, with a lead on to it and one off it."""
    lap = geometry.between(ring.spans, station, station + ring.length)
    over = geometry.between(ring.spans, station, station + overlap)
    # The first lap ends exactly where it began, so that the second begins there too.
    points = [on.points[:1], on.points[1:], lap.start[1:], on.points[1:], over.start[1:], off.points]
    sweeps = [on.sweeps, lap.sweep, over.sweep, off.sweeps]
    if overlap <= ROUNDING:
        points = [on.points, lap.start[1:], on.points[1:], off.points[1:]]
        sweeps = [on.sweeps, lap.sweep, off.sweeps]
    return Curve(np.concatenate(points), np.concatenate(sweeps))
