"""What goes into SVG: texts, numbers, and the ``d`` of paths made from strokes, exact or bounded in size."""

from __future__ import annotations

import re
from typing import Final
from xml.sax.saxutils import escape

import numpy as np
from numpy.typing import NDArray

from pathkit.handover.pages.strokes import Floats, Strokes

Places = NDArray[np.int64]

MOST_EXACT: Final = 20_000
"""Pieces that are drawn as they are, with arcs."""

MOST_COARSE: Final = 40_000
"""Straight pieces that are drawn of a file with more; where more are left, they are drawn on a coarser grid."""

FINEST: Final = 0.25
"""Units of the picture: the grid on which many pieces are drawn at first, finer than a screen shows."""


def exact(strokes: Strokes) -> str:
    """``strokes`` (in the picture's units, y down) as they are, to a hundredth of a unit."""
    begun = _begins(strokes.start, strokes.end).tolist()
    out: list[str] = []
    rows = zip(
        begun, strokes.start.tolist(), strokes.end.tolist(), strokes.radius.tolist(), strokes.left.tolist(),
        strict=True,
    )  # fmt: skip
    for new, start, end, radius, left in rows:
        if new:
            out.append(f"M{short(start[0])} {short(start[1])}")
        if radius > 0.0:
            # y runs down: counter-clockwise as seen from above is the sweep flag 0.
            out.append(f"A{short(radius)} {short(radius)} 0 0 {int(not left)} {short(end[0])} {short(end[1])}")
        elif start == end:
            # A dot, where the line's ends are round.
            out.append("h0")
        else:
            out.append(f"L{short(end[0])} {short(end[1])}")
    return "".join(out)


def coarse(groups: list[Strokes], most: int = MOST_COARSE) -> tuple[list[str], float]:
    """Straight strokes on a grid, each piece of a group once, and the grid's step in units of the picture.

    The step is doubled until all groups together have at most ``most`` pieces.
    """
    step = FINEST
    kept = [_on_grid(group.start / step, group.end / step) for group in groups]
    while sum(len(start) for start, _ in kept) > most:
        step *= 2.0
        kept = [_on_grid(start / 2.0, end / 2.0) for start, end in kept]
    return [_relative(start, end, step) for start, end in kept], step


_REACH: Final = 1 << 14
"""Steps from the picture's corner to which it is drawn; what lies further is beyond its edges."""


def _on_grid(first: Floats, last: Floats) -> tuple[Places, Places]:
    """Ends (k, 2) in whole steps: no piece twice, runs in one direction as one, dots only where nothing else is."""
    start = np.clip(np.rint(first), -_REACH, _REACH - 1).astype(np.int64)
    end = np.clip(np.rint(last), -_REACH, _REACH - 1).astype(np.int64)
    a, b = _key(start), _key(end)
    dot = a == b
    if dot.any():
        # A dot that a line ends at is covered by the line's round end.
        keep = ~dot | ~np.isin(a, np.unique(np.concatenate([a[~dot], b[~dot]])))
        start, end, a, b = start[keep], end[keep], a[keep], b[keep]
    _, found = np.unique((np.minimum(a, b) << 30) | np.maximum(a, b), return_index=True)
    kept = np.sort(found)
    return _straightened(start[kept], end[kept])


def _straightened(start: Places, end: Places) -> tuple[Places, Places]:
    """Pieces that follow each other in one direction joined to one."""
    if len(start) < 2:
        return start, end
    way = end - start
    on = (start[1:] == end[:-1]).all(axis=1)
    ahead = (way[1:] * way[:-1]).sum(axis=1) > 0
    straight = way[1:, 0] * way[:-1, 1] == way[1:, 1] * way[:-1, 0]
    begins = np.concatenate([[True], ~(on & ahead & straight)])
    ends = np.concatenate([begins[1:], [True]])
    return start[begins], end[ends]


def _relative(start: Places, end: Places, step: float) -> str:
    begun = _begins(start, end).tolist()
    out: list[str] = []
    for new, (x, y), (u, v) in zip(begun, start.tolist(), end.tolist(), strict=True):
        if new:
            out.append(f"M{short(x * step)} {short(y * step)}l")
        dx, dy = short((u - x) * step), short((v - y) * step)
        out.append(f"{dx} {dy} ")
    return "".join(out)


def _begins(start: Places | Floats, end: Places | Floats) -> NDArray[np.bool_]:
    """(n,) whether each piece begins elsewhere than the one before it ends."""
    if not len(start):
        return np.zeros(0, dtype=bool)
    return np.concatenate([[True], np.any(start[1:] != end[:-1], axis=1)])


def _key(points: Places) -> NDArray[np.int64]:
    """(n,) one number of 30 bits for each place."""
    return np.asarray(((points[:, 0] + _REACH) << 15) | (points[:, 1] + _REACH))


def short(value: float) -> str:
    """A number with at most two decimals, and none that are zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


_NO_TEXT: Final = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]|[\u202a-\u202e\u2066-\u2069]")
"""What XML 1.0 has no place for, escaped or not (its production 2, Char), and what turns the direction of writing."""


def in_xml(text: str) -> str:
    """Text from outside for an element: escaped, with a mark in place of characters that XML has no place for."""
    return escape(_NO_TEXT.sub("\ufffd", text))


def one_line(text: str) -> str:
    """Text from outside on one line, as long as it is drawn; not yet escaped."""
    return " ".join(_NO_TEXT.sub("\ufffd", text).split())
