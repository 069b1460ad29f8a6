"""What happens between moves, in a form in which a program and the program read back can be compared.

A program says "this bit, this speed"; the file says it in the words of one controller. Both become a list of `Signal`:
only changes of state count, neighbouring dwells are added up, and what the controller cannot do (a spindle switched by
hand, a bit changed in a pause) becomes the pause in which the operator does it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from pathkit.machine.capabilities import Capabilities
from pathkit.machine.profile import SpindleControl
from pathkit.motion.program import (
    Beam,
    Coolant,
    Dwell,
    Event,
    Lift,
    Offset,
    Pause,
    Program,
    Spindle,
    Stop,
    ToolChange,
)  # fmt: skip
from pathkit.tolerances import DWELL_SLACK, LIFT_SLACK

Kind = Literal["spindle", "beam", "tool", "dwell", "pause", "coolant", "offset", "lift", "stop"]

WINDOW = 40
"""Signals searched on either side for the next pair that agrees."""


@dataclass(frozen=True, slots=True)
class Signal:
    """``at`` is the row before which it happens; ``words`` describes it to people."""

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
            "beam": "the beam",
            "tool": "tool",
            "pause": "a pause",
            "coolant": "coolant",
            "offset": "offset",
            "lift": "a move up in machine coordinates, to",
            "stop": "the program's end",
        }
        return f"{says[self.kind]} {self.value}".strip()

    def agrees(self, other: Signal, speed_slack: float) -> bool:
        """Whether both say the same thing, allowing for the rounding of numbers."""
        if self.kind != other.kind or self.sense != other.sense:
            return False
        if isinstance(self.value, str) or isinstance(other.value, str):
            return self.value == other.value
        slack = {"spindle": speed_slack, "dwell": DWELL_SLACK, "lift": LIFT_SLACK}.get(self.kind, 0.0)
        return abs(self.value - other.value) <= slack


def expected(program: Program, capabilities: Capabilities, spindle: SpindleControl, offset: str) -> list[Signal]:
    """What a file of this program must say on such a controller; ``offset`` is in force from the start."""
    return _state_changes(_safe_events(program, capabilities, spindle), offset)


def signals_of(program: Program, *, offset: str) -> list[Signal]:
    """What a file that was read back says; ``offset`` is the work offset that is in force from the start."""
    return _state_changes(((int(at), event) for at, event in zip(program.event_at, program.event, strict=True)), offset)


def _safe_events(program: Program, capabilities: Capabilities, control: SpindleControl) -> Iterator[tuple[int, Event]]:
    """The events as a careful operator wants them: spindle off before anybody reaches in, and on again afterwards.

    The first bit is in the collet before the file starts. A controller without a changer waits for each later bit; one
    with a changer waits for a bit without a number.
    """
    off = Spindle(0.0, 0)
    turning = off
    lit, dark = Beam("off"), Beam("off")
    stopped: tuple[int, Spindle] | None = None
    shut: tuple[int, Beam] | None = None
    tool: ToolChange | None = None
    rows = len(program)
    events = [(int(at), e) for at, e in zip(program.event_at, program.event, strict=True) if not isinstance(e, Stop)]
    for at, event in [*events, (rows, off), (rows, dark), (rows, Coolant("off")), (rows, Stop())]:
        if shut is not None and (at > shut[0] or isinstance(event, Beam)):
            if not (isinstance(event, Beam) and at == shut[0]):
                lit = shut[1]
                yield shut
            shut = None
        if stopped is not None and (at > stopped[0] or isinstance(event, Spindle)):
            where, before = stopped
            stopped = None
            if not (isinstance(event, Spindle) and at == where):
                turning = before
                yield where, _by_hand(before) if control.control == "manual" else before
                yield where, Dwell(control.spin_up)
        if isinstance(event, Spindle):
            changed = event != turning
            if control.control == "manual":
                if changed and (event.sense != 0 or turning.sense != 0):
                    yield at, _by_hand(event)
            else:
                if event.sense * turning.sense < 0:
                    yield at, off
                yield at, event
            turning = event if event.sense != 0 else off
        elif isinstance(event, Beam):
            lit = event
            yield at, event
        elif event == tool:
            continue  # That bit is already in.
        elif isinstance(event, ToolChange | Pause):
            first, tool = tool is None, event if isinstance(event, ToolChange) else tool
            waits = isinstance(event, Pause) or capabilities.tool_change != "word" or event.number is None
            if isinstance(event, ToolChange) and first and waits:
                continue
            if lit != dark:
                shut, lit = (at, lit), dark
                yield at, dark
            if turning.sense != 0:
                stopped, turning = (at, turning), off
                yield at, off if control.control == "words" else _by_hand(off)
            yield at, Pause("") if waits else event
        else:
            yield at, event


def _by_hand(event: Spindle) -> Pause:
    return Pause(f"the spindle at {event.speed:g} rpm" if event.sense != 0 else "the spindle off")


def _state_changes(stream: Iterator[tuple[int, Event]], offset: str) -> list[Signal]:
    state: dict[str, Signal] = {
        "spindle": Signal(0, "spindle", 0.0, 0),
        "beam": Signal(0, "beam", "off"),
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
        case Beam(mode):
            return Signal(at, "beam", mode)
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
        case Lift(z):
            return Signal(at, "lift", z)
        case Stop():
            return Signal(at, "stop")
        case _:
            return None


def align(
    wanted: list[Signal], found: list[Signal], speed_slack: float
) -> tuple[list[tuple[Signal, Signal]], list[Signal], list[Signal]]:
    """Pair two lists in order, as many as possible; the rest is missing or extra.

    Where they differ, the longest common subsequence of the next few on either side decides (dynamic programming).
    """
    pairs: list[tuple[Signal, Signal]] = []
    missing: list[Signal] = []
    extra: list[Signal] = []
    i = j = 0
    while i < len(wanted) and j < len(found):
        if not wanted[i].agrees(found[j], speed_slack):
            a, b = _next_pair(wanted[i : i + WINDOW], found[j : j + WINDOW], speed_slack)
            missing += wanted[i : i + a]
            extra += found[j : j + b]
            i, j = i + a, j + b
            continue
        pairs.append((wanted[i], found[j]))
        i, j = i + 1, j + 1
    return pairs, missing + wanted[i:], extra + found[j:]


def _next_pair(wanted: list[Signal], found: list[Signal], speed_slack: float) -> tuple[int, int]:
    """How many to skip on either side to reach the first pair of a longest common subsequence."""
    common = [[0] * (len(found) + 1) for _ in range(len(wanted) + 1)]
    for i in reversed(range(len(wanted))):
        for j in reversed(range(len(found))):
            if wanted[i].agrees(found[j], speed_slack):
                common[i][j] = 1 + common[i + 1][j + 1]
            else:
                common[i][j] = max(common[i + 1][j], common[i][j + 1])
    i = j = 0
    while i < len(wanted) and j < len(found) and common[i][j] and not wanted[i].agrees(found[j], speed_slack):
        if common[i + 1][j] == common[i][j]:
            i += 1
        else:
            j += 1
    return (i, j) if i < len(wanted) and j < len(found) and common[i][j] else (len(wanted), len(found))
