"""A job as it is cut, as a program: worked out once for all machines that give it alike.

Passes and lowering work in the bench frame and know no dialect. So machines that differ only in words, axis directions
or datum corner often cut the very same program. `key_of` says when: it holds everything of machine and setup that the
passes and `pathkit.lowering` read. Whatever is not known to be without effect is part of it, and so is a new field.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from pathkit.errors import PathkitError, Refused
from pathkit.findings import errors_of
from pathkit.machine.orientation import orientation
from pathkit.machine.profile import Machine
from pathkit.once import Once
from pathkit.proof.judged import Judged

if TYPE_CHECKING:
    from pathkit.jobs.order import Order
    from pathkit.model.job import Job
    from pathkit.motion.program import Program
    from pathkit.passes.pipeline import Outcome

WITHOUT_EFFECT: Final = frozenset(
    {"name", "dialect", "output", "rehearsed", "left_handed", "axes", "origin", "park", "change", "motion"}
)
"""Fields of `Machine` that are not part of the key as they are. The first five are not read before posting. The others
are, but only as places and rates in the bench frame (`_bench`)."""

_MOST: Final = 8
"""How many programs a process keeps: a few boards, each from a few corners."""

Told = Callable[[int], None]


def quiet(step: int) -> None:
    """Tell nobody about a step of a build."""


@dataclass(frozen=True)
class Lowered:
    """An order's job after its passes, as JSON too, and its programs after them and before (None if the job could not
    be lowered before). The measures in ``outcome`` belong to the machine that it was made for: read none of them."""

    outcome: Outcome
    text: bytes
    program: Program
    before: Program | None

    @property
    def job(self) -> Job:
        return self.outcome.job


def lowered(order: Order, tell: Told = quiet) -> Lowered:
    """Run the passes of ``order`` and lower its job. ``tell`` is called with 0 before the passes and 1 before lowering.

    Raises `Refused` for a job that cannot be cut safely.
    """
    from pathkit.lowering.lower import lower
    from pathkit.model.codec import dumps
    from pathkit.passes.pipeline import Pipeline

    tell(0)
    outcome = Pipeline(order.passes).run(order.job, order.machine, setup=order.setup, check=True)
    if broken := errors_of(outcome.findings):
        raise Refused(broken)
    tell(1)
    program = lower(outcome.job, order.machine, order.setup)
    before: Program | None = program
    if outcome.job is not order.job:
        try:
            before = lower(order.job, order.machine, order.setup)
        except PathkitError:
            before = None  # no legal entry has been chosen yet, say
    return Lowered(outcome, dumps(outcome.job).encode("utf-8"), program, before)


def key_of(order: Order) -> Hashable:
    """What `lowered` depends on besides the job: orders of one job with equal keys have equal programs.

    Machine and setup are part of it whole if a pass is not one of pathkit's own, or plans by the run time (a steady
    load does).
    """
    machine, setup = order.machine, order.setup
    whole = _plans_by_run_time(order) or any(not _is_own(step) for step in order.passes)
    if whole:
        return repr((machine, setup, order.passes))
    rest = tuple((f.name, repr(getattr(machine, f.name))) for f in fields(Machine) if f.name not in WITHOUT_EFFECT)
    return rest, _bench(order), setup.offset, repr(order.passes)


def _bench(order: Order) -> Hashable:
    """Where the bench has the places that the machine names, and what its axes can do, in order of the bench's x and y.

    The ordering pass starts from the work zero if there is no park, so that place always counts.
    """
    machine, setup = order.machine, order.setup
    way = orientation(machine, order.job.stock, setup)

    def place(at: tuple[float, float] | None) -> tuple[float, ...] | None:
        return None if at is None else tuple(way.points_back(np.array([[*at, 0.0]]))[0].tolist())

    across = np.abs(way.linear).argmax(axis=0).tolist()
    motion = [(f.name, getattr(machine.motion, f.name)) for f in fields(machine.motion)]
    turned = tuple((n, tuple(v[k] for k in across) if isinstance(v, (tuple, list)) else v) for n, v in motion)
    change = None if machine.change is None else (place((machine.change.x, machine.change.y)), machine.change.height)
    return place((0.0, 0.0)), place(machine.park), change, repr(turned)


def _plans_by_run_time(order: Order) -> bool:
    from pathkit.passes.steady_load import SteadyLoad

    return any(isinstance(step, SteadyLoad) for step in order.passes) or any(
        path.cutting.steady for path in order.job.toolpaths
    )


def _is_own(step: Any) -> bool:
    """Whether this is one of the passes whose reading of machine and setup is known: exactly, not a subclass."""
    from pathkit.passes import standard

    return type(step) in {type(each) for each in standard.standard_passes()}


class Shared:
    """Programs that this process has made, so that the next machine of the same kind need not make them again, and what
    was found right about the boards that they cut (``judged``).

    A job that is refused is tried again by each machine, since the refusal names the machine.
    """

    def __init__(self) -> None:
        self.judged = Judged()
        self._made = Once(_MOST)

    def __call__(self, order: Order, tell: Told = quiet) -> Lowered:
        """`lowered`, at most once for each job and key."""
        return self._made((order.job.digest, key_of(order)), lambda: lowered(order, tell))
