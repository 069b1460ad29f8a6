"""The rounding of moves to the grid, and what becomes of arcs there. Lengths in counts: steps of the grid."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.motion.program import ARC, RAPID
from pathkit.tolerances import ANGLE_ROUNDING, ARC_DRIFT, SHORTEST_ARC

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]

UNKNOWN = np.iinfo(np.int64).min
"""An axis whose position is not known yet."""

RAPIDLY, STRAIGHT, CLOCKWISE, COUNTER, DRILL, DRILL_WAIT, DRILL_PECK = 0, 1, 2, 3, 4, 5, 6
"""Motions as they are written; the first two are `RAPID` and `LINE`, the last three G81, G82 and G83."""

ABOUT_CENTRE, BY_RADIUS = 0, 1
FULL = 2.0 * math.pi

DEEPEST = 48


class Rows(NamedTuple):
    """A program's columns as they are, mm, NaN where unknown; ``feed`` with that of rapids if they are written."""

    kind: NDArray[np.uint8]
    end: Floats  # (n, 3)
    centre: Floats  # (n, 2)
    sweep: Floats
    feed: Floats


class Rule(NamedTuple):
    """How numbers and arcs are given.

    A length is value / ``mm`` · ``scale``, a feed value / ``mm`` · ``feed_scale``, both refused from ``refused`` or
    ``feed_refused`` on; ``rapids`` whether they have feeds. ``form`` of arcs, and limits in counts for chords, radii
    and numbers; an arc up to ``shortest`` counts plus a ``share`` of its radius becomes a line.
    """

    mm: float
    scale: float
    feed_scale: float
    refused: float
    feed_refused: float
    rapids: bool
    form: int
    tolerance: float
    slack: float
    longest: float
    shortest: float
    share: float


class Laid(NamedTuple):
    """The rows on the grid, and the program's ``row`` that each comes from; rows that do not fit are only counted."""

    motion: NDArray[np.uint8]
    point: Counts
    arc: Counts  # zero at first: only those of arcs are written
    feed: Counts
    row: Counts


class Work(NamedTuple):
    """Where the last row ended, in counts, exact and rounded, and parts of an arc that are still to be laid."""

    begin: Floats  # (3,)
    current: Counts  # (3,)
    parts: Floats  # (DEEPEST + 1, 2)


@kernel(allocates=False)
def _quarter(ax: float, ay: float, bx: float, by: float, sense: float) -> int:
    """In which quarter turn (0 … 3) the turn from a to b ends, going round by ``sense``. No trigonometry."""
    cross = (ax * by - ay * bx) * sense
    dot = ax * bx + ay * by
    if cross >= 0.0:
        return 0 if dot > 0.0 else 1
    return 2 if dot <= 0.0 else 3


@kernel(allocates=False)
def _arc_centre_from_radius(
    sx: float, sy: float, ex: float, ey: float, radius: float, sense: float
) -> tuple[float, float]:
    """The centre that a controller computes for an arc of less than half a turn given by R (chord geometry)."""
    dx, dy = ex - sx, ey - sy
    chord = math.sqrt(dx * dx + dy * dy)
    height = math.sqrt(max(radius * radius - 0.25 * chord * chord, 0.0))
    return 0.5 * (sx + ex) - sense * height * dy / chord, 0.5 * (sy + ey) + sense * height * dx / chord


