"""What a pass is: a frozen value that turns a job into a better one, and keeps its promises while doing so."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, ClassVar, Protocol, Self, runtime_checkable

from pathkit.findings import Finding
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup

Progress = Callable[[int, int, str], bool]
"""``progress(done, total, message)``; returning False asks the pass to stop with its best valid result."""


@dataclass(frozen=True)
class Passed:
    """What a pass returns: the better job, its findings, and figures for the report.

    >>> pk.Passed(job).findings
    ()
    """

    job: Job
    findings: tuple[Finding, ...] = ()
    figures: Mapping[str, Any] = field(default_factory=dict)

    if TYPE_CHECKING:

        def __init__(
            self, job: Job, findings: Iterable[Finding] = (), figures: Mapping[str, Any] = MappingProxyType({})
        ) -> None: ...

    def __post_init__(self) -> None:
        object.__setattr__(self, "findings", tuple(self.findings))
        object.__setattr__(self, "figures", dict(self.figures))


@dataclass(frozen=True)
class Promise:
    """A named rule for the jobs before and after a pass: ``judge(before, after)`` gives what broke it, or None.

    `Pipeline.run` evaluates the promises of every pass if it is asked to ``check``, and they drive the property tests.

    >>> said = pk.Finding(check="names", what="the job has another name")
    >>> kept = pk.Promise("same name", lambda before, after: None if before.name == after.name else said)
    >>> kept.judge(job, replace(job, name="other")).what
    'the job has another name'
    """

    name: str
    judge: Callable[[Job, Job], Finding | None]

    def __call__(self, before: Job, after: Job) -> Finding | None:
        return self.judge(before, after)


@runtime_checkable
class Pass(Protocol):
    """A frozen dataclass whose fields are its options. Calling it is pure: same job, machine and options, same result.

    Raises `PassRefused`, naming every toolpath concerned, where its promises cannot be kept.

    >>> [f.name for f in pk.installed().provided("pass")][:3]
    ['fit_arcs', 'hold_tabs', 'merge_stepdowns']
    """

    name: ClassVar[str]
    promises: ClassVar[tuple[Promise, ...]]

    def __call__(self, job: Job, machine: Machine, *, progress: Progress | None = None) -> Passed: ...


@runtime_checkable
class PlacedPass(Pass, Protocol):
    """A pass whose result depends on how the board lies; a pipeline runs what ``placed`` returns for its setup."""

    def placed(self, setup: Setup | None) -> Self: ...
