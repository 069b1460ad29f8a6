"""pathkit tune: a cut file that was made elsewhere becomes a folder for another machine, or nothing at all.

The files are written by plain code (`files_elsewhere`), and what was made of them is read by plain code, too.
"""

from __future__ import annotations

import json
import math
import re
from pathlib import Path
from typing import Any

import pytest

from pathkit.cli.main import run
from pathkit.cli.showing import DONE, FAILED, WRONG
from tests.cli.files_elsewhere import (
    are_the_same,
    drills,
    ends_of_cuts,
    heights,
    plate,
    raster,
    spiral_in_increments_of_an_inch,
    two_bits,
)

FRONT, BACK = "grbl-front-left", "grbl-back-right"


# --- running it -------------------------------------------------------------------------------------------------------


def tuned(
    tmp_path: Path, text: str, *words: str, name: str = "old.nc", machine: str = FRONT, code: int = DONE
) -> dict[str, Any]:
    """What the command says as JSON; ``OUT`` is ``out`` beside the file, which must stay as it was."""
    source = tmp_path / name
    source.write_text(text, newline="")
    before = source.read_bytes(), source.stat().st_mtime_ns
    out = ["--machine", machine, "--out", str(tmp_path / "out"), "--json"]
    assert run(["tune", str(source), *out, *words]) == code
    assert (source.read_bytes(), source.stat().st_mtime_ns) == before
    return {}


