"""What one machine is asked to cut: a job, how the board lies, and what is done to the job before."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

from pathkit.findings import Finding
from pathkit.jobs.origins import Origins
from pathkit.jobs.strength import Strength
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup

if TYPE_CHECKING:
    from pathkit.feeds.materials import Material
    from pathkit.jobs.sources import Sources
    from pathkit.operations.layout import Layout
    from pathkit.operations.nesting import Nested
    from pathkit.passes.base import Pass


LAST: Final = "last-board"
"""Place of the board that holds what is left over from full ones."""


@dataclass(frozen=True)
class Order:
    """One kind of board for one machine: cut it ``times`` times.

    ``place`` is its folder below the machine's own; ``material`` (its name, or what it is), ``wood`` (what it is, for
    judging feeds and tabs) and ``layout`` are told where they are known, ``notes`` are said with the findings.
    ``recipe`` is what the build was asked besides the job, as plain values; ``sources`` the files that the job was made
    from, None where it was made of toolpaths. ``mark`` is the job's (`pathkit.handover.revision`); empty for a job that
    comes as toolpaths, until it is built. ``strength`` is how much of the job's feeds and bites this machine is asked
    for. ``origins`` is where in the job file its toolpaths come from.
    """

    machine: Machine
    setup: Setup
    job: Job
    passes: tuple[Pass, ...] = ()
    place: str = ""
    times: int = 1
    material: str | None = None
    layout: Layout | Nested | None = None
    notes: tuple[Finding, ...] = ()
    recipe: Mapping[str, Any] = field(default_factory=dict)
    sources: Sources | None = None
    mark: str = ""
    strength: Strength = field(default_factory=Strength)
    wood: Material | None = None
    origins: Origins = field(default_factory=Origins)

    @property
    def folder(self) -> str:
        """Where its files lie, relative to the folder that is handed over."""
        return f"{self.machine.slug}/{self.place}" if self.place else self.machine.slug

    def placed(self, findings: Iterable[Finding]) -> tuple[Finding, ...]:
        """Findings about its job, each with its place in the job file where it has one."""
        return self.origins.placed(findings, [p.name for p in self.job.parts], [p.name for p in self.job.toolpaths])

    @property
    def is_last(self) -> bool:
        """Whether it is the board with what is left over from full ones."""
        return self.place == LAST


def made_from(order: Order) -> dict[str, Any]:
    """The digest of what the order's files are made from, as plain values: job before its passes, passes, recipe."""
    import hashlib

    from pathkit.model.codec import dumps

    return {
        "job_sha256": hashlib.sha256(dumps(order.job).encode("utf-8")).hexdigest(),
        "passes": [repr(step) for step in order.passes],
        "times": order.times,
        **order.recipe,
    }
