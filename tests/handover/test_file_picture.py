"""A picture of a cut file shows what the file does, and its labels never cover one another."""

import math
import re
import shutil
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from pathkit.cli.main import cli, run
from pathkit.errors import InputError
from pathkit.handover.build import build_orders
from pathkit.handover.pages import path_data
from pathkit.handover.pages.colours import depth_colours
from pathkit.handover.pages.file_panel import Panel, Scale, box_in_mm
from pathkit.handover.pages.file_picture import file_picture
from pathkit.handover.pages.seen_file import Seen, seen, seen_before, summary
from pathkit.handover.pages.strokes import Strokes, class_of, depth_classes
from pathkit.jobs.demo import demo_machines
from pathkit.jobs.requests import Wishes, orders_for
from pathkit.model.stock import Stock, Zone
from pathkit.model.tool import Tool
from pathkit.motion.program import ARC, LINE, RAPID, Program
from tests.handover.test_picture_labels import boxes_are_apart

CUT = "grbl-front-left/cable-tidy-plates.nc"
MIRRORED = "portrait-inch/cable-tidy-plates.ngc"
SVG = "{http://www.w3.org/2000/svg}"


def tree(svg: str) -> ET.Element:
    return ET.fromstring(svg)


def drawn_length(d: str) -> float:
    """How long a path is: lines, dots, and arcs of less than half a turn, absolute or relative."""
    length, at = 0.0, (0.0, 0.0)
    for letter, numbers in re.findall(r"([MLAlh])([^MLAlh]*)", d):
        values = [float(number) for number in numbers.split()]
        if letter == "M":
            at = values[0], values[1]
        elif letter == "L":
            length += math.dist(at, values)
            at = values[0], values[1]
        elif letter == "A":
            chord = math.dist(at, values[5:])
            length += 2.0 * values[0] * math.asin(min(chord / 2.0 / values[0], 1.0))
            at = values[5], values[6]
        elif letter == "l":
            for dx, dy in zip(values[::2], values[1::2], strict=True):
                length += math.hypot(dx, dy)
                at = at[0] + dx, at[1] + dy
    return length


def lengths_in(svg: str, scale: float) -> tuple[float, float]:
    """mm of cuts and of travel in a picture."""
    root = tree(svg)
    cuts = sum(drawn_length(path.get("d", "")) for path in root.iterfind(f".//{SVG}defs/{SVG}path"))
    travel = sum(drawn_length(path.get("d", "")) for path in root.iterfind(f".//{SVG}path[@class='travel']"))
    return cuts / scale, travel / scale


def scale_of(one: Seen) -> float:
    return Scale(box_in_mm([one]), 760.0, 620.0).per_mm


@pytest.mark.parametrize("name", [CUT, MIRRORED])
def test_labels_of_a_file_are_apart(plate_folder: Path, name: str) -> None:
    one = seen(plate_folder / name)
    scale = Scale(box_in_mm([one]), 760.0, 620.0)
    floors = depth_classes(one.motion.cuts, one.top, 1.0, 7)
    panel = Panel(one, scale, (0.0, 0.0), floors, depth_colours(len(floors)), "p")
    panel.svg()
    boxes_are_apart(panel.placed, [], (0.0, 0.0, scale.width, scale.height))
    texts = {each.label.text for each in panel.placed}
    assert texts >= {"X+", "Y+", "zero", "1"}


# --- what is drawn -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", [CUT, MIRRORED])
def test_every_cut_of_the_file_is_in_its_picture(plate_folder: Path, name: str) -> None:
    one = seen(plate_folder / name)
    program = one.program
    straight = np.hypot(*(program.end[:, :2] - program.origins[:, :2]).T)
    round_ = np.abs(program.sweep) * np.hypot(*(program.origins[:, :2] - program.centre).T)
    length = np.where(program.kind == ARC, round_, straight)
    cuts, travel = lengths_in(file_picture([one]), scale_of(one))
    assert cuts == pytest.approx(np.nansum(length[program.kind != RAPID]), rel=2e-3)
    assert travel == pytest.approx(np.nansum(length[program.kind == RAPID]), rel=2e-3)
    assert one.motion.cut_length == pytest.approx(np.nansum(length[program.kind != RAPID]))


def test_starts_tabs_and_depths_are_those_of_the_job(plate_folder: Path) -> None:
    one = seen(plate_folder / CUT)
    assert one.job is not None
    assert len(one.motion.starts) == len(one.job.toolpaths)
    assert len(one.motion.tab_at) == sum(len(path.tabs) for path in one.job.toolpaths)
    for path in one.job.toolpaths:
        for tab in path.tabs:
            place_of = path.curve.at(tab.at)[:2]
            assert np.hypot(*(one.motion.tab_at - place_of).T).min() < 2.0
    svg = file_picture([one])
    titles = [each.text for each in tree(svg).iterfind(f".//{SVG}g[@class='starts']/{SVG}circle/{SVG}title")]
    assert [str(title).split(": ")[1].split(",")[0] for title in titles] == [path.name for path in one.job.toolpaths]
    assert ">9.3 mm<" in svg
    assert ">Z2.7<" in svg


