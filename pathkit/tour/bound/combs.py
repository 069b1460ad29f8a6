"""Combs: inequalities on sets of nodes that every tour satisfies and averages of tours may violate.

A *comb* has a handle and an odd number k of teeth, at least three. Each tooth holds nodes of the handle and others, and
no two teeth share a node. Where a tour crosses a tooth's border only twice it crosses the handle's within the tooth.
It crosses the handle's an even number of times, so all borders at least 3k + 1 times together (Chvátal, Mathematical
Programming 5, 1973; Grötschel and Padberg, same journal 16, 1979). A node has two edges, so two crossings less are one
edge more within the sets. With pairs of nodes as teeth this is a *blossom*; these may share nodes outside the handle.

Sets that are crossed exactly twice (*tight*) are good teeth. They are found where nodes are merged without losing
the sets that are crossed least (Padberg and Rinaldi, Mathematical Programming 47, 1990; Stoer and Wagner, Journal of
the ACM 44, 1997), which also finds sets that are crossed less than twice: subtours.
"""

from __future__ import annotations

from heapq import heappop, heappush
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]
Family = tuple[Ints, ...]
"""Sorted sets of nodes: a comb's handle, then its teeth; or one set, of which a tour may hold no circle."""

LARGE = 400  # most nodes of a component or block as handle; larger ones only show that an average has not settled
LITTLE = 1e-7  # of an edge: rounding of a linear program
BROKEN = 1e-4  # crossings less than two from which a set is worth a row
ORDERS = 12  # merges by order of adjacency, which are slow; most subtours are found before the first


class Support(NamedTuple):
    """Edges in use, each pair of nodes once, ``one`` < ``two``; nodes are 0 to n - 1."""

    n: int
    one: Ints
    two: Ints
    x: Floats


