"""Dialects written from posts/README.md alone: the whole conformance kit, and what each file looks like."""

from __future__ import annotations

import json
import re
from functools import reduce
from operator import xor
from typing import ClassVar

import pytest

import pathkit as pk
from pathkit.testing import DialectTests, demonstration, machine_for, suited
from tests.posts.shown.beam import BeamTool
from tests.posts.shown.json_lines import JsonLines
from tests.posts.shown.odd_mill import OddMill
from tests.posts.shown.spelled_out import SpelledOut


class TestOddMill(DialectTests):
    dialect = OddMill
    deviations: ClassVar = {"test_no_turn_is_left_open": "arcs of six fixed decimals do not fit into 64 characters"}


class TestBeamTool(DialectTests):
    dialect = BeamTool


class TestJsonLines(DialectTests):
    dialect = JsonLines


class TestSpelledOut(DialectTests):
    dialect = SpelledOut


def lines_of(dialect: pk.Dialect) -> list[str]:
    posted = pk.post(suited(demonstration(), dialect.capabilities), machine_for(dialect), dialect=dialect)
    end = dialect.capabilities.line_end
    return posted.files[0].data.decode("ascii").removesuffix(end).split(end)


def test_the_odd_mill_has_all_its_habits() -> None:
    lines = lines_of(OddMill())
    assert [int(line[1:].split()[0]) for line in lines] == list(range(10, 10 * len(lines) + 1, 10))
    assert max(map(len, lines)) <= 64
    blocks = [line for line in lines if "(" not in line]
    assert all(reduce(xor, line[: line.index("*")].encode()) == int(line[line.index("*") + 1 :]) for line in blocks)
    moves = [line for line in lines if re.search("[XYZ]", line)]
    assert all(re.fullmatch(r"N\d+ (G0|G[123])( [XYZIJ]-?\d+\.\d{3})+( F\d+)?\*\d+", line) for line in moves)
    assert all(("F" in line) == (" G0 " not in line) for line in moves)
    assert any("G171" in line for line in lines)
    # 18 000 of the profile's 24 000 rpm.
    assert any(" S750 M3*" in line for line in lines)


def test_every_line_of_json_is_json() -> None:
    said = [json.loads(line) for line in lines_of(JsonLines())]
    assert {each["do"] for each in said} >= {"note", "unit", "rapid", "line", "arc-ccw", "spindle", "end"}


def test_the_beam_has_a_power_beside_each_move_that_changes_it() -> None:
    lines = lines_of(BeamTool())
    assert [line for line in lines if "M" in line and "(" not in line] == ["S0 M4", "M5", "M5 M9", "M2"]
    rapids = [line for line in lines if line.startswith("G0") and "X" in line]
    assert rapids
    assert all(line.endswith(" S0") for line in rapids[1:])
    # 18 000 of 24 000 rpm in the demonstration, so three quarters of S1000.
    assert [line for line in lines if "S750" in line] == ["G1 Z9 F300 S750"]


def test_words_are_spelled_out() -> None:
    lines = lines_of(SpelledOut())
    assert "LINE X=60 FEED=1200" in lines
    assert "SPEED=18000 SPINDLE=RIGHT" in lines
    assert any(re.fullmatch(r"TURN_LEFT X=70 Y=30 ARM_X=0 ARM_Y=10", line) for line in lines)
    for line in (
        "LINE X=1 X=2",
        "LINE X=A",
        "LINE RAPID X=1",
        "TURN_LEFT X=1 Y=1",
        "UNIT=FOOT",
        "FLY",
        "line x=1",
        "WAIT=-1",
    ):
        text = "\n".join([*lines[:-1], line, lines[-1]])
        reading = pk.interpret(text, SpelledOut())
        assert [finding.line for finding in reading.findings] == [len(lines)], line


@pytest.mark.parametrize("dialect", [OddMill(), JsonLines(), SpelledOut()], ids=lambda dialect: dialect.name)
def test_post_verify_and_the_air_cut_take_the_dialect_itself(dialect: pk.Dialect) -> None:
    machine, program = pk.load_machine("grbl-front-left"), demonstration()
    posted = pk.post(program, machine, dialect=dialect)
    proof = pk.verify(posted, program, machine, dialect=dialect)
    assert proof["same path"].status == "passed"
    assert proof["controller"].status == "passed"
    twin = pk.air_cut(posted, machine, dialect=dialect)
    assert pk.verify_twin(twin, posted, machine, dialect=dialect).ok
    for misread in (lambda: pk.verify(posted, program, machine), lambda: pk.air_cut(posted, machine)):
        with pytest.raises(pk.InputError, match=f"posted in the dialect '{dialect.name}'.*give dialect="):
            misread()


def test_capabilities_can_be_listed_as_json() -> None:
    listed = json.loads(json.dumps(OddMill.capabilities.as_dict()))
    assert listed["checksum"] == {"mark": "*", "kind": "xor", "hexadecimal": False}
    assert listed["speed_unit"] == 1000