def test_the_picture_is_as_the_operator_sees_the_board(plate_folder: Path) -> None:
    """A mirrored frame in inches, and its directions, show the same board as any other."""
    one = seen(plate_folder / MIRRORED)
    assert one.units == "inch"
    svg = file_picture([one])
    assert re.search(r">[\d.]+ in<", svg)
    x_first = one.view.points(one.motion.start_at)
    assert (x_first > 0.0).all()
    assert (x_first < [one.view.width, one.view.depth]).all()


def test_the_picture_is_xml_with_words_for_those_who_cannot_see_it(plate_folder: Path) -> None:
    one = seen(plate_folder / CUT)
    root = tree(file_picture([one]))
    assert root.get("role") == "img"
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None
    assert desc is not None
    assert root.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"
    assert desc.text == summary([one])
    assert "2 tabs" in summary([one])
    assert f"{len(one.motion.starts)} toolpaths" in summary([one])
    identities = [each.get("id") for each in root.iter() if each.get("id")]
    assert len(identities) == len(set(identities))


def test_the_key_explains_only_what_is_there(plate_folder: Path, tmp_path: Path) -> None:
    one = seen(plate_folder / CUT)
    assert "tab: the cut rises" in file_picture([one])
    alone = Path(shutil.copy(plate_folder / CUT, tmp_path / "alone.nc"))
    assert "the bit" not in file_picture([seen(alone, one.machine)])


def test_clamps_and_tape_are_drawn_where_they_are(plate_folder: Path) -> None:
    one = seen(plate_folder / MIRRORED)
    assert one.job is not None
    zones = (Zone(shapely.box(0, 0, 20, 30), "clamp", 5.0), Zone(shapely.box(100, 100, 150, 120), "tape"))
    held = replace(one, job=replace(one.job, stock=replace(one.job.stock, zones=zones)))
    svg = file_picture([held])
    drawn = [each.get("d", "") for each in tree(svg).iterfind(f".//{SVG}path[@class='zone']")]
    scale = scale_of(held)
    assert [drawn_length(d[:-1]) / scale for d in drawn] == [pytest.approx(100.0, 0.01), pytest.approx(140.0, 0.01)]
    assert "keep off" in svg
    assert "keep off" not in file_picture([one])


def test_a_file_for_one_of_several_bits_shows_its_width_at_the_top(plate_folder: Path) -> None:
    """Without a word for the bit in the file, its toolpaths tell; a vee is as wide as it is deep."""
    one = seen(plate_folder / CUT)
    assert one.job is not None
    vee = Tool("vee", 12.0, kind="vee", angle=90.0)
    paths = [replace(path, tool=vee) if path.role == "outline" else path for path in one.job.toolpaths]
    both = replace(
        one, job=replace(one.job, toolpaths=tuple(paths)), program=one.program.replace(event=(), event_at=[])
    )
    assert both.job is not None
    tools = [tool.name for tool in both.job.tools]
    widths = {tools[bit] for bit in np.unique(both.bits[both.motion.cuts.row])}
    assert widths == set(tools)
    assert both.width(tools.index("vee"), both.job.stock.top - 2.0) == pytest.approx(4.0)
    assert both.widest == 12.0


def test_the_same_file_gives_the_same_picture(plate_folder: Path) -> None:
    assert file_picture([seen(plate_folder / CUT)]) == file_picture([seen(plate_folder / CUT)])


HOSTILE = "</desc><script>alert('&\"')</script>\x00\x1b]]>\u202e"


def test_hostile_names_are_text(plate_folder: Path) -> None:
    one = seen(plate_folder / CUT)
    assert one.job is not None
    names = {line: HOSTILE + name for line, name in one.names.items()}
    job, machine = replace(one.job, name=HOSTILE), replace(one.machine, name=HOSTILE)
    bad = replace(one, file=HOSTILE, names=names, job=job, machine=machine)
    root = tree(file_picture([bad, bad]))
    assert not [each for each in root.iter() if each.tag.endswith("script")]
    assert "<script>" in str(root.findtext(f"{SVG}desc"))


