"""Each move a line of JSON: a dialect with a reader of its own, written from posts/README.md alone."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from typing import Any

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

MM = {"mm": 1.0, "inch": 25.4}
KINDS = {"rapid": RAPID, "line": LINE, "arc-cw": ARC, "arc-ccw": ARC}
NAN = math.nan


class Wrong(Exception):
    """A line that cannot be run."""


class Lines:
    """What has been read so far."""

    def __init__(self, capabilities: Capabilities) -> None:
        self.capabilities = capabilities
        self.mm: float | None = None
        self.place, self.feed = [NAN, NAN, NAN], NAN
        self.rows: list[tuple[Any, ...]] = []
        self.events: list[tuple[int, Event]] = []
        self.running: set[str] = set()

    def take(self, said: Any, line: int) -> None:
        if not isinstance(said, dict) or not isinstance(said.get("do"), str):
            raise Wrong("a line that does not say what to do")
        do = said["do"]
        numbers = {key: value for key, value in said.items() if key not in ("do", "unit", "kind", "note")}
        if not all(type(value) in (int, float) and abs(value) < 1e7 for value in numbers.values()):
            raise Wrong("something that is not a number")
        if do == "unit" and said.get("unit") in MM:
            self.mm = MM[said["unit"]]
        elif do in KINDS:
            self.move(do, numbers, line)
        elif do != "note":
            self.happens(do, said, numbers)

    def move(self, do: str, numbers: dict[str, float], line: int) -> None:
        if self.mm is None:
            raise Wrong("a move before the unit is set")
        if numbers.keys() - set("xyzijf"):
            raise Wrong("a number that no move has")
        start, feed = self.place, numbers["f"] * self.mm if "f" in numbers else self.feed
        end = [numbers[axis] * self.mm if axis in numbers else was for axis, was in zip("xyz", start, strict=True)]
        centre, sweep = (NAN, NAN), 0.0
        if do != "rapid" and (any(map(math.isnan, [*start, *end])) or not feed > 0.0):
            raise Wrong("a cut from an unknown place, or without a feed")
        if KINDS[do] == ARC:
            if not {"i", "j"} <= numbers.keys():
                raise Wrong("an arc without a centre")
            centre = numbers["i"] * self.mm, numbers["j"] * self.mm
            sweep = self.turned(start, end, centre, do == "arc-cw")
        self.rows.append((KINDS[do], end, centre, sweep, NAN if do == "rapid" else feed, line))
        self.place, self.feed = end, feed

    def turned(self, start: list[float], end: list[float], centre: tuple[float, float], clockwise: bool) -> float:
        a, b = complex(*start[:2]) - complex(*centre), complex(*end[:2]) - complex(*centre)
        if a == 0 or abs(abs(a) - abs(b)) > self.capabilities.arc_radius_slack:
            raise Wrong("an arc whose end is not on its circle")
        angle = math.atan2((a.conjugate() * b).imag, (a.conjugate() * b).real)
        if clockwise:
            return angle - 2.0 * math.pi if angle >= -1e-12 else angle
        return angle + 2.0 * math.pi if angle <= 1e-12 else angle

    def happens(self, do: str, said: dict[str, Any], numbers: dict[str, float]) -> None:
        event: Event
        match do, said.get("kind"):
            case "spindle", ("cw" | "ccw") as sense if numbers.get("s", -1.0) >= 0.0:
                event = Spindle(numbers["s"] * self.capabilities.rpm_per_s, 1 if sense == "cw" else -1)
            case "spindle", "off":
                event = Spindle(0.0, 0)
            case "coolant", ("flood" | "off") as kind:
                event = Coolant(kind)
            case "bit", None if numbers.get("t", -1.0) >= 0.0:
                event = ToolChange(f"bit {numbers['t']:g}", int(numbers["t"]))
            case "dwell", None if numbers.get("p", -1.0) >= 0.0:
                event = Dwell(numbers["p"] * 0.001)
            case "pause", None:
                event = Pause("pause")
            case "end", None:
                event = Stop()
            case _:
                raise Wrong(f"nothing is known of {do[:20]!r}")
        if do in ("spindle", "coolant"):
            off = said["kind"] == "off"
            if off and do not in self.running:
                return
            (self.running.discard if off else self.running.add)(do)
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


def read_lines(text: bytes, capabilities: Capabilities) -> Reading:
    """Every line as it would be run; a wrong one does nothing and is reported."""
    lines, findings = Lines(capabilities), list[Finding]()
    for number, raw in enumerate(text.splitlines(), 1):
        try:
            if raw.strip():
                lines.take(json.loads(raw), number)
        except (Wrong, ValueError, RecursionError) as wrong:
            findings.append(Finding(check="controller", what=str(wrong), fix="write the file again", line=number))
    return Reading(lines.program(), tuple(findings))


def said(do: str, **more: Any) -> str:
    return json.dumps({"do": do, **more}, separators=(",", ":"))


class JsonLines(Dialect):
    """Moves as lines of JSON, for machines that are fed by programs of their owner's own."""

    name = "json-lines"
    title = "Lines of JSON"
    suffix = ".jsonl"
    reader = staticmethod(read_lines)
    words = Words(
        rapid='"do":"rapid"', line='"do":"line"', clockwise='"do":"arc-cw"', counter_clockwise='"do":"arc-ccw"',
        x='"x":', y='"y":', z='"z":', i='"i":', j='"j":', feed='"f":', between=",", opening="{", closing="}", block="",
        units={"mm": said("unit", unit="mm"), "inch": said("unit", unit="inch")}, modes="", arc_modes={"absolute": ""},
        tool='{"do":"bit","t":', change="", speed='"s":', dwell='{"do":"dwell","p":', pause=said("pause"),
        spindle={0: said("spindle", kind="off"), 1: said("spindle", kind="cw"), -1: said("spindle", kind="ccw")},
        coolant={"flood": said("coolant", kind="flood"), "off": said("coolant", kind="off")},
    )  # fmt: skip
    capabilities = Capabilities(
        arcs="absolute", modal=False, tool_change="word", offsets=(), dwell_unit="ms", program_end=said("end"),
        comment=('{"do":"note","note":"', '"}'),
    )  # fmt: skip

    def event(self, event: Event, context: Context) -> Sequence[str]:
        match event:
            case Spindle(_, sense) if sense != 0:
                return [f"{self.words.spindle[sense][:-1]},{context.speed(event)}}}"]
            case Dwell(seconds):
                return [f"{self.words.dwell}{context.seconds(seconds)}}}"]
            case ToolChange(name, number) if number is not None and context.capabilities.tool_change == "word":
                return [*context.comment(f"bit {name}"), f"{self.words.tool}{number}}}"]
            case ToolChange(name):
                return context.comment(f"bit {name}")
            case _:
                return super().event(event, context)

    def epilogue(self, context: Context) -> Sequence[str]:
        """One thing a line."""
        off = [self.words.spindle[0]] if context.spindle else []
        return [*off, self.words.coolant["off"], context.capabilities.program_end]
