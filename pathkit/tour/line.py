"""An order with variants and rules, as the local search of large problems holds it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.core import Core

Ints = NDArray[np.int32]


class Line(NamedTuple):
    """The order and the search's own working memory."""

    core: Core
    near: Ints  # (n, k)
    span: NDArray[np.float64]  # (n, k) least cost of going there, 0 where it was not worked out
    sequence: Ints  # (n,) variant at each place
    place: Ints  # (n,) place of each item
    queue: Ints  # (n,) ring of items to look at
    queued: NDArray[np.uint8]  # (n,)
    marks: NDArray[np.int64]  # 0: head of the queue, 1: length of it, 2: fill of the log
    scratch: Ints  # (n,)
    log: Ints  # what moves overwrote since the last kick
    slack: float  # gains below this are rounding
    window: int  # most places one move may rewrite


def line(core: Core, near: Ints, span: NDArray[np.float64], sequence: Ints, slack: float) -> Line:
    """A line over its own copy of the sequence."""
    n = len(sequence)
    place = np.empty(n, dtype=np.int32)
    place[core.owner[sequence]] = np.arange(n)
    return Line(
        core=core,
        near=near,
        span=span,
        sequence=sequence.copy(),
        place=place,
        queue=np.zeros(n, dtype=np.int32),
        queued=np.zeros(n, dtype=np.uint8),
        marks=np.zeros(3, dtype=np.int64),
        scratch=np.zeros(n, dtype=np.int32),
        log=np.zeros(max(4 * n, 10_000), dtype=np.int32),
        slack=slack,
        window=min(n, 50_000) if len(core.after) == 0 else min(n, 1_000),
    )
