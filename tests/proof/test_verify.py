"""Real files: nothing is wrong with them as they are, and every sabotage is found by the check that is for it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import pathkit as pk
from pathkit.errors import InputError
from pathkit.proof.evidence import Evidence
from pathkit.proof.verify import CHECKS, verify
from tests.how_long import LONGER

if TYPE_CHECKING:
    from tests.proof.conftest import Case


def test_a_file_as_it_was_posted_raises_nothing(case: Case) -> None:
    proof = case.verify()
    assert proof.findings == ()
    assert proof.ok
    # The job draws no parts, so two checks have nothing to hold the file against.
    assert {check.name for check in proof.checks if check.status == "not run"} == {
        "gouges",
        "finished shape",
        "chamfered edges",
    }
    assert {check.status for check in proof.checks} == {"passed", "not run"}
    assert {check.name for check in CHECKS} <= {check.name for check in proof.checks}
    # Half a count along each axis, or the rounding of an arc: less than three counts.
    assert 0.0 < proof.deviation < 3 * (0.001 if case.capabilities.units == "mm" else 0.00254)


def test_text_and_bytes_are_proved_alike(case: Case) -> None:
    assert case.verify(case.text).as_dict()["checks"] == case.verify().as_dict()["checks"]
    assert case.verify(case.text.encode()).ok


@pytest.mark.parametrize("turn", [1, 2, 3])
def test_a_board_that_lies_turned(cases: dict[str, Case], turn: int) -> None:
    machine = cases["grbl-back-right"].machine
    setup = pk.Setup(turn=turn)
    program = pk.lower(cases["grbl-back-right"].job, machine, setup)
    posted = pk.post(program, machine, setup)
    assert pk.verify(posted, program, machine, job=cases["grbl-back-right"].job).ok
    # On a board that lies in another way, the same file is another path.
    other = pk.verify(posted, program, machine, setup=pk.Setup(turn=(turn + 1) % 4))
    assert other["same path"].status == "failed"


def spots(text: str) -> list[tuple[int, int]]:
    """Every digit of every X, Y and Z word: (line, counted from 0; place in it)."""
    return [
        (number, place)
        for number, line in enumerate(text.split("\n"))
        if not line.startswith("(")
        for word in re.finditer(r"[XYZ]-?([\d.]+)", line)
        for place in range(word.start(1), word.end(1))
        if line[place] != "."
    ]


def test_any_digit_flipped_is_named_by_its_line(case: Case) -> None:
    """One digit is changed at a time, on a random sample."""
    text = case.text
    lines, places = text.split("\n"), spots(text)
    only = [c for c in CHECKS if c.name in ("controller", "unknown state", "same path")]

    @settings(max_examples=40)
    @given(st.integers(0, len(places) - 1), st.integers(1, 9))
    def flipped(index: int, by: int) -> None:
        number, place = places[index]
        digit = str((int(lines[number][place]) + by) % 10)
        changed = [*lines]
        changed[number] = lines[number][:place] + digit + lines[number][place + 1 :]
        proof = verify("\n".join(changed), case.program, case.machine, case.capabilities, checks=only)
        assert not proof.ok
        assert number + 1 in {finding.line for finding in proof.findings}

    flipped()


def first_line(text: str, pattern: str) -> int:
    return next(n for n, line in enumerate(text.split("\n")) if re.search(pattern, line))


def edited(text: str, pattern: str, new: str) -> tuple[str, int]:
    """The text with the first line that matches rewritten, and the number of that line, counted from 1."""
    lines = text.split("\n")
    number = first_line(text, pattern)
    lines[number] = re.sub(pattern, new, lines[number], count=1)
    return "\n".join(lines), number + 1


def without_line(text: str, number: int) -> str:
    lines = text.split("\n")
    return "\n".join(lines[:number] + lines[number + 1 :])


def failed(proof: pk.Proof) -> set[str]:
    return {check.name for check in proof.checks if check.status == "failed"}


def test_g2_and_g3_exchanged(case: Case) -> None:
    for one, other in (("G2", "G3"), ("G3", "G2")):
        text, line = edited(case.text, rf"^{one}\b", other)
        proof = case.verify(text)
        assert "same path" in failed(proof)
        assert line in {f.line for f in proof["same path"].findings}


LINES = 25 if LONGER else 8
"""How many lines of each file are tried, always the same ones."""


def test_every_dropped_line_of_motion_is_missed(case: Case) -> None:
    lines = case.text.split("\n")
    motion = [n for n, line in enumerate(lines) if re.match(r"(G[0123]\b|[XYZ])", line)]
    rng = np.random.default_rng(5)
    for number in rng.choice(motion, LINES, replace=False):
        assert not case.verify(without_line(case.text, int(number))).ok, lines[number]


def test_every_repeated_line_of_motion_is_noticed(case: Case) -> None:
    lines = case.text.split("\n")
    motion = [n for n, line in enumerate(lines) if re.match(r"(G[123]\b|[XYZ])", line)]
    rng = np.random.default_rng(6)
    for number in rng.choice(motion, LINES, replace=False):
        text = "\n".join([*lines[: number + 1], lines[number], *lines[number + 1 :]])
        assert not case.verify(text).ok, lines[number]


def test_m3_missing(case: Case) -> None:
    text, _ = edited(case.text, r" ?M3\b", "")
    proof = case.verify(text)
    assert "spindle" in failed(proof)
    assert any("spindle off" in f.what for f in proof["spindle"].findings)


def test_m4_for_m3_and_another_speed(case: Case) -> None:
    assert "spindle" in failed(case.verify(edited(case.text, r"M3\b", "M4")[0]))
    assert "spindle" in failed(case.verify(edited(case.text, r"S16000\b", "S1600")[0]))


def test_the_dwell_dropped_leaves_no_time_to_spin_up(case: Case) -> None:
    proof = case.verify(without_line(case.text, first_line(case.text, r"^G4 ")))
    assert "events" in failed(proof)
    assert any("spin up" in f.what for f in proof["spindle"].findings)


def test_units_exchanged(case: Case) -> None:
    one, other = ("G21", "G20") if case.capabilities.units == "mm" else ("G20", "G21")
    assert "same path" in failed(case.verify(edited(case.text, rf"\b{one}\b", other)[0]))


def test_a_feed_changed(case: Case) -> None:
    text, line = edited(case.text, r"F(\d+)", r"F1\1")
    proof = case.verify(text)
    assert failed(proof) == {"feeds", "asked feeds"}
    assert proof["feeds"].findings[0].line == line


def test_the_part_mirrored(case: Case) -> None:
    mirrored = re.sub(r"([XI])(-?)(\d)", lambda m: m[1] + ("" if m[2] else "-") + m[3], case.text)
    mirrored = re.sub(r"\bG([23])\b", lambda m: "G3" if m[1] == "2" else "G2", mirrored)
    assert "same path" in failed(case.verify(mirrored))


def test_two_toolpaths_exchanged(case: Case) -> None:
    rows = case.program.toolpath
    line_of = case.posted.line_of_row
    runs = [(int(line_of[rows == n].min()), int(line_of[rows == n].max())) for n in (0, 1)]
    (a0, a1), (b0, b1) = sorted(runs)
    lines = case.text.split("\n")
    swapped = [*lines[: a0 - 1], *lines[b0 - 1 : b1], *lines[a1 : b0 - 1], *lines[a0 - 1 : a1], *lines[b1:]]
    assert sorted(swapped) == sorted(lines)
    assert "same path" in failed(case.verify("\n".join(swapped)))


def test_a_tab_removed_from_the_text_alone(cases: dict[str, Case]) -> None:
    """Every line that stands at the tab's height moves down to the floor of the cut."""
    case = cases["grbl-front-left"]
    stock = case.job.stock
    tab, floor = f"Z{stock.underside + 3.0:g}", f"Z{stock.underside - 0.3:g}"
    text = re.sub(rf"{re.escape(tab)}\b(?!\.)", floor, case.text)
    assert text != case.text
    assert {"same path", "tabs"} <= failed(case.verify(text))


