"""Does anything lie on anything? Looked at once more, from the outlines alone, by other means than laid them.

Outlines are flattened anew and finely; distances are the library's (shapely), found through a tree of boxes.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from pathkit.operations.copies import placed as placed_curve
from pathkit.operations.nesting.values import Item, Placed, Sheet
from pathkit.tolerances import SAME_PLACE, SHAPE_CHORDS

SLACK = 2.0 * SHAPE_CHORDS + SAME_PLACE
"""mm: chords of two outlines, and rounding."""


class Fault(NamedTuple):
    """Two copies that lie too near (``other`` None: one that lies too near the edge or a screw), and what is wrong."""

    one: int
    other: int | None
    what: str


def faults(items: Sequence[Item], placed: Sequence[Placed], sheet: Sheet) -> tuple[Fault, ...]:
    """Every pair of copies nearer than ``sheet.apart`` mm, every copy within the margin's or a screw's reach."""
    import shapely

    if not placed:
        return ()
    areas = np.array([_area(items[each.item], each) for each in placed], dtype=object)
    found: list[Fault] = []
    # Made smaller by the slack, so that what only touches does not lie on each other where nothing is wanted between.
    core = shapely.buffer(areas, -SLACK / 2.0, join_style="mitre")
    one, other = shapely.STRtree(core).query(core, predicate="dwithin", distance=sheet.apart)
    for k, m in zip(one.tolist(), other.tolist(), strict=True):
        if k < m:
            gap = float(shapely.distance(areas[k], areas[m]))
            told = "lie on each other" if gap <= 0.0 else f"lie {gap:.3f} mm apart, and {sheet.apart:g} mm are wanted"
            found.append(Fault(k, m, told))
    left, front, right, back = sheet.room
    for k, (x0, y0, x1, y1) in enumerate(shapely.bounds(areas).tolist()):
        if min(x0 - left, y0 - front, right - x1, back - y1) < -SLACK:
            found.append(Fault(k, None, f"lies less than {sheet.margin:g} mm from the board's edge"))
        if any(shapely.distance(areas[k], zone) < sheet.kerf - SLACK for zone in sheet.barred):
            found.append(Fault(k, None, "and its kerf lie on a screw or clamp"))
    return tuple(found)


def _area(item: Item, each: Placed) -> Any:
    import shapely

    return shapely.Polygon(placed_curve(item.outline, each.place).flattened(SHAPE_CHORDS))
