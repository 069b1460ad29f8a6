"""Round holes wider than the bit, by what the bit sweeps there."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from pathkit.errors import InputError
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Helix, Peck, Plunge, Toolpath, helix_gains, turn_gains
from pathkit.operations import bore, pocket, rectangle
from pathkit.operations.bore import turns

BIT = Tool("4 mm", 4.0, centre_cutting=True)
BLUNT = Tool("4 mm blunt", 4.0)
UPDOWN = Tool("4 mm compression", 4.0, kind="compression", tip_length=4.0, centre_cutting=True)
CUT = Cutting(feed=1800.0, plunge=500.0, spindle=16000.0)
AT = (30.0, 20.0)


def bored(diameter: float, tool: Tool = BIT, **options: Any) -> Toolpath:
    (path,) = bore("hole", AT, diameter, tool, CUT, bottom=-9.0, **options)
    return path


@given(st.floats(0.001, 20.0), st.floats(0.05, 4.0), st.just(0.0) | st.floats(0.01, 3.0))
def test_turns_sweep_the_whole_disc_and_nothing_beyond(radius: float, step: float, begin: float) -> None:
    """The area of a disc is π r² (textbook geometry); what a bit of more than half a step's radius sweeps is one."""
    curve = turns(AT, radius, step, begin)
    line = LineString(curve.flattened(1e-4))
    reach = 1.0 + max(step, begin)
    swept = line.buffer(reach, quad_segs=64)
    assert swept.area == pytest.approx(math.pi * (radius + reach) ** 2, rel=2e-3)
    assert swept.difference(Point(AT).buffer(radius + reach + 1e-3, quad_segs=256)).area < 1e-6
    points = curve.points[:, 0] - AT[0]
    assert tuple(curve.points[0]) == tuple(curve.points[-1]) == AT
    assert np.all(curve.sweeps == math.pi), "counter-clockwise: climb in an opening (common practice, no source)"
    assert np.abs(points).max() == pytest.approx(radius)
    assert list(np.abs(points[-4:-1])) == pytest.approx([radius] * 3), "once all the way round at the wall"
    outward = np.abs(points[1:-3])
    assert all(b - a <= step / 2.0 + 1e-9 for a, b in pairwise([*outward, radius]))


@pytest.mark.parametrize(
    ("diameter", "tool", "options", "entry", "point"),
    [
        (4.1, BIT, {}, Plunge(), False),
        (4.1, BIT, {"peck": 2.0}, Peck(2.0), False),
        (5.2, BIT, {}, Plunge(), False),
        (5.3, BIT, {}, Helix(3.0, 1.3), True),
        (5.2, BIT, {"angle": 5.0}, Helix(5.0, 1.2), True),
        (5.3, BIT, {"angle": 2.0}, Plunge(), False),
        (5.1, BLUNT, {}, Helix(3.0, 1.1), True),
        (6.0, BIT, {"peck": 2.0}, Helix(3.0, 2.0), True),
        (7.8, BIT, {}, Helix(3.0, 3.8), True),
        (7.9, BIT, {}, Helix(3.0, 3.2), False),
        (20.0, BLUNT, {}, Helix(3.0, 3.2), False),
        (6.0, UPDOWN, {}, Helix(3.0, 2.0), False),
    ],
)
def test_how_a_hole_is_gone_into(diameter: float, tool: Tool, options: Any, entry: object, point: bool) -> None:
    path = bored(diameter, tool, **options)
    assert type(path.entry) is type(entry)
    assert vars(path.entry) == pytest.approx(vars(entry))
    assert path.curve.is_point == point
    assert path.role == "drill"


def test_a_hole_for_which_the_bit_will_not_do_is_refused() -> None:
    with pytest.raises(InputError, match=r"a bit of at most 3\.92 mm, or make the hole 5 mm wide"):
        bored(4.9, BLUNT)
    with pytest.raises(InputError, match="take a narrower bit"):
        bored(4.0)
    with pytest.raises(InputError, match="cuts no upright wall"):
        bored(6.0, Tool("drill", 4.0, kind="drill"))


def test_a_turn_gains_a_twentieth_of_the_bit() -> None:
    """Lead of a helix: π d tan α (textbook geometry of the helix)."""
    narrowest = 0.05 * 4.0 / math.pi / math.tan(math.radians(3.0))
    assert helix_gains(narrowest + 1e-6, 3.0, BIT)
    assert not helix_gains(narrowest - 1e-6, 3.0, BIT)
    assert not helix_gains(0.99, 45.0, BIT), "so narrow that the bit's middle stands"
    assert turn_gains(math.pi * narrowest + 1e-5, 3.0, BIT)


@pytest.mark.parametrize(("bit", "allowance"), [(6.0, 0.2), (2.0, 0.2), (1.0, 0.1), (0.5, 0.05), (0.2, 0.02)])
def test_a_pocket_leaves_its_wall_what_suits_the_bit(bit: float, allowance: float) -> None:
    tool = Tool("mill", bit, centre_cutting=True)
    shape = rectangle((0.0, 0.0), 9.7 * bit, 8.3 * bit)
    for given_, expected in ((None, allowance), (0.15 * bit, 0.15 * bit)):
        floor, *_ = pocket("p", shape, tool, CUT, bottom=-1.0, angle=0.0, wall_allowance=given_)
        assert floor.curve.bounds[0] == pytest.approx(bit / 2.0 + expected, abs=1e-6)
