"""How low the bit comes along a curve: the cuts of one toolpath as segments, asked place by place."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from pathkit.motion.program import RAPID
from pathkit.proof.evidence import Evidence
from pathkit.proof.material.segments import Segments, segments_of
from pathkit.tolerances import BESIDE_CURVE, PROFILE_CHORDS, ROUNDING

Array = NDArray[np.float64]


class Profile:
    """The cuts of one toolpath. `lowest_at` is how low its bit's centre comes at a place."""

    def __init__(self, segments: Segments) -> None:
        import shapely

        self.segments = segments
        pairs = np.stack([segments.start[:, :2], segments.end[:, :2]], axis=1)
        self.lines: NDArray[Any] = np.asarray(shapely.linestrings(pairs), dtype=object)
        still = (pairs[:, 0] == pairs[:, 1]).all(axis=1)
        # A line without length would be near nothing: a move straight down becomes a point.
        self.lines[still] = shapely.points(pairs[still, 0])
        self.tree = shapely.STRtree(self.lines)

    def lowest_at(self, places: Array, near: float = BESIDE_CURVE) -> Array:
        """(k,) the lowest z at which the bit's centre passes within ``near`` mm of each place; inf where never."""
        import shapely

        found = np.full(len(places), np.inf)
        at, which = self.tree.query(shapely.points(places), predicate="dwithin", distance=near)
        start, end = self.segments.start[which], self.segments.end[which]
        way = end[:, :2] - start[:, :2]
        square = (way**2).sum(axis=1)
        share = ((places[at] - start[:, :2]) * way).sum(axis=1) / np.where(square > 0.0, square, 1.0)
        share = np.where(square > 0.0, np.clip(share, 0.0, 1.0), 1.0)
        z = start[:, 2] + share * (end[:, 2] - start[:, 2])
        z = np.where(square > 0.0, z, np.minimum(start[:, 2], end[:, 2]))
        np.minimum.at(found, at, z)
        return found

    def row_near(self, place: Array) -> int | None:
        """The last row that comes nearest to a place; None where there is no row."""
        import shapely

        if not len(self.lines):
            return None
        apart = shapely.distance(self.lines, shapely.points(place))
        return int(self.segments.row[np.flatnonzero(apart <= apart.min() + ROUNDING)[-1]])


def profile_of(evidence: Evidence, index: int) -> Profile:
    """The profile of the job's toolpath ``index`` as the file cuts it."""
    bench = evidence.bench
    rows = evidence.sections.rows(index)
    return Profile(segments_of(bench, PROFILE_CHORDS, rows[bench.kind[rows] != RAPID]))
