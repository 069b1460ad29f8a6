"""How a cut is run once the bit is down: laps that hop over tabs, level by level, in a spiral, or back and forth."""

from __future__ import annotations

import math

import numpy as np

from pathkit.geometry.spans import Spans
from pathkit.lowering.cut import Course, Cut, Piece, refusal, vertices
from pathkit.lowering.entries import (
    DEFAULT_ANGLE,
    MOST_TURNS,
    HelixDown,
    WayDown,
    back_and_forth,
    go_down,
    ramp_down,
    way_down,
)
from pathkit.lowering.rows import Rows
from pathkit.lowering.slopes import over_slopes
from pathkit.model.toolpath import Helix, Ramp, Spiral
from pathkit.tolerances import (
    ABOVE_CUT,
    ANGLE_ROUNDING,
    BEHIND_TAB,
    ON_CUT,
    QUOTIENT_ROUNDING,
    SAME_HEIGHT,
    SAME_PLACE,
    SHAPE_CHORDS,
    WAY_BACK,
)

HOP_LEG = 3.0
"""Diameters: the longest leg of a ramp behind a tab (common practice, no source)."""


def run(rows: Rows, cut: Cut, course: Course, z_from: float, z_to: float, feed: float) -> None:
    """Once along the course, falling evenly from ``z_from`` to ``z_to``, and over tabs that are higher."""
    if all(gap.top <= z_to + SAME_HEIGHT for gap in course.gaps):
        rows.along(course.spans, z_from, z_to, feed)
        return
    if any(gap.sloped for gap in course.gaps):
        over_slopes(rows, course, z_from, z_to, feed, cut.toolpath.cutting)
        return
    length = course.length
    z = z_from
    for piece in course.pieces:
        after = z_to if piece.high >= length else z_from + (z_to - z_from) * piece.high / length
        if piece.gap is None or piece.gap.top <= after + SAME_HEIGHT:
            rows.along(piece.spans, z, after, feed)
        else:
            after = _hop(rows, cut, course, piece, z, after, feed)
        z = after


def _hop(rows: Rows, cut: Cut, course: Course, piece: Piece, before: float, after: float, feed: float) -> float:
    """Across a tab: up, over it, and down again behind it to ``after``, the height (z) of the course there.

    Returns the height at which it ends.
    """
    assert piece.gap is not None
    top = piece.gap.top
    cutting = cut.toolpath.cutting
    if before > top + SAME_HEIGHT:
        meets = piece.low + (piece.high - piece.low) * (before - top) / (before - after)
        rows.along(course.stretch(piece.low, meets), before, top, feed)
        rows.along(course.stretch(meets, piece.high), top, top, cutting.feed)
    else:
        rows.sink(top, cutting.feed)
        rows.along(piece.spans, top, top, cutting.feed)
    if not course.closed and piece.high >= course.length - SAME_PLACE:
        return after
    if cut.toolpath.tool.plunges:
        rows.sink(after, cutting.plunge)
        return after
    if top - after <= BEHIND_TAB:
        # The course behind the tab falls by that much more.
        return top
    entry = cut.toolpath.entry
    angle = entry.angle if isinstance(entry, Ramp | Spiral | Helix) else DEFAULT_ANGLE
    ramp_down(rows, cut, course, piece.high, top, after, angle, HOP_LEG * cut.toolpath.tool.diameter)
    return after


def spiral(rows: Rows, cut: Cut, course: Course, entry: Spiral) -> None:
    """Round and round, always going down, drop per lap ≤ min(bite, L tan α); a last flat lap cleans the ramp."""
    drop = cut.wood - cut.bottom
    cutting = cut.toolpath.cutting
    slope = math.tan(math.radians(entry.angle))
    laps = math.ceil(max(drop / cut.bite, drop / (course.length * slope)) - QUOTIENT_ROUNDING)
    if laps > MOST_TURNS:
        what = f"a spiral of {entry.angle:g}° round {course.length:.3g} mm would need {laps} laps"
        raise refusal(cut.toolpath, what, "use a steeper angle, a helix, or a smaller bit on a longer contour")
    feed = cutting.ramp_feed(drop / math.hypot(laps * course.length, drop))
    rows.level = 0
    rows.sink(cut.wood, cutting.plunge)
    z = cut.wood
    for lap in range(laps):
        rows.level = lap
        lower = cut.bottom if lap == laps - 1 else cut.wood - drop * (lap + 1) / laps
        run(rows, cut, course, z, lower, feed)
        z = lower
    rows.level = laps
    run(rows, cut, course, z, z, cutting.feed)


def level_by_level(rows: Rows, cut: Cut, course: Course, way: WayDown) -> None:
    """One run at each level; how the next level is reached depends on the curve (see `_next_level`)."""
    z = cut.wood
    for level, floor in enumerate(cut.levels):
        if level:
            course, way, z = _next_level(rows, cut, course, way, z)
        rows.level = level
        go_down(rows, cut, course, way, z, floor)
        run(rows, cut, course, floor, floor, cut.toolpath.cutting.feed)
        z = floor


