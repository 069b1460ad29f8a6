"""Files to begin from speak the language of the terminal in their comments and pictures; what is cut is the same."""

from __future__ import annotations

import re
import tomllib
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from itertools import product
from pathlib import Path
from typing import get_args

import pytest
from click.testing import CliRunner

import pathkit as pk
from pathkit.cli.asking import Asking
from pathkit.cli.main import run
from pathkit.cli.showing import DONE
from pathkit.cli.spoken import VARIABLE
from pathkit.feeds.materials import Material
from pathkit.jobs.demo import demo_machines
from pathkit.starters import comments, job_texts, machine_profile
from pathkit.starters.compass import compass
from pathkit.starters.job_file import Wanted, job_text
from pathkit.starters.machine_profile import CORNERS, Answers, profile_text
from pathkit.texts import plain
from pathkit.texts.language import ENGLISH, Language

GERMAN = Language("de")
DRAWING = """<svg xmlns="http://www.w3.org/2000/svg" width="70mm" height="40mm" viewBox="0 0 70 40">
<path d="M5 5 H65 V35 H5 Z"/></svg>"""
UNITS = {"mm/min", "mm"}
"""Comments that are the same in both languages."""
BOARDS = ((400.0, 300.0, 4.0), (350.0, 550.0, 6.0), (2500.0, 1250.0, 18.0))
"""One that fits all machines, one that fits some of them turned, and one that fits none."""
ANSWERS = Answers("a # rpm", "grbl", "front-left", "right", "away", "up", (300.0, 200.0, 60.0), park=(1.0, 2.0),
                  change=(3.0, 4.0))  # fmt: skip


def templates() -> Iterator[str]:
    for module in (job_texts, machine_profile):
        yield from (text for name, text in vars(module).items() if name.isupper() and isinstance(text, str))


def comments_of(text: str) -> set[str]:
    """The texts of all comments, as the code finds them, without those of keys that are only proposed."""
    above = {comments.text_of(found[0]) for found in comments.PARAGRAPH.finditer(text)}
    return above | {found[3] for found in comments.BEHIND.finditer(text)}


def lines_of(text: str) -> set[str]:
    """Every line of comment, and every comment behind a value, but for proposed keys."""
    found = (re.search(r"(?:^|    )# (?![a-z_]+ = |\[\[)(.*)$", line) for line in text.splitlines())
    return {each[1] for each in found if each is not None}


def test_the_catalogue_has_every_comment_and_no_other() -> None:
    said = {text.replace("{{", "{").replace("}}", "}") for each in templates() for text in comments_of(each)}
    assert len(said) > 50
    assert said == set(map(plain.unquoted, plain.lines("en", "starters").values()))


@pytest.mark.parametrize("board", BOARDS)
@pytest.mark.parametrize("drawing", [None, "tag.svg"])
def test_a_job_file_has_the_same_values_and_no_english(
    board: tuple[float, float, float], drawing: str | None, tmp_path: Path
) -> None:
    (tmp_path / "tag.svg").write_text(DRAWING)
    for material, bit in product(get_args(Material), (0.5, 8.0)):
        wanted = ("# rpm", board, bit, 3, material, drawing)
        english = job_text(Wanted(*wanted), demo_machines(), tmp_path).text
        german = job_text(Wanted(*wanted, GERMAN), demo_machines(), tmp_path).text
        assert tomllib.loads(german) == tomllib.loads(english) | {"language": "de"}
        assert max(map(len, german.splitlines())) <= 120
        assert lines_of(german) & lines_of(english) <= UNITS
        assert len(lines_of(german)) > 40
        # What is proposed stays as it is: the length of the flutes, and a machine where none fits.
        proposed = [line for line in english.splitlines() if re.match(r"# (?:[a-z_]+ = |\[\[)", line)]
        assert [line for line in german.splitlines() if line in proposed] == proposed


def test_a_profile_has_the_same_values_and_no_english() -> None:
    english, german = profile_text(ANSWERS), profile_text(ANSWERS, GERMAN)
    assert tomllib.loads(german) == tomllib.loads(english)
    assert lines_of(german) & lines_of(english) <= UNITS
    assert "spin_up = 4.0     # Sekunden\n" in german
    assert max(map(len, german.splitlines())) <= 120


