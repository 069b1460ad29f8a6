"""A file that was handed over is proved again from its text; a change in it is found, with its place."""

import json
import re
import shutil
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathkit import registry
from pathkit.errors import InputError
from pathkit.handover.recheck import read_motion, recheck
from pathkit.model.job import Job, Setup

CUT = "grbl-front-left/cable-tidy-plates.nc"
AIR = "grbl-front-left/cable-tidy-plates-air.nc"


@pytest.fixture
def copy(plate_folder: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(plate_folder, tmp_path / "out"))


def test_every_file_of_a_folder_is_proved_again(plate_folder: Path) -> None:
    results = recheck(plate_folder)
    assert len(results) == 6
    assert all(result.ok for result in results), [result.findings for result in results]
    assert {result.job for result in results} == {"cable-tidy plates"}
    open_ = {check.name for result in results for check in result.proof.checks if check.status != "passed"}
    # It was built from toolpaths: what a job file asks for cannot be judged.
    assert open_ == {"job as asked"}
    (single,) = recheck(plate_folder / AIR)
    assert single.file == str(plate_folder / AIR)
    assert single.ok
    assert json.dumps(single.as_dict())


@settings(max_examples=15 if settings().max_examples < 50 else 40)
@given(data=st.data())
def test_a_flipped_digit_is_named_by_its_line(
    plate_folder: Path, tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    name = data.draw(st.sampled_from([CUT, "portrait-inch/cable-tidy-plates.ngc", AIR]))
    out = tmp_path_factory.mktemp("flipped") / "out"
    shutil.copytree(plate_folder, out)
    path = out / name
    text = path.read_bytes()
    lines = text.split(b"\n")
    words = [
        (k, match.start(1) + i)
        for k, line in enumerate(lines)
        if not line.startswith(b"(")
        for match in re.finditer(rb"[XYZ](-?[\d.]+)", line)
        for i, byte in enumerate(match.group(1))
        if chr(byte).isdigit()
    ]
    k, at = data.draw(st.sampled_from(words))
    digit = lines[k][at : at + 1]
    other = data.draw(st.sampled_from([d for d in b"0123456789" if bytes([d]) != digit]))
    lines[k] = lines[k][:at] + bytes([other]) + lines[k][at + 1 :]
    path.write_bytes(b"\n".join(lines))
    (result,) = recheck(path)
    assert not result.ok
    assert any(f.line is not None and f.severity == "error" for f in result.proof.findings)
    assert k + 1 in {f.line for f in result.proof.findings}
    assert any("not the bytes that were proved" in f.what for f in result.added)


def test_a_harmless_change_is_still_not_what_was_proved(copy: Path) -> None:
    path = copy / CUT
    path.write_bytes(path.read_bytes().replace(b"(pathkit: plate 01 outline)", b"(pathkit: plate 01)"))
    (result,) = recheck(path)
    assert result.proof.ok
    assert not result.ok


def test_a_lost_or_changed_job_is_said(copy: Path) -> None:
    job_file = copy / "grbl-front-left/cable-tidy-plates.job.json"
    text = job_file.read_text()
    job_file.write_text(text.replace('"feed": 2560.0', '"feed": 2561.0'))
    (result,) = recheck(copy / CUT)
    assert {"feeds", "certificate"} <= {f.check for f in result.findings}
    job_file.unlink()
    (result,) = recheck(copy / CUT)
    assert any("job file is not there" in f.what for f in result.findings)
    assert any("not compared" in f.what for f in result.findings)
    (twin,) = recheck(copy / AIR)
    assert not twin.ok
    # The job may come from elsewhere.
    job_file.write_text(text)
    job = Job.from_json(text)
    job_file.unlink()
    (result,) = recheck(copy / CUT, job=job)
    assert result.ok


def test_without_a_certificate(copy: Path) -> None:
    (copy / f"{CUT}.proof.json").unlink()
    machine = registry.load_machine("grbl-front-left")
    with pytest.raises(InputError, match="no certificate beside"):
        recheck(copy / CUT)
    (bare,) = recheck(copy / CUT, machine=machine)
    assert not bare.ok
    assert any("not compared" in f.what for f in bare.findings)
    assert any("none" in line for line in bare.summary())
    (rules,) = recheck(copy / CUT, machine=machine, rules_only=True)
    assert rules.ok
    job = Job.from_json((copy / "grbl-front-left/cable-tidy-plates.job.json").read_text())
    assert recheck(copy / CUT, machine=machine, job=job)[0].ok
    assert not recheck(copy / CUT, machine=machine, job=job, setup=Setup(turn=1))[0].ok


def test_another_machine_is_another_cut(copy: Path) -> None:
    (result,) = recheck(copy / CUT, machine=registry.load_machine("grbl-back-right"))
    assert not result.ok


@pytest.mark.parametrize("data", [b"", b"hello", b"\x89PNG\r\n\x1a\n\0\0G1X1", bytes(range(256))])
def test_what_is_no_gcode_is_said_so(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "file.nc"
    path.write_bytes(data)
    machine = registry.load_machine("grbl-front-left")
    with pytest.raises(InputError, match="not G-code"):
        recheck(path, machine=machine)
    with pytest.raises(InputError, match="not G-code"):
        read_motion(path, machine)


def test_places_with_nothing_to_check(tmp_path: Path, copy: Path) -> None:
    with pytest.raises(InputError, match="is not there"):
        recheck(tmp_path / "missing.nc")
    (tmp_path / "empty").mkdir()
    with pytest.raises(InputError, match="no certificate"):
        recheck(tmp_path / "empty")
    with pytest.raises(InputError, match="cannot be read"):
        recheck(tmp_path / "missing.nc", machine=registry.load_machine("grbl-front-left"))
    renamed = copy / "grbl-front-left/other.nc"
    (copy / CUT).rename(renamed)
    with pytest.raises(InputError, match="cannot be read"):
        recheck(copy)
    (copy / f"{CUT}.proof.json").rename(f"{renamed}.proof.json")
    (copy / CUT).write_bytes(renamed.read_bytes())
    with pytest.raises(InputError, match="speaks of"):
        recheck(renamed)


def test_motion_of_a_file(plate_folder: Path) -> None:
    program = read_motion(plate_folder / CUT, registry.load_machine("grbl-front-left"))
    assert program.frame == "controller"
    assert len(program) > 100
