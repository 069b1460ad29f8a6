"""Wood that is left between two cuts."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from pathkit.proof.material.cross_sections import Level

WEB: Final = 2.0
"""In diameters of the widest bit: webs wider than this are strong, and are not measured."""


def least_web(level: Level) -> float:
    """The least distance (mm) between two grounds that are swept at this height and do not touch.

    Infinite if there is none narrower than `WEB` diameters of the widest bit. Wood between two stretches of the same
    ground is not measured.
    """
    import shapely

    every = np.arange(len(level.lines))
    grounds = shapely.get_parts(level.swept(every))
    if len(grounds) < 2:
        return math.inf
    # A line's first point lies in its own ground and in no other.
    starts = shapely.get_point(level.lines, 0)
    of = np.zeros(len(every), np.int64)
    line, ground = shapely.STRtree(grounds).query(starts, predicate="intersects")
    of[line] = ground
    widest = 2.0 * float(level.radius.max())
    one, other = level.tree.query(level.lines, predicate="dwithin", distance=(1.0 + WEB) * widest)
    apart = of[one] < of[other]
    one, other = one[apart], other[apart]
    between = shapely.distance(level.lines[one], level.lines[other]) - level.radius[one] - level.radius[other]
    return float(between.min(initial=math.inf, where=between <= WEB * widest))
