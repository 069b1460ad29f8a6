"""The rounding of moves to the grid, and what becomes of arcs there. Lengths in counts: steps of the grid."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.motion.program import ARC, RAPID
from pathkit.tolerances import ARC_DRIFT, SHORTEST_ARC

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]

UNKNOWN = np.iinfo(np.int64).min
"""An axis whose position is not known yet."""

RAPIDLY, STRAIGHT, CLOCKWISE, COUNTER, DRILL, DRILL_WAIT, DRILL_PECK = 0, 1, 2, 3, 4, 5, 6
"""Motions as they are written; the first two are `RAPID` and `LINE`, the last three G81, G82 and G83."""

ABOUT_CENTRE, BY_RADIUS = 0, 1

_DEEPEST = 48


class Rows(NamedTuple):
    """A program's columns in counts, NaN where unknown; ``whole`` marks full turns, whose end is their start."""

    kind: NDArray[np.uint8]
    end: Floats  # (n, 3)
    centre: Floats  # (n, 2)
    sweep: Floats
    whole: NDArray[np.bool_]


class Rule(NamedTuple):
    """How arcs are given (``form``), and limits in counts for chords, radii and numbers; an arc up to ``shortest``
    counts plus a ``share`` of its radius becomes a line."""

    form: int
    tolerance: float
    slack: float
    longest: float
    shortest: float
    share: float


class Laid(NamedTuple):
    """The rows on the grid, and the program's ``row`` that each comes from; only counted if not ``writing``."""

    writing: bool
    motion: NDArray[np.uint8]
    point: Counts
    arc: Counts
    row: Counts


@kernel
def _quarter(ax: float, ay: float, bx: float, by: float, sense: float) -> int:
    """In which quarter turn (0 … 3) the turn from a to b ends, going round by ``sense``. No trigonometry."""
    cross = (ax * by - ay * bx) * sense
    dot = ax * bx + ay * by
    if cross >= 0.0:
        return 0 if dot > 0.0 else 1
    return 2 if dot <= 0.0 else 3


@kernel
def _arc_centre_from_radius(
    sx: float, sy: float, ex: float, ey: float, radius: float, sense: float
) -> tuple[float, float]:
    """The centre that a controller computes for an arc of less than half a turn given by R (chord geometry)."""
    dx, dy = ex - sx, ey - sy
    chord = math.sqrt(dx * dx + dy * dy)
    height = math.sqrt(max(radius * radius - 0.25 * chord * chord, 0.0))
    return 0.5 * (sx + ex) - sense * height * dy / chord, 0.5 * (sy + ey) + sense * height * dx / chord


@kernel
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


@kernel
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


@kernel
def _put(
    laid: Laid, at: int, source: int, how: int, place: tuple[Any, Any, Any], arc: tuple[Any, Any]
) -> int:  # fmt: skip
    if laid.writing:
        laid.motion[at], laid.row[at] = how, source
        laid.point[at, 0], laid.point[at, 1], laid.point[at, 2] = place
        laid.arc[at, 0], laid.arc[at, 1] = arc
    return at + 1


@kernel
def _lay_arc(begin: Floats, rows: Rows, source: int, current: Counts, rule: Rule, laid: Laid, at: int) -> int:
    """Write the arc of row ``source``, halving it until each part can be written as an arc, a line, or nothing."""
    end, centre, sweep, whole = rows.end[source], rows.centre[source], rows.sweep[source], rows.whole[source]
    slack, longest = rule.slack, rule.longest
    ax, ay = begin[0] - centre[0], begin[1] - centre[1]
    radius = math.sqrt(ax * ax + ay * ay)
    last = math.sqrt((end[0] - centre[0]) ** 2 + (end[1] - centre[1]) ** 2)
    stack = np.empty((_DEEPEST + 1, 2))
    stack[0, 0], stack[0, 1] = 0.0, 1.0
    depth = 1
    while depth > 0:
        depth -= 1
        f, g = stack[depth, 0], stack[depth, 1]
        turn = sweep * (g - f)
        here, there = radius + (last - radius) * f, radius + (last - radius) * g
        if g == 1.0:
            tx, ty, tz = end[0], end[1], end[2]
        else:
            cos, sin = math.cos(sweep * g), math.sin(sweep * g)
            tx = centre[0] + (cos * ax - sin * ay) * there / radius
            ty = centre[1] + (sin * ax + cos * ay) * there / radius
            tz = begin[2] + (end[2] - begin[2]) * g
        x, y, z = np.int64(np.rint(tx)), np.int64(np.rint(ty)), np.int64(np.rint(tz))
        reach = max(here, there)
        short = reach * abs(turn) <= max(SHORTEST_ARC, rule.shortest + rule.share * reach)
        still = x == current[0] and y == current[1]
        fits, i, j = False, 0.0, 0.0
        if not short and still == (whole and f == 0.0 and g == 1.0):
            sx, sy, ex, ey = float(current[0]), float(current[1]), float(x), float(y)
            if rule.form == ABOUT_CENTRE:
                fits, i, j = _written_centre(sx, sy, ex, ey, centre[0], centre[1], here, there, turn, slack, longest)
            else:
                fits, i = _written_radius(sx, sy, ex, ey, centre[0], centre[1], here, there, turn, longest)
        if fits:
            how = COUNTER if sweep > 0.0 else CLOCKWISE
            at = _put(laid, at, source, how, (x, y, z), (np.int64(i), np.int64(j)))
        elif short or reach * turn * turn <= 8.0 * rule.tolerance or depth >= _DEEPEST - 1:
            # Sagitta r(1 − cos(θ/2)) ≤ rθ²/8 (circle geometry and the cosine's series).
            if not (still and z == current[2]):
                at = _put(laid, at, source, STRAIGHT, (x, y, z), (np.int64(0), np.int64(0)))
        else:
            middle = 0.5 * (f + g)
            stack[depth, 0], stack[depth, 1] = middle, g
            stack[depth + 1, 0], stack[depth + 1, 1] = f, middle
            depth += 2
            continue
        current[0], current[1], current[2] = x, y, z
    return at


@kernel
def lay_rows(rows: Rows, rule: Rule, laid: Laid) -> int:
    """Round every row once (half to even) and fill the columns; returns how many rows there are on the grid."""
    kind, end = rows.kind, rows.end
    current = np.full(3, UNKNOWN, dtype=np.int64)
    begin = np.full(3, np.nan)
    at = 0
    for n in range(len(kind)):
        if kind[n] == ARC:
            at = _lay_arc(begin, rows, n, current, rule, laid, at)
        else:
            x, y, z = current[0], current[1], current[2]
            if not math.isnan(end[n, 0]):
                x = np.int64(np.rint(end[n, 0]))
            if not math.isnan(end[n, 1]):
                y = np.int64(np.rint(end[n, 1]))
            if not math.isnan(end[n, 2]):
                z = np.int64(np.rint(end[n, 2]))
            if x != current[0] or y != current[1] or z != current[2]:
                how = RAPIDLY if kind[n] == RAPID else STRAIGHT
                at = _put(laid, at, n, how, (x, y, z), (np.int64(0), np.int64(0)))
                current[0], current[1], current[2] = x, y, z
        begin[0], begin[1], begin[2] = end[n, 0], end[n, 1], end[n, 2]
    return at
