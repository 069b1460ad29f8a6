"""Air-cut twins: the same blocks, higher, with the spindle off; nothing else passes for a twin."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

import pathkit as pk
from pathkit.errors import InputError
from pathkit.machine.profile import SpindleControl
from pathkit.proof.twin import words
from pathkit.proof.twin.words import blocks_of, verify_twin

if TYPE_CHECKING:
    from tests.proof.conftest import Case


def failed(proof: pk.Proof) -> set[str]:
    return {check.name for check in proof.checks if check.status == "failed"}


def proof_of(case: Case, text: str, **changes: Any) -> pk.Proof:
    return verify_twin(text, case.posted, case.machine, case.capabilities, **changes)


@pytest.fixture
def twin(case: Case) -> str:
    return pk.air_cut(case.posted, case.machine).text


@pytest.fixture(params=[2, 5, None], ids=["by twos", "by fives", "as it is"])
def at_once(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """How many blocks are compared at once: these files have fewer than are usual."""
    if request.param is not None:
        monkeypatch.setattr(words, "_AT_ONCE", request.param)


@pytest.mark.usefixtures("at_once")
def test_a_twin_as_it_is_made(case: Case) -> None:
    proof = pk.verify_twin(pk.air_cut(case.posted, case.machine), case.posted, case.machine)
    assert proof.findings == ()
    assert {check.status for check in proof.checks} == {"passed"}
    # By hand: 9 mm of board, 0.5 mm tolerance, 3 mm of waste, 1 mm approach; in inches rounded up to its last decimal.
    assert proof["same blocks"].figures["raised_mm"] == pytest.approx(13.5, abs=0.00254)


def test_the_file_itself_is_no_twin(case: Case) -> None:
    assert {"same blocks", "no spindle", "above the wood"} <= failed(proof_of(case, case.text))


def test_a_spindle_word_in_the_twin(case: Case, twin: str) -> None:
    for word in ("M3", "S16000 M3", "M4"):
        text = twin.replace("\nG0 Z", f"\n{word}\nG0 Z", 1)
        assert {"same blocks", "no spindle"} <= failed(proof_of(case, text))


@pytest.mark.usefixtures("at_once")
def test_every_change_of_motion_is_noticed(case: Case, twin: str) -> None:
    lines = twin.split("\n")
    motion = [n for n, line in enumerate(lines) if re.match(r"(G[0123]\b|[XYZ])", line)]
    for number in motion[3 :: max(1, len(motion) // 6)]:
        dropped = [*lines[:number], *lines[number + 1 :]]
        twice = [*lines[: number + 1], lines[number], *lines[number + 1 :]]
        moved = [*lines[:number], re.sub(r"([XYZ]-?)(\d)", r"\g<1>1\2", lines[number], count=1), *lines[number + 1 :]]
        for text in (dropped, twice, moved):
            proof = proof_of(case, "\n".join(text))
            assert "same blocks" in failed(proof), lines[number]


@pytest.mark.usefixtures("at_once")
def test_one_place_less_high_is_named(case: Case, twin: str) -> None:
    lines = twin.split("\n")
    number = max(n for n, line in enumerate(lines) if re.search(r"Z\d", line))
    value = re.search(r"Z([\d.]+)", lines[number])
    assert value is not None
    lines[number] = lines[number].replace(f"Z{value[1]}", f"Z{float(value[1]) - 0.5:g}")
    proof = proof_of(case, "\n".join(lines))
    assert proof["same blocks"].findings[0].line == number + 1


def test_a_twin_that_is_not_raised_enough(cases: dict[str, Case]) -> None:
    """Every Z is a millimetre too low: the same for all, but the deepest cut comes too near to the board."""
    case = cases["grbl-front-left"]
    twin = pk.air_cut(case.posted, case.machine).text
    low = re.sub(r"Z(\d+(?:\.\d+)?)", lambda m: f"Z{float(m[1]) - 5:.6g}", twin)
    assert failed(proof_of(case, low)) == {"above the wood"}


def test_a_twin_beyond_the_travel_of_z(cases: dict[str, Case]) -> None:
    case = cases["grbl-back-right"]
    twin = pk.air_cut(case.posted, case.machine).text
    low = case.machine.travel.low
    assert low is not None
    top = low[2] + case.machine.travel.z
    # The file's highest place, 20.5 mm above the bed, may just be reached; the twin's, 13.5 mm higher, may not.
    setup = pk.Setup(zero_at=(low[0], low[1], top - 21.0))
    assert failed(proof_of(case, twin, setup=setup)) == {"travel limits"}
    assert proof_of(case, twin, setup=pk.Setup(zero_at=low)).ok


def test_a_twin_for_a_spindle_switched_by_hand(job: pk.Job) -> None:
    machine = replace(pk.load_machine("grbl-front-left"), spindle=SpindleControl("manual"))
    program = pk.lower(job, machine)
    posted = pk.post(program, machine)
    assert pk.verify_twin(pk.air_cut(posted, machine), posted, machine).ok


def test_without_the_board_nothing_can_be_said(case: Case, twin: str) -> None:
    with pytest.raises(InputError, match="board"):
        verify_twin(twin, case.text, case.machine, case.capabilities)
    assert verify_twin(twin, case.text, case.machine, case.capabilities, stock=case.job.stock).ok


@pytest.mark.parametrize("line", ["G1X1", "G0X1Y-2.5Z.", "Z1Z2", "M3", "X1Z4S5", "G4P1", "Z", "Z-1.F3"])
def test_runs_of_blocks_are_plain_motion_and_nothing_else(line: str) -> None:
    plain = words._MOTION.fullmatch(line) is not None
    assert (words._PLAIN_LINES.fullmatch(f"G1X1\n{line}\nY2\n") is not None) == plain
    # A long line takes no longer than it is long, whatever comes at its end.
    assert words._PLAIN_LINES.fullmatch("Z1\n" * 20_000 + "Z" + "1" * 100_000 + "M\n") is None


def test_blocks(cases: dict[str, Case]) -> None:
    caps = cases["grbl-front-left"].capabilities
    text = b"%\nN10 G1 (M3) x1.50 Y-2\n\n(only words)\nM5\nG4 P3 S2\nX1..2\n"
    blocks = blocks_of(text, caps)
    assert [b.line for b in blocks] == [2, 5, 6, 7]
    assert [(letter, float(v)) for letter, v in blocks[0].words] == [("G", 1), ("X", 1.5), ("Y", -2)]
    assert [letter for letter, _ in blocks[3].words] == ["X1..2"]


def test_numbers_spelled_otherwise_are_the_same_and_comments_do_not_matter(case: Case, twin: str) -> None:
    spelled = re.sub(r"(?m)^(X[\d.]+)", r"( higher )  \1", twin).replace("G0 Z", "g00  z+0")
    assert proof_of(case, spelled)["same blocks"].status == "passed"
