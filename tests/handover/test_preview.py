"""The preview: what it carries, and in a real browser that it shows what the file does at each moment."""

from __future__ import annotations

import base64
import json
import re
import shutil
import zlib
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import pathkit as pk
from pathkit.cli.main import run
from pathkit.handover.build import build_orders
from pathkit.handover.pages.colours import depth_colours
from pathkit.handover.pages.preview import PER_MM, PER_SECOND, SHADES, Scene, Watched, preview_page
from pathkit.handover.result import BuildResult
from pathkit.handover.revision import PREVIEW
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.machine.kinematics import RunTime, run_time
from pathkit.machine.orientation import to_bench
from pathkit.model.job import Setup
from pathkit.motion.program import Program
from pathkit.registry import load_machine
from tests.browser import chromium

NASTY = "</script><img src=x onerror=alert(1)> & {{ 7 * 7 }}"
FRONT, BACK = "grbl-front-left", "grbl-back-right"
FOREIGN = ["G21 G90 G17 G94", "G54", "G0 Z5", "G0 X1 Y1", f"({NASTY})", "G99 X3", "G1 Z-2 F100", "X40 Y30", "M2"]


@pytest.fixture(scope="module")
def built(tags: str, tmp_path_factory: pytest.TempPathFactory) -> BuildResult:
    """Key tags of a hostile name, for two machines; the board lies turned on one of them."""
    text = tags.replace('name = "key tags"', f"name = '{NASTY}'").replace('name = "tag"', f"name = '{NASTY}'")
    text = text.replace('tools."3 mm mill"', f"tools.'{NASTY}'").replace('"3 mm mill"', f"'{NASTY}'")
    orders = orders_of(job_file_of(text, "job.toml"), [load_machine(FRONT), load_machine(BACK)])
    made = build_orders(orders, tmp_path_factory.mktemp("preview") / "out")
    assert made.ok, made.findings
    return made


def carried(page: bytes) -> tuple[dict[str, Any], np.ndarray, str]:
    """What a page carries, taken apart by hand: its figures, its columns (10, n), and the text."""
    found = dict(re.findall(rb'<script type="[a-z/]+" id="(\w+)">(.*?)</script>', page, re.S))
    about = json.loads(found[b"about"])
    planes = np.frombuffer(zlib.decompress(base64.b64decode(found[b"moves"])), np.uint8).reshape(10, 4, about["rows"])
    columns = np.cumsum(planes.transpose(0, 2, 1).copy().view("<i4")[:, :, 0], axis=1, dtype=np.int64)
    return about, columns, zlib.decompress(base64.b64decode(found[b"text"])).decode("utf-8")


def timed(text: bytes, program: Program, machine: Any) -> RunTime:
    """The run time of a file, its lines sent one after the other."""
    sizes = [len(line) for line in text.splitlines(keepends=True)]
    sent, last = [], 0
    for line in program.line.tolist():
        sent.append(sum(sizes[last:line]))
        last = max(last, line)
    return run_time(program, machine, line_bytes=sent if machine.bytes_per_second else None)


def read_back(built: BuildResult, k: int) -> tuple[bytes, Program, RunTime]:
    folder = built.folders[k]
    text = folder.files[folder.cut_file]
    program = pk.read(text, folder.machine.dialect).program
    return text, program, timed(text, program, folder.machine)


def test_a_page_carries_the_moves_and_times_of_the_text(built: BuildResult) -> None:
    for k, folder in enumerate(built.folders):
        text, program, clock = read_back(built, k)
        about, columns, shown = carried(folder.files[PREVIEW])
        assert shown == text.decode("ascii").replace("\r\n", "\n")
        assert columns[7, 1:].tolist() == program.line.tolist()
        assert about["total"] == pytest.approx(clock.total)
        assert about["total"] == pytest.approx(folder.clock.total, rel=0.01)
        ends = np.cumsum(clock.per_move) + np.cumsum(clock.standing[:-1])
        assert np.abs(columns[4, 1:] / PER_SECOND - ends).max() <= 1.0 / PER_SECOND
        bench = to_bench(program, folder.machine, folder.job.stock, folder.setup)
        known = np.isfinite(bench.end).all(axis=1)
        assert folder.setup.turn == 0
        assert np.abs(columns[:3, 1:].T / PER_MM - bench.end)[known].max() <= 1.0 / PER_MM
        assert {about["names"][at] for at in columns[9, 1:] if at >= 0} == {path.name for path in folder.job.toolpaths}
        assert set(columns[8, 1:].tolist()) == {0}


