"""Setup sheets and the index: complete, self-contained, safe whatever the names, and the same bytes every time."""

from __future__ import annotations

import hashlib
import html
import re
import shutil
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathkit.handover.atomic_write import MANIFEST
from pathkit.handover.build import build, build_orders
from pathkit.handover.pages.cautions import cautions
from pathkit.handover.pages.cuts import duration
from pathkit.handover.pages.picture import board_picture, height_picture
from pathkit.handover.result import BuildResult
from pathkit.handover.revision import PREVIEW
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.jobs.requests import Wishes, orders_for
from pathkit.machine.orientation import orientation
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.operations import bore
from pathkit.proof.certificate import NOT_PROVED
from pathkit.registry import load_machine
from pathkit.testing.strategies import machines

NASTY = "<script>alert(1)</script> & {{ 7 * 7 }} -->"
SHEET = "setup-sheet.html"


class Tags(HTMLParser):
    """The contents of a page, by a parser that shares nothing with the template engine."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.names: list[str] = []
        self.links: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.names.append(tag)
        self.links += [value or "" for name, value in attrs if name in ("href", "src", "action", "data")]


@pytest.fixture(scope="module")
def built(tags: str, tmp_path_factory: pytest.TempPathFactory) -> BuildResult:
    text = tags + "\n[layout]\ncopies = 4\nmargin = 10\n"
    file = job_file_of(text, "job.toml")
    orders = orders_of(file, [load_machine("grbl-back-right"), load_machine("portrait-inch")])
    made = build_orders(orders, tmp_path_factory.mktemp("built") / "out")
    assert made.ok, made.findings
    return made


def still(out: Path) -> list[Path]:
    """The pages without a script: all but the preview (`test_preview`)."""
    return [path for path in out.rglob("*.html") if path.name != PREVIEW]


def page(built: BuildResult, name: str) -> str:
    return (built.out / name).read_text(encoding="utf-8")


def test_a_sheet_says_all_that_is_needed_at_the_machine(built: BuildResult) -> None:
    for folder in built.folders:
        text = html.unescape(re.sub(r"<[^>]+>", "\n", page(built, f"{folder.name}/{SHEET}")))
        said = " ".join(text.split())
        # 1400 mm are 55.1 in, 6 and 3 mm 0.2362 and 0.1181 in.
        inches = folder.machine.output.get("units") == "inch"
        tabs = "0.2362 in (6 mm) wide and 0.1181 in (3 mm) high" if inches else "6 mm wide and 3 mm high"
        for words in (
            "300 × 200 × 6 mm", folder.cut_file, folder.air_file, "Z0 is the bed", "3 mm mill", "18000",
            "55.1" if inches else "1400", "you stand here", "of waste or tape", "leave the spindle off", tabs,
            "push the part out from the top face downward", "has not been rehearsed",
            duration(folder.clock.total),
        ):  # fmt: skip
            assert words in said, words
        assert all(caution in said for caution in cautions())
        assert all(line in said for line in NOT_PROVED)
        assert all(check.name in said for check in folder.proof.checks)
    back, inch = (page(built, f"{folder.name}/{SHEET}") for folder in built.folders)
    assert "the back right corner" in back
    assert "As X grows the bit goes to the left, as Y grows toward you" in back
    assert "As X grows the bit goes away from you, as Y grows to the right" in inch
    assert "written in inches" in inch


def test_pages_need_nothing_but_themselves(built: BuildResult) -> None:
    for path in still(built.out):
        text = path.read_text(encoding="utf-8")
        tags = Tags(text)
        assert not {"script", "link", "img", "iframe", "object", "form"} & set(tags.names)
        assert re.search(r"url\((?!#)", text) is None
        assert "@import" not in text
        assert "http" not in text.replace("http-equiv", "")
        for link in tags.links:
            assert link.startswith("#") or (path.parent / link).is_file(), link
        assert str(built.out) not in text


def test_the_index_lists_every_file_with_its_digest(built: BuildResult) -> None:
    text = page(built, "index.html")
    rows = dict(
        re.findall(r"<td><code>([^<]+)</code></td><td class=\"n\">\d+</td><td><code>([0-9a-f]{64})</code>", text)
    )
    here = {
        path.relative_to(built.out).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in built.out.rglob("*")
        if path.is_file() and path.name not in ("index.html", MANIFEST)
    }
    assert rows == here
    assert text.count('<td class="n">4</td>') >= 2 * len(built.folders), "parts a board, and parts in all"
    for folder in built.folders:
        assert f"{folder.name}/{SHEET}" in Tags(text).links
        assert duration(folder.clock.total) in text


def test_building_again_changes_nothing_and_a_change_only_what_it_must(
    tags: str, built: BuildResult, tmp_path: Path
) -> None:
    out = shutil.copytree(built.out, tmp_path / "out")
    text = tags + "\n[layout]\ncopies = 4\nmargin = 10\n"
    wanted = [load_machine("grbl-back-right"), load_machine("portrait-inch")]
    again = build_orders(orders_of(job_file_of(text, "job.toml"), wanted), out)
    assert again.written is not None
    assert (again.written.new, again.written.changed, again.written.removed) == ((), (), ())
    slower = replace(wanted[1], motion=replace(wanted[1].motion, rapid=(3000.0, 3000.0, 1000.0)))
    third = build_orders(orders_of(job_file_of(text, "job.toml"), [wanted[0], slower]), out)
    assert third.written is not None
    assert all(not name.startswith("grbl-back-right/") for name in third.written.changed)
    assert f"portrait-inch/{SHEET}" in third.written.changed


def test_names_from_outside_never_become_markup(tags: str, tmp_path: Path) -> None:
    text = tags.replace('name = "key tags"', f"name = '{NASTY}'").replace('name = "tag"', f"name = '{NASTY}'")
    text = text.replace("thickness = 6", f"thickness = 6\nname = '{NASTY}'")
    machine = replace(load_machine("grbl-front-left"), name=NASTY)
    made = build_orders(orders_of(job_file_of(text, "job.toml"), [machine]), tmp_path / "out")
    assert made.ok, made.findings
    for path in still(made.out):
        tags_found = Tags(path.read_text(encoding="utf-8"))
        assert "script" not in tags_found.names
        assert "alert(1)" in path.read_text(encoding="utf-8")
        assert "{{ 7 * 7 }}" in path.read_text(encoding="utf-8")


def drawn(machine: Machine, setup: Setup, stock: Stock) -> ElementTree.Element:
    return ElementTree.fromstring(board_picture(Job("j", stock, ()), machine, setup).svg)


def of_kind(root: ElementTree.Element, tag: str, kind: str) -> list[dict[str, str]]:
    return [element.attrib for element in root.iter(tag) if element.get("class") == kind]


@given(machines(), st.integers(0, 3))
def test_zero_and_arrows_are_where_the_controller_has_them(machine: Machine, turn: int) -> None:
    stock, setup = Stock(200.0, 120.0, 9.0), Setup(turn=turn)
    root = drawn(machine, setup, stock)
    (board,) = of_kind(root, "rect", "board")
    left, front = float(board["x"]), float(board["y"]) + float(board["height"])
    (zero,) = of_kind(root, "circle", "zero")
    seen = np.array([float(zero["cx"]) - left, front - float(zero["cy"])])
    # The controller's zero and axes, taken back to the drawn board, which is then turned about its middle.
    way = orientation(machine, stock, setup)
    bench = way.points_back(np.array([[0.0, 0, 0], [10.0, 0, 0], [0, 10.0, 0]]))[:, :2]
    angle = turn * np.pi / 2.0
    rotation = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    middle = np.array([float(board["width"]), float(board["height"])]) / 2.0
    wanted = (bench - np.array([100.0, 60.0])) @ rotation.T + middle
    assert seen == pytest.approx(wanted[0], abs=0.02)
    for axis, goal in zip(of_kind(root, "path", "axis"), wanted[1:], strict=True):
        x0, y0, x1, y1 = (float(n) for n in re.findall(r"-?[\d.]+", axis["d"]))
        heading = np.array([x1 - x0, y0 - y1])
        assert heading / np.hypot(*heading) == pytest.approx((goal - wanted[0]) / 10.0, abs=1e-6)


def test_a_board_whose_place_is_known_is_drawn_there() -> None:
    machine = replace(load_machine("grbl-back-right"), homed=True)
    assert machine.travel.low == (-600.0, -400.0, -80.0)
    # X runs left from the back right corner: machine X −100 is 500 mm from its low end at the right of the bed.
    root = drawn(machine, Setup(zero_at=(-500.0, -380.0, -60.0)), Stock(200.0, 120.0, 9.0))
    (board,), (bed,) = of_kind(root, "rect", "board"), of_kind(root, "rect", "bed")
    right = float(bed["x"]) + float(bed["width"]) - float(board["x"]) - float(board["width"])
    behind = float(board["y"]) - float(bed["y"])
    assert (right, behind) == pytest.approx((100.0, 20.0))
    assert (
        "where the job says"
        in board_picture(
            Job("j", Stock(200.0, 120.0, 9.0), ()), machine, Setup(zero_at=(-500.0, -380.0, -60.0))
        ).caption
    )


def test_holes_are_drawn_as_wide_as_they_become(tmp_path: Path) -> None:
    """However they are cut: round a helix, or in turns. A circle is drawn as an arc as wide as the bit."""
    stock, bit, cutting = (
        Stock(100, 60, 6, underlay=4),
        Tool("mill", 3.0, centre_cutting=True),
        Cutting(feed=900, plunge=300, spindle=16000),
    )
    wide = {3.2: 30.0, 5.0: 50.0, 20.0: 75.0}
    paths = [path for d, x in wide.items() for path in bore(f"{d}", (x, 30.0), d, bit, cutting, bottom=-3.0)]
    result = build(Job("holes", stock, tuple(paths)), [load_machine("grbl-front-left")], tmp_path / "out")
    assert result.ok
    svg = page(result, f"grbl-front-left/{SHEET}").partition('<svg class="drawn"')[2].partition("</svg>")[0]
    per_mm = float(re.findall(r'<rect [^>]*? width="([\d.]+)"', svg)[0]) / 100.0
    shapes = dict(re.findall(r'<path id="([^"]+)" d="([^"]*)"', svg))
    bands = re.findall(r'<use href="#([^"]+)" stroke="[^"]*" stroke-width="([\d.]+)"', svg)
    drawn = {(2.0 * float(r) + float(width)) / per_mm for name, width in bands
             for r in re.findall(r"A([\d.]+) ", shapes[name])}  # fmt: skip
    assert max(drawn) == pytest.approx(20.0, abs=0.02)
    for diameter in wide:
        assert min(abs(each - diameter) for each in drawn) < 0.02, diameter


def test_the_side_view_keeps_its_labels_apart() -> None:
    for stock in (
        Stock(1, 1, 0.2, underlay=0.1, thickness_tolerance=0.05),
        Stock(1, 1, 30, z_zero="bed", underlay=3),
        Stock(1, 1, 9),
    ):
        root = ElementTree.fromstring(height_picture(stock, stock.top, "Z{:g}".format))
        heights = sorted(float(text.get("y", "0")) for text in root.iter("text"))
        assert all(b - a > 13.4 for a, b in pairwise(heights))


@pytest.mark.parametrize(
    ("seconds", "said"), [(0, "0 s"), (119, "119 s"), (120, "2 min"), (3570, "1 h 00 min"), (4100, "1 h 08 min")]
)
def test_times_as_people_say_them(seconds: float, said: str) -> None:
    assert duration(seconds) == said


def test_where_its_maker_keeps_a_job_file_is_not_handed_over(tags: str, tmp_path: Path) -> None:
    """A build for another bit warns of it, and names the job file."""
    (tmp_path / "private").mkdir()
    path = tmp_path / "private" / "tags.toml"
    path.write_text(tags, encoding="utf-8")
    orders = orders_for(path, [load_machine("grbl-front-left")], Wishes(bits=("2.9mm",)))
    result = build_orders(orders, tmp_path / "out")
    assert result.ok, result.findings
    files = {each.name: each.read_bytes() for each in result.out.rglob("*") if each.is_file()}
    assert [name for name, data in files.items() if b"private" in data] == []
    assert b"tags.toml: built for a bit of 2.9 mm" in files[SHEET]
