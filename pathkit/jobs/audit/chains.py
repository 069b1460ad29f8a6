"""Lines of a drawing as chains of vertices: filled as SVG fills them, and joined end to end."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from pathkit.jobs.audit import plane
from pathkit.jobs.audit.figures import CURVED, STRAIGHT, UNCLEAR, Corner, corners_of
from pathkit.jobs.audit.plane import Points
from pathkit.jobs.audit.tolerances import HAIR, NO_AREA, ROUNDING, TURNS


@dataclass(frozen=True)
class Chain:
    """Vertices (k, 2), the first repeated at the end if it is ``closed``; ``kinds`` (k − 1,) of the pieces between
    them: `STRAIGHT`, `CURVED`, or `UNCLEAR` if that depends on how a curve is approximated."""

    points: Points
    kinds: NDArray[np.int8]
    closed: bool

    @property
    def ends(self) -> tuple[Points, Points]:
        return self.points[0], self.points[-1]

    def mapped(self, matrix: Points) -> Chain:
        """Through an affine map (3, 3)."""
        return Chain(self.points @ matrix[:2, :2].T + matrix[:2, 2], self.kinds, self.closed)

    def backward(self) -> Chain:
        return Chain(self.points[::-1], self.kinds[::-1], self.closed)

    def corners(self) -> tuple[Corner, ...] | None:
        """The sharp corners of a ring; None if it is not clear which they are."""
        return corners_of(self.points[:-1], self.kinds.tolist(), plane.area(self.points[:-1]))


def chain_of(points: Any, kinds: Sequence[int] | int, closed: bool = False) -> Chain:
    """A chain without pieces of zero length; a closed one ends at its first vertex."""
    array = np.asarray(points, dtype=float)
    of = np.broadcast_to(np.asarray(kinds, dtype=np.int8), len(array) - 1)
    if closed and not np.array_equal(array[0], array[-1]):
        array, of = np.concatenate([array, array[:1]]), np.append(of, np.int8(STRAIGHT))
    long = np.hypot(*np.diff(array, axis=0).T) > ROUNDING
    if not long.any():
        return Chain(array[:1], of[:0], False)
    # A piece of zero length loses its first vertex; the chain's last vertex stays.
    return Chain(np.concatenate([array[:-1][long], array[-1:]]), of[long], closed)


def kinds_of_curve(points: Points) -> list[int]:
    """Kinds of the pieces of a curve that is approximated by many points."""
    count = len(points) - 1
    chord = points[-1] - points[0]
    length = math.hypot(*chord)
    if length > 0.0:
        beside = np.abs((points - points[0]) @ np.array([-chord[1], chord[0]])) / length
        along = np.diff(points @ chord)
        if beside.max() <= ROUNDING * length and along.min() >= 0.0:
            return [STRAIGHT] * count
    kinds = [CURVED] * count
    way = np.diff(points, axis=0)
    eighth = max(1, count // 8)
    for end, other in ((0, eighth), (-1, -1 - eighth)):
        if abs(_turn(way[end], way[other])) < TURNS:
            kinds[end] = UNCLEAR
    return kinds


def _turn(one: Points, other: Points) -> float:
    return math.atan2(one[0] * other[1] - one[1] * other[0], float(one @ other))


def filled(chains: Sequence[Chain], rule: Literal["nonzero", "evenodd"]) -> list[Chain]:
    """The edges of what one element fills (SVG 1.1, 11.3). Open subpaths are closed, and rings that overlap give way
    to the edge of the whole fill. Lines that enclose nothing are kept."""
    import shapely

    rings = [chain if chain.closed else chain_of(chain.points, chain.kinds.tolist(), closed=True) for chain in chains]
    lines = [chain for chain, ring in zip(chains, rings, strict=True) if not chain.closed and len(ring.points) < 4]
    rings = [ring for ring in rings if ring.closed and len(ring.points) > 3]
    if not rings:
        return lines
    edges = [shapely.LinearRing(ring.points) for ring in rings]
    # Crossings are rounded: a line that runs back on itself has thousands of them.
    faces = shapely.get_parts(shapely.polygonize(shapely.get_parts(shapely.union_all(edges, grid_size=HAIR))))
    spots = [face.representative_point().coords[0] for face in faces]
    turns = [sum(_turns(ring.points, spot) for ring in rings) for spot in spots]
    shows = [turn % 2 == 1 if rule == "evenodd" else turn != 0 for turn in turns]
    whole = shapely.union_all([face for face, show in zip(faces, shows, strict=True) if show])
    apart = all(edge.is_simple for edge in edges) and not any(
        one.intersects(other) for k, one in enumerate(edges) for other in edges[:k]
    )
    if apart:
        shown = shapely.boundary(whole)
        # The rings do not touch each other: each is an edge of the whole along all its length, or nowhere.
        keep = [bool(shapely.dwithin(shown, edge, 10.0 * HAIR)) for edge in edges]
        return [*lines, *(ring for ring, edge_too in zip(rings, keep, strict=True) if edge_too)]
    around = [
        shapely.get_coordinates(ring)
        for piece in shapely.get_parts(whole)
        for ring in (piece.exterior, *piece.interiors)
        if shapely.Polygon(ring).area > NO_AREA
    ]
    return [*lines, *(chain_of(ring, STRAIGHT, closed=True) for ring in around)]


def _turns(ring: Points, spot: tuple[float, float]) -> int:
    """How often a ring goes round a place: the angle through which the line from there to the ring turns, over 2π."""
    ways = ring - np.array(spot)
    angles = np.unwrap(np.arctan2(ways[:, 1], ways[:, 0]))
    return round(float(angles[-1] - angles[0]) / (2.0 * math.pi))


def joined(chains: Sequence[Chain], within: float) -> tuple[list[Chain], list[Chain]]:
    """Rings and lines: loose chains are joined if their ends lie ``within`` mm of each other."""
    rings = [chain for chain in chains if chain.closed]
    loose = [chain for chain in chains if not chain.closed and len(chain.points) > 1]
    lines: list[Chain] = []
    while loose:
        chain = loose.pop()
        while math.dist(*chain.ends) > within and (grown := _grown(chain, loose, within)) is not None:
            chain = grown
        if len(chain.points) > 3 and math.dist(*chain.ends) <= within:
            rings.append(chain_of(np.concatenate([chain.points[:-1], chain.points[:1]]), chain.kinds.tolist(), True))
        else:
            lines.append(chain)
    return rings, lines


def _grown(chain: Chain, loose: list[Chain], within: float) -> Chain | None:
    """The chain joined to the first of the ``loose`` ones that meets one of its ends; that one is taken out of them."""
    for k, other in enumerate(loose):
        for one, way in ((chain, 1), (chain.backward(), -1)):
            for two in (other, other.backward()):
                if math.dist(one.ends[1], two.ends[0]) <= within:
                    del loose[k]
                    both = Chain(
                        np.concatenate([one.points, two.points[1:]]), np.concatenate([one.kinds, two.kinds]), False
                    )
                    return both if way > 0 else both.backward()
    return None
