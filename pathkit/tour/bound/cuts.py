"""Cutting planes: inequalities that every order satisfies and averages of 1-trees may violate.

A cut says that an order uses at most ``most`` of certain arcs, plus the number of ``spare`` variants it visits. Each
cut has a multiplier: a toll on those arcs, with half of it given back for leaving a spare variant and half for entering
it. Arcs missing from the list carry no toll. That only lowers the bound, since no order uses an arc less than zero
times.

**Blossoms** (Edmonds 1965). Take a set H of items and an odd number of pairs F, each with one item in H. The arcs
within H number |H| less half of those that leave H. Together with those in F that is at most |H| + |F|/2 and, being a
whole number, at most |H| + (|F| - 1)/2. These cuts exclude averages of two tours' halves that are no tour.

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
from pathkit.tour.bound.sparse_graph import Pairs, each_once
from pathkit.tour.kernel.core import Core

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

THRESHOLDS = (0.02, 0.1, 0.2, 0.35)  # usages below these count as zero: averages never quite settle
LARGE = 400  # most items in a handle
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
    """A cut, stated independently of the sparse graph: by the pairs of items it is on, or by the variants it joins.

    ``multiplier`` is its price.
    """

    pairs: NDArray[np.int64]  # one * n + two
    variants: Ints
    spare: Ints
    most: float
    multiplier: float = 0.0

    @property
    def name(self) -> bytes:
        return self.pairs.tobytes() + b"/" + self.variants.tobytes()


def renewed(cuts: Sequence[Cut], multiplier: Floats, found: Sequence[Cut]) -> list[Cut]:
    """The cuts with a positive multiplier, and those newly found."""
    held = [replace(cut, multiplier=cost) for cut, cost in zip(cuts, multiplier.tolist(), strict=True) if cost > 0.0]
    known = {cut.name for cut in held}
    return held + [cut for cut in found if cut.name not in known]


def compiled(cuts: list[Cut], pairs: Pairs, m: int) -> Cuts:
    """The cuts as lists of arcs of a sparse graph."""
    n = len(pairs.at) - 1
    names = pairs.one.astype(np.int64) * n + pairs.two
    by_name = np.argsort(names, kind="stable")
    sorted_names = names[by_name]
    by_tail = np.argsort(pairs.tail, kind="stable")
    tail_at = np.searchsorted(pairs.tail[by_tail], np.arange(m + 1))
    arcs = []
    inside = np.zeros(m, dtype=bool)
    for cut in cuts:
        if len(cut.pairs):
            place = np.minimum(np.searchsorted(sorted_names, cut.pairs), len(names) - 1)
            own = by_name[place[sorted_names[place] == cut.pairs]]
            arcs.append(_ranges(pairs.arc_at[own], pairs.arc_at[own + 1]))
        else:
            inside[cut.variants] = True
            own = by_tail[_ranges(tail_at[cut.variants], tail_at[cut.variants + 1])]
            arcs.append(own[inside[pairs.head[own]]])
            inside[cut.variants] = False
    spare = [cut.spare for cut in cuts]
    most = np.array([cut.most for cut in cuts], dtype=np.float64)
    return Cuts(*_pack(arcs), *_pack(spare), most)


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
    found: dict[bytes, Cut] = {}
    for nothing in THRESHOLDS:
        if over():
            break
        for cut in _blossoms(pairs, average.usage, nothing):
            found[cut.name] = cut
        if len(core.owner) > len(pairs.at) - 1:
            for cut in _connected(core, pairs, average, nothing):
                found[cut.name] = cut
    return list(found.values())


def _components(nodes: int, a: NDArray[np.integer], b: NDArray[np.integer]) -> tuple[int, Ints]:
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    # Older releases of scipy take 32-bit indices only.
    joined = coo_array((np.ones(len(a)), (a.astype(np.int32), b.astype(np.int32))), shape=(nodes, nodes))
    count, label = connected_components(joined, directed=False)
    return int(count), np.asarray(label, dtype=np.int32)


class _Grouped:
    """Rows grouped by a key."""

    def __init__(self, key: NDArray[np.integer], rows: NDArray[np.integer]) -> None:
        order = np.argsort(key, kind="stable")
        self.key, self.rows = key[order], rows[order]

    def of(self, key: int) -> NDArray[np.integer]:
        return self.rows[np.searchsorted(self.key, key) : np.searchsorted(self.key, key, side="right")]


def _blossoms(pairs: Pairs, usage: Floats, nothing: float) -> list[Cut]:
    """Blossoms: handles are components and blocks of the fractional edges (Padberg and Hong 1980).

    Teeth are the heavily used edges at a handle; if they are even in number, the edge nearest to one half joins or
    leaves.
    """
    n = len(pairs.at) - 1
    one, two = pairs.one, pairs.two
    x = np.minimum(np.add.reduceat(np.append(usage, 0.0), pairs.arc_at[:-1]), 1.0)
    x[np.diff(pairs.arc_at) == 0] = 0.0
    cuts = []
    inside = np.zeros(n, dtype=bool)
    nobody = np.zeros(0, dtype=np.int32)
    for handle in _handles(n, one, two, (x > nothing) & (x < 1.0 - nothing)):
        inside[handle] = True
        incident = each_once(pairs.edge[_ranges(pairs.at[handle], pairs.at[handle + 1])].astype(np.int64))
        both = inside[one[incident]] & inside[two[incident]]
        inside[handle] = False
        edges = incident[~both]
        y = x[edges]
        teeth = y > 0.5
        slack = float(np.minimum(y, 1.0 - y).sum())
        if len(y) and np.count_nonzero(teeth) % 2 == 0:
            k = int(np.argmin(np.abs(1.0 - 2.0 * y)))
            slack += abs(1.0 - 2.0 * float(y[k]))
            teeth[k] = not teeth[k]
        odd = int(np.count_nonzero(teeth))
        if odd >= 3 and slack < 1.0 - CLEAR:
            chosen = np.concatenate([incident[both], edges[teeth]])
            named = np.sort(one[chosen].astype(np.int64) * n + two[chosen])
            cuts.append(Cut(named, nobody, nobody, float(len(handle) + odd // 2)))
    return cuts


def _handles(n: int, one: Ints, two: Ints, part: NDArray[np.bool_]) -> list[NDArray[np.int64]]:
    """Components and blocks of a graph, except very large ones, which only show that the average has not settled."""
    import networkx as nx

    count, label = _components(n, one[part], two[part])
    size = np.bincount(label, minlength=count)[label]
    part = part & (size[one] >= 3) & (size[one] <= LARGE)
    graph = nx.Graph(zip(one[part].tolist(), two[part].tolist(), strict=True))
    sets = {frozenset(own) for own in nx.connected_components(graph)}
    sets |= {frozenset(own) for own in nx.biconnected_components(graph) if len(own) >= 3}
    return sorted((np.array(sorted(own)) for own in sets), key=lambda own: (len(own), own.tolist()))


def _connected(core: Core, pairs: Pairs, average: Average, nothing: float) -> list[Cut]:
    """Connected components of the variants in use, except that of item 0."""
    m = len(core.owner)
    usage, visits, rim = average
    used = usage > nothing
    at_rim = np.flatnonzero(rim > nothing)
    home = np.zeros(len(at_rim), dtype=np.int64)
    count, label = _components(m, np.concatenate([pairs.tail[used], home]), np.concatenate([pairs.head[used], at_rim]))
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
            cuts.append(Cut(np.zeros(0, dtype=np.int64), own, spare, -1.0 if full else 0.0))
    return cuts
