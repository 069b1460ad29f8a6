"""Copies on boards: as many as fit, or a given count over several boards.

Copies lie in rows, or in columns if more of them fit that way. A row is filled between what is in its way (screws,
clamps), and rows are placed so that the board holds as many copies as rows can. All copies of a layout lie the same
way, so that the grain runs through all of them alike.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal, NamedTuple, get_args

from pathkit.curves.regions import Shape, region_of
from pathkit.errors import InputError, Refused
from pathkit.findings import Finding
from pathkit.model.checking import Faults
from pathkit.model.stock import Stock
from pathkit.model.tool import Tool
from pathkit.tolerances import QUOTIENT_ROUNDING, REPEATED, ROUNDING

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

Align = Literal["corner", "centre"]

MOST_COPIES = 5000
"""The most copies on one board."""


class Placement(NamedTuple):
    """Where a copy lies: ``turn`` quarter turns counter-clockwise about the origin, then moved by (x, y) mm."""

    x: float
    y: float
    turn: int = 0


@dataclass(frozen=True)
class Layout:
    """One board and the copies on it.

    ``size`` (width, depth) of a copy as it lies and ``spacing`` between neighbours, mm; ``area`` of one copy in mm².
    ``placements`` move the shape as it was drawn; they are listed row by row, from the front left corner.
    """

    stock: Stock
    size: tuple[float, float]
    spacing: float
    area: float
    placements: tuple[Placement, ...]

    @property
    def count(self) -> int:
        return len(self.placements)

    @property
    def turn(self) -> int:
        """Quarter turns of every copy."""
        return self.placements[0].turn if self.placements else 0

    @property
    def grain(self) -> float:
        """The board's grain in degrees from the *drawing's* x: what a raster drawn with the part must follow."""
        return (self.stock.grain - 90.0 * self.turn) % 180.0

    @property
    def waste(self) -> float:
        """Share of the board's area, 0 to 1, that does not become parts."""
        return 1.0 - self.count * self.area / (self.stock.width * self.stock.depth)

    def as_dict(self) -> dict[str, Any]:
        """For JSON: mm, mm², and the waste as a share."""
        return {
            "board_mm": [self.stock.width, self.stock.depth],
            "copies": self.count,
            "copy_mm": list(self.size),
            "turn": self.turn,
            "spacing_mm": self.spacing,
            "parts_mm2": self.count * self.area,
            "waste": round(self.waste, 6),
        }

    def __str__(self) -> str:
        board = f"{self.stock.width:g} × {self.stock.depth:g} mm"
        copies = "1 copy" if self.count == 1 else f"{self.count} copies"
        return f"{copies} on a board of {board}, {100.0 * self.waste:.0f} % of it waste"


def fill(  # noqa: PLR0913 - each is asked for by its name
    shape: Shape,
    stock: Stock,
    tool: Tool,
    *,
    count: int | None = None,
    web: float | None = None,
    spacing: float | None = None,
    margin: float | None = None,
    keep_grain: bool = True,
    align: Align = "corner",
    avoid: Sequence[Shape] = (),
) -> Layout:
    """As many copies of ``shape`` as one board holds in rows or columns, or ``count`` if that is fewer.

    ``tool`` cuts the outlines: between two copies there are two of its kerfs and ``web`` mm of wood (its diameter
    unless given), or ``spacing`` mm in all. ``margin`` mm (a kerf and a web unless given) stay free at the board's
    edges. Copies and their kerfs keep off the screws and clamps in the stock's zones, and off ``avoid``. With
    ``keep_grain`` no copy is turned; without it, all are turned by a quarter turn if more fit that way. ``align`` says
    where the copies lie if they leave room: in the front left corner, so that the offcut stays in one piece, or in the
    middle of the board (only if there is nothing to avoid).

    Raises `Refused`, with the sizes, if not one copy fits.
    """
    _check(count, web, spacing, margin, align)
    spec = _spec(shape, stock, tool, web, spacing, margin, avoid)
    layout = _best(spec, turns=(0,) if keep_grain else (0, 1), align=align)
    if not layout.count:
        raise Refused([_too_large(spec)])
    if count is not None and count < layout.count:
        return Layout(stock, layout.size, layout.spacing, layout.area, layout.placements[:count])
    return layout


def spread(shape: Shape, stock: Stock, tool: Tool, count: int, **options: Any) -> tuple[Layout, ...]:
    """``count`` copies over as many equal boards as they need; the last board holds the rest.

    ``options`` are those of `fill`. Raises `Refused` if not one copy fits on a board.
    """
    full = fill(shape, stock, tool, **options)
    _check(count, None, None, None, "corner")
    boards, rest = divmod(count, full.count)
    last = Layout(stock, full.size, full.spacing, full.area, full.placements[:rest])
    return (full,) * boards + ((last,) if rest else ())


