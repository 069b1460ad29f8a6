"""Text from integers: the loop that writes every block of motion. Bytes in, bytes out; no floating point."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.dialect.grid_kernel import CLOCKWISE, STRAIGHT, UNKNOWN
from pathkit.kernels import kernel

Bytes = NDArray[np.uint8]
Counts = NDArray[np.int64]

INCREMENTAL, ABSOLUTE, RADIUS = 0, 1, 2

NEWLINE = 10
X, Y, Z, I, J, R, F, N = 4, 5, 6, 7, 8, 9, 10, 11  # noqa: E741 - the letters of the words
"""Rows of the word table after the four motions; each row is a length and up to 7 characters."""


@kernel
def _word(out: Bytes, at: int, words: Bytes, which: int, first: bool) -> int:
    if not first:
        out[at] = 32
        at += 1
    for k in range(words[which, 0]):
        out[at] = words[which, 1 + k]
        at += 1
    return at


@kernel
def _number(out: Bytes, at: int, count: int, decimals: int) -> int:
    """The decimal of an integer: its last ``decimals`` digits are the fraction, whose trailing zeros are dropped."""
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
    return at + total


@kernel
def _block_number(out: Bytes, at: int, words: Bytes, line: int, limit: int) -> int:
    """The block's own number, from 1 and again from 1 past the limit; followed by a blank."""
    at = _word(out, at, words, N, True)
    at = _number(out, at, (line - 1) % limit + 1, 0)
    out[at] = 32
    return at + 1


@kernel
def emit_rows(
    motion: NDArray[np.uint8], point: Counts, arc: Counts, feed: Counts, restate: NDArray[np.bool_], block_at: Counts,
    block_start: Counts, blocks: Bytes, words: Bytes, line_end: Bytes, form: int, decimals: int, feed_decimals: int,
    number_limit: int, first_line: int, out: Bytes, line_of: Counts, size: Counts,
) -> tuple[int, int]:  # fmt: skip
    """Write every row and the ready-made ``blocks`` between them; returns bytes written and the number of the last
    line.

    ``block_at`` (k,) is the row each block stands before, ``block_start`` (k + 1,) its place in ``blocks``, whose lines
    end in a bare line feed. Words of motion, axes and feed are written only where they change; where ``restate`` is set
    the motion and feed in force are forgotten first. ``line_of`` (m,) receives each row's line, ``size`` (m,) its bytes
    with the blocks before it. ``number_limit`` 0: no block numbers.
    """
    at, line, block = 0, first_line - 1, 0
    x, y, z = UNKNOWN, UNKNOWN, UNKNOWN
    mode, rate = -1, -1
    count = len(motion)
    for n in range(count + 1):
        before = at
        while block < len(block_at) and block_at[block] == n:
            begins = True
            for k in range(block_start[block], block_start[block + 1]):
                if begins:
                    line += 1
                    begins = False
                    if number_limit > 0:
                        at = _block_number(out, at, words, line, number_limit)
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
        if number_limit > 0:
            at = _block_number(out, at, words, line, number_limit)
        first = True
        how = int(motion[n])
        if restate[n]:
            mode, rate = -1, -1
        if how != mode:
            at = _word(out, at, words, how, first)
            mode, first = how, False
        bends = how >= CLOCKWISE
        if point[n, 0] != UNKNOWN and (point[n, 0] != x or bends):
            at = _number(out, _word(out, at, words, X, first), point[n, 0], decimals)
            first = False
        if point[n, 1] != UNKNOWN and (point[n, 1] != y or bends):
            at = _number(out, _word(out, at, words, Y, first), point[n, 1], decimals)
            first = False
        if point[n, 2] != UNKNOWN and point[n, 2] != z:
            at = _number(out, _word(out, at, words, Z, first), point[n, 2], decimals)
            first = False
        if bends and form == RADIUS:
            at = _number(out, _word(out, at, words, R, first), arc[n, 0], decimals)
        elif bends:
            from_x = x if form == INCREMENTAL else 0
            from_y = y if form == INCREMENTAL else 0
            at = _number(out, _word(out, at, words, I, first), arc[n, 0] - from_x, decimals)
            at = _number(out, _word(out, at, words, J, first), arc[n, 1] - from_y, decimals)
        if how >= STRAIGHT and feed[n] != rate:
            at = _number(out, _word(out, at, words, F, first), feed[n], feed_decimals)
            rate = feed[n]
        x, y, z = point[n, 0], point[n, 1], point[n, 2]
        for m in range(len(line_end)):
            out[at] = line_end[m]
            at += 1
        line_of[n], size[n] = line, at - before
    return at, line
