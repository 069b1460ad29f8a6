"""What a filled element of a drawing looks like: its edge, by SVG's fill rules (SVG 1.1, 11.3; SVG 2, 13.4)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pathkit.curves.regions import rings_of
from pathkit.model.curve import Curve
from pathkit.tolerances import NO_AREA, SAME_PLACE, SHAPE_CHORDS


def closed_by_fill(curve: Curve) -> Curve:
    """A subpath as filling closes it: by a straight line from its end to its start. A straight one stays a line."""
    if curve.closed or curve.is_point or (len(curve.points) < 3 and not curve.sweeps.any()):
        return curve
    return Curve(curve.points, [*curve.sweeps, 0.0], closed=True)


def edges_of_fill(curves: Sequence[Curve], *, even_odd: bool = False) -> tuple[Curve, ...]:
    """The edges of what one element fills, by the non-zero winding rule unless ``even_odd``. Open curves are kept.

    If no subpath crosses or touches itself or another, the curves stay as they are, less those that lie within what is
    filled anyway. If one does, the edge of the whole is worked out, its arcs as chords within `SHAPE_CHORDS` mm.
    """
    rings = [curve for curve in curves if curve.closed]
    lines = [curve for curve in curves if not curve.closed]
    if not rings:
        return tuple(lines)
    flat = [ring.flattened(SHAPE_CHORDS) for ring in rings]
    kept = _apart(rings, flat, even_odd) if all(len(vertices) > 2 for vertices in flat) else None
    if kept is None:
        kept = _worked_out([vertices for vertices in flat if len(vertices) > 2], even_odd)
    return (*lines, *kept)


def _apart(rings: Sequence[Curve], flat: Sequence[NDArray[np.float64]], even_odd: bool) -> list[Curve] | None:
    """The rings that are edges of what is filled; None where some cross or touch."""
    import shapely

    plates = [shapely.Polygon(vertices) for vertices in flat]
    if not all(plate.is_valid for plate in plates):
        return None
    if len(rings) == 1:
        return list(rings)
    edges = [plate.exterior for plate in plates]
    first, second = shapely.STRtree(edges).query(edges, predicate="intersects")
    if np.any(first != second):
        return None
    if even_odd:
        return list(rings)
    inner, outer = shapely.STRtree(plates).query(shapely.points([vertices[0] for vertices in flat]), "within")
    turns = np.array([1 if ring.area > 0.0 else -1 for ring in rings])
    around = np.bincount(inner, weights=np.where(inner != outer, turns[outer], 0.0), minlength=len(rings))
    return [ring for ring, out, turn in zip(rings, around, turns, strict=True) if (out != 0) != (out + turn != 0)]


def _worked_out(flat: Sequence[NDArray[np.float64]], even_odd: bool) -> list[Curve]:
    """Rings round the filled faces: all subpaths together divide the plane into faces, and the winding number of each
    says whether it is filled."""
    import shapely

    # Where lines run back on themselves, rounding decides where they cross; on a grid they all cross alike.
    edges = shapely.union_all([shapely.LinearRing(vertices) for vertices in flat], grid_size=SAME_PLACE)
    faces = shapely.get_parts(shapely.polygonize(shapely.get_parts(edges)))
    filled: list[Any] = []
    for face in faces:
        inside = shapely.point_on_surface(face)
        turns = sum(_winding(vertices, inside.x, inside.y) for vertices in flat)
        if turns % 2 if even_odd else turns:
            filled.append(face)
    whole = shapely.union_all(filled)
    return [ring for ring in rings_of(whole) if abs(ring.area) > NO_AREA]


def _winding(ring: NDArray[np.float64], x: float, y: float) -> int:
    """How often a ring (k, 2) goes round a place that is not on it: its crossings of the ray to the right."""
    x0, y0 = ring[:, 0] - x, ring[:, 1] - y
    x1, y1 = np.roll(x0, -1), np.roll(y0, -1)
    side = x0 * y1 - x1 * y0
    up, down = (y0 <= 0.0) & (y1 > 0.0) & (side > 0.0), (y0 > 0.0) & (y1 <= 0.0) & (side < 0.0)
    return int(up.sum()) - int(down.sum())
