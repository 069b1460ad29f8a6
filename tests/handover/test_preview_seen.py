"""The preview in a real browser: it shows what the file does at each moment."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import pathkit as pk
from pathkit.cli.main import run
from pathkit.handover.pages.colours import depth_colours
from pathkit.handover.pages.preview import SHADES
from pathkit.handover.result import BuildResult
from pathkit.handover.revision import PREVIEW
from tests.handover.previews import FOREIGN, FRONT, NASTY, read_back


def opened(browser: Any, path: Path, script: str = "", **options: Any) -> Any:
    """The page, ready; whatever it asks for, logs or throws is in ``page.told``."""
    page = browser.new_context(**{"viewport": {"width": 1000, "height": 900}, **options}).new_page()
    page.told = []
    page.on("console", lambda message: page.told.append(message.text))
    page.on("pageerror", lambda error: page.told.append(str(error)))
    page.on("request", lambda request: page.told.append(request.url))
    page.on("dialog", lambda dialog: page.told.append(dialog.message))
    page.add_init_script(script)
    page.goto(path.as_uri())
    page.wait_for_selector("html[data-ready]")
    assert page.told == [path.as_uri()]
    return page


@pytest.fixture(scope="module")
def watched(browser: Any, previewed: BuildResult) -> Iterator[Any]:
    page = opened(browser, previewed.out / FRONT / PREVIEW)
    yield page
    assert page.told == [(previewed.out / FRONT / PREVIEW).as_uri()]


SCRUB = "at => { const s = document.getElementById('time'); s.value = at; s.dispatchEvent(new Event('input')); }"


def scrub(page: Any, seconds: float) -> None:
    page.evaluate(
        "at => { const s = document.getElementById('time'); s.value = at; s.dispatchEvent(new Event('input')); }",
        seconds,
    )


def line_of(page: Any) -> int:
    return int(page.text_content("#n-line").split()[0])


def test_the_line_shown_is_the_one_that_runs(watched: Any, previewed: BuildResult) -> None:
    k = [folder.name for folder in previewed.folders].index(FRONT)
    text, program, clock = read_back(previewed, k)
    ends = np.cumsum(clock.per_move) + np.cumsum(clock.standing[:-1])
    middles = ends - 0.5 * clock.per_move
    lines = text.decode("ascii").splitlines()
    lasting = np.flatnonzero(clock.per_move > 0.01)
    for row in np.random.default_rng(1).choice(lasting, 60).tolist():
        scrub(watched, float(middles[row]))
        line = int(program.line[row])
        assert line_of(watched) == line
        assert watched.text_content("#code li.here span") == lines[line - 1]
        depth = watched.text_content("#n-depth")
        z = previewed.folders[k].job.stock.top - np.array([program.end[row - 1, 2], program.end[row, 2]])
        if np.ptp(z) == 0.0 and z[0] > 0.0:
            assert float(depth.split()[0]) == pytest.approx(z[0], abs=0.01)


DOT = """([x, y]) => {
  const c = document.getElementById('wood'), about = JSON.parse(document.getElementById('about').textContent);
  const {width, depth} = about.board, room = 0.05 * Math.max(width, depth), k = c.width / (width + 2 * room);
  return [...c.getContext('2d').getImageData((x + room) * k, (depth + room - y) * k, 1, 1).data].slice(0, 3);
}"""


def test_a_letter_in_the_air_is_seen(browser: Any, previewed: BuildResult, tmp_path: Path) -> None:
    """At a feed and above the board: the first stroke of the F, from its foot up, and a place beside it."""
    folder = previewed.folders[0]
    job = previewed.out / folder.name / folder.job_file
    assert run(["rehearse", str(job), "--machine", FRONT, "--out", str(tmp_path / "air")]) == 0
    page = opened(browser, tmp_path / "air" / "rehearsal-preview.html")
    text = next((tmp_path / "air").glob("*letter*.nc")).read_bytes()
    ends = pk.read(text, folder.machine.dialect).program.end
    foot, top = ends[np.isfinite(ends).all(axis=1)][:2, :2]
    x, y = ((foot + top) / 2.0).tolist()

    def colours(x: float) -> set[tuple[int, ...]]:
        return {tuple(page.evaluate(DOT, [x + step / 10.0, y])) for step in range(-8, 9)}

    assert len(colours(x)) == 2, "wood, and a line over it"
    assert len(colours(x - 10.0)) == 1


def test_wood_is_shaded_by_how_deep_it_is_cut_and_comes_back(watched: Any, previewed: BuildResult) -> None:
    folder = next(folder for folder in previewed.folders if folder.name == FRONT)
    recess, beside = (34.0, 15.0), (34.0, 26.5)
    watched.uncheck("#travel")
    scrub(watched, 1e9)
    wanted = depth_colours(SHADES)[int(2.0 / folder.job.stock.thickness * SHADES)]
    near = np.array([int(wanted[k : k + 2], 16) for k in (1, 3, 5)])
    assert np.abs(np.array(watched.evaluate(DOT, recess)) - near).max() <= 8
    assert watched.evaluate(DOT, beside) == [0xEF, 0xE0, 0xC4]
    scrub(watched, 0.0)
    assert watched.evaluate(DOT, recess) == [0xEF, 0xE0, 0xC4]
    watched.check("#travel")


def test_a_moment_looks_the_same_however_it_is_reached(watched: Any) -> None:
    look = "document.getElementById('wood').toDataURL()"
    total = float(watched.get_attribute("#time", "max"))
    for share in (0.2, 0.55, 0.8):
        scrub(watched, 0.0)
        scrub(watched, share * total)
        first = watched.evaluate(look)
        scrub(watched, total)
        scrub(watched, share * total)
        assert watched.evaluate(look) == first


def test_it_works_by_keyboard(watched: Any) -> None:
    watched.evaluate("document.activeElement.blur()")
    watched.keyboard.press("Home")
    assert watched.text_content("#n-time").startswith("0:00")
    first = line_of(watched)
    watched.keyboard.press("ArrowRight")
    second = line_of(watched)
    watched.keyboard.press("ArrowRight")
    assert first < second < line_of(watched)
    watched.keyboard.press("ArrowLeft")
    assert line_of(watched) == second
    watched.keyboard.press("End")
    assert watched.text_content("#n-what") == "finished"
    watched.keyboard.press("Space")
    assert watched.get_attribute("#play", "aria-label") == "Pause"
    for _ in range(50):
        watched.wait_for_timeout(100)
        if float(watched.input_value("#time")) > 0.05:
            break
    else:
        pytest.fail("it does not play")
    watched.keyboard.press("Space")
    assert watched.get_attribute("#play", "aria-label") == "Play"
    watched.focus("#time")
    watched.keyboard.press("PageUp")
    assert "line" in watched.get_attribute("#time", "aria-valuetext")
    watched.keyboard.press("Tab")
    assert watched.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"


def test_it_fits_a_narrow_screen_and_a_finger(watched: Any) -> None:
    watched.set_viewport_size({"width": 320, "height": 640})
    assert watched.evaluate("document.documentElement.scrollWidth") <= 320
    small = "nodes => nodes.filter(n => n.checkVisibility() && n.getBoundingClientRect().height < 24).length"
    assert watched.eval_on_selector_all("button, select, input[type=range], label, summary", small) == 0
    bare = (
        "nodes => nodes.filter(n => !(n.getAttribute('aria-label') || n.labels?.length || n.textContent.trim())).length"
    )
    assert watched.eval_on_selector_all("button, select, input, [role=img]", bare) == 0
    watched.set_viewport_size({"width": 1000, "height": 900})


def test_names_stay_text_in_the_browser(watched: Any) -> None:
    assert watched.text_content("h1") == NASTY
    assert watched.evaluate("document.querySelectorAll('img').length") == 0
    scrub(watched, 5.0)
    assert NASTY in watched.text_content("#n-bit")


def test_nothing_moves_by_itself_and_little_where_motion_is_not_wanted(browser: Any, previewed: BuildResult) -> None:
    page = opened(browser, previewed.out / FRONT / PREVIEW, reduced_motion="reduce")
    page.wait_for_timeout(300)
    assert page.text_content("#n-what") == "finished"
    page.evaluate("""() => { window.seen = 0;
      new MutationObserver(() => window.seen++).observe(document.getElementById('n-time'), { childList: true }); }""")
    page.keyboard.press("Space")
    page.wait_for_timeout(1200)
    assert 1 <= page.evaluate("window.seen") <= 4
    page.context.close()


def test_a_browser_that_cannot_inflate_shows_the_same(browser: Any, previewed: BuildResult, watched: Any) -> None:
    page = opened(browser, previewed.out / FRONT / PREVIEW, script="delete window.DecompressionStream")
    for each in (page, watched):
        scrub(each, 20.0)
    assert page.text_content("#watch") == watched.text_content("#watch")
    page.context.close()


def test_a_touch_of_the_board_leads_to_the_moment_of_its_cut(watched: Any, previewed: BuildResult) -> None:
    (folder,) = [folder for folder in previewed.folders if folder.name == FRONT]
    board, hole = folder.job.stock, (8.0, 15.0)
    scrub(watched, 1e9)
    room = 0.05 * max(board.width, board.depth)
    wide = watched.evaluate("document.getElementById('over').clientWidth")
    dot = wide / (board.width + 2.0 * room)
    spot = {"x": (hole[0] + room) * dot, "y": (board.depth + room - hole[1]) * dot}
    watched.click("#over", position=spot)
    first = line_of(watched)
    assert "hole" in watched.text_content("#n-file")
    watched.click("#over", position=spot)
    assert line_of(watched) > first
    before = watched.text_content("#n-time")
    watched.click("#over", position={"x": wide - 3.0, "y": 3.0})
    assert watched.text_content("#n-time") == before


def test_a_file_with_errors_says_so_first(browser: Any, previewed: BuildResult, tmp_path: Path) -> None:
    folder = previewed.folders[0]
    shutil.copytree(previewed.out / folder.name, tmp_path / "changed")
    cut = tmp_path / "changed" / folder.cut_file
    cut.write_bytes(cut.read_bytes().replace(b"G0 X", b"G0 Z-30 X", 1))
    assert run(["preview", str(cut), "--out", str(tmp_path / "changed.html")]) == 1
    page = opened(browser, tmp_path / "changed.html")
    assert "Cut nothing from this file" in page.text_content("main")
    assert "not the bytes that were proved" in page.text_content("#pins")
    page.context.close()


def test_findings_are_pinned_where_they_are(browser: Any, tmp_path: Path) -> None:
    (tmp_path / "own.nc").write_text("\n".join(FOREIGN))
    assert run(["preview", str(tmp_path / "own.nc"), "--out", str(tmp_path / "own.html"), "--machine", FRONT]) == 1
    page = opened(browser, tmp_path / "own.html")
    (pin,) = [each for each in page.query_selector_all("#pins .full button") if "line 6" in each.text_content()]
    pin.click()
    assert line_of(page) == 7
    assert NASTY in page.text_content("#code")
    assert page.evaluate("document.querySelectorAll('img').length") == 0
    page.context.close()
