"""A program becomes files: oriented to the controller's axes, made legal, rounded once, written."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from pathkit.dialect.base import Dialect
from pathkit.dialect.cycles import fold
from pathkit.dialect.emit import Text, emit, pieces
from pathkit.dialect.legalise import legalise
from pathkit.dialect.quantise import Grid, quantise
from pathkit.dialect.script import Script
from pathkit.dialect.words import Context
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities, FileNames
from pathkit.machine.orientation import to_controller
from pathkit.machine.profile import Machine, slug
from pathkit.model.job import Setup
from pathkit.model.stock import Stock
from pathkit.motion.by_tool import by_tool
from pathkit.motion.program import Program
from pathkit.tolerances import STEP_ROUNDING
from pathkit.units import MM_PER_UNIT


@dataclass(frozen=True)
class File:
    r"""One file: a bare name and its bytes, ASCII.

    >>> pk.File("tidy.nc", b"M2\n").name
    'tidy.nc'
    """

    name: str
    data: bytes

    def __repr__(self) -> str:
        return f"File({self.name!r}, {len(self.data)} bytes)"


@dataclass(frozen=True, eq=False)
class Draft:
    """The values that a file is written from, kept so that `air_cut` can write it again.

    ``rows`` is how many of its rows are the program's; a file for a later bit begins with one more.
    """

    grid: Grid
    script: Script
    context: Context
    stock: Stock | None
    rows: int


@dataclass(frozen=True, eq=False)
class Posted:
    """A program in one machine's words.

    ``files`` is one file, or one for each bit in order. ``findings`` say what was rewritten, and what is *not proved*.
    ``line_of_row`` int32 (n,): the first line (from 1) of each row of the program in its file, −1 for rows that round
    to nothing; ``line_bytes`` int64 (n,): bytes sent for each row, including the lines of the events before it.

    >>> posted = pk.post(pk.lower(job, machine), machine)
    >>> [file.name for file in posted.files], posted.dialect
    (['tidy.nc'], 'grbl')
    """

    files: tuple[File, ...]
    machine: str
    dialect: str
    setup: Setup
    findings: tuple[Finding, ...]
    line_of_row: NDArray[np.int32]
    line_bytes: NDArray[np.int64]
    drafts: tuple[Draft, ...] = field(repr=False)

    def __repr__(self) -> str:
        files = ", ".join(map(repr, self.files[:3])) + (", …" if len(self.files) > 3 else "")
        return f"Posted({files} for {self.machine!r} in {self.dialect!r}, findings: {len(self.findings)})"

    @property
    def text(self) -> str:
        """The text of the only file; `InputError` if there are several."""
        if len(self.files) != 1:
            raise InputError(f"{len(self.files)} files have no single text; use .files")
        return self.files[0].data.decode("ascii")

    @property
    def stock(self) -> Stock | None:
        """The board that the program cuts."""
        return self.drafts[0].stock

    @property
    def each_file(self) -> tuple[Posted, ...]:
        """Each file as its own `Posted`."""
        if len(self.files) == 1:
            return (self,)
        edges = np.concatenate([[0], np.cumsum([draft.rows for draft in self.drafts])])
        return tuple(
            replace(
                self, files=(file,), drafts=(draft,), line_of_row=self.line_of_row[a:b], line_bytes=self.line_bytes[a:b]
            )
            for file, draft, a, b in zip(self.files, self.drafts, edges[:-1], edges[1:], strict=True)
        )


def post(
    program: Program, machine: Machine, setup: Setup | None = None, *, dialect: Dialect, mark: str = "",
    about: Sequence[str] = (),
) -> Posted:  # fmt: skip
    """Write ``program`` (bench or controller frame) for ``machine``. ``mark``, and below it the lines of ``about``, are
    comments at each file's head.

    Deterministic: same values, same bytes. Raises `InputError` for a program that contradicts itself, `CapabilityError`
    for what the controller cannot take, `ProfileError` for ``[output]`` keys that a profile cannot change.
    """
    drafts, names, findings = _drafts(program, machine, setup, dialect, mark, tuple(about))
    return _written(drafts, names, machine, dialect, setup or Setup(), findings)


def stream(
    program: Program, machine: Machine, setup: Setup | None = None, *, dialect: Dialect, mark: str = "",
    about: Sequence[str] = (),
) -> Iterator[tuple[str, bytes]]:  # fmt: skip
    """The files of `post` piece by piece: the file's name and the next bytes of it, some hundred thousand at a time.

    For programs whose text need not be in the memory as a whole: append each piece to the file of that name. One file
    is finished before the next begins. Raises as `post` does; a block that is too long only where it is reached, so
    that what has been written until then must be thrown away.
    """
    drafts, names, _ = _drafts(program, machine, setup, dialect, mark, tuple(about))
    for name, draft in zip(names, drafts, strict=True):
        grid = draft.grid
        line_of, size = np.zeros(len(grid), np.int32), np.zeros(len(grid), np.int64)
        for piece in pieces(grid, draft.script, dialect, draft.context, line_of, size):
            yield name, bytes(piece)


def _drafts(
    program: Program, machine: Machine, setup: Setup | None, dialect: Dialect, mark: str, about: tuple[str, ...]
) -> tuple[tuple[Draft, ...], tuple[str, ...], tuple[Finding, ...]]:
    """What each file is written from, its name, and what was found on the way."""
    capabilities = dialect.capabilities.on(machine)
    oriented = to_controller(program, machine, setup)
    sections: tuple[Program, ...] = (oriented,)
    if capabilities.tool_change == "files":
        sections = by_tool(oriented, machine.spindle.spin_up)
    made = [
        _drafted(section, machine, capabilities, dialect, setup, k, len(sections))
        for k, section in enumerate(sections, 1)
    ]
    made = [(replace(draft, context=replace(draft.context, mark=mark, about=about)), notes) for draft, notes in made]
    findings = [finding for _, notes in made for finding in notes]
    if len(sections) > 1:
        what = f"{len(sections)} files, one for each bit: run them in their order, and set Z again after each change"
        findings.insert(0, Finding(check="legalise", what=what, severity="warning"))
    drafts = tuple(draft for draft, _ in made)
    names = _names(program.title, len(sections), machine, dialect, capabilities)
    return drafts, names, tuple(dict.fromkeys(findings))


def _drafted(
    program: Program, machine: Machine, capabilities: Capabilities, dialect: Dialect, setup: Setup | None, number: int,
    of: int,
) -> tuple[Draft, tuple[Finding, ...]]:  # fmt: skip
    legal = legalise(program, machine, capabilities, dialect.words, setup)
    script = legal.script
    grid = quantise(legal, machine, capabilities).forgetting(script.changes)
    if machine.axes.z == "up":
        grid, script = fold(grid, script, program.cycles, capabilities)
    context = Context(
        title=program.title if of == 1 else f"{program.title} - file {number} of {of}",
        capabilities=capabilities,
        words=dialect.words,
        offset=legal.script.offset,
        spindle=machine.spindle.control == "words",
    )
    return Draft(grid, script, context, program.stock, len(program) - (number > 1)), legal.findings


def air_cut(posted: Posted, machine: Machine, *, dialect: Dialect) -> Posted:
    """The twin for a dry run: the same blocks of motion, every Z raised clear of the thickest board, no spindle.

    Z rises by thickness and underlay, with their tolerances, and approach height, so that even a cut down to the bed
    stays above the board. Left out: spindle words, the wait for the spindle, pauses that ask for it. Nothing else
    changes. Raises `InputError` if the program carries no board.
    """
    stock = posted.stock
    if posted.machine != machine.name:
        raise InputError(f"posted for {posted.machine!r}, not for {machine.name!r}")
    if stock is None:
        raise InputError("the program carries no stock, so the height of the air cut is unknown; give Program(stock=…)")
    capabilities = posted.drafts[0].context.capabilities
    height = stock.thickness + stock.thickness_tolerance + stock.underlay + stock.underlay_tolerance
    height += machine.heights.approach
    steps = int(np.ceil(height / MM_PER_UNIT[capabilities.units] * 10.0**capabilities.unit_decimals - STEP_ROUNDING))
    steps = -steps if machine.axes.z == "down" else steps
    drafts = tuple(_raised(draft, steps) for draft in posted.drafts)
    names = tuple(_air_name(file.name, capabilities.file_names) for file in posted.files)
    return _written(drafts, names, machine, dialect, posted.setup, ())


def _raised(draft: Draft, steps: int) -> Draft:
    kept = np.array([k for k, spinning in enumerate(draft.script.spinning) if not spinning], dtype=np.int64)
    grid = draft.grid.raised(steps)
    grid = replace(grid, event_at=grid.event_at[kept], power=None)
    context = replace(draft.context, title=f"{draft.context.title} - air cut", spindle=False)
    return Draft(grid, draft.script.without_spindle(), context, draft.stock, draft.rows)


def _names(title: str, count: int, machine: Machine, dialect: Dialect, capabilities: Capabilities) -> tuple[str, ...]:
    """The file's name is made from the title; several files are numbered."""
    suffix = str(machine.output.get("suffix", dialect.suffix))
    numbers = [""] if count == 1 else [f"-{k}" for k in range(1, count + 1)]
    if capabilities.file_names == "long":
        return tuple(f"{slug(title)}{number}{suffix}" for number in numbers)
    # What every controller's card reader can show: eight capitals, digits and hyphens, a dot and three more.
    return tuple(f"{slug(title)[: 8 - len(n)].rstrip('-')}{n}{suffix[:4]}".upper() for n in numbers)


