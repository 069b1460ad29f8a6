"""Small pictures and tables of values, for notebooks: text in, SVG or HTML out, everything foreign escaped."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from html import escape
from typing import Final, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

WIDEST: Final = 640.0
"""Pixels of the longer side of a picture."""

MOST_POINTS: Final = 50_000
"""Points of a picture at most: a page of more is slow to scroll, and nobody sees them."""

Kind = Literal["board", "cut", "travel"]

_STYLE: Final[Mapping[Kind, str]] = {
    "board": 'fill="#f6f2ea" stroke="#8a8378"',
    "cut": 'fill="none" stroke="#124a63"',
    "travel": 'fill="none" stroke="#b0601c" stroke-dasharray="4 3"',
}
"""Travel is dashed, so that the two kinds differ without their colours too."""


class Stroke(NamedTuple):
    """A line to draw: (n, 2) in mm, y up."""

    points: NDArray[np.float64]
    kind: Kind = "cut"
    closed: bool = False


def drawn(strokes: Iterable[Stroke], title: str) -> str | None:
    """An SVG seen from above; None if there is nothing to draw, or more than anyone could see."""
    kept = [stroke for stroke in strokes if len(stroke.points)]
    if not kept or sum(len(stroke.points) for stroke in kept) > MOST_POINTS:
        return None
    every = np.concatenate([stroke.points for stroke in kept])
    low, high = every.min(axis=0), every.max(axis=0)
    width, height = np.maximum(high - low, 1.0).tolist()
    scale = WIDEST / max(width, height)
    lines = []
    for points, kind, closed in kept:
        places = (points - low) * scale
        places[:, 1] = height * scale - places[:, 1]
        steps = " ".join(f"{x:.1f},{y:.1f}" for x, y in places.tolist())
        lines.append(f'<{"polygon" if closed else "polyline"} points="{steps}" {_STYLE[kind]}/>')
    size = f'width="{width * scale + 8:.0f}" height="{height * scale + 8:.0f}"'
    box = f'viewBox="-4 -4 {width * scale + 8:.0f} {height * scale + 8:.0f}"'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} {box} role="img" stroke-width="1.5">'
    return f"{head}<title>{escape(title)}</title>{''.join(lines)}</svg>"


def table(heading: str, rows: Iterable[tuple[str, ...]]) -> str:
    """An HTML table whose first cells name the rows."""
    body = "".join(
        f"<tr><th scope='row' style='text-align:left'>{escape(row[0])}</th>"
        + "".join(f"<td style='text-align:left'>{escape(cell)}</td>" for cell in row[1:])
        + "</tr>"
        for row in rows
    )
    return f"<table><caption style='text-align:left'>{escape(heading)}</caption><tbody>{body}</tbody></table>"
