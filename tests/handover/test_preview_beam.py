"""The preview of a beam in a real browser: what it burns is shown as burnt, by its power."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import pathkit as pk
from pathkit.cli.main import run
from pathkit.cli.showing import DONE
from pathkit.handover.pages.colours import depth_colours
from pathkit.handover.pages.preview import PER_POWER, SHADES
from pathkit.handover.revision import PREVIEW
from pathkit.motion.program import RAPID, Program
from tests.handover.previews import carried
from tests.handover.test_beam import PROFILE
from tests.handover.test_preview_seen import DOT, opened, scrub
from tests.jobs.audit.test_beam_faults import LABELS

POWERS = (76 / 255, 230 / 255)
"""Shares of full power that the file asks for: 0.3 and 0.9 in steps of a 255th."""


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("burnt")
    (place / "beam.toml").write_text(PROFILE, encoding="utf-8")
    (place / "labels.toml").write_text(LABELS + '[[machine]]\nprofile = "beam.toml"\n', encoding="utf-8")
    assert run(["build", str(place / "labels.toml"), "--out", str(place / "out")]) == DONE
    (folder,) = [path.parent for path in (place / "out").rglob(PREVIEW)]
    return folder


@pytest.fixture(scope="module")
def text(built: Path) -> bytes:
    return next(path for path in built.glob("*.nc") if "-air" not in path.name).read_bytes()


@pytest.fixture(scope="module")
def program(text: bytes) -> Program:
    return pk.read(text, pk.Machine.from_toml(PROFILE)).program


@pytest.fixture(scope="module")
def page(browser: Any, built: Path) -> Iterator[Any]:
    page = opened(browser, built / PREVIEW)
    yield page
    page.close()


def middle(program: Program, row: int) -> list[float]:
    """Of a straight move, on the bench: the board's corner is the file's zero."""
    found: list[float] = ((program.end[row - 1, :2] + program.end[row, :2]) / 2.0).tolist()
    return found


def straight(program: Program, share: float | None) -> int:
    """The longest straight move at that power, or without a beam."""
    reach = np.hypot(*np.diff(program.end[:, :2], axis=0, prepend=program.start[None, :2]).T)
    assert program.power is not None
    wanted = program.kind == RAPID if share is None else np.isclose(program.power, share) & (program.kind == 1)
    return int(np.argmax(np.where(wanted, np.nan_to_num(reach), -1.0)))


def test_the_page_carries_the_power_of_each_move(built: Path, program: Program) -> None:
    page = (built / PREVIEW).read_bytes()
    about, columns, _ = carried(page, columns=11)
    assert program.power is not None
    assert np.abs(columns[10, 1:] / PER_POWER - program.power).max() <= 0.5 / PER_POWER
    assert about["beam"] is True


def test_burnt_lines_are_shaded_by_their_power(page: Any, program: Program) -> None:
    page.uncheck("#travel")
    scrub(page, 1e9)
    for share in POWERS:
        wanted = depth_colours(SHADES)[min(SHADES - 1, int(share / max(POWERS) * SHADES))]
        near = np.array([int(wanted[k : k + 2], 16) for k in (1, 3, 5)])
        x, y = middle(program, straight(program, share))
        seen = np.array([page.evaluate(DOT, [x, y + step / 10.0]) for step in range(-6, 7)])
        assert np.abs(seen - near).max(axis=1).min() <= 8, "the line itself"
        assert (seen == [0xEF, 0xE0, 0xC4]).all(axis=1).sum() >= 6, "as narrow as the beam"
    x, y = middle(program, straight(program, None))
    beside = [page.evaluate(DOT, [x + step / 10.0, y + step / 10.0]) for step in range(-3, 4)]
    assert beside == [[0xEF, 0xE0, 0xC4]] * 7, "travel burns nothing"
    scrub(page, 0.0)
    assert page.evaluate(DOT, middle(program, straight(program, max(POWERS)))) == [0xEF, 0xE0, 0xC4]
    page.check("#travel")


def test_the_words_are_those_of_a_beam(page: Any, built: Path, program: Program) -> None:
    about, columns, _ = carried((built / PREVIEW).read_bytes(), columns=11)
    middles = columns[3:5].mean(axis=0) / about["perSecond"]
    for share, said, doing in (
        (POWERS[0], "29.8 %", "burns"),
        (POWERS[1], "90.2 %", "burns"),
        (None, "off", "travels"),
    ):
        row = straight(program, share)
        scrub(page, float(middles[row + 1]))
        assert int(page.text_content("#n-line").split()[0]) == int(program.line[row])
        assert page.text_content("#n-depth") == said
        assert page.text_content("#n-what").startswith(doing)
    assert page.query_selector("#side") is None
    page.evaluate("document.getElementById('code').remove()")
    shown = page.evaluate("document.querySelector('main').innerText").lower()
    assert "power" in shown
    for strange in ("depth", "bit", "above the board", "cuts "):
        assert strange not in shown, strange


def test_a_touch_leads_to_where_it_is_burnt(page: Any, program: Program) -> None:
    page.uncheck("#travel")
    scrub(page, 1e9)
    row = straight(program, POWERS[1])
    x, y = middle(program, row)
    board = page.evaluate("JSON.parse(document.getElementById('about').textContent).board")
    room = 0.05 * max(board["width"], board["depth"])
    dot = page.evaluate("document.getElementById('over').clientWidth") / (board["width"] + 2.0 * room)
    page.click("#over", position={"x": (x + room) * dot, "y": (board["depth"] + room - y) * dot})
    assert page.text_content("#n-depth") == "90.2 %"
    page.check("#travel")
