"""Recesses with open sides: where the edge has no wall, the bit runs out past it.

The region is extended past its open edges, so that a raster over it covers the edge with the whole bit. Of the passes
round the region, only what runs along a wall is kept; it is extended just as far.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.curves.alike import stations_at
from pathkit.curves.intersections import Chain, distance
from pathkit.curves.regions import Region, Shape, refusal
from pathkit.geometry import spans as geometry
from pathkit.geometry.spans import Spans
from pathkit.model.curve import Curve
from pathkit.operations.offset import inset
from pathkit.tolerances import COARSE_CHORDS, INWARD, LOOK_BACK, ON_OPEN_LINE, SAME_PLACE

Floats = NDArray[np.float64]

_STEEP = 0.3  # a wall that meets its open edge at a flatter angle than this (sine) is not extended


class OpenRegion(NamedTuple):
    """A region extended past its open edges; ``rim`` holds the lines (open, or a whole ring) where it then ends."""

    region: Region
    rim: tuple[Curve, ...]


def open_region(region: Region, edges: Shape | Sequence[Shape], past: float, name: str) -> OpenRegion:
    """The region extended ``past`` mm beyond every stretch of its edge that lies on one of ``edges``.

    ``edges`` are lines or closed shapes (a part's outline, say). Walls that lean outward are extended in their own
    direction; others end square. Raises `InputError` if no stretch is open, if an open stretch turns or curves inward
    too much, or if the line past it crosses itself.
    """
    lines = _lines(edges, name)
    upon = _chain(lines)
    rings: list[Curve] = []
    rim: list[Curve] = []
    for ring in region.rings:
        stretches = _open_stretches(ring, lines, upon)
        if not stretches:
            rings.append(ring)
        elif stretches == [(0.0, ring.length)]:
            outer = inset((ring,), -past)
            rings += outer
            rim += outer
        else:
            carried, ends = _carried(ring, stretches, partial(_past, past=past, name=name), name)
            rings.append(carried)
            rim += ends
    if not rim:
        raise refusal(name, "no stretch of its edge lies on its open edges", "draw open edges on the edge of the shape")
    return OpenRegion(Region(tuple(rings)), tuple(rim))


def open_stretches(ring: Curve, edges: Sequence[Curve]) -> list[tuple[float, float]]:
    """Stations (low, high) along a ring between which it lies on one of the lines; the last may run past its end."""
    return _open_stretches(ring, edges, _chain(edges)) if edges else []


def with_wider_mouths(
    ring: Curve, stretches: list[tuple[float, float]], by: float, name: str
) -> tuple[Curve, tuple[Curve, ...]]:  # fmt: skip
    """A ring (its region to the left) whose open stretches, not all of it, lie ``by`` mm further out, and those as
    lines.

    The walls beside them go on straight until they meet them, and so do open stretches at a corner between them. Raises
    `InputError` as `open_region`.
    """
    wider, rim = _carried(ring, stretches, partial(_further, by=by, name=name), name)
    spans = wider.spans
    joint = np.array([
        spans.sweep[k - 1] == 0.0 == spans.sweep[k]
        and abs(_turn(_heading(spans, k - 1, 1.0), _heading(spans, k, 0.0))) < INWARD
        for k in range(len(spans.sweep))
    ])  # fmt: skip
    return Curve(wider.points[~joint], wider.sweeps[~joint], closed=True), tuple(rim)


def beside(ring: Curve, lines: Sequence[Curve], off: float) -> tuple[Curve, ...]:
    """The stretches of a ring whose spans lie ``off`` mm beside one of the lines, each as an open line."""
    spans = ring.spans
    shares = np.array([0.25, 0.5, 0.75])
    places = ring.along((spans.station[:-1, None] + spans.length[:, None] * shares).ravel())
    near: NDArray[np.bool_] = np.abs(distance(_chain(lines), places) - off) <= ON_OPEN_LINE
    there = np.asarray(near.reshape(-1, len(shares)).all(axis=1))
    return (ring,) if there.all() else _runs(ring, there)


def walls_on_both_sides(ring: Curve, edges: Shape | Sequence[Shape], name: str) -> NDArray[np.bool_]:
    """(k,): for each vertex of a ring, whether it lies on none of the lines or closed shapes ``edges``."""
    lines = _lines(edges, name)
    return distance(_chain(lines), ring.points) > ON_OPEN_LINE if lines else np.ones(len(ring.points), np.bool_)


def along_walls(rings: Sequence[Curve], rim: Sequence[Curve], radius: float) -> tuple[Curve, ...]:
    """What runs along walls, as rings and open curves, of rings that lie ``radius`` mm within an extended region."""
    if not rim:
        return tuple(rings)
    ends = _chain(rim)
    kept: list[Curve] = []
    for ring in rings:
        spans = ring.spans
        middles = ring.along(spans.station[:-1] + spans.length / 2.0)
        outer = distance(ends, middles) <= radius + ON_OPEN_LINE
        if not outer.any():
            kept.append(ring)
            continue
        kept += _runs(ring, ~outer)
    return tuple(kept)


def _runs(ring: Curve, there: NDArray[np.bool_]) -> tuple[Curve, ...]:
    """The stretches of a ring whose spans are ``there``, which not all of them are, as open lines."""
    spans = ring.spans
    found: list[Curve] = []
    for begin in np.flatnonzero(there & ~np.roll(there, 1)).tolist():
        count = int(np.argmin(np.roll(there, -begin)))
        low = float(spans.station[begin])
        found.append(_open(geometry.between(spans, low, low + float(np.roll(spans.length, -begin)[:count].sum()))))
    return tuple(found)


def _lines(edges: Any, name: str) -> list[Curve]:
    if isinstance(edges, Curve) or hasattr(edges, "geom_type"):
        edges = (edges,)
    lines: list[Curve] = []
    for edge in edges:
        if isinstance(edge, Curve):
            found = [edge]
        else:
            kind = getattr(edge, "geom_type", None)
            if kind not in ("LineString", "LinearRing", "MultiLineString", "Polygon", "MultiPolygon") or edge.is_empty:
                raise refusal(name, f"an open edge is {edge!r:.80}", "pass a Curve, or a shapely line or polygon")
            whole = edge.boundary if "Polygon" in kind else edge
            found = [Curve(line.coords) for line in getattr(whole, "geoms", [whole])]
        if any(line.is_point or line.is_trace for line in found):
            raise refusal(name, "an open edge is a point or a trace", "pass plane lines")
        lines += found
    return lines


def _chain(curves: Sequence[Curve]) -> Chain:
    return Chain(*(np.concatenate([getattr(curve.spans, field) for curve in curves]) for field in Chain._fields))


def _open_stretches(ring: Curve, lines: Sequence[Curve], upon: Chain) -> list[tuple[float, float]]:
    """Stations (low, high) of the stretches that lie on the lines; the last may run past the ring's end."""
    length = ring.length
    corners = ring.spans.station
    ends = sorted(at for line in lines for place in line.points for at in stations_at(ring, place, ON_OPEN_LINE))
    # An end beside a vertex of the ring is meant to be that vertex; else a sliver of the wall would count as open.
    ends = [at for at in ends if np.abs(corners - at).min() > 2.0 * ON_OPEN_LINE]
    ends = [at for k, at in enumerate(ends) if k == 0 or at - ends[k - 1] > ON_OPEN_LINE]
    cuts = sorted([*corners.tolist(), *ends])
    places = np.array(
        [[ring.at(low + share * (high - low)) for share in (0.25, 0.5, 0.75)] for low, high in pairwise(cuts)]
    )
    is_open = (distance(upon, places.reshape(-1, 2)).reshape(-1, 3) <= ON_OPEN_LINE).all(axis=1)
    if is_open.all():
        return [(0.0, length)]
    merged: list[tuple[float, float]] = []
    for (low, high), here in zip(pairwise(cuts), np.asarray(is_open).tolist(), strict=True):
        if here:
            merged = (
                [*merged[:-1], (merged[-1][0], high)] if merged and merged[-1][1] == low else [*merged, (low, high)]
            )
    if len(merged) > 1 and merged[0][0] == 0.0 and merged[-1][1] == length:
        merged = [*merged[1:-1], (merged[-1][0], length + merged[0][1])]
    return merged


def _carried(
    ring: Curve, stretches: list[tuple[float, float]], line: Callable[[Spans, Spans, Spans], Curve], name: str
) -> tuple[Curve, list[Curve]]:
    """The ring with each open stretch replaced by the ``line`` past it, and those lines.

    ``line`` makes it of the stretch, the wall before it and the wall after it.
    """
    from shapely.geometry import Polygon

    points: list[Floats] = []
    sweeps: list[float] = []
    rim: list[Curve] = []
    followed = [*stretches[1:], (stretches[0][0] + ring.length, 0.0)]
    for (low, high), (following, _) in zip(stretches, followed, strict=True):
        wall = geometry.between(ring.spans, high, following)
        before = geometry.between(ring.spans, _wall_before(low, ring), low if low > 0.0 else ring.length)
        outer = line(geometry.between(ring.spans, low, high), before, wall)
        rim.append(outer)
        points += [*outer.points, *wall.start]
        sweeps += [*outer.sweeps, 0.0, *wall.sweep]
        # The wall's last point is the next stretch's first; from there a line leads out to the rim.
        points.append(wall.end[-1])
        sweeps.append(0.0)
    carried = Curve(np.array(points), sweeps, closed=True)
    if not Polygon(carried.flattened(COARSE_CHORDS)).is_valid:
        raise refusal(name, "the line past its open edge crosses itself", "open each straight stretch on its own")
    return carried, rim


def _wall_before(low: float, ring: Curve) -> float:
    """A station on the wall a little before the stretch that begins at ``low``."""
    begin = low if low > 0.0 else ring.length
    return max(
        begin - LOOK_BACK, float(ring.spans.station[int(np.searchsorted(ring.spans.station, begin - SAME_PLACE)) - 1])
    )


def _past(stretch: Spans, before: Spans, after: Spans, *, past: float, name: str) -> Curve:
    """The line ``past`` mm outside an open stretch, from the end of the wall before it to that of the wall after it."""
    points: list[Floats] = []
    sweeps: list[float] = []
    count = len(stretch.sweep)
    for k in range(count):
        first, last = _heading(stretch, k, 0.0), _heading(stretch, k, 1.0)
        if k:
            turn = _turn(_heading(stretch, k - 1, 1.0), first)
            if turn < -INWARD:
                raise refusal(name, "its open edge turns inward", "open each stretch on its own, or straighten it")
            if turn > INWARD:
                sweeps.append(turn)
                points.append(stretch.start[k] + past * _right(first))
        else:
            points.append(stretch.start[0] + past * _right(first))
        sweep = float(stretch.sweep[k])
        if sweep < 0.0 and stretch.length[k] / -sweep <= past:
            raise refusal(name, "its open edge curves inward too tightly for the bit", "take a narrower bit")
        sweeps.append(sweep)
        points.append(stretch.end[k] + past * _right(last))
    for at, wall, edge, inner in _ends(stretch, before, after):
        out = (points[at] - inner) / past
        # Where the wall leans outward, the region widens towards its open edge, and the bit follows the wall further.
        if wall @ edge < -INWARD and wall @ out > _STEEP:
            further = inner + wall * (past / float(wall @ out))
            points, sweeps = ([further, *points], [0.0, *sweeps]) if at == 0 else ([*points, further], [*sweeps, 0.0])
    return Curve(np.array(points), sweeps)


def _further(stretch: Spans, before: Spans, after: Spans, *, by: float, name: str) -> Curve:
    """The line ``by`` mm outside an open stretch, from where the wall before it would meet it if both went on, to where
    it would so meet the wall after it. Straight pieces of it meet as walls do, arcs keep their centre."""
    count = len(stretch.sweep)
    # Between two places on it a piece is a line, or the arc about its centre.
    points: list[Floats] = []
    pieces: list[int] = []
    for k in range(count):
        first = _heading(stretch, k, 0.0)
        turn = _turn(_heading(stretch, k - 1, 1.0), first) if k else 0.0
        if turn < -INWARD:
            raise refusal(name, "its open edge turns inward", "open each stretch on its own, or straighten it")
        if turn > INWARD:
            one, other = points[-1] - stretch.start[k], by * _right(first)
            meet = stretch.start[k] + (one + other) / (1.0 + float(one @ other) / by**2)
            points, pieces = [*points, meet, stretch.start[k] + other], [*pieces, _LINE, _LINE]
        elif k == 0:
            points.append(stretch.start[0] + by * _right(first))
        pieces.append(k if stretch.sweep[k] else _LINE)
        points.append(stretch.end[k] + by * _right(_heading(stretch, k, 1.0)))
    for at, wall, edge, inner in _ends(stretch, before, after):
        along = float(wall @ ((points[at] - inner) / by))
        if along > _STEEP:
            points[at] = _where_met(stretch, at % count, inner, wall, by, along)
        elif not (abs(along) <= INWARD and wall @ edge > 0.0 and stretch.sweep[at] == 0.0):
            what = f"at ({inner[0]:.2f}, {inner[1]:.2f}) a wall runs into its open edge at a flat angle"
            raise refusal(name, what, "draw the edge past which it is open further out")
        # Else the wall goes on in line with the open edge, which ends square.
    sweeps = [
        0.0 if k == _LINE else _about(stretch, k, *pair) for k, pair in zip(pieces, pairwise(points), strict=True)
    ]
    return Curve(np.array(points), sweeps)


_LINE: Final = -1


def _where_met(stretch: Spans, k: int, inner: Floats, wall: Floats, by: float, along: float) -> Floats:
    """Where a wall that goes on from ``inner`` in the heading ``wall`` meets what lies ``by`` mm outside a span."""
    if stretch.sweep[k] == 0.0:
        return inner + wall * (by / along)
    arm = inner - stretch.centre[k]
    sign = math.copysign(1.0, float(stretch.sweep[k]))
    radius = math.hypot(*arm) + sign * by
    # |arm + t wall| = radius; of both places the one near the span's end.
    across = float(arm @ wall)
    root = math.sqrt(across**2 - float(arm @ arm) + radius**2)
    return inner + wall * (-across + sign * root)


def _about(stretch: Spans, k: int, one: Floats, other: Floats) -> float:
    """The sweep (radians) of an arc from one place to another about the centre of a span, the way that it turns."""
    turn = _turn(one - stretch.centre[k], other - stretch.centre[k])
    return turn + math.copysign(2.0 * math.pi, float(stretch.sweep[k])) if turn * stretch.sweep[k] < 0.0 else turn


def _ends(stretch: Spans, before: Spans, after: Spans) -> tuple[tuple[int, Floats, Floats, Floats], ...]:
    """For each end of an open stretch: its index, the heading in which the wall arrives there, the heading in which the
    stretch leaves it, and the place."""
    last = len(stretch.sweep) - 1
    return (
        (0, _heading(before, len(before.sweep) - 1, 1.0), _heading(stretch, 0, 0.0), stretch.start[0]),
        (-1, -_heading(after, 0, 0.0), -_heading(stretch, last, 1.0), stretch.end[-1]),
    )


def _open(spans: Spans) -> Curve:
    return Curve(np.concatenate([spans.start, spans.end[-1:]]), spans.sweep)


def _heading(spans: Spans, index: int, share: float) -> Floats:
    """Unit tangent (2,) of a span at a share of its length."""
    chord = spans.end[index] - spans.start[index]
    unit = chord / np.hypot(chord[0], chord[1])
    turn = float(spans.sweep[index]) * (share - 0.5)
    cos, sin = np.cos(turn), np.sin(turn)
    return np.array([cos * unit[0] - sin * unit[1], sin * unit[0] + cos * unit[1]])


def _turn(one: Floats, other: Floats) -> float:
    return float(np.arctan2(one[0] * other[1] - one[1] * other[0], one @ other))


def _right(heading: Floats) -> Floats:
    return np.array([heading[1], -heading[0]])
