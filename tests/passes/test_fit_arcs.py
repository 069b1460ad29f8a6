"""Chains of short lines become arcs, and the job is the same otherwise."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any, ClassVar

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

import pathkit as pk
from pathkit.errors import InputError
from pathkit.lowering.cut import tab_gap
from pathkit.machine.profile import Machine
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Descend, Ramp, Tab, Toolpath
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


def test_what_is_measured_along_a_curve_keeps_its_place(cut: Cut, board: Stock, machine: Machine) -> None:
    circle = chorded(Curve.circle((60.0, 60.0), 25.0))
    arc = Curve(circle.points[:40])
    tabs = (Tab(30.0, 6.0, 3.0), Tab(0.5, 5.0, 3.0), Tab(circle.length - 20.0, 4.0, 3.0))
    before = (
        cut("tabs", circle, tabs=tabs),
        cut("sloped", circle, tabs=[replace(tab, shape="sloped") for tab in tabs]),
        cut("start", circle, start=12.0),
        cut("lead", arc, entry=Ramp(3.0, within=20.0)),
        cut("round", circle, entry=Ramp(3.0, within=20.0), start=circle.length - 5.0),
        cut("comes down", arc, entry=Descend(20.0)),
    )
    after = Pipeline([FitArcs()]).run(Job("j", board, before), machine, check=True).job.toolpaths
    assert all(len(path.curve.sweeps) <= 2 for path in after)
    for one, other in zip(before, after, strict=True):
        assert_places_kept(one, other, 0.01)


def assert_places_kept(before: Toolpath, after: Toolpath, tolerance: float) -> None:
    """By distances in the plan: the ends of tabs and of ways in lie where they did."""
    assert len(before.tabs) == len(after.tabs)
    for index, (tab, now) in enumerate(zip(before.tabs, after.tabs, strict=True)):
        assert now.width >= tab.width
        assert (now.height, now.shape) == (tab.height, tab.shape)
        for old, new in zip(tab_gap(before, index), tab_gap(after, index), strict=True):
            assert math.dist(before.curve.at(old), after.curve.at(new)) <= tolerance + 1e-6
    assert math.dist(before.curve.at(before.start), after.curve.at(after.start)) <= tolerance + 1e-6
    old, new = (getattr(path.entry, "within", 0.0) or 0.0 for path in (before, after))
    assert new >= old
    there = before.curve.at(before.start + old), after.curve.at(after.start + new)
    assert math.dist(*there) <= tolerance + 1e-6


@given(
    radius=st.floats(8.0, 60.0), chords=st.floats(0.001, 0.009), noise=st.floats(0.0, 0.004), seed=st.integers(0, 999),
    at=st.floats(0.0, 0.999), width=st.floats(2.0, 8.0), start=st.floats(0.0, 0.999), sloped=st.booleans(),
)  # fmt: skip
def test_fitted_tabs_lie_where_they_lay_and_are_no_shorter(
    radius: float, chords: float, noise: float, seed: int, at: float, width: float, start: float, sloped: bool
) -> None:
    """A slot's outline in short lines, none of which lies quite where it should."""
    true = Curve(
        [(80.0, 80.0), (120.0, 80.0), (120.0, 80.0 + 2 * radius), (80.0, 80.0 + 2 * radius)],
        [0.0, math.pi, 0.0, math.pi], closed=True,
    )  # fmt: skip
    points = true.flattened(chords)
    points = points + np.random.default_rng(seed).uniform(-noise, noise, points.shape)
    rough = Curve(points, closed=True)
    tab = Tab(at * rough.length, width, 3.0, "sloped" if sloped else "square")
    path = traced(
        "slot", rough, bottom=0.25, tabs=[tab], start=start * rough.length, entry=Ramp(3.0, within=15.0)
    )  # fmt: skip
    job = job_of(path)
    after = FitArcs()(job, pk.load_machine("grbl-front-left")).job
    assert all(promise.judge(job, after) is None for promise in FitArcs().promises)
    assert_places_kept(path, after.toolpaths[0], 0.01)
    assert len(after.toolpaths[0].curve.sweeps) <= 8 or noise


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


TABBED = replace(ROUGH, tabs=(Tab(30.0, 6.0, 3.0),), entry=Ramp(3.0, within=12.0))
CARRIED = FitArcs()(job_of(TABBED), pk.load_machine("grbl-front-left")).job.toolpaths[0]


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({}, ""),
        ({"tabs": (replace(CARRIED.tabs[0], at=30.03),)}, "that ends 0.0"),
        ({"tabs": (replace(CARRIED.tabs[0], width=5.9),)}, "narrower ones"),
        ({"tabs": (replace(CARRIED.tabs[0], width=6.5),)}, "that ends 0.2"),
        ({"tabs": (replace(CARRIED.tabs[0], height=2.0),)}, "other tabs"),
        ({"tabs": ()}, "other tabs"),
        ({"entry": Ramp(4.0, within=12.1)}, "another way in"),
        ({"entry": Ramp(3.0, within=11.9)}, "a shorter one"),
        ({"entry": Ramp(3.0, within=12.1)}, "that ends 0.0"),
        ({"entry": Ramp(3.0)}, "another way in"),
    ],
)
def test_the_promise_is_broken_where_a_place_along_the_curve_moves(changed: dict[str, Any], said: str) -> None:
    found = judged(TABBED, replace(CARRIED, **changed))
    assert said in found
    assert bool(said) == bool(found)


def test_the_promise_is_broken_by_a_tab_on_the_other_lap(cut: Cut) -> None:
    """A curve that goes round twice passes each place of its outline twice."""
    turn = np.linspace(0.0, 4.0 * math.pi, 241)
    twice = Curve(np.stack([60.0 + 20.0 * np.cos(turn), 60.0 + 20.0 * np.sin(turn)], axis=1))
    path = cut("twice", twice, tabs=(Tab(40.0, 6.0, 3.0),))
    after = FitArcs(0.02)(job_of(path), pk.load_machine("grbl-front-left")).job.toolpaths[0]
    assert len(after.curve.sweeps) < 10
    assert after.tabs[0].at == pytest.approx(40.0, abs=0.1)
    assert judged(path, after, 0.02) == ""
    moved = replace(after, tabs=(replace(after.tabs[0], at=after.tabs[0].at + 40.0 * math.pi),))
    assert "on another stretch" in judged(path, moved, 0.02)
