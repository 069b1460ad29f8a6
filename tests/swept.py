"""What bits take of a board, as shapely sees it from above: an independent judge of toolpaths.

A disc of the bit's size sweeps the buffer of its path; what it can reach of an area is the area's morphological opening
by that disc.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

import numpy as np
import shapely
from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry

from pathkit.model.toolpath import Toolpath

SLIVER: Final = 0.003
"""mm: half the thickness of the thickest error that passes."""


def swept(paths: Iterable[Toolpath], *roles: str) -> BaseGeometry:
    """The area (x, y), mm, that the bits sweep along these toolpaths; of these ``roles`` alone, if any are named."""
    areas: list[BaseGeometry] = []
    for path in paths:
        if roles and path.role not in roles:
            continue
        vertices = path.curve.flattened(5e-4)
        line = np.vstack([vertices, vertices[:1]]) if path.curve.closed else vertices
        # Half by half: GEOS (3.14) may lose what a line goes round, where that line comes back on itself.
        half = len(line) // 2
        for each in [line] if half < 2 else [line[: half + 1], line[half:]]:
            way = Point(each[0]) if len(each) == 1 else LineString(each)
            areas.append(way.buffer(path.tool.radius, quad_segs=64))
    return shapely.union_all(areas)


def gouged(paths: Iterable[Toolpath], allowed: BaseGeometry) -> bool:
    """Whether the bits leave the area in which they may cut."""
    return not swept(paths).difference(allowed).buffer(-SLIVER).is_empty


def missed(paths: Sequence[Toolpath], area: BaseGeometry) -> bool:
    """Whether they leave anything of an area that the first of them can reach."""
    r = paths[0].tool.radius
    reachable = area.buffer(-r - 1e-4, quad_segs=64).buffer(r, quad_segs=64)
    return not reachable.difference(swept(paths)).buffer(-SLIVER).is_empty
