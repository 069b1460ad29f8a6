"""A program for several bits, split into a section for each bit: for machines where each change is a new file."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np

from pathkit.motion.program import RAPID, Beam, Coolant, Dwell, Event, Note, Offset, Program, Spindle, ToolChange


def by_tool(program: Program, spin_up: float = 0.0) -> tuple[Program, ...]:
    """The program cut before each change of bit; each section begins where the one before it ended.

    A section starts from an unknown state. It first goes, Z alone, to the height of the change (one row more than the
    program has). The work offset in force is repeated, and so are spindle (with ``spin_up`` seconds) and coolant if
    they were on. A program for one bit is returned as it is. Rows keep their order; the sections together have all of
    them.
    """
    cuts = _changes(program)
    if not cuts:
        return (program,)
    edges = [(0, 0), *cuts, (len(program), len(program.event))]
    state: dict[type[Event], Event] = {}
    sections: list[Program] = []
    for (row, event), (last_row, last_event) in pairwise(edges):
        mine = range(event, last_event)
        events = [(int(program.event_at[k]) - row, program.event[k]) for k in mine]
        carried = _in_force(state, [each for at, each in events if at == 0], spin_up) if row or event else []
        if last_row > row:
            sections.append(_section(program, row, last_row, events[:1] + carried + events[1:] if carried else events))
        state |= {type(each): each for _, each in events if isinstance(each, (Spindle, Beam, Coolant, Offset))}
    return tuple(sections)


def _changes(program: Program) -> list[tuple[int, int]]:
    """(row, event) of each change of bit; the first bit named is already in the collet."""
    bit: ToolChange | None = None
    found: list[tuple[int, int]] = []
    for k, event in enumerate(program.event):
        if not isinstance(event, ToolChange) or event == bit:
            continue
        if bit is not None and program.event_at[k] < len(program):
            found.append((int(program.event_at[k]), k))
        bit = event
    return found


def _in_force(state: dict[type[Event], Event], own: list[Event], spin_up: float) -> list[tuple[int, Event]]:
    """What was in force and the section does not set itself before its first row."""
    events: list[Event] = []
    for kind in (Offset, Spindle, Beam, Coolant):
        event = state.get(kind)
        off = event in (None, Coolant("off"), Beam("off")) or (isinstance(event, Spindle) and event.sense == 0)
        if event is None or off or any(isinstance(each, kind) for each in own):
            continue
        events.append(event)
        if isinstance(event, Spindle) and spin_up > 0.0:
            events.append(Dwell(spin_up))
    return [(0, event) for event in events]


def _section(program: Program, first: int, last: int, events: list[tuple[int, Event]]) -> Program:
    cycles = tuple(
        replace(c, first=c.first - first, last=c.last - first)
        for c in program.cycles
        if first <= c.first and c.last < last
    )
    section = program.take(
        slice(first, last),
        start=program.start if first == 0 else program.end[first - 1],
        event=tuple(event for _, event in events),
        event_at=np.array([at for at, _ in events], dtype=np.int64),
        cycles=cycles,
    )
    return section if first == 0 else _raised_first(section)


def _raised_first(section: Program) -> Program:
    """The section with Z alone first, to the height at which the bit was changed; nothing is switched on before."""
    unsaid: dict[str, float] = {"kind": RAPID, "centre": np.nan, "sweep": 0.0, "feed": np.nan}
    unsaid |= dict.fromkeys(("toolpath", "level", "line"), -1)
    unsaid |= {} if section.power is None else {"power": 0.0}
    columns = {name: np.insert(getattr(section, name), 0, value, axis=0) for name, value in unsaid.items()}
    end = np.insert(section.end, 0, (np.nan, np.nan, section.start[2]), axis=0)
    # Where the bit stands is not known: rapids up and down before the first one sideways go up and down there.
    still = int(np.argmin(np.append((section.end[:, :2] == section.start[:2]).all(axis=1), False)))
    if still < len(section) and (section.kind[: still + 1] == RAPID).all():
        end[1 : still + 1, :2] = np.nan
    late = np.array([not isinstance(event, (ToolChange, Offset, Note)) for event in section.event], dtype=bool)
    late = np.maximum.accumulate(late) | (section.event_at > 0)
    cycles = tuple(replace(c, first=c.first + 1, last=c.last + 1) for c in section.cycles)
    start = np.full(3, np.nan)
    return section.replace(end=end, start=start, event_at=section.event_at + late, cycles=cycles, **columns)
