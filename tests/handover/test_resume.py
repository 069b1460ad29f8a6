"""Starting again: from a toolpath on, the rest of a job makes the same cuts, and only where that is safe."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import pathkit as pk
from pathkit.cli.main import run
from pathkit.errors import InputError, Refused, UnknownName
from pathkit.handover.recheck import recheck
from pathkit.handover.resume import needs, rest_of, resume
from tests.demo import demo

CUT = "grbl-front-left/cable-tidy-plates.nc"
INCH = "portrait-inch/cable-tidy-plates.ngc"


def job_of(plate_folder: Path, file: str) -> pk.Job:
    path = plate_folder / file
    return pk.Job.from_json((path.parent / "cable-tidy-plates.job.json").read_bytes())


def cuts(program: pk.Program, names: set[str]) -> np.ndarray:
    """Ends, arcs and feeds of every cutting move of these toolpaths."""
    rows = [
        k
        for k in np.flatnonzero(program.kind != pk.RAPID)
        if program.toolpath[k] >= 0 and program.names[program.toolpath[k]] in names
    ]
    return np.column_stack([program.end, program.centre, program.sweep, program.feed])[rows]


@pytest.mark.parametrize("file", [CUT, INCH])
def test_every_toolpath_after_a_pocket_can_be_started_from(plate_folder: Path, file: str) -> None:
    """The moves that are left are bit for bit those of the whole job from there on, as read from the files."""
    job = job_of(plate_folder, file)
    machine = pk.load_machine(Path(file).parent.name)
    whole = pk.lower(job, machine)
    begun = 0
    for index, path in enumerate(job.toolpaths):
        if needs(job, index):
            assert path.role == "finish", "only a wall leans on its raster here"
            continue
        names = {p.name for p in job.toolpaths[index:]}
        rest = pk.lower(rest_of(job, index), machine)
        assert np.array_equal(cuts(rest, names), cuts(whole, names), equal_nan=True)
        begun += 1
    assert begun >= 6


def test_it_says_what_its_machine_needs_before_the_start(plate_folder: Path) -> None:
    """Travel height by hand, nothing on a homed machine, and the zero itself where the files set it."""
    by_hand = resume(plate_folder / CUT, "plate 01 outline", "rest.nc")
    machine = by_hand.machine
    travel = replace(machine.travel, low=(0.0, 0.0, -machine.travel.z))
    homed = replace(by_hand, machine=replace(machine, homed=True, travel=travel))
    own = replace(by_hand, machine=replace(machine, dialect="reprap"))
    (height,) = set(by_hand.before_you_resume) - set(homed.before_you_resume)
    (place,) = set(own.before_you_resume) - set(homed.before_you_resume)
    assert height.startswith("Before you start a file, see that the bit stands no higher than Z ")
    assert place.startswith("The files take as X0 Y0 Z0 the place where the bit is when they start.")
    assert by_hand.as_dict()["before_you_resume"] == list(by_hand.before_you_resume)


def test_what_to_do_and_the_page_are_in_the_language_asked_for(
    plate_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["resume", str(plate_folder / CUT), "--from", "plate 01 slot", "--out", str(tmp_path / "rest.nc")]
    assert run([*words, "--language", "de"]) == 0
    told = capsys.readouterr().out
    assert "Fahren Sie zuerst den Luftschnitt der neuen Datei" in told
    assert "Run the air cut" not in told
    assert '<html lang="de"' in (tmp_path / "rest-preview.html").read_text(encoding="utf-8")
    english = resume(plate_folder / CUT, "plate 01 slot", "rest.nc")
    assert (tmp_path / "rest.nc").read_bytes() == english.files["rest.nc"]
    assert b'<html lang="en"' in english.files["rest-preview.html"]


@pytest.mark.parametrize("file", [CUT, INCH])
def test_a_resumed_file_sets_everything_anew_and_is_proved_again(plate_folder: Path, file: str, tmp_path: Path) -> None:
    name = f"rest{Path(file).suffix}"
    result = resume(plate_folder / file, "plate 01 outline", name)
    assert result.proof.ok
    assert result.twin_proof.ok
    assert result.assumed == tuple(p.name for p in job_of(plate_folder, file).toolpaths if p.name != "plate 01 outline")
    assert "taken to be cut" in result.findings[0].what
    lines = [line for line in result.files[name].decode("ascii").split("\n") if line[:1] not in ("(", "%")]
    before = (plate_folder / file).read_text().split("\n")
    # Units and modes are word for word those of the whole file; then come Z alone, spindle, wait, and last X and Y.
    assert all(line in before for line in lines[:2])
    first = [next(k for k, line in enumerate(lines) if word in line) for word in ("G0 Z", "M3", "G4 P", "X")]
    assert first == sorted(first)
    for each, data in result.files.items():
        (tmp_path / each).write_bytes(data)
    assert [one.ok for one in recheck(tmp_path)] == [True, True]


def test_from_the_first_toolpath_the_whole_job_comes_out(plate_folder: Path) -> None:
    job = job_of(plate_folder, CUT)
    result = resume(plate_folder / CUT, job.toolpaths[0].name, "again.nc")
    assert result.job.toolpaths == job.toolpaths
    assert result.job.parts == job.parts
    assert result.assumed == ()
    moves = [line for line in result.files["again.nc"].split(b"\n") if not line.startswith(b"(")]
    assert moves == [line for line in (plate_folder / CUT).read_bytes().split(b"\n") if not line.startswith(b"(")]


def test_a_wall_without_its_raster_is_refused_with_a_place_to_start(plate_folder: Path) -> None:
    with pytest.raises(Refused) as raised:
        resume(plate_folder / CUT, "plate 01 recess wall", "rest.nc")
    (finding,) = raised.value.findings
    assert finding.toolpath == "plate 01 recess wall"
    assert "start from 'plate 01 recess rows'" in finding.fix


def test_a_cut_that_begins_below_the_top_needs_what_is_above_it() -> None:
    bit = pk.Tool("6 mm end mill", 6.0, centre_cutting=True)
    stock = pk.Stock(200.0, 100.0, 12.0, underlay=3.0)
    line = pk.Curve.polyline([(20.0, 20.0), (120.0, 20.0)])

    def cut(name: str, top: float | None, bottom: float, y: float = 0.0) -> pk.Toolpath:
        curve = pk.Curve.polyline(line.points + np.array([0.0, y]))
        return pk.Toolpath(
            name, curve, bit, pk.Cutting(feed=900.0, plunge=300.0, spindle=16000.0), top=top, bottom=bottom
        )

    job = pk.Job("board", stock, (cut("above", None, -3.0), cut("beside", None, -3.0, 40.0), cut("below", -3.0, -6.0)))
    assert needs(job, 0) == ()
    for index in (1, 2):
        (finding,) = needs(job, index)
        assert finding.toolpath == "below"
        assert "'above'" in finding.what
        assert "'above'" in finding.fix
    # What is above has been taken from elsewhere too: nothing that was left out is needed.
    again = pk.Job("board", stock, (*job.toolpaths[:2], cut("above again", None, -3.0), job.toolpaths[2]))
    assert needs(again, 2) == ()
    # A chain of cuts: a safe start is at its beginning.
    chain = pk.Job("board", stock, (*job.toolpaths, cut("deepest", -6.0, -9.0)))
    assert "'above'" in needs(chain, 3)[0].fix


def test_parts_are_judged_only_where_the_whole_of_them_is_cut() -> None:
    whole = demo()
    order = sorted(whole.toolpaths, key=lambda p: p.part or "")
    job = whole.with_toolpaths(tuple(order))
    second = next(k for k, p in enumerate(order) if p.part == "plate 02")
    assert [p.name for p in rest_of(job, second).parts] == [p.name for p in whole.parts[1:]]
    assert [p.name for p in rest_of(job, second + 1).parts] == [p.name for p in whole.parts[2:]]
    # Without the names of parts, the places of the cuts decide.
    nameless = job.with_toolpaths(tuple(replace(p, part=None) for p in order))
    assert [p.name for p in rest_of(nameless, second).parts] == [p.name for p in whole.parts[1:]]


def test_refusals_say_what_to_do(plate_folder: Path, tmp_path: Path) -> None:
    with pytest.raises(UnknownName, match="plate 01 slot"):
        resume(plate_folder / CUT, "plate 01 slit", "rest.nc")
    with pytest.raises(InputError, match="name the cut file"):
        resume(plate_folder / "grbl-front-left/cable-tidy-plates-air.nc", "plate 01 slot", "rest.nc")
    with pytest.raises(InputError, match="choose another"):
        resume(plate_folder / CUT, "plate 01 slot", "-rest;.nc")
    lone = tmp_path / "lone.nc"
    lone.write_bytes((plate_folder / CUT).read_bytes())
    with pytest.raises(InputError, match="no certificate"):
        resume(lone, "plate 01 slot", "rest.nc")
    for name in ("cable-tidy-plates.nc", "cable-tidy-plates.nc.proof.json", "cable-tidy-plates.job.json"):
        (tmp_path / name).write_bytes((plate_folder / "grbl-front-left" / name).read_bytes())
    changed = tmp_path / "cable-tidy-plates.nc"
    changed.write_bytes(re.sub(rb"F\d+", b"F777", changed.read_bytes(), count=1))
    with pytest.raises(InputError, match="changed since"):
        resume(changed, "plate 01 slot", "rest.nc")


def test_the_command_writes_five_files_and_never_over_others(
    plate_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["resume", str(plate_folder / CUT), "--from", "plate 01 slot", "--out", str(tmp_path / "rest.nc")]
    assert run([*words, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["ok"] is True
    written = {"rest.nc", "rest-air.nc", "rest.job.json", "rest.nc.proof.json", "rest-preview.html"}
    assert {p.name for p in tmp_path.iterdir()} == written
    assert run(words) == 0, "the same bytes again are no harm"
    assert "taken to be cut" in capsys.readouterr().out
    (tmp_path / "rest.nc").write_text("mine")
    assert run(words) == 2
    assert "there already" in capsys.readouterr().err
    assert (tmp_path / "rest.nc").read_text() == "mine"
    assert run([*words, "--force"]) == 0
    report = json.loads((tmp_path / "rest.nc.proof.json").read_bytes())
    assert report["resumed"]["from"] == "plate 01 slot"
    assert run(["resume", str(plate_folder / CUT), "--from", "no such", "--out", str(tmp_path / "x.nc")]) == 2
