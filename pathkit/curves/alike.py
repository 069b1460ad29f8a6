"""Comparing contours: are two the same line on the board, run the same way, perhaps from another starting point?"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from pathkit.geometry.spans import between
from pathkit.model.curve import Curve
from pathkit.tolerances import SAME_PLACE

CORNER = math.radians(20.0)
"""A contour has a corner where its heading turns by more than this. Chords that stand for an arc turn by less."""

Thing = TypeVar("Thing")


def stations_at(curve: Curve, point: NDArray[np.float64], tolerance: float = SAME_PLACE) -> list[float]:
    """Every station (mm) at which the plane curve passes within ``tolerance`` of ``point`` (2,); one for each span."""
    if curve.is_point:
        return [0.0] if math.dist(curve.points[0], point) <= tolerance else []
    return [_on(curve, station) for apart, station in _feet(curve, point) if apart <= tolerance]


def nearest_station(curve: Curve, point: NDArray[np.float64]) -> float:
    """The station (mm) at which the plane curve comes nearest to ``point`` (2,); the first of several."""
    return _on(curve, min(_feet(curve, point))[1])


def _on(curve: Curve, station: float) -> float:
    return station % curve.length if curve.closed else station


def _feet(curve: Curve, point: NDArray[np.float64]) -> Iterator[tuple[float, float]]:
    """How far (mm) each span of the plane curve is from ``point`` (2,), and the station where it is nearest."""
    for index in range(len(curve.spans.length)):
        station = station_on(curve, index, point)
        yield math.dist(curve.at(station), point), station


def station_on(curve: Curve, index: int, point: NDArray[np.float64]) -> float:
    """The station (mm) at which span ``index`` of the curve is nearest to ``point``: (2,), or (3,) of a trace.

    Of an arc that rises it is the one at the same angle.
    """
    spans = curve.spans
    along = _along(spans.start[index], spans.end[index], spans.centre[index], float(spans.sweep[index]), point)
    return float(spans.station[index]) + min(max(along, 0.0), 1.0) * float(spans.length[index])


def _along(
    start: NDArray[np.float64], end: NDArray[np.float64], centre: NDArray[np.float64], sweep: float,
    point: NDArray[np.float64],
) -> float:  # fmt: skip
    """The place where the span's line or circle is nearest to the point, as a share of the span."""
    if sweep == 0.0:
        chord = end - start
        return float((point - start) @ chord / (chord @ chord))
    arm, reach = start[:2] - centre, point[:2] - centre
    turned = math.atan2(arm[0] * reach[1] - arm[1] * reach[0], arm @ reach)
    share = turned / sweep
    around = 2.0 * math.pi / abs(sweep)
    # The angle is known up to whole turns; take the one that lies on the arc, else the nearer end.
    return min((share, share + around, share - around), key=lambda s: max(-s, s - 1.0, 0.0))


def offset_between(one: Curve, other: Curve, tolerance: float = SAME_PLACE) -> float | None:
    """How far (mm) along ``one`` the curve ``other`` begins, if both are the same contour run the same way.

    None if they are not. For open curves it is 0.
    """
    if one.closed != other.closed or one.is_trace or other.is_trace or one.is_point != other.is_point:
        return None
    if one is other or one == other:
        return 0.0
    if abs(one.length - other.length) > tolerance:
        return None
    offsets = stations_at(one, other.points[0], tolerance) if one.closed else [0.0]
    for offset in offsets:
        if _agree(one, other, offset, tolerance):
            return offset
    return None


def _agree(one: Curve, other: Curve, offset: float, tolerance: float) -> bool:
    probes = _probes(other) + [station - offset for station in _probes(one)]
    for station in probes:
        # Rounding may carry a place just past the end of an open curve; `at` clamps it there.
        here = other.at(station % other.length) if other.closed else other.at(station)
        if math.dist(one.at(station + offset), here) > tolerance:
            return False
    return True


def _probes(curve: Curve) -> list[float]:
    """Vertices and two places within each span: spans that agree at all of these are the same."""
    if curve.is_point:
        return [0.0]
    begin, length = curve.spans.station[:-1], curve.spans.length
    return [float(s) for s in np.concatenate([begin, begin + length / 3.0, begin + 2.0 * length / 3.0])]


class Lap(NamedTuple):
    """An open curve that goes once round and comes back on itself, as a contour with leads does.

    It goes round from station ``low`` to ``high`` (mm). The ``over`` mm after ``low`` and after ``high`` are the same
    stretch, run twice.
    """

    low: float
    high: float
    over: float


def lap_of(curve: Curve) -> Lap | None:
    """The lap of an open plane curve; None for a closed one, and if it never returns to one of its vertices."""
    if curve.closed or curve.is_trace or curve.is_point:
        return None
    stations = curve.spans.station.tolist()
    for station in stations:
        again = [s for s in stations_at(curve, curve.at(station)) if s > station + SAME_PLACE]
        if again:
            break
    else:
        return None
    for last in reversed(stations):
        if any(s < last - SAME_PLACE for s in stations_at(curve, curve.at(last))):
            return Lap(station, again[0], max(last - again[0], 0.0))
    return None


def loop_of(curve: Curve) -> Curve | None:
    """The closed curve that a curve goes round: the curve itself, or its lap; None if it has none."""
    if curve.closed:
        return curve
    lap = lap_of(curve)
    if lap is None or lap.high - lap.low <= SAME_PLACE:
        return None
    spans = between(curve.spans, lap.low, lap.high)
    return Curve(spans.start, spans.sweep, closed=True)


def clusters(
    things: Iterable[Thing], *keys: Callable[[Thing], float], tolerance: float = SAME_PLACE
) -> list[list[Thing]]:
    """Groups of things whose values chain together within ``tolerance`` under every key.

    A coarse filter before pairs are compared.
    """
    groups: list[list[Thing]] = [list(things)]
    for key in keys:
        groups = [part for group in groups for part in _split(group, key, tolerance)]
    return [group for group in groups if group]


def _split(group: Sequence[Thing], key: Callable[[Thing], float], tolerance: float) -> list[list[Thing]]:
    # The sort is stable, so members of one cluster keep the order in which they came.
    parts: list[list[Thing]] = []
    last = -math.inf
    for thing in sorted(group, key=key):
        value = key(thing)
        if value - last > tolerance:
            parts.append([])
        parts[-1].append(thing)
        last = value
    return parts
