"""A plain writer of blocks: one row after the other, in f-strings. It knows nothing of the library and its kernels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

Place = tuple[float, float, float]


@dataclass(frozen=True)
class Layout:
    """How numbers and words are spelled. ``words`` names the four motions and the letters x, y, z, i, j, r and feed.

    ``per_unit`` mm are one unit of the file; ``centres`` is how arcs are given: ``incremental``, ``absolute`` or
    ``radius``. ``columns``: every word is written, empty where nothing applies.
    """

    words: Mapping[str, str]
    decimals: int = 3
    feed_decimals: int = 1
    per_unit: float = 1.0
    centres: str = "incremental"
    between: str = " "
    modal: bool = True
    columns: bool = False
    point: bool = False


PLAIN = {
    "rapid": "G0", "line": "G1", "clockwise": "G2", "counter_clockwise": "G3", "x": "X", "y": "Y", "z": "Z", "i": "I",
    "j": "J", "r": "R", "feed": "F",
}  # fmt: skip
MOTIONS = ("rapid", "line", "clockwise", "counter_clockwise")


def decimal(count: float, decimals: int, *, point: bool = False) -> str:
    """A whole number of the last decimal as plain text: no needless zeros, no minus before zero."""
    text = f"{count / 10**decimals:.{decimals}f}"
    if decimals:
        text = text.rstrip("0").rstrip(".")
    return text + "." if point and "." not in text else text


def write_moves(
    motion: Sequence[int], end: Sequence[Sequence[float]], centre: Sequence[Sequence[float]], feed: Sequence[float],
    layout: Layout, lines: Mapping[int, Sequence[str]] | None = None,
) -> list[str]:  # fmt: skip
    """The blocks of all rows, modal, and the ready-made ``lines`` before each row (or after the last).

    ``motion`` as in `MOTIONS`; ``end`` and ``centre`` in mm, NaN where unknown, the centre of an arc by radius its
    radius and 0; ``feed`` mm/min, NaN or 0 where the row has none. A row that rounds to nothing is not written.
    """
    scale, feed_scale, per_unit = 10.0**layout.decimals, 10.0**layout.feed_decimals, layout.per_unit
    decimals, word, lines = layout.decimals, layout.words, lines or {}
    letters = (word["x"], word["y"], word["z"])
    written: list[str] = []
    before: list[int | None] = [None, None, None]
    said = rate = None
    for n, (how, place, middle, mm_min) in enumerate(zip(motion, end, centre, feed, strict=True)):
        if n in lines:
            written += lines[n]
            said = rate = None
        here = [b if v != v else round(v / per_unit * scale) for v, b in zip(place, before, strict=True)]  # noqa: PLR0124
        bends = how > 1
        if here == before and not bends:
            continue
        block = [] if said == how and layout.modal and not layout.columns else [word[MOTIONS[how]]]
        for letter, value, old, arced in zip(letters, here, before, (bends, bends, False), strict=True):
            if value is not None and (value != old or arced or layout.columns):
                block.append(f"{letter}{decimal(value, decimals, point=layout.point)}")
            elif layout.columns:
                block.append(letter)
        if bends:
            arm = [round(v / per_unit * scale) for v in middle]
            if layout.centres == "incremental":
                arm = [a - (b or 0) for a, b in zip(arm, before, strict=False)]
            names = (word["r"],) if layout.centres == "radius" else (word["i"], word["j"])
            block += [f"{a}{decimal(v, decimals, point=layout.point)}" for a, v in zip(names, arm, strict=False)]
        elif layout.columns:
            block += [word["i"], word["j"]]
        speed = round(mm_min / per_unit * feed_scale) if mm_min > 0.0 else 0
        if speed > 0 and (speed != rate or layout.columns):
            block.append(f"{word['feed']}{decimal(speed, layout.feed_decimals)}")
            rate = speed
        elif layout.columns:
            block.append(word["feed"])
        said, before = how, here
        written.append(layout.between.join(block))
    written += lines.get(len(motion), ())
    return written
