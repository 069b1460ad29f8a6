"""An order under rules for the kernels: a sequence of variants, place 0 pinned, and the search's working memory."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tolerances import RELATIVE_ROUNDING, VANISHING
from pathkit.tour.kernel import work_queue
from pathkit.tour.kernel.candidates import near_both_ways
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import arc
from pathkit.tour.kernel.undo_log import FILL, Log, last, new_log, note
from pathkit.tour.kernel.work_queue import Queue, new_queue
from pathkit.tour.metric import MATRIX

FULL_CUTS = 400  # items up to which every third cut of a move is tried
FULL_CUTS_OF_PLACES = 60  # the same where costs are distances: beside near items lie nearly all cuts that gain
DIGITS = 8  # last digits of the dearest arc by which a sum of a few arcs may be off

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]


class State(NamedTuple):
    """The order and the search's working memory.

    ``excess[v]`` is how much more the arc into variant v costs run backwards, with both its ends reversed, if it comes
    from ``source[v]``. It is worked out where a reversal asks for it: most stretches only move as a whole.
    """

    core: Core
    near: Ints  # (2, n, k) items that can cheaply come directly before an item, and directly after it
    gap: Floats  # (2, n, k) least cost of that
    sequence: Ints  # (n,) variant at each place
    place: Ints  # (n,) of an item
    excess: Floats  # (m,), or (0,) if every arc costs the same backwards
    source: Ints  # (m,)
    rounding: float  # gains below this are rounding
    rewrite_limit: int  # most places one move may rewrite
    kick_limit: int  # most places one perturbation may rewrite
    full_cuts: bool  # every third cut of a move is tried
    queue: Queue  # items to look at
    scratch: Ints  # (2 n,)
    log: Log  # what changes overwrote since the last perturbation


def new_state(core: Core, sequence: Ints, count: int) -> State:
    """A state with a copy of ``sequence`` as its order; ``count`` near items are tried before and after each item."""
    n = len(sequence)
    near = near_both_ways(core, count)
    gap = np.empty(near.shape)
    cheapest(core, near, gap)
    order = np.argsort(gap, axis=2, kind="stable")
    state = State(
        core=core,
        near=np.ascontiguousarray(np.take_along_axis(near, order, axis=2)),
        gap=np.ascontiguousarray(np.take_along_axis(gap, order, axis=2)),
        sequence=sequence.copy(),
        place=np.empty(n, dtype=np.int32),
        excess=np.zeros(0 if core.two_way else len(core.owner)),
        source=np.full(len(core.owner), -1, dtype=np.int32),
        rounding=_rounding(core, gap),
        rewrite_limit=max(25_000, n // 10) if n > 25_000 else n,
        kick_limit=n if n <= 4_000 else 150,
        full_cuts=n <= (FULL_CUTS if core.pricing.kind == MATRIX else FULL_CUTS_OF_PLACES),
        queue=new_queue(n),
        scratch=np.empty(2 * n, dtype=np.int32),
        log=new_log(max(8 * n, 20_000)),
    )
    settle(state)
    return state


def _rounding(core: Core, gap: Floats) -> float:
    """Gains below this are rounding. What stands for a forbidden arc must not set it, but for its own last digits."""
    if core.pricing.kind != MATRIX:
        return RELATIVE_ROUNDING * float(gap.max(initial=0.0)) + VANISHING
    digits = DIGITS * float(np.spacing(gap.max(initial=0.0)))
    return max(RELATIVE_ROUNDING * float(np.median(gap)), digits) + VANISHING


@kernel(allocates=False)
def cheapest(core: Core, near: Ints, gap: Floats) -> None:
    """Write into ``gap`` (2, n, k) the least cost of going from or to each near item."""
    for side in range(2):
        for i in range(near.shape[1]):
            for k in range(near.shape[2]):
                a = near[0, i, k] if side == 0 else i
                b = i if side == 0 else near[1, i, k]
                least = np.inf
                for u in range(core.first[a], core.first[a + 1]):
                    for v in range(core.first[b], core.first[b + 1]):
                        least = min(least, arc(core, u, v))
                gap[side, i, k] = least


@kernel(allocates=False)
def settle(state: State) -> None:
    """Compute places from the sequence."""
    for p in range(len(state.sequence)):
        state.place[state.core.owner[state.sequence[p]]] = p


@kernel(allocates=False)
def turned(core: Core, v: int) -> int:
    """Variant v in the other direction; v itself if it must not be reversed."""
    mate = core.mate[v]
    return mate if mate >= 0 else v


@kernel(allocates=False)
def place_of(state: State, item: int) -> int:
    """Place of an item."""
    return state.place[item]  # type: ignore[no-any-return]


@kernel(allocates=False)
def at(state: State, p: int) -> int:
    """The variant at place p; one past the last place is place 0 again."""
    return state.sequence[p if p < len(state.sequence) else 0]  # type: ignore[no-any-return]


@kernel(allocates=False)
def excess_at(state: State, p: int) -> float:
    """How much more the arc into place p costs backwards; it is worked out unless it is known."""
    core = state.core
    u = state.sequence[p - 1 if p > 0 else len(state.sequence) - 1]
    v = state.sequence[p]
    if state.source[v] != u:
        state.source[v] = u
        state.excess[v] = arc(core, turned(core, v), turned(core, u)) - arc(core, u, v)
    return state.excess[v]  # type: ignore[no-any-return]


@kernel(allocates=False)
def enqueue(state: State, p: int) -> None:
    """Have the item at place p looked at."""
    work_queue.enqueue(state.queue, state.core.owner[at(state, p)])


@kernel(allocates=False)
def write(state: State, i: int, k: int) -> None:
    """Fill the places i to k from the scratch and log the old contents; check `room` first."""
    note(state.log, state.sequence, i, k - i + 1)
    put(state, i, k, 0, state.scratch)


@kernel(allocates=False)
def put(state: State, i: int, k: int, origin: int, source: Ints) -> None:
    """Fill the places i to k from ``source`` and update places."""
    owner = state.core.owner
    for p in range(i, k + 1):
        v = source[origin + p - i]
        state.sequence[p] = v
        state.place[owner[v]] = p


@kernel(allocates=False)
def take_back(state: State) -> None:
    """Undo everything in the log, last change first."""
    while state.log.counters[FILL] > 0:
        origin, i, count = last(state.log)
        put(state, i, i + count - 1, origin, state.log.overwritten)