def _check(count: object, web: object, spacing: object, margin: object, align: object) -> None:
    faults = Faults("layout")
    if count is not None and (isinstance(count, bool) or not isinstance(count, int) or count < 1):
        faults.add(f"count is {count!r}", "a whole number, at least 1", "count")
    for name, value in (("web", web), ("spacing", spacing), ("margin", margin)):
        faults.number(value, name, least=0.0, optional=True)
    faults.choice(align, get_args(Align), "align")
    faults.raise_any()
    if web is not None and spacing is not None:
        raise InputError("layout: web and spacing both say how far copies lie apart; give one of them")


@dataclass(frozen=True)
class _Spec:
    """What a layout must keep to: bounds (x0, y0, x1, y1) of the shape as drawn, distances in mm, what to keep off."""

    stock: Stock
    bounds: tuple[float, float, float, float]
    area: float
    spacing: float
    margin: float
    kerf: float
    barred: tuple[BaseGeometry, ...]

    def size(self, turn: int) -> tuple[float, float]:
        width, depth = self.bounds[2] - self.bounds[0], self.bounds[3] - self.bounds[1]
        return (width, depth) if turn == 0 else (depth, width)

    def placement(self, x: float, y: float, turn: int) -> Placement:
        """The placement that brings the front left corner of a copy to (x, y)."""
        left, front, _, back = self.bounds
        # A quarter turn takes (x, y) to (−y, x), so that the left edge is what was the back one.
        return Placement(x - left, y - front, 0) if turn == 0 else Placement(x + back, y - left, 1)


def _spec(
    shape: Shape, stock: Stock, tool: Tool, web: float | None, spacing: float | None, margin: float | None,
    avoid: Sequence[Shape],
) -> _Spec:  # fmt: skip
    region = region_of(shape, "layout")
    apart = spacing if spacing is not None else 2.0 * tool.diameter + (tool.diameter if web is None else web)
    if apart < tool.diameter - ROUNDING:
        what = f"copies {apart:g} mm apart leave no room for the kerf of {tool.name!r}, {tool.diameter:g} mm wide"
        raise Refused(
            [Finding(check="layout", what=what, fix=f"spacing = {tool.diameter:g} at least, or a narrower bit")]
        )
    edge = margin if margin is not None else apart - tool.diameter
    boxes = [ring.bounds for ring in region.rings]
    bounds = tuple(float(f(box[i] for box in boxes)) for i, f in enumerate((min, min, max, max)))
    barred: list[BaseGeometry] = [zone.shape for zone in stock.zones if zone.is_keep_out]
    barred += [region_of(each, f"avoid[{k}]").area for k, each in enumerate(avoid)]
    net = float(sum(ring.area for ring in region.rings))
    return _Spec(stock, bounds, net, apart, edge, tool.diameter, tuple(barred))  # type: ignore[arg-type]


def _too_large(spec: _Spec) -> Finding:
    width, depth = spec.size(0)
    room = spec.stock.width - 2.0 * spec.margin, spec.stock.depth - 2.0 * spec.margin
    what = (
        f"a copy of {width:g} × {depth:g} mm does not fit on the board of {spec.stock.width:g} × {spec.stock.depth:g}"
        f" mm, which has {room[0]:g} × {room[1]:g} mm within its margin of {spec.margin:g} mm"
    )
    if spec.barred and width <= room[0] and depth <= room[1]:
        what += ", less what has to be avoided"
    return Finding(check="layout", what=what, fix=_room_for(spec))


def _room_for(spec: _Spec) -> str:
    width, depth = (side + 2.0 * spec.margin for side in spec.size(0))
    most = min(spec.stock.width - width, spec.stock.depth - depth) / 2.0 + spec.margin
    if 1.0 <= 10.0 * most < 10.0 * spec.margin:
        margin = math.floor(10.0 * most) / 10.0
        return f"take a board of width = {width:g}, depth = {depth:g} at least, or margin = {margin:g}"
    return f"take a board of width = {width:g}, depth = {depth:g} at least"


def _best(spec: _Spec, turns: Sequence[int], align: Align) -> Layout:
    found: list[Layout] = []
    for turn in turns:
        size = spec.size(turn)
        for columns in (False, True):
            corners = _Rows(spec, size, columns).corners()
            if align == "centre" and not spec.barred:
                corners = _centred(corners, size, spec.stock)
            corners.sort(key=lambda corner: (corner[1], corner[0]))
            placements = tuple(spec.placement(x, y, turn) for x, y in corners)
            found.append(Layout(spec.stock, size, spec.spacing, spec.area, placements))
    return max(found, key=lambda layout: layout.count)


