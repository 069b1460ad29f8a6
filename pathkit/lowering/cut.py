"""A toolpath as it will be run: its curve from the chosen start in the chosen direction, and where tabs stand on it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import Refused
from pathkit.findings import Finding
from pathkit.geometry import spans as geometry
from pathkit.geometry.spans import Spans
from pathkit.lowering.air import NO_AIR, Air
from pathkit.model.stock import Stock
from pathkit.model.toolpath import TAB_STEEPNESS, Toolpath
from pathkit.tolerances import ROUNDING, SAME_HEIGHT, SAME_PLACE


def refusal(toolpath: Toolpath, what: str, fix: str) -> Refused:
    """The error for a toolpath that cannot be cut safely as it is."""
    return Refused([Finding(check="lowering", what=what, fix=fix, toolpath=toolpath.name)])


class Gap(NamedTuple):
    """Stations ``low`` … ``high`` (mm along the course) on which the bit must not go below ``top``.

    If ``sloped``, beside them it must not go below a line that falls from ``top`` at `TAB_SLOPE` degrees.
    """

    low: float
    high: float
    top: float
    sloped: bool = False

    def at(self, z: float) -> Gap:
        """The stations on which the bit must not go as low as ``z``, as a gap without slopes."""
        run = max(self.top - z, 0.0) / TAB_STEEPNESS if self.sloped else 0.0
        return Gap(self.low - run, self.high + run, self.top)


class Piece(NamedTuple):
    """One stretch of a course, either free or within a gap."""

    low: float
    high: float
    gap: Gap | None
    spans: Spans


@dataclass(frozen=True, eq=False)
class Course:
    """Spans in the order they are run, from station 0; ``gaps`` ascend and do not overlap."""

    spans: Spans
    closed: bool
    gaps: tuple[Gap, ...] = ()

    @property
    def length(self) -> float:
        return float(self.spans.station[-1])

    @property
    def start(self) -> tuple[float, float]:
        return float(self.spans.start[0, 0]), float(self.spans.start[0, 1])

    @property
    def end(self) -> tuple[float, float]:
        return float(self.spans.end[-1, 0]), float(self.spans.end[-1, 1])

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """The whole course, cut where gaps begin and end."""
        pieces: list[Piece] = []
        at = 0.0
        for gap in self.gaps:
            if gap.low - at > SAME_PLACE:
                pieces.append(Piece(at, gap.low, None, self.stretch(at, gap.low)))
            pieces.append(Piece(gap.low, gap.high, gap, self.stretch(gap.low, gap.high)))
            at = gap.high
        if self.length - at > SAME_PLACE:
            pieces.append(Piece(at, self.length, None, self.stretch(at, self.length)))
        return tuple(pieces)

    def pieces_at(self, z: float) -> tuple[Piece, ...]:
        """The whole course, cut where a bit at height ``z`` meets slopes or gaps."""
        if not any(gap.sloped for gap in self.gaps):
            return self.pieces
        feet = (gap.at(z) for gap in self.gaps if gap.top > z + SAME_HEIGHT)
        within = [Gap(max(foot.low, 0.0), min(foot.high, self.length), foot.top) for foot in feet]
        return Course(self.spans, self.closed, _merged(within)).pieces

    @cached_property
    def turned(self) -> Course:
        """The same course from its other end."""
        gaps = tuple(Gap(self.length - g.high, self.length - g.low, g.top, g.sloped) for g in reversed(self.gaps))
        return Course(geometry.turned_round(self.spans), self.closed, gaps)

    def stretch(self, first: float, last: float) -> Spans:
        """From one station to a later one; a closed course wraps."""
        if first <= 0.0 and last == self.length:
            return self.spans
        return geometry.between(self.spans, first, last)

    def free_ahead(self, station: float, z: float) -> float:
        """How far (mm) a bit at height ``z`` can run from ``station`` before a tab, the end, or a whole lap."""
        ahead = self.length if self.closed else self.length - station
        for gap in self.gaps:
            if gap.top > z + SAME_HEIGHT:
                distance = gap.at(z).low - station
                if distance < -SAME_PLACE and self.closed:
                    distance += self.length
                if distance >= -SAME_PLACE:
                    ahead = min(ahead, max(distance, 0.0))
        return ahead


@dataclass(frozen=True)
class Cut:
    """A toolpath with what lowering needs to know about it.

    ``wood`` is the z of the highest wood, ``levels`` the z of each level, ``bite`` the most (mm) that may be removed
    at once; ``approach`` the z down to which rapids may go before the first wood, ``air`` the heights of moves between
    cuts.
    """

    toolpath: Toolpath
    wood: float
    levels: tuple[float, ...]
    bite: float
    approach: float
    air: Air

    @property
    def travel(self) -> float:
        """z to which the bit is lifted out of the cut."""
        return self.air.base

    @property
    def bottom(self) -> float:
        return self.levels[-1]


def cut_of(toolpath: Toolpath, stock: Stock, approach: float = math.nan, air: Air = NO_AIR) -> Cut:
    """What lowering needs to know about a toolpath; ``approach`` and ``air`` as in `Cut`, unknown unless given."""
    wood = toolpath.highest(stock)
    levels = toolpath.depths(stock)
    drops = [high - low for high, low in pairwise((wood, *levels))]
    # The largest drop is a bite that the job accepts; its stepdown may be stricter.
    deepest = max(drops, default=math.inf)
    bite = deepest if toolpath.stepdown is None else min(deepest, toolpath.stepdown)
    return Cut(toolpath, wood, levels, bite, approach, air)


def course_of(cut: Cut, stock: Stock) -> Course:
    """The toolpath's curve as it is run, with its tabs. Raises `Refused` where tabs rule out a sound cut."""
    toolpath = cut.toolpath
    curve = toolpath.curve
    spans = curve.spans
    if curve.closed and toolpath.start > ROUNDING:
        spans = geometry.between(spans, toolpath.start, toolpath.start + curve.length)
        spans.end[-1] = spans.start[0]
    elif toolpath.backward:
        spans = geometry.turned_round(spans)
    course = Course(spans, curve.closed)
    if not toolpath.tabs:
        return course
    return Course(spans, curve.closed, _gaps(cut, course, stock))


