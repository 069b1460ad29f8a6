"""The air-cut twin of a file, proved word by word: the same motion, every Z raised by one constant, no spindle.

This is a proof of its own kind: it does not ask what the words mean but that, block by block, they are the same ones.
So whatever has been proved of the file's motion holds of the twin's, only higher.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING, Final

import numpy as np

from pathkit.errors import InputError
from pathkit.findings import Finding, errors_of
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.profile import Machine
from pathkit.model.job import Setup
from pathkit.model.stock import Stock
from pathkit.motion.program import Spindle
from pathkit.proof import envelope, text_checks
from pathkit.proof.evidence import Evidence, ProofCheck, check, gather
from pathkit.proof.result import CheckResult, Proof, Status, Verdict
from pathkit.units import MM_PER_UNIT

if TYPE_CHECKING:
    from pathkit.posting import Posted

_WORD: Final = re.compile(r"([A-Z])([-+]?[0-9.]+)")
_SPINDLE_CODES: Final = frozenset({("M", Decimal(3)), ("M", Decimal(4)), ("M", Decimal(5))})
_DWELL: Final = ("G", Decimal(4))
_PAUSE: Final = ("M", Decimal(0))

Word = tuple[str, Decimal]


@dataclass(frozen=True, slots=True)
class Block:
    """The words of one line, comments dropped. ``junk`` is what is left over that is no word."""

    line: int
    words: tuple[Word, ...]
    junk: str = ""

    @property
    def spindle(self) -> bool:
        """It holds a spindle word: M3, M4, M5, or S outside a dwell."""
        dwells = _DWELL in self.words
        return any(word in _SPINDLE_CODES or (word[0] == "S" and not dwells) for word in self.words)

    @property
    def without_spindle(self) -> Block:
        """The rest of the block."""
        return Block(self.line, tuple(w for w in self.words if w not in _SPINDLE_CODES and w[0] != "S"), self.junk)

    @property
    def z(self) -> Decimal | None:
        return next((value for letter, value in self.words if letter == "Z"), None)

    @property
    def but_z(self) -> tuple[Word | str, ...]:
        """The words, Z's value left open."""
        return (*(("Z", Decimal(0)) if word[0] == "Z" else word for word in self.words), self.junk)

    @property
    def moves(self) -> bool:
        return any(letter in "XYZ" for letter, _ in self.words)


def blocks_of(text: bytes, capabilities: Capabilities) -> list[Block]:
    """The blocks of a text that say something; block numbers do not."""
    found: list[Block] = []
    for number, raw in enumerate(text.decode("latin-1").split("\n"), 1):
        plain = _without_comments(raw, capabilities).upper()
        plain = re.sub(r"[\s%]+", "", plain)
        words: list[Word] = []
        for letter, value in _WORD.findall(plain):
            try:
                words.append((letter, Decimal(value)))
            except InvalidOperation:
                continue
        if words and words[0][0] == "N":
            words = words[1:]
        junk = _WORD.sub("", plain)
        if words or junk:
            found.append(Block(number, tuple(words), junk))
    return found


def verify_twin(
    twin: Posted | str | bytes,
    posted: Posted | str | bytes,
    machine: Machine,
    capabilities: Capabilities,
    *,
    setup: Setup | None = None,
    stock: Stock | None = None,
) -> Proof:
    """Prove that ``twin`` makes the motion of ``posted``, raised by one constant clear of the board, spindle off.

    ``stock`` is the posted program's own by default; without one, how high the twin must be is not known, which is an
    error. Raises `InputError` for what is not one file.
    """
    original = gather(posted, None, machine, capabilities, setup=setup)
    evidence = gather(twin, None, machine, capabilities, setup=setup or original.setup)
    if stock is None:
        stock = getattr(getattr(posted, "draft", None), "stock", None)
    if stock is None:
        raise InputError("the board is not known, so how high the twin must be is not either; give the stock")
    evidence = Evidence(
        evidence.text, evidence.reading, machine, capabilities, original.setup, stock=stock, file=evidence.file
    )  # fmt: skip
    checks: Sequence[ProofCheck] = (
        text_checks.controller,
        text_checks.unknown_state,
        _same_blocks(original.text),
        no_spindle,
        text_checks.end_state,
        above_the_wood,
        envelope.travel_limits,
    )
    return Proof(tuple(_run(one, evidence) for one in checks), float("nan"), evidence.file)


def _run(one: ProofCheck, evidence: Evidence) -> CheckResult:
    verdict = one(evidence)
    findings = tuple(f.at(file=evidence.file) for f in verdict)
    status: Status = "failed" if errors_of(findings) else "passed"
    return CheckResult(one.name, status, one.limits, findings, verdict.figures)


