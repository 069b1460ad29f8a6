"""A cut file as it is read back, ready to be drawn, and in words.

What it does comes from its text alone; the board, the bits' widths and the toolpaths' names come from its job.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import InputError
from pathkit.handover.pages.picture import View
from pathkit.handover.pages.strokes import Motion, motion_of
from pathkit.texts.language import ENGLISH, Language
from pathkit.units import MM_PER_FOOT, MM_PER_UNIT, shown

if TYPE_CHECKING:
    from pathkit.machine.profile import Machine
    from pathkit.model.job import Job, Setup
    from pathkit.motion.program import Program

_COMMENT: Final = re.compile(rb"\(([^)\r\n]*)\)|;([^\r\n]*)")
_UNITS: Final = re.compile(rb"(?<![A-Za-z0-9.])[Gg]0*(2[01])(?![\d.])")


@dataclass(frozen=True, eq=False)
class Seen:
    """A cut file as it is read back. ``program`` is on the bench; ``job`` (for board, bits and names) may be missing.

    ``units`` are those of the file, ``mm`` or ``inch``; ``names`` maps lines of the file to the toolpaths that they
    announce; ``zero`` is the file's X0 Y0 on the bench, mm; ``is_text`` is false for what was never
    written to a file. Bits in ``narrow``, by name, are drawn as their path alone: their width is not known.
    """

    file: str
    program: Program
    machine: Machine
    setup: Setup
    job: Job | None = None
    units: str = "mm"
    names: Mapping[int, str] = field(default_factory=dict)
    zero: tuple[float, float] = (0.0, 0.0)
    is_text: bool = True
    narrow: frozenset[str] = frozenset()

    @cached_property
    def view(self) -> View:
        """The board as it lies before the operator."""
        stock = None if self.job is None else self.job.stock
        return View(0.0, 0.0, self.setup.turn) if stock is None else View(stock.width, stock.depth, self.setup.turn)

    @property
    def top(self) -> float | None:
        """Height of the board's nominal top, mm, if the board is known."""
        return None if self.job is None else self.job.stock.top

    @property
    def in_air(self) -> float | None:
        """Height in mm at and above which even the thickest board has no wood, if the board is known."""
        return None if self.job is None else self.job.stock.highest_top

    @cached_property
    def motion(self) -> Motion:
        """What the file does; arcs as arcs."""
        return motion_of(self.program, self.in_air, sorted(self.names))

    @cached_property
    def bits(self) -> NDArray[np.int32]:
        """(n,) index in the job's tools of the bit at each row of the program, −1 where it is not known."""
        from pathkit.proof.material.bits import bits_by_events

        if self.job is None:
            return np.full(len(self.program), -1, np.int32)
        found = np.array(bits_by_events(self.program, self.job.tools))
        if self.names and (found < 0).any():
            # A file for one bit of several has no word for it: its toolpaths have.
            tools = {tool.name: index for index, tool in enumerate(self.job.tools)}
            marks = sorted(self.names)
            of = [-1, *(tools[self.job.by_name[self.names[mark]].tool.name] for mark in marks)]
            told = np.array(of, np.int32)[np.searchsorted(marks, self.program.line)]
            found = np.where(found < 0, told, found)
        return found

    def width(self, bit: int, depth: float) -> float:
        """How wide in mm a bit cuts at the top of the board when its tip is at a height; 0 if the bit is not known."""
        from pathkit.proof.material.bits import width_at

        if self.job is None or bit < 0 or self.job.tools[bit].name in self.narrow:
            return 0.0
        return 2.0 * width_at(self.job.tools[bit], self.job.stock.top - depth)

    @cached_property
    def widest(self) -> float:
        """Diameter in mm of the widest bit; 0 if none is known."""
        tools = () if self.job is None else self.job.tools
        there = (tools[bit] for bit in np.unique(self.bits).tolist() if bit >= 0)
        return max((tool.diameter for tool in there if tool.name not in self.narrow), default=0.0)

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        motion = self.motion
        return {
            "file": self.file,
            "machine": self.machine.name,
            "cuts_mm": round(motion.cut_length, 3),
            "travel_mm": round(motion.travel_length, 3),
            "toolpaths": len(motion.starts),
            "tabs": len(motion.tab_at),
            "not_drawn": motion.unknown,
        }

    def z_word(self, height: float) -> str:
        """A height on the bench as the number that the file has for it: ``Z-3``."""
        number = height if self.machine.axes.z == "up" else -height
        return f"Z{self._number(number)}"

    def _number(self, mm: float) -> str:
        """A length in the file's units, with as many decimals as files usually have."""
        text = f"{mm / MM_PER_UNIT[self.units]:.{4 if self.units == 'inch' else 3}f}".rstrip("0").rstrip(".")
        return "0" if text == "-0" else text

    def number(self, mm: float) -> str:
        """A length for a reader with a ruler, in the file's units: to a tenth of a millimetre or a hundredth of an
        inch."""
        text = f"{mm / MM_PER_UNIT[self.units]:.{2 if self.units == 'inch' else 1}f}".rstrip("0").rstrip(".")
        return "0" if text in ("-0", "") else text

    def in_words(self, say: Language) -> Callable[[float], str]:
        """How a length in mm is told: in the file's units."""
        return lambda mm: say.number(shown(mm, self.units))

    def depth_word(self, height: float) -> str:
        """A height as its depth below the board's top, in the file's units; empty if the board is not known."""
        if self.top is None:
            return ""
        return f"{self._number(self.top - height)} {'in' if self.units == 'inch' else 'mm'}"


