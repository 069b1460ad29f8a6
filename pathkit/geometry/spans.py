"""Curves as spans: vertices joined by straight lines or true circular arcs.

A curve is three things: ``points`` (n, 2) in mm, ``sweeps`` (one angle in radians for each span, 0 for a line, positive
counter-clockwise, |sweep| < 2π) and ``closed``. A closed curve has n spans (the last leads back to the first vertex,
which is not repeated), an open one n − 1. *Stations* are arc lengths in mm from the first vertex.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import InputError
from pathkit.tolerances import QUOTIENT_ROUNDING, ROUNDING

Array = NDArray[np.float64]
Indices = NDArray[np.int64]


class Spans(NamedTuple):
    """A curve split into columns, one row per span.

    ``start`` and ``end`` are (m, 2) in mm, of a trace (m, 3), ``centre`` (m, 2), NaN for lines, ``sweep`` (m,) in
    radians, ``length`` (m,) in mm, ``station`` (m + 1,) the arc length at which each span begins; its last entry is the
    whole length.
    """

    start: Array
    end: Array
    centre: Array
    sweep: Array
    length: Array
    station: Array


def arc_centre(start: Array, end: Array, sweep: Array) -> Array:
    """Centres (m, 2) of arcs from ``start`` to ``end`` (m, 2) that turn by ``sweep`` (m,); NaN where sweep is 0.

    The centre lies on the chord's bisector, half the chord over tan(sweep/2) to the left (chord geometry of a circle).
    """
    chord = end - start
    normal = np.stack([-chord[:, 1], chord[:, 0]], axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        offset = np.where(sweep != 0.0, 0.5 / np.tan(sweep / 2.0), np.nan)
    return 0.5 * (start + end) + normal * offset[:, None]


def take_apart(points: Array, sweeps: Array, closed: bool) -> Spans:
    """Columns of the curve's spans. Points may be (n, 3) too: z then changes evenly along each span."""
    if len(points) < 2:
        empty = np.zeros((0, points.shape[1]))
        return Spans(empty, empty, np.zeros((0, 2)), np.zeros(0), np.zeros(0), np.zeros(1))
    end = np.concatenate([points[1:], points[:1]]) if closed else points[1:]
    start = points if closed else points[:-1]
    return joined(start, end, sweeps)


def joined(start: Array, end: Array, sweeps: Array) -> Spans:
    """Columns of spans from ``start`` (m, 2 or 3) to ``end``, one after the other."""
    chord = np.sqrt(((end - start) ** 2).sum(axis=1))
    if not sweeps.any():
        centre = np.full((len(sweeps), 2), np.nan)
        return Spans(start, end, centre, sweeps, chord, np.concatenate([[0.0], np.cumsum(chord)]))
    centre = arc_centre(start[:, :2], end[:, :2], sweeps)
    if start.shape[1] == 3:
        plan = np.sqrt(((end - start)[:, :2] ** 2).sum(axis=1))
        with np.errstate(divide="ignore", invalid="ignore"):
            round_it = plan * np.abs(sweeps) / (2.0 * np.abs(np.sin(sweeps / 2.0)))
        # A helix unrolls to a straight line.
        length = np.where(sweeps != 0.0, np.hypot(round_it, end[:, 2] - start[:, 2]), chord)
    else:
        with np.errstate(divide="ignore", invalid="ignore"):
            length = np.where(sweeps != 0.0, chord * np.abs(sweeps) / (2.0 * np.abs(np.sin(sweeps / 2.0))), chord)
    station = np.concatenate([[0.0], np.cumsum(length)])
    return Spans(start, end, centre, sweeps, length, station)


def point_at(spans: Spans, station: float) -> Array:
    """The point (2,) at a station, which is clamped to the curve."""
    index, along = _locate(spans, station)
    return _point_on(spans, index, along)


def points_at(spans: Spans, stations: Array) -> Array:
    """The points (k, 2) at stations (k,), which are clamped to the curve; vertices are returned exactly."""
    stations = np.clip(stations, 0.0, spans.station[-1])
    index = np.clip(np.searchsorted(spans.station, stations, side="right") - 1, 0, len(spans.length) - 1)
    along, length = stations - spans.station[index], spans.length[index]
    start, end, sweep = spans.start[index, :2], spans.end[index, :2], spans.sweep[index]
    share = along / np.where(length > 0.0, length, 1.0)
    points: Array = start + (end - start) * share[:, None]
    if sweep.any():
        arm, turn = start - spans.centre[index], sweep * share
        cos, sin = np.cos(turn), np.sin(turn)
        turned = np.stack([cos * arm[:, 0] - sin * arm[:, 1], sin * arm[:, 0] + cos * arm[:, 1]], axis=1)
        points = np.where((sweep != 0.0)[:, None], spans.centre[index] + turned, points)
    points = np.where((along >= length - ROUNDING)[:, None], end, points)
    return np.where((along <= ROUNDING)[:, None], start, points)


