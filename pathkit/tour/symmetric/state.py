"""Plain tours as the kernels want them: points joined into one closed tour, some pairs joined for good.

A stroke that may be run either way is two points with a fixed edge between them; so is a start and an end. A free end
is a point that costs nothing to reach. What is left is a symmetric travelling salesman problem.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

DEPTH = 10  # links of a chain after its first exchange
PIECES = DEPTH + 4  # stretches a chain can cut the tour into
LARGE = 12_000  # points beyond which the tour no longer lies in the processor's nearest cache


class Web(NamedTuple):
    """Points, their near ones, the tour and the search's own working memory. Points are numbered along the first tour.

    A chain of exchanges is described by *pieces*: the tour, cut where edges go, as stretches in their new order. A
    piece is (first, last) in steps from the chain's origin, last < first where it is run backwards.

    ``marks`` are the numbers that change: 0 head of the queue, 1 its length, 2 fill of the log, 3 pieces of the chain
    found, 4 the level they are at, 5 whether exchanges are logged.
    """

    at: Floats  # (n, 2)
    near: Ints  # (n, k)
    gap: Floats  # (n, k) cost of going there
    fixed: Ints  # (n,) the point at the other end of a fixed edge, or -1
    rules: Floats  # the metric's parameters
    free: int  # the point that costs nothing to reach, or -1
    slack: float  # gains below this are rounding
    reach: int  # most places one exchange may rewrite
    throw: int  # most places one kick may rewrite
    around: int  # points among which a run of kicks begins
    tour: Ints  # (n,) point at each place
    place: Ints  # (n,)
    queue: Ints  # (n,) ring of points to look at
    queued: NDArray[np.uint8]  # (n,)
    marks: NDArray[np.int64]  # (6,), see below
    head: Ints  # (DEPTH + 2, PIECES) first of each piece, level by level
    tail: Ints
    scratch: Ints  # (n,)
    log: Ints  # what exchanges overwrote since the last kick
    link: NDArray[np.int64]  # (2,) steps of the two ends of the edge the best link takes away
    cuts: NDArray[np.int64]  # (4,) places behind which a kick cuts


def weave(points: Floats, near: Ints, gap: Floats, fixed: Ints, rules: Floats, free: int, slack: float) -> Web:
    """A web whose tour is the points in turn."""
    n = len(points)
    return Web(
        at=np.ascontiguousarray(points),
        near=near,
        gap=gap,
        fixed=fixed,
        rules=rules,
        free=free,
        slack=slack,
        reach=max(50_000, n // 10) if n > 50_000 else n,
        throw=1_000 if n > LARGE else n,
        around=1_000 if n > LARGE else n,
        tour=np.arange(n, dtype=np.int32),
        place=np.arange(n, dtype=np.int32),
        queue=np.zeros(n, dtype=np.int32),
        queued=np.zeros(n, dtype=np.uint8),
        marks=np.zeros(6, dtype=np.int64),
        head=np.zeros((DEPTH + 2, PIECES), dtype=np.int32),
        tail=np.zeros((DEPTH + 2, PIECES), dtype=np.int32),
        scratch=np.zeros(n, dtype=np.int32),
        log=np.zeros(max(4 * n, 10_000), dtype=np.int32),
        link=np.zeros(2, dtype=np.int64),
        cuts=np.zeros(4, dtype=np.int64),
    )


def lay(web: Web, tour: Ints) -> None:
    """Make ``tour`` the web's own."""
    web.tour[:] = tour
    web.place[web.tour] = np.arange(len(tour), dtype=np.int32)


def queue_all(web: Web) -> None:
    """Have every point looked at, along the tour."""
    web.queue[:] = web.tour
    web.queued[:] = 1
    web.marks[0] = 0
    web.marks[1] = len(web.tour)
