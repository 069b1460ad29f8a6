"""The travel order: precedence, ways to run a cut, bits, parts, parking places."""

from __future__ import annotations

import dataclasses
import itertools
import math
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from pathkit.errors import InputError, PassRefused
from pathkit.lowering.lower import lower
from pathkit.machine.profile import Axes, Machine
from pathkit.model.curve import Curve
from pathkit.model.job import Job, Setup
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Entry, Helix, Ramp, Spiral, Tab, Toolpath
from pathkit.passes.base import Pass
from pathkit.passes.hold_tabs import HoldTabs
from pathkit.passes.measuring import travel
from pathkit.passes.merge_stepdowns import MergeStepdowns
from pathkit.passes.order_travel import OrderTravel
from pathkit.passes.pipeline import Pipeline
from pathkit.passes.precedence import precedence_of
from pathkit.passes.ramp_entries import RampEntries
from pathkit.passes.start_points import starts_of, ways_of
from pathkit.passes.tool_changes import changes_along, tool_blocks
from pathkit.testing.strategies import jobs, machines

if TYPE_CHECKING:
    from tests.passes.conftest import Cut, Ring, Swept


SHARP = Tool("6 mm", 6.0, centre_cutting=True)
DRILL = Tool("3 mm drill", 3.0, kind="drill")


def order(job: Job, machine: Machine, **options: Any) -> tuple[Job, dict[str, Any]]:
    outcome = Pipeline([OrderTravel(**{"effort": 0.1, **options})]).run(job, machine, check=True)
    return outcome.job, outcome.reports[0].figures


def names(job: Job) -> list[str]:
    return [path.name for path in job.toolpaths]


def hole(cut: Cut, name: str, x: float, y: float, **fields: Any) -> Toolpath:
    return cut(name, Curve.point((x, y)), DRILL, **{"role": "drill", **fields})


def test_inside_comes_before_outside_where_the_outer_cut_goes_through(
    cut: Cut, ring: Ring, board: Stock, machine: Machine
) -> None:
    inner = cut("window", ring(30, 30, 30, 30), role="cut", tool=SHARP)
    outer = cut("frame", ring(10, 10, 80, 80), role="cut", tool=SHARP)
    loose = cut("loose", Curve.polyline([(200, 200), (210, 200)]), role="cut", tool=SHARP, bottom=6.0)
    got, _ = order(Job("j", board, (outer, inner, loose)), machine)
    assert names(got).index("window") < names(got).index("frame")
    shallow = dataclasses.replace(outer, bottom=6.0)
    assert precedence_of(Job("j", board, (shallow, inner))).pairs == ()


def test_a_cut_across_an_outline_is_not_inside_it(cut: Cut, ring: Ring, board: Stock) -> None:
    outline = cut("outline", ring(10, 10, 80, 80), role="cut")
    across = cut("across", Curve.polyline([(50, 50), (150, 50)]), role="cut")
    assert precedence_of(Job("j", board, (outline, across))).pairs == ()


def test_the_job_has_the_last_word_over_containment_and_is_warned(
    cut: Cut, ring: Ring, board: Stock, machine: Machine
) -> None:
    inner = cut("window", ring(30, 30, 30, 30), role="cut", tool=SHARP)
    outer = cut("frame", ring(10, 10, 80, 80), role="cut", tool=SHARP)
    job = Job("j", board, (inner, outer), (("frame", "window"),))
    outcome = Pipeline([OrderTravel(effort=0.1)]).run(job, machine, check=True)
    assert names(outcome.job) == ["frame", "window"]
    assert [f.severity for f in outcome.findings if f.check == "precedence"] == ["warning"]


