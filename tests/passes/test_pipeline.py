"""A run of passes: reports, promises, progress, and what it refuses."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, ClassVar

import pytest

from pathkit.errors import InputError, PassRefused
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Plunge, Spiral, Tab
from pathkit.passes import pathkit_passes
from pathkit.passes.base import Pass, Passed, PlacedPass, Progress
from pathkit.passes.fit_arcs import FitArcs
from pathkit.passes.hold_tabs import HoldTabs
from pathkit.passes.merge_stepdowns import MergeStepdowns
from pathkit.passes.order_travel import OrderTravel
from pathkit.passes.pipeline import Pipeline, hold_to_promises
from pathkit.passes.ramp_entries import RampEntries
from pathkit.passes.spare_top_edge import SpareTopEdge
from pathkit.passes.steady_load import SteadyLoad

if TYPE_CHECKING:
    from tests.passes.conftest import Cut, Ring


@pytest.fixture
def job(cut: Cut, ring: Ring, board: Stock) -> Job:
    paths = [cut(f"plate {k}", ring(10 + 100 * k, 10, 80, 50, 6), role="outline", part=f"p{k}") for k in (0, 2, 1)]
    return Job("plates", board, tuple(paths), (("plate 0", "plate 1"),))


Change = Callable[[Job], Job]

ALL = (MergeStepdowns(), SpareTopEdge(), HoldTabs(), RampEntries(), OrderTravel())
OPTIONAL = (SteadyLoad(), FitArcs())


def test_every_pass_reports_what_it_changed(job: Job, machine: Machine) -> None:
    outcome = Pipeline(ALL).run(job, machine, check=True)
    assert [r.name for r in outcome.reports] == [step.name for step in ALL]
    first, last = outcome.reports[0], outcome.reports[-1]
    # A blunt bit cannot plunge: before there are ramps the job cannot be run at all, so nothing is claimed.
    assert first.before.run_time is None
    assert first.before.travel is None
    assert last.after.retracts == last.before.retracts == 3
    assert last.after.travel is not None
    assert last.before.travel is not None
    assert last.after.travel < last.before.travel
    assert last.after.run_time is not None
    assert 60.0 < last.after.run_time < 3600.0
    assert all(r.seconds >= 0.0 for r in outcome.reports)
    assert "seconds" not in last.as_dict(), "no wall-clock time in any file"
    assert last.as_dict() == Pipeline(ALL).run(job, machine).reports[-1].as_dict()


def test_nothing_is_lowered_until_a_figure_is_asked_for(
    job: Job, machine: Machine, monkeypatch: pytest.MonkeyPatch
) -> None:
    import pathkit.lowering.lower

    def fail(*args: object, **kwargs: object) -> None:
        raise AssertionError("lowered without need")

    monkeypatch.setattr(pathkit.lowering.lower, "lower", fail)
    outcome = Pipeline(ALL).run(job, machine)
    with pytest.raises(AssertionError, match="without need"):
        _ = outcome.reports[0].after.travel


def test_the_job_given_is_never_changed_and_no_pass_is_no_change(job: Job, machine: Machine) -> None:
    copy = dataclasses.replace(job)
    Pipeline(ALL).run(job, machine)
    assert job == copy
    assert Pipeline([]).run(job, machine).job is job


def test_the_built_in_passes_fit_the_contract() -> None:
    classes: Sequence[Any] = pathkit_passes()
    assert {cls.name for cls in classes} == {p.name for p in (*ALL, *OPTIONAL)}
    for step in (*ALL, *OPTIONAL):
        assert isinstance(step, Pass)
        assert dataclasses.is_dataclass(step)
        assert step.promises
        assert step == type(step)()
    assert isinstance(OrderTravel(), PlacedPass)


def test_the_setup_reaches_the_pass_that_needs_it(job: Job, machine: Machine) -> None:
    plain, turned = (Pipeline([OrderTravel()]).run(job, machine, setup=Setup(turn=t)).reports[0] for t in (0, 2))
    assert plain.figures["travel"]["before"] != turned.figures["travel"]["before"]


def test_asking_to_stop_names_what_was_not_run(job: Job, machine: Machine) -> None:
    said = []

    def progress(done: int, total: int, message: str) -> bool:
        said.append((done, total, message))
        return not message.startswith("ramp_entries")

    outcome = Pipeline(ALL).run(job, machine, progress=progress)
    assert [r.name for r in outcome.reports] == ["merge_stepdowns", "spare_top_edge", "hold_tabs"]
    assert "ramp_entries, order_travel" in outcome.findings[-1].what
    assert outcome.findings[-1].severity == "error"
    assert all(total == 5 for _, total, _ in said)


@pytest.mark.parametrize("wrong", [MergeStepdowns, "merge_stepdowns", None])
def test_what_is_no_pass_is_refused(wrong: Any) -> None:
    with pytest.raises(InputError, match="pass 0"):
        Pipeline([wrong])


# Each of these breaks one promise of the pass that it pretends to be; a checked pipeline must notice every one.


def drop_last(job: Job) -> Job:
    return dataclasses.replace(job, toolpaths=job.toolpaths[:-1], precedence=())


def shift(job: Job) -> Job:
    from pathkit.model.curve import Curve

    first, *rest = job.toolpaths
    moved = dataclasses.replace(first, curve=Curve(first.curve.points + 1e-4, first.curve.sweeps, closed=True))
    return job.with_toolpaths((moved, *rest))


def each(**fields: Any) -> Change:
    return lambda job: job.with_toolpaths(tuple(dataclasses.replace(p, **fields) for p in job.toolpaths))


def reverse(job: Job) -> Job:
    return job.with_toolpaths(job.toolpaths[::-1])


def forget_pairs(job: Job) -> Job:
    return dataclasses.replace(job, precedence=())


def thinner(job: Job) -> Job:
    return dataclasses.replace(job, stock=dataclasses.replace(job.stock, thickness_tolerance=0.0))


SABOTAGE = [
    (MergeStepdowns, drop_last, "every contour"),
    (MergeStepdowns, shift, "every contour"),
    (MergeStepdowns, each(bottom=1.0, levels=None), "every contour"),
    (MergeStepdowns, each(levels=(0.25,)), "stepdown"),
    (MergeStepdowns, thinner, "same board"),
    (HoldTabs, each(entry=Spiral(3.0)), "only tabs"),
    (HoldTabs, each(tabs=(Tab(30.0, 6.0, 12.6),)), "tabs hold"),
    (HoldTabs, forget_pairs, "precedence"),
    (RampEntries, each(entry=Plunge()), "plunge"),
    (RampEntries, each(entry=Spiral(3.0), bottom=0.5), "only entry"),
    (RampEntries, reverse, "only entry"),
    (OrderTravel, reverse, "order keeps precedence"),
    (OrderTravel, drop_last, "only start"),
    (OrderTravel, each(stepdown=12.0), "only start"),
    (OrderTravel, shift, "only start"),
]


@pytest.mark.parametrize(("kind", "break_it", "promise"), SABOTAGE)
def test_a_broken_promise_is_caught(job: Job, machine: Machine, kind: Any, break_it: Change, promise: str) -> None:
    @dataclasses.dataclass(frozen=True)
    class Sabotaged:
        name: ClassVar[str] = kind.name
        promises: ClassVar = kind.promises

        def __call__(self, job: Job, machine: Machine, *, progress: Progress | None = None) -> Passed:
            return Passed(break_it(kind()(job, machine).job))

    assert Pipeline([kind()]).run(job, machine, check=True)
    Pipeline([Sabotaged()]).run(job, machine, check=False)
    with pytest.raises(PassRefused) as refused:
        Pipeline([Sabotaged()]).run(job, machine, check=True)
    assert any(promise in f.check for f in refused.value.findings)


def test_a_tab_that_moved_is_caught(job: Job, machine: Machine) -> None:
    held = HoldTabs()(job, machine).job
    moved = held.with_toolpaths(
        tuple(
            dataclasses.replace(p, tabs=tuple(dataclasses.replace(t, at=t.at + 0.01) for t in p.tabs))
            for p in held.toolpaths
        )
    )
    with pytest.raises(PassRefused, match="moved or vanished"):
        hold_to_promises(OrderTravel(), held, moved)