def test_a_turned_board_is_shown_as_it_lies(tags: str, tmp_path: Path) -> None:
    orders = orders_of(job_file_of(tags, "job.toml"), [load_machine(FRONT)])
    turned = build_orders([replace(order, setup=Setup(turn=1)) for order in orders], tmp_path / "out")
    assert turned.ok, turned.findings
    about, columns, _ = carried(turned.folders[0].files[PREVIEW])
    straight = build_orders(orders, tmp_path / "straight")
    _, plain, _ = carried(straight.folders[0].files[PREVIEW])
    board = turned.folders[0].job.stock
    assert (about["board"]["width"], about["board"]["depth"]) == (board.depth, board.width)
    # A quarter turn takes the board's front left corner to its front right: the same cuts, as seen from there.
    low, low_plain = (each[:, each[2] < about["board"]["top"] * PER_MM] for each in (columns, plain))
    assert low[1].max() == pytest.approx(low_plain[0].max(), abs=2)
    assert board.depth * PER_MM - low[0].min() == pytest.approx(low_plain[1].max(), abs=2)


def test_files_for_several_bits_are_one_cut(tags: str, tmp_path: Path) -> None:
    text = tags.replace("[cutting.wood]", "[tools.wide]\ndiameter = 5\ncentre_cutting = true\n\n[cutting.wood]")
    text = text.replace('shape = "recess"\n', 'shape = "recess"\ntool = "wide"\n')
    text = text.replace('shape = "hole"\n', 'shape = "hole"\ntool = "3 mm mill"\n')
    text = text.replace('shape = "outline"\n', 'shape = "outline"\ntool = "3 mm mill"\n')
    made = build_orders(orders_of(job_file_of(text, "job.toml"), [load_machine(FRONT)]), tmp_path / "out")
    assert made.ok, made.findings
    (folder,) = made.folders
    about, columns, shown = carried(folder.files[PREVIEW])
    assert [file["name"] for file in about["files"]] == list(folder.cut_files)
    assert len(folder.cut_files) == 2
    assert f"Next file: {folder.cut_files[1]}" in [event["what"] for event in about["events"]]
    lines, first, clocks = shown.split("\n"), 0, []
    for k, name in enumerate(folder.cut_files):
        program = pk.read(folder.files[name], folder.machine.dialect).program
        clocks.append(timed(folder.files[name], program, folder.machine))
        here = (columns[7] > first) & (columns[7] <= first + about["files"][k]["lines"])
        assert (columns[7, here] - first).tolist() == program.line.tolist()
        assert lines[first : first + 2] == folder.files[name].decode("ascii").splitlines()[:2]
        assert {about["bits"][at]["name"] for at in columns[8, here]} == {folder.job.tools[k].name}
        first += about["files"][k]["lines"]
    assert about["total"] == pytest.approx(sum(clock.total for clock in clocks))
    assert (np.diff(columns[4]) >= 0).all()
    assert run(["check", str(tmp_path / "out")]) == 0


def test_names_and_comments_never_become_markup(built: BuildResult) -> None:
    for folder in built.folders:
        page = folder.files[PREVIEW].decode("utf-8")
        assert page.count("<script") == page.count("</script>") == 7
        assert "<img" not in page
        assert "http" not in page.replace("http-equiv", "")
        assert "default-src 'none'" in page
        assert f"<code>{folder.order.mark}</code>" in page


