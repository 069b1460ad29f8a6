"""Pockets right through the board whose islands would drop: bridges of wood hold them until they are cut free."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from pathkit.curves.regions import Shape, refusal, region_of
from pathkit.model.checking import Faults
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Toolpath
from pathkit.operations.pocket import pocket
from pathkit.tolerances import ROUNDING, SAME_HEIGHT, SAME_PLACE

if TYPE_CHECKING:
    from shapely.geometry import LineString, Polygon
    from shapely.geometry.base import BaseGeometry

_WAYS = 72
"""Directions tried for the bridges of an island, evenly spaced all round."""

_INTO = 0.5  # mm by which a bridge reaches into the wood at its ends, so that nothing is cut off it there


def bridged_pocket(  # noqa: PLR0913 - each is asked for by its name
    name: str,
    shape: Shape,
    tool: Tool,
    cutting: Cutting,
    *,
    bottom: float,
    stock: Stock,
    islands: Sequence[Shape],
    count: int = 2,
    width: float = 6.0,
    height: float = 3.0,
    **options: Any,
) -> tuple[Toolpath, ...]:
    """A `pocket` through the board whose islands are held by bridges.

    Each island gets ``count`` bridges, ``width`` mm wide and ``height`` mm high above the underside. They run straight
    from the island to the pocket's outer wall, evenly spaced round the island.

    The result is two pockets: the whole area down to the top of the bridges, then ``name below``, the area between the
    bridges, down to ``bottom``. The second begins at the depth where the first ends, so it is cut after it.
    ``options`` are those of `pocket`.

    Raises `InputError` if the pocket does not go through the board or has no island, if the bridges would be as high
    as the board is thick, or if there is no room for an island's bridges.
    """
    faults = Faults("bridges")
    faults.number(width, "width", above=0.0)
    faults.number(height, "height", above=0.0)
    if isinstance(count, bool) or not isinstance(count, int) or count < 1:
        faults.add(f"count is {count!r}", "a whole number, at least 1", "count")
    faults.raise_any()
    if bottom > stock.lowest_underside + SAME_HEIGHT:
        raise refusal(name, "it does not go through the board, so nothing in it comes loose", "use a plain pocket")
    over = stock.highest_underside + height
    if over >= stock.lowest_top - SAME_HEIGHT:
        wood = stock.lowest_top - stock.highest_underside
        what = f"bridges {height:g} mm high in {wood:g} mm of wood (the least allowed) would leave nothing cut"
        raise refusal(name, what, f"make height less than {wood:g}")
    region = region_of(shape, name, islands).area
    bridges = [bridge for piece in getattr(region, "geoms", [region]) for bridge in _bridges(piece, count, width, name)]
    if not bridges:
        raise refusal(name, "it has no island to hold", "use a plain pocket")
    left = region
    for bridge in bridges:
        left = left.difference(bridge)
    return (
        *pocket(name, shape, tool, cutting, bottom=over, stock=stock, islands=islands, **options),
        *pocket(
            f"{name} below", _solid(left), tool, cutting, bottom=bottom, stock=stock, **{**options, "top": over}
        ),
    )  # fmt: skip


def _solid(area: BaseGeometry) -> BaseGeometry:
    """The polygons of an area, without the lines and points that taking the bridges away may leave."""
    from shapely.geometry import MultiPolygon

    return MultiPolygon([part for part in getattr(area, "geoms", [area]) if part.geom_type == "Polygon"])


def _bridges(piece: Polygon, count: int, width: float, name: str) -> list[BaseGeometry]:
    from shapely.geometry import Polygon

    found: list[BaseGeometry] = []
    for ring in piece.interiors:
        island = Polygon(ring)
        ways = [_way(piece, island, 2.0 * math.pi * k / _WAYS, width) for k in range(_WAYS)]
        best: tuple[float, list[LineString]] | None = None
        for first in range(_WAYS):
            chosen = [ways[(first + round(k * _WAYS / count)) % _WAYS] for k in range(count)]
            kept = [way for way in chosen if way is not None]
            cost = sum(way.length for way in kept)
            if len(kept) == count and (best is None or cost < best[0] - ROUNDING):
                best = (cost, kept)
        if best is None:
            x, y = island.centroid.coords[0]
            what = f"the island at x {x:.1f} y {y:.1f} has no room for {count} straight bridges to the outer wall"
            raise refusal(name, what, "ask for fewer or narrower bridges, or hold the island another way")
        found += [way.buffer(width / 2.0, cap_style="flat") for way in best[1]]
    return found


def _way(piece: Polygon, island: Polygon, angle: float, width: float) -> LineString | None:
    """The centre line of a bridge from the island, at ``angle`` (radians) from x, straight to the outer wall.

    None if another island is in the way, or if the bridge would not have its whole width at both ends.
    """
    from shapely.geometry import LineString, Point, Polygon

    middle = island.representative_point()
    far = math.hypot(piece.bounds[2] - piece.bounds[0], piece.bounds[3] - piece.bounds[1])
    ahead = (math.cos(angle), math.sin(angle))
    ray = LineString([(middle.x, middle.y), (middle.x + far * ahead[0], middle.y + far * ahead[1])])
    runs = [
        run for run in getattr(ray.intersection(piece), "geoms", [ray.intersection(piece)]) if run.length > SAME_PLACE
    ]
    if not runs:
        return None
    run = min(runs, key=lambda each: each.distance(middle))
    outer = Polygon(piece.exterior)
    begin, end = (Point(run.coords[k]) for k in (0, -1))
    if begin.distance(island) > SAME_PLACE or end.distance(outer.exterior) > SAME_PLACE:
        return None
    # Far enough into the wood at both ends that the whole width is held.
    into = _INTO + width / 2.0
    a, b = ((p.x + s * into * ahead[0], p.y + s * into * ahead[1]) for p, s in ((begin, -1.0), (end, 1.0)))
    whole = LineString([a, b])
    strip = whole.buffer(width / 2.0, cap_style="flat")
    # At its ends no more may be missing than a round island or wall takes off the corners.
    short = strip.intersection(piece).area - width * run.length
    if short > width * into / 2.0:
        return None
    others = (other for ring in piece.interiors if not (other := Polygon(ring)).equals(island))
    return None if any(strip.intersects(other) for other in others) else whole
