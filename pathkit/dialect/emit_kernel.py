"""Text from integers: the loop that writes every block of motion. Bytes in, bytes out; no floating point."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.dialect.grid_kernel import CLOCKWISE, DRILL, DRILL_PECK, DRILL_WAIT, UNKNOWN
from pathkit.kernels import kernel

Bytes = NDArray[np.uint8]
Counts = NDArray[np.int64]

INCREMENTAL, ABSOLUTE, RADIUS = 0, 1, 2

NEWLINE = 10
WORDS = (
    "rapid", "line", "clockwise", "counter_clockwise", "drill", "drill_wait", "drill_peck", "x", "y", "z", "i", "j",
    "r", "feed", "block", "plane", "bite", "wait",
)  # fmt: skip
"""Rows of the word table, each a length and up to 7 characters; the first are in the order of the motions."""
X, Y, Z, I, J, R, F, N, PLANE, BITE, WAIT = range(7, 18)  # noqa: E741 - the letters of the words

FORM, DECIMALS, FEED_DECIMALS, WAIT_DECIMALS, NUMBER_LIMIT, BETWEEN, POINT, MODAL, COLUMNS = range(9)
"""Places in ``style``: how arcs are given; decimals of dimensions, feeds and waits; the highest block number (0: none);
the byte between words; and three switches, as in `Capabilities`."""

MODE, AT_X, AT_Y, AT_Z, RATE, AT_PLANE, AT_BITE, BOTTOM = range(8)
"""Places in ``state``: what the controller holds after the row before."""


@kernel
def _word(out: Bytes, at: int, words: Bytes, which: int, first: bool, between: int) -> int:
    if not first:
        out[at] = between
        at += 1
    for k in range(words[which, 0]):
        out[at] = words[which, 1 + k]
        at += 1
    return at


@kernel
def _number(out: Bytes, at: int, count: int, decimals: int, point: bool) -> int:
    """An integer as a decimal: its last ``decimals`` digits are the fraction, whose trailing zeros are dropped."""
    if count < 0:
        out[at] = 45
        at += 1
        count = -count
    while decimals > 0 and count % 10 == 0:
        count //= 10
        decimals -= 1
    width = 1
    rest = count // 10
    while rest > 0:
        width += 1
        rest //= 10
    width = max(width, decimals + 1)
    total = width + (1 if decimals > 0 else 0)
    place = at + total - 1
    for k in range(width):
        if k == decimals and decimals > 0:
            out[place] = 46
            place -= 1
        out[place] = 48 + count % 10
        count //= 10
        place -= 1
    if point and decimals == 0:
        out[at + total] = 46
        total += 1
    return at + total


@kernel
def _block_number(out: Bytes, at: int, words: Bytes, line: int, limit: int) -> int:
    """The block's own number, from 1 and again from 1 past the limit; followed by a blank."""
    at = _word(out, at, words, N, True, 32)
    at = _number(out, at, (line - 1) % limit + 1, 0, False)
    out[at] = 32
    return at + 1


@kernel
def _dimension(
    out: Bytes, at: int, words: Bytes, which: int, first: bool, count: int, style: Counts
) -> int:  # fmt: skip
    at = _word(out, at, words, which, first, style[BETWEEN])
    return _number(out, at, count, style[DECIMALS], style[POINT] > 0)


@kernel
def _write_move(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    out: Bytes, at: int, words: Bytes, style: Counts, how: int, point: Counts, arc: Counts, feed: int, state: Counts
) -> int:  # fmt: skip
    """One move: words only where they change something."""
    first = True
    if how != state[MODE] or style[MODAL] == 0:
        at = _word(out, at, words, how, first, style[BETWEEN])
        first = False
    bends = how >= CLOCKWISE
    for axis in range(3):
        same = point[axis] == state[AT_X + axis]
        if point[axis] != UNKNOWN and (not same or (bends and axis < 2)):
            at = _dimension(out, at, words, X + axis, first, point[axis], style)
            first = False
    if bends and style[FORM] == RADIUS:
        at = _dimension(out, at, words, R, first, arc[0], style)
    elif bends:
        for axis in range(2):
            start = state[AT_X + axis] if style[FORM] == INCREMENTAL else 0
            at = _dimension(out, at, words, I + axis, first, arc[axis] - start, style)
    if feed > 0 and feed != state[RATE]:
        at = _number(out, _word(out, at, words, F, first, style[BETWEEN]), feed, style[FEED_DECIMALS], False)
        state[RATE] = feed
    state[MODE], state[AT_X], state[AT_Y], state[AT_Z] = how, point[0], point[1], point[2]
    return at


