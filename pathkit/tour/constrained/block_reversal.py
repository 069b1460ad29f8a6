"""Reversing a stretch run by run: items that precedence ties together keep their order.

A run is the shortest stretch such that no precedence leads from it to the rest of the block, such as a part's pocket,
holes and outline. Precedence would forbid reversing them item by item; reversing run by run lets a row of parts be cut
in the other direction.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.constrained.state import turned
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import arc

Ints = NDArray[np.int32]


@kernel(allocates=False)
def split(core: Core, sequence: Ints, place: Ints, scratch: Ints, i: int, j: int) -> int:
    """Cut the stretch from i to j into runs; their first places go to the upper half of ``scratch``, then j + 1.

    Returns the number of runs.
    """
    n = len(sequence)
    count = 0
    p = i
    while p <= j:
        scratch[n + count] = p
        count += 1
        last = p
        while p <= last:
            item = core.owner[sequence[p]]
            for e in range(core.after_at[item], core.after_at[item + 1]):
                q = place[core.after[e]]
                if last < q <= j:
                    last = q
            p += 1
    scratch[n + count] = j + 1
    return count


@kernel(allocates=False)
def reversed_rise(core: Core, sequence: Ints, scratch: Ints, count: int) -> float:
    """How much more the order costs with the runs from `split` in reverse; a run of one item is reversed itself."""
    n = len(sequence)
    i = scratch[n]
    j = scratch[n + count] - 1
    x = sequence[j + 1 if j + 1 < n else 0]
    before = sequence[i - 1]
    old = before
    rise = 0.0
    for r in range(count):
        a = scratch[n + count - 1 - r]
        b = scratch[n + count - r] - 1
        head = sequence[a] if a < b else turned(core, sequence[a])
        rise += arc(core, before, head)
        before = sequence[b] if a < b else head
        rise -= arc(core, old, sequence[scratch[n + r]])
        old = sequence[scratch[n + r + 1] - 1]
    return rise + arc(core, before, x) - arc(core, old, x)


@kernel(allocates=False)
def reverse_into(core: Core, sequence: Ints, scratch: Ints, count: int) -> None:
    """Write the stretch with its runs in reverse order into the lower half of ``scratch``."""
    n = len(sequence)
    fill = 0
    for r in range(count - 1, -1, -1):
        a = scratch[n + r]
        b = scratch[n + r + 1] - 1
        for p in range(a, b + 1):
            scratch[fill] = sequence[p] if a < b else turned(core, sequence[p])
            fill += 1
