"""The rehearsal shows a misread axis to the eye; its files stay in the air; the answer is kept, and can go stale."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

import pathkit as pk
from pathkit.cli.main import run
from pathkit.errors import InputError, Refused
from pathkit.handover.build import build
from pathkit.handover.rehearse import LETTER, record, rehearsal_findings, rehearse
from pathkit.machine.profile import Rehearsed, Sideways
from pathkit.testing.strategies import machines
from tests.demo import demo

PROFILES = Path(__file__).parents[2] / "posts" / "pathkit_posts" / "machines"
NAMES = ("grbl-front-left", "grbl-back-right", "portrait-inch")
DEMO = demo()
_COMPASS: dict[Sideways, tuple[int, int]] = {"right": (1, 0), "left": (-1, 0), "away": (0, 1), "toward": (0, -1)}


def seen(data: bytes, machine: pk.Machine) -> np.ndarray:
    """(k, 3): where a person at the front of the machine sees the bit go, from the text and the axes alone."""
    program = pk.read(data, machine.dialect).program
    place = program.end[np.isfinite(program.end).all(axis=1)]
    x, y = (np.array(_COMPASS[word]) for word in (machine.axes.x, machine.axes.y))
    z = place[:, 2] if machine.axes.z == "up" else -place[:, 2]
    return np.column_stack([place[:, :1] * x + place[:, 1:2] * y, z])


def letters(shape: np.ndarray) -> np.ndarray:
    """The plan of a stroke of six places, moved and scaled so that it can be compared."""
    plan = shape[: len(LETTER), :2] - shape[0, :2]
    return np.asarray(plan / np.abs(plan).max() * 5.0)


@settings(max_examples=20)
@given(machine=machines(), turn=st.sampled_from([0, 1, 2, 3]))
def test_the_letter_reads_on_every_machine_however_the_board_is_turned(machine: pk.Machine, turn: int) -> None:
    result = rehearse(DEMO, machine, pk.Setup(turn=turn))
    assert letters(seen(result.files[result.letter_file], machine)) == pytest.approx(np.array(LETTER), abs=1e-3)


@pytest.mark.parametrize("name", NAMES)
def test_a_wrong_axis_shows_as_a_letter_that_does_not_read(name: str) -> None:
    """Files for one machine, run on every other: the letter reads in only one of the eight ways a frame can lie."""
    machine = pk.load_machine(name)
    result = rehearse(DEMO, machine)
    reads = 0
    for x in _COMPASS:
        for y in _COMPASS:
            if np.dot(_COMPASS[x], _COMPASS[y]):
                continue
            other = replace(machine, axes=pk.Axes(x, y), left_handed=pk.Axes(x, y).left_handed)
            reads += np.allclose(letters(seen(result.files[result.letter_file], other)), LETTER, atol=1e-2)
    assert reads == 1


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("turn", [0, 1])
def test_the_rectangle_is_the_board_and_the_radius_and_all_is_in_the_air(name: str, turn: int) -> None:
    job = DEMO
    clamp = pk.Zone(box(0.0, 0.0, 20.0, 20.0), "clamp", 25.0)
    job = replace(job, stock=replace(job.stock, width=300.0, depth=200.0, zones=(clamp,)), toolpaths=job.toolpaths[:1])
    machine = pk.load_machine(name)
    result = rehearse(job, machine, pk.Setup(turn=turn))
    corners = seen(result.files[result.rectangle_file], machine)[:5]
    size = corners.max(axis=0) - corners.min(axis=0)
    sides = (304.0, 204.0) if turn == 0 else (204.0, 304.0)
    assert size[:2] == pytest.approx(sides, abs=0.01)
    for data in result.files.values():
        assert seen(data, machine)[:, 2].min() >= job.stock.highest_top + 25.0 + machine.heights.approach
        assert b"M3\n" not in data
        assert b"M4\n" not in data
    assert all(check.status == "passed" for proof in result.proofs for check in proof.checks)


def test_a_rectangle_that_is_too_large_is_refused() -> None:
    job = DEMO
    machine = pk.load_machine("grbl-front-left")
    small = replace(machine, travel=replace(machine.travel, x=441.0))
    with pytest.raises(Refused, match="path needs 444"):
        rehearse(job, small)


def test_sabotaged_rehearsals_are_caught() -> None:
    from pathkit import registry
    from pathkit.handover.rehearse import letter
    from pathkit.proof.rehearsal import verify_rehearsal

    machine = pk.load_machine("grbl-front-left")
    program = letter(DEMO, machine, pk.Setup())
    text = pk.post(program, machine).text
    faults = {
        "spindle stays off": text.replace("M0", "S9000 M3", 1),
        "in the air": text.replace("G1 Y", "G1 Z2 Y", 1),
        "same path": text.replace("G1 Y", "G1 X9 Y", 1),
        "first motion": text.replace("G0 Z20.5", "G0 Z1", 1),
        "end state": text.replace("M2\n", "", 1),
        "events": text.replace("M0\n", "", 1),
    }
    for caught_by, fault in faults.items():
        assert fault != text
        proof = verify_rehearsal(fault, program, machine, registry.capabilities_of(machine))
        assert caught_by in {check.name for check in proof.checks if check.status == "failed"}, caught_by


def profile(tmp_path: Path, more: str = "") -> Path:
    path = tmp_path / "mine.toml"
    path.write_text((PROFILES / "grbl-back-right.toml").read_text() + more)
    return path


def test_the_answer_is_kept_in_the_profile_and_nothing_else_is_touched(tmp_path: Path) -> None:
    path = profile(tmp_path)
    before = path.read_text()
    machine = record(path, letter_reads=True, rectangle_fits=True)
    assert path.read_text().startswith(before.rstrip())
    assert pk.load_machine(path) == machine
    assert machine.rehearsed == Rehearsed(True, True, machine.fingerprint)
    assert rehearsal_findings(machine) == ()
    record(path, letter_reads=False, rectangle_fits=True)
    assert path.read_text().count("[rehearsed]") == 1
    # Tables that follow it stay.
    path.write_text("[rehearsed]".join(path.read_text().split("[rehearsed]")) + '\n[output]\nprogram_end = "M30"\n')
    changed = record(path, letter_reads=True, rectangle_fits=False)
    assert changed.output["program_end"] == "M30"
    assert pk.load_machine(path).rehearsed == changed.rehearsed
    assert before.rstrip() in path.read_text()


def test_a_change_of_axes_makes_the_answer_stale(tmp_path: Path) -> None:
    path = profile(tmp_path)
    assert [f.severity for f in rehearsal_findings(pk.load_machine(path))] == ["note"]
    record(path, letter_reads=True, rectangle_fits=True)
    for old, new in (('origin = "back-right"', 'origin = "back-left"'), ('dialect = "grbl"', 'dialect = "rs274ngc"')):
        path.write_text(path.read_text().replace(old, new))
        (finding,) = rehearsal_findings(pk.load_machine(path))
        assert finding.severity == "warning"
        assert "changed since" in finding.what
        record(path, letter_reads=True, rectangle_fits=True)
    path.write_text(path.read_text().replace("rapid = [6000", "rapid = [5000"))
    assert rehearsal_findings(pk.load_machine(path)) == (), "speeds do not turn a letter round"


def test_build_warns_of_a_stale_answer_and_refuses_a_machine_that_mirrors(tmp_path: Path) -> None:
    whole = DEMO
    job = replace(whole, toolpaths=whole.toolpaths[2:3], parts=())
    machine = pk.load_machine("grbl-front-left")
    stale = replace(machine, rehearsed=Rehearsed(True, True, "0" * 16))
    built = build(job, [stale], tmp_path / "out", passes=[pk.RampEntries(angle=3.0)])
    assert any(f.check == "rehearsal" and f.severity == "warning" for f in built.findings)
    mirrors = replace(machine, rehearsed=Rehearsed(False, True, machine.fingerprint))
    with pytest.raises(Refused, match="does not read"):
        build(job, [mirrors], tmp_path / "other")
    assert not (tmp_path / "other").exists()


def test_a_table_that_cannot_be_set_is_left_alone(tmp_path: Path) -> None:
    path = profile(tmp_path)
    odd = 'rehearsed = {letter_reads = true, rectangle_fits = true, profile = "x"}\n' + path.read_text()
    path.write_text(odd)
    with pytest.raises(InputError, match="remove the table"):
        record(path, letter_reads=True, rectangle_fits=True)
    assert path.read_text() == odd
    with pytest.raises(InputError, match="cannot be read"):
        record(tmp_path / "none.toml", letter_reads=True, rectangle_fits=True)
    path.write_text(profile(tmp_path).read_text() + "[rehearsed]\nletter_reads = 1\n")
    with pytest.raises(InputError, match="letter_reads"):
        pk.load_machine(path)


def test_the_commands(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, path, out = tmp_path / "job.json", profile(tmp_path), tmp_path / "out"
    job.write_text(DEMO.to_json())
    assert run(["rehearse", str(job), "--machine", str(path), "--out", str(out), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert {told["letter_file"], told["rectangle_file"]} < {p.name for p in out.iterdir()}
    assert run(["rehearse", str(job), "--machine", str(path)]) == 2
    assert "--letter-reads" in capsys.readouterr().err
    answer = ["rehearse", "--machine", str(path), "--rectangle-fits", "yes", "--letter-reads"]
    assert run([*answer, "no"]) == 1
    assert "does not read" in capsys.readouterr().out
    assert run([*answer, "yes", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["ok"] is True
    assert "[rehearsed]" in path.read_text()


def test_a_zero_where_no_bit_can_stand_is_refused() -> None:
    """G92 at the start of a file sets zero where the bit stands; the demo has its zero on the bed, under a corner of
    the board."""
    machine = replace(pk.load_machine("grbl-front-left"), dialect="reprap")
    with pytest.raises(Refused, match="no bit can reach the bed"):
        rehearse(DEMO, machine)
    assert rehearse(replace(DEMO, stock=replace(DEMO.stock, z_zero="top"), toolpaths=()), machine).files
