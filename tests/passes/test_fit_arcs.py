"""Chains of short lines become arcs, and the job is the same otherwise."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any, ClassVar

import numpy as np
import pytest
import shapely

import pathkit as pk
from pathkit.errors import InputError
from pathkit.machine.profile import Machine
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Ramp, Tab, Toolpath
from pathkit.passes.fit_arcs import FitArcs
from pathkit.passes.pipeline import Pipeline
from pathkit.passes.same_line import same_line
from pathkit.passes.standard import standard_passes
from pathkit.registry import find_pass
from pathkit.testing import PassTests
from tests.demo import demo_plates

if TYPE_CHECKING:
    from tests.passes.conftest import Cut, Ring, Swept

BOARD = Stock(400.0, 300.0, 12.0, z_zero="bed", underlay=0.5)
BIT = pk.Tool("3 mm flat", 3.0, centre_cutting=True)
CUTTING = pk.Cutting(feed=1200.0, plunge=300.0, spindle=18000.0)


def chorded(curve: Curve, tolerance: float = 0.01) -> Curve:
    return Curve(curve.flattened(tolerance), closed=curve.closed)


def helix(radius: float = 8.0, turns: float = 3.0, chords: int = 200) -> Curve:
    turn = np.linspace(0.0, 2.0 * math.pi * turns, chords + 1)
    points = [60.0 + radius * np.cos(turn), 50.0 + radius * np.sin(turn), 12.0 - turn / 8.0]
    return Curve(np.stack(points, axis=1))


def job_of(*paths: Toolpath) -> Job:
    return Job("fitted", BOARD, paths)


def traced(name: str, curve: Curve, **fields: Any) -> Toolpath:
    return Toolpath(name, curve, BIT, CUTTING, **fields)


class TestLaws(PassTests):
    one = FitArcs()
    keeps_depths = False  # a contour is not the same to a millionth of a millimetre; `only_changes` keeps its depths
    jobs: ClassVar[Sequence[Job]] = (
        job_of(
            traced("helix", helix()),
            traced("circle", chorded(Curve.circle((150.0, 80.0), 20.0)), bottom=0.25),
            traced("feeds", helix(6.0), feeds=((0, 900.0), (70, 600.0))),
        ),
    )


def test_lines_of_a_circle_become_halves_of_it(ring: Ring, cut: Cut, board: Stock, machine: Machine) -> None:
    true = {"circle": Curve.circle((60.0, 60.0), 25.0), "ring": ring(120.0, 20.0, 80.0, 50.0, 6.0)}
    job = Job("j", board, tuple(cut(name, chorded(curve)) for name, curve in true.items()))
    passed = FitArcs()(job, machine)
    circle, rounded = (path.curve for path in passed.job.toolpaths)
    assert len(circle.sweeps) == 2
    assert circle.area == pytest.approx(true["circle"].area, abs=1e-6)
    assert rounded.sweeps == pytest.approx(true["ring"].sweeps)
    assert rounded.points == pytest.approx(true["ring"].points)
    spans = passed.figures["spans"]
    assert spans["after"] == 10 <= spans["before"] / 5
    assert 0.0 < passed.figures["deviation"] <= 0.01
    assert [(finding.severity, finding.toolpath) for finding in passed.findings] == [
        ("note", "circle"),
        ("note", "ring"),
    ]


def test_a_trace_keeps_its_feeds_and_its_heights(machine: Machine) -> None:
    path = traced("helix", helix(), feeds=((0, 900.0), (101, 600.0), (150, 900.0)))
    after = Pipeline([FitArcs()]).run(job_of(path), machine, check=True).job.toolpaths[0]
    assert len(after.curve.sweeps) <= 8
    assert after.curve.is_trace
    assert after.curve.sweeps.all()
    changes = [float(path.curve.points[at, 2]) for at in (0, 101, 150)]
    assert [(float(after.curve.points[at, 2]), feed) for at, feed in after.feeds] == list(
        zip(changes, (900.0, 600.0, 900.0), strict=True)
    )


def test_a_trace_is_lowered_to_the_same_cut(machine: Machine, swept_below: Swept) -> None:
    """What the bit sweeps at some heights, by shapely, differs by no more than the tolerance along its edges."""
    job = job_of(traced("helix", helix(chords=1000)))
    programs = [pk.lower(each, machine) for each in (job, FitArcs(0.005)(job, machine).job)]
    assert len(programs[1]) < len(programs[0]) / 20
    for height in (11.5, 10.5):
        before, after = (swept_below(program, 1.5, height) for program in programs)
        assert before.buffer(0.01).contains(after)
        # Where the way down crosses the height, the longer row is drawn to its lower end.
        assert shapely.area(shapely.difference(before, after.buffer(0.01))) < 0.01


def test_it_takes_no_longer(machine: Machine) -> None:
    job = demo_plates("plate 01")
    rough = job.with_toolpaths(
        tuple(p if p.curve.is_point else replace(p, curve=chorded(p.curve)) for p in job.toolpaths)
    )
    passes = standard_passes(effort=0.1)
    slow = Pipeline(passes).run(rough, machine, check=True)
    quick = Pipeline([FitArcs(), *passes]).run(rough, machine, check=True)
    times = [pk.run_time(pk.lower(outcome.job, machine), machine).total for outcome in (slow, quick)]
    assert times[1] <= times[0]


def test_what_is_measured_along_a_curve_keeps_it(cut: Cut, board: Stock, machine: Machine) -> None:
    circle = chorded(Curve.circle((60.0, 60.0), 25.0))
    arc = Curve(circle.points[:40])
    job = Job(
        "j",
        board,
        (
            cut("tabs", circle, tabs=(Tab(30.0, 6.0, 3.0),)),
            cut("start", circle, start=12.0),
            cut("lead", arc, entry=Ramp(3.0, within=20.0)),
        ),
    )
    assert FitArcs()(job, machine).job is job


def test_without_arcs_only_points_are_dropped(cut: Cut, board: Stock, machine: Machine) -> None:
    square = Curve.polyline([(20, 20), (50, 20), (90, 20), (90, 55), (90, 60), (20, 60)], closed=True)
    circle = chorded(Curve.circle((150.0, 80.0), 20.0), 0.0001)
    after = FitArcs(arcs=False)(Job("j", board, (cut("a", square), cut("b", circle))), machine).job
    assert after.toolpaths[0].curve.points.tolist() == [[20, 20], [90, 20], [90, 60], [20, 60]]
    assert not after.toolpaths[1].curve.sweeps.any()
    assert len(after.toolpaths[1].curve.points) < len(circle.points) / 5


def test_the_second_time_changes_nothing(machine: Machine, cut: Cut, ring: Ring, board: Stock) -> None:
    job = Job(
        "j", board, (cut("ring", chorded(ring(20.0, 20.0, 80.0, 50.0, 6.0))), cut("line", Curve([[5, 5], [9, 9]])))
    )
    once = FitArcs()(job, machine).job
    assert FitArcs()(once, machine).job is once


def test_the_curves_of_a_job_file_are_arcs_already(machine: Machine) -> None:
    job = demo_plates("plate 01")
    assert FitArcs()(job, machine).figures["spans"]["after"] >= 0.9 * sum(len(p.curve.sweeps) for p in job.toolpaths)


@pytest.mark.parametrize("tolerance", [0.0, -0.01, math.nan, "wide"])
def test_an_impossible_tolerance_is_refused(tolerance: Any) -> None:
    with pytest.raises(InputError, match="tolerance is"):
        FitArcs(tolerance)
    with pytest.raises(InputError, match="arcs is"):
        FitArcs(arcs=1)  # type: ignore[arg-type]


def test_it_is_found_by_name_and_is_no_standard_pass() -> None:
    assert find_pass("fit_arcs").__name__ == FitArcs.__name__
    assert "fit_arcs" not in [step.name for step in standard_passes()]


# --- the promise, by places looked at -----------------------------------------------------------------------------


def judged(before: Toolpath, after: Toolpath, tolerance: float = 0.01) -> str:
    found = same_line(tolerance).judge(job_of(before), job_of(after))
    return "" if found is None else found.what


HALF = Curve.circle((60.0, 60.0), 20.0).points
POINTS = Curve(HALF, [math.pi]).flattened(0.01)
MOVED = np.array([[0.0, 0.0], [1e-6, 0.0]])
ROUGH = traced("cut", Curve(POINTS), bottom=0.25)
SMOOTH = replace(ROUGH, curve=Curve(HALF, [math.pi]))


def test_the_promise_holds_for_the_arc_that_was_meant() -> None:
    assert judged(ROUGH, SMOOTH) == ""
    assert judged(SMOOTH, SMOOTH) == ""
    assert judged(ROUGH, ROUGH) == ""


@pytest.mark.parametrize(
    ("after", "said"),
    [
        (replace(SMOOTH, curve=Curve(HALF, [math.pi + 0.003])), "strays"),
        (replace(SMOOTH, curve=Curve(HALF, [-math.pi])), "strays"),
        (replace(SMOOTH, curve=Curve(HALF)), "strays"),
        (replace(SMOOTH, curve=Curve(HALF[::-1], [math.pi])), "lost an end"),
        (replace(SMOOTH, curve=Curve(HALF + MOVED, [math.pi])), "lost an end"),
        (replace(SMOOTH, curve=Curve(POINTS[:-1])), "lost an end"),
        (replace(SMOOTH, curve=Curve(np.delete(POINTS, 5, axis=0))), "strays"),
        (replace(SMOOTH, curve=Curve(HALF, [math.pi, math.pi], closed=True)), "opened or closed"),
    ],
)
def test_the_promise_is_broken_by_any_other_line(after: Toolpath, said: str) -> None:
    assert said in judged(ROUGH, after)


def test_the_promise_is_broken_by_a_way_back_that_is_left_out() -> None:
    there = traced("cut", Curve([[0.0, 0.0], [20.0, 0.0], [10.0, 0.0], [30.0, 0.0]]), bottom=0.25)
    assert "inf" in judged(there, replace(there, curve=Curve([[0.0, 0.0], [30.0, 0.0]])))


def test_the_promise_is_broken_in_height_and_by_feeds() -> None:
    wave = helix(20.0, 0.25, 30)
    bent = Curve(wave.points - [[0.0, 0.0, 0.05 * (k == 12)] for k in range(31)])
    one = Curve(wave.points[[0, -1]], [math.pi / 2.0])
    assert judged(traced("cut", wave), traced("cut", one)) == ""
    assert "strays by 0.05" in judged(traced("cut", bent), traced("cut", one))
    slower = traced("cut", wave, feeds=((0, 900.0), (20, 600.0)))
    assert "another feed" in judged(slower, traced("cut", one, feeds=((0, 900.0),)))


def test_the_promise_is_broken_where_places_are_measured_along() -> None:
    tabbed = replace(ROUGH, tabs=(Tab(30.0, 6.0, 3.0),))
    assert "measured along" in judged(tabbed, replace(SMOOTH, tabs=tabbed.tabs))
