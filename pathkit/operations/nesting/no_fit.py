"""No-fit areas: the places at which one part would come too near another.

The places p at which B, moved by p, meets A are the Minkowski sum of A and −B: known since Art (1966), named no-fit
polygon by Adamowicz and Albano (1976), both cited from memory. Both parts are cut into triangles; the sum of two convex
pieces is the hull of the sums of their corners, and the sum of the parts is the union over all pairs.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from pathkit.tolerances import RELATIVE_ROUNDING, REPEATED

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

Ring = NDArray[np.float64]

MITRE = 1.5
"""How far the corners of the room around a part may stick out, as a multiple of its width."""


def grown(ring: Ring, by: float) -> Any:
    """The inside of a ring and at least ``by`` mm of room around it, with corners rather than arcs (shapely)."""
    import shapely

    area: Any = shapely.Polygon(ring)
    if not area.is_valid:
        area = shapely.make_valid(area)
    if by <= 0.0:
        return area
    return shapely.buffer(area, by, join_style="mitre", mitre_limit=MITRE)


def pieces(area: BaseGeometry) -> tuple[Ring, ...]:
    """Convex pieces (k, 2) that together are the area."""
    import shapely

    hull = shapely.convex_hull(area)
    if hull.area - shapely.area(area) <= RELATIVE_ROUNDING * hull.area:
        return (shapely.get_coordinates(hull)[:-1],)
    triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(area))
    return tuple(shapely.get_coordinates(each)[:-1] for each in triangles)


def no_fit(standing: tuple[Ring, ...], carried: tuple[Ring, ...]) -> Any:
    """The area of all p for which ``carried`` + p meets ``standing``; each is given as convex pieces."""
    import shapely

    sums = [(a[:, None, :] - b[None, :, :]).reshape(-1, 2) for a in standing for b in carried]
    hulls: list[Any] = [shapely.convex_hull(shapely.multipoints(each)) for each in sums]
    if len(hulls) == 1:
        return hulls[0]
    # On a grid this fine, the seams between the sums of triangles close.
    return shapely.union_all(hulls, grid_size=REPEATED)
