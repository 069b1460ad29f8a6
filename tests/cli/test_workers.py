"""``pathkit build --workers``: each machine as it comes, failing ones apart."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from pathkit.cli.main import run
from pathkit.cli.showing import DONE, WRONG

FEW = ("--machine", "grbl-front-left", "--machine", "grbl-back-right")


@pytest.fixture
def job(tags: str, tmp_path: Path) -> str:
    (tmp_path / "tags.toml").write_text(tags)
    return str(tmp_path / "tags.toml")


@pytest.mark.parametrize("workers", ["0", "2"])
def test_each_machine_is_told_and_a_second_run_skips_them(
    job: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], workers: str
) -> None:
    words = ["build", job, *FEW, "--workers", workers, "--out", str(tmp_path / "out")]
    assert run(words) == DONE
    said = capsys.readouterr().out
    assert "grbl-front-left: built\n  proved: yes" in said
    assert "2 built, 0 finished before, 0 failed" in said
    assert "Before you cut:" in said
    assert "Stay beside the machine while it runs" in said
    assert "grbl-back-right: Before you start a file, see that the bit stands no higher" in said
    assert run([*words, "--json"]) == DONE
    told = json.loads(capsys.readouterr().out)
    assert any("Stay beside the machine" in caution for caution in told["cautions"])
    assert [v["status"] for v in told["variants"]] == ["finished before"] * 2
    assert run(["check", str(tmp_path / "out")]) == DONE


def test_one_that_fails_stops_no_other(job: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bad = tmp_path / "slow.toml"
    text = (Path(__file__).resolve().parents[2] / "posts/pathkit_posts/machines/grbl-front-left.toml").read_text()
    bad.write_text(text.replace("grbl-front-left", "slow", 1) + "\n")
    from pathkit.registry import load_machine

    assert load_machine(bad).name == "slow"
    lines = [line for line in text.replace("grbl-front-left", "slow", 1).splitlines() if not line.startswith("max =")]
    at = lines.index("[spindle]") + 1
    bad.write_text("\n".join([*lines[:at], "max = 9000", *lines[at:]]))
    out = tmp_path / "out"
    assert run(["build", job, *FEW[:2], "--machine", str(bad), "--workers", "1", "--out", str(out)]) == WRONG
    said = capsys.readouterr().out
    assert "slow: failed\n  error: " in said
    assert "1 built, 0 finished before, 1 failed" in said
    assert not (out / "slow").exists()


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["--workers", "-1", "--out", "x"], "--workers is -1; give 0 or 1"),
        (["--out", "memory://x"], "add --workers 1"),
        (["--workers", "2", "--drop-others", "--out", "x"], "leave out --workers"),
        (["--workers", "two", "--out", "x"], "not a valid integer"),
        (["--workers", "1", "--out", "nowhere://x"], "cannot be used"),
    ],
)
def test_wrong_options_are_told(job: str, more: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["build", job, *FEW, *more]) == WRONG
    assert said in capsys.readouterr().err
