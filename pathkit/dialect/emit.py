"""From the grid and the script to the bytes of a file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from io import BytesIO
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pathkit.dialect.base import Dialect
from pathkit.dialect.lines import checked_lines, is_plain, rewritten
from pathkit.dialect.quantise import LARGEST_DIGITS, Grid, check_range
from pathkit.dialect.script import Script
from pathkit.dialect.words import Context, block_numbers
from pathkit.errors import CapabilityError, PluginError
from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities

Counts = NDArray[np.int64]

_ROWS = 1 << 14
"""Rows that are written at a time: their text stays in the processor's cache."""


@dataclass(frozen=True, eq=False)
class Text:
    """Bytes of one file; ``line_of`` (m,) and ``size`` (m,): line (from 1) and bytes of each row of the grid."""

    data: bytes
    line_of: NDArray[np.int32]
    size: Counts


def emit(grid: Grid, script: Script, dialect: Dialect, context: Context) -> Text:
    """Write a file. Raises `CapabilityError` for blocks that are too long, `PluginError` for a dialect's bad lines."""
    line_of, size = np.zeros(len(grid), np.int32), np.zeros(len(grid), np.int64)
    whole = BytesIO()
    for piece in pieces(grid, script, dialect, context, line_of, size):
        whole.write(piece)
    return Text(whole.getvalue(), line_of, size)


def pieces(
    grid: Grid, script: Script, dialect: Dialect, context: Context, line_of: NDArray[np.int32], size: Counts
) -> Iterator[bytes | memoryview]:
    """Write a file piece by piece, for a file that need not be in the memory as a whole.

    A dialect that rewrites its text gets it as a whole, and so there is one piece.

    ``line_of`` int32 (m,) and ``size`` int64 (m,) are filled as in `Text`. A piece is only valid until the next one.
    Raises as `emit` does, for too large a number or too long a block with the piece that holds it.
    """
    made = _pieces(grid, script, dialect, context, line_of, size)
    if type(dialect).rewrite is Dialect.rewrite:
        yield from made
        return
    whole = BytesIO()
    for piece in made:
        whole.write(piece)
    data = rewritten(whole.getvalue(), dialect, context)
    ends = np.cumsum([len(line) for line in data.splitlines(keepends=True)])
    # Rows have the lines after those of the row before them.
    until = np.concatenate([[0], ends])[line_of]
    size[:] = np.diff(until, prepend=int(ends[0]) if context.capabilities.tape_mark and len(ends) else 0)
    yield data


def _pieces(
    grid: Grid, script: Script, dialect: Dialect, context: Context, line_of: NDArray[np.int32], size: Counts
) -> Iterator[bytes | memoryview]:
    from pathkit.dialect import emit_kernel as kernel
    from pathkit.dialect.grid_kernel import UNKNOWN

    caps = context.capabilities
    said = [*([f"job {context.mark}"] if context.mark else []), *context.about]
    marked = [line for text in said for line in context.comment(text)]
    prologue = checked_lines(dialect, "prologue", lambda: [*dialect.prologue(context), *marked], caps)
    epilogue = checked_lines(dialect, "epilogue", lambda: dialect.epilogue(context), caps)
    events = [checked_lines(dialect, "event", partial(dialect.event, event, context), caps) for event in script.events]
    parts = [prologue, *events, epilogue]
    count = len(grid)
    block_at = np.concatenate([[0], grid.event_at, [count]]).astype(np.int64)
    block_start = np.concatenate([[0], np.cumsum([len(part) for part in parts])]).astype(np.int64)
    # Copied, so that the kernel always sees the same type: bytes make an array that cannot be written.
    blocks = np.array(np.frombuffer(b"".join(parts), dtype=np.uint8))
    _check_layout(dialect, caps)
    table, style = _spelling(dialect, caps)
    motion, restate = _column(grid.motion, np.uint8), _column(grid.restate, np.bool_)
    columns = (grid.point, grid.arc, grid.feed, np.zeros(0, np.int64) if grid.power is None else grid.power)
    point, arc, feed, power = (_column(column, np.int64) for column in columns)
    style[kernel.POWERED] = grid.power is not None
    state = np.full(kernel.STATES, UNKNOWN, np.int64)
    state[kernel.BLOCK :] = 0
    mark = b"%" + caps.line_end.encode("ascii") if caps.tape_mark else b""
    yield mark
    scratch, out = np.zeros(11, np.int64), np.empty(0, np.uint8)
    longest = 10 ** max(caps.significant_digits or LARGEST_DIGITS, caps.unit_decimals + 1)
    for begin in range(0, count + 1, _ROWS):
        stop = min(begin + _ROWS, count + 1)
        first, last = np.searchsorted(block_at, [begin, stop]).tolist()
        ready = blocks[block_start[first] : block_start[last]]
        room = (stop - begin + int(np.count_nonzero(ready < kernel.BLANK))) * kernel.ROOM + len(ready)
        if room > len(out):
            out = np.empty(room, np.uint8)
        used = kernel.emit_rows(
            begin, stop, motion, point, arc, feed, power, restate, block_at, block_start, blocks, table, style, state,
            scratch, out, line_of, size,
        )  # fmt: skip
        if state[kernel.LARGEST] >= longest:
            check_range(grid, caps)
        if state[kernel.TOO_LONG]:
            what = f"a block of {state[kernel.LENGTH_SEEN]} characters; the controller reads {caps.line_length}"
            line = int(state[kernel.TOO_LONG]) + bool(mark)
            raise CapabilityError([Finding(check="emit", what=what, line=line)])
        yield out[:used].data
    yield mark
    if mark:
        line_of += 1