def _same_blocks(original: bytes) -> ProofCheck:
    @check(
        "same blocks",
        "text",
        limits="It holds the twin against the file beside it; that file's own proof says what it moves.",
    )
    def same_blocks(evidence: Evidence) -> Verdict:
        """Block by block the file's words, every Z raised by one constant; only what serves the spindle is missing."""
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
                findings.append(Finding(check="same blocks", what="the twin is not raised", fix="make it anew"))
        return Verdict(findings, figures=figures)

    return same_blocks


class _Blocks:
    """Two lists of blocks walked side by side; ``rise`` is the constant by which Z differs, in the file's units."""

    def __init__(self, file: list[Block], twin: list[Block], *, manual: bool) -> None:
        self.file, self.twin, self.manual = file, twin, manual
        self.findings: list[Finding] = []
        self.rise: Decimal | None = None
        self.same = self.left_out = 0

    def run(self) -> None:
        at = 0
        serving = False  # Since the last motion something has been left out for the spindle's sake.
        for block in self.file:
            wanted = block.without_spindle if block.spindle else block
            serving = (serving and not block.moves) or block.spindle
            if block.spindle and not wanted.words and not wanted.junk:
                self.left_out += 1
                continue
            mine = self.twin[at] if at < len(self.twin) else None
            if mine is not None and mine.but_z == wanted.but_z:
                self._check_rise(wanted, mine)
                at, self.same = at + 1, self.same + 1
            elif serving and wanted.words[:1] == (_DWELL,):
                self.left_out += 1
            elif self.manual and wanted.words == (_PAUSE,):
                serving = True
                self.left_out += 1
            else:
                self._differ(block, mine)
                return
        if at < len(self.twin):
            self._say(self.twin[at].line, "the twin goes on where the file ends")

    def _check_rise(self, wanted: Block, mine: Block) -> None:
        if wanted.z is None or mine.z is None:
            return
        rise = mine.z - wanted.z
        if self.rise is None:
            self.rise = rise
        elif rise != self.rise and len(self.findings) < 20:
            self._say(
                mine.line, f"Z is raised by {rise} here, and by {self.rise} before (line {wanted.line} of the file)"
            )

    def _differ(self, block: Block, mine: Block | None) -> None:
        shown = " ".join(f"{letter}{value}" for letter, value in block.words)
        if mine is None:
            line = self.twin[-1].line if self.twin else 1
            self._say(line, f"the twin ends here, and the file goes on with line {block.line}: {shown}")
        else:
            theirs = " ".join(f"{letter}{value}" for letter, value in mine.words)
            self._say(mine.line, f"{theirs or mine.junk} stands where the file has {shown} (its line {block.line})")

    def _say(self, line: int, what: str) -> None:
        self.findings.append(Finding(check="same blocks", what=what, fix="make the twin anew", line=line))


@check("no spindle", limits="A spindle switched by hand stays the operator's affair.")
def no_spindle(evidence: Evidence) -> Verdict:
    """The twin never starts the spindle."""
    read = evidence.read
    found = []
    for at, event in zip(read.event_at, read.event, strict=True):
        if isinstance(event, Spindle) and event.sense != 0:
            line = evidence.line(min(int(at), len(read) - 1)) if len(read) else None
            what = "the spindle is switched on in the twin"
            found.append(Finding(check="no spindle", what=what, fix="make the twin anew", line=line))
    found += [
        Finding(check="no spindle", what="a spindle word in the twin", fix="make the twin anew", line=block.line)
        for block in blocks_of(evidence.text, evidence.capabilities)
        if block.spindle
    ]
    return Verdict(found[:20])


@check(
    "above the wood", "board", limits="It trusts that zero is set as for the cut, on a board no thicker than allowed."
)
def above_the_wood(evidence: Evidence) -> Verdict:
    """The lowest place of the twin lies above the thickest board by the approach height."""
    heights = evidence.bench.end[:, 2]
    if not np.isfinite(heights).any():
        return Verdict()
    row = int(np.nanargmin(heights))
    needed = evidence.board.highest_top + evidence.machine.heights.approach
    lowest = float(heights[row])
    figures = {"lowest_mm": round(lowest, 6), "needed_mm": needed}
    if lowest >= needed - 0.51 * evidence.count:
        return Verdict(figures=figures)
    what = f"comes down to {lowest:.3f} mm; it must stay above {needed:.3f} mm"
    finding = Finding(check="above the wood", what=what, fix="make the twin anew", line=evidence.line(row))
    return Verdict([finding], figures=figures)


def _without_comments(line: str, capabilities: Capabilities) -> str:
    marks = [capabilities.comment] if capabilities.comment is not None else []
    if capabilities.grammar is not None:
        marks += [pair for pair in capabilities.grammar.comments if pair not in marks]
    for opening, closing in marks:
        if closing:
            line = re.sub(re.escape(opening) + "[^" + re.escape(closing) + "]*" + re.escape(closing), "", line)
        else:
            line = line.split(opening, 1)[0]
    return line
