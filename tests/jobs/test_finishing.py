"""A last lap round the wall: it takes off what the first cut left, between the same tabs, and each fault is seen."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import shapely

import pathkit as pk
from pathkit.handover.build import build_orders
from pathkit.operations.finishing import Finish, finished_contour
from tests.jobs.made import audit_of, changed, finished, order_of, proof_of, said
from tests.jobs.test_openings import ROUND, window

NOTCHED = "polygon = [[20, 20], [120, 20], [120, 90], [80, 90], [80, 60], [60, 60], [60, 90], [20, 90]]"


def text(finish: str = "finish = { allowance = 0.3 }", **options: Any) -> str:
    made = window(**options)
    return made.replace("bottom.through = true", f"bottom.through = true\n{finish}")


@pytest.mark.parametrize(
    "job",
    [
        text(),
        text("finish = { allowance = 0.3, full_depth = false }"),
        text("lead = 5\nfinish = { allowance = 0.5 }"),
        text("overlap = 0\nfinish = { allowance = 0.2 }"),
        text("direction = \"conventional\"\nfinish = { allowance = 0.3 }"),
        text(shape=ROUND.format(18)),
        text(core="clear"),
        text().replace("rectangle = { corner = [20, 20], width = 100, depth = 70 }", NOTCHED, 1).replace(
            'corner = [40, 40], width = 50, depth = 30', 'corner = [30, 26], width = 70, depth = 25'
        ),
        text().replace("width = 140", "width = 500") + "[layout]\ncopies = 3",
    ],
)  # fmt: skip
def test_walls_are_finished_and_proved(job: str, tmp_path: Path) -> None:
    order = order_of(job)
    result = build_orders([order], tmp_path)
    assert result.ok, [str(finding) for finding in result.findings]
    assert result.folders[0].verdict == "yes"
    done = finished(order)
    for path in done.toolpaths:
        if path.finishes is not None:
            rough = done.by_name[path.finishes]
            assert len(path.tabs) == len(rough.tabs)


@pytest.mark.parametrize("side", ["outside", "inside"])
@pytest.mark.parametrize("shape", [pk.Curve.circle((80, 80), 30.0), pk.Curve.polyline(
    [(20, 20), (120, 20), (120, 80), (70, 60), (20, 80)], closed=True)])  # fmt: skip
def test_the_lap_comes_on_by_one_arc_from_where_the_kerf_is(shape: pk.Curve, side: Any) -> None:
    bit = pk.Tool("6 mm", 6.0)
    rough, lap = finished_contour(
        "edge",
        shape,
        bit,
        pk.Cutting(feed=1000.0, plunge=300.0, spindle=16000.0),
        finish=Finish(0.4),
        side=side,
        bottom=-5.0,
        stepdown=2.0,
    )
    assert isinstance(lap.entry, pk.Descend)
    assert lap.stepdown is None
    kerf = shapely.LinearRing(rough.curve.flattened(1e-4))
    # The bit stands on the line of the first cut, both before and after: it goes down and up through air.
    for end in (lap.curve.points[0], lap.curve.points[-1]):
        assert kerf.distance(shapely.Point(end)) < 0.01
    # A circle of radius R that is tangent to a straight wall is 0.4 mm off it after acos(1 - 0.4 / R) (trigonometry).
    if not shape.sweeps.any():
        assert lap.entry.within == pytest.approx(3.0 * math.acos(1.0 - 0.4 / 3.0), abs=1e-3)
    wall = shapely.Polygon(shape.flattened(1e-4))
    line = lap.curve.flattened(1e-4)
    swept = shapely.union_all([shapely.LineString(pair).buffer(3.0, quad_segs=64) for pair in pairwise(line)])
    beyond = swept.intersection(wall) if side == "outside" else swept.difference(wall)
    assert beyond.buffer(-0.002).is_empty


def test_what_has_no_room_for_an_allowance_is_refused() -> None:
    with pytest.raises(pk.InputError, match=r"make finish\.allowance smaller"):
        order_of(text(shape=ROUND.format(2.1)))
    with pytest.raises(pk.InputError, match="leave out finish"):
        order_of(text(core="drop"))


def test_a_lap_without_the_tabs_is_seen() -> None:
    job = finished(order_of(text()))
    assert not said(proof_of(job))
    found = said(proof_of(changed(job, "frame outline finish", tabs=())))
    assert any(each.startswith("tab strength") for each in found), found


def test_a_lap_before_the_cut_that_leaves_its_allowance_is_seen() -> None:
    job = finished(order_of(text()))
    names = [path.name for path in job.toolpaths]
    one, other = names.index("frame outline"), names.index("frame outline finish")
    paths = list(job.toolpaths)
    paths[one], paths[other] = paths[other], paths[one]
    found = said(proof_of(replace(job, toolpaths=tuple(paths), precedence=())))
    assert any(each.startswith("safe order") for each in found), found


@pytest.mark.parametrize(
    "made",
    ["", "finish = { allowance = 0.6 }", "finish = { allowance = 0.3, full_depth = false }"],
)
def test_the_audit_sees_another_finish_than_asked(made: str) -> None:
    order = order_of(text())
    other = order_of(text(made))
    assert not audit_of(order, finished(order))
    assert audit_of(order, finished(other))
    assert audit_of(other, finished(order))


def test_the_audit_misses_a_lap() -> None:
    order = order_of(text())
    job = finished(order)
    kept = tuple(path for path in job.toolpaths if path.name != "frame in finish")
    pairs = tuple(pair for pair in job.precedence if "frame in finish" not in pair)
    assert audit_of(order, replace(job, toolpaths=kept, precedence=pairs))
