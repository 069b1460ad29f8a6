"""The audit's own plane geometry: chains of lines and arcs as vertices, and how far two drawings lie apart.

Nothing here comes from `pathkit.geometry`: an arc that is misread there must not be misread here too.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from pathkit.jobs.audit.tolerances import CHORD, OPEN

Points = NDArray[np.float64]

_QUARTERS: Final = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))  # cosine and sine of 0 to 3 quarter turns


def vertices(points: Any, sweeps: Any = None, closed: bool = False) -> Points:
    """Vertices (k, 2) of a chain whose spans turn by ``sweeps`` radians (0 a line), arcs to within `CHORD`.

    A closed chain comes back with its first vertex repeated at the end.
    """
    array = np.asarray(points, dtype=float)
    if array.ndim != 2 or array.shape[1] < 2 or not np.isfinite(array).all():
        raise ValueError("the points of a curve must be pairs of finite numbers")
    array = array[:, :2]
    ring = np.concatenate([array, array[:1]]) if closed else array
    if sweeps is None:
        return ring
    pieces: list[Points] = [ring[:1]]
    for start, end, sweep in zip(ring[:-1], ring[1:], np.asarray(sweeps, dtype=float), strict=True):
        pieces.append(end[None, :] if sweep == 0.0 else arc(start, end, float(sweep)))
    return np.concatenate(pieces)


def arc(start: Points, end: Points, sweep: float) -> Points:
    """Vertices (k, 2) of an arc without its first; the centre lies on the chord's bisector, chord / (2 tan θ/2) off."""
    chord = end - start
    centre = (start + end) / 2.0 + np.array([-chord[1], chord[0]]) / (2.0 * math.tan(sweep / 2.0))
    arm = start - centre
    radius = math.hypot(arm[0], arm[1])
    # The sagitta of a chord over the angle φ is r (1 − cos φ/2).
    step = 2.0 * math.acos(max(-1.0, 1.0 - CHORD / radius)) if radius > CHORD else math.pi / 4.0
    angles = np.linspace(0.0, sweep, max(2, math.ceil(abs(sweep) / step)) + 1)[1:]
    cos, sin = np.cos(angles), np.sin(angles)
    found: Points = centre + np.stack([arm[0] * cos - arm[1] * sin, arm[0] * sin + arm[1] * cos], axis=1)
    found[-1] = end
    return found


def vertices_of(curve: Mapping[str, Any]) -> Points:
    """Vertices (k, 2) of a curve as a job's JSON has it."""
    return vertices(curve["points"], curve.get("sweeps"), bool(curve.get("closed", False)))


def circle(centre: Sequence[float], radius: float) -> Points:
    """A closed polygon (k, 2), counter-clockwise from its rightmost point, within `CHORD` of the circle."""
    right, left = (centre[0] + radius, centre[1]), (centre[0] - radius, centre[1])
    return vertices([right, left], [math.pi, math.pi], closed=True)


def area(points: Points) -> float:
    """Signed area (mm²) of a ring, its last vertex joined to its first; positive counter-clockwise."""
    x, y = points[:, 0] - points[0, 0], points[:, 1] - points[0, 1]
    return float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum()) / 2.0


