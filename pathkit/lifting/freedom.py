"""Where a cut may begin: elsewhere on its lap, or at its other end, where that leaves the same board."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from pathkit.lifting.order import HOLDS, Meeting, plan, reach
from pathkit.lifting.stacks import repeats
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Helix, Plunge, Ramp, Toolpath
from pathkit.tolerances import WOOD_BETWEEN

SHARPEST: Final = math.radians(100.0)
"""Radians by which a groove may bend: a right angle, as `ROUGH_PLAN` leaves it. Sharper bends lie along themselves."""

CRUMBS: Final = 10.0
"""A cut is as wide as its bit if each bend and end lacks no more than this part of the square of the bit's radius:
discs are polygons, and curves chords within `ROUGH_PLAN`."""


def with_freedom(paths: Sequence[Toolpath], meeting: Meeting, stock: Stock, *, reversible: bool) -> list[Toolpath]:
    """The cuts with ``free_start`` and ``reversible`` where they may begin elsewhere.

    Closed laps that enter solid wood as it is may as well enter it elsewhere. Level open cuts may run from their other
    end, which turns climb into conventional: if the user says so (``reversible``), or if there is as much wood on both
    sides of it and nothing else is ever cut there, as in grooves and engraving.
    """
    beside: dict[int, list[int]] = {}
    for first, second in meeting.touch:
        beside.setdefault(second, []).append(first)
        beside.setdefault(first, []).append(second)
    found = []
    for at, path in enumerate(paths):
        near = beside.get(at, [])
        if path.curve.closed:
            free = _enters_wood(path, [paths[other] for other in near if other < at], stock)
            found.append(replace(path, free_start=True) if free else path)
            continue
        either = path.levels is not None and not path.curve.is_point and not path.may_reverse
        if either and reversible:
            either = isinstance(path.entry, Plunge | Ramp)
        elif either:
            either = _is_groove(path, [paths[other] for other in near], stock)
        found.append(replace(path, reversible=True) if either else path)
    return found


def _enters_wood(path: Toolpath, earlier: Sequence[Toolpath], stock: Stock) -> bool:
    """Whether a lap begins where none of the ``earlier`` cuts has made room, but for its own laps above."""
    import shapely

    # A helix lies beside the curve: elsewhere it would cut other ground.
    if path.curve.is_trace or isinstance(path.entry, Helix):
        return False
    others = [other for other in earlier if not repeats(other, path)]
    apart = shapely.distance([plan(other) for other in others], shapely.Point(path.curve.points[0]))
    room = [reach(other, stock) + reach(path, stock) + WOOD_BETWEEN for other in others]
    return not (apart < np.array(room)).any()


def _is_groove(path: Toolpath, others: Sequence[Toolpath], stock: Stock) -> bool:
    """Whether an open cut has wood on both sides all along, which stays there, and frees nothing."""
    if not isinstance(path.entry, Plunge) or path.tabs or path.lowest < stock.highest_underside + HOLDS:
        return False
    return all(repeats(path, other) or repeats(other, path) for other in others) and _full_width(path, stock)


def _full_width(path: Toolpath, stock: Stock) -> bool:
    """Whether a cut nowhere comes near itself: its ground has the area of its length, but for the inside of bends.

    At a bend by an angle t the two strokes share r² tan(t / 2), and the disc round it makes good r² t / 2 (geometry).
    """
    import shapely

    line, radius = plan(path), reach(path, stock)
    heading = np.diff(shapely.get_coordinates(line), axis=0)
    turn = np.arctan2(
        heading[:-1, 0] * heading[1:, 1] - heading[:-1, 1] * heading[1:, 0], (heading[:-1] * heading[1:]).sum(axis=1)
    )
    bend = np.abs(turn) / 2.0
    if (bend > SHARPEST / 2.0).any():
        return False
    strokes = 2.0 * radius * line.length + math.pi * radius**2 - float((np.tan(bend) - bend).sum()) * radius**2
    crumbs = (len(bend) + 2) * radius**2 / CRUMBS
    return bool(shapely.buffer(line, radius, quad_segs=32).area >= strokes - crumbs)
