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
    start, end, radius = strokes.start, strokes.end, strokes.radius
    begun = _begins(start, end)
    to, size = _pairs(end), _texts(radius)
    still = (start == end).all(axis=1)
    # y runs down: counter-clockwise as seen from above is the sweep flag 0. A line without length is a dot, where the
    # ends of lines are round.
    out = [
        f"A{r} {r} 0 0 {0 if left else 1} {place}" if arc else "h0" if dot else f"L{place}"
        for arc, dot, r, left, place in zip(
            (radius > 0.0).tolist(), still.tolist(), size, strokes.left.tolist(), to, strict=True
        )
    ]
    for k, place in zip(np.flatnonzero(begun).tolist(), _pairs(start[begun]), strict=True):
        out[k] = f"M{place}{out[k]}"
    return "".join(out)


def _pairs(places: Floats) -> list[str]:
    """Each place as two numbers."""
    texts = _texts(places.ravel())
    return [f"{x} {y}" for x, y in zip(texts[::2], texts[1::2], strict=True)]


def _texts(values: Floats) -> list[str]:
    """`short` of each: worked out once for values that are equal to a hundredth, as most of a drawing's are."""
    known, which = np.unique(np.round(values, 2), return_inverse=True)
    texts = [short(value) for value in known.tolist()]
    return [texts[k] for k in which.tolist()]


def coarse(groups: list[Strokes], most: int = MOST_COARSE) -> tuple[list[str], float]:
    """Straight strokes, each piece of a group once, and how finely they are drawn, in units of the picture.

    They go from point to point of a grid. Where even a grid of `COARSEST` leaves more than ``most`` pieces, wood is
    cut nearly everywhere: then the squares of the grid that they touch are drawn, as rows; of several groups a square
    belongs to the last.
    """
    step = FINEST
    kept = [_on_grid(group.start / step, group.end / step) for group in groups]
    while sum(len(start) for start, _ in kept) > most and step < COARSEST:
        step *= 2.0
        kept = [_on_grid(start / 2.0, end / 2.0) for start, end in kept]
    if sum(len(start) for start, _ in kept) <= most:
        return [_relative(start, end, step) for start, end in kept], step
    side = SQUARE
    longest = sum(float(np.abs(end - start).max(axis=1, initial=0.0).sum()) for start, end in kept) * step
    while longest / side > _MOST_SAMPLES:
        side *= 2.0
    while True:
        share = step / side
        rows = _rows([_squares(np.asarray(start * share), np.asarray(end * share)) for start, end in kept])
        if sum(len(start) for start, _ in rows) <= most:
            return [_relative(start, end, side) for start, end in rows], side
        side *= 2.0


COARSEST: Final = 1.0
SQUARE: Final = 1.25
"""Units of the picture."""

_MOST_SAMPLES: Final = 24_000_000
"""Places at which pieces are looked up for the squares that they touch; for longer ones squares are larger."""

_AT_ONCE: Final = 4_000_000


def _squares(start: Floats, end: Floats) -> NDArray[np.bool_]:
    """(y, x) whether a piece touches each square; lengths in squares. What lies beyond the picture is left out."""
    touched = np.zeros((_SQUARES, _SQUARES), dtype=bool)
    flat = touched.reshape(-1)
    count = np.ceil(np.abs(end - start).max(axis=1, initial=0.0)).astype(np.int64) + 1
    begin = 0
    total = np.cumsum(count)
    while begin < len(count):
        done = total[begin - 1] if begin else 0
        stop = max(int(np.searchsorted(total, done + _AT_ONCE, side="right")), begin + 1)
        some = count[begin:stop]
        of = np.repeat(np.arange(begin, stop), some)
        number = np.arange(len(of)) - np.repeat(np.cumsum(some) - some, some)
        share = number / np.maximum(count[of] - 1, 1)
        at = np.rint(start[of] + (end[of] - start[of]) * share[:, None]).astype(np.int64)
        inside = ((at >= 0) & (at < _SQUARES)).all(axis=1)
        flat[at[inside, 1] * _SQUARES + at[inside, 0]] = True
        begin = stop
    return touched


_SQUARES: Final = 1024


def _rows(groups: list[NDArray[np.bool_]]) -> list[tuple[Places, Places]]:
    """Squares as rows from (x, y) to (x, y) of their middles."""
    found = []
    over = np.zeros_like(groups[0])
    for touched in reversed(groups):
        own = np.pad(touched & ~over, ((0, 0), (1, 1))).astype(np.int8)
        over |= touched
        change = np.diff(own, axis=1)
        # Both are found line by line, from left to right, so that they belong together in their order.
        y, first = np.nonzero(change == 1)
        last = np.nonzero(change == -1)[1] - 1
        found.append((np.column_stack([first, y]), np.column_stack([last, y])))
    return found[::-1]


_REACH: Final = 1 << 14
"""Steps from the picture's corner to which it is drawn; what lies further is beyond its edges."""


def _on_grid(first: Floats, last: Floats) -> tuple[Places, Places]:
    """Ends (k, 2) in whole steps: no piece twice, runs in one direction as one, dots only where nothing else is."""
    start = np.clip(np.rint(first), -_REACH, _REACH - 1).astype(np.int64)
    end = np.clip(np.rint(last), -_REACH, _REACH - 1).astype(np.int64)
    a, b = _key(start), _key(end)
    # A dot where the piece before it ends is covered by that piece's round end.
    seen = np.zeros(len(a), dtype=bool)
    seen[1:] = (a[1:] == b[1:]) & (a[1:] == b[:-1])
    if seen.any():
        start, end, a, b = start[~seen], end[~seen], a[~seen], b[~seen]
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
