"""Across sloped tabs: up along a slope, over the top, and down along a slope again."""

from __future__ import annotations

import math
from itertools import pairwise

from pathkit.lowering.cut import Course
from pathkit.lowering.rows import Rows
from pathkit.model.tool import Cutting
from pathkit.model.toolpath import TAB_STEEPNESS
from pathkit.tolerances import ANGLE_ROUNDING, SAME_HEIGHT, SAME_PLACE


def over_slopes(rows: Rows, course: Course, z_from: float, z_to: float, feed: float, cutting: Cutting) -> None:
    """Once along the course at the height of a line that falls evenly from ``z_from`` to ``z_to`` (at ``feed``), or of
    the slopes and tops of its tabs where these are higher.

    The bit goes up and over a tab at the feed of the cut, and down behind it at that of an equally steep ramp.
    """
    fall = (z_from - z_to) / course.length

    def line(station: float) -> float:
        return z_from - fall * station

    def height(station: float) -> float:
        beside = (gap.top - TAB_STEEPNESS * max(gap.low - station, station - gap.high, 0.0) for gap in course.gaps)
        return max(line(station), *beside)

    stations = _bends(course, z_from, fall)
    for low, high in pairwise(stations):
        before, after = height(low), height(high)
        own = abs(before - line(low)) <= SAME_HEIGHT and abs(after - line(high)) <= SAME_HEIGHT
        if own:
            pace = feed
        elif after < before - SAME_HEIGHT:
            pace = cutting.ramp_feed((before - after) / math.hypot(before - after, high - low))
        else:
            pace = cutting.feed
        rows.along(course.stretch(low, high), before, after, pace)


def _bends(course: Course, z_from: float, fall: float) -> list[float]:
    """Stations at which the height may change its slope, from 0 to the course's length."""
    found = {0.0, course.length}
    for k, gap in enumerate(course.gaps):
        found |= {gap.low, gap.high, (z_from - gap.top + TAB_STEEPNESS * gap.low) / (TAB_STEEPNESS + fall)}
        if TAB_STEEPNESS - fall > ANGLE_ROUNDING:
            found.add((gap.top - z_from + TAB_STEEPNESS * gap.high) / (TAB_STEEPNESS - fall))
        for other in course.gaps[k + 1 :]:
            # The valley between two tabs whose slopes meet above the line.
            found.add((gap.top - other.top + TAB_STEEPNESS * (gap.high + other.low)) / (2.0 * TAB_STEEPNESS))
    inside = sorted(station for station in found if 0.0 <= station <= course.length)
    return [s for k, s in enumerate(inside) if k == 0 or s - inside[k - 1] > SAME_PLACE or s == course.length]