def _air_name(name: str, kind: FileNames) -> str:
    stem, _, suffix = name.rpartition(".")
    if kind == "long":
        return f"{stem}-air.{suffix}"
    number = re.search(r"-\d+$", stem)
    tail = (number[0] if number else "") + "-AIR"
    short = f"{stem[: 8 - len(tail)].rstrip('-')}{tail}.{suffix}"
    return short if short != name else f"{stem[:3]}-AIR2.{suffix}"


def _written(
    drafts: tuple[Draft, ...], names: tuple[str, ...], machine: Machine, dialect: Dialect, setup: Setup,
    findings: tuple[Finding, ...],
) -> Posted:  # fmt: skip
    texts = [emit(draft.grid, draft.script, dialect, draft.context) for draft in drafts]
    pairs = enumerate(zip(drafts, texts, strict=True))
    rows = [_by_row(draft.grid, text, draft.rows, int(number > 0)) for number, (draft, text) in pairs]
    files = tuple(File(name, text.data) for name, text in zip(names, texts, strict=True))
    lines, sizes = (np.concatenate(columns) if len(columns) > 1 else columns[0] for columns in zip(*rows, strict=True))
    lines.setflags(write=False)
    sizes.setflags(write=False)
    return Posted(files, machine.name, dialect.name, setup, findings, lines, sizes, drafts)


def _by_row(grid: Grid, text: Text, rows: int, own: int) -> tuple[NDArray[np.int32], NDArray[np.int64]]:
    """Figures for each of the program's ``rows``; bytes of the file's ``own`` rows before them count to the first."""
    if not own and not grid.folded and len(grid) == rows and np.array_equal(grid.row, np.arange(rows)):
        return text.line_of, text.size
    line_of_row = np.full(rows + own, -1, dtype=np.int32)
    # Backwards, so that the first of several lines of one row is kept.
    line_of_row[grid.row[::-1]] = text.line_of[::-1]
    for row, first, last in grid.folded:
        line_of_row[first : last + 1] = text.line_of[row]
    line_bytes = np.bincount(grid.row, weights=text.size, minlength=rows + own).astype(np.int64)
    line_bytes[own : own + 1] += line_bytes[:own].sum()
    return line_of_row[own:], line_bytes[own:]
