"""Moves as straight segments in space: arcs by chords, many at once, each with the row that it comes from."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.motion.program import ARC, Program
from pathkit.tolerances import QUOTIENT_ROUNDING

Array = NDArray[np.float64]


class Segments(NamedTuple):
    """``start``, ``end`` (m, 3) in mm, ``row`` (m,) ascending."""

    start: Array
    end: Array
    row: NDArray[np.int32]

    def of(self, keep: NDArray[np.bool_]) -> Segments:
        """The segments marked in ``keep``."""
        return Segments(self.start[keep], self.end[keep], self.row[keep])


def segments_of(
    program: Program, tolerance: float, wanted: NDArray[np.bool_] | NDArray[np.int64] | None = None
) -> Segments:
    """The moves of ``program`` whose end is known: those marked in ``wanted`` (n,), or of these rows (k,) ascending,
    else all.

    Chords of an arc lie within ``tolerance`` mm of it: sagitta r(1 − cos(θ/2)) (circle geometry). A move that begins at
    an unknown place is taken to begin at its end.
    """
    rows = np.arange(len(program)) if wanted is None else wanted
    if rows.dtype == np.bool_:
        rows = np.flatnonzero(rows)
    known = np.isfinite(program.end[rows])
    rows = rows[known[:, 0] & known[:, 1] & known[:, 2]]
    end, origin = program.end[rows], program.origins[rows]
    start = np.where(np.isnan(origin), end, origin)
    arcs = np.flatnonzero(program.kind[rows] == ARC)
    if not len(arcs):
        return Segments(start, end, rows.astype(np.int32))
    arm = start[arcs, :2] - program.centre[rows[arcs]]
    radius, sweep = np.hypot(arm[:, 0], arm[:, 1]), program.sweep[rows[arcs]]
    share = np.clip(tolerance / np.maximum(radius, tolerance), 0.0, 1.0)
    widest = np.minimum(2.0 * np.arccos(1.0 - share), np.pi / 2.0)
    count = np.ones(len(rows), np.int64)
    count[arcs] = np.maximum(1, np.ceil(np.abs(sweep) / widest - QUOTIENT_ROUNDING))
    of, step = parted(count)
    # A move's two ends are kept exactly: they must meet those of its neighbours to the last bit.
    starts, ends = start[of], end[of]
    inner = np.flatnonzero(step > 0)
    which = np.searchsorted(arcs, of[inner])
    share = step[inner] / count[of[inner]]
    angle = np.arctan2(arm[:, 1], arm[:, 0])[which] + sweep[which] * share
    centre, rise = program.centre[rows[arcs]][which], (end[arcs, 2] - start[arcs, 2])[which]
    starts[inner, 0] = centre[:, 0] + radius[which] * np.cos(angle)
    starts[inner, 1] = centre[:, 1] + radius[which] * np.sin(angle)
    starts[inner, 2] += rise * share
    ends[inner - 1] = starts[inner]
    return Segments(starts, ends, rows[of].astype(np.int32))


def parted(count: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """For things that are parted into ``count`` (m,) parts each: of which thing each part is, and its number in it from
    0, both (sum of count,)."""
    of = np.repeat(np.arange(len(count)), count)
    return of, np.arange(len(of)) - np.repeat(np.cumsum(count) - count, count)
