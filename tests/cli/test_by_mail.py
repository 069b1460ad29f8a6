"""Support by mail on the command line: what it prints, and how it leaves."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from pathkit.cli.main import run
from pathkit.cli.showing import DONE, FAILED, WRONG

ALONE = b"(a hole)\nG21 G90 G94 G17 G54\nG0 Z5\nS9000 M3\nG0 X10 Y10\nG1 Z-2 F300\nG0 Z5\nM5\nM2\n"


@pytest.fixture
def sent(tmp_path: Path) -> Path:
    path = tmp_path / "sent.nc"
    path.write_bytes(ALONE)
    return path


def explained(words: list[str], capsys: pytest.CaptureFixture[str], code: int = DONE) -> str:
    assert run(["explain", *words]) == code
    said = capsys.readouterr()
    assert "Traceback" not in said.err
    return said.out if code == DONE else said.err


def test_a_line_is_explained_as_text_and_as_json(sent: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = explained([str(sent), "6", "--machine", "grbl-front-left"], capsys)
    assert "Line 6 moves straight down to Z -2 at 300 mm/min." in text
    assert "Word by word:" in text
    told = json.loads(explained([str(sent), "6", "--machine", "grbl-front-left", "--json"], capsys))
    assert told["ok"] is True
    assert told["kind"] == "move"
    assert told["words"][1] == {"word": "Z-2", "means": "to Z -2 mm, counted from the work zero"}
    assert 0 < told["share"] < 1
    assert told["cautions"][0]["check"] == "certificate"


def test_a_message_is_explained(sent: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = [str(sent), "6", "--machine", "grbl-front-left"]
    assert "error:22 says: the line cuts, and no feed has been set. Most likely:" in explained(
        [*words, "--message", "22"], capsys
    )
    told = json.loads(explained([*words, "--alarm", "1", "--json"], capsys))
    assert told["message"]["code"] == "ALARM:1"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["10", "--machine", "grbl-front-left"], "give a line from 1 to 9"),
        (["0", "--machine", "grbl-front-left"], "give a line from 1 to 9"),
        (["six", "--machine", "grbl-front-left"], "not a valid integer"),
        (["6"], "say for which machine it is with --machine"),
        (["6", "--machine", "nobody"], "nobody"),
        (["6", "--machine", "grbl-front-left", "--message", "99"], "give one from 1 to 38"),
    ],
)
def test_wrong_questions_are_refused(
    sent: Path, words: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:  # fmt: skip
    assert says in explained([str(sent), *words], capsys, WRONG)


def test_what_a_file_holds_never_reaches_the_terminal_as_it_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:  # fmt: skip
    path = tmp_path / "hostile.nc"
    path.write_bytes(b"G21\n(\x1b]0;title\x07\x9b31m\xff)\nG1 \x1b[2JX1\n")
    for line in ("2", "3"):
        for more in ([], ["--json"]):
            text = explained([str(path), line, "--machine", "grbl-front-left", *more], capsys)
            assert all(character.isprintable() or character == "\n" for character in text)


def differs(words: list[str], capsys: pytest.CaptureFixture[str], code: int) -> str:
    assert run(["differ", *words]) == code
    said = capsys.readouterr()
    assert "Traceback" not in said.err
    return said.err if code == WRONG else said.out


def test_differ_leaves_with_0_for_the_same_moves_1_for_others_2_for_what_is_no_cut_file(
    sent: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    back, machine = tmp_path / "back.nc", ["--machine", "grbl-front-left"]
    back.write_bytes(ALONE.replace(b"\n", b"\r\n"))
    assert "They differ only in line ends." in differs([str(sent), str(back), *machine], capsys, DONE)
    back.write_bytes(ALONE.replace(b"Z-2", b"Z-3"))
    assert "They do NOT make the same moves." in differs([str(sent), str(back), *machine], capsys, FAILED)
    told = json.loads(differs([str(sent), str(back), *machine, "--json"], capsys, FAILED))
    assert told["ok"] is False
    assert told["places"][0]["returned"] == [{"line": 6, "text": "G1 Z-3 F300"}]
    assert "say for which machine it is with --machine" in differs([str(sent), str(back)], capsys, WRONG)
    assert "is not there" in differs([str(sent), str(tmp_path / "none.nc"), *machine], capsys, WRONG)
    assert "it is a folder" in differs([str(sent), str(tmp_path), *machine], capsys, WRONG)


def test_hostile_names_and_lines_come_out_as_plain_text(
    sent: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    back = tmp_path / "back\x1b[31m.nc"
    back.write_bytes(ALONE.replace(b"G0 X10", b"\x1b]0;x\x07G0 \xffX10"))
    for more in ([], ["--json"]):
        text = differs([str(sent), str(back), "--machine", "grbl-front-left", *more], capsys, FAILED)
        assert all(character.isprintable() or character == "\n" for character in text)