def test_stages_over_the_whole_board(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    paths = []
    for k in (2, 0, 1):
        paths += [
            cut(f"outline {k}", ring(10 + 100 * k, 10, 80, 80), role="outline", part=f"p{k}"),
            hole(cut, f"hole {k}", 20 + 100 * k, 20, part=f"p{k}"),
            cut(f"wall {k}", ring(30 + 100 * k, 30, 30, 30), role="finish", part=f"p{k}", bottom=6.0),
            cut(f"pocket {k}", ring(35 + 100 * k, 35, 20, 20), role="pocket", part=f"p{k}", bottom=6.0),
        ]
    got, figures = order(Job("j", board, tuple(paths)), machine)
    kinds = [name.split()[0] for name in names(got)]
    assert set(kinds[:6]) == {"pocket", "wall"}
    assert kinds[6:] == ["hole"] * 3 + ["outline"] * 3
    assert figures["tool_changes"]["after"] == 2
    for k in range(3):
        assert names(got).index(f"pocket {k}") < names(got).index(f"wall {k}")
    by_part, _ = order(Job("j", board, tuple(paths)), machine, by="part")
    parts = [path.part for path in by_part.toolpaths]
    assert [part for part, _ in itertools.groupby(parts)] == list(dict.fromkeys(parts)), "each part is cut in one go"
    for part in dict.fromkeys(parts):
        own = [path.role for path in by_part.toolpaths if path.part == part]
        assert own == ["pocket", "finish", "drill", "outline"]


def test_bits_are_changed_as_seldom_as_precedence_allows(cut: Cut, board: Stock, machine: Machine) -> None:
    """Ten holes for two bits by turns: going to the nearest would change bits nine times; once is enough."""
    big = Tool("5 mm drill", 5.0, kind="drill")
    paths = [
        cut(f"{tool.name} {k}", Curve.point((10 + 20 * k, 10 + (1 if tool is big else 0))), tool, role="drill")
        for k in range(5)
        for tool in (DRILL, big)
    ]
    got, figures = order(Job("j", board, tuple(paths)), machine)
    assert figures["tool_changes"] == {"before": 9, "after": 1}
    assert sum(a.tool != b.tool for a, b in itertools.pairwise(got.toolpaths)) == 1


@given(
    st.lists(st.integers(0, 2), min_size=1, max_size=6),
    st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5)), max_size=6),
    st.lists(st.integers(0, 1), min_size=6, max_size=6),
)
def test_fewest_changes_against_all_orders(tool: list[int], pairs: list[tuple[int, int]], stage: list[int]) -> None:
    n = len(tool)
    kept = tuple((a, b) for a, b in pairs if a < b < n and stage[a] <= stage[b])
    stage = stage[:n]
    least = min(
        changes_along(order, tool)
        for order in itertools.permutations(range(n))
        if all(order.index(a) < order.index(b) for a, b in kept)
        and all(stage[a] <= stage[b] for a, b in itertools.pairwise(order))
    )
    blocks = tool_blocks(range(n), kept, stage, tool)
    assert blocks.changes == changes_along(blocks.order, tool) == least
    assert all(blocks.order.index(a) < blocks.order.index(b) for a, b in kept)
    assert [stage[i] for i in blocks.order] == sorted(stage)


def test_an_open_cut_is_taken_from_its_nearer_end_and_only_if_it_may_be(
    cut: Cut, board: Stock, machine: Machine
) -> None:
    far_first = Curve.polyline([(300, 10), (10, 10)])
    one_way = dataclasses.replace(machine, park=None)
    for reversible, backward in ((None, True), (False, False)):
        path = cut("slot", far_first, SHARP, role="slot", bottom=9.0, stepdown=None, reversible=reversible)
        got, _ = order(Job("j", board, (path,)), one_way)
        assert got.toolpaths[0].backward is backward
        assert got.toolpaths[0].curve == far_first, "curves are never rewritten"


def test_a_closed_contour_begins_near_the_way_unless_it_must_not(
    cut: Cut, ring: Ring, board: Stock, machine: Machine
) -> None:
    curve = ring(100, 100, 80, 60)
    start = curve.length / 2
    path = cut("plate", curve, SHARP, role="outline", start=start)
    got, figures = order(Job("j", board, (path,)), machine)
    begins = curve.at(got.toolpaths[0].start)
    best = min(math.hypot(*curve.at(way.start)) for way in ways_of(path, board))
    assert math.hypot(*begins) == pytest.approx(best)
    assert figures["travel"]["after"] == pytest.approx(2 * best)
    assert figures["travel"]["after"] < figures["travel"]["before"]
    fixed, _ = order(Job("j", board, (dataclasses.replace(path, free_start=False),)), machine)
    assert fixed.toolpaths[0].start == start


