"""Whoever cuts in inches reads inches, on every page and in every letter: millimetres stand in brackets, if at all."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pathkit.cli.showing import tell, units_of
from pathkit.findings import Finding
from pathkit.handover.build import build_orders
from pathkit.handover.pages.file_picture import file_picture
from pathkit.handover.pages.names import area_name, force_name, pressure_name
from pathkit.handover.pages.render import sheet_page
from pathkit.handover.pages.seen_file import seen
from pathkit.handover.rehearse import rehearse, use_of_piece
from pathkit.handover.result import BuildResult, Folder
from pathkit.handover.revision import PREVIEW
from pathkit.handover.support.explaining import explain
from pathkit.handover.support.mail import as_mail
from pathkit.jobs.demo import demo_file
from pathkit.jobs.handout import of_piece, piece_order
from pathkit.registry import load_machine
from pathkit.texts.language import LANGUAGES, Language
from tests.handover.folders import sheet_in

NAMES = ("4 mm end mill",)
"""What people have called their things, whatever the unit."""

METRIC = re.compile(r"\d\s*(?:mm²|mm/min|mm|cm|m|km|N|N/mm²)(?![\w/²])")


def in_inches(built: BuildResult) -> tuple[Folder, Path]:
    """The folder for a machine in inches, and where its files are."""
    (folder,) = (each for each in built.folders if each.machine.units == "inch")
    return folder, built.out / folder.name


def metric(text: str) -> list[str]:
    """Figures in metric units that stand outside of brackets."""
    for name in NAMES:
        text = text.replace(name, "NAME")
    while (bare := re.sub(r"\([^()]*\)", "", text)) != text:
        text = bare
    return [text[max(0, found.start() - 40) : found.end() + 20] for found in METRIC.finditer(text)]


def words_of(page: str) -> str:
    """The words of a page, those that a reader hears among them."""
    heard = re.findall(r'(?:aria-label|alt|title)="([^"]*)"', page)
    page = re.sub(r"<(style|script)\b.*?</\1>", " ", page, flags=re.S)
    return html.unescape(" ".join([re.sub(r"<[^>]*>", " ", page), *heard]))


@pytest.mark.parametrize("code", LANGUAGES)
def test_pages_are_in_inches(demo_built: BuildResult, code: Any) -> None:
    folder, home = in_inches(demo_built)
    say = Language(code)
    sheet = sheet_in(folder, code).decode("utf-8")
    assert metric(words_of(sheet)) == []
    assert len(re.findall(r"\d in\b", words_of(sheet))) > 20
    one = seen(home / folder.cut_file)
    picture = words_of(file_picture([one, one], say))
    assert metric(picture) == []
    assert re.search(r"\d ft\b", picture)


@pytest.mark.parametrize("code", LANGUAGES)
def test_findings_are_in_inches(demo_built: BuildResult, code: Any, capsys: pytest.CaptureFixture[str]) -> None:
    """The sheet and the terminal tell them in inches; as data they stay in mm."""
    folder, _ = in_inches(demo_built)
    narrow = "its tabs are only 2 mm wide, since it has no room for 3 mm"
    noted = "the bit of 3 mm at the 2000 mm/min of a plugin stays"
    what = [Finding(check="tabs", what=each, severity="warning") for each in (narrow, noted)]
    said = sheet_page(replace(folder, findings=tuple(what), order=replace(folder.order, language=Language(code))))
    words = words_of(said.decode("utf-8"))
    assert Language(code).number("0.0787 in") in words
    assert narrow not in words
    assert noted in words
    tell([what[0].at(file=f"{folder.name}/a.nc"), what[0].at(file="job.toml")], units=units_of([folder]))
    assert capsys.readouterr().out.count("only 0.0787 in wide") == 2
    assert what[0].as_dict()["what"] == narrow


def test_the_index_has_each_board_in_its_machines_unit(demo_built: BuildResult) -> None:
    words = words_of((demo_built.out / "index.html").read_text(encoding="utf-8"))
    assert "17.32 × 20.47 × 0.3543 in (440 × 520 × 9 mm)" in words
    assert "440 × 240 × 9 mm" in words


@pytest.mark.parametrize("code", LANGUAGES)
def test_letters_are_in_inches(plate_built: BuildResult, code: Any) -> None:
    folder, home = in_inches(plate_built)
    say = Language(code)
    path = home / folder.cut_file
    lines = path.read_text(encoding="ascii").splitlines()
    for number in range(1, len(lines), 3):
        told = "\n".join(as_mail(explain(path, number, say=say), say))
        if not lines[number - 1].startswith("("):
            assert metric(" ".join(told.split())) == [], lines[number - 1]
    made = rehearse(folder.job, folder.machine, folder.setup, measured=True, say=say)
    assert metric(" ".join((*made.questions, *use_of_piece(folder.machine, say)))) == []


@pytest.fixture(scope="module")
def piece(tmp_path_factory: pytest.TempPathFactory) -> Folder:
    """The test piece for the demo's fit."""
    order = piece_order(demo_file(), of_piece(load_machine("portrait-inch")))
    made = build_orders([order], tmp_path_factory.mktemp("piece") / "out")
    assert made.ok, made.findings
    return made.folders[0]


@pytest.mark.parametrize("code", LANGUAGES)
def test_a_test_piece_is_told_in_inches(piece: Folder, code: Any) -> None:
    words = words_of(sheet_in(piece, code).decode("utf-8"))
    assert metric(words) == []
    assert Language(code).number("0.003937 in (0.1 mm)") in words


def test_the_preview_counts_in_inches(browser: Any, demo_built: BuildResult) -> None:
    """A cut 4 mm deep is 4 / 25.4 = 0.157 in deep; the feed is 2560 / 25.4 = 100.8 in/min."""
    page = browser.new_page(viewport={"width": 1000, "height": 900})
    page.goto((in_inches(demo_built)[1] / PREVIEW).as_uri())
    page.wait_for_selector("html[data-ready]")
    told = []
    for share in (0.01, 0.2, 0.3, 0.6, 0.9, 1.0):
        page.evaluate(f"""() => {{ const slider = document.getElementById("time");
            slider.value = {share} * slider.max; slider.dispatchEvent(new Event("input")); }}""")
        page.wait_for_timeout(100)
        told.append(page.inner_text("#watch"))
    page.close()
    code = re.compile(r"^\d*\s*[NGXYZ(].*$", re.M)
    assert metric(code.sub("", "\n".join(told))) == []
    assert any(re.search(r"\b0\.157 in\b|\b0\.366 in\b", each) for each in told)
    assert any("100.8 in/min" in each for each in told)


def test_forces_and_areas_convert_as_the_standard_says() -> None:
    """A pound-force is 4.4482216 N, a square inch 645.16 mm² (NIST SP 811, appendix B.8)."""
    inch, mm = load_machine("portrait-inch"), load_machine("grbl-front-left")
    assert (force_name(12.0, inch), force_name(12.0, mm)) == ("2.7 lbf", "12 N")
    assert (area_name(1012.0, inch), area_name(1012.0, mm)) == ("1.57 in²", "1012 mm²")
    # 1 N/mm² is 1 MPa, which is 145.0377 lbf/in².
    assert (pressure_name(0.02, inch), pressure_name(0.02, mm)) == ("2.9 lbf/in²", "0.02 N/mm²")


def test_figures_in_millimetres_are_found() -> None:
    assert metric("0.1575 in (4 mm) deep, (a (9 mm) b) by 4 mm end mill") == []
    assert [len(metric(text)) for text in ("500 mm to the side", "0.02 N/mm², 3 m", "2560\u00a0mm/min")] == [1, 2, 1]
