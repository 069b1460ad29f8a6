"""pathkit tune: bits that are not flat, and feeds that follow the load.

Files are written by plain code; feeds of what is made of them are read by plain code, too.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from pathkit.cli.main import run
from pathkit.cli.showing import DONE, WRONG
from tests.cli.files_elsewhere import two_bits

BOARD = ("--board", "140x140x6")
OWN = 1000.0
"""mm/min along every cut of `zigzag`."""


def zigzag(rows: int = 26, step: float = 4.0) -> str:
    """A recess in rows: the first one is a slot, the others take two thirds of the bit's width."""
    lines = ["G21 G90 G17", "S12000 M3", "G0 Z5", "G0 X10 Y10", "G1 Z-1 F300", f"G1 X110 F{OWN:g}"]
    for row in range(1, rows):
        lines += [f"G1 Y{10.0 + row * step:.1f}", f"G1 X{10 if row % 2 else 110}"]
    return "\n".join([*lines, "G0 Z5", "M5", "M30", ""])


@pytest.fixture
def tune(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Any:
    def told(text: str, *words: str) -> dict[str, Any]:
        (tmp_path / "old.nc").write_text(text)
        out = ["--machine", "grbl-front-left", "--out", str(tmp_path / "out"), "--force", "--json"]
        assert run(["tune", str(tmp_path / "old.nc"), *out, *words]) == DONE
        values: dict[str, Any] = json.loads(capsys.readouterr().out)
        return values

    return told


def bits(tmp_path: Path) -> dict[int | None, tuple[Any, ...]]:
    job = json.loads((tmp_path / "out" / "job.json").read_text())
    return {
        each.get("number"): (each.get("kind", "flat"), each["diameter"], each.get("angle"))
        for each in (path["tool"] if isinstance(path["tool"], dict) else job["tools"][path["tool"]]
                     for path in job["toolpaths"])
    }  # fmt: skip


@pytest.mark.parametrize(
    ("words", "wanted", "named"),
    [
        (["--ball", "1/4in"], ("ball", 6.35, None), "6.35 mm ball-nosed bit"),
        (["--vee", "12x60"], ("vee", 12.0, 60.0), "12 mm vee bit of 60°"),
        (["--vee", "1/2in X 22.5°"], ("vee", 12.7, 22.5), "12.7 mm vee bit of 22.5°"),
        (["--bit", "6"], ("flat", 6.0, None), "6 mm bit"),
    ],
)
def test_a_bit_is_what_it_is_called(
    tune: Any, tmp_path: Path, words: list[str], wanted: tuple[Any, ...], named: str
) -> None:
    told = tune(zigzag(6), *BOARD, *words)
    assert told["ok"]
    assert bits(tmp_path) == {None: wanted}
    sheet = (tmp_path / "out" / "sheet.html").read_text(encoding="utf-8")
    assert named in sheet
    assert ("flat ends" in sheet) is (wanted[0] == "flat")


def test_each_number_may_be_a_bit_of_another_kind(tune: Any, tmp_path: Path) -> None:
    told = tune(two_bits(), *BOARD, "--ball", "1=6", "--vee", "2=3x60", "--flutes", "2=1")
    assert told["ok"]
    assert bits(tmp_path) == {1: ("ball", 6.0, None), 2: ("vee", 3.0, 60.0)}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--ball", "0"], "--ball is '0'; give a diameter up to 50 mm: --ball 6, --ball 1/4in, --ball 1=6"),
        (["--vee", "60"], "--vee is '60'; give its diameter up to 50 mm and its full angle up to 170 degrees"),
        (["--vee", "6x0"], "--vee 12x60, --vee 1/2inx60, --vee 1=12x60"),
        (["--vee", "6x180"], "full angle up to 170 degrees"),
        (["--vee", "6xnan"], "full angle up to 170 degrees"),
        (["--bit", "6", "--ball", "5"], "--ball 5 contradicts another bit; give one for all, --ball 6, or one for"),
        (["--bit", "1=6", "--vee", "1=6x60"], "--vee 1=6x60 contradicts another bit"),
        (["--steady", "0.7"], "--steady needs to know the bit; give it too, as in --bit 6"),
        (
            ["--bit", "6", "--steady", "0.1"],
            "--steady is '0.1'; give the least share of the file's own feeds, from 0.3",
        ),
        (["--bit", "6", "--steady", "0.7-3"], "up to 2, as in --steady 0.7-1.2"),
        (["--bit", "6", "--steady", "1"], "--steady is '1'"),
        (["--bit", "6", "--steady", "much"], "--steady is 'much'"),
    ],
)
def test_what_makes_no_sense_is_refused_before_anything_is_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], words: list[str], said: str
) -> None:
    out = ["--machine", "grbl-front-left", "--out", str(tmp_path / "out")]
    assert run(["tune", str(tmp_path / "there is none.nc"), *out, *words]) == WRONG
    assert said in " ".join(capsys.readouterr().err.split())


