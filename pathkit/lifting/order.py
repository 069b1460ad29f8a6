"""Which cuts must stay in the order of a file whose intent is not known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from pathkit.model.stock import Stock
from pathkit.model.toolpath import Toolpath
from pathkit.tolerances import COARSE_CHORDS, ROUGH_PLAN, WOOD_BETWEEN

if TYPE_CHECKING:
    from numpy.typing import NDArray

HOLDS: Final = 1.0
"""mm of wood under a cut that surely hold what it goes round (common practice, no source); a skin of less may not."""


@dataclass(frozen=True)
class Meeting:
    """Pairs of cuts (first, second) by number, in the file's order; ``touch`` have ground in common, of ``inside`` one
    lies within what the other encloses."""

    touch: tuple[tuple[int, int], ...]
    inside: tuple[tuple[int, int], ...] = field(default=())

    @property
    def pairs(self) -> tuple[tuple[int, int], ...]:
        return tuple(dict.fromkeys(self.touch + self.inside))


def meetings(paths: Sequence[Toolpath], stock: Stock) -> Meeting:
    """The pairs whose order may matter: whoever cuts deeper, frees a piece, or prepares the ground for another.

    Cuts whose ground meets keep their order, since the first may make room for the second. So do a cut that leaves less
    than `HOLDS` and what lies within the ground that it, or all such cuts that it touches, go round: once that is free,
    nothing can be cut on it.
    """
    import shapely

    if len(paths) < 2:
        return Meeting(())
    lines = np.array([plan(path) for path in paths], dtype=object)
    radius = np.array([reach(path, stock) for path in paths])
    touch = _within(lines, radius)
    frees = np.array([path.lowest < stock.highest_underside + HOLDS for path in paths])
    group = np.where(frees, _groups(len(paths), touch[frees[touch].all(axis=1)]), -1)
    inside: set[tuple[int, int]] = set()
    tree = shapely.STRtree(lines)
    for number, ring in _enclosed(lines, radius, group):
        members = np.flatnonzero(group == number)
        hits = tree.query(ring, predicate="intersects")
        for other in hits[group[hits] != number].tolist():
            inside.update((min(other, member), max(other, member)) for member in members.tolist())
    return Meeting(tuple(map(tuple, touch.tolist())), tuple(sorted(inside)))


def reach(path: Toolpath, stock: Stock) -> float:
    """mm beside its own way that a cut reaches in the wood: of a vee, no more than its point is wide at the board's
    highest top (geometry of a cone)."""
    flare = path.tool.flare if path.tool.kind == "vee" else 0.0
    depth = max(stock.highest_top - path.lowest, 0.0)
    return min(path.tool.radius, flare * depth) if flare else path.tool.radius


def plan(path: Toolpath) -> Any:
    """What the middle of the bit runs along in the plan, roughly (`ROUGH_PLAN`): a shapely Point or LineString."""
    import shapely

    curve = path.curve
    if curve.is_point:
        return shapely.Point(curve.points[0, :2])
    points = curve.flattened(COARSE_CHORDS)[:, :2]
    points = np.concatenate([points, points[:1]]) if curve.closed else points
    return shapely.simplify(shapely.LineString(points), ROUGH_PLAN)


def _within(lines: NDArray[Any], radius: NDArray[np.float64]) -> NDArray[np.int64]:
    """(k, 2) pairs of cuts that lie nearer to one another than their radii and `WOOD_BETWEEN` add up to."""
    import shapely

    tree = shapely.STRtree(lines)
    found = []
    for each in np.unique(radius):
        mine = np.flatnonzero(radius == each)
        one, other = tree.query(lines[mine], predicate="dwithin", distance=each + radius.max() + WOOD_BETWEEN)
        one = mine[one]
        near = one < other
        one, other = one[near], other[near]
        if len(np.unique(radius)) > 1:
            apart = shapely.distance(lines[one], lines[other])
            keep = apart <= radius[one] + radius[other] + WOOD_BETWEEN
            one, other = one[keep], other[keep]
        found.append(np.column_stack([one, other]))
    pairs = np.concatenate(found)
    return pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))]


def _groups(count: int, pairs: NDArray[np.int64]) -> NDArray[np.int64]:
    """(count,) the number of the group of touching cuts that each belongs to."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    links = coo_array((np.ones(len(pairs), np.int8), (pairs[:, 0], pairs[:, 1])), shape=(count, count))
    labels = connected_components(links, directed=False)[1]
    return np.asarray(labels, np.int64)


def _enclosed(
    lines: NDArray[Any], radius: NDArray[np.float64], group: NDArray[np.int64]
) -> list[tuple[int, Any]]:  # fmt: skip
    """For each group the outlines of its ground, filled in; groups that go round nothing are left out, and group −1."""
    import shapely

    found = []
    for number in np.unique(group[group >= 0]).tolist():
        mine = np.flatnonzero(group == number)
        ground = shapely.union_all(shapely.buffer(lines[mine], radius[mine] + WOOD_BETWEEN, quad_segs=4))
        polygons = [part for part in shapely.get_parts(ground) if len(part.interiors)]
        if polygons:
            found.append((number, shapely.union_all([shapely.Polygon(part.exterior) for part in polygons])))
    return found
