"""How low the bit comes along a curve: the cuts of a file by toolpath, asked place by place."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pathkit.motion.program import RAPID, Program
from pathkit.proof.intent.sections import Sections
from pathkit.proof.material.near import Near
from pathkit.proof.material.segments import segments_of
from pathkit.tolerances import BESIDE_CURVE, PROFILE_CHORDS, ROUNDING

Array = NDArray[np.float64]


class Profiles:
    """The cuts of all toolpaths, as a file makes them (bench frame)."""

    def __init__(self, bench: Program, sections: Sections) -> None:
        cutting = np.flatnonzero((bench.kind != RAPID) & (sections.owner >= 0))
        self.segments = segments_of(bench, PROFILE_CHORDS, cutting)
        self.owner = sections.owner[self.segments.row]

    @cached_property
    def near(self) -> Near:
        return Near(self.segments.start, self.segments.end, self.owner)

    def lowest_at(self, index: NDArray[np.int32] | int, places: Array, near: float = BESIDE_CURVE) -> Array:
        """(k,) the lowest z at which the bit's centre passes within ``near`` mm of each place in the toolpath with that
        number; inf where never."""
        return self.near.held(places, index, near)[1]

    def row_near(self, index: int, place: Array) -> int | None:
        """The last row of a toolpath that comes nearest to a place; None where there is no row."""
        mine = np.flatnonzero(self.owner == index)
        if not len(mine):
            return None
        start = self.segments.start[mine, :2]
        way = self.segments.end[mine, :2] - start
        square = np.maximum((way**2).sum(axis=1), np.finfo(float).tiny)
        share = np.clip(((place[:2] - start) * way).sum(axis=1) / square, 0.0, 1.0)
        apart = np.hypot(*(start + share[:, None] * way - place[:2]).T)
        return int(self.segments.row[mine[np.flatnonzero(apart <= apart.min() + ROUNDING)[-1]]])