@pytest.mark.parametrize("entry", [Ramp(3.0), Spiral(3.0)])
def test_starts_keep_clear_of_corners_and_tabs(cut: Cut, ring: Ring, board: Stock, entry: Entry) -> None:
    curve = ring(20, 20, 120, 90)
    tabs = (Tab(60.0, 6.0, 3.0), Tab(270.0, 6.0, 3.0))
    path = cut("plate", curve, SHARP, role="outline", entry=entry, tabs=tabs, start=30.0)
    ways = ways_of(path, board)
    assert ways[0].start == 30.0, "how it stands now is always allowed"
    assert len(ways) > 1
    # A ramp goes there and back: half a level's drop at its angle, but two diameters at least.
    drop = max(a - b for a, b in itertools.pairwise((13.0, *path.depths(board))))
    ramp = max(drop / 2 / math.tan(math.radians(3.0)), 12.0) if isinstance(entry, Ramp) else 0.0
    for way in ways[1:]:
        for corner in (0.0, 120.0, 210.0, 330.0):
            ahead = (corner - way.start) % curve.length
            assert ahead >= ramp + 3.0 - 1e-6
            assert curve.length - ahead >= 3.0 - 1e-6
        for tab in tabs:
            assert (tab.at - 6.0 - way.start) % curve.length >= ramp + 3.0 - 1e-6
            assert (way.start - tab.at - 6.0) % curve.length >= 3.0 - 1e-6


def test_from_park_to_park_wherever_the_controller_calls_it(cut: Cut, board: Stock, machine: Machine) -> None:
    """Work (0, 0) of a back-right corner with both axes reversed is the board's far right corner in the bench frame."""
    reversed_ = dataclasses.replace(machine, axes=Axes("left", "toward"), origin="back-right")
    job = Job("j", board, (hole(cut, "near", 40, 30), hole(cut, "far", 360, 270)))
    _, figures = order(job, reversed_)
    assert figures["travel"]["after"] == pytest.approx(900.0), "both lie on the diagonal"
    _, parked = order(job, dataclasses.replace(reversed_, park=None))
    assert parked["travel"]["after"] == pytest.approx(450.0), "without a park it ends where it is"
    turned = Pipeline([OrderTravel()]).run(job, machine, setup=Setup(turn=1)).reports[0].figures
    # Turned a quarter counter-clockwise, the board's own back left corner comes to lie front left.
    assert turned["travel"]["after"] == pytest.approx(_round_trip((0.0, 300.0)))


def _round_trip(park: tuple[float, float]) -> float:
    a, b = (40, 30), (360, 270)
    return math.dist(park, a) + math.dist(a, b) + math.dist(b, park)


def test_seconds_of_rapid_moves_follow_the_axes(cut: Cut, board: Stock, machine: Machine) -> None:
    """Same distance along x and y; y is twice as slow: t = L / v + v / a (trapezoid, textbook kinematics)."""
    slow = dataclasses.replace(machine, motion=dataclasses.replace(machine.motion, rapid=(6000.0, 3000.0, 2000.0)))
    job = Job("j", board, (hole(cut, "x", 200, 0),))
    _, along_x = order(job, slow, objective="seconds")
    assert along_x["cost"]["after"] == pytest.approx(2 * (200 / 100 + 100 / 400))
    _, along_y = order(Job("j", board, (hole(cut, "y", 0, 200),)), slow, objective="seconds")
    assert along_y["cost"]["after"] == pytest.approx(2 * (200 / 50 + 50 / 300))
    _, swapped = order(
        job, dataclasses.replace(slow, axes=Axes("away", "right"), left_handed=True), objective="seconds"
    )
    assert swapped["cost"]["after"] == pytest.approx(2 * (200 / 50 + 50 / 300)), "rates belong to the controller's axes"


