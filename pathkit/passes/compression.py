"""Compression bits have an up-cut tip below down-cut flutes. A top edge that the tip alone cuts first is torn.

Common practice, no source: a compression bit leaves both faces of a through cut clean provided that its first pass
goes deeper than its up-cut tip.
"""

from __future__ import annotations

import math

from pathkit.findings import Finding, Severity
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Ramp, Spiral, Toolpath
from pathkit.tolerances import QUOTIENT_ROUNDING, SAME_HEIGHT


def reach_of_tip(path: Toolpath, stock: Stock) -> float:
    """How deep (mm) below the highest wood the tip alone may still cut the top edge, on the thinnest board too."""
    spread = 2.0 * (stock.thickness_tolerance + stock.underlay_tolerance) if stock.z_zero == "bed" else 0.0
    return path.tool.tip_length + spread


def tears_the_top(path: Toolpath, stock: Stock) -> bool:
    """Whether this is a compression cut from the board's top: its depth and its entry then decide if the edge tears."""
    if path.tool.kind != "compression" or path.curve.is_trace or path.curve.is_point:
        return False
    return path.highest(stock) >= stock.top - SAME_HEIGHT


def shallow_edge(path: Toolpath, stock: Stock) -> float:
    """mm of the curve along which the board's top edge is first cut by the up-cut tip alone.

    A straight plunge, or a helix beside the curve, adds nothing: the first level alone decides. Of a ramp, the shallow
    part of its first leg counts; of a spiral, the shallow part of its first lap; both as lowering runs them. 0 for any
    other bit and for cuts that begin below the top.
    """
    if not tears_the_top(path, stock):
        return 0.0
    reach = reach_of_tip(path, stock)
    if not isinstance(path.entry, Spiral | Ramp):
        return path.curve.length if path.highest(stock) - path.depths(stock)[0] <= reach else 0.0
    stretch, drop, deep = _first_run(path, stock)
    if deep <= reach:
        return path.curve.length
    return stretch if drop <= reach else stretch * reach / drop


def _first_run(path: Toolpath, stock: Stock) -> tuple[float, float, float]:
    """The first leg or lap on the way down: its length, its drop, and how deep the cut goes on after it, mm."""
    from pathkit.lowering.cut import cut_of
    from pathkit.lowering.levels import is_slot, slot_legs

    cut = cut_of(path, stock)
    entry, length = path.entry, path.curve.length
    assert isinstance(entry, Spiral | Ramp)
    slope = math.tan(math.radians(entry.angle))
    depth, first = cut.wood - cut.bottom, cut.wood - cut.levels[0]
    if isinstance(entry, Spiral):
        laps = math.ceil(max(depth / cut.bite, depth / (length * slope)) - QUOTIENT_ROUNDING)
        return length, depth / laps, depth
    if is_slot(cut, length):
        return length, depth / slot_legs(cut, length, entry), depth
    longest = length if entry.within is None else min(length, entry.within)
    leg = min(longest, max(first / (2.0 * slope), 2.0 * path.tool.diameter))
    legs = 2 * math.ceil(max(first / (2.0 * leg * slope), first / cut.bite) - QUOTIENT_ROUNDING)
    return leg, first / legs, first


def torn_edges(check: str, paths: tuple[Toolpath, ...], stock: Stock, *, strict: bool) -> tuple[Finding, ...]:
    """A finding for each compression cut with a shallow top edge: a warning, or an error with ``strict``."""
    found: list[Finding] = []
    for path in paths:
        if (length := shallow_edge(path, stock)) > 0.0:
            tip = path.tool.tip_length
            what = f"{length:.1f} mm of its top edge is first cut no deeper than the {tip:g} mm up-cut tip"
            fix = f"make its first level deeper than {tip:g} mm and enter in waste, or take another bit"
            severity: Severity = "error" if strict else "warning"
            found.append(Finding(check=check, what=what, fix=fix, severity=severity, toolpath=path.name))
    return tuple(found)
