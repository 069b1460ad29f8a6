"""Annealed proposals for orders of up to a few hundred items whose costs are given as a matrix.

A proposal is an or-3opt move (two neighbouring blocks change places: the move of sequential ordering,
Gambardella and Dorigo, INFORMS J. Computing 12(3), 2000), the reversal of a block run by run, or another variant for
an item. A block moves only as far as the successors and predecessors of its items allow, so that every order on the way
is valid.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tolerances import RELATIVE_ROUNDING
from pathkit.tour.constrained.block_reversal import reverse_into, reversed_rise, split
from pathkit.tour.kernel.acceptance import allows
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import arc, draw, total

Ints = NDArray[np.int32]
Floats = NDArray[np.float64]

RUNS = 100  # longest block that is reversed
BLOCK = 50  # longest block that is moved far
SIGHT = 100  # farthest distance of a move that does not aim at a near item


@kernel(allocates=False)
def anneal(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    core: Core,
    near: NDArray[np.int32],
    sequence: Ints,
    best: Ints,
    place: Ints,
    scratch: Ints,
    random: NDArray[np.uint64],
    heat: float,
    proposals: int,
) -> float:
    """Change ``sequence`` at a temperature; keep the cheapest seen in ``best``.

    Returns the cost of ``best``. Acceptance uses only + - * / and sqrt, so that every machine decides alike.
    """
    n = len(sequence)
    for p in range(n):
        place[core.owner[sequence[p]]] = p
    cost = total(core, sequence)
    lowest = total(core, best)
    rounding = RELATIVE_ROUNDING * (1.0 + lowest)
    choices = len(core.owner) > n
    for _ in range(proposals):
        kind = draw(random, 16)
        if choices and kind < 5:
            gain = try_variant(core, sequence, random, heat)
        elif kind < 6 if choices else kind < 2:
            gain = try_runs(core, near, sequence, place, scratch, random, heat)
        else:
            gain = try_or3_at_random(core, near, sequence, place, scratch, random, heat)
        if gain != 0.0:
            cost -= gain
            if cost < lowest - rounding:
                lowest = cost
                for p in range(n):
                    best[p] = sequence[p]
    return total(core, best)


@kernel(allocates=False)
def try_variant(core: Core, sequence: Ints, random: NDArray[np.uint64], heat: float) -> float:
    """Try another variant at a random place; returns the gain, 0 if nothing was changed."""
    n = len(sequence)
    p = draw(random, n)
    v = sequence[p]
    item = core.owner[v]
    count = core.first[item + 1] - core.first[item]
    if count == 1:
        return 0.0
    w = core.first[item] + draw(random, count)
    if n == 1 or w == v:
        return 0.0
    u = sequence[p - 1 if p > 0 else n - 1]
    x = sequence[p + 1 if p + 1 < n else 0]
    rise = arc(core, u, w) + arc(core, w, x) - arc(core, u, v) - arc(core, v, x)
    if not allows(heat, rise, random):
        return 0.0
    sequence[p] = w
    return -rise


@kernel(allocates=False)
def try_runs(
    core: Core,
    near: NDArray[np.int32],
    sequence: Ints,
    place: Ints,
    scratch: Ints,
    random: NDArray[np.uint64],
    heat: float,
) -> float:
    """Reverse a block run by run so that a random item comes to lie beside one of its near items."""
    n = len(sequence)
    a = 1 + draw(random, n - 1)
    b = 1 + draw(random, n - 1)
    if draw(random, 4) > 0:
        b = place[near[draw(random, 2), core.owner[sequence[a]], draw(random, near.shape[2])]]
    i = min(a, b)
    j = max(a, b)
    if draw(random, 2) == 0:
        i += 1
    else:
        j -= 1
    if i < 1 or i >= j or j - i >= RUNS or core.high[core.owner[sequence[i]]] < j:
        return 0.0
    count = split(core, sequence, place, scratch, i, j)
    if count == 1:
        return 0.0
    rise = reversed_rise(core, sequence, scratch, count)
    if not allows(heat, rise, random):
        return 0.0
    reverse_into(core, sequence, scratch, count)
    for p in range(i, j + 1):
        v = scratch[p - i]
        sequence[p] = v
        place[core.owner[v]] = p
    return -rise


@kernel(allocates=False)
def block_range(core: Core, sequence: Ints, place: Ints, i: int, j: int) -> tuple[int, int]:
    """First and last place to which precedence and stages let the block from i to j move."""
    item = core.owner[sequence[i]]
    low = core.low[item]
    high = core.high[item]
    if high < j:
        return i, j
    for p in range(i, j + 1):
        item = core.owner[sequence[p]]
        for e in range(core.after_at[item], core.after_at[item + 1]):
            q = place[core.after[e]]
            if q > j:
                high = min(high, q - 1)
        for e in range(core.before_at[item], core.before_at[item + 1]):
            q = place[core.before[e]]
            if q < i:
                low = max(low, q + 1)
    return low, high


# One loop over one move: its parts share a dozen numbers.
@kernel(allocates=False)
def try_or3_at_random(
    core: Core,
    near: Ints,
    sequence: Ints,
    place: Ints,
    scratch: Ints,
    random: NDArray[np.uint64],
    heat: float,
) -> float:
    """Move a block to another place; a single item takes its best variant there."""
    n = len(sequence)
    if n < 3:
        return 0.0
    i = 1 + draw(random, n - 1)
    span = draw(random, 8)
    if span < 4:
        j = i
    elif span < 5:
        j = i + draw(random, 3)
    elif span < 7:
        # the block between an item and one of its near successors
        j = place[near[1, core.owner[sequence[i - 1]], draw(random, near.shape[2])]] - 1
    else:
        j = i + draw(random, min(BLOCK, n))
    if j >= n or j < i:
        return 0.0
    low, high = block_range(core, sequence, place, i, j)
    if low >= i and high <= j:
        return 0.0
    if draw(random, 2) == 0:
        # beside a near item: the block's first item directly after it, or the block's last item directly before it
        if draw(random, 2) == 0:
            gap = place[near[0, core.owner[sequence[i]], draw(random, near.shape[2])]]
        else:
            gap = place[near[1, core.owner[sequence[j]], draw(random, near.shape[2])]] - 1
    else:
        low = max(low, i - SIGHT)
        high = min(high, j + SIGHT)
        gap = low - 1 + draw(random, high - low + 2)
    if gap < low - 1 or gap > high or (gap >= i - 1 and gap <= j):
        return 0.0
    u = sequence[i - 1]
    x = sequence[j + 1 if j + 1 < n else 0]
    y = sequence[gap]
    z = sequence[gap + 1 if gap + 1 < n else 0]
    rise = arc(core, u, x) - arc(core, u, sequence[i]) - arc(core, sequence[j], x) - arc(core, y, z)
    v = sequence[i]
    if i == j:
        item = core.owner[v]
        cheapest = np.inf
        for w in range(core.first[item], core.first[item + 1]):
            cost = arc(core, y, w) + arc(core, w, z)
            if cost < cheapest:
                cheapest = cost
                v = w
        rise += cheapest
    else:
        rise += arc(core, y, v) + arc(core, sequence[j], z)
    if not allows(heat, rise, random):
        return 0.0
    sequence[i] = v
    if gap > j:
        or3_move_in(core, sequence, place, scratch, i, j, gap)
    else:
        or3_move_in(core, sequence, place, scratch, gap + 1, i - 1, j)
    return -rise


@kernel(allocates=False)
def or3_move_in(core: Core, sequence: Ints, place: Ints, scratch: Ints, i: int, j: int, k: int) -> None:
    """Swap the blocks from i to j and from j + 1 to k."""
    left = j - i + 1
    right = k - j
    if left <= right:
        for p in range(left):
            scratch[p] = sequence[i + p]
        for p in range(i, i + right):
            sequence[p] = sequence[p + left]
        for p in range(left):
            sequence[i + right + p] = scratch[p]
    else:
        for p in range(right):
            scratch[p] = sequence[j + 1 + p]
        for p in range(k, k - left, -1):
            sequence[p] = sequence[p - right]
        for p in range(right):
            sequence[i + p] = scratch[p]
    for p in range(i, k + 1):
        place[core.owner[sequence[p]]] = p
