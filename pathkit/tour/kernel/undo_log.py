"""A log of what moves overwrite in an order, by which they are taken back, last first."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel

Ints = NDArray[np.int32]

FILL, FULL, LOGGED = range(3)
"""Of ``counters``: numbers in the log, 1 if it could not hold all, 1 if moves are logged."""


class Log(NamedTuple):
    """Stretches of an order as they were: what stood there, then the first place and how many."""

    overwritten: Ints
    counters: NDArray[np.int64]  # (3,)


def new_log(size: int) -> Log:
    """An empty log of so many numbers."""
    return Log(np.zeros(size, dtype=np.int32), np.zeros(3, dtype=np.int64))


@kernel(allocates=False, pasted=True)
def begin(log: Log) -> None:
    """Forget all: what comes next is taken back to here."""
    log.counters[FILL] = 0
    log.counters[FULL] = 0


@kernel(allocates=False, pasted=True)
def room(log: Log, count: int) -> bool:
    """Whether the log can still hold a stretch of ``count`` places; if not, that is marked."""
    if log.counters[FILL] + count + 2 <= len(log.overwritten):
        return True
    log.counters[FULL] = 1
    return False


@kernel(allocates=False, pasted=True)
def note(log: Log, order: Ints, first: int, count: int) -> None:
    """Note what stands at ``count`` places from ``first`` on, round the end of the order; there must be `room`."""
    n = len(order)
    fill = log.counters[FILL]
    p = first
    for r in range(count):
        log.overwritten[fill + r] = order[p]
        p += 1
        if p == n:
            p = 0
    log.overwritten[fill + count] = first
    log.overwritten[fill + count + 1] = count
    log.counters[FILL] = fill + count + 2


@kernel(allocates=False, pasted=True)
def last(log: Log) -> tuple[int, int, int]:
    """Take the last stretch out: where in ``overwritten`` it begins (it stays there), its first place, its length."""
    fill = log.counters[FILL] - 2
    first = np.int64(log.overwritten[fill])
    count = np.int64(log.overwritten[fill + 1])
    log.counters[FILL] = fill - count
    return fill - count, first, count  # type: ignore[return-value]