def tab_gap(toolpath: Toolpath, index: int) -> tuple[float, float]:
    """Stations (low, high) on the toolpath's own curve, mm, between which the bit crosses tab ``index``.

    On a straight stretch they lie width + bit diameter apart. On a bent one that is the straight distance between
    them, so that the wood left between the two swept discs is nowhere narrower than asked. ``low`` may be negative
    and ``high`` beyond the length where a closed curve's gap runs over its first point. Raises `Refused` where the
    curve is too small.
    """
    curve, tab = toolpath.curve, toolpath.tabs[index]
    wanted = tab.width + toolpath.tool.diameter
    half = wanted / 2.0
    small = refusal(
        toolpath,
        f"no room for a tab of {tab.width:g} mm at {tab.at:g} mm: the gap would be {wanted:g} mm",
        "make the tab narrower, move it to a straight stretch, or hold the part otherwise",
    )
    for _ in range(200):
        low, high = tab.at - half, tab.at + half
        if 2.0 * half >= curve.length - SAME_PLACE or (
            not curve.closed and (low < SAME_PLACE or high > curve.length - SAME_PLACE)
        ):
            raise small
        chord = curve.at(high) - curve.at(low)
        lacking = wanted - math.hypot(chord[0], chord[1])
        if lacking <= SAME_PLACE:
            return low, high
        # The chord grows by at most twice the step, so this approaches from below and never overshoots.
        half += lacking / 2.0
    raise small


def _gaps(cut: Cut, course: Course, stock: Stock) -> tuple[Gap, ...]:
    toolpath = cut.toolpath
    gaps: list[Gap] = []
    for index, tab in enumerate(toolpath.tabs):
        top = min(stock.highest_underside + tab.height, cut.wood)
        if top <= cut.bottom + SAME_HEIGHT:
            continue
        low, high = tab_gap(toolpath, index)
        run = tab.slope_above(cut.bottom, top)
        if run and not toolpath.tool.plunges:
            what = f"{toolpath.tool.name!r} does not cut at its centre, but would go down steeply behind a sloped tab"
            fix = "make its tabs square, or set centre_cutting = true if the bit does cut there"
            raise refusal(toolpath, what, fix)
        if toolpath.backward:
            low, high = course.length - high, course.length - low
        elif course.closed:
            shift = (tab.at - toolpath.start) % course.length - tab.at
            low, high = low + shift, high + shift
        if low - run < -SAME_PLACE or high + run > course.length + SAME_PLACE:
            what = f"it starts within the gap of the tab at {tab.at:g} mm, where it could not reach its depth"
            raise refusal(toolpath, what, "start elsewhere, or move the tab")
        high = course.length if high > course.length - SAME_PLACE else high
        gaps.append(Gap(max(low, 0.0), high, top, run > 0.0))
    feet = _merged([gap.at(cut.bottom) for gap in gaps])
    if sum(g.high - g.low for g in feet) >= course.length - SAME_PLACE:
        raise refusal(toolpath, "its tabs leave nothing to cut", "ask for fewer or narrower tabs")
    return _merged(gaps)


def _merged(gaps: list[Gap]) -> tuple[Gap, ...]:
    """In order, and those that overlap as one."""
    merged: list[Gap] = []
    for gap in sorted(gaps):
        if merged and gap.low <= merged[-1].high + SAME_PLACE:
            last = merged[-1]
            merged[-1] = Gap(last.low, max(last.high, gap.high), max(last.top, gap.top), gap.sloped)
        else:
            merged.append(gap)
    return tuple(merged)


def vertices(spans: Spans, tolerance: float) -> NDArray[np.float64]:
    """A polyline (k, 2) within ``tolerance`` mm of the spans."""
    points = np.vstack([spans.start, spans.end[-1:]])[:, :2]
    return geometry.flatten(points, spans.sweep, False, tolerance)
