"""Stopping at one line: it does what the whole file's reading says of that line, and nothing else."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import pathkit as pk
from pathkit.errors import InputError
from pathkit.motion.program import COLUMNS
from pathkit.readback import interpret
from pathkit.readback.at_line import foreign_line, nth_block, read_line, span_of
from pathkit.registry import capabilities_of

GRBL = capabilities_of(pk.load_machine("grbl-front-left"))
INCH = capabilities_of(pk.load_machine("portrait-inch"))

LINES = st.sampled_from(
    [b"G21 G90 G94 G17 G54", b"G0 Z5", b"G0 X1 Y2", b"G1 Z-1 F100", b"X5", b"G2 X7 I1 J0", b"G91", b"G90", b"S900 M3",
     b"M5", b"(a note)", b"", b"G4 P1", b"M0", b"G92 X0", b"G20", b"G1", b"X9 Y9", b"G28", b"%", b"M2", b"G81 Z-1 R1",
     b"(what!)", b"G99 G99", b"N5 G0 X3"]
)  # fmt: skip
TEXTS = st.lists(LINES, min_size=1, max_size=25)


@given(TEXTS, st.sampled_from([b"\n", b"\r\n", b"\r"]), st.sampled_from([GRBL, INCH]))
def test_a_line_does_what_the_whole_reading_says_of_it(
    lines: list[bytes], end: bytes, capabilities: pk.Capabilities
) -> None:
    text = end.join(lines) + end
    whole = interpret(text, capabilities)
    for number, line in enumerate(lines, 1):
        one = read_line(text, capabilities, number)
        assert one.raw == line
        mine = np.flatnonzero(whole.program.line == number)
        assert len(one.program) - one.first_row == len(mine)
        for name in COLUMNS:
            theirs = getattr(whole.program, name)[: len(one.program)]
            assert np.array_equal(getattr(one.program, name), theirs, equal_nan=theirs.dtype.kind == "f")
        said = tuple((f.check, f.what, f.column, f.code) for f in whole.findings if f.line == number)
        assert tuple((f.check, f.what, f.column, f.code) for f in one.findings) == said


@given(TEXTS)
def test_the_events_of_all_lines_are_those_of_the_file(lines: list[bytes]) -> None:
    text = b"\n".join(lines) + b"\n"
    found = [event for number in range(1, len(lines) + 1) for event in read_line(text, GRBL, number).events]
    assert tuple(found) == interpret(text, GRBL).program.event


@given(st.binary(max_size=60))
def test_lines_are_counted_as_they_are_read(text: bytes) -> None:
    pieces = text.replace(b"\r\n", b"\n").replace(b"\r", b"\n").split(b"\n")
    count = len(pieces) - (pieces[-1] == b"")
    for number in range(1, count + 1):
        begin, end = span_of(text, number)
        assert begin <= end <= len(text)
        assert b"\n" not in text[begin:end]
        assert b"\r" not in text[begin:end]
    for number in (0, count + 1):
        with pytest.raises(InputError, match="there is no line"):
            span_of(text, number)


def test_a_foreign_line_has_its_own_moves_and_events() -> None:
    from pathkit.api import reader_of

    machine = pk.load_machine("grbl-front-left")
    table = dataclasses.replace(machine, dialect="csv")
    read = reader_of(table)
    assert read is not None
    text = b"unit,mm\nrapid,,,5,,,\nspindle,clockwise,9000\nrapid,1,2,,,,\nend\n"
    told = [foreign_line(text, capabilities_of(table), number, read) for number in range(1, 6)]
    assert [len(one.program) - one.first_row for one in told] == [0, 1, 0, 1, 0]
    assert [len(one.events) for one in told] == [0, 0, 1, 0, 1]


def test_blocks_are_counted_without_comments_and_blank_lines() -> None:
    text = b"(a)\nG21\n\n ; b\nG90 (c)\nN5\r\n"
    assert [nth_block(text, GRBL, count) for count in (1, 2, 3)] == [(2, b"G21"), (5, b"G90 (c)"), (6, b"N5")]
    assert nth_block(text, GRBL, 4) is None
    assert nth_block(text, GRBL, 0) is None