@kernel
def _write_hole(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    out: Bytes, at: int, words: Bytes, style: Counts, how: int, point: Counts, arc: Counts, feed: int, state: Counts
) -> int:  # fmt: skip
    """One hole: only its place if all else is as at the hole before, else the whole cycle."""
    same = how == state[MODE] and arc[0] == state[AT_PLANE] and arc[1] == state[AT_BITE] and feed == state[RATE]
    same = same and point[2] == state[BOTTOM]
    first = True
    if not same or style[MODAL] == 0:
        at = _word(out, at, words, how, first, style[BETWEEN])
        first = False
    at = _dimension(out, at, words, X, first, point[0], style)
    at = _dimension(out, at, words, Y, False, point[1], style)
    if not same:
        at = _dimension(out, at, words, Z, False, point[2], style)
        at = _dimension(out, at, words, PLANE, False, arc[0], style)
        if how == DRILL_PECK:
            at = _dimension(out, at, words, BITE, False, arc[1], style)
        elif how == DRILL_WAIT:
            at = _number(out, _word(out, at, words, WAIT, False, style[BETWEEN]), arc[1], style[WAIT_DECIMALS], False)
        at = _number(out, _word(out, at, words, F, False, style[BETWEEN]), feed, style[FEED_DECIMALS], False)
    state[MODE], state[AT_X], state[AT_Y], state[RATE] = how, point[0], point[1], feed
    state[AT_PLANE], state[AT_BITE], state[BOTTOM] = arc[0], arc[1], point[2]
    return at


@kernel
def _write_table_row(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    out: Bytes, at: int, words: Bytes, style: Counts, how: int, point: Counts, arc: Counts, feed: int, state: Counts
) -> int:  # fmt: skip
    """One move in columns: motion, x, y, z, two of the centre, feed; empty where nothing applies."""
    at = _word(out, at, words, how, True, style[BETWEEN])
    for axis in range(3):
        at = _word(out, at, words, X + axis, False, style[BETWEEN])
        if point[axis] != UNKNOWN:
            at = _number(out, at, point[axis], style[DECIMALS], style[POINT] > 0)
    for axis in range(2):
        at = _word(out, at, words, I + axis, False, style[BETWEEN])
        if how >= CLOCKWISE:
            start = state[AT_X + axis] if style[FORM] == INCREMENTAL else 0
            at = _number(out, at, arc[axis] - start, style[DECIMALS], style[POINT] > 0)
    at = _word(out, at, words, F, False, style[BETWEEN])
    if feed > 0:
        at = _number(out, at, feed, style[FEED_DECIMALS], False)
    state[AT_X], state[AT_Y], state[AT_Z] = point[0], point[1], point[2]
    return at


@kernel
def emit_rows(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    motion: NDArray[np.uint8], point: Counts, arc: Counts, feed: Counts, restate: NDArray[np.bool_], block_at: Counts,
    block_start: Counts, blocks: Bytes, words: Bytes, line_end: Bytes, style: Counts, first_line: int, out: Bytes,
    line_of: Counts, size: Counts,
) -> tuple[int, int]:  # fmt: skip
    """Write every row and the ready-made ``blocks`` between them; returns the bytes written and the last line's number.

    ``block_at`` (k,) is the row before which each block comes, ``block_start`` (k + 1,) its place in ``blocks``, whose
    lines end in a bare line feed. Words of motion, axes and feed are written only where they change; where ``restate``
    is set, the motion and feed in force are written again. ``style`` (9,) as named above. ``line_of`` (m,) receives
    each row's line, ``size`` (m,) its bytes with the blocks before it.
    """
    at, line, block = 0, first_line - 1, 0
    state = np.full(8, UNKNOWN, dtype=np.int64)
    count = len(motion)
    for n in range(count + 1):
        before = at
        while block < len(block_at) and block_at[block] == n:
            begins = True
            for k in range(block_start[block], block_start[block + 1]):
                if begins:
                    line += 1
                    begins = False
                    if style[NUMBER_LIMIT] > 0:
                        at = _block_number(out, at, words, line, style[NUMBER_LIMIT])
                if blocks[k] == NEWLINE:
                    begins = True
                    for m in range(len(line_end)):
                        out[at] = line_end[m]
                        at += 1
                else:
                    out[at] = blocks[k]
                    at += 1
            block += 1
        if n == count:
            break
        line += 1
        if style[NUMBER_LIMIT] > 0:
            at = _block_number(out, at, words, line, style[NUMBER_LIMIT])
        how = int(motion[n])
        if restate[n]:
            state[MODE], state[RATE] = UNKNOWN, UNKNOWN
        if style[COLUMNS] > 0:
            at = _write_table_row(out, at, words, style, how, point[n], arc[n], feed[n], state)
        elif how >= DRILL:
            at = _write_hole(out, at, words, style, how, point[n], arc[n], feed[n], state)
        else:
            at = _write_move(out, at, words, style, how, point[n], arc[n], feed[n], state)
        for m in range(len(line_end)):
            out[at] = line_end[m]
            at += 1
        line_of[n], size[n] = line, at - before
    return at, line
