"""Arcs as a controller draws them: centre from a radius, and how far round from start to end.

Plain arithmetic on floats, so that the fast reader compiles the very same lines.
"""

from __future__ import annotations

from math import atan2, nan, pi, sqrt


def misses(start_radius: float, end_radius: float, slack: float, relative: float, limit: float) -> bool:
    """Whether start and end lie too unequally far (mm) from the centre for the controller to accept the arc."""
    difference = abs(end_radius - start_radius)
    # A hair of room, because the limit itself is accepted and decimal text seldom hits it exactly.
    if difference <= slack + 1e-9:
        return False
    return difference > limit or difference > relative * start_radius


def sweep_of(ax: float, ay: float, bx: float, by: float, clockwise: bool, full_turn: float) -> float:
    """Signed angle (radians, positive counter-clockwise) from a to b, both seen from the centre.

    Angles up to ``full_turn`` on the wrong side of nothing go all the way round: start and end are one place then.
    """
    angle = atan2(ax * by - ay * bx, ax * bx + ay * by)
    if clockwise:
        return angle - 2.0 * pi if angle >= -full_turn else angle
    return angle + 2.0 * pi if angle <= full_turn else angle


def centre_of(dx: float, dy: float, radius: float, clockwise: bool) -> tuple[float, float]:
    """Centre, from the start, of the arc of that radius to (dx, dy); a negative radius takes the longer way round.

    NaN where the radius does not reach. The formula is that of NISTIR 6556, 3.5.3.1 (geometry of chord and height).
    """
    square = 4.0 * radius * radius - dx * dx - dy * dy
    if square < 0.0:
        return nan, nan
    height = sqrt(square) / sqrt(dx * dx + dy * dy)
    if clockwise != (radius < 0.0):
        height = -height
    return 0.5 * (dx - dy * height), 0.5 * (dy + dx * height)
