"""The demo: a makerspace cuts a batch of cable-tidy plates, twelve from one board and twenty-eight from a longer one.

Each plate has a recess for the coiled cable, a slot for its end and four screw holes. The board lies on a sheet of
waste, held by tape under each plate; nothing is clamped. Depths are measured from the bed, because everything but the
recess goes through. It is all in the job file that comes with the package, ``demo_files/cable-tidy.toml``.
"""

from __future__ import annotations

from importlib.resources import files
from typing import TYPE_CHECKING, Final

from pathkit.errors import UnknownName
from pathkit.model.job import Job

if TYPE_CHECKING:
    from pathkit.jobs.order import Order
    from pathkit.jobs.reading import JobFile
    from pathkit.machine.profile import Machine
    from pathkit.passes.base import Pass

DISTRIBUTION: Final = "pathkit-cam"
NAME: Final = "cable-tidy.toml"


def demo_text() -> str:
    """The text of the demo's job file, to read, or to start your own from."""
    return (files("pathkit.jobs") / "demo_files" / NAME).read_text(encoding="utf-8")


def demo_file() -> JobFile:
    """The job file of the demo."""
    from pathkit.jobs.reading import job_file_of

    return job_file_of(demo_text(), NAME)


def demo_orders(*, effort: float | None = None, seed: int | None = None) -> tuple[Order, ...]:
    """What each of `demo_machines` cuts: the largest board that fits the machine, filled with plates."""
    from pathkit.jobs.planning import orders_of

    return orders_of(demo_file(), demo_machines(), effort=effort, seed=seed)


def demo_job() -> Job:
    """Twelve plates of 90 × 50 mm on the smaller of the two boards: birch plywood, 440 × 240 × 9 mm."""
    from pathkit.jobs.planning import orders_of

    smaller = min(demo_machines(), key=lambda machine: machine.travel.x * machine.travel.y)
    return orders_of(demo_file(), [smaller])[0].job


def demo_passes(*, effort: float = 1.0, seed: int = 0) -> tuple[Pass, ...]:
    """What the demo does to its job: equal levels, two tabs on each plate, ramp entries, a short travel order."""
    from pathkit.passes.standard import standard_passes

    return standard_passes(effort=effort, seed=seed)


def demo_machines() -> tuple[Machine, ...]:
    """The routers of the makerspace: the profiles that come with this distribution, in order of name.

    Raises `UnknownName` if they are not installed.
    """
    from pathkit.registry import installed

    provided = [p.value for p in installed().provided("machine") if p.package.split()[0] == DISTRIBUTION]
    if not provided:
        raise UnknownName("the demo's machine profiles are not installed; install the distribution pathkit-cam")
    return tuple(provided)
