"""The built-in passes keep the laws of every pass; passes that are spoiled in one place each fail them."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, ClassVar

import pytest

import pathkit as pk
from pathkit.errors import PathkitError
from pathkit.findings import Finding
from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.operations import contour, rectangle
from pathkit.passes.base import Passed, Promise
from pathkit.passes.promises import only_changes, same_board
from pathkit.testing import PassTests
from tests.how_long import LONGER


def plate() -> Job:
    bit = pk.Tool("6 mm end mill", 6.0, centre_cutting=True)
    stock = pk.Stock(300, 200, 12, z_zero="bed", underlay=3)
    feeds = pk.Cutting(feed=2400, plunge=600, spindle=16000)
    shape = rectangle((60, 50), 120, 80, radius=10)
    cuts = contour("outline", shape, bit, feeds, bottom=stock.underside - 0.3, stepdown=4)
    return pk.Job("plate", stock, tuple(cuts))


EXAMPLES = 15 if LONGER else 6


class TestMergeStepdowns(PassTests):
    one = pk.MergeStepdowns()
    jobs = (plate(),)
    examples = EXAMPLES


class TestSpareTopEdge(PassTests):
    one = pk.SpareTopEdge()
    jobs = (plate(),)
    examples = EXAMPLES


class TestHoldTabs(PassTests):
    one = pk.HoldTabs(count=2, width=6.0, height=3.0)
    jobs = (plate(),)
    examples = EXAMPLES


class TestRampEntries(PassTests):
    one = pk.RampEntries(angle=3.0)
    mends = ("no plunge by a bit that cannot",)
    jobs = (plate(),)
    examples = EXAMPLES


class TestOrderTravel(PassTests):
    one = pk.OrderTravel(effort=0, seed=0)
    mends = ("the order keeps precedence",)
    jobs = (plate(),)
    examples = 6


@dataclass(frozen=True)
class Sound:
    """A sound pass: it only slows cuts down."""

    share: float = 0.5
    name: ClassVar[str] = "sound"
    promises: ClassVar[tuple[Promise, ...]] = (same_board, only_changes("cutting"))

    def __call__(self, job: Job, machine: Machine, *, progress: Any = None) -> Passed:
        return Passed(job.with_toolpaths(self.slowed(job)))

    def slowed(self, job: Job) -> tuple[Any, ...]:
        return tuple(replace(t, cutting=replace(t.cutting, feed=t.cutting.feed * self.share)) for t in job.toolpaths)


class TestSound(PassTests):
    one = Sound()


@dataclass(frozen=True)
class Deeper(Sound):
    """Breaks what it promises."""

    def __call__(self, job: Job, machine: Machine, *, progress: Any = None) -> Passed:
        return Passed(job.with_toolpaths(tuple(replace(t, name=t.name + "!") for t in job.toolpaths)))


@dataclass(frozen=True)
class Restless(Sound):
    """Never gives the same result twice."""

    def slowed(self, job: Job) -> tuple[Any, ...]:
        share = random.uniform(0.1, 0.9)
        return tuple(replace(t, cutting=replace(t.cutting, feed=t.cutting.feed * share)) for t in job.toolpaths)


@dataclass(frozen=True)
class Reaching(Sound):
    """Changes the job that it was given."""

    def __call__(self, job: Job, machine: Machine, *, progress: Any = None) -> Passed:
        object.__setattr__(job, "name", job.name + "*")
        return super().__call__(job, machine)


@dataclass(frozen=True)
class Careless(Sound):
    """Hands back a job that cannot be cut, with a finding, instead of refusing it."""

    def __call__(self, job: Job, machine: Machine, *, progress: Any = None) -> Passed:
        return Passed(job, findings=(Finding(check="careless", what="this cannot be cut"),))


@dataclass(frozen=True)
class Deaf(Sound):
    """Loses a toolpath when it is asked to stop."""

    def __call__(self, job: Job, machine: Machine, *, progress: Any = None) -> Passed:
        if progress is not None and progress(0, 1, "slowing") is False:
            return Passed(job.with_toolpaths(job.toolpaths[:-1]))
        return super().__call__(job, machine)


class Loose(Sound):
    """Not a frozen value: its name can be changed."""

    name = "Loose pass"


@dataclass(frozen=True)
class Silent(Sound):
    """Promises nothing."""

    promises: ClassVar[tuple[Promise, ...]] = ()


@dataclass(frozen=True)
class Stubborn(Sound):
    """Takes no job at all."""

    def __call__(self, job: Job, machine: Machine, *, progress: Any = None) -> Passed:
        raise pk.PassRefused("no")


@dataclass(frozen=True)
class Shifting(Sound):
    """Cuts half a millimetre deeper, and promises nothing about it."""

    promises: ClassVar[tuple[Promise, ...]] = (same_board,)

    def slowed(self, job: Job) -> tuple[Any, ...]:
        return tuple(
            t if t.curve.is_trace or t.levels else replace(t, bottom=(t.bottom or 0.0) - 0.125) for t in job.toolpaths
        )


@dataclass(frozen=True)
class Unwritable(Sound):
    """Its figures cannot be written to a report."""

    def __call__(self, job: Job, machine: Machine, *, progress: Any = None) -> Passed:
        return Passed(job, figures={"job": job})


@dataclass(frozen=True)
class Nothing(Sound):
    """Changes nothing, and promises all that can be promised."""

    promises: ClassVar[tuple[Promise, ...]] = (
        same_board, only_changes(), pk.precedence_kept, pk.order_keeps_precedence, pk.tabs_keep_place, pk.same_contours,
        pk.same_depths, pk.levels_within_stepdown, pk.no_blunt_plunge,
    )  # fmt: skip

    def __call__(self, job: Job, machine: Machine, *, progress: Any = None) -> Passed:
        return Passed(job)


class TestNothing(PassTests):
    one = Nothing()
    examples = 8


SPOILED: dict[str, tuple[Any, str]] = {
    "breaks its promise": (Deeper(), "it_keeps_its_promises"),
    "breaks it in a pipeline": (Deeper(), "a_pipeline_that_checks_takes_it"),
    "another result each time": (Restless(), "same_job_same_result"),
    "writes into its input": (Reaching(), "the_job_handed_in_is_not_touched"),
    "an error as a result": (Careless(), "its_result_is_a_job_with_findings"),
    "stops in the middle": (Deaf(), "stopping_leaves_a_valid_result"),
    "a name nobody can type": (Loose(), "it_is_declared"),
    "no promises": (Silent(), "it_makes_promises"),
    "shifts depths": (Shifting(), "it_shifts_no_depths"),
    "figures that are no JSON": (Unwritable(), "its_figures_are_json"),
    "refuses everything": (Stubborn(), "same_job_same_result"),
}


@pytest.mark.parametrize("spoiled", SPOILED)
def test_a_spoiled_pass_is_caught(spoiled: str) -> None:
    one, law = SPOILED[spoiled]
    tests = type("Kit", (PassTests,), {"one": one, "jobs": (plate(),), "examples": 3})()
    judge: Callable[[], None] = getattr(tests, f"test_{law}")
    with pytest.raises((AssertionError, PathkitError, BaseExceptionGroup, pytest.fail.Exception)):
        judge()


# --- deviations ---------------------------------------------------------------------------------------------------


class TestUnnamed(PassTests):
    """A law that a pass is known to break is named, with the reason."""

    one = Loose()
    examples = 3
    deviations: ClassVar[dict[str, str]] = {"test_it_is_declared": "its name has a capital and a blank"}


def test_a_deviation_must_name_a_test_and_a_reason() -> None:
    for deviations, words in (({"test_nothing": "?"}, "no test called"), ({"test_it_is_declared": " "}, "reason")):
        with pytest.raises(TypeError, match=words):
            type("Kit", (PassTests,), {"one": Sound(), "deviations": deviations})


def test_a_deviation_is_strict_and_leaves_other_classes_alone() -> None:
    kit: Any = type("Kit", (PassTests,), {"one": Sound(), "deviations": {"test_it_is_declared": "none, really"}})
    (mark,) = kit.test_it_is_declared.pytestmark
    assert mark.name == "xfail"
    assert mark.kwargs == {"strict": True, "reason": "none, really"}
    assert not hasattr(PassTests.test_it_is_declared, "pytestmark")
