"""The command line: what it writes, what it says, and how it leaves."""

from __future__ import annotations

import json
import os
import re
from pathlib import Path

import pytest

import pathkit as pk
from pathkit.cli.main import run
from pathkit.cli.showing import DONE, FAILED, WRONG
from pathkit.operations import contour, drill, rectangle

BIT = pk.Tool("4 mm end mill", 4.0, centre_cutting=True)
FEEDS = pk.Cutting(feed=1200.0, plunge=400.0, spindle=16000.0)


def small_job(name: str = "name plate") -> pk.Job:
    stock = pk.Stock(160, 100, 6, z_zero="bed", underlay=2)
    shape = rectangle((30, 25), 100, 50, radius=6)
    toolpaths = (
        *drill("hole", [(45, 50)], BIT, FEEDS, bottom=stock.underside - 0.3, peck=3),
        *contour("outline", shape, BIT, FEEDS, bottom=stock.underside - 0.3, stepdown=3),
    )
    return pk.Job(name, stock, toolpaths)


@pytest.fixture
def job_file(tmp_path: Path) -> Path:
    path = tmp_path / "plate.json"
    path.write_text(small_job().to_json(), encoding="utf-8")
    return path


@pytest.fixture
def built(job_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    out = tmp_path / "out"
    assert run(["build", str(job_file), "--machine", "grbl-front-left", "--out", str(out)]) == DONE
    capsys.readouterr()
    return out / "grbl-front-left"


def refused(words: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """The command must be refused with exit code 2 and one clear message, which is returned."""
    assert run(words) == WRONG
    said = capsys.readouterr().err
    assert said.startswith("error: ")
    assert "Traceback" not in said
    return said


def test_demo_makes_three_proved_folders_and_says_the_cautions(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    assert run(["demo", str(out)]) == DONE
    said = capsys.readouterr().out
    assert "stop button" in said
    reports = sorted(out.glob("*/*.proof.json"))
    assert len(reports) == 3
    for path in reports:
        report = json.loads(path.read_text())
        assert report["ok"] is True
        assert 0 <= report["deviation_mm"] < 0.01
        figures = report["figures"]
        assert figures["travel_mm"]["after"] < figures["travel_mm"]["before"]
        assert figures["run_time_s"]["after"] > 60
    assert run(["check", str(out / "portrait-inch")]) == DONE
    assert capsys.readouterr().out.count(": ok") == 2


def test_build_writes_the_job_after_its_passes_and_check_proves_the_file_with_it(
    built: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job_after = built / "name-plate.job.json"
    job = pk.Job.from_json(job_after.read_bytes())
    assert len(job.by_name["outline"].tabs) == 2
    words = ["check", str(built / "name-plate.nc"), "--machine", "grbl-front-left", "--job", str(job_after)]
    assert run(words) == DONE
    assert "passed" in capsys.readouterr().out


def test_the_same_input_gives_the_same_bytes(job_file: Path, built: Path, tmp_path: Path) -> None:
    again = tmp_path / "again"
    assert run(["build", str(job_file), "--machine", "grbl-front-left", "--out", str(again)]) == DONE
    for path in sorted(built.iterdir()):
        assert (again / "grbl-front-left" / path.name).read_bytes() == path.read_bytes()


@pytest.mark.parametrize("word", ["X", "Y", "Z"])
def test_a_flipped_digit_is_named_with_its_line(
    built: Path, word: str, capsys: pytest.CaptureFixture[str]
) -> None:  # fmt: skip
    path = built / "name-plate.nc"
    lines = path.read_text().splitlines(keepends=True)
    number = [n for n, line in enumerate(lines) if re.match(rf"[^(]*{word}-?\d", line)][-2]
    spot = re.search(rf"{word}-?(\d)", lines[number])
    assert spot is not None
    digit = "7" if spot[1] != "7" else "3"
    lines[number] = lines[number][: spot.start(1)] + digit + lines[number][spot.end(1) :]
    path.write_text("".join(lines))
    assert run(["check", str(path)]) == FAILED
    assert f"name-plate.nc:{number + 1}" in capsys.readouterr().out


def test_without_a_job_nothing_is_compared_and_that_fails_unless_asked_for(
    built: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    alone = tmp_path / "alone.nc"
    alone.write_bytes((built / "name-plate.nc").read_bytes())
    assert run(["check", str(alone), "--machine", "grbl-front-left"]) == FAILED
    assert "not compared" in capsys.readouterr().out
    assert run(["check", str(alone), "--machine", "grbl-front-left", "--rules-only"]) == DONE


def test_json_everywhere(job_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    for words in (
        ["build", str(job_file), "--machine", "grbl-front-left", "--out", str(out)],
        ["check", str(out)],
        ["time", str(out / "grbl-front-left" / "name-plate.nc"), "--machine", "grbl-front-left"],
        ["dialects"],
        ["machines"],
    ):
        assert run([*words, "--json"]) == DONE
        assert json.loads(capsys.readouterr().out)["ok"] is True
    assert run(["check", "nowhere.nc", "--json"]) == WRONG
    assert json.loads(capsys.readouterr().out)["ok"] is False


def test_build_refuses_what_is_wrong_and_writes_nothing(
    job_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    profile = tmp_path / "mine.toml"

    def build(machine: str, *more: str) -> str:
        return refused(["build", str(job_file), "--machine", machine, "--out", str(out), *more], capsys)

    assert "no machine is called 'grbl-frontleft'" in build("grbl-frontleft")
    assert "cannot be read" in build("gone.toml")
    profile.write_text("name = = 1")
    assert "mine.toml:1" in build(str(profile))
    profile.write_text(TOML.replace("[travel]", "[travels]"))
    assert "unknown key 'travels'" in build(str(profile))
    profile.write_text(TOML.replace('dialect = "grbl"', 'dialect = "gerbil"'))
    assert "no dialect is called 'gerbil'" in build(str(profile))
    profile.write_text(TOML.replace("x = 600", "x = 150"))
    assert "the board needs 160 mm along X" in build(str(profile))
    assert "--zero" in build("grbl-front-left", "--zero", "1,2")
    assert "Invalid value for '--turn'" in build("grbl-front-left", "--turn", "5")
    job_file.write_text("{}")
    assert "not a pathkit job" in build("grbl-front-left")
    assert not out.exists()


def test_foreign_files_are_not_overwritten_unasked(
    job_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "letter.txt").write_text("mine")
    words = ["build", str(job_file), "--machine", "grbl-front-left", "--out", str(out)]
    assert "letter.txt" in refused(words, capsys)
    assert [p.name for p in out.iterdir()] == ["letter.txt"]
    assert run([*words, "--force"]) == DONE
    assert (out / "letter.txt").read_text() == "mine"


def test_a_folder_that_cannot_be_written_is_left_as_it_was(
    job_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(descriptor: int) -> None:
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr(os, "fsync", full)
    out = tmp_path / "out"
    words = ["build", str(job_file), "--machine", "grbl-front-left", "--out", str(out)]
    assert "No space left" in refused(words, capsys)
    assert not out.exists()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["plate.json"]


@pytest.mark.parametrize("data", [b"Dear customer,\nthank you.\n", bytes(range(256)) * 9, b"", b"\x00" * 5000])
def test_what_is_no_cut_file_is_refused(tmp_path: Path, data: bytes, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "letter.nc"
    path.write_bytes(data)
    assert "not G-code" in refused(["check", str(path), "--machine", "grbl-front-left", "--rules-only"], capsys)


def test_a_machine_is_needed_where_no_certificate_lies(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "a.nc"
    path.write_text("G21\nG0 Z5\nM2\n")
    assert "--machine" in refused(["check", str(path)], capsys)


@pytest.mark.parametrize("words", [["cut"], ["build"], ["check"], ["demo", "a", "b"]])
def test_words_that_make_no_sense_are_refused(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert "Usage" in refused(words, capsys)


def commands_for(name: str, folder: Path) -> list[list[str]]:
    """What is left of the cut files of a job with this name once their comments are taken out."""
    job_file, out = folder / "job.json", folder / "out"
    job_file.write_text(small_job(name).to_json(), encoding="utf-8")
    machines = ("--machine", "grbl-front-left", "--machine", "portrait-inch")
    assert run(["build", str(job_file), "--out", str(out), *machines]) == DONE
    files = sorted(p for p in out.rglob("*") if p.suffix in (".nc", ".ngc") and "-air" not in p.name)
    texts = [re.sub(r"\([^)\n]*\)", "", p.read_bytes().decode("ascii")) for p in files]
    return [[line for line in text.splitlines() if line] for text in texts]


@pytest.fixture(scope="module")
def harmless(tmp_path_factory: pytest.TempPathFactory) -> list[list[str]]:
    """Those of a job whose name nobody could take for a command."""
    return commands_for("name plate", tmp_path_factory.mktemp("harmless"))


@pytest.mark.parametrize(
    "name", ["a)M3 S9000", "b;G0 Z-5", "%c", "d!~?", "Kästchen ß", "e\nM3\nG1 X0", "(MSG,f", "\x18"]
)
def test_a_job_name_can_never_become_a_command(name: str, harmless: list[list[str]], tmp_path: Path) -> None:
    assert len(harmless) == 2
    assert commands_for(name, tmp_path) == harmless


TOML = """
name = "mine"
dialect = "grbl"
origin = "front-left"
left_handed = false
[axes]
x = "right"
y = "away"
[travel]
x = 600
y = 400
z = 80
[motion]
rapid = [5000, 5000, 2000]
feed_limit = [4000, 4000, 1000]
acceleration = [400, 400, 200]
"""
