"""What happens between moves, in a form in which a program and its reading can be held against each other.

A program says "this bit, this speed"; the file says it in the words of one controller. Both become a list of `Signal`:
changes of state only, neighbouring dwells added up, and what the controller cannot say (a spindle switched by hand, a
bit changed in a pause) as the pause that stands for it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from pathkit.machine.capabilities import Capabilities
from pathkit.motion.program import (
    Coolant,
    Dwell,
    Event,
    Offset,
    Pause,
    Program,
    Spindle,
    Stop,
    ToolChange,
)  # fmt: skip

Kind = Literal["spindle", "tool", "dwell", "pause", "coolant", "offset", "stop"]

DWELL_SLACK = 0.0015
"""Seconds by which a dwell may differ: it is written in milliseconds or in thousandths of a second."""


@dataclass(frozen=True, slots=True)
class Signal:
    """``at`` is the row before which it happens; ``words`` says it in plain words."""

    at: int
    kind: Kind
    value: float | str = ""
    sense: int = 0

    @property
    def words(self) -> str:
        if self.kind == "spindle":
            turning = {1: "clockwise", -1: "counter-clockwise"}.get(self.sense)
            return f"the spindle on, {turning}, {self.value:g} rpm" if turning else "the spindle off"
        if self.kind == "dwell":
            return f"a dwell of {self.value:g} s"
        says = {
            "tool": "tool",
            "pause": "a pause",
            "coolant": "coolant",
            "offset": "offset",
            "stop": "the program's end",
        }
        return f"{says[self.kind]} {self.value}".strip()

    def agrees(self, other: Signal, speed_slack: float) -> bool:
        """The same thing, numbers within what rounding may do to them."""
        if self.kind != other.kind or self.sense != other.sense:
            return False
        if isinstance(self.value, str) or isinstance(other.value, str):
            return self.value == other.value
        slack = {"spindle": speed_slack, "dwell": DWELL_SLACK}.get(self.kind, 0.0)
        return abs(self.value - other.value) <= slack


def expected(program: Program, capabilities: Capabilities, *, manual: bool, offset: str) -> list[Signal]:
    """What a file of this program has to say, on a controller of these capabilities; ``manual``: spindle by hand."""
    return _tidied(_spoken(program, capabilities, manual), offset)


def heard(program: Program, *, offset: str) -> list[Signal]:
    """What a file that was read back says. ``offset`` is the work offset that needs no saying."""
    return _tidied(((int(at), event) for at, event in zip(program.event_at, program.event, strict=True)), offset)


def _spoken(program: Program, capabilities: Capabilities, manual: bool) -> Iterator[tuple[int, Event]]:
    turning = False
    for row, event in zip(program.event_at, program.event, strict=True):
        at = int(row)
        if isinstance(event, Spindle):
            on = event.sense != 0 and event.speed > 0.0
            turning = on
            if not manual:
                yield at, event
            elif on:
                yield at, Pause("spindle on")
        elif isinstance(event, ToolChange) and capabilities.tool_change == "pause":
            if turning and not manual:
                yield at, Spindle(0.0, 0)
            turning = False
            yield at, Pause(f"tool {event.name}")
        elif isinstance(event, Offset) and event.name not in capabilities.offsets:
            continue
        else:
            yield at, event


def _tidied(stream: Iterator[tuple[int, Event]], offset: str) -> list[Signal]:
    state: dict[str, Signal] = {
        "spindle": Signal(0, "spindle", 0.0, 0),
        "coolant": Signal(0, "coolant", "off"),
        "offset": Signal(0, "offset", offset),
    }
    signals: list[Signal] = []
    for at, event in stream:
        signal = _signal(at, event)
        if signal is None:
            continue
        last = signals[-1] if signals and signals[-1].at == at else None
        if signal.kind in state:
            known = state[signal.kind]
            if (known.value, known.sense) == (signal.value, signal.sense):
                continue
            state[signal.kind] = signal
        elif last is not None and last.kind == signal.kind == "dwell":
            signals[-1] = Signal(at, "dwell", float(last.value) + float(signal.value))
            continue
        elif last is not None and last.kind == signal.kind == "pause":
            continue
        signals.append(signal)
    return signals


def _signal(at: int, event: Event) -> Signal | None:
    match event:
        case Spindle(speed, sense):
            return Signal(at, "spindle", speed, sense) if sense and speed > 0.0 else Signal(at, "spindle", 0.0, 0)
        case ToolChange(name, number):
            return Signal(at, "tool", name if number is None else float(number))
        case Dwell(seconds):
            return Signal(at, "dwell", seconds) if seconds > 0.0 else None
        case Pause():
            return Signal(at, "pause")
        case Coolant(kind):
            return Signal(at, "coolant", kind)
        case Offset(name):
            return Signal(at, "offset", name)
        case Stop():
            return Signal(at, "stop")
        case _:
            return None
