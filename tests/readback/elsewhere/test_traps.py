"""What is wrong with a file as a whole is told, with its line and column."""

from __future__ import annotations

import pytest

import pathkit as pk

HEAD = "G21 G90 G94 G17\nM3 S9000\nG0 Z5\nG0 X0 Y0\nG1 Z-1 F300\nG1 X9.5\n"
END = "G0 Z5\nM5\nM30\n"


def told(text: str, dialect: str | None = None) -> list[tuple[str, int | None, int | None]]:
    found = pk.read_any(text, dialect).findings
    assert all(f.severity != "error" for f in found)
    return [(f.check, f.line, f.column) for f in found]


def test_a_sound_file_is_told_nothing() -> None:
    assert told(HEAD + END) == []
    assert told(HEAD + "G0 Z5\nM5\n") == []
    assert told(HEAD + "G0 Z5\nM5") == [("cut short", 8, 1)]


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        (HEAD, 6, ["ends with a cut", "spindle is left on"]),
        (HEAD + "G1 X12.", 7, ["last line has no end"]),
        (HEAD + "G0 Z5\n", 7, ["spindle is left on"]),
        ("%\n" + HEAD + "G0 Z5\nM5\n", 9, ["% opens"]),
    ],
)
def test_cut_short(text: str, line: int, words: list[str]) -> None:
    (found,) = pk.read_any(text).findings
    assert (found.check, found.line) == ("cut short", line)
    assert "may be cut short" in found.what
    for part in words:
        assert part in found.what


def test_a_file_cut_short_anywhere_is_refused_or_remarked_on() -> None:
    whole = HEAD + END
    silent = []
    for count in range(1, len(whole)):
        try:
            if not pk.read_any(whole[:count]).findings:
                silent.append(whole[:count])
        except pk.InputError as error:
            assert error.findings  # noqa: PT017 - either outcome is right
    # Only the word for the end, or its line end, is missing from these; the bit is up, and the spindle stands.
    assert silent == [HEAD + "G0 Z5\nM5\n", HEAD + "G0 Z5\nM5\nM30"]


def test_cut_short_within_a_word() -> None:
    with pytest.raises(pk.InputError, match="may be cut short") as caught:
        pk.read_any(HEAD + "G1 X12.5 Y")
    assert [(f.line, f.column) for f in caught.value.findings] == [(7, 10)]


def test_where_the_controller_asks_for_an_end() -> None:
    assert told(HEAD + "G0 Z5\nM5\n", "rs274ngc") == [("cut short", 8, 1)]
    assert told(HEAD + "G0 Z5\nM5\n", "grbl") == []


def test_a_file_that_goes_on_behind_its_end() -> None:
    assert ("after the end", 12, 3) in told(HEAD + END + "\n\n  G1 X5\n", "rs274ngc")
    assert told(HEAD + END + "\n%\n  \n", "rs274ngc") == []


@pytest.mark.parametrize(
    ("change", "down"),
    [
        ("M6 T2\n", True),
        ("G0 Z5\nM6 T2\n", False),
        ("G1 Z5\nM6 T2\n", False),
        ("G0 Z0.5\nM6 T2\n", True),
        ("G28 Z5\nT2 M6\nG0 Z5\nG0 X0 Y0\n", False),
        ("G53 G0 Z-1\nT2 M6\nG0 Z5\n", False),
    ],
)
def test_a_bit_that_is_changed_while_it_is_down(change: str, down: bool) -> None:
    text = "T1 M6\n" + HEAD + change + "M3\nG0 Z5\nX3.5\nG1 Z-1\n" + END
    found = [each for each in told(text) if each[0] == "bit changed while down"]
    line = next(k for k, words in enumerate(text.splitlines(), 1) if "T2" in words)
    assert found == ([("bit changed while down", line, 1)] if down else [])


def test_a_spindle_that_never_turns() -> None:
    assert told(HEAD.replace("M3 S9000", "S9000") + END) == [("spindle off", 5, 1)]
    assert told("G21 G90\nM3 S100\nG0 Z5\nM5\nM2\n") == [("no moves", None, None)]
    assert told("G21 G90\nM3 S100\nM5\nM2\n") == [("no moves", None, None)]


def test_units_that_change() -> None:
    text = HEAD + "G0 Z5\n(now) G20 G0 X1\n" + END
    assert told(text) == [("mixed units", 8, 7)]
    assert "in inches from here" in pk.read_any(text).findings[0].what
    assert told(HEAD + "G21\nG71\n" + END) == []


def test_modes_that_stay_on() -> None:
    assert told(HEAD + "G0 Z5\nX1\nG91\nX1\nM5\n") == [("G91 left on", 9, 1)]
    found = told(HEAD + "G0 Z5\nG91 G28 Z0\nG90 G0 X4 Y4\nG0 Z5\nM5\nM30\n")
    assert "G91 left on" not in [check for check, *_ in found]
    assert ("G91 left on", 9, 4) in told(HEAD + "G0 Z5\nG91 G28 Z0\nG0 X4 Y4\nG90\nG0 Z5\nX1 Y1\nM5\nM30\n")
    assert told(HEAD + "G92 X5\nG1 X7.5\n" + END) == [("G92 left on", 7, 1)]
    assert told(HEAD + "G92 X5\nG1 X7.5\nG92.1\n" + END) == []


def test_a_second_work_offset() -> None:
    text = HEAD.replace("G17", "G17 G54") + "G0 Z5\nG55 G0 Z5\nG0 X3 Y3\n" + END
    assert told(text) == [("work offsets", 8, 1)]
    assert told(text.replace("G55", "G54")) == []
