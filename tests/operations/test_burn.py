"""Lines for a beam, and what a beam cannot do."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest
from shapely.geometry import LineString, Polygon

import pathkit as pk
from pathkit.operations import bore, burn, contour, drill, engrave, pocket, rectangle

BEAM = pk.Tool("blue beam", 0.2, kind="beam")
BIT = pk.Tool("3 mm", 3.0, centre_cutting=True)
CUTTING = pk.Cutting.by_beam(feed=1500.0, power=0.6)
STOCK = pk.Stock(120.0, 80.0, 3.0)


def test_a_line_is_followed_as_often_as_asked() -> None:
    line, ring = LineString([(0, 0), (30, 0), (30, 40)]), Polygon([(0, 0), (10, 0), (10, 10), (0, 10)])
    for passes in (1, 2, 3):
        there, around = burn("mark", [line, ring], BEAM, CUTTING, height=3.0, passes=passes)
        assert there.curve.length == pytest.approx(70.0 * passes)
        assert around.curve.length == pytest.approx(40.0 * passes)
        assert around.curve.closed
        assert (there.curve.points[-1, :2] == ([30, 40] if passes % 2 else [0, 0])).all()
        assert {*there.curve.points[:, 2], *around.curve.points[:, 2]} == {3.0}
        assert (there.name, around.name, there.role) == ("mark 1", "mark 2", "engrave")


def test_arcs_become_chords_within_a_hundredth_of_a_millimetre() -> None:
    (path,) = burn("ring", pk.Curve.circle((30, 30), 20.0), BEAM, CUTTING, height=0.0)
    # A regular polygon in a circle: its sagitta is r (1 - cos(pi / n)) (circle geometry).
    assert 20.0 * (1.0 - math.cos(math.pi / len(path.curve.points))) <= 0.01


@pytest.mark.parametrize(
    ("asks", "says"),
    [
        (lambda: burn("x", LineString([(0, 0), (9, 0)]), BIT, CUTTING, height=0.0), "is no beam"),
        (lambda: burn("x", LineString([(0, 0), (9, 0)]), BEAM, CUTTING, height=0.0, passes=0), "passes is 0"),
        (lambda: burn("x", LineString([(0, 0), (9, 0)]), BEAM, CUTTING, height=0.0, passes=True), "passes is True"),
        (lambda: burn("x", pk.Curve.point((1, 1)), BEAM, CUTTING, height=0.0), "no line"),
        (lambda: pk.Cutting.by_beam(feed=900.0, power=1.01), "power"),
        (lambda: pk.Cutting.by_beam(feed=900.0, power=0.0), "power"),
        (lambda: pk.Cutting(feed=900.0, plunge=900.0, spindle=9000.0, power=0.5), "by_beam"),
        (lambda: pk.Toolpath("x", pk.Curve([(0, 0, 0), (9, 0, 0)]), BIT, CUTTING), "is no beam"),
        (
            lambda: burn("x", LineString([(0, 0), (9, 0)]), BEAM,
                         pk.Cutting(feed=900.0, plunge=300.0, spindle=9000.0), height=0.0),
            "beam without a power",
        ),
        (lambda: pk.Toolpath("x", pk.Curve([(0, 0, 0), (9, 0, 1)]), BEAM, CUTTING), "changing heights"),
        (lambda: pk.Toolpath("x", pk.Curve([(0, 0, 0), (9, 0, 0)]), BEAM, CUTTING, entry=pk.Ramp(3.0)), "ramp for a"),
        (lambda: pk.Toolpath("x", pk.Curve([(0, 0, 0), (9, 0, 0)]), BEAM, CUTTING, role="outline"), "in the role"),
        (
            lambda: pk.Toolpath("x", pk.Curve([(0, 0, 0), (9, 0, 0)]), BEAM, CUTTING, tabs=[pk.Tab(3.0, 2.0, 1.0)]),
            "tabs or an allowance",
        ),
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_refused(asks: Any, says: str) -> None:
    with pytest.raises(pk.InputError, match=says):
        asks()


def test_every_operation_of_a_bit_refuses_a_beam() -> None:
    square = rectangle((20, 20), 40, 30)
    every: tuple[Callable[[], object], ...] = (
        lambda: contour("x", square, BEAM, CUTTING, bottom=0.0),
        lambda: pocket("x", square, BEAM, CUTTING, bottom=1.0, stock=STOCK),
        lambda: drill("x", [(30, 30)], BEAM, CUTTING, bottom=0.0),
        lambda: bore("x", (30, 30), 8.0, BEAM, CUTTING, bottom=0.0),
        lambda: engrave("x", square, BEAM, CUTTING, bottom=2.0),
    )
    for asks in every:
        with pytest.raises(pk.PathkitError, match="beam"):
            asks()


def test_a_beam_has_a_job_of_its_own() -> None:
    line, other = LineString([(5, 5), (9, 5)]), LineString([(5, 9), (9, 9)])
    (path,) = burn("mark", line, BEAM, CUTTING, height=3.0)
    feeds = pk.Cutting(feed=900.0, plunge=300.0, spindle=9000.0)
    for more, says in (
        (engrave("cut", other, BIT, feeds, bottom=2.0), "together with '3 mm'"),
        (burn("red", other, pk.Tool("red beam", 0.3, kind="beam"), CUTTING, height=3.0), "together with 'red beam'"),
        (burn("low", other, BEAM, CUTTING, height=2.0), "several heights"),
    ):
        with pytest.raises(pk.ModelError, match=says):
            pk.Job("both", STOCK, (path, *more))


def test_a_beams_job_survives_json_pickle_and_the_passes() -> None:
    paths = burn("mark", [LineString([(5, 5), (9, 5)]), rectangle((20, 20), 40, 30)], BEAM, CUTTING, height=3.0)
    job = pk.Job("label", STOCK, paths)
    assert pk.Job.from_json(job.to_json()) == job
    every: list[pk.Pass] = [
        pk.HoldTabs(),
        pk.RampEntries(angle=3),
        pk.SpareTopEdge(),
        pk.MergeStepdowns(),
        pk.OrderTravel(),
    ]
    done = pk.Pipeline(every).run(job, pk.load_machine("grbl-front-left"), check=True).job
    assert sorted(path.name for path in done.toolpaths) == ["mark 1", "mark 2"]
    assert not any(path.tabs for path in done.toolpaths)
