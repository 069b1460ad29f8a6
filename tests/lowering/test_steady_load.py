"""How much of the bit is in wood, worked out by hand; and feeds that follow it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import pathkit as pk
from pathkit.errors import ModelError
from pathkit.feeds.chips import thinning
from pathkit.lowering.engagement import chips_of, engagement_of, level_rows
from pathkit.lowering.lower import lower
from pathkit.machine.profile import Machine
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Toolpath
from pathkit.motion.program import ARC, RAPID, Program

BOARD = Stock(120.0, 80.0, 12.0)
BIT = Tool("6 mm", 6.0, centre_cutting=True, flutes=2)
PLAIN = Cutting(feed=1200.0, plunge=400.0, spindle=18000.0)
RANGED = replace(PLAIN, slowest=800.0, fastest=2000.0)
ACROSS = Curve([[20.0, 40.0], [100.0, 40.0]])


def cut(name: str, curve: Curve, cutting: Cutting = PLAIN, bit: Tool = BIT, depth: float = 2.0) -> Toolpath:
    return Toolpath(name, curve, bit, cutting, bottom=-depth, reversible=False)


def met_of(machine: Machine, *paths: Toolpath, which: int = -1) -> tuple[float, float]:
    """mm² and mm in the middle of the last of some cuts."""
    job = Job("j", BOARD, paths)
    program = lower(job, machine)
    met = engagement_of(program, job)
    mine = (program.toolpath[met.row] == len(paths) + which) & level_rows(program)[met.row]
    middle = np.flatnonzero(mine)[mine.sum() // 4 : -mine.sum() // 4]
    return float(np.mean(met.section[middle])), float(np.mean(met.width[middle]))


def shifted(by: float) -> Curve:
    return Curve([[20.0, 40.0 + by], [100.0, 40.0 + by]])


def test_a_slot_engages_the_whole_bit(machine: Machine) -> None:
    """Half a turn: as wide as the bit, and as much as width times depth (definition)."""
    section, width = met_of(machine, cut("slot", ACROSS))
    assert width == pytest.approx(6.0, abs=0.2)
    assert section == pytest.approx(6.0 * 2.0, rel=0.03)


@pytest.mark.parametrize("beside", [0.6, 1.5, 3.0, 4.5])
def test_a_cut_beside_another_engages_what_is_left(machine: Machine, beside: float) -> None:
    """A second slot, ``beside`` mm further: the engagement is the step over (definition of the radial depth of cut a_e;
    Machinery's Handbook, chapter Speeds and Feeds, from memory)."""
    section, width = met_of(machine, cut("first", ACROSS), cut("second", shifted(beside)))
    assert width == pytest.approx(beside, abs=0.25)
    assert section == pytest.approx(2.0 * beside, abs=0.5)


def test_nothing_is_met_twice(machine: Machine) -> None:
    assert met_of(machine, cut("first", ACROSS), cut("again", ACROSS)) == (0.0, 0.0)


def test_a_vee_cuts_a_triangle(machine: Machine) -> None:
    """90 degrees, 2 mm deep: a triangle 4 mm wide, 4 mm² (plain geometry)."""
    vee = Tool("vee", 8.0, kind="vee", angle=90.0, centre_cutting=True)
    section, width = met_of(machine, cut("groove", ACROSS, bit=vee))
    assert width == 8.0
    assert section == pytest.approx(4.0, rel=0.06)


def test_a_ball_leaves_a_round_groove(machine: Machine) -> None:
    """A segment of a circle of radius 3 mm, 2 mm high: r² acos(1 − h/r) − (r − h) √(2rh − h²) (circle geometry)."""
    ball = Tool("ball", 6.0, kind="ball", centre_cutting=True)
    section, width = met_of(machine, cut("groove", ACROSS, bit=ball))
    assert width == 6.0
    assert section == pytest.approx(9.0 * math.acos(1.0 / 3.0) - math.sqrt(8.0), rel=0.04)


def test_an_arc_meets_as_much_as_a_line(machine: Machine) -> None:
    arc = Curve([[30.0, 40.0], [70.0, 40.0]], [math.pi])
    assert met_of(machine, cut("arc", arc))[0] == pytest.approx(12.0, rel=0.03)


def test_all_wood_that_goes_is_counted(machine: Machine) -> None:
    """A slot's volume: a rectangle and two half discs, by its depth (plain geometry)."""
    job = Job("j", BOARD, (cut("slot", ACROSS),))
    met = engagement_of(lower(job, machine), job)
    # The bit goes straight down at the slot's beginning: that disc is no step along.
    disc = math.pi * 9.0
    assert float((met.section * met.length).sum()) == pytest.approx((80.0 * 6.0 + disc - disc) * 2.0, rel=0.01)


def test_chips_are_thinned_by_a_narrow_engagement(machine: Machine) -> None:
    """f/(n z) = 1200/(18000·2) = 0.0333 mm; a tenth of the bit in wood thins it to 2√(0.1·0.9) = 0.6 of that
    (Machinery's Handbook, chapter Speeds and Feeds, radial chip thinning; from memory)."""
    job = Job("j", BOARD, (cut("first", ACROSS), cut("second", shifted(0.6))))
    program = lower(job, machine)
    met = engagement_of(program, job)
    chips = chips_of(program, job, met)
    level = level_rows(program)[met.row]
    assert chips[level & (program.toolpath[met.row] == 0)].max() == pytest.approx(1200.0 / 36000.0)
    mine = np.flatnonzero(level & (program.toolpath[met.row] == 1))
    assert np.median(chips[mine]) == pytest.approx(0.0333 * thinning(0.6, 6.0), rel=0.2)


def stepped(cutting: Cutting) -> Job:
    """A slot that runs half its way in ground which another has cleared to two thirds of its width."""
    half = Curve([[20.0, 44.0], [60.0, 44.0]])
    return Job("j", BOARD, (cut("clears", half), cut("slot", ACROSS, cutting)))


def test_slower_in_much_wood_and_faster_in_little(machine: Machine) -> None:
    job = stepped(RANGED)
    program = lower(job, machine)
    rows = np.flatnonzero(level_rows(program) & (program.toolpath == 1))
    assert len(rows) >= 2, "the move is split where its load changes"
    assert program.feed[rows[0]] > 1.5 * RANGED.feed
    assert program.feed[rows[-1]] <= RANGED.feed * 1.05
    assert (program.feed[rows] >= 800.0).all()
    assert (program.feed[rows] <= 2000.0).all()
    # The slow feed begins before the wood that asks for it does.
    assert program.origins[rows[-1], 0] <= 60.0 - 1.5


def same_way(one: Program, other: Program) -> None:
    """The same places, times the same events: only split."""
    assert one.event == other.event
    starts = [set(map(tuple, np.nan_to_num(np.round(p.end, 9)).tolist())) for p in (one, other)]
    assert starts[0] <= starts[1]
    for p in (one, other):
        assert p.names == one.names
    length = [
        float(np.nansum(np.where(p.kind == ARC, np.hypot(*(p.origins[:, :2] - p.centre).T) * np.abs(p.sweep),
                                 np.hypot(*(p.end - p.origins)[:, :2].T))))
        for p in (one, other)
    ]  # fmt: skip
    assert length[0] == pytest.approx(length[1], abs=1e-6)


def ring(radius: float) -> Curve:
    return Curve([[60.0 - radius, 40.0], [60.0 + radius, 40.0]], [math.pi, math.pi], closed=True)


@given(st.floats(6.0, 25.0), st.floats(0.5, 5.0), st.floats(0.5, 1.0), st.floats(1.0, 2.0))
def test_only_feeds_change(machine: Machine, radius: float, beside: float, slowest: float, fastest: float) -> None:
    ends = 1200.0 * slowest, 1200.0 * fastest
    ranged = replace(PLAIN, slowest=ends[0], fastest=ends[1])
    paths = (cut("one", ring(radius)), cut("two", ring(radius + beside)), cut("line", ACROSS, depth=4.0))
    job = Job("j", BOARD, paths)
    steady = job.with_toolpaths(tuple(replace(path, cutting=ranged) for path in paths))
    plain, program = lower(job, machine), lower(steady, machine)
    same_way(plain, program)
    level = level_rows(program)
    assert (program.feed[level] >= ends[0] - 1e-9).all()
    assert (program.feed[level] <= ends[1] + 1e-9).all()
    others = program.feed[~level & (program.kind != RAPID)]
    assert set(others.tolist()) <= set(plain.feed[plain.kind != RAPID].tolist()), "ways down keep their feeds"
    assert lower(steady, machine) == program


def test_events_stay_before_their_moves(machine: Machine) -> None:
    other = Tool("4 mm", 4.0, number=2, centre_cutting=True)
    job = stepped(RANGED)
    job = job.with_toolpaths((*job.toolpaths, cut("last", shifted(-15.0), RANGED, other)))
    program, plain = lower(job, machine), lower(job.with_toolpaths(tuple(
        replace(path, cutting=PLAIN) for path in job.toolpaths)), machine)  # fmt: skip
    where = [[tuple(np.nan_to_num(p.end[min(at, len(p) - 1)])) for at in p.event_at] for p in (plain, program)]
    assert where[0] == where[1]


def test_off_unless_there_is_a_range(machine: Machine) -> None:
    program = lower(stepped(PLAIN), machine)
    assert set(program.feed[level_rows(program)].tolist()) == {1200.0}


@pytest.mark.parametrize(
    ("slowest", "fastest", "said"),
    [(900.0, None, "fastest"), (None, 900.0, "slowest"), (1300.0, 1400.0, "outside its range"),
     (500.0, 1100.0, "outside its range")],
)  # fmt: skip
def test_a_range_holds_its_feed(slowest: float | None, fastest: float | None, said: str) -> None:
    with pytest.raises(ModelError, match=said):
        replace(PLAIN, slowest=slowest, fastest=fastest)


def test_it_is_written_and_read_back(machine: Machine) -> None:
    job = stepped(RANGED)
    assert pk.Job.from_json(job.to_json()) == job
    program = lower(job, machine)
    posted = pk.post(program, machine)
    proof = pk.verify(posted, program, machine, job=job)
    assert proof.ok, [f.what for c in proof.checks for f in c.findings]
