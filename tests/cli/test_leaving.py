"""Commands that cannot finish: their exit codes, and that what they say is true."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from pathkit import api
from pathkit.cli.leaving import FAULT, INTERRUPTED
from pathkit.cli.main import main, run
from pathkit.cli.showing import DONE, WRONG
from pathkit.handover import journal
from tests.small_jobs import DISC


@pytest.fixture
def build(tmp_path: Path) -> list[str]:
    (tmp_path / "job.toml").write_text(DISC)
    return ["build", str(tmp_path / "job.toml"), "--machine", "grbl-front-left", "--out", str(tmp_path / "out")]


def alone(words: list[str], **more: Any) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "pathkit", *words]
    return subprocess.run(command, stderr=subprocess.PIPE, text=True, timeout=120, check=False, **more)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device of Linux")
@pytest.mark.parametrize("words", [["schema"], ["machines"], ["machines", "--json"], ["--help"]])
def test_a_full_disk_behind_standard_output(words: list[str]) -> None:
    with open("/dev/full", "w") as full:
        done = alone(words, stdout=full)
    assert done.returncode == WRONG
    assert done.stderr.startswith("error: standard output cannot be written: No space left on device")
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize("words", [["schema"], ["machines"]])
def test_a_pipe_that_nobody_reads_from(words: list[str]) -> None:
    read, write = os.pipe()
    os.close(read)
    done = alone(words, stdout=write)
    os.close(write)
    assert done.returncode == WRONG
    assert done.stderr.startswith("error: standard output cannot be written: Broken pipe")
    assert done.stderr.count("\n") == 1


def test_no_standard_output_at_all() -> None:
    done = subprocess.run(["sh", "-c", f"exec '{sys.executable}' -m pathkit machines >&-"], capture_output=True,
                          timeout=120, check=False)  # fmt: skip
    assert (done.returncode, done.stderr) == (DONE, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device of Linux")
def test_what_could_not_be_told_was_written_all_the_same(build: list[str], tmp_path: Path) -> None:
    with open("/dev/full", "w") as full:
        done = alone(build, stdout=full)
    assert done.returncode == WRONG
    assert f"{tmp_path / 'out'}: written whole before that" in done.stderr
    assert (tmp_path / "out" / "index.html").is_file()
    assert run(["check", str(tmp_path / "out")]) == DONE


def test_an_interrupt_leaves_nothing_and_says_so(
    build: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def interrupted(*_: object, **__: object) -> None:
        os.kill(os.getpid(), signal.SIGINT)

    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        monkeypatch.setattr(api, "air_cut", interrupted)
        assert run(build) == INTERRUPTED
        assert capsys.readouterr().err == "error: stopped; nothing was written\n"
        assert [p.name for p in tmp_path.iterdir()] == ["job.toml"]
        monkeypatch.undo()
        # The first file is in place already, the last is not: the first is taken back.
        monkeypatch.setattr(journal, "_flush_folder", interrupted)
        assert run(build) == INTERRUPTED
        assert capsys.readouterr().err == "error: stopped; nothing was written\n"
        assert [p.name for p in tmp_path.iterdir()] == ["job.toml"]
    finally:
        signal.signal(signal.SIGINT, before)


def test_an_interrupt_that_comes_too_late_says_what_was_written(
    build: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    real = shutil.rmtree
    called: list[Path] = []

    def late(place: Path, **more: Any) -> None:
        if str(place).endswith(journal.DONE) and (tmp_path / "out" / journal.DONE).exists() and not called:
            called.append(place)
            raise KeyboardInterrupt
        real(place, **more)

    monkeypatch.setattr(shutil, "rmtree", late)
    assert run(build) == INTERRUPTED
    assert capsys.readouterr().err == f"error: stopped; {tmp_path / 'out'}: written whole before that\n"
    assert called
    assert run(["check", str(tmp_path / "out")]) == DONE


def test_a_question_that_nobody_answers_is_no_interrupt(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def silent(*_: object) -> str:
        raise EOFError

    monkeypatch.setattr("click.termui.visible_prompt_func", silent)
    words = ["machine", "new", "--out", str(tmp_path / "m.toml")]
    assert run(words) == WRONG
    assert "a question was not answered; nothing was written" in capsys.readouterr().err


def test_a_fault_of_our_own_is_no_failed_check(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("pathkit.cli.listing.show_table", broken)
    with pytest.raises(SystemExit) as left:
        main(["machines"])
    assert left.value.code == FAULT
    assert "please report it" in capsys.readouterr().err


def test_help_is_shown_before_anything_slow_is_imported() -> None:
    """Whatever a command needs it imports when it runs: numpy alone takes longer than all of the help."""
    code = (
        "import sys, pathkit.cli.main; print(*{'numpy', 'numba', 'shapely', 'jinja2', 'pydantic'} & set(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == []
