"""Shapes as rings: the shapes given to an operation, checked and with their rings oriented.

A *region* is where the bit may work (a pocket) or where it may not (a part). Its rings keep their arcs exact; outer
rings run counter-clockwise and holes clockwise, so that the region always lies to the left.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.model.checking import Faults
from pathkit.model.curve import Curve
from pathkit.model.toolpath import Helix, Toolpath
from pathkit.tolerances import NO_AREA, REPEATED, ROUNDING, SHAPE_CHORDS, WIDEST_BIT

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

Shape: TypeAlias = "Curve | BaseGeometry"


@dataclass(frozen=True)
class Region:
    """Rings (closed plane curves) with the region to their left."""

    rings: tuple[Curve, ...]

    @cached_property
    def area(self) -> BaseGeometry:
        """The region as a shapely geometry, its arcs flattened within `SHAPE_CHORDS`."""
        return area_of(self.rings)

    def components(self) -> tuple[Region, ...]:
        """One region for each connected piece: an outer ring and the holes within it."""
        from shapely.geometry import Point, Polygon

        outers = [ring for ring in self.rings if ring.area > NO_AREA]
        if len(outers) == 1:
            holes = tuple(ring for ring in self.rings if ring.area < -NO_AREA)
            return (Region((outers[0], *holes)),)
        outers.sort(key=lambda ring: ring.area)
        plates = [Polygon(ring.flattened(SHAPE_CHORDS)) for ring in outers]
        inside: list[list[Curve]] = [[] for _ in outers]
        for ring in self.rings:
            if ring.area < -NO_AREA:
                place = Point(ring.points[0])
                owner = next((k for k, plate in enumerate(plates) if plate.covers(place)), None)
                if owner is not None:
                    inside[owner].append(ring)
        return tuple(Region((outer, *holes)) for outer, holes in zip(outers, inside, strict=True))


def region_of(shape: Shape, name: str, islands: Sequence[Shape] = ()) -> Region:
    """The region inside ``shape`` less its ``islands``.

    ``shape`` is a closed plane `Curve` (arcs stay exact), or a shapely LinearRing, closed LineString, Polygon or
    MultiPolygon. If an island touches or crosses the outline or another island, shapely takes the islands away, and
    arcs become chords within `SHAPE_CHORDS`.

    Raises `InputError`, naming the shape, if it is open, crosses itself, encloses nothing, or if its islands cover it.
    """
    outer = _rings(shape, name, "the shape")
    inner = [_rings(island, name, f"island {k}") for k, island in enumerate(islands, 1)]
    outer_area = area_of(outer)
    lands = [area_of(rings) for rings in inner]
    apart = all(outer_area.contains_properly(land) for land in lands) and not any(
        first.intersects(second) for k, first in enumerate(lands) for second in lands[:k]
    )
    if apart:
        return Region((*outer, *(backward(ring) for rings in inner for ring in rings)))
    left = outer_area
    for land in lands:
        left = left.difference(land)
    if left.area <= NO_AREA:
        raise refusal(name, "its islands cover all of it", "make them smaller")
    return Region(rings_of(left))


def refusal(name: str, what: str, fix: str) -> InputError:
    """The error for one thing that is wrong with the operation called ``name``."""
    return InputError([Finding(check="operation", what=what, fix=fix, toolpath=name)])


def area_of(rings: Iterable[Curve]) -> BaseGeometry:
    """What the rings enclose by the even-odd rule, as a shapely Polygon or MultiPolygon."""
    import shapely

    lines = [shapely.LinearRing(vertices) for ring in rings if len(vertices := ring.flattened(SHAPE_CHORDS)) > 2]
    return shapely.build_area(shapely.GeometryCollection(lines))


CHIP: Final = 4.0
"""mm²: a smaller piece of wood is a chip, which nothing holds (common practice, no source)."""

THIN: Final = 1.0
"""mm: a thinner web of wood holds nothing (common practice, no source)."""


def pieces_of(area: BaseGeometry) -> list[BaseGeometry]:
    """What a region of wood falls into where webs under `THIN` break: its pieces (shapely), less the chips."""
    import shapely

    cores = shapely.get_parts(area.buffer(-THIN / 2.0))
    pieces = [area.intersection(core.buffer(THIN)) for core in cores]
    # What is thin all over is one piece all the same.
    return [piece for piece in pieces or [area] if piece.area > CHIP]


def line_of(curve: Curve, within: float = SHAPE_CHORDS) -> BaseGeometry:
    """A curve as a shapely geometry: a line whose chords lie ``within`` mm of its arcs, or a point."""
    import shapely

    points = curve.flattened(within)[:, :2]
    if len(points) == 1:
        return shapely.Point(points[0])
    return shapely.LineString(np.concatenate([points, points[:1]]) if curve.closed else points)


def swept_by(path: Toolpath) -> BaseGeometry:
    """The area that the bit sweeps in plan, exact to `SHAPE_CHORDS` mm and a thousandth of its radius."""
    import shapely

    line, radius = line_of(path.curve), path.tool.radius + helix_radius(path)
    if line.is_simple:
        return line.buffer(radius, quad_segs=24)
    # GEOS (3.14) may lose the area that a line encloses if it comes back on itself, so each span is buffered alone.
    points = shapely.get_coordinates(line)
    spans = shapely.linestrings(np.stack([points[:-1], points[1:]], axis=1))
    return shapely.union_all(shapely.buffer(spans, radius, quad_segs=24))


def helix_radius(path: Toolpath) -> float:
    """Radius (mm) at which the bit's centre goes round a single point: that of the helix that bores it, else 0."""
    return path.entry.diameter / 2.0 if path.curve.is_point and isinstance(path.entry, Helix) else 0.0


def near(lines: BaseGeometry, other: BaseGeometry, within: float) -> bool:
    """Whether every vertex of ``lines``, and every middle between two of them, lies ``within`` mm of ``other``."""
    import shapely

    coords = shapely.get_coordinates(lines)
    places = np.concatenate([coords, (coords[1:] + coords[:-1]) / 2.0])
    owner = shapely.get_coordinates(shapely.get_parts(lines), return_index=True)[1]
    # A middle between the last vertex of one line and the first of the next belongs to neither.
    real = np.concatenate([np.ones(len(coords), dtype=bool), owner[1:] == owner[:-1]])
    # Only the first argument is looked up by its index.
    shapely.prepare(other)
    return bool(np.all(shapely.dwithin(other, shapely.points(places[real]), within)))


def rings_of(area: BaseGeometry) -> tuple[Curve, ...]:
    """The rings of a Polygon or MultiPolygon, outer ones counter-clockwise, holes clockwise."""
    rings: list[Curve] = []
    for part in getattr(area, "geoms", [area]):
        if part.geom_type != "Polygon" or part.is_empty:
            continue
        for index, ring in enumerate((part.exterior, *part.interiors)):
            curve = _chain(np.asarray(ring.coords)[:, :2])
            if curve is not None:
                rings.append(turned(curve, counter_clockwise=index == 0))
    return tuple(rings)


def backward(curve: Curve) -> Curve:
    """The same curve run the other way; a closed one still begins at the same point."""
    if not curve.closed:
        return Curve(curve.points[::-1], curve.sweeps[::-1] * -1.0 + 0.0)
    return Curve(np.roll(curve.points[::-1], 1, axis=0), curve.sweeps[::-1] * -1.0 + 0.0, closed=True)


def turned(ring: Curve, *, counter_clockwise: bool) -> Curve:
    """The ring, run counter-clockwise or clockwise as asked."""
    return ring if (ring.area > 0.0) == counter_clockwise else backward(ring)


def moved(curve: Curve, by: ArrayLike) -> Curve:
    """The curve moved by ``by`` (2,), mm."""
    return Curve(curve.points + np.asarray(by, dtype=float), curve.sweeps, curve.closed)


def rotated(curve: Curve, angle: float) -> Curve:
    """The curve turned about the origin by ``angle`` degrees, counter-clockwise."""
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return Curve(curve.points @ np.array([[cos, sin], [-sin, cos]]), curve.sweeps, curve.closed)


def rectangle(corner: ArrayLike, width: float, depth: float, radius: float = 0.0) -> Curve:
    """A rectangle from its front left ``corner`` (2,), its corners rounded by ``radius``; counter-clockwise, mm."""
    faults = Faults("rectangle")
    faults.number(width, "width", above=0.0)
    faults.number(depth, "depth", above=0.0)
    if faults.number(radius, "radius", least=0.0) and not faults.findings and radius > min(width, depth) / 2.0:
        faults.add(f"radius is {radius}", f"at most half the shorter side, {min(width, depth) / 2.0:g}", "radius")
    faults.raise_any()
    radius = radius if radius > ROUNDING else 0.0
    quarter = math.pi / 2.0
    vertices: list[tuple[float, float]] = []
    sweeps: list[float] = []
    # Each side from its first tangent point to its last, then the corner's quarter circle.
    for x, y, dx, dy in ((0, 0, 1, 0), (width, 0, 0, 1), (width, depth, -1, 0), (0, depth, 0, -1)):
        side = width if dx else depth
        vertices.append((x + dx * radius, y + dy * radius))
        if radius > 0.0 and side - 2.0 * radius > ROUNDING:
            sweeps.append(0.0)
            vertices.append((x + dx * (side - radius), y + dy * (side - radius)))
        sweeps.append(quarter if radius > 0.0 else 0.0)
    return moved(Curve(vertices, sweeps, closed=True), corner)


def obround(first: ArrayLike, last: ArrayLike, width: float) -> Curve:
    """What a disc of diameter ``width`` sweeps from ``first`` to ``last`` (2,), mm; counter-clockwise."""
    faults = Faults("obround")
    faults.number(width, "width", above=0.0)
    a, b = np.asarray(first, dtype=float), np.asarray(last, dtype=float)
    way = b - a
    length = math.hypot(way[0], way[1])
    if not length > ROUNDING:
        faults.add(f"both ends are at {a.tolist()}", "give two places, or use a circle", "last")
    faults.raise_any()
    side = np.array([-way[1], way[0]]) * (width / 2.0 / length)
    return Curve([a - side, b - side, b + side, a + side], [0.0, math.pi, 0.0, math.pi], closed=True)


def widest_bit(region: Region) -> float:
    """Diameter (mm) of the largest disc that fits anywhere in the region, to 0.01 mm, rounded down.

    Found by bisection: the region shrunk by r is empty exactly when no disc of radius r fits.
    """
    low, high = 0.0, math.sqrt(region.area.area / math.pi) + SHAPE_CHORDS
    while high - low > WIDEST_BIT:
        middle = (low + high) / 2.0
        if region.area.buffer(-middle).is_empty:
            high = middle
        else:
            low = middle
    return math.floor(200.0 * high) / 100.0


def _rings(shape: Any, name: str, which: str) -> tuple[Curve, ...]:
    """The rings of one shape, oriented. Raises `InputError`, naming the shape, if they are not rings."""
    if isinstance(shape, Curve):
        if shape.is_trace or not shape.closed:
            raise refusal(name, f"{which} is not a closed plane curve", "close it: Curve.polyline(…, closed=True)")
        rings: tuple[Curve, ...] = (turned(shape, counter_clockwise=True),)
    else:
        rings = _rings_of_geometry(shape, name, which)
    _refuse_crossing(rings, name, which)
    return rings


def _rings_of_geometry(shape: Any, name: str, which: str) -> tuple[Curve, ...]:
    from shapely.geometry import Polygon
    from shapely.validation import explain_validity

    kind = getattr(shape, "geom_type", None)
    if kind is None:
        raise refusal(name, f"{which} is {shape!r:.80}", "pass a Curve or a shapely geometry")
    if shape.is_empty:
        raise refusal(name, f"{which} is empty", "pass a shape with an inside")
    if not np.isfinite(shape.bounds).all():
        raise refusal(name, f"{which} has coordinates that are not finite", "every number must be finite")
    if kind == "LineString" and shape.is_closed and len(shape.coords) > 3:
        shape, kind = Polygon(shape.coords), "Polygon"
    if kind == "LinearRing":
        shape, kind = Polygon(shape), "Polygon"
    if kind not in ("Polygon", "MultiPolygon"):
        raise refusal(name, f"{which} is a {kind}, which has no inside", "pass a closed Curve, Polygon or MultiPolygon")
    if not shape.is_valid:
        raise refusal(name, f"{which} crosses itself: {explain_validity(shape)}", "mend the drawing there")
    return rings_of(shape)


def _refuse_crossing(rings: tuple[Curve, ...], name: str, which: str) -> None:
    from shapely.geometry import Polygon
    from shapely.validation import explain_validity

    nothing = refusal(name, f"{which} encloses nothing", "pass a shape with an inside")
    plates = [Polygon(vertices) for ring in rings if len(vertices := ring.flattened(SHAPE_CHORDS)) > 2]
    if not plates:
        raise nothing
    for plate in plates:
        if not plate.is_valid:
            raise refusal(name, f"{which} crosses itself: {explain_validity(plate)}", "mend the drawing there")
    if not any(abs(ring.area) > NO_AREA for ring in rings):
        raise nothing


def _chain(points: NDArray[np.float64]) -> Curve | None:
    """A closed curve of lines through ``points`` (k, 2) without repeated ones; None if fewer than three are left."""
    steps = np.sqrt((np.diff(points, axis=0) ** 2).sum(axis=1))
    kept = points[np.concatenate([[True], steps > REPEATED])]
    if len(kept) > 1 and math.dist(kept[0], kept[-1]) <= REPEATED:
        kept = kept[:-1]
    return Curve(kept, closed=True) if len(kept) > 2 else None
