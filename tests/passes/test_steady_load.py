"""Ranges of feeds by the usual thickness of chips and by what the machine moves."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

import pathkit as pk
from pathkit.errors import InputError
from pathkit.feeds.chips import feed_rate, usual_chip_load
from pathkit.jobs.demo import demo_text
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.lowering import steady_load
from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Toolpath
from pathkit.passes.pipeline import Pipeline
from pathkit.passes.steady_load import SteadyLoad
from pathkit.registry import find_pass

if TYPE_CHECKING:
    from tests.passes.conftest import Cut, Ring


@pytest.fixture
def job(cut: Cut, ring: Ring, board: Stock) -> Job:
    """Rings that overlap by half, so that all but the first engage half of the bit."""
    paths = [cut(f"ring {k}", ring(20 + 3 * k, 20 + 3 * k, 90 - 6 * k, 60 - 6 * k, 0), role="pocket") for k in range(4)]
    ramped = tuple(replace(path, bottom=10.5, entry=pk.Ramp(3.0), levels=None) for path in paths)
    return Job("rings", board, ramped)


def test_each_cut_gets_a_range(job: Job, machine: Machine) -> None:
    after = Pipeline([SteadyLoad()]).run(job, machine, check=True).job
    for path, before in zip(after.toolpaths, job.toolpaths, strict=True):
        feed = before.cutting.feed
        limit = min(machine.motion.feed_limit[:2])
        assert path.cutting.along == (round(0.6 * feed), max(feed, float(int(min(1.6 * feed, limit)))))
        assert replace(path.cutting, slowest=None, fastest=None) == before.cutting


def test_within_the_usual_chips(job: Job, machine: Machine) -> None:
    path = SteadyLoad(0.1, 20.0, material="hardwood")(job, machine).job.toolpaths[0]
    tool, cutting = path.tool, path.cutting
    low, high = usual_chip_load(tool, "hardwood", path.deepest_bite(job.stock))
    least, most = (feed_rate(cutting.spindle, tool.flutes, chip) for chip in (low, high))
    limit = min(machine.motion.feed_limit[:2])
    assert cutting.along == (min(round(least), cutting.feed), max(cutting.feed, float(int(min(most, limit)))))


def test_never_faster_than_the_machine_moves(job: Job, machine: Machine) -> None:
    feed = job.toolpaths[0].cutting.feed
    slow = replace(machine, motion=replace(machine.motion, feed_limit=(feed * 1.1, feed * 1.3, 500.0)))
    assert SteadyLoad()(job, slow).job.toolpaths[0].cutting.fastest == float(int(feed * 1.1))


def test_holes_and_curves_in_space_keep_their_feed(machine: Machine, board: Stock, cut: Cut) -> None:
    bit = replace(cut("x", pk.Curve([[10, 10], [50, 10]])).tool, centre_cutting=True)
    cutting = pk.Cutting(feed=1000.0, plunge=300.0, spindle=18000.0)
    hole = Toolpath("hole", pk.Curve.point([30.0, 30.0]), bit, cutting, bottom=9.5, role="drill")
    wave = Toolpath("wave", pk.Curve([[10.0, 60.0, 11.5], [60.0, 60.0, 10.5]]), bit, cutting)
    job = Job("j", board, (hole, wave))
    passed = SteadyLoad()(job, machine)
    assert passed.job.toolpaths == job.toolpaths
    assert passed.figures == {"ranges": 0}


def test_a_range_of_its_own_stays(job: Job, machine: Machine) -> None:
    feed = job.toolpaths[0].cutting.feed
    own = replace(job.toolpaths[0].cutting, slowest=feed - 1.0, fastest=feed + 1.0)
    first = replace(job.toolpaths[0], cutting=own)
    after = SteadyLoad()(job.with_toolpaths((first, *job.toolpaths[1:])), machine).job
    assert after.toolpaths[0].cutting == own


def test_figures_before_and_after(job: Job, machine: Machine) -> None:
    passed = SteadyLoad()(job, machine)
    figures = passed.figures
    assert figures["ranges"] == 4
    plain, steady = (pk.run_time(pk.lower(each, machine), machine).total for each in (job, passed.job))
    assert (figures["run_time_before"], figures["run_time_after"]) == (plain, steady)
    assert steady < plain, "half of the bit is in wood nearly everywhere"
    cutting, flutes = job.toolpaths[0].cutting, job.toolpaths[0].tool.flutes
    # In the first ring the whole width is engaged: the chip is the feed per tooth.
    assert figures["chip_before"] == pytest.approx(cutting.feed / (cutting.spindle * flutes))
    assert figures["chip_after"] > figures["chip_before"]
    assert "s become" in passed.findings[0].what
    assert passed.findings[0].severity == "note"


@pytest.mark.parametrize("options", [{"slowest": 0.0}, {"slowest": 1.2}, {"fastest": 0.9}, {"material": "granite"}])
def test_senseless_options(options: dict[str, Any]) -> None:
    with pytest.raises(InputError, match=r"give slowest|no chip loads"):
        SteadyLoad(**options)


def test_a_job_file_asks_for_it() -> None:
    machine = pk.load_machine("grbl-front-left")
    text = demo_text().replace("[passes]\n", "[passes]\nsteady_load = { fastest = 1.4 }\n")
    order = orders_of(job_file_of(text, "demo.toml"), [machine])[0]
    last = order.passes[-1]
    assert isinstance(last, find_pass("steady_load"))
    assert isinstance(last, SteadyLoad)
    assert (last.fastest, last.material) == (1.4, order.wood)
    plain = orders_of(job_file_of(demo_text(), "demo.toml"), [machine])[0]
    assert not any(isinstance(step, SteadyLoad) for step in plain.passes), "off unless asked for"


def proved(job: Job, machine: Machine) -> pk.Proof:
    program = pk.lower(job, machine)
    return pk.verify(pk.post(program, machine), program, machine, job=job)


def test_a_steady_load_is_proved(job: Job, machine: Machine) -> None:
    proof = proved(SteadyLoad()(job, machine).job, machine)
    assert not [f for c in proof.checks for f in c.findings if f.severity == "error"]
    assert proof["steady load"].figures["cuts"] == 4


def test_fast_in_heavy_wood_is_seen_by_one_check(job: Job, machine: Machine, monkeypatch: pytest.MonkeyPatch) -> None:
    """The load is not looked at: program, file and job agree, and every feed lies within its range."""
    monkeypatch.setattr(steady_load, "_wanted", lambda load, cutting: np.full(len(load), cutting.fastest))
    proof = proved(SteadyLoad()(job, machine).job, machine)
    assert {c.name for c in proof.checks if any(f.severity == "error" for f in c.findings)} == {"steady load"}
    assert "cm³ a minute" in proof["steady load"].findings[0].what
