"""Relief of inside corners that a square peg must fit: a round bit leaves them round, so a bite is cut beyond them."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pathkit.curves.regions import Shape, refusal, turned
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.model.checking import Faults
from pathkit.model.curve import Curve
from pathkit.operations.open_edges import walls_on_both_sides
from pathkit.tolerances import ANGLE_ROUNDING, ROUNDING, SHAPE_CHORDS

CLEARANCE = 0.05
"""mm by which a bite's radius is larger than the bit's, so that the bit has room to go round in it."""


def relieve(
    opening: Curve, radius: float, *, clearance: float = CLEARANCE, sharper_than: float = 135.0, name: str = "relief",
    outside: bool = False, open_edges: Shape | Sequence[Shape] = (),
) -> Curve:  # fmt: skip
    """The closed curve of an ``opening`` with a round bite at every inside corner, for a bit of ``radius`` mm.

    ``outside``: the curve is the edge of what stays, the bit runs round it, and the bites are in the corners that
    point into it.

    ``open_edges`` are lines or closed shapes along which the opening has no wall: corners on them get no bite.

    Each bite is an arc of ``radius + clearance`` about a centre on the corner's bisector; it passes through the corner
    itself, so that the whole of a square peg goes in, and takes no more than that. Its arc spans 2π − 2θ at a corner
    of θ (inscribed angle theorem). Corners of at most ``sharper_than`` degrees between straight sides are relieved;
    round corners, drawn as arcs or as many short chords, are left alone. The result runs counter-clockwise.

    Raises `InputError` that names every side too short for its bites, with the widest bit that fits, or the place where
    bites run into each other.
    """
    faults = Faults("relief")
    faults.number(radius, "radius", above=0.0)
    faults.number(clearance, "clearance", least=0.0)
    faults.number(sharper_than, "sharper_than", above=0.0, below=180.0)
    faults.raise_any()
    if not isinstance(opening, Curve) or not opening.closed or opening.is_trace:
        raise refusal(name, "the opening is not a closed plane curve", "close it: Curve.polyline(…, closed=True)")
    # The bit is to the left of the ring.
    ring = turned(opening, counter_clockwise=not outside)
    spans = ring.spans
    count = len(spans.sweep)
    bite = radius + clearance
    inside = [_inside_angle(ring, k) for k in range(count)]
    walled = walls_on_both_sides(ring, open_edges, name)
    corners = [k for k in range(count) if walled[k] and inside[k] <= math.radians(sharper_than) + ANGLE_ROUNDING]
    if not corners:
        return turned(ring, counter_clockwise=True)
    taken = {k: 2.0 * bite * math.cos(inside[k] / 2.0) for k in corners}
    _refuse_short_sides(ring, taken, bite, clearance, name)
    points: list[NDArray[np.float64]] = []
    sweeps: list[float] = []
    for k in range(count):
        if k in taken:
            for side, sign in ((k - 1, -1.0), (k, 1.0)):
                way = (spans.end[side] - spans.start[side]) / spans.length[side]
                points.append(spans.start[k] + sign * taken[k] * way)
            sweeps += [2.0 * math.pi - 2.0 * inside[k], 0.0]
        else:
            points.append(spans.start[k])
            sweeps.append(float(spans.sweep[k]))
    relieved = Curve(*_without_empty(points, sweeps), closed=True)
    if (crossing := _crossing(relieved)) is not None:
        raise refusal(
            name, f"the bites of its relief run into each other at {crossing}", f"tool: a narrower bit, {_NO}"
        )
    return turned(relieved, counter_clockwise=True)


_NO = "or relief = false"


def _crossing(ring: Curve) -> str | None:
    """Where a closed curve crosses itself; None if it does not."""
    import shapely

    edge = shapely.LinearRing(ring.flattened(SHAPE_CHORDS))
    if edge.is_simple:
        return None
    steps = shapely.union_all(edge)
    ends, count = np.unique(
        np.concatenate([np.asarray(line.coords)[[0, -1]] for line in shapely.get_parts(steps)]), axis=0,
        return_counts=True,
    )  # fmt: skip
    x, y = ends[int(np.argmax(count))]
    return f"({x:.3f}, {y:.3f})"


def _inside_angle(ring: Curve, index: int) -> float:
    """Angle (radians) inside the ring between the straight sides at a vertex; 2π if it is no inside corner of two."""
    spans = ring.spans
    if spans.sweep[index - 1] != 0.0 or spans.sweep[index] != 0.0:
        return 2.0 * math.pi
    before, after = spans.end[index - 1] - spans.start[index - 1], spans.end[index] - spans.start[index]
    turn = math.atan2(before[0] * after[1] - before[1] * after[0], float(before @ after))
    return math.pi - turn if turn > 0.0 else 2.0 * math.pi


def _refuse_short_sides(ring: Curve, taken: dict[int, float], bite: float, clearance: float, name: str) -> None:
    spans = ring.spans
    count = len(spans.sweep)
    found = []
    for side in range(count):
        wanted = taken.get(side, 0.0) + taken.get((side + 1) % count, 0.0)
        if wanted > spans.length[side] + ROUNDING:
            x, y = spans.start[side]
            what = (
                f"the side of {spans.length[side]:.3f} mm at ({x:.3f}, {y:.3f}) is too short for its bites, which"
                f" take {wanted:.3f} mm"
            )
            # What the bites take grows in proportion to their radius, the bit's and the clearance.
            widest = math.floor(200.0 * (bite * float(spans.length[side]) / wanted - clearance)) / 100.0
            fix = f"tool: a bit of at most {widest:g} mm, {_NO}" if widest > 0.0 else _NO.removeprefix("or ")
            found.append(Finding(check="relief", what=what, fix=fix, toolpath=name))
    if found:
        raise InputError(found)


def _without_empty(
    points: list[NDArray[np.float64]], sweeps: list[float]
) -> tuple[list[NDArray[np.float64]], list[float]]:
    """Vertices and sweeps without sides of no length, which two bites leave if they take up the whole side."""
    kept = [
        k
        for k in range(len(points))
        if sweeps[k] != 0.0 or math.dist(points[k], points[(k + 1) % len(points)]) > ROUNDING
    ]
    return [points[k] for k in kept], [sweeps[k] for k in kept]
