"""Pages and letters in German: nothing English is left over, no script stumbles, and the files stay the same."""

from __future__ import annotations

import html
import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pathkit.cli.main import run
from pathkit.handover.atomic_write import about
from pathkit.handover.build import build_orders
from pathkit.handover.chooser import build_handout
from pathkit.handover.pages.sheet import shown_row
from pathkit.handover.result import BuildResult
from pathkit.handover.revision import PREVIEW, SHEET
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.jobs.requests import Wishes, orders_of_file
from pathkit.registry import load_machine
from pathkit.texts.findings import in_words, said
from pathkit.texts.language import ENGLISH, Language
from tests.demo import two_of_the_demo
from tests.handover.folders import sheet_in

GERMAN = Language("de")
JOB = """
name = "Klemmbrett <script>"
language = "de"
stock = { thickness = 6, z_zero = "bed", underlay = 2, material = "plywood" }
board = [{ width = 120, depth = 80 }]
tools."Fräser" = { diameter = 3.5, centre_cutting = true }
tools.Stichel = { diameter = 6, kind = "vee", angle = 90 }
cutting.schnell = { feed = 5000, plunge = 1500, spindle = 9000 }
[[part]]
name = "Brett"
shapes.Loch.points = [[40, 30]]
shapes.Rand.rectangle = { width = 60, depth = 40, radius = 6 }
shapes.Tasche.rectangle = { corner = [10, 10], width = 20, depth = 12.5 }
[[part.operations]]
kind = "drill"
shape = "Loch"
tool = "Fräser"
bottom.from_top = 3
[[part.operations]]
kind = "pocket"
shape = "Tasche"
tool = "Fräser"
bottom.from_top = 2.5
stepdown = 1
[[part.operations]]
kind = "contour"
shape = "Rand"
tool = "Fräser"
bottom.through = true
stepdown = 2
[about]
author = "Ada"
revision = "3"
supplies = ["Klebeband"]
"""
OFFER = """
[handout]
corners = ["front-left", "back-right"]
directions = ["right away up", "left away up"]
units = ["mm", "inch"]
[handout.machine]
travel = [150, 120, 60]
rapid = [3000, 1000]
feed_limit = [2500, 800]
acceleration = [300, 100]
"""
ONE_BIT = JOB.replace('tools.Stichel = { diameter = 6, kind = "vee", angle = 90 }\n', "") + OFFER

MARKERS = (
    "the", "of", "and", "is", "are", "your", "you", "with", "file", "board", "bit", "bits", "cut", "cuts", "machine",
    "zero", "feed", "spindle", "job", "part", "tab", "tabs", "travel", "mill", "checks", "proved", "stop", "run", "top",
    "bed", "grain", "deepest", "time", "line", "toolpath", "parts", "boards", "depth", "speed", "side", "yes", "not",
)  # fmt: skip
"""English words that no German text holds ("in", "an", "am", "so" and "warm" are words of both)."""


def left_over(text: str) -> list[str]:
    """The English words in a text for people, with what stands beside them."""
    plain = " ".join(html.unescape(text).split())
    return [plain[max(0, m.start() - 40) : m.end() + 20] for m in re.finditer(rf"\b({'|'.join(MARKERS)})\b", plain)]


def for_people(page: str) -> str:
    """What a page without scripts says: texts and read-out attributes, without names of files and marks."""
    body = re.sub(r"<(style|script)\b.*?</\1>|<code>.*?</code>", " ", page, flags=re.DOTALL)
    spoken = re.findall(r'(?:aria-label|title|alt)="([^"]*)"', body)
    text = " ".join([*spoken, re.sub(r"<[^>]+>", " ", body)])
    # Names of bits and boards, keys of a job file and commands are quoted as they are.
    text = text.replace("4 mm end mill", "").replace("birch plywood", "")
    text = re.sub(r"\w+ = (?:\{[^}]*\}|[^\s;,)]+)|\[\[?\w+\]?\]|pathkit rehearse [^)]*", "", html.unescape(text))
    return re.sub(r"[\w.-]+\.(?:nc|ngc|json|toml|html)\b|'[^']*'|grbl [a-z -]+", " ", text.replace("&#39;", "'"))


