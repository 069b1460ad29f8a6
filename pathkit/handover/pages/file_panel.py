"""One cut file on its board: a panel of the picture, with cuts, travel, marks and labels."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import islice
from typing import Final

import numpy as np

from pathkit.handover.pages import path_data
from pathkit.handover.pages.colours import TRAVEL
from pathkit.handover.pages.cut_layers import layers_of, zones_drawn
from pathkit.handover.pages.labels import Box, Label, around, place
from pathkit.handover.pages.path_data import in_xml, short
from pathkit.handover.pages.picture import WAY
from pathkit.handover.pages.seen_file import Seen, fineness
from pathkit.handover.pages.strokes import Floats, Strokes, straightened
from pathkit.texts.language import ENGLISH, Language

ASIDE: Final = 72.0
AHEAD: Final = 44.0
"""Room beside the board, and before and behind it, for its size and the names of the axes."""

ROUGH: Final = 0.5
"""mm between an arc and its chords where only the picture's size is asked for."""

NUMBERS: Final = 4_000.0
"""Units² of a panel for which one start is numbered at most: more numbers would hide what they are about."""

MOST_MARKS: Final = 600
"""Starts that are marked each by itself, with a name to point at; of more all are dots, and the first are numbered."""

TRAVEL_LINE: Final = f'fill="none" stroke="{TRAVEL}" stroke-width="1" stroke-dasharray="4 3"'

_KINDS: Final = {
    "plain": 'fill="#222222"',
    "faint": 'fill="#5a5a5a"',
    "strong": 'fill="#111111" font-weight="bold"',
    "title": 'fill="#111111" font-weight="bold"',
    "halo": 'fill="#111111" stroke="#ffffff" stroke-width="2.4" stroke-linejoin="round" paint-order="stroke"',
}

Extent = tuple[float, float, float, float]
"""x0, y0, x1, y1 in mm as the operator sees the board, y away from the operator."""


def drawn_text(text: str, x: float, y: float, size: float, anchor: str, kind: str) -> str:
    """A text element; ``kind`` is how it looks."""
    about = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return f'<text x="{short(x)}" y="{short(y)}" font-size="{short(size)}"{about} {_KINDS[kind]}>{in_xml(text)}</text>'


def box_in_mm(files: Sequence[Seen]) -> Extent:
    """What a panel must show: the boards, all that is cut, and zero if it is near."""
    boxes = []
    for one in files:
        if one.job is not None:
            boxes.append((0.0, 0.0, one.view.width, one.view.depth))
        for strokes in (one.motion.cuts, *(() if len(one.motion.cuts) else (one.motion.travel,))):
            if len(strokes):
                drawn = straightened(one.program, strokes, ROUGH)
                points = one.view.points(np.concatenate([drawn.start, drawn.end]))
                bulge = one.widest / 2.0
                low, high = points.min(axis=0) - bulge, points.max(axis=0) + bulge
                boxes.append((float(low[0]), float(low[1]), float(high[0]), float(high[1])))
    if not boxes:
        # Nothing moves sideways: the places themselves.
        places = np.concatenate([one.view.points(one.program.end[np.isfinite(one.program.end).all(axis=1)])
                                 for one in files])  # fmt: skip
        boxes = [(x, y, x, y) for x, y in places.tolist()]
    x0, y0, x1, y1 = (f(each) for f, each in zip((min, min, max, max), zip(*boxes, strict=True), strict=True))
    reach = max(x1 - x0, y1 - y0)
    for one in files:
        ((x, y),) = one.view.points(np.array([one.zero])).tolist()
        if x0 - reach / 2.0 <= x <= x1 + reach / 2.0 and y0 - reach / 2.0 <= y <= y1 + reach / 2.0:
            x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x), max(y1, y)
    return x0, y0, x1, y1


class Scale:
    """From mm to units of the picture: what is shown fits ``width`` by ``height`` with room for labels about it."""

    def __init__(self, shown_mm: Extent, width: float, height: float) -> None:
        x0, y0, x1, y1 = shown_mm
        wide, tall = max(x1 - x0, 1.0), max(y1 - y0, 1.0)
        self.per_mm = min((width - 2.0 * ASIDE) / wide, (height - 2.0 * AHEAD) / tall)
        self.width = max(wide * self.per_mm + 2.0 * ASIDE, 300.0)
        self.height = tall * self.per_mm + 2.0 * AHEAD
        self.mm = shown_mm
        self._left = x0 - (self.width / self.per_mm - wide) / 2.0
        self._far = y1 + AHEAD / self.per_mm

    def points(self, mm: Floats) -> Floats:
        """(n, 2) mm as the operator sees them to (n, 2) units from the panel's upper left corner."""
        return np.column_stack([(mm[:, 0] - self._left) * self.per_mm, (self._far - mm[:, 1]) * self.per_mm])


