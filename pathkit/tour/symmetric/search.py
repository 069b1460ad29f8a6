"""Search for symmetric tours: points and reversible strokes, any start and end, no rules about the order."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.tolerances import RELATIVE_ROUNDING, VANISHING
from pathkit.tour.kernel.candidates import by_time, quadrant_points
from pathkit.tour.kernel.core import FREE_END, FREE_START, Core
from pathkit.tour.kernel.greedy import greedy_tour
from pathkit.tour.metric import MATRIX
from pathkit.tour.stopping import Stopping
from pathkit.tour.symmetric.population import HOT, Population
from pathkit.tour.symmetric.state import State, new_state

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

LEAST = 32  # points below which annealing finds more: double bridges have too few edges to choose from
NEAR = 10


class Nodes(NamedTuple):
    """Points of a symmetric problem. Node i represents the variants ``members[at[i]:at[i+1]]``, all at one place.

    A stroke's two nodes hold its forward variant at its entry and its backward one at its exit.
    """

    points: Floats  # (k, 2)
    fixed: Ints  # (k,)
    free: int
    depot: tuple[int, int]  # nodes at which item 0 is left and entered, (-1, -1) if it is an ordinary item
    at: NDArray[np.int64]
    members: Ints


def suits(core: Core) -> bool:
    """Whether every item is a point or a reversible stroke and no rule but start and end restricts the order."""
    n = len(core.first) - 1
    rows = np.arange(len(core.owner))
    sizes = np.diff(core.first)
    one_group = core.switch_cost == 0.0 or len(np.unique(core.group[core.group >= 0])) < 2
    lead = int(core.first[1]) if _added(core) else 0
    single = sizes[core.owner] == 1
    two_ended = (core.entry != core.exit).any(axis=1)
    pair = (sizes[core.owner] == 2) & two_ended & (core.mate != rows) & (core.mate >= 0)
    fits = np.where(single, ~two_ended, pair)[lead:]
    geometric = core.pricing.kind != MATRIX
    return bool(geometric and one_group and len(core.after) == 0 and core.high[0] == n - 1 and fits.all())


def _added(core: Core) -> bool:
    return bool(core.group[0] < 0)


def nodes(core: Core) -> Nodes:
    """The points of a core that suits; coinciding points become one."""
    points: list[Floats] = []
    fixed: list[int] = []
    free, depot, lead = -1, (-1, -1), 0
    if _added(core):
        lead = 1
        ends = core.free
        free_start, free_end = ends in (FREE_START, FREE_START + FREE_END), ends >= FREE_END
        if (free_start and free_end) or (not ends and np.array_equal(core.entry[0], core.exit[0])):
            points, fixed, depot = [core.exit[:1]], [-1], (0, 0)
            free = 0 if ends else -1
        else:
            points, fixed, depot = [core.exit[:1], core.entry[:1]], [1, 0], (0, 1)
            free = 0 if free_start else 1 if free_end else -1
    count = len(fixed)
    sizes = np.diff(core.first)[core.owner]
    rows = np.arange(len(core.owner))[lead:]
    single = rows[sizes[lead:] == 1]
    double = rows[sizes[lead:] == 2]
    places, which = np.unique(core.entry[single], axis=0, return_inverse=True)
    order = np.argsort(which.ravel(), kind="stable")
    tally = np.bincount(which.ravel(), minlength=len(places))
    mates = np.arange(len(double)).reshape(-1, 2)[:, ::-1].ravel() + count + len(places)
    members = np.concatenate([np.zeros(count), single[order], double]).astype(np.int32)
    at = np.concatenate([[0], np.cumsum(np.concatenate([np.ones(count), tally, np.ones(len(double))]))])
    ends_of = np.concatenate([fixed, np.full(len(places), -1), mates])
    return Nodes(
        np.vstack([*points, places, core.entry[double]]), ends_of.astype(np.int32), free, depot, at.astype(int), members
    )


def budget(core: Core, effort: float) -> int:
    """Number of perturbations for an effort."""
    return int(effort * (20_000 + 20 * len(core.first)))


def search(
    core: Core, own: Nodes, given: Ints | None, seed: int, stopping: Stopping, history: list[tuple[int, float]]
) -> Ints:
    """The cheapest sequence found, from a greedy tour or the ``given`` sequence."""
    near, gap = near_nodes(core, own)
    first = greedy_tour(own.points, near, gap, own.fixed, own.free) if given is None else _tour(core, own, given)
    state = _renumbered(core, own, near, gap, first)
    best = Population(state, seed, stopping, history).search(HOT if given is None else 0.0)
    return _sequence(core, own, first[best])


def near_nodes(core: Core, own: Nodes) -> tuple[Ints, Floats]:
    """Near points with their costs, cheapest first. Under a time metric the axes are scaled by their seconds per mm."""
    from pathkit.tour.kernel.candidates_kernel import price

    near = quadrant_points(by_time(core.pricing, own.points), NEAR, own.free)
    if own.free >= 0:
        near = np.hstack([np.full((len(near), 1), own.free, dtype=np.int32), near[:, : NEAR - 1]])
        others = np.delete(np.arange(len(near)), own.free)
        near[own.free] = others[np.linspace(0, len(others) - 1, near.shape[1]).astype(int)]
    near = np.ascontiguousarray(near)
    gap = price(core.pricing, own.points, near, own.free)
    return near, gap


def _renumbered(core: Core, own: Nodes, near: Ints, gap: Floats, first: Ints) -> State:
    """The state with points numbered along the first tour, so that points near in space are near in memory."""
    new = np.empty(len(first), dtype=np.int32)
    new[first] = np.arange(len(first))
    fixed = own.fixed[first]
    fixed = np.where(fixed >= 0, new[np.maximum(fixed, 0)], -1).astype(np.int32)
    free = -1 if own.free < 0 else int(new[own.free])
    rounding = RELATIVE_ROUNDING * float(gap.max(initial=0.0)) + VANISHING
    return new_state(own.points[first], new[near[first]], gap[first], fixed, core.pricing, free, rounding)


def _tour(core: Core, own: Nodes, sequence: Ints) -> Ints:
    """The nodes along a sequence of variants, each once."""
    node = np.empty(len(core.owner), dtype=np.int64)
    node[own.members] = np.repeat(np.arange(len(own.points)), np.diff(own.at))
    ahead = node[sequence]
    other = own.fixed[ahead]
    both = np.column_stack([ahead, other])
    if own.depot[0] >= 0:
        both[0] = (own.depot[1], own.depot[0]) if own.depot[0] != own.depot[1] else (own.depot[0], -1)
    flat = both.ravel()
    flat = flat[flat >= 0]
    _, once = np.unique(flat, return_index=True)
    return flat[np.sort(once)].astype(np.int32)


def _sequence(core: Core, own: Nodes, tour: Ints) -> Ints:
    """The variants along a tour of nodes: of a stroke's two, the one that comes first gives its direction."""
    leave, enter = own.depot
    head = leave if leave >= 0 else int(np.flatnonzero(own.members == 0)[0])
    if leave < 0:
        head = int(np.searchsorted(own.at, head, side="right")) - 1
    spot = int(np.flatnonzero(tour == head)[0])
    tour = np.roll(tour, -spot)
    if enter not in (leave, tour[-1]):
        tour = np.roll(tour[::-1], 1)
    if leave < 0 and own.fixed[head] >= 0 and tour[1] != own.fixed[head]:
        tour = np.roll(tour[::-1], 1)
    sequence: list[Ints] = []
    last = -1
    if enter != leave:
        tour = tour[:-1]  # the same item as the first
    for node in tour.tolist():
        if own.fixed[node] >= 0 and own.fixed[node] == last:
            last = -1
            continue
        last = node
        sequence.append(own.members[own.at[node] : own.at[node + 1]])
    flat = np.concatenate(sequence)
    return np.roll(flat, -int(np.flatnonzero(core.owner[flat] == 0)[0])).astype(np.int32)
