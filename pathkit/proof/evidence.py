"""What a check may look at: the file's bytes, what they mean, and what they ought to mean."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.profile import PULL_OFF, Machine
from pathkit.model.job import Job, Setup
from pathkit.model.stock import Stock
from pathkit.motion.program import RAPID, Lift, Program
from pathkit.proof.ends import Ends, ends_of
from pathkit.proof.frame import BenchFrame, bench_frame
from pathkit.proof.judged import Judged, key_of
from pathkit.proof.material.bits import bits_by_events
from pathkit.proof.path.compare import Comparison, compare, mm_per_count
from pathkit.proof.path.drill_cycles import as_drilled
from pathkit.proof.path.events import expected, signals_of
from pathkit.proof.result import Verdict

if TYPE_CHECKING:
    from pathkit.posting import Posted
    from pathkit.proof.intent.profile import Profiles
    from pathkit.proof.intent.sections import Sections
    from pathkit.proof.material.cross_sections import Cuts
    from pathkit.proof.material.heightmap import Removal
    from pathkit.readback.foreign import Read
    from pathkit.readback.interpret import Reading

Array = NDArray[np.float64]

Scope = Literal["file", "whole"]


@dataclass(frozen=True)
class Evidence:
    """All that a check may look at. ``program`` (bench or controller frame), ``job`` and ``stock`` may be missing.

    ``needs`` of a check are drawn from `available`: ``text`` is always there, ``program``, ``board`` (the stock is
    known, so that the controller's numbers can be placed on the bench), ``job`` and ``parts`` (the job draws some).

    >>> def fastest(evidence: pk.Evidence) -> pk.Verdict:
    ...     return pk.Verdict(figures={"fastest": float(evidence.read.feed.max())})
    >>> fastest.__annotations__["return"] is pk.Verdict
    True
    """

    text: bytes
    reading: Reading
    machine: Machine
    capabilities: Capabilities
    setup: Setup
    program: Program | None = None
    job: Job | None = None
    stock: Stock | None = None
    file: str | None = None
    judged: Judged | None = field(default=None, repr=False, compare=False)

    @property
    def available(self) -> frozenset[str]:
        found = {"text"}
        for name, value in (("program", self.program), ("board", self.stock), ("job", self.job)):
            if value is not None:
                found.add(name)
        if self.job is not None and self.job.parts:
            found.add("parts")
        return frozenset(found)

    @property
    def read(self) -> Program:
        """What the file does, in the controller's numbers."""
        return self.reading.program

    @property
    def board(self) -> Stock:
        """The stock; only for checks that need ``board``."""
        assert self.stock is not None, "a check that looks at the board must need it"
        return self.stock

    @property
    def ends(self) -> Ends:
        """Between which heights top, underside and bed may lie; only for checks that need ``board``."""
        return ends_of(self.board)

    @cached_property
    def frame(self) -> BenchFrame:
        return bench_frame(self.machine, self.board, self.setup)

    @cached_property
    def bench(self) -> Program:
        """What the file does, on the bench; only for checks that need ``board``."""
        return self.frame.program_to_bench(self.read, self.stock)

    @property
    def count(self) -> float:
        """The smallest step that a dimension of the file can have, mm."""
        return mm_per_count(self.capabilities)

    @property
    def manual(self) -> bool:
        """The spindle is switched by hand."""
        return self.machine.spindle.control == "manual"

    @cached_property
    def comparison(self) -> Comparison:
        """Program and reading held against each other; only for checks that need ``program``."""
        program = self.program
        assert program is not None, "a check that compares must need the program"
        if program.frame == "bench":
            program = self.frame.program_to_controller(program)
        offset = self.setup.offset
        program, shift = _begun_by_z(program, self.capabilities.sets_zero)
        parts = np.arange(len(program))
        if not self.capabilities.slanting_rapids:
            program, parts = _without_slants(program, self.machine.axes.z == "up")
        if self.capabilities.machine_coordinates and (top := top_of(self.machine)) is not None:
            program = _begun_at_the_top(program, top)
        program, source = as_drilled(program, self.read, self.capabilities)
        said = expected(program, self.capabilities, self.machine.spindle, offset)
        tolerance = self.machine.motion.arc_tolerance
        found = signals_of(self.read, offset=offset)
        result = compare(program, self.read, said, found, self.capabilities, arc_tolerance=tolerance)
        result.owner[result.owner >= 0] = parts[source[result.owner[result.owner >= 0]]]
        result.owner[result.owner > 0] -= shift
        return result

    @cached_property
    def toolpath(self) -> NDArray[np.int32]:
        """(m,) for each read row the program's toolpath, −1 where it is not known."""
        found = np.full(len(self.read), -1, np.int32)
        if self.program is not None:
            owner = self.comparison.owner
            found[owner >= 0] = self.program.toolpath[owner[owner >= 0]]
        return found

    @cached_property
    def bits(self) -> NDArray[np.int32]:
        """(m,) index in ``job.tools`` of the bit at each read row, −1 where it is not known (as without a job).

        The file's own tool changes name it. Where the controller has no word for them, so that the file only pauses,
        it is the bit of the program's moves that the rows agree with.
        """
        found = np.full(len(self.read), -1, np.int32)
        if self.job is None:
            return found
        tools = self.job.tools
        found = bits_by_events(self.read, tools)
        if self.program is None or not (found < 0).any():
            return found
        mine = np.concatenate([bits_by_events(self.program, tools), np.full(1, -1, np.int32)])
        owner = self.comparison.owner
        # A row without a partner is cut by the bit that cut the row before.
        known = np.maximum.accumulate(np.where(owner >= 0, np.arange(len(owner)), -1))
        unsaid = (found < 0) & (known >= 0)
        found[unsaid] = mine[owner[known[unsaid]]]
        return found

    @cached_property
    def radius(self) -> Array:
        """(m,) radius in mm of the bit at each read row, NaN where it is not known."""
        tools = self.job.tools if self.job is not None else ()
        return np.array([*(tool.radius for tool in tools), np.nan])[self.bits]

    @cached_property
    def cuts(self) -> Cuts:
        """What the file's cuts sweep, height by height; only for checks that need ``board`` and ``job``."""
        from pathkit.proof.material.cross_sections import Cuts

        tools = self.job.tools if self.job is not None else ()
        return Cuts(self.bench, tools, self.bits, self.board.highest_top)

    @cached_property
    def sections(self) -> Sections:
        """Which rows of the file cut which toolpath, by place; only for checks that need ``board`` and ``job``."""
        from pathkit.proof.intent.sections import sections_of

        assert self.job is not None
        over = self.board.highest_top + self.machine.heights.travel - self.count
        return sections_of(self.bench, self.job, over)

    @cached_property
    def profiles(self) -> Profiles:
        """How low the file cuts along each toolpath; only for checks that need ``board`` and ``job``."""
        from pathkit.proof.intent.profile import Profiles

        return Profiles(self.bench, self.sections)

    @cached_property
    def removal(self) -> Removal:
        """What the file leaves of the board; only for checks that need ``board`` and ``job``."""
        from pathkit.proof.material.heightmap import grid_for, remove

        def removed() -> Removal:
            bench = self.bench.replace(toolpath=self.toolpath, names=self.names)
            return remove(bench, self.job, stock=self.board, bits=self.bits, grid=grid_for(self.board))

        if self.judged is None:
            return removed()
        return self.judged.once("removal", self, removed, keep=lambda _: True)

    @cached_property
    def alike(self) -> bytes:
        """Equal for files that make the same moves on the bench; see `pathkit.proof.judged`."""
        return key_of(self)

    @property
    def names(self) -> tuple[str, ...]:
        """The names that `toolpath` refers to; none without a program."""
        return self.program.names if self.program is not None else ()

    def line(self, row: int | None) -> int | None:
        """The line of the file that a read row comes from."""
        if row is None:
            return None
        number = int(self.read.line[row])
        return number if number > 0 else None

    def placed(self, finding: Finding) -> Finding:
        """The finding with the name of its file."""
        return finding.at(file=self.file)

    def toolpath_name(self, row: int) -> str | None:
        number = int(self.toolpath[row])
        return self.names[number] if number >= 0 else None


@dataclass(frozen=True)
class ProofCheck:
    """A named judgement; see `pathkit.findings.Check`. ``limits`` says in one sentence what it does not prove.

    ``scope``: where a job has a file for each bit, whether every *file* is judged by itself, or the *whole* of them.
    ``kept``: a verdict without findings holds for every file that makes the same moves (`pathkit.proof.judged`).
    """

    name: str
    needs: frozenset[str]
    limits: str
    judge: Callable[[Evidence], Verdict]
    scope: Scope = "file"
    kept: bool = False

    def __call__(self, evidence: Evidence) -> Verdict:
        if not self.kept or evidence.judged is None:
            return self.judge(evidence)
        return evidence.judged.once(self.name, evidence, lambda: self.judge(evidence), keep=_is_clean)


def _is_clean(verdict: Verdict) -> bool:
    """Whether a verdict says nothing about a file: its findings would name the lines of another one."""
    return not any(True for _ in verdict)


def check(
    name: str, *needs: str, limits: str, scope: Scope = "file", kept: bool = False
) -> Callable[[Callable[[Evidence], Verdict]], ProofCheck]:
    """Make a function the check of this name."""
    return lambda judge: ProofCheck(name, frozenset(needs), limits, judge, scope, kept)


def gather(  # noqa: PLR0913 - each is asked for by its name
    posted: Posted | str | bytes,
    program: Program | None,
    machine: Machine,
    capabilities: Capabilities,
    *,
    job: Job | None = None,
    setup: Setup | None = None,
    file: str | None = None,
    reader: Read | None = None,
    judged: Judged | None = None,
) -> Evidence:
    """Read the file back and put everything side by side. Raises `InputError` for what is not one file.

    ``reader`` reads what is not made of words. ``judged`` holds what was found about other files.
    """
    from pathkit.readback.interpret import interpret

    text, file, setup = one_file(posted, file, setup)
    stock = program.stock if program is not None else None
    if stock is None and job is not None:
        stock = job.stock
    if program is not None and program.frame == "bench" and stock is None:
        raise InputError("the program carries no stock, so its datum corner is unknown; give Program(stock=…) or a job")
    reading = (reader or interpret)(text, capabilities, file=file)
    return Evidence(text, reading, machine, capabilities, setup, program, job, stock, file, judged)


def one_file(posted: Posted | str | bytes, file: str | None, setup: Setup | None) -> tuple[bytes, str | None, Setup]:
    """The text of what must be one file, its name, and how the board lies. Raises `InputError` for several files."""
    if isinstance(posted, str):
        return posted.encode("utf-8", "surrogateescape"), file, setup or Setup()
    if isinstance(posted, bytes):
        return posted, file, setup or Setup()
    if len(posted.files) != 1:
        names = ", ".join(f.name for f in posted.files)
        raise InputError(f"there are {len(posted.files)} files ({names}); prove them one by one, each with its program")
    only = posted.files[0]
    return only.data, file or only.name, setup or posted.setup or Setup()


def top_of(machine: Machine) -> float | None:
    """Z in machine coordinates of a bit that stands as high as a homed machine lifts it; None if it is not homed."""
    if not machine.homed or machine.travel.low is None:
        return None
    ends = machine.travel.low[2], machine.travel.low[2] + machine.travel.z
    return ends[1] - PULL_OFF if machine.axes.z == "up" else ends[0] + PULL_OFF


def _begun_at_the_top(program: Program, top: float) -> Program:
    """The program as a file says it that first goes up in machine coordinates, then to the first place, then down."""
    places = [row for row in range(len(program)) if np.isfinite(program.end[row, :2]).all()]
    if not places:
        return program
    end = np.array(program.end)
    for row in range(places[0]):
        end[row, :2] = program.end[places[0], :2]
    end[0, 2] = np.nan
    events = ((0, Lift(top)), *zip(program.event_at.tolist(), program.event, strict=True))
    at = np.array([row for row, _ in events], dtype=np.int64)
    return program.replace(end=end, event=tuple(event for _, event in events), event_at=at)


def _without_slants(program: Program, z_up: bool) -> tuple[Program, NDArray[np.int64]]:
    """The program as a file says it whose rapids move either Z or X and Y, and each row's old number."""
    count = len(program)
    here, there = program.origins, program.end
    stays = (here == there) | (np.isnan(here) & np.isnan(there))
    slants = np.flatnonzero((program.kind == RAPID) & ~stays[:, 2] & ~stays[:, :2].all(axis=1))
    between = np.where(((there > here)[slants, 2] == z_up)[:, None] == [True, True, False], here[slants], there[slants])
    source = np.insert(np.arange(count), slants, slants)
    place = np.arange(count + 1) + np.searchsorted(slants, np.arange(count + 1))
    cycles = tuple(replace(c, first=int(place[c.first]), last=int(place[c.last])) for c in program.cycles)
    end = np.insert(there, slants, between, axis=0)
    parts = program.take(source, end=end, event=program.event, event_at=place[program.event_at], cycles=cycles)
    return parts, source


def _begun_by_z(program: Program, sets_zero: bool) -> tuple[Program, int]:
    """The program as a file can say it, and by how many rows it has grown.

    Nobody knows where the bit stands when a file starts (unless the file makes that place its zero), so the first
    motion is Z alone; a number once given stays known.
    """
    unknown = np.full(3, 0.0 if sets_zero else np.nan)
    if not len(program):
        return program.replace(start=unknown), 0
    end = np.array(program.end)
    for axis in range(3):
        known = np.maximum.accumulate(np.where(np.isnan(end[:, axis]), 0, np.arange(len(end))))
        end[:, axis] = end[known, axis]
        end[np.isnan(end[:, axis]), axis] = unknown[axis]
    if np.array_equal(end[0, :2], program.start[:2]) or np.isnan(end[0, :2]).all():
        end[0, :2] = unknown[:2]
        return program.replace(start=unknown, end=end), 0
    program = program.replace(start=unknown, end=end)
    rows = np.concatenate([[0], np.arange(len(program))])
    end = end[rows]
    end[0, :2] = unknown[:2]
    at = program.event_at + (program.event_at > 0)
    cycles = tuple(replace(c, first=c.first + 1, last=c.last + 1) for c in program.cycles)
    return program.take(rows, end=end, event=program.event, event_at=at, cycles=cycles), 1
