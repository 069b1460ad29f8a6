"""The loop over plain blocks: G0 to G3 with X, Y, Z, I, J, R and F, where every mode that they rely on is known.

It reads the lines that it is sure of and stops before the first other one, which the full reader takes. The result is
bit for bit the full reader's: the same divisions, the same code for arcs.
"""

from __future__ import annotations

from math import isnan, nan, sqrt
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.readback import arcs
from pathkit.tolerances import ROUNDING

_misses = kernel(allocates=False)(arcs.misses)
_centre_of = kernel(allocates=False)(arcs.centre_of)
_sweep_of = kernel(allocates=False)(arcs.sweep_of)
_left_open = kernel(allocates=False)(arcs.left_open)

POWERS: NDArray[np.float64] = np.array([10.0**k for k in range(16)])

# Indices into ``limits`` (how the controller reads) and ``state`` (what carries over from block to block).
DIGITS, LENGTH, LOWER, PLANE, SCALE, SLACK, RELATIVE, LIMIT, FULL_TURN, FARTHEST, NUMBERS, ROUND, SEMICOLON = range(13)
SINGLE, MODAL, MODAL_FEED, SLANTS, MARK, ADDED, HEX, FROM_HERE, RADII = range(13, 22)
BASE_X, BASE_Y, BASE_Z = 3, 4, 5
X, Y, Z, I, J, F, G, N, R = (1 << k for k in range(9))  # noqa: E741 - the letters of the words
"""Words as members of a set, in the order of their values."""

NOT_PLAIN = 255
LETTERS: NDArray[np.uint8] = np.full(256, NOT_PLAIN, np.uint8)
"""(256,): which word each byte begins."""
LETTERS[np.frombuffer(b"XYZIJFGNR", np.uint8)] = np.arange(9)


class Moves(NamedTuple):
    """Columns of rows that are read, as in a program."""

    kind: NDArray[np.uint8]
    end: NDArray[np.float64]  # (n, 3)
    centre: NDArray[np.float64]  # (n, 2)
    sweep: NDArray[np.float64]
    feed: NDArray[np.float64]
    line: NDArray[np.int32]


@kernel(allocates=False)
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


@kernel(allocates=False)
def _behind_checksum(data: NDArray[np.uint8], begin: int, at: int, limits: NDArray[np.float64]) -> int:
    """The line's end after the checksum whose mark is at ``at``; −1 if it is not that of the bytes from ``begin``."""
    total, given, digits, base = 0, 0, 0, 16 if limits[HEX] > 0.0 else 10
    for k in range(begin, at):
        byte: Any = np.int64(data[k])
        total = (total + byte) % 256 if limits[ADDED] > 0.0 else total ^ byte
    at += 1
    while at < len(data) and data[at] != 10 and data[at] != 13:
        digit: Any = np.int64(data[at]) - 48
        if digit > 9:
            digit = digit - 7 if digit >= 17 else -1
        if digit < 0 or digit >= base or digits == 3:
            return -1
        given = given * base + digit
        digits += 1
        at += 1
    return at if given == total and digits > 0 and (base == 10 or digits == 2) else -1


@kernel(allocates=False, pasted=True)
def _number(
    data: NDArray[np.uint8], at: int, most: float, whole: bool, powers: NDArray[np.float64]
) -> tuple[float, int]:  # fmt: skip
    """The number that begins at ``at`` and the index after it; −1 instead if it is missing, has more than ``most``
    digits, or is to be a ``whole`` one without a sign of minus and is not."""
    size, sign = len(data), 1.0
    if at < size and (data[at] == 45 or data[at] == 43):
        if data[at] == 45:
            sign = -1.0
        at += 1
    mantissa, digits, decimals, pointed = 0, 0, 0, False
    while at < size:
        digit: Any = np.int64(data[at]) - 48
        if 0 <= digit <= 9:
            mantissa = mantissa * 10 + digit
            digits += 1
            if pointed:
                decimals += 1
        elif digit == -2 and not pointed:
            pointed = True
        else:
            break
        at += 1
    if digits == 0 or digits > most or (whole and (pointed or sign < 0.0)):
        return 0.0, -1
    return sign * (mantissa / powers[decimals]), at


@kernel(allocates=False)
def _arc(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    limits: NDArray[np.float64], moves: Moves, row: int, x0: float, y0: float, x: float, y: float, i: float, j: float,
    clockwise: bool,
) -> bool:  # fmt: skip
    """Write centre and sweep of an arc from (x0, y0) to (x, y); False if it is one for the full reader."""
    cx, cy = x0 + i, y0 + j
    ax, ay, bx, by = x0 - cx, y0 - cy, x - cx, y - cy
    radius = sqrt(ax * ax + ay * ay)
    if radius < ROUNDING or abs(cx) > limits[FARTHEST] or abs(cy) > limits[FARTHEST]:
        return False
    if _misses(radius, sqrt(bx * bx + by * by), limits[SLACK], limits[RELATIVE], limits[LIMIT]):
        return False
    if limits[SINGLE] > 0.0 and _left_open(x0, y0, x, y, cx, cy, clockwise, limits[FULL_TURN]):
        return False
    moves.centre[row, 0], moves.centre[row, 1] = cx, cy
    moves.sweep[row] = _sweep_of(ax, ay, bx, by, clockwise, limits[FULL_TURN])
    return True