class Panel:
    """Draws one file. ``notes`` are what a caption should add."""

    def __init__(
        self, one: Seen, scale: Scale, corner: tuple[float, float], floors: Floats, colours: Sequence[str], name: str,
        say: Language = ENGLISH,
    ) -> None:  # fmt: skip
        self.one, self.scale, self.corner, self.name, self.say = one, scale, corner, name, say
        self._floors, self._colours = floors, colours
        self.notes: list[str] = []
        self._labels: list[Label] = []
        self._taken: list[Box] = []

    def svg(self) -> str:
        """The panel as one group of elements."""
        width, height = short(self.scale.width), short(self.scale.height)
        board, zero = self._board(), self._zero()
        drawn = [*self._strokes(), *self._tabs(), *self._starts()]
        marks = "".join((*drawn, *zero, *self._placed()))
        return (
            f'<g transform="translate({short(self.corner[0])} {short(self.corner[1])})">'
            f'<clipPath id="{self.name}-edge"><rect width="{width}" height="{height}"/></clipPath>'
            f'<rect width="{width}" height="{height}" fill="#f4f5f6"/>'
            f'<g clip-path="url(#{self.name}-edge)">{board}{marks}</g></g>'
        )

    def _at(self, bench: Floats) -> Floats:
        return self.scale.points(self.one.view.points(bench))

    def _board(self) -> str:
        if self.one.job is None:
            self.notes.append(self.say("draw-unknown-board"))
            return ""
        view = self.one.view
        (x0, y1), (x1, y0) = self.scale.points(np.array([[0.0, 0.0], [view.width, view.depth]])).tolist()
        size, here = self.one.in_words(self.say), self.say("draw-stand-here")
        middle, side = (x0 + x1) / 2.0, (y0 + y1) / 2.0
        # Sizes stand beside everything that is cut, also where that reaches beyond the board.
        (left, far), (right, near) = self.scale.points(np.array(self.scale.mm)[[[0, 3], [2, 1]]]).tolist()
        above, below = min(y0, far) - 8.0, max(y1, near) + 17.0
        right, left = max(x1, right) + 8.0, min(x0, left) - 8.0
        across = Label(size(view.width), 12.0, ((middle, above, "middle"), (middle, below, "middle")), 1)
        along = Label(size(view.depth), 12.0, ((right, side, "start"), (left, side, "end")), 1)
        stand = Label(here, 10.0, ((middle, below, "middle"), (middle, below + 16.0, "middle")), 5)
        self._labels += [across, along, stand]
        return (
            f'<rect x="{short(x0)}" y="{short(y0)}" width="{short(x1 - x0)}" height="{short(y1 - y0)}"'
            ' fill="#fdfbf5" stroke="#6b6250" stroke-width="1.2"/>'
        ) + self._zones()

    def _zones(self) -> str:
        """Tape below the board, and where clamps and screws are: no cut and no travel may meet those."""
        return "" if self.one.job is None else zones_drawn(self.one.job.stock.zones, self._at)

    def _strokes(self) -> list[str]:
        """The cuts, the deepest over the others, over what the bit sweeps; then travel."""
        cuts, travel = self.one.motion.cuts, self.one.motion.travel
        few = len(cuts) + len(travel) <= path_data.MOST_EXACT
        if not few:
            near = path_data.FINEST / 2.0 / self.scale.per_mm
            cuts, travel = (straightened(self.one.program, each, near) for each in (cuts, travel))
        layers = layers_of(self.one, cuts, self._at, self.scale.per_mm, (self._floors, self._colours), self.name, few)
        across = self._scaled(travel)
        if few:
            way, step = path_data.exact(across), 0.0
        else:
            (way,), step = path_data.coarse([across], path_data.MOST_COARSE // 4)
            rough = fineness(max(step, layers.step) / self.scale.per_mm, self.one.units)
            self.notes.append(self.say("draw-drawn-to", length=self.say.number(rough)))
        return [*layers.elements, f'<path class="travel" d="{way}" {TRAVEL_LINE}/>']

    def _scaled(self, strokes: Strokes) -> Strokes:
        return replace(strokes.turned(self._at), radius=strokes.radius * self.scale.per_mm)

    def _tabs(self) -> list[str]:
        """A black stroke across the cut wherever it rises over a tab."""
        motion = self.one.motion
        if not len(motion.tab_at):
            return []
        turn = math.pi / 2.0 * self.one.setup.turn
        half = max(self.one.widest * self.scale.per_mm / 2.0, 3.5)
        d = []
        rows = zip(self._at(motion.tab_at).tolist(), motion.tab_heading.tolist(), strict=True)
        for (x, y), heading in islice(rows, path_data.MOST_EXACT):
            across = heading + turn + math.pi / 2.0
            dx, dy = half * math.cos(across), -half * math.sin(across)
            d.append(f"M{short(x - dx)} {short(y - dy)}L{short(x + dx)} {short(y + dy)}")
            reach = abs(dx) + 1.3, abs(dy) + 1.3
            self._taken.append((x - reach[0], y - reach[1], x + reach[0], y + reach[1]))
        return [f'<path class="tabs" d="{"".join(d)}" stroke="#000000" stroke-width="2.6"/>']

    def _starts(self) -> list[str]:
        motion = self.one.motion
        places = self._at(motion.start_at).tolist()
        last = len(places) - 1
        room = self.scale.width * self.scale.height / NUMBERS
        every = next((k for k in (1, 2, 5, 10, 20, 50) if len(places) / k <= room), 100)
        dot = 2.6 if every <= 2 else 2.0
        for number, (x, y) in enumerate(places[:MOST_MARKS]):
            self._taken.append((x - dot - 0.6, y - dot - 0.6, x + dot + 0.6, y + dot + 0.6))
            if number in (0, last) or (number + 1) % every == 0:
                rank = 2 if number in (0, last) else 3
                self._labels.append(Label(str(number + 1), 9.0, around(x, y, dot + 1.9, 9.0), rank, "halo"))
        drawn = 'fill="#ffffff" stroke="#111111" stroke-width="1.1"'
        if len(places) > MOST_MARKS:
            d = "".join(f"M{short(x)} {short(y)}h0" for x, y in places[: path_data.MOST_EXACT])
            return [f'<path class="starts" d="{d}" stroke="#111111" stroke-width="3" stroke-linecap="round"/>']
        rows = zip(places, self._named(), strict=True)
        circles = "".join(
            f'<circle cx="{short(x)}" cy="{short(y)}" r="{dot}"><title>{in_xml(name)}</title></circle>'
            for (x, y), name in rows
        )
        return [f'<g class="starts" {drawn}>{circles}</g>'] if circles else []

    def _named(self) -> list[str]:
        """What each start is: its number, its toolpath if the file names it, and its line."""
        one = self.one
        marks = sorted(one.names)
        told = []
        for number, row in enumerate(one.motion.starts.tolist()):
            line = int(one.program.line[row])
            index = int(np.searchsorted(marks, line)) - 1
            name = one.names[marks[index]] if index >= 0 else ""
            kind = ("-named" if name else "") + ("-line" if one.is_text else "")
            told.append(self.say(f"draw-start{kind}", number=number + 1, name=name, line=line))
        return told

    def _zero(self) -> list[str]:
        ((x, y),) = self._at(np.array([self.one.zero])).tolist()
        if not (0.0 <= x <= self.scale.width and 0.0 <= y <= self.scale.height):
            self.notes.append(self.say("draw-zero-outside"))
            return []
        self._taken.append((x - 6.0, y - 6.0, x + 6.0, y + 6.0))
        out = []
        middle = self.scale.width / 2.0, self.scale.height / 2.0
        for axis in "xy":
            right, away = WAY[getattr(self.one.machine.axes, axis)]
            dx, dy = right, -away
            tip = x + 50.0 * dx, y + 50.0 * dy
            back = x + 41.0 * dx, y + 41.0 * dy
            head = f"M{short(tip[0])} {short(tip[1])}"
            for side in (4.0, -4.0):
                head += f"L{short(back[0] + side * dy)} {short(back[1] + side * dx)}"
            out.append(f'<path d="M{short(x)} {short(y)}L{short(back[0])} {short(back[1])}" stroke="#ffffff"'
                       ' stroke-width="4.5"/>')  # fmt: skip
            out.append(f'<path d="M{short(x)} {short(y)}L{short(back[0])} {short(back[1])}" stroke="#111111"'
                       ' stroke-width="2"/>')  # fmt: skip
            out.append(f'<path d="{head}Z" fill="#111111" stroke="#ffffff" stroke-width="0.8"/>')
            thick = 4.0
            self._taken.append((
                min(x, tip[0]) - thick * abs(dy), min(y, tip[1]) - thick * abs(dx),
                max(x, tip[0]) + thick * abs(dy), max(y, tip[1]) + thick * abs(dx),
            ))  # fmt: skip
            # Beside the board rather than on it.
            spots = around(tip[0], tip[1], 6.0, 12.0)
            best = (3 if y > middle[1] else 2) if dx else (1 if x < middle[0] else 0)
            spots = (spots[best], *spots)
            self._labels.append(Label(f"{axis.upper()}+", 12.0, spots, 0, "halo"))
        out.append(f'<circle cx="{short(x)}" cy="{short(y)}" r="5" fill="#111111" stroke="#ffffff"/>')
        out.append(f'<circle cx="{short(x)}" cy="{short(y)}" r="1.8" fill="#ffffff"/>')
        self._labels.append(Label(self.say("draw-zero"), 11.0, around(x, y, 8.0, 11.0), 0, "halo"))
        return out

    def _placed(self) -> list[str]:
        frame = (2.0, 2.0, self.scale.width - 2.0, self.scale.height - 2.0)
        self.placed = place(self._labels, self._taken, frame)
        return [
            drawn_text(each.label.text, each.x, each.y, each.label.size, each.anchor, each.label.kind)
            for each in self.placed
        ]
