"""Measures along the edges of a drawing: from one corner, each at its place or beside it with a leader, none over
another. Lengths of the drawing are in its own units, x to the right, y down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from pathkit.handover.pages.labels import ASCENT, DESCENT, Box, box_of, width_of
from pathkit.handover.pages.path_data import in_xml, short
from pathkit.tolerances import VANISHING

Side = Literal["left", "right", "near", "far"]
"""Beside the drawing, and before it (where its reader stands) or behind it."""

FONT: Final = 13.4
"""Units: with 96 of them an inch as paper has, just over 10 pt."""

HALF: Final = (ASCENT - DESCENT) / 2.0 * FONT
"""How far below its middle the line of a text is."""

TALL: Final = 1.12 * FONT
APART: Final = 4.0
LEADER: Final = 12.0
GAP: Final = 5.0
SIZE_ROW: Final = 20.0
"""Room that a line of text takes, between two texts, of the leader to them, from the drawing to it, and of an overall
size."""


@dataclass(frozen=True)
class Row:
    """Measures beside one side: ``marks`` are places (mm from the left or near edge) with their texts;
    ``colour`` is theirs."""

    side: Side
    marks: tuple[tuple[float, str], ...]
    colour: str = "#22303a"


def spread(wanted: Sequence[float], sizes: Sequence[float], low: float, high: float) -> list[float] | None:
    """Middles of intervals of these ``sizes`` between ``low`` and ``high``, in the order given, none over another, and
    each as near to where it is ``wanted`` (rising) as the sum of squares allows. None if there is no room for all."""
    if not wanted:
        return []
    half = np.asarray(sizes) / 2.0
    if 2.0 * half.sum() > high - low:
        return None
    # Without the intervals before it, each must only not lie before the one before it.
    before = np.concatenate([[0.0], np.cumsum(half[:-1] + half[1:])])
    best = _rising(np.asarray(wanted) - before)
    return [float(x) for x in np.clip(best, low + half[0], high - half[-1] - before[-1]) + before]


def _rising(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """The values that never fall and are nearest to these, by the sum of squares: neighbours that fall are pooled
    (Ayer et al., Ann. Math. Statist. 26(4), 1955). scipy has the same, and takes long to import."""
    pools: list[tuple[float, int]] = []
    for value in values.tolist():
        mean, count = value, 1
        while pools and pools[-1][0] > mean:
            above, many = pools.pop()
            mean, count = (above * many + mean * count) / (many + count), many + count
        pools.append((mean, count))
    return np.repeat([mean for mean, _ in pools], [count for _, count in pools])


class Frame:
    """A drawing of ``wide`` × ``deep`` mm with its rows of measures, within ``room`` (width, height) units.

    ``per_mm`` are units a millimetre; ``left`` to ``right`` and ``top`` to ``bottom`` is the drawing, with ``edge``
    units around it (``around`` mm are drawn beyond it); ``width`` and ``height`` are those of all of it. A row that
    finds no room for all its texts has those that do, and is in ``crowded``; ``upright`` says of the near
    and the far side whether texts stand upright there. No text stands beyond ``corner``, the two sides that meet there:
    a mark at that corner has its name there.
    """

    def __init__(
        self, wide: float, deep: float, rows: Sequence[Row], room: tuple[float, float], sizes: tuple[str, str],
        around: float = 0.0, corner: tuple[Side, Side] | None = None,
    ) -> None:  # fmt: skip
        self.rows = rows = [row for row in rows if row.marks]
        self._sizes, self._around, self._corner = sizes, around, corner
        self.crowded: list[Row] = []
        self.boxes: list[Box] = []
        upright = {"near": False, "far": False}
        for _ in range(3):
            self.upright = dict(upright)
            self._place(wide, deep, room)
            for row in rows:
                if row.side in upright and not upright[row.side] and self._spots(row, wide * self.per_mm) is None:
                    upright[row.side] = True
            if upright == self.upright:
                break

    def _place(self, wide: float, deep: float, room: tuple[float, float]) -> None:
        deepest = {side: sum(self._depth(row) for row in self.rows if row.side == side) for side in _SIDES}
        # The overall sizes stand behind the drawing and to its right.
        far, right = deepest["far"] + SIZE_ROW, deepest["right"] + SIZE_ROW
        edge = {"left": deepest["left"] + GAP, "right": right + GAP, "near": deepest["near"] + GAP, "far": far + GAP}
        self.per_mm = max(
            min(
                (room[0] - edge["left"] - edge["right"]) / (wide + 2.0 * self._around),
                (room[1] - edge["near"] - edge["far"]) / (deep + 2.0 * self._around),
            ),
            VANISHING,
        )
        self.edge = self._around * self.per_mm
        self.left, self.top = edge["left"] + self.edge, edge["far"] + self.edge
        self.right, self.bottom = self.left + wide * self.per_mm, self.top + deep * self.per_mm
        self.width, self.height = self.right + self.edge + edge["right"], self.bottom + self.edge + edge["near"]
        self._beyond = deepest

    def _depth(self, row: Row) -> float:
        longest = max(width_of(text, FONT) for _, text in row.marks)
        across = row.side in ("left", "right") or self.upright[row.side]
        return LEADER + GAP + (longest if across else TALL)

    def x(self, mm: float) -> float:
        """Units from the left of what is ``mm`` from the drawing's left edge."""
        return self.left + mm * self.per_mm

    def y(self, mm: float) -> float:
        """Units from the top of what is ``mm`` from the drawing's near edge."""
        return self.bottom - mm * self.per_mm

    def _spots(self, row: Row, length: float) -> list[float] | None:
        """Where the texts of a row stand along it, from its start at 0; they may pass its ends a little."""
        flat = row.side in ("near", "far") and not self.upright[row.side]
        sizes = [width_of(text, FONT) + APART if flat else TALL for _, text in row.marks]
        wanted = [mm * self.per_mm for mm, _ in row.marks]
        before = after = max(sizes[0] / 2.0, TALL)
        if self._corner is not None and row.side in self._corner:
            (other,) = (side for side in self._corner if side != row.side)
            before, after = (0.0, after) if other in ("left", "near") else (before, 0.0)
        return spread(wanted, sizes, -before, length + after)

    def svg(self) -> str:
        """The rows and the overall sizes."""
        used = dict.fromkeys(_SIDES, 0.0)
        out = []
        for row in self.rows:
            out.append(self._row(row, used[row.side]))
            used[row.side] += self._depth(row)
        return "".join((*out, *self._overall()))

    def _row(self, row: Row, used: float) -> str:
        along_x = row.side in ("near", "far")
        length = (self.right - self.left) if along_x else (self.bottom - self.top)
        while (spots := self._spots(row, length)) is None:
            # The ends of a crowded row tell most; every other one between goes.
            kept = tuple(mark for k, mark in enumerate(row.marks) if k % 2 == 0 or k == len(row.marks) - 1)
            kept = kept if len(kept) < len(row.marks) else row.marks[:1]
            row = Row(row.side, kept, row.colour)
            if row not in self.crowded:
                self.crowded.append(row)
        out = []
        sign = 1.0 if row.side in ("near", "right") else -1.0
        edge = {"near": self.bottom, "far": self.top, "left": self.left, "right": self.right}[row.side]
        used += self.edge
        first, knee, last = edge, edge + sign * (used + 4.0), edge + sign * (used + LEADER)
        text_at = edge + sign * (used + LEADER + 2.0)
        d = []
        for (mm, text), spot in zip(row.marks, spots, strict=True):
            at, to = (self.x(mm), self.left + spot) if along_x else (self.y(mm), self.bottom - spot)
            points = ((at, first), (at, knee), (to, last)) if along_x else ((first, at), (knee, at), (last, to))
            d.append("M" + "L".join(f"{short(x)} {short(y)}" for x, y in points))
            out.append(self._text(row, text, to, text_at, sign))
        return f'<path d="{"".join(d)}" fill="none" stroke="{row.colour}" stroke-width="0.8"/>{"".join(out)}'

    def _text(self, row: Row, text: str, along: float, away: float, sign: float) -> str:
        wide = width_of(text, FONT)
        if row.side in ("left", "right"):
            anchor = "start" if sign > 0 else "end"
            self.boxes.append(box_of(text, FONT, away, along + HALF, "start" if sign > 0 else "end"))
            return _drawn(text, away, along + HALF, anchor, row.colour)
        if not self.upright[row.side]:
            y = away + (0.8 * FONT if sign > 0 else -1.0)
            self.boxes.append(box_of(text, FONT, along, y, "middle"))
            return _drawn(text, along, y, "middle", row.colour)
        # Upright texts are read from the right: they begin below and end above.
        self.boxes.append((along - TALL / 2.0, min(away, away + sign * wide), along + TALL / 2.0,
                           max(away, away + sign * wide)))  # fmt: skip
        anchor = "end" if sign > 0 else "start"
        return _drawn(text, along + HALF, away, anchor, row.colour, turned=True)

    def _overall(self) -> list[str]:
        """The whole width behind the drawing, and the whole depth to its right."""
        across, along = self._sizes
        y, x = self.top - self.edge - self._beyond["far"] - 10.0, self.right + self.edge + self._beyond["right"] + 10.0
        middle, side = (self.left + self.right) / 2.0, (self.top + self.bottom) / 2.0
        colour = "#22303a"
        out = [
            f'<path d="M{short(self.left)} {short(y - 4)}v8M{short(self.right)} {short(y - 4)}v8M{short(x - 4)}'
            f' {short(self.top)}h8M{short(x - 4)} {short(self.bottom)}h8" stroke="{colour}"/>'
        ]
        for text, turned in ((across, False), (along, True)):
            half = width_of(text, FONT) / 2.0 + 3.0
            start, end, centre = (self.top, self.bottom, side) if turned else (self.left, self.right, middle)
            for a, b in ((start, centre - half), (centre + half, end)):
                if b > a:
                    d = f"M{short(x)} {short(a)}V{short(b)}" if turned else f"M{short(a)} {short(y)}H{short(b)}"
                    out.append(f'<path d="{d}" stroke="{colour}" stroke-width="0.8"/>')
            if turned:
                out.append(_drawn(text, x + HALF, side, "middle", colour, turned=True))
                self.boxes.append((x - TALL / 2.0, side - half + 3.0, x + TALL / 2.0, side + half - 3.0))
            else:
                out.append(_drawn(text, middle, y + HALF, "middle", colour))
                self.boxes.append(box_of(text, FONT, middle, y + HALF, "middle"))
        return out


_SIDES: Final[tuple[Side, ...]] = ("left", "right", "near", "far")


def _drawn(text: str, x: float, y: float, anchor: str, colour: str, turned: bool = False) -> str:
    turn = f' transform="rotate(-90 {short(x)} {short(y)})"' if turned else ""
    return (
        f'<text x="{short(x)}" y="{short(y)}" font-size="{short(FONT)}" text-anchor="{anchor}"{turn}'
        f' style="fill:{colour}">{in_xml(text)}</text>'
    )
