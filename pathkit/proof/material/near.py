"""How near places lie to segments of an owner: a toolpath's curve, or what a file cuts of it; many at once."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from pathkit.proof.material.near_kernel import Filed

Array = NDArray[np.float64]

LEAST: Final = 0.5
"""mm: squares are not smaller."""

MOST: Final = 4_000
"""Most columns, and most rows."""


class Near:
    """Segments (m, 3) in mm, with a number for what each belongs to. `held` and `all_near` hold places against them."""

    def __init__(self, start: Array, end: Array, owner: NDArray[np.int32]) -> None:
        from pathkit.proof.material.near_kernel import Filed, filed

        left, front, right, back = _box(start, end) if len(owner) else (0.0, 0.0, 0.0, 0.0)
        wide, deep = right - left, back - front
        # About a segment to a square.
        cell = max(LEAST, math.sqrt(wide * deep / max(len(owner), 1)), max(wide, deep) / MOST)
        segments = Filed(
            # Copies, since arrays that are locked would be another type, and the kernels compiled once more.
            start=np.array(start, np.float64, order="C"),
            end=np.array(end, np.float64, order="C"),
            owner=np.array(owner, np.int32),
            left=left,
            front=front,
            cell=cell,
            columns=int(wide / cell) + 1,
            rows=int(deep / cell) + 1,
            at=np.zeros(0, np.int64),
            item=np.zeros(0, np.int32),
        )
        at, item = filed(segments)
        self._segments: Filed = segments._replace(at=at, item=item)

    def held(
        self, places: Array, owner: NDArray[np.int32] | int, near: Array | float
    ) -> tuple[Array, Array, NDArray[np.int32]]:
        """For each of the ``places`` (k, 2) how far it is from its owner's segments in the plan (mm), the lowest z of
        those within ``near`` mm of it, each where it is nearest to the place, and which segment is nearest.

        inf, inf and −1 where none is so near.
        """
        from pathkit.proof.material.near_kernel import held

        count = len(places)
        apart, lowest, which = np.empty(count), np.empty(count), np.empty(count, np.int32)
        owners, within = np.empty(count, np.int32), np.empty(count)
        owners[:], within[:] = owner, near
        held(self._segments, np.array(places, np.float64, order="C"), owners, within, apart, lowest, which)
        return apart, lowest, which

    def all_near(
        self, places: Array, first: NDArray[np.int64], reach: Array
    ) -> tuple[NDArray[np.int32], NDArray[np.int32], Array]:
        """Which owners have all places of a group within their ``reach`` (owners,), mm.

        The group g is ``places[first[g]:first[g + 1]]``. Returns group, owner and mean distance of each find.
        """
        from pathkit.proof.material.near_kernel import all_near

        return all_near(self._segments, reach, np.array(places, np.float64, order="C"), first)


def _box(start: Array, end: Array) -> tuple[float, float, float, float]:
    """(min x, min y, max x, max y) of segments; column by column, since numpy is slow along short axes."""
    left, front = (float(min(start[:, k].min(), end[:, k].min())) for k in (0, 1))
    right, back = (float(max(start[:, k].max(), end[:, k].max())) for k in (0, 1))
    return left, front, right, back
