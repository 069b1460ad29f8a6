"""What a setup sheet says of a job of toolpaths, made without a job file."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from shapely.geometry import box

import pathkit as pk
from pathkit.handover.build import build
from pathkit.handover.pages import sheet
from pathkit.handover.pages.cuts import order_of_cuts
from pathkit.handover.result import Folder

MACHINE = pk.load_machine("grbl-front-left")


def line_job(stock: pk.Stock, *bottoms: float, parts: bool = False) -> pk.Job:
    """A line of 40 mm for each depth, 10 mm apart; with ``parts``, each is a part of its own and is marked first."""
    bit, feeds = (
        pk.Tool("3 mm end mill", 3.0, number=1, centre_cutting=True),
        pk.Cutting(feed=600.0, plunge=300.0, spindle=12000.0),
    )
    paths = []
    for k, bottom in enumerate(bottoms, 1):
        curve, part = pk.Curve.polyline([(20.0, 10.0 * k), (60.0, 10.0 * k)]), f"plate {k}" if parts else None
        paths += [pk.Toolpath(f"mark {k}", curve, bit, feeds, bottom=-0.5, part=part, role="engrave")] if parts else []
        paths.append(pk.Toolpath(f"line {k}", curve, bit, feeds, bottom=bottom, part=part))
    return pk.Job("lines", stock, tuple(paths))


def folder_of(job: pk.Job, machine: pk.Machine, out: Path, **options: Any) -> Folder:
    result = build(job, [machine], out, **options)
    assert result.ok
    return result.folders[0]


def test_what_holds_the_board_and_what_does_not() -> None:
    """No zones, tape alone, and a screw with a clamp beside it."""
    tape = pk.Zone(box(30, 20, 60, 40), "tape")
    high = (pk.Zone(box(0, 0, 10, 10), "screw", 5.0), pk.Zone(box(90, 0, 100, 10), "clamp", 7.5))

    def told(*zones: pk.Zone) -> str:
        return " ".join(sheet.hold_down(line_job(pk.Stock(100.0, 60.0, 6.0, zones=zones), -1.0), MACHINE))

    nothing, taped, held = told(), told(tape), told(tape, *high)
    assert "does not say what holds the board" in nothing
    assert "does not say what holds the board" not in taped
    for text in (nothing, taped):
        assert "lists no screws or clamps" in text
    for one in high:
        assert "lists no screws or clamps" not in told(tape, one)
    assert "1 screw where drawn, at most 5 mm above the board" in held
    assert "1 clamp where drawn, at most 7.5 mm above the board" in held
    assert "waste or tape" not in nothing, "there is no underlay"


@pytest.mark.parametrize(
    ("bottoms", "told"),
    [
        # 12 ± 0.5 mm: just through the thickest board, 1 mm past the thinnest; and not through.
        ((-12.5,), "; through cuts go 0 to 1 mm into it."),
        ((-12.8, -1.0), "; through cuts go 0.3 to 1.3 mm into it."),
        ((-11.5,), "."),
    ],
)
def test_how_far_cuts_go_into_the_waste_sheet(bottoms: tuple[float, ...], told: str) -> None:
    lines = sheet.hold_down(line_job(pk.Stock(100.0, 60.0, 12.0, underlay=3.0), *bottoms), MACHINE)
    assert lines[0] == f"Under the board lie 3 mm of waste or tape{told}"


def test_heights_in_inches_beside_millimetres() -> None:
    """9 mm on a sheet of 3 mm: (9 + 3) / 25.4 = 0.4724."""
    machine = replace(MACHINE, output={"units": "inch"})
    job = line_job(pk.Stock(100.0, 60.0, 9.0, z_zero="bed", underlay=3.0), 10.0)
    assert any("The board's top is then at Z 0.4724 in (12 mm)." in line for line in sheet.zero(job, machine))


def test_the_spindle_is_started_by_hand_where_it_has_no_control(tmp_path: Path) -> None:
    job, words = line_job(pk.Stock(100.0, 60.0, 6.0), -1.0), "start it by hand at the speed in the table"
    by_hand = replace(MACHINE, spindle=replace(MACHINE.spindle, control="manual"))
    told = sheet.steps(folder_of(job, by_hand, tmp_path / "by hand"))
    assert words in " ".join(told)
    assert "When the file pauses at its end, switch the spindle off, and let the file go on." in told
    assert "At the end the bit parks at X 0 mm, Y 0 mm." in told
    # 8 mm above the board's top, on which zero is.
    assert "Before you start a file, see that the bit stands no higher than Z 8 mm: its first move goes there." in told
    assert words not in " ".join(sheet.steps(folder_of(job, MACHINE, tmp_path / "driven")))


def test_parts_are_listed_one_by_one_where_each_is_finished_before_the_next(tmp_path: Path) -> None:
    """Two parts with two cuts each: part by part as in the job, or all marks first."""
    job = line_job(pk.Stock(100.0, 60.0, 6.0), -1.0, -2.0, -3.0, parts=True)
    by_part = folder_of(job, MACHINE, tmp_path / "part", passes=())
    rows = order_of_cuts(by_part.job, by_part.clock, by_part.machine)
    assert [(row["what"], row["count"], row["depth"]) for row in rows] == [
        ("plate 1", 2, "0.5 to 1 mm"), ("plate 2", 2, "0.5 to 2 mm"), ("plate 3", 2, "0.5 to 3 mm"),
    ]  # fmt: skip
    marks = replace(job, toolpaths=(*job.toolpaths[0::2], *job.toolpaths[1::2]))
    staged = folder_of(marks, MACHINE, tmp_path / "stage", passes=())
    rows = order_of_cuts(staged.job, staged.clock, staged.machine)
    assert [(row["count"], row["depth"]) for row in rows] == [(3, "0.5 mm"), (3, "1 to 3 mm")]


def test_figures_of_the_index(tmp_path: Path) -> None:
    """A job of toolpaths has no layout, so no share of waste; an unknown deviation is said in words."""
    folder = folder_of(line_job(pk.Stock(100.0, 60.0, 6.0), -1.0), MACHINE, tmp_path / "out")
    assert sheet.index_row(folder)["waste"] == "–"
    assert re.fullmatch(r"0\.000\d mm", sheet.deviation(folder))
    unknown = replace(folder, proof=replace(folder.proof, deviation=math.nan))
    assert sheet.deviation(unknown) == "an unknown amount"
