"""Labels in a picture that never cover one another: the important ones are placed first, and what has no room is left
out. Lengths are in the picture's own units, y down."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

Anchor = Literal["start", "middle", "end"]
Box = tuple[float, float, float, float]
"""Left, top, right, bottom."""

ASCENT: Final = 0.8
DESCENT: Final = 0.25
"""How far letters reach above and below their line, of the font's size."""

_NARROW: Final = frozenset("ijlI.,:;'|!()[]{}ft /-")
_WIDE: Final = frozenset("mwMW@%—…→")
_BROAD: Final = frozenset("+=<>~±×−#&")


@dataclass(frozen=True)
class Label:
    """A text of a font ``size`` that may stand at any of ``spots``, the best first.

    A spot is x, y of the text's line, and how the text stands about x. Labels of a lower ``rank`` are placed first.
    ``kind`` says how it is drawn.
    """

    text: str
    size: float
    spots: tuple[tuple[float, float, Anchor], ...]
    rank: int = 0
    kind: str = "plain"


@dataclass(frozen=True)
class Placed:
    """A label at the spot that was found for it, and the box that it takes up."""

    label: Label
    x: float
    y: float
    anchor: Anchor
    box: Box


def width_of(text: str, size: float) -> float:
    """About how wide a text is: rather too much than too little, whatever sans-serif font there is."""
    return size * sum(_width(letter) for letter in text)


def _width(letter: str) -> float:
    if unicodedata.east_asian_width(letter) in "WF" or letter in _WIDE:
        return 1.05
    if letter in _NARROW:
        return 0.42
    if letter in _BROAD:
        return 0.88
    return 0.76 if letter.isupper() else 0.66


def box_of(text: str, size: float, x: float, y: float, anchor: Anchor) -> Box:
    """The box that a text takes up whose line begins (or has its middle, or ends) at x, y."""
    width = width_of(text, size)
    left = x - {"start": 0.0, "middle": width / 2.0, "end": width}[anchor]
    return left, y - ASCENT * size, left + width, y + DESCENT * size


def around(x: float, y: float, away: float, size: float) -> tuple[tuple[float, float, Anchor], ...]:
    """Spots about a place, ``away`` from it: to the right, left, above, below, and at the four corners."""
    half = (ASCENT - DESCENT) * size / 2.0
    up, down = y - away - DESCENT * size, y + away + ASCENT * size
    return (
        (x + away, y + half, "start"), (x - away, y + half, "end"), (x, up, "middle"), (x, down, "middle"),
        (x + away, up, "start"), (x - away, up, "end"), (x + away, down, "start"), (x - away, down, "end"),
    )  # fmt: skip


def place(labels: Sequence[Label], taken: Iterable[Box], frame: Box) -> list[Placed]:
    """Labels at spots within ``frame`` where they cover neither a box of ``taken`` nor each other.

    By rank, and in the order given within one; a label is left out if all of its spots are covered.
    """
    boxes = np.empty((len(labels) + len(fixed := list(taken)), 4))
    boxes[: len(fixed)] = np.array(fixed).reshape(-1, 4)
    used = len(fixed)
    placed = []
    for label in sorted(labels, key=lambda each: each.rank):
        for x, y, anchor in label.spots:
            box = box_of(label.text, label.size, x, y, anchor)
            if _within(box, frame) and not _covers(box, boxes[:used]):
                boxes[used] = box
                used += 1
                placed.append(Placed(label, x, y, anchor, box))
                break
    return placed


def shortened(text: str, size: float, width: float) -> str:
    """The text, or as much of it as fits with an ellipsis at its end."""
    if width_of(text, size) <= width:
        return text
    while text and width_of(text + "…", size) > width:
        text = text[:-1]
    return text + "…"


def _within(box: Box, frame: Box) -> bool:
    return frame[0] <= box[0] and frame[1] <= box[1] and box[2] <= frame[2] and box[3] <= frame[3]


def _covers(box: Box, boxes: NDArray[np.float64]) -> bool:
    if not len(boxes):
        return False
    beside = (boxes[:, 0] >= box[2]) | (boxes[:, 2] <= box[0]) | (boxes[:, 1] >= box[3]) | (boxes[:, 3] <= box[1])
    return not bool(beside.all())
