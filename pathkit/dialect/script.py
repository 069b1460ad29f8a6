"""The events of a program as one controller takes them: made safe in order; what it lacks is rewritten or refused."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from pathkit.dialect.words import Words, counts
from pathkit.errors import CapabilityError
from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.profile import Machine
from pathkit.model.job import Setup
from pathkit.motion.program import (
    Beam,
    Coolant,
    Dwell,
    Event,
    Lift,
    Note,
    Offset,
    Pause,
    Program,
    Spindle,
    Stop,
    ToolChange,
)

OFF = Spindle(0.0, 0)
DARK = Beam("off")


@dataclass(frozen=True)
class Script:
    """Legal events: ``events[k]`` before row ``at[k]``; ``spinning[k]`` marks those that only serve a turning spindle.

    ``offset`` is the work coordinate system of the whole file (empty if the dialect has none).
    """

    events: tuple[Event, ...]
    at: NDArray[np.int64]
    spinning: tuple[bool, ...]
    offset: str
    findings: tuple[Finding, ...] = ()

    @property
    def changes(self) -> tuple[int, ...]:
        """Numbers of the events that change a bit, without the first bit: what comes after them knows no place."""
        every = [k for k, event in enumerate(self.events) if isinstance(event, ToolChange)]
        return tuple(every[1:])

    def moved(self, at: NDArray[np.int64]) -> Script:
        """The same events before other rows."""
        return replace(self, at=np.asarray(at, dtype=np.int64))

    def only(self, kept: NDArray[np.bool_]) -> Script:
        """Only the events that are marked."""
        chosen = np.flatnonzero(kept).tolist()
        events = tuple(self.events[k] for k in chosen)
        spinning = tuple(self.spinning[k] for k in chosen)
        return replace(self, events=events, at=self.at[kept], spinning=spinning)

    def without_spindle(self) -> Script:
        """The events without those that serve a turning spindle."""
        return replace(self.only(~np.array(self.spinning, dtype=bool)), findings=())


def write_script(
    program: Program, machine: Machine, capabilities: Capabilities, words: Words, setup: Setup | None
) -> Script:
    """Go through the events once. Raises `CapabilityError` with every finding."""
    scribe = _Scribe(program, machine, capabilities, words, None if setup is None else setup.offset)
    for event, at in zip(program.event, program.event_at.tolist(), strict=True):
        scribe.take(event, at)
    return scribe.finished()


@dataclass
class _Scribe:
    """The state on the way: the spindle's, the bit's, and what a pause has switched off and must come back on."""

    program: Program
    machine: Machine
    capabilities: Capabilities
    words: Words
    wanted_offset: str | None
    events: list[Event] = field(default_factory=list)
    at: list[int] = field(default_factory=list)
    spinning: list[bool] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    refused: list[Finding] = field(default_factory=list)
    spindle: Spindle | None = None
    spun_up_at: int = -1
    resume: Spindle | None = None
    resume_at: int = -1
    beam: Beam = DARK
    relight: Beam | None = None
    tool: ToolChange | None = None
    offset: str | None = None

    def take(self, event: Event, at: int) -> None:
        if at > self.resume_at:
            self._resume()
        match event:
            case Spindle():
                self.resume = None
                self._spindle(event, at)
            case Beam():
                self.relight = None
                self._beam(event, at)
            case ToolChange():
                self._tool(event, at)
            case Pause(message):
                self._pause(message, at)
            case Dwell(seconds):
                self._dwell(seconds, at)
            case Coolant(kind):
                self._coolant(kind, at)
            case Offset(name):
                self._offset(name, at)
            case Note(text):
                # The file's first line is already the title.
                if at > 0 or text != self.program.title:
                    self._write(event, at)
            case Lift():
                self._write(event, at)
            case Stop():
                if at < len(self.program):
                    self._refuse("a stop before the last move: moves after the program's end", "cut the program there")

    def finished(self) -> Script:
        self._resume()
        offset = self.offset or self.wanted_offset or "G54"
        self._check_offset(offset)
        if self.refused:
            raise CapabilityError(self.refused)
        if not self.capabilities.offsets:
            offset = ""
        at = np.array(self.at, dtype=np.int64)
        return Script(tuple(self.events), at, tuple(self.spinning), offset, tuple(dict.fromkeys(self.findings)))

    def _write(self, event: Event, at: int, spinning: bool = False) -> None:
        self.events.append(event)
        self.at.append(at)
        self.spinning.append(spinning)

    def _refuse(self, what: str, fix: str = "") -> None:
        finding = Finding(check="legalise", what=what, fix=fix)
        if finding not in self.refused:
            self.refused.append(finding)

    def _say(self, what: str, check: str = "legalise") -> None:
        self.findings.append(Finding(check=check, what=what, severity="note"))

    @property
    def _manual(self) -> bool:
        return self.machine.spindle.control == "manual"

    def _spindle(self, event: Spindle, at: int) -> None:
        if event == self.spindle or (event.sense == 0 and self.spindle is not None and self.spindle.sense == 0):
            return
        if event.sense == 0:
            turned, self.spindle = self.spindle is not None, event
            if not self._manual:
                self._write(OFF, at, spinning=True)
            elif turned:
                self._write(Pause("switch the spindle off, then go on"), at, spinning=True)
            return
        if not self._may_turn(event):
            return
        if self.spindle is not None and self.spindle.sense == -event.sense and not self._manual:
            # A spindle is never reversed while it turns.
            self._write(OFF, at, spinning=True)
        self.spindle, self.spun_up_at = event, at
        if not self._manual:
            self._write(event, at, spinning=True)
            return
        way = "clockwise" if event.sense > 0 else "counter-clockwise"
        self._write(Pause(f"set the spindle to {event.speed:g} rpm {way}, then go on"), at, spinning=True)
        what = "the spindle is switched by hand: that it turns, and how fast, is not proved"
        self._say(what, check="not proved")

    def _beam(self, event: Beam, at: int) -> None:
        if event == self.beam:
            return
        if not self.capabilities.beam:
            self._refuse("the beam: this dialect has none", "post for the machine with the beam")
        elif self._manual:
            fix = 'let the file do it: [spindle] control = "words"'
            self._refuse(f"the beam: {self.machine.name!r} says that it is switched by hand", fix)
        elif event.mode == "constant":
            self._refuse("the beam at constant power: it would burn on where the machine stands", "make it dynamic")
        else:
            self.beam = event
            self._write(event, at, spinning=True)

    def _may_turn(self, event: Spindle) -> bool:
        limits, caps = self.machine.spindle, self.capabilities
        if caps.beam:
            what = f"spindle {event.speed:g} rpm: this dialect has a beam and no spindle"
            self._refuse(what, "post for the machine with the spindle")
            return False
        before = len(self.refused)
        if event.sense not in (1, -1) or event.sense not in caps.spindle_senses:
            self._refuse(f"spindle sense {event.sense}: this dialect has {sorted(caps.spindle_senses)}")
        if not math.isfinite(event.speed) or counts(event.speed, 1.0 / caps.speed_step) <= 0:
            what = f"spindle {event.speed:g} rpm: a speed must be more than 0"
            self._refuse(what, "give the cut a spindle speed")
        elif not limits.min <= event.speed <= limits.max:
            what = (
                f"spindle {event.speed:g} rpm: {self.machine.name!r} turns between {limits.min:g} and"
                f" {limits.max:g} rpm"
            )
            self._refuse(what, "change the cut's speed or the profile's [spindle]")
        return len(self.refused) == before

    def _stop_spindle(self, at: int) -> bool:
        """Switch off before hands come near; returns whether it was turning."""
        if self.beam != DARK:
            self.relight, self.resume_at = self.beam, at
            self._beam(DARK, at)
            self._say("the beam is switched off before a pause and on again after it")
        if self.spindle is None or self.spindle.sense == 0:
            return False
        self.resume, self.resume_at = self.spindle, at
        self._spindle(OFF, at)
        return True

    def _resume(self) -> None:
        """Switch on again, before the next move, what a pause switched off, unless the program itself changed it."""
        if self.relight is not None and self.resume_at < len(self.program):
            self._beam(self.relight, self.resume_at)
        event, self.resume, self.relight = self.resume, None, None
        if event is None or self.resume_at >= len(self.program):
            return
        self._spindle(event, self.resume_at)
        self._dwell(self.machine.spindle.spin_up, self.resume_at)

    def _pause(self, message: str, at: int) -> None:
        if self._stop_spindle(at) and not self._manual:
            self._say("the spindle is switched off before a pause and on again after it")
        if self._manual and self.at and self.at[-1] == at and self.spinning[-1]:
            # One pause says both; the twin keeps it, since the spindle is not all that it is for.
            for column in (self.events, self.at, self.spinning):
                column.pop()
            message = f"switch the spindle off. {message}"
        self._write(Pause(message), at)

    def _tool(self, event: ToolChange, at: int) -> None:
        if self.tool == event:
            return
        first, self.tool = self.tool is None, event
        caps = self.capabilities
        limit = None if caps.grammar is None else caps.grammar.tool_max
        if event.number is not None and limit is not None and event.number > limit:
            self._refuse(f"tool number {event.number}: the controller counts to {limit}", "give it a smaller one")
            return
        # A changer finds a bit by its number. One without a number is put in by hand, the first before the file starts.
        by_hand = caps.tool_change != "word" or event.number is None
        if not first or not by_hand:
            self._stop_spindle(at)
        if not first:
            self._say_change(event.name)
        self._write(event, at)
        if not first and by_hand:
            self._pause(f"put in bit {event.name}", at)

    def _say_change(self, name: str) -> None:
        """Whether Z can be set for the next bit."""
        kind = self.capabilities.z_in_pause
        if kind != "no" or self.capabilities.tool_change == "files":
            can = "" if kind == "yes" or self.capabilities.tool_change == "files" else ", if the control lets you,"
            self._say(f"the bit changes to {name!r}: set Z again{can} unless both stick out equally far")
            return
        what = f"while it waits for {name!r} this controller takes no jog and no zero"
        fix = 'make every bit stick out equally far, or have a file for each: [output] tool_change = "files"'
        self.findings.append(Finding(check="legalise", what=what, fix=fix, severity="warning"))

    def _dwell(self, seconds: float, at: int) -> None:
        if not (math.isfinite(seconds) and seconds >= 0.0):
            self._refuse(f"a dwell of {seconds} s: a time is 0 or more")
        elif counts(seconds, 1000.0) > 0:
            self._write(Dwell(seconds), at, spinning=self.spun_up_at == at)

    def _coolant(self, kind: str, at: int) -> None:
        coolants = self.capabilities.coolants
        if kind == "off":
            if coolants:
                self._write(Coolant("off"), at)
        elif kind in coolants and kind in self.words.coolant:
            self._write(Coolant("flood" if kind == "flood" else "mist"), at)
        else:
            self._refuse(f"coolant {kind!r}: this dialect has {', '.join(sorted(coolants)) or 'none'}")

    def _offset(self, name: str, at: int) -> None:
        if self.wanted_offset is not None and name != self.wanted_offset:
            self._refuse(f"work offset {name}: the set-up has {self.wanted_offset}", "make the two agree")
        elif (self.offset is not None and name != self.offset) or (at > 0 and self.offset is None and name != "G54"):
            what = f"work offset {name} after others: the place of the bit would be unknown"
            self._refuse(what, "one file for each")
        else:
            self.offset = name

    def _check_offset(self, name: str) -> None:
        offsets = self.capabilities.offsets
        if (offsets or name != "G54") and name not in offsets:
            self._refuse(f"work offset {name}: this dialect has {', '.join(offsets) or 'none'}")
