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
    rows = rows[np.isfinite(program.end[rows]).all(axis=1)]
    end, origin = program.end[rows], program.origins[rows]
    start = np.where(np.isnan(origin), end, origin)
    arcs = program.kind[rows] == ARC
    if not arcs.any():
        return Segments(start, end, rows.astype(np.int32))
    arm = start[:, :2] - program.centre[rows]
    radius = np.where(arcs, np.hypot(arm[:, 0], arm[:, 1]), 0.0)
    sweep = np.where(arcs, program.sweep[rows], 0.0)
    share = np.clip(tolerance / np.maximum(radius, tolerance), 0.0, 1.0)
    widest = np.minimum(2.0 * np.arccos(1.0 - share), np.pi / 2.0)
    count = np.where(arcs, np.maximum(1, np.ceil(np.abs(sweep) / widest - QUOTIENT_ROUNDING)), 1).astype(np.int64)
    of, step = parted(count)
    first, last = _along(step / count[of]), _along((step + 1) / count[of])
    begin = np.repeat(np.arctan2(arm[:, 1], arm[:, 0]), count)

    def place(share: Array) -> Array:
        angle = begin + sweep[of] * share[:, 0]
        plan = program.centre[rows][of] + radius[of, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)
        z = start[of, 2:] + (end - start)[of, 2:] * share
        return np.column_stack([plan, z])

    # A move's two ends are kept exactly: they must meet those of its neighbours to the last bit.
    starts = np.where((step == 0)[:, None], start[of], place(first))
    ends = np.where((step + 1 == count[of])[:, None], end[of], place(last))
    return Segments(starts, ends, rows[of].astype(np.int32))


def parted(count: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """For things that are parted into ``count`` (m,) parts each: of which thing each part is, and its number in it from
    0, both (sum of count,)."""
    of = np.repeat(np.arange(len(count)), count)
    return of, np.arange(len(of)) - np.repeat(np.cumsum(count) - count, count)


def _along(share: Array) -> Array:
    return share[:, None]
