"""In a real browser, no two texts of a picture cover each other, and none is cut off at the picture's edge."""

from __future__ import annotations

from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from typing import Any, get_args

import pytest

from pathkit.handover.chooser import build_handout
from pathkit.handover.pages.board_drawing import DepthKey, board_drawing
from pathkit.handover.pages.file_picture import file_picture
from pathkit.handover.pages.part_drawing import letters_of
from pathkit.handover.pages.picture import board_picture
from pathkit.handover.pages.render import BOARD_ROOM
from pathkit.handover.pages.seen_file import seen_texts
from pathkit.handover.result import BuildResult, Folder
from pathkit.handover.revision import PREVIEW
from pathkit.machine.profile import Corner
from pathkit.texts.language import LANGUAGES, Language
from tests.handover.folders import sheet_in
from tests.handover.test_handout import FEW, LEAST, file_of

# Boxes of texts are as tall as their lines, which is more than their letters: 0.8 of a font's size above the line and
# 0.25 below it hold every letter of the common sans-serif faces (their font files, from memory), a line has about 1.2.
COVERED = """() => [...document.querySelectorAll('svg')].flatMap((svg, number) => {
    const frame = svg.getBoundingClientRect();
    const texts = [...svg.querySelectorAll('text')].filter(e => e.textContent.trim()).map(e => {
        const box = e.getBoundingClientRect();
        return {text: e.textContent, left: box.left, right: box.right, top: box.top, bottom: box.bottom,
                spare: 0.2 * parseFloat(getComputedStyle(e).fontSize) * Math.hypot(e.getScreenCTM().a, e.getScreenCTM().b)};
    });
    const found = texts.filter(t => t.left < frame.left - 1 || t.right > frame.right + 1 ||
                                    t.top < frame.top - t.spare || t.bottom > frame.bottom + t.spare)
        .map(t => `picture ${number}: ${t.text} passes its edge`);
    texts.forEach((one, k) => texts.slice(0, k).forEach(other => {
        const across = Math.min(one.right, other.right) - Math.max(one.left, other.left);
        const along = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
        if (across > 0.5 && along > 0.5 && Math.min(across, along) > Math.max(one.spare, other.spare))
            found.push(`picture ${number}: ${one.text} covers ${other.text}`);
    }));
    return found;
})"""  # noqa: E501


@pytest.fixture(scope="module")
def folders(demo_built: BuildResult) -> tuple[Folder, ...]:
    return demo_built.folders


def shown(page: Any, path: Path) -> tuple[list[str], int]:
    """What covers what on a page, and how many texts its pictures have."""
    page.set_viewport_size({"width": 1000, "height": 900})
    page.goto(path.as_uri())
    if path.name == PREVIEW:
        page.wait_for_selector("html[data-ready]")
    found, count = page.evaluate(COVERED), page.evaluate("document.querySelectorAll('svg text').length")
    return found, count


@pytest.mark.parametrize("code", LANGUAGES)
def test_no_text_of_a_sheet_covers_another(
    page: Any, folders: tuple[Folder, ...], tmp_path: Path, code: Any
) -> None:  # fmt: skip
    for folder in folders:
        (tmp_path / "sheet.html").write_bytes(sheet_in(folder, code))
        found, count = shown(page, tmp_path / "sheet.html")
        assert (folder.name, found) == (folder.name, [])
        assert count > 40


@pytest.mark.parametrize("code", LANGUAGES)
def test_no_text_of_a_picture_covers_another(
    page: Any, folders: tuple[Folder, ...], tmp_path: Path, code: Any
) -> None:  # fmt: skip
    """Zero at every corner in turn, the files alone and beside each other, and the bed."""
    say = Language(code)
    svgs = []
    for folder in folders:
        texts = {name: folder.files[name] for name in folder.cut_files}
        one = seen_texts(texts, folder.machine, folder.setup, folder.job)
        for origin in get_args(Corner):
            machine = replace(folder.machine, origin=origin)
            there = replace(one, machine=machine)
            drawing = board_drawing(there, DepthKey.of(one), letters_of(one), BOARD_ROOM, say)
            assert f">{say('sheet-zero-label')}</text>" in drawing.svg, "zero has its name, however crowded the rows"
            svgs += [drawing.svg, board_picture(folder.job, machine, folder.setup, say).svg]
        svgs += [file_picture([one], say), file_picture([one, one], say)]
    style = files("pathkit.handover.pages").joinpath("templates", "style.css").read_text(encoding="utf-8")
    (tmp_path / "gallery.html").write_text(f"<!doctype html><style>{style}</style>{''.join(svgs)}", encoding="utf-8")
    found = shown(page, tmp_path / "gallery.html")[0]
    assert found == []


def test_no_text_of_the_chooser_covers_another(page: Any, tmp_path: Path) -> None:
    list(build_handout(file_of(FEW + LEAST), tmp_path / "out"))
    for path in (tmp_path / "out" / "index.html", *sorted((tmp_path / "out").glob("*/*.html"))):
        assert (path, shown(page, path)[0]) == (path, [])


def test_texts_that_cover_each_other_are_found(page: Any, tmp_path: Path) -> None:
    texts = '<text x="20" y="40" font-size="14">zero</text><text x="{}" y="44" font-size="14">0.71</text>'
    for at, count in ((30, 1), (70, 0), (190, 1)):
        svg = f'<svg width="200" height="80">{texts.format(at)}</svg>'
        (tmp_path / "two.html").write_text(svg, encoding="utf-8")
        assert len(shown(page, tmp_path / "two.html")[0]) == count