def support(n: int, one: NDArray[np.integer], two: NDArray[np.integer], x: Floats) -> Support:
    """Edges in use; parallel ones as one."""
    used = x > LITTLE
    names, place = np.unique(one[used].astype(np.int64) * n + two[used], return_inverse=True)
    total = np.bincount(place.ravel(), weights=x[used], minlength=len(names)).astype(np.float64)
    return Support(n, (names // n).astype(np.int32), (names % n).astype(np.int32), total)


def most_inside(family: Family) -> float:
    """How many edges a tour has at most within the sets, those within several counted as often."""
    size = sum(len(own) for own in family)
    return size - (1.0 if len(family) == 1 else 0.5 * (3 * len(family) - 2))


def least_crossings(family: Family) -> float:
    """How often a tour crosses the sets' borders at least."""
    return 2.0 if len(family) == 1 else 3.0 * len(family) - 2.0


def components(nodes: int, a: NDArray[np.integer], b: NDArray[np.integer]) -> tuple[int, Ints]:
    """The number of components, and each node's."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    # Older releases of scipy take 32-bit indices only.
    joined = coo_array((np.ones(len(a)), (a.astype(np.int32), b.astype(np.int32))), shape=(nodes, nodes))
    count, label = connected_components(joined, directed=False)
    return int(count), np.asarray(label, dtype=np.int32)


def handles(on: Support, nothing: float) -> list[Ints]:
    """Components and blocks of the fractional edges, usages below ``nothing`` left out (Padberg and Hong 1980)."""
    import networkx as nx

    part = (on.x > nothing) & (on.x < 1.0 - nothing)
    count, label = components(on.n, on.one[part], on.two[part])
    size = np.bincount(label, minlength=count)[label]
    part &= (size[on.one] >= 3) & (size[on.one] <= LARGE)
    graph = nx.Graph(zip(on.one[part].tolist(), on.two[part].tolist(), strict=True))
    sets = {frozenset(own) for own in nx.connected_components(graph)}
    sets |= {frozenset(own) for own in nx.biconnected_components(graph) if len(own) >= 3}
    return sorted((np.array(sorted(own), dtype=np.int32) for own in sets), key=lambda own: (len(own), own.tolist()))


def blossoms(on: Support, given: list[Ints], clear: float) -> list[Family]:
    """Blossoms with these handles that are violated by more than ``clear``.

    Teeth are the heavily used edges at a handle; if they are even in number, the edge nearest to one half joins or
    leaves.
    """
    ends = np.concatenate([on.one, on.two])
    order = np.argsort(ends, kind="stable")
    edge = (order % max(len(on.one), 1)).astype(np.int32)
    at = np.searchsorted(ends[order], np.arange(on.n + 1))
    inside = np.zeros(on.n, dtype=bool)
    found: list[Family] = []
    for handle in given:
        inside[handle] = True
        edges = np.concatenate([edge[at[node] : at[node + 1]] for node in handle.tolist()])
        edges = edges[inside[on.one[edges]] != inside[on.two[edges]]]
        inside[handle] = False
        y = np.minimum(on.x[edges], 1.0)
        teeth = y > 0.5
        slack = float(np.minimum(y, 1.0 - y).sum())
        if len(y) and np.count_nonzero(teeth) % 2 == 0:
            k = int(np.argmin(np.abs(1.0 - 2.0 * y)))
            slack += abs(1.0 - 2.0 * float(y[k]))
            teeth[k] = not teeth[k]
        if np.count_nonzero(teeth) >= 3 and slack < 1.0 - clear:
            pairs = np.column_stack([on.one[edges[teeth]], on.two[edges[teeth]]])
            found.append((handle, *pairs[np.lexsort(pairs.T[::-1])]))
    return found


def crossings(n: int, sets: list[Ints], one: NDArray[np.integer], two: NDArray[np.integer]) -> Any:
    """Sparse matrix (sets, edges): 1 where an edge crosses a set's border."""
    crossed = _ends(n, sets, one, two)
    crossed.data[crossed.data > 1.0] = 0.0
    crossed.eliminate_zeros()
    return crossed


def inside(
    n: int, sets: list[Ints], one: NDArray[np.integer], two: NDArray[np.integer]
) -> tuple[NDArray[np.integer], NDArray[np.integer]]:
    """The number of a set and of an edge within it, for all such, in the order of the sets."""
    if not sets:
        return np.zeros(0, dtype=np.int32), np.zeros(0, dtype=np.int32)
    held = _ends(n, sets, one, two)
    both = held.data > 1.0
    own = np.repeat(np.arange(len(sets)), np.diff(held.indptr))
    return own[both], held.indices[both]


def _ends(n: int, sets: list[Ints], one: NDArray[np.integer], two: NDArray[np.integer]) -> Any:
    """Sparse matrix (sets, edges): how many ends of an edge are in a set."""
    from scipy.sparse import csr_array

    e = len(one)
    ends = [csr_array((np.ones(e), (end, np.arange(e))), shape=(n, e)) for end in (one, two)]
    return (_members(n, sets) @ (ends[0] + ends[1])).tocsr()


def _members(n: int, sets: list[Ints]) -> Any:
    """Sparse matrix (sets, nodes): 1 where a node is in a set."""
    from scipy.sparse import csr_array

    at = np.cumsum([0, *[len(own) for own in sets]])
    return csr_array((np.ones(at[-1]), np.concatenate([np.zeros(0, dtype=np.int32), *sets]), at), shape=(len(sets), n))


def least_crossed(on: Support) -> tuple[list[Ints], list[Ints]]:
    """Sets that are crossed less than twice, and sets crossed twice. Not all of them."""
    n, k, orders = on.n, on.n, 0
    one, two, x = on.one.astype(np.int64), on.two.astype(np.int64), on.x
    count, apart = components(n, one, two)
    if count > 1:
        return [np.flatnonzero(apart == c).astype(np.int32) for c in range(count)], []
    below, tight, label = list[Ints](), list[Ints](), np.arange(n, dtype=np.int32)
    while k > 2:
        degree = np.bincount(np.concatenate([one, two]), weights=np.concatenate([x, x]), minlength=k)
        merge = x >= 1.0 - LITTLE if k == n else 2.0 * x >= np.minimum(degree[one], degree[two]) - LITTLE
        if not np.any(merge) and orders < ORDERS:
            orders += 1
            merge = np.isin(one * k + two, _last_two(k, one, two, x))
        if not np.any(merge):
            break
        k, joined = components(k, one[merge], two[merge])
        label = joined[label]
        new = np.bincount(joined) > 1
        one, two = joined[one].astype(np.int64), joined[two].astype(np.int64)
        low, high = np.minimum(one, two), np.maximum(one, two)
        names, place = np.unique((low * k + high)[low != high], return_inverse=True)
        x = np.bincount(place.ravel(), weights=x[low != high], minlength=len(names)).astype(np.float64)
        one, two = names // k, names % k
        degree = np.bincount(np.concatenate([one, two]), weights=np.concatenate([x, x]), minlength=k)
        for node in np.flatnonzero(new & (degree < 2.0 + LITTLE)).tolist():
            own = np.flatnonzero(label == node).astype(np.int32)
            if len(own) <= n - 2:
                (below if degree[node] < 2.0 - BROKEN else tight).append(own)
    return below, tight


def _last_two(k: int, one: NDArray[np.integer], two: NDArray[np.integer], x: Floats) -> list[int]:
    """The last two nodes in an order of maximum adjacency, as numbers of their edge, if they have one.

    The set of the last alone is the least crossed of all that part the two.
    """
    near: list[dict[int, float]] = [{} for _ in range(k)]
    for a, b, used in zip(one.tolist(), two.tolist(), x.tolist(), strict=True):
        near[a][b] = near[b][a] = used
    bound, done, heap, last = [0.0] * k, [False] * k, [(0.0, 0)], [0, 0]
    while heap:
        node = heappop(heap)[1]
        if done[node]:
            continue
        done[node] = True
        last = [last[1], node]
        for other, used in near[node].items():
            if not done[other]:
                bound[other] += used
                heappush(heap, (-bound[other], other))
    return [min(last) * k + max(last)]


def combs(on: Support, given: list[Ints], tight: list[Ints], clear: float, most: int) -> list[Family]:
    """Combs with these handles that are violated by more than ``clear``, the ``most`` violated ones.

    Teeth are taken from the tight sets and the heavily used edges, those that are crossed least first.
    """
    heavy = on.x > 0.5
    pairs = np.column_stack([on.one[heavy], on.two[heavy]])
    teeth = list({own.tobytes(): own for own in [*pairs, *tight]}.values())
    if not given or not teeth:
        return []
    slack = crossings(on.n, teeth, on.one, on.two) @ on.x - 2.0
    size = np.array([len(own) for own in teeth])
    crossed = crossings(on.n, given, on.one, on.two) @ on.x
    common = (_members(on.n, given) @ _members(on.n, teeth).T).tocsr()
    rank = np.lexsort((size, np.rint(slack * 1000.0)))
    place = np.empty_like(rank)
    place[rank] = np.arange(len(rank))
    masks = [sum(1 << node for node in own.tolist()) for own in teeth]
    found: list[tuple[float, Family]] = []
    for h, handle in enumerate(given):
        row = slice(common.indptr[h], common.indptr[h + 1])
        able = common.indices[row]
        able = able[(common.data[row] < size[able]) & (slack[able] < 1.0)]
        chosen = _apart(masks, able[np.argsort(place[able])].tolist())
        # a tooth is worth 1 less its slack; the last two must be worth something together
        while (len(chosen) % 2 == 0 and chosen) or (len(chosen) > 3 and slack[chosen[-2:]].sum() > 2.0):
            chosen = chosen[: -1 if len(chosen) % 2 == 0 else -2]
        short = 1.0 - (crossed[h] - len(chosen) + slack[chosen].sum())
        if len(chosen) >= 3 and short > clear:
            found.append((-short, (handle, *(teeth[k] for k in sorted(chosen)))))
    return [family for _, family in sorted(found, key=lambda each: each[0])[:most]]


def _apart(masks: list[int], able: list[int]) -> list[int]:
    """One tooth after another, unless it shares a node with those before; a tooth's mask has a bit for each node."""
    chosen, taken = [], 0
    for k in able:
        if not taken & masks[k]:
            taken |= masks[k]
            chosen.append(k)
    return chosen