def heading_at(spans: Spans, station: float) -> Array:
    """Unit tangent (2,) in the plan at a station; at a vertex, the tangent of the span that begins there."""
    index, along = _locate(spans, station)
    sweep = spans.sweep[index]
    chord = spans.end[index][:2] - spans.start[index][:2]
    direction: Array = chord / math.hypot(chord[0], chord[1])
    if sweep == 0.0:
        return direction
    return _turned(direction, sweep * (along / spans.length[index] - 0.5))


def between(spans: Spans, first: float, last: float) -> Spans:
    """The stretch from station ``first`` to ``last`` ≥ ``first`` of an open or closed curve, as spans.

    On a closed curve the stations may run past the end: they wrap. Stretches shorter than `ROUNDING` are dropped.
    """
    total = float(spans.station[-1])
    laps = 0 if total == 0.0 else max(0, math.floor(first / total + QUOTIENT_ROUNDING))
    first, last = first - laps * total, last - laps * total
    starts: list[Array] = []
    ends: list[Array] = []
    sweeps: list[float] = []
    centres: list[Array] = []
    base = 0.0
    while base < last - ROUNDING and total > 0.0:
        begin = int(np.searchsorted(spans.station, max(first - base, 0.0) + ROUNDING, side="right")) - 1
        for index in range(max(begin, 0), len(spans.length)):
            low = max(first, base + spans.station[index])
            high = min(last, base + spans.station[index + 1])
            if low >= last - ROUNDING:
                break
            if high - low <= ROUNDING:
                continue
            at, to = low - base - spans.station[index], high - base - spans.station[index]
            starts.append(_point_on(spans, index, at))
            ends.append(_point_on(spans, index, to))
            share = (to - at) / spans.length[index]
            sweeps.append(float(spans.sweep[index]) * min(share, 1.0))
            centres.append(spans.centre[index])
        base += total
    if not starts:
        return take_apart(np.zeros((0, 2)), np.zeros(0), False)
    sweep = np.array(sweeps)
    start, end = np.array(starts), np.array(ends)
    length = np.sqrt(((end - start) ** 2).sum(axis=1))
    arcs = sweep != 0.0
    length[arcs] *= np.abs(sweep[arcs]) / (2.0 * np.abs(np.sin(sweep[arcs] / 2.0)))
    return Spans(start, end, np.array(centres), sweep, length, np.concatenate([[0.0], np.cumsum(length)]))


def turned_round(spans: Spans) -> Spans:
    """The same spans, run from the end to the beginning."""
    length = spans.length[::-1].copy()
    return Spans(
        spans.end[::-1].copy(),
        spans.start[::-1].copy(),
        spans.centre[::-1].copy(),
        -spans.sweep[::-1],
        length,
        np.concatenate([[0.0], np.cumsum(length)]),
    )


def flatten(points: Array, sweeps: Array, closed: bool, tolerance: float) -> Array:
    """Vertices (k, 2 or 3) of a polyline that stays within ``tolerance`` mm of the curve.

    If the curve is closed, the first vertex is not repeated at the end.

    Chords of an arc: sagitta r(1 − cos(θ/2)) ≤ tolerance (circle geometry).
    """
    if len(points) < 2 or not sweeps.any():
        return points
    vertices = chords(take_apart(points, sweeps, closed), tolerance)[0]
    return vertices if closed else np.concatenate([vertices, points[-1:]])


def chords(spans: Spans, tolerance: float) -> tuple[Array, Indices]:
    """The start of every span, and the vertices within it of chords that stay within ``tolerance`` mm, (k, 2 or 3); and
    how many of them each span has (m,)."""
    arcs = np.flatnonzero(spans.sweep)
    turn = spans.sweep[arcs]
    count = np.ones(len(spans.sweep), np.int64)
    in_space = spans.start.shape[1] == 3
    radius = _radii(spans, arcs) if in_space else spans.length[arcs] / np.abs(turn)
    count[arcs] = _chord_counts(radius, turn, tolerance)
    of, step = parted(count)
    vertices: Array = spans.start[of]
    inside = np.flatnonzero(step)
    of = of[inside]
    share = step[inside] / count[of]
    turns = spans.sweep[of] * share
    centre, cos, sin = spans.centre[of], np.cos(turns), np.sin(turns)
    x, y = (spans.start[of, :2] - centre).T
    vertices[inside, 0] = centre[:, 0] + cos * x - sin * y
    vertices[inside, 1] = centre[:, 1] + sin * x + cos * y
    if in_space:
        vertices[inside, 2] += (spans.end[of, 2] - spans.start[of, 2]) * share
    return vertices, count


def parted(count: Indices) -> tuple[Indices, Indices]:
    """For things that are parted into ``count`` (m,) parts each: of which thing each part is, and its number in it from
    0, both (sum of count,)."""
    of: Indices = np.repeat(np.arange(len(count)), count)
    return of, np.arange(len(of)) - np.repeat(np.cumsum(count) - count, count)


def _radii(spans: Spans, arcs: Indices) -> Array:
    arm = spans.start[arcs, :2] - spans.centre[arcs]
    radius: Array = np.hypot(arm[:, 0], arm[:, 1])
    return radius


