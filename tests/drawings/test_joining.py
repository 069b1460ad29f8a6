"""Open lines joined end to end: gaps within the tolerance are closed, others are named, nothing is guessed."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathkit.drawings.drawing import Drawn, loops
from pathkit.errors import InputError
from pathkit.model.curve import Curve


def lines(points: list[tuple[float, float]], *, gap: float = 0.0) -> list[Drawn]:
    """The sides of a polygon as separate lines, each end moved by ``gap``."""
    sides = zip(points, [*points[1:], points[0]], strict=True)
    return [Drawn(Curve([a, (b[0] + gap, b[1])]), f"LINE {k}") for k, (a, b) in enumerate(sides)]


SQUARE = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]


@given(st.integers(3, 20), st.integers(0, 1000), st.floats(0.0, 0.03))
def test_scattered_sides_become_one_ring(count: int, seed: int, gap: float) -> None:
    corners = [(20 * math.cos(2 * math.pi * k / count), 20 * math.sin(2 * math.pi * k / count)) for k in range(count)]
    scattered = lines(corners, gap=gap)
    shuffle = random.Random(seed)
    shuffle.shuffle(scattered)
    turned = [Drawn(Curve(s.curve.points[::-1]), s.name) if shuffle.random() < 0.5 else s for s in scattered]
    (ring,) = loops(turned, "d", within=0.05)
    assert ring.closed
    # A polygon of n sides in a circle of radius r has the area n·r²·sin(2π/n)/2.
    assert abs(ring.area) == pytest.approx(count * 200.0 * math.sin(2 * math.pi / count), abs=60.0 * 0.03 + 1e-9)


def test_arcs_stay_arcs_when_joined() -> None:
    half = Drawn(Curve([(10, 0), (-10, 0)], [math.pi]), "ARC")
    (ring,) = loops([half, Drawn(Curve([(-10, 0.01), (10, 0)]), "LINE")], "d")
    assert abs(ring.area) == pytest.approx(math.pi * 50.0, abs=0.2)
    assert (ring.sweeps != 0.0).sum() == 1


def test_a_loop_that_stays_open_is_named_with_its_gap() -> None:
    with pytest.raises(InputError, match=r"LINE 0 and 2 more joined to it: the loop is open by 10 mm") as raised:
        loops(lines(SQUARE)[:3], "frame.dxf")
    assert raised.value.findings[0].file == "frame.dxf"
    (chain,) = loops(lines(SQUARE)[:3], "frame.dxf", closed=False)
    assert not chain.closed
    assert len(chain.points) == 4


def test_three_ends_in_one_place_are_nobodys_to_guess() -> None:
    with pytest.raises(InputError, match="3 ends meet at"):
        loops([*lines(SQUARE), Drawn(Curve([(0.0, 0.0), (-5.0, -5.0)]), "stray")], "d")
    with pytest.raises(InputError, match="a line drawn twice"):
        loops([*lines(SQUARE), lines(SQUARE)[1]], "d")


def test_a_line_shorter_than_the_gaps_is_one_of_them() -> None:
    dust = Drawn(Curve([(10.0, 0.0), (10.01, 0.0)]), "dust")
    (ring,) = loops([*lines(SQUARE), dust], "d")
    assert abs(ring.area) == pytest.approx(100.0)
