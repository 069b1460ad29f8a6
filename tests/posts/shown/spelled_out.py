"""``LINE X=1 Y=2 FEED=900``: words spelled out, all of them declared, with a reader of its own; written from
posts/README.md alone."""

from __future__ import annotations

import math
import re
from typing import Any

import numpy as np

from pathkit import (
    ARC,
    LINE,
    RAPID,
    Capabilities,
    Coolant,
    Dialect,
    Dwell,
    Event,
    Finding,
    Pause,
    Program,
    Reading,
    Spindle,
    Stop,
    ToolChange,
    Words,
)

UNITS = {"MM": 1.0, "INCH": 25.4}
VERBS = {"RAPID": RAPID, "LINE": LINE, "TURN_RIGHT": ARC, "TURN_LEFT": ARC}
SENSES = {"RIGHT": 1, "LEFT": -1, "OFF": 0}
WORD = re.compile(r"([A-Z_]+)(?:=([A-Z]+|-?[0-9]+(?:\.[0-9]+)?))?")
NAN = math.nan


class Wrong(Exception):
    """A line that cannot be run."""


def numbers_in(words: dict[str, str | None], *names: str) -> dict[str, float]:
    """The numbers of these names, taken out of the words."""
    found = {name: words.pop(name) for name in names if name in words}
    if any(value is None or value.isalpha() for value in found.values()):
        raise Wrong(f"one of {', '.join(found)} is no number")
    return {name: float(value or 0) for name, value in found.items()}


class Lines:
    """What has been read so far."""

    def __init__(self, capabilities: Capabilities) -> None:
        self.capabilities = capabilities
        self.mm: float | None = None
        self.place, self.feed, self.speed, self.bit = [NAN, NAN, NAN], NAN, 0.0, 0
        self.rows: list[tuple[Any, ...]] = []
        self.events: list[tuple[int, Event]] = []
        self.running: set[str] = set()

    def take(self, text: str, line: int) -> None:
        if text.startswith("REM "):
            return
        said = text.split()
        if not all(WORD.fullmatch(word) for word in said):
            raise Wrong("something that is no word of this language")
        words: dict[str, str | None] = {}
        for word in said:
            name, equals, value = word.partition("=")
            if name in words:
                raise Wrong(f"{name} is said twice")
            words[name] = value if equals else None
        verbs = [name for name, value in words.items() if value is None]
        if len(verbs) > 1:
            raise Wrong("more than one thing to do")
        if verbs and verbs[0] in VERBS:
            self.move(words.pop(verbs[0]) or verbs[0], words, line)
        else:
            self.happens(words)
        if words:
            raise Wrong(f"nothing is known of {next(iter(words))}")

    def move(self, verb: str, words: dict[str, str | None], line: int) -> None:
        if self.mm is None:
            raise Wrong("a move before the unit is set")
        start, kind = self.place, VERBS[verb]
        to = numbers_in(words, "X", "Y", "Z")
        arm = numbers_in(words, "ARM_X", "ARM_Y")
        self.feed = numbers_in(words, "FEED").get("FEED", self.feed / self.mm) * self.mm
        end = [to[axis] * self.mm if axis in to else was for axis, was in zip("XYZ", start, strict=True)]
        if kind != RAPID and (any(map(math.isnan, [*start, *end])) or not self.feed > 0.0):
            raise Wrong("a cut from an unknown place, or without a feed")
        if (len(arm) == 2) != (kind == ARC):
            raise Wrong("a turn, and only a turn, has two arms")
        centre, sweep = (NAN, NAN), 0.0
        if kind == ARC:
            centre = start[0] + arm["ARM_X"] * self.mm, start[1] + arm["ARM_Y"] * self.mm
            sweep = self.turned(start, end, centre, verb == "TURN_RIGHT")
        self.rows.append((kind, end, centre, sweep, NAN if kind == RAPID else self.feed, line))
        self.place = end

    def turned(self, start: list[float], end: list[float], centre: tuple[float, float], clockwise: bool) -> float:
        a, b = complex(*start[:2]) - complex(*centre), complex(*end[:2]) - complex(*centre)
        if a == 0 or abs(abs(a) - abs(b)) > self.capabilities.arc_radius_slack:
            raise Wrong("a turn whose end is not on its circle")
        angle = math.atan2((a.conjugate() * b).imag, (a.conjugate() * b).real)
        if clockwise:
            return angle - 2.0 * math.pi if angle >= -1e-12 else angle
        return angle + 2.0 * math.pi if angle <= 1e-12 else angle

    def happens(self, words: dict[str, str | None]) -> None:
        if (unit := words.pop("UNIT", "")) != "":
            if unit not in UNITS:
                raise Wrong("a unit that is not known")
            self.mm = UNITS[unit or ""]
        self.speed = numbers_in(words, "SPEED").get("SPEED", self.speed)
        for name, switches in (("SPINDLE", SENSES), ("COOLANT", {"FLOOD": 1, "OFF": 0})):
            if name not in words:
                continue
            if (to := words.pop(name) or "") not in switches:
                raise Wrong(f"{name} cannot be {to}")
            self.switch(name, to, switches[to])
        numbers = numbers_in(words, "BIT", "WAIT")
        if min(numbers.values(), default=0.0) < 0.0:
            raise Wrong("a number below 0")
        self.bit = int(numbers.get("BIT", self.bit))
        if "WAIT" in numbers:
            self.event(Dwell(numbers["WAIT"]))
        changed = ToolChange(f"bit {self.bit}", self.bit)
        for name, event in (("CHANGE", changed), ("PAUSE", Pause("pause")), ("END", Stop())):
            if name in words and words.pop(name) is None:
                self.event(event)

    def switch(self, name: str, to: str, sense: int) -> None:
        if sense or name in self.running:
            (self.running.add if sense else self.running.discard)(name)
            speed = self.speed * self.capabilities.rpm_per_s if sense else 0.0
            self.event(Spindle(speed, sense) if name == "SPINDLE" else Coolant("flood" if sense else "off"))

    def event(self, event: Event) -> None:
        self.events.append((len(self.rows), event))

    def program(self) -> Program:
        count = len(self.rows)
        columns: Any = zip(*self.rows, strict=True) if count else ((),) * 6
        kind, end, centre, sweep, feed, line = (np.array(column) for column in columns)
        none = np.full(count, -1, np.int32)
        return Program(
            np.full(3, NAN), kind, end.reshape(count, 3), centre.reshape(count, 2), sweep, feed, none, none, line,
            event=tuple(event for _, event in self.events), event_at=np.array([at for at, _ in self.events], np.int64),
            frame="controller",
        )  # fmt: skip


