"""How many boards are needed, and what lies on each: a board is filled in several ways, and the fullest one is kept.

The same parts give the same boards, to the last digit: random choices come from one seed, and no clock decides.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from pathkit.errors import Refused
from pathkit.findings import Finding
from pathkit.operations.layout import MOST_COPIES
from pathkit.operations.nesting import strip
from pathkit.operations.nesting.patterns import cells, rows
from pathkit.operations.nesting.placing import Board, Shapes, Towards
from pathkit.operations.nesting.separation import faults
from pathkit.operations.nesting.values import Fixed, Item, Nested, Placed, Sheet, in_order
from pathkit.tolerances import NO_AREA

COPIES_TRIED: Final = 600
"""Copies laid one by one, over all the ways of filling one board, before the remaining ways are left out."""

COPIES_TRIED_LONGER: Final = 6000
"""The same, if one board fewer might do."""

FULL: Final = 0.96
"""The largest share of a board's room that parts may have as their area for a longer search to be tried."""

GAIN: Final = 1.15
"""The most that a longer search can hope to lay on a board, as a multiple of what lies on it already."""

SEED: Final = 1


def nest(items: Sequence[Item], sheet: Sheet, fixed: Sequence[Fixed] = ()) -> tuple[Nested, ...]:
    """Boards that together hold ``quantity`` copies of every item, and on the first of them also the ``fixed`` copies.

    A board that is needed several times is listed once, with its ``times``. No board holds less than plain rows of one
    part would. Raises `Refused` for a part that fits on no board, with its size, and for more than `MOST_COPIES`.
    """
    shapes = Shapes(tuple(items), sheet)
    left = [item.quantity for item in items]
    _refuse_large(shapes, left)
    boards: list[Nested] = []
    standing = tuple(fixed)
    while any(left) or standing:
        placed = _filled(shapes, left, standing) if any(left) else []
        if not placed and not standing:
            _refuse(shapes, next(k for k, n in enumerate(left) if n))
        counts = [sum(each.item == k for each in placed) for k in range(len(items))]
        times = 1 if standing else min(n // count for n, count in zip(left, counts, strict=True) if count)
        left = [n - times * count for n, count in zip(left, counts, strict=True)]
        on_it = [*(Placed(each.item, each.place) for each in standing), *placed]
        boards.append(Nested(sheet.stock, shapes.items, in_order(on_it, items), sheet.apart, times))
        standing = ()
    return tuple(boards)


def _filled(shapes: Shapes, left: Sequence[int], fixed: Sequence[Fixed]) -> list[Placed]:
    """The fullest board that any way gives, and among equally full ones that with the largest offcut."""
    best: list[Placed] = []
    score = (-1.0, 0.0)
    everything = sum(n * area for n, area in zip(left, shapes.grown_areas, strict=True))
    for placed in _ways(shapes, left, fixed):
        if _lies_wrong(shapes, placed, fixed):
            continue
        found = _score(shapes, placed)
        if found > score:
            best, score = placed, found
    if score[0] < everything - NO_AREA and _may_fit(shapes, left, everything, score[0]):
        # One board might do for all that is left, so a longer search is worth it.
        for tried in _tries(shapes, left, fixed):
            if len(tried) == sum(left) and not _lies_wrong(shapes, tried, fixed):
                return tried
    return best


def _lies_wrong(shapes: Shapes, placed: Sequence[Placed], fixed: Sequence[Fixed]) -> bool:
    """Whether `separation` finds a fault in what was laid; how ``fixed`` lie among themselves is the job's business."""
    there = [*placed, *(Placed(each.item, each.place) for each in fixed)]
    return any(fault.one < len(placed) for fault in faults(shapes.items, there, shapes.sheet))


def _may_fit(shapes: Shapes, left: Sequence[int], wanted: float, taken: float) -> bool:
    """Whether a longer search may get parts of ``wanted`` mm² on a board where ``taken`` mm² of them lie already."""
    import shapely

    left_edge, front, right, back = shapes.sheet.room
    # At an edge parts need none of the room around them.
    room = (right - left_edge + shapes.sheet.apart) * (back - front + shapes.sheet.apart)
    live = [k for k, n in enumerate(left) if n]
    hull = shapely.MultiPoint(shapes.items[live[0]].ring).convex_hull.area
    # For a single part that is nearly convex, rows are hard to beat.
    plain = len(live) == 1 and hull < 1.02 * shapes.items[live[0]].area
    return not plain and sum(left) <= strip.MOST and wanted <= min(FULL * room, GAIN * taken)


def _tries(shapes: Shapes, left: Sequence[int], fixed: Sequence[Fixed]) -> Iterator[list[Placed]]:
    """Attempts at all that is left on one board: in orders that change step by step, then as a strip."""
    rng = random.Random(SEED)
    order = [k for k in _by(shapes, [k for k, n in enumerate(left) if n])[0] for _ in range(left[k])]
    score, tried = (-1.0, 0.0), 0
    while tried < COPIES_TRIED_LONGER:
        new = list(order)
        new.insert(rng.randrange(len(new)), new.pop(rng.randrange(len(new))))
        placed = _laid(shapes, new, [1] * len(left), fixed, rng.choice(("left", "front")))
        yield placed
        tried += len(new)
        if (found := _score(shapes, placed)) >= score:
            order, score = new, found
    if not fixed and not shapes.sheet.barred:
        yield strip.fuller(shapes, left) or []


def _ways(shapes: Shapes, left: Sequence[int], fixed: Sequence[Fixed]) -> Iterator[list[Placed]]:
    live = [k for k, n in enumerate(left) if n]
    in_rows = [rows(shapes, k, fixed)[: left[k]] for k in live]
    yield from in_rows
    if len(live) > 1 and not fixed:
        yield cells(shapes, [k for k in _by(shapes, live)[0] for _ in range(left[k])])
    if len(live) == 1 and sum(left) > COPIES_TRIED and in_rows[0]:
        return
    tried = 0
    for order in _by(shapes, live):
        for towards in ("left", "front"):
            placed = _laid(shapes, order, left, fixed, towards)
            yield placed
            tried += len(placed)
            if tried > COPIES_TRIED:
                return


def _by(shapes: Shapes, live: Sequence[int]) -> list[list[int]]:
    """Orders worth a try: by area, by the longer side, by depth, by width; the largest first."""
    boxes = {k: shapes.items[k].box(shapes.items[k].turns[0]) for k in live}
    sides = {k: (box[2] - box[0], box[3] - box[1]) for k, box in boxes.items()}
    keys = (
        lambda k: -shapes.grown_areas[k], lambda k: -max(sides[k]), lambda k: -sides[k][1], lambda k: -sides[k][0],
    )  # fmt: skip
    orders = [sorted(live, key=key) for key in keys]
    return [order for n, order in enumerate(orders) if order not in orders[:n]]


def _laid(
    shapes: Shapes, order: Sequence[int], left: Sequence[int], fixed: Sequence[Fixed], towards: Towards
) -> list[Placed]:
    board = Board(shapes, fixed)
    for item in order:
        for _ in range(left[item]):
            if not board.lay(item, towards):
                break
    return board.placed


def _score(shapes: Shapes, placed: Sequence[Placed]) -> tuple[float, float]:
    """mm² of parts with their room, and minus the share of the board that they reach over, by width or depth."""
    taken = sum(shapes.grown_areas[each.item] for each in placed)
    reach = [0.0, 0.0]
    for each in placed:
        box = shapes.items[each.item].box(each.place.turn)
        reach = [max(reach[0], each.place.x + box[2]), max(reach[1], each.place.y + box[3])]
    stock = shapes.sheet.stock
    return round(taken, 6), -round(min(reach[0] / stock.width, reach[1] / stock.depth), 9)


def _refuse_large(shapes: Shapes, left: Sequence[int]) -> None:
    found = []
    for k, n in enumerate(left):
        if n and all(shapes.free(k, turn).is_empty for turn in shapes.items[k].turns):
            found.append(_too_large(shapes, k))
    if found:
        raise Refused(found)
    if sum(left) > MOST_COPIES:
        what = f"{sum(left)} copies are asked for, and at most {MOST_COPIES} are laid out"
        raise Refused([Finding(check="layout", what=what, fix="ask for fewer at a time")])


def _refuse(shapes: Shapes, item: int) -> None:
    raise Refused([_too_large(shapes, item)])


def _too_large(shapes: Shapes, item: int) -> Finding:
    sheet, part = shapes.sheet, shapes.items[item]
    box = part.box(part.turns[0])
    left, front, right, back = sheet.room
    what = (
        f"the part {part.name!r} of {box[2] - box[0]:g} × {box[3] - box[1]:g} mm does not fit on the board of"
        f" {sheet.stock.width:g} × {sheet.stock.depth:g} mm, which has {right - left:g} × {back - front:g} mm within"
        f" its margin of {sheet.margin:g} mm"
    )
    if sheet.barred:
        what += ", less screws and clamps"
    fix = "take a larger board or a smaller margin, or let it be turned (layout.keep_grain = false)"
    return Finding(check="layout", what=what, fix=fix)


def alone(boards: Sequence[Nested]) -> tuple[Nested, ...]:
    """Every board listed by itself, so that each can be marked differently."""
    return tuple(replace(board, times=1) for board in boards for _ in range(board.times))
