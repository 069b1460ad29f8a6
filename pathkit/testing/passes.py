"""Laws that apply to every pass. Subclass `PassTests`, give the pass and suitable jobs, run pytest."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import is_dataclass
from typing import Any, ClassVar

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis.strategies import SearchStrategy

from pathkit.errors import PassRefused
from pathkit.findings import errors_of
from pathkit.machine.profile import Axes, Machine, Motion, Travel
from pathkit.model.codec import dumps
from pathkit.model.job import Job
from pathkit.passes.base import Pass, Passed
from pathkit.passes.pipeline import Pipeline
from pathkit.passes.promises import same_depths
from pathkit.testing.deviations import Deviating
from pathkit.testing.strategies import jobs

MACHINE = Machine(
    "Makerspace router",
    "grbl",
    Axes(),
    Travel(900.0, 900.0, 200.0),
    Motion((5000.0, 5000.0, 2000.0), (5000.0, 5000.0, 2000.0), (400.0, 400.0, 200.0)),
)


class PassTests(Deviating):
    """Every law as a test. ``one`` is the pass with its options; ``jobs`` are tried besides random ones.

    A pass keeps what is so, and may mend what is not. Random jobs keep its promises before it runs, so that a pass that
    changes nothing passes; ``mends`` names the promises that hold only afterwards. ``keeps_depths`` False is for a pass
    whose very purpose is another depth. Override `strategy` if random jobs must be of another kind. A pass may refuse
    a job (`PassRefused`), but not every one of them.
    """

    one: ClassVar[Pass]
    jobs: ClassVar[Sequence[Job]] = ()
    machine: ClassVar[Machine] = MACHINE
    examples: ClassVar[int] = 15
    mends: ClassVar[Sequence[str]] = ()
    keeps_depths: ClassVar[bool] = True

    def strategy(self) -> SearchStrategy[Job]:
        return jobs(sound=not self.mends)

    def lacking(self, job: Job) -> list[str]:
        """The promises that a job breaks before the pass has run, less those that it mends."""
        kept = (promise for promise in self.one.promises if promise.name not in self.mends)
        return [promise.name for promise in kept if promise(job, job) is not None]

    def each(self, law: Any) -> None:
        """Run a law on the given jobs and on random ones. ``law(job, passed)``; refused jobs are skipped."""
        done = 0

        def drawn(job: Job) -> None:
            assume(not self.lacking(job))
            judged(job)

        def judged(job: Job) -> None:
            nonlocal done
            try:
                passed = self.one(job, self.machine)
            except PassRefused as refused:
                if not all(finding.what for finding in refused.findings):
                    pytest.fail("a job is refused without a reason")
                return
            done += 1
            law(job, passed)

        for job in self.jobs:
            if broken := self.lacking(job):
                pytest.fail(f"the job {job.name!r} breaks {', '.join(broken)} before the pass; list it in mends")
            judged(job)
        checks = [HealthCheck.too_slow, HealthCheck.filter_too_much]
        settings(deadline=None, max_examples=self.examples, suppress_health_check=checks)(
            given(self.strategy())(drawn)
        )()
        assert done > 0, "every job was refused"

    # --- laws ----------------------------------------------------------------------------------------------------

    def test_it_is_declared(self) -> None:
        assert isinstance(self.one, Pass)
        assert re.fullmatch(r"[a-z0-9][a-z0-9_-]*", self.one.name)
        assert is_dataclass(self.one)
        with pytest.raises(AttributeError):
            self.one.name = "other"
        assert hash(self.one) == hash(self.one)
        assert len({promise.name for promise in self.one.promises}) == len(self.one.promises)

    def test_it_makes_promises(self) -> None:
        assert self.one.promises

    def test_it_keeps_its_promises(self) -> None:
        def law(job: Job, passed: Passed) -> None:
            broken = [found for promise in self.one.promises if (found := promise(job, passed.job)) is not None]
            assert not broken, [str(finding) for finding in broken]

        self.each(law)

    def test_same_job_same_result(self) -> None:
        def law(job: Job, passed: Passed) -> None:
            again = self.one(job, self.machine)
            assert dumps(again.job) == dumps(passed.job)
            assert again.findings == passed.findings

        self.each(law)

    def test_the_job_handed_in_is_not_touched(self) -> None:
        def law(job: Job, _: Passed) -> None:
            before = dumps(job)
            self.one(job, self.machine)
            assert dumps(job) == before

        self.each(law)

    def test_its_result_is_a_job_with_findings(self) -> None:
        def law(_: Job, passed: Passed) -> None:
            assert isinstance(passed, Passed)
            assert isinstance(passed.job, Job)
            assert not errors_of(passed.findings)
            assert all(isinstance(key, str) for key in passed.figures)

        self.each(law)

    def test_its_figures_are_json(self) -> None:
        def law(_: Job, passed: Passed) -> None:
            try:
                json.dumps(passed.figures, allow_nan=False)
            except (TypeError, ValueError) as error:
                pytest.fail(f"figures {passed.figures!r:.200} cannot be written to a report: {error}")

        self.each(law)

    def test_it_shifts_no_depths(self) -> None:
        if not self.keeps_depths:
            return

        def law(job: Job, passed: Passed) -> None:
            shifted = same_depths(job, passed.job)
            assert shifted is None, f"{shifted}; if that is what the pass is for, set keeps_depths = False"

        self.each(law)

    def test_a_pipeline_that_checks_takes_it(self) -> None:
        def law(job: Job, _: Passed) -> None:
            outcome = Pipeline((self.one,)).run(job, self.machine, check=True)
            assert not [f for f in outcome.findings if f.check.startswith("promise")]

        self.each(law)

    def test_stopping_leaves_a_valid_result(self) -> None:
        def law(job: Job, _: Passed) -> None:
            stopped = self.one(job, self.machine, progress=lambda *_: False)
            broken = [found for promise in self.one.promises if (found := promise(job, stopped.job)) is not None]
            assert not broken, [str(finding) for finding in broken]

        self.each(law)
