"""Parts laid one by one, each as far into the corner as it goes beside those already laid.

For each part and turn, the free places are an area: the board's room less the no-fit areas of everything that lies
there. A place where a part touches others and can go no further is a corner of that area.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from pathkit.operations.layout import Placement
from pathkit.operations.nesting.no_fit import Ring, grown, no_fit, pieces
from pathkit.operations.nesting.values import Fixed, Item, Placed, Sheet, turned
from pathkit.tolerances import JUST_FITS

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

Towards = Literal["left", "front"]

_STEP = 6  # decimals of a place in mm


@dataclass
class Shapes:
    """Parts with their room, and a store of what is needed repeatedly; made once for all boards of a job."""

    items: tuple[Item, ...]
    sheet: Sheet
    _no_fit: dict[tuple[int, int, int, int], BaseGeometry] = field(default_factory=dict)
    _pieces: dict[tuple[int, int, float], tuple[Ring, ...]] = field(default_factory=dict)

    @cached_property
    def grown_areas(self) -> tuple[float, ...]:
        """mm² that each part takes with its room."""
        return tuple(float(grown(item.ring, self.half(k)).area) for k, item in enumerate(self.items))

    def half(self, item: int) -> float:
        """mm of room around a part's ring: half of what lies between two parts."""
        return self.sheet.apart / 2.0 + self.items[item].loose

    def pieces(self, item: int, turn: int, by: float) -> tuple[Ring, ...]:
        key = (item, turn, by)
        if key not in self._pieces:
            self._pieces[key] = pieces(grown(turned(self.items[item].ring, turn), by))
        return self._pieces[key]

    def no_fit(self, standing: tuple[int, int], carried: tuple[int, int]) -> BaseGeometry:
        """Where ``carried`` (item, turn) may not go while ``standing`` lies at the origin."""
        import shapely

        key = (*standing, *carried)
        if key not in self._no_fit:
            rings = [self.pieces(*each, self.half(each[0])) for each in (standing, carried)]
            area = no_fit(rings[0], rings[1])
            self._no_fit[key] = shapely.buffer(area, -JUST_FITS, join_style="mitre")
        return self._no_fit[key]

    def free(self, item: int, turn: int) -> BaseGeometry:
        """Where a part may be placed on the empty board."""
        import shapely

        left, front, right, back = self.sheet.room
        box = self.items[item].box(turn)
        low, high = (left - box[0], front - box[1]), (right - box[2], back - box[3])
        if high[0] < low[0] - JUST_FITS or high[1] < low[1] - JUST_FITS:
            return shapely.Polygon()
        free: BaseGeometry = shapely.box(
            low[0] - JUST_FITS, low[1] - JUST_FITS, max(high[0], low[0]) + JUST_FITS, max(high[1], low[1]) + JUST_FITS
        )
        kept = self.sheet.kerf + self.items[item].loose
        for zone in self.sheet.barred:
            for part in shapely.get_parts(zone):
                free = free.difference(no_fit(pieces(part), self.pieces(item, turn, kept)))
        return free


class Board:
    """One board being filled. ``fixed`` lie there already, and everything else keeps off them."""

    def __init__(self, shapes: Shapes, fixed: Sequence[Fixed] = ()) -> None:
        self.shapes = shapes
        self.free: dict[tuple[int, int], BaseGeometry] = {}
        self.placed: list[Placed] = []
        self.standing: list[tuple[tuple[int, int], Placement]] = []
        for each in fixed:
            self._stand(each.item, each.place)

    def lay(self, item: int, towards: Towards) -> bool:
        """Lay one more copy as far to the left (or front) as it goes; False if there is no place for it."""
        best: tuple[tuple[float, ...], Placement] | None = None
        for turn in self.shapes.items[item].turns:
            found = _corner(self.free_places(item, turn), self.shapes.items[item].box(turn), towards)
            if found is not None and (best is None or found[0] < best[0]):
                best = found[0], Placement(*found[1], turn)
        if best is None:
            return False
        self.placed.append(Placed(item, best[1]))
        self._stand(item, best[1])
        return True

    def free_places(self, item: int, turn: int) -> BaseGeometry:
        """Where one more copy may be placed."""
        key = (item, turn)
        if key not in self.free:
            area = self.shapes.free(item, turn)
            for standing, place in self.standing:
                area = area.difference(self._carried(standing, key, place))
            self.free[key] = area
        return self.free[key]

    def _stand(self, item: int, place: Placement) -> None:
        standing = (item, place.turn % 4)
        self.standing.append((standing, place))
        for key, area in self.free.items():
            if not area.is_empty:
                self.free[key] = area.difference(self._carried(standing, key, place))

    def _carried(self, standing: tuple[int, int], key: tuple[int, int], place: Placement) -> Any:
        import shapely

        by = np.array([place.x, place.y])
        return shapely.transform(self.shapes.no_fit(standing, key), lambda points: points + by)


def _corner(
    area: BaseGeometry, box: tuple[float, float, float, float], towards: Towards
) -> tuple[tuple[float, ...], tuple[float, float]] | None:
    """How good the best corner of the free places is (less is better), and its place."""
    import shapely

    if area.is_empty:
        return None
    places = np.round(shapely.get_coordinates(area), _STEP)
    first, second = (0, 1) if towards == "left" else (1, 0)
    # By the far edge of the part first, so that what is left of the board is in one piece.
    along, across = places[:, first] + box[2 + first], places[:, second] + box[2 + second]
    k = np.lexsort((across, along))[0]
    x, y = places[k].tolist()
    return (float(along[k]), float(across[k])), (x, y)