def test_before_and_after_are_drawn_beside_each_other(plate_folder: Path) -> None:
    after = seen(plate_folder / CUT)
    program = after.program
    away = np.array(program.end)
    rapids = np.flatnonzero((program.kind == RAPID) & np.isfinite(away).all(axis=1))
    far = away[rapids[1]] + np.array([60.0, 0.0, 0.0])
    end = np.insert(away, rapids[1], far, axis=0)
    rows = np.insert(np.arange(len(program)), rapids[1], rapids[1])
    before = replace(after, file="before.nc", program=program.take(rows, end=end))
    svg = file_picture([before, after])
    assert before.motion.travel_length > after.motion.travel_length
    text = " ".join(tree(svg).itertext())
    assert f"before: travel {before.motion.travel_length / 1000.0:.2f} m" in text
    assert "% less" in text
    assert len(tree(svg).findall(f".//{SVG}clipPath")) == 2


def test_the_order_of_the_job_file_is_drawn_before_that_of_the_cut_file(tags: str, tmp_path: Path) -> None:
    job_file = tmp_path / "tags.toml"
    job_file.write_text(tags + "[layout]\ncopies = 6\n", encoding="utf-8")
    (order,) = orders_for(job_file, [demo_machines()[0]], Wishes())
    assert build_orders([order], tmp_path / "out").ok
    (cut,) = (tmp_path / "out").glob("*/key-tags.nc")
    after = seen(cut)
    before = seen_before(job_file, after)
    assert len(before.motion.starts) == len(after.motion.starts) == 24
    assert before.motion.travel_length > after.motion.travel_length
    assert len(after.motion.tab_at) > 0
    text = " ".join(tree(file_picture([before, after])).itertext())
    assert "before: tags.toml" in text
    assert not re.search(r"<title>[^<]*, line \d", file_picture([before])), "a job file's toolpaths have no lines yet"
    assert after.job is not None
    flat = replace(after, job=replace(after.job, toolpaths=(), parts=(), precedence=(), stock=Stock(300, 200, 6)))
    with pytest.raises(InputError, match="one key cannot tell"):
        file_picture([flat, after])
    other = tmp_path / "other.toml"
    other.write_text(tags.replace('name = "tag"', 'name = "badge"'), encoding="utf-8")
    with pytest.raises(InputError, match="no board with the parts"):
        seen_before(other, after)


STRANGE = {
    "a hole only": "G0 X10 Y10\nG1 Z-3 F100\nG0 Z5\n",
    "nothing sideways": "G0 X10 Y10\n",
    "a circle": "G0 X0 Y0\nG1 Z-1 F100\nG2 X0 Y0 I50 J0\nG0 Z5\n",
    "far away": "G0 X900000 Y-800000\nG1 Z-5 F100\nX900000.01\nG0 Z5\n",
    "many turns": "G0 X0 Y0\nG1 Z-1 F100\nG2 X0 Y0 I5 J0 Z-9\nG3 X0.001 Y0 I5 J0\nG0 Z5\n",
}


@pytest.mark.parametrize("name", STRANGE)
def test_strange_files_are_drawn_whole(name: str, tmp_path: Path) -> None:
    path = tmp_path / "strange.nc"
    path.write_text(f"G21 G90 G94 G17 G54\nG0 Z5\nM3 S9000\n{STRANGE[name]}M5\nM2\n")
    one = seen(path, demo_machines()[0])
    svg = file_picture([one])
    tree(svg)
    assert "nan" not in svg
    x0, y0, x1, y1 = box_in_mm([one])
    if name == "a circle":
        assert max(x1 - x0, y1 - y0) == pytest.approx(100.0, abs=1.0)
        assert lengths_in(svg, scale_of(one))[0] == pytest.approx(math.tau * 50.0, rel=1e-3)


# --- large files ---------------------------------------------------------------------------------------------------


def rows(count: int) -> Program:
    """A board covered with rows of short moves, at many depths."""
    x = np.abs((np.arange(count) * 0.3) % 800.0 - 400.0)
    y = np.arange(count) * 200.0 / count
    z = -2.0 - np.sin(x / 20.0) - np.cos(y / 9.0)
    end, blank = np.column_stack([x, y, z]), np.full(count, np.nan)
    none = np.full(count, -1, np.int32)
    return Program(
        np.array([0.0, 0.0, 5.0]), np.full(count, LINE, np.uint8), end, np.full((count, 2), np.nan), blank,
        np.full(count, 1000.0), none, none, np.arange(count, dtype=np.int32) + 1,
    )  # fmt: skip


def test_a_large_file_makes_a_picture_of_bounded_size(plate_folder: Path) -> None:
    one = seen(plate_folder / CUT)
    sizes = [len(file_picture([replace(one, program=rows(count), names={})])) for count in (30_000, 300_000)]
    assert max(sizes) < 30 * path_data.MOST_COARSE
    assert "Drawn to" in file_picture([replace(one, program=rows(30_000), names={})])


