"""Is the job the one that the job file asks for? From the file's own tables straight to the finished boards.

The tables are read by `tomllib`; lengths, depths, bits, shapes and places are worked out here a second time, by the
audit's own arithmetic and its own list of defaults. Neither the forms that read a job file, nor the operations, passes
and constructors that make a job of it are imported: a misreading there must show as a disagreement here.

What is held against the tables is a job as it was written (its JSON, decoded), so that `audit` judges what is handed
over and nothing that stood in memory.
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
    """What was asked: the job file's bytes, those of the files it names by the names it calls them, and what was said
    besides: bits to build for (as on the command line), whether tabs are wanted, and operations that are left out.

    ``machine`` is the profile as plain values, with the keys of its file; None where it is not known. ``turn`` quarters
    counter-clockwise is how the board lies on it.
    """

    job: bytes
    beside: Mapping[str, bytes]
    bits: tuple[str, ...] = ()
    tabs: bool = True
    machine: Mapping[str, Any] | None = None
    turn: int = 0
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True)
class Made:
    """What came of it for one board: the written job (decoded JSON), how often it is cut, and (copies, times) of every
    board of the machine, of which this is one; where parts are laid out one by one, the copies of each part follow.
    ``last``: it is the last board, with what is left."""

    job: Mapping[str, Any]
    times: int = 1
    boards: tuple[tuple[int, ...], ...] = ((1, 1),)
    last: bool = False


def audit(asked: Asked, made: Made) -> tuple[CheckResult, ...]:
    """A verdict for each of `CHECKS`: passed, failed with what, where (key path in the job file) and what to do, or not
    run with the reason. A job file or a job that cannot be read at all fails."""
    from pathkit.jobs.audit.judging import judge

    return judge(asked, made)
