"""The queue of items that a local search still looks at, first in, first out, each in it at most once.

Items whose surroundings a move changed are looked at again, all others are not (don't-look bits: Bentley, ORSA J.
Computing 4(4), 1992, 387-411, from memory).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel

Ints = NDArray[np.int32]

HEAD, WAITING = range(2)
"""Of ``ends``: where the one that has waited longest stands, and how many wait."""


class Queue(NamedTuple):
    """``ring`` holds the items that wait, from ``ends[HEAD]`` on and round its end."""

    ring: Ints  # (n,)
    queued: NDArray[np.uint8]  # (n,) whether an item waits
    ends: NDArray[np.int64]  # (2,)


def new_queue(n: int) -> Queue:
    """An empty queue for items 0 to n − 1."""
    return Queue(np.zeros(n, dtype=np.int32), np.zeros(n, dtype=np.uint8), np.zeros(2, dtype=np.int64))


def queue_all(queue: Queue, order: Ints) -> None:
    """Have every item looked at, in the ``order`` (n,) given."""
    queue.ring[:] = order
    queue.queued[:] = 1
    queue.ends[:] = 0, len(order)


@kernel(allocates=False, pasted=True)
def enqueue(queue: Queue, item: int) -> None:
    """Have an item looked at."""
    if queue.queued[item] == 0:
        n = len(queue.ring)
        end = queue.ends[HEAD] + queue.ends[WAITING]
        queue.ring[end if end < n else end - n] = item
        queue.ends[WAITING] += 1
        queue.queued[item] = 1


@kernel(allocates=False, pasted=True)
def dequeue(queue: Queue) -> int:
    """The item that has waited longest; there must be one."""
    item = queue.ring[queue.ends[HEAD]]
    queue.ends[HEAD] = queue.ends[HEAD] + 1 if queue.ends[HEAD] + 1 < len(queue.ring) else 0
    queue.ends[WAITING] -= 1
    queue.queued[item] = 0
    return item  # type: ignore[no-any-return]


@kernel(allocates=False, pasted=True)
def drop_all(queue: Queue) -> None:
    """Look at none of those that wait."""
    while queue.ends[WAITING] > 0:
        dequeue(queue)
