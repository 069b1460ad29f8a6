"""What is left of the board: the bit swept over a map of heights, toolpath by toolpath."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import InputError, Refused
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.tool import Tool
from pathkit.motion.program import RAPID, Program
from pathkit.proof.ends import ends_of
from pathkit.proof.material.bits import assumed_bodies, bits_by_events, cone
from pathkit.proof.material.segments import segments_of
from pathkit.tolerances import MAP_CHORDS, MAP_SLACK

Array = NDArray[np.float64]

GRID = 0.25
"""mm between the points of the map."""

SKIN = 0.3
"""mm of wood above the underside that holds nothing (common practice, no source)."""

MOST_POINTS = 50_000_000
"""Most points of a map: 400 MB. A board of 3 m² at `GRID`; a larger one needs a coarser grid."""

FEW_POINTS = 16_000_000
"""Most points of a map on which pieces are followed too, which takes five times the memory: 1 m² at `GRID`."""


@dataclass(frozen=True, slots=True)
class ToolpathRemoval:
    """What one toolpath does. ``volume`` in mm³ of the nominal board; the rest in mm, each with its row (−1: none).

    ``bite`` is the deepest cut into wood at one place (axially); ``rapid`` how deep a rapid meets wood; ``straight``
    how deep a bit that does not cut at its centre goes straight down into it; ``shank`` and ``holder`` how deep those
    meet it.
    """

    name: str
    tool: str
    volume: float
    bite: float
    bite_row: int
    rapid: float
    rapid_row: int
    straight: float
    straight_row: int
    shank: float
    shank_row: int
    holder: float
    holder_row: int


@dataclass(frozen=True, eq=False)
class Removal:
    """The board after a program.

    ``height`` float32 (ny, nx): z of the wood's top at the points x = (i + ½) ``grid``, y = (j + ½) ``grid``, starting
    from the thickest board's top. ``opened`` int32 (ny, nx): the row that cut the wood there through, or down to a skin
    of `SKIN` mm above the underside; −1 if there is more wood. ``volume``, ``bite``, ``rapid``, ``straight``, ``shank``
    and ``holder`` (n,) are the figures of `ToolpathRemoval` row by row. ``known`` False: some cuts have no known bit
    and are left out.
    """

    stock: Stock
    grid: float
    height: NDArray[np.float32]
    opened: NDArray[np.int32]
    volume: Array
    bite: Array
    rapid: Array
    straight: Array
    shank: Array
    holder: Array
    toolpaths: tuple[ToolpathRemoval, ...]
    known: bool

    @property
    def total(self) -> float:
        """mm³ removed from the nominal board."""
        return float(self.volume.sum())


def grid_for(stock: Stock) -> float:
    """mm between the points of a proof's map: `GRID`, or on a large board what keeps to `FEW_POINTS`."""
    return max(GRID, math.sqrt(stock.width * stock.depth / FEW_POINTS))


def remove(
    program: Program,
    job: Job | None = None,
    *,
    stock: Stock | None = None,
    tools: Sequence[Tool] | None = None,
    bits: NDArray[np.int32] | None = None,
    grid: float = GRID,
) -> Removal:
    """Run ``program`` (bench frame) over the board of ``job``, or over ``stock`` with ``tools``.

    ``bits`` (n,) says which of the tools makes each row, −1 if unknown; without it the program's tool changes decide.
    Points of the map are exact for flat, ball and pointed bits on lines, ramps and arcs (the latter by chords within
    `MAP_CHORDS`); detail narrower than ``grid`` may lie between them.

    Raises `InputError` for a program in the controller's frame, a missing board, or a grid that is not above 0;
    `Refused` for a map of more than `MOST_POINTS` points.
    """
    stock = stock or (job.stock if job is not None else program.stock)
    chosen = tuple(tools) if tools is not None else job.tools if job is not None else ()
    if program.frame != "bench":
        raise InputError("stock removal works in the bench frame; this program has the controller's numbers")
    if stock is None:
        raise InputError("stock removal needs the board; give a job or stock")
    if job is None and not chosen:
        raise InputError("stock removal needs the bits; give a job or tools")
    if not grid > 0.0:
        raise InputError(f"a grid of {grid} mm is impossible; give one above 0")
    nx, ny = max(1, round(stock.width / grid)), max(1, round(stock.depth / grid))
    if nx * ny > MOST_POINTS:
        coarser = grid * (nx * ny / MOST_POINTS) ** 0.5
        raise Refused(
            f"a map of {nx} × {ny} points at {grid:g} mm would not fit into memory; take a grid of {coarser:.2f} mm or"
            " more"
        )
    found = bits_by_events(program, chosen) if bits is None else np.asarray(bits, np.int32)
    return _swept(program, stock, chosen, found, grid, (ny, nx))


