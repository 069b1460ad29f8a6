"""The air-cut twin of a file, proved word by word: the same motion, every Z raised by one constant, no spindle.

This proof is different from the others: it does not ask what the words mean, only whether they are the same, block by
block. So whatever was proved of the file's motion is true of the twin's, only higher.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.profile import Machine
from pathkit.model.job import Setup
from pathkit.model.stock import Stock
from pathkit.motion.program import Beam, Spindle
from pathkit.proof.checks import travel
from pathkit.proof.checks import words as words_checks
from pathkit.proof.evidence import Evidence, ProofCheck, check, gather, one_file
from pathkit.proof.result import Proof, Verdict, run_check
from pathkit.proof.twin.moves import same_moves
from pathkit.tolerances import HALF_COUNT
from pathkit.units import MM_PER_UNIT

if TYPE_CHECKING:
    from pathkit.posting import Posted
    from pathkit.readback.foreign import Read

_WORD: Final = re.compile(r"([A-Z])([-+]?[0-9.]+)")
_MOTION: Final = re.compile(r"((?:G[0-3](?=[A-Z]))?[XYIJRF0-9.+-]*)(?:Z([-+]?[0-9]+(?:\.[0-9]*)?)([XYIJRF0-9.+-]*))?")
_PLAIN_LINES: Final = re.compile(
    r"(?>(?:G[0-3](?=[A-Z]))?+[XYIJRF0-9.+-]*+(?:Z[-+]?+[0-9]++(?:\.[0-9]*+)?+[XYIJRF0-9.+-]*+)?+\n)*+"
)
"""Lines of which each is a `_MOTION`. Nothing in it is tried twice, since text from outside may be long."""

_HEIGHT: Final = re.compile(r"Z([-+]?[0-9]+(?:\.[0-9]*)?)")
_AT_ONCE: Final = 512
"""Blocks that are compared at once, as long as nothing is special about them."""

_NUMBERED: Final = re.compile(r"N[0-9]+")
_BLANKS: Final = {code: None for code in range(256) if re.match(r"[^\S\n]|%", chr(code))}
_SPINDLE_CODES: Final = frozenset({("M", Decimal(3)), ("M", Decimal(4)), ("M", Decimal(5))})
_DWELL: Final = ("G", Decimal(4))
_PAUSE: Final = ("M", Decimal(0))
_CYCLES: Final = frozenset(("G", Decimal(code)) for code in (81, 82, 83))
_NO_HEIGHTS: Final = frozenset(("G", Decimal(code)) for code in (53, 92))
_STANDING: Final = frozenset({"M400"})
"""Blocks that only wait until earlier moves are done: nothing moves or turns because of them."""

Word = tuple[str, Decimal]


class Block(NamedTuple):
    """The meaningful part of one line: capitals, without comments, blanks and block number."""

    line: int
    plain: str

    @property
    def words(self) -> tuple[Word, ...]:
        """Letters with their numbers; anything that is not a word is kept as one word."""
        found: list[Word] = []
        for letter, value in _WORD.findall(self.plain):
            try:
                found.append((letter, Decimal(value)))
            except InvalidOperation:
                found.append((letter + value, Decimal(0)))
        junk = _WORD.sub("", self.plain)
        return (*found, (junk, Decimal(0))) if junk else tuple(found)


@dataclass(frozen=True)
class Blocks(Sequence[Block]):
    """Blocks as columns, one row a block: a file may have a million."""

    lines: Sequence[int]
    plain: Sequence[str]

    def __len__(self) -> int:
        return len(self.plain)

    def __getitem__(self, at: Any) -> Any:
        return Block(self.lines[at], self.plain[at])


def blocks_of(text: bytes, capabilities: Capabilities) -> Blocks:
    """The blocks of a text, without empty ones."""
    marks = [capabilities.comment] if capabilities.comment is not None else []
    if capabilities.grammar is not None:
        marks += [pair for pair in capabilities.grammar.comments if pair not in marks]
    rule = None if capabilities.grammar is None else capabilities.grammar.checksum
    return _blocks(text, tuple(marks), "" if rule is None else rule.mark)


@lru_cache(maxsize=2)
def _blocks(text: bytes, marks: tuple[tuple[str, str], ...], sums: str) -> Blocks:
    """``sums`` marks the checksums of lines, which are not compared: their own reading judges them."""
    plain = text.decode("latin-1").upper()
    for opening, closing in marks:
        until = f"[^{re.escape(closing)}\n]*{re.escape(closing)}" if closing else "[^\n]*"
        plain = re.sub(re.escape(opening.upper()) + until, "", plain)
    if sums:
        plain = re.sub(rf"{re.escape(sums)}[0-9A-F]+[^\S\n]*$", "", plain, flags=re.MULTILINE)
    lines = plain.translate(_BLANKS).split("\n")
    kept = [number for number, line in enumerate(lines, 1) if line and line not in _STANDING]
    said = [line for line in lines if line and line not in _STANDING]
    return Blocks(kept, [_NUMBERED.sub("", line, count=1) if line[0] == "N" else line for line in said])


def _without_spindle(words: tuple[Word, ...]) -> tuple[Word, ...]:
    """The words that are not M3, M4, M5, or S outside a dwell."""
    if _DWELL in words:
        return tuple(word for word in words if word not in _SPINDLE_CODES)
    return tuple(word for word in words if word not in _SPINDLE_CODES and word[0] != "S")


def _split_heights(words: tuple[Word, ...]) -> tuple[tuple[Decimal, ...], tuple[Word, ...]]:
    """The numbers that are heights (Z, and a drill cycle's R), and the words with these set to zero."""
    # G92 assigns a number to the place where the bit is, and G53 counts from the machine: they are the same in both.
    heights = "" if not _NO_HEIGHTS.isdisjoint(words) else "Z" if _CYCLES.isdisjoint(words) else "ZR"
    found = tuple(value for letter, value in words if letter in heights)
    return found, tuple((letter, Decimal(0) if letter in heights else value) for letter, value in words)


def verify_twin(
    twin: Posted | str | bytes,
    posted: Posted | str | bytes,
    machine: Machine,
    capabilities: Capabilities,
    *,
    setup: Setup | None = None,
    stock: Stock | None = None,
    reader: Read | None = None,
) -> Proof:
    """Prove that ``twin`` makes the motion of ``posted``, raised by one constant clear of the board, spindle off.

    ``stock`` is the posted program's own by default; without one the height that the twin needs is unknown, which is an
    error. ``reader`` reads files that are not made of words. Raises `InputError` for a job of several files.
    """
    text, _, its_setup = one_file(posted, None, setup)
    evidence = gather(twin, None, machine, capabilities, setup=setup or its_setup, reader=reader)
    if stock is None:
        stock = getattr(posted, "stock", None)
    if stock is None:
        raise InputError("the board is not known, so neither is the height that the twin needs; give the stock")
    evidence = Evidence(
        evidence.text, evidence.reading, machine, capabilities, its_setup, stock=stock, file=evidence.file
    )  # fmt: skip
    checks: Sequence[ProofCheck] = (
        words_checks.controller,
        words_checks.unknown_state,
        _same_moves(text, machine, capabilities, reader) if capabilities.grammar is None else _same_blocks(text),
        no_spindle,
        words_checks.end_state,
        above_the_wood,
        travel.travel_limits,
    )
    return Proof(tuple(run_check(one, evidence) for one in checks), float("nan"), evidence.file)


def _same_moves(text: bytes, machine: Machine, capabilities: Capabilities, reader: Read | None) -> ProofCheck:
    return same_moves(gather(text, None, machine, capabilities, reader=reader).read)


def _same_blocks(original: bytes) -> ProofCheck:
    @check(
        "same blocks",
        "text",
        limits="It compares the twin with the file beside it; that file's own proof says how it moves.",
    )
    def same_blocks(evidence: Evidence) -> Verdict:
        """The twin has the file's blocks, every Z raised by one constant; only what serves the spindle is missing."""
        files = (blocks_of(text, evidence.capabilities) for text in (original, evidence.text))
        comparison = _Blocks(*files, manual=evidence.manual)
        comparison.run()
        rise = comparison.rise
        figures: dict[str, float | int | str] = {"blocks": comparison.same, "left_out": comparison.left_out}
        findings = list(comparison.findings)
        if rise is not None:
            up = float(rise) * (1.0 if evidence.machine.axes.z == "up" else -1.0)
            figures["raised_mm"] = round(up * MM_PER_UNIT[evidence.capabilities.units], 6)
            if up <= 0.0:
                findings.append(Finding(check="same blocks", what="the twin is not raised", fix="make it again"))
        return Verdict(findings, figures=figures)

    return same_blocks


class _Blocks:
    """Two lists of blocks compared side by side; ``rise`` is the constant by which Z differs, in the file's units."""

    def __init__(self, file: Blocks, twin: Blocks, *, manual: bool) -> None:
        self.file, self.twin, self.manual = file, twin, manual
        self.findings: list[Finding] = []
        self.rise: Decimal | None = None
        self.same = self.left_out = 0

    def run(self) -> None:
        at = here = special = 0
        serving = False  # Since the last motion something was left out that serves the spindle.
        while here < len(self.file):
            if here >= special:
                if many := self._raised_at_once(here, at):
                    here, at, self.same, serving = here + many, at + many, self.same + many, False
                    continue
                special = here + _AT_ONCE
            block, here = self.file[here], here + 1
            mine = self.twin[at] if at < len(self.twin) else None
            if mine is not None and self._plainly_raised(block, mine):
                at, self.same, serving = at + 1, self.same + 1, False
                continue
            words = block.words
            wanted = _without_spindle(words)
            serving = serving or len(wanted) < len(words)
            if not wanted:
                self.left_out += 1
            elif mine is not None and self._raised(wanted, mine, block.line):
                at, self.same = at + 1, self.same + 1
                serving = serving and not any(letter in "XYZ" for letter, _ in wanted)
            elif serving and wanted[0] == _DWELL:
                self.left_out += 1
            elif self.manual and wanted == (_PAUSE,):
                self.left_out, serving = self.left_out + 1, True
            else:
                self._differ(block, mine)
                return
        if at < len(self.twin):
            self._say(self.twin[at].line, "the twin goes on after the file's end")

    def _raised_at_once(self, here: int, at: int) -> int:
        """How many blocks from row ``here`` of the file and ``at`` of the twin on are all plain motion, the twin's
        raised by the constant that is known by now; 0 if anything else is among them."""
        files = [blocks.plain[row : row + _AT_ONCE] for blocks, row in ((self.file, here), (self.twin, at))]
        if len(files[0]) != len(files[1]):
            return 0
        file, twin = ("".join(f"{line}\n" for line in lines) for lines in files)
        if any(_PLAIN_LINES.fullmatch(lines) is None for lines in (file, twin)):
            return 0
        if file != twin:
            if _HEIGHT.sub("Z", file) != _HEIGHT.sub("Z", twin):
                return 0
            heights = set(zip(_HEIGHT.findall(file), _HEIGHT.findall(twin), strict=True))
            if any(Decimal(above) - Decimal(below) != self.rise for below, above in heights):
                return 0
        elif "Z" in file and self.rise != 0:
            return 0
        return len(files[0])

    def _plainly_raised(self, block: Block, mine: Block) -> bool:
        """Whether the two are plain motion and spelled alike, as most blocks are: no need to split them into words."""
        here, there = _MOTION.fullmatch(block.plain), _MOTION.fullmatch(mine.plain)
        if here is None or there is None or here[1] != there[1] or here[3] != there[3]:
            return False
        if here[2] is not None:
            self._check_rise(Decimal(there[2]) - Decimal(here[2]), mine.line, block.line)
        return True

    def _raised(self, wanted: tuple[Word, ...], mine: Block, line: int) -> bool:
        (low, rest), (high, other) = _split_heights(wanted), _split_heights(mine.words)
        if rest != other:
            return False
        for below, above in zip(low, high, strict=True):
            self._check_rise(above - below, mine.line, line)
        return True

    def _check_rise(self, rise: Decimal, line: int, file_line: int) -> None:
        if self.rise is None:
            self.rise = rise
        elif rise != self.rise and len(self.findings) < 20:
            self._say(line, f"Z is raised by {rise} here, and by {self.rise} before (line {file_line} of the file)")

    def _differ(self, block: Block, mine: Block | None) -> None:
        if mine is None:
            line = self.twin[-1].line if self.twin else 1
            self._say(line, f"the twin ends here, but the file goes on with line {block.line}: {block.plain[:80]}")
        else:
            what = f"{mine.plain[:80]} instead of {block.plain[:80]} (line {block.line} of the file)"
            self._say(mine.line, what)

    def _say(self, line: int, what: str) -> None:
        self.findings.append(Finding(check="same blocks", what=what, fix="make the twin again", line=line))


@check("no spindle", limits="A spindle switched by hand is up to the operator.")
def no_spindle(evidence: Evidence) -> Verdict:
    """The twin never starts the spindle, nor a beam."""
    read = evidence.read
    found = []
    if read.power is not None and (read.power > 0.0).any():
        row = int(np.argmax(read.power > 0.0))
        what = "the beam burns in the twin"
        found.append(Finding(check="no spindle", what=what, fix="make the twin again", line=evidence.line(row)))
    for at, event in zip(read.event_at, read.event, strict=True):
        if (isinstance(event, Spindle) and event.sense != 0) or (isinstance(event, Beam) and event.mode != "off"):
            line = evidence.line(min(int(at), len(read) - 1)) if len(read) else None
            spun = isinstance(event, Spindle)
            what = "the spindle is switched on in the twin" if spun else "the beam is switched on in the twin"
            found.append(Finding(check="no spindle", what=what, fix="make the twin again", line=line))
    blocks = blocks_of(evidence.text, evidence.capabilities) if evidence.capabilities.grammar is not None else None
    maybe = [] if blocks is None else [blocks[k] for k, line in enumerate(blocks.plain) if "M" in line or "S" in line]
    found += [
        Finding(check="no spindle", what="a spindle word in the twin", fix="make the twin again", line=block.line)
        for block in maybe
        if _without_spindle(block.words) != block.words
    ]
    return Verdict(found[:20])


@check(
    "above the wood", "board", limits="It trusts that zero is set as for the cut, on a board no thicker than allowed."
)
def above_the_wood(evidence: Evidence) -> Verdict:
    """The twin's lowest point is above the thickest board by the approach height."""
    heights = evidence.bench.end[:, 2]
    if not np.isfinite(heights).any():
        return Verdict()
    row = int(np.nanargmin(heights))
    needed = evidence.board.highest_top + evidence.machine.heights.approach
    lowest = float(heights[row])
    figures = {"lowest_mm": round(lowest, 6), "needed_mm": needed}
    if lowest >= needed - HALF_COUNT * evidence.count:
        return Verdict(figures=figures)
    what = f"comes down to {lowest:.3f} mm; it must stay above {needed:.3f} mm"
    finding = Finding(check="above the wood", what=what, fix="make the twin again", line=evidence.line(row))
    return Verdict([finding], figures=figures)