def length(points: Points) -> float:
    """Length (mm) of a polyline."""
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def without_ends(points: Points, by: float) -> Points:
    """A polyline without the first and the last ``by`` mm of its length."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    low, high = by, along[-1] - by
    inside = points[(along > low) & (along < high)]
    ends = np.stack([[np.interp(at, along, points[:, k]) for k in (0, 1)] for at in (low, high)])
    return np.concatenate([ends[:1], inside, ends[1:]])


def box(every: Iterable[Points]) -> tuple[float, float, float, float]:
    """(min x, min y, max x, max y) of them all."""
    array = np.concatenate(list(every))
    low, high = array.min(axis=0), array.max(axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def turned(points: Any, quarters: int) -> Points:
    """Points (k, 2) turned about the origin by quarters, counter-clockwise."""
    cos, sin = _QUARTERS[quarters % 4]
    array = np.asarray(points, dtype=float)[:, :2]
    return np.stack([cos * array[:, 0] - sin * array[:, 1], sin * array[:, 0] + cos * array[:, 1]], axis=1)


def apart(points: Iterable[Points], lines: Any) -> tuple[float, Points]:
    """The largest distance (mm) of any place along polylines from the ``lines``, and that place (2,).

    ``lines`` is a shapely geometry, within which every distance is 0, or the tree of `segments`. The polylines are
    sampled every millimetre, so that places between two vertices count too.
    """
    import shapely

    dense = shapely.get_coordinates(shapely.segmentize(join_lines(points), 1.0))
    if not len(dense):
        return 0.0, np.zeros(2)
    places: Any = shapely.points(dense)
    if isinstance(lines, shapely.STRtree):
        _, distances = lines.query_nearest(places, all_matches=False, return_distance=True)
    else:
        shapely.prepare(lines)
        distances = np.zeros(len(dense))
        outside = ~shapely.covers(lines, places)
        distances[outside] = shapely.distance(lines, places[outside])
    worst = int(np.argmax(distances))
    return float(distances[worst]), dense[worst]


def lies_on(place: Points, lines: Sequence[Points]) -> bool:
    """Whether a place (2,) lies on one of the polylines, which are open edges."""
    return bool(lines) and apart([place[None, :]], join_lines(lines))[0] <= OPEN


def line(points: Points) -> Any:
    """A polyline, or a single place, as a shapely geometry."""
    import shapely

    return shapely.linestrings(points) if len(points) > 1 else shapely.points(points[0])


def join_lines(every: Iterable[Points]) -> Any:
    """Polylines and places as one shapely geometry."""
    import shapely

    return shapely.GeometryCollection([line(points) for points in every])


def segments(every: Sequence[Points]) -> tuple[Any, NDArray[np.int64]]:
    """A tree (shapely) of all straight pieces of polylines, and (k,) which of them each piece belongs to."""
    import shapely

    pieces: list[Any] = [
        shapely.linestrings(np.stack([points[:-1], points[1:]], axis=1)) if len(points) > 1 else shapely.points(points)
        for points in every
    ]
    owner = np.repeat(np.arange(len(pieces)), [len(each) for each in pieces])
    return shapely.STRtree(np.concatenate(pieces)), owner


def plate(ring: Points) -> Any:
    """The inside of a ring, as a shapely polygon."""
    import shapely

    return shapely.Polygon(ring)


def union(areas: Sequence[Any]) -> Any:
    """All the areas (shapely) as one."""
    import shapely

    return shapely.union_all(list(areas))


def grown(shape: Any, by: float) -> Any:
    """A shapely geometry grown (negative: shrunk) by ``by`` mm, corners round, chords within `CHORD` of the arc."""
    radius = max(abs(by), CHORD)
    quarter = max(4, math.ceil(math.pi / 2.0 / (2.0 * math.acos(max(0.0, 1.0 - CHORD / radius)))))
    return shape.buffer(by, quad_segs=quarter)


def spot(area: Any) -> Points:
    """A place (2,) within a shapely area."""
    place = area.representative_point()
    return np.array([place.x, place.y])


def place_text(place: Points) -> str:
    """A place (x, y), mm, as messages show it."""
    return f"({place[0]:.3f}, {place[1]:.3f})"


SHARPEST: Final = 45.0
"""Degrees: a sharper corner is rounded where its sides are pushed apart."""


def pushed(area: Any, by: float) -> Any:
    """A shapely area whose edge is moved out by ``by`` mm (negative: in), with corners where its sides then meet."""
    import shapely

    tips: list[Any] = []
    # Where chords of a round touch a corner, a splinter is left, which is no corner.
    for piece in shapely.get_parts(shapely.simplify(area, 2.0 * CHORD)):
        for ring in (piece.exterior, *piece.interiors):
            points = shapely.get_coordinates(ring)[:-1]
            # The area lies to the left of its outer rings, run counter-clockwise, and of its inner ones, run clockwise.
            if ring.is_ccw != (ring is piece.exterior or ring.equals(piece.exterior)):
                points = points[::-1]
            tips += _tips(points, by)
    round_ = grown(area, by)
    return union([round_, *tips]) if by > 0.0 else round_.difference(union(tips))


def _tips(points: Points, by: float) -> list[Any]:
    """What a rounded corner lacks: between the corner, the ends of the sides as moved, and where those meet."""
    import shapely

    ahead = np.roll(points, -1, axis=0) - points
    kept = np.hypot(*ahead.T) > 0.0
    points, ahead = points[kept], ahead[kept]
    ahead = ahead / np.hypot(*ahead.T)[:, None]
    back = np.roll(ahead, 1, axis=0)
    turn = np.arctan2(back[:, 0] * ahead[:, 1] - back[:, 1] * ahead[:, 0], (back * ahead).sum(axis=1))
    opens = (turn * by > 0.0) & (np.abs(turn) < math.pi - math.radians(SHARPEST))
    before, after = (by * np.stack([way[:, 1], -way[:, 0]], axis=1)[opens] for way in (back, ahead))
    corner = points[opens]
    meet = corner + (before + after) / (1.0 + np.cos(turn[opens]))[:, None]
    return [shapely.Polygon(four) for four in np.stack([corner, corner + before, meet, corner + after], axis=1)]