def _swept(
    program: Program, stock: Stock, tools: Sequence[Tool], bits: NDArray[np.int32], grid: float, size: tuple[int, int]
) -> Removal:
    from pathkit.proof.material import heightmap_kernel

    low = np.fmin(program.origins[:, 2], program.end[:, 2])
    segments = segments_of(program, MAP_CHORDS, low < stock.highest_top)
    height = np.full(size, stock.highest_top, np.float32)
    opened = np.full(size, -1, np.int32)
    count = len(program)
    volume, bite, rapid, straight = (np.zeros(count) for _ in range(4))
    body = np.zeros((count, 2))
    bodies = np.zeros((len(tools), 2, 2))
    for index, tool in enumerate(tools):
        deepest = stock.highest_top - float(np.fmin.reduce(low[bits == index], initial=stock.highest_top))
        # What stays above the board meets nothing.
        bodies[index] = [each if each[1] < deepest else (0.0, 0.0) for each in assumed_bodies(tool)]
    kinds = [
        heightmap_kernel.BALL if t.kind == "ball" else heightmap_kernel.CONE if cone(t) > 0.0 else heightmap_kernel.FLAT
        for t in tools
    ]
    moves = heightmap_kernel.Moves(
        np.ascontiguousarray(segments.start), np.ascontiguousarray(segments.end), segments.row,
        program.kind[segments.row] == RAPID, np.ascontiguousarray(bits[segments.row]),
    )  # fmt: skip
    shapes = heightmap_kernel.Bits(
        np.array([t.radius for t in tools], float), np.array(kinds, np.int64), np.array([cone(t) for t in tools]),
        np.array([t.plunges for t in tools], bool), bodies,
    )  # fmt: skip
    skin = ends_of(stock).highest_underside + SKIN
    levels = heightmap_kernel.Levels(float(stock.highest_top), float(stock.top), float(stock.underside), float(skin))
    gathered = heightmap_kernel.Gathered(volume, bite, rapid, straight, body)
    heightmap_kernel.sweep(height, opened, grid, moves, shapes, levels, MAP_SLACK, gathered)
    cuts = (program.kind != RAPID) & (low < stock.highest_top)
    rows = (volume, bite, rapid, straight, body[:, 0].copy(), body[:, 1].copy())
    for array in (height, opened, *rows):
        array.setflags(write=False)
    figures = _by_toolpath(program, tools, bits, rows)
    return Removal(stock, grid, height, opened, *rows, toolpaths=figures, known=not bool((cuts & (bits < 0)).any()))


def _by_toolpath(
    program: Program, tools: Sequence[Tool], bits: NDArray[np.int32], rows: tuple[Array, ...]
) -> tuple[ToolpathRemoval, ...]:
    order = np.argsort(program.toolpath, kind="stable")
    bounds = np.searchsorted(program.toolpath[order], np.arange(len(program.names) + 1)).tolist()
    found: list[ToolpathRemoval] = []
    for name, (first, last) in zip(program.names, pairwise(bounds), strict=True):
        mine = order[first:last]
        if not len(mine):
            continue
        deepest: list[float | int] = []
        for column in rows[1:]:
            at = int(mine[np.argmax(column[mine])])
            deepest += [float(column[at]), at if column[at] > 0.0 else -1]
        bit = int(bits[mine].max())
        tool = tools[bit].name if bit >= 0 else ""
        found.append(ToolpathRemoval(name, tool, float(rows[0][mine].sum()), *deepest))  # type: ignore[arg-type]
    return tuple(found)
