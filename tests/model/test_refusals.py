"""Impossible values of the model are refused all at once, each with its path."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from shapely.geometry import LineString, MultiPoint, Point, Polygon, box

import pathkit as pk
from pathkit.errors import InputError, ModelError

NAN, INF = math.nan, math.inf
BIT = pk.Tool("6 mm", 6.0)
CUTTING = pk.Cutting(feed=1200.0, plunge=300.0, spindle=18000.0)
STOCK = pk.Stock(300.0, 200.0, 9.0)
LINE = pk.Curve.polyline([[10, 10], [60, 10]])
RING = pk.Curve.polyline([[10, 10], [60, 10], [60, 40], [10, 40]], closed=True)
TRACE = pk.Curve.polyline([[10, 10, 0], [60, 10, -2]])
PLACE = pk.Curve.point([20, 20])


def cut(name: str = "a", curve: pk.Curve = LINE, **changes: Any) -> pk.Toolpath:
    values: dict[str, Any] = {"tool": BIT, "cutting": CUTTING}
    if not curve.is_trace:
        values["bottom"] = -3.0
    return pk.Toolpath(name, curve, **{**values, **changes})


def job(*paths: pk.Toolpath, **changes: Any) -> pk.Job:
    return pk.Job(**{"name": "plates", "stock": STOCK, "toolpaths": paths, **changes})


Build = Callable[[], object]

REFUSED: list[tuple[str, Build, str]] = [
    # Curves
    ("nothing", lambda: pk.Curve.polyline([]), "$.points"),
    ("numbers in a row", lambda: pk.Curve.polyline([1, 2, 3]), "$.points"),
    ("four columns", lambda: pk.Curve.polyline([[1, 2, 3, 4]]), "$.points"),
    ("not numbers", lambda: pk.Curve.polyline(np.array([["a", "b"]])), "$.points"),
    ("ragged", lambda: pk.Curve.polyline([[1, 2], [3]]), "$.points"),
    ("nan", lambda: pk.Curve.polyline([[0.0, 0.0], [1.0, NAN]]), "$.points[1]"),
    ("infinite", lambda: pk.Curve.polyline([[-INF, 0.0], [1.0, 1.0]]), "$.points[0]"),
    ("farther than any bench", lambda: pk.Curve.polyline([[0.0, 0.0], [1e9, 0.0]]), "$.points[1]"),
    ("a point twice", lambda: pk.Curve.polyline([[0, 0], [1, 0], [1, 0]]), "$.points[2]"),
    ("closed on its first", lambda: pk.Curve.polyline([[0, 0], [1, 0], [1, 1], [0, 0]], closed=True), "$.points[0]"),
    ("closed point", lambda: pk.Curve.polyline([[0, 0]], closed=True), "$.points"),
    ("too few sweeps", lambda: pk.Curve([[0, 0], [1, 0], [2, 0]], sweeps=[1.0]), "$.sweeps"),
    ("too many sweeps", lambda: pk.Curve([[0, 0], [1, 0]], sweeps=[1.0, 0.0]), "$.sweeps"),
    ("a full turn", lambda: pk.Curve([[0, 0], [1, 0]], sweeps=[math.tau]), "$.sweeps[0]"),
    ("sweep nan", lambda: pk.Curve([[0, 0], [1, 0]], sweeps=[NAN]), "$.sweeps[0]"),
    ("sweep text", lambda: pk.Curve([[0, 0], [1, 0]], sweeps=["x"]), "$.sweeps"),
    ("arc straight down", lambda: pk.Curve([[0, 0, 0], [0, 0, 1]], sweeps=[1.0]), "$.sweeps[0]"),
    ("radius 0", lambda: pk.Curve.circle((0, 0), 0.0), "$.radius"),
    ("radius text", lambda: pk.Curve.circle((0, 0), "3"), "$.radius"),  # type: ignore[arg-type]
    ("centre nan", lambda: pk.Curve.circle((0, NAN), 1.0), "$.centre"),
    ("centre in space", lambda: pk.Curve.circle((0, 0, 0), 1.0), "$.centre"),
    ("centre text", lambda: pk.Curve.circle("ab", 1.0), "$.centre"),
    # Bits and speeds
    ("nameless bit", lambda: pk.Tool("", 6.0), "$.name"),
    ("bit without width", lambda: pk.Tool("a", 0.0), "$.diameter"),
    ("nan wide", lambda: pk.Tool("a", NAN), "$.diameter"),
    ("true wide", lambda: pk.Tool("a", True), "$.diameter"),
    ("kind", lambda: pk.Tool("a", 6.0, kind="saw"), "$.kind"),  # type: ignore[arg-type]
    ("no flutes", lambda: pk.Tool("a", 6.0, flutes=0), "$.flutes"),
    ("half a flute", lambda: pk.Tool("a", 6.0, flutes=1.5), "$.flutes"),  # type: ignore[arg-type]
    ("number -1", lambda: pk.Tool("a", 6.0, number=-1), "$.number"),
    ("number true", lambda: pk.Tool("a", 6.0, number=True), "$.number"),
    ("vee without angle", lambda: pk.Tool("a", 6.0, kind="vee"), "$.angle"),
    ("flat vee", lambda: pk.Tool("a", 6.0, kind="vee", angle=180.0), "$.angle"),
    ("compression without tip", lambda: pk.Tool("a", 6.0, kind="compression"), "$.tip_length"),
    ("reach 0", lambda: pk.Tool("a", 6.0, reach=0.0), "$.reach"),
    ("shank nan", lambda: pk.Tool("a", 6.0, shank=NAN), "$.shank"),
    ("feed 0", lambda: pk.Cutting(feed=0.0, plunge=1.0, spindle=1.0), "$.feed"),
    ("plunge negative", lambda: pk.Cutting(feed=1.0, plunge=-1.0, spindle=1.0), "$.plunge"),
    ("spindle negative", lambda: pk.Cutting(feed=1.0, plunge=1.0, spindle=-1.0), "$.spindle"),
    ("ramp 0", lambda: pk.Cutting(feed=1.0, plunge=1.0, spindle=1.0, ramp=0.0), "$.ramp"),
    # The board
    ("thickness 0", lambda: pk.Stock(1.0, 1.0, 0.0), "$.thickness"),
    ("width infinite", lambda: pk.Stock(INF, 1.0, 1.0), "$.width"),
    ("zero", lambda: pk.Stock(1.0, 1.0, 1.0, z_zero="middle"), "$.z_zero"),  # type: ignore[arg-type]
    ("tolerance", lambda: pk.Stock(1.0, 1.0, 1.0, thickness_tolerance=-0.1), "$.thickness_tolerance"),
    ("underlay", lambda: pk.Stock(1.0, 1.0, 1.0, underlay=-1.0), "$.underlay"),
    ("grain", lambda: pk.Stock(1.0, 1.0, 1.0, grain=NAN), "$.grain"),
    ("zone", lambda: pk.Stock(1.0, 1.0, 1.0, zones=(box(0, 0, 1, 1),)), "$.zones[0]"),  # type: ignore[arg-type]
    ("zone of a line", lambda: pk.Zone(LineString([(0, 0), (1, 1)]), "tape"), "$.shape"),  # type: ignore[arg-type]
    ("crossed zone", lambda: pk.Zone(Polygon([(0, 0), (1, 1), (1, 0), (0, 1)]), "tape"), "$.shape"),
    ("empty zone", lambda: pk.Zone(Polygon(), "tape"), "$.shape"),
    ("zone kind", lambda: pk.Zone(box(0, 0, 1, 1), "glue"), "$.kind"),  # type: ignore[arg-type]
    ("zone height", lambda: pk.Zone(box(0, 0, 1, 1), "clamp", -1.0), "$.height"),
    # Entries and tabs
    ("ramp level", lambda: pk.Ramp(0.0), "$.angle"),
    ("ramp steep", lambda: pk.Ramp(60.0), "$.angle"),
    ("spiral nan", lambda: pk.Spiral(NAN), "$.angle"),
    ("helix", lambda: pk.Helix(3.0, 0.0), "$.diameter"),
    ("peck", lambda: pk.Peck(0.0), "$.depth"),
    ("tab at", lambda: pk.Tab(-1.0, 6.0, 3.0), "$.at"),
    ("tab width", lambda: pk.Tab(1.0, 0.0, 3.0), "$.width"),
    ("tab height", lambda: pk.Tab(1.0, 6.0, NAN), "$.height"),
    # One cut
    ("no name", lambda: cut(""), "$.name"),
    ("no curve", lambda: cut(curve=LINE, tool=None), "$.tool"),
    ("feeds missing", lambda: cut(cutting=1200), "$.cutting"),
    ("entry", lambda: cut(entry="ramp"), "$.entry"),
    ("role", lambda: cut(role="hole"), "$.role"),
    ("part", lambda: cut(part=""), "$.part"),
    ("bottom missing", lambda: cut(bottom=None), "$.bottom"),
    ("bottom nan", lambda: cut(bottom=NAN), "$.bottom"),
    ("bottom above top", lambda: cut(top=-4.0), "$.bottom"),
    ("bottom at top", lambda: cut(top=-3.0), "$.bottom"),
    ("top infinite", lambda: cut(top=INF), "$.top"),
    ("stepdown 0", lambda: cut(stepdown=0.0), "$.stepdown"),
    ("stepdown negative", lambda: cut(stepdown=-1.0), "$.stepdown"),
    ("levels rise", lambda: cut(levels=(-2.0, -1.0, -3.0)), "$.levels"),
    ("levels twice", lambda: cut(levels=(-3.0, -3.0)), "$.levels"),
    ("levels empty", lambda: cut(levels=()), "$.levels"),
    ("levels nan", lambda: cut(levels=(-1.0, NAN, -3.0)), "$.levels"),
    ("levels a number", lambda: cut(levels=-3.0), "$.levels"),
    ("levels end elsewhere", lambda: cut(levels=(-1.0, -2.0)), "$.levels"),
    ("levels above top", lambda: cut(top=-1.0, levels=(-0.5, -3.0)), "$.levels[0]"),
    ("trace with bottom", lambda: cut(curve=TRACE, bottom=-3.0), "$.bottom"),
    ("trace with stepdown", lambda: cut(curve=TRACE, stepdown=1.0), "$.stepdown"),
    ("trace with ramp", lambda: cut(curve=TRACE, entry=pk.Ramp(3.0)), "$.entry"),
    ("trace with tab", lambda: cut(curve=TRACE, tabs=(pk.Tab(1.0, 1.0, 1.0),)), "$.tabs"),
    ("spiral on a line", lambda: cut(entry=pk.Spiral(3.0)), "$.entry"),
    ("peck on a line", lambda: cut(entry=pk.Peck(1.0)), "$.entry"),
    ("ramp on a point", lambda: cut(curve=PLACE, entry=pk.Ramp(3.0)), "$.entry"),
    ("a point as outline", lambda: cut(curve=PLACE, role="outline"), "$.role"),
    ("tab beyond", lambda: cut(tabs=(pk.Tab(50.0, 6.0, 3.0),)), "$.tabs[0].at"),
    ("tab is none", lambda: cut(tabs=(3.0,)), "$.tabs[0]"),
    ("tabs a number", lambda: cut(tabs=3.0), "$.tabs"),
    ("start on a line", lambda: cut(start=1.0), "$.start"),
    ("start beyond", lambda: cut(curve=RING, start=160.0), "$.start"),
    ("start negative", lambda: cut(curve=RING, start=-1.0), "$.start"),
    ("start nan", lambda: cut(curve=RING, start=NAN), "$.start"),
    ("backward outline", lambda: cut(curve=RING, backward=True), "$.backward"),
    ("backward finish", lambda: cut(role="finish", backward=True), "$.backward"),
    # Parts and the job
    ("open outline", lambda: pk.Part("p", LINE), "$.outline"),
    ("part name", lambda: pk.Part("", RING), "$.name"),
    ("recess", lambda: pk.Part("p", RING, (RING,)), "$.recesses[0]"),  # type: ignore[arg-type]
    ("open feature", lambda: pk.Feature(LINE), "$.curve"),
    ("feature bottom", lambda: pk.Feature(RING, NAN), "$.bottom"),
    ("open island", lambda: pk.Feature(RING, -1.0, (LINE,)), "$.islands[0]"),
    ("job name", lambda: job(cut(), name=""), "$.name"),
    ("no stock", lambda: job(cut(), stock=None), "$.stock"),
    ("not a toolpath", lambda: job(cut(), "b"), "$.toolpaths[1]"),  # type: ignore[arg-type]
    ("toolpaths a number", lambda: job(toolpaths=5), "$.toolpaths"),
    ("two of a name", lambda: job(cut(), cut("b"), cut()), "$.toolpaths[2].name"),
    ("two parts of a name", lambda: job(parts=(pk.Part("p", RING), pk.Part("p", RING))), "$.parts[1].name"),
    ("two bits of a name", lambda: job(cut(), cut("b", tool=pk.Tool("6 mm", 5.9))), "$.toolpaths[1].tool"),
    (
        "two bits of a number",
        lambda: job(cut(tool=pk.Tool("x", 6.0, number=1)), cut("b", tool=pk.Tool("y", 6.0, number=1))),
        "$.toolpaths[1].tool",
    ),
    ("into the bed", lambda: job(cut(), cut("b", bottom=-9.1)), "$.toolpaths[1].bottom"),
    (
        "trace into the bed",
        lambda: job(cut(curve=pk.Curve.polyline([[0, 0, 0], [1, 0, -10]]))),
        "$.toolpaths[0].bottom",
    ),
    ("in the air", lambda: job(cut(bottom=1.0)), "$.toolpaths[0].bottom"),
    ("unknown name", lambda: job(cut(), precedence=(("a", "z"),)), "$.precedence[0]"),
    ("three in a pair", lambda: job(cut(), precedence=(("a", "a", "a"),)), "$.precedence[0]"),
    ("no pair", lambda: job(cut(), precedence=(5,)), "$.precedence[0]"),
    ("precedence a number", lambda: job(cut(), precedence=5), "$.precedence"),
    ("before itself", lambda: job(cut(), precedence=(("a", "a"),)), "$.precedence"),
    ("turn", lambda: pk.Setup(turn=4), "$.turn"),
    ("half a turn", lambda: pk.Setup(turn=0.5), "$.turn"),  # type: ignore[arg-type]
    ("turn true", lambda: pk.Setup(turn=True), "$.turn"),
    ("offset", lambda: pk.Setup(offset="G53"), "$.offset"),  # type: ignore[arg-type]
    ("zero in the plane", lambda: pk.Setup(zero_at=(1, 2)), "$.zero_at"),  # type: ignore[arg-type]
    ("zero a number", lambda: pk.Setup(zero_at=5), "$.zero_at"),  # type: ignore[arg-type]
    ("zero nan", lambda: pk.Setup(zero_at=(1, NAN, 2)), "$.zero_at.y"),
]


@pytest.mark.parametrize(("build", "path"), [case[1:] for case in REFUSED], ids=[case[0] for case in REFUSED])
def test_an_impossible_value_is_refused_with_its_path(build: Build, path: str) -> None:
    with pytest.raises(ModelError) as caught:
        build()
    assert path in [finding.path for finding in caught.value.findings], caught.value.findings
    assert all(finding.what for finding in caught.value.findings)
    assert isinstance(caught.value, InputError | ValueError)


def paths_of(build: Build) -> list[str | None]:
    with pytest.raises(ModelError) as caught:
        build()
    return [finding.path for finding in caught.value.findings]


def test_all_faults_of_a_bit_at_once() -> None:
    found = paths_of(lambda: pk.Tool("", -1.0, flutes=0, kind="vee", reach=NAN))
    assert found == ["$.name", "$.diameter", "$.flutes", "$.reach", "$.angle"]


def test_all_faults_of_a_cut_at_once() -> None:
    found = paths_of(lambda: cut(role="hole", top=INF, stepdown=0.0, start=2.0, tabs=(pk.Tab(99.0, 1.0, 1.0),)))
    assert set(found) == {"$.role", "$.top", "$.stepdown", "$.start", "$.tabs[0].at"}


def test_all_faults_of_a_job_at_once() -> None:
    found = paths_of(
        lambda: job(cut(bottom=-20.0), cut(bottom=-30.0), precedence=(("a", "z"), ("y", "a")),
                    parts=(pk.Part("p", RING), pk.Part("p", RING)))
    )  # fmt: skip
    assert set(found) == {
        "$.toolpaths[0].bottom", "$.toolpaths[1].bottom", "$.toolpaths[1].name", "$.precedence[0]", "$.precedence[1]",
        "$.parts[1].name",
    }  # fmt: skip


def test_a_circle_of_precedence_is_named_in_full() -> None:
    names = ["pocket", "slot", "outline", "other"]
    pairs = (("pocket", "slot"), ("slot", "outline"), ("outline", "pocket"), ("other", "slot"))
    with pytest.raises(ModelError, match="cycle of precedence") as caught:
        job(*map(cut, names), precedence=pairs)
    [finding] = caught.value.findings
    order = finding.what.split(": ")[1].replace("'", "").split(" before ")
    assert order[0] == order[-1]
    assert sorted(order[:-1]) == ["outline", "pocket", "slot"]
    assert all(pair in pairs for pair in pairwise(order))


@pytest.mark.parametrize(
    ("shape", "what"),
    [
        (Polygon(), "empty"),
        (Polygon([(0, 0), (9, 0), (9, 9)], [[(5, 1), (7, 1), (7, 3)]]), "holes"),
        (MultiPoint([(0, 0), (1, 1)]), "not one curve"),
    ],
)
def test_shapes_that_are_not_one_curve_are_refused(shape: Any, what: str) -> None:
    with pytest.raises(ModelError, match=what):
        pk.Curve.from_shapely(shape)


# What is allowed, and that values cannot be changed.


def test_curves_from_shapely() -> None:
    assert pk.Curve.from_shapely(Point(1, 2)).is_point
    assert pk.Curve.from_shapely(LineString([(0, 0), (3, 4)])).length == 5
    ring = pk.Curve.from_shapely(box(0, 0, 4, 2))
    assert (ring.closed, len(ring.points), ring.length, abs(ring.area)) == (True, 4, 12, 8)


def test_a_curve_is_frozen_and_has_its_own_copy() -> None:
    points = np.array([[0.0, 0], [1, 0]])
    curve = pk.Curve.polyline(points)
    points[0] = 9
    assert curve.points[0].tolist() == [0, 0]
    with pytest.raises(ValueError, match="read-only"):
        curve.points[0, 0] = 1.0
    with pytest.raises(AttributeError, match="frozen"):
        curve.closed = True
    with pytest.raises(AttributeError, match="frozen"):
        del curve.points
    assert curve == pk.Curve.polyline([[0, 0], [1, 0]])
    assert hash(curve) == hash(pk.Curve.polyline([[0, 0], [1, 0]]))
    assert curve != pk.Curve([[0, 0], [1, 0]], sweeps=[1.0])


def test_a_place_on_a_closed_curve_wraps() -> None:
    assert RING.at(160.0 + 10.0).tolist() == RING.at(10.0).tolist() == [20, 10]
    assert LINE.at(999.0).tolist() == [60, 10]


@pytest.mark.parametrize(
    ("curve", "role", "may"),
    [
        (LINE, "slot", True),
        (LINE, "cut", True),
        (LINE, "finish", False),
        (LINE, "outline", False),
        (RING, "slot", False),
        (TRACE, "cut", False),
        (TRACE, "engrave", True),
    ],
)
def test_only_full_width_open_cuts_reverse_by_themselves(curve: pk.Curve, role: str, may: bool) -> None:
    assert cut(curve=curve, role=role).may_reverse is may


def test_reversing_can_be_asked_for_but_not_on_a_ring() -> None:
    assert cut(role="finish", reversible=True).may_reverse
    assert not cut(reversible=False).may_reverse
    assert not cut(curve=RING, reversible=True).may_reverse


@pytest.mark.parametrize(
    ("top", "bottom", "stepdown", "levels"),
    [
        (None, -3.0, None, (-3.0,)),
        (None, -3.0, 3.0, (-3.0,)),
        (None, -9.0, 3.0, (-3.0, -6.0, -9.0)),
        (None, -7.0, 3.0, (-7 / 3, -14 / 3, -7.0)),
        (-2.0, -8.0, 2.0, (-4.0, -6.0, -8.0)),
        # A depth of three stepdowns, give or take rounding, is three levels: ceil(depth / stepdown − 1e-9).
        (None, -0.3, 0.1, (-0.1, -0.2, -0.3)),
    ],
)
def test_levels_are_equal(top: float | None, bottom: float, stepdown: float | None, levels: tuple[float, ...]) -> None:
    assert cut(top=top, bottom=bottom, stepdown=stepdown).depths(STOCK) == pytest.approx(levels)


def test_the_thickest_board_counts_when_zero_is_on_the_bed() -> None:
    stock = pk.Stock(300, 200, 9.0, z_zero="bed", thickness_tolerance=0.5, underlay=1.0)
    assert (stock.top, stock.highest_top, stock.underside, stock.bed) == (10.0, 10.5, 1.0, 0.0)
    path = cut(bottom=0.5, stepdown=5.0)
    assert path.depths(stock) == pytest.approx((5.5, 0.5))
    assert path.highest(stock) == 10.5
    on_top = pk.Stock(300, 200, 9.0, thickness_tolerance=0.5, underlay=1.0)
    assert (on_top.top, on_top.highest_top, on_top.underside, on_top.bed) == (0.0, 0.0, -9.0, -10.0)


def test_the_ramp_never_goes_down_faster_than_a_plunge() -> None:
    sine = math.sin(math.radians(30))
    assert CUTTING.ramp_feed(sine) == pytest.approx(600)
    assert CUTTING.ramp_feed(0.001) == 1200
    assert pk.Cutting(feed=1200, plunge=300, spindle=1, ramp=500).ramp_feed(sine) == 500
    assert pk.Cutting(feed=1200, plunge=300, spindle=1, ramp=5000).ramp_feed(sine) == pytest.approx(600)


def test_bits_in_the_order_of_their_first_use() -> None:
    other = pk.Tool("3 mm", 3.0)
    made = job(cut("a", tool=other), cut("b"), cut("c", tool=other))
    assert made.tools == (other, BIT)
    assert made.by_name["b"].tool is BIT
    assert made.with_toolpaths(made.toolpaths[:1]).tools == (other,)
