"""One line of a file: what holds when the controller comes to it, and what it does."""

from __future__ import annotations

import re
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from typing import Final

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities
from pathkit.motion.program import Event, Program, Stop
from pathkit.readback.blocks import Block
from pathkit.readback.faults import Refusal, Unread
from pathkit.readback.foreign import Read
from pathkit.readback.interpret import MOST_FINDINGS, Reader
from pathkit.readback.state import UNKNOWN, State
from pathkit.readback.tokens import Tokenizer

LINE_END: Final = re.compile(rb"\r\n|\n|\r")
"""What ends a line, for every controller that is read here."""

MOST_WORDS: Final = 200
"""A line of more words is no block of any controller; the rest is not listed."""


@dataclass(frozen=True)
class LineRead:
    """A line (``raw``, without its end) and what it does.

    ``program`` holds all moves up to the end of this line (mm, controller's frame); its rows from ``first_row`` on are
    the line's own. ``events`` are the line's own too, and so are ``findings``. ``words`` are (letter, number as
    written) in their order, ``values`` the numbers as far as the block could be read, and ``codes`` modal group → code.
    ``before`` is the state that the line finds; None for a dialect that is not made of words. ``ended``: the program
    has ended before this line. ``bare`` is the line without comments and blanks.
    """

    number: int
    raw: bytes
    program: Program
    first_row: int
    events: tuple[Event, ...]
    findings: tuple[Finding, ...]
    before: State | None = None
    bare: str = ""
    words: tuple[tuple[str, str], ...] = ()
    codes: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, float] = field(default_factory=dict)
    ended: bool = False


def span_of(text: bytes, number: int, file: str = "the file") -> tuple[int, int]:
    """Where line ``number`` (from 1) begins and ends in the bytes. Raises `InputError` for a line that is not there."""
    begin = count = 0
    for end in LINE_END.finditer(text):
        count += 1
        if count == number:
            return begin, end.start()
        begin = end.end()
    if begin < len(text):
        count += 1
        if count == number:
            return begin, len(text)
    what = f"there is no line {number}: {file!r} has {count} lines"
    what = what if count != 1 else f"there is no line {number}: {file!r} has 1 line"
    raise InputError([Finding(check="line", what=what, fix=f"give a line from 1 to {count}")])


def read_line(text: bytes, capabilities: Capabilities, number: int, *, file: str = "the file") -> LineRead:
    """Read a file of words up to the end of one line, as its controller would.

    Raises `InputError` for a line that is not there, and where reading stops before it because too much is wrong.
    """
    grammar = capabilities.grammar
    assert grammar is not None, "a file that is not made of words is read by foreign_line"
    begin, end = span_of(text, number, file)
    reader = Reader(capabilities, grammar, UNKNOWN, file)
    reader.read(text[:begin])
    if not reader.state.ended and reader.lines < number - 1 and len(reader.findings) >= MOST_FINDINGS:
        what = f"reading stopped at line {reader.lines} after {MOST_FINDINGS} findings"
        raise InputError([Finding(check="line", what=what, fix=f"is this a file for {grammar.title}?", file=file)])
    raw, before, ended = text[begin:end], deepcopy(reader.state), reader.state.ended
    rows, events, said = len(reader.columns), reader.columns.events, len(reader.findings)
    block = Block() if ended else reader.one(raw)
    findings = tuple(reader.findings[said:])
    program = reader.columns.program(reader.start)
    bare, words = _words(Tokenizer(grammar), raw)
    return LineRead(
        number, raw, program, rows, program.event[events:], findings, before, bare, words, dict(block.codes),
        dict(block.values), ended,
    )  # fmt: skip


def foreign_line(
    text: bytes, capabilities: Capabilities, number: int, read: Read, *, file: str = "the file"
) -> LineRead:
    """The same for a file that is not made of words, by its dialect's own reader. Raises `InputError` likewise."""
    begin, end = span_of(text, number, file)
    before, with_it = (read(text[:at], capabilities, file=file) for at in (begin, end))
    events = [event for event in before.program.event if not isinstance(event, Stop)]
    happened = [event for event in with_it.program.event if not isinstance(event, Stop)]
    mine: list[Event] = [*happened[len(events) :]]
    stops = sum(isinstance(event, Stop) for event in with_it.program.event)
    if stops > sum(isinstance(event, Stop) for event in before.program.event):
        mine.append(Stop())
    findings = tuple(finding for finding in with_it.findings if finding.line == number)
    return LineRead(number, text[begin:end], with_it.program, len(before.program), tuple(mine), findings)


def nth_block(text: bytes, capabilities: Capabilities, count: int) -> tuple[int, bytes] | None:
    """(line, its text) of the ``count``-th line (from 1) that holds more than blanks and comments; None if there are
    not so many."""
    grammar = capabilities.grammar
    if grammar is None or count < 1:
        return None
    tokens, begin = Tokenizer(grammar), 0
    ends = [(end.start(), end.end()) for end in LINE_END.finditer(text)]
    for number, (end, following) in enumerate([*ends, (len(text), len(text))], 1):
        raw, begin = text[begin:end], following
        try:
            count -= tokens.bare(raw) != ""
        except Refusal:
            count -= 1
        if count == 0:
            return number, raw
    return None


def _words(tokens: Tokenizer, raw: bytes) -> tuple[str, tuple[tuple[str, str], ...]]:
    """The bare line and its words, as far as they can be told apart."""
    words: list[tuple[str, str]] = []
    bare = ""
    try:
        bare = tokens.bare(raw)
        for letter, text, _ in tokens.words(bare):
            if len(words) == MOST_WORDS:
                break
            words.append((letter, text))
    except (Refusal, Unread):
        pass
    return bare, tuple(words)
