"""Every number on a setup sheet, against the number worked out by hand from the job.

The jobs are written out here, with the arithmetic beside each number. Drawings are tested elsewhere.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import pathkit as pk
from pathkit.errors import Refused
from pathkit.handover.build import build, build_orders
from pathkit.handover.pages import sheet
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from tests.handover.folders import said

BITS = """
[tools."4 mm end mill"]
diameter = 4
number = 1
centre_cutting = true
[tools."3 mm drill"]
diameter = 3
number = 2
kind = "drill"
[cutting.plywood]
feed = 1500
plunge = 400
spindle = 16000
[cutting.slow]
feed = 700
plunge = 250
spindle = 14000
"""

PLATES = f"""
name = "two plates"
[stock]
name = "birch"
thickness = 9
thickness_tolerance = 0.4
z_zero = "bed"
underlay = 3
underlay_tolerance = 0.2
[[board]]
width = 130
depth = 150
{BITS}
[[part]]
name = "plate"
zones = [{{ kind = "tape", shape = "tape" }}]
[part.shapes]
outline.rectangle = {{ width = 90, depth = 50, radius = 8 }}
recess.rectangle = {{ corner = [14, 10], width = 42, depth = 30, radius = 4 }}
tape.rectangle = {{ corner = [16, 14], width = 46, depth = 22 }}
[[part.operations]]
kind = "pocket"
shape = "recess"
tool = "4 mm end mill"
cutting = "plywood"
bottom.from_top = 4
stepdown = 2.5
[[part.operations]]
kind = "contour"
shape = "outline"
tool = "4 mm end mill"
cutting = "plywood"
bottom.through = true
stepdown = 3
[layout]
copies = 5
web = 4
margin = 12
"""

TAG = f"""
name = "tag"
[stock]
thickness = 6
thickness_tolerance = 0.25
underlay = 2
[[board]]
width = 100
depth = 70
[[board.zones]]
kind = "clamp"
shape.rectangle = {{ corner = [90, 25], width = 10, depth = 20 }}
height = 12
[[board.zones]]
kind = "clamp"
shape.rectangle = {{ corner = [0, 25], width = 5, depth = 20 }}
height = 8
{BITS}
[[part]]
name = "tag"
[part.shapes]
outline.rectangle = {{ corner = [15, 15], width = 60, depth = 40, radius = 6 }}
hole.points = [[25, 35], [65, 35]]
[[part.operations]]
kind = "drill"
shape = "hole"
tool = "3 mm drill"
cutting = "slow"
bottom.through = 0.4
peck = 2
[[part.operations]]
kind = "contour"
shape = "outline"
tool = "4 mm end mill"
cutting = "plywood"
bottom.through = true
stepdown = 2
[[machine]]
profile = "portrait-inch"
turn = 1
"""


def built(text: str, machine: str, out: Path) -> dict[str, str]:
    file = job_file_of(text, "job.toml", ".")
    machines = [] if "[[machine]]" in text else [pk.load_machine(machine)]
    result = build_orders(orders_of(file, machines, effort=0), out)
    assert result.ok, [str(finding) for finding in result.findings]
    return {path.parent.name: said(path) for path in sorted(out.rglob("*.html"))}


@pytest.fixture(scope="module")
def plates(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    return built(PLATES, "grbl-back-right", tmp_path_factory.mktemp("plates") / "out")


@pytest.fixture(scope="module")
def tag(tmp_path_factory: pytest.TempPathFactory) -> str:
    pages = built(TAG, "", tmp_path_factory.mktemp("tag") / "out")
    (sheet,) = (text for name, text in pages.items() if name != "out")
    return sheet


@pytest.mark.parametrize(
    "sentence",
    [
        "Board birch, 130 × 150 × 9 mm",
        # 150 − 2 × 12 = 126 mm of depth hold two of 50 mm, two kerfs of 4 mm and a web of 4 mm; 106 mm of width, one.
        "Parts 2 ",
        # The top of a nominal board on a nominal sheet: 3 + 9.
        "The board's top is then at Z 12 mm. If the board covers the whole bed, measure how thick the waste sheet and"
        " the board are together, touch off on the board, and set Z to that.",
        "Zero Z the bed itself",
        # The cut ends at 2.8 − 0.3 = 2.5 mm over the bed: 0.3 mm into the thinnest sheet, 0.7 mm into the thickest.
        "Under the board lie 2.8 to 3.2 mm of waste or tape; through cuts go 0.3 to 0.7 mm into it.",
        "Two-sided tape under the 2 shaded places",
        "The bit travels 8 mm above the thickest board",
        # 12 − (3 − 0.2 − 0.3) = 9.5 mm below the nominal top.
        # A chip: 1500 / (16000 × 2 flutes) mm.
        "4 mm end mill flat 1 4 2 – 9.5 2.5 to 3 1500 400 16000 0.047",
        "winds down on a helix, and clears the ground, level by level, then",
        "always moving down; it hops over tabs, 2 times on each",
        "Recesses and engraving 4 4 mm",
        "Outlines 2 9.5 mm",
        "Measure the board: 130 × 150 mm or more, 8.6 to 9.4 mm thick",
        "Lay the waste sheet, 2.8 to 3.2 mm thick, on the bed",
        "Fit 4 mm end mill (T1). Below the collet it must reach at least 11 mm.",
        # Their top is 3 mm over the highest underside, 3.2 + 3 = 6.2; over the lowest it is 6.2 − 2.8 = 3.4 mm high.
        "Each part is held by 2 tabs, 6 mm wide and 3 to 3.4 mm high.",
        "2 boards in all",
        "The bed reaches 600 mm to the side and 400 mm away from you.",
    ],
)
def test_two_plates_on_the_bed(plates: dict[str, str], sentence: str) -> None:
    """Reach: the thickest board on the thickest sheet is 9.4 + 3.2 = 12.6 mm high, 12.6 − 2.5 = 10.1, rounded up."""
    page = next(text for name, text in plates.items() if "full" in name)
    assert sentence in page


def test_the_last_board_has_the_rest(plates: dict[str, str]) -> None:
    last = next(text for name, text in plates.items() if "last" in name)
    assert "Parts 1 " in last
    assert "boards in all" not in last
    assert "Two-sided tape under the 1 shaded place" in last
    # 2 boards of 2, and one of 1.
    index = plates["out"]
    rows = re.findall(r"130 × 150 × 9 mm (\d+) (\d+) (\d+)", index)
    assert sorted(rows) == [("1", "1", "1"), ("2", "2", "4")]


@pytest.mark.parametrize(
    "sentence",
    [
        # Each length in inches: mm / 25.4.
        "Board 3.937 × 2.756 × 0.2362 in (100 × 70 × 6 mm)",
        "Parts 1 ",
        "Board lies a quarter turn to the left",
        "Z0 is the top of the board.",
        "Zero Z top of the board",
        "The cut file is written in inches.",
        # The outline ends at −6.55, the holes at −6.65: from 6.55 − 6.25 to 6.65 − 5.75.
        "Under the board lie 0.07874 in (2 mm) of waste or tape; through cuts go 0.01181 to 0.03543 in (0.3 to 0.9 mm)"
        " into it.",
        "2 clamps where drawn, at most 0.4724 in (12 mm) above the board",
        # Through 6.25 mm and 0.4 mm more, and 0.3 mm more.
        # 700 and 250 mm/min in inches; a chip: 700 / (14000 × 2) / 25.4 in.
        "3 mm drill drill 2 0.118 2 – 0.262 – 27.6 9.8 14000 0.001",
        "4 mm end mill flat 1 0.157 2 – 0.258 0.079 59.1 15.7 16000 0.0018",
        "Holes and slots 3 mm drill 2 0.2618 in (6.65 mm)",
        "Outlines 4 mm end mill 1 0.2579 in (6.55 mm)",
        "Measure the board: 3.937 × 2.756 in (100 × 70 mm) or more, 0.2264 to 0.2461 in (5.75 to 6.25 mm) thick",
        "Lay the waste sheet, 0.07874 in (2 mm) thick, on the bed",
        # 6.65 rounded up: with zero on the top every board has its top there.
        "Fit 3 mm drill (T2). Below the collet it must reach at least 0.2756 in (7 mm).",
        # 3 mm on a board of 5.75 mm, 3.5 mm on one of 6.25 mm.
        "Each part is held by 2 tabs, 0.2362 in (6 mm) wide and 0.1181 to 0.1378 in (3 to 3.5 mm) high.",
        "The bed reaches 19.69 in to the side and 27.56 in away from you.",
    ],
)
def test_a_tag_from_the_top_with_a_clamp_in_inches(tag: str, sentence: str) -> None:
    assert sentence in tag


def test_run_time_by_hand(tmp_path: Path) -> None:
    """One line of 300 mm at 600 mm/min is 30 s; the rest are trapezoids from rest to rest, t = d / v + v / a, or
    2 √(d / a) where the speed is not reached (constant acceleration; any mechanics textbook)."""
    machine = pk.load_machine("grbl-front-left")
    bit, feeds = (
        pk.Tool("3 mm end mill", 3.0, number=1, centre_cutting=True),
        pk.Cutting(feed=600.0, plunge=300.0, spindle=12000.0),
    )
    line = pk.Toolpath("line", pk.Curve.polyline([(20.0, 30.0), (320.0, 30.0)]), bit, feeds, bottom=-1.0)
    job = pk.Job("line", pk.Stock(340.0, 60.0, 6.0), (line,))
    out = tmp_path / "out"
    assert build(job, [machine], out).ok
    program = pk.lower(job, machine)
    rapid, cut = np.array(machine.motion.rapid) / 60.0, np.array([600.0, 600.0, 300.0]) / 60.0
    acceleration = np.array(machine.motion.acceleration)
    seconds = machine.spindle.spin_up
    place = np.zeros(3)
    for kind, end in zip(program.kind, program.end, strict=True):
        goal = np.where(np.isnan(end), place, end)
        way = np.abs(goal - place)
        if (distance := float(np.linalg.norm(way))) == 0.0:
            continue
        share = np.where(way > 0.0, way / distance, np.nan)
        speed = float(np.nanmin(rapid / share)) if kind == pk.RAPID else (5.0 if way[2] > 0.0 else float(cut[0]))
        rate = float(np.nanmin(acceleration / share))
        ramp = speed * speed / rate
        seconds += distance / speed + speed / rate if distance >= ramp else 2.0 * math.sqrt(distance / rate)
        place = goal
    page = said(out / "grbl-front-left" / "setup-sheet.html")
    (told,) = re.findall(r"Run time about (\d+) s", page)
    assert int(told) == pytest.approx(seconds, abs=1.5)
    assert int(told) >= 30 + machine.spindle.spin_up


def test_a_file_that_sets_its_own_zero_says_where_the_bit_must_stand(tmp_path: Path) -> None:
    """G92 at the start of a file: zero is where the bit stands then."""
    machine = replace(pk.load_machine("grbl-front-left"), dialect="reprap")
    bit, feeds = (
        pk.Tool("3 mm end mill", 3.0, number=1, centre_cutting=True),
        pk.Cutting(feed=600.0, plunge=300.0, spindle=12000.0),
    )
    line = pk.Toolpath("line", pk.Curve.polyline([(20.0, 30.0), (60.0, 30.0)]), bit, feeds, bottom=-1.0)
    job = pk.Job("line", pk.Stock(100.0, 60.0, 6.0), (line,))
    result = build(job, [machine], tmp_path / "out")
    (warning,) = (finding for finding in result.findings if finding.check == "zero")
    assert (warning.severity, warning.file) == ("warning", "grbl-front-left")
    assert "before each start jog it to the front left corner of the board, its tip on the top" in warning.fix
    assert "take as X0 Y0 Z0 the place where the bit is when they start" in said(
        tmp_path / "out" / "grbl-front-left" / "setup-sheet.html"
    )
    on_bed = replace(job, stock=replace(job.stock, z_zero="bed"), toolpaths=(replace(line, bottom=5.0),))
    assert [finding.file for finding in sheet.zero_findings(on_bed, machine)] == ["grbl-front-left"]
    with pytest.raises(Refused, match="no bit can reach the bed under the board's corner"):
        build(on_bed, [machine], tmp_path / "other")
    assert not (tmp_path / "other").exists()


def test_the_deepest_place_of_a_trace_counts(tmp_path: Path) -> None:
    """A trace has its own heights: −0.4 and −1.2 mm, on a board with its top at 0."""
    machine = pk.load_machine("grbl-front-left")
    bit, feeds = (
        pk.Tool("3 mm end mill", 3.0, number=1, centre_cutting=True),
        pk.Cutting(feed=600.0, plunge=300.0, spindle=12000.0),
    )
    curve = pk.Curve.polyline([(20.0, 30.0, -0.4), (60.0, 30.0, -1.2)])
    trace = pk.Toolpath("trace", curve, bit, feeds, role="engrave")
    assert build(pk.Job("trace", pk.Stock(100.0, 60.0, 6.0), (trace,)), [machine], tmp_path / "out").ok
    page = said(tmp_path / "out" / "grbl-front-left" / "setup-sheet.html")
    assert "3 mm end mill flat 1 3 2 – 1.2 – 600 300 12000 0.025" in page
    assert "it must reach at least 2 mm" in page


def test_the_share_of_a_board_that_is_waste(plates: dict[str, str]) -> None:
    """Two plates of 90 × 50 mm less four corners of (1 − π/4) 8² on 130 × 150 mm: 1 − 2 · 4445.06 / 19500 = 54 %."""
    assert re.search(r"130 × 150 × 9 mm 2 2 4 54 %", plates["out"])
