"""Smooth curves as lines and arcs: what a controller can follow, within a tolerance.

Two arcs that meet smoothly (a biarc) take each piece from its first point and heading to its last; a piece that strays
farther than the tolerance is halved. Source of the construction: any biarc with equal tangent lengths, textbook
geometry (Bolton 1975, "Biarc curves", Computer-Aided Design 7, from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from pathkit.tolerances import ANGLE_ROUNDING, ROUNDING, SAME_PLACE, VANISHING

Floats = NDArray[np.float64]
Smooth = Callable[[Floats], tuple[Floats, Floats]]
"""Parameters (k,) → points (k, 2) in mm and derivatives (k, 2)."""

_SAMPLES = 24
_DEEPEST = 14
_WIDEST = 2.0  # rad: an arc that turns farther is halved first, so that samples between its ends mean something


def fitted(smooth: Smooth, low: float, high: float, tolerance: float) -> tuple[list[Floats], list[float]]:
    """Vertices after the first, and the sweep (radians, 0 a line) of each span, within ``tolerance`` mm of the curve.

    The ends are exactly those of ``smooth``.
    """
    vertices: list[Floats] = []
    sweeps: list[float] = []
    stack = [(low, high, 0)]
    while stack:
        a, b, depth = stack.pop()
        piece = _piece(smooth, a, b, tolerance, last=depth >= _DEEPEST)
        if piece is None:
            middle = (a + b) / 2.0
            stack += [(middle, b, depth + 1), (a, middle, depth + 1)]
            continue
        vertices += piece[0]
        sweeps += piece[1]
    return vertices, sweeps


def _piece(
    smooth: Smooth, low: float, high: float, tolerance: float, *, last: bool
) -> tuple[list[Floats], list[float]] | None:
    """One line, or two arcs, for the whole of this piece; None where neither is near enough."""
    places, ahead = smooth(np.linspace(low, high, _SAMPLES + 1))
    first, end = places[0], places[-1]
    chord = end - first
    length = math.hypot(chord[0], chord[1])
    if length < ROUNDING:
        return ([], []) if last or np.abs(places - first).max() < tolerance else None
    beside = np.abs((places - first) @ np.array([-chord[1], chord[0]]) / length)
    if last or (beside.max() <= tolerance / 4.0 and _straight(places - first, chord / length)):
        return [end], [0.0]
    speeds = np.hypot(ahead[[0, -1], 0], ahead[[0, -1], 1])
    if not speeds.min() > VANISHING:
        return None
    t0, t1 = ahead[0] / speeds[0], ahead[-1] / speeds[1]
    middle = _junction(first, end, t0, t1)
    if middle is None:
        return None
    sweeps = [2.0 * _angle(t0, middle - first), 2.0 * _angle(end - middle, t1)]
    if max(map(abs, sweeps)) > _WIDEST:
        return None
    arcs = ((first, middle, sweeps[0]), (middle, end, sweeps[1]))
    away = np.minimum(*(_to_arc(places, *arc) for arc in arcs))
    if away.max() > tolerance:
        return None
    return [middle, end], [_straightened(*arc, tolerance=tolerance) for arc in arcs]


def _straight(away: Floats, heading: Floats) -> bool:
    """Whether the places only go forward along the chord, never back."""
    return bool((np.diff(away @ heading) >= -VANISHING).all())


def _junction(first: Floats, end: Floats, t0: Floats, t1: Floats) -> Floats | None:
    """Where the two arcs meet: at equal tangent lengths d with |first + d·t0 − (end − d·t1)| = 2d."""
    way = end - first
    along = float(way @ (t0 + t1))
    turn = 2.0 * (1.0 - float(t0 @ t1))
    square = float(way @ way)
    if turn < VANISHING:
        if abs(along) < VANISHING:
            return None
        d = square / (2.0 * along)
    else:
        d = (-along + math.sqrt(along * along + turn * square)) / turn
    if not 0.0 < d < 1e6:
        return None
    middle: Floats = (first + end + d * (t0 - t1)) / 2.0
    if min(float(np.abs(middle - first).max()), float(np.abs(end - middle).max())) < SAME_PLACE:
        return None
    return middle


def _angle(from_: Floats, to: Floats) -> float:
    return math.atan2(from_[0] * to[1] - from_[1] * to[0], from_[0] * to[0] + from_[1] * to[1])


def _to_arc(places: Floats, start: Floats, end: Floats, sweep: float) -> Floats:
    """(k,): mm from each place to the arc, its ends included."""
    chord = end - start
    length = math.hypot(chord[0], chord[1])
    to_ends = np.minimum(*(np.hypot(*(places - tip).T) for tip in (start, end)))
    side = np.array([-chord[1], chord[0]])
    if abs(sweep) < ANGLE_ROUNDING:
        along = (places - start) @ chord / length**2
        beside: Floats = np.abs((places - start) @ side / length)
        return np.where((along >= 0.0) & (along <= 1.0), beside, to_ends)
    centre = (start + end) / 2.0 + side / (2.0 * math.tan(sweep / 2.0))
    arm, to = start - centre, places - centre
    turn = np.arctan2(arm[0] * to[:, 1] - arm[1] * to[:, 0], to @ arm)
    ahead = np.mod(turn * math.copysign(1.0, sweep), 2.0 * math.pi)
    away: Floats = np.abs(np.hypot(to[:, 0], to[:, 1]) - math.hypot(arm[0], arm[1]))
    return np.where(ahead <= abs(sweep), away, to_ends)


def _straightened(start: Floats, end: Floats, sweep: float, *, tolerance: float) -> float:
    """The sweep of a span; 0 where it is so flat that it cannot be told from a line."""
    sagitta = math.hypot(*(end - start)) * abs(math.tan(sweep / 4.0)) / 2.0
    return 0.0 if sagitta < tolerance / 100.0 else sweep
