"""How findings are shown: file by file, with the line they speak of; and how much is said at all."""

from __future__ import annotations

import io
import json
import os
import re
import subprocess
import sys
import time
from pathlib import Path

import pytest

from pathkit.api import every_check
from pathkit.cli.main import cli, run
from pathkit.cli.progress import Progress
from pathkit.cli.showing import DONE, FAILED, WRONG, tell
from pathkit.cli.source_lines import SourceLines
from pathkit.findings import Finding
from pathkit.handover.comparing import Known, compare
from pathkit.handover.recheck import recheck
from tests.small_jobs import DISC


def shown(path: Path, line: int, column: int | None = None) -> list[str]:
    return SourceLines().shown(Finding(check="a", what="b", file=str(path), line=line, column=column))


@pytest.fixture
def narrow(monkeypatch: pytest.MonkeyPatch) -> int:
    monkeypatch.setenv("COLUMNS", "40")
    return 40


@pytest.fixture
def folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """A folder that was built without a word."""
    (tmp_path / "job.toml").write_text(DISC)
    words = ["build", str(tmp_path / "job.toml"), "--machine", "grbl-front-left", "--out", str(tmp_path / "out")]
    assert run([*words, "--quiet"]) == DONE
    said = capsys.readouterr()
    assert (said.out, said.err) == ("", "")
    return tmp_path / "out"


# --- the line and the mark ----------------------------------------------------------------------------------------


