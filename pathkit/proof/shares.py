"""Which share of a program each of several files has to do, where every bit has a file of its own.

Worked out here, and not by what divides the program for writing: a row that is lost there would be lost here as well.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pathkit.motion.program import RAPID, Beam, Coolant, Dwell, Event, Note, Offset, Program, Spindle, ToolChange


@dataclass(frozen=True)
class Share:
    """Rows ``first`` to ``last`` (exclusive) of the whole as a ``program`` of their own.

    ``lead`` rows stand before them: a file that is not the first goes up, Z alone, to the height at which the one
    before it ended.
    """

    first: int
    last: int
    lead: int
    program: Program


def shares_of(program: Program, spin_up: float) -> tuple[Share, ...]:
    """One share for each run of rows that one bit cuts. Every row of the program lies in exactly one of them.

    A file knows nothing of the one before: it sets the work offset again, starts a spindle or coolant that was running
    again, and gives the spindle its ``spin_up`` seconds.
    """
    edges = [(0, 0)]
    bit: ToolChange | None = None
    for index, (row, event) in enumerate(zip(program.event_at.tolist(), program.event, strict=True)):
        if not isinstance(event, ToolChange):
            continue
        if bit is not None and event != bit and row < len(program):
            edges.append((row, index))
        bit = event
    ends = [*edges[1:], (len(program), len(program.event))]
    return tuple(
        _share(program, begin, end, spin_up)
        for begin, end in zip(edges, ends, strict=True)
        if end[0] > begin[0] or len(edges) == 1
    )


def _share(program: Program, begin: tuple[int, int], end: tuple[int, int], spin_up: float) -> Share:
    (first, from_event), (last, to_event) = begin, end
    rows = np.arange(first, last)
    own = [(int(program.event_at[k]) - first, program.event[k]) for k in range(from_event, to_event)]
    if first == 0:
        mine = _rows(program, rows, program.start, own, first)
        return Share(first, last, 0, mine)
    there = {type(event) for at, event in own if at == 0}
    again: list[tuple[int, Event]] = []
    for kind in (Offset, Spindle, Beam, Coolant):
        said = [event for event in program.event[:from_event] if isinstance(event, kind)]
        if said and kind not in there and not _is_off(said[-1]):
            again.append((0, said[-1]))
            again += [(0, Dwell(spin_up))] if kind is Spindle and spin_up > 0.0 else []
    events = [*own[:1], *again, *own[1:]]
    # Nothing turns or flows before the bit is up; what only names or sets stands before.
    waits = False
    for k, (at, event) in enumerate(events):
        waits = waits or not isinstance(event, ToolChange | Offset | Note)
        events[k] = (at + (waits or at > 0), event)
    up = np.concatenate([[first], rows])
    mine = _rows(program, up, np.full(3, np.nan), events, first - 1)
    motion, centre, ends = np.array(mine.kind), np.array(mine.centre), np.array(mine.end)
    motion[0], centre[0], ends[0] = RAPID, np.nan, (np.nan, np.nan, program.end[first - 1, 2])
    # Until a rapid goes sideways it goes up and down wherever it stands.
    begins = 1
    while begins < len(ends) and np.array_equal(ends[begins, :2], program.end[first - 1, :2]):
        begins += 1
    if begins < len(ends) and not np.any(motion[: begins + 1] != RAPID):
        ends[1:begins, :2] = np.nan
    numbers = {name: np.concatenate([[-1], getattr(mine, name)[1:]]) for name in ("toolpath", "level", "line")}
    feed, sweep = np.array(mine.feed), np.array(mine.sweep)
    feed[0], sweep[0] = np.nan, 0.0
    return Share(first, last, 1, mine.replace(kind=motion, centre=centre, end=ends, feed=feed, sweep=sweep, **numbers))


def _is_off(event: Event) -> bool:
    return (isinstance(event, Spindle) and event.sense == 0) or event in (Coolant("off"), Beam("off"))


def _rows(
    program: Program, rows: np.ndarray, start: np.ndarray, events: list[tuple[int, Event]], shift: int
) -> Program:
    """These rows with these events; of the drill cycles those that lie within, ``shift`` rows further up."""
    last = int(rows[-1]) if len(rows) else -1
    cycles = tuple(
        replace(cycle, first=cycle.first - shift, last=cycle.last - shift)
        for cycle in program.cycles
        if cycle.first > shift - (shift == 0) and cycle.last <= last
    )
    return program.take(
        rows, start=start, event=tuple(event for _, event in events),
        event_at=np.array([at for at, _ in events], dtype=np.int64), cycles=cycles,
    )  # fmt: skip
