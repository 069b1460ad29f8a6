"""The order of an earlier job, carried over to a job that was changed."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace
from heapq import heapify, heappop, heappush
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding

if TYPE_CHECKING:
    from pathkit.tour import Problem, Tour

CHECK: Final = "earlier order"
"""Findings about what was kept of an earlier order."""

WORTH: Final = 0.5
"""Percent of its travel that a stretch of a new order must save for the earlier one to be given up there."""

Pairs = Sequence[tuple[int, int]]
Floats = NDArray[np.float64]


def places_in(earlier: Sequence[str], names: Sequence[str]) -> tuple[int | None, ...]:
    """The place of each name in the earlier order, None for a new one. A name that is there twice is taken in turn."""
    known: dict[str, list[int]] = {}
    for place, name in enumerate(earlier):
        known.setdefault(name, []).append(place)
    return tuple(known[name].pop(0) if known.get(name) else None for name in names)


def carried_over(
    place: Sequence[int | None], pairs: Pairs, stage: Sequence[int], entry: Floats, leave: Floats
) -> tuple[int, ...]:
    """An order that keeps the rules, pairs (first before second) and rising stages, and else the earlier order.

    ``place`` is each index's place in the earlier order; None for a new one, which goes where it lengthens the way
    least (entry, leave: (n, 2)). What the rules no longer allow moves back as far as it must.
    """
    known = sorted((at, index) for index, at in enumerate(place) if at is not None)
    order = np.array(_obeying([index for _, index in known], pairs, stage), dtype=np.int64)
    number = np.array(stage, dtype=np.int64)
    before: dict[int, list[int]] = {}
    after: dict[int, list[int]] = {}
    for a, b in pairs:
        before.setdefault(b, []).append(a)
        after.setdefault(a, []).append(b)
    for index in (index for index, at in enumerate(place) if at is None):
        low = int(np.searchsorted(number[order], number[index], "left"))
        high = int(np.searchsorted(number[order], number[index], "right"))
        low = max(low, 1 + int(np.flatnonzero(np.isin(order, before.get(index, ()))).max(initial=-1)))
        high = min(high, int(np.flatnonzero(np.isin(order, after.get(index, ()))).min(initial=len(order))))
        at = low + int(np.argmin(_longer(order, low, high, index, entry, leave))) if low < high else low
        order = np.insert(order, at, index)
    return tuple(_obeying(order.tolist(), pairs, stage))


def _obeying(order: Sequence[int], pairs: Pairs, stage: Sequence[int]) -> list[int]:
    """The order, with what stands too early for the rules moved back as far as it must: always the first that may come
    next is taken. An order that keeps the rules stays as it is."""
    turn = {index: (stage[index], at) for at, index in enumerate(order)}
    behind: dict[int, list[int]] = {}
    waiting = dict.fromkeys(order, 0)
    for a, b in pairs:
        if a in turn and b in turn:
            behind.setdefault(a, []).append(b)
            waiting[b] += 1
    ready = [(turn[index], index) for index in order if waiting[index] == 0]
    heapify(ready)
    done: list[int] = []
    while ready:
        _, index = heappop(ready)
        done.append(index)
        for b in behind.get(index, ()):
            waiting[b] -= 1
            if waiting[b] == 0:
                heappush(ready, (turn[b], b))
    return done


def _longer(order: NDArray[np.int64], low: int, high: int, index: int, entry: Floats, leave: Floats) -> Floats:
    """By how much the way lengthens if ``index`` goes to each of the places from ``low`` to ``high``."""
    to, on, past = np.zeros((3, high - low + 1))
    first, last = max(low, 1), min(high, len(order) - 1)
    behind, ahead = order[first - 1 : high], order[low : last + 1]
    to[first - low :] = np.hypot(*(entry[index] - leave[behind]).T)
    on[: last + 1 - low] = np.hypot(*(entry[ahead] - leave[index]).T)
    inner = slice(first - low, last + 1 - low)
    past[inner] = np.hypot(*(entry[order[first : last + 1]] - leave[order[first - 1 : last]]).T)
    return to + on - past


def spliced(problem: Problem, kept: Tour, found: Tour) -> Tour:
    """The order ``kept``, with those stretches of ``found`` that are worth it; the rest of ``found`` says of it.

    A stretch is as short as can be so that both orders visit the same items in it. It is taken if it saves more than
    `WORTH` percent of its share of the travel.
    """
    order, variants, length = list(kept.order), list(kept.variants), kept.length
    turn = {item: at for at, item in enumerate(found.order)}
    begin = reach = 0
    for at, item in enumerate(kept.order):
        reach = max(reach, turn[item])
        if reach > at:
            continue
        own, begin = slice(begin, at + 1), at + 1
        if tuple(kept.order[own]) == found.order[own]:
            continue
        other = [*order[: own.start], *found.order[own], *order[own.stop :]]
        chosen = [*variants[: own.start], *found.variants[own], *variants[own.stop :]]
        saved = length - problem.length(other, chosen)
        if saved > WORTH / 100.0 * kept.length * (own.stop - own.start) / len(order):
            order, variants, length = other, chosen, length - saved
    length = problem.length(order, variants)
    return replace(found, order=tuple(order), variants=tuple(variants), length=length)


@dataclass(frozen=True)
class KeptOrder:
    """How much of an earlier order a new one kept: ``kept`` of the ``there`` cuts that both have come in the same turn;
    ``new`` cuts were not there before, and ``gone`` ones are no longer there."""

    kept: int
    there: int
    new: int
    gone: int

    @classmethod
    def of(cls, place: Sequence[int | None], order: Sequence[int], earlier: int) -> KeptOrder:
        """``place`` is each index's place in the earlier order of ``earlier`` cuts, ``order`` the new order."""
        tails: list[int] = []  # the longest rising run: a last value for each length (Schensted 1961)
        there = [at for index in order if (at := place[index]) is not None]
        for at in there:
            where = bisect_left(tails, at)
            tails[where : where + 1] = [at]
        return cls(len(tails), len(there), len(order) - len(there), earlier - len(there))

    @property
    def finding(self) -> Finding:
        """It, in a sentence."""
        what = (
            f"cuts in the order of the earlier build: {self.kept} of {self.there}; new cuts: {self.new}, "
            f"cuts no longer there: {self.gone}"
        )
        return Finding(check=CHECK, what=what, severity="note")

    def as_dict(self) -> dict[str, Any]:
        """For figures."""
        return {"kept": self.kept, "there": self.there, "new": self.new, "gone": self.gone}
