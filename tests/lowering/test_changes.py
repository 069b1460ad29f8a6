"""Bit changes that can be done: up, to the place, spindle off, the stop; then nothing is taken for granted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from shapely.geometry import box

import pathkit as pk
from pathkit.errors import ProfileError
from pathkit.handover.build import build
from pathkit.handover.pages import sheet
from pathkit.machine.profile import Change, SpindleControl
from pathkit.model.stock import Zone
from pathkit.motion.program import Spindle, ToolChange
from pathkit.proof.checks import changes
from pathkit.readback.interpret import interpret

MILL = pk.Tool("4 mm end mill", 4.0, number=1, centre_cutting=True)
FINE = pk.Tool("3 mm drill", 3.0, number=2, kind="drill")
FEEDS = pk.Cutting(feed=1000.0, plunge=300.0, spindle=16000.0)
STOCK = pk.Stock(120.0, 80.0, 6.0, z_zero="bed", underlay=3.0)
BASE = 9.5 + 8.0
"""Travel height by hand: board and underlay, tolerance, 8 mm."""
CHANGE = Change(-20.0, 10.0, 6.0)


def hole(name: str, x: float, tool: pk.Tool, y: float = 30.0) -> pk.Toolpath:
    return pk.Toolpath(name, pk.Curve.point((x, y)), tool, FEEDS, bottom=4.0, role="drill", entry=pk.Plunge())


PATHS = (hole("a", 20.0, MILL), hole("b", 60.0, FINE), hole("c", 90.0, MILL))
JOB = pk.Job("two bits", STOCK, PATHS)


def machine_of(dialect: str = "rs274ngc", **output: object) -> pk.Machine:
    return replace(pk.load_machine("grbl-front-left"), dialect=dialect, change=CHANGE, output=output)


def failed(proof: pk.Proof) -> set[str]:
    return {check.name for check in proof.checks if check.status == "failed"}


def blocks(text: str) -> list[str]:
    return [line for line in text.splitlines() if line[0] not in "(;%"]


def test_up_to_the_place_off_and_then_the_stop() -> None:
    clamp = Zone(box(100.0, 0.0, 110.0, 10.0), "clamp", 12.0)
    job = replace(JOB, stock=replace(STOCK, zones=(clamp,)))
    program = pk.lower(job, machine_of())
    change = next(k for k, event in enumerate(program.event) if isinstance(event, ToolChange) and k > 5)
    row = int(program.event_at[change])
    over = BASE + 12.0
    assert program.end[row - 2].tolist() == [20.0, 30.0, over + 6.0], "straight up, over everything by 6 mm"
    assert program.end[row - 1].tolist() == [-20.0, 10.0, over + 6.0], "to the place"
    assert program.event[change - 1] == Spindle(0.0, 0)
    assert int(program.event_at[change - 1]) == row, "off there"
    assert program.end[row].tolist() == [-20.0, 10.0, over], "Z alone comes first"
    assert isinstance(program.event[change + 1], Spindle)
    assert int(program.event_at[change + 1]) > row, "on only when it is up"


def test_without_a_place_of_its_own_the_park_is_taken_and_without_both_the_bit_stays() -> None:
    parked = replace(machine_of(), change=None, park=(3.0, 4.0))
    assert [3.0, 4.0, BASE + 5.0] in pk.lower(JOB, parked).end.tolist()
    nowhere = replace(parked, park=None)
    assert [20.0, 30.0, BASE + 5.0] in pk.lower(JOB, nowhere).end.tolist()
    for machine in (parked, nowhere):
        program = pk.lower(JOB, machine)
        assert pk.verify(pk.post(program, machine), program, machine, job=JOB).ok


@pytest.mark.parametrize("dialect", ["grbl", "iso6983", "reprap", "rs274ngc", "csv"])
@pytest.mark.parametrize("way", ["files", "pause", "word"])
@pytest.mark.parametrize("homed", [False, True])
def test_every_controller_every_way(dialect: str, way: str, homed: bool) -> None:
    if way == "word" and dialect in ("grbl", "reprap"):
        pytest.skip("it has no word for a change")
    machine = replace(machine_of(dialect, tool_change=way), homed=homed, travel=replace(
        machine_of().travel, low=(-600.0, -400.0, -80.0)))  # fmt: skip
    stock = replace(STOCK, z_zero="top")
    job = pk.Job("two bits", stock, tuple(replace(path, bottom=-4.0) for path in PATHS))
    program = pk.lower(job, machine)
    posted = pk.post(program, machine)
    assert len(posted.files) == (3 if way == "files" else 1)
    proof = pk.verify(posted, program, machine, job=job)
    assert proof.ok, proof.findings
    assert proof["bit changes"].figures["changes"] == 2
    for air, cut in zip(pk.air_cut(posted, machine).each_file, posted.each_file, strict=True):
        assert pk.verify_twin(air, cut, machine).ok


def test_the_words_round_a_change_in_one_file() -> None:
    text = pk.post(pk.lower(JOB, machine_of(tool_change="pause")), machine_of(tool_change="pause")).text
    lines = blocks(text)
    at = lines.index("M0")
    before, after = ["G0 Z23.5", "X-20 Y10", "M5", "T2"], ["G0 Z17.5", "S16000 M3", "G4 P3", "G0 X60 Y30"]
    assert lines[at - 4 : at + 5] == [*before, "M0", *after]


def test_x_and_y_are_said_again_although_they_are_the_same() -> None:
    """The drill changes where it stands, and the mill begins at the very same place: the operator may have jogged."""
    machine = replace(machine_of(tool_change="pause"), change=None, park=None)
    job = pk.Job("one hole", STOCK, (hole("a", 60.0, FINE), replace(hole("b", 60.0, MILL), bottom=3.0)))
    program = pk.lower(job, machine)
    posted = pk.post(program, machine)
    lines = blocks(posted.text)
    at = lines.index("M0")
    assert [line for line in lines[at:] if set("XYZ") & set(line)][:2] == ["G0 Z17.5", "G0 X60 Y30"]
    proof = pk.verify(posted, program, machine, job=job)
    assert proof.ok, proof.findings
    assert pk.verify_twin(pk.air_cut(posted, machine), posted, machine).ok
    at = posted.text.index("M0\n")
    taken = posted.text[:at] + posted.text[at:].replace("G0 X60 Y30\n", "", 1)
    found = pk.verify(taken, program, machine, job=job)
    assert failed(found) == {"bit changes"}, "the same path, as long as nobody jogs"
    assert "not known" in found["bit changes"].findings[0].what


def test_a_file_is_read_again_from_stop_to_stop_and_every_stretch_of_it_once(monkeypatch: pytest.MonkeyPatch) -> None:
    machine = replace(machine_of(tool_change="pause"), change=None, park=None)
    drills = tuple(hole(f"{k}", 10.0 + 10.0 * k, (FINE, MILL)[k % 2]) for k in range(8))
    job = pk.Job("many", STOCK, drills)
    program = pk.lower(job, machine)
    text = pk.post(program, machine).text
    read: list[int] = []
    whole = interpret

    def counted(said: bytes, *rest: Any) -> Any:
        read.append(len(said))
        return whole(said, *rest)

    monkeypatch.setattr(changes, "interpret", counted)
    assert pk.verify(text, program, machine, job=job).ok
    assert len(read) == 7
    head = len(text[: text.index("G0 Z")])
    assert sum(read) < len(text) + 7 * (head + 20)
    # Whatever is taken for granted behind a stop is found at its own stop, behind each.
    stops = [at for at in range(len(text)) if text.startswith("M0\n", at)]
    for at in stops:
        begin = text.index("G0 X", at)
        found = pk.verify(text[:begin] + text[text.index("\n", begin) + 1 :], program, machine, job=job)
        assert {f.line for f in found["bit changes"].findings if "not known" in f.what} == {
            text[:begin].count("\n") + 1
        }


def moved(program: pk.Program, event: type, by: int) -> pk.Program:
    """The program with the events of a kind at the first change some rows earlier or later."""
    change = int([at for at, e in zip(program.event_at, program.event, strict=True) if isinstance(e, ToolChange)][1])
    at = np.array(program.event_at)
    for k, each in enumerate(program.event):
        if isinstance(each, event) and at[k] == change:
            at[k] += by
    order = np.argsort(at, kind="stable")
    return program.replace(event=tuple(program.event[k] for k in order), event_at=at[order])


def lowered_change(program: pk.Program) -> pk.Program:
    end = np.array(program.end)
    end[end[:, 2] > BASE + 1.0, 2] = BASE - 2.0
    return program.replace(end=end)


def elsewhere(program: pk.Program) -> pk.Program:
    end = np.array(program.end)
    end[end[:, 0] == -20.0, 0] = -19.0
    return program.replace(end=end)


FAULTS = (
    ("changed too low", lowered_change, "bit changes"),
    ("changed elsewhere", elsewhere, "bit changes"),
    ("the stop before the bit is up", lambda program: moved(program, ToolChange, -2), "bit changes"),
)


@pytest.mark.parametrize(("name", "fault", "caught_by"), FAULTS, ids=[fault[0] for fault in FAULTS])
@pytest.mark.parametrize("way", ["pause", "word", "files"])
def test_a_fault_in_the_moves_of_a_change(
    name: str, fault: Callable[[pk.Program], pk.Program], caught_by: str, way: str
) -> None:
    """The program is at fault and its file says the same, so that only the judgement of changes can see it."""
    machine = machine_of(tool_change=way)
    program = fault(pk.lower(JOB, machine))
    found = failed(pk.verify(pk.post(program, machine), program, machine, job=JOB))
    assert caught_by in found, (name, found)
    assert found <= {"bit changes", "job", "travel height", "first motion"}


def test_a_change_with_the_spindle_turning_or_without_a_stop_is_found() -> None:
    machine = machine_of("grbl", tool_change="pause")
    program = pk.lower(JOB, machine)
    text = pk.post(program, machine).text
    assert pk.verify(text, program, machine, job=JOB).ok
    turning = pk.verify(text.replace("M5\n", "", 1), program, machine, job=JOB)
    assert "the spindle turns while the bit is changed" in {f.what for f in turning["bit changes"].findings}
    unstopped = pk.verify(text.replace("M0\n", "", 1), program, machine, job=JOB)
    assert "goes on with another bit without a stop to change it" in {f.what for f in unstopped["bit changes"].findings}
    sideways = text[: (at := text.index("M0\n"))] + text[at:].replace("G0 Z17.5\n", "", 1)
    assert "bit changes" in failed(pk.verify(sideways, program, machine, job=JOB))


def test_grbl_takes_a_file_for_each_bit_and_warns_of_one() -> None:
    """Its documents: jogging is taken only when it is idle, not while it holds."""
    machine = machine_of("grbl")
    assert len(pk.post(pk.lower(JOB, machine), machine).files) == 3
    one = machine_of("grbl", tool_change="pause")
    warned = [f.what for f in pk.post(pk.lower(JOB, one), one).findings if f.severity == "warning"]
    assert warned == [f"while it waits for {name!r} this controller takes no jog and no zero" for name in
                      (FINE.name, MILL.name)]  # fmt: skip
    lying = machine_of("grbl", z_in_pause="yes")
    with pytest.raises(ProfileError, match="z_in_pause"):
        pk.post(pk.lower(JOB, lying), lying)


def test_a_manual_spindle_is_told_off_before_each_change() -> None:
    machine = replace(machine_of("grbl", tool_change="pause"), spindle=SpindleControl("manual"))
    program = pk.lower(JOB, machine)
    text = pk.post(program, machine).text
    off, fit = text.index("switch the spindle off"), text.index("put in bit 3 mm drill")
    assert text.index("X-20 Y10") < off < fit
    assert pk.verify(text, program, machine, job=JOB).ok


# --- the sheet ----------------------------------------------------------------------------------------------------


def steps_of(machine: pk.Machine, out: Path, job: pk.Job = JOB) -> list[str]:
    result = build(job, [machine], out)
    assert result.ok, result.findings
    return [step for step in sheet.steps(result.folders[0]) if step.startswith("Change")]


def test_every_change_is_a_step_of_the_sheet(tmp_path: Path) -> None:
    first, second = steps_of(machine_of("grbl"), tmp_path / "files")
    assert first == (
        "Change 1 of 2. When two-bits-1.nc has ended, the bit is up, at X -20 mm, Y 10 mm. The spindle is off: wait"
        " until it stands still. Without a bit and with the spindle off, run the air cut two-bits-2-air.nc. Fit 3 mm"
        " drill (T2). Below the collet it must reach at least 6 mm. Set Z zero again, on the bed; X and Y stay as they"
        " are. Then run two-bits-2.nc from its first line."
    )
    assert "Fit 4 mm end mill (T1)" in second
    assert "run two-bits-3.nc" in second


@pytest.mark.parametrize(
    ("dialect", "z", "told"),
    [
        ("grbl", None, "the controller takes no jog and no zero: do not try."),
        ("rs274ngc", None, "If your control takes a jog and a zero while it waits, do this now: Set Z zero again"),
        ("rs274ngc", "yes", "Set Z zero again, on the bed; X and Y stay as they are. Let the file go on"),
    ],
)
def test_the_step_names_the_line_and_how_z_is_set(dialect: str, z: str | None, told: str, tmp_path: Path) -> None:
    output = {"tool_change": "pause", **({} if z is None else {"z_in_pause": z})}
    machine = machine_of(dialect, **output)
    result = build(JOB, [machine], tmp_path / "out")
    folder = result.folders[0]
    steps = [step for step in sheet.steps(folder) if step.startswith("Change")]
    assert len(steps) == 2
    lines = folder.files[folder.cut_file].decode().splitlines()
    for step, line in zip(steps, folder.change_lines, strict=True):
        assert f"waits before its line {line}," in step
        assert f"it does so with line {line}." in step
        assert told in step
        assert lines[line - 1] == "G0 Z17.5"
        assert lines[line - 2] == "M0"
