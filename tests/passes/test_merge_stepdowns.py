"""Levels, and toolpaths that repeat one contour."""

from __future__ import annotations

import dataclasses
import math
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given

from pathkit.machine.profile import Machine
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Tab, Toolpath
from pathkit.passes.merge_stepdowns import MergeStepdowns
from pathkit.passes.pipeline import Outcome, Pipeline
from pathkit.testing.strategies import jobs, machines

if TYPE_CHECKING:
    from tests.passes.conftest import Cut, Ring


def merge(job: Job, machine: Machine) -> Outcome:
    return Pipeline([MergeStepdowns()]).run(job, machine, check=True)


@pytest.mark.parametrize(
    ("depth", "stepdown", "count"),
    # n = ceil(depth / stepdown), and a depth that is a whole number of stepdowns needs no further level (arithmetic).
    [(12.0, 3.0, 4), (12.0, 5.0, 3), (0.3, 0.1, 3), (12.0, 12.0, 1), (12.0, 13.0, 1), (12.0, 11.9999, 2)],
)
def test_equal_levels(cut: Cut, board: Stock, machine: Machine, depth: float, stepdown: float, count: int) -> None:
    flat = dataclasses.replace(board, thickness_tolerance=0.0)
    path = cut("slot", Curve.polyline([(10, 10), (60, 10)]), bottom=flat.top - depth, stepdown=stepdown, role="slot")
    levels = merge(Job("j", flat, (path,)), machine).job.toolpaths[0].levels
    assert levels is not None
    assert len(levels) == count
    drops = [a - b for a, b in zip((flat.top, *levels), levels, strict=False)]
    assert drops == pytest.approx([depth / count] * count)


def test_the_first_level_counts_from_the_thickest_board_allowed(cut: Cut, board: Stock, machine: Machine) -> None:
    path = cut("slot", Curve.polyline([(10, 10), (60, 10)]), bottom=6.5, stepdown=3.0, role="slot")
    (got,) = merge(Job("j", board, (path,)), machine).job.toolpaths
    # 12 mm of board on 0.5 mm of underlay may be 13.0 mm high: 6.5 mm of wood take three levels, not two.
    assert got.levels == pytest.approx((13 - 6.5 / 3, 13 - 13 / 3, 6.5))


def stacked(cut: Cut, curve: Curve, heights: tuple[float, ...], **fields: Any) -> list[Toolpath]:
    """One toolpath for each pair of neighbouring heights, uppermost first."""
    return [
        cut(f"{fields.get('role', 'cut')} {k}", curve, top=None if k == 0 else high, bottom=low, **fields)
        for k, (high, low) in enumerate(pairwise(heights))
    ]