def test_many_pieces_are_drawn_each_once_and_keep_their_length(
    plate_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    one = seen(plate_folder / CUT)
    exact, _ = lengths_in(file_picture([one]), scale_of(one))
    monkeypatch.setattr(path_data, "MOST_EXACT", 10)
    coarse, _ = lengths_in(file_picture([one]), scale_of(one))
    # What is cut twice at one depth is drawn once.
    assert 0.5 * exact < coarse < 1.02 * exact


def test_a_relief_has_classes_of_equal_size_and_no_tabs(plate_folder: Path) -> None:
    one = replace(seen(plate_folder / CUT), program=rows(20_000), names={})
    floors = depth_classes(one.motion.cuts, 0.0, 1.0, 7)
    assert np.diff(floors) == pytest.approx(np.full(len(floors) - 1, floors[1] - floors[0]))
    assert len(one.motion.tab_at) == 0


def test_wood_that_is_cut_nearly_everywhere_is_drawn_as_squares() -> None:
    rng = np.random.default_rng(1)
    start, end = rng.uniform(0.0, 400.0, (2, 30_000, 2))
    low = np.zeros(len(start))
    none, number = low > 1.0, np.arange(len(start))
    strokes = Strokes(start, end, low, none, low, none, number)
    (data,), step = path_data.coarse([strokes], 2_000)
    assert step >= path_data.SQUARE
    assert data.count("M") <= 2_000
    # Rows of squares cover the whole.
    assert drawn_length(data) + step * data.count("M") == pytest.approx(400.0 * 400.0 / step, rel=0.05)


@given(st.lists(st.floats(-20.0, 0.0), min_size=1, max_size=200))
def test_every_depth_has_a_class_that_reaches_down_to_it(depths: list[float]) -> None:
    low = np.array(depths)
    ends = np.column_stack([np.arange(len(low)), np.zeros(len(low))]).astype(float)
    cuts = Strokes(ends, ends + 1.0, low, low < -9.0, np.zeros(len(low)), low < 0.0, np.arange(len(low)))
    floors = depth_classes(cuts, 0.0, 1.0, 7)
    assert 1 <= len(floors) <= 9
    assert (np.diff(floors) < 0.0).all()
    found = class_of(low, floors)
    assert (floors[found] <= low + 0.002).all()
    above = floors[np.maximum(found - 1, 0)]
    assert ((above > low - 0.03) | (found == 0)).all()


# --- the command ---------------------------------------------------------------------------------------------------


def test_the_command_draws(plate_folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "x.svg"
    done = CliRunner().invoke(cli, ["draw", str(plate_folder / CUT), "--out", str(out)])
    assert done.exit_code == 0, done.output
    assert "8 toolpaths" in done.output
    tree(out.read_text(encoding="utf-8"))
    both = tmp_path / "both.svg"
    assert (
        run(["draw", str(plate_folder / CUT), "--before", str(plate_folder / CUT), "--out", str(both), "--json"]) == 0
    )
    assert "before: travel" in both.read_text(encoding="utf-8")


def test_a_file_without_certificate_is_drawn_about_its_own_zero(plate_folder: Path, tmp_path: Path) -> None:
    alone = Path(shutil.copy(plate_folder / CUT, tmp_path / "alone.nc"))
    with pytest.raises(InputError, match="--machine"):
        seen(alone)
    one = seen(alone, seen(plate_folder / CUT).machine)
    svg = file_picture([one])
    tree(svg)
    assert "The board is not known" in svg
    assert one.depth_word(-3.0) == ""


def test_what_cannot_be_drawn_is_refused_with_the_reason(plate_folder: Path, tmp_path: Path) -> None:
    machine = seen(plate_folder / CUT).machine
    with pytest.raises(InputError, match="is not there"):
        seen(tmp_path / "none.nc")
    (tmp_path / "notes.nc").write_text("nothing to see\n")
    with pytest.raises(InputError, match="not G-code"):
        seen(tmp_path / "notes.nc", machine)
    (tmp_path / "odd.nc").write_text("G21 G90\nG1 X1 Y2 W3\n")
    with pytest.raises(InputError, match=r"odd\.nc"):
        seen(tmp_path / "odd.nc", machine)
    (tmp_path / "still.nc").write_text("G21 G90\nM3 S1000\nM5\n")
    with pytest.raises(InputError, match="moves the bit to no place"):
        seen(tmp_path / "still.nc", machine)
    changed = Path(shutil.copytree(plate_folder / "grbl-front-left", tmp_path / "changed")) / "cable-tidy-plates.nc"
    changed.write_bytes(changed.read_bytes().replace(b"F2560", b"F2561"))
    with pytest.raises(InputError, match="changed since"):
        seen(changed)
    assert seen(changed, machine).job is not None
    with pytest.raises(InputError, match=r"\.svg or \.png"):
        cli.main(["draw", str(plate_folder / CUT), "--out", "x.gif"], standalone_mode=False)
