"""Runs of short lines: how far one arc, or one line, can stand for them. Greedy, with doubling and halving.

Every test compares places in their order: those on an arc at equal angles about its centre, those on a line at equal
ways along it. So what it finds bounds the deviation both ways, and keeps the order along the path.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pathkit.curves.lines_kernel import line_through, lines_within
from pathkit.kernels import kernel
from pathkit.tolerances import ANGLE_ROUNDING, FILE_GRID, ROUNDING

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

FEWEST = 4
"""Lines in a row that make an arc at least. Two always lie on a circle, and so do three, if they are symmetrical (an
isosceles trapezium is cyclic, Euclid), as chamfers are: only a fourth bears witness."""

WIDEST_CHORD = math.radians(28.8)
"""Radians that one line may turn about the centre: no regular polygon of twelve sides or fewer is ever rounded."""

WIDEST_ARC = math.radians(300.0)
"""Radians of one arc. The chord is then as long as the radius, or longer, and holds the centre firmly in place. What
turns farther is divided at half a turn, so that no scrap is left over."""

HALF_TURN = math.radians(179.5)
"""Radians: half a turn, less what rounding may take from it."""

LARGEST_RADIUS = 1e4
"""mm. Controllers calculate larger arcs badly, and a line does as well."""

BESIDE, FLAT, TOO_FAR_ROUND, ARC = 0, 1, 2, 3
"""What a run of lines is: not on one arc, too straight to tell, on one that turns too far, on one."""


@kernel(allocates=False)
def _bulge(points: Array, first: int, last: int) -> tuple[float, float, float]:
    """(t, widest, side) for a run of vertices: its circle, how far it leaves its chord, and to which side.

    The circle goes through both ends, so its centre is the chord's middle plus ``t`` to the left; every vertex (u, v),
    u along the chord from its middle and v to the left, would have it at u² + v² − (chord/2)² = 2 v t. ``t`` is the
    least-squares solution: the algebraic fit of a circle (Kåsa's; Chernov, "Circular and Linear Regression", 2010,
    chapter 5, from memory), with both ends given.
    """
    run_x, run_y = points[last, 0] - points[first, 0], points[last, 1] - points[first, 1]
    chord = math.hypot(run_x, run_y)
    if chord <= ROUNDING:
        return 0.0, np.inf, 0.0
    along_x, along_y = run_x / chord, run_y / chord
    products, squares, widest, side = 0.0, 0.0, 0.0, 0.0
    for k in range(first + 1, last):
        x, y = points[k, 0] - points[first, 0], points[k, 1] - points[first, 1]
        u, v = x * along_x + y * along_y, y * along_x - x * along_y
        products += u * (u - chord) * v + v * v * v
        squares += v * v
        widest = max(widest, abs(v))
        side += v
    return products / (2.0 * squares) if squares > 0.0 else np.inf, widest, side


@kernel(allocates=False)
def _sharp(points: Array, k: int, way: float, turned: float, noise: float) -> bool:
    """Whether the path turns at vertex ``k`` as no arc explains, which turns by ``turned`` about it: to the other side,
    or more than twice as far. ``noise`` is what rounding moves a place by."""
    ax, ay = points[k, 0] - points[k - 1, 0], points[k, 1] - points[k - 1, 1]
    bx, by = points[k + 1, 0] - points[k, 0], points[k + 1, 1] - points[k, 1]
    turn = way * math.atan2(ax * by - ay * bx, ax * bx + ay * by)
    blur = 2.0 * noise * (1.0 / math.hypot(ax, ay) + 1.0 / math.hypot(bx, by)) + ANGLE_ROUNDING
    return turn < -blur or turn > 2.0 * turned + blur


@kernel(allocates=False)
def arc_through(points: Array, first: int, last: int, level: float, tolerance: float) -> tuple[int, float, float]:
    """(what, sweep, deviation): whether vertices ``first`` to ``last`` lie on one arc within ``level`` mm, and the
    lines between them within ``tolerance``; the arc's angle (radians), and a bound of how far the two lie apart (mm).
    """
    t, widest, side = _bulge(points, first, last)
    if widest <= level:
        return FLAT, 0.0, 0.0
    half = math.hypot(points[last, 0] - points[first, 0], points[last, 1] - points[first, 1]) / 2.0
    radius = math.hypot(half, t)
    if half <= ROUNDING or not radius <= LARGEST_RADIUS:
        return BESIDE, 0.0, 0.0
    way = -1.0 if side > 0.0 else 1.0
    total = 2.0 * math.atan2(half, way * t)
    cx = (points[first, 0] + points[last, 0]) / 2.0 - (points[last, 1] - points[first, 1]) * t / (2.0 * half)
    cy = (points[first, 1] + points[last, 1]) / 2.0 + (points[last, 0] - points[first, 0]) * t / (2.0 * half)
    bottom, rise = points[first, 2], points[last, 2] - points[first, 2]
    noise = min(level, FILE_GRID)
    x, y = points[first, 0] - cx, points[first, 1] - cy
    arm, off, turned, before, worst = radius, 0.0, 0.0, 0.0, 0.0
    for k in range(first, last):
        next_x, next_y = points[k + 1, 0] - cx, points[k + 1, 1] - cy
        next_arm = math.hypot(next_x, next_y)
        cross = x * next_y - y * next_x
        angle = way * math.atan2(cross, x * next_x + y * next_y)
        turned += angle
        if turned > WIDEST_ARC:
            return TOO_FAR_ROUND, 0.0, 0.0
        next_off = abs(points[k + 1, 2] - bottom - rise * turned / total)
        if angle <= ANGLE_ROUNDING or angle > WIDEST_CHORD or math.hypot(next_arm - radius, next_off) > level:
            return BESIDE, 0.0, 0.0
        if k > first and _sharp(points, k, way, (before + angle) / 2.0, noise):
            return BESIDE, 0.0, 0.0
        # The place of the line that is nearest to the centre: where it is square to it, or an end.
        line_x, line_y = next_x - x, next_y - y
        nearest = min(arm, next_arm)
        if x * line_x + y * line_y < 0.0 < next_x * line_x + next_y * line_y:
            nearest = abs(cross) / math.hypot(line_x, line_y)
        # A line rises evenly with its length, the arc with the angle. The two differ by at most 0.016 angle² of the
        # rise (tan φ to its third order), and by a quarter of what the arms differ by.
        drop = abs(points[k + 1, 2] - points[k, 2])
        uneven = drop * (angle * angle / 50.0 + abs(next_arm - arm) / (2.0 * nearest))
        beside = max(abs(arm - radius), abs(next_arm - radius), radius - nearest)
        worst = max(worst, math.hypot(beside, max(off, next_off) + uneven))
        if worst > tolerance + ROUNDING:
            return BESIDE, 0.0, 0.0
        x, y, arm, off, before = next_x, next_y, next_arm, next_off, angle
    if abs(turned - total) > 1.0:  # they differ by whole turns
        return BESIDE, 0.0, 0.0
    return ARC, way * total, worst


@kernel(allocates=False)
def _longest_arc(points: Array, first: int, limit: int, level: float, tolerance: float) -> tuple[int, int]:
    """(last, looked): the last vertex of the longest arc from ``first`` on (-1: none), and the last up to which the
    lines are on an arc or too straight to tell."""
    found, looked, size = -1, first, FEWEST
    beyond = first + FEWEST
    while beyond <= limit:
        what, _, _ = arc_through(points, first, beyond, level, tolerance)
        if what != ARC and what != FLAT:
            break
        looked = beyond
        if what == ARC:
            found = beyond
        if beyond == limit:
            return found, looked
        size *= 2
        beyond = min(first + size, limit)
    while looked > first and beyond - looked > 1:
        middle = (looked + beyond) // 2
        what, _, _ = arc_through(points, first, middle, level, tolerance)
        if what == ARC:
            found = looked = middle
        elif what == FLAT:
            looked = middle
        else:
            beyond = middle
    return found, looked


@kernel(allocates=False)
def _earliest_start(points: Array, floor: int, first: int, last: int, level: float, tolerance: float) -> int:
    """The first vertex of the longest arc that ends at ``last``, where one from ``first`` on is known."""
    step, beyond = 1, floor - 1
    while first - step >= floor:
        if arc_through(points, first - step, last, level, tolerance)[0] != ARC:
            beyond = first - step
            break
        first -= step
        step *= 2
    while first - beyond > 1:
        middle = (first + beyond) // 2
        if middle >= floor and arc_through(points, middle, last, level, tolerance)[0] == ARC:
            first = middle
        else:
            beyond = middle
    return first


@kernel(allocates=False)
def _half_turn(points: Array, first: int, last: int, sweep: float) -> int:
    """The first vertex at which an arc has turned by half a turn (but for rounding); ``last`` if it never does."""
    half = math.hypot(points[last, 0] - points[first, 0], points[last, 1] - points[first, 1]) / 2.0
    t = half / math.tan(sweep / 2.0)
    cx = (points[first, 0] + points[last, 0]) / 2.0 - (points[last, 1] - points[first, 1]) * t / (2.0 * half)
    cy = (points[first, 1] + points[last, 1]) / 2.0 + (points[last, 0] - points[first, 0]) * t / (2.0 * half)
    turned = 0.0
    for k in range(first, last):
        ax, ay, bx, by = points[k, 0] - cx, points[k, 1] - cy, points[k + 1, 0] - cx, points[k + 1, 1] - cy
        turned += abs(math.atan2(ax * by - ay * bx, ax * bx + ay * by))
        if turned >= HALF_TURN:
            return k + 1
    return last


@kernel(allocates=False)
def _arcs_within(
    points: Array, floor: int, limit: int, level: float, tolerance: float, until: Ints, turns: Array
) -> float:
    """Enter the arcs between two vertices, from left to right: where each ends (``until``) and its angle (``turns``).

    Returns the largest deviation, mm."""
    worst, first = 0.0, floor
    while first + FEWEST <= limit:
        last, looked = _longest_arc(points, first, limit, level, tolerance)
        if last >= 0:
            start = _earliest_start(points, floor, first, last, level, tolerance)
            _, sweep, deviation = arc_through(points, start, last, level, tolerance)
            # What a line serves as well is a line.
            if line_through(points, start, last, tolerance) < 0.0:
                if last < limit and arc_through(points, start, last + 1, level, tolerance)[0] == TOO_FAR_ROUND:
                    shorter = _half_turn(points, start, last, sweep)
                    what, turn, off = arc_through(points, start, shorter, level, tolerance)
                    if what == ARC:
                        last, sweep, deviation = shorter, turn, off
                until[start], turns[start] = last, sweep
                worst = max(worst, deviation)
                first = floor = last
                continue
        # An arc that begins behind this is found a little late, and then extended to where it begins.
        first += max((looked - first) // 2, 1)
    return worst


@kernel(allocates=False)
def _same_circle(points: Array, sweeps: Array, first: int, last: int, level: float) -> tuple[float, float]:
    """(sweep, deviation) of the one arc for spans ``first`` to ``last`` - 1, all of them arcs; (0, 0) if they are not
    of one circle, or do not rise evenly. The deviation (mm) is at most the centres' distance and what the radii
    differ by."""
    total = 0.0
    for k in range(first, last):
        total += sweeps[k]
    if abs(total) > WIDEST_ARC:
        return 0.0, 0.0
    cx, cy, radius = circle_of(points, first, last, total)
    turned, worst = 0.0, 0.0
    rise = points[last, 2] - points[first, 2]
    for k in range(first, last):
        own_x, own_y, own = circle_of(points, k, k + 1, sweeps[k])
        turned += sweeps[k]
        off = abs(points[k + 1, 2] - points[first, 2] - rise * turned / total)
        worst = max(worst, math.hypot(own_x - cx, own_y - cy) + abs(own - radius) + off)
        if sweeps[k] * total <= 0.0 or not worst <= level:
            return 0.0, 0.0
    return total, worst


@kernel(allocates=False)
def circle_of(points: Array, first: int, last: int, sweep: float) -> tuple[float, float, float]:
    """Centre and radius, mm, of an arc between two vertices."""
    run_x, run_y = points[last, 0] - points[first, 0], points[last, 1] - points[first, 1]
    share = 1.0 / (2.0 * math.tan(sweep / 2.0))
    cx = (points[first, 0] + points[last, 0]) / 2.0 - run_y * share
    cy = (points[first, 1] + points[last, 1]) / 2.0 + run_x * share
    return cx, cy, math.hypot(points[first, 0] - cx, points[first, 1] - cy)


@kernel(allocates=False)
def _joined_arcs(
    points: Array, sweeps: Array, first: int, limit: int, level: float, until: Ints, turns: Array
) -> float:
    """Enter the arcs that are there, those of one circle as one. Returns the largest deviation, mm."""
    worst = 0.0
    while first < limit:
        last, sweep, deviation = first + 1, sweeps[first], 0.0
        # Half a turn is enough for one that more follows; the next begins there.
        while last < limit and abs(sweep) < HALF_TURN:
            longer, off = _same_circle(points, sweeps, first, last + 1, level)
            if longer == 0.0:
                break
            last, sweep, deviation = last + 1, longer, off
        until[first], turns[first] = last, sweep
        worst = max(worst, deviation)
        first = last
    return worst


@kernel(allocates=False)
def fit_runs(  # noqa: PLR0913 - a kernel takes arrays alone
    points: Array, sweeps: Array, ends: Ints, tolerance: float, arcs: bool, until: Ints, turns: Array, stack: Ints,
    tries: Ints,
) -> float:  # fmt: skip
    """Where each new span that begins at a vertex ends (``until`` (n,), -1 at all others) and by how much it turns
    (``turns`` (n,)). ``ends`` are the vertices at which a stretch of one feed, of lines or of arcs, ends. Returns the
    largest deviation, mm."""
    worst, first = 0.0, 0
    # Rounding moves the ends too, through which an arc goes.
    close = min(tolerance, 2.0 * FILE_GRID)
    for limit in ends:
        if sweeps[first] != 0.0:
            worst = max(worst, _joined_arcs(points, sweeps, first, limit, close if arcs else -1.0, until, turns))
            first = limit
            continue
        if arcs:
            # First what was an arc before it was made of lines, so that its ends are found; then what is nearly one.
            worst = max(worst, _arcs_within(points, first, limit, close, tolerance, until, turns))
        begin = first
        for k in range(first, limit + 1):
            if k < begin or not (k == limit or until[k] >= 0):
                continue
            if arcs and close < tolerance:
                worst = max(worst, _arcs_within(points, begin, k, tolerance, tolerance, until, turns))
            at = begin
            for m in range(begin, k + 1):
                if m >= at and (m == k or until[m] >= 0):
                    worst = max(worst, lines_within(points, at, m, tolerance, until, stack, tries))
                    at = until[m] if m < k else k
            begin = until[k] if k < limit else limit
        first = limit
    return worst