def seen(path: str | Path, machine: Machine | None = None) -> Seen:
    """A cut file as it is read back.

    Board, bits and set-up come from the certificate beside it, and so does the machine unless it is given. Raises
    `InputError` for a file that cannot be read or is not G-code, that has neither certificate nor ``machine``, or,
    without ``machine``, that was changed since it was proved.
    """
    from pathkit import registry
    from pathkit.files import read_gcode
    from pathkit.handover.recheck import certified, handed_over, read_motion
    from pathkit.model.job import Setup
    from pathkit.model.stock import Stock
    from pathkit.proof.frame import bench_frame

    path = Path(path)
    text = read_gcode(path)
    job: Job | None
    if machine is None:
        if certified(path) is None:
            raise InputError(f"no certificate beside {str(path)!r}; say for which machine it is with --machine")
        given = handed_over(path)
        machine, setup, job = given.machine, given.setup, given.job
    else:
        beside = certified(path)
        job, setup = (None, Setup()) if beside is None else (beside[1], beside[0].setup)
    read = read_motion(path, machine)
    frame = bench_frame(machine, Stock(1.0, 1.0, 1.0) if job is None else job.stock, setup)
    if job is None:
        # Nobody said where the board lies: it is drawn about the file's own zero.
        frame = replace(frame, datum=(0.0, 0.0, 0.0))
    program = frame.program_to_bench(read, None if job is None else job.stock)
    if not np.isfinite(program.end).all(axis=1).any():
        raise InputError(f"{str(path)!r} moves the bit to no place that it says; a cut file has moves with X, Y and Z")
    units = units_of(text) or registry.capabilities_of(machine).units
    return Seen(
        path.name, program, machine, setup, job, units, {} if job is None else _names(text, job), frame.datum[:2]
    )


@dataclass(frozen=True, eq=False)
class SeenTogether(Seen):
    """Several files, one for each bit, as what they cut together. Lines are counted through all of them."""

    files: tuple[Seen, ...] = ()

    @cached_property
    def bits(self) -> NDArray[np.int32]:
        """By each file's own."""
        return np.concatenate([each.bits for each in self.files])


def seen_texts(texts: Mapping[str, bytes], machine: Machine, setup: Setup, job: Job) -> Seen:
    """The cut files of one board as they are read back from their ``texts`` (by name, in order), as one."""
    from pathkit import api, registry
    from pathkit.proof.frame import bench_frame
    from pathkit.readback import interpret

    read, capabilities = api.reader_of(machine) or interpret, registry.capabilities_of(machine)
    frame = bench_frame(machine, job.stock, setup)
    each = [
        Seen(
            name, frame.program_to_bench(read(text, capabilities, file=name).program, job.stock), machine, setup, job,
            units_of(text) or capabilities.units, _names(text, job), frame.datum[:2],
        )
        for name, text in texts.items()
    ]  # fmt: skip
    if len(each) == 1:
        return each[0]
    rows = np.cumsum([0, *(len(one.program) for one in each)])
    lines = np.cumsum([0, *(text.count(b"\n") + 1 for text in texts.values())])
    columns = {name: np.concatenate([getattr(one.program, name) for one in each]) for name in each[0].program.columns}
    columns["line"] = np.concatenate(
        [one.program.line + before for one, before in zip(each, lines, strict=False)]
    ).astype(np.int32)
    at = [one.program.event_at + before for one, before in zip(each, rows, strict=False)]
    program = each[0].program.replace(
        event=tuple(event for one in each for event in one.program.event), event_at=np.concatenate(at), cycles=(),
        **columns,
    )  # fmt: skip
    names = {line + int(before): name for one, before in zip(each, lines, strict=False)
             for line, name in one.names.items()}  # fmt: skip
    return SeenTogether(
        ", ".join(texts), program, machine, setup, job, each[0].units, names, frame.datum[:2], files=tuple(each)
    )


