"""Do any parts lie on each other? Checked again from the outlines alone, by other means than those that laid them.

Outlines are flattened again, and finely. Shapely measures the distances, and finds neighbours by a tree of boxes.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from pathkit.operations.copies import placed as placed_curve
from pathkit.operations.nesting.values import Item, Placed, Sheet
from pathkit.tolerances import SAME_PLACE, SHAPE_CHORDS

SLACK = 2.0 * SHAPE_CHORDS + SAME_PLACE
"""mm: the chords of two outlines, and rounding."""


class Fault(NamedTuple):
    """Two copies too near each other, or one (``other`` None) too near the edge or a screw; and what is wrong."""

    one: int
    other: int | None
    what: str


def faults(items: Sequence[Item], placed: Sequence[Placed], sheet: Sheet) -> tuple[Fault, ...]:
    """Every pair of copies nearer than ``sheet.apart`` mm, and every copy too near the board's edge or a screw."""
    import shapely

    if not placed:
        return ()
    areas = np.array([_area(items[each.item], each) for each in placed], dtype=object)
    found: list[Fault] = []
    # Shrunk by the slack, so that copies that only touch do not count as overlapping if no room is wanted between them.
    core = shapely.buffer(areas, -SLACK / 2.0, join_style="mitre")
    one, other = shapely.STRtree(core).query(core, predicate="dwithin", distance=sheet.apart)
    for k, m in zip(one.tolist(), other.tolist(), strict=True):
        if k < m:
            gap = float(shapely.distance(areas[k], areas[m]))
            what = "lie on each other" if gap <= 0.0 else f"lie {gap:.3f} mm apart, and {sheet.apart:g} mm is wanted"
            found.append(Fault(k, m, what))
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
