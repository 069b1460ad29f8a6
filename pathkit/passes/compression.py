"""Compression bits: an up-cut tip below down-cut flutes. Whatever the tip alone cuts first, it tears at the top.

Common practice stated by the trade (no single source): a compression bit leaves both faces of a through cut clean
provided that its first pass goes deeper than its up-cut tip.
"""

from __future__ import annotations

import math

from pathkit.findings import Finding
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Ramp, Spiral, Toolpath


def shallow_edge(path: Toolpath, stock: Stock) -> float:
    """mm of the curve along which the board's top edge is first cut by the up-cut tip alone.

    A straight plunge, or a helix beside the curve, counts nothing itself: the first level alone decides. A ramp counts
    the stretch on which it is still shallow, a spiral as much of its first lap. 0 for any other bit and for cuts that
    begin below the top.
    """
    tip = path.tool.tip_length
    wood = path.highest(stock)
    levels = path.depths(stock)
    if path.tool.kind != "compression" or not levels or path.curve.is_point or wood < stock.top - 1e-6:
        return 0.0
    length = path.curve.length
    first = wood - levels[0]
    if first <= tip:
        return length
    if isinstance(path.entry, Spiral):
        bite = first if path.stepdown is None else min(first, path.stepdown)
        drop = min(bite, length * math.tan(math.radians(path.entry.angle)))
        return min(length, length * tip / drop)
    if isinstance(path.entry, Ramp):
        # The first leg meets fresh wood all along; where it ends, a full bite deep, the rest is cut at that depth.
        return min(length, first / math.tan(math.radians(path.entry.angle)))
    return 0.0


def torn_edges(check: str, paths: tuple[Toolpath, ...], stock: Stock, *, strict: bool) -> tuple[Finding, ...]:
    """A finding for each compression cut with a shallow top edge: a warning, or an error with ``strict``."""
    found: list[Finding] = []
    for path in paths:
        if (length := shallow_edge(path, stock)) > 0.0:
            tip = path.tool.tip_length
            what = f"{length:.1f} mm of its top edge are first cut no deeper than the {tip:g} mm up-cut tip"
            fix = f"let the first level go deeper than {tip:g} mm and enter in waste, or take another bit"
            severity = "error" if strict else "warning"
            found.append(Finding(check=check, what=what, fix=fix, severity=severity, toolpath=path.name))  # type: ignore[arg-type]
    return tuple(found)
