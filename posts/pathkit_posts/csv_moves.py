"""A table of moves: not G-code at all, for teaching and for spreadsheets."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Final

import numpy as np

from pathkit import (
    ARC,
    LINE,
    RAPID,
    Capabilities,
    Context,
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

MOVES: Final = {"rapid": RAPID, "line": LINE, "cw": ARC, "ccw": ARC}
SENSES: Final = {"clockwise": 1, "counter": -1}
UNITS: Final = {"mm": 1.0, "inch": 25.4}
NUMBER: Final = re.compile(r"-?[0-9]{1,9}(\.[0-9]{0,6})?")
NOWHERE: Final = (math.nan, math.nan)
FULL_TURN: Final = 1e-12  # radians: an arc that turns by less goes all the way round


class Wrong(Exception):
    """A row that cannot be run."""


@dataclass
class Table:
    """What has been read so far. ``rpm`` is what a speed of 1 is; ``unit`` in mm, None until the table sets it."""

    slack: float
    rpm: float
    unit: float | None = None
    place: list[float] = field(default_factory=lambda: [math.nan] * 3)
    rows: list[tuple[Any, ...]] = field(default_factory=list)
    events: list[tuple[int, Event]] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def row(self, cells: list[str], line: int) -> None:
        match cells:
            case ["unit", name] if name in UNITS:
                self.unit = UNITS[name]
            case ["move", *_]:
                pass
            case [kind, x, y, z, i, j, feed] if kind in MOVES:
                self.move(kind, (x, y, z), (i, j), feed, line)
            case _:
                self.happens(happening(cells, self.rpm))

    def happens(self, event: Event) -> None:
        """Keep the event, unless it switches off what is off."""
        off = (isinstance(event, Spindle) and event.sense == 0) or event == Coolant("off")
        last = next((e for _, e in reversed(self.events) if type(e) is type(event)), None)
        if not (off and (last is None or last == event)):
            self.events.append((len(self.rows), event))

    def move(self, kind: str, words: Sequence[str], centre: Sequence[str], feed: str, line: int) -> None:
        if self.unit is None:
            raise Wrong("a move before the unit is set")
        unit, start = self.unit, list(self.place)
        end = [number(word) * unit if word else before for word, before in zip(words, start, strict=True)]
        how, middle, sweep, rate = MOVES[kind], NOWHERE, 0.0, math.nan
        if how != RAPID:
            if any(map(math.isnan, (*start, *end))):
                raise Wrong("a cut from or to an unknown place")
            rate = number(feed) * unit
            if not rate > 0.0:
                raise Wrong("a cut without a feed")
        if how == ARC:
            middle = number(centre[0]) * unit, number(centre[1]) * unit
            sweep = turned(start, end, middle, kind == "cw", self.slack)
        self.rows.append((how, end, middle, sweep, rate, line))
        self.place = end

    def program(self) -> Program:
        count = len(self.rows)
        kind, end, centre, sweep, feed, lines = zip(*self.rows, strict=True) if count else ((),) * 6
        none = np.full(count, -1, np.int32)
        return Program(
            start=np.full(3, math.nan),
            kind=np.array(kind, np.uint8),
            end=np.array(end, float).reshape(count, 3),
            centre=np.array(centre, float).reshape(count, 2),
            sweep=np.array(sweep, float),
            feed=np.array(feed, float),
            toolpath=none,
            level=none,
            line=np.array(lines, np.int32),
            event=tuple(event for _, event in self.events),
            event_at=np.array([at for at, _ in self.events], np.int64),
            frame="controller",
        )


def number(word: str) -> float:
    """A plain decimal number. Raises `Wrong`."""
    if not NUMBER.fullmatch(word):
        raise Wrong(f"{word[:24]!r} is not a number")
    return float(word)


def turned(
    start: Sequence[float], end: Sequence[float], centre: tuple[float, float], clockwise: bool, slack: float
) -> float:  # fmt: skip
    """Signed angle, radians; a full turn if the arc ends where it began."""
    ax, ay, bx, by = start[0] - centre[0], start[1] - centre[1], end[0] - centre[0], end[1] - centre[1]
    near = math.hypot(ax, ay)
    if near == 0.0 or abs(near - math.hypot(bx, by)) > slack:
        raise Wrong("the end of the arc does not lie on its circle")
    angle = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
    if clockwise:
        return angle - 2.0 * math.pi if angle >= -FULL_TURN else angle
    return angle + 2.0 * math.pi if angle <= FULL_TURN else angle


def happening(cells: list[str], rpm: float) -> Event:
    """The event in a row of cells. Raises `Wrong`."""
    match cells:
        case ["bit", name] if name.isdecimal():
            return ToolChange(f"bit {name}", int(name))
        case ["spindle", "off"]:
            return Spindle(0.0, 0)
        case ["spindle", sense, speed] if sense in SENSES:
            return Spindle(number(speed) * rpm, SENSES[sense])
        case ["coolant", "flood" | "mist" | "off" as kind]:
            return Coolant(kind)
        case ["dwell", seconds]:
            return Dwell(abs(number(seconds)))
        case ["pause"]:
            return Pause("pause")
        case ["end"]:
            return Stop()
        case _:
            raise Wrong(f"a row of unknown kind: {','.join(cells)[:40]!r}")


def read_moves(text: bytes, capabilities: Capabilities) -> Reading:
    """The table as it would be run: numbers are absolute, an empty cell keeps its axis; wrong rows are skipped."""
    table = Table(capabilities.arc_radius_slack, capabilities.rpm_per_s)
    for line, raw in enumerate(re.split(r"\r\n|\n|\r", text.decode("latin-1")), 1):
        cells = [cell.strip() for cell in raw.split("#")[0].split(",")]
        if cells == [""]:
            continue
        try:
            table.row(cells, line)
        except Wrong as wrong:
            table.findings.append(Finding(check="controller", what=str(wrong), fix="write the table again", line=line))
    return Reading(table.program(), tuple(table.findings))


class CsvMoves(Dialect):
    """One move a row: kind, end, centre, feed; everything absolute. It shows that a dialect need not use letters."""

    name = "csv"
    title = "Table of moves (CSV)"
    suffix = ".csv"
    reader = staticmethod(read_moves)
    words = Words(
        rapid="rapid", line="line", clockwise="cw", counter_clockwise="ccw", x="", y="", z="", i="", j="", feed="",
        block="", between=",", units={"mm": "unit,mm", "inch": "unit,inch"},
        modes="move,x,y,z,centre x,centre y,feed", arc_modes={"absolute": ""}, tool="bit,", change="", speed="",
        spindle={1: "spindle,clockwise", -1: "spindle,counter", 0: "spindle,off"},
        coolant={"flood": "coolant,flood", "mist": "coolant,mist", "off": "coolant,off"}, dwell="dwell,", pause="pause",
    )  # fmt: skip
    capabilities = Capabilities(
        feed_decimals=3,
        arcs="absolute",
        columns=True,
        coolants=frozenset({"flood", "mist"}),
        tool_change="word",
        offsets=(),
        program_end="end",
        comment=("#", ""),
    )

    def event(self, event: Event, context: Context) -> Sequence[str]:
        match event:
            case Spindle(_, sense) if sense != 0:
                return [f"{self.words.spindle[sense]},{context.speed(event)}"]
            case ToolChange(name, number) if number is None or context.capabilities.tool_change != "word":
                # A row with the change would itself make it, but this is to be a pause.
                return context.comment(f"bit {name}" if number is None else f"bit {name}, number {number}")
            case _:
                return super().event(event, context)

    def epilogue(self, context: Context) -> Sequence[str]:
        off = [self.words.spindle[0]] if context.spindle else []
        return [*off, self.words.coolant["off"], context.capabilities.program_end]
