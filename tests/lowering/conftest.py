"""What the tests of lowering share: a workshop, and a walk along a program that uses none of the library's geometry."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import pytest
from numpy.typing import NDArray

from pathkit.machine.profile import Axes, Heights, Machine, Motion, Travel
from pathkit.motion.program import ARC, Program


class Walk(NamedTuple):
    """Places (k, 3) on the way, and the row that each belongs to; ``begin`` marks the first place of a row."""

    place: NDArray[np.float64]
    row: NDArray[np.int64]
    begin: NDArray[np.bool_]


def walk(program: Program, step: float = 0.25) -> Walk:
    """Every row but the first (whose x, y are unknown) as points at most ``step`` apart, both ends included."""
    places, rows, begins = [], [], []
    for row in range(1, len(program)):
        a, b = program.end[row - 1], program.end[row]
        if np.isnan(a[:2]).any():
            a = np.array([b[0], b[1], a[2]])
        if program.kind[row] == ARC:
            centre, sweep = program.centre[row], float(program.sweep[row])
            arm = a[:2] - centre
            radius = math.hypot(*arm)
            assert math.isclose(radius, math.hypot(*(b[:2] - centre)), abs_tol=1e-6), "both ends lie on the circle"
            count = max(2, math.ceil(abs(sweep) * radius / step) + 1)
            share = np.linspace(0.0, 1.0, count)
            angle = math.atan2(arm[1], arm[0]) + share * sweep
            xy = centre + radius * np.stack([np.cos(angle), np.sin(angle)], axis=1)
            assert np.allclose(xy[-1], b[:2], atol=1e-6), "the sweep leads to the end"
            points = np.column_stack([xy, a[2] + share * (b[2] - a[2])])
        else:
            count = max(2, math.ceil(float(np.linalg.norm(b - a)) / step) + 1)
            points = a + np.linspace(0.0, 1.0, count)[:, None] * (b - a)
        places.append(points)
        rows.append(np.full(count, row))
        begins.append(np.arange(count) == 0)
    return Walk(np.concatenate(places), np.concatenate(rows), np.concatenate(begins))


@pytest.fixture(scope="session")
def walked() -> Callable[..., Walk]:
    return walk


@pytest.fixture(scope="session")
def machine() -> Machine:
    return Machine(
        "bench",
        "grbl",
        Axes(),
        Travel(800.0, 600.0, 100.0),
        Motion((5000.0, 5000.0, 2000.0), (4000.0, 4000.0, 1000.0), (400.0, 400.0, 200.0)),
        heights=Heights(8.0, 1.0),
        park=(5.0, 7.0),
    )
