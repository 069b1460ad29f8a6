"""A program becomes files: oriented to the controller's axes, made legal, rounded once, written."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pathkit.dialect.base import Dialect
from pathkit.dialect.emit import Text, emit
from pathkit.dialect.legalise import legalise
from pathkit.dialect.quantise import Grid, quantise
from pathkit.dialect.script import Script
from pathkit.dialect.words import Context
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.machine.orientation import to_controller
from pathkit.machine.profile import Machine, slug
from pathkit.model.job import Setup
from pathkit.model.stock import Stock
from pathkit.motion.program import Program
from pathkit.units import MM_PER_UNIT


@dataclass(frozen=True)
class File:
    """One file: a bare name and its bytes, ASCII."""

    name: str
    data: bytes


@dataclass(frozen=True, eq=False)
class Draft:
    """What a file is written from, kept so that it can be written again: `air_cut` does."""

    grid: Grid
    script: Script
    context: Context
    stock: Stock | None
    rows: int


@dataclass(frozen=True, eq=False)
class Posted:
    """A program in one machine's words.

    ``findings`` say what was rewritten, and what is *not proved*. ``line_of_row`` int32 (n,): the first line (from 1)
    of each row of the program, −1 for those that round to nothing; ``line_bytes`` int64 (n,): bytes sent for each
    row, with the lines of the events before it.
    """

    files: tuple[File, ...]
    machine: str
    dialect: str
    setup: Setup
    findings: tuple[Finding, ...]
    line_of_row: NDArray[np.int32]
    line_bytes: NDArray[np.int64]
    draft: Draft = field(repr=False)

    @property
    def text(self) -> str:
        """The text of the only file; `InputError` where there are several."""
        if len(self.files) != 1:
            raise InputError(f"{len(self.files)} files have no single text; use .files")
        return self.files[0].data.decode("ascii")


def post(program: Program, machine: Machine, setup: Setup | None = None, *, dialect: Dialect) -> Posted:
    """Write ``program`` (bench or controller frame) for ``machine``.

    Deterministic: same values, same bytes. Raises `InputError` for a program that contradicts itself, `CapabilityError`
    for what the controller cannot take, `ProfileError` for ``[output]`` keys that are not a profile's to change.
    """
    capabilities = dialect.capabilities.overridden(machine.output)
    oriented = to_controller(program, machine, setup)
    legal = legalise(oriented, machine, capabilities, dialect.words, setup)
    grid = quantise(legal, machine, capabilities)
    context = Context(
        title=program.title,
        capabilities=capabilities,
        words=dialect.words,
        offset=legal.script.offset,
        spindle=machine.spindle.control == "words",
    )
    draft = Draft(grid, legal.script, context, program.stock, len(program))
    name = slug(program.title) + _suffix(dialect, machine)
    return _written(draft, name, machine, dialect, setup or Setup(), legal.findings)


def air_cut(posted: Posted, machine: Machine, *, dialect: Dialect) -> Posted:
    """The twin for a dry run: the same blocks of motion, every Z raised clear of the thickest board, no spindle.

    Z rises by thickness + tolerance + underlay + approach height, so that even a cut down to the bed stays above the
    board. Left out: spindle words, the wait for the spindle, pauses that ask for it. Nothing is flattened. Raises
    `InputError` where the program did not say what board it cuts.
    """
    draft = posted.draft
    stock = draft.stock
    if posted.machine != machine.name:
        raise InputError(f"posted for {posted.machine!r}, not for {machine.name!r}")
    if stock is None:
        raise InputError("the program carries no stock, so how high the air is remains unknown; give Program(stock=…)")
    capabilities = draft.context.capabilities
    height = stock.thickness + stock.thickness_tolerance + stock.underlay + machine.heights.approach
    steps = int(np.ceil(height / MM_PER_UNIT[capabilities.units] * 10.0**capabilities.unit_decimals - 1e-6))
    grid = draft.grid.raised(-steps if machine.axes.z == "down" else steps)
    kept = np.array([k for k, spinning in enumerate(draft.script.spinning) if not spinning], dtype=np.int64)
    grid = Grid(grid.motion, grid.point, grid.arc, grid.feed, grid.row, grid.restate, grid.event_at[kept])
    context = Context(
        title=f"{draft.context.title} - air cut",
        capabilities=capabilities,
        words=draft.context.words,
        offset=draft.context.offset,
        spindle=False,
    )
    twin = Draft(grid, draft.script.without_spindle(), context, stock, draft.rows)
    suffix = _suffix(dialect, machine)
    name = posted.files[0].name.removesuffix(suffix) + "-air" + suffix
    return _written(twin, name, machine, dialect, posted.setup, ())


def _suffix(dialect: Dialect, machine: Machine) -> str:
    return str(machine.output.get("suffix", dialect.suffix))


def _written(
    draft: Draft, name: str, machine: Machine, dialect: Dialect, setup: Setup, findings: tuple[Finding, ...]
) -> Posted:
    text = emit(draft.grid, draft.script, dialect, draft.context)
    line_of_row, line_bytes = _by_row(draft.grid, text, draft.rows)
    files = (File(name, text.data),)
    return Posted(files, machine.name, dialect.name, setup, findings, line_of_row, line_bytes, draft)


def _by_row(grid: Grid, text: Text, rows: int) -> tuple[NDArray[np.int32], NDArray[np.int64]]:
    line_of_row = np.full(rows, -1, dtype=np.int32)
    # Backwards, so that the first of several lines of one row is the one that stays.
    line_of_row[grid.row[::-1]] = text.line_of[::-1]
    line_bytes = np.bincount(grid.row, weights=text.size, minlength=rows).astype(np.int64)
    line_of_row.setflags(write=False)
    line_bytes.setflags(write=False)
    return line_of_row, line_bytes
