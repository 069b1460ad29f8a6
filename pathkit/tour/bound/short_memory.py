"""Lower bounds on the cheapest path through a few items with many variants, for each variant that it may begin with.

A path that remembers where it has been never comes back; one with a short memory may. Each item remembers a few items
near it, itself among them: a path at an item knows of those it has passed since it last was at an item that did not
remember them (ng-paths: Baldacci, Mingozzi and Roberti, Operations Research 59(5), 2011). Every order is such a path
through as many items, so the cheapest of them is a lower bound; if all items are remembered, it is an order. Dynamic
programming over (memory, variant) finds it, and leaves each item by the variant it came to: no contour is crossed for
nothing.

Items that paths leave out are made cheaper and items that they visit twice dearer: whatever is added to an item is paid
once by every order, and subtracted again. So the bound holds for any such weights. A subgradient ascent finds good ones
with little memory; with them the path is sought once more with as much as there is time for.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tolerances import RELATIVE_ROUNDING
from pathkit.tour.stopping import Stopping

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

ALL = 12  # items that are all remembered
MOST, LEAST = 9, 4  # items remembered otherwise
WORK = 2e9  # additions of one run with all the memory there is time for; about two seconds
PACE = 1e9  # additions in a second
SHARE = 0.1  # of the seconds that a search may take with its bound: in each run so many additions at most
TUNING = 60  # steps of the ascent, with as much memory as all of them together can have in the same time
PATIENCE = 4  # steps without a better value before they become shorter
REACH = 0.05  # first step: towards a value higher by this part
SHORTER = 0.6


class Stretch(NamedTuple):
    """Items to be visited one after the other, each by one of its variants."""

    first: Ints  # (n + 1,) variants of item i are first[i] : first[i + 1]
    cost: Floats  # (m, m) of going from a variant to another, inf if not allowed
    enter: Floats  # (m,) what it costs at least to come to a variant as the first; inf if it cannot be
    leave: Floats  # (m,) of going on from a variant as the last


def affordable(items: int, variants: int, stopping: Stopping) -> bool:
    """Whether `least_after` has the time that it needs."""
    room = _memory(items, variants, _room(stopping))
    return remembers_all(items, variants, stopping) or room >= LEAST


def remembers_all(items: int, variants: int, stopping: Stopping) -> bool:
    """Whether `least_after` has time to remember all items, so that its bounds are what the cheapest orders cost."""
    return items <= ALL and _work(items, variants, items) <= _room(stopping)


def _room(stopping: Stopping) -> float:
    """Additions of one run. They hang on the time that was granted, not on what is left of it: that differs from run to
    run."""
    return WORK if stopping.seconds is None else min(WORK, SHARE * PACE * stopping.seconds)


def _work(items: int, variants: int, memory: int) -> float:
    """Additions of one run; with whole memory each set is met after one number of items."""
    return (1.0 if memory == items else items / 2.0) * 2.0**memory * variants * variants / 2.0


def _memory(items: int, variants: int, work: float) -> int:
    """How many items may be remembered."""
    return next((g for g in range(min(MOST, items), 0, -1) if _work(items, variants, g) <= work), 0)


def least_after(own: Stretch, stopping: Stopping) -> Floats:
    """(m,) for each variant a lower bound on the way from it, as the first, through all other items and on."""
    n, m = len(own.first) - 1, len(own.leave)
    weight, room = np.zeros(n), _room(stopping)
    if remembers_all(n, m, stopping):
        return _run(own, n, weight, walks=False)[0]
    small = _memory(n, m, room / TUNING)
    if small >= 2:
        weight = _tuned(own, small, stopping)
    return _run(own, _memory(n, m, room), weight, walks=False)[0]


def _tuned(own: Stretch, memory: int, stopping: Stopping) -> Floats:
    """Weights of the items that raise the cheapest way through all of them, from where it may begin."""
    n = len(own.first) - 1
    owner = np.repeat(np.arange(n), np.diff(own.first))
    weight = best = np.zeros(n)
    highest, reach, idle, drift = -np.inf, REACH, 0, np.zeros(n)
    for _ in range(TUNING):
        after, came = _run(own, memory, weight, walks=True)
        total = own.enter + after
        begin = int(np.argmin(total))
        idle += 1
        if total[begin] > highest:
            highest, best, idle = float(total[begin]), weight, 0
        if idle >= PATIENCE:
            reach, idle, weight = reach * SHORTER, 0, best
        slope = np.bincount(owner[_walk(came, begin)], minlength=n) - 1.0
        if not np.any(slope) or not np.isfinite(highest) or stopping.over():
            break
        drift = 0.5 * drift + slope
        aim = highest + reach * abs(highest) - float(total[begin])
        weight = weight + drift * (aim / float(slope @ slope))
    return best


def _walk(came: tuple[Ints, Ints], begin: int) -> list[int]:
    """The variants of the cheapest path that begins with a variant."""
    step, last = came
    at, path = int(last[begin]), [begin]
    m = step.shape[2]
    for k in range(len(step) - 1, 0, -1):
        at = int(step[k, at // m, at % m])
        path.append(at % m)
    return path


def _run(own: Stretch, memory: int, weight: Floats, *, walks: bool) -> tuple[Floats, tuple[Ints, Ints]]:
    """For each variant the cheapest path from it, less the weights; with ``walks`` also how each state was come to."""
    n, m = len(own.first) - 1, len(own.leave)
    sets = 1 << memory
    carry = _carried(own, memory)
    step = np.zeros((n, sets, m) if walks else (0, 0, 0), dtype=np.int32)
    value = np.full((2, sets, m), np.inf)
    after = np.empty(m)
    last = np.zeros(m, dtype=np.int32)
    # Backwards from the end: going from u to v is then a step from v to u.
    back = np.ascontiguousarray(own.cost.T)
    owner = np.repeat(np.arange(n, dtype=np.int32), np.diff(own.first))
    paths(own.first, owner, back, own.leave, weight, carry, value, step, after, last)
    finite = after[np.isfinite(after)]
    rounding = RELATIVE_ROUNDING * (float(np.abs(finite).max(initial=0.0)) + n * float(np.abs(weight).max(initial=0.0)))
    return after - float(weight.sum()) - rounding, (step, last)


def _carried(own: Stretch, memory: int) -> Ints:
    """(n, n, sets) what item j remembers after item i remembered a set; -1 if i remembers j. Bit 0 is the item itself.

    The items nearest to it by their cheapest way in either direction are remembered.
    """
    n = len(own.first) - 1
    least = np.minimum.reduceat(np.minimum.reduceat(own.cost, own.first[:-1], axis=0), own.first[:-1], axis=1)
    least = np.minimum(least, least.T)
    np.fill_diagonal(least, -np.inf)
    known = np.argsort(least, axis=1, kind="stable")[:, :memory]  # (n, memory), each item first
    bit = np.full((n, n), -1)
    np.put_along_axis(bit, known, np.arange(memory)[None, :].repeat(n, axis=0), axis=1)
    sets = np.arange(1 << memory)
    carry = np.zeros((n, n, len(sets)), dtype=np.int32)
    for i in range(n):
        for place, item in enumerate(known[i].tolist()):
            held = (sets >> place) & 1
            moved = np.where(bit[:, item] >= 0, 1 << np.maximum(bit[:, item], 0), 0)
            carry[i] |= (moved[:, None] * held).astype(np.int32)
            carry[i, item, held == 1] = -1 - (1 << 30)
    carry |= 1
    carry[carry < 0] = -1
    carry[np.arange(n), np.arange(n)] = -1
    return carry


@kernel(allocates=False)
def paths(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    first: Ints,
    owner: Ints,
    back: Floats,
    leave: Floats,
    weight: Floats,
    carry: Ints,
    value: Floats,
    step: NDArray[np.int32],
    after: Floats,
    last: Ints,
) -> None:
    """Write the cost of the cheapest path through as many items as there are from each variant to the end.

    ``value[k % 2, s, v]`` is the cheapest path from variant v after k further items, with the memory s; ``step`` (if
    there is room for each k) how it was come to, as set * variants + variant, and ``last`` the same for ``after``.
    """
    n = len(first) - 1
    sets = value.shape[1]
    m = value.shape[2]
    kept = step.shape[0] == n
    for v in range(m):
        value[0, 1, v] = leave[v] + weight[owner[v]]
    for k in range(1, n):
        old = value[(k - 1) % 2]
        new = value[k % 2]
        for s in range(sets):
            for v in range(m):
                new[s, v] = np.inf
        for s in range(1, sets, 2):
            for v in range(m):
                a = old[s, v]
                if a == np.inf:
                    continue
                i = owner[v]
                for j in range(n):
                    t = carry[i, j, s]
                    if t < 0:
                        continue
                    more = a + weight[j]
                    for u in range(first[j], first[j + 1]):
                        cost = more + back[v, u]
                        if cost < new[t, u]:
                            new[t, u] = cost
                            if kept:
                                step[k, t, u] = s * m + v
    done = value[(n - 1) % 2]
    for v in range(m):
        after[v] = np.inf
        for s in range(1, sets, 2):
            if done[s, v] < after[v]:
                after[v] = done[s, v]
                last[v] = s * m + v
