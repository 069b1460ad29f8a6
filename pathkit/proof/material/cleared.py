"""Where wood is already gone: the ground that earlier moves of a program have swept, at a depth."""

from __future__ import annotations

import math
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pathkit.geometry.spans import chord_count
from pathkit.motion.program import ARC, RAPID, Program
from pathkit.proof.material.cross_sections import grown
from pathkit.tolerances import CURVE_CHORDS, GROUND_SLACK, SAME_HEIGHT

Array = NDArray[np.float64]


def origin_of(program: Program, row: int) -> Array:
    """(3,) where one move begins; `Program.origins` has all of them."""
    return program.end[row - 1] if row > 0 else program.start


def points_of(program: Program, row: int, first: float = 0.0, last: float = 1.0, step: float | None = None) -> Array:
    """(k, 3) points on one move between two shares of it: chords of an arc; a line's ends, or every ``step`` mm."""
    end, origin = program.end[row], origin_of(program, row)
    # A move that begins at an unknown place is judged by its end.
    origin = np.where(np.isnan(origin), end, origin)
    if program.kind[row] == ARC:
        centre, sweep = program.centre[row], float(program.sweep[row]) * (last - first)
        arm = origin[:2] - centre
        radius = math.hypot(arm[0], arm[1])
        count = chord_count(radius, sweep, CURVE_CHORDS) if radius > 0.0 else 1
        if step is not None:
            count = max(count, math.ceil(radius * abs(sweep) / step))
        share = np.linspace(first, last, count + 1)
        angle = math.atan2(arm[1], arm[0]) + float(program.sweep[row]) * share
        plan = centre + radius * np.stack([np.cos(angle), np.sin(angle)], axis=1)
        return np.column_stack([plan, origin[2] + (end[2] - origin[2]) * share])
    length = math.dist(origin, end) * (last - first)
    count = 1 if step is None else max(1, math.ceil(length / step))
    share = np.linspace(first, last, count + 1)[:, None]
    points: Array = origin + (end - origin) * share
    return points


def centrelines(program: Program, rows: NDArray[np.int64]) -> NDArray[Any]:
    """Shapely lines (k,) of these moves in the plan; a move straight up or down is a line of no length."""
    import shapely

    origins, ends = program.origins[rows, :2], program.end[rows, :2]
    origins = np.where(np.isnan(origins), ends, origins)
    lines: NDArray[Any] = np.asarray(shapely.linestrings(np.stack([origins, ends], axis=1)), dtype=object)
    for index in np.flatnonzero(program.kind[rows] == ARC):
        lines[index] = shapely.linestrings(points_of(program, int(rows[index]))[:, :2])
    return lines


class Cleared:
    """The ground that cuts have swept so far. ``radius`` (n,) of the bit at each row, NaN if it is not known.

    With an unknown bit only the path itself counts: where a centre has passed, the same centre may pass again.
    """

    def __init__(self, program: Program, radius: Array) -> None:
        self.program, self.radius = program, radius
        self.rows = np.flatnonzero((program.kind != RAPID) & np.isfinite(program.end).all(axis=1))
        self.height = np.fmax(program.origins[:, 2], program.end[:, 2])

    @cached_property
    def lines(self) -> NDArray[Any]:
        return centrelines(self.program, self.rows)

    @cached_property
    def tree(self) -> Any:
        import shapely

        return shapely.STRtree(self.lines)

    @cached_property
    def places(self) -> dict[tuple[int, int], list[int]]:
        """Rows of cuts by the place where they end, on a grid of a thousandth of a millimetre."""
        found: dict[tuple[int, int], list[int]] = {}
        for row in self.rows:
            found.setdefault(self._cell(int(row)), []).append(int(row))
        return found

    def covers(self, row: int) -> bool:
        """Whether everything that this move sweeps is already gone, down to its lowest point."""
        origin, end = origin_of(self.program, row), self.program.end[row]
        low = float(np.fmin(origin[2], end[2])) + SAME_HEIGHT
        mine = self.radius[row]
        if np.array_equal(origin[:2], end[:2]):
            # Straight down: usually where the same bit has been before.
            for earlier in self.places.get(self._cell(row), ()):
                if earlier >= row:
                    break
                same_bit = self.radius[earlier] >= mine or (np.isnan(mine) and np.isnan(self.radius[earlier]))
                if self.program.end[earlier, 2] <= low and same_bit:
                    return True
        import shapely

        path = centrelines(self.program, np.array([row]))[0]
        reach = 0.0 if np.isnan(mine) else float(np.nanmax(self.radius)) + mine
        near = np.sort(self.tree.query(shapely.buffer(path, reach + GROUND_SLACK)))
        rows = self.rows[near]
        near = near[(rows < row) & (self.height[rows] <= low)]
        widths = self.radius[self.rows[near]]
        if np.isnan(mine):
            gone = shapely.buffer(self.lines[near], GROUND_SLACK)
            needed = path
        else:
            gone = [
                grown(line, width) for line, width in zip(self.lines[near], np.nan_to_num(widths, nan=0.0), strict=True)
            ]
            needed = grown(path, max(mine - GROUND_SLACK, GROUND_SLACK))
        return bool(shapely.covers(shapely.union_all(gone), needed))

    def _cell(self, row: int) -> tuple[int, int]:
        x, y = self.program.end[row, :2]
        return round(float(x) * 1000.0), round(float(y) * 1000.0)