def test_the_travel_height_lowered(case: Case) -> None:
    """Lowered everywhere, into the wood: the path is another one, and rapids go through wood."""
    count = 1.0 if case.capabilities.units == "mm" else 25.4
    high = float(case.program.end[0, 2])

    def lowered(word: re.Match[str]) -> str:
        return f"Z{8.0 / count:.4g}" if abs(float(word[1]) * count - high) < 0.01 else word[0]

    text = re.sub(r"Z(\d+(?:\.\d+)?)", lowered, case.text)
    assert {"same path", "first motion", "rapids clear the wood"} <= failed(case.verify(text))


def test_the_end_dropped(case: Case) -> None:
    assert "end state" in failed(case.verify(re.sub(r"\nM2\b", "", case.text)))


def test_moves_after_the_end(case: Case) -> None:
    """RS274/NGC stops reading at M2; GRBL goes on with whatever is sent (its own parser, as measured)."""
    proof = case.verify(case.text.replace("M2\n", "M2\nG1 X1 F100\n"))
    if case.machine.dialect == "grbl":
        assert {"same path", "end state"} <= failed(proof)
    else:
        assert proof.ok
    assert not case.verify(case.text.replace("M2\n", "G1 X1 F100\nM2\n")).ok


def test_words_that_the_controller_refuses(case: Case) -> None:
    for bad in ("G41 D1", "G1 X1 X2", "G2 X5"):
        text, line = edited(case.text, r"^(G0 X)", bad + r"\n\1")
        proof = case.verify(text)
        assert "controller" in failed(proof)
        assert line in {f.line for f in proof["controller"].findings}


