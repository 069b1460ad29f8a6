"""From the grid and the script to the bytes of a file."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from pathkit.dialect.base import Dialect
from pathkit.dialect.quantise import Grid, check_range
from pathkit.dialect.script import Script
from pathkit.dialect.words import Context, largest_block_number
from pathkit.errors import CapabilityError, PathkitError, PluginError
from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities

Counts = NDArray[np.int64]

# Printable ASCII without the characters that GRBL takes out of the stream and acts on at once, wherever they are.
_PLAIN = re.compile(r"[ -}]*")
_REAL_TIME = re.compile(r"[!?~]")


@dataclass(frozen=True, eq=False)
class Text:
    """Bytes of one file; ``line_of`` (m,) and ``size`` (m,): line (from 1) and bytes of each row of the grid."""

    data: bytes
    line_of: Counts
    size: Counts


def emit(grid: Grid, script: Script, dialect: Dialect, context: Context) -> Text:
    """Write a file. Raises `CapabilityError` for blocks that are too long, `PluginError` for a dialect's bad lines."""
    from pathkit.dialect import emit_kernel

    caps = context.capabilities
    check_range(grid, caps)
    marked = context.comment(f"job {context.mark}") if context.mark else ()
    prologue = _lines(dialect, "prologue", lambda: [*dialect.prologue(context), *marked], caps)
    epilogue = _lines(dialect, "epilogue", lambda: dialect.epilogue(context), caps)
    events = [_lines(dialect, "event", partial(dialect.event, event, context), caps) for event in script.events]
    parts = [prologue, *events, epilogue]
    block_at = np.concatenate([[0], grid.event_at, [len(grid)]]).astype(np.int64)
    block_start = np.concatenate([[0], np.cumsum([len(part) for part in parts])]).astype(np.int64)
    blocks = np.frombuffer(b"".join(parts), dtype=np.uint8)
    line_end = np.frombuffer(caps.line_end.encode("ascii"), dtype=np.uint8)
    limit = largest_block_number(caps) if caps.line_numbers else 0
    _check_layout(dialect, caps)
    mark = b"%" + caps.line_end.encode("ascii") if caps.tape_mark else b""
    out = np.empty(_room(grid, blocks, limit, len(line_end)), dtype=np.uint8)
    line_of, size = np.zeros(len(grid), np.int64), np.zeros(len(grid), np.int64)
    used, _ = emit_kernel.emit_rows(
        grid.motion, grid.point, grid.arc, grid.feed, grid.restate, block_at, block_start, blocks, _word_table(dialect),
        line_end, _style(dialect, caps, limit), 1, out, line_of, size,
    )  # fmt: skip
    data = mark + out[:used].tobytes() + mark
    if mark:
        line_of += 1
    _check_lengths(data, caps)
    return Text(data, line_of, size)


def _lines(dialect: Dialect, hook: str, ask: Callable[[], Sequence[str]], caps: Capabilities) -> bytes:
    """Lines from a dialect's author, checked: outside text must never become a command in a file."""
    try:
        lines = list(ask())
    except PathkitError:
        raise
    # Code of a plugin may raise anything.
    except Exception as error:
        raise PluginError(f"the dialect {dialect.name!r}: {hook} failed: {type(error).__name__}: {error}") from error
    for line in lines:
        if not isinstance(line, str) or not _PLAIN.fullmatch(line) or _REAL_TIME.search(line) or not line.strip():
            what = f"the dialect {dialect.name!r}: {hook} returned the line {line!r}"
            fix = "write lines of printable ASCII without ! ? ~, none empty; pass outside text through context.comment"
            raise PluginError([Finding(check="dialect", what=what, fix=fix)])
        if caps.grammar is not None and caps.grammar.system_prefix and line.startswith(caps.grammar.system_prefix):
            raise PluginError(f"the dialect {dialect.name!r}: {hook} returned {line!r}, which is no block of a program")
    return "".join(f"{line}\n" for line in lines).encode("ascii")


def _word_table(dialect: Dialect) -> NDArray[np.uint8]:
    from pathkit.dialect.emit_kernel import WORDS

    table = np.zeros((len(WORDS), 8), dtype=np.uint8)
    for row, name in enumerate(WORDS):
        word = getattr(dialect.words, name)
        if not _PLAIN.fullmatch(word) or _REAL_TIME.search(word) or len(word) > 7:
            raise PluginError(f"the dialect {dialect.name!r}: the word for {name} is {word!r}, not 7 plain characters")
        table[row, 0] = len(word)
        table[row, 1 : 1 + len(word)] = np.frombuffer(word.encode("ascii"), dtype=np.uint8)
    return table


def _check_layout(dialect: Dialect, caps: Capabilities) -> None:
    between = dialect.words.between
    if len(between) != 1 or not _PLAIN.fullmatch(between) or _REAL_TIME.search(between):
        raise PluginError(f"the dialect {dialect.name!r}: {between!r} between words, not one plain character")
    if caps.line_numbers and not dialect.words.block:
        what = "line_numbers = true, but this dialect has no word for them"
        raise CapabilityError([Finding(check="emit", what=what, fix="leave it out", path="$.output.line_numbers")])


def _style(dialect: Dialect, caps: Capabilities, limit: int) -> Counts:
    """What the kernel needs to know about the spelling of a block, in its order."""
    from pathkit.dialect import emit_kernel

    forms = {"absolute": emit_kernel.ABSOLUTE, "radius": emit_kernel.RADIUS}
    form = forms.get(caps.arcs, emit_kernel.INCREMENTAL)
    waits = 0 if caps.dwell_unit == "ms" else 3
    switches = (caps.decimal_point, caps.modal, caps.columns)
    numbers = (form, caps.unit_decimals, caps.feed_decimals, waits, limit, ord(dialect.words.between), *switches)
    return np.array(numbers, dtype=np.int64)


def _room(grid: Grid, blocks: NDArray[np.uint8], limit: int, line_end: int) -> int:
    """Enough bytes: every word at its longest on every line."""
    from pathkit.dialect.grid_kernel import UNKNOWN

    largest = 1
    for column in (grid.point, grid.arc, grid.feed):
        known = np.abs(column[column != UNKNOWN])
        largest = max(largest, int(known.max()) if known.size else 0)
    number = len(str(2 * largest)) + 10
    block_number = len(str(limit)) + 9 if limit else 0
    row = 9 * (9 + number) + block_number + line_end
    lines = int(np.count_nonzero(blocks == 10))
    return len(grid) * row + len(blocks) + lines * (block_number + line_end) + 64


def _check_lengths(data: bytes, caps: Capabilities) -> None:
    if caps.line_length is None:
        return
    ends = np.flatnonzero(np.frombuffer(data, dtype=np.uint8) == 10)
    lengths = np.diff(np.concatenate([[-1], ends])) - len(caps.line_end)
    if len(long := np.flatnonzero(lengths > caps.line_length)):
        what = f"a block of {lengths[long[0]]} characters; the controller reads {caps.line_length}"
        raise CapabilityError([Finding(check="emit", what=what, line=int(long[0]) + 1)])
