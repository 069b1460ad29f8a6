"""A hand-out: what is offered, what each choice leads to, and the page on which a stranger chooses."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import pathkit as pk
from pathkit.cli.main import run
from pathkit.errors import InputError
from pathkit.handover.chooser import build_handout, page_data
from pathkit.handover.many import Variant
from pathkit.handover.pages.render import chooser_of
from pathkit.handover.rehearse import LETTER, measured_sides, rehearse
from pathkit.jobs.handout import Choice, directions, offered_by, pieces_of
from pathkit.jobs.reading import JobFile, job_file_of
from pathkit.jobs.requests import job_file

JOB = """
name = "peg board"
stock = { thickness = 6, z_zero = "bed", underlay = 2 }
board = [{ name = "offcut", width = 120, depth = 80 }]
tools.mill = { diameter = 3, centre_cutting = true }
cutting.wood = { feed = 1400, plunge = 400, spindle = 18000 }
[[part]]
name = "peg board"
shapes.hole.points = [[40, 30]]
operations = [{ kind = "drill", shape = "hole", bottom.from_top = 3 }]
[handout]
"""
LEAST = """
[handout.machine]
travel = [150, 120, 60]
rapid = [3000, 1000]
feed_limit = [2500, 800]
acceleration = [300, 100]
"""
FEW = JOB + 'corners = ["front-left", "back-right"]\ndirections = ["right away up"]\n'
COMPASS = {"right": (1, 0), "left": (-1, 0), "away": (0, 1), "toward": (0, -1)}


def file_of(text: str) -> JobFile:
    return job_file_of(text, "pegs.toml")


def data_of(folder: Path) -> dict[str, Any]:
    """What the page in a folder knows."""
    page = (folder / "index.html").read_text(encoding="utf-8")
    found = re.search(r'<script type="application/json" id="data">(.*?)</script>', page, re.S)
    assert found is not None
    data: dict[str, Any] = json.loads(found[1])
    return data


@pytest.fixture(scope="module")
def everywhere(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Variant]]:
    """All 64 ways in which zero and axes can lie."""
    out = tmp_path_factory.mktemp("handout") / "out"
    return out, list(build_handout(file_of(JOB + LEAST), out))


def drawn(out: Path, entry: dict[str, Any], kind: str, choice: Choice) -> np.ndarray:
    """(k, 3): where a person before the machine sees the bit go, from the text of a file and the axes alone."""
    program = pk.read((out / entry["folder"] / entry[kind]).read_bytes(), choice.dialect).program
    place = program.end[np.isfinite(program.end).all(axis=1)]
    x, y = (np.array(COMPASS[word]) for word in (choice.x, choice.y))
    z = place[:, 2] if choice.z == "up" else -place[:, 2]
    corner = [120.0 * choice.corner.endswith("right"), 80.0 * choice.corner.startswith("back")]
    return np.column_stack([place[:, :1] * x + place[:, 1:2] * y + corner, z])


def letter_of(shape: np.ndarray) -> np.ndarray:
    plan = shape[: len(LETTER), :2] - shape[0, :2]
    return np.asarray(plan / np.abs(plan).max() * 5.0)


def test_there_are_sixteen_ways_in_which_axes_can_run() -> None:
    every = list(directions())
    assert len(set(every)) == 16
    for words in every:
        x, y, z = words.split()
        assert np.dot(COMPASS[x], COMPASS[y]) == 0
        assert z in ("up", "down")


def test_every_choice_is_built_and_draws_its_letter_upright(everywhere: tuple[Path, list[Variant]]) -> None:
    out, variants = everywhere
    assert [variant.status for variant in variants] == ["built"] * 64
    offered = offered_by(file_of(JOB + LEAST))
    data = data_of(out)
    assert len(data["files"]) == 64
    assert data["why"] == {}
    for each in offered:
        choice = each.choice
        words = f"{choice.x} {choice.y} {choice.z}"
        key = f"{data['steps']['corner'].index(choice.corner)}.{data['steps']['directions'].index(words)}.0.0.0.0"
        (entry,) = data["files"][key]
        assert letter_of(drawn(out, entry, "letter", choice)) == pytest.approx(np.array(LETTER), abs=1e-3)
        measure = drawn(out, entry, "measure", choice)
        assert np.ptp(measure[:, 0]) == pytest.approx(100.0, abs=1e-3)
        assert np.ptp(measure[:, 1]) == pytest.approx(80.0, abs=1e-3)
        # Half the board's size on either side of its middle, wherever zero is.
        assert measure[:, 0].min() == pytest.approx(10.0, abs=1e-3)
        for kind in ("letter", "measure", "around"):
            assert drawn(out, entry, kind, choice)[:, 2].min() > 8.0
        for name in (entry["sheet"], *entry["cut"], *entry["air"], entry["letter"], entry["around"], entry["measure"]):
            assert (out / entry["folder"] / name).is_file()


def test_a_second_run_makes_nothing_anew_and_the_same_page(everywhere: tuple[Path, list[Variant]]) -> None:
    out, _ = everywhere
    before = (out / "index.html").read_bytes()
    again = list(build_handout(file_of(JOB + LEAST), out))
    assert {variant.status for variant in again} == {"finished before"}
    assert (out / "index.html").read_bytes() == before


def test_run_time_is_a_range_from_the_feeds_alone_to_the_least_machine(everywhere: tuple[Path, list[Variant]]) -> None:
    _, variants = everywhere
    for variant in variants:
        folder = variant.result
        assert folder is not None
        assert folder.quickest is not None
        # One hole: 3 mm of wood and the approach above it, at 400 mm/min.
        assert 3.0 / 400.0 * 60.0 <= folder.quickest < folder.clock.total


def test_the_sheet_says_for_which_machines_it_is(everywhere: tuple[Path, list[Variant]]) -> None:
    out, variants = everywhere
    sheet = (out / variants[0].folder / "setup-sheet.html").read_text(encoding="utf-8")
    assert "For any machine that has at least" in sheet
    assert "150 mm from left to right, 120 mm from front to back and 60 mm up" in sheet


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ('units = ["mm", "inch"]\ndialects = ["grbl", "iso6983"]\n', None),
        ('bits = ["9mm"]\n', "9"),
    ],
)
def test_what_cannot_be_cut_is_not_offered_and_says_why(more: str, said: str | None) -> None:
    offered = offered_by(file_of(FEW + more + LEAST))
    assert all(bool(each.orders) != bool(each.why) for each in offered)
    lost = [each for each in offered if not each.orders]
    assert [each.choice.bit for each in lost] == ([] if said is None else ["9mm"] * 2)
    assert all(said is None or said in each.why for each in lost)


def test_a_board_that_the_least_machine_has_no_room_for_is_not_offered() -> None:
    text = FEW.replace("depth = 80 }]", 'depth = 80 }, { name = "plank", width = 400, depth = 80 }]')
    offered = offered_by(file_of(text + LEAST))
    assert [(each.choice.board, bool(each.orders)) for each in offered] == [(0, True)] * 2 + [(1, False)] * 2
    assert "400 mm" in offered[-1].why
    only = offered_by(file_of(text + 'boards = ["offcut"]\n' + LEAST))
    assert {each.choice.board for each in only} == {0}


def test_the_smaller_of_two_boards_is_cut_where_it_was_chosen(tmp_path: Path) -> None:
    """By itself the machine would take the larger one, and the audit holds it to that unless a board was asked for."""
    text = FEW.replace("depth = 80 }]", 'depth = 80 }, { name = "plank", width = 140, depth = 80 }]') + LEAST
    text = text.replace('corners = ["front-left", "back-right"]', 'corners = ["front-left"]')
    (tmp_path / "pegs.toml").write_text(text, encoding="utf-8")
    done = list(build_handout(job_file(tmp_path / "pegs.toml"), tmp_path / "out"))
    assert [(variant.status, variant.findings) for variant in done] == [("built", ())] * 2
    assert [len(each) for each in data_of(tmp_path / "out")["files"].values()] == [1, 1]
    for variant in done:
        assert run(["check", str(tmp_path / "out" / variant.folder)]) == 0
    assert run(["check", str(tmp_path / "out"), "--job", str(tmp_path / "pegs.toml")]) == 0
    # What the certificate says of the board is held against the job.
    path = tmp_path / "out" / done[0].folder / "peg-board.nc.proof.json"
    certificate = json.loads(path.read_text(encoding="utf-8"))
    assert certificate["sources"]["board"] == 0
    for other in (1, 7):
        path.write_text(json.dumps({**certificate, "sources": {**certificate["sources"], "board": other}}))
        assert run(["check", str(path.parent)]) == 1


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (JOB.replace("[handout]\n", ""), "no \\[handout\\]"),
        (FEW + 'dialects = ["grbl", "klingon"]\n' + LEAST, "klingon"),
        (FEW + 'boards = ["plank"]\n' + LEAST, "plank"),
        (FEW + LEAST.replace("travel = [150, 120, 60]", "travel = [50, 50, 60]"), "nothing can be offered"),
    ],
)
def test_a_handout_that_cannot_be_is_refused(text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        offered_by(file_of(text))


def test_directions_along_one_line_are_refused_where_they_are_written() -> None:
    with pytest.raises(InputError, match="handout"):
        file_of(JOB + 'directions = ["right up away"]\n' + LEAST)
    both = 'corners = ["front-left"]\ndirections = ["right away up", "right left up"]\n'
    assert "same line" in offered_by(file_of(JOB + both + LEAST))[1].why


def test_a_variant_that_fails_is_not_offered_and_says_why() -> None:
    file = file_of(FEW + LEAST)
    offered = offered_by(file)
    folder = offered[0].orders[0].folder
    data = page_data(file, offered, [], [], {folder: "the proof failed"})
    assert data["files"] == {}
    assert sorted(data["why"].values()) == ["it has not been built", "the proof failed"]


def test_each_choice_has_a_test_piece_for_the_fit_proved_in_a_folder_of_its_own(tmp_path: Path) -> None:
    text = FEW.replace('kind = "drill", shape = "hole",', 'kind = "drill", shape = "hole", diameter = 5,')
    text = text.replace("depth = 80 }]", 'depth = 80 }, { name = "plank", width = 140, depth = 80 }]')
    file = file_of(text + 'bits = ["2mm"]\n' + LEAST)
    done = list(build_handout(file, tmp_path / "out"))
    assert [variant.findings for variant in done if not variant.ok] == []
    data = data_of(tmp_path / "out")
    # Two corners, boards and bits: the board does not matter to a test piece.
    assert len(data["files"]) == len(data["tests"]) == 8
    assert len({entry["folder"] for entry in data["tests"].values()}) == 4
    for key, entry in data["tests"].items():
        folder = tmp_path / "out" / entry["folder"]
        assert all((folder / name).is_file() for name in (entry["sheet"], *entry["cut"], *entry["air"]))
        text = (folder / entry["cut"][0]).read_text(encoding="utf-8")
        # The corner of the choice is the corner of its test piece.
        assert entry["folder"].removeprefix("test-").split("-mm")[0] in data["files"][key][0]["folder"]
        assert "test piece recess -0.2" in text
        assert "rehearsal" not in "".join(path.name for path in folder.iterdir())
    assert [fit["recess"]["mm"] for fit in data["fit"]] == ["12 mm"] * 2
    assert data["fit"][0]["steps"] == ["−0.2", "−0.1", "0", "+0.1", "+0.2"]
    some = tmp_path / "out" / entry["folder"]
    assert run(["check", str(some)]) == 0
    (tmp_path / "pegs.toml").write_text(text := file.text, encoding="utf-8")
    assert run(["check", str(tmp_path / "out"), "--job", str(tmp_path / "pegs.toml")]) == 0
    (tmp_path / "pegs.toml").write_text(text.replace("feed = 1400", "feed = 1300"), encoding="utf-8")
    assert run(["check", str(some), "--job", str(tmp_path / "pegs.toml")]) == 1


def test_a_job_without_walls_has_no_test_piece_and_says_why() -> None:
    file = file_of(FEW + LEAST)
    offered = offered_by(file)
    data = page_data(file, offered, [], [], {}, pieces_of(file, offered))
    assert data["tests"] == {}
    assert "no recess" in data["fit"][0]["why"]


def test_names_stay_text_and_the_page_stays_small() -> None:
    file = file_of(FEW.replace('name = "peg board"\nstock', 'name = "</script><b onload=x>"\nstock') + LEAST)
    data = page_data(file, offered_by(file), [], [], {})
    entry = {
        "folder": "grbl-front-left-right-away-up-inch-board-2", "sheet": "setup-sheet.html", "cut": ["peg-board.nc"],
        "air": ["peg-board-air.nc"], "letter": "rehearsal-letter-grbl-front-left-right-away-up-inch-board-2.nc",
        "around": "rehearsal-rectangle-grbl-front-left-right-away-up-inch-board-2.nc",
        "measure": "rehearsal-measure-grbl-front-left-right-away-up-inch-board-2.nc", "time": "1 h 05 min",
        "quickest": "58 min", "parts": "12", "times": "1",
    }  # fmt: skip
    data["files"] = {f"0.0.0.0.0.{k}": [{**entry, "folder": f"{entry['folder']}-{k}"}] for k in range(256)}
    page = chooser_of("</script><b onload=x>", "0123456789ab", data).decode()
    assert page.count("<script") == 3
    assert page.count("</script>") == 3
    assert "<b onload" not in page
    assert "http:" not in page
    assert "https:" not in page
    assert len(page) < 300_000


def test_the_longest_names_still_tell_files_and_folders_apart() -> None:
    more = 'dialects = ["rs274ngc"]\nunits = ["inch"]\nbits = ["3.17mm", "3.175mm"]\n'
    text = JOB.replace("depth = 80 }]", 'depth = 80 }, { name = "plank", width = 140, depth = 80 }]')
    text = text.replace('shape = "hole", bottom', 'shape = "hole", diameter = 5.0, stepdown = 1, bottom')
    whole = text + 'corners = ["front-right"]\ndirections = ["toward right down"]\n' + more + LEAST
    orders = [order for each in offered_by(file_of(whole)) for order in each.orders]
    assert len({order.folder for order in orders}) == len(orders) == 6
    for order in orders:
        assert len(rehearse(order.job, order.machine, measured=True).files) == 3


def test_a_measure_is_shorter_on_a_small_board_and_whole_in_the_readers_units() -> None:
    job = offered_by(file_of(FEW + LEAST))[0].orders[0].job
    assert measured_sides(job, "mm") == (100.0, 80.0)
    assert measured_sides(job, "inch") == pytest.approx((101.6, 76.2))


def test_the_command_builds_a_folder_and_refuses_a_file_without_a_handout(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "pegs.toml").write_text(FEW + LEAST, encoding="utf-8")
    out = tmp_path / "out"
    assert run(["handout", str(tmp_path / "pegs.toml"), "--out", str(out)]) == 0
    told = capsys.readouterr().out
    assert "2 built" in told
    assert "stop button" in told
    assert run(["check", str(out / "grbl-back-right-right-away-up-mm")]) == 0
    assert offered_by(job_file(tmp_path / "pegs.toml"))
    (tmp_path / "bare.toml").write_text(JOB.replace("[handout]\n", ""), encoding="utf-8")
    assert run(["handout", str(tmp_path / "bare.toml"), "--out", str(tmp_path / "other")]) == 2
    assert "no [handout]" in capsys.readouterr().err
    assert not (tmp_path / "other").exists()


# In a real browser.


@pytest.fixture(scope="module")
def page(browser: Any, everywhere: tuple[Path, list[Variant]]) -> Iterator[Any]:
    """The page of `everywhere` in Chromium; nothing but the page itself may be asked for, and no script may fail."""
    opened = browser.new_page(viewport={"width": 900, "height": 800})
    asked: list[str] = []
    opened.on("console", lambda message: asked.append(message.text))
    opened.on("pageerror", lambda error: asked.append(str(error)))
    opened.on("request", lambda request: asked.append(request.url))
    opened.goto((everywhere[0] / "index.html").as_uri())
    yield opened
    opened.close()
    assert set(asked) == {(everywhere[0] / "index.html").as_uri()}


def pick(page: Any, choice: Choice) -> None:
    said = {"corner": choice.corner, "x": choice.x, "y": choice.y, "z": choice.z, "dialect": choice.dialect}
    click(page, *(f'#steps input[name="{name}"][value="{value}"]' for name, value in {
        **said, "units": choice.units, "board": "0", "bit": "0"
    }.items()))  # fmt: skip


def click(page: Any, *selectors: str) -> None:
    """All of them, one after the other, in one call to the browser."""
    page.evaluate("all => all.forEach(each => document.querySelector(each).click())", selectors)


def test_each_of_the_64_choices_leads_to_its_own_file(page: Any, everywhere: tuple[Path, list[Variant]]) -> None:
    out, _ = everywhere
    found = set()
    for each in offered_by(file_of(JOB + LEAST)):
        pick(page, each.choice)
        assert not page.is_visible("#files")
        click(page, "#least input", 'input[name="seen"][value="0"]', "#rehearsal .tick input")
        assert page.is_visible("#files")
        where = "all => all.map(each => document.querySelector(each).getAttribute('href'))"
        cut, letter = page.evaluate(where, ["#files .cut a", "#rehearsal a"])
        entry = {"folder": cut.rpartition("/")[0], "letter": letter.rpartition("/")[2]}
        assert letter.rpartition("/")[0] == entry["folder"]
        assert letter_of(drawn(out, entry, "letter", each.choice)) == pytest.approx(np.array(LETTER), abs=1e-3)
        found.add(cut)
    assert len(found) == 64


@pytest.mark.parametrize("truth", ["left away", "right toward", "left toward", "away right", "toward left"])
def test_a_letter_that_does_not_read_names_the_directions_that_are_true(page: Any, truth: str) -> None:
    """What a machine of other directions draws is picked from the pictures; the page must name that machine's own."""
    chosen, true = ("right", "away"), truth.split()
    pick(page, Choice("front-left", "right", "away", "up", "grbl", "mm", 0))
    page.check("#least input", force=True)
    frame, real = (np.array([COMPASS[way] for way in ways]).T for ways in (chosen, true))
    # The file's numbers are frame⁻¹ · letter, and the machine shows real · numbers.
    seen = np.array(LETTER) @ (real @ np.linalg.inv(frame)).T
    pictures = page.eval_on_selector_all("#rehearsal .card path.letter", "paths => paths.map(p => p.getAttribute('d'))")
    shapes = [np.array([[float(n) for n in place.split()] for place in d[1:].split("L")]) for d in pictures]
    plans = [(shape - shape[0]) * (1.0, -1.0) / 9.0 for shape in shapes]
    (at,) = [k for k, plan in enumerate(plans) if np.allclose(plan, seen - seen[0])]
    page.check(f'input[name="seen"][value="{at}"]', force=True)
    assert not page.is_visible("#files")
    page.click("#rehearsal [role=status] button")
    assert [page.input_value(f'#steps input[name="{axis}"]:checked') for axis in "xy"] == true


def test_the_page_works_by_keyboard_and_on_a_narrow_screen(page: Any) -> None:
    page.reload()
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    assert page.is_checked('input[name="corner"][value="front-left"]')
    page.keyboard.press("ArrowRight")
    assert page.is_checked('input[name="corner"][value="front-right"]')
    page.set_viewport_size({"width": 320, "height": 640})
    pick(page, Choice("back-left", "toward", "right", "down", "grbl", "mm", 0))
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    click(page, "#least input")
    small = "nodes => nodes.filter(n => n.checkVisibility() && n.getBoundingClientRect().height < 24).length"
    assert page.eval_on_selector_all("#steps label, #end label, #end button", small) == 0
    page.set_viewport_size({"width": 900, "height": 800})
