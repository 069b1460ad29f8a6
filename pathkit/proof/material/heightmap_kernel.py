"""The bit's body swept over a map of heights, point by point, in closed form.

A map point is exact: its height is that of the wood at that very place. Detail narrower than the distance between
points may lie between them unseen.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel

Array = NDArray[np.float64]
FLAT, BALL, CONE = 0, 1, 2


@kernel(allocates=False)
def _span(y: float, ax: float, ay: float, bx: float, by: float, radius: float) -> tuple[float, float]:
    """The x's, from … to, that a disc moved from a to b covers on the line y; from > to if there are none.

    The area covered is convex: two discs and the rectangle between them.
    """
    low, high = np.inf, -np.inf
    rest = radius * radius - (y - ay) * (y - ay)
    if rest >= 0.0:
        half = np.sqrt(rest)
        low, high = ax - half, ax + half
    rest = radius * radius - (y - by) * (y - by)
    if rest >= 0.0:
        half = np.sqrt(rest)
        low, high = min(low, bx - half), max(high, bx + half)
    run = np.sqrt((bx - ax) * (bx - ax) + (by - ay) * (by - ay))
    if run > 0.0:
        ux, uy, dy = (bx - ax) / run, (by - ay) / run, y - ay
        first, last = -np.inf, np.inf
        # Along: 0 ≤ dx·ux + dy·uy ≤ run. Across: −r ≤ ux·dy − uy·dx ≤ r.
        if ux != 0.0:
            p, q = -dy * uy / ux, (run - dy * uy) / ux
            first, last = max(first, min(p, q)), min(last, max(p, q))
        elif dy * uy < 0.0 or dy * uy > run:
            last = -np.inf
        if uy != 0.0:
            p, q = (ux * dy - radius) / uy, (ux * dy + radius) / uy
            first, last = max(first, min(p, q)), min(last, max(p, q))
        elif abs(dy) > radius:
            last = -np.inf
        if first <= last:
            low, high = min(low, ax + first), max(high, ax + last)
    return low, high


@kernel(allocates=False)
def _floor(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    dx: float, dy: float, z: float, ux: float, uy: float, run: float, rise: float, radius: float, shape: int,
    slope: float,
) -> float:  # fmt: skip
    """The bit's lowest height over a place (dx, dy) from the segment's start; infinite if it does not get there.

    The height over the place is a convex function of the distance travelled. So its minimum is where the slope is zero,
    or at an end of the stretch over which the bit covers the place.
    """
    along = dx * ux + dy * uy
    square = max(dx * dx + dy * dy - along * along, 0.0)
    rest = radius * radius - square
    if rest < 0.0:
        return np.inf
    half = np.sqrt(rest)
    first, last = max(along - half, 0.0), min(along + half, run)
    if first > last:
        return np.inf
    lowest: float
    if shape == FLAT:
        at = last if rise < 0.0 else first
        lowest = z + rise * at
        return lowest
    if shape == BALL:
        at = along - rise * np.sqrt(rest / (1.0 + rise * rise))
        at = min(max(at, first), last)
        lowest = z + rise * at + radius - np.sqrt(max(rest - (at - along) * (at - along), 0.0))
        return lowest
    if abs(rise) < slope:
        at = along - rise * np.sqrt(square / (slope * slope - rise * rise))
    else:
        at = -np.inf if rise > 0.0 else np.inf
    at = min(max(at, first), last)
    lowest = z + rise * at + slope * np.sqrt(square + (at - along) * (at - along))
    return lowest


@kernel(allocates=False)
def _meet(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    height: NDArray[np.float32], grid: float, a: Array, b: Array, radius: float, shape: int, slope: float, lift: float,
    slack: float,
) -> float:  # fmt: skip
    """How deep (mm) a body whose tip runs ``lift`` above the segment reaches into the wood, if ``slack`` or more."""
    ny, nx = height.shape
    run = np.sqrt((b[0] - a[0]) * (b[0] - a[0]) + (b[1] - a[1]) * (b[1] - a[1]))
    ux, uy, rise, z = 0.0, 0.0, 0.0, min(a[2], b[2]) + lift
    if run > 0.0:
        ux, uy, rise, z = (b[0] - a[0]) / run, (b[1] - a[1]) / run, (b[2] - a[2]) / run, a[2] + lift
    deepest = 0.0
    for j in range(
        max(int(np.ceil((min(a[1], b[1]) - radius) / grid - 0.5)), 0),
        min(int(np.floor((max(a[1], b[1]) + radius) / grid - 0.5)), ny - 1) + 1,
    ):
        y = (j + 0.5) * grid
        low, high = _span(y, a[0], a[1], b[0], b[1], radius)
        if low > high:
            continue
        for i in range(max(int(np.ceil(low / grid - 0.5)), 0), min(int(np.floor(high / grid - 0.5)), nx - 1) + 1):
            floor = _floor((i + 0.5) * grid - a[0], y - a[1], z, ux, uy, run, rise, radius, shape, slope)
            deepest = max(deepest, height[j, i] - floor)
    return deepest if deepest >= slack else 0.0


@kernel(allocates=False)
def _cut(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    height: NDArray[np.float32], opened: NDArray[np.int32], grid: float, a: Array, b: Array, row: int, radius: float,
    shape: int, slope: float, slack: float, top: float, underside: float, skin: float,
) -> tuple[float, float]:  # fmt: skip
    """Remove what the bit sweeps; returns the volume removed from the board (mm³) and the deepest bite (mm).

    The bite is measured ``slack`` inside the bit's edge: at the edge, the same move run twice may differ in the last
    digit.
    """
    ny, nx = height.shape
    run = np.sqrt((b[0] - a[0]) * (b[0] - a[0]) + (b[1] - a[1]) * (b[1] - a[1]))
    ux, uy, rise, z = 0.0, 0.0, 0.0, min(a[2], b[2])
    if run > 0.0:
        ux, uy, rise, z = (b[0] - a[0]) / run, (b[1] - a[1]) / run, (b[2] - a[2]) / run, a[2]
    # Under the lower end of a flat bit's move its floor is that end's: most of what a short move covers lies there.
    lowest, flat = min(a[2], b[2]), shape == FLAT
    level, foot = flat and rise == 0.0, b if b[2] < a[2] else a
    taken, deepest = 0.0, 0.0
    for j in range(
        max(int(np.ceil((min(a[1], b[1]) - radius) / grid - 0.5)), 0),
        min(int(np.floor((max(a[1], b[1]) + radius) / grid - 0.5)), ny - 1) + 1,
    ):
        y = (j + 0.5) * grid
        low, high = _span(y, a[0], a[1], b[0], b[1], radius)
        if low > high:
            continue
        inner, outer = _span(y, a[0], a[1], b[0], b[1], radius - slack)
        half = np.sqrt(max(radius * radius - (y - foot[1]) * (y - foot[1]), 0.0)) if flat else -1.0
        for i in range(max(int(np.ceil(low / grid - 0.5)), 0), min(int(np.floor(high / grid - 0.5)), nx - 1) + 1):
            before, x = height[j, i], (i + 0.5) * grid
            if flat and lowest >= before:
                continue
            floor = lowest
            if not level and abs(x - foot[0]) > half:
                floor = _floor(x - a[0], y - a[1], z, ux, uy, run, rise, radius, shape, slope)
            if floor >= before:
                continue
            height[j, i] = floor
            if inner <= x <= outer:
                deepest = max(deepest, before - floor)
            taken += max(min(before, top) - max(floor, underside), 0.0)
            if floor <= skin and opened[j, i] < 0:
                opened[j, i] = row
    return taken * grid * grid, deepest


class Moves(NamedTuple):
    """Straight segments in order; ``row`` is the program's row that each comes from."""

    start: Array  # (m, 3)
    end: Array
    row: NDArray[np.int32]
    rapid: NDArray[np.bool_]
    bit: NDArray[np.int32]  # index of the bit, −1 if it is not known


