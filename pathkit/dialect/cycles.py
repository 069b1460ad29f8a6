"""Holes as drill cycles: rows that a controller would make from one block are folded into that block.

Only what the cycle repeats exactly is folded (NISTIR 6556, 3.5.16): down to the retract plane, at one feed to the
bottom, and back. The pecks of a hole in the program count from the wood, those of G83 from the retract plane: the cycle
gets enough pecks that none is deeper than the program's, so that the hole and its depth are the same.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pathkit.dialect.grid_kernel import DRILL, DRILL_PECK, DRILL_WAIT, RAPIDLY, STRAIGHT, UNKNOWN
from pathkit.dialect.quantise import Grid
from pathkit.dialect.script import Script
from pathkit.dialect.words import counts
from pathkit.machine.capabilities import Capabilities
from pathkit.motion.program import Cycle, Dwell
from pathkit.tolerances import STEP_ROUNDING
from pathkit.units import MM_PER_UNIT

_CODE = {DRILL: "G81", DRILL_WAIT: "G82", DRILL_PECK: "G83"}


@dataclass(frozen=True)
class Hole:
    """Rows ``first`` … ``last`` of the grid become one: motion and two numbers; ``waits`` is an event it includes."""

    first: int
    last: int
    motion: int
    plane: int
    extra: int
    bottom: int
    feed: int
    waits: int | None = None


def fold(grid: Grid, script: Script, cycles: Sequence[Cycle], capabilities: Capabilities) -> tuple[Grid, Script]:
    """The same holes, as drill cycles where the controller has one; ``cycles`` count the rows of the program.

    Z must grow upward: a cycle cannot go the other way.
    """
    if not capabilities.drill_cycles or capabilities.columns or not len(grid):
        return grid, script
    holes: list[Hole] = []
    begins = np.searchsorted(grid.row, [c.first for c in cycles])
    ends = np.searchsorted(grid.row, [c.last for c in cycles], side="right") - 1
    free = 1
    for cycle, begin, end in zip(cycles, begins.tolist(), ends.tolist(), strict=True):
        hole = _hole(grid, script, cycle, begin, end, capabilities) if begin >= free else None
        if hole is not None:
            holes.append(_include_approach(grid, hole, free) if capabilities.cycle_returns else hole)
            free = end + 1
    return _folded(grid, script, holes) if holes else (grid, script)


def _hole(grid: Grid, script: Script, cycle: Cycle, a: int, b: int, caps: Capabilities) -> Hole | None:
    """What the rows a … b can be folded into; None if a cycle would not make exactly that."""
    motion, point = grid.motion[a : b + 1], grid.point[a - 1 : b + 1]
    inner = motion[1:-1]
    if b - a < 2 or (point == UNKNOWN).any() or (point[:, :2] != point[0, :2]).any():
        return None
    height = point[:, 2]
    plane, bottom = int(height[1]), int(height[1:].min())
    lines = np.flatnonzero(inner == STRAIGHT)
    feeds = grid.feed[a + 1 : b][lines]
    if not (motion[0] == motion[-1] == RAPIDLY and len(lines) and inner[-1] == STRAIGHT and height[-2] == bottom):
        return None
    if height[0] < plane or height[-1] < plane or bottom >= plane or (feeds != feeds[0]).any():
        return None
    waits = np.flatnonzero((grid.event_at > a) & (grid.event_at <= b))
    how, extra = DRILL, 0
    if cycle.peck is not None:
        how, extra = DRILL_PECK, _bite(plane - bottom, cycle.peck, caps)
        fits = extra > 0 and not len(waits) and not cycle.dwell and _is_pecked(inner, height[1:-1])
    elif len(waits):
        how, extra = DRILL_WAIT, _wait(grid, script, waits, b)
        fits = extra > 0 and len(inner) == 1
    else:
        fits = len(inner) == 1
    if not fits or _CODE[how] not in caps.drill_cycles:
        return None
    event = int(waits[0]) if how == DRILL_WAIT else None
    if caps.cycle_returns and how != DRILL_PECK and height[-1] == height[0]:
        return Hole(a, b, how, plane, extra, bottom, int(feeds[0]), event)
    # From the retract plane and back to it: then it does not matter where a controller returns to.
    last = b if height[-1] == plane else b - 1
    return Hole(a + 1, last, how, plane, extra, bottom, int(feeds[0]), event)


def _bite(depth: int, peck: float, caps: Capabilities) -> int:
    """Counts: pecks from the retract plane, none deeper than ``peck`` mm, and all but the last one equal.

    They never divide the depth evenly: a controller that adds them up in floats might then find itself a hair above the
    bottom, and peck once more for nothing.
    """
    most = math.floor(peck / MM_PER_UNIT[caps.units] * 10.0**caps.unit_decimals + STEP_ROUNDING)
    if most < 2:
        return most
    bites = -(-depth // most)
    bite = -(-depth // bites)
    if bite * bites == depth and bites > 1:
        bite = bite + 1 if bite < most else -(-depth // (bites + 1))
        bite += bite < most and depth % bite == 0
    return bite


def _is_pecked(motion: np.ndarray, height: np.ndarray) -> bool:
    """Whether these are pecks: each starts no deeper than the one before it ended, with rapids that stay above it."""
    reached = int(height[0])
    for how, z in zip(motion.tolist(), height[1:].tolist(), strict=True):
        if (how == STRAIGHT) != (z < reached) or how not in (RAPIDLY, STRAIGHT):
            return False
        reached = min(reached, z)
    return True


def _wait(grid: Grid, script: Script, waits: np.ndarray, last: int) -> int:
    """Milliseconds at the bottom, if nothing else happens there; else 0."""
    event = script.events[int(waits[0])]
    alone = len(waits) == 1 and int(grid.event_at[waits[0]]) == last
    return counts(event.seconds, 1000.0) if alone and isinstance(event, Dwell) else 0


def _include_approach(grid: Grid, hole: Hole, free: int) -> Hole:
    """Include in the same block the rapid across to the hole, at the height to which the cycle returns."""
    before = hole.first - 1
    flat = before >= max(free, 1) and grid.motion[before] == RAPIDLY and hole.motion != DRILL_PECK
    flat = flat and grid.motion[hole.first] == RAPIDLY and not (grid.event_at == hole.first).any()
    flat = flat and bool(grid.point[before, 2] == grid.point[before - 1, 2])
    return replace(hole, first=before) if flat and (grid.point[before - 1] != UNKNOWN).all() else hole


def _folded(grid: Grid, script: Script, holes: list[Hole]) -> tuple[Grid, Script]:
    keep = np.ones(len(grid), dtype=bool)
    motion, point, arc, feed = grid.motion.copy(), grid.point.copy(), grid.arc.copy(), grid.feed.copy()
    for hole in holes:
        keep[hole.first + 1 : hole.last + 1] = False
        motion[hole.first], feed[hole.first] = hole.motion, hole.feed
        point[hole.first] = (*point[hole.last, :2], hole.bottom)
        arc[hole.first] = hole.plane, hole.extra
    place = np.concatenate([[0], np.cumsum(keep)])
    kept = np.ones(len(script.events), dtype=bool)
    kept[[hole.waits for hole in holes if hole.waits is not None]] = False
    folded = tuple((int(place[h.first]), int(grid.row[h.first]), int(grid.row[h.last])) for h in holes)
    new = Grid(
        motion[keep], point[keep], arc[keep], feed[keep], grid.row[keep], grid.restate[keep],
        place[grid.event_at[kept]], folded,
    )  # fmt: skip
    return new, script.only(kept)
