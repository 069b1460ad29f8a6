"""Cuts at a single point: drilled, pecked, or bored round a helix."""

from __future__ import annotations

import math

from pathkit.lowering.cut import Cut
from pathkit.lowering.entries import ABOVE_FLOOR, HelixDown, check_helix, check_plunge, turn_down
from pathkit.lowering.rows import Rows
from pathkit.model.toolpath import Helix, Peck
from pathkit.motion.program import Cycle
from pathkit.tolerances import QUOTIENT_ROUNDING, SAME_HEIGHT


def drill(rows: Rows, cut: Cut) -> None:
    """One hole from travel height and back to it; recorded as a `Cycle` from its rapid down to its rapid up.

    With a `Peck`, n = ceil(depth / peck) equal bites, each followed by a rapid up to the approach height and down
    again within the hole to `ABOVE_FLOOR` over what is already cut. Raises `Refused` for a bit that must not go
    straight down.
    """
    toolpath = cut.toolpath
    check_plunge(toolpath)
    depth = cut.wood - cut.bottom
    peck = (
        toolpath.entry.depth
        if isinstance(toolpath.entry, Peck) and toolpath.entry.depth < depth - SAME_HEIGHT
        else None
    )
    bites = 1 if peck is None else math.ceil(depth / peck - QUOTIENT_ROUNDING)
    first = len(rows)
    rows.level = 0
    rows.to_height(cut.approach)
    for bite in range(1, bites + 1):
        rows.level = bite - 1
        if bite > 1:
            rows.to_height(min(cut.wood - depth * (bite - 1) / bites + ABOVE_FLOOR, cut.approach))
        rows.sink(cut.bottom if bite == bites else cut.wood - depth * bite / bites, toolpath.cutting.plunge)
        if bite < bites:
            rows.to_height(cut.approach)
    rows.level = -1
    rows.to_height(cut.travel)
    rows.cycle(
        Cycle(
            first=first,
            last=len(rows) - 1,
            top=cut.approach,
            bottom=cut.bottom,
            feed=toolpath.cutting.plunge,
            peck=None if peck is None else depth / bites,
        )
    )


def bore_helix(cut: Cut, entry: Helix) -> HelixDown:
    """The helix that is the cut itself: a hole of bit plus helix diameter. Raises `Refused` if too wide."""
    check_helix(cut.toolpath, entry)
    x, y = (float(v) for v in cut.toolpath.curve.points[0])
    return HelixDown((x, y), entry.diameter / 2.0, entry.angle, (x + entry.diameter / 2.0, y))


def bore(rows: Rows, cut: Cut, helix: HelixDown) -> None:
    """Down the helix in one go, a flat turn, and away from the wall before the bit leaves."""
    cutting = cut.toolpath.cutting
    rows.level = 0
    rows.sink(cut.wood, cutting.plunge)
    turn_down(rows, helix, cut.wood, cut.bottom, cut)
    rows.line(*helix.centre, cut.bottom, cutting.feed)