def test_the_clock_is_only_a_cap_and_it_is_told(cut: Cut, board: Stock, machine: Machine) -> None:
    random = np.random.default_rng(1)
    paths = tuple(hole(cut, f"h{k}", *random.uniform(0, 300, 2)) for k in range(400))  # more than patience ends sooner
    outcome = Pipeline([OrderTravel(effort=1000.0, seconds=0.3)]).run(Job("j", board, paths), machine, check=True)
    assert outcome.reports[0].figures["capped"]
    assert "0.3 s" in outcome.findings[0].what


def test_asking_to_stop_gives_the_best_so_far(cut: Cut, board: Stock, machine: Machine) -> None:
    random = np.random.default_rng(1)
    job = Job("j", board, tuple(hole(cut, f"h{k}", *random.uniform(0, 300, 2)) for k in range(60)))
    outcome = Pipeline([OrderTravel(effort=1000.0)]).run(
        job, machine, check=True, progress=lambda done, total, message: ":" not in message
    )
    assert sorted(names(outcome.job)) == sorted(names(job))
    figures = outcome.reports[0].figures
    assert figures["travel"]["after"] <= figures["travel"]["before"]


def test_nothing_and_one_thing(cut: Cut, board: Stock, machine: Machine) -> None:
    empty = Job("j", board, ())
    got, figures = order(empty, machine)
    assert got is empty
    assert figures["travel"] == {"before": 0.0, "after": 0.0}
    one, figures = order(Job("j", board, (hole(cut, "h", 30, 40),)), machine)
    assert names(one) == ["h"]
    assert figures["travel"] == {"before": 100.0, "after": 100.0}


@pytest.mark.parametrize(
    "options",
    [{"by": "role"}, {"objective": "inches"}, {"effort": -1.0}, {"effort": math.nan}, {"seed": -1}, {"seconds": 0.0}],
)
def test_impossible_options_are_refused(options: dict[str, Any]) -> None:
    with pytest.raises(InputError, match="OrderTravel"):
        OrderTravel(**options)


def whole(job: Job, machine: Machine, **options: Any) -> tuple[Job, dict[str, Any]]:
    passes: list[Pass] = [MergeStepdowns(), HoldTabs(), RampEntries(), OrderTravel(**{"effort": 0.02, **options})]
    outcome = Pipeline(passes).run(job, machine, check=True)
    return outcome.job, outcome.reports[-1].figures


@given(jobs(most=5), machines(), st.sampled_from(("stage", "part")), st.sampled_from(("mm", "seconds")))
def test_all_passes_keep_their_promises_on_any_board(job: Job, machine: Machine, by: str, objective: str) -> None:
    refused: set[str | None] = set()
    try:
        after, figures = whole(job, machine, by=by, objective=objective)
    except PassRefused as refusal:
        refused = {finding.toolpath for finding in refusal.findings}
    if refused:
        assert refused <= set(job.by_name), "what is refused is refused by name"
        return
    rule = precedence_of(job)
    again, _ = whole(job, machine, by=by, objective=objective)
    assert again == after, "same input, same seed, same bytes"
    left = {path.name for path in after.toolpaths}
    place = {path.name: at for at, path in enumerate(after.toolpaths)}
    for first, second in rule.pairs:
        pair = [job.toolpaths[at].name for at in (first, second)]
        if set(pair) <= left:
            assert place[pair[0]] < place[pair[1]]
    if by == "stage":
        stage = precedence_of(after).stage
        assert list(stage) == sorted(stage)
    elif len(after.toolpaths):
        assert figures["tool_changes"]["after"] <= len(after.toolpaths)
    # Every job that the passes hand over can be cut.
    assert len(lower(after, machine))
    # The ways to where bits are changed are no part of the travel that ordering counts.
    program = lower(after, dataclasses.replace(machine, park=None))
    if after.toolpaths and all(p.curve.closed and not isinstance(p.entry, Helix) for p in after.toolpaths):
        # The travel that ordering counts is what the program does at rapid, except the way to the first cut.
        begin = program.end[np.flatnonzero(np.isfinite(program.end[:, 0]))[0], :2]
        park = _park(after, machine)
        way = travel(program) + math.dist(begin, park)
        way += math.dist(program.end[-1, :2], park) if machine.park is not None else 0.0
        assert figures["travel"]["after"] == pytest.approx(way, abs=1e-6)


