"""Run times against those that the GRBL 1.1h planner and stepper code itself computed, run on a host in virtual time.

Data: ``data/grbl_run_times.json``, measured for this project from the controller's published source. The programs are
read here by a reader of a few lines, so that no fault of the library's own reader can hide in the comparison.
"""

from __future__ import annotations

import json
import math
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pathkit.machine.kinematics import run_time
from pathkit.machine.profile import Axes, Machine, Motion, Travel
from pathkit.motion.program import ARC, LINE, RAPID, Dwell, Event, Program, Spindle

ROWS: list[dict[str, Any]] = json.loads((Path(__file__).parent / "data" / "grbl_run_times.json").read_text())


def machine_of(settings: dict[str, float]) -> Machine:
    def triple(first: int) -> tuple[float, float, float]:
        return (settings[f"${first}"], settings[f"${first + 1}"], settings[f"${first + 2}"])

    motion = Motion(
        rapid=triple(110),
        feed_limit=triple(110),
        acceleration=triple(120),
        junction_deviation=settings["$11"],
        arc_tolerance=settings["$12"],
        steps_per_mm=triple(100),
        # $1 = 255 keeps the motors on, so there is no delay.
        idle_delay=0.0 if settings["$1"] == 255 else settings["$1"] / 1000.0,
    )
    return Machine("measured", "grbl", Axes(), Travel(500, 500, 100), motion)


def program_of(lines: list[str]) -> Program:
    """Absolute millimetres, G0-G3 with I J, F, S, M3, M5, G4 P: all that the measured programs use."""
    place = [0.0, 0.0, 0.0]
    mode, feed, speed = 0, math.nan, 0.0
    rows: list[tuple[int, list[float], list[float], float, float]] = []
    events: list[Event] = []
    event_at: list[int] = []
    for line in lines:
        words = [(letter, float(number)) for letter, number in re.findall(r"([A-Z])([-+.0-9]+)", line)]
        value = dict(words)
        codes = [number for letter, number in words if letter == "G"]
        feed, speed = value.get("F", feed), value.get("S", speed)
        event: Event | None = None
        if value.get("M") == 3:
            event = Spindle(speed, 1)
        elif value.get("M") == 5:
            event = Spindle(0.0, 0)
        elif 4 in codes:
            event = Dwell(value["P"])
        if event is not None:
            events.append(event)
            event_at.append(len(rows))
            continue
        mode = next((int(code) for code in codes if code in (0, 1, 2, 3)), mode)
        if not {"X", "Y", "Z"} & set(value):
            continue
        end = [value.get(axis, old) for axis, old in zip("XYZ", place, strict=True)]
        centre, sweep = [math.nan, math.nan], math.nan
        if mode in (2, 3):
            centre = [place[0] + value.get("I", 0.0), place[1] + value.get("J", 0.0)]
            before = math.atan2(place[1] - centre[1], place[0] - centre[0])
            after = math.atan2(end[1] - centre[1], end[0] - centre[0])
            sweep = (after - before) % (2 * math.pi) if mode == 3 else -((before - after) % (2 * math.pi))
            if abs(sweep) < 5e-7:
                sweep = math.copysign(2 * math.pi, 1 if mode == 3 else -1)
        rows.append((mode, end, centre, sweep, math.nan if mode == 0 else feed))
        place = end
    count = len(rows)
    none = np.full(count, -1)
    return Program(
        start=np.zeros(3),
        kind=np.array([(RAPID, LINE, ARC, ARC)[row[0]] for row in rows]),
        end=np.array([row[1] for row in rows]),
        centre=np.array([row[2] for row in rows]),
        sweep=np.array([row[3] for row in rows]),
        feed=np.array([row[4] for row in rows]),
        toolpath=none,
        level=none,
        line=none,
        event=tuple(events),
        event_at=np.array(event_at),
        frame="controller",
    )


@pytest.mark.parametrize("row", ROWS, ids=lambda row: str(row["name"]))
def test_times_of_the_controllers_own_code(row: dict[str, Any]) -> None:
    program = program_of(row["program"])
    result = run_time(program, machine_of(row["settings"]))
    assert result.planned_moves == row["planned_moves"]
    assert result.moving == pytest.approx(row["seconds_moving"], rel=0.001)
    assert result.dwelling == pytest.approx(row["seconds_dwelling"], abs=1e-9)
    steps = np.array([row["settings"][f"${n}"] for n in (100, 101, 102)])
    assert np.allclose(np.rint(program.end[-1] * steps) / steps, row["end"], atol=2e-5)


def test_the_measured_programs_cover_what_they_should() -> None:
    kinds = {str(row["name"]).split("-")[0] for row in ROWS}
    assert len(ROWS) == 30
    assert kinds == {"zigzag", "rnd3", "tiny", "arcs", "drill", "spiral"}
