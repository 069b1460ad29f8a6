"""The board as its cut files leave it, seen from above, with measures from its edges to what lies on it.

What is cut, and how deep, is drawn from the text of the files as it is read back. Names and finished shapes come from
the job and are laid over it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from pathkit.handover.pages import path_data
from pathkit.handover.pages.colours import depth_colours
from pathkit.handover.pages.cut_layers import layers_of, zones_drawn
from pathkit.handover.pages.labels import Label, around, place
from pathkit.handover.pages.measures import FONT, HALF, Frame, Row, Side
from pathkit.handover.pages.path_data import in_xml, short
from pathkit.handover.pages.picture import SHARE
from pathkit.handover.pages.seen_file import Seen, fineness, summary
from pathkit.handover.pages.strokes import Floats, Strokes, depth_classes, straightened, together
from pathkit.model.job import Part
from pathkit.texts.language import ENGLISH, Language
from pathkit.units import MM_PER_UNIT

Places = Callable[[Floats], Floats]
"""From mm on the bench to units of a drawing, both (n, 2)."""

MOST_CLASSES: Final = 7
"""Depths that are told apart by colour."""

INK: Final = "#22303a"
ZONES: Final = {"tape": "#2f6273", "screw": "#8c2f12", "clamp": "#8c2f12"}
"""Colours of measures: those of the parts, and of each kind of zone."""


@dataclass(frozen=True)
class Drawing:
    """An SVG element, how wide it is in units (96 an inch on paper), and what a caption must add."""

    svg: str
    width: float
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class DepthKey:
    """Floors of depths, falling, in mm, and the colour of each."""

    floors: Floats
    colours: tuple[str, ...]

    @classmethod
    def of(cls, one: Seen, *others: Seen) -> DepthKey:
        """For one file, or for it and others of the same board."""
        cuts = together([each.motion.cuts for each in (one, *others)])
        floors = depth_classes(cuts, one.top, MM_PER_UNIT[one.units], MOST_CLASSES)
        return cls(floors, depth_colours(len(floors)) if len(floors) else ())

    def rows(self, one: Seen, say: Language = ENGLISH) -> list[dict[str, str]]:
        """Colour and words of each, for a page."""
        return [
            {"colour": colour, "name": say("sheet-key-depth", depth=say.number(one.depth_word(floor)))}
            for floor, colour in zip(self.floors.tolist(), self.colours, strict=True)
        ]


def board_drawing(
    one: Seen, key: DepthKey, letters: Mapping[str, str], room: tuple[float, float], say: Language = ENGLISH
) -> Drawing:  # fmt: skip
    """The board within ``room`` (width, height) units; ``letters`` are those of parts that have one, by name."""
    assert one.job is not None
    view, stock = one.view, one.job.stock
    share = SHARE[one.machine.origin]
    # From the edges at which zero is: a board may be larger than the job asks for.
    from_right, from_back = share[0] > 0.5, share[1] > 0.5
    boxes = {part.name: box for part in one.job.parts if (box := part_box(one, part)) is not None}
    sides: tuple[Side, Side] = ("far" if from_back else "near", "right" if from_right else "left")
    other: tuple[Side, Side] = ("near" if from_back else "far", "left" if from_right else "right")
    ends = (2 if from_right else 0), (3 if from_back else 1)
    x_rows = [_row(one, sides[0], [box[ends[0]] for box in boxes.values()], view.width, from_right, say)]
    y_rows = [_row(one, sides[1], [box[ends[1]] for box in boxes.values()], view.depth, from_back, say)]
    for kind in ("tape", "screw", "clamp"):
        zones = [_turned(one, zone.shape.bounds) for zone in stock.zones if zone.kind == kind]
        x_rows.append(_row(one, other[0], _places(kind, zones, 0), view.width, from_right, say, kind))
        y_rows.append(_row(one, other[1], _places(kind, zones, 1), view.depth, from_back, say, kind))
    size = one.in_words(say)
    sizes = size(view.width), size(view.depth)
    corner = None if 0.5 in share else sides
    frame = Frame(view.width, view.depth, [*x_rows, *y_rows], room, sizes, corner=corner)
    if frame.upright[other[0]]:
        # There a word would take the drawing's room; it stands at the side.
        drawn = [_wordless(row) for row in x_rows]
        frame = Frame(view.width, view.depth, [*drawn, *y_rows], room, sizes, corner=corner)
    measured = frame.svg()

    at = places_in(one, frame)
    x0, y0 = frame.left, frame.top
    board = (
        f'<rect x="{short(x0)}" y="{short(y0)}" width="{short(frame.right - x0)}"'
        f' height="{short(frame.bottom - y0)}" fill="#fdfbf5" stroke="#6b6250" stroke-width="1.2"/>'
    )
    step, cuts = cuts_drawn(one, one.motion.cuts, at, frame.per_mm, key, "board")
    tabs = tabs_drawn(one, at, frame.per_mm, (x0, y0, frame.right, frame.bottom))
    zero = x0 + share[0] * (frame.right - x0), frame.bottom - share[1] * (frame.bottom - y0)
    mark = "".join(
        f'<circle cx="{short(zero[0])}" cy="{short(zero[1])}" r="{r}" fill="{fill}"/>'
        for r, fill in ((5, "#111111"), (1.8, "#ffffff"))
    )
    named = [
        Label(letters[name], FONT, ((frame.x((box[0] + box[2]) / 2.0), frame.y((box[1] + box[3]) / 2.0) + HALF,
                                     "middle"),), kind="halo")
        for name, box in boxes.items() if name in letters
    ]  # fmt: skip
    taken = [*frame.boxes, (zero[0] - 3.0, zero[1] - 3.0, zero[0] + 3.0, zero[1] + 3.0)]
    spots = around(*zero, 4.0, FONT)
    # Beside the corner at which it is, away from the board.
    best = () if corner is None else (spots[4 + (not from_right) + 2 * (not from_back)],)
    named.append(Label(say("sheet-zero-label"), FONT, (*best, *around(*zero, 8.0, FONT)), -1, "halo"))
    inside = "".join((board, zones_drawn(stock.zones, at), *cuts, tabs, measured, mark, labelled(named, taken, frame)))
    edges = edges_of(one)
    told = f"{summary([one], say)} {_said(x_rows, edges[0], say)} {_said(y_rows, edges[1], say)}"
    notes = [say("sheet-drawn-to", length=say.number(fineness(step / frame.per_mm, one.units)))] if step else []
    notes += [say("sheet-no-room")] if frame.crowded else []
    return Drawing(element("board-drawing", frame, inside, told), frame.width, tuple(notes))


def places_in(one: Seen, frame: Frame, corner: tuple[float, float] = (0.0, 0.0)) -> Places:
    """How a frame shows the bench; its left near corner is ``corner`` (mm) of the board as it lies."""

    def at(bench: Floats) -> Floats:
        seen = one.view.points(bench) - corner
        return np.column_stack([frame.left + seen[:, 0] * frame.per_mm, frame.bottom - seen[:, 1] * frame.per_mm])

    return at


def cuts_drawn(
    one: Seen, cuts: Strokes, at: Places, per_mm: float, key: DepthKey, name: str
) -> tuple[float, tuple[str, ...]]:
    """How finely cuts are drawn (units; 0: exactly), and their elements."""
    few = len(cuts) <= path_data.MOST_EXACT
    drawn = cuts if few else straightened(one.program, cuts, path_data.FINEST / 2.0 / per_mm)
    layers = layers_of(one, drawn, at, per_mm, (key.floors, key.colours), name, few)
    return layers.step, layers.elements


def tabs_drawn(one: Seen, at: Places, per_mm: float, within: tuple[float, float, float, float]) -> str:
    """A stroke across the cut wherever the file rises over a tab."""
    motion = one.motion
    half = max(one.widest * per_mm / 2.0, 3.0)
    d = []
    turned = one.setup.turn * np.pi / 2.0
    for (x, y), heading in zip(at(motion.tab_at).tolist(), motion.tab_heading.tolist(), strict=True):
        if within[0] <= x <= within[2] and within[1] <= y <= within[3]:
            dx, dy = half * np.cos(heading + turned + np.pi / 2.0), -half * np.sin(heading + turned + np.pi / 2.0)
            d.append(f"M{short(x - dx)} {short(y - dy)}L{short(x + dx)} {short(y + dy)}")
    return f'<path class="tabs" d="{"".join(d)}" stroke="#000000" stroke-width="2.6"/>' if d else ""


def labelled(labels: Sequence[Label], taken: Sequence[tuple[float, float, float, float]], frame: Frame) -> str:
    """The labels for which there is room."""
    placed = place(labels, taken, (0.0, 0.0, frame.width, frame.height))
    return "".join(
        f'<text x="{short(each.x)}" y="{short(each.y)}" font-size="{short(each.label.size)}"'
        f' text-anchor="{each.anchor}" class="halo">{in_xml(each.label.text)}</text>'
        for each in placed
    )


def element(name: str, frame: Frame, inside: str, told: str) -> str:
    """The SVG element of a drawing; ``told`` says it in words."""
    return (
        f'<svg class="drawn" viewBox="0 0 {short(frame.width)} {short(frame.height)}" width="{short(frame.width)}"'
        f' height="{short(frame.height)}" role="img" aria-labelledby="{name}"><desc id="{name}">{in_xml(told)}</desc>'
        f"{inside}</svg>"
    )


def edges_of(one: Seen) -> tuple[str, str]:
    """The edges of the board from which is measured: those at which zero is."""
    share = SHARE[one.machine.origin]
    return "right" if share[0] > 0.5 else "left", "back" if share[1] > 0.5 else "front"


Box = tuple[float, float, float, float]
"""x0, y0, x1, y1 in mm as the operator sees the board, from its front left corner."""


def part_box(one: Seen, part: Part) -> Box | None:
    """Where a part lies; None if nothing is known of its shape."""
    shapes = [part.outline] if part.outline is not None else [f.curve for f in (*part.recesses, *part.holes)]
    if not shapes:
        return None
    bounds = np.array([curve.bounds for curve in shapes])
    return _turned(one, [*bounds[:, :2].min(axis=0), *bounds[:, 2:].max(axis=0)])


def _turned(one: Seen, bounds: Sequence[float]) -> Box:
    corners = one.view.points(np.array(bounds, dtype=float).reshape(2, 2))
    (x0, y0), (x1, y1) = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
    return x0, y0, x1, y1


def _places(kind: str, boxes: Sequence[Box], axis: int) -> list[float]:
    """Screws by their middle, what is longer by both ends."""
    if kind == "screw":
        return [(box[axis] + box[axis + 2]) / 2.0 for box in boxes]
    return [end for box in boxes for end in (box[axis], box[axis + 2])]


def _row(
    one: Seen, side: Side, places: Iterable[float], whole: float, backward: bool, say: Language, kind: str = ""
) -> Row:  # fmt: skip
    """Measures of places (mm from the left or near edge), told from there or from the opposite edge."""
    by_text = {say.number(one.number(whole - mm if backward else mm)): mm for mm in places}
    marks = sorted((mm, text) for text, mm in by_text.items())
    if kind and marks:
        marks[0] = marks[0][0], say("sheet-zone-mark", kind=kind, number=marks[0][1])
    return Row(side, tuple(marks), ZONES.get(kind, INK))


def _wordless(row: Row) -> Row:
    return replace(row, marks=tuple((mm, text.rpartition(" ")[2]) for mm, text in row.marks))


def _said(rows: Sequence[Row], edge: str, say: Language) -> str:
    """The measures from one edge, in words."""
    each = "; ".join(", ".join(text for _, text in row.marks) for row in rows if row.marks)
    return say("sheet-from-edge", edge=edge, measures=each) if each else ""
