"""What a command line asks for: orders from a job file (TOML) or from a job given as toolpaths (JSON)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from pathkit.errors import InputError
from pathkit.files import read_bytes
from pathkit.jobs.order import Order
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.texts.language import ENGLISH, Language

if TYPE_CHECKING:
    from pathkit.jobs.reading import JobFile


@dataclass(frozen=True)
class Wishes:
    """What was asked for besides the job file; None leaves it to the file. ``bits`` are the bits to build for,
    ``without`` the operations to leave out, ``board`` is the number of the board to take; pages are in ``language``."""

    setup: Setup | None = None
    bits: tuple[str, ...] = ()
    tabs: bool = True
    effort: float | None = None
    seed: int | None = None
    without: tuple[str, ...] = ()
    board: int | None = None
    language: Language | None = None


def orders_for(path: Path, machines: Sequence[Machine], wishes: Wishes) -> tuple[Order, ...]:
    """The orders for ``machines`` from the job at ``path``. Raises `InputError` if it is not a job in either form."""
    data = read_bytes(path)
    if is_json(data):
        return _of_toolpaths(Job.from_json(data, str(path)), machines, wishes)
    return orders_of_file(job_file(path), machines, wishes)


def orders_of_file(file: JobFile, machines: Sequence[Machine], wishes: Wishes) -> tuple[Order, ...]:
    """The orders from a job file for ``machines``, or for those that it names."""
    from pathkit.jobs.planning import orders_of

    orders = orders_of(
        file, machines, bits=wishes.bits, without=wishes.without, setups=wishes.setup, tabs=wishes.tabs,
        effort=wishes.effort, seed=wishes.seed, board=wishes.board,
    )  # fmt: skip
    return orders if wishes.language is None else tuple(replace(each, language=wishes.language) for each in orders)


def job_file(path: Path) -> JobFile:
    """The job file at ``path``. Raises `InputError` with everything that is wrong with it."""
    from pathkit.jobs.reading import read_job_file

    return read_job_file(path)


def is_json(data: bytes) -> bool:
    """Whether a job is in JSON: no TOML begins with a brace, and a job in JSON always does."""
    return data.lstrip(b"\xef\xbb\xbf \t\r\n")[:1] == b"{"


def _of_toolpaths(job: Job, machines: Sequence[Machine], wishes: Wishes) -> tuple[Order, ...]:
    from pathkit.passes.standard import standard_passes

    if wishes.bits:
        what = "this job is made of toolpaths, which are fixed for their bits; --bit needs a job file in TOML"
        raise InputError(what)
    if wishes.without:
        raise InputError("this job is made of toolpaths, not of operations; --without needs a job file in TOML")
    if not machines:
        raise InputError("no machine to build for: name one with --machine")
    passes = standard_passes(
        tabs=wishes.tabs, effort=1 if wishes.effort is None else wishes.effort, seed=wishes.seed or 0
    )  # fmt: skip
    language = wishes.language or ENGLISH
    return tuple(Order(machine, wishes.setup or Setup(), job, passes, language=language) for machine in machines)
