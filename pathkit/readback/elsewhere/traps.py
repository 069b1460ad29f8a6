"""What is wrong with a file as a whole, though each line of it can be read: cut short, no spindle, modes left on."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import islice
from math import isnan
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.motion.program import RAPID, Dwell, Lift, Program, Spindle, ToolChange
from pathkit.readback.at_line import LINE_END, span_of
from pathkit.readback.elsewhere.family import FAMILY
from pathkit.readback.elsewhere.lenient import LenientReader, Spot
from pathkit.tolerances import SAME_HEIGHT

MOST_CHANGES: Final = 100
"""So many changes of the bit while it is down are told; no file that is meant has more."""

LONG_DWELL: Final = 100.0
"""Seconds. A spindle is up to speed within ten (common practice, no source), so a longer wait was meant in ms."""

NAME_IT: Final = "name the controller that it was written for (--from, or dialect=…)"
"""What to do where controllers differ."""

_BEHIND: Final = re.compile(rb"[^\x00-\x20%]")


def first_word(data: bytes, line: int) -> Spot:
    """Where the words of a line begin."""
    begin, end = span_of(data, line)
    raw = data[begin:end]
    return Spot(line, len(raw) - len(raw.lstrip()) + 1 if raw.strip() else 1)


def in_the_program(
    program: Program, data: bytes, event_lines: Sequence[int] | None = None, changes: Sequence[Spot] = ()
) -> Iterator[Finding]:
    """Remarks on the moves themselves. ``event_lines`` is the line of each event, ``changes`` where the bit changes."""
    if not len(program):
        yield _warning("no moves", "nothing moves in this file", "is it the right one?")
        return
    feeds = np.flatnonzero(program.kind != RAPID)
    if not feeds.size:
        yield _warning("no moves", "nothing is cut in this file: it holds rapids only", "is it the right one?")
    elif not any(isinstance(event, Spindle) and event.sense for event in program.event):
        what = "the bit moves at a feed, and nothing in this file ever starts the spindle"
        yield _warning("spindle off", what, "start it by hand, or say so in the file (M3 S…)",
                       first_word(data, int(program.line[feeds[0]])))  # fmt: skip
    yield from islice(_changed_while_down(program, data, feeds, event_lines, changes), MOST_CHANGES)


def _changed_while_down(
    program: Program, data: bytes, feeds: NDArray[np.int64], event_lines: Sequence[int] | None, changes: Sequence[Spot]
) -> Iterator[Finding]:
    spots, safe = iter(changes), _lowest_across(program)
    for k, (event, at) in enumerate(zip(program.event, program.event_at.tolist(), strict=True)):
        if not isinstance(event, ToolChange):
            continue
        spot = next(spots, None)
        if at and _is_down(program, at, feeds, safe):
            line = event_lines[k] if event_lines is not None else int(program.line[at - 1])
            what = f"the bit is changed while it is down, at Z{float(program.end[at - 1, 2]):g}"
            yield _warning("bit changed while down", what, "retract before the change",
                           spot or first_word(data, line))  # fmt: skip


def _lowest_across(program: Program) -> float | None:
    """mm: the lowest height at which a rapid goes across; None if none does."""
    begin, end = program.origins, program.end
    level = (program.kind == RAPID) & (np.abs(end[:, 2] - begin[:, 2]) <= SAME_HEIGHT)
    across = level & (end[:, :2] != begin[:, :2]).any(axis=1)
    return float(end[across, 2].min()) if across.any() else None


def _is_down(program: Program, at: int, feeds: NDArray[np.int64], safe: float | None) -> bool:
    """Whether the bit is down between two rows: below the lowest rapid across, or behind a cut that does not go
    up. A lift in machine coordinates has no row: behind one the bit is up."""
    height = float(program.end[at - 1, 2])
    first, last = np.searchsorted(program.event_at, [at, at + 1]).tolist()
    lifted = any(isinstance(event, Lift) for event in program.event[first:last])
    if isnan(height) or lifted or not feeds.size or feeds[0] >= at:
        return False
    if safe is not None and height < safe - SAME_HEIGHT:
        return True
    goes_up = height > float(program.origins[at - 1, 2])
    return bool(program.kind[at - 1] != RAPID) and not goes_up and height < float(np.nanmax(program.end[:, 2]))


def in_the_text(reader: LenientReader, program: Program, data: bytes, *, given: bool) -> Iterator[Finding]:
    """Remarks on how the text ends, and on what it leaves on. ``given``: the controller is known."""
    yield from _cut_short(reader, program, data, given=given)
    trail, state = reader.trail, reader.state
    if state.modes.get("distance") == "G91" and len(program):
        what = "G91 is left on at the end: whatever is sent next would count increments"
        yield _warning("G91 left on", what, "end with G90", trail.distance)
    shifted = any(isnan(value) or value != 0.0 for value in state.place.shift)
    own_zero = reader.capabilities.sets_zero and reader.capabilities is not FAMILY
    if shifted and trail.shift is not None and not own_zero:
        what = "the shift of G92 is left on at the end: whatever is sent next would count from there"
        yield _warning("G92 left on", what, "end with G92.1", trail.shift)
    for event, line in zip(program.event, trail.events, strict=True):
        if isinstance(event, Dwell) and event.seconds >= LONG_DWELL and not given:
            what = (
                f"this waits {event.seconds:g} s; a controller that counts in milliseconds would wait "
                f"{event.seconds / 1000.0:g} s"
            )
            yield _warning(
                "dwell",
                what,
                "name the controller that it was written for (--from, or dialect=…)",
                first_word(data, line),
            )
            break


def _cut_short(reader: LenientReader, program: Program, data: bytes, *, given: bool) -> Iterator[Finding]:
    last = Spot(max(reader.lines, 1), 1)
    if reader.stopped:
        if left := _BEHIND.search(data, reader.trail.end):
            line = last.line + len(LINE_END.findall(data, reader.trail.end, left.start())) + 1
            what = "the file goes on after its end; nothing from here on is read"
            yield _warning("after the end", what, "is it two files in one?", first_word(data, line))
        return
    signs = []
    if data and data[-1:] not in b"\r\n":
        signs.append("its last line has no end")
    if len(program) and program.kind[-1] != RAPID:
        signs.append("it ends with a cut")
    spins = [event.sense for event in program.event if isinstance(event, Spindle)]
    if spins and spins[-1]:
        signs.append("the spindle is left on")
    if reader.on_tape:
        signs.append("a % opens it and none ends it")
    if given and reader.grammar.needs_end:
        signs.append("this controller asks for M2 or M30")
    if signs:
        what = f"no M2, M30 or % ends this file, and {' and '.join(signs)}: it may be cut short"
        yield _warning("cut short", what, "hold it against the original", last)


def _warning(check: str, what: str, fix: str, spot: Spot | None = None) -> Finding:
    line, column = spot if spot is not None else (None, None)
    return Finding(check=check, what=what, fix=fix, severity="warning", line=line, column=column)
