"""What a job says of ways in, levels and tabs is found again in its file, as far as the file's decimals tell."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import pathkit as pk
from pathkit.testing.programs import machine_for
from pathkit.testing.strategies import BOARD
from tests.tuning import written

BIT = pk.Tool("6 mm", 6.0, centre_cutting=True)
BLUNT = replace(BIT, name="6 mm, blunt", centre_cutting=False)
BOARD_12 = pk.Stock(*BOARD, 12.0, underlay=3.0, thickness_tolerance=0.0)
CUTTING = pk.Cutting(feed=1200.0, plunge=400.0, spindle=18000.0)
THROUGH = BOARD_12.lowest_underside - 0.2

RING = pk.Curve.circle((100.0, 100.0), 40.0)
PLATE = pk.Curve(
    [(42.3, 40.7), (108.3, 40.7), (120.3, 52.7), (120.3, 88.7), (108.3, 100.7), (42.3, 100.7), (30.3, 88.7),
     (30.3, 52.7)],
    [0.0, math.pi / 2] * 4, closed=True,
)  # fmt: skip
GROOVE = pk.Curve.polyline([(20.0, 20.0), (90.0, 20.0), (90.0, 70.0)])
ROWS = pk.Curve.polyline([(x, 150.0 + 4.0 * row) for row in range(6) for x in ((40, 90) if row % 2 == 0 else (90, 40))])
LED = pk.Curve([(68.0, 9.5), (65.0, 12.5), (14.0, 12.5), (14.0, 86.0), (65.0, 86.0), (65.0, 12.5), (62.0, 9.5)],
               [math.pi / 2, 0.0, 0.0, 0.0, 0.0, math.pi / 2])  # fmt: skip
SQUARE, SLOPED = ([pk.Tab(at, 6.0, 3.0, shape) for at in (25.0, 150.0)] for shape in ("square", "sloped"))

CUTS: dict[str, dict[str, Any]] = {
    "plunge": {"curve": PLATE, "levels": (-2.0, -4.0)},
    "plunge, tabs": {"curve": PLATE, "bottom": THROUGH, "stepdown": 4.0, "tabs": SQUARE},
    "plunge, sloped tabs": {"curve": PLATE, "bottom": THROUGH, "stepdown": 4.0, "tabs": SLOPED},
    "ramp": {"curve": PLATE, "bottom": -6.0, "stepdown": 2.5, "entry": pk.Ramp(3.0)},
    "ramp on a lead": {"curve": PLATE, "bottom": -6.0, "stepdown": 2.5, "entry": pk.Ramp(3.0, within=15.0)},
    "ramp, tabs, start": {"curve": PLATE, "bottom": THROUGH, "stepdown": 4.0, "tabs": SQUARE, "entry": pk.Ramp(3.0),
                          "start": 70.0},
    "ramp, sloped tabs": {"curve": PLATE, "bottom": THROUGH, "stepdown": 4.0, "tabs": SLOPED, "entry": pk.Ramp(5.0),
                          "start": 70.0},
    "blunt ramp, tabs": {"curve": PLATE, "bottom": THROUGH, "stepdown": 4.0, "tabs": SQUARE, "entry": pk.Ramp(3.0),
                         "tool": BLUNT, "start": 70.0},
    "spiral": {"curve": RING, "bottom": -7.0, "stepdown": 2.0, "entry": pk.Spiral(2.0)},
    "spiral, tabs": {"curve": PLATE, "bottom": THROUGH, "stepdown": 4.0, "tabs": SQUARE, "entry": pk.Spiral(3.0),
                     "start": 70.0},
    "blunt spiral, tabs": {"curve": PLATE, "bottom": THROUGH, "stepdown": 4.0, "tabs": SQUARE,
                           "entry": pk.Spiral(3.0), "tool": BLUNT, "start": 70.0},
    "helix into a pocket": {"curve": ROWS, "bottom": -6.0, "stepdown": 2.0, "entry": pk.Helix(3.0, 4.0),
                            "role": "pocket", "reversible": True},
    "groove": {"curve": GROOVE, "bottom": -6.0, "stepdown": 2.0, "reversible": True},
    "groove over the board": {"curve": GROOVE, "bottom": -9.0, "stepdown": 3.0, "entry": pk.Ramp(3.0),
                              "reversible": False},
    "groove back and forth": {"curve": GROOVE, "bottom": -9.0, "stepdown": 3.0, "entry": pk.Ramp(3.0),
                              "reversible": True},
    "outline with leads": {"curve": LED, "bottom": THROUGH, "stepdown": 4.0, "tabs": [pk.Tab(120.0, 6.0, 3.0)],
                           "entry": pk.Ramp(5.0, within=4.7), "reversible": False},
    "pecks in a hole": {"curve": GROOVE, "bottom": -6.0, "role": "drill", "entry": pk.Peck(2.0)},
}  # fmt: skip


def lifted(path: pk.Toolpath, dialect: str = "grbl") -> list[pk.Toolpath]:
    machine = machine_for(pk.installed().find("dialect", dialect), axes=pk.Axes("toward", "right", "up"))
    text = pk.post(pk.lower(pk.Job("one", BOARD_12, [path]), machine), machine).text
    reading = pk.interpret(text, machine)
    return list(pk.lift(reading.program, machine, bits=path.tool, stock=BOARD_12).job.toolpaths)


def made(name: str) -> pk.Toolpath:
    options = dict(CUTS[name])
    return pk.Toolpath(name, options.pop("curve"), options.pop("tool", BIT), CUTTING, **options)


@pytest.mark.parametrize("dialect", ["grbl", "rs274ngc"])
@pytest.mark.parametrize("name", CUTS)
def test_ways_in_levels_and_tabs_are_those_of_the_job(name: str, dialect: str) -> None:
    job = made(name)
    (found,) = lifted(job, dialect)
    assert type(found.entry) is type(job.entry)
    assert (found.curve.closed, found.curve.is_trace) == (job.curve.closed, False)
    assert found.curve.length == pytest.approx(job.curve.length, abs=0.02)
    assert found.levels is not None
    assert found.levels == pytest.approx(job.depths(BOARD_12), abs=6e-4)
    assert len(found.tabs) == len(job.tabs)
    for own, tab in zip(sorted(found.tabs, key=lambda tab: tab.at), _from_start(job), strict=True):
        assert (own.at, own.width, own.height) == pytest.approx((tab.at, tab.width, tab.height), abs=2e-3)
        assert own.shape == tab.shape


def _from_start(job: pk.Toolpath) -> list[pk.Tab]:
    """The tabs as they lie from where the cut begins."""
    length = job.curve.length
    return sorted((replace(tab, at=(tab.at - job.start) % length) for tab in job.tabs), key=lambda tab: tab.at)


@pytest.mark.parametrize("name", [name for name in CUTS if name.startswith(("ramp", "blunt ramp", "groove back"))])
def test_a_ramp_is_as_steep_as_the_job_says_or_as_its_whole_legs_allow(name: str) -> None:
    job = made(name)
    (found,) = lifted(job)
    assert isinstance(found.entry, pk.Ramp)
    assert isinstance(job.entry, pk.Ramp)
    # Legs are whole: of n that are needed, one less would be too steep.
    assert job.entry.angle * 0.6 < found.entry.angle < job.entry.angle + 0.01
    assert found.entry.within == pytest.approx(job.entry.within, abs=2e-3)


def test_a_helix_is_as_wide_as_the_job_says() -> None:
    (found,) = lifted(made("helix into a pocket"))
    assert isinstance(found.entry, pk.Helix)
    assert found.entry.diameter == pytest.approx(4.0, abs=2e-3)
    assert found.may_reverse


def test_a_bored_hole_is_a_point_with_a_helix() -> None:
    point = pk.Toolpath("bored", pk.Curve.point((50, 60)), BIT, CUTTING, bottom=-7.0, entry=pk.Helix(3.0, 4.0))
    (found,) = lifted(point)
    assert found.curve.is_point
    assert np.allclose(found.curve.points, [(50.0, 60.0)], atol=1e-3)
    assert isinstance(found.entry, pk.Helix)
    # A turn of 2 π 2 mm at 3° gains 0.659 mm, so 7 mm take eleven (geometry).
    assert found.entry.diameter == pytest.approx(4.0, abs=2e-3)
    assert found.levels is not None
    assert len(found.levels) == 11


def lifted_text(*lines: str) -> list[pk.Toolpath]:
    text = written.text(lines)
    machine = pk.load_machine("grbl-front-left")
    return list(pk.lift(pk.read_any(text).program, machine, bits=BIT, stock=BOARD_12).job.toolpaths)


RAMP = ("G0 X20 Y20", "G1 Z0 F300", "G1 X60 Z-1 F900", "X20 Z-2", "X80", "Y60", "X20", "Y20")


def test_a_ramp_that_a_plain_script_wrote_is_one() -> None:
    (found,) = lifted_text(*RAMP)
    # 2 mm on twice 40 mm (trigonometry).
    assert isinstance(found.entry, pk.Ramp)
    assert found.entry.angle == pytest.approx(math.degrees(math.atan(2.0 / 80.0)))
    assert (found.levels, found.curve.closed) == ((-2.0,), True)


@pytest.mark.parametrize(
    "edit",
    [("X60 Z-1", "X60 Z-0.9"), ("X20 Z-2", "X20.02 Z-2"), ("X20 Z-2", "X20 Z-2 F500"), ("X60 Z-1", "X60 Y20.05 Z-1")],
)  # fmt: skip
def test_what_is_a_little_different_stays_a_trace(edit: tuple[str, str]) -> None:
    lines = [line.replace(*edit) if number > 1 else line for number, line in enumerate(RAMP)]
    assert lines != list(RAMP)
    (found,) = lifted_text(*lines)
    assert found.curve.is_trace


def test_laps_with_lifts_between_keep_the_tabs_of_the_lowest() -> None:
    over = ("G1 X40 Z-13", "Z-9", "X55", "Z-13 F300", "X80 F900")
    low = ["G0 X20 Y20", "G1 Z-13 F300", "G1 X40 F900", *over[1:], "Y60", "X20", "Y20"]
    (found,) = lifted_text(*written.square(20, 20, 60, (-4, -8)), "G0 X20 Y20")[:1]
    assert found.levels == (-4.0, -8.0)
    tabbed = lifted_text("G0 X20 Y20", "G1 Z-8 F300", "G1 X80 F900", "Y60", "X20", "Y20", "G0 Z6", *low)
    assert [(path.levels, len(path.tabs)) for path in tabbed] == [((-8.0, -13.0), 1)]
    (tab,) = tabbed[0].tabs
    assert (tab.at, tab.width, tab.height) == pytest.approx((27.5, 9.0, 3.0))


def test_tabs_along_chains_of_short_lines_are_recognised() -> None:
    chords = pk.Curve([RING.at(2.5 * k) for k in range(100)], closed=True)
    job = replace(made("plunge, tabs"), curve=chords)
    (found,) = lifted(job)
    assert not found.curve.is_trace
    assert [(tab.at, tab.width) for tab in found.tabs] == [
        pytest.approx((tab.at, tab.width), abs=2e-3) for tab in job.tabs
    ]
