"""The last run of a cut, at its greatest depth: the curve that it follows, and the tabs over which it rises."""

from __future__ import annotations

from itertools import combinations, pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.geometry.spans import arc_centre, take_apart
from pathkit.lifting.chains import MOST_TURN
from pathkit.model.curve import Curve
from pathkit.model.toolpath import Tab
from pathkit.tolerances import FILE_GRID, SAME_HEIGHT, SAME_PLACE

Array = NDArray[np.float64]


class Run(NamedTuple):
    """Vertices (k + 1, 3) of a run and the sweeps (k,) of its moves, at the level ``z`` and above it over tabs."""

    points: Array
    sweeps: Array
    z: float

    @property
    def closed(self) -> bool:
        return len(self.points) > 2 and bool(np.hypot(*(self.points[-1] - self.points[0])[:2]) <= FILE_GRID)

    @property
    def turned(self) -> Run:
        return Run(self.points[::-1], -self.sweeps[::-1], self.z)


class Rise(NamedTuple):
    """Where a run rises: stations (mm along its plan) of its top's ends, and of all of it; and how it rises."""

    low: float
    high: float
    foot: tuple[float, float]
    top: float
    sloped: bool


def steepest_detour(run: Run) -> float:
    """How steeply the bit goes down behind tabs in all laps of a run that begins where they do: mm for each mm along, 0
    if it does not."""
    there = np.hypot(*(run.points - run.points[0])[:, :2].T) <= FILE_GRID
    edges = np.flatnonzero(there).tolist()
    laps = (Run(run.points[a : b + 1], run.sweeps[a:b], run.z) for a, b in pairwise(edges) if b > a + 1)
    return max((without_detours(lap)[1] for lap in laps), default=0.0)


def without_detours(run: Run) -> tuple[Run, float]:
    """The run without ways that lead back to where they began, as a ramp behind a tab does; and how steeply these go
    down, mm for each mm along (0: there are none)."""
    points, sweeps = run.points, run.sweeps
    # Places that are one were worked out, and rounded, from the same station.
    inner = points[:-1] if run.closed else points
    _, first, of = np.unique(np.round(inner[:, :2], 4), axis=0, return_index=True, return_inverse=True)
    of = of.reshape(-1)
    last = np.zeros(len(first), np.int64)
    np.maximum.at(last, of, np.arange(len(inner)))
    lower = points[first, 2] > points[last, 2] + SAME_HEIGHT
    detours = [(a, b) for a, b in zip(first[lower].tolist(), last[lower].tolist(), strict=True) if b > a + 1]
    if not detours:
        return run, 0.0
    along = stations(run)
    slope = max(
        ((points[a, 2] - points[b, 2]) / (along[b] - along[a]) for a, b in detours if along[b] > along[a]), default=0.0
    )
    keep = np.ones(len(points), bool)
    straight = np.zeros(len(sweeps), bool)
    for a, b in detours:
        keep[a + 1 : b] = False
        straight[b - 1] = True
    sweeps = np.where(straight, 0.0, sweeps)
    return Run(points[keep], sweeps[keep[1:]], run.z), float(slope)


def rises(run: Run) -> list[Rise]:
    """Where it rises above its level, in order."""
    z = run.points[:, 2]
    up = z > run.z + SAME_HEIGHT
    raised = up[:-1] | up[1:]
    if not raised.any():
        return []
    station = stations(run)
    found = []
    edges = np.flatnonzero(np.diff(np.concatenate([[False], raised, [False]]).astype(np.int8)))
    for first, last in edges.reshape(-1, 2).tolist():
        heights, along = z[first : last + 1], station[first : last + 1]
        top = float(heights.max())
        level = np.flatnonzero(heights >= top - FILE_GRID)
        sloped = bool(((np.abs(np.diff(heights)) > SAME_HEIGHT) & (np.diff(along) > SAME_PLACE)).any())
        foot = float(along[0]), float(along[-1])
        found.append(Rise(float(along[level[0]]), float(along[level[-1]]), foot, top, sloped))
    return found


def stations(run: Run) -> Array:
    """mm along the plan at which each vertex lies."""
    return take_apart(run.points[:, :2], run.sweeps, False).station


def curve_of(run: Run, over: list[Rise]) -> Curve | None:
    """The plan of the run, without the vertices at which it only rises or falls; None if it is no curve."""
    station = stations(run)
    moves = np.diff(station) > SAME_PLACE
    points = np.concatenate([run.points[:1, :2], run.points[1:, :2][moves]])
    sweeps, station = run.sweeps[moves], np.concatenate([[0.0], station[1:][moves]])
    edges = [at for rise in over for at in (rise.low, rise.high, *rise.foot)]
    # The valley between two sloped tabs.
    edges += [(one.high + other.low) / 2.0 for one, other in combinations(over, 2) if one.sloped]
    for at in np.unique(edges).tolist():
        points, sweeps, station = _joined(points, sweeps, station, int(np.argmin(np.abs(station - at))))
    if run.closed:
        points = points[:-1]
    if len(points) < 2 or (run.closed and len(sweeps) < 2):
        return None
    return Curve(points, sweeps, run.closed)


def _joined(points: Array, sweeps: Array, station: Array, at: int) -> tuple[Array, Array, Array]:
    """The same without the vertex ``at``, if one line or arc runs through it."""
    if not 0 < at < len(points) - 1:
        return points, sweeps, station
    first, second = sweeps[at - 1 : at + 1].tolist()
    begin, end = points[at - 1], points[at + 1]
    turn = first + second
    if (first == 0.0) != (second == 0.0) or first * second < 0.0 or abs(turn) > MOST_TURN:
        return points, sweeps, station
    if turn == 0.0:
        way = end - begin
        square = float(way @ way)
        share = float((points[at] - begin) @ way) / square if square else -1.0
        apart = np.hypot(*(points[at] - begin - share * way))
        through = 0.0 < share < 1.0 and apart <= FILE_GRID
    else:
        (centre,) = arc_centre(begin[None], end[None], np.array([turn]))
        through = abs(np.hypot(*(points[at] - centre)) - np.hypot(*(begin - centre))) <= FILE_GRID
    if not through:
        return points, sweeps, station
    merged = np.delete(sweeps, at)
    merged[at - 1] = turn
    return np.delete(points, at, axis=0), merged, np.delete(station, at)


def tabs_of(curve: Curve, over: list[Rise], diameter: float, underside: float) -> list[Tab] | None:
    """The tabs that the bit of this ``diameter`` (mm) rises over; None if these cannot be any."""
    found = []
    for rise in over:
        ends = curve.along([rise.low, rise.high])
        width = float(np.hypot(*(ends[1] - ends[0]))) - diameter
        height = rise.top - underside
        if width <= 0.0 or height <= 0.0:
            return None
        found.append(Tab((rise.low + rise.high) / 2.0, width, height, "sloped" if rise.sloped else "square"))
    return found