def test_the_mark_stands_under_the_column(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_text("a = 1\nwidth = = 3\n")
    assert shown(path, 2, 9) == ["     2 | width = = 3", "       |         ^"]
    assert shown(path, 1) == ["     1 | a = 1"]


@pytest.mark.parametrize(
    "text",
    [
        "name = \t\x1b[31m@", "name = 木の板 @", "name = e\u0301\u0301 @", "x" * 300 + "@" + "y" * 300,
        "木" * 300 + "@", "@" + "z" * 300,
    ],
)  # fmt: skip
def test_whatever_the_line_holds_the_mark_is_under_its_column_and_nothing_is_too_wide(
    text: str, tmp_path: Path, narrow: int
) -> None:
    """By another reckoning: what is printed up to the mark, in columns of the terminal, is as long as what stands
    before it."""
    path = tmp_path / "a.toml"
    path.write_text(text + "\n", encoding="utf-8")
    line, mark = shown(path, 1, text.index("@") + 1)
    before = line[: line.index("@")]
    columns = sum(0 if each == "\u0301" else 2 if "\u2e80" <= each <= "\u9fff" else 1 for each in before)
    assert mark.index("^") == columns
    assert sum(0 if each == "\u0301" else 2 if "\u2e80" <= each <= "\u9fff" else 1 for each in line) <= narrow


@pytest.mark.parametrize("text", ["a\x1b]0;title\x07b", "a\u202eb", "a\rb", "a\x00b", "a\u2028b", "a\x9bb"])
def test_nothing_in_a_line_can_steer_the_terminal(text: str, tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_bytes(text.encode("utf-8") + b"\n")
    (line,) = shown(path, 1)
    assert line.isprintable()
    assert line.startswith("     1 | a")


def test_bytes_that_are_no_text_and_letters_that_the_output_lacks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.nc"
    path.write_bytes(b"G1 \xff\xfe X\xe6\x9c\xa8 1\n")
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(io.BytesIO(), encoding="cp1252"))
    (line,) = shown(path, 1)
    assert line.endswith("1")
    line.encode("cp1252")


def test_what_cannot_be_read_shows_nothing(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_text("a\n\n")
    assert shown(path, 2) == []
    assert shown(path, 9) == []
    assert shown(tmp_path, 1) == []
    assert shown(tmp_path / "gone", 1) == []
    assert shown(path.rename(tmp_path / "a.svg"), 1) == []


def test_findings_stand_file_by_file_in_the_order_of_lines(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    one, other = str(tmp_path / "one"), str(tmp_path / "other")
    places = [(one, 30), (other, 2), (None, None), (one, 4)]
    tell(Finding(check=f"c{k}", what=f"fault {k}", file=file, line=line) for k, (file, line) in enumerate(places))
    assert re.findall("fault .", capsys.readouterr().out) == ["fault 3", "fault 0", "fault 1", "fault 2"]


def test_a_wrong_job_file_is_shown_where_it_is_wrong_but_not_in_json(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "job.toml"
    path.write_text(DISC.replace("thickness = 6,", "thickness = = 6,"))
    words = ["build", str(path), "--machine", "grbl-front-left", "--out", str(tmp_path / "out")]
    assert run([*words, "--quiet"]) == WRONG
    line, text, mark = capsys.readouterr().err.splitlines()
    assert line.startswith(f"error: {path}:3:23: not TOML")
    assert text == '     3 | stock = { thickness = = 6, z_zero = "bed", underlay = 2 }'
    assert text[mark.index("^")] == "="
    assert run([*words, "--json"]) == WRONG
    said = capsys.readouterr()
    assert "stock" not in said.out + said.err
    assert json.loads(said.out)["findings"][0]["column"] == 23


def test_lines_of_files_that_nobody_named_are_not_shown(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A job from somebody else may name any file as its tool table: what stands there is not for its eyes."""
    inside, secret = tmp_path / "jobs", tmp_path / "secret"
    inside.mkdir()
    for path in (secret, tmp_path / "secret.toml", inside / "bits.toml", inside / "bits"):
        path.write_text("password = = 1\n")
    (inside / "link.toml").symlink_to(secret)
    job = inside / "job.toml"
    tables = [
        (str(secret), False),
        ("../secret.toml", False),
        ("link.toml", False),
        ("bits", False),
        ("bits.toml", True),
    ]
    for table, seen in tables:
        job.write_text(f"tool_table = {table!r}" + DISC.replace("tools.mill", "tools.other"))
        assert run(["build", str(job), "--machine", "grbl-front-left", "--out", str(tmp_path / "out")]) == WRONG
        said = capsys.readouterr().err
        assert "not TOML" in said
        assert ("password" in said) is seen, table


# --- how much is said ---------------------------------------------------------------------------------------------


def test_alone_it_prints_its_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert run([]) == DONE
    said = capsys.readouterr().out
    assert said.startswith("Usage: pathkit")
    assert all(re.search(rf"^  {name} ", said, re.M) for name in cli.commands)
    for group in ("job", "machine", "dialect"):
        assert run([group]) == DONE
        assert capsys.readouterr().out.startswith(f"Usage: pathkit {group}")


def test_quiet_checks_say_only_what_is_wrong(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = folder / "grbl-front-left" / "disc.nc"
    for words in (["check", str(folder)], ["compare", str(file), str(file)]):
        assert run([*words, "--quiet"]) == DONE
        both = capsys.readouterr()
        assert (both.out, both.err) == ("", "")
    file.write_text(file.read_text().replace("X40", "X41", 1))
    assert run(["check", str(folder), "--quiet"]) == FAILED
    said = capsys.readouterr().out
    assert said.startswith(f"{file}: FAILED\n  error: ")
    assert "checks:" not in said
    assert re.search(r"^ +\d+ \| .*X41", said, re.M)


@pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo terminal")
def test_no_color_is_honoured() -> None:
    import pty

    ahead, behind = pty.openpty()
    environment = {**os.environ, "NO_COLOR": "1", "TERM": "xterm-256color"}
    done = subprocess.run([sys.executable, "-m", "pathkit", "machines"], stdout=behind, stderr=behind, env=environment,
                          timeout=120, check=False)  # fmt: skip
    os.close(behind)
    said = os.read(ahead, 100_000).decode()
    os.close(ahead)
    assert done.returncode == DONE
    assert "grbl-front-left" in said
    # Bold is no colour: 30 to 49 and 90 to 107 are.
    numbers = [int(n) for code in re.findall(r"\x1b\[([0-9;]*)m", said) for n in code.split(";") if n]
    assert not [n for n in numbers if 30 <= n <= 49 or 90 <= n <= 107]


def test_a_shell_that_asks_gets_its_completions_and_nothing_else(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("_PATHKIT_COMPLETE", "bash_complete")
    monkeypatch.setenv("COMP_WORDS", "pathkit j")
    monkeypatch.setenv("COMP_CWORD", "1")
    assert run([]) == DONE
    said = capsys.readouterr()
    assert (said.out, said.err) == ("plain,job\n", "")
    monkeypatch.setenv("_PATHKIT_COMPLETE", "bash_source")
    assert run([]) == DONE
    said = capsys.readouterr()
    assert "_pathkit_completion()" in said.out
    assert said.err == ""


# --- progress -----------------------------------------------------------------------------------------------------


def test_a_check_tells_how_far_it_is(folder: Path) -> None:
    told: list[tuple[int, int, str]] = []
    results = recheck(folder, progress=lambda *each: told.append(each))
    assert all(result.ok for result in results)
    shares = [done / total for done, total, _ in told]
    assert shares == sorted(shares)
    assert 0.0 == shares[0] < shares[-1] <= 1.0
    names = [message.removeprefix("grbl-front-left: ") for _, _, message in told]
    assert names[0] == "reading"
    # Every check of the proof that was run has had its turn.
    run_here = {c.name for c in results[0].proof.checks if c.status == "passed"}
    assert run_here & {one.name for one in every_check()} <= set(names)
    assert len(run_here) > 20
    assert [result.proof.as_dict() for result in results] == [r.proof.as_dict() for r in recheck(folder)]


def test_a_comparison_tells_how_far_it_is(folder: Path) -> None:
    file = folder / "grbl-front-left" / "disc.nc"
    told: list[str] = []
    assert compare(file, file, Known(), Known(), progress=lambda done, total, what: told.append(f"{done}/{total}")).ok
    assert told == ["0/3", "1/3", "2/3"]


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(("seconds", "seen"), [(0.0, False), (0.3, True)])
def test_a_bar_is_shown_only_for_what_takes_long(seconds: float, seen: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    screen = Terminal()
    monkeypatch.setattr(sys, "stderr", screen)
    monkeypatch.setenv("TERM", "xterm")
    with Progress(silent=False, after=0.1) as progress:
        assert progress is not None
        progress(1, 2, "gouges [bold]")
        time.sleep(seconds)
    assert ("gouges [bold]" in screen.getvalue()) is seen


def test_no_bar_where_nobody_looks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", io.StringIO())
    with Progress(silent=False) as progress:
        assert progress is None
    monkeypatch.setattr(sys, "stderr", Terminal())
    with Progress(silent=True) as progress:
        assert progress is None
