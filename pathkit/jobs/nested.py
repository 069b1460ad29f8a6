"""Parts that are laid out one by one: nested on boards, or placed where the job file says, with their toolpaths."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.jobs.bits import Bits
from pathkit.jobs.boards import at_board
from pathkit.jobs.drawn import Drawn, frame_tool, refuse_grooves, usual_web
from pathkit.jobs.layout_form import Layout
from pathkit.jobs.mark_form import Marks
from pathkit.jobs.origins import Origins
from pathkit.jobs.piece import Piece
from pathkit.jobs.reading import JobFile
from pathkit.jobs.toolpaths import piece_of
from pathkit.model.stock import Stock, Zone
from pathkit.operations.copies import Copies, by_stage, laid_out, placed
from pathkit.operations.layout import Placement
from pathkit.tolerances import COMMON_EDGE, ROUNDING, SAME_PLACE, SHAPE_CHORDS

if TYPE_CHECKING:
    from pathkit.model.curve import Curve
    from pathkit.operations.nesting import Fixed, Item, Nested, Sheet


def nested_boards(file: JobFile, made: Drawn, board: int, stock: Stock, bits: Bits) -> tuple[Nested, ...]:
    """What lies on each board. Raises `InputError` for parts that the job file places on each other or over the board's
    edge, `Refused` for those that fit on no board."""
    from pathkit.operations.nesting import alone, nest

    sheet, items, fixed = _asked(file, made, stock, bits)
    _refuse_fixed(file, items, fixed, sheet)
    with at_board(file, board):
        boards = nest(items, sheet, fixed)
        return alone(boards) if file.form.is_marked else boards


class Pieces:
    """The toolpaths of each part, made once for all copies of it that lie and are marked alike.

    ``origins`` says where in the job file they come from.
    """

    def __init__(self, file: JobFile, made: Drawn, stock: Stock, bits: Bits) -> None:
        self.file, self.made, self.stock, self.bits = file, made, stock, bits
        self.known: dict[tuple[int, int, int], Piece] = {}
        self.origins = Origins(file.source)

    def of(self, part: int, turn: int, copy: int) -> Piece:
        """Copy ``copy`` (from 0) of a part, turned by ``turn`` quarters. Rows run along the grain either way."""
        marked = any(isinstance(op, Marks) and op.differs for op in self.file.form.part[part].operations)
        key = (part, turn % 2, copy if marked else 0)
        if key not in self.known:
            grain = (self.stock.grain - 90.0 * turn) % 180.0
            piece = piece_of(self.file, self.made, self.stock, self.bits, grain=grain, only=part, copy=key[2])
            self.known[key] = piece
            self.origins.join(piece.origins)
        return self.known[key]

    @property
    def notes(self) -> tuple[Finding, ...]:
        return tuple(dict.fromkeys(note for piece in self.known.values() for note in piece.notes))


def cut_out(
    board: Nested, pieces: Pieces, order: str, before: Sequence[int], of: Sequence[int]
) -> tuple[Copies, tuple[Zone, ...]]:
    """Toolpaths, parts, precedence and zones of everything on a board.

    For each part, ``before`` is how many copies were numbered earlier, and ``of`` how many there are in all.
    """
    digits = [max(2, len(str(count))) for count in of]
    numbers = list(before)
    copies: list[Copies] = []
    zones: list[Zone] = []
    for each in board.placed:
        numbers[each.item] += 1
        piece = pieces.of(each.item, each.place.turn, numbers[each.item] - 1)
        copies.append(
            laid_out(
                piece.toolpaths, [each.place], parts=piece.parts, precedence=piece.precedence, order="part",
                first=numbers[each.item], digits=digits[each.item],
            )
        )  # fmt: skip
        zones += [moved_zone(zone, each.place) for zone in piece.zones]
    toolpaths = tuple(path for copy in copies for path in copy.toolpaths)
    whole = Copies(
        toolpaths if order == "part" else by_stage(toolpaths),
        tuple(part for copy in copies for part in copy.parts),
        tuple(pair for copy in copies for pair in copy.precedence),
    )
    return whole, tuple(zones)


def moved_zone(zone: Zone, place: Placement) -> Zone:
    """A part's zone, moved and turned with a copy of the part."""
    from shapely import affinity

    turned = affinity.rotate(zone.shape, 90.0 * place.turn, origin=(0.0, 0.0))
    return replace(zone, shape=affinity.translate(turned, place.x, place.y))


def _asked(file: JobFile, made: Drawn, stock: Stock, bits: Bits) -> tuple[Sheet, list[Item], list[Fixed]]:
    from pathkit.operations.nesting import Fixed, Item, Sheet

    form = file.form.layout or Layout()
    kerf = frame_tool(file, bits).diameter
    web = usual_web(file, kerf) if form.web is None else form.web
    apart = 2.0 * kerf + web if form.spacing is None else form.spacing
    _refuse_room(file, form, kerf, apart)
    refuse_grooves(file, apart)
    sheet = Sheet(stock, apart, apart - kerf if form.margin is None else form.margin, kerf)
    items: list[Item] = []
    fixed: list[Fixed] = []
    for index, part in enumerate(file.form.part):
        # Half a turn leaves the grain running the same way through the part.
        turns: tuple[int, ...] = (0, 2) if form.keep_grain else (0, 1, 2, 3)
        turns = turns if part.turn is None else (part.turn,)
        quantity = 0 if part.at is not None else part.quantity or 1
        items.append(Item(part.name, made.frames[index], quantity, turns))
        if part.at is not None:
            left, front, _, _ = items[-1].box(part.turn or 0)
            fixed.append(Fixed(index, Placement(part.at[0] - left, part.at[1] - front, part.turn or 0)))
    return sheet, items, fixed


def _refuse_room(file: JobFile, form: Layout, kerf: float, apart: float) -> None:
    if form.web is not None and form.spacing is not None:
        what = "web and spacing both say how far apart parts lie"
        raise InputError([file.finding(("layout", "spacing"), what, "keep one of them")])
    if apart < kerf - ROUNDING:
        what = f"parts {apart:g} mm apart leave no room for a kerf of {kerf:g} mm"
        raise InputError([file.finding(("layout", "spacing"), what, f"give at least {kerf:g}")])


def _refuse_fixed(file: JobFile, items: Sequence[Item], fixed: Sequence[Fixed], sheet: Sheet) -> None:
    """Raises `InputError` for placed parts that hang over the board, lie on a screw, or lie in each other's kerf."""
    import shapely

    areas = [_area(items[each.item].outline, each.place) for each in fixed]
    board = shapely.box(-SAME_PLACE, -SAME_PLACE, sheet.stock.width + SAME_PLACE, sheet.stock.depth + SAME_PLACE)
    found: list[Finding] = []
    for k, (each, area) in enumerate(zip(fixed, areas, strict=True)):
        name, path = items[each.item].name, ("part", each.item, "at")
        if not board.covers(area):
            left, front, right, back = area.bounds
            size = f"{right - left:g} × {back - front:g} mm"
            room = max(0.0, sheet.stock.width - right + left), max(0.0, sheet.stock.depth - back + front)
            what = (
                f"the part {name!r} ({size}) hangs over the board of {sheet.stock.width:g} × {sheet.stock.depth:g} mm"
            )
            found.append(file.finding(path, what, f"give at a value from [0, 0] to [{room[0]:g}, {room[1]:g}]"))
        if any(area.distance(zone) < sheet.kerf - SAME_PLACE for zone in sheet.barred):
            found.append(file.finding(path, f"the part {name!r} and its kerf lie on a screw or clamp", "change its at"))
        for other, there in zip(fixed[:k], areas[:k], strict=True):
            gap = area.distance(there)
            if gap >= sheet.kerf - SAME_PLACE:
                continue
            second = items[other.item].name
            what = f"the parts {second!r} and {name!r} lie on each other"
            if gap > 0.0:
                what = f"the parts {second!r} and {name!r} lie {gap:.2f} mm apart; the kerf is {sheet.kerf:g} mm wide"
            found.append(file.finding(path, what, f"lay them at least {sheet.kerf:g} mm apart: change at"))
    if found:
        raise InputError(found)


def refuse_overlaps(file: JobFile, piece: Piece) -> None:
    """Raises `InputError` for parts that overlap as drawn. A part may lie beside another or inside a hole of it, but
    never on it."""
    import shapely

    if len(file.form.part) < 2:
        return
    solid = [(part, _solid(part)) for part in piece.parts if part.outline is not None]
    tree = shapely.STRtree([area for _, area in solid])
    found: list[Finding] = []
    index = {part.name: k for k, part in enumerate(file.form.part)}
    one, other = tree.query([area for _, area in solid], predicate="intersects") if len(solid) > 1 else ((), ())
    for k, m in zip(one, other, strict=True):
        if k < m and shapely.intersection(solid[k][1], solid[m][1]).area > COMMON_EDGE:
            first, second = solid[k][0].name, solid[m][0].name
            what = f"the parts {first!r} and {second!r} lie on each other"
            fix = "move one of them, or give each a place of its own with at = [x, y]"
            found.append(file.finding(("part", index[second]), what, fix))
    if found:
        raise InputError(found)


def _solid(part: Any) -> Any:
    import shapely

    area = _area(part.outline, Placement(0.0, 0.0))
    return shapely.difference(area, shapely.union_all([_area(hole.curve, Placement(0.0, 0.0)) for hole in part.holes]))


def _area(curve: Curve, place: Placement) -> Any:
    import shapely

    return shapely.make_valid(shapely.Polygon(placed(curve, place).flattened(SHAPE_CHORDS)))
