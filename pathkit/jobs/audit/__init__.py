"""Is the job the one that the job file asks for? The finished boards are compared with the file's own tables.

`tomllib` reads the tables. Lengths, depths, bits, shapes and places are worked out a second time, by the audit's own
arithmetic and from its own list of defaults. The audit imports neither the forms that read a job file, nor the
operations, passes and constructors that make a job from it: a misreading there must show as a disagreement here.

The job is taken as it was written (its JSON, decoded), so that `audit` judges what is handed over, not what was in
memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from pathkit.jobs.audit.report import CHECKS, not_run

if TYPE_CHECKING:
    from pathkit.proof.result import CheckResult

__all__ = ["CHECKS", "Asked", "Made", "audit", "not_run"]


@dataclass(frozen=True)
class Asked:
    """What was asked for. ``job`` is the job file's bytes; ``beside`` the bytes of the files that it names, by name.
    ``bits`` are the bits to build for (as on the command line), ``tabs`` says whether tabs are wanted, and ``left_out``
    names the operations that are left out.

    ``machine`` is the profile as plain values, with the keys of its file; None if it is not known. The board lies on
    the machine turned by ``turn`` quarters counter-clockwise. ``board`` is the index of the board that was asked for,
    None where the machine takes one by itself.
    """

    job: bytes
    beside: Mapping[str, bytes]
    bits: tuple[str, ...] = ()
    tabs: bool = True
    machine: Mapping[str, Any] | None = None
    turn: int = 0
    left_out: tuple[str, ...] = ()
    board: int | None = None


@dataclass(frozen=True)
class Made:
    """What was made for one board: the written ``job`` (decoded JSON), and how many ``times`` it is cut. ``boards`` has
    (copies, times) for every board of the machine, this one included; if parts are laid out one by one, the copies of
    each part follow. ``last``: this is the last board, with the copies that remain."""

    job: Mapping[str, Any]
    times: int = 1
    boards: tuple[tuple[int, ...], ...] = ((1, 1),)
    last: bool = False


def audit(asked: Asked, made: Made) -> tuple[CheckResult, ...]:
    """A verdict for each of `CHECKS`: passed, failed with what, where (key path in the job file) and what to do, or not
    run with the reason. A job file or a job that cannot be read at all fails."""
    from pathkit.jobs.audit.judging import judge

    return judge(asked, made)
