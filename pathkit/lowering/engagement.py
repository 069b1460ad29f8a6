"""How much of the bit is in the wood at each place of a program, and how thick its chips are there.

The program is cut into short steps, which are swept over a map of the board's heights. What a step removes, divided by
its length, is the cross-section of wood that the bit meets; the ground from which it removes, divided by its length, is
how wide the bit is engaged.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pathkit.feeds.chips import thinning
from pathkit.geometry.spans import parted
from pathkit.model.job import Job
from pathkit.motion.program import ARC, RAPID, Program
from pathkit.tolerances import ROUNDING, SAME_HEIGHT

Array = NDArray[np.float64]

STEP: Final = 0.25
"""Length of a step in diameters of its bit: between two steps the bit's engagement changes little."""

POINTS: Final = 16.0
"""Points of the map across the narrowest bit."""

TURN: Final = 0.3
"""Radians of an arc that one step stands for at most: its chord lies within a hundredth of the radius."""

MOST_POINTS: Final = 25_000_000
"""Most points of the map: 100 MB. A larger board gets a coarser map."""


@dataclass(frozen=True, eq=False)
class Engagement:
    """A program in steps; m is their number, in the program's order.

    ``row`` (m,) is the program's row of each, ``share`` (m,) the share of that row at which it ends, ``end`` (m, 3) its
    place, ``length`` (m,) mm in the plan. ``section`` (m,) mm² is the cross-section of wood that the bit meets there,
    ``width`` (m,) mm how wide it is engaged, of balls and points their whole diameter. Of a step straight down both are
    0.
    """

    row: NDArray[np.int64]
    share: Array
    end: Array
    length: Array
    section: Array
    width: Array


def engagement_of(program: Program, job: Job) -> Engagement:
    """What the cuts of a program (bench frame) meet, in order, on the thickest board that the job accepts.

    Only toolpaths cut: moves at a feed that belong to none meet nothing. Good to a few hundredths of the bit's
    diameter, the distance of the map's points.
    """
    from pathkit.lowering.engagement_kernel import Shapes, Steps, remove

    stock, tools = job.stock, job.tools
    owner = np.array([tools.index(job.by_name[name].tool) for name in program.names] or [0])
    rows = np.flatnonzero((program.kind != RAPID) & (program.toolpath >= 0) & np.isfinite(program.origins).all(axis=1))
    radius = np.array([tool.radius for tool in tools] or [1.0])
    row, share, start, end = _steps(program, rows, 2.0 * STEP * radius[owner[program.toolpath[rows]]])
    finest = 2.0 * float(radius.min()) / POINTS
    grid = max(finest, math.sqrt(stock.width * stock.depth / MOST_POINTS))
    size = max(1, math.ceil(stock.depth / grid)), max(1, math.ceil(stock.width / grid))
    height = np.full(size, stock.highest_top, np.float32)
    steps = Steps(start, end, owner[program.toolpath[row]])
    shapes = Shapes(radius, np.array([1.0 / t.flare if t.flare else 0.0 for t in tools] or [0.0]),
                    np.array([tool.kind == "ball" for tool in tools] or [False]))  # fmt: skip
    volume, area = np.zeros(len(row)), np.zeros(len(row))
    remove(height, grid, steps, shapes, volume, area)
    length = np.hypot(*(end - start)[:, :2].T)
    flat = length > ROUNDING
    run = np.where(flat, length, 1.0)
    widest = 2.0 * radius[steps.bit]
    # What a slanting edge has lowered is lowered again by the steps that follow: it does not show how wide they cut.
    upright = (shapes.rise == 0.0) & ~shapes.ball
    width = np.minimum(np.where(flat, np.where(upright[steps.bit], area / run, widest), 0.0), widest)
    return Engagement(row, share, end, length, np.where(flat, volume / run, 0.0), width)


def chips_of(program: Program, job: Job, met: Engagement) -> Array:
    """mm (m,): the thickest chip of each step, f / (rpm · flutes) less what a narrow engagement thins it
    (`pathkit.feeds.chips`). 0 where the bit meets no wood."""
    cuttings = [job.by_name[name] for name in program.names]
    teeth = np.array([path.cutting.spindle * path.tool.flutes for path in cuttings] or [1.0])
    across = np.array([path.tool.diameter for path in cuttings] or [1.0])
    owner = program.toolpath[met.row]
    thin = np.array([thinning(width, d) for width, d in zip(met.width, across[owner], strict=True)])
    return np.where(met.section > 0.0, program.feed[met.row] / teeth[owner] * thin, 0.0)


def level_rows(program: Program) -> NDArray[np.bool_]:
    """(n,): the moves of toolpaths that run level at a feed."""
    level: NDArray[np.bool_] = np.abs(program.end[:, 2] - program.origins[:, 2]) <= SAME_HEIGHT
    level &= (program.kind != RAPID) & (program.toolpath >= 0)
    return level


def _steps(
    program: Program, rows: NDArray[np.int64], longest: Array
) -> tuple[NDArray[np.int64], Array, Array, Array]:  # fmt: skip
    """The row of each step, the share of it at which the step ends, and the step's two ends (m, 3)."""
    start, end = program.origins[rows], program.end[rows]
    arcs = program.kind[rows] == ARC
    arm = np.where(arcs[:, None], start[:, :2] - program.centre[rows], 0.0)
    bend = np.where(arcs, program.sweep[rows], 0.0)
    reach = np.hypot(*arm.T)
    length = np.where(arcs, reach * np.abs(bend), np.hypot(*(end - start)[:, :2].T))
    count = np.maximum(np.ceil(length / longest), np.ceil(np.abs(bend) / TURN))
    count = np.maximum(count, 1.0).astype(np.int64)
    of, number = parted(count)
    shares = number / count[of], (number + 1) / count[of]
    begin = np.arctan2(arm[:, 1], arm[:, 0])

    def place(share: Array) -> Array:
        straight = start[of] + (end - start)[of] * share[:, None]
        angle = begin[of] + bend[of] * share
        bent = program.centre[rows][of] + reach[of, None] * np.column_stack([np.cos(angle), np.sin(angle)])
        plan = np.where(arcs[of, None], bent, straight[:, :2])
        return np.ascontiguousarray(np.column_stack([plan, straight[:, 2]]))

    return rows[of], shares[1], place(shares[0]), place(shares[1])
