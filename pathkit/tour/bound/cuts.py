"""Cutting planes: inequalities that every order satisfies and averages of 1-trees may violate.

A cut counts arcs within sets of variants, and those within several of them as often. It says that an order uses at
most ``most`` of them, plus the number of ``spare`` variants it visits. Each cut has a multiplier: a toll on those arcs,
with half of it given back for leaving a spare variant and half for entering it. Arcs missing from the sparse graph
carry no toll. That only lowers the bound, since no order uses an arc less than zero times.

**Blossoms** (Edmonds 1965). Take a set H of items and an odd number of pairs F, each with one item in H. The arcs
within H number |H| less half of those that leave H. Together with those in F that is at most |H| + |F|/2 and, being a
whole number, at most |H| + (|F| - 1)/2. These cuts exclude averages of two tours' halves that are no tour. `combs` have
sets of items in the place of the pairs.

**Connected variants** (Laporte, Mercure and Nobert 1987; Fischetti, Salazar and Toth 1997). Take a set S of variants
that leaves out some item altogether. An order visits k of them, and its arcs among them form paths: at most k - 1 arcs,
or none if k = 0. So for any u in S the arcs number at most the visits to S without u; and at most one less than the
visits to S if S holds all variants of an item. These cuts join a half-visited variant to the rest, so that a contour
cannot be crossed by visiting half of it from either side.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.bound.combs import Family, blossoms, components, handles, inside, most_inside, support
from pathkit.tour.bound.sparse_graph import Pairs
from pathkit.tour.kernel.core import Core

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

THRESHOLDS = (0.02, 0.1, 0.2, 0.35)  # usages below these count as zero: averages never quite settle
CLEAR = 0.1  # violation from which a cut is worth a multiplier


class Cuts(NamedTuple):
    """Cut c is on the arcs ``arc[at[c] : at[c + 1]]`` of the sparse graph; ``spare`` is stored the same way."""

    at: Ints
    arc: Ints
    spare_at: Ints
    spare: Ints
    most: Floats


@dataclass(frozen=True, eq=False)
class Cut:
    """A cut, stated independently of the sparse graph. ``multiplier`` is its price."""

    sets: tuple[Ints, ...]  # of variants, sorted
    spare: Ints
    most: float
    multiplier: float = 0.0

    @property
    def name(self) -> tuple[bytes, ...]:
        return tuple(own.tobytes() for own in self.sets)


def cut_of(core: Core, family: Family, multiplier: float = 0.0) -> Cut:
    """A comb of items, on all their variants."""
    sets = family
    if len(core.owner) >= len(core.first):
        sets = tuple(_ranges(core.first[own], core.first[own + 1]).astype(np.int32) for own in family)
    return Cut(sets, np.zeros(0, dtype=np.int32), most_inside(family), multiplier)


def renewed(cuts: Sequence[Cut], multiplier: Floats, found: Sequence[Cut]) -> list[Cut]:
    """The cuts with a positive multiplier, and those newly found."""
    held = [replace(cut, multiplier=cost) for cut, cost in zip(cuts, multiplier.tolist(), strict=True) if cost > 0.0]
    known = {cut.name for cut in held}
    return held + [cut for cut in found if cut.name not in known]


def compiled(cuts: list[Cut], pairs: Pairs, m: int) -> Cuts:
    """The cuts as lists of arcs of a sparse graph."""
    # `every_pair` knows no tolls on arcs from one stage to the next
    arcs = pairs.arc_at[pairs.within]
    sets = [own for cut in cuts for own in cut.sets]
    of = np.repeat(np.arange(len(cuts)), [len(cut.sets) for cut in cuts])
    own, arc = inside(m, sets, pairs.tail[:arcs], pairs.head[:arcs])
    at = np.searchsorted(of[own], np.arange(len(cuts) + 1)).astype(np.int32)
    most = np.array([cut.most for cut in cuts], dtype=np.float64)
    return Cuts(at, arc.astype(np.int32), *_pack([cut.spare for cut in cuts]), most)


def _pack(rows: Sequence[NDArray[np.integer]]) -> tuple[Ints, Ints]:
    """Rows as offsets and values."""
    at = np.cumsum([0, *[len(row) for row in rows]]).astype(np.int32)
    return at, np.concatenate([np.zeros(0, dtype=np.int32), *rows]).astype(np.int32)


def _ranges(begin: NDArray[np.integer], end: NDArray[np.integer]) -> NDArray[np.int64]:
    """All whole numbers from each begin up to, not including, its end."""
    size = end - begin
    steps: NDArray[np.int64] = np.arange(int(size.sum())) + np.repeat(begin - np.cumsum(size) + size, size)
    return steps


@kernel(allocates=False)
def levy(cuts: Cuts, multiplier: Floats, toll: Floats, rebate: Floats) -> float:
    """Write the tolls on arcs and the rebates on variants; returns the sum of multipliers times right-hand sides."""
    for k in range(len(toll)):
        toll[k] = 0.0
    for v in range(len(rebate)):
        rebate[v] = 0.0
    worth = 0.0
    for c in range(len(multiplier)):
        if multiplier[c] > 0.0:
            for k in cuts.arc[cuts.at[c] : cuts.at[c + 1]]:
                toll[k] += multiplier[c]
            for v in cuts.spare[cuts.spare_at[c] : cuts.spare_at[c + 1]]:
                rebate[v] += 0.5 * multiplier[c]
            worth += multiplier[c] * cuts.most[c]
    return worth


class Average(NamedTuple):
    """How often the last third of the 1-trees used an arc, visited a variant, or joined it to item 0."""

    usage: Floats
    visits: Floats  # (m,)
    rim: Floats  # (m,)


def broken(core: Core, pairs: Pairs, average: Average, over: Callable[[], bool] = lambda: False) -> list[Cut]:
    """Cuts that an average of 1-trees violates; fewer of them if it is ``over`` before all are found."""
    found: dict[tuple[bytes, ...], Cut] = {}
    total = np.add.reduceat(np.append(average.usage, 0.0), pairs.arc_at[:-1])[: pairs.within]
    total[np.diff(pairs.arc_at[: pairs.within + 1]) == 0] = 0.0
    on = support(len(pairs.at) - 1, pairs.one[: pairs.within], pairs.two[: pairs.within], np.minimum(total, 1.0))
    for nothing in THRESHOLDS:
        if over():
            break
        for family in blossoms(on, handles(on, nothing), CLEAR):
            cut = cut_of(core, family)
            found[cut.name] = cut
        if len(core.owner) > len(pairs.at) - 1:
            for cut in _connected(core, pairs, average, nothing):
                found[cut.name] = cut
    return list(found.values())


class _Grouped:
    """Rows grouped by a key."""

    def __init__(self, key: NDArray[np.integer], rows: NDArray[np.integer]) -> None:
        order = np.argsort(key, kind="stable")
        self.key, self.rows = key[order], rows[order]

    def of(self, key: int) -> NDArray[np.integer]:
        return self.rows[np.searchsorted(self.key, key) : np.searchsorted(self.key, key, side="right")]


def _connected(core: Core, pairs: Pairs, average: Average, nothing: float) -> list[Cut]:
    """Connected components of the variants in use, except that of item 0."""
    m = len(core.owner)
    usage, visits, rim = average
    used = usage > nothing
    at_rim = np.flatnonzero(rim > nothing)
    home = np.zeros(len(at_rim), dtype=np.int64)
    count, label = components(m, np.concatenate([pairs.tail[used], home]), np.concatenate([pairs.head[used], at_rim]))
    size = np.bincount(label, minlength=count)
    size[label[: core.first[1]]] = 0
    inside = np.flatnonzero(label[pairs.tail] == label[pairs.head])
    total = np.bincount(label[pairs.tail[inside]], weights=usage[inside], minlength=count)
    visited = np.bincount(label, weights=visits, minlength=count)
    members = _Grouped(label, np.arange(m))
    cuts = []
    for c in np.flatnonzero((size >= 2) & (total - visited > CLEAR - 1.0)).tolist():
        own = members.of(c).astype(np.int32)
        held = np.bincount(core.owner[own])
        full = bool(np.any((held > 0) & (held == np.diff(core.first)[: len(held)])))
        most_visited = int(np.argmax(visits[own]))
        gain = 1.0 if full else float(visits[own[most_visited]])
        if total[c] - visited[c] + gain > CLEAR:
            spare = own if full else np.delete(own, most_visited)
            cuts.append(Cut((own,), spare, -1.0 if full else 0.0))
    return cuts