def feeds_along(tmp_path: Path, told: dict[str, Any]) -> set[float]:
    """The feeds of level cuts, as a plain reader of words sees them."""
    (name,) = told["cut_files"]
    feed, found, motion = 0.0, set(), ""
    for line in re.sub(r"\(.*?\)", "", (tmp_path / "out" / name).read_text()).splitlines():
        words = dict(re.findall(r"([A-Z])([-\d.]+)", line))
        feed, motion = float(words.get("F", feed)), words.get("G", motion)
        if motion in ("1", "2", "3") and {"X", "Y"} & set(words) and "Z" not in words:
            found.add(feed)
    return found


def test_feeds_are_lower_where_the_bit_is_in_more_wood_and_that_is_said(tune: Any, tmp_path: Path) -> None:
    plain, steady = tune(zigzag(), *BOARD, "--bit", "6"), tune(zigzag(), *BOARD, "--bit", "6", "--steady", "0.6")
    found = feeds_along(tmp_path, steady)
    # The slot is 6 mm wide, the rows 4 mm: as much wood a minute at two thirds of the feed, in steps of a tenth.
    assert max(found) == OWN
    assert 0.6 * OWN <= min(found) <= OWN * 2.0 / 3.0 * 1.1
    assert steady["after"]["run_time_s"] > plain["after"]["run_time_s"] + 1.0
    (longer,) = [each["what"] for each in steady["findings"] if "longer than the file" in each["what"]]
    assert longer.endswith("feeds are lower where the bit is in more wood, as you asked")
    assert "between 60 and 100 % of the file" in (tmp_path / "out" / "sheet.html").read_text(encoding="utf-8")


def test_feeds_are_higher_only_if_that_is_asked_for_and_the_cuts_stay_proved(tune: Any, tmp_path: Path) -> None:
    steady = tune(zigzag(9, 2.0), *BOARD, "--bit", "6", "--steady", "0.8-1.3")
    found = feeds_along(tmp_path, steady)
    assert 0.8 * OWN <= min(found) <= max(found) <= 1.3 * OWN
    assert max(found) > OWN
    proof = json.loads(next((tmp_path / "out").glob("*.proof.json")).read_text())
    status = {each["name"]: each["status"] for each in proof["checks"]}
    assert (status["same cuts"], status["no deeper bite"]) == ("passed", "passed")


def test_a_file_without_a_load_to_follow_is_not_taken_for_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Slopes alone are kept as they are."""
    lines = ["G21 G90 G17", "S12000 M3", "G0 Z5", "G0 X10 Y10", "G1 Z-0.5 F300", "X30 Z-1", "X50 Z-0.2", "Y40 Z-2"]
    (tmp_path / "old.nc").write_text("\n".join([*lines, "G0 Z5", "M5", "M30", ""]))
    words = ["--machine", "grbl-front-left", "--out", str(tmp_path / "out"), "--bit", "6", "--steady", "0.7"]
    assert run(["tune", str(tmp_path / "old.nc"), *words]) == WRONG
    assert "no level cut of the file has one feed that could follow the load" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