def read_words(text: bytes, capabilities: Capabilities) -> Reading:
    """Every line as it would be run; a wrong one does nothing and is reported."""
    lines, findings = Lines(capabilities), list[Finding]()
    for number, raw in enumerate(text.splitlines(), 1):
        try:
            if raw.strip():
                lines.take(raw.decode("ascii"), number)
        except (Wrong, ValueError) as wrong:
            findings.append(Finding(check="controller", what=str(wrong), fix="write the file again", line=number))
    return Reading(lines.program(), tuple(findings))


class SpelledOut(Dialect):
    """A demonstration: every word is longer than a letter, and none needs a method."""

    name = "spelled-out"
    title = "Words spelled out"
    suffix = ".words"
    reader = staticmethod(read_words)
    words = Words(
        rapid="RAPID", line="LINE", clockwise="TURN_RIGHT", counter_clockwise="TURN_LEFT", x="X=", y="Y=", z="Z=",
        i="ARM_X=", j="ARM_Y=", feed="FEED=", block="", units={"mm": "UNIT=MM", "inch": "UNIT=INCH"}, modes="",
        tool="BIT=", change="CHANGE", speed="SPEED=", dwell="WAIT=", pause="PAUSE",
        spindle={1: "SPINDLE=RIGHT", -1: "SPINDLE=LEFT", 0: "SPINDLE=OFF"},
        coolant={"flood": "COOLANT=FLOOD", "off": "COOLANT=OFF"},
    )  # fmt: skip
    capabilities = Capabilities(
        modal=False, tool_change="word", offsets=(), program_end="END", comment=("REM ", ""), feed_decimals=1
    )
