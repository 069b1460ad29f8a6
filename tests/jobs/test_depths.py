"""Depths of a job file as heights, and what is not right for every board that is accepted."""

from __future__ import annotations

import pytest

from pathkit.errors import InputError
from tests.jobs.made import MARK, only, orders_from


@pytest.mark.parametrize(("z_zero", "top", "through"), [("bed", 8.0, 1.7), ("top", 0.0, -6.3)])
def test_each_depth_is_measured_from_where_it_says(tags: str, z_zero: str, top: float, through: float) -> None:
    job = only(tags.replace('z_zero = "bed"', f'z_zero = "{z_zero}"\nthickness_tolerance = 0.1'))
    assert job.stock.top == pytest.approx(top)
    by = {p.name: p.bottom for p in job.toolpaths}
    assert by["tag recess rows"] == pytest.approx(top - 2.0)
    assert by["tag outline"] == pytest.approx(through)
    assert by["tag hole"] == pytest.approx(through)


@pytest.mark.parametrize(
    ("given", "z_zero", "z"),
    [
        ("true", "bed", 1.7),
        ("0.5", "bed", 1.5),
        ("1", "bed", 1.0),
        ("1.0", "bed", 1.0),
        ("true", "top", -6.4),
        ("0.5", "top", -6.6),
    ],
)
def test_right_through_is_past_the_thickest_board(tags: str, given: str, z_zero: str, z: float) -> None:
    """6 mm ± 0.1 mm on 2 mm of waste."""
    text = tags.replace('z_zero = "bed"', f'z_zero = "{z_zero}"\nthickness_tolerance = 0.1')
    job = only(text.replace("bottom.above_bed = 1.7", f"bottom.through = {given}"))
    assert {p.name: p.bottom for p in job.toolpaths}["tag outline"] == pytest.approx(z)
    assert len(job.parts[0].holes) == 1


@pytest.mark.parametrize(
    ("stock", "bottom", "what"),
    [
        ("thickness_tolerance = 0.9", "through = true", "0.3 mm past the underside, and 1.8 mm more where the board"),
        ("underlay_tolerance = 1.8", "through = true", "under it lies 0.2 mm at least"),
        ("thickness_tolerance = 0.5", "from_top = 6.2", "the underside may be anywhere from -6.5 to -5.5 mm"),
        ("thickness_tolerance = 0.5", "from_top = 9", "the bed may be as high as -7.5 mm"),
        ("thickness_tolerance = 0.5", "through = false", "through"),
        ("thickness_tolerance = 0.5", "through = 0", "through"),
    ],
)
def test_what_is_not_right_for_every_board_is_refused(tags: str, stock: str, bottom: str, what: str) -> None:
    text = tags.replace('z_zero = "bed"', f'z_zero = "top"\n{stock}').replace(
        "bottom.above_bed = 1.7", "bottom.from_top = 2"
    )
    text = text.replace("bottom.from_top = 2\nstepdown", f"bottom.{bottom}\nstepdown")
    with pytest.raises(InputError, match=what):
        orders_from(text)


def test_a_cut_does_not_begin_right_through(tags: str) -> None:
    with pytest.raises(InputError, match="through says where a cut ends"):
        orders_from(tags.replace("bottom.from_top = 2", "bottom.from_top = 2\ntop.through = true"))


def test_a_mark_that_the_thinnest_board_does_not_get_is_refused(tags: str) -> None:
    """8 mm over the bed, ± 0.5 mm: 0.5 mm deep, there is the top of the thinnest board."""
    text = tags.replace("hole.points", "mark.line = [[10, 5], [50, 5]]\nhole.points") + MARK
    assert only(text)
    with pytest.raises(InputError, match=r"the top of the thinnest board is at 7\.5 mm") as raised:
        orders_from(text.replace("0.8", "0.5"))
    assert all(finding.line for finding in raised.value.findings)
    assert only(text.replace("0.8", "0.5").replace('z_zero = "bed"', 'z_zero = "top"\nthickness_tolerance = 0.1'))