@given(jobs(most=6, repeats=False), machines(), st.sampled_from(("stage", "part")), st.sampled_from(("mm", "seconds")))
def test_never_worse_than_a_given_order_that_keeps_precedence(
    job: Job, machine: Machine, by: str, objective: str
) -> None:
    once, _ = order(job, machine, by=by, objective=objective, effort=0.02)
    twice, figures = order(once, machine, by=by, objective=objective, effort=0.0, seed=7)
    changes = figures["tool_changes"]
    assert (
        (changes["after"], figures["cost"]["after"]) <= (changes["before"], figures["cost"]["before"]) if figures else 1
    )
    assert {p.name for p in twice.toolpaths} == {p.name for p in job.toolpaths}


def _park(job: Job, machine: Machine) -> tuple[float, float]:
    """Where the parking place lies in the bench frame, from the profile's words, not from the library's orientation."""
    corner = {"front": 0.0, "back": 1.0, "left": 0.0, "right": 1.0}
    words = machine.origin.split("-")
    x, y = (0.5, 0.5) if machine.origin == "centre" else (corner[words[1]], corner[words[0]])
    place = [x * job.stock.width, y * job.stock.depth]
    for word, length in zip((machine.axes.x, machine.axes.y), machine.park or (0.0, 0.0), strict=True):
        axis = 0 if word in ("left", "right") else 1
        place[axis] += length if word in ("right", "away") else -length
    return place[0], place[1]


@given(jobs(most=3, roles=("outline",), least=1), machines())
def test_tabs_hold_their_wood_and_their_place_through_every_pass(
    swept_below: Swept, job: Job, machine: Machine
) -> None:
    """Least width of wood by shapely from what the lowered program sweeps, after merging, ramps and new starts."""
    passes: list[Pass] = [
        HoldTabs(count=2, width=5.0, height=2.0),
        MergeStepdowns(),
        RampEntries(),
        OrderTravel(effort=0.02),
    ]
    refused: set[str | None] = set()
    try:
        held = Pipeline(passes).run(job, machine, check=True).job
    except PassRefused as refusal:
        refused = {finding.toolpath for finding in refusal.findings}
    if refused:
        assert refused <= set(job.by_name)
        return
    program = lower(held, machine)
    top = job.stock.underside + 2.0
    for index, path in enumerate(held.toolpaths):
        if not path.tabs:
            continue
        own = np.flatnonzero(program.toolpath == index)
        rows = np.concatenate([[own[0] - 1], own])
        alone = program.replace(
            **{name: getattr(program, name)[rows] for name in ("kind", "end", "centre", "sweep", "feed")},
            **{name: getattr(program, name)[rows] for name in ("toolpath", "level", "line")},
            event=(),
            event_at=np.zeros(0, np.int64),
            cycles=(),
        )
        pieces = shapely.get_parts(swept_below(alone, path.tool.radius, top))
        assert len(pieces) == len(path.tabs)
        assert all(a.distance(b) >= 5.0 - 0.01 for a, b in itertools.combinations(pieces, 2))


@pytest.mark.parametrize(("side", "allowed"), [(5.0, False), (7.0, True)])
def test_no_start_lies_nearer_to_a_corner_than_the_bits_radius(side: float, allowed: bool) -> None:
    """The middle of a side of 5 mm is 2.5 mm from its corners, that of one of 7 mm 3.5 mm: the bit's radius is 3 mm."""
    roof = [(0, 0), (80, 0), (80, 50), (40 + side / 2, 80), (40 - side / 2, 80), (0, 50)]
    bit = Tool("6 mm flat", 6.0, centre_cutting=True)
    path = Toolpath(
        "roof", Curve.polyline(roof, closed=True), bit, Cutting(feed=900, plunge=300, spindle=16000), bottom=-2.0
    )
    middle = 80.0 + 50.0 + math.dist((80, 50), (40 + side / 2, 80)) + side / 2.0
    found = starts_of(path, Stock(200, 200, 9))
    assert any(abs(start - middle) < 1e-6 for start in found) == allowed
    assert any(abs(start - 40.0) < 1e-6 for start in found)
