"""Text as the audit reads it: strokes straight from the font in the package `Hershey-Fonts`."""

from __future__ import annotations

from functools import cache
from typing import Any, Final

import numpy as np

from pathkit.jobs.audit.figures import CannotRead, Figure

UNITS: Final = 21.0
"""Units of the font from the baseline to the top of a capital."""

BASE_LINE: Final = 9.0
"""y of the baseline in the font, whose y points down."""


def lettered(text: str, at: Any, height: float) -> Figure:
    """A text in one line: the baseline begins ``at`` (x, y), capitals are ``height`` mm high. Raises `CannotRead`."""
    scale = height / UNITS
    lines = []
    # The library itself places the characters side by side.
    for stroke in _font().strokes_for_text(text):
        points = np.array(list(stroke), dtype=float)
        points = np.stack([points[:, 0] * scale + at[0], (BASE_LINE - points[:, 1]) * scale + at[1]], axis=1)
        lines.append(points[np.r_[True, np.any(np.diff(points, axis=0) != 0.0, axis=1)]])
    closed = [len(line) > 3 and bool((line[0] == line[-1]).all()) for line in lines]
    rings = tuple(line for line, ring in zip(lines, closed, strict=True) if ring)
    return Figure(rings, tuple(line for line, ring in zip(lines, closed, strict=True) if not ring and len(line) > 1))


@cache
def _font() -> Any:
    """Unpacked once: that takes longer than everything that is read from it."""
    try:
        from HersheyFonts import HersheyFonts
    except ImportError:
        raise CannotRead("the extra 'text' is not installed") from None
    font = HersheyFonts()
    font.load_default_font("futural")
    return font