def test_a_position_that_nothing_has_set(case: Case) -> None:
    lines = case.text.split("\n")
    modes = next(n for n, line in enumerate(lines) if "G90" in line)
    proof = case.verify("\n".join([*lines[:modes], *lines[modes + 1 :]]))
    assert "unknown state" in failed(proof)


@pytest.mark.parametrize("junk", ["", "%\n", "hello\n", "\x00\xff" * 40, "G1" * 5000, "(((((\n" * 50])
def test_what_is_no_such_file_fails_and_never_crashes(cases: dict[str, Case], junk: str) -> None:
    proof = cases["grbl-front-left"].verify(junk)
    assert not proof.ok


@given(st.binary(max_size=300), st.integers(0, 10_000))
def test_bytes_thrown_into_a_file(cases: dict[str, Case], junk: bytes, at: int) -> None:
    case = cases["portrait-inch"]
    data = case.text.encode()
    at %= len(data)
    case.verify(data[:at] + junk + data[at:]).as_dict()


def test_nothing_compared_is_a_failure_unless_only_the_rules_are_asked_for(case: Case) -> None:
    caps = case.capabilities
    alone = verify(case.text, None, case.machine, caps)
    assert [f.what[:12] for f in alone.findings] == ["not compared"]
    rules = verify(case.text, None, case.machine, caps, rules_only=True)
    assert rules.ok
    assert rules["same path"].status == "not run"
    assert np.isnan(rules.deviation)
    assert "deviation_mm" not in rules.as_dict()
    off = verify(edited(case.text, r" ?M3\b", "")[0], None, case.machine, caps, rules_only=True)
    assert failed(off) == {"spindle"}


def test_a_program_without_its_board_cannot_be_placed(case: Case) -> None:
    with pytest.raises(InputError, match="datum corner"):
        pk.verify(case.text, case.program.replace(stock=None), case.machine)


def test_the_report_is_plain_json(case: Case) -> None:
    import json

    report = json.loads(json.dumps(case.verify().as_dict(), allow_nan=False))
    assert report["ok"] is True
    assert all(check["limits"] for check in report["checks"])


def test_a_check_of_a_plugin_runs_and_may_return_plain_findings(case: Case) -> None:
    class Short:
        name = "short"
        needs = frozenset({"text"})
        limits = "It counts lines."

        def __call__(self, evidence: Evidence) -> Sequence[pk.Finding]:
            return [pk.Finding(check="short", what="too long", severity="warning")] if len(evidence.text) > 9 else []

    proof = verify(case.posted, case.program, case.machine, case.capabilities, checks=[*CHECKS, Short()])
    assert proof["short"].status == "passed"
    assert proof.ok
    assert [f.what for f in proof.findings] == ["too long"]
    with pytest.raises(KeyError):
        proof["tall"]
