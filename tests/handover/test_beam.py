"""A folder for a beam: labels of cable-tidy plates, with the cautions and steps of a beam."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from pathkit.cli.main import run
from pathkit.cli.showing import DONE
from pathkit.handover.pages.beam import OF_BITS
from pathkit.handover.pages.cautions import cautions
from pathkit.proof.verify import FOR_BITS
from tests.jobs.audit.test_beam_faults import LABELS

PROFILE = """
name = "bench beam"
dialect = "grbl-beam"
origin = "front-left"
left_handed = false
[axes]
x = "right"
y = "away"
z = "up"
[travel]
x = 400
y = 300
z = 60
[motion]
rapid = [6000, 6000, 1000]
feed_limit = [6000, 6000, 1000]
acceleration = [500, 500, 100]
[output]
speed = 255
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("beam")
    (place / "beam.toml").write_text(PROFILE, encoding="utf-8")
    (place / "labels.toml").write_text(LABELS + '[[machine]]\nprofile = "beam.toml"\n', encoding="utf-8")
    assert run(["build", str(place / "labels.toml"), "--out", str(place / "out")]) == DONE
    return place / "out"


def test_the_folder_is_built_and_proved_again_from_itself(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", str(folder)]) == DONE
    assert OF_BITS in capsys.readouterr().out
    proof = json.loads(next(folder.rglob("*.proof.json")).read_text(encoding="utf-8"))
    assert set(proof["cautions"]) == set(cautions(bit=False, beam=True))
    by_name = {check["name"]: check["status"] for check in proof["proof"]["checks"]} if "proof" in proof else {}
    assert not {name for name in FOR_BITS if by_name.get(name, "not run") != "not run"}


def test_the_file_has_the_profiles_full_power(folder: Path) -> None:
    text = next(path for path in folder.rglob("*.nc") if "-air" not in path.name).read_text(encoding="ascii")
    # 0.3 and 0.9 of S255, rounded: 76.5 lies between, and half goes to the even.
    assert set(re.findall(r"S(\d+)", text)) == {"0", "76", "230"}
    air = next(path for path in folder.rglob("*-air.nc")).read_text(encoding="ascii")
    assert not re.search(r"^[^(]*(S\d|M[34])", air, re.M)


def test_the_sheet_speaks_of_a_beam(folder: Path) -> None:
    sheet = next(folder.rglob("setup-sheet.html")).read_text(encoding="utf-8")
    for told in ("wavelength", "hydrogen chloride", "$30 = 255", "burns along the lines", "30 to 90 % of full power"):
        assert told in sheet
    for not_told in ("bit parks", "spindle has stopped", "goes straight down", "Fit blue beam", "Tie back hair"):
        assert not_told not in sheet
    index = (folder / "index.html").read_text(encoding="utf-8")
    assert "wavelength" in index
    assert "Tie back hair" not in index
    preview = next(folder.rglob("preview.html")).read_text(encoding="utf-8")
    assert "wavelength" in preview


def test_lines_of_the_file_are_explained(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = next(path for path in folder.rglob("*.nc") if "-air" not in path.name)
    lines = file.read_text(encoding="ascii").splitlines()
    for wanted in ("S0 M4", "M5"):
        assert run(["explain", str(file), str(lines.index(wanted) + 1)]) == DONE
        told = capsys.readouterr().out
        assert "spindle" not in told
        assert "the beam" in told
    burning = next(k for k, line in enumerate(lines, 1) if line.startswith("G1") and "S230" in line)
    assert run(["explain", str(file), str(burning)]) == DONE
    told = capsys.readouterr().out
    assert "burns" in told
    assert "90.2 % of the beam's full power" in told


def cut_file(folder: Path) -> Path:
    return next(path for path in folder.rglob("*.nc") if "-air" not in path.name)


def test_another_power_is_another_file(folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sent, returned = cut_file(folder), tmp_path / "returned.nc"
    returned.write_text(sent.read_text(encoding="ascii").replace("S76", "S90"), encoding="ascii")
    assert run(["differ", str(sent), str(returned)]) != DONE
    told = " ".join(capsys.readouterr().out.split())
    assert "burn with another power" in told
    assert "do NOT make the same moves" in told


def test_boards_burnt_by_a_beam_are_not_called_the_same(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = str(cut_file(folder))
    assert run(["compare", file, file]) != DONE
    assert "how deep that burns is not known" in capsys.readouterr().err


def test_a_file_that_starts_again_speaks_of_no_bit(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rest = tmp_path / "rest.nc"
    assert run(["resume", str(cut_file(folder)), "--from", "label 03 number", "--out", str(rest)]) == DONE
    told = capsys.readouterr()
    assert "new bit" not in told.out
    assert "put it in" not in told.err
    text = rest.read_text(encoding="ascii")
    assert "S0 M4" in text
    assert "M5" in text


HANDOUT = """
[handout]
dialects = ["grbl-beam"]
corners = ["front-left"]
directions = ["right away up"]
units = ["mm"]
[handout.machine]
travel = [400, 300, 60]
rapid = [6000, 1000]
feed_limit = [6000, 1000]
acceleration = [500, 100]
"""


def test_the_chooser_speaks_of_a_beam(tmp_path: Path) -> None:
    (tmp_path / "labels.toml").write_text(LABELS + HANDOUT, encoding="utf-8")
    assert run(["handout", str(tmp_path / "labels.toml"), "--out", str(tmp_path / "out")]) == DONE
    page = (tmp_path / "out" / "index.html").read_text(encoding="utf-8")
    assert "Lock the beam off, set zero" in page
    assert "the head go over the board" in page
    for of_a_bit in ("Take the bit out", "the bit go", "in your spindle", "Your bit, board", "-beam&#34;:"):
        assert of_a_bit not in page
