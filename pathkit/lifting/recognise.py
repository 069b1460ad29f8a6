"""A cut as a toolpath: a hole, laps at growing depth, or a trace that is cut as it lies."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.lifting.chains import Chain
from pathkit.lifting.ways_in import entered
from pathkit.model.curve import Curve
from pathkit.model.span_feeds import gathered
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import FINEST, Entry, Peck, Plunge, Toolpath
from pathkit.tolerances import FILE_GRID, QUOTIENT_ROUNDING, SAME_HEIGHT, SAME_PLACE

Array = NDArray[np.float64]


class Lap(NamedTuple):
    """A stretch of a cut at one height: the vertices of its plan, and the z and feed of all of it."""

    points: Array
    sweeps: Array
    z: float
    feed: float

    @property
    def closed(self) -> bool:
        return len(self.points) > 2 and bool(np.hypot(*(self.points[-1] - self.points[0])) <= FILE_GRID)


def toolpath_of(chain: Chain, name: str, tool: Tool, stock: Stock) -> Toolpath:
    """The toolpath that makes the moves of a cut in this board."""
    top = stock.highest_top
    if chain.is_hole:
        return _hole(chain, name, tool, top)
    laps = _laps(chain)
    if laps is not None and (made := _levels(chain, laps, name, tool, top)) is not None:
        return made
    return entered([chain], name, tool, stock) or _trace(chain, name, tool)


def _cutting(chain: Chain, feed: float, plunge: float) -> Cutting:
    """A bit goes down no faster than along."""
    return Cutting(feed=feed, plunge=min(plunge, feed), spindle=chain.spindle)


def _hole(chain: Chain, name: str, tool: Tool, top: float) -> Toolpath:
    """A hole drilled at once, or in the pecks that the file makes; of uneven pecks the smallest."""
    z = chain.points[:, 2]
    feed = float(chain.feeds[np.diff(z) < 0.0].min(initial=math.inf))
    if not math.isfinite(feed):
        feed = float(chain.feeds.max())
    bottom = float(z.min())
    if bottom >= top - SAME_HEIGHT:
        # Above the wood, where it cuts nothing.
        place = Curve(chain.points[[int(np.argmin(z))]])
        return Toolpath(name, place, tool, Cutting(feed=feed, plunge=feed, spindle=chain.spindle), reversible=False)
    # Each new depth ends a peck.
    deepest = np.minimum.accumulate(z)
    bottoms = np.unique(deepest[(np.diff(z, append=math.inf) > 0.0) & (deepest < top - SAME_HEIGHT)])[::-1]
    bites = -np.diff(np.concatenate([[top], bottoms]))
    entry: Entry = Plunge()
    if len(bottoms) > 1:
        entry = Peck(max(FINEST, _peck(top - bottom, bites)))
    cutting = Cutting(feed=feed, plunge=feed, spindle=chain.spindle)
    return Toolpath(
        name, Curve.point(chain.points[0, :2]), tool, cutting, bottom=bottom, role="drill", entry=entry,
        reversible=False,
    )  # fmt: skip


def _peck(depth: float, bites: Array) -> float:
    """mm, for pecks no deeper than the file's. They are made equal, so the depth is divided by how many there are."""
    deepest = float(bites.max())
    return depth / max(len(bites), math.ceil(depth / deepest - QUOTIENT_ROUNDING))


def _laps(chain: Chain) -> list[Lap] | None:
    """The level stretches of a cut, one below the other; None if it also goes down while it goes along, or goes up."""
    steps = np.diff(chain.points, axis=0)
    level = np.abs(steps[:, 2]) <= SAME_HEIGHT
    down = ~level & (np.hypot(steps[:, 0], steps[:, 1]) <= SAME_PLACE) & (steps[:, 2] < 0.0)
    if not (level | down).all() or not level.any():
        return None
    laps = []
    edges = np.flatnonzero(np.diff(np.concatenate([[False], level, [False]]).astype(np.int8)))
    for first, last in edges.reshape(-1, 2).tolist():
        feeds = chain.feeds[first:last]
        if feeds.min() != feeds.max():
            return None
        points = chain.points[first : last + 1]
        laps.append(Lap(points[:, :2], chain.sweeps[first:last], float(points[0, 2]), float(feeds[0])))
    return laps


def _levels(chain: Chain, laps: list[Lap], name: str, tool: Tool, top: float) -> Toolpath | None:
    """One toolpath with a level for each lap, if all of them run the same way; None else."""
    first = laps[0]
    alike = all(same_way(first, lap) for lap in laps[1:]) and all(lap.feed == first.feed for lap in laps)
    heights = [lap.z for lap in laps]
    sunk = heights[0] < top - SAME_HEIGHT
    if not alike or not sunk or (len(laps) > 1 and not first.closed):
        return None
    curve = _plan(first)
    if curve is None:
        return None
    steps = np.diff(chain.points[:, 2])
    sinking = chain.feeds[steps < -SAME_HEIGHT]
    slowest = float(min([chain.plunge, *sinking]))
    return Toolpath(
        name, curve, tool, _cutting(chain, first.feed, slowest), levels=heights, reversible=False, free_start=False,
    )  # fmt: skip


def _plan(lap: Lap) -> Curve | None:
    """The curve of a lap; None if it is too short to be one."""
    points, sweeps = lap.points, lap.sweeps
    if lap.closed:
        points = points[:-1]
    if len(points) < 2 or (lap.closed and len(sweeps) < 2):
        return None
    steps = np.diff(points, axis=0, append=points[:1] if lap.closed else points[-1:] + 1.0)
    if np.hypot(steps[:, 0], steps[:, 1]).min() <= SAME_PLACE:
        return None
    return Curve(points, sweeps, closed=lap.closed)


def same_way(one: Lap, other: Lap) -> bool:
    """Whether two laps run along the same curve in the same direction, from the same place."""
    return (
        len(one.points) == len(other.points)
        and bool((np.abs(one.points - other.points) <= FILE_GRID).all())
        and bool((np.abs(one.sweeps - other.sweeps) <= _turn_slack(one)).all())
    )


def _turn_slack(lap: Lap) -> Array:
    """Radians by which rounded ends may turn each arc of a lap more or less."""
    chord = np.hypot(*np.diff(lap.points, axis=0).T)
    slack: Array = 4.0 * FILE_GRID / np.maximum(chord, FILE_GRID)
    return slack


def _trace(chain: Chain, name: str, tool: Tool) -> Toolpath:
    """The cut as it lies, at its own heights and feeds."""
    cutting = _cutting(chain, float(chain.feeds.max()), chain.plunge)
    # Even where they are all one: the cutting's own feed would be slowed on the way down.
    feeds = gathered(chain.feeds)
    return Toolpath(name, Curve(chain.points, chain.sweeps), tool, cutting, reversible=False, feeds=feeds)
