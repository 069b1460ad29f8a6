"""One archive of a handed-over folder: all of it, whole, and the same bytes every time."""

from __future__ import annotations

import os
import zipfile
from pathlib import Path

import pytest

from pathkit.cli.main import run
from pathkit.errors import InputError
from pathkit.handover.archive import write_archive, zipped
from pathkit.handover.atomic_write import MANIFEST, listed_in
from tests.small_jobs import DISC

ABOUT = """[about]
author = "the makerspace (M3)"
revision = "B"
date = "2026-11-27"
notes = ["<b>sand it</b>"]
supplies = ["birch plywood, 6 mm"]
"""
JOB = DISC.replace("[[part]]", f"{ABOUT}[[part]]")


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("archive")
    (folder / "disc.toml").write_text(JOB, encoding="utf-8")
    told = ["build", str(folder / "disc.toml"), "--machine", "grbl-front-left", "--out", str(folder / "out"), "--zip"]
    assert run(told) == 0
    return folder / "out"


def test_it_holds_all_that_was_built_and_can_be_proved_again(out: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(out.with_name("out.zip")) as archive:
        assert sorted(archive.namelist()) == sorted(f"out/{name}" for name in [*listed_in(out), MANIFEST])
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        archive.extractall(tmp_path)
    assert run(["check", str(tmp_path / "out")]) == 0


def test_the_same_files_give_the_same_bytes_whatever_their_times(out: Path) -> None:
    before = zipped(out)
    for name in listed_in(out):
        os.utime(out / name, (1e9, 1e9))
    assert zipped(out) == before == out.with_name("out.zip").read_bytes()


def test_what_was_changed_is_not_packed(out: Path, tmp_path: Path) -> None:
    copy = tmp_path / "out"
    with zipfile.ZipFile(out.with_name("out.zip")) as archive:
        archive.extractall(tmp_path)
    cut = copy / "grbl-front-left" / "disc.nc"
    cut.write_bytes(cut.read_bytes() + b"G0 Z-5\n")
    (copy / "index.html").unlink()
    with pytest.raises(InputError) as refused:
        zipped(copy)
    assert {Path(str(f.file)).name for f in refused.value.findings} == {"disc.nc", "index.html"}
    with pytest.raises(InputError, match="not written by a build"):
        zipped(tmp_path)


def test_another_file_in_its_place_stays_unless_forced(out: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(out.with_name("out.zip")) as archive:
        archive.extractall(tmp_path)
    theirs = tmp_path / "out.zip"
    theirs.write_bytes(b"theirs")
    with pytest.raises(InputError, match="is there already"):
        write_archive(tmp_path / "out")
    assert theirs.read_bytes() == b"theirs"
    assert write_archive(tmp_path / "out", force=True).read_bytes() == out.with_name("out.zip").read_bytes()


def test_who_made_it_stands_on_the_sheet_and_in_the_files_as_text_alone(out: Path) -> None:
    cut = (out / "grbl-front-left" / "disc.nc").read_text(encoding="utf-8")
    head = [line for line in cut.splitlines() if line.startswith("(")]
    # A bracket would end the comment, and what follows would be read: M3 starts a spindle.
    assert any("made by the makerspace" in line for line in head)
    assert any("revision B" in line for line in head)
    assert all(line.count("(") == line.count(")") == 1 and line.endswith(")") for line in head)
    sheet = (out / "grbl-front-left" / "setup-sheet.html").read_text(encoding="utf-8")
    assert "made by the makerspace (M3); revision B; of 2026-11-27." in sheet
    assert "&lt;b&gt;sand it&lt;/b&gt;" in sheet
    assert "birch plywood, 6 mm" in sheet
