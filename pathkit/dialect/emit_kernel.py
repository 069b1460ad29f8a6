"""Text from integers: the loop that writes every block of motion. Bytes in, bytes out; no floating point.

One kernel, whose arguments always have the same types, so that it is compiled once. What a row writes is gathered
first, as a set of words with their numbers; one place then spells them, from tables of digits.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pathkit.dialect.grid_kernel import CLOCKWISE, DRILL, DRILL_PECK, DRILL_WAIT, UNKNOWN
from pathkit.kernels import kernel

# Bytes, and 64-bit integers: their members count as plain integers.
Bytes = NDArray[Any]
Counts = NDArray[Any]

INCREMENTAL, ABSOLUTE, RADIUS = 0, 1, 2

NEWLINE, UNCHECKED, POINT, MINUS, BLANK, ZERO, LETTER_A = 10, 13, 46, 45, 32, 48, 65
"""Bytes; the first two end a ready-made line, the second one that never gets a checksum."""
WORDS = (
    "rapid", "line", "clockwise", "counter_clockwise", "drill", "drill_wait", "drill_peck", "x", "y", "z", "i", "j",
    "r", "plane", "bite", "wait", "feed", "power", "block", "opening", "closing",
)  # fmt: skip
"""The words of the table: first in the order of the motions, then in that of a block."""
X, Y, Z, I, J, R, PLANE, BITE, WAIT, F, S = (1 << k for k in range(11))  # noqa: E741 - the letters of the words
MOTION = 1 << 11
"""Words as members of a set: those with a number, and that of the motion."""
_FIRST_LETTER, _BLOCK, _OPENING, _CLOSING = 7, 18, 19, 20

(
    FORM, COUNT, MODAL, COLUMNS, LENGTH, END, SECOND_END, MODAL_FEED, START, STEP, FIXED, FRAMED, SUM, MARK, HEX,
    POWERED,
) = range(16)  # fmt: skip
"""Places in ``style``: how arcs are given, how many block numbers there are (0: none), two switches as in
`Capabilities`, the longest line (0: any), and the one or two bytes of a line's end (0: one); a switch, the first block
number and the step between two, a switch; whether a block of motion has opening or closing text; how the checksum is
computed, its mark, and whether it is hexadecimal; whether moves have the power of a beam."""
UNITS, TAILS = 16, 27
"""``style`` from there: for each word with a number, ten to the power of its decimals; where its tails begin."""
STYLES = 38

NO_SUM, XOR, ADD = 0, 1, 2
"""How a checksum is computed."""

MODE, AT_X, AT_Y, AT_Z, RATE, AT_PLANE, AT_BITE, BOTTOM, SHARE, BLOCK, LINE, TOO_LONG, LENGTH_SEEN, LARGEST = range(14)
"""Places in ``state``: what the controller holds after the row before; the next block and the last line's number; the
first line that is too long and its length; the largest coordinate written."""
STATES = 14

GROUP, DIGITS = 1000, 3
"""Numbers are spelled three digits at a time."""
_PADDED, _LEADS = 4 * GROUP, 8 * GROUP
LEAD, TAIL = 40, 8
"""Bytes in the table for each word and for each fraction."""
LONGEST_WORD = 32
FIRST_TAIL = _LEADS + LEAD * len(WORDS)
TABLED_DECIMALS = 4
LARGEST_TABLED = 10**TABLED_DECIMALS
"""Fractions of more decimals are spelled digit by digit."""

ROOM = 832
"""Bytes that one row never exceeds: 12 words of 33 and 12 numbers of 25 bytes, a block number, opening and closing
text, a checksum and a line's end."""


