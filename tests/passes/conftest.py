"""What the tests of passes share: a small workshop and a few cuts in it."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from pathkit.machine.profile import Axes, Machine, Motion, SpindleControl, Travel
from pathkit.model.curve import Curve
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Toolpath
from pathkit.motion.program import ARC, RAPID, Program

Cut = Callable[..., Toolpath]
Ring = Callable[..., Curve]
Swept = Callable[[Program, float, float], BaseGeometry]

FLAT = Tool("6 mm flat", 6.0, number=1)


@pytest.fixture(scope="session")
def machine() -> Machine:
    return Machine(
        "bench router",
        "grbl",
        Axes(),
        Travel(600.0, 400.0, 80.0),
        Motion((5000.0, 4000.0, 2000.0), (4000.0, 4000.0, 1000.0), (400.0, 300.0, 200.0)),
        spindle=SpindleControl(min=5000.0, max=24000.0),
        park=(0.0, 0.0),
    )


@pytest.fixture(scope="session")
def board() -> Stock:
    return Stock(400.0, 300.0, 12.0, z_zero="bed", underlay=0.5)


@pytest.fixture(scope="session")
def cut() -> Cut:
    """Makes a toolpath with sound defaults, each of which can be changed."""

    def make(name: str, curve: Curve, tool: Tool = FLAT, **fields: Any) -> Toolpath:
        cutting = fields.pop("cutting", Cutting(feed=1200.0, plunge=300.0, spindle=18000.0))
        return Toolpath(name, curve, tool, cutting, **{"bottom": 0.25, "stepdown": 3.0, **fields})

    return make


@pytest.fixture(scope="session")
def ring() -> Ring:
    """Makes a counter-clockwise rectangle with rounded corners (radius 0: sharp)."""

    def make(x: float, y: float, width: float, height: float, r: float = 0.0) -> Curve:
        if r == 0.0:
            return Curve.polyline([(x, y), (x + width, y), (x + width, y + height), (x, y + height)], closed=True)
        points = [
            (x + r, y), (x + width - r, y), (x + width, y + r), (x + width, y + height - r),
            (x + width - r, y + height), (x + r, y + height), (x, y + height - r), (x, y + r),
        ]  # fmt: skip
        return Curve(points, closed=True, sweeps=[0.0, math.pi / 2] * 4)

    return make


@pytest.fixture(scope="session")
def swept_below() -> Swept:
    """The area that a round bit of the given radius sweeps below a height, by shapely from the program's rows.

    The polygon of each disc encloses the true disc, so that wood is never judged wider than it is.
    """

    def sweep(program: Program, radius: float, height: float) -> BaseGeometry:
        lines = []
        for row in range(1, len(program)):
            a, b = program.end[row - 1], program.end[row]
            if program.kind[row] == RAPID or min(a[2], b[2]) >= height - 1e-6:
                continue
            points = np.array([a[:2], b[:2]])
            if program.kind[row] == ARC:
                arm = a[:2] - program.centre[row]
                turn = math.atan2(arm[1], arm[0]) + np.linspace(0.0, float(program.sweep[row]), 65)
                circle = np.stack([np.cos(turn), np.sin(turn)], axis=1)
                points = program.centre[row] + math.hypot(*arm) * circle
            lines.append(shapely.LineString(points) if not np.allclose(points, points[0]) else shapely.Point(points[0]))
        outside = radius / math.cos(math.pi / (4 * 32))
        return shapely.union_all(shapely.buffer(np.array(lines), outside, quad_segs=32))

    return sweep