def test_repeats_at_adjoining_depths_become_one(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    paths = stacked(cut, ring(10, 10, 80, 50, 6), (12.5, 9.0, 6.0, 0.25), stepdown=None, role="outline")
    outcome = merge(Job("j", board, tuple(paths)), machine)
    (one,) = outcome.job.toolpaths
    assert (one.name, one.top, one.levels) == ("outline 0", None, (9.0, 6.0, 0.25))
    assert "'outline 1', 'outline 2'" in outcome.findings[0].what


def test_with_a_stepdown_the_whole_depth_is_parted_anew(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    paths = stacked(cut, ring(10, 10, 80, 50), (12.5, 9.0, 0.25), stepdown=4.0, role="outline")
    (one,) = merge(Job("j", board, tuple(paths)), machine).job.toolpaths
    assert one.levels == pytest.approx((13 - 12.75 / 4, 13 - 12.75 / 2, 13 - 12.75 * 3 / 4, 0.25))


def test_a_contour_that_begins_elsewhere_is_the_same_contour_and_its_tabs_move_along(
    cut: Cut, ring: Ring, board: Stock, machine: Machine
) -> None:
    upper = ring(10, 10, 80, 50)
    lower = Curve.polyline([(90, 40), (90, 60), (10, 60), (10, 10), (90, 10)], closed=True)
    tab = Tab(at=60.0, width=6.0, height=3.0)
    paths = (
        cut("a", upper, bottom=5.0, role="outline"),
        cut("b", lower, top=5.0, role="outline", tabs=(tab,)),
    )
    (one,) = merge(Job("j", board, paths), machine).job.toolpaths
    assert one.curve == upper
    assert upper.at(one.tabs[0].at) == pytest.approx(lower.at(60.0))


@pytest.mark.parametrize(
    "change",
    [
        {"tool": Tool("4 mm flat", 4.0)},
        {"cutting": Cutting(feed=900.0, plunge=300.0, spindle=18000.0)},
        {"part": "lid"},
        {"role": "cut"},
        {"curve": Curve.polyline([(10, 60), (90, 60), (90, 10), (10, 10)], closed=True)},
        {"curve": Curve.polyline([(10, 10), (90, 10), (90, 60.001), (10, 60)], closed=True)},
        {"top": 4.5},
        {"tabs": (Tab(40.0, 6.0, 8.0),)},
    ],
    ids=["bit", "feeds", "part", "role", "direction", "a hair elsewhere", "a gap of wood between", "other tabs"],
)
def test_what_differs_stays_apart(cut: Cut, ring: Ring, board: Stock, machine: Machine, change: dict[str, Any]) -> None:
    upper = cut("upper", ring(10, 10, 80, 50), bottom=5.0, role="outline", part="plate")
    lower = cut("lower", ring(10, 10, 80, 50), bottom=0.25, top=5.0, role="outline", part="plate")
    if change == {"top": 4.5}:
        change = {"top": 4.5, "bottom": 0.25}
    lower = dataclasses.replace(lower, **change)
    outcome = merge(Job("j", board, (upper, lower)), machine)
    assert [p.name for p in outcome.job.toolpaths] == ["upper", "lower"]


def test_a_cut_repeated_at_the_same_depth_is_meant(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    paths = [cut(name, ring(10, 10, 80, 50), role="outline") for name in ("cut", "once more")]
    assert len(merge(Job("j", board, tuple(paths)), machine).job.toolpaths) == 2


def test_pairs_are_inherited(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    a, b = stacked(cut, ring(10, 10, 80, 50), (12.5, 6.0, 0.25), role="outline")
    before = cut("before", Curve.point((200.0, 50.0)), role="drill", bottom=5.0, tool=Tool("d", 3.0, kind="drill"))
    after = cut("after", ring(200, 10, 60, 60), role="outline")
    job = Job("j", board, (before, a, after, b), (("before", b.name), (a.name, "after")))
    merged = merge(job, machine).job
    assert set(merged.precedence) == {("before", a.name), (a.name, "after")}
    names = [p.name for p in merged.toolpaths]
    assert names.index("before") < names.index(a.name) < names.index("after")


@pytest.mark.parametrize("pairs", [(("outline 0", "x"), ("x", "outline 1")), (("outline 0", "outline 1"),)])
def test_no_merging_where_something_must_come_between(
    cut: Cut, ring: Ring, board: Stock, machine: Machine, pairs: tuple[tuple[str, str], ...]
) -> None:
    a, b = stacked(cut, ring(10, 10, 80, 50), (12.5, 6.0, 0.25), role="outline")
    x = cut("x", ring(200, 10, 60, 60), role="outline")
    assert len(merge(Job("j", board, (a, x, b), pairs), machine).job.toolpaths) == 3


def test_two_merges_that_would_wait_for_each_other_are_not_both_made(
    cut: Cut, ring: Ring, board: Stock, machine: Machine
) -> None:
    a0, a1 = stacked(cut, ring(10, 10, 80, 50), (12.5, 6.0, 0.25), role="outline")
    b0, b1 = (dataclasses.replace(p, name=f"b {k}", curve=ring(200, 10, 80, 50)) for k, p in enumerate((a0, a1)))
    job = Job("j", board, (a0, b0, a1, b1), ((a0.name, "b 1"), ("b 0", a1.name)))
    # If both were joined, each would have to come before the other.
    assert len(merge(job, machine).job.toolpaths) == 3


def test_what_lies_inside_may_come_between_too(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    """The lower cut goes through, so the hole inside must come first; the job wants it after the upper cut."""
    a, b = stacked(cut, ring(10, 10, 80, 50), (12.5, 6.0, 0.25), role="outline")
    hole = cut("hole", Curve.circle((50, 35), 8), role="cut")
    job = Job("j", board, (a, hole, b), ((a.name, "hole"),))
    assert [p.name for p in merge(job, machine).job.toolpaths] == [a.name, "hole", b.name]


@given(jobs(most=4), machines())
def test_promises_hold_and_merging_again_changes_nothing(job: Job, machine: Machine) -> None:
    once = merge(job, machine).job
    again = merge(once, machine).job
    assert again == once
    for path in once.toolpaths:
        assert path.levels is not None
        assert path.bottom is not None
        deepest = max((a - b for a, b in zip((path.highest(job.stock), *path.levels), path.levels, strict=False)))
        assert path.stepdown is None or deepest <= path.stepdown * (1 + 1e-9) + 1e-9
        assert math.isclose(path.levels[-1], path.bottom)
