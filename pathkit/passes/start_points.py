"""The ways in which one toolpath may be run: from either end, or from one of several places of a closed contour."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from pathkit.curves.alike import CORNER
from pathkit.geometry.spans import corner_stations
from pathkit.lowering.cut import course_of, cut_of, tab_gap
from pathkit.lowering.entries import HelixDown, helix_fits, way_down
from pathkit.lowering.holes import bore_helix
from pathkit.lowering.lower import begin_and_end
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Helix, Ramp, Toolpath
from pathkit.tolerances import SAME_PLACE, VANISHING

MOST_STARTS = 12
"""Candidate starts of one contour. More cost search time and hardly shorten the travel."""

Point = tuple[float, float]


class Way(NamedTuple):
    """One way to run a toolpath, and where the bit comes down and goes up (mm)."""

    start: float
    backward: bool
    entry: Point
    exit: Point

    def on(self, path: Toolpath) -> Toolpath:
        """The toolpath run this way."""
        if (self.start, self.backward) == (path.start, path.backward):
            return path
        return replace(path, start=self.start, backward=self.backward)


def ways_of(path: Toolpath, stock: Stock) -> tuple[Way, ...]:
    """Every way in which the toolpath may be run; the first is the one it has now."""
    if path.curve.closed:
        return tuple(_from(path, start, stock) for start in starts_of(path, stock))
    if not path.may_reverse or path.curve.is_point:
        return (_way(path, stock),)
    return _way(path, stock), _way(replace(path, backward=not path.backward), stock)


def entry_length(path: Toolpath, stock: Stock) -> float:
    """mm of the curve after its start that the entry needs for itself: the leg of a ramp, else 0.

    A ramp goes there and back, so each leg takes half the drop; it is at least two diameters long.
    """
    if not isinstance(path.entry, Ramp):
        return 0.0
    heights = (path.highest(stock), *path.depths(stock))
    drop = max(high - low for high, low in pairwise(heights))
    leg = max(drop / (2.0 * math.tan(math.radians(path.entry.angle))), 2.0 * path.tool.diameter)
    return leg if path.entry.within is None else min(leg, path.entry.within)


def _from(path: Toolpath, start: float, stock: Stock) -> Way:
    if isinstance(path.entry, Helix):
        return _way(replace(path, start=start), stock)
    x, y = path.curve.at(start)[:2]
    return Way(start, False, (float(x), float(y)), (float(x), float(y)))


def _way(path: Toolpath, stock: Stock) -> Way:
    entry, leave = begin_and_end(path, stock)
    if isinstance(path.entry, Helix):
        # A helix begins beside the curve; a bored hole is left through its middle.
        cut = cut_of(path, stock)
        helix = bore_helix(cut, path.entry) if path.curve.is_point else way_down(cut, course_of(cut, stock))
        if isinstance(helix, HelixDown):
            entry = helix.begin
    return Way(path.start, path.backward, entry, leave)


def starts_of(path: Toolpath, stock: Stock) -> list[float]:
    """Stations (mm) at which a closed contour may begin: where it does now, then span midpoints and quadrants."""
    if not path.free_start:
        return [path.start]
    curve = path.curve
    length = curve.length
    candidates = np.unique(np.round(np.concatenate([_midpoints(path), _quadrants(path)]) % length, 6))
    candidates = candidates[candidates < length]
    allowed = candidates[_allowed(path, candidates, stock)]
    if len(allowed) > MOST_STARTS:
        allowed = allowed[np.linspace(0, len(allowed) - 1, MOST_STARTS).round().astype(int)]
    starts = [path.start]
    for station in allowed.tolist():
        if abs(station - path.start) > SAME_PLACE and _enters(path, station, stock):
            starts.append(station)
    return starts


def _enters(path: Toolpath, start: float, stock: Stock) -> bool:
    """Whether a helix that fits where the contour begins now also fits at ``start``; True for other entries."""
    if not isinstance(path.entry, Helix) or not helix_fits(path, stock):
        return True
    return helix_fits(replace(path, start=start), stock)


def _midpoints(path: Toolpath) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    spans = path.curve.spans
    return np.asarray(spans.station[:-1] + spans.length / 2.0)


def _quadrants(path: Toolpath) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Stations at which arcs run parallel to x or y: their outermost places."""
    spans = path.curve.spans
    found: list[float] = []
    for index in np.flatnonzero(spans.sweep):
        arm = spans.start[index, :2] - spans.centre[index]
        begin, sweep = math.atan2(arm[1], arm[0]), float(spans.sweep[index])
        sense = 1.0 if sweep > 0.0 else -1.0
        for quadrant in range(4):
            ahead = ((quadrant * math.pi / 2.0 - begin) * sense) % (2.0 * math.pi)
            if ahead <= abs(sweep) + VANISHING:
                found.append(float(spans.station[index] + spans.length[index] * ahead / abs(sweep)))
    return np.array(found)


def _allowed(
    path: Toolpath, stations: np.ndarray[tuple[int], np.dtype[np.float64]], stock: Stock
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Which stations keep clear of corners and of tabs' gaps by the bit's radius, and by a ramp's length before them.

    A gap that began or ended right at the start would leave the last lap no room to clean, hence the radius there too.
    """
    curve = path.curve
    clear = path.tool.radius
    ramp = min(entry_length(path, stock), curve.length / 2.0)
    spans = [(corner, corner) for corner in corner_stations(curve.spans, True, CORNER).tolist()]
    for index, tab in enumerate(path.tabs):
        low, high = tab_gap(path, index)
        foot = tab.slope_above(path.lowest, stock.highest_underside + tab.height)
        spans.append((low - foot, high + foot))
    allowed = np.ones(len(stations), dtype=bool)
    for low, high in spans:
        # No start may lie from ``low − ramp − clear`` up to ``high + clear``, going round the contour.
        barred = high - low + ramp + 2.0 * clear
        allowed &= (stations - (low - ramp - clear)) % curve.length >= min(barred, curve.length)
    return allowed