def _column(values: NDArray[Any], dtype: type) -> NDArray[Any]:
    """As the kernel takes columns: it is compiled anew for arrays of another type, order, or that are read-only."""
    fits = values.dtype == dtype and values.flags.c_contiguous and values.flags.writeable
    return values if fits else np.array(values, dtype=dtype, order="C")


def _check_layout(dialect: Dialect, caps: Capabilities) -> None:
    between = dialect.words.between
    if len(between) != 1 or not is_plain(between):
        raise PluginError(f"the dialect {dialect.name!r}: {between!r} between words, not one plain character")
    if caps.line_numbers and dialect.words.opening:
        what = "line_numbers = true, but in this dialect each line begins with a text of its own"
        raise CapabilityError([Finding(check="emit", what=what, fix="leave it out", path="$.output.line_numbers")])
    if caps.line_numbers and not dialect.words.block:
        what = "line_numbers = true, but this dialect has no word for them"
        raise CapabilityError([Finding(check="emit", what=what, fix="leave it out", path="$.output.line_numbers")])


def _spelling(dialect: Dialect, caps: Capabilities) -> tuple[NDArray[np.uint8], Counts]:
    """The kernel's tables of digits and words, and what it needs to know about the layout of a block, in its order."""
    from pathkit.dialect import emit_kernel as kernel

    between = ord(dialect.words.between)
    leads = np.zeros((len(kernel.WORDS), kernel.LEAD), np.uint8)
    for row, name in enumerate(kernel.WORDS):
        word = getattr(dialect.words, name)
        if not is_plain(word) or len(word) > kernel.LONGEST_WORD:
            what = f"the dialect {dialect.name!r}: the word for {name} is {word!r}"
            fix = f"take at most {kernel.LONGEST_WORD} characters of printable ASCII without ! ? ~"
            raise PluginError([Finding(check="dialect", what=what, fix=fix)])
        leads[row, :2] = len(word), between
        leads[row, 2 : 2 + len(word)] = np.frombuffer(word.encode("ascii"), dtype=np.uint8)
    lengths = (caps.unit_decimals, caps.feed_decimals, 0 if caps.dwell_unit == "ms" else 3, caps.speed_decimals)
    fixed, words, check = caps.fixed_decimals, dialect.words, caps.checksum
    tails = [kernel.tails(n, point=caps.decimal_point and k == 0, fixed=fixed) for k, n in enumerate(lengths)]
    begins = kernel.FIRST_TAIL + np.cumsum([0, *(len(each) for each in tails)])
    forms = {"absolute": kernel.ABSOLUTE, "radius": kernel.RADIUS}
    end, second_end, *_ = (*caps.line_end.encode("ascii"), 0)
    style = np.zeros(kernel.STYLES, np.int64)
    form = forms.get(caps.arcs, kernel.INCREMENTAL)
    numbers = block_numbers(caps)
    counting = (len(numbers), numbers.start, numbers.step) if caps.line_numbers else (0, 0, 0)
    summed = (0, 0, 0)
    if check is not None:
        summed = (kernel.XOR if check.kind == "xor" else kernel.ADD, ord(check.mark), int(check.hexadecimal))
    style[: kernel.UNITS] = (
        form, counting[0], caps.modal, caps.columns, caps.line_length or 0, end, second_end, caps.modal_feed,
        *counting[1:], fixed, bool(words.opening or words.closing), *summed, False,
    )  # fmt: skip
    # Dimensions but for the last three: the wait, the feed, the power.
    kinds = [0] * 8 + [2, 1, 3]
    style[kernel.UNITS : kernel.TAILS] = [10 ** lengths[kind] for kind in kinds]
    style[kernel.TAILS :] = [begins[kind] for kind in kinds]
    return np.concatenate([kernel.digits(), leads.ravel(), *tails]), style
