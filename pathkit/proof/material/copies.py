"""Which moves pass by a shape, and whether those that pass by a copy of it cut at least the same.

Copies of a shape are cut by the same moves, but for where they lie; and that is rounded to the grid of the file. Two
copies' moves may so lie some counts apart. What was judged with bits that are smaller by as much holds for both: where
each end of a move lies within ``apart`` of an end of another, each of its points lies within ``apart`` of a point of
that other, and a disc round the one within the disc, larger by ``apart``, round the other.
"""

from __future__ import annotations

import math
from collections import deque
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.proof.material.cross_sections import Level
from pathkit.proof.material.segments import parted
from pathkit.tolerances import SAME_PLACE

Array = NDArray[np.float64]
Box = tuple[float, float, float, float]

COUNTS: Final = 2.0
"""Counts by which moves of copies may lie apart: each lies within one of where it is meant to be, arcs' chords too."""

_MOST: Final = 12
"""Ways of cutting a shape that are remembered: copies differ by where they are entered and by what lies beside them."""

_ACROSS: Final = np.array([math.cos(0.5), math.sin(0.5)])
"""A direction in which hardly any two moves of a drawing begin at the same place."""


class Moves(NamedTuple):
    """Segments at a height: ``ends`` (m, 4) x, y, x, y in mm from a corner of the box; half width; index of the bit.

    Those that are not ``inside`` the box pass near it.
    """

    ends: Array
    radius: Array
    tool: NDArray[np.int32]
    inside: NDArray[np.bool_]


def passing(level: Level, box: Box, apart: float) -> Moves:
    """The moves at this height that have something in common with a box (x0, y0, x1, y1), or come within ``apart`` mm
    of it, from its first corner."""
    import shapely

    reach = apart + SAME_PLACE
    low, high = np.array(box[:2]), np.array(box[2:])
    lines = level.tree.query(shapely.box(*(low - reach), *(high + reach)))
    count = level.last[lines] - level.first[lines]
    which, number = parted(count)
    of = lines[which]
    at = number + level.first[of]
    start, end = level.segments.start[at, :2], level.segments.end[at, :2]
    outside = np.maximum(low - np.maximum(start, end), np.minimum(start, end) - high)
    beyond = np.maximum(outside[:, 0], outside[:, 1])
    near = beyond <= reach
    ends = np.concatenate([start[near] - low, end[near] - low], axis=1)
    return Moves(ends, level.radius[of[near]], level.tool[of[near]], beyond[near] <= 0.0)


def all_in(these: Moves, those: Moves, apart: float) -> bool:
    """Whether each of ``these`` inside its box is one of ``those``: by the same bit, as wide, its ends ``apart`` mm
    from that one's at most."""
    reach = apart + SAME_PLACE
    place, places = ((moves.ends[:, :2] + moves.ends[:, 2:]) / 2.0 @ _ACROSS for moves in (these, those))
    order = np.argsort(places)
    places = places[order]
    # Of two moves whose ends lie so near, the middles lie as near in any direction.
    at, last = np.searchsorted(places, place - reach), np.searchsorted(places, place + reach, side="right")
    left = np.flatnonzero(these.inside)
    while len(left):
        if (at[left] >= last[left]).any():
            return False
        other = order[at[left]]
        here, there = these.ends[left], those.ends[other]
        same = (these.tool[left] == those.tool[other]) & (np.abs(these.radius[left] - those.radius[other]) < SAME_PLACE)
        left = left[~(same & (_near(here, there, reach) | _near(here, there[:, [2, 3, 0, 1]], reach)))]
        at[left] += 1
    return True


def _near(here: Array, there: Array, reach: float) -> NDArray[np.bool_]:
    apart = np.square(here - there)
    near: NDArray[np.bool_] = (apart[:, 0] + apart[:, 1] <= reach**2) & (apart[:, 2] + apart[:, 3] <= reach**2)
    return near


class Known:
    """Moves, one set for each height, that were found to cut a shape."""

    def __init__(self) -> None:
        self._sets: deque[tuple[tuple[Moves, ...], float]] = deque(maxlen=_MOST)

    def vouch_for(self, moves: tuple[Moves, ...]) -> bool:
        """Whether what was found for one of the sets holds for these moves, too."""
        return any(
            all(all_in(one, other, apart) and (apart > 0.0 or all_in(other, one, apart)) for one, other in pairs)
            for known, apart in self._sets
            for pairs in [tuple(zip(known, moves, strict=True))]
        )

    def add(self, moves: tuple[Moves, ...], apart: float) -> None:
        """Remember moves that cut the shape, also where others do, ``apart`` mm off; 0: only these, and all of them."""
        self._sets.appendleft((moves, apart))
