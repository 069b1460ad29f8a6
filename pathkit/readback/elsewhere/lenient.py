"""The reader for files that were made elsewhere: what cannot be followed is refused, all else is read and remarked on.

The strict reader asks whether a file may be relied on. This one asks what the file says: a place that only the
controller knows is left unknown until the file states it again, and each remark is made once.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import isnan
from typing import Final, NamedTuple

from pathkit.findings import Finding, Severity
from pathkit.machine.capabilities import Capabilities
from pathkit.motion.program import Program, Stop
from pathkit.readback.blocks import Block
from pathkit.readback.elsewhere.names import name_of
from pathkit.readback.faults import WORDING, Doubt, Refusal, Unread
from pathkit.readback.interpret import UNSET, Reader
from pathkit.readback.motion import Plan
from pathkit.readback.rules import ARCS, moving
from pathkit.readback.state import AXES, UNKNOWN, changed

_SLASH: Final = re.compile(rb"[\x00-\x20]*(?:[Nn][\x00-\x20]*[0-9]+[\x00-\x20]*)?/")
_COMMENT: Final = re.compile(rb"\([^)]*\)?|;.*", re.DOTALL)
_ALWAYS_TOLD: Final = frozenset({"units", "motion"})
"""What is told even though the controller's own default is known: files are wrong by 25.4, or plunge at rapid."""

_AWAY: Final = frozenset({"G28", "G30", "G53"})
_SETS_ZERO: Final = frozenset({"G10", "G92"})
_INCHES: Final = frozenset({"G20", "G70"})
_CENTRES: Final[Mapping[str, str]] = {"G17": "IJ", "G18": "IK", "G19": "JK"}


class Spot(NamedTuple):
    """A line and a column of a text, both from 1."""

    line: int
    column: int


@dataclass
class Trail:
    """What the reader has passed: the line of each event, where the bit is changed, where the last code of some kinds
    stands, and the modal groups that the text sets.

    ``end`` is the byte of the text at which the program has ended. ``homed``: G91 has been in force since a move home.
    """

    events: list[int] = field(default_factory=list)
    changes: list[Spot] = field(default_factory=list)
    distance: Spot | None = None
    shift: Spot | None = None
    end: int = 0
    homed: bool = False
    went_home: bool = False
    groups: set[str] = field(default_factory=set)