def _next_level(rows: Rows, cut: Cut, course: Course, way: WayDown, z: float) -> tuple[Course, WayDown, float]:
    """Bring the bit to where the next level goes down; returns its course, its way down and the z of its wood.

    On a closed contour the bit is already at the start. A reversible open one is run back. On any other the bit returns
    to the start: straight at this level if it has already cut all of that way and does not run back along the curve,
    else over the board.
    """
    feed = cut.toolpath.cutting.feed
    if not course.closed and cut.toolpath.may_reverse:
        course = course.turned
        way = way_down(cut, course)
    place = way.begin if isinstance(way, HelixDown) else course.start
    if course.closed or cut.toolpath.may_reverse or _link_is_free(cut, course, z):
        rows.line(*course.start, z, feed)
        rows.line(*place, z, feed)
        return course, way, z
    rows.level = -1
    rows.to_height(cut.travel)
    cut.air.cross(rows, cut.toolpath.tool, place)
    rows.to_height(cut.approach)
    return course, way, z + ABOVE_CUT


def _link_is_free(cut: Cut, course: Course, z: float) -> bool:
    """Whether the straight way from the end to the start lies in what this run has swept at ``z``, and not along the
    curve: there it would run against the direction of a toolpath that must not be reversed."""
    import shapely

    bit = cut.toolpath.tool.radius
    open_to = [piece for piece in course.pieces_at(z) if piece.gap is None or piece.gap.top <= z + SAME_HEIGHT]
    lines = [shapely.LineString(vertices(piece.spans, SHAPE_CHORDS)) for piece in open_to]
    line = shapely.linestrings([course.end, course.start])
    if shapely.length(shapely.intersection(line, shapely.buffer(shapely.multilinestrings(lines), ON_CUT))) > bit:
        return False
    swept = shapely.union_all([shapely.buffer(each, bit, quad_segs=32) for each in lines])
    # A hair narrower, because round ends are polygons here and touch those of the strokes exactly.
    return bool(shapely.covers(swept, shapely.buffer(line, bit - WAY_BACK, quad_segs=32)))


def slot_legs(cut: Cut, length: float, entry: Ramp) -> int:
    """How many equal legs take a reversible open cut from its wood to its bottom over its whole length.

    A single leg removes its own drop, which may be min(L tan α, bite). Of several legs, each removes at its end its own
    drop and what the one before left there, so it may drop min(L tan α, bite / 2).
    """
    drop = cut.wood - cut.bottom
    steepest = length * math.tan(math.radians(entry.angle))
    if drop <= min(steepest, cut.bite) + SAME_HEIGHT:
        return 1
    return math.ceil(drop / min(steepest, cut.bite / 2.0) - QUOTIENT_ROUNDING)


def is_slot(cut: Cut, length: float) -> bool:
    """Whether a reversible open cut is shorter when it goes down over its whole length than level by level."""
    toolpath = cut.toolpath
    if not isinstance(toolpath.entry, Ramp) or toolpath.curve.closed or not toolpath.may_reverse or toolpath.tabs:
        return False
    if toolpath.entry.within is not None:
        return False
    ramps = (cut.wood - cut.bottom) / math.tan(math.radians(toolpath.entry.angle))
    legs = slot_legs(cut, length, toolpath.entry)
    return (legs + 1) * length <= len(cut.levels) * length + ramps + SAME_PLACE


def slot(rows: Rows, cut: Cut, course: Course, entry: Ramp) -> None:
    """Back and forth over the whole curve, every leg going down, and one flat leg that cleans the last wedge."""
    toolpath = cut.toolpath
    length = course.length
    legs = slot_legs(cut, length, entry)
    if legs > MOST_TURNS or (length < toolpath.tool.radius and not toolpath.tool.plunges):
        what = f"a ramp of {entry.angle:g}° has only {length:.3g} mm of the curve to go down"
        raise refusal(toolpath, what, "use a bit that cuts at its centre, or a smaller one")
    rows.level = 0
    rows.sink(cut.wood, toolpath.cutting.plunge)
    back_and_forth(rows, course, (0.0, length), cut.wood, cut.bottom, legs, toolpath.cutting)
    rows.level = legs
    last = course.turned if legs % 2 else course
    rows.along(last.spans, cut.bottom, cut.bottom, toolpath.cutting.feed)


def trace(rows: Rows, cut: Cut, spans: Spans, begin: float) -> None:
    """A curve in space, cut as it lies, from z = ``begin`` on. The bit stands above its first point.

    Raises `Refused` where it goes into wood straight down, or steeper than 45°, and the bit does not cut at its
    centre. On the way down the feed is kept so low that z falls no faster than the plunge feed, unless the toolpath
    has feeds of its own.
    """
    cutting = cut.toolpath.cutting
    length = spans.length
    down = (spans.start[:, 2] - spans.end[:, 2]) / np.where(length > 0.0, length, 1.0)
    steep = (down > math.sin(math.radians(45.0)) + ANGLE_ROUNDING) & (spans.end[:, 2] < cut.wood - SAME_HEIGHT)
    if (steep.any() or begin < cut.wood - SAME_HEIGHT) and not cut.toolpath.tool.plunges:
        place = 0 if begin < cut.wood - SAME_HEIGHT else int(np.flatnonzero(steep)[0]) + 1
        what = (
            f"point {place} of the trace is reached straight down or steeper than 45°,"
            f" but {cut.toolpath.tool.name!r} does not cut at its centre"
        )
        raise refusal(cut.toolpath, what, "begin above the wood and go down at an angle, or use a centre-cutting bit")
    if cut.toolpath.feeds:
        feed = cut.toolpath.feed_of_spans
        feed = feed[::-1] if cut.toolpath.backward else feed
    else:
        feed = np.full(len(length), cutting.feed, np.float64)
        falling = down > 0.0
        feed[falling] = np.minimum(cutting.feed, cutting.plunge / down[falling])
    rows.level = 0
    rows.sink(begin, cutting.plunge)
    rows.through(spans, feed)
