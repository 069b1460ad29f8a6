"""Measures on a sheet: at their places, none over another, and those of the job's own shapes."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression

from pathkit.handover.build import build_orders
from pathkit.handover.pages import measures
from pathkit.handover.pages.board_drawing import DepthKey, board_drawing
from pathkit.handover.pages.labels import width_of
from pathkit.handover.pages.measures import FONT, Frame, Row, Side, spread
from pathkit.handover.pages.part_drawing import close_ups, letters_of
from pathkit.handover.pages.seen_file import Seen, SeenTogether, seen_texts
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.model.job import Part
from pathkit.operations import moved, rectangle, rotated
from pathkit.registry import load_machine

PLATES = """
name = "plates"
stock = { thickness = 6, underlay = 2, z_zero = "bed" }
tools.mill = { diameter = 4, centre_cutting = true, number = 1 }
tools.fine = { diameter = 3, centre_cutting = true, number = 2 }
cutting.wood = { feed = 1400, plunge = 400, spindle = 18000 }
passes.hold_tabs = { count = 2, width = 6, height = 3 }
[[board]]
width = 200
depth = 150
zones = [
  { kind = "tape", shape.rectangle = { corner = [30, 20], width = 40, depth = 10 } },
  { kind = "screw", shape.circle = { centre = [190, 140], radius = 4 }, height = 3 },
]
[[part]]
name = "plate"
[part.shapes]
outline.rectangle = { corner = [20, 10], width = 90, depth = 50, radius = 8 }
recess.rectangle = { corner = [34, 20], width = 42, depth = 30, radius = 4 }
slot.line = [[90, 24], [90, 46]]
hole.points = [[28, 18], [102, 18]]
[[part.operations]]
kind = "pocket"
shape = "recess"
tool = "mill"
bottom.from_top = 4
[[part.operations]]
kind = "slot"
shape = "slot"
tool = "mill"
bottom.through = true
stepdown = 2
[[part.operations]]
kind = "drill"
shape = "hole"
tool = "fine"
bottom.through = true
[[part.operations]]
kind = "contour"
shape = "outline"
tool = "mill"
bottom.through = true
stepdown = 2
[[part]]
name = "disc"
shapes.outline.circle = { centre = [150, 80], radius = 20 }
operations = [{ kind = "contour", shape = "outline", tool = "mill", bottom.through = true, stepdown = 2 }]
"""


@pytest.fixture(scope="module")
def plates(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Seen]:
    """The same board by its files for two machines, with one file for each bit."""
    machines = [load_machine("grbl-front-left"), load_machine("grbl-back-right")]
    made = build_orders(orders_of(job_file_of(PLATES, "plates.toml"), machines), tmp_path_factory.mktemp("m") / "out")
    assert made.ok, made.findings
    assert all(len(folder.cut_files) > 1 for folder in made.folders)
    return {
        folder.name: seen_texts({name: folder.files[name] for name in folder.cut_files}, folder.machine, folder.setup,
                                folder.job)
        for folder in made.folders
    }  # fmt: skip


def texts_of(svg: str) -> list[str]:
    return [html.unescape(text) for text in re.findall(r"<text[^>]*>([^<]*)</text>", svg)]


def told(svg: str) -> str:
    (text,) = re.findall(r"<desc[^>]*>([^<]*)</desc>", svg)
    return html.unescape(text)


@given(
    st.lists(st.floats(0.0, 300.0), min_size=1, max_size=12).map(sorted), st.integers(1, 60), st.floats(-20.0, 0.0),
    st.floats(300.0, 340.0),
)  # fmt: skip
def test_intervals_never_cover_each_other(wanted: list[float], size: int, low: float, high: float) -> None:
    sizes = [size + k % 3 for k in range(len(wanted))]
    spots = spread(wanted, sizes, low, high)
    assert (spots is None) == (sum(sizes) > high - low)
    if spots is None:
        return
    assert spots[0] - sizes[0] / 2.0 >= low - 1e-6
    assert spots[-1] + sizes[-1] / 2.0 <= high + 1e-6
    for (a, b), (wide, other) in zip(pairwise(spots), pairwise(sizes), strict=True):
        assert b - a >= (wide + other) / 2.0 - 1e-6
    apart = all((b - a) >= max(sizes) for a, b in pairwise(wanted))
    if apart and wanted[0] - sizes[0] / 2.0 >= low and wanted[-1] + sizes[-1] / 2.0 <= high:
        assert spots == pytest.approx(wanted), "what has room stays where it is"


@given(
    st.dictionaries(st.sampled_from(["left", "right", "near", "far"]),
                    st.lists(st.integers(0, 500), min_size=1, max_size=30, unique=True)),
    st.floats(100.0, 900.0), st.floats(100.0, 900.0), st.floats(0.0, 6.0),
    st.none() | st.tuples(st.sampled_from(["near", "far"]), st.sampled_from(["left", "right"])),
)  # fmt: skip
def test_no_measure_covers_another(
    rows: dict[Side, list[int]], wide: float, deep: float, around: float, corner: tuple[Side, Side] | None
) -> None:
    made = [Row(side, tuple((min(float(mm), wide), f"{mm}") for mm in sorted(marks))) for side, marks in rows.items()]
    frame = Frame(wide, deep, made, (450.0, 300.0), (f"{wide:g} mm", f"{deep:g} mm"), around, corner)
    svg = frame.svg()
    sides = [box for box in frame.boxes if not (frame.left < box[0] and box[2] < frame.right
                                                and frame.top < box[1] and box[3] < frame.bottom)]  # fmt: skip
    assert sides == frame.boxes, "measures stand beside the drawing"
    # Boxes of texts are rather too large than too small; rows of two sides may meet by a hair at a corner.
    for one, other in combinations(frame.boxes, 2):
        across, along = min(one[2], other[2]) - max(one[0], other[0]), min(one[3], other[3]) - max(one[1], other[1])
        assert across <= 2.0 or along <= 2.0, (one, other)
    if corner is not None:
        x = (-np.inf, frame.left) if corner[1] == "left" else (frame.right, np.inf)
        y = (frame.bottom, np.inf) if corner[0] == "near" else (-np.inf, frame.top)
        # The last two are the overall sizes, which stand in the middle of their sides.
        assert not [box for box in frame.boxes[:-2] if box[2] > x[0] + 1e-6 and box[0] < x[1] - 1e-6
                    and box[3] > y[0] + 1e-6 and box[1] < y[1] - 1e-6]  # fmt: skip
    kept = len(texts_of(svg)) - 2
    assert kept == sum(len(row.marks) for row in made) or frame.crowded


def test_a_board_is_measured_from_the_edges_at_zero(plates: dict[str, Seen]) -> None:
    """From the left and front: a plate 20 | 10 and a disc 130 | 60; tape 30 to 70 | 20 to 30; a screw at 190 | 140."""
    one = plates["grbl-front-left"]
    drawing = board_drawing(one, DepthKey.of(one), letters_of(one), (436.0, 262.0))
    said = texts_of(drawing.svg)
    assert {"20", "130", "10", "60", "tape 30", "70", "tape 20", "screw 190", "screw 140", "200 mm", "150 mm"} <= {
        *said
    }
    assert {"A", "B", "zero"} <= {*said}
    assert "From the left edge: 20, 130; tape 30, 70; screw 190." in told(drawing.svg)
    # From the right and back: 200 − 110 = 90 and 200 − 170 = 30 to the parts; 150 − 60 = 90 and 150 − 100 = 50.
    other = plates["grbl-back-right"]
    words = told(board_drawing(other, DepthKey.of(other), letters_of(other), (436.0, 262.0)).svg)
    assert "From the right edge: 90, 30; tape 170, 130; screw 10." in words
    assert "From the back edge: 90, 50; tape 130, 120; screw 10." in words


def test_a_part_has_its_measures(plates: dict[str, Seen]) -> None:
    one = plates["grbl-front-left"]
    plate, disc = close_ups(one, DepthKey.of(one), (320.0, 166.0))
    assert plate.title == "A: plate"
    lines = [line.replace("\u00a0", " ") for line in plate.lines]
    assert lines[:3] == [
        "A: recess 42 × 30, 4 deep, begins at (14, 10)",
        "B: slot 4 wide and 26 long, right through, begins at (68, 12)",
        "C: 2 × hole ⌀ 3, right through, middle at (8, 8), (82, 8)",
    ]  # fmt: skip
    assert re.fullmatch(r"2 tabs, 6 wide and 3 high, at \(45, 0\), \(45, 50\)", lines[3])
    assert {"90 mm", "50 mm", "8", "14", "45", "56", "68", "72", "82", "A", "B", "C"} <= {*texts_of(plate.drawing.svg)}
    assert "40 mm" in texts_of(disc.drawing.svg)
    assert "42 × 30, 4 deep" in told(plate.drawing.svg)


def test_kinds_beyond_the_last_drawn_are_counted(plates: dict[str, Seen]) -> None:
    """Twelve are drawn; copies turned by a quarter are of one kind."""
    one = plates["grbl-front-left"]
    assert one.job is not None
    bars = [Part(f"bar {k}", rectangle((10.0, 10.0), 20.0 + k, 10.0)) for k in range(14)]
    turned = Part("turned", moved(rotated(rectangle((10.0, 10.0), 20.0, 10.0), 90.0), (100.0, 20.0)))
    many = replace(one, job=replace(one.job, parts=(*bars, turned)))
    found = close_ups(many, DepthKey.of(many), (320.0, 166.0))
    assert len(found) == 12
    assert found[0].title == "A: bar 0, and 1 like it"
    assert found[-1].drawing.notes == ("2 more kinds of parts are not drawn close up.",)


def test_what_is_drawn_comes_from_the_files(plates: dict[str, Seen]) -> None:
    """Without the second bit's file its holes are missing, whatever the job says."""
    one = plates["grbl-front-left"]
    assert isinstance(one, SeenTogether)
    key = DepthKey.of(one)
    whole, part = (close_ups(each, key, (320.0, 166.0))[0] for each in (one, one.files[0]))
    assert part.lines == whole.lines
    # What goes straight down is a dot.
    assert whole.drawing.svg.count("h0") >= part.drawing.svg.count("h0") + 2


def test_a_text_is_no_wider_than_thought() -> None:
    """The widths of digits in the sans-serif faces that are common: 0.556 of their size in those with Helvetica's
    metrics, 0.636 in wide ones (their font files, from memory)."""
    assert width_of("1234567890", FONT) >= 10 * 0.636 * FONT


@given(st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=30))
def test_rising_values_are_those_of_scipy(values: list[float]) -> None:
    """The reference is `scipy.optimize.isotonic_regression`."""
    assert measures._rising(np.array(values)) == pytest.approx(isotonic_regression(np.array(values)).x, abs=1e-9)
