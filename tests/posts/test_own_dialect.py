"""A dialect that no package provides: handed over, found by its name for a while, and one that rewrites its text."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from pathkit_posts.csv_moves import CsvMoves
from pathkit_posts.grbl import GRAMMAR, Grbl
from pathkit_posts.rs274ngc import Rs274ngc

import pathkit as pk
from pathkit.posting import stream
from pathkit.testing import demonstration, machine_for
from pathkit.testing.programs import STOCK, program_of

PROGRAM = demonstration()


class Mine(Grbl):
    name = "mine"


class Spelled(Rs274ngc):
    """Rewrites its finished text: motion codes of two digits, and a tape mark."""

    name = "spelled"
    capabilities = replace(Rs274ngc.capabilities, tape_mark=True, line_end="\r\n")

    def rewrite(self, text: str, context: pk.Context) -> str:
        return re.sub(r"\bG([0-3])\b", r"G0\1", text)


def test_it_is_found_by_its_name_within_the_block_only() -> None:
    machine = replace(pk.load_machine("grbl-front-left"), dialect="mine")
    with pk.using(Mine()):
        posted = pk.post(PROGRAM, machine)
        assert pk.verify(posted, PROGRAM, machine)["same path"].status == "passed"
    with pytest.raises(pk.UnknownName):
        pk.post(PROGRAM, machine)


def test_nothing_stays_after_an_error() -> None:
    with pytest.raises(pk.PluginError, match="cannot be used"), pk.using(Mine(), CsvMoves, Mine()):  # type: ignore[arg-type]
        pass
    with pytest.raises(pk.UnknownName):
        pk.read("G0", "mine")


def test_adding_again_replaces_and_a_name_that_is_taken_is_refused() -> None:
    registry = pk.Registry()
    first, second = Mine(), Mine()
    registry.add(first)
    registry.add(second)
    assert registry.find("dialect", "mine") is second
    registry.remove(second)
    registry.remove(second)
    assert not registry.provided("dialect")
    with pytest.raises(pk.PluginError, match=r"already provides a dialect called 'grbl'.*dialect="):
        pk.installed().add(Grbl())


def test_a_false_claim_is_refused_wherever_it_is_handed_over() -> None:
    false = type("False_", (Grbl,), {"capabilities": replace(Grbl.capabilities, coolants=frozenset({"mist"}))})()
    machine = pk.load_machine("grbl-front-left")
    for ask in (lambda: pk.post(PROGRAM, machine, dialect=false), lambda: pk.installed().add(false),
                lambda: pk.read("G0", false)):  # fmt: skip
        with pytest.raises(pk.PluginError, match="M7"):
            ask()


def test_a_rewritten_text_stays_proved_and_so_does_its_twin() -> None:
    dialect = Spelled()
    machine = machine_for(dialect)
    posted = pk.post(PROGRAM, machine, dialect=dialect)
    lines = posted.text.splitlines()
    assert lines[0] == lines[-1] == "%"
    assert any(line.startswith("G01") for line in lines)
    assert not re.search(r"\bG[0-3]\b", posted.text)
    assert pk.verify(posted, PROGRAM, machine, dialect=dialect)["same path"].status == "passed"
    twin = pk.air_cut(posted, machine, dialect=dialect)
    assert re.search(r"\bG01\b", twin.text)
    assert pk.verify_twin(twin, posted, machine, dialect=dialect).ok
    # What is said of a row is true of the rewritten file.
    plain = pk.post(PROGRAM, machine, dialect=type("Plain", (Spelled,), {"rewrite": pk.Dialect.rewrite})())
    assert np.array_equal(posted.line_of_row, plain.line_of_row)
    longer = [len(a) - len(b) for a, b in zip(lines, plain.text.splitlines(), strict=True)]
    rows = posted.line_of_row[posted.line_of_row > 0]
    grown = [sum(longer[a:b]) for a, b in zip([1, *rows[:-1]], rows, strict=True)]
    assert (posted.line_bytes - plain.line_bytes)[posted.line_of_row > 0].tolist() == grown
    assert b"".join(piece for _, piece in stream(PROGRAM, machine, dialect=dialect)) == posted.files[0].data


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda text: text + "G0\r\n", "as many plain lines"),
        (lambda text: text.replace("\r\n", "\n"), "line ends"),
        (lambda text: text.replace("G", "!"), "as many plain lines"),
        (lambda text: text[:-2], "as many plain lines"),
        (lambda text: None, "as many plain lines"),
        (lambda text: 1 / 0, "rewrite failed"),
        (lambda text: text.replace("M2", "M2" + " " * 300), "300|302|characters"),
    ],
)  # fmt: skip
def test_a_rewrite_is_checked(change: Callable[[str], Any], words: str) -> None:
    dialect = type("Careless", (Spelled,), {"rewrite": lambda self, text, context: change(text)})()
    with pytest.raises(pk.PathkitError, match=words):
        pk.post(PROGRAM, machine_for(dialect), dialect=dialect)


def test_modes_may_be_left_out() -> None:
    """A controller that has no modes to set: no line is empty."""
    dialect = type("Modeless", (CsvMoves,), {"words": replace(CsvMoves.words, modes="")})()
    posted = pk.post(PROGRAM, machine_for(dialect), dialect=dialect)
    assert all(posted.text.splitlines())
    assert pk.verify(posted, PROGRAM, machine_for(dialect), dialect=dialect)["same path"].status == "passed"


def slanting() -> pk.Program:
    nan = np.nan
    rows = [
        (pk.RAPID, (nan, nan, 22.0), None, 0.0, nan), (pk.RAPID, (10.0, 20.0, 14.0), None, 0.0, nan),
        (pk.LINE, (10.0, 20.0, 9.0), None, 0.0, 300.0), (pk.LINE, (60.0, 20.0, 9.0), None, 0.0, 600.0),
        (pk.RAPID, (70.0, 25.0, 20.0), None, 0.0, nan), (pk.RAPID, (70.0, 40.0, 20.0), None, 0.0, nan),
        (pk.RAPID, (5.0, 5.0, 22.0), None, 0.0, nan),
    ]  # fmt: skip
    events: list[tuple[int, pk.Event]] = [(1, pk.Spindle(9000.0, 1)), (4, pk.Note("up")), (7, pk.Spindle(0.0, 0))]
    return program_of(rows, [*events, (7, pk.Stop())], frame="controller", stock=STOCK, title="slants")


LEVEL = replace(Grbl.capabilities, slanting_rapids=False, grammar=replace(GRAMMAR, slanting_rapids=False))


class Level(Grbl):
    name = "level"
    capabilities = LEVEL


def test_a_homed_machine_goes_over_the_top_first_and_then_level() -> None:
    machine = pk.load_machine("grbl-front-left")
    homed = replace(machine, homed=True, travel=replace(machine.travel, low=(-600.0, -400.0, -80.0)))
    assert homed.uppermost is not None
    posted = pk.post(slanting(), homed, dialect=Level())
    assert any(line.startswith("G53 G0 Z") for line in posted.text.splitlines())
    proof = pk.verify(posted, slanting(), homed, dialect=Level())
    assert proof["same path"].status == "passed", [str(f) for f in proof.findings]


@pytest.mark.parametrize("z", ["up", "down"])
def test_slanting_rapids_are_written_in_two_parts_and_proved(z: Any) -> None:
    level = Level()
    program, machine = slanting(), machine_for(level)
    if z == "down":
        machine = machine_for(level, axes=pk.Axes("left", "away", "down"))
        program = program.replace(end=program.end * [1.0, 1.0, -1.0])
    posted = pk.post(program, machine, dialect=level)
    moves = [line for line in posted.text.splitlines() if re.match(r"(G0 )?[XYZ]", line)]
    assert moves[:3] == (["G0 Z22", "G0 X10 Y20", "Z14"] if z == "up" else ["G0 Z-22", "G0 X10 Y20", "Z-14"])
    assert not [line for line in moves if "Z" in line and re.search("[XY]", line) and "G1" not in line]
    proof = pk.verify(posted, program, machine, dialect=level)
    assert proof["same path"].status == "passed", [str(f) for f in proof.findings]
    # Across first and then up would be another path.
    data = posted.files[0].data
    up, across = (b"Z20\n", b"X70 Y25\n") if z == "up" else (b"Z-20\n", b"X70 Y25\n")
    swapped = re.sub(rb"G0 " + up + across, b"G0 " + across + up, data)
    assert swapped != data
    assert pk.verify(swapped, program, machine, dialect=level)["same path"].status == "failed"


@pytest.mark.parametrize(
    ("reader", "words"),
    [
        (lambda text, capabilities: 1 / 0, r"failed in .*test_own_dialect.py: ZeroDivisionError.*Finding"),
        (lambda text, capabilities: 42, r"a value of type int, and no Reading.*return Reading"),
        (lambda text, capabilities: pk.Reading([], ()), r"a Reading of a value of type list.*row for each move"),  # type: ignore[arg-type]
        (lambda text, capabilities: pk.Reading(PROGRAM, ()), r"in the bench frame.*frame=\"controller\""),
        (lambda text, capabilities: pk.Reading(slanting(), ("x",)), r"type str among its findings.*Finding"),  # type: ignore[arg-type]
    ],
)  # fmt: skip
def test_a_reader_that_fails_is_told_what_to_do(reader: Any, words: str) -> None:
    dialect = type("Own", (CsvMoves,), {"name": "own", "reader": staticmethod(reader)})()
    with pytest.raises(pk.PluginError, match=words):
        pk.read("unit,mm", dialect)
