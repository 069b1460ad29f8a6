"""Passes one after the other, each timed, measured and, if asked, held to its promises."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from types import NoneType
from typing import Any

from pathkit.door import expect
from pathkit.errors import InputError, PassRefused, PathkitError
from pathkit.findings import Finding
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.passes.base import Pass, PlacedPass, Progress
from pathkit.passes.measuring import Measured, measured


@dataclass(frozen=True)
class Measure:
    """How a job runs on a machine, worked out when first asked for: lowering a huge job takes seconds.

    Every figure is None where the job cannot be lowered yet (no legal entry has been chosen, say).
    """

    job: Job
    machine: Machine
    setup: Setup | None = None

    @cached_property
    def _measured(self) -> Measured:
        from pathkit.lowering.lower import lower

        try:
            program = lower(self.job, self.machine, self.setup)
        except PathkitError:
            return Measured()
        return measured(program, self.machine, self.setup)

    @property
    def travel(self) -> float | None:
        """mm in the plane at rapid."""
        return self._measured.travel

    @property
    def retracts(self) -> int | None:
        """How often the bit is lifted out of the wood."""
        return self._measured.retracts

    @property
    def run_time(self) -> float | None:
        """Estimated seconds from start to end."""
        return self._measured.run_time

    @property
    def vertical(self) -> float | None:
        """mm up and down at rapid."""
        return self._measured.vertical


@dataclass(frozen=True)
class Report:
    """One pass of a run: what it said, how long it took (s), and the job's measures before and after it."""

    name: str
    seconds: float
    findings: tuple[Finding, ...]
    figures: dict[str, Any]
    before: Measure
    after: Measure

    def __repr__(self) -> str:
        return f"Report({self.name!r}, {self.seconds:.3g} s, findings: {len(self.findings)})"

    def as_dict(self) -> dict[str, Any]:
        """For JSON, without ``seconds``, so that the same input gives the same bytes. Measures the job."""
        sides = {"before": self.before, "after": self.after}
        return {
            "name": self.name,
            **{
                figure: {side: getattr(measure, figure) for side, measure in sides.items()}
                for figure in ("travel", "vertical", "retracts", "run_time")
            },
            "figures": dict(self.figures),
            "findings": [finding.as_dict() for finding in self.findings],
        }


@dataclass(frozen=True)
class Outcome:
    """The job after all passes, a report for each, and all their findings.

    >>> outcome = pk.Pipeline([pk.MergeStepdowns()]).run(job, machine)
    >>> outcome.job.name, len(outcome.reports)
    ('tidy', 1)
    """

    job: Job
    reports: tuple[Report, ...]
    findings: tuple[Finding, ...]

    def __repr__(self) -> str:
        passes = ", ".join(report.name for report in self.reports) or "no passes"
        return f"Outcome(job {self.job.name!r} after {passes}, findings: {len(self.findings)})"


@dataclass(frozen=True, init=False)
class Pipeline:
    """Passes in the order in which they run.

    >>> better = pk.Pipeline([pk.MergeStepdowns(), pk.OrderTravel()]).run(job, machine).job
    >>> [path.name for path in better.toolpaths]
    ['groove']
    """

    passes: tuple[Pass, ...]

    def __init__(self, passes: Iterable[Pass] = ()) -> None:
        if not isinstance(passes, Iterable):
            given = passes.__name__ if isinstance(passes, type) else f"one {type(passes).__name__}"
            raise InputError(f"Pipeline takes a list of passes and was given {given}; put it into a list: [...]")
        chosen = tuple(passes)
        for index, step in enumerate(chosen):
            if isinstance(step, type):
                raise InputError(f"pass {index} is the class {step.__name__}; give an instance: {step.__name__}()")
            if not isinstance(step, Pass):
                raise InputError(f"pass {index} is {step!r}; give an object with name, promises and __call__")
        object.__setattr__(self, "passes", chosen)

    def run(
        self,
        job: Job,
        machine: Machine,
        setup: Setup | None = None,
        *,
        check: bool = False,
        progress: Progress | None = None,
    ) -> Outcome:
        """Run every pass on the result of the one before it.

        ``check`` holds each pass to its promises and raises `PassRefused` with every one that was broken. If
        ``progress`` returns False, an error finding of the outcome names the passes that were not run.
        """
        expect("Pipeline.run", job=(job, Job), machine=(machine, Machine), setup=(setup, Setup, NoneType))
        reports: list[Report] = []
        findings: list[Finding] = []
        measure = Measure(job, machine, setup)
        for index, step in enumerate(self.passes):
            if progress is not None and progress(index, len(self.passes), step.name) is False:
                findings.append(_stopped(self.passes[index:]))
                break
            placed = step.placed(setup) if isinstance(step, PlacedPass) else step
            began = time.perf_counter()
            passed = placed(job, machine, progress=_inner(progress, index, len(self.passes), step.name))
            seconds = time.perf_counter() - began
            if check:
                hold_to_promises(placed, job, passed.job)
            after = measure if passed.job is job else Measure(passed.job, machine, setup)
            reports.append(Report(step.name, seconds, passed.findings, dict(passed.figures), measure, after))
            findings += passed.findings
            job, measure = passed.job, after
        return Outcome(job, tuple(reports), tuple(findings))


def hold_to_promises(step: Pass, before: Job, after: Job) -> None:
    """Raise `PassRefused` with every promise of ``step`` that this pair of jobs breaks."""
    broken = [finding for promise in step.promises if (finding := promise(before, after)) is not None]
    if broken:
        raise PassRefused(broken)


def _stopped(rest: tuple[Pass, ...]) -> Finding:
    names = ", ".join(step.name for step in rest)
    return Finding(check="pipeline", what=f"stopped before: {names}", fix="run them before the job is cut")


def _inner(progress: Progress | None, index: int, total: int, name: str) -> Callable[[int, int, str], bool] | None:
    """A pass' own progress as the pipeline's, with the name of the pass in front of the message."""
    if progress is None:
        return None
    return lambda done, of, message: progress(index, total, f"{name}: {message} ({done} of {of})") is not False
