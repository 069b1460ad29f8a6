"""What a sheet says will be seen, and when; and that no step speaks of what is not there."""

from __future__ import annotations

from pathlib import Path

import pytest

import pathkit as pk
from pathkit.handover.pages import sheet
from pathkit.handover.pages.cuts import duration, order_of_cuts
from pathkit.units import clock
from tests.handover.test_sheet_of_jobs import MACHINE, folder_of, line_job


@pytest.mark.parametrize(("seconds", "text"), [(0.0, "0:00"), (59.6, "1:00"), (2050.0, "34:10"), (3723.0, "1:02:03")])
def test_times_of_a_clock(seconds: float, text: str) -> None:
    assert clock(seconds) == text


def test_no_step_speaks_of_tabs_where_there_are_none(tmp_path: Path) -> None:
    job = line_job(pk.Stock(100.0, 60.0, 6.0), -1.0)
    told = " ".join(sheet.steps(folder_of(job, MACHINE, tmp_path / "out")))
    assert "no tabs hold them" in told
    assert "Sand the edges" not in told


def test_each_stage_begins_when_the_run_time_says(tmp_path: Path) -> None:
    """The same moments, added up row by row."""
    folder = folder_of(line_job(pk.Stock(100.0, 60.0, 6.0), -1.0, -2.0, -1.0, parts=True), MACHINE, tmp_path / "out")
    time, now = folder.clock, 0.0
    begins: dict[str, float] = {}
    for row, owner in enumerate(time.toolpath.tolist()):
        if owner >= 0:
            begins.setdefault(time.names[owner], now)
        now += float(time.standing[row]) + float(time.per_move[row])
    rows = order_of_cuts(folder.job, time, folder.machine)
    first = [next(path.name for path in folder.job.toolpaths if path.part == row["what"]) for row in rows]
    assert [row["begins"] for row in rows] == [clock(begins[name]) for name in first]


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(0.4, "0 s"), (59.6, "60 s"), (119.4, "119 s"), (150.0, "2 min"), (3600.0, "1 h 00 min"), (9000.0, "2 h 30 min")],
)
def test_times_are_said_as_people_say_them(seconds: float, text: str) -> None:
    assert duration(seconds) == text