@pytest.fixture
def tune(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Any:
    def told(text: str, *words: str, **how: Any) -> dict[str, Any]:
        tuned(tmp_path, text, *words, **how)
        said = capsys.readouterr()
        assert "Traceback" not in said.err
        values: dict[str, Any] = json.loads(said.out)
        return values

    return told


def text_of(tmp_path: Path, told: dict[str, Any]) -> str:
    (name,) = told["cut_files"]
    text: str = (tmp_path / "out" / name).read_text()
    return text


# --- what comes of it -------------------------------------------------------------------------------------------------


def test_holes_are_cut_where_they_were_with_less_travel(tune: Any, tmp_path: Path) -> None:
    told = tune(drills())
    assert told["ok"]
    assert told["after"]["travel_mm"] < 0.6 * told["before"]["travel_mm"]
    made = text_of(tmp_path, told)
    assert are_the_same(ends_of_cuts(drills()), ends_of_cuts(made), 1e-3)
    assert max(heights(made)) == 12.0
    assert {path.name for path in (tmp_path / "out").iterdir()} == {
        "old-tuned.nc", "old-tuned-air.nc", "old-tuned.nc.proof.json", "job.json", "sheet.html",
        "pathkit-manifest.json",
    }  # fmt: skip
    assert run(["check", str(tmp_path / "out"), "--json"]) == DONE


def test_another_corner_sees_the_same_board(tune: Any, tmp_path: Path) -> None:
    """Zero at the back right, X to the left and Y toward: x = width - X, y = depth - Y (geometry)."""
    told = tune(drills(), "--board", "200x120x6", "--bit", "3", machine=BACK)
    turned = {(200.0 - x, 120.0 - y, z) for x, y, z in ends_of_cuts(text_of(tmp_path, told))}
    assert are_the_same(ends_of_cuts(drills()), turned, 1e-3)


@pytest.mark.parametrize(("text", "name"), [(spiral_in_increments_of_an_inch(), "old.tap"), (raster(), "old.nc")])
def test_a_trace_is_cut_as_it_lies(text: str, name: str, tune: Any, tmp_path: Path) -> None:
    told = tune(text, "--bit", "1/8in", "--fit", "none", name=name)
    assert are_the_same(ends_of_cuts(text), ends_of_cuts(text_of(tmp_path, told)), 2e-3)


def test_short_lines_become_arcs(tune: Any, tmp_path: Path) -> None:
    """A circle of 300 lines."""
    turns = [k * math.pi / 150.0 for k in range(301)]
    circle = [(30.0 + 20.0 * math.cos(turn), 30.0 + 20.0 * math.sin(turn)) for turn in turns]
    lines = ["G21 G90 G94 G17", "M3 S9000", "G0 Z5.0", "X50.0 Y30.0", "G1 Z-2.0 F200"]
    lines += [f"X{x:.4f} Y{y:.4f} F900" for x, y in circle[1:]]
    told = tune("\n".join([*lines, "G0 Z5.0", "M5", "M30"]) + "\n", "--language", "de")
    assert told["after"]["lines"] < 40
    assert re.search(r"^G[23] ", text_of(tmp_path, told), re.MULTILINE)
    assert "Kurze Strecken wurden zu Bögen" in (tmp_path / "out/sheet.html").read_text()


def test_without_clamps_the_bit_travels_low(tune: Any, tmp_path: Path) -> None:
    high = heights(text_of(tmp_path, tune(plate(), "--bit", "6")))
    low = heights(text_of(tmp_path, tune(plate(), "--bit", "6", "--clamps", "none")))
    assert max(high) == 15.0
    assert max(low) < 15.0
    page = (tmp_path / "out/sheet.html").read_text()
    assert "you said that there are none" in page


def test_each_bit_has_its_file_and_its_chips(tune: Any, tmp_path: Path) -> None:
    told = tune(two_bits(), "--bit", "1=6", "--bit", "2=3", "--flutes", "1=2", "--board", "80x60x6")
    assert len(told["cut_files"]) == 2
    # feed = rpm · flutes · feed per tooth (Machinery's Handbook, chapter Speeds and Feeds; from memory).
    assert told["chip_mm"]["6 mm bit"]["before"] == pytest.approx(600.0 / (9000.0 * 2))
    assert told["chip_mm"].keys() == {"6 mm bit"}
    page = (tmp_path / "out/sheet.html").read_text()
    assert "how many flutes the 3 mm bit (2) has" in page
    assert "how many flutes the 6 mm bit (1) has" not in page
    assert run(["check", str(tmp_path / "out"), "--json"]) == DONE


def test_tabs_and_ramps_change_what_is_cut_and_say_so(tune: Any, tmp_path: Path) -> None:
    words = ["--bit", "6", "--board", "150x110x6", "--underlay", "3", "--tabs", "2", "--ramps", "3"]
    told = tune(plate(), *words)
    # At least one level of the outline goes up to the tabs' top, half a 6 mm board or 3 mm above its underside.
    assert -3.0 in heights(text_of(tmp_path, told))
    assert {check["name"]: check["status"] for check in told["checks"]}["same cuts"] == "not run"
    page = (tmp_path / "out/sheet.html").read_text()
    assert "does not cut the same" in page
    assert "cuts all that the file that was read cuts" not in page
    assert 'class="tabs"' in page


def test_people_read_what_changed_what_was_assumed_and_where_it_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    source, out = tmp_path / "old.nc", tmp_path / "out"
    source.write_text(drills())
    assert run(["tune", str(source), "--machine", FRONT, "--out", str(out)]) == DONE
    said = capsys.readouterr().out
    for words in (
        "travel", "before", "after", "the board is not known; assumed", "--board 300x200x6", "the diameter of the bit",
        "--bit 6", "Proved: it cuts what the file cuts", "Not proved: clamps, hold-down, the bit", "old-tuned.nc",
        "sheet.html", "Before you cut:", "eye and ear protection",
    ):  # fmt: skip
        assert words in said, words
    assert "comes loose" not in said, "nobody knows how wide the bit is"
    assert run(["tune", str(source), "--machine", FRONT, "--out", str(out), "--quiet"]) == DONE
    assert "note" not in capsys.readouterr().out


# --- the sheet --------------------------------------------------------------------------------------------------------


def test_the_sheet_says_only_what_applies(tune: Any, tmp_path: Path) -> None:
    tune(plate(depth=5.0))
    page = (tmp_path / "out/sheet.html").read_text()
    unknown = ("Not known: how large and how thick", "Not known: which bit", "Not known: whether pieces come loose")
    for words in (*unknown, "Not proved: clamps, hold-down, the bit.", "Not known: who made the file"):
        assert words in page, words
    assert "No bit takes more at once" not in page, "it would hold for a bit an inch wide"
    tune(plate(depth=5.0), "--board", "150x110x6", "--bit", "6", "--flutes", "2", "--source-zero", "front-left")
    page = (tmp_path / "out/sheet.html").read_text()
    assert [words for words in (*unknown, "how many flutes", "is taken to have its zero") if words in page] == []
    assert "No bit takes more at once" in page
    assert "Not known: what the board is made of" in page


def test_the_sheet_is_german_if_asked(tune: Any, tmp_path: Path) -> None:
    tune(plate(), "--language", "de", "--flutes", "2", "--bit", "6", "--spindle", "9000")
    page = (tmp_path / "out/sheet.html").read_text()
    assert '<html lang="de">' in page
    for words in ("Nicht geprüft: Spanner, Aufspannung, der Fräser.", "6 mm-Fräser", "unbekannt; angenommen"):
        assert words.lower() in page.lower(), words
    text = re.sub(r"<style>.*?</style>|<svg.*?</svg>|<[^>]*>", " ", page, flags=re.DOTALL)
    assert re.findall(r"\b(?:the|which|known|board|bit|file)\b", text) == []


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_sheet_takes_two_pages_at_most(language: str, page: Any, tune: Any, tmp_path: Path) -> None:
    tune(plate(), "--language", language)
    page.goto((tmp_path / "out/sheet.html").as_uri())
    for paper in ("A4", "Letter"):
        pdf = page.pdf(format=paper, print_background=True)
        assert len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf)) <= 2


