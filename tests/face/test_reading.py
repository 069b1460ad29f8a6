"""`pk.read` gives a program and what a careful reader cannot rely on, or raises what the controller would refuse."""

from __future__ import annotations

import math

import pytest

import pathkit as pk
from tests.face.conftest import Made

HEAD = "G21 G90 G94 G17 G54\n"


def test_a_reading_is_a_program_and_its_findings() -> None:
    reading = pk.read(HEAD + "G0 Z5\nG1 X3 F100\nM2\n", "grbl", (1.0, 2.0, 9.0))
    assert isinstance(reading, pk.Reading)
    assert reading.program.end.tolist() == [[1.0, 2.0, 5.0], [3.0, 2.0, 5.0]]
    assert reading.findings == ()


def test_what_the_controller_refuses_is_raised_with_every_line() -> None:
    text = HEAD + "hello world\nG1 X1\nM2\n"
    with pytest.raises(pk.InputError) as refused:
        pk.read(text, "grbl", file="part.nc")
    assert [(f.file, f.line) for f in refused.value.findings] == [("part.nc", 2), ("part.nc", 3)]
    # GRBL 1.1 wiki, "Interfacing", error codes: 22 is a feed that has not been set (from memory).
    assert refused.value.findings[1].code == "error:22"
    with pytest.raises(pk.InputError):
        pk.read("not a program at all", "grbl")


def test_interpret_reads_the_rest_of_such_a_text() -> None:
    reading = pk.interpret(HEAD + "hello world\nG0 Z5\nM2\n", "grbl")
    assert reading.program.end[-1, 2] == 5.0
    assert [found.line for found in reading.findings if found.check == "controller"] == [2]


def test_what_is_merely_doubtful_is_a_finding() -> None:
    reading = pk.read("G0 Z5\nM2\n", "grbl")
    assert {found.check for found in reading.findings} == {"unknown state"}
    assert math.isnan(reading.program.end[0, 0])


def test_a_machine_reads_as_it_is_set_up(made: Made) -> None:
    reading = pk.read(made.posted.text, made.machine)
    assert reading.findings == ()
    assert reading.program.kind.tolist() == made.program.kind.tolist()


def test_a_table_says_itself_where_the_bit_begins() -> None:
    with pytest.raises(pk.InputError, match="leave start out"):
        pk.read("anything", "csv", (0.0, 0.0, 0.0))
    with pytest.raises(pk.InputError, match="write the table again"):
        pk.read("not,a,table\n", "csv")
