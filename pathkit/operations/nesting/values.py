"""What nesting takes and what it returns: plain values, mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from pathkit.operations.layout import Placement
from pathkit.tolerances import NESTING_CHORDS

if TYPE_CHECKING:
    from pathkit.model.curve import Curve
    from pathkit.model.stock import Stock

_QUARTERS = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))


@dataclass(frozen=True)
class Item:
    """A part: its ``outline`` as drawn (closed), how many are wanted, and the quarter turns that it may have."""

    name: str
    outline: Curve
    quantity: int = 1
    turns: tuple[int, ...] = (0,)

    @cached_property
    def ring(self) -> NDArray[np.float64]:
        """Vertices (n, 2), counter-clockwise, the last not repeated; arcs as chords within `NESTING_CHORDS`."""
        points = self.outline.flattened(NESTING_CHORDS)[:, :2]
        return points if self.outline.area > 0.0 else points[::-1]

    @cached_property
    def loose(self) -> float:
        """mm by which the part may reach beyond its `ring`."""
        return NESTING_CHORDS if self.outline.sweeps.any() else 0.0

    @cached_property
    def area(self) -> float:
        return abs(self.outline.area)

    def box(self, turn: int) -> tuple[float, float, float, float]:
        """(left, front, right, back) of the part turned about the origin of its drawing."""
        left, front, right, back = self.outline.bounds
        corners = turned(np.array([[left, front], [right, back]]), turn)
        low, high = corners.min(axis=0), corners.max(axis=0)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])


@dataclass(frozen=True)
class Fixed:
    """A copy of ``items[item]`` that lies at a given place on the first board."""

    item: int
    place: Placement


@dataclass(frozen=True)
class Sheet:
    """A board. ``apart`` mm are kept between parts, ``margin`` mm at its edges, ``kerf`` mm around what is barred."""

    stock: Stock
    apart: float
    margin: float
    kerf: float

    @property
    def room(self) -> tuple[float, float, float, float]:
        """(left, front, right, back) within which parts lie."""
        return self.margin, self.margin, self.stock.width - self.margin, self.stock.depth - self.margin

    @cached_property
    def barred(self) -> tuple[Any, ...]:
        """Screws and clamps (shapely)."""
        return tuple(zone.shape for zone in self.stock.zones if zone.is_keep_out)


@dataclass(frozen=True)
class Placed:
    """A copy of ``items[item]`` at its place."""

    item: int
    place: Placement


@dataclass(frozen=True)
class Nested:
    """One board and what lies on it, from the front left corner; to be cut ``times`` times. ``items`` are all parts."""

    stock: Stock
    items: tuple[Item, ...]
    placed: tuple[Placed, ...]
    apart: float
    times: int = 1

    @property
    def count(self) -> int:
        return len(self.placed)

    @property
    def counts(self) -> tuple[int, ...]:
        """How many copies of each part."""
        return tuple(sum(each.item == k for each in self.placed) for k in range(len(self.items)))

    @property
    def waste(self) -> float:
        """Share of the board's area, 0 to 1, that does not become parts."""
        area = sum(self.items[each.item].area for each in self.placed)
        return 1.0 - area / (self.stock.width * self.stock.depth)

    def as_dict(self) -> dict[str, Any]:
        """For JSON: mm, mm², and the waste as a share."""
        return {
            "board_mm": [self.stock.width, self.stock.depth],
            "copies": self.count,
            "parts": {item.name: n for item, n in zip(self.items, self.counts, strict=True) if n},
            "spacing_mm": self.apart,
            "parts_mm2": sum(self.items[each.item].area for each in self.placed),
            "waste": round(self.waste, 6),
        }

    def __str__(self) -> str:
        board = f"{self.stock.width:g} × {self.stock.depth:g} mm"
        said = ", ".join(f"{n} of {item.name}" for item, n in zip(self.items, self.counts, strict=True) if n)
        return f"{said} on a board of {board}, {100.0 * self.waste:.0f} % of it waste"


def turned(points: NDArray[np.float64], turn: int) -> NDArray[np.float64]:
    """Points (n, 2) turned about the origin by quarter turns, exactly."""
    cos, sin = _QUARTERS[turn % 4]
    return np.stack([cos * points[:, 0] - sin * points[:, 1], sin * points[:, 0] + cos * points[:, 1]], axis=1)


def in_order(placed: Sequence[Placed], items: Sequence[Item]) -> tuple[Placed, ...]:
    """Copies part by part; those of a part row by row, from the front left corner."""

    def key(each: Placed) -> tuple[int, float, float]:
        left, front, _, _ = items[each.item].box(each.place.turn)
        return each.item, each.place.y + front, each.place.x + left

    return tuple(sorted(placed, key=key))
