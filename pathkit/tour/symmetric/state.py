"""Symmetric tours for the kernels: points joined into one closed tour, with some fixed edges.

A stroke that may be run either way is two points with a fixed edge between them; so are a start and an end. A free end
is a point that costs nothing to reach. The result is a symmetric travelling salesman problem.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.kernel.undo_log import Log, new_log
from pathkit.tour.kernel.work_queue import Queue, new_queue
from pathkit.tour.metric import Pricing

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

PIECES_FOUND = 0
"""Of ``found``: pieces of the move found."""

S3, S4, OWN = range(3)
"""Of ``link``: steps of the two ends of the edge that the best link removes, and the stretch that holds them."""

DEPTH = 10  # exchanges of a Lin-Kernighan move after its first
STRETCHES = 16  # more than the most into which a move can cut the tour, DEPTH + 3
LARGE = 12_000  # points above which the tour no longer fits the processor's nearest cache


class State(NamedTuple):
    """Points, their near points, the tour and the search's working memory. Points are numbered along the first tour.

    A Lin-Kernighan move is described by *pieces*: the tour, cut at the removed edges, as stretches in their new order.
    A piece is (first, last) in steps from the move's origin; last < first if it is run backwards. While a move grows,
    they are kept as *stretches*, sorted as the tour is: where each begins, its place in the path, and its direction.
    """

    at: Floats  # (n, 2)
    near: Ints  # (n, k)
    gap: Floats  # (n, k) cost of going there
    fixed: Ints  # (n,) the point at the other end of a fixed edge, or -1
    pricing: Pricing
    free: int  # the point that costs nothing to reach, or -1
    rounding: float  # gains below this are rounding
    rewrite_limit: int  # most places one move may rewrite
    kick_limit: int  # most places one double bridge may rewrite
    around: int  # points among which a run of perturbations begins
    tour: Ints  # (n,) point at each place
    place: Ints  # (n,)
    queue: Queue  # points to look at
    found: NDArray[np.int64]  # (1,) `PIECES_FOUND`
    head: Ints  # (STRETCHES,) first of each piece
    tail: Ints
    start: Ints  # (STRETCHES,) first step of each stretch, n where there is none
    rank: Ints  # (STRETCHES,) its place in the path
    way: Ints  # (STRETCHES,) 1, or -1 if the path runs along it backwards
    scratch: Ints  # (n,)
    log: Log  # what moves overwrote since the last perturbation
    link: NDArray[np.int64]  # (3,) `S3`, `S4`, `OWN`
    cuts: NDArray[np.int64]  # (4,) places after which a double bridge cuts


def new_state(
    points: Floats, near: Ints, gap: Floats, fixed: Ints, pricing: Pricing, free: int, rounding: float
) -> State:
    """A state whose tour is the points in order."""
    n = len(points)
    return State(
        at=np.ascontiguousarray(points),
        near=near,
        gap=gap,
        fixed=fixed,
        pricing=pricing,
        free=free,
        rounding=rounding,
        rewrite_limit=max(50_000, n // 10) if n > 50_000 else n,
        kick_limit=1_000 if n > LARGE else n,
        around=1_000 if n > LARGE else n,
        tour=np.arange(n, dtype=np.int32),
        place=np.arange(n, dtype=np.int32),
        queue=new_queue(n),
        found=np.zeros(1, dtype=np.int64),
        head=np.zeros(STRETCHES, dtype=np.int32),
        tail=np.zeros(STRETCHES, dtype=np.int32),
        start=np.zeros(STRETCHES, dtype=np.int32),
        rank=np.zeros(STRETCHES, dtype=np.int32),
        way=np.zeros(STRETCHES, dtype=np.int32),
        scratch=np.zeros(n, dtype=np.int32),
        log=new_log(max(4 * n, 10_000)),
        link=np.zeros(3, dtype=np.int64),
        cuts=np.zeros(4, dtype=np.int64),
    )


def set_tour(state: State, tour: Ints) -> None:
    """Copy ``tour`` into the state."""
    state.tour[:] = tour
    state.place[state.tour] = np.arange(len(tour), dtype=np.int32)