class LenientReader(Reader):
    """Reads by any grammar; the findings of severity *error* are those that it cannot follow.

    ``hasty``: it stops at the first of those. ``trail`` is what the checks of `traps` look at.
    """

    def __init__(self, capabilities: Capabilities, file: str | None, *, hasty: bool = False) -> None:
        grammar = capabilities.grammar
        assert grammar is not None, "a file that is not made of words is read by its dialect's own reader"
        if grammar.slash == "switch":
            grammar = replace(grammar, slash="ignored")
        super().__init__(capabilities, grammar, UNKNOWN, file)
        self.trail = Trail()
        self._hasty = hasty
        self._mover = replace(self._mover, wide=True)
        self._told: set[tuple[str, str]] = set()
        self._never_left = set(AXES)
        self._wrong = False

    @property
    def stopped(self) -> bool:
        """Whether a word has ended the program."""
        return self._switches.stopped or (self._tape and self.state.ended)

    @property
    def begun(self) -> bool:
        """Whether there was any block."""
        return self._begun

    @property
    def on_tape(self) -> bool:
        """Whether a % has opened the file."""
        return self._tape

    def result(self) -> tuple[Program, tuple[Finding, ...]]:
        """The moves and what was told; to be asked for once."""
        return self.columns.program(self.start), tuple(self.findings)

    # --- lines -------------------------------------------------------------------------------------------------

    def _read_line(self, raw: bytes) -> None:
        if b"/" in raw or self._tokens.real_time(raw) is not None:
            self._block = Block()
            if self._hidden_bytes(_COMMENT.sub(lambda comment: b" " * len(comment[0]), raw)):
                self._lose()
                return
        super()._read_line(raw)

    def _hidden_bytes(self, words: bytes) -> bool:
        """Refuse bytes that a controller drops from the midst of its words: X−5 would become X5, and X1/2 X12."""
        begin = 0
        if (slash := _SLASH.match(words)) is not None:
            begin = slash.end()
            what = "a block that a switch at the controller may skip is read as if the switch were off: it runs"
            self._say("block delete", what, "take out the slash, or the block", column=begin)
        dropped = re.compile(b"[/%b]" % re.escape(self.grammar.real_time)).search(words, begin)
        if dropped is not None:
            what = f"the byte 0x{dropped[0][0]:02X} stands among the words, and some controllers drop it"
            self._say("controller", what, "write plain ASCII words", column=dropped.start() + 1, stops=True)
        return dropped is not None

    def _not_a_block(self, bare: str) -> bool:
        if self.grammar.tape_mark and bare == "%" and self._begun and not self._tape:
            self._tape = self.state.ended = True
            return True
        return super()._not_a_block(bare)

    def _finish(self, at: int) -> None:
        self.trail.end = at
        if self.grammar.open_end and not self._switches.stopped:
            self.columns.event(Stop())
        self._follow_events()

    # --- blocks ------------------------------------------------------------------------------------------------

    def _run(self, block: Block) -> None:
        before = {group: code for group, code in self.state.modes.items() if group in self.state.known}
        super()._run(block)
        self._follow_events()
        codes, trail = block.codes, self.trail
        self._follow_modes(codes, before)
        trail.groups |= codes.keys()
        if "tool" in codes:
            trail.changes.append(self._spot(codes["tool"]))
        if "distance" in codes:
            trail.distance, trail.homed = self._spot(codes["distance"]), False
        elif trail.homed and block.axes and "non-modal" not in codes:
            what = "this still counts increments: G91 was for the move home before it, and no G90 has followed"
            self._say("G91 left on", what, "write G90 after the move home")
            trail.homed = False
        code = codes.get("non-modal", "")
        if code in ("G28", "G30"):
            trail.went_home, trail.homed = True, self.state.modes.get("distance") == "G91"
        if code.startswith("G92"):
            trail.shift = self._spot(code)

    def _follow_modes(self, codes: Mapping[str, str], before: Mapping[str, str]) -> None:
        """Remark on a file that goes on in other units, or counts from another zero."""
        units, offset = codes.get("units"), codes.get("offset")
        if units and "units" in before and (units in _INCHES) != (before["units"] in _INCHES):
            what = (
                "the file counts in inches from here, and in mm before"
                if units in _INCHES
                else "the file counts in mm from here, and in inches before"
            )
            self._say("mixed units", what, "is that meant? the same number is 25.4 times as long in inches",
                      column=self._column(units))  # fmt: skip
        if offset and offset != before.get("offset", offset):
            what = f"{offset} is another work offset than {before['offset']}: where it lies, the file does not say"
            self._say("work offsets", what, "post it with one work offset", column=self._column(offset))

    def _plan(self, block: Block, modes: Mapping[str, str], feed: float) -> tuple[Plan, list[Doubt]]:
        code, motion = block.codes.get("non-modal", ""), moving(block, modes)
        if (named := name_of(block.codes.get("cutter", ""), 0)) is not None:
            raise Unread(*named, block.place(block.codes["cutter"]))
        if code in _SETS_ZERO:
            self._never_left -= block.values.keys()
        elif code in _AWAY or "length" in block.codes:
            self._never_left.clear()
        elif motion and modes.get("distance") == "G91":
            self._begin_where_it_stands(block, motion, modes)
        if motion in ARCS and modes.get("arc distance") == "G90.1" and "R" not in block.values:
            words = _CENTRES[modes.get("plane", "G17")]
            if missing := [word for word in words if word not in block.values]:
                what = f"a centre that is absolute (G90.1) needs {words[0]} and {words[1]}; {missing[0]} is missing"
                raise Unread(what, "add it", block.place(motion))
        return super()._plan(block, modes, feed)

    def _begin_where_it_stands(self, block: Block, motion: str, modes: Mapping[str, str]) -> None:
        """A file that begins with increments counts from where the bit is put; that place is its zero."""
        words = {axis for axis in AXES if axis in block.values}
        if motion in ARCS:
            words |= {"G17": {"X", "Y"}, "G18": {"X", "Z"}, "G19": {"Y", "Z"}}[modes.get("plane", "G17")]
        at = self.state.place.at
        fresh = {axis: 0.0 for k, axis in enumerate(AXES) if axis in words & self._never_left and isnan(at[k])}
        if not fresh:
            return
        self.start = changed(self.start, fresh)
        self.state.place = self.state.place._replace(at=changed(at, fresh))
        what = "the file begins with increments: it is read as if the bit stood at 0 at first, along these axes"
        self._say("start", what, "put the bit there before it starts, or begin with G90")

    def _relies_on(self, group: str) -> None:
        assumed = self.state.modes.get(group)
        if assumed is not None and group not in _ALWAYS_TOLD:
            return
        what, code = UNSET[group]
        read_as = "as if it said " + code if assumed is None else f"as after switching on, {assumed}"
        self._say("unknown state", f"the file does not say {what}; it is read {read_as}", f"write {code} first")

    def _follow_events(self) -> None:
        self.trail.events += [self._line] * (self.columns.events - len(self.trail.events))

    # --- findings ----------------------------------------------------------------------------------------------

    def _say(
        self, check: str, what: str, fix: str = "", *, column: int = 0, code: str | None = None, stops: bool = False
    ) -> None:  # fmt: skip
        severity: Severity = "error" if stops else "note" if check == "other plane" else "warning"
        if not stops:
            if (check, what) in self._told:
                return
            self._told.add((check, what))
        self._note(check, what, fix, severity, column, code)
        self._wrong |= stops
        if stops and self._hasty:
            self.state.ended = True

    def _say_unread(self, unread: Unread) -> None:
        if unread.place and self._wrong:
            return  # it is not known because of what has been refused, most likely
        column = self._tokens.column(self._raw, unread.at)
        self._say(unread.check, unread.what, unread.fix, column=column, stops=True)

    def _refuse(self, refusal: Refusal, bare: str) -> None:
        column = refusal.at + 1 if refusal.raw else self._tokens.column(self._raw, refusal.at)
        code = self.grammar.errors.get(refusal.fault)
        if (named := name_of(bare, refusal.at)) is not None:
            what, fix = named
        else:
            what, fix = WORDING[refusal.fault]
            what += f" ({refusal.word!r})" if refusal.word else ""
        self._say("controller", what, fix, column=column, code=code, stops=True)
        self._lose()

    def _column(self, word: str) -> int:
        return self._tokens.column(self._raw, self._block.place(word))

    def _spot(self, word: str) -> Spot:
        return Spot(self._line, self._column(word))
