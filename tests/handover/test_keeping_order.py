"""A build keeps the order of an earlier one where it is asked to, and says how much of it."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from pathkit.cli.main import run
from pathkit.cli.showing import DONE, WRONG
from pathkit.model.job import Job

ONE, OTHER = "grbl-front-left", "grbl-back-right"
LAYOUT = "\n[layout]\ncopies = 3\nmargin = 10\n"
CUT = f"{ONE}/key-tags.nc"


def order_of(out: Path) -> list[str]:
    return [path.name for path in Job.from_json((out / ONE / "key-tags.job.json").read_bytes()).toolpaths]


@pytest.fixture(scope="module")
def job(tags: str, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("job") / "job.toml"
    path.write_text(tags + LAYOUT, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def built(job: Path) -> Path:
    """A build of three copies."""
    out = job.parent / "out"
    assert run(["build", str(job), "--machine", ONE, "--out", str(out), "--seed", "1", "--quiet"]) == DONE
    return out


@pytest.fixture
def out(built: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(built, tmp_path / "out"))


def changed(job: Path, tmp_path: Path, old: str, new: str) -> Path:
    text = job.read_text(encoding="utf-8")
    assert old in text
    (tmp_path / "changed.toml").write_text(text.replace(old, new, 1), encoding="utf-8")
    return tmp_path / "changed.toml"


def keep(job: Path, out: Path, *more: str) -> int:
    return run(["build", str(job), "--machine", ONE, "--out", str(out), "--keep-order", str(out), *more])


def test_nothing_of_what_is_cut_changes_where_nothing_changed(
    job: Path, out: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    cut, sheet = ((out / ONE / name).read_bytes() for name in ("key-tags.nc", "setup-sheet.html"))
    assert keep(job, out) == DONE
    assert re.search(r"order of the earlier build: (\d+) of \1; new cuts: 0, cuts no longer", capsys.readouterr().out)
    assert (out / CUT).read_bytes() == cut
    assert b"earlier build" not in sheet + (out / ONE / "setup-sheet.html").read_bytes()
    before = (out / f"{CUT}.proof.json").read_bytes()
    assert keep(job, out) == DONE
    assert "0 changed" in capsys.readouterr().out
    assert (out / f"{CUT}.proof.json").read_bytes() == before


def test_what_is_still_there_stays_in_turn(
    job: Path, out: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A fourth copy on the same board, and another seed: the cuts of the first three keep their turns."""
    more = changed(job, tmp_path, "copies = 3", "copies = 4")
    before = order_of(out)
    assert keep(more, out, "--seed", "7") == DONE
    again = order_of(out)
    assert [name for name in again if name in before] == before
    assert len(again) == len(before) // 3 * 4
    assert f"{len(before)} of {len(before)}; new cuts: {len(before) // 3}," in capsys.readouterr().out
    assert run(["check", "--job", str(more), str(out)]) == DONE, "an earlier order makes nothing stale"
    told = json.loads((out / f"{CUT}.proof.json").read_bytes())["made_from"]
    assert re.fullmatch("[0-9a-f]{64}", told["earlier_order"])
    assert not any("tag 01" in step for step in told["passes"])


def test_without_the_option_a_build_does_not_look_at_what_is_there(job: Path, out: Path, tmp_path: Path) -> None:
    assert keep(job, out) == DONE
    fresh = tmp_path / "fresh"
    for each in (out, fresh):
        assert run(["build", str(job), "--machine", ONE, "--out", str(each), "--seed", "1", "--quiet"]) == DONE
    for path in fresh.rglob("*"):
        assert path.is_dir() or path.read_bytes() == (out / path.relative_to(fresh)).read_bytes()


def test_a_machine_that_was_not_there_is_ordered_anew(
    job: Path, out: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    two = ["build", str(job), "--machine", ONE, "--machine", OTHER, "--out", str(tmp_path / "two")]
    assert run([*two, "--keep-order", str(out), "--workers", "1"]) == DONE
    said = capsys.readouterr().out
    assert f"note: {OTHER}: it was not in the earlier build whose order is kept" in said
    assert "order of the earlier build" in said
    assert run([*two, "--keep-order", str(out), "--workers", "1"]) == DONE
    assert "2 finished before" in capsys.readouterr().out


def test_no_earlier_build_is_refused(job: Path, out: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert keep(job, tmp_path / "nothing") == WRONG
    assert f"no earlier build of {ONE} in" in capsys.readouterr().err
    assert not (tmp_path / "nothing").exists()
    unordered = changed(job, tmp_path, "[layout]", "[passes]\norder_travel = false\n[layout]")
    assert keep(unordered, out) == WRONG
    assert "travel is not ordered" in capsys.readouterr().err
    listed = out / ONE / "key-tags.job.json"
    listed.write_bytes(listed.read_bytes() + b"\n")
    assert keep(job, out) == WRONG
    assert "not the bytes that were proved" in capsys.readouterr().err
