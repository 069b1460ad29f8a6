"""A plain writer of blocks: one row after the other, in f-strings. It knows nothing of the library and its kernels."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar


@dataclass(frozen=True)
class Layout:
    """How numbers and words are spelled. ``words`` names the four motions, and what stands before each number.

    ``per_unit`` mm are one unit of the file; ``centres`` is how arcs are given: ``incremental``, ``absolute`` or
    ``radius``. ``columns``: every word is written, empty where nothing applies. ``full`` is the number of full power.
    """

    NAMES: ClassVar = ("rapid", "line", "clockwise", "counter_clockwise", "x", "y", "z", "i", "j", "r", "feed", "power")

    words: Mapping[str, str]
    decimals: int = 3
    feed_decimals: int = 1
    per_unit: float = 1.0
    centres: str = "incremental"
    between: str = " "
    modal: bool = True
    columns: bool = False
    point: bool = False
    fixed: bool = False
    modal_feed: bool = True
    opening: str = ""
    closing: str = ""
    full: float = 1.0
    power_decimals: int = 0


PLAIN = {
    "rapid": "G0", "line": "G1", "clockwise": "G2", "counter_clockwise": "G3", "x": "X", "y": "Y", "z": "Z", "i": "I",
    "j": "J", "r": "R", "feed": "F", "power": "S",
}  # fmt: skip
MOTIONS = ("rapid", "line", "clockwise", "counter_clockwise")


def speller(decimals: int, *, point: bool = False, fixed: bool = False) -> Callable[[int], str]:
    """Spells a whole number of the last decimal as plain text: no needless zeros, no minus before zero."""
    scale, form = 10**decimals, f"%.{decimals}f"
    if fixed and decimals:
        return lambda count: form % (count / scale)
    if decimals == 0:
        return lambda count: f"{count}." if point else str(count)
    if point:
        return lambda count: (form % (count / scale)).rstrip("0")
    return lambda count: (form % (count / scale)).rstrip("0").rstrip(".")


def write_moves(
    motion: Sequence[int], end: Sequence[Sequence[float]], centre: Sequence[Sequence[float]], feed: Sequence[float],
    layout: Layout, lines: Mapping[int, Sequence[str]] | None = None, power: Sequence[float] | None = None,
) -> list[str]:  # fmt: skip
    """The blocks of all rows, modal, and the ready-made ``lines`` before each row (or after the last).

    ``motion`` as in `MOTIONS`; ``end`` and ``centre`` in mm, NaN where unknown, the centre of an arc by radius its
    radius and 0; ``feed`` mm/min, NaN or 0 where the row has none; ``power`` a share of the full. A row that rounds to
    nothing is not written.
    """
    scale, feed_scale, per_unit = 10.0**layout.decimals, 10.0**layout.feed_decimals, layout.per_unit
    spelled = speller(layout.decimals, point=layout.point, fixed=layout.fixed)
    paced, modal_feed = speller(layout.feed_decimals, fixed=layout.fixed), layout.modal_feed
    word, lines = layout.words, lines or {}
    motions = [word[name] for name in MOTIONS]
    x_word, y_word, z_word, feed_word = word["x"], word["y"], word["z"], word["feed"]
    every, always = layout.columns, layout.columns or not layout.modal
    written: list[str] = []
    burns, strength = speller(layout.power_decimals, fixed=layout.fixed), None
    x0 = y0 = z0 = said = rate = None
    for n, (how, (px, py, pz), middle, mm_min) in enumerate(zip(motion, end, centre, feed, strict=True)):
        if n in lines:
            written += lines[n]
            said = rate = strength = None
        # Only NaN differs from itself.
        x = round(px / per_unit * scale) if px == px else x0
        y = round(py / per_unit * scale) if py == py else y0
        z = round(pz / per_unit * scale) if pz == pz else z0
        bends = how > 1
        if x == x0 and y == y0 and z == z0 and not bends:
            continue
        block = [motions[how]] if always or said != how else []
        if every or ((x != x0 or bends) and x is not None):
            block.append(x_word if x is None else f"{x_word}{spelled(x)}")
        if every or ((y != y0 or bends) and y is not None):
            block.append(y_word if y is None else f"{y_word}{spelled(y)}")
        if every or (z != z0 and z is not None):
            block.append(z_word if z is None else f"{z_word}{spelled(z)}")
        if bends:
            i, j = (round(v / per_unit * scale) for v in middle)
            if layout.centres == "radius":
                block.append(f"{word['r']}{spelled(i)}")
            elif layout.centres == "absolute":
                block += [f"{word['i']}{spelled(i)}", f"{word['j']}{spelled(j)}"]
            else:
                block += [f"{word['i']}{spelled(i - (x0 or 0))}", f"{word['j']}{spelled(j - (y0 or 0))}"]
        elif every:
            block += [word["i"], word["j"]]
        speed = round(mm_min / per_unit * feed_scale) if mm_min > 0.0 else 0
        if every or (speed > 0 and (speed != rate or not modal_feed)):
            block.append(f"{feed_word}{paced(speed)}" if speed > 0 else feed_word)
            rate = speed
        if power is not None and (every or round(power[n] * layout.full * 10**layout.power_decimals) != strength):
            strength = round(power[n] * layout.full * 10**layout.power_decimals)
            block.append(f"{word['power']}{burns(strength)}")
        said, x0, y0, z0 = how, x, y, z
        written.append(f"{layout.opening}{layout.between.join(block)}{layout.closing}")
    written += lines.get(len(motion), ())
    return written
