"""The loop over plain blocks: G0 to G3 with X, Y, Z, I, J and F, where every mode that they rely on is known.

It reads the lines that it is sure of and stops before the first other one, which the full reader takes. The result is
bit for bit the full reader's: the same divisions, the same code for arcs.
"""

from __future__ import annotations

from math import nan, sqrt

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.readback import arcs
from pathkit.tolerances import ROUNDING

_misses = kernel(arcs.misses)
_sweep_of = kernel(arcs.sweep_of)
_left_open = kernel(arcs.left_open)

POWERS: NDArray[np.float64] = np.array([10.0**k for k in range(16)])

# Indices into ``limits`` (how the controller reads) and ``state`` (what carries over from block to block).
DIGITS, LENGTH, LOWER, PLANE, SCALE, SLACK, RELATIVE, LIMIT, FULL_TURN, FARTHEST, NUMBERS, ROUND, SEMICOLON = range(13)
SINGLE = 13
X, Y, Z, BASE_X, BASE_Y, BASE_Z, FEED, MOTION = range(8)
LETTERS = np.frombuffer(b"XYZIJFGN", np.uint8).copy()
_I, _J, _F, _G, _N = 3, 4, 5, 6, 7


@kernel
def _behind_comment(data: NDArray[np.uint8], at: int, limits: NDArray[np.float64]) -> int:
    """The index after the comment that opens at ``at``, at most its line's end; −1 if the comment is not plain."""
    to_end = data[at] == 59
    if limits[SEMICOLON if to_end else ROUND] == 0.0:
        return -1
    at += 1
    while at < len(data) and data[at] != 10 and data[at] != 13:
        byte = data[at]
        if byte == 41 and not to_end:
            return at + 1
        # Bytes that may act at once, and a second opening bracket, are left to the full reader.
        if byte < 32 or byte > 125 or byte == 33 or byte == 63 or (byte == 40 and not to_end):
            return -1
        at += 1
    return at if to_end else -1


@kernel
def _words(
    data: NDArray[np.uint8], begin: int, limits: NDArray[np.float64], value: NDArray[np.float64],
    given: NDArray[np.bool_], letters: NDArray[np.uint8], powers: NDArray[np.float64],
) -> int:  # fmt: skip
    """Read one line's words; returns the index of its end, or −1 if the line is not plain."""
    given[:] = False
    at, size, first = begin, len(data), True
    while at < size and data[at] != 10 and data[at] != 13:
        byte = data[at]
        if byte == 32:
            at += 1
            continue
        if byte == 40 or byte == 59:
            at = _behind_comment(data, at, limits)
            if at < 0:
                return -1
            continue
        if limits[LOWER] > 0.0 and 97 <= byte <= 122:
            byte -= 32
        which = -1
        for k in range(8):
            if letters[k] == byte:
                which = k
        if which < 0 or given[which] or (which == _N and not first):
            return -1
        at += 1
        mantissa, digits, decimals, sign = 0, 0, -1, 1.0
        if at < size and (data[at] == 45 or data[at] == 43):
            sign = -1.0 if data[at] == 45 else 1.0
            at += 1
        while at < size:
            byte = data[at]
            if 48 <= byte <= 57:
                mantissa = mantissa * 10 + (byte - 48)
                digits += 1
                decimals += decimals >= 0
                if digits > limits[DIGITS]:
                    return -1
            elif byte == 46 and decimals < 0:
                decimals = 0
            else:
                break
            at += 1
        if digits == 0:
            return -1
        if which >= _G and (decimals >= 0 or sign < 0.0):
            return -1
        value[which] = sign * (mantissa / powers[max(decimals, 0)])
        given[which] = True
        first = False
    return at if at - begin <= limits[LENGTH] else -1


@kernel
def _move(
    limits: NDArray[np.float64], state: NDArray[np.float64], value: NDArray[np.float64], given: NDArray[np.bool_],
    row: NDArray[np.float64],
) -> bool:  # fmt: skip
    """Write the line's move into ``row`` (end, centre, sweep, feed) and the state; False if the line is not plain."""
    if not (given[0] or given[1] or given[2]) or (given[_N] and value[_N] > limits[NUMBERS]):
        return False
    motion = value[_G] if given[_G] else state[MOTION]
    feed = value[_F] * limits[SCALE] if given[_F] else state[FEED]
    round_ = motion >= 2.0
    if motion > 3.0 or (motion > 0.0 and not feed > 0.0) or feed < 0.0 or feed > 1e7:
        return False
    if round_ != (given[_I] or given[_J]) or (round_ and (limits[PLANE] == 0.0 or not (given[0] or given[1]))):
        return False
    for k in range(3):
        row[k] = value[k] * limits[SCALE] + state[BASE_X + k] if given[k] else state[k]
        if abs(row[k]) > limits[FARTHEST]:
            return False
    row[3], row[4], row[5], row[6] = nan, nan, 0.0, feed if motion > 0.0 else nan
    if round_:
        cx = state[X] + (value[_I] * limits[SCALE] if given[_I] else 0.0)
        cy = state[Y] + (value[_J] * limits[SCALE] if given[_J] else 0.0)
        ax, ay, bx, by = state[X] - cx, state[Y] - cy, row[0] - cx, row[1] - cy
        radius = sqrt(ax * ax + ay * ay)
        if radius < ROUNDING or abs(cx) > limits[FARTHEST] or abs(cy) > limits[FARTHEST]:
            return False
        if _misses(radius, sqrt(bx * bx + by * by), limits[SLACK], limits[RELATIVE], limits[LIMIT]):
            return False
        clockwise = motion == 2.0
        if limits[SINGLE] > 0.0 and _left_open(
            state[X], state[Y], row[0], row[1], cx, cy, clockwise, limits[FULL_TURN]
        ):
            return False
        row[3], row[4] = cx, cy
        row[5] = _sweep_of(ax, ay, bx, by, clockwise, limits[FULL_TURN])
    state[X], state[Y], state[Z] = row[0], row[1], row[2]
    state[FEED], state[MOTION] = feed, motion
    return True


@kernel
def plain_blocks(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    data: NDArray[np.uint8], begin: int, limits: NDArray[np.float64], state: NDArray[np.float64],
    kind: NDArray[np.uint8], rows: NDArray[np.float64], line: NDArray[np.int32], letters: NDArray[np.uint8],
    powers: NDArray[np.float64],
) -> tuple[int, int, int]:  # fmt: skip
    """Read plain blocks from ``begin`` until one is not, the text ends or the rows are full.

    Fills ``kind`` (n,), ``rows`` (n, 7: end, centre, sweep, feed) and ``line`` (n,), counted from 0 at ``begin``, and
    updates ``state``. Returns the index of the first byte not read, and the numbers of rows and of lines read.
    """
    value = np.zeros(8)
    given = np.zeros(8, np.bool_)
    at, count, lines = begin, 0, 0
    while at < len(data) and count < len(kind):
        after = _words(data, at, limits, value, given, letters, powers)
        if after < 0:
            break
        if np.any(given):
            if not _move(limits, state, value, given, rows[count]):
                break
            kind[count] = min(state[MOTION], 2.0)
            line[count] = lines
            count += 1
        lines += 1
        if after + 1 < len(data) and data[after] == 13 and data[after + 1] == 10:
            after += 1
        at = min(after + 1, len(data))
    return at, count, lines
