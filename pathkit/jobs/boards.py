"""Which of a job's boards a machine takes, and whether a larger one would fit if it were turned."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

from pathkit.errors import InputError, ModelError, PathkitError, Refused
from pathkit.findings import Finding
from pathkit.jobs.reading import JobFile
from pathkit.machine.limits import board_fits
from pathkit.machine.profile import Machine
from pathkit.model.job import Setup
from pathkit.model.stock import Stock, Zone


def board_for(
    file: JobFile, machine: Machine, setup: Setup, form: Any, *, turned: bool
) -> tuple[int, tuple[Finding, ...]]:
    """The index of the board to cut: the one that [[machine]] (``form``) names, or the largest that fits as it lies.

    The board is turned only on request, so that it and its grain lie as the job and the reader of the setup sheet
    expect. A warning names a larger board that would fit if turned, unless [[machine]] gives the turn, or the caller
    does (``turned``). Raises `Refused` if no board fits.
    """
    boards = file.form.board
    name = None if form is None else form.board
    wanted = [k for k, board in enumerate(boards) if name is None or board.name == name]
    faults = {k: board_fits(plain_stock(file, k), machine, setup) for k in wanted}
    fitting = [k for k in wanted if not faults[k]]
    turn = (setup.turn + 1) % 4
    quarter = replace(setup, turn=turn)
    others = [k for k in wanted if faults[k] and not board_fits(plain_stock(file, k), machine, quarter)]
    if not fitting:
        named = _largest(file, others) if others else min(wanted, key=lambda k: _area(file, k))
        line = file.document.line_of(("board", named))
        fix = f"it fits if it is turned: set turn = {turn} for this machine in [[machine]], or give --turn {turn}"
        fixed = (replace(f, fix=fix) if others else f for f in faults[named])
        raise Refused(f.at(file=file.source, line=line) for f in fixed)
    taken = _largest(file, fitting)
    larger = [k for k in others if _area(file, k) > _area(file, taken)]
    given = turned or (form is not None and "turn" in form.model_fields_set)
    if not larger or given:
        return taken, ()
    best = _largest(file, larger)
    what = (
        f"{machine.name!r} takes the board of {_size(file, taken)}; the larger one of {_size(file, best)} fits if it is"
        " turned by a quarter"
    )
    fix = f"to use it, set turn = {turn} for this machine in [[machine]], or give --turn {turn}"
    return taken, (file.finding(("board", best), what, fix, severity="warning"),)


@contextmanager
def at_board(file: JobFile, board: int) -> Iterator[None]:
    """Makes the findings of any error raised in the block point at the line of this board."""
    try:
        yield
    except PathkitError as error:
        line = file.document.line_of(("board", board))
        raise type(error)(f.at(file=file.source, line=line) for f in error.findings) from None


def plain_stock(file: JobFile, board: int, zones: tuple[Zone, ...] = ()) -> Stock:
    """A board of the job, with ``zones``. Raises `InputError`, at the key, for values that no board can have."""
    size = file.form.board[board]
    try:
        stock: Stock = file.form.stock.value(width=size.width, depth=size.depth, zones=zones)
    except ModelError as error:
        keys = [(f.path or "$").removeprefix("$.") for f in error.findings]
        found = [file.finding(("stock", key), f.what, f.fix) for key, f in zip(keys, error.findings, strict=True)]
        raise InputError(found) from None
    return stock


def _largest(file: JobFile, boards: list[int]) -> int:
    return max(boards, key=lambda k: (_area(file, k), -k))


def _area(file: JobFile, board: int) -> float:
    return file.form.board[board].width * file.form.board[board].depth


def _size(file: JobFile, board: int) -> str:
    return f"{file.form.board[board].width:g} × {file.form.board[board].depth:g} mm"
