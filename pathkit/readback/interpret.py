"""Text → Program, as the controller would run it, and every objection to the text.

The ``check`` of a finding tells three kinds apart. ``controller``: what the controller itself refuses (with its
``code`` if it numbers its answers); such a block does nothing. ``unknown state``: what it would do from a state that
the text does not set. Other names: what it would do, but a careful reader cannot rely on.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from pathkit.errors import CapabilityError, InputError
from pathkit.findings import Finding, Severity
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.grammar import GROUP_OF, Grammar
from pathkit.motion.program import Dwell, Lift, Program, Stop
from pathkit.readback.blocks import Block, BlockReader
from pathkit.readback.chords import MOST_IN_ALL, Chords
from pathkit.readback.columns import Columns
from pathkit.readback.events import Switches
from pathkit.readback.fast import fast_lane
from pathkit.readback.faults import WORDING, Doubt, Refusal, Unread
from pathkit.readback.motion import Mover, Plan
from pathkit.readback.offsets import choose_length, choose_offset, non_modal
from pathkit.readback.rules import check, moving
from pathkit.readback.state import UNKNOWN, Point, State, scale_of
from pathkit.readback.tokens import Tokenizer

MOST_FINDINGS: Final = 500
"""Reading stops after so many findings: a text that is wrong this often is not for this controller."""

UNSET: Final[Mapping[str, tuple[str, str]]] = {
    "units": ("in which units it counts", "G21 or G20"),
    "distance": ("whether its numbers are absolute", "G90"),
    "offset": ("which work offset it counts from", "G54"),
    "feed mode": ("what F means", "G94"),
    "plane": ("in which plane it lies", "G17"),
    "motion": ("which kind of move it is", "G0 or G1"),
    "return": ("how far a drill cycle retracts", "G98 or G99"),
    "arc distance": ("what I and J count from", "G91.1"),
}
"""Modal group → what a block leaves open until a code of the group has been read, and what would settle it.

