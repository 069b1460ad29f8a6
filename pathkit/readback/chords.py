"""An arc outside the XY plane as short lines, since a program knows arcs in that plane only."""

from __future__ import annotations

from math import asin, atan2, ceil, hypot, pi, sqrt
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.readback.state import Point

READ_CHORDS: Final = 0.001
"""mm between an arc and its chords: the grid of a usual file."""

MOST_CHORDS: Final = 20_000
"""A whole turn of 20 m radius has as many; more of them in one block are a mistake."""


MOST_IN_ALL: Final = 10_000_000
"""So many rows of a program take 600 MB."""


class Chords(NamedTuple):
    """Straight cuts to ``ends`` (n, 3), mm, at ``feed`` mm/min."""

    ends: NDArray[np.float64]
    feed: float


def chords_of(
    begin: Point, end: Point, centre: tuple[float, float], sweep: float, axes: tuple[int, int, int], feed: float
) -> Chords | None:
    """The chords of an arc or helix about ``centre``, `READ_CHORDS` beside it at most; None if they are too many.

    ``axes`` are the two of its plane and the third, right-handed; ``sweep`` in radians, positive counter-clockwise as
    seen from the third. The radius goes evenly from that of the start to that of the end, which may differ a little.
    The height of a chord of a circle: r (1 - cos(step / 2)) = 2 r sin(step / 4) ** 2 (geometry).
    """
    u, v, w = axes
    ax, ay = begin[u] - centre[0], begin[v] - centre[1]
    near, far = hypot(ax, ay), hypot(end[u] - centre[0], end[v] - centre[1])
    widest = max(near, far)
    step = min(4.0 * asin(sqrt(min(READ_CHORDS / (2.0 * widest), 1.0))), pi / 2.0)
    count = ceil(abs(sweep) / step)
    if count > MOST_CHORDS:
        return None
    share = np.arange(1, count + 1) / count
    angle, radius = atan2(ay, ax) + sweep * share, near + (far - near) * share
    ends = np.empty((count, 3))
    ends[:, u] = centre[0] + radius * np.cos(angle)
    ends[:, v] = centre[1] + radius * np.sin(angle)
    ends[:, w] = begin[w] + (end[w] - begin[w]) * share
    ends[-1] = end
    return Chords(ends, feed)