class _Rows:
    """Rows of one board. With ``columns`` the board is seen with x and y exchanged."""

    def __init__(self, spec: _Spec, size: tuple[float, float], columns: bool) -> None:
        self.spec, self.columns = spec, columns
        self.width, self.depth = size[::-1] if columns else size
        stock = spec.stock
        across, along = (stock.depth, stock.width) if columns else (stock.width, stock.depth)
        self.low, self.right, self.back = spec.margin, across - spec.margin, along - spec.margin

    def _refuse_many(self) -> None:
        room = (self.right - self.low + self.spec.spacing) * (self.back - self.low + self.spec.spacing)
        many = room / ((self.width + self.spec.spacing) * (self.depth + self.spec.spacing))
        if many > MOST_COPIES:
            what = f"a board would hold more than {MOST_COPIES} copies of {self.width:.3g} × {self.depth:.3g} mm"
            raise Refused([Finding(check="layout", what=what, fix="take a smaller board, or a larger spacing")])

    def corners(self) -> list[tuple[float, float]]:
        """Front left corners of the copies, as many as rows can hold: the best rows are found from the back."""
        self._refuse_many()
        pitch = self.depth + self.spec.spacing
        heights = self._heights(pitch)
        best: dict[int, tuple[int, int | None]] = {len(heights): (0, None)}
        rows = [self._row(y) for y in heights]
        for k in range(len(heights) - 1, -1, -1):
            after = next(
                (j for j in range(k + 1, len(heights)) if heights[j] >= heights[k] + pitch - ROUNDING), len(rows)
            )
            taken = len(rows[k]) + best[after][0]
            best[k] = (taken, after) if taken >= best[k + 1][0] and rows[k] else (best[k + 1][0], None)
        placed: list[tuple[float, float]] = []
        k = 0
        while k < len(heights):
            after_k = best[k][1]
            if after_k is None:
                k += 1
                continue
            placed += [(x, heights[k]) for x in rows[k]]
            k = after_k
        return [(y, x) for x, y in placed] if self.columns else placed

    def _heights(self, pitch: float) -> list[float]:
        """y (mm) at which a row may begin: from the front margin on, and from the back of whatever is in the way."""
        begins = [self.low]
        begins += [high + self.spec.kerf + REPEATED for _, _, _, high in self._barred_boxes]
        last = self.back - self.depth
        found = {
            round(begin + k * pitch, 9)
            for begin in begins
            for k in range(max(0, math.floor((last - begin) / pitch + QUOTIENT_ROUNDING) + 1))
            if begin >= self.low - ROUNDING
        }
        return sorted(found)

    def _row(self, y: float) -> list[float]:
        """Left edges of the copies of a row, each as far left as it can be."""
        row: list[float] = []
        x = self.low
        for low, high in [*self._blocked(y), (self.right + self.spec.kerf, math.inf)]:
            # The room for copies, which must end a kerf short of what is in the way.
            room = min(low - self.spec.kerf, self.right) - x
            count = math.floor((room + self.spec.spacing) / (self.width + self.spec.spacing) + QUOTIENT_ROUNDING)
            row += [x + k * (self.width + self.spec.spacing) for k in range(count)]
            if row:
                x = max(x, row[-1] + self.width + self.spec.spacing)
            x = max(x, high + self.spec.kerf + REPEATED)
        return row

    @cached_property
    def _barred_boxes(self) -> list[tuple[float, float, float, float]]:
        boxes = [shape.bounds for shape in self.spec.barred]
        return [(b[1], b[0], b[3], b[2]) for b in boxes] if self.columns else boxes

    def _blocked(self, y: float) -> list[tuple[float, float]]:
        """Stretches (low, high) along the row that hold something to be avoided, left to right."""
        import shapely

        low, high = y - self.spec.kerf, y + self.depth + self.spec.kerf
        reach = max(self.spec.stock.width, self.spec.stock.depth) + 1e4
        strip = shapely.box(-reach, low, reach, high)
        if self.columns:
            strip = shapely.box(low, -reach, high, reach)
        spans: list[tuple[float, float]] = []
        for shape in self.spec.barred:
            for piece in shapely.get_parts(shapely.intersection(shape, strip)):
                if piece.is_empty:
                    continue
                left, front, right, back = piece.bounds
                across = (left, right) if self.columns else (front, back)
                if across[1] - across[0] > REPEATED:
                    spans.append((front, back) if self.columns else (left, right))
        return sorted(spans)


def _centred(
    corners: list[tuple[float, float]], size: tuple[float, float], stock: Stock
) -> list[tuple[float, float]]:  # fmt: skip
    if not corners:
        return corners
    left, front = min(x for x, _ in corners), min(y for _, y in corners)
    right, back = max(x for x, _ in corners) + size[0], max(y for _, y in corners) + size[1]
    by = (stock.width - right - left) / 2.0, (stock.depth - back - front) / 2.0
    return [(x + by[0], y + by[1]) for x, y in corners]
