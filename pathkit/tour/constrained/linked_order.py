"""An order as a ring of items linked to their neighbours: taking out and putting in cost the same however long it is.

Which of two items comes first is told by their keys, whole numbers that rise along the order with room between them
(order maintenance: Dietz and Sleator, STOC 1987, in its simplest form). Where the room is used up, all are renumbered.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import arc

Ints = NDArray[np.int32]
Longs = NDArray[np.int64]

ROOM = 1 << 40  # between the keys of neighbours after numbering; with 2**20 items keys stay below 2**60
OUT = -1  # key of an item that is taken out

TAKEN, RENUMBERED, STAMP = range(3)
"""Of ``counters``: items taken out, 1 if keys were renumbered since, the last stamp used."""


class Linked(NamedTuple):
    """The ring, and what was taken out of it, in that order, with where it stood: enough to put all back."""

    core: Core
    near: Ints  # (2, n, k) items that can cheaply come directly before an item, and directly after it
    variant: Ints  # (n,) of an item
    ahead: Ints  # (n,) the next item
    behind: Ints  # (n,) the one before
    key: Longs  # (n,) or OUT
    taken: Ints  # (n,)
    queue: Ints  # (n,) items to put in, in this order
    was_behind: Ints  # (n,) of an item when it was taken out; so are the next two
    was_variant: Ints
    was_key: Longs
    stack: Ints  # (n,)
    stamp: Longs  # (n,)
    counters: Longs  # (3,)
    head: Ints  # (w,) variants with which the piece to put in can begin
    tail: Ints  # (w,) the same, with which it then ends
    inner: NDArray[np.float64]  # (w,) what it then costs inside


def new_linked(core: Core, near: Ints) -> Linked:
    """An empty ring for the items of a problem."""
    n = len(core.first) - 1
    width = max(int(np.diff(core.first).max()), 2)

    def ints(count: int) -> Ints:
        return np.zeros(count, dtype=np.int32)

    def longs(count: int) -> Longs:
        return np.zeros(count, dtype=np.int64)

    return Linked(
        core, near, ints(n), ints(n), ints(n), longs(n), ints(n), ints(n), ints(n), ints(n), longs(n), ints(n),
        longs(n), longs(3), ints(width), ints(width), np.zeros(width),
    )  # fmt: skip


@kernel(allocates=False)
def lay(ring: Linked, sequence: Ints) -> None:
    """Make the ring that of ``sequence`` (n,), with nothing taken out."""
    n = len(sequence)
    owner = ring.core.owner
    for p in range(n):
        item = owner[sequence[p]]
        ring.variant[item] = sequence[p]
        ring.ahead[item] = owner[sequence[p + 1 if p + 1 < n else 0]]
        ring.behind[item] = owner[sequence[p - 1 if p > 0 else n - 1]]
    number(ring)
    ring.counters[TAKEN] = 0


@kernel(allocates=False)
def copy_to(ring: Linked, sequence: Ints) -> None:
    """Write the ring's order into ``sequence``; nothing may be out."""
    item = 0
    for p in range(len(sequence)):
        sequence[p] = ring.variant[item]
        item = ring.ahead[item]


@kernel(allocates=False)
def number(ring: Linked) -> None:
    """Number the keys anew, from 0 at item 0."""
    key = np.int64(0)
    item = 0
    while True:
        ring.key[item] = key
        key += ROOM
        item = ring.ahead[item]
        if item == 0:
            break
    ring.counters[RENUMBERED] = 1


@kernel(allocates=False, pasted=True)
def take_out(ring: Linked, item: int) -> float:
    """Take an item out, not item 0; returns what the order then costs less."""
    core = ring.core
    a = ring.behind[item]
    b = ring.ahead[item]
    v = ring.variant[item]
    ring.taken[ring.counters[TAKEN]] = item
    ring.counters[TAKEN] += 1
    ring.was_behind[item] = a
    ring.was_variant[item] = v
    ring.was_key[item] = ring.key[item]
    ring.ahead[a] = b
    ring.behind[b] = a
    ring.key[item] = OUT
    u = ring.variant[a]
    w = ring.variant[b]
    return arc(core, u, v) + arc(core, v, w) - arc(core, u, w)


@kernel(allocates=False, pasted=True)
def put_in(ring: Linked, item: int, a: int, v: int) -> None:
    """Put an item that is out directly after item ``a``, in variant ``v``."""
    b = ring.ahead[a]
    if b != 0 and ring.key[b] - ring.key[a] < 2:
        number(ring)
    above = ring.key[b] if b != 0 else ring.key[a] + 2 * ROOM
    ring.key[item] = ring.key[a] + (above - ring.key[a]) // 2
    ring.variant[item] = v
    ring.ahead[a] = item
    ring.behind[item] = a
    ring.ahead[item] = b
    ring.behind[b] = item


@kernel(allocates=False)
def restore(ring: Linked) -> None:
    """Put all that was taken out back where it stood, from wherever it is now."""
    count = ring.counters[TAKEN]
    for k in range(count):
        item = ring.taken[k]
        if ring.key[item] != OUT:
            a = ring.behind[item]
            b = ring.ahead[item]
            ring.ahead[a] = b
            ring.behind[b] = a
    for k in range(count - 1, -1, -1):
        item = ring.taken[k]
        a = ring.was_behind[item]
        b = ring.ahead[a]
        ring.ahead[a] = item
        ring.behind[item] = a
        ring.ahead[item] = b
        ring.behind[b] = item
        ring.variant[item] = ring.was_variant[item]
        ring.key[item] = ring.was_key[item]
    if ring.counters[RENUMBERED] == 1:
        number(ring)
    settle(ring)


@kernel(allocates=False, pasted=True)
def settle(ring: Linked) -> None:
    """Forget what was taken out: the order stays as it is."""
    ring.counters[TAKEN] = 0
    ring.counters[RENUMBERED] = 0


@kernel(allocates=False, pasted=True)
def limits(ring: Linked, item: int) -> tuple[int, int]:
    """The last item in the ring that must come before ``item``, and the first that must come after; 0 if none.

    Where a direct predecessor is out, its own predecessors count, and so on; the same for successors.
    """
    core = ring.core
    low = 0
    high = 0
    for side in range(2):
        ring.counters[STAMP] += 1
        stamp = ring.counters[STAMP]
        ring.stack[0] = item
        fill = 1
        while fill > 0:
            fill -= 1
            one = ring.stack[fill]
            begin = core.before_at[one] if side == 0 else core.after_at[one]
            end = core.before_at[one + 1] if side == 0 else core.after_at[one + 1]
            for e in range(begin, end):
                other = core.before[e] if side == 0 else core.after[e]
                key = ring.key[other]
                if key == OUT:
                    if ring.stamp[other] != stamp:
                        ring.stamp[other] = stamp
                        ring.stack[fill] = other
                        fill += 1
                elif side == 0:
                    if key > ring.key[low]:
                        low = other
                elif high == 0 or key < ring.key[high]:
                    high = other
    return low, high
