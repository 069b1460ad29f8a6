"""Programs of any length for the benchmark of throughput: lines, arcs, and the raster of a relief."""

from __future__ import annotations

import math

import numpy as np

import pathkit as pk
from pathkit.machine.profile import Axes, Machine, Motion, Travel
from pathkit.motion.program import ARC, LINE, RAPID

MACHINE = Machine(
    "Workshop router",
    "grbl",
    Axes(),
    Travel(600, 400, 80),
    Motion((5000, 5000, 2000), (4000, 4000, 1000), (400, 400, 200), steps_per_mm=(160, 160, 400)),
    bytes_per_second=11520.0,
)


def wandering_lines(count: int, step: float = 0.3) -> pk.Program:
    """A smooth random path of ``count`` short lines, in the controller's axes."""
    random = np.random.default_rng(1)
    heading = np.cumsum(random.normal(0.0, 0.3, count))
    rise = random.normal(0.0, 0.01, count)
    end = np.cumsum(np.column_stack([step * np.cos(heading), step * np.sin(heading), rise]), axis=0)
    return _program(end, LINE, np.full((count, 2), np.nan), np.full(count, np.nan))


def chained_arcs(count: int) -> pk.Program:
    """Half circles in a row that bulge to either side by turns; about 40 chords each."""
    end = np.zeros((count, 3))
    end[:, 0] = 4.0 * np.arange(1, count + 1)
    centre = np.column_stack([end[:, 0] - 2.0, end[:, 1]])
    return _program(end, ARC, centre, np.where(np.arange(count) % 2, math.pi, -math.pi))


def lines_over_a_board(count: int) -> pk.Program:
    """Short lines above a board, clear of its wood: this measures the text, not the geometry."""
    heading = np.cumsum(np.random.default_rng(2).normal(0.0, 0.3, count))
    end = np.column_stack([200 + 150 * np.cos(heading), 150 + 100 * np.sin(heading), 20 + 5 * np.sin(3 * heading)])
    end[0] = [np.nan, np.nan, 30.0]
    program = _program(end, LINE, np.full((count, 2), np.nan), np.full(count, np.nan))
    kind = np.full(count, LINE)
    kind[:2] = RAPID
    return program.replace(kind=kind, frame="bench", stock=pk.Stock(400, 300, 9), start=np.full(3, np.nan))


def relief(count: int) -> pk.Job:
    """A relief of 200 x 150 mm, up to 4 mm deep, cut to and fro by a 3 mm ball: one trace of about ``count`` points."""
    rows = max(int(math.sqrt(0.75 * count)), 2)
    columns = max(count // rows, 2)
    x, y = np.meshgrid(np.linspace(10.0, 210.0, columns), np.linspace(10.0, 160.0, rows))
    x[1::2] = x[1::2, ::-1]
    z = -2.0 + np.sin(x / 9.0) * np.cos(y / 7.0) + 0.9 * np.sin((x + y) / 23.0)
    curve = pk.Curve(np.column_stack([x.ravel(), y.ravel(), z.ravel()]))
    ball = pk.Tool("3 mm ball", 3.0, kind="ball", centre_cutting=True)
    return pk.Job(
        "relief",
        pk.Stock(220, 170, 9),
        (pk.Toolpath("relief", curve, ball, pk.Cutting(feed=2400, plunge=600, spindle=18000)),),
    )


def _program(end: np.ndarray, kind: int, centre: np.ndarray, sweep: np.ndarray) -> pk.Program:
    count = len(end)
    none = np.full(count, -1)
    return pk.Program(
        np.zeros(3), np.full(count, kind), end, centre, sweep, np.full(count, 3000.0), none, none, none,
        frame="controller",
    )  # fmt: skip
