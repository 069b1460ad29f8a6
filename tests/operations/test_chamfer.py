"""Chamfers as toolpaths and as finished shapes, worked out by hand: the cone of a vee is plain trigonometry."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely

import pathkit as pk
from pathkit.errors import InputError
from pathkit.operations import bevels, chamfer, laid_out, part_of, rectangle

CUTTING = pk.Cutting(feed=1500.0, plunge=400.0, spindle=14000.0)
VEE = pk.Tool("vee 90", 12.0, kind="vee", angle=90.0, centre_cutting=True)
PLATE = rectangle((10.0, 10.0), 40.0, 30.0)


def vee(angle: float, diameter: float = 12.0) -> pk.Tool:
    return replace(VEE, name=f"vee {angle:g}", angle=angle, diameter=diameter)


@pytest.mark.parametrize(
    ("angle", "depth"),
    [(90.0, 1.5), (60.0, 1.5 * math.sqrt(3.0)), (120.0, 1.5 / math.sqrt(3.0)), (30.0, 1.5 * (2.0 + math.sqrt(3.0)))],
)
def test_depth_by_hand(angle: float, depth: float) -> None:
    """Worked by hand: tan 45° = 1, tan 30° = 1/√3, tan 60° = √3, tan 15° = 2 − √3 = 1/(2 + √3)."""
    (path,) = chamfer("edge", PLATE, vee(angle), CUTTING, width=1.5, edge=2.0)
    assert path.bottom == pytest.approx(2.0 - depth, abs=1e-12)
    (made,) = bevels("edge", PLATE, vee(angle), width=1.5, edge=2.0)
    assert made.bottom == path.bottom
    assert made.slope * depth == pytest.approx(1.5, abs=1e-12)


def test_the_tip_runs_on_the_line_and_keeps_what_stays_to_its_right() -> None:
    (outside,) = chamfer("edge", PLATE, VEE, CUTTING, width=1.0, edge=0.0, part="plate", stepdown=0.5)
    assert (outside.role, outside.part, outside.stepdown, outside.top) == ("chamfer", "plate", 0.5, None)
    assert sorted(map(tuple, outside.curve.points.tolist())) == sorted(map(tuple, PLATE.points.tolist()))
    assert outside.curve.area < 0.0  # clockwise round what stays
    (inside,) = chamfer("rim", PLATE, VEE, CUTTING, width=1.0, edge=0.0, side="inside")
    assert inside.curve.area > 0.0
    (other,) = chamfer("edge", PLATE, VEE, CUTTING, width=1.0, edge=0.0, direction="conventional")
    assert other.curve.area > 0.0
    assert not outside.may_reverse


def test_holes_lie_on_the_other_side() -> None:
    plate = shapely.Polygon([(0, 0), (40, 0), (40, 30), (0, 30)], [[(10, 10), (20, 10), (20, 20), (10, 20)]])
    outer, hole = chamfer("edge", plate, VEE, CUTTING, width=1.0, edge=0.0)
    assert (outer.name, hole.name) == ("edge 1", "edge 2")
    assert outer.curve.area < 0.0 < hole.curve.area
    assert [each.side for each in bevels("edge", plate, VEE, width=1.0, edge=0.0)] == ["outside", "inside"]
    assert [each.side for each in bevels("rim", plate, VEE, width=1.0, edge=0.0, side="inside")] == [
        "inside",
        "outside",
    ]


@pytest.mark.parametrize(
    ("change", "what"),
    [
        ({"tool": pk.Tool("mill", 6.0)}, "'mill' is a flat bit, which has no cone .*name a vee bit"),
        ({"tool": pk.Tool("point", 6.0, kind="drill", angle=118.0)}, "is a drill bit, which has no cone"),
        ({"width": 6.5}, r"6\.5 mm across, and the cone of 'vee 90' reaches 6 mm to each side .*width = 6 at most"),
        ({"width": 0.0}, "width is 0.0"),
        ({"side": "on"}, "side is 'on'"),
        ({"edge": math.nan}, "edge is nan"),
        ({"shape": pk.Curve.polyline([(0, 0), (10, 0), (10, 10)])}, "is not a closed plane curve"),
    ],
)
def test_what_cannot_be_chamfered(change: dict[str, object], what: str) -> None:
    asked = {"shape": PLATE, "tool": VEE, "cutting": CUTTING, "width": 1.0, "edge": 0.0} | change
    with pytest.raises(InputError, match=what):
        chamfer("edge", asked.pop("shape"), asked.pop("tool"), asked.pop("cutting"), **asked)  # type: ignore[arg-type]


def test_a_part_with_chamfers_goes_through_json_and_to_its_copies() -> None:
    made = bevels("edge", PLATE, VEE, width=1.0, edge=0.0)
    sunk = bevels("rim", pk.Curve.circle((20.0, 20.0), 3.0), VEE, width=1.0, edge=-1.0, side="inside", top=-1.0)
    part = part_of("plate", PLATE, chamfers=(*made, *sunk))
    stock = pk.Stock(200.0, 100.0, 6.0)
    paths = chamfer("edge", PLATE, VEE, CUTTING, width=1.0, edge=0.0, part="plate")
    copies = laid_out(paths, [(0.0, 0.0), (60.0, 5.0)], parts=(part,))
    job = pk.Job("plates", stock, copies.toolpaths, parts=copies.parts)
    assert pk.Job.from_json(job.to_json()) == job
    second = job.parts[1].chamfers
    assert [each.side for each in second] == ["outside", "inside"]
    assert second[0].curve.bounds == pytest.approx((70.0, 15.0, 110.0, 45.0))
    assert (second[1].bottom, second[1].top) == (-2.0, -1.0)
    # A job of earlier versions has none.
    assert '"chamfers"' not in replace(job, parts=(part_of("plate", PLATE),)).to_json()


def test_a_chamfer_has_an_inside_and_a_height() -> None:
    with pytest.raises(InputError, match="not a closed plane curve"):
        pk.Chamfer(pk.Curve.polyline([(0, 0), (1, 0), (1, 1)]), -1.0, 1.0)
    with pytest.raises(InputError, match="not above bottom"):
        pk.Chamfer(PLATE, -1.0, 1.0, top=-1.0)
    with pytest.raises(InputError, match="slope"):
        pk.Chamfer(PLATE, -1.0, 0.0)
