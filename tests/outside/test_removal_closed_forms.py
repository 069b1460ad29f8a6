"""Stock removal against solid geometry (textbook formulas, named beside each) and against areas by shapely."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

import pathkit as pk
from pathkit.geometry.spans import take_apart
from pathkit.motion.program import ARC, LINE, Program, ToolChange
from pathkit.proof.material.heightmap import Removal, remove
from tests.how_long import usually

GRID = 0.05
STOCK = pk.Stock(60.0, 30.0, 10.0)
FLAT = pk.Tool("flat", 6.0, centre_cutting=True)
BALL = pk.Tool("ball", 6.0, kind="ball", centre_cutting=True)
VEE = pk.Tool("vee", 8.0, kind="vee", angle=90.0, centre_cutting=True)
DRILL = pk.Tool("drill", 6.0, kind="drill")
POINTED = pk.Tool("pointed drill", 6.0, kind="drill", angle=118.0)


def moved(tool: pk.Tool, *points: tuple[float, float, float], grid: float = GRID) -> Removal:
    """The board after a bit has gone through these points at a feed."""
    end = np.array(points)
    count = len(end)
    program = Program(
        start=end[0] + [0.0, 0.0, 20.0],
        kind=np.full(count, LINE),
        end=end,
        centre=np.full((count, 2), np.nan),
        sweep=np.zeros(count),
        feed=np.full(count, 1000.0),
        toolpath=np.zeros(count, np.int32),
        level=np.zeros(count, np.int32),
        line=np.arange(count, dtype=np.int32),
        event=(ToolChange(tool.name),),
        event_at=np.array([0]),
        names=("cut",),
    )
    return remove(program, stock=STOCK, tools=[tool], grid=grid)


def test_a_slot() -> None:
    # Swept area of a disc along a straight line: 2rL + πr².
    removal = moved(FLAT, (10.0, 15.0, -4.0), (50.0, 15.0, -4.0))
    assert removal.total == pytest.approx((2 * 3.0 * 40.0 + math.pi * 9.0) * 4.0, rel=2e-3)
    assert removal.toolpaths[0].volume == pytest.approx(removal.total)
    assert removal.toolpaths[0].bite == pytest.approx(4.0)


def test_a_drilled_hole_and_one_with_a_point() -> None:
    assert moved(DRILL, (30.0, 15.0, -8.0)).total == pytest.approx(math.pi * 9.0 * 8.0, rel=4e-3)
    # Cylinder less what the point's cone of height r / tan(59°) leaves: two thirds of that cylinder.
    tip = 3.0 / math.tan(math.radians(59.0))
    expected = math.pi * 9.0 * (8.0 - tip) + math.pi * 9.0 * tip / 3.0
    assert moved(POINTED, (30.0, 15.0, -8.0)).total == pytest.approx(expected, rel=4e-3)


@pytest.mark.parametrize("depth", [0.5, 1.5, 3.0])
def test_a_ball_groove(depth: float) -> None:
    # Circular segment r² acos((r − h)/r) − (r − h) sqrt(2rh − h²), and a spherical cap πh²(3r − h)/3 for both ends.
    r, h = 3.0, depth
    segment = r * r * math.acos((r - h) / r) - (r - h) * math.sqrt(2 * r * h - h * h)
    cap = math.pi * h * h * (3 * r - h) / 3.0
    removal = moved(BALL, (10.0, 15.0, -h), (50.0, 15.0, -h))
    assert removal.total == pytest.approx(segment * 40.0 + cap, rel=2e-3)


def test_a_vee_groove() -> None:
    # Triangle h² tan(angle/2), and a cone πh³ tan²(angle/2)/3 for both ends.
    removal = moved(VEE, (10.0, 15.0, -3.0), (50.0, 15.0, -3.0))
    assert removal.total == pytest.approx(9.0 * 40.0 + math.pi * 27.0 / 3.0, rel=2e-3)


def test_a_bore_round_a_helix() -> None:
    # A bit of radius r whose centre goes round at R ≤ r leaves a hole of radius R + r: π(R + r)² d.
    job = pk.Job(
        "bore",
        STOCK,
        (
            pk.Toolpath(
                "bore", pk.Curve.point((30.0, 15.0)), FLAT, pk.Cutting(feed=1000.0, plunge=300.0, spindle=16000.0),
                bottom=-6.0, role="drill", entry=pk.Helix(4.0, 4.0),
            ),
        ),
    )  # fmt: skip
    program = pk.lower(job, pk.load_machine("grbl-front-left"))
    assert (program.kind == ARC).any()
    removal = remove(program, job, grid=GRID)
    assert removal.total == pytest.approx(math.pi * 25.0 * 6.0, rel=3e-3)
    assert removal.height.min() == pytest.approx(-6.0)
    # One turn removes its own drop, π d tan α at most.
    assert removal.bite.max() <= math.pi * 4.0 * math.tan(math.radians(4.0)) + 1e-3


def test_ramps_of_a_flat_bit_and_of_a_ball() -> None:
    flat = moved(FLAT, (10.0, 15.0, 0.0), (50.0, 15.0, -4.0))
    row = int(15.0 / GRID)
    x = (np.arange(flat.height.shape[1]) + 0.5) * GRID
    # The bit's front edge is r ahead of its centre, so the floor lies r tan α deeper than the centre has been.
    expected = -4.0 * np.clip((x - 10.0 + 3.0) / 40.0, 0.0, 1.0)
    inside = (x > 10.0) & (x < 50.0)
    assert np.abs(flat.height[row] - expected)[inside].max() < 2 * GRID * 0.1
    ball = moved(BALL, (10.0, 15.0, 0.0), (50.0, 15.0, -4.0))
    # A ball along a line of slope m: the centres' line lowered by r sqrt(1 + m²) (distance of parallel lines).
    expected = 3.0 - 0.1 * (x - 10.0) - 3.0 * math.sqrt(1.01)
    inside = (x > 15.0) & (x < 45.0)
    assert np.abs(ball.height[row] - expected)[inside].max() < 1e-3


@pytest.mark.parametrize("seed", usually(range(2), of=range(5)))
def test_areas_against_shapely(seed: int) -> None:
    """Lines and arcs at one depth: the ground swept is a buffered line."""
    random = np.random.default_rng(seed)
    points = random.uniform((8.0, 8.0), (52.0, 22.0), (6, 2))
    sweeps = np.where(random.random(5) < 0.5, random.uniform(-3.0, 3.0, 5), 0.0)
    curve = pk.Curve(points, sweeps=sweeps)
    spans = take_apart(curve.points, curve.sweeps, False)
    count = len(spans.length) + 1
    program = Program(
        start=np.array([*points[0], 10.0]),
        kind=np.concatenate([[LINE], np.where(spans.sweep != 0.0, ARC, LINE)]),
        end=np.column_stack([points, np.full(count, -2.0)]),
        centre=np.concatenate([[[np.nan, np.nan]], spans.centre]),
        sweep=np.concatenate([[0.0], spans.sweep]),
        feed=np.full(count, 1000.0),
        toolpath=np.full(count, -1),
        level=np.full(count, -1),
        line=np.arange(count, dtype=np.int32),
    )
    removal = remove(program, stock=STOCK, tools=[FLAT], grid=0.1)
    whole = shapely.LineString(curve.flattened(0.001)).buffer(3.0, quad_segs=64)
    swept = whole.intersection(shapely.box(0.0, 0.0, STOCK.width, STOCK.depth))
    # For points within half a diagonal of the edge either verdict may be right; all others are certain.
    y, x = np.mgrid[0 : removal.height.shape[0], 0 : removal.height.shape[1]] * 0.1 + 0.05
    points_in = shapely.contains_xy(swept, x, y)
    edge = swept.boundary
    shapely.prepare(edge)
    sure = ~shapely.dwithin(shapely.points(x, y), edge, 0.003)
    assert np.array_equal((removal.height < 0.0)[sure], points_in[sure])
    assert removal.total / 2.0 == pytest.approx(swept.area, abs=0.1 * swept.length / 4.0)


@pytest.mark.parametrize("tool", [FLAT, BALL, VEE, POINTED], ids=lambda t: t.name)
def test_every_shape_on_random_ways_against_dense_stations(tool: pk.Tool) -> None:
    """The closed forms of the kernel against the bit put down at 4 000 stations along each move."""
    random = np.random.default_rng(7)
    ways = random.uniform((10.0, 8.0, -6.0), (50.0, 22.0, 1.0), (4, 3))
    removal = moved(tool, *map(tuple, ways), grid=0.5)
    y, x = np.mgrid[0:60, 0:120] * 0.5 + 0.25
    expected = np.zeros_like(x)
    for a, b in zip([ways[0] + [0, 0, 20.0], *ways[:-1]], ways, strict=True):
        for t in np.linspace(0.0, 1.0, 4000):
            cx, cy, cz = a + (b - a) * t
            square = (x - cx) ** 2 + (y - cy) ** 2
            if tool.kind == "ball":
                tip = 3.0 - np.sqrt(np.maximum(9.0 - square, 0.0))
            elif tool.angle is not None:
                tip = np.sqrt(square) / math.tan(math.radians(tool.angle / 2.0))
            else:
                tip = np.zeros_like(square)
            expected = np.where(square <= tool.radius**2, np.minimum(expected, cz + tip), expected)
    apart = removal.height - expected
    # Stations miss a little of what a move sweeps and never add to it; at the edge they may miss a whole point.
    assert apart.max() < 1e-5
    assert np.quantile(apart, 0.01) > -0.02


def test_air_is_not_wood() -> None:
    removal = moved(FLAT, (10.0, 15.0, 5.0), (50.0, 15.0, 5.0))
    assert removal.total == 0.0
    assert removal.height.max() == removal.height.min() == 0.0