class Bits(NamedTuple):
    """A number for each bit; ``bodies`` (k, 2, 2): radius and height above the tip of shank and holder, radius 0 for
    none."""

    radius: Array
    shape: NDArray[np.int64]
    slope: Array
    plunges: NDArray[np.bool_]
    bodies: Array


class Levels(NamedTuple):
    """z in mm: tops of the thickest and the nominal board, the underside, and the top of a skin that holds nothing."""

    highest: float
    top: float
    underside: float
    skin: float


class Gathered(NamedTuple):
    """By row: ``rapid`` is how deep a rapid meets wood, ``straight`` how deep a bit that does not cut at its centre
    goes straight down into it, ``body`` (n, 2) how deep shank and holder meet it."""

    volume: Array
    bite: Array
    rapid: Array
    straight: Array
    body: Array


@kernel(allocates=False)
def sweep(
    height: NDArray[np.float32], opened: NDArray[np.int32], grid: float, moves: Moves, bits: Bits, levels: Levels,
    slack: float, gathered: Gathered,
) -> None:  # fmt: skip
    """Run all segments over ``height`` and ``opened`` (ny, nx), in order; results are gathered by row."""
    start, end, row, rapid, bit = moves.start, moves.end, moves.row, moves.rapid, moves.bit
    radius, shape, slope, plunges, bodies = bits.radius, bits.shape, bits.slope, bits.plunges, bits.bodies
    volume, bite, hit = gathered.volume, gathered.bite, gathered.rapid
    straight, body = gathered.straight, gathered.body
    highest, top, underside, skin = levels.highest, levels.top, levels.underside, levels.skin
    for s in range(len(row)):
        a, b, r, k = start[s], end[s], row[s], bit[s]
        lowest = min(a[2], b[2])
        if k < 0:
            continue
        if lowest < highest:
            upright = a[0] == b[0] and a[1] == b[1]
            if rapid[s]:
                if not (upright and b[2] >= a[2]):
                    thin = max(radius[k] - slack, 0.0)
                    hit[r] = max(hit[r], _meet(height, grid, a, b, thin, shape[k], slope[k], 0.0, slack))
            else:
                if upright and b[2] < a[2] and not plunges[k]:
                    thin = max(radius[k] - slack, 0.0)
                    met = _meet(height, grid, a, b, thin, shape[k], slope[k], 0.0, slack)
                    straight[r] = max(straight[r], met)
                taken, deepest = _cut(
                    height, opened, grid, a, b, r, radius[k], shape[k], slope[k], slack, top, underside, skin
                )
                volume[r] += taken
                bite[r] = max(bite[r], deepest)
        for which in range(2):
            wide, lift = bodies[k, which, 0], bodies[k, which, 1]
            if wide > 0.0 and lowest + lift < highest:
                met = _meet(height, grid, a, b, wide - slack, FLAT, 0.0, lift, slack)
                body[r, which] = max(body[r, which], met)
