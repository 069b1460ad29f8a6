"""The text that an operation engraves, as lines within its part."""

from __future__ import annotations

from typing import Any

from pathkit.curves.regions import line_of, refusal
from pathkit.jobs.mark_form import Marks
from pathkit.jobs.shapes import bounds_of
from pathkit.model.curve import Curve
from pathkit.operations import lettering
from pathkit.tolerances import COARSE_CHORDS


def text_lines(text: str, form: Marks, whole: Any, toolpath: str) -> tuple[Curve, ...]:
    """The strokes of ``text``. Raises `InputError` for characters without strokes, and for a text that reaches beyond
    its part. ``whole`` is the inside of the part's outline (shapely), None if it is not known."""
    x, y = form.text_at or (0.0, 0.0)
    curves = lettering(text, (x, y), form.text_height or 0.0)
    if whole is not None and not all(whole.covers(line_of(curve, COARSE_CHORDS)) for curve in curves):
        box = bounds_of(curves)
        what = (
            f"the text {text!r} of {box[2] - box[0]:.1f} × {box[3] - box[1]:.1f} mm reaches beyond the outline of its"
            " part"
        )
        raise refusal(toolpath, what, "give a smaller text_height, or another text_at")
    return curves
