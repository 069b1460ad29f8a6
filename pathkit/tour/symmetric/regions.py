"""Large boards, region by region.

Many tours of a whole board take long to make, and its points do not fit into the processor's cache. So the plane is
parted into regions of some thousand points. In each, what the tour does outside is fixed: where it leaves the region
and comes back, a fixed edge stands for the way between. What is left is a small symmetric problem (Karp, Mathematics of
Operations Research 2(3), 1977, 209-224, parts the plane so; Taillard and Helsgaun, European Journal of Operational
Research 272(2), 2019, 420-429, improve a tour by such parts). A second sweep has other borders.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.symmetric.state import State, near_points, new_state

Ints = NDArray[np.int32]
Numbers = NDArray[np.int64]
Flags = NDArray[np.bool_]

SIZE = 4_000  # most points of a region
LEAST = 100  # points that are worth a search of their own
TURN = 0.25 * math.pi  # by which the borders of each sweep are turned against those of the one before


def regions_of(state: State, sweep: int) -> Iterator[Numbers]:
    """Points of each region, about as many in all: the longer side is halved until they are few enough."""
    turn = TURN * (sweep + 0.5)
    cos, sin = math.cos(turn), math.sin(turn)
    turned = state.at @ np.array([[cos, -sin], [sin, cos]])
    parts = [np.delete(np.arange(len(turned)), state.free) if state.free >= 0 else np.arange(len(turned))]
    while parts:
        part = parts.pop()
        if len(part) <= SIZE:
            yield part
            continue
        side = int(np.argmax(np.ptp(turned[part], axis=0)))
        order = part[np.argsort(turned[part, side], kind="stable")]
        parts += [order[len(order) // 2 :], order[: len(order) // 2]]


class Region(NamedTuple):
    """A part of a tour as a problem of its own. Point i of ``state`` stands at place ``places[i]`` of the whole tour;
    where ``leaves[i]``, the tour goes on outside until it comes to point i + 1."""

    state: State
    places: Numbers
    leaves: Flags

    def put_into(self, tour: Ints, found: Ints) -> Ints:
        """The whole ``tour`` with the region's points in the order ``found``, a tour of ``state``."""
        after = np.roll(found, -1)
        last = len(found) - 1
        ahead = self.leaves[found] & (after == np.where(found == last, 0, found + 1))
        back = self.leaves[after] & (found == np.where(after == last, 0, after + 1))
        pieces, begin = [], 0
        for k in np.flatnonzero(ahead | back).tolist():
            pieces.append(tour[self.places[found[begin : k + 1]]])
            pieces.append(self._outside(tour, int(found[k])) if ahead[k] else self._outside(tour, int(after[k]))[::-1])
            begin = k + 1
        pieces.append(tour[self.places[found[begin:]]])
        return np.concatenate(pieces)

    def _outside(self, tour: Ints, i: int) -> Ints:
        """What the tour does between point i and the next one of the region."""
        if i + 1 < len(self.places):
            return tour[self.places[i] + 1 : self.places[i + 1]]
        return np.concatenate([tour[self.places[i] + 1 :], tour[: self.places[0]]])


def region_of(state: State, tour: Ints, part: Numbers) -> Region | None:
    """The part of a tour at the points ``part``; None if it is too small to be worth a search."""
    place = np.empty(len(tour), np.int64)
    place[tour] = np.arange(len(tour))
    places = np.sort(place[part])
    while True:
        leaves = np.roll(places, -1) != (places + 1) % len(tour)
        comes = np.roll(leaves, 1)
        mate = state.fixed[tour[places]]
        # A point has one fixed edge: if it has two others outside, or its own one inside, it stays outside.
        tied = (leaves & (mate == tour[places - 1])) | (comes & (mate == tour[(places + 1) % len(tour)]))
        out = (leaves & comes) | tied
        if not out.any() or len(places) < LEAST:
            break
        places = places[~out]
    if len(places) < LEAST:
        return None
    points, count = tour[places], len(places)
    own = np.full(len(tour), -1, np.int32)
    own[points] = np.arange(count, dtype=np.int32)
    mate = state.fixed[points]
    fixed = np.where(mate >= 0, own[np.maximum(mate, 0)], -1)
    i = np.flatnonzero(leaves)
    fixed[i], fixed[(i + 1) % count] = (i + 1) % count, i
    at = state.at[points]
    near, gap = near_points(state.pricing, at, -1)
    return Region(
        new_state(at, near, gap, fixed.astype(np.int32), state.pricing, -1, state.rounding), places, leaves
    )  # fmt: skip