@lru_cache(maxsize=1)
def digits() -> Bytes:
    """(8000,): each number below 1000 as its length and its digits, 4 bytes; then each as three digits, 4 bytes."""
    number = np.arange(GROUP)
    padded = np.stack([number // 100, number // 10 % 10, number % 10, 0 * number], axis=1) + ZERO
    length = 1 + (number >= 10) + (number >= 100)
    bare = np.zeros((GROUP, 4), np.int64)
    bare[:, 0] = length
    for k in (1, 2, 3):
        bare[length == k, 1 : 1 + k] = padded[length == k, DIGITS - k : DIGITS]
    return np.concatenate([bare.ravel(), padded.ravel()]).astype(np.uint8)


@lru_cache(maxsize=16)
def tails(decimals: int, *, point: bool, fixed: bool = False) -> Bytes:
    """(8·10^decimals,): each fraction as its length, the point and its digits without trailing zeros.

    ``point``: a whole number has one as well. ``fixed``: trailing zeros stay. Of more than `TABLED_DECIMALS` only the
    whole number is in the table.
    """
    if decimals > TABLED_DECIMALS:
        decimals = 0
    count = 10**decimals
    fraction = np.arange(count)
    table = np.zeros((count, TAIL), np.int64)
    table[:, 1] = POINT
    for k in range(decimals):
        table[:, 2 + k] = ZERO + fraction // 10 ** (decimals - 1 - k) % 10
        table[(fraction % 10 ** (decimals - k) > 0) | fixed, 0] = 2 + k
    if decimals == 0 or not fixed:
        table[0, 0] = int(point)
    return table.astype(np.uint8).ravel()


@kernel(allocates=False, pasted=True)
def _text(out: Bytes, at: int, table: Bytes, word: int) -> int:
    """A word as it stands, with nothing before it."""
    lead = _LEADS + LEAD * word
    for k in range(np.int64(table[lead])):
        out[at] = table[lead + 2 + k]
        at += 1
    return at


@kernel(allocates=False)
def _block_number(out: Bytes, at: int, table: Bytes, line: int, style: Counts) -> int:
    """The block's own number, from the first and again from there after the last; followed by a blank."""
    at = _text(out, at, table, _BLOCK)
    number = (line - 1) % style[COUNT] * style[STEP] + style[START]
    power = 1
    while number // power >= 10:
        power *= 10
    while power > 0:
        out[at] = ZERO + number // power % 10
        at += 1
        power //= 10
    out[at] = BLANK
    return at + 1


@kernel(allocates=False)
def _checksum(out: Bytes, begin: int, at: int, style: Counts) -> int:
    """The mark and the checksum of the bytes from ``begin`` to ``at``."""
    total = 0
    for k in range(begin, at):
        byte: Any = np.int64(out[k])
        total = total ^ byte if style[SUM] == XOR else (total + byte) & 255
    out[at] = style[MARK]
    at += 1
    base = 16 if style[HEX] > 0 else 10
    power = base if style[HEX] > 0 or total >= base else 1
    power = base * base if total >= base * base else power
    while power > 0:
        digit = total // power % base
        out[at] = ZERO + digit if digit < 10 else LETTER_A + digit - 10
        at += 1
        power //= base
    return at


@kernel(allocates=False)
def _ready_made(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    out: Bytes, at: int, n: int, block_at: Counts, block_start: Counts, blocks: Bytes, table: Bytes, style: Counts,
    state: Counts,
) -> int:  # fmt: skip
    """The lines of all blocks before row ``n``."""
    while state[BLOCK] < len(block_at) and block_at[state[BLOCK]] == n:
        source, stop = block_start[state[BLOCK]], block_start[state[BLOCK] + 1]
        state[BLOCK] += 1
        while source < stop:
            begin = at
            state[LINE] += 1
            if style[COUNT] > 0:
                at = _block_number(out, at, table, state[LINE], style)
            while blocks[source] != NEWLINE and blocks[source] != UNCHECKED:
                out[at] = blocks[source]
                at += 1
                source += 1
            if style[SUM] != NO_SUM and blocks[source] == NEWLINE:
                at = _checksum(out, begin, at, style)
            source += 1
            if style[LENGTH] > 0 and at - begin > style[LENGTH] and state[TOO_LONG] == 0:
                state[TOO_LONG], state[LENGTH_SEEN] = state[LINE], at - begin
            out[at] = style[END]
            out[at + 1] = style[SECOND_END]
            at += 2 if style[SECOND_END] > 0 else 1
    return at


@kernel(allocates=False, pasted=True)
def _gather(
    how: int, point: tuple[Any, Any, Any], arc: tuple[Any, Any], rated: int, style: Counts, state: Counts, value: Counts
) -> tuple[int, int]:  # fmt: skip
    """What a row says: the set of its words, and those of them without a number. The numbers go to ``value``."""
    (x, y, z), (i, j) = point, arc
    bends, x0, y0 = how >= CLOCKWISE, state[AT_X], state[AT_Y]
    value[0], value[1], value[2], value[9] = x, y, z, rated
    value[5], value[6], value[7], value[8] = i, i, j, j
    value[3], value[4] = (i - x0, j - y0) if style[FORM] == INCREMENTAL else (i, j)
    words, empty = 0, 0
    says = how != state[MODE] or style[MODAL] == 0
    if style[COLUMNS] > 0:
        words, says = X | Y | Z | I | J | F, True
        empty = (X if x == UNKNOWN else 0) | (Y if y == UNKNOWN else 0) | (Z if z == UNKNOWN else 0)
        empty |= (0 if bends else I | J) | (0 if rated > 0 else F)
    elif how >= DRILL:
        same = how == state[MODE] and rated == state[RATE] and z == state[BOTTOM]
        same = same and i == state[AT_PLANE] and j == state[AT_BITE] and style[MODAL] > 0 and style[MODAL_FEED] > 0
        state[AT_PLANE], state[AT_BITE], state[BOTTOM] = i, j, z
        says = says or not same
        words = X | Y
        if not same:
            words |= Z | PLANE | F | (BITE if how == DRILL_PECK else 0) | (WAIT if how == DRILL_WAIT else 0)
        state[RATE], z = rated, state[AT_Z]
    else:
        words = X if x != UNKNOWN and (x != x0 or bends) else 0
        words |= Y if y != UNKNOWN and (y != y0 or bends) else 0
        words |= Z if z != UNKNOWN and z != state[AT_Z] else 0
        if bends:
            words |= R if style[FORM] == RADIUS else I | J
        if rated > 0 and (rated != state[RATE] or style[MODAL_FEED] == 0):
            words |= F
            state[RATE] = rated
    state[MODE], state[AT_X], state[AT_Y], state[AT_Z] = how, x, y, z
    return words | (MOTION if says else 0), empty


@kernel(allocates=False, pasted=True)
def _burning(share: int, style: Counts, state: Counts, value: Counts) -> int:
    """The word for the power of a beam, if this row has to say it."""
    says = share != state[SHARE] or style[COLUMNS] > 0
    value[10] = state[SHARE] = share
    return S if says else 0


@kernel(allocates=False, pasted=True)
def _whole_number(out: Bytes, at: int, number: int, table: Bytes) -> int:
    """A number of no sign in groups of three digits."""
    power = 1
    while number // power >= GROUP:
        power *= GROUP
    top = number // power
    out[at], out[at + 1], out[at + 2] = table[4 * top + 1], table[4 * top + 2], table[4 * top + 3]
    at += table[4 * top]
    while power > 1:
        number -= top * power
        power //= GROUP
        top = number // power
        place = _PADDED + 4 * top
        out[at], out[at + 1], out[at + 2] = table[place], table[place + 1], table[place + 2]
        at += DIGITS
    return at


@kernel(allocates=False, pasted=True)
def _number(out: Bytes, at: int, number: int, unit: int, tails: int, table: Bytes, fixed: int) -> int:
    """``number`` / ``unit`` as a decimal: trailing zeros of its fraction are dropped, or kept if it is ``fixed``."""
    if number < 0:
        out[at] = MINUS
        at += 1
        number = -number
    # Dividing by a number that is known here is a multiplication.
    if unit == 1000:
        whole = number // 1000
    elif unit == 10000:
        whole = number // 10000
    else:
        whole = number // unit
    part = number - whole * unit
    if whole < GROUP:
        place = 4 * whole
        out[at], out[at + 1], out[at + 2] = table[place + 1], table[place + 2], table[place + 3]
        at += table[place]
    else:
        at = _whole_number(out, at, whole, table)
    if unit <= LARGEST_TABLED or (part == 0 and fixed == 0):
        place = tails + TAIL * part
        out[at], out[at + 1], out[at + 2] = table[place + 1], table[place + 2], table[place + 3]
        out[at + 3], out[at + 4] = table[place + 4], table[place + 5]
        at += table[place]
        return at
    out[at] = POINT
    at += 1
    while part > 0 or (fixed > 0 and unit > 1):
        unit //= 10
        out[at] = ZERO + part // unit
        part %= unit
        at += 1
    return at


@kernel(allocates=False)
def emit_rows(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    begin: int, stop: int, motion: NDArray[np.uint8], point: Counts, arc: Counts, feed: Counts, power: Counts,
    restate: NDArray[np.bool_], block_at: Counts, block_start: Counts, blocks: Bytes, table: Bytes, style: Counts,
    state: Counts, value: Counts, out: Bytes, line_of: NDArray[np.int32], size: Counts,
) -> int:  # fmt: skip
    """Write rows ``begin`` … ``stop`` − 1 and the ready-made ``blocks`` before them; returns the bytes written.

    ``stop`` one past the number of rows: the blocks after the last row as well. ``block_at`` (k,) is the row before
    which each block comes, ``block_start`` (k + 1,) its place in ``blocks``, whose lines end in a bare line feed. Words
    of motion, axes, feed and (of a beam) power are written only where they change; where ``restate`` is set, those in
    force are written again. ``table`` spells digits and words, ``style`` and ``state`` are as named above, ``value``
    (11,) is scratch. ``line_of`` and ``size`` (m,) get each row's line, and its bytes with the blocks before it.
    """
    numbers, longest, fixed, framed, summed = style[COUNT], style[LENGTH], style[FIXED], style[FRAMED], style[SUM]
    end, second_end, ends = np.uint8(style[END]), np.uint8(style[SECOND_END]), 2 if style[SECOND_END] > 0 else 1
    line, largest, powered = state[LINE], state[LARGEST], style[POWERED]
    at = 0
    for n in range(begin, stop):
        before = at
        if state[BLOCK] < len(block_at) and block_at[state[BLOCK]] == n:
            state[LINE] = line
            at = _ready_made(out, at, n, block_at, block_start, blocks, table, style, state)
            line = state[LINE]
        if n == len(motion):
            break
        line_begin = at
        line += 1
        if numbers > 0:
            at = _block_number(out, at, table, line, style)
        if framed > 0:
            at = _text(out, at, table, _OPENING)
        if restate[n]:
            state[MODE], state[RATE], state[SHARE] = UNKNOWN, UNKNOWN, UNKNOWN
        how: Any = np.int64(motion[n])
        place, middle = (point[n, 0], point[n, 1], point[n, 2]), (arc[n, 0], arc[n, 1])
        words, empty = _gather(how, place, middle, feed[n], style, state, value)
        if powered > 0:
            words |= _burning(power[n], style, state, value)
        # The byte between two words is the second byte of a word's lead; the first word goes without it.
        skip = 2
        if words & MOTION:
            at = _text(out, at, table, how)
            skip = 1
        words &= ~MOTION
        slot = 0
        while words != 0:
            if words & 1:
                lead = _LEADS + LEAD * (_FIRST_LETTER + slot)
                length: Any = np.int64(table[lead]) + 2 - skip
                lead += skip
                out[at], out[at + 1] = table[lead], table[lead + 1]
                for k in range(2, length):
                    out[at + k] = table[lead + k]
                at += length
                skip = 1
                if empty >> slot & 1 == 0:
                    at = _number(out, at, value[slot], style[UNITS + slot], style[TAILS + slot], table, fixed)
                    if slot < 3:
                        largest = max(largest, abs(value[slot]))
            words >>= 1
            slot += 1
        if framed > 0:
            at = _text(out, at, table, _CLOSING)
        if summed != NO_SUM:
            at = _checksum(out, line_begin, at, style)
        if longest > 0 and at - line_begin > longest and state[TOO_LONG] == 0:
            state[TOO_LONG], state[LENGTH_SEEN] = line, at - line_begin
        out[at], out[at + 1] = end, second_end
        at += ends
        line_of[n], size[n] = line, at - before
    state[LINE], state[LARGEST] = line, largest
    return at
