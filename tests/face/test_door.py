"""Wrong kinds of values are refused at the door, by name, and nothing is silently made into something else."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

import pathkit as typed
import pathkit.tour as tours
from pathkit.motion.program import COLUMNS
from tests.face.conftest import Made

pk: Any = typed
Item: Any = tours.Item
Problem: Any = tours.Problem
solve: Any = tours.solve
"""The type checkers refuse all this too (test_types.py); here it is run all the same."""

WRONG: dict[str, tuple[Callable[..., Any], str]] = {
    "post a job": (lambda m: pk.post(m.job, m.machine), r"program is a Job.*lower\(job, machine\)"),
    "post for a name": (lambda m: pk.post(m.program, "grbl-front-left"), "machine is a str.*load_machine"),
    "post with a number": (lambda m: pk.post(m.program, m.machine, 1), "setup is an int"),
    "lower for a name": (lambda m: pk.lower(m.job, "name"), "machine is a str, 'name'"),
    "lower a program": (lambda m: pk.lower(m.program, m.machine), "job is a Program"),
    "lower the class": (lambda m: pk.lower(pk.Job, m.machine), "job is the class Job"),
    "order a list": (lambda m: solve([(0, 0), (1, 1)]), r"problem is a list.*Problem.from_points"),
    "order points with a text": (lambda m: solve(Problem.from_points([[0, 0]]), effort="much"), "effort"),
    "begin with an object": (lambda m: solve(Problem.from_points([[0, 0]]), initial=object()), "initial"),
    "one pass": (lambda m: pk.Pipeline(pk.OrderTravel()), r"given one OrderTravel; put it into a list"),
    "one class": (lambda m: pk.Pipeline(pk.OrderTravel), r"given OrderTravel; put it into a list"),
    "no passes": (lambda m: pk.Pipeline(None), "list of passes"),
    "run on a program": (lambda m: pk.Pipeline().run(m.program, m.machine), "job is a Program"),
    "run for a name": (lambda m: pk.Pipeline().run(m.job, "m"), "machine is a str"),
    "raise a text": (lambda m: pk.air_cut("G0", m.machine), "posted is a str"),
    "verify a number": (lambda m: pk.verify(3, m.program, m.machine), "posted is an int"),
    "verify against a job": (lambda m: pk.verify(m.posted, m.job, m.machine), "program is a Job"),
    "verify a program as job": (lambda m: pk.verify(m.posted, m.program, m.machine, job=m.program), "job is a"),
    "verify a twin of text": (lambda m: pk.verify_twin("G0", m.posted, m.machine), "twin is a str"),
    "time a job": (lambda m: pk.run_time(m.job, m.machine), "program is a Job"),
    "read a number": (lambda m: pk.read(3, "grbl"), "text is an int"),
    "read for a number": (lambda m: pk.read("G0", 3), "dialect is an int"),
    "read from a word": (lambda m: pk.read("G0", "grbl", start="abc"), "three numbers"),
    "load a number": (lambda m: pk.load_machine(3), "path_or_name is an int"),
    "load a machine": (lambda m: pk.load_machine(m.machine), "path_or_name is a Machine"),
    "a profile of a path": (lambda m: pk.Machine.from_toml(3), "text is an int"),
    "a job of a number": (lambda m: pk.Job.from_json(3), "text is an int"),
    "build a number": (lambda m: pk.build_many(3, [m.machine], "out"), "jobs is an int"),
    "build for a name": (lambda m: pk.build_many(m.job, ["grbl"], "out"), r"machines\[0\] is a str"),
    "build for one machine": (lambda m: pk.build_many(m.job, m.machine, "out"), "machines is a Machine"),
    "an effort of text": (lambda m: pk.OrderTravel(effort="much"), "effort"),
    "an angle of text": (lambda m: pk.RampEntries(angle="steep"), "angle"),
    "a width of text": (lambda m: pk.HoldTabs(width="wide"), "width"),
}  # fmt: skip


@pytest.mark.parametrize("case", WRONG)
def test_a_value_of_the_wrong_kind_is_refused_by_name(made: Made, case: str) -> None:
    call, said = WRONG[case]
    with pytest.raises(pk.InputError, match=said):
        call(made)


LINE = pk.Curve.polyline([[10, 10], [50, 10]])
BIT = pk.Tool("bit", 3.0, centre_cutting=True)
FEEDS = pk.Cutting(feed=1000.0, plunge=300.0, spindle=12000.0)
POINTS = [[0, 0], [1, 1], [2, 2]]

ALTERED: dict[str, tuple[Callable[[], Any], str]] = {
    "half an item first": (lambda: Problem.from_points(POINTS, precedence=[(0.5, 1.5)]), "precedence holds 0.5"),
    "three in a pair": (lambda: Problem.from_points(POINTS, precedence=[(0, 1, 2), (1, 2, 0)]), "pairs"),
    "half a stage": (lambda: Problem.from_points(POINTS, stage=[0.5, 1, 2]), "stage holds 0.5"),
    "half a stage of an item": (lambda: Problem.from_items([Item.at(0, 0, stage=0.5)]), "stage holds 0.5"),
    "half a group": (lambda: Problem.from_points(POINTS, group=[0, 0, 1.5]), "group holds 1.5"),
    "stages as text": (lambda: Problem.from_points(POINTS, stage=["0", "1", "2"]), "whole numbers"),
    "a start in space": (lambda: Problem.from_points(POINTS, start=(1, 2, 3)), "start is .*two numbers"),
    "a start of text": (lambda: Problem.from_points(POINTS, start="ab"), "start"),
    "an entry in space": (lambda: Problem.from_items([Item([((0, 0, 1), (1, 1, 1))])]), "entry points"),
    "entries in space": (lambda: Problem.from_items([Item([((0, 0, 1), (1, 1, 1))] * 2)]), "entry points"),
    "half a seed": (lambda: solve(Problem.from_points(POINTS), seed=1.5), "seed is a float"),
    "a seed as float": (lambda: solve(Problem.from_points(POINTS), seed=1.0), "whole number"),
    "a seed of True": (lambda: solve(Problem.from_points(POINTS), seed=True), "seed"),
    "half a search": (lambda: solve(Problem.from_points(POINTS), starts=1.5), "starts"),
    "half an item to begin": (lambda: solve(Problem.from_points(POINTS), initial=[0.5, 1, 2]), "initial holds 0.5"),
    "a closed line": (
        lambda: pk.Curve.from_shapely(shapely.LineString([(0, 0), (9, 0), (9, 9), (0, 0)])), "ends where it begins",
    ),
    "no shape": (lambda: pk.Curve.from_shapely(3), "int"),
    "perhaps closed": (lambda: pk.Curve([(0, 0), (9, 0), (9, 9)], closed="no"), "closed is 'no'"),
    "faster down than along": (lambda: pk.Cutting(feed=600, plunge=2400, spindle=16000), "exchanged"),
    "a sense of 7": (lambda: pk.Spindle(100, 7), "sense is 7"),
    "a speed of nan": (lambda: pk.Spindle(math.nan), "speed is nan"),
    "time before now": (lambda: pk.Dwell(-1.0), "seconds is -1.0"),
    "an unknown coolant": (lambda: pk.Coolant("beer"), "kind is 'beer'"),
    "an unknown offset": (lambda: pk.Offset("G99"), "name is 'G99'"),
    "a misspelt arc": (lambda: pk.Capabilities(arcs="absolut"), "arcs is 'absolut'.*absolute"),
    "centimetres": (lambda: pk.Capabilities(units="cm"), "units is 'cm'"),
    "decimals of text": (lambda: pk.Capabilities(decimals={"mm": 2.5}), "decimals"),
    "a cycle that is none": (lambda: pk.Capabilities(drill_cycles=frozenset({"G99"})), "drill_cycles"),
    "two backward": (lambda: pk.Toolpath("a", LINE, BIT, FEEDS, bottom=-2.0, backward=2), "backward is 2"),
    "held by text": (lambda: pk.Toolpath("a", LINE, BIT, FEEDS, bottom=-2.0, hold="no"), "hold is 'no'"),
}  # fmt: skip


@pytest.mark.parametrize("case", ALTERED)
def test_nothing_is_altered_silently(case: str) -> None:
    build, said = ALTERED[case]
    with pytest.raises(pk.InputError, match=said):
        build()


def test_a_program_takes_no_fractions_and_no_strange_events(made: Made) -> None:
    for name, value in (("level", made.program.level + 0.5), ("kind", made.program.kind * 0.5)):
        with pytest.raises(pk.InputError, match=f"{name} holds fractions"):
            made.program.replace(**{name: value})
    with pytest.raises(pk.InputError, match="event holds 'M3'"):
        made.program.replace(event=("M3",), event_at=[0])
    with pytest.raises(pk.InputError, match="names"):
        made.program.replace(names="plate")


@given(st.lists(st.integers(0, 2**31 - 1), min_size=1, max_size=20))
def test_whole_numbers_stay_what_they_are(stages: list[int]) -> None:
    points = np.zeros((len(stages), 2))
    for given_as in (stages, [float(stage) for stage in stages], np.array(stages)):
        assert Problem.from_points(points, stage=given_as).stage.tolist() == stages


def test_sequences_are_taken_where_tuples_are_kept() -> None:
    path = pk.Toolpath("a", LINE, BIT, FEEDS, levels=[-1.0, -2.0], tabs=[])
    job = pk.Job("plate", pk.Stock(300, 200, 12, zones=[]), [path], precedence=[], parts=iter(()))
    assert job.toolpaths == (path,)
    assert (path.levels, path.tabs, job.parts, job.precedence, job.stock.zones) == ((-1.0, -2.0), (), (), (), ())
    assert isinstance(solve(Problem.from_points(POINTS), initial=np.array([2, 0, 1])), tours.Tour)


def test_a_program_takes_lists_and_iterators(made: Made) -> None:
    columns = {name: getattr(made.program, name).tolist() for name in COLUMNS}
    again = made.program.replace(
        **columns, event=iter(made.program.event), event_at=list(made.program.event_at), names=list(made.program.names)
    )
    assert again == made.program