@kernel(allocates=False)
def _written_centre(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    sx: float, sy: float, ex: float, ey: float, cx: float, cy: float, begin: float, finish: float, turn: float,
    slack: float, longest: float,
) -> tuple[bool, float, float]:  # fmt: skip
    """The centre on the grid with which an arc can be written; False if there is none near the true one.

    Of the nine grid points around it: the one that draws the truest arc among those whose distances to start and end
    differ by at most ``slack`` and whose numbers stay below ``longest``. The drawn arc leaves the true one by at most
    the shift of the centre plus the change of radius.
    """
    best, found, bx, by = ARC_DRIFT, False, 0.0, 0.0
    x, y = np.rint(cx), np.rint(cy)
    for index in range(9):
        px, py = x + (index % 3 - 1), y + (index // 3 - 1)
        here = math.sqrt((sx - px) ** 2 + (sy - py) ** 2)
        there = math.sqrt((ex - px) ** 2 + (ey - py) ** 2)
        if here == 0.0 or there == 0.0 or abs(here - there) > slack:
            continue
        if max(here, abs(px), abs(py)) >= longest:
            continue
        drift = math.sqrt((px - cx) ** 2 + (py - cy) ** 2) + max(abs(here - begin), abs(here - finish))
        if drift < best:
            best, found, bx, by = drift, True, px, py
    if not found:
        return False, 0.0, 0.0
    if sx == ex and sy == ey:
        return True, bx, by
    drawn = _quarter(sx - bx, sy - by, ex - bx, ey - by, 1.0 if turn > 0.0 else -1.0)
    meant = int(abs(turn) / (0.5 * math.pi))
    return abs(drawn - min(meant, 3)) <= 1, bx, by


@kernel(allocates=False)
def _written_radius(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    sx: float, sy: float, ex: float, ey: float, cx: float, cy: float, begin: float, finish: float, turn: float,
    longest: float,
) -> tuple[bool, float]:  # fmt: skip
    """The whole R with which an arc of at most 120° draws the truest arc; False if none is true enough."""
    best, found, written = ARC_DRIFT, False, 0.0
    chord = math.sqrt((ex - sx) ** 2 + (ey - sy) ** 2)
    if chord == 0.0:
        return False, 0.0
    for step in range(-2, 3):
        radius = np.rint(begin) + step
        if 2.0 * radius <= chord or radius >= longest:
            continue
        px, py = _arc_centre_from_radius(sx, sy, ex, ey, radius, 1.0 if turn > 0.0 else -1.0)
        drift = math.sqrt((px - cx) ** 2 + (py - cy) ** 2) + max(abs(radius - begin), abs(radius - finish))
        if drift < best:
            best, found, written = drift, True, radius
    return found, written


@kernel(allocates=False)
def _lay_arc(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    work: Work, rows: Rows, source: int, x1: float, y1: float, z1: float, feed: int, rule: Rule, laid: Laid, at: int
) -> int:  # fmt: skip
    """Write the arc of row ``source`` to (x1, y1, z1), halving it until each part can be written as an arc, a line, or
    nothing."""
    begin, current, stack = work.begin, work.current, work.parts
    cx, cy = rows.centre[source, 0] / rule.mm * rule.scale, rows.centre[source, 1] / rule.mm * rule.scale
    sweep = rows.sweep[source]
    whole = abs(abs(sweep) - FULL) <= ANGLE_ROUNDING
    slack, longest = rule.slack, rule.longest
    ax, ay = begin[0] - cx, begin[1] - cy
    radius = math.sqrt(ax * ax + ay * ay)
    last = math.sqrt((x1 - cx) ** 2 + (y1 - cy) ** 2)
    stack[0, 0], stack[0, 1] = 0.0, 1.0
    depth = 1
    while depth > 0:
        depth -= 1
        f, g = stack[depth, 0], stack[depth, 1]
        turn = sweep * (g - f)
        here, there = radius + (last - radius) * f, radius + (last - radius) * g
        if g == 1.0:
            tx, ty, tz = x1, y1, z1
        else:
            cos, sin = math.cos(sweep * g), math.sin(sweep * g)
            tx = cx + (cos * ax - sin * ay) * there / radius
            ty = cy + (sin * ax + cos * ay) * there / radius
            tz = begin[2] + (z1 - begin[2]) * g
        x, y, z = np.int64(np.rint(tx)), np.int64(np.rint(ty)), np.int64(np.rint(tz))
        reach = max(here, there)
        short = reach * abs(turn) <= max(SHORTEST_ARC, rule.shortest + rule.share * reach)
        still = x == current[0] and y == current[1]
        fits, i, j = False, 0.0, 0.0
        if not short and still == (whole and f == 0.0 and g == 1.0):
            sx, sy, ex, ey = float(current[0]), float(current[1]), float(x), float(y)
            if rule.form == ABOUT_CENTRE:
                fits, i, j = _written_centre(sx, sy, ex, ey, cx, cy, here, there, turn, slack, longest)
            else:
                fits, i = _written_radius(sx, sy, ex, ey, cx, cy, here, there, turn, longest)
        # Sagitta r(1 − cos(θ/2)) ≤ rθ²/8 (circle geometry and the cosine's series).
        if not fits and not short and reach * turn * turn > 8.0 * rule.tolerance and depth < DEEPEST - 1:
            middle = 0.5 * (f + g)
            stack[depth, 0], stack[depth, 1] = middle, g
            stack[depth + 1, 0], stack[depth + 1, 1] = f, middle
            depth += 2
            continue
        if fits or not (still and z == current[2]):
            if at < len(laid.motion):
                laid.motion[at] = (COUNTER if sweep > 0.0 else CLOCKWISE) if fits else STRAIGHT
                laid.point[at, 0], laid.point[at, 1], laid.point[at, 2] = x, y, z
                laid.arc[at, 0], laid.arc[at, 1] = np.int64(i), np.int64(j)
                laid.feed[at], laid.row[at] = feed, source
            at += 1
        current[0], current[1], current[2] = x, y, z
    return at


@kernel(allocates=False)
def lay_rows(rows: Rows, rule: Rule, laid: Laid, work: Work) -> int:
    """Round every row once (half to even) and fill the columns; returns how many rows there are on the grid, or −1 if a
    number is too long or a feed rounds to 0."""
    kind, end, feeds = rows.kind, rows.end, rows.feed
    mm, scale, feed_scale = rule.mm, rule.scale, rule.feed_scale
    motion, point, feed, row = laid.motion, laid.point, laid.feed, laid.row
    current = work.current
    px, py, pz = current[0], current[1], current[2]
    at = 0
    for n in range(len(kind)):
        what = kind[n]
        tx, ty, tz = end[n, 0] / mm * scale, end[n, 1] / mm * scale, end[n, 2] / mm * scale
        if abs(tx) >= rule.refused or abs(ty) >= rule.refused or abs(tz) >= rule.refused:
            return -1
        rate = 0
        if what != RAPID or rule.rapids:
            rated = feeds[n] / mm * feed_scale
            if not rated < rule.feed_refused:
                return -1
            rate = int(np.rint(rated))
            if rate <= 0 and what != RAPID:
                return -1
        if what == ARC:
            current[0], current[1], current[2] = px, py, pz
            at = _lay_arc(work, rows, n, tx, ty, tz, rate, rule, laid, at)
            px, py, pz = current[0], current[1], current[2]
        else:
            x = px if math.isnan(tx) else np.int64(np.rint(tx))
            y = py if math.isnan(ty) else np.int64(np.rint(ty))
            z = pz if math.isnan(tz) else np.int64(np.rint(tz))
            if x != px or y != py or z != pz:
                if at < len(motion):
                    motion[at] = RAPIDLY if what == RAPID else STRAIGHT
                    point[at, 0], point[at, 1], point[at, 2] = x, y, z
                    feed[at], row[at] = rate, n
                at += 1
                px, py, pz = x, y, z
        work.begin[0], work.begin[1], work.begin[2] = tx, ty, tz
    count: int = at
    return count
