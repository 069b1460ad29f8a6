"""What one machine is asked to cut: a job, how the board lies, and which passes the job goes through first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Final

from pathkit.findings import Finding
from pathkit.jobs.about import About
from pathkit.jobs.origins import Origins
from pathkit.jobs.strength import Strength
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.texts.language import ENGLISH, Language

if TYPE_CHECKING:
    from pathkit.feeds.materials import Material
    from pathkit.jobs.photos import Photo
    from pathkit.jobs.sources import Sources
    from pathkit.operations.layout import Layout
    from pathkit.operations.nesting import Nested
    from pathkit.passes.base import Pass


EARLIER: Final = "earlier_order"
"""Key of a recipe: the SHA-256 of the names of the toolpaths, one a line, whose order was to be kept."""

LAST: Final = "last-board"
"""``place`` of the last board, which holds the copies that are left when the other boards are full."""


@dataclass(frozen=True)
class Order:
    """One kind of board for one machine, to be cut ``times`` times.

    ``place`` is its folder inside the machine's own. ``material`` (the stock's name, or else its material), ``wood``
    (the material, by which feeds and tabs are judged) and ``layout`` are None if unknown. ``notes`` are shown with the
    findings. ``recipe`` is what the build was asked for besides the job, as plain values. ``sources`` are the files
    that the job was made from, None for a job given as toolpaths. ``mark`` is the job's mark (`pathkit.jobs.mark`);
    for a job given as toolpaths it is empty until the build. ``strength`` holds the shares of the job's cutting values
    that this machine is asked for. ``origins`` says where in the job file the toolpaths come from. ``handout`` is true
    for a machine that nobody has seen: its folder then holds the files to rehearse with, too. ``about`` says who made
    the job. Pages for people are written in ``language``. ``fit`` is by how many mm openings are cut wider than drawn,
    and parts narrower. ``photos`` show it.
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
    handout: bool = False
    about: About = field(default_factory=About)
    language: Language = ENGLISH
    fit: float = 0.0
    photos: tuple[Photo, ...] = ()

    @property
    def folder(self) -> str:
        """Folder of its files, relative to the folder that is handed over."""
        return f"{self.machine.slug}/{self.place}" if self.place else self.machine.slug

    def placed(self, findings: Iterable[Finding]) -> tuple[Finding, ...]:
        """Findings about its job, each with its place in the job file if it has one."""
        return self.origins.placed(findings, [p.name for p in self.job.parts], [p.name for p in self.job.toolpaths])

    @property
    def is_test_piece(self) -> bool:
        """Whether it is the test piece for a job's fit (`pathkit.jobs.fit_piece`)."""
        return bool(self.recipe.get("test_piece"))

    @property
    def is_rehearsed(self) -> bool:
        """Whether its folder holds files to rehearse with; those of what is cut do for a test piece, too."""
        return self.handout and not self.is_test_piece

    @property
    def is_last(self) -> bool:
        """Whether it is the last board (see `LAST`)."""
        return self.place == LAST


def made_from(order: Order) -> dict[str, Any]:
    """What the order's files are made from, as plain values: the job before its passes (a digest), passes, recipe.

    An earlier order that was asked for besides the job is in the recipe alone.
    """
    from pathkit.passes.order_travel import OrderTravel

    apart = EARLIER in order.recipe
    passes = (replace(step, earlier=()) if apart and isinstance(step, OrderTravel) else step for step in order.passes)
    return {
        "job_sha256": order.job.digest,
        "passes": [repr(step) for step in passes],
        "times": order.times,
        **order.recipe,
    }