def test_sheet_and_index_lead_to_the_preview_and_the_folder_checks(built: BuildResult) -> None:
    index = (built.out / "index.html").read_text(encoding="utf-8")
    for folder in built.folders:
        assert f'<a href="{folder.name}/{PREVIEW}">preview</a>' in index
        assert f'<a href="{PREVIEW}">' in (built.out / folder.name / folder.sheet_file).read_text(encoding="utf-8")
    assert run(["check", str(built.out)]) == 0


def test_a_file_without_moves_makes_a_page() -> None:
    machine = load_machine(FRONT)
    program = pk.read("G21\nM2\n", "grbl").program
    none = np.zeros(0, np.int32)
    page = preview_page(
        Scene("empty", "", machine, Setup(), None, ()), [Watched("e.nc", b"G21\nM2\n", program, none, none)]
    )
    about, columns, text = carried(page)
    assert (about["rows"], columns.shape, text) == (1, (10, 1), "G21\nM2\n")


def test_the_command_makes_a_page_of_any_file(
    built: BuildResult, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = built.folders[0]
    cut = built.out / folder.name / folder.cut_file
    assert run(["preview", str(cut), "--out", str(tmp_path / "p.html")]) == 0
    assert "not a proof of the machine" in capsys.readouterr().out
    mine, theirs = (carried(page) for page in ((tmp_path / "p.html").read_bytes(), folder.files[PREVIEW]))
    assert mine[0]["board"] == theirs[0]["board"]
    assert (mine[1][:9] == theirs[1][:9]).all()
    assert run(["preview", str(cut), "--out", str(tmp_path / "p.html"), "--json"]) == 0
    # A file from elsewhere: without its board, and with what is wrong where it is wrong.
    (tmp_path / "own.nc").write_text(
        f"G21 G90 G17 G94\nG54\nG0 Z5\nG0 X1 Y1\n({NASTY})\nG99 X3\nG1 Z-2 F100\nX40 Y30\n"
    )
    assert run(["preview", str(tmp_path / "own.nc"), "--out", str(tmp_path / "own.html")]) == 2
    assert "--machine" in capsys.readouterr().err
    words = ["preview", str(tmp_path / "own.nc"), "--out", str(tmp_path / "own.html"), "--machine", FRONT]
    assert run(words) == 1
    assert "error" in capsys.readouterr().out
    about, columns, _ = carried((tmp_path / "own.html").read_bytes())
    assert not about["board"]["known"]
    assert 6 in {found["line"] for found in about["findings"]}
    assert (columns[:2, -1] / PER_MM).tolist() == [40.0, 30.0]


def test_a_file_that_starts_again_has_its_page(built: BuildResult, tmp_path: Path) -> None:
    folder = built.folders[0]
    last = folder.job.toolpaths[-1]
    cut = built.out / folder.name / folder.cut_file
    assert run(["resume", str(cut), "--from", last.name, "--out", str(tmp_path / "rest.nc")]) == 0
    page, text = (tmp_path / "rest-preview.html").read_bytes(), (tmp_path / "rest.nc").read_bytes()
    about, columns, shown = carried(page)
    assert shown == text.decode("ascii").replace("\r\n", "\n")
    assert {about["names"][at] for at in columns[9] if at >= 0} == {last.name}
    assert {about["bits"][at]["name"] for at in columns[8]} == {last.tool.name}
    assert (columns[9] >= 0).any()
    assert b"What was cut before this file is not shown" in page
    assert b"What was cut before this file is not shown" not in folder.files[PREVIEW]


def test_a_rehearsal_has_a_page_on_which_nothing_is_cut(built: BuildResult, tmp_path: Path) -> None:
    folder = built.folders[0]
    job = built.out / folder.name / folder.job_file
    assert run(["rehearse", str(job), "--machine", FRONT, "--out", str(tmp_path / "air")]) == 0
    about, columns, shown = carried((tmp_path / "air" / "rehearsal-preview.html").read_bytes())
    names = [file["name"] for file in about["files"]]
    assert [name.split("-")[1] for name in names] == ["letter", "rectangle"]
    assert all((tmp_path / "air" / name).read_text("ascii").replace("\r\n", "\n") in shown + "\n" for name in names)
    assert about["board"]["known"]
    assert columns[2, columns[7] > 0].min() > about["board"]["top"] * PER_MM
    assert set(columns[8].tolist()) == set(columns[9].tolist()) == {-1}


# In a real browser.


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with chromium() as started:
        yield started


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
def watched(browser: Any, built: BuildResult) -> Iterator[Any]:
    page = opened(browser, built.out / FRONT / PREVIEW)
    yield page
    assert page.told == [(built.out / FRONT / PREVIEW).as_uri()]


SCRUB = "at => { const s = document.getElementById('time'); s.value = at; s.dispatchEvent(new Event('input')); }"


def scrub(page: Any, seconds: float) -> None:
    page.evaluate(
        "at => { const s = document.getElementById('time'); s.value = at; s.dispatchEvent(new Event('input')); }",
        seconds,
    )


def line_of(page: Any) -> int:
    return int(page.text_content("#n-line").split()[0])


def test_the_line_shown_is_the_one_that_runs(watched: Any, built: BuildResult) -> None:
    k = [folder.name for folder in built.folders].index(FRONT)
    text, program, clock = read_back(built, k)
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
        z = built.folders[k].job.stock.top - np.array([program.end[row - 1, 2], program.end[row, 2]])
        if np.ptp(z) == 0.0 and z[0] > 0.0:
            assert float(depth.split()[0]) == pytest.approx(z[0], abs=0.01)


DOT = """([x, y]) => {
  const c = document.getElementById('wood'), about = JSON.parse(document.getElementById('about').textContent);
  const {width, depth} = about.board, room = 0.05 * Math.max(width, depth), k = c.width / (width + 2 * room);
  return [...c.getContext('2d').getImageData((x + room) * k, (depth + room - y) * k, 1, 1).data].slice(0, 3);
}"""


def test_a_letter_in_the_air_is_seen(browser: Any, built: BuildResult, tmp_path: Path) -> None:
    """At a feed and above the board: the first stroke of the F, from its foot up, and a place beside it."""
    folder = built.folders[0]
    job = built.out / folder.name / folder.job_file
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


def test_wood_is_shaded_by_how_deep_it_is_cut_and_comes_back(watched: Any, built: BuildResult) -> None:
    folder = next(folder for folder in built.folders if folder.name == FRONT)
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


def test_nothing_moves_by_itself_and_little_where_motion_is_not_wanted(browser: Any, built: BuildResult) -> None:
    page = opened(browser, built.out / FRONT / PREVIEW, reduced_motion="reduce")
    page.wait_for_timeout(300)
    assert page.text_content("#n-what") == "finished"
    page.evaluate("""() => { window.seen = 0;
      new MutationObserver(() => window.seen++).observe(document.getElementById('n-time'), { childList: true }); }""")
    page.keyboard.press("Space")
    page.wait_for_timeout(1200)
    assert 1 <= page.evaluate("window.seen") <= 4
    page.context.close()


def test_a_browser_that_cannot_inflate_shows_the_same(browser: Any, built: BuildResult, watched: Any) -> None:
    page = opened(browser, built.out / FRONT / PREVIEW, script="delete window.DecompressionStream")
    for each in (page, watched):
        scrub(each, 20.0)
    assert page.text_content("#watch") == watched.text_content("#watch")
    page.context.close()


def test_a_touch_of_the_board_leads_to_the_moment_of_its_cut(watched: Any, built: BuildResult) -> None:
    (folder,) = [folder for folder in built.folders if folder.name == FRONT]
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


def test_a_file_with_errors_says_so_first(browser: Any, built: BuildResult, tmp_path: Path) -> None:
    folder = built.folders[0]
    shutil.copytree(built.out / folder.name, tmp_path / "changed")
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
