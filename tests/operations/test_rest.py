"""What a narrow bit clears after a wide one: judged by shapely from the swept area."""

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import unary_union

from pathkit.errors import InputError
from pathkit.model.curve import Curve
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Descend
from pathkit.operations import pocket, rectangle
from pathkit.operations.rest import rest
from tests.operations.test_pockets import blobs
from tests.swept import gouged, missed, swept

WIDE = Tool("4 mm", 4.0, centre_cutting=True)
NARROW = Tool("1.5 mm", 1.5, centre_cutting=True)
CUT = Cutting(feed=1800.0, plunge=500.0, spindle=16000.0)
FEWER = settings(max_examples=settings().max_examples // 4)


def opened(area: Any, radius: float) -> Any:
    """What a disc reaches of an area: its morphological opening."""
    return area.buffer(-radius, quad_segs=48).buffer(radius, quad_segs=48)


def lap(path: Any) -> LineString:
    """A toolpath without its leads."""
    line = LineString(path.curve.flattened(1e-3))
    if not isinstance(path.entry, Descend):
        return line
    within = path.entry.within
    stations = [within + (line.length - 2 * within) * k / 200 for k in range(201)]
    return LineString([line.interpolate(at) for at in stations])


@FEWER
@given(
    blobs(), st.sampled_from(["climb", "conventional"]), st.sampled_from(["rows", "rings"]),
    st.sampled_from([None, 0.0, 3.0]), st.sampled_from([0.4, 1.0, 1.5, 3.0]),
)  # fmt: skip
def test_both_bits_together_clear_what_the_narrow_one_reaches(
    shape: Polygon, direction: Any, style: Any, lead: float | None, narrow: float
) -> None:
    bit = Tool("narrow", narrow, centre_cutting=True)
    options: dict[str, Any] = {
        "bottom": -4.0, "angle": 15.0, "direction": direction, "style": style, "lead": lead, "wall_allowance": 0.05,
    }  # fmt: skip
    first = pocket("p", shape, WIDE, CUT, **options)
    second = rest("p rest", shape, bit, CUT, wide=WIDE, **options)
    assert not gouged(second, shape)
    left = opened(shape, bit.radius + 1e-4).difference(swept(first))
    more = swept(second) if second else Polygon()
    assert left.difference(more).buffer(-0.006).is_empty
    # It stays where wood is left: nothing of a pass is far from any.
    near = left.buffer(-0.002).buffer(2.6 * bit.radius + 0.05)
    for path in second:
        if not path.curve.closed:
            assert lap(path).difference(near).length < 0.01, path.name


def test_four_square_corners_are_four_short_passes() -> None:
    # A round bit of radius r leaves (1 - pi/4) r^2 in a square corner: the square on its centre less the quarter disc.
    paths = rest("p", rectangle((0, 0), 40, 30), NARROW, CUT, wide=WIDE, bottom=-3, stepdown=1, angle=0)
    assert [path.name for path in paths] == [f"p wall {k}" for k in (1, 2, 3, 4)]
    assert all(path.role == "finish" and path.stepdown == 1 for path in paths)
    assert all(path.entry == Descend(NARROW.radius * math.pi / 2) for path in paths)
    # In each corner the wood reaches 2 mm along either wall; the centre comes within its radius of that.
    for path in paths:
        wall = path.curve.length - NARROW.radius * math.pi
        assert 2 * (2.0 - 0.75) < wall < 2 * (2.0 - 0.75) + 4 * 0.75 + 1.0


def test_a_chamber_behind_a_neck_is_cleared_as_a_whole() -> None:
    chamber = unary_union([box(0, 0, 30, 30), box(30, 14, 34, 16.5), box(34, 13.3, 48, 17.0)])
    paths = rest("p", chamber, NARROW, CUT, wide=WIDE, bottom=-3, angle=0)
    assert any("rows" in path.name for path in paths)
    first = pocket("p", chamber, WIDE, CUT, bottom=-3, angle=0)
    assert not missed([*paths, *first], chamber)
    assert not gouged(paths, chamber)


def test_an_island_near_the_wall_is_gone_round() -> None:
    land = Point(6, 15).buffer(4.0)
    area = box(0, 0, 40, 30).difference(land)
    paths = rest("p", area, NARROW, CUT, wide=WIDE, bottom=-3, angle=0)
    assert not missed([*paths, *pocket("p", area, WIDE, CUT, bottom=-3, angle=0)], area)


def test_nothing_is_left_in_a_round_pocket() -> None:
    assert rest("p", Curve.circle((0, 0), 12), NARROW, CUT, wide=WIDE, bottom=-3) == ()


def test_the_second_bit_is_the_narrower() -> None:
    with pytest.raises(InputError, match="name the wider bit first"):
        rest("p", rectangle((0, 0), 40, 30), WIDE, CUT, wide=NARROW, bottom=-3)
    with pytest.raises(InputError, match="cuts no upright wall"):
        rest("p", rectangle((0, 0), 40, 30), Tool("v", 3, kind="vee", angle=60), CUT, wide=WIDE, bottom=-3)


def test_conventional_runs_the_other_way() -> None:
    area = rectangle((0, 0), 40, 30)
    climb, other = (
        rest("p", area, NARROW, CUT, wide=WIDE, bottom=-3, direction=way) for way in ("climb", "conventional")
    )
    for one, two in zip(climb, other, strict=True):
        assert one.curve.points[1:-1] == pytest.approx(two.curve.points[-2:0:-1])