@pytest.fixture(scope="module")
def offered(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("german") / "out"
    variants = list(build_handout(job_file_of(ONE_BIT, "brett.toml"), out))
    assert all(variant.ok for variant in variants), [variant.findings for variant in variants]
    return out


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> BuildResult:
    """Two plates of the demo for two of its machines, in German."""
    machines = [load_machine("grbl-front-left"), load_machine("portrait-inch")]
    orders = [replace(order, language=GERMAN) for order in orders_of(two_of_the_demo(), machines, effort=0)]
    made = build_orders(orders, tmp_path_factory.mktemp("demo") / "out")
    assert made.ok
    return made


def test_still_pages_have_no_english_left(built: BuildResult, offered: Path, demo_built: BuildResult) -> None:
    paths = [path for out in (built.out, offered) for path in out.rglob("*.html") if path.name != PREVIEW]
    assert len(paths) > 8
    pages = {str(path): path.read_bytes() for path in paths}
    # On a full board there is no room for every name.
    pages |= {folder.name: sheet_in(folder, "de") for folder in demo_built.folders[1:]}
    for name, page in pages.items():
        text = page.decode("utf-8")
        assert '<html lang="de">' in text
        assert left_over(for_people(text)) == [], name


def test_numbers_on_pages_have_a_comma_and_in_data_a_point(offered: Path) -> None:
    sheet = next(offered.glob(f"grbl-*inch/{SHEET}")).read_text(encoding="utf-8")
    text = for_people(sheet)
    assert "4,724 × 3,15 × 0,2362 in (120 × 80 × 6 mm)" in text
    assert re.findall(r"\d\.\d", re.sub(r"\b(GRBL|G-Code) 1\.1", "", text)) == []
    cut = next(path for path in offered.rglob("*.nc") if path.name == "klemmbrett-script.nc").read_text(
        encoding="ascii"
    )
    assert not re.search(r"\d,\d", cut)
    assert not left_over_german(cut)


def left_over_german(text: str) -> list[str]:
    return re.findall(r"\b(?:der|die|das|und|ist|Fräser|Platte)\b", text)


def test_the_language_changes_pages_and_nothing_else(built: BuildResult, tmp_path: Path) -> None:
    order = next(folder.order for folder in built.folders if folder.machine.name == "grbl-front-left")
    english = build_orders([replace(order, language=ENGLISH)], tmp_path / "out").folders[0]
    german = next(folder for folder in built.folders if folder.name == english.name)
    differ = {name for name, data in german.files.items() if english.files[name] != data}
    assert set(german.files) == set(english.files)
    assert differ == {SHEET, PREVIEW, german.report_file}
    mine, theirs = (json.loads(folder.files[folder.report_file]) for folder in (german, english))
    assert mine.pop("language") == "de"
    assert mine == theirs
    assert german.order.mark == english.order.mark
    assert sheet_in(english, "de") == german.files[SHEET]


def test_a_job_file_names_its_language_and_a_wish_goes_before_it() -> None:
    file, machine = job_file_of(ONE_BIT, "brett.toml"), load_machine("grbl-front-left")
    other = job_file_of(ONE_BIT.replace('language = "de"\n', ""), "brett.toml")
    orders = [orders_of_file(each, [machine], Wishes(language=wish))[0]
              for each, wish in ((file, None), (file, ENGLISH), (other, None), (other, GERMAN))]  # fmt: skip
    assert [order.language.code for order in orders] == ["de", "en", "en", "de"]
    assert len({order.mark for order in orders}) == 1, "the same job, whoever reads about it"


def test_an_unknown_language_is_refused_with_its_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "brett.toml"
    path.write_text(ONE_BIT.replace('"de"', '"xx"'), encoding="utf-8")
    assert run(["handout", str(path), "--out", str(tmp_path / "out")]) == 2
    told = capsys.readouterr().err
    assert "brett.toml:3" in told
    assert "language" in told
    assert not (tmp_path / "out").exists()


def test_a_page_of_another_language_is_made_anew(offered: Path, tmp_path: Path) -> None:
    small = ONE_BIT.replace('corners = ["front-left", "back-right"]', 'corners = ["front-left"]')
    small = small.replace('"right away up", "left away up"', '"right away up"').replace('"mm", "inch"', '"mm"')
    file, out = job_file_of(small, "brett.toml"), tmp_path / "out"
    assert {variant.status for variant in build_handout(file, out)} == {"built"}
    assert {variant.status for variant in build_handout(file, out)} == {"finished before"}
    assert {variant.status for variant in build_handout(file, out, language=ENGLISH)} == {"built"}
    assert '<html lang="en">' in (out / "index.html").read_text(encoding="utf-8")
    assert "Setup sheet for" in next(out.glob(f"*/{SHEET}")).read_text(encoding="utf-8")


def test_what_is_made_of_a_file_speaks_the_language_of_its_folder(
    built: BuildResult, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = built.folders[0]
    cut = built.out / folder.name / folder.cut_file
    last = folder.job.toolpaths[-1].name
    orders = {
        "explain": ["explain", str(cut), "40"],
        "differ": ["differ", str(cut), str(cut)],
        "preview": ["preview", str(cut), "--out", str(tmp_path / "p.html")],
        "draw": ["draw", str(cut), "--out", str(tmp_path / "p.svg")],
        "resume": ["resume", str(cut), "--from", last, "--out", str(tmp_path / "rest.nc")],
    }
    seen = {"explain": "Zeile 40", "differ": "gesendet", "preview": '<html lang="de">', "draw": "Leerweg",
            "resume": '<html lang="de">'}  # fmt: skip
    made = {"preview": "p.html", "draw": "p.svg", "resume": "rest-preview.html"}
    for name, words in orders.items():
        for more in ([], ["--language", "en", *(["--force"] if name in made else [])]):
            assert run([*words, *more]) == 0
            told = capsys.readouterr().out
            text = (tmp_path / made[name]).read_text(encoding="utf-8") if name in made else told
            assert (seen[name] in text) == (not more), (name, more)
    # What starts again is of the language that was asked for, and so is what is made of it.
    assert run(["resume", str(cut), "--from", last, "--out", str(tmp_path / "mehr.nc")]) == 0
    capsys.readouterr()
    assert run(["explain", str(tmp_path / "mehr.nc"), "5"]) == 0
    assert "Zeile 5" in capsys.readouterr().out


def test_rows_of_the_index_are_kept_in_english_and_told_in_german(built: BuildResult) -> None:
    row: dict[str, Any] = about(built.out)["rows"]["grbl-front-left"]
    assert (row["proved"], row["deviation"]) == ("yes", "0.0006 mm")
    told = shown_row(row, GERMAN)
    assert (told["proved"], told["deviation"]) == ("ja", "0,0006 mm")
    spindle = shown_row({**row, "proved": "all but spindle, tabs", "deviation": "an unknown amount"}, GERMAN)
    assert (spindle["proved"], spindle["deviation"]) == ("alles außer: Spindel, Haltestege", "unbekannt")
    assert shown_row({**row, "proved": "<b>"}, GERMAN)["proved"] == "<b>"


# --- in a browser ----------------------------------------------------------------------------------------------------


def watched(page: Any) -> list[str]:
    """What a page says went wrong, as it comes."""
    wrong: list[str] = []
    page.on("console", lambda message: wrong.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: wrong.append(str(error)))
    return wrong


def test_a_stranger_is_led_to_a_file_in_german(browser: Any, offered: Path) -> None:
    page = browser.new_page()
    wrong = watched(page)
    page.goto(f"file://{offered}/index.html")
    for step in ("corner", "x", "y", "z", "dialect", "units", "board", "bit"):
        page.locator(f'input[name="{step}"]').first.dispatch_event("click")
    page.locator("#least input").check()
    page.locator('input[name="seen"]').nth(2).check()
    assert "Dann ist das nicht die Datei für Ihre Maschine: X wächst nach links" in page.inner_text("#rehearsal")
    page.locator('input[name="seen"]').nth(0).check()
    page.locator("#rehearsal .tick input").check()
    said = page.inner_text("body")
    for words in (
        "Die Fräsdatei: klemmbrett-script.nc",
        "Das Einrichteblatt",
        "Sie fuhr 100 mm zur Seite",
        "von Ada",
    ):
        assert words in said, words
    assert "Klemmbrett <script>" in said
    assert left_over(re.sub(r"\S+\.nc", "", said)) == []
    assert wrong == []
    page.close()


def test_a_cut_is_watched_in_german(browser: Any, built: BuildResult) -> None:
    page = browser.new_page()
    wrong = watched(page)
    page.goto(f"file://{built.out}/portrait-inch/{PREVIEW}")
    page.wait_for_selector("html[data-ready=yes]")
    page.locator("#back").click()
    for title in ("Zeit", "Vorschub", "Vorgang"):
        assert title in page.inner_text("#now")
    said = re.sub(r"'[^']*'", "", page.inner_text("main"))
    spoken = page.eval_on_selector_all(
        "[aria-label]", "all => all.map((each) => each.getAttribute('aria-label')).join(' ')"
    )
    # The text of the file, its toolpaths and the names of bits and machines are data.
    data = page.inner_text("#code") + page.inner_text("#n-file") + page.inner_text("#n-bit")
    for line in filter(None, data.splitlines()):
        said = said.replace(line, "")
    assert left_over(said.replace("cable-tidy plates", "").replace("4 mm end mill", "")) == []
    assert left_over(spoken) == []
    assert re.search(r"\d,\d", page.inner_text("#n-depth"))
    assert wrong == []
    page.close()


def test_the_demos_sheet_still_fits_on_two_printed_pages(page: Any, demo_built: BuildResult, tmp_path: Path) -> None:
    for folder in demo_built.folders:
        (tmp_path / SHEET).write_bytes(sheet_in(folder, "de"))
        page.goto((tmp_path / SHEET).as_uri())
        printed = page.pdf(format="A4")
        assert len(re.findall(rb"/Type\s*/Page\b(?!s)", printed)) == 2, folder.name


# --- findings, letters, pictures -------------------------------------------------------------------------------------


def test_no_finding_of_these_builds_stays_english(offered: Path, built: BuildResult) -> None:
    """Feeds that are too fast, bits that are too slow, places that are not seen: all that a sheet may warn of."""
    machines = [load_machine("grbl-front-left"), load_machine("portrait-inch")]
    hot = JOB.replace("feed = 5000, plunge = 1500", "feed = 300, plunge = 90").replace(
        "spindle = 9000", "spindle = 30000"
    )
    deep = JOB.replace("stepdown = 2\n", "").replace("bottom.from_top = 3", "bottom.from_top = 5.9")
    wild = JOB.replace("plywood", "acrylic").replace("spindle = 9000", "spindle = 24000")
    found = set()
    for text in (JOB, hot, deep, wild):
        for order in orders_of_file(job_file_of(text, "brett.toml"), machines, Wishes()):
            found |= set(order.notes)
    found |= {finding for folder in built.folders for finding in (*folder.findings, *folder.proof.findings)}
    assert len({finding.what for finding in found}) > 10
    for finding in found:
        assert in_words(finding.what, GERMAN) != finding.what, finding.what
        assert not finding.fix or in_words(finding.fix, GERMAN) != finding.fix, finding.fix
        assert said(finding, ENGLISH) == str(finding)
        assert not left_over(re.sub(r"'[^']*'|\"[^\"]*\"|pathkit .*|\w+ = \S+", "", said(finding, GERMAN)))


def test_letters_are_written_in_german(built: BuildResult, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = next(each for each in built.folders if each.name == "grbl-front-left")
    path = built.out / folder.name / folder.cut_file
    lines = path.read_bytes().splitlines(keepends=True)
    sample = sorted({*range(1, 40), *range(1, len(lines), 17), len(lines) - 1, len(lines)})
    for number in sample:
        assert run(["explain", str(path), str(number), "--language", "de"]) == 0
    for kind, numbers in (("--message", (1, 9, 20, 22, 33)), ("--alarm", (1, 2, 3, 9))):
        for number in numbers:
            assert run(["explain", str(path), "40", kind, str(number), "--language", "de"]) == 0
    short, edited = tmp_path / "short.nc", tmp_path / "edited.nc"
    short.write_bytes(b"".join(lines[:200]) + lines[200][:4])
    parts = (lines[:60], [b"G1 X1 Q9\n"], lines[62:90], [b"F99\n"], lines[90:304], [b"F99\n"], lines[304:])
    edited.write_bytes(b"".join(line for part in parts for line in part))
    assert run(["differ", str(path), str(short), "--language", "de"]) == 1
    assert run(["differ", str(path), str(edited), "--language", "de"]) == 1
    told = capsys.readouterr().out
    assert "Die Anleitungen der Maschine und der Steuerung gehen diesem Text vor." in told
    assert "Sie machen NICHT dieselben Bewegungen." in told
    # What stands in the file, names and commands are quoted as they are.
    own = re.compile(r"'[^']*'|cable-tidy\S*|pathkit resume .*|Kommentar für Menschen, und die Maschine tut nichts: .*")
    for letter in told.split("Steuerung gehen diesem Text vor."):
        lines_of_file = r"^  (?!- )\S.*\n\n|^    (?:gesendet|zurück) .*$|^ {4}\S+$"
        plain = " ".join(re.sub(lines_of_file, "", letter, flags=re.MULTILINE).split())
        assert left_over(own.sub("", plain)) == []
