"""What a bit sweeps, as shapely sees it: an independent judge of every operation."""

from collections.abc import Sequence

import numpy as np
import pytest
from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from pathkit.model.toolpath import Toolpath

SLIVER = 0.003  # mm: half the thickness of the thickest error that passes


class Judge:
    """The bit sweeps the buffer of its path; what it can reach of an area is the area's morphological opening by its
    disc."""

    @staticmethod
    def swept(paths: Sequence[Toolpath]) -> BaseGeometry:
        areas = []
        for path in paths:
            vertices = path.curve.flattened(5e-4)
            line = Point(vertices[0]) if len(vertices) == 1 else LineString(vertices)
            if path.curve.closed:
                line = LineString(np.vstack([vertices, vertices[:1]]))
            # Half by half: GEOS (3.14) may lose what a line goes round, where that line comes back on itself.
            half = len(line.coords) // 2
            halves = [line] if half < 2 else [LineString(line.coords[: half + 1]), LineString(line.coords[half:])]
            areas += [each.buffer(path.tool.radius, quad_segs=48) for each in halves]
        return unary_union(areas)

    def gouged(self, paths: Sequence[Toolpath], allowed: BaseGeometry) -> bool:
        return not self.swept(paths).difference(allowed).buffer(-SLIVER).is_empty

    def missed(self, paths: Sequence[Toolpath], area: BaseGeometry) -> bool:
        r = paths[0].tool.radius
        reachable = area.buffer(-r - 1e-4, quad_segs=48).buffer(r, quad_segs=48)
        return not reachable.difference(self.swept(paths)).buffer(-SLIVER).is_empty


@pytest.fixture(scope="session")
def judge() -> Judge:
    return Judge()
