"""Columns that grow row by row, and the events between the rows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import nan
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.motion.program import ARC, LINE, RAPID, Cycle, Event, Program, locked


class Row(NamedTuple):
    """One move: ``end`` in mm, ``centre`` and ``sweep`` as in `Program`, ``feed`` in mm/min."""

    kind: int
    end: tuple[float, float, float]
    centre: tuple[float, float] = (nan, nan)
    sweep: float = 0.0
    feed: float = nan


def rapid(end: tuple[float, float, float]) -> Row:
    """A rapid move to a place (x, y, z), mm."""
    return Row(RAPID, end)


def line(end: tuple[float, float, float], feed: float) -> Row:
    """A straight cut to a place (x, y, z), mm, at ``feed`` mm/min."""
    return Row(LINE, end, feed=feed)


def arc(end: tuple[float, float, float], centre: tuple[float, float], sweep: float, feed: float) -> Row:
    """An arc to a place about ``centre`` (x, y), mm, by ``sweep`` radians, at ``feed`` mm/min."""
    return Row(ARC, end, centre, sweep, feed)


_SPARE = 256
_TYPES: Mapping[str, tuple[type, tuple[int, ...]]] = {
    "kind": (np.uint8, ()), "end": (np.float64, (3,)), "centre": (np.float64, (2,)), "sweep": (np.float64, ()),
    "feed": (np.float64, ()), "line": (np.int32, ()),
}  # fmt: skip


def _empty(name: str, rows: int) -> NDArray[Any]:
    dtype, shape = _TYPES[name]
    return np.empty((rows, *shape), dtype)


class Columns:
    """Rows and events gathered while reading; 61 bytes a row.

    ``moves`` maps each column's name to an array with room for more rows than there are.
    """

    def __init__(self) -> None:
        self.moves: dict[str, NDArray[Any]] = {name: _empty(name, 0) for name in _TYPES}
        self._count = 0
        self._room = 0
        self._events: list[Event] = []
        self._event_at: list[int] = []
        self._cycles: list[Cycle] = []
        self._powers: list[tuple[int, float]] | None = None

    def __len__(self) -> int:
        return self._count

    @property
    def room(self) -> int:
        """Rows for which there is room."""
        return self._room

    @property
    def events(self) -> int:
        """How many events there are."""
        return len(self._events)

    def reserve(self, rows: int) -> None:
        """Make room for that many more rows. Memory that no row is written to is not taken."""
        if self._count + rows > self._room:
            self._room = max(self._count + rows, 2 * self._room)
            for name in _TYPES:
                longer = _empty(name, self._room)
                longer[: self._count] = self.moves[name][: self._count]
                self.moves[name] = longer

    def row(self, row: Row, line_number: int) -> None:
        if self._count == self._room:
            self.reserve(_SPARE)
        at, moves = self._count, self.moves
        moves["kind"][at], moves["end"][at], moves["centre"][at] = row.kind, row.end, row.centre
        moves["sweep"][at], moves["feed"][at], moves["line"][at] = row.sweep, row.feed, line_number
        self._count += 1

    def lines(self, ends: NDArray[np.float64], feed: float, line_number: int) -> None:
        """Straight cuts to ``ends`` (n, 3), mm, one after the other."""
        count = len(ends)
        self.reserve(count)
        rows, moves = slice(self._count, self._count + count), self.moves
        moves["kind"][rows], moves["end"][rows], moves["centre"][rows] = LINE, ends, nan
        moves["sweep"][rows], moves["feed"][rows], moves["line"][rows] = 0.0, feed, line_number
        self._count += count

    def written(self, rows: int) -> None:
        """So many rows have been written into the room."""
        self._count += rows

    def event(self, event: Event) -> None:
        self._events.append(event)
        self._event_at.append(len(self))

    def power_from_here(self, share: float) -> None:
        """The rows to come have this power of a beam, as a share of the full."""
        if self._powers is None:
            self._powers = [(0, 0.0)]
        self._powers.append((len(self), share))

    def shifted_cycle(self, cycle: Cycle, rows: int) -> None:
        """A cycle whose row numbers begin at 0, moved on by that many rows."""
        self._cycles.append(replace(cycle, first=cycle.first + rows, last=cycle.last + rows))

    def program(self, start: tuple[float, float, float]) -> Program:
        """The program in the controller's frame, without stock or names."""
        count = len(self)
        nothing = locked(np.full(count, -1, np.int32))
        for name, (_, shape) in _TYPES.items():
            # In place, so that the columns are not copied.
            self.moves[name].resize((count, *shape), refcheck=False)
            locked(self.moves[name])
        columns: Any = self.moves
        return Program(
            start=np.array(start),
            toolpath=nothing,
            level=nothing,
            event=tuple(self._events),
            event_at=np.array(self._event_at, np.int64),
            cycles=tuple(self._cycles),
            power=self._power(count),
            frame="controller",
            **columns,
        )

    def _power(self, count: int) -> NDArray[np.float64] | None:
        """(count,): of what was said before a row, the last; None if a beam was never spoken of."""
        if self._powers is None:
            return None
        rows, shares = (np.array(column) for column in zip(*self._powers, strict=True))
        power: NDArray[np.float64] = shares[np.searchsorted(rows, np.arange(count), side="right") - 1]
        return power