@kernel(allocates=False, pasted=True)
def _words(
    data: NDArray[np.uint8], begin: int, limits: NDArray[np.float64], value: NDArray[np.float64],
    letters: NDArray[np.uint8], powers: NDArray[np.float64],
) -> tuple[int, int]:  # fmt: skip
    """Read one line's words into ``value``; returns the set of them and the index of the line's end, or −1 if the line
    is not plain."""
    given, at, size, checked = 0, begin, len(data), limits[MARK] == 0.0
    while at < size:
        byte: Any = np.int64(data[at])
        if byte == 32:
            at += 1
            continue
        if byte == 10 or byte == 13:
            break
        if limits[LOWER] > 0.0 and 97 <= byte <= 122:
            byte -= 32
        which: Any = np.int64(letters[byte])
        if which == NOT_PLAIN:
            if byte == limits[MARK]:
                at = _behind_checksum(data, begin, at, limits)
                if at < 0:
                    return given, -1
                checked = True
                break
            if byte != 40 and byte != 59:
                return given, -1
            at = _behind_comment(data, at, limits)
            if at < 0:
                return given, -1
            continue
        word = 1 << which
        if given & word or (word == N and given != 0):
            return given, -1
        value[which], at = _number(data, at + 1, limits[DIGITS], word & (G | N) != 0, powers)
        if at < 0:
            return given, -1
        given |= word
    return given, at if at - begin <= limits[LENGTH] and (checked or given & ~N == 0) else -1


@kernel(allocates=False)
def plain_blocks(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    data: NDArray[np.uint8], begin: int, limits: NDArray[np.float64], state: NDArray[np.float64], moves: Moves,
    row: int, last_line: int, letters: NDArray[np.uint8], powers: NDArray[np.float64], value: NDArray[np.float64],
) -> tuple[int, int, int]:  # fmt: skip
    """Read plain blocks from ``begin``, after the line ``last_line``, until one is not, the text ends or rows are full.

    Fills ``moves`` from ``row`` on and updates ``state`` (8,): where the bit is, what its numbers are counted from, the
    feed and the motion in force. ``value`` (9,) is scratch. Returns the index of the first byte not read, and the
    numbers of rows and of lines read.
    """
    kind, end, centre, sweep, feeds, line = moves
    scale, farthest, flat, here = limits[SCALE], limits[FARTHEST], limits[PLANE] > 0.0, limits[FROM_HERE] > 0.0
    x0, y0, z0, feed, motion = state[0], state[1], state[2], state[6], state[7]
    base_x, base_y, base_z = state[BASE_X], state[BASE_Y], state[BASE_Z]
    at, size, first_row, lines = begin, len(data), row, 0
    while at < size and row < len(kind):
        given, after = _words(data, at, limits, value, letters, powers)
        if after < 0:
            break
        if given != 0:
            how = value[6] if given & G else motion
            rate = value[5] * scale if given & F else feed
            bends, centred, by_radius = how >= 2.0, given & (I | J) != 0, given & R != 0
            if given & (X | Y | Z) == 0 or (given & N and value[7] > limits[NUMBERS]):
                break
            if how > 3.0 or (how > 0.0 and not rate > 0.0) or rate < 0.0 or rate > 1e7:
                break
            if (limits[MODAL] == 0.0 and given & G == 0) or (
                limits[MODAL_FEED] == 0.0 and how > 0.0 and given & F == 0
            ):
                break
            if limits[SLANTS] == 0.0 and how == 0.0 and given & Z and given & (X | Y):
                break
            if bends != (centred or by_radius) or (centred and by_radius) or (by_radius and limits[RADII] == 0.0):
                break
            if bends and (not flat or given & (X | Y) == 0):
                break
            x = value[0] * scale + (x0 if here else base_x) if given & X else x0
            y = value[1] * scale + (y0 if here else base_y) if given & Y else y0
            z = value[2] * scale + (z0 if here else base_z) if given & Z else z0
            if abs(x) > farthest or abs(y) > farthest or abs(z) > farthest:
                break
            if bends:
                i = value[3] * scale if given & I else 0.0
                j = value[4] * scale if given & J else 0.0
                if by_radius:
                    if x == x0 and y == y0:
                        break
                    i, j = _centre_of(x - x0, y - y0, value[8] * scale, how == 2.0)
                    if isnan(i):
                        break
                if not _arc(limits, moves, row, x0, y0, x, y, i, j, how == 2.0):
                    break
            else:
                centre[row, 0], centre[row, 1], sweep[row] = nan, nan, 0.0
            x0, y0, z0, feed, motion = x, y, z, rate, how
            end[row, 0], end[row, 1], end[row, 2] = x, y, z
            feeds[row] = rate if how > 0.0 else nan
            kind[row] = min(how, 2.0)
            line[row] = last_line + lines + 1
            row += 1
        lines += 1
        if after + 1 < size and data[after] == 13 and data[after + 1] == 10:
            after += 1
        at = min(after + 1, size)
    state[0], state[1], state[2], state[6], state[7] = x0, y0, z0, feed, motion
    return at, row - first_row, lines