def test_english_is_as_it_stands_in_the_code() -> None:
    text = profile_text(ANSWERS) + job_text(Wanted("a"), demo_machines()).text
    used = (job_texts.TEMPLATE, job_texts.ZONES, job_texts.TAG, job_texts.MACHINES, machine_profile.TEMPLATE,
            machine_profile.PARK, machine_profile.CHANGE)  # fmt: skip
    for template in used:
        assert comments.told(template, ENGLISH) == template
        for line in template.splitlines():
            if line.startswith("# ") and "{flute}" not in line:
                assert line.replace("{{", "{").replace("}}", "}") + "\n" in text
    assert "language" not in tomllib.loads(job_text(Wanted("a"), demo_machines()).text)


def test_a_german_job_file_builds_to_the_same_cut_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cut: dict[str, dict[str, bytes]] = {}
    for code in ("en", "de"):
        folder = tmp_path / code
        folder.mkdir()
        monkeypatch.chdir(folder)
        monkeypatch.setenv(VARIABLE, code)
        assert run(["job", "new", "Key tags", "--board", "100x70x6", "--parts", "1"]) == DONE
        monkeypatch.setenv(VARIABLE, "en")
        build = ["build", "key-tags.toml", "--machine", "grbl-front-left", "--out", "out", "--effort", "0", "--quiet"]
        assert run(build) == DONE
        cut[code] = {str(file.relative_to(folder)): file.read_bytes() for file in folder.rglob("*.nc")}
        pages = [file.read_text(encoding="utf-8") for file in folder.rglob("*.html")]
        assert pages
        assert all(f'<html lang="{code}"' in page for page in pages)
    assert len(cut["en"]) >= 2, "the cut and the air cut"
    assert cut["de"] == cut["en"]


def words_of(picture: str) -> set[str]:
    return {word for each in ET.fromstring(picture).iter() for word in re.findall(r"[^\W\d_]{2,}", each.text or "")}


@pytest.mark.parametrize("corner", CORNERS)
@pytest.mark.parametrize(("x", "y"), [("right", "away"), ("left", "toward"), ("away", "right"), ("toward", "left")])
@pytest.mark.parametrize("z", ["up", "down"])
def test_a_german_picture_has_no_english_word(corner: str, x: str, y: str, z: str) -> None:
    axes = pk.Axes(x, y, z)  # type: ignore[arg-type]
    base = pk.load_machine("grbl-front-left")
    machine = pk.Machine("M", "grbl", axes, base.travel, base.motion, origin=corner,  # type: ignore[arg-type]
                         left_handed=axes.left_handed)  # fmt: skip
    english, german = compass(machine), compass(machine, GERMAN)
    assert {"seen", "above", "bed", "board", "you", x, y, z} <= words_of(english)
    assert words_of(german) & words_of(english) == set()
    assert ("Linkshändig" in german) == axes.left_handed
    # So many letters of this size are as wide as the picture.
    assert all(len(each.text or "") <= 88 for each in ET.fromstring(german).iter())
    # Only words differ.
    assert re.sub(">[^<]*<", "><", german) == re.sub(">[^<]*<", "><", english)
    assert f"<title>M: X+ {x}, Y+ {y}, zero {corner}</title>" in english


@pytest.mark.parametrize(
    ("code", "answers", "sure"),
    [
        ("de", "j\n", True), ("de", "Ja\n", True), ("de", "y\n", True), ("de", "yes\n", True), ("de", "n\n", False),
        ("de", "nein\n", False), ("de", "no\n", False), ("de", "\n", False), ("de", "vielleicht\nj\n", True),
        ("en", "y\n", True), ("en", "YES\n", True), ("en", "n\n", False), ("en", "\n", False), ("en", "j\nn\n", False),
    ],
)  # fmt: skip
def test_a_question_takes_yes_and_no_in_the_language_of_the_terminal(
    code: str, answers: str, sure: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(VARIABLE, code)
    with CliRunner().isolation(input=answers) as streams:
        assert Asking(silent=False).sure("Jog X+, Y+ and Z+ once more. Is it left-handed?") is sure
        said = streams[1].getvalue().decode()
    german = "Fahren Sie X+, Y+ und Z+ noch einmal von Hand. Ist es linkshändig? [j/N]: "
    asked = german if code == "de" else "Jog X+, Y+ and Z+ once more. Is it left-handed? [y/N]: "
    assert said.startswith(asked)
    again = "  antworten Sie mit ja oder nein\n" if code == "de" else "  answer yes or no\n"
    assert said.count(asked) == answers.count("\n")
    assert said.count(again) == answers.count("\n") - 1
