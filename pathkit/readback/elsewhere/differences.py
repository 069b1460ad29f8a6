"""Where two readings of one text part, and what each of them would do there."""

from __future__ import annotations

from collections.abc import Sequence
from math import isnan
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.motion.program import (
    ARC,
    RAPID,
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
)

SAME_READING: Final = 1e-3
"""mm, radians, share of a feed: two readings of one text that differ by less are the same; one drops a digit, say."""


class Parting(NamedTuple):
    """The first row, or else the first event that acts on the cut, in which two programs differ."""

    row: int | None = None
    event: int | None = None


def parting(one: Program, other: Program) -> Parting | None:
    """Where two programs first differ by more than `SAME_READING`; None if they make the same moves and events."""
    rows = min(len(one), len(other))
    apart = (
        (one.kind[:rows] != other.kind[:rows])
        | _apart(one.end[:rows], other.end[:rows]).any(axis=1)
        | _apart(one.centre[:rows], other.centre[:rows]).any(axis=1)
        | _apart(one.sweep[:rows], other.sweep[:rows])
        | _apart(one.feed[:rows], other.feed[:rows], SAME_READING * np.abs(one.feed[:rows]))
    )
    if (found := np.flatnonzero(apart)).size:
        return Parting(row=int(found[0]))
    if len(one) != len(other):
        return Parting(row=rows)
    mine, theirs = _events(one), _events(other)
    for k in range(max(len(mine), len(theirs))):
        if [each[1:] for each in mine[k : k + 1]] != [each[1:] for each in theirs[k : k + 1]]:
            return Parting(event=k)
    return None


def _events(program: Program) -> list[tuple[int, int, Event]]:
    """The index of each event that acts on the cut, before which row it comes, and the event, a dwell rounded to the
    thousandth of a second. How a program pauses and ends is the operator's and the controller's own."""
    return [
        (index, at, Dwell(round(event.seconds, 3)) if isinstance(event, Dwell) else event)
        for index, (event, at) in enumerate(zip(program.event, program.event_at.tolist(), strict=True))
        if not isinstance(event, (Pause, Stop))
    ]


def _apart(
    one: NDArray[np.float64], other: NDArray[np.float64], slack: NDArray[np.float64] | float = SAME_READING
) -> NDArray[np.bool_]:
    """Where two arrays differ; what neither of them knows (NaN) is alike."""
    unlike: NDArray[np.bool_] = ~((np.abs(one - other) <= slack) | (np.isnan(one) & np.isnan(other)))
    return unlike


def told(program: Program, at: Parting) -> str:
    """What the program does where it parts from another one."""
    return _row(program, at.row) if at.row is not None else _event(program, at.event or 0)


def _row(program: Program, row: int) -> str:
    if row >= len(program):
        return "makes no further move"
    end = " ".join(f"{axis}{_figure(value)}" for axis, value in zip("XYZ", program.end[row].tolist(), strict=True))
    if program.kind[row] == RAPID:
        return f"goes to {end} at rapid"
    feed = float(program.feed[row])
    at = "at a feed that is not known" if isnan(feed) else f"at {_figure(feed)} mm/min"
    if program.kind[row] != ARC:
        return f"cuts straight to {end} {at}"
    about = " ".join(f"{axis}{_figure(value)}" for axis, value in zip("XY", program.centre[row].tolist(), strict=True))
    turn = _figure(abs(np.degrees(program.sweep[row])))
    return f"cuts an arc of {turn} degrees about {about} to {end} {at}"


def _event(program: Program, index: int) -> str:
    events = _events(program)
    match events[index][2] if index < len(events) else None:
        case Dwell(seconds):
            return f"waits {_figure(seconds)} s"
        case Spindle(speed, sense):
            return f"turns the spindle at {_figure(speed)} rpm" if sense else "stops the spindle"
        case Lift(z):
            return f"goes up to Z{_figure(z)} in machine coordinates"
        case ToolChange():
            return "changes the bit"
        case Coolant(kind):
            return "switches coolant off" if kind == "off" else f"switches {kind} coolant on"
        case Offset(name):
            return f"counts from {name}"
        case _:
            return "does nothing of the kind"


def _figure(value: float) -> str:
    return "?" if isnan(value) else f"{round(value, 4) + 0.0:g}" if abs(value) < 1e5 else f"{value:.1f}"


def line_of(programs: Sequence[Program], at: Parting, event_lines: Sequence[int]) -> int | None:
    """The line in which they part: of the first program that has the row or event."""
    if at.row is not None:
        return next((int(program.line[at.row]) for program in programs if at.row < len(program)), None)
    events = _events(programs[0])
    if at.event is None or not events:
        return None
    # What only another one does is told beside what this one did last.
    return event_lines[events[min(at.event, len(events) - 1)][0]]
