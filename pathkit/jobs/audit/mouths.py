"""Open edges: where a recess has no wall, and how far past that it must reach if the job has a fit.

Beyond an open edge there is no wood: the part ends there, or another recess begins, and a fit moves that by half of it,
one way or the other. So the recess must be cut the whole of the fit past where its open edge is drawn: tight or loose.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.jobs.audit import plane
from pathkit.jobs.audit.figures import CannotRead
from pathkit.jobs.audit.tolerances import FLAT, HAIR, OPEN

SHARES: Final = np.array([[0.25], [0.5], [0.75]])
"""Of a side's length: where it must lie on an open edge to be one."""


class Sides(NamedTuple):
    """The sides of a ring, counter-clockwise: where each begins, and which way it runs (k, 2); whether it is open."""

    points: plane.Points
    ways: plane.Points
    is_open: NDArray[np.bool_]


def sides_of(ring: plane.Points, lines: Sequence[plane.Points]) -> Sides:
    """The sides of a ring (first vertex repeated), open where they lie on one of the polylines ``lines``."""
    points = _with_ends(ring[:-1] if plane.area(ring[:-1]) > 0.0 else ring[:0:-1], lines)
    points = points[np.hypot(*(np.roll(points, -1, axis=0) - points).T) > HAIR]
    along = np.roll(points, -1, axis=0) - points
    upon = plane.join_lines(lines)
    is_open = [plane.apart([one + SHARES * way], upon)[0] <= OPEN for one, way in zip(points, along, strict=True)]
    return Sides(points, along / np.hypot(*along.T)[:, None], np.array(is_open))


def widened(ring: plane.Points, lines: Sequence[plane.Points], by: float) -> plane.Points:
    """A ring (first vertex repeated), each side on one of the ``lines`` moved out by ``by`` mm.

    All sides go on until they meet the next. Raises `CannotRead` where they do not.
    """
    sides = sides_of(ring, lines)
    moved: list[plane.Points] = []
    for k, place in enumerate(sides.points):
        before, after = sides.ways[k - 1], sides.ways[k]
        right, also = (by * sides.is_open[j] * np.array([way[1], -way[0]]) for j, way in ((k - 1, before), (k, after)))
        sine = float(before[0] * after[1] - before[1] * after[0])
        alike = sides.is_open[k - 1] == sides.is_open[k]
        if abs(sine) > FLAT or (alike and abs(sine) > HAIR):
            # Where both sides meet: as far along the first as takes it to the second.
            gap = also - right
            moved.append(place + right + before * float(gap[0] * after[1] - gap[1] * after[0]) / sine)
        elif alike:
            moved.append(place + right)
        elif abs(sine) <= HAIR and float(before @ after) > 0.0:
            # In line with the wall beside it an open edge ends square.
            moved += [place + right, place + also]
        else:
            raise CannotRead("a wall runs into an open edge at too flat an angle for a fit")
    return np.array([*moved, moved[0]])


def before(ring: plane.Points, lines: Sequence[plane.Points], by: float) -> Any:
    """What lies up to ``by`` mm before the open sides of a ring (shapely): room for the bit."""
    sides = sides_of(ring, lines)
    ends = sides.points + sides.ways * np.hypot(*(np.roll(sides.points, -1, axis=0) - sides.points).T)[:, None]
    out = by * np.stack([sides.ways[:, 1], -sides.ways[:, 0]], axis=1)
    corners = np.stack([sides.points, ends, ends + out, sides.points + out], axis=1)[sides.is_open]
    return plane.union([plane.plate(np.vstack([four, four[:1]])) for four in corners])


def _with_ends(points: plane.Points, lines: Sequence[plane.Points]) -> plane.Points:
    """A ring (k, 2) with vertices where the lines begin, turn and end on it."""
    for place in np.concatenate([*lines]):
        ahead = np.roll(points, -1, axis=0) - points
        share = ((place - points) * ahead).sum(axis=1) / np.maximum((ahead**2).sum(axis=1), HAIR**2)
        feet = points + np.clip(share, 0.0, 1.0)[:, None] * ahead
        away = np.hypot(*(place - feet).T)
        k = int(np.argmin(away))
        # A place beside a vertex is meant to be that vertex.
        if away[k] <= OPEN and np.hypot(*(points - feet[k]).T).min() > 2.0 * OPEN:
            points = np.insert(points, k + 1, feet[k], axis=0)
    return points
