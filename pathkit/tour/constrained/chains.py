"""Chains of exchanges on an order with costs as a matrix and one variant an item; rules may be broken on the way.

Random costs have deep basins that single exchanges do not leave. A chain (Lin and Kernighan, Operations Research 21(2),
1973; without reversals for asymmetric costs: Kanellakis and Papadimitriou, Operations Research 28(5), 1980) swaps two
neighbouring stretches again and again. Each swap removes the arc that closed the last one, so that what follows may pay
for it. A broken rule costs a penalty instead of being forbidden: the way between two good orders often leads through
orders that break one. Only orders that keep all rules are handed back.

Gains are counted in reduced costs: what an assignment of successors takes off every row and column (Burkard, Dell'Amico
and Martello, Assignment Problems, 2009) changes all orders alike, and the arcs of good orders then cost nearly nothing.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.kernel.acceptance import allows
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import arc, draw, total
from pathkit.tour.kernel.work_queue import WAITING, Queue, dequeue, drop_all, enqueue, new_queue
from pathkit.tour.metric import MATRIX

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

NEAR = 8  # items that may come next after an item, or before it
BREADTH = (5, 3, 1)  # swaps that are tried at each step of a chain
LONGEST = 30  # longest stretch that a kick moves
SHORT = 6  # the same, half the time
TRIES = 50  # attempts at a kick before it is given up

BROKEN, KEPT = range(2)
"""Of ``counters``: rules that the order breaks, and kicks after which it broke none."""


class Chained(NamedTuple):
    """An order and what a search by chains needs."""

    core: Core
    near: Ints  # (2, n, k) items that can cheaply come directly before an item, and directly after it
    sequence: Ints  # (n,) item at each place, item 0 first
    place: Ints  # (n,) of an item
    scratch: Ints  # (n,)
    queue: Queue
    counters: NDArray[np.int64]  # (2,)
    breadth: Ints  # (d,) swaps that are tried at each step
    cuts: Ints  # (d, b, 3) swaps to try at each step, best first
    opened: Floats  # (d, b) what each gains before the chain is closed
    listed: Ints  # (d,) how many there are
    used: Ints  # (d,) how many were tried
    saved: Ints  # (n,) the order to go back to


def suits(core: Core) -> bool:
    """Whether costs are a matrix, every item has one variant, and there are no stages."""
    n = len(core.first) - 1
    return core.pricing.kind == MATRIX and len(core.owner) == n > NEAR and bool(np.all(core.low[1:] == 1))


def new_chained(core: Core, dear: float) -> Chained:
    """Room for the search; `search_chains` is handed the order. No arc of a good order costs as much as ``dear``."""
    n = len(core.owner)
    costs = reduced(core.costs, dear)
    own = core._replace(costs=costs.copy())
    np.fill_diagonal(costs, np.inf)
    both = [np.argsort(table, axis=1, kind="stable")[:, :NEAR] for table in (costs.T, costs)]
    depth, most = len(BREADTH), max(BREADTH)

    def ints(*shape: int) -> Ints:
        return np.zeros(shape, dtype=np.int32)

    return Chained(
        own, np.ascontiguousarray(np.stack(both).astype(np.int32)), ints(n), ints(n), ints(n), new_queue(n),
        np.zeros(2, dtype=np.int64), np.array(BREADTH, dtype=np.int32), ints(depth, most, 3),
        np.zeros((depth, most)), ints(depth), ints(depth), ints(n),
    )  # fmt: skip


def reduced(costs: Floats, dear: float) -> Floats:
    """Costs (n, n) less the duals of their assignment problem, in which arcs above ``dear`` count as that.

    None is below zero but for rounding; the diagonal is 0. The duals of the columns are the shortest ways among the
    rows after the assignment, found as Bellman and Ford do.
    """
    from scipy.optimize import linear_sum_assignment

    n = len(costs)
    capped = np.minimum(costs, dear)
    np.fill_diagonal(capped, n * dear)
    rows, columns = linear_sum_assignment(capped)
    assigned = capped[rows, columns]
    beyond = capped - assigned[:, None]
    column = np.zeros(n)
    for _ in range(n):
        lower = np.minimum(column, (column[columns][:, None] + beyond).min(axis=0))
        if np.array_equal(lower, column):
            break
        column = lower
    row = assigned - column[columns]
    less: Floats = costs - row[:, None] - column[None, :]
    np.fill_diagonal(less, 0.0)
    return less


@kernel(allocates=False)
def search_chains(
    own: Chained,
    sequence: Ints,
    best: Ints,
    random: NDArray[np.uint64],
    heat: float,
    penalty: float,
    rounding: float,
    rounds: int,
) -> None:
    """Kick ``sequence`` (n,) many times, each time with a descent; ``heat`` says what may cost more.

    Every broken rule costs ``penalty``. ``best`` becomes the cheapest order seen that breaks none; it must break none.
    Gains below ``rounding`` are none. ``counters[KEPT]`` then says after how many kicks the order broke no rule.
    """
    lay(own, sequence)
    lowest = total(own.core, best)
    for p in range(len(sequence)):
        enqueue(own.queue, sequence[p])
    own.counters[KEPT] = 0
    cost = total(own.core, sequence) + penalty * own.counters[BROKEN]
    copy(sequence, own.saved)
    broken = own.counters[BROKEN]
    most = 25.0 * heat + 25.0 * penalty  # nothing that costs more would be accepted
    for number in range(rounds + 1):
        rise = kick(own, random, penalty, most) if number > 0 else 0.0
        rise -= descend(own, penalty, rounding)
        if allows(heat, rise, random):
            cost += rise
            copy(own.sequence, own.saved)
            broken = own.counters[BROKEN]
            if broken == 0 and cost < lowest - rounding:
                copy(own.sequence, best)
                lowest = total(own.core, best)
                cost = lowest
        else:
            copy(own.saved, own.sequence)
            own.counters[BROKEN] = broken
            for p in range(len(sequence)):
                own.place[own.saved[p]] = p
        if broken == 0 and number > 0:
            own.counters[KEPT] += 1
    drop_all(own.queue)
    copy(own.sequence, sequence)


@kernel(allocates=False, pasted=True)
def copy(source: Ints, target: Ints) -> None:
    """Copy all; a slice would allocate."""
    for p in range(len(source)):
        target[p] = source[p]


@kernel(allocates=False)
def lay(own: Chained, sequence: Ints) -> None:
    """Take the order and count the rules that it breaks."""
    core = own.core
    copy(sequence, own.sequence)
    for p in range(len(sequence)):
        own.place[sequence[p]] = p
    broken = 0
    for item in range(len(sequence)):
        for e in range(core.after_at[item], core.after_at[item + 1]):
            broken += own.place[core.after[e]] < own.place[item]
    own.counters[BROKEN] = broken


@kernel(allocates=False)
def more_broken(own: Chained, i: int, j: int, k: int) -> int:
    """How many more rules are broken if the stretches from i to j and from j + 1 to k are swapped."""
    core = own.core
    first = j - i <= k - j - 1
    low = j + 1 if first else i
    high = k if first else j
    after = 0
    before = 0
    for p in range(i if first else j + 1, (j if first else k) + 1):
        item = own.sequence[p]
        for e in range(core.after_at[item], core.after_at[item + 1]):
            after += low <= own.place[core.after[e]] <= high
        for e in range(core.before_at[item], core.before_at[item + 1]):
            before += low <= own.place[core.before[e]] <= high
    return after - before if first else before - after


@kernel(allocates=False)
def swap(own: Chained, i: int, j: int, k: int) -> None:
    """Swap the stretches from i to j and from j + 1 to k, and count the rules that are then broken."""
    own.counters[BROKEN] += more_broken(own, i, j, k)
    for p in range(i, j + 1):
        own.scratch[p - i] = own.sequence[p]
    fill = i
    for p in range(j + 1, k + 1):
        own.sequence[fill] = own.sequence[p]
        fill += 1
    for p in range(j - i + 1):
        own.sequence[fill + p] = own.scratch[p]
    for p in range(i, k + 1):
        own.place[own.sequence[p]] = p


@kernel(allocates=False, pasted=True)
def queue_ends(own: Chained, i: int, j: int, k: int) -> None:
    """Have the items looked at into which the arcs of a swap that was carried out lead, and those that they leave."""
    n = len(own.sequence)
    m = i + k - j
    for p in (i - 1, i, m - 1, m, k, k + 1 if k + 1 < n else 0):
        enqueue(own.queue, own.sequence[p])


@kernel(allocates=False)
def list_swaps(own: Chained, base: int, opened: float, step: int, penalty: float) -> None:
    """The best swaps that remove the arc into item ``base``; ``opened`` is the gain so far and the cost of that arc."""
    core = own.core
    n = len(own.sequence)
    most = own.breadth[step]
    p = own.place[base] - 1 if own.place[base] > 0 else n - 1
    # where a rule is broken, what mends it may pay for dear arcs
    slack = penalty if step == 0 and own.counters[BROKEN] > 0 else 0.0
    own.listed[step] = 0
    own.used[step] = 0
    for s in range(own.near.shape[2]):
        v = own.near[1, own.sequence[p], s]
        worth = opened - arc(core, own.sequence[p], v)
        if worth + slack <= 0.0:
            break
        q = own.place[v] if own.place[v] > 0 else n
        if v == base:
            continue
        behind = own.sequence[q - 1]
        worth += arc(core, behind, v)
        for r in range(2 * own.near.shape[2]):
            if r & 1 == 0:
                k = own.place[own.near[1, behind, r >> 1]] - 1
                if k < 0:
                    k = n - 1
            else:
                k = own.place[own.near[0, base, r >> 1]]
            x = own.sequence[k]
            y = own.sequence[k + 1 if k + 1 < n else 0]
            gain = worth + arc(core, x, y) - arc(core, behind, y)
            full = own.listed[step] == most
            if gain + slack <= (own.opened[step, most - 1] if full else 0.0):
                continue
            if q < p + 1:
                if not q <= k < p:
                    continue
                note_swap(own, step, gain, q, k, p, penalty)
            elif k >= q:
                note_swap(own, step, gain, p + 1, q - 1, k, penalty)
            elif k < p:
                note_swap(own, step, gain, k + 1, p, q - 1, penalty)


@kernel(allocates=False)
def note_swap(own: Chained, step: int, gain: float, i: int, j: int, k: int, penalty: float) -> None:
    """Insert a swap among the best of a step, if it is among them and not there already."""
    count = own.listed[step]
    for z in range(count):
        if own.cuts[step, z, 0] == i and own.cuts[step, z, 1] == j and own.cuts[step, z, 2] == k:
            return
    gain -= penalty * more_broken(own, i, j, k)
    z = count
    if count == own.breadth[step]:
        z = count - 1
        if gain <= own.opened[step, z]:
            return
    if gain <= 0.0:
        return
    own.listed[step] = z + 1
    while z > 0 and own.opened[step, z - 1] < gain:
        own.opened[step, z] = own.opened[step, z - 1]
        for c in range(3):
            own.cuts[step, z, c] = own.cuts[step, z - 1, c]
        z -= 1
    own.opened[step, z] = gain
    own.cuts[step, z, 0] = i
    own.cuts[step, z, 1] = j
    own.cuts[step, z, 2] = k


@kernel(allocates=False)
def chain(own: Chained, base: int, penalty: float, rounding: float) -> float:
    """Look for a chain that begins with the arc into item ``base``; the first that gains is carried out.

    Returns its gain; 0 if there is none, and the order is as it was.
    """
    core = own.core
    n = len(own.sequence)
    before = own.sequence[own.place[base] - 1 if own.place[base] > 0 else n - 1]
    step = 0
    list_swaps(own, base, arc(core, before, base), 0, penalty)
    while step >= 0:
        z = own.used[step]
        if z == own.listed[step]:
            step -= 1
            if step >= 0:
                take_back(own, step)
            continue
        own.used[step] += 1
        swap(own, own.cuts[step, z, 0], own.cuts[step, z, 1], own.cuts[step, z, 2])
        before = own.sequence[own.place[base] - 1 if own.place[base] > 0 else n - 1]
        gain = own.opened[step, z] - arc(core, before, base)
        if gain > rounding:
            for s in range(step + 1):
                z = own.used[s] - 1
                queue_ends(own, own.cuts[s, z, 0], own.cuts[s, z, 1], own.cuts[s, z, 2])
            return gain  # type: ignore[no-any-return]
        if step + 1 < len(own.breadth):
            opened = own.opened[step, z]
            step += 1
            list_swaps(own, base, opened, step, penalty)
        else:
            take_back(own, step)
    return 0.0


@kernel(allocates=False)
def take_back(own: Chained, step: int) -> None:
    """Undo the swap of a step."""
    z = own.used[step] - 1
    i = own.cuts[step, z, 0]
    k = own.cuts[step, z, 2]
    swap(own, i, i + k - own.cuts[step, z, 1] - 1, k)


@kernel(allocates=False)
def descend(own: Chained, penalty: float, rounding: float) -> float:
    """Carry out chains until no queued item has one that gains; returns the gain."""
    gained = 0.0
    while own.queue.ends[WAITING] > 0:
        item = dequeue(own.queue)
        while True:
            gain = chain(own, item, penalty, rounding)
            if gain == 0.0:
                break
            gained += gain
    return gained


@kernel(allocates=False)
def kick(own: Chained, random: NDArray[np.uint64], penalty: float, most: float) -> float:
    """Swap two neighbouring stretches at random, for at most ``most``; returns what the order then costs more."""
    core = own.core
    n = len(own.sequence)
    for _ in range(TRIES):
        longest = LONGEST if draw(random, 2) == 0 else SHORT
        i = 1 + draw(random, n - 2)
        j = i + draw(random, longest)
        k = j + 1 + draw(random, longest)
        if k >= n:
            continue
        a = own.sequence[i - 1]
        b = own.sequence[k + 1 if k + 1 < n else 0]
        rise = arc(core, a, own.sequence[j + 1]) + arc(core, own.sequence[k], own.sequence[i])
        rise += arc(core, own.sequence[j], b) - arc(core, a, own.sequence[i])
        rise -= arc(core, own.sequence[j], own.sequence[j + 1]) + arc(core, own.sequence[k], b)
        if rise > most:
            continue
        before = own.counters[BROKEN]
        swap(own, i, j, k)
        queue_ends(own, i, j, k)
        return rise + penalty * (own.counters[BROKEN] - before)  # type: ignore[no-any-return]
    return 0.0
