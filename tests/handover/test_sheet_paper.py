"""A sheet on paper, in a real browser: how many pages it takes, and how large its letters are."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pathkit.handover.build import build_orders
from pathkit.handover.pages.render import sheet_page
from pathkit.handover.result import BuildResult
from pathkit.handover.revision import SHEET
from pathkit.jobs.demo import demo_text
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import JobFile, job_file_of
from pathkit.registry import load_machine
from pathkit.texts.language import LANGUAGES, Code
from tests.handover.folders import sheet_in

PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
BESIDE = 18.0
"""mm of a page's width that are margins."""

SMALLEST = 10.0
"""Points. A point is 1/72 in, a pixel of CSS 1/96 in (CSS Values and Units Level 4, section 6.2)."""


def several_bits(count: int) -> JobFile:
    """A plate with a recess by one bit, and holes by as many others as it takes."""
    names = [f"{3 + k} mm end mill" for k in range(count)]
    tools = "".join(f'[tools."{name}"]\ndiameter = {3 + k}\ncentre_cutting = true\nnumber = {k + 1}\n'
                    for k, name in enumerate(names))  # fmt: skip
    shapes, operations = "", ""
    for k, name in enumerate(names[1:]):
        shapes += f"hole{k}.points = [[{12 + 14 * k}, 40]]\n"
        operations += (
            f'[[part.operations]]\nkind = "drill"\nshape = "hole{k}"\ntool = "{name}"\nbottom.through = true\n'
        )
        operations += "peck = 3\n"
    own = f'tool = "{names[0]}"\n'
    text = f"""
name = "bit trays"
stock = {{ thickness = 9, underlay = 3, z_zero = "bed", material = "plywood", name = "birch plywood" }}
board = [{{ width = 300, depth = 200 }}]
{tools}
[cutting.wood]
feed = 1800
plunge = 400
spindle = 16000
[[part]]
name = "tray"
zones = [{{ kind = "tape", shape = "under" }}]
[part.shapes]
outline.rectangle = {{ width = 90, depth = 50, radius = 8 }}
recess.rectangle = {{ corner = [14, 8], width = 42, depth = 22, radius = 4 }}
under.rectangle = {{ corner = [16, 10], width = 36, depth = 18 }}
{shapes}
[[part.operations]]
kind = "pocket"
shape = "recess"
bottom.from_top = 4
stepdown = 2.5
{own}{operations}
[[part.operations]]
kind = "contour"
shape = "outline"
bottom.through = true
stepdown = 3
{own}
[layout]
copies = "fill"
margin = 10
web = 5
[passes]
hold_tabs = {{ count = 4, width = 6, height = 3 }}
"""
    return job_file_of(text, "trays.toml")


ABOUT = """
[about]
author = "Makerspace, wood workshop"
contact = "workshop@example.org"
revision = "3"
date = "2026-11-20"
licence = "CC BY 4.0"
notes = ["Plates for cables up to 6 mm."]
supplies = ["birch plywood 440 x 240 x 9 mm", "two-sided tape", "4 mm end mill, two flutes"]
photos = ["plate.jpg", { file = "seen.png", caption = "in use" }]
"""


def sheet_of(file: JobFile, machine: str, out: Path) -> Path:
    (order,) = orders_of(file, [load_machine(machine)], effort=0)
    result = build_orders([order], out / "out")
    assert result.ok, result.findings
    path = out / "sheet.html"
    path.write_bytes(result.folders[0].files[SHEET])
    return path


def printed(page: Any, sheet: Path) -> dict[str, int]:
    """How many pages a sheet takes on each paper; nothing on them may be smaller than `SMALLEST`."""
    pages = {}
    for paper, (width, _) in PAPERS.items():
        page.set_viewport_size({"width": round((width - BESIDE) / 25.4 * 96.0), "height": 900})
        page.goto(sheet.as_uri())
        page.emulate_media(media="print")
        # What is wider than the paper would be shrunk with all the rest.
        assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0
        letters = page.evaluate("""() => [...document.querySelectorAll('p, li, td, th, h2, code, svg text')]
            .filter(e => e.getClientRects().length).map(e => {
                const zoom = e.getScreenCTM ? Math.hypot(e.getScreenCTM().a, e.getScreenCTM().b) : 1;
                return zoom * parseFloat(getComputedStyle(e).fontSize);
            })""")
        assert len(letters) > 100
        assert min(letters) * 72.0 / 96.0 >= SMALLEST - 0.01
        pages[paper] = len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper)))
    return pages


@pytest.mark.parametrize("code", LANGUAGES)
@pytest.mark.parametrize("machine", ["grbl-front-left", "portrait-inch"])
def test_the_demo_takes_two_pages(page: Any, demo_built: BuildResult, tmp_path: Path, machine: str, code: Code) -> None:
    (folder,) = (each for each in demo_built.folders if each.name == machine)
    assert sheet_page(folder) == folder.files[SHEET]
    (tmp_path / "sheet.html").write_bytes(sheet_in(folder, code))
    assert printed(page, tmp_path / "sheet.html") == {"A4": 2, "Letter": 2}


@pytest.mark.parametrize("code", LANGUAGES)
def test_photos_and_supplies_find_room(page: Any, demo_built: BuildResult, tmp_path: Path, code: Code) -> None:
    """With all of it a German sheet takes a third page of Letter, which is 18 mm shorter than A4."""
    image = pytest.importorskip("PIL.Image", reason="Pillow is not installed")
    for name, size in (("plate.jpg", (1200, 900)), ("seen.png", (900, 1200))):
        image.new("RGB", size, (200, 180, 140)).save(tmp_path / name)
    file = job_file_of(demo_text() + ABOUT, "cable-tidy.toml", tmp_path)
    (order,) = orders_of(file, [load_machine("grbl-front-left")], effort=0)
    (folder,) = (each for each in demo_built.folders if each.name == "grbl-front-left")
    folder = replace(folder, order=replace(folder.order, about=order.about, photos=order.photos))
    (tmp_path / "sheet.html").write_bytes(sheet_in(folder, code))
    letter = {"en": 2, "de": 3}[code]
    assert printed(page, tmp_path / "sheet.html") == {"A4": 2, "Letter": letter}


@pytest.mark.parametrize("bits", [1, 3, 5])
def test_two_more_bits_take_at_most_one_more_page(page: Any, tmp_path: Path, bits: int) -> None:
    most = 2 + (bits - 1) // 2
    pages = printed(page, sheet_of(several_bits(bits), "grbl-front-left", tmp_path))
    assert all(2 <= count <= most for count in pages.values()), pages


def test_the_job_is_named_on_each_page_of_paper_alone(page: Any, tmp_path: Path) -> None:
    sheet = sheet_of(several_bits(1), "grbl-front-left", tmp_path)
    page.goto(sheet.as_uri())
    assert not page.is_visible(".running")
    page.emulate_media(media="print")
    assert page.is_visible(".running")
