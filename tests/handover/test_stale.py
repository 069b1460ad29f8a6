"""What a changed job makes stale is named: which folder, and what changed."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from pathkit.cli.main import run
from pathkit.cli.showing import DONE, FAILED, WRONG
from pathkit.errors import InputError
from pathkit.handover.build import build_orders
from pathkit.handover.stale import stale
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.registry import load_machine

MACHINES = ("grbl-back-right", "grbl-front-left")
LAYOUT = "\n[layout]\ncopies = 2\nmargin = 10\n"


@pytest.fixture(scope="module")
def built(tags: str, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("built") / "out"
    build(tags + LAYOUT, out)
    return out


@pytest.fixture
def out(built: Path, tmp_path: Path) -> Path:
    """A copy that a test may change."""
    return Path(shutil.copytree(built, tmp_path / "out"))


def build(text: str, out: Path, **options: Any) -> None:
    machines = [load_machine(name) for name in MACHINES]
    orders = orders_of(job_file_of(text, "job.toml"), machines, **options)
    assert build_orders(orders, out).ok


def said(text: str, out: Path) -> list[str]:
    return [str(finding) for finding in stale(out, job_file_of(text, "job.toml"))]


def test_what_was_just_built_is_fresh(tags: str, out: Path) -> None:
    assert said(tags + LAYOUT, out) == []
    assert said("# a remark\n" + tags + LAYOUT, out) == [], "what is not cut is not stale"


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ("bottom.from_top = 2", "bottom.from_top = 2.5", "bottom of 4 cuts changed (tag 01 recess rows"),
        ("radius = 6", "radius = 7", "curve of 2 cuts changed (tag 01 outline, tag 02 outline)"),
        ("feed = 1400", "feed = 1500", "cutting of 8 cuts changed"),
        ("thickness = 6", "thickness = 6.5", "the stock changed"),
        ("copies = 2", "copies = 3", "4 cuts are new (tag 03 hole"),
        ("copies = 2", "copies = 2\nmargin = 11", None),
        ("[layout]", "[passes]\nhold_tabs.count = 3\n[layout]", "the passes changed"),
        ('name = "key tags"', 'name = "tags"', "the job is called 'tags'"),
        ("stepdown = 2", "stepdown = 1.5", "the order, the precedence or how a cut is entered changed"),
    ],
)
def test_a_change_names_every_folder_and_what_it_was(
    tags: str, out: Path, old: str, new: str, what: str | None
) -> None:
    text = tags + LAYOUT
    if what is None:
        text = text.replace("margin = 10\n", "")
    findings = said(text.replace(old, new, 1), out)
    assert len(findings) == len(MACHINES)
    for name, finding in zip(MACHINES, findings, strict=True):
        assert f"out/{name}: stale: " in finding
        assert what is None or what in finding, finding
        assert "key-tags.nc" in finding


def test_a_folder_built_for_another_bit_is_held_against_that_bit(tags: str, tmp_path: Path) -> None:
    build(tags + LAYOUT, tmp_path / "out", bits=["2mm"], effort=0, seed=3)
    assert said(tags + LAYOUT, tmp_path / "out") == []
    assert len(said(tags.replace("feed = 1400", "feed = 1600") + LAYOUT, tmp_path / "out")) == 2


def test_folders_that_are_missing_or_no_longer_made(tags: str, out: Path) -> None:
    more = tags + LAYOUT + '\n[[machine]]\nprofile = "portrait-inch"\n'
    assert any("it is not there" in each and "portrait-inch" in each for each in said(more, out))
    many = said((tags + LAYOUT).replace("copies = 2", "copies = 50"), out)
    assert all("no longer makes this folder" in each for each in many)
    with pytest.raises(InputError, match="no certificate"):
        said(tags, out.parent / "nowhere")


def test_a_recipe_that_was_tampered_with_is_refused(tags: str, out: Path) -> None:
    path = next(out.rglob("*.proof.json"))
    report = json.loads(path.read_text())
    path.write_text(json.dumps({**report, "made_from": {**report["made_from"], "bits": "2mm"}}))
    with pytest.raises(InputError, match="made from cannot be read"):
        said(tags + LAYOUT, out)
    path.write_text(json.dumps({**report, "made_from": 5}))
    assert any("does not say that it was made from a job file" in each for each in said(tags + LAYOUT, out))


def test_on_the_command_line(tags: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, out = tmp_path / "job.toml", tmp_path / "out"
    job.write_text(tags + LAYOUT)
    words = ["build", str(job), "--machine", "grbl-front-left", "--out", str(out)]
    assert run(words) == DONE
    assert run(["check", str(out), "--job", str(job)]) == DONE
    job.write_text((tags + LAYOUT).replace("feed = 1400", "feed = 1500"))
    capsys.readouterr()
    assert run(["check", str(out), "--job", str(job)]) == FAILED
    assert "stale: cutting of 8 cuts changed" in capsys.readouterr().out
    assert run(["check", str(out), "--job", str(job), "--json"]) == FAILED
    assert json.loads(capsys.readouterr().out)["stale"][0]["check"] == "stale"
    assert run(words) == DONE
    assert "changed: grbl-front-left/key-tags.nc\n" in capsys.readouterr().out
    assert run(["check", str(out), "--job", str(job)]) == DONE
    assert run(["check", str(next(out.rglob("*.nc"))), "--job", str(job)]) == WRONG


def test_build_from_a_job_file_on_the_command_line(
    tags: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job, out = tmp_path / "job.toml", tmp_path / "out"
    job.write_text(tags + '\n[[machine]]\nprofile = "portrait-inch"\n')
    assert run(["build", str(job), "--out", str(out), "--bit", "2mm"]) == DONE
    assert "built for a bit of 0.0787 in" in capsys.readouterr().out
    assert run(["build", str(job), "--out", str(tmp_path / "no"), "--bit", "6mm"]) == WRONG
    assert "the widest bit that fits has 3 mm" in capsys.readouterr().err
    assert not (tmp_path / "no").exists()
    job.write_text(tags.replace("feed", "fed").replace("diameter = 3", "diameter = 0"))
    assert run(["build", str(job), "--out", str(tmp_path / "no"), "--machine", "portrait-inch"]) == WRONG
    said = capsys.readouterr().err
    assert said.count("error: ") >= 3
    assert f"{job}:14" in said
    assert run(["schema", "--json"]) == DONE
    assert json.loads(capsys.readouterr().out)["title"] == "pathkit job file"
