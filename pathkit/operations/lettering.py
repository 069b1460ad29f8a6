"""Text as single strokes that a bit follows: letters, digits and punctuation of ASCII.

The strokes are A. V. Hershey's simplex roman letters (Calligraphy for Computers, U.S. Naval Weapons Laboratory report
2101, 1967; cited from memory), free to use and pass on; they come with the package `Hershey-Fonts` (MIT).
"""

from __future__ import annotations

from functools import cache
from typing import Any, Final

import numpy as np

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.model.checking import Faults
from pathkit.model.curve import Curve

FONT: Final = "futural"
CAPITAL: Final = 21.0
"""Units from the base line to the top of a capital."""

BASE_LINE: Final = 9.0
LONGEST: Final = 200
"""The most characters in one text."""


def lettering(text: str, at: tuple[float, float], height: float) -> tuple[Curve, ...]:
    """The strokes of ``text`` in a row, its front left corner ``at`` (the left end of the base line), mm.

    ``height`` is that of a capital in mm. Raises `InputError` for a text without strokes, for one that is too long, and
    for characters that the font does not have.
    """
    faults = Faults("text")
    faults.number(height, "height", above=0.0)
    faults.raise_any()
    if len(text) > LONGEST:
        raise _refusal(f"the text is {len(text)} characters long", f"at most {LONGEST} are engraved")
    glyphs = _glyphs()
    if strange := sorted({character for character in text if character not in glyphs}):
        what = f"there are no strokes for {', '.join(map(repr, strange[:8]))}"
        raise _refusal(what, "use ASCII only: letters, digits and punctuation")
    pen = 0.0
    curves: list[Curve] = []
    for character in text:
        left, width, strokes = glyphs[character]
        for stroke in strokes:
            points = (stroke + np.array([pen - left, 0.0])) * (height / CAPITAL) + np.asarray(at, dtype=float)
            closed = len(points) > 3 and bool((points[0] == points[-1]).all())
            curves.append(Curve.polyline(points[:-1] if closed else points, closed=closed))
        pen += width
    if not curves:
        raise _refusal(f"the text {text!r} has no strokes", "give at least one character that is not a space")
    return tuple(curves)


def _refusal(what: str, fix: str) -> InputError:
    return InputError([Finding(check="text", what=what, fix=fix)])


@cache
def _glyphs() -> dict[str, tuple[float, float, tuple[Any, ...]]]:
    """For each character: its left edge, its width, and its strokes (n, 2), y up from the base line; all in units."""
    try:
        from HersheyFonts import HersheyFonts
    except ImportError:
        raise InputError("text needs the extra 'text': pip install 'pathkit-cam[text]'") from None
    font = HersheyFonts()
    font.load_default_font(FONT)
    found: dict[str, tuple[float, float, tuple[Any, ...]]] = {}
    for character, glyph in font.all_glyphs.items():
        strokes = [np.array([(x, BASE_LINE - y) for x, y in stroke], dtype=float) for stroke in glyph.strokes]
        apart = [stroke[np.r_[True, np.any(np.diff(stroke, axis=0) != 0.0, axis=1)]] for stroke in strokes]
        found[character] = float(glyph.left_offset), float(glyph.char_width), tuple(s for s in apart if len(s) > 1)
    return found
