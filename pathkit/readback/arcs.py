"""Arcs as a controller draws them: the centre from a radius, and how far round from start to end.

Plain arithmetic on floats, so that the fast reader compiles the very same lines. How a controller of 32-bit floats
sees an arc is computed only for the few arcs where that matters, and not compiled.
"""

from __future__ import annotations

from math import atan2, floor, nan, pi, sqrt

import numpy as np

from pathkit.tolerances import READ_DECIMALS, ROUNDING

FARTHEST_ZERO = 1000.0
"""mm: how far from the machine's own zero an arc may lie. The file does not say, and rounding grows with it."""

ROUNDOFF = 2.0**-24
"""The greatest rounding error of a number of size 1 in a 32-bit float (IEEE 754, binary32)."""


def misses(start_radius: float, end_radius: float, slack: float, relative: float, limit: float) -> bool:
    """Whether the controller refuses an arc because start and end are not equally far (mm) from its centre."""
    difference = abs(end_radius - start_radius)
    # A hair more, because the limit itself is accepted and decimal text seldom hits it exactly.
    if difference <= slack + ROUNDING:
        return False
    return difference > limit or difference > relative * start_radius


def sweep_of(ax: float, ay: float, bx: float, by: float, clockwise: bool, full_turn: float) -> float:
    """Signed angle (radians, positive counter-clockwise) from a to b, both seen from the centre.

    An angle of up to ``full_turn`` in that sense counts as a full turn: start and end are then one place.
    """
    angle = atan2(ax * by - ay * bx, ax * bx + ay * by)
    if clockwise:
        return angle - 2.0 * pi if angle >= -full_turn else angle
    return angle + 2.0 * pi if angle <= full_turn else angle


def left_open(
    x: float, y: float, to_x: float, to_y: float, cx: float, cy: float, clockwise: bool, full_turn: float
) -> bool:
    """Whether 32-bit floats leave it open if an arc goes all the way round or not at all. Places in mm.

    Start, end and centre are each rounded at the size of the machine's coordinates, and the end's distance from the
    centre once more: 4 roundings in each of x and y, √2 together, seen from the centre. The products and the arc
    tangent add 8 roundings of 1 (N. J. Higham, Accuracy and Stability of Numerical Algorithms, 2nd ed. 2002, section
    3.1).
    """
    ax, ay, bx, by = x - cx, y - cy, to_x - cx, to_y - cy
    angle = atan2(ax * by - ay * bx, ax * bx + ay * by)
    size = max(FARTHEST_ZERO, abs(x), abs(y), abs(to_x), abs(to_y), abs(cx), abs(cy))
    radius = sqrt(ax * ax + ay * ay)
    rounding = ROUNDOFF * (8.0 + 4.0 * sqrt(2.0) * size / radius)
    return abs(angle + full_turn if clockwise else angle - full_turn) <= rounding


def goes_round(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    x: float, y: float, to_x: float, to_y: float, i: float, j: float, scale: float, clockwise: bool, full_turn: float
) -> bool:
    """Whether a controller that computes in 32-bit floats takes the arc all the way round.

    Places and the centre's distance (i, j) from the start in mm, ``scale`` mm in the file's unit; the machine's zero is
    taken to be the file's. The order of the steps is the one measured on the firmware.
    """
    start_x, start_y = in_single(x, scale), in_single(y, scale)
    end_x, end_y = in_single(to_x, scale), in_single(to_y, scale)
    arm_x, arm_y = in_single(i, scale), in_single(j, scale)
    rest_x, rest_y = end_x - (start_x + arm_x), end_y - (start_y + arm_y)
    cross = -arm_x * rest_y - -arm_y * rest_x
    dot = -arm_x * rest_x + -arm_y * rest_y
    angle = atan2(float(cross), float(dot))
    return angle >= -full_turn if clockwise else angle <= full_turn


def in_single(value: float, scale: float) -> np.float32:
    """A word's number as such a controller holds it: its digits as a whole number, times 0.01 and 0.1 as needed.

    ``value`` in mm, taken as written with as few decimals as it needs. More zeros at its end may change the last binary
    digit, which only affects a turn that is open anyway.
    """
    number, decimals = abs(value) / scale, 0
    while decimals < 8 and abs(number * 10.0**decimals - floor(number * 10.0**decimals + 0.5)) > READ_DECIMALS:
        decimals += 1
    single = np.float32(floor(number * 10.0**decimals + 0.5))
    for _ in range(decimals // 2):
        single = single * np.float32(0.01)
    if decimals % 2:
        single = single * np.float32(0.1)
    if scale != 1.0:
        single = single * np.float32(scale)
    return -single if value < 0.0 else single


def centre_of(dx: float, dy: float, radius: float, clockwise: bool) -> tuple[float, float]:
    """Centre, from the start, of the arc of that radius to (dx, dy); a negative radius takes the longer way round.

    NaN if the radius does not reach. The formula is that of NISTIR 6556, 3.5.3.1 (geometry of chord and height).
    """
    square = 4.0 * radius * radius - dx * dx - dy * dy
    if square < 0.0:
        return nan, nan
    height = sqrt(square) / sqrt(dx * dx + dy * dy)
    if clockwise != (radius < 0.0):
        height = -height
    return 0.5 * (dx - dy * height), 0.5 * (dy + dx * height)
