"""Rows of one part: plain ones, as a layout has them, and offset ones, in which round parts lie in the gaps.

Offset rows are a lattice: a row's pitch and the distance to the next row are read off the part's no-fit area with
itself, so that neighbours stay apart whatever the part's outline is.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from pathkit.curves.regions import rectangle
from pathkit.errors import Refused
from pathkit.model.curve import Curve
from pathkit.model.tool import SMALLEST, Tool
from pathkit.operations.copies import placed as placed_curve
from pathkit.operations.layout import MOST_COPIES, Layout, Placement, fill
from pathkit.operations.nesting.placing import Board, Shapes
from pathkit.operations.nesting.values import Fixed, Placed
from pathkit.tolerances import QUOTIENT_ROUNDING, SAME_PLACE

SHARES = (1 / 2, 1 / 3, 1 / 4)
"""Offsets that are tried for the next row, as shares of a row's pitch."""


def rows(shapes: Shapes, item: int, fixed: Sequence[Fixed] = ()) -> list[Placed]:
    """As many copies of a part as rows of one kind hold, from the front left corner."""
    kept = _keeps_off(shapes, item, fixed)
    best: list[Placement] = []
    for turn in _unlike_turns(shapes.items[item].turns):
        ways = [_plain(shapes, item, turn)]
        ways += [each for columns in (False, True) for each in _offset(shapes, item, turn, columns)]
        for places in ways:
            there = [place for place in places if kept is None or kept(place)]
            if len(there) > len(best):
                best = there
    return [Placed(item, place) for place in best]


def cells(shapes: Shapes, wanted: Sequence[int]) -> list[Placed]:
    """Different parts, one in each place of plain rows that are as wide and deep as the largest of them need."""
    boxes = {k: shapes.items[k].box(shapes.items[k].turns[0]) for k in set(wanted)}
    width = max(box[2] - box[0] for box in boxes.values())
    depth = max(box[3] - box[1] for box in boxes.values())
    try:
        layout = _full(shapes, rectangle((0.0, 0.0), width, depth))
    except Refused:
        return []
    placed: list[Placed] = []
    for k, corner in zip(wanted, layout.placements, strict=False):
        turn = shapes.items[k].turns[0]
        placed.append(Placed(k, Placement(corner.x - boxes[k][0], corner.y - boxes[k][1], turn)))
    return placed


def _unlike_turns(turns: Sequence[int]) -> list[int]:
    """The turns without those that differ by half a turn, since both take the same room."""
    return list({turn % 2: turn for turn in reversed(turns)}.values())


def _full(shapes: Shapes, outline: Curve) -> Layout:
    sheet = shapes.sheet
    return fill(
        outline, sheet.stock, Tool("the bit", max(sheet.kerf, SMALLEST)), spacing=sheet.apart, margin=sheet.margin
    )


def _plain(shapes: Shapes, item: int, turn: int) -> list[Placement]:
    outline = placed_curve(shapes.items[item].outline, Placement(0.0, 0.0, turn))
    try:
        layout = _full(shapes, outline)
    except Refused:
        # None fits, or more than a layout holds at most.
        return []
    return [Placement(place.x, place.y, turn) for place in layout.placements]


def _offset(shapes: Shapes, item: int, turn: int, columns: bool) -> Iterator[list[Placement]]:
    """Zigzag rows (columns: the board seen with x and y exchanged) of every pitch and offset worth trying."""
    import shapely

    own = shapes.no_fit((item, turn), (item, turn))
    box, room = shapes.items[item].box(turn), shapes.sheet.room
    if columns:
        own = shapely.transform(own, lambda points: points[:, ::-1])
        box, room = (box[1], box[0], box[3], box[2]), (room[1], room[0], room[3], room[2])
    width, depth = room[2] - room[0] - (box[2] - box[0]), room[3] - room[1] - (box[3] - box[1])
    if width < -SAME_PLACE or depth < -SAME_PLACE:
        return
    tight = _pitch(own)
    many = math.floor(width / tight + QUOTIENT_ROUNDING) + 1
    pitches = [tight, *(width / n for n in (many - 1, many - 0.5) if n > 0.0 and width / n >= tight)]
    for pitch in dict.fromkeys(pitches):
        for share in SHARES:
            offset = share * pitch
            height = max(_reach(own, offset, pitch), _reach(own, -offset, pitch), _reach(own, 0.0, pitch) / 2.0)
            if height <= SAME_PLACE or (width / pitch + 1.0) * (depth / height + 1.0) > 2 * MOST_COPIES:
                continue
            places = []
            for row in range(math.floor(depth / height + QUOTIENT_ROUNDING) + 1):
                shift = offset if row % 2 else 0.0
                count = math.floor((width - shift) / pitch + QUOTIENT_ROUNDING) + 1
                places += [(shift + k * pitch, row * height) for k in range(count)]
            corners = [(room[0] - box[0] + x, room[1] - box[1] + y) for x, y in places]
            yield [Placement(*(corner[::-1] if columns else corner), turn) for corner in corners]


def _pitch(own: Any) -> float:
    """The least distance (mm) between neighbours of a row."""
    import shapely

    left, _, right, _ = shapely.bounds(own).tolist()
    along = shapely.intersection(own, shapely.LineString([(left - 1.0, 0.0), (right + 1.0, 0.0)]))
    return float(shapely.bounds(along)[2]) + SAME_PLACE


def _reach(own: Any, offset: float, pitch: float) -> float:
    """How far (mm) behind a row of copies ``pitch`` mm apart a copy that is shifted by ``offset`` mm must lie."""
    import shapely

    left, front, right, back = shapely.bounds(own).tolist()
    first, last = math.ceil((left - offset) / pitch), math.floor((right - offset) / pitch)
    lines = [
        shapely.LineString([(offset + k * pitch, front - 1.0), (offset + k * pitch, back + 1.0)])
        for k in range(first, last + 1)
    ]
    cut = shapely.intersection(own, shapely.MultiLineString(lines)) if lines else shapely.Point()
    return 0.0 if cut.is_empty else max(0.0, float(shapely.bounds(cut)[3])) + SAME_PLACE


def _keeps_off(shapes: Shapes, item: int, fixed: Sequence[Fixed]) -> Callable[[Placement], bool] | None:
    """Says of a place whether it keeps off screws, clamps and what lies there already; None if there are none."""
    import shapely

    if not fixed and not shapes.sheet.barred:
        return None
    board = Board(shapes, fixed)
    free = {turn: shapely.buffer(board.free_places(item, turn), SAME_PLACE) for turn in shapes.items[item].turns}
    return lambda place: bool(shapely.intersects_xy(free[place.turn], place.x, place.y))