def chord_count(radius: float, sweep: float, tolerance: float) -> int:
    """How many equal chords keep the sagitta r(1 − cos(θ/2)) of an arc within ``tolerance`` mm."""
    return int(_chord_counts(np.array([radius]), np.array([sweep]), tolerance)[0])


def _chord_counts(radius: Array, sweep: Array, tolerance: float) -> Indices:
    if not tolerance > 0.0:
        raise InputError(f"a tolerance of {tolerance} mm can never be kept; give one above 0")
    tiny = radius <= tolerance
    widest = 2.0 * np.arccos(1.0 - tolerance / np.where(tiny, tolerance, radius))
    widest[tiny] = math.pi / 2.0
    count: Indices = np.ceil(np.abs(sweep) / widest - np.where(tiny, 0.0, QUOTIENT_ROUNDING)).astype(np.int64)
    return np.maximum(count, 1)


def signed_area(spans: Spans) -> float:
    """Area in mm² of a closed curve, positive counter-clockwise: shoelace plus r²(θ − sin θ)/2 for each arc."""
    return float(np.sum(areas(spans)))


def areas(spans: Spans) -> Array:
    """(m,) mm² between each span and the origin; those of a closed curve add up to its area."""
    (x, y), (next_x, next_y) = spans.start.T, spans.end.T
    found: Array = 0.5 * (x * next_y - next_x * y)
    arcs = np.flatnonzero(spans.sweep)
    if len(arcs):
        turn = spans.sweep[arcs]
        radius = spans.length[arcs] / np.abs(turn)
        found[arcs] += 0.5 * radius**2 * (turn - np.sin(turn))
    return found


def bounds(spans: Spans) -> tuple[float, float, float, float]:
    """(min x, min y, max x, max y) in mm of them all, exact for arcs."""
    box = boxes(spans)
    low, high = box[:, :2].min(axis=0), box[:, 2:].max(axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def boxes(spans: Spans) -> Array:
    """(m, 4) min x, min y, max x, max y (mm) of each span: its ends and, exact, the quadrants that an arc passes."""
    low, high = np.minimum(spans.start[:, :2], spans.end[:, :2]), np.maximum(spans.start[:, :2], spans.end[:, :2])
    arcs = np.flatnonzero(spans.sweep)
    if len(arcs):
        centre, sweep = spans.centre[arcs], spans.sweep[arcs]
        arm = spans.start[arcs, :2] - centre
        radius, begin = np.hypot(arm[:, 0], arm[:, 1]), np.arctan2(arm[:, 1], arm[:, 0])
        for quadrant, direction in enumerate(((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))):
            ahead = (quadrant * math.pi / 2 - begin) * np.sign(sweep) % (2 * math.pi)
            passed = ahead <= np.abs(sweep)
            rim, at = (centre + radius[:, None] * np.array(direction))[passed], arcs[passed]
            low[at], high[at] = np.minimum(low[at], rim), np.maximum(high[at], rim)
    return np.concatenate([low, high], axis=1)


def corner_stations(spans: Spans, closed: bool, angle: float = math.radians(5.0)) -> Array:
    """Stations (k,) of vertices where the heading turns by more than ``angle`` radians."""
    count = len(spans.length)
    corners = []
    for index in range(0 if closed else 1, count):
        before = _turned(_chord(spans, index - 1), spans.sweep[index - 1] / 2.0)
        after = _turned(_chord(spans, index), -spans.sweep[index] / 2.0)
        cross, dot = before[0] * after[1] - before[1] * after[0], before @ after
        if abs(math.atan2(cross, dot)) > angle:
            corners.append(spans.station[index])
    return np.array(corners)


def _chord(spans: Spans, index: int) -> Array:
    chord = spans.end[index][:2] - spans.start[index][:2]
    unit: Array = chord / math.hypot(chord[0], chord[1])
    return unit


def _turned(direction: Array, angle: float) -> Array:
    cos, sin = math.cos(angle), math.sin(angle)
    return np.array([cos * direction[0] - sin * direction[1], sin * direction[0] + cos * direction[1]])


def _locate(spans: Spans, station: float) -> tuple[int, float]:
    station = min(max(station, 0.0), float(spans.station[-1]))
    index = int(np.searchsorted(spans.station, station, side="right")) - 1
    index = min(max(index, 0), len(spans.length) - 1)
    return index, station - float(spans.station[index])


def _point_on(spans: Spans, index: int, along: float) -> Array:
    length = spans.length[index]
    # Vertices are returned exactly, so that a curve cut at its own vertices closes without a gap.
    point: Array
    if along <= ROUNDING:
        point = spans.start[index]
        return point
    if along >= length - ROUNDING:
        point = spans.end[index]
        return point
    if spans.sweep[index] == 0.0:
        point = spans.start[index] + (spans.end[index] - spans.start[index]) * (along / length)
        return point
    centre = spans.centre[index]
    turned: Array = centre + _turned(spans.start[index][:2] - centre, float(spans.sweep[index]) * along / length)
    if len(spans.start[index]) == 3:
        z = spans.start[index][2] + (spans.end[index][2] - spans.start[index][2]) * along / length
        return np.append(turned, z)
    return turned
