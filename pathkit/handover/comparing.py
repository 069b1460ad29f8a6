"""Two cut files compared, each with what is known about it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from pathkit.errors import InputError, Refused
from pathkit.handover.telling import Progress
from pathkit.model.job import Job, Setup

if TYPE_CHECKING:
    from pathkit.machine.profile import Machine
    from pathkit.proof.evidence import Evidence
    from pathkit.proof.result import Proof


@dataclass(frozen=True)
class Known:
    """What is known of a cut file from elsewhere; None for what its certificate must say."""

    machine: Machine | None = None
    job: Job | None = None
    setup: Setup | None = None


def compare(
    first: str | Path, second: str | Path, known_first: Known, known_second: Known, *, progress: Progress | None = None
) -> Proof:  # fmt: skip
    """Prove or refute that two files cut the same board; see `pathkit.proof.equivalence`.

    Machine, set-up and job are those given, else from the certificate beside each file. Raises `InputError` if one of
    them is missing. ``progress(done, total, message)`` is called before each step.
    """
    from pathkit.proof.equivalence import same_board

    tell = progress or (lambda *_: None)
    tell(0, 3, f"reading {Path(first).name}")
    one = _evidence(Path(first), known_first)
    tell(1, 3, f"reading {Path(second).name}")
    other = _evidence(Path(second), known_second)
    tell(2, 3, "comparing what they leave")
    return same_board(one, other)


def _evidence(path: Path, known: Known) -> Evidence:
    from pathkit import registry
    from pathkit.files import read_gcode
    from pathkit.handover.recheck import certified
    from pathkit.lowering.lower import lower
    from pathkit.proof.evidence import gather

    text = read_gcode(path)
    machine, job, setup = known.machine, known.job, known.setup
    if machine is None or job is None:
        beside = certified(path)
        if beside is None:
            missing = "--machine" if machine is None else "--job"
            raise InputError(f"no certificate beside {str(path)!r}; say what it is with {missing}")
        certificate, certified_job = beside
        machine, job, setup = machine or certificate.machine, job or certified_job, setup or certificate.setup
    if job is None:
        raise InputError(f"the job of {str(path)!r} is not beside it; give --job, for the board and its bits")
    try:
        program = lower(job, machine, setup)
    except Refused:
        # The job only tells which bit makes which cut, if the file has no word for its bits.
        program = None
    return gather(text, program, machine, registry.capabilities_of(machine), job=job, setup=setup, file=str(path))