If a controller has no code of a group, there is nothing to choose, so nothing is left open."""

_PLACES: Final = frozenset("XYZIJRF")
_WARNINGS: Final = frozenset({"stored offsets"})
_FASTEST: Final = 1e7  # mm/min
_LINE_END: Final = re.compile(rb"\r\n|\n|\r")
_NUMBER: Final = re.compile(r"(N[0-9]{1,8})?[O:][0-9]{1,8}")


@dataclass(frozen=True)
class Reading:
    r"""A program in the controller's frame (mm, mm/min, ``line`` filled in) and the findings, in the text's order.

    >>> reading = pk.read("G21 G90\nG0 Z5", "grbl")
    >>> len(reading.program), reading.findings[0].check
    (1, 'unknown state')
    """

    program: Program
    findings: tuple[Finding, ...]


def interpret(
    text: str | bytes,
    capabilities: Capabilities,
    *,
    start: Sequence[float] | None = None,
    file: str | None = None,
) -> Reading:
    """Read a file as its controller would.

    ``start`` is where the bit is at first, in mm and the file's own work coordinates; without it that is unknown. Bytes
    are what the controller receives; a str is encoded as UTF-8. Columns in findings count bytes from 1. No content of a
    text makes this fail: what cannot be read is a finding. Raises `CapabilityError` for a dialect that is not made of
    words, `InputError` for a start that is not three numbers.
    """
    if capabilities.grammar is None:
        what = "this dialect is not made of word addresses: it has no grammar to read a file by"
        raise CapabilityError([Finding(check="grammar", what=what, fix="use the dialect's own reader")])
    reader = Reader(capabilities, capabilities.grammar, _start(start), file)
    reader.read(text.encode("utf-8", "surrogatepass") if isinstance(text, str) else bytes(text))
    return Reading(reader.columns.program(reader.start), tuple(reader.findings))


def verdict(block: str | bytes, capabilities: Capabilities) -> str:
    """The answer of the controller, just switched on, to one block: ``ok``, its error code, or ``refused``."""
    for finding in interpret(block, capabilities, start=(0.0, 0.0, 0.0)).findings:
        if finding.check == "controller" and finding.line is not None:
            return finding.code or "refused"
    return "ok"


def _start(start: Sequence[float] | None) -> Point:
    if start is None:
        return UNKNOWN
    given = tuple(start) if isinstance(start, Iterable) else ()
    numbers = all(isinstance(v, (int, float, np.integer, np.floating)) and abs(v) != float("inf") for v in given)
    if len(given) != 3 or not numbers:
        raise InputError(f"start is {start!r}; give three numbers in mm, NaN where unknown")
    return float(given[0]), float(given[1]), float(given[2])


class Reader:
    """Carries the state from block to block; a refused block changes nothing but what is known.

    `interpret` reads a whole file with it; `pathkit.readback.at_line` stops it at one line.
    """

    def __init__(self, capabilities: Capabilities, grammar: Grammar, start: Point, file: str | None) -> None:
        self.grammar = grammar
        self.capabilities = capabilities
        self.start = start
        self.file = file
        self.columns = Columns()
        self.findings: list[Finding] = []
        self.state = State.at_power_up(grammar, start)
        self._open = frozenset(GROUP_OF[code] for code in (*grammar.codes, *grammar.other_words.values()))
        self.state.known.update(UNSET.keys() - self._open)
        self._tokens = Tokenizer(grammar)
        self._blocks = BlockReader(grammar, self._tokens)
        seconds = 0.001 if capabilities.dwell_unit == "ms" else 1.0
        self._mover = Mover(grammar, seconds, capabilities.machine_coordinates)
        self._switches = Switches(grammar, capabilities, self.columns)
        self._line = 0
        self._raw = b""
        self._block = Block()
        self._chords = 0
        self._tape = self._begun = False

    # --- lines -------------------------------------------------------------------------------------------------

    def read(self, data: bytes) -> None:
        lane = fast_lane(self.grammar, data, self.columns)
        at = 0
        while at < len(data) and not self.state.ended:
            if lane is not None:
                at, self._line = lane.run(at, self._line, self.state)
                if at >= len(data):
                    break
            self._raw, at = _line(data, at)
            self._line += 1
            if self._raw:
                self._read_line(self._raw)
            if len(self.findings) >= MOST_FINDINGS:
                what = f"reading stopped here after {len(self.findings)} findings"
                self._say("controller", what, f"is this a file for {self.grammar.title}?", stops=True)
                return
        self._finish(at)

    def _finish(self, _: int) -> None:
        """The text has come to its end, or the program has, at a byte of the text."""
        if self.grammar.open_end and not self._switches.stopped:
            self.columns.event(Stop())
        if self.grammar.needs_end and not (self.state.ended or self._switches.stopped):
            what, fix = WORDING["program frame"]
            self.findings.append(Finding(check="controller", what=what, fix=fix, file=self.file))

    def one(self, raw: bytes) -> Block:
        """Read one more line, given without its end; returns its block, empty if its words cannot be read."""
        self._raw = raw
        self._line += 1
        self._block = Block()
        if raw:
            self._read_line(raw)
        return self._block

    @property
    def lines(self) -> int:
        """How many lines have been read."""
        return self._line

    def _read_line(self, raw: bytes) -> None:
        if (instant := self._tokens.real_time(raw)) is not None:
            self._acts_at_once(*instant)
        bare, self._block = "", Block()
        try:
            bare = self._tokens.bare(raw)
            if bare and not self._not_a_block(bare):
                self._run(self._blocks.read(bare))
        except Refusal as refusal:
            self._refuse(refusal, bare)
        except Unread as unread:
            self._say_unread(unread)
            self._lose()

    def _acts_at_once(self, byte: int, index: int, count: int) -> None:
        what = f"the byte 0x{byte:02X} acts on the controller the moment it arrives, even in a comment"
        more = f" ({count} such bytes in this line)" if count > 1 else ""
        self._say("real-time bytes", what + more, "take it out: ASCII without such bytes is safe", column=index + 1)
        if byte == 0x18:
            # A reset: everything that the file has set is lost.
            self.state.known.clear()
            self.state.known.update(UNSET.keys() - self._open)
            self._lose()

    def _not_a_block(self, bare: str) -> bool:
        grammar = self.grammar
        if grammar.system_prefix and bare.startswith(grammar.system_prefix):
            self._lose()
            raise Refusal("system command", 0, bare)
        if grammar.tape_mark and bare == "%":
            if self._begun and not self._tape:
                raise Refusal("letter expected", 0, bare)
            self.state.ended, self._tape = self._tape, True
            return True
        if grammar.program_number and not self._begun and _NUMBER.fullmatch(bare):
            self._begun = True
            return True
        if grammar.slash == "switch" and bare.startswith("/"):
            what = "a switch at the controller decides whether this block runs; it is not read"
            self._say("unknown state", what, "remove the slash or the block")
            self._lose()
            return True
        return False

    # --- blocks ------------------------------------------------------------------------------------------------

    def _run(self, block: Block) -> None:
        """Judge the whole block, then run it: units and offsets first, motion last (NISTIR 6556, table 8)."""
        state, self._block, self._begun = self.state, block, True
        modes = {**state.modes, **block.codes} if block.codes or not self.grammar.modal else state.modes
        modes.pop("non-modal", None)
        if not self.grammar.modal and "motion" not in block.codes:
            modes.pop("motion", None)
        feed = self._feed(block, modes)
        check(block, modes, feed, self.grammar)
        plan, doubts = self._plan(block, modes, feed)
        self._assume(block, plan)
        self._switches.before(block, state)
        for doubt in (*self._switches.doubts, *doubts):
            self._doubt(doubt)
        state.modes, state.feed = modes, feed
        state.known.update(block.codes)
        self._move(plan)
        if self._switches.after(block, state):
            self._end()

    def _plan(self, block: Block, modes: Mapping[str, str], feed: float) -> tuple[Plan, list[Doubt]]:
        state, place = self.state, self.state.place
        plan: Plan | None = None
        doubts: list[Doubt] = []
        if block.codes:
            in_force = state.modes.get("offset") if "offset" in state.known else None
            place, doubts = choose_length(block, modes, choose_offset(block, place, in_force))
        if modes.get("cutter") in ("G41", "G42") and (block.axes or "cutter" in block.codes):
            what = "the controller shifts this path by a cutter radius from its own table"
            return Plan(place.lost(), unread=Unread(what, "offset the path before it is written")), doubts
        if "non-modal" in block.codes:
            plan = non_modal(block, modes, place, self.grammar, self.capabilities.sets_zero)
        if plan is None:
            motion = moving(block, modes)
            sticky = state.cycle if self.grammar.modal and state.modes.get("motion") == motion else {}
            plan = self._mover.plan(block, motion, modes, place, feed, sticky) if motion else Plan(place)
            if motion and block.axes and "motion" not in block.codes:
                plan.needs += ("motion",)
        return plan, doubts

    def _feed(self, block: Block, modes: Mapping[str, str]) -> float:
        """The feed in force with this block: mm/min, or 1/min under G93."""
        mode, before = modes.get("feed mode"), self.state.modes.get("feed mode")
        if "F" not in block.values:
            if not self.grammar.modal_feed:
                return 0.0
            return self.state.feed if mode == before and mode != "G93" else 0.0
        scale = scale_of(self.state.modes if self.grammar.feed_before_units else modes)
        feed = block.values["F"] * (1.0 if mode == "G93" else scale)
        if feed > _FASTEST:
            raise Unread("a feed that no machine reaches", "look at the number", block.place("F"), check="out of range")
        return feed

    def _assume(self, block: Block, plan: Plan) -> None:
        """Report each mode that this block relies on and no block has set; from here on power-up values apply."""
        needs = plan.needs
        if "F" in block.values and not needs and self.state.modes.get("feed mode") != "G93":
            needs = ("units",)
        known = self.state.known
        late = self.grammar.feed_before_units and "F" in block.values and "units" not in known
        for group in needs if not known.issuperset(needs) or late else ():
            if group in known or (group in block.codes and not (group == "units" and late)):
                continue
            self._relies_on(group)
            known.add(group)

    def _relies_on(self, group: str) -> None:
        what, code = UNSET[group]
        assumed = self.state.modes.get(group, "nothing")
        unset = f"the file does not say {what}; read as after switching on, {assumed}"
        self._say("unknown state", unset, f"write {code} first")

    def _move(self, plan: Plan) -> None:
        state = self.state
        first = len(self.columns)
        for item in plan.rows:
            if isinstance(item, (Dwell, Lift)):
                self.columns.event(item)
            elif isinstance(item, Chords):
                self._chords += len(item.ends)
                if self._chords > MOST_IN_ALL:
                    what = f"the arcs outside the XY plane would become more than {MOST_IN_ALL} short lines"
                    raise Unread(what, "make it smaller")
                self.columns.lines(item.ends, item.feed, self._line)
            else:
                self.columns.row(item, self._line)
        for cycle in plan.cycles:
            self.columns.shifted_cycle(cycle, first)
        if plan.rows:
            state.cycle = plan.sticky
        for doubt in plan.doubts:
            self._doubt(doubt)
        state.move_to(plan.place)
        if self.capabilities.sets_zero and not len(self.columns):
            # The file itself assigns numbers to the place where the bit is at first.
            self.start = plan.place.at
        if plan.unread is not None:
            self._say_unread(plan.unread)

    def _end(self) -> None:
        state = self.state
        state.ended = self.grammar.ends
        reset: dict[str, str] = {GROUP_OF[code]: code for code in self.grammar.end_modes}
        if state.modes.get("offset") != reset.get("offset", state.modes.get("offset")):
            state.move_to(state.place.lost()._replace(base=(0.0, 0.0, 0.0)))
        state.modes = {**state.modes, **reset}

    # --- findings ----------------------------------------------------------------------------------------------

    def _say(
        self, check: str, what: str, fix: str = "", *, column: int = 0, code: str | None = None, stops: bool = False
    ) -> None:  # fmt: skip
        """``column`` 0: that of the block's first word of motion. ``stops``: the block is not followed."""
        severity: Severity = "warning" if check in _WARNINGS and not stops else "error"
        self._note(check, what, fix, severity, column, code)

    def _note(self, check: str, what: str, fix: str, severity: Severity, column: int, code: str | None) -> None:
        if column == 0:
            places = [at for word, at in self._block.at.items() if word in _PLACES]
            column = self._tokens.column(self._raw, min(places, default=0))
        finding = Finding(check=check, what=what, fix=fix, severity=severity, line=self._line, column=column)
        self.findings.append(finding.at(file=self.file, code=code))

    def _doubt(self, doubt: Doubt) -> None:
        """Report it; an unknown position is reported once, until it is known and lost again."""
        if not (doubt.place and self.state.lost_told):
            self._say(doubt.check, doubt.what, doubt.fix)
        self.state.lost_told |= doubt.place

    def _say_unread(self, unread: Unread) -> None:
        if not (unread.place and self.state.lost_told):
            column = self._tokens.column(self._raw, unread.at)
            self._say(unread.check, f"{unread.what}; it is read as no motion", unread.fix, column=column, stops=True)
        self.state.lost_told |= unread.place

    def _refuse(self, refusal: Refusal, bare: str) -> None:
        what, fix = WORDING[refusal.fault]
        word = f" ({refusal.word!r})" if refusal.word else ""
        column = refusal.at + 1 if refusal.raw else self._tokens.column(self._raw, refusal.at)
        code = self.grammar.errors.get(refusal.fault)
        self._say(
            "controller", f"{what}{word}; nothing in this block is done", fix, column=column, code=code, stops=True
        )
        if not bare or any(letter in bare for letter in "XYZ"):
            self._lose()

    def _lose(self) -> None:
        self.state.move_to(self.state.place.lost())


def _line(data: bytes, at: int) -> tuple[bytes, int]:
    """The line that begins at ``at``, and the beginning of the next one."""
    end = _LINE_END.search(data, at)
    return (data[at:], len(data)) if end is None else (data[at : end.start()], end.end())
