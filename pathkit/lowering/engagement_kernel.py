"""How much wood each step of a program takes, from a map of heights that the steps are swept over in order."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel

Array = NDArray[np.float64]


class Steps(NamedTuple):
    """Short straight pieces of moves, in order: their two ends, and which bit makes each."""

    start: Array  # (m, 3)
    end: Array
    bit: NDArray[np.int64]


class Shapes(NamedTuple):
    """A number for each bit. A place ``d`` mm from the axis is cut to ``rise`` · d above the tip by a point, and to
    r − √(r² − d²) by a ball."""

    radius: Array
    rise: Array
    ball: NDArray[np.bool_]


@kernel(allocates=False)
def remove(height: NDArray[np.float32], grid: float, steps: Steps, shapes: Shapes, volume: Array, area: Array) -> None:
    """Sweep all steps over ``height`` (ny, nx), whose points are (i + ½) ``grid`` and (j + ½) ``grid``.

    ``volume`` (m,) becomes the mm³ that each step removes, ``area`` (m,) the mm² of the board from which it does.
    """
    ny, nx = height.shape
    for s in range(len(steps.bit)):
        a, b, k = steps.start[s], steps.end[s], steps.bit[s]
        radius, rise, ball = shapes.radius[k], shapes.rise[k], shapes.ball[k]
        run_x, run_y, fall = b[0] - a[0], b[1] - a[1], b[2] - a[2]
        square = run_x * run_x + run_y * run_y
        taken, places = 0.0, 0
        first = max(int(np.ceil((min(a[1], b[1]) - radius) / grid - 0.5)), 0)
        last = min(int(np.floor((max(a[1], b[1]) + radius) / grid - 0.5)), ny - 1)
        left = max(int(np.ceil((min(a[0], b[0]) - radius) / grid - 0.5)), 0)
        right = min(int(np.floor((max(a[0], b[0]) + radius) / grid - 0.5)), nx - 1)
        for j in range(first, last + 1):
            away_y = (j + 0.5) * grid - a[1]
            for i in range(left, right + 1):
                away_x = (i + 0.5) * grid - a[0]
                share = 0.0
                if square > 0.0:
                    share = min(max((away_x * run_x + away_y * run_y) / square, 0.0), 1.0)
                beside_x, beside_y = away_x - share * run_x, away_y - share * run_y
                apart = beside_x * beside_x + beside_y * beside_y
                if apart > radius * radius:
                    continue
                if square == 0.0:
                    floor = min(a[2], b[2])
                elif not ball and rise == 0.0 and fall != 0.0:
                    # A flat end cuts deepest where it leaves a place going down, or comes to it going up.
                    beyond = np.sqrt((radius * radius - apart) / square)
                    floor = a[2] + fall * (min(share + beyond, 1.0) if fall < 0.0 else max(share - beyond, 0.0))
                else:
                    floor = a[2] + share * fall
                if ball:
                    floor += radius - np.sqrt(radius * radius - apart)
                elif rise > 0.0:
                    floor += rise * np.sqrt(apart)
                if floor < height[j, i]:
                    taken += height[j, i] - floor
                    places += 1
                    height[j, i] = floor
        volume[s] = taken * grid * grid
        area[s] = places * grid * grid
