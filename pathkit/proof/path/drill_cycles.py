"""A program's holes as a controller's drill cycles make them, so that both can be compared move by move.

A cycle drills a hole in its own moves: it returns to its retract plane, and its pecks count from there. Where a file
drills a hole of the program by a cycle, the program's rows for it are replaced by those that the cycle must make
(NISTIR 6556, 3.5.16), worked out here from the program. Nothing else may differ: place, plane, bottom and feed are the
same, and no peck is deeper than the program's.
"""

from __future__ import annotations

from collections import defaultdict, deque
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pathkit.machine.capabilities import Capabilities
from pathkit.motion.program import LINE, RAPID, Cycle, Program
from pathkit.proof.path.compare import mm_per_count
from pathkit.tolerances import ROUNDING, STEP_ROUNDING

Ints = NDArray[np.int64]


@dataclass
class _Rows:
    """The rows of the new program: the row that each comes from, and its height if that differs (else NaN)."""

    source: list[int]
    height: list[float]

    def add(self, source: int, height: float = np.nan) -> None:
        self.source.append(source)
        self.height.append(height)

    def add_all(self, sources: range) -> None:
        """Rows as they are."""
        self.source += sources
        self.height += [np.nan] * len(sources)


def as_drilled(program: Program, read: Program, capabilities: Capabilities) -> tuple[Program, Ints]:
    """``program`` with the holes that ``read`` drills by cycles in the cycle's own moves, and each row's old number.

    Both in the controller's frame. Holes without a matching cycle stay as they are, so that the comparison shows them.
    """
    pairs = _pairs(program, read, mm_per_count(capabilities))
    if not pairs:
        return program, np.arange(len(program))
    clearance = capabilities.grammar.peck_clearance if capabilities.grammar is not None else 0.0
    rows, place = _Rows([], []), np.zeros(len(program) + 1, np.int64)
    begin = 0
    for mine, theirs in [*pairs, (None, None)]:
        until = len(program) if mine is None else mine.first + 1
        if begin < until:
            place[begin:until] = len(rows.source) + np.arange(until - begin)
            rows.add_all(range(begin, until - 1))
            if mine is not None and mine.first > 0 and _over(program, mine.first):
                rows.add(mine.first, float(program.end[mine.first - 1, 2]))
            rows.add(until - 1)
        if mine is None or theirs is None:
            break
        # A cycle names its place even if the bit is already there: a move of no length, before or after the way down.
        rows.add(mine.first)
        place[mine.first + 1 : mine.last + 1] = len(rows.source)
        _bites(program, mine, theirs, clearance, rows)
        # What the program does at the bottom comes before the bit leaves.
        place[mine.last] = len(rows.source)
        _leave(program, read, mine, theirs, mm_per_count(capabilities), rows)
        begin = mine.last + 1
    place[-1] = len(rows.source)
    return _made(program, rows, place), np.array(rows.source, np.int64)


def _pairs(program: Program, read: Program, count: float) -> list[tuple[Cycle, Cycle]]:
    """The program's cycles, each with the file's cycle that drills the same hole, in the program's order."""
    waiting: dict[tuple[int, ...], deque[Cycle]] = defaultdict(deque)
    for cycle in program.cycles:
        if _plain(program, cycle):
            top, low = program.end[cycle.first, 2], program.end[cycle.first : cycle.last + 1, 2].min()
            waiting[_place(count, *program.end[cycle.first, :2], top, low)].append(cycle)
    found = []
    for theirs in read.cycles:
        if not np.isfinite(read.end[theirs.last]).all():
            continue
        mine = waiting[_place(count, *read.end[theirs.last, :2], theirs.top, theirs.bottom)]
        if mine and _gentle(mine[0], theirs, count):
            found.append((mine.popleft(), theirs))
    return sorted(found, key=lambda pair: pair[0].first)


def _plain(program: Program, cycle: Cycle) -> bool:
    """Whether a cycle is rapids and lines over one place, with no events except at the bottom."""
    span = slice(cycle.first, cycle.last + 1)
    inside = (program.event_at > cycle.first) & (program.event_at < cycle.last)
    end = program.end[span]
    plain = np.isfinite(end).all() and (end[:, :2] == end[0, :2]).all() and (program.kind[span] == LINE).any()
    return bool(plain and cycle.first < cycle.last and not inside.any() and not (program.kind[span] > LINE).any())


def _place(count: float, *place: float) -> tuple[int, ...]:
    return tuple(round(float(value) / count) for value in place)


def _gentle(mine: Cycle, theirs: Cycle, count: float) -> bool:
    if mine.peck is None or theirs.peck is None:
        return mine.peck is None and theirs.peck is None
    return 0.0 < theirs.peck <= mine.peck + STEP_ROUNDING * count


def _bites(program: Program, mine: Cycle, theirs: Cycle, clearance: float, rows: _Rows) -> None:
    # Both have the same plane and bottom on the file's grid; the number of pecks depends on the rounded numbers.
    top, bottom = theirs.top, theirs.bottom
    cut = next(row for row in range(mine.first, mine.last + 1) if program.kind[row] == LINE)
    depth, bite = top, theirs.peck if theirs.peck is not None else top - bottom
    while depth > bottom:
        if depth < top:
            rows.add(mine.first, top)
            rows.add(mine.first, depth + clearance)
        depth = depth - bite if depth - bite > bottom + ROUNDING else bottom
        rows.add(cut, depth)


def _over(program: Program, row: int) -> bool:
    return bool((program.end[row - 1, :2] == program.end[row, :2]).all())


def _leave(program: Program, read: Program, mine: Cycle, theirs: Cycle, count: float, rows: _Rows) -> None:
    """Go back to where the cycle leaves the bit, and on to where the program wants it."""
    back, wanted = float(read.end[theirs.last, 2]), float(program.end[mine.last, 2])
    if round(back / count) != round(wanted / count):
        rows.add(mine.last, float(program.end[mine.first, 2]))
    rows.add(mine.last)


def _made(program: Program, rows: _Rows, place: Ints) -> Program:
    source, height = np.array(rows.source, np.int64), np.array(rows.height)
    end = program.end[source]
    moved = ~np.isnan(height)
    end[moved, 2] = height[moved]
    kind = program.kind[source]
    kind = np.where(moved & (kind != LINE), RAPID, kind)
    return program.take(source, kind=kind, end=end, event=program.event, event_at=place[program.event_at])