def seen_before(path: str | Path, after: Seen) -> Seen:
    """What a job file asks for, in its own order, before any pass has changed it, as ``after``'s machine would cut it.

    Where the job cannot be cut as it is, all passes but the one that orders travel have been run. Raises `InputError`
    for a file that is no job, or that has no board with the parts of ``after``.
    """
    from pathkit.errors import Refused
    from pathkit.jobs.requests import Wishes, orders_for
    from pathkit.lowering.lower import lower
    from pathkit.passes.order_travel import OrderTravel
    from pathkit.passes.pipeline import Pipeline

    path = Path(path)
    asked = {part.name for part in after.job.parts} if after.job is not None else set()
    orders = orders_for(path, [after.machine], Wishes(after.setup))
    order = next((each for each in orders if {part.name for part in each.job.parts} == asked), None)
    if order is None:
        raise InputError(
            f"{str(path)!r} has no board with the parts of {after.file!r}; name the job file that the cut file was"
            " built from"
        )
    job = _for_the_same_bits(order.job, after)
    try:
        program = lower(job, after.machine, after.setup)
    except Refused:
        passes = [step for step in order.passes if not isinstance(step, OrderTravel)]
        job = Pipeline(passes).run(job, after.machine, setup=after.setup).job
        program = lower(job, after.machine, after.setup)
    # There are no lines yet: toolpaths are told apart by numbers in their place.
    line = 2 * np.maximum.accumulate(program.toolpath) + 2
    names = {2 * index + 1: name for index, name in enumerate(program.names)}
    drawn = program.replace(line=line.astype(np.int32))
    return replace(after, file=path.name, program=drawn, job=job, names=names, is_text=False)


def _for_the_same_bits(job: Job, after: Seen) -> Job:
    """What of a job is cut with the bits of a file: where each bit has a file, one is compared with its share alone."""
    if after.job is None:
        return job
    tools = after.job.tools
    used = {tools[bit].name for bit in np.unique(after.bits[after.motion.cuts.row]).tolist() if bit >= 0}
    kept = tuple(path for path in job.toolpaths if path.tool.name in used)
    if not kept or len(kept) == len(job.toolpaths):
        return job
    names = {path.name for path in kept}
    kept = tuple(path if path.finishes in names else replace(path, finishes=None) for path in kept)
    pairs = tuple(pair for pair in job.precedence if names.issuperset(pair))
    return replace(job, toolpaths=kept, precedence=pairs)


def units_of(text: bytes) -> str | None:
    """The unit that a file counts in, by its first G20 or G21."""
    found = _UNITS.search(_COMMENT.sub(b"", text[:_HEAD]))
    return None if found is None else {b"20": "inch", b"21": "mm"}[found[1]]


_HEAD: Final = 20_000
"""Bytes in which a file says its unit."""


def _names(text: bytes, job: Job) -> dict[int, str]:
    """Lines of comments that end with the name of a toolpath of the job."""
    names = {name.encode("utf-8"): name for name in job.by_name}
    found: dict[int, str] = {}
    line, at = 1, 0
    for comment in _COMMENT.finditer(text):
        line += text.count(b"\n", at, comment.start())
        at = comment.start()
        said = (comment[1] if comment[1] is not None else comment[2]).strip()
        name = names.get(said) or names.get(said.partition(b": ")[2])
        if name is not None:
            found[line] = name
    return found


def summary(seen_files: Sequence[Seen], say: Language = ENGLISH) -> str:
    """What is drawn, in words: for those who cannot see the picture."""
    return " ".join(_told(each, say) for each in seen_files)


def _told(one: Seen, say: Language) -> str:
    motion, size = one.motion, one.in_words(say)
    stock = None if one.job is None else one.job.stock
    deepest = float(motion.cuts.low.min()) if len(motion.cuts) else None
    told = say(
        "draw-told", file=one.file, machine=one.machine.name,
        board="unknown" if stock is None else "known",
        across="" if stock is None else size(stock.width),
        away="" if stock is None else size(stock.depth),
        cuts="none" if deepest is None else way_name(motion.cut_length, one.units, say),
        toolpaths=len(motion.starts),
        deepest="" if deepest is None else say.number(one.z_word(deepest)),
        depth=("" if deepest is None else say.number(one.depth_word(deepest))) or "unknown",
        tabs=len(motion.tab_at),
        travel=way_name(motion.travel_length, one.units, say),
    )  # fmt: skip
    return f"{told} {say('draw-not-drawn', count=motion.unknown)}" if motion.unknown else told


def fineness(mm: float, units: str) -> str:
    """A length that is only about so long: ``0.12 mm``."""
    return f"{mm / MM_PER_UNIT[units]:.2g} {'in' if units == 'inch' else 'mm'}"


def way_name(mm: float, units: str, say: Language = ENGLISH) -> str:
    """How long a way is, for whoever reads the file: ``1.23 m``, or ``4.04 ft`` where it counts in inches."""
    return say.number(f"{mm / MM_PER_FOOT:.2f} ft" if units == "inch" else f"{mm / 1000.0:.2f} m")