# --- what is refused --------------------------------------------------------------------------------------------------

HEAD = "G21 G90 G94 G17\nM3 S9000\nG0 Z5.0\nX5.0 Y5.0\nG1 Z-2.0 F200\n"


@pytest.mark.parametrize(
    ("text", "words", "says"),
    [
        ("", [], "is not G-code"),
        (f"{HEAD}X5.0 A9", [], "A9 turns or tilts the work"),
        (HEAD.replace("M3 S9000\n", "") + "X9.0\nG0 Z5.0\nM30\n", [], "cut while the spindle is off"),
        (f"{HEAD}X50.0\nT2 M6\nG1 Y40.0\nG0 Z5.0\nM30\n", [], "changes within a cut"),
        (f"{HEAD}X-50.0\nG0 Z5.0\nM30\n", [], "zero is not at the front-left corner"),
        (HEAD.replace("Z-2.0", "Z4.0") + "X50.0\nG0 Z5.0\nM30\n", [], "--board 300x200x6 --zero top"),
        (f"{HEAD}X#1\n", [], "an expression or a parameter"),
        (plate(), ["--source-zero", "back-left"], "zero is not at the back-left corner"),
        (plate(), ["--source-zero", "corner"], "one of: front-left"),
        (plate(), ["--source-axes", "right,left,up"], "the same line"),
        (plate(), ["--source-axes", "north,away"], "say where the bit goes"),
        (plate(), ["--bit", "0"], "give a diameter"),
        (plate(), ["--bit", "6", "--bit", "1=3"], "contradicts another --bit"),
        (plate(), ["--flutes", "2"], "without its bit"),
        (plate(), ["--bit", "6", "--flutes", "x"], "how many cutting edges"),
        (two_bits(), ["--bit", "6"], "--bit 1=6 --bit 2=3.175"),
        (two_bits(), ["--bit", "1=6", "--bit", "7=3"], "--bit names 7"),
        (plate(), ["--board", "300x200"], "width, depth and thickness"),
        (plate(), ["--zero", "bed"], "--zero needs the board's size"),
        (plate(), ["--board", "150x110x6"], "--underlay 3"),
        (plate(), ["--fit", "0"], "give none, or mm above 0"),
        (plate(), ["--tabs", "2"], "--tabs needs to know the bit"),
        (plate(), ["--tabs", "2", "--bit", "6"], "how thick the board is"),
        (plate(depth=4.0), ["--tabs", "2", "--bit", "6", "--board", "150x110x6"], "leave out --tabs"),
        (plate(), ["--from", "grlb"], "did you mean 'grbl'"),
        (plate(), ["--machine", "nobody"], "nobody"),
    ],
)  # fmt: skip
def test_bad_input_is_refused_and_nothing_is_written(
    text: str, words: list[str], says: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tuned(tmp_path, text, *words, code=WRONG)
    said = capsys.readouterr()
    assert says in said.err
    assert not json.loads(said.out)["ok"]
    assert not (tmp_path / "out").exists()


def test_a_fault_is_shown_with_its_line_and_a_mark(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source = tmp_path / "old.nc"
    source.write_text(f"{HEAD}X5.0 A9\n")
    assert run(["tune", str(source), "--machine", FRONT, "--out", str(tmp_path / "out")]) == WRONG
    assert f"{source}:6:6: A9" in (said := capsys.readouterr().err)
    assert "     6 | X5.0 A9\n       |      ^\n" in said


def test_a_file_of_junk_is_refused_in_a_few_lines(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tuned(tmp_path, "\n".join(f"G1 X{k} U{k} Q??? #1=[4]" for k in range(5000)), code=WRONG)
    said = capsys.readouterr()
    assert "more faults like these" in said.err
    assert len(said.err.splitlines()) < 200


def test_another_corner_needs_the_board(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tuned(tmp_path, plate(), machine=BACK, code=WRONG)
    said = capsys.readouterr().err
    assert "'grbl-back-right' at the back-right one" in said
    assert "--board 300x200x6" in said


def test_what_cannot_be_proved_is_not_written(tune: Any, tmp_path: Path) -> None:
    """A board that is longer than the machine moves."""
    told = tune(plate(), "--board", "4000x3000x12", "--bit", "6", code=FAILED)
    assert not told["ok"]
    assert any("the machine moves" in finding["what"] for finding in told["findings"])
    assert not (tmp_path / "out").exists()


def test_a_truncated_file_is_told_of(tune: Any, tmp_path: Path) -> None:
    told = tune(f"{HEAD}X50.0\nY5")
    assert any("it may be cut short" in finding["what"] for finding in told["findings"])
    assert "it may be cut short (line 7 of the file that was read)" in (tmp_path / "out/sheet.html").read_text()


# --- nothing is overwritten -------------------------------------------------------------------------------------------


def test_what_was_made_of_another_file_is_not_overwritten(
    tune: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    tune(drills())
    made = {path.name: path.read_bytes() for path in out.iterdir()}
    tune(drills())
    assert {path.name: path.read_bytes() for path in out.iterdir()} == made, "the same input gives the same bytes"
    tuned(tmp_path, plate(), name="other.nc", code=WRONG)
    assert "made of another file" in capsys.readouterr().err
    tuned(tmp_path, drills(), machine=BACK, code=WRONG)
    capsys.readouterr()
    assert {path.name: path.read_bytes() for path in out.iterdir()} == made
    tune(plate(), "--force", name="other.nc")
    assert (out / "old-tuned.nc").read_bytes() == made["old-tuned.nc"]
    assert (out / "other-tuned.nc").exists()


def test_foreign_files_stay(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "sheet.html").write_text("mine")
    tuned(tmp_path, plate(), code=WRONG)
    assert "was not written by a build" in capsys.readouterr().err
    assert [path.name for path in out.iterdir()] == ["sheet.html"]


def test_the_file_that_was_read_is_never_replaced(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source = tmp_path / "old tuned.nc"
    source.write_text(plate())
    (tmp_path / "old-tuned.nc").symlink_to(source)
    words = ["--machine", FRONT, "--out", str(tmp_path), "--force"]
    assert run(["tune", str(source), *words]) == WRONG
    assert "would replace it" in capsys.readouterr().err
    assert source.read_text() == plate()
    (tmp_path / "old-tuned.nc").unlink()
    source = source.rename(tmp_path / "old-tuned.nc")
    assert run(["tune", str(source), *words]) == WRONG
    assert "would replace it" in capsys.readouterr().err
    assert source.read_text() == plate()


# --- text from outside ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["<script>alert(1)<b>.nc", "new\nline.nc", "M30) G1 Z-50.nc", '"&{{ 7*7 }}.nc'])
def test_a_name_is_never_a_command_or_markup(name: str, tune: Any, tmp_path: Path) -> None:
    comment = "<script>alert 2</script> M30 \x85G1 Z-50\x0bG1 Z-60"
    told = tune(plate(name=comment), name=name)
    (cut,), (air,) = told["cut_files"], told["air_files"]
    assert re.fullmatch(r"[a-z0-9.-]+", cut)
    for file in (cut, air):
        text = (tmp_path / "out" / file).read_bytes().decode("ascii")
        bare = re.sub(r"\([^()\n]*\)", "", text)
        assert re.fullmatch(r"(?:[GMXYZIJFSPT][-+.0-9]+|[ \n])*", bare)
        assert re.findall(r"M(?:2|30)\b", bare) == re.findall(r"M(?:2|30)\b", bare[-8:])
        assert min(heights(text)) >= -6.2
    page = (tmp_path / "out/sheet.html").read_text()
    assert "<script" not in page
    assert "alert 2" not in page
