"""Columns that grow row by row, and the events between the rows."""

from __future__ import annotations

from array import array
from dataclasses import replace
from math import nan
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.motion.program import ARC, LINE, RAPID, Cycle, Event, Program


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


class Columns:
    """Rows and events gathered while reading; 60 bytes a row."""

    def __init__(self) -> None:
        self._kind = array("B")
        self._end = array("d")
        self._centre = array("d")
        self._sweep = array("d")
        self._feed = array("d")
        self._line = array("i")
        self._events: list[Event] = []
        self._event_at: list[int] = []
        self._cycles: list[Cycle] = []

    def __len__(self) -> int:
        return len(self._kind)

    def row(self, row: Row, line_number: int) -> None:
        self._kind.append(row.kind)
        self._end.extend(row.end)
        self._centre.extend(row.centre)
        self._sweep.append(row.sweep)
        self._feed.append(row.feed)
        self._line.append(line_number)

    def rows(
        self,
        kind: NDArray[np.uint8],
        end: NDArray[np.float64],
        centre: NDArray[np.float64],
        sweep: NDArray[np.float64],
        feed: NDArray[np.float64],
        line_number: NDArray[np.int32],
    ) -> None:
        """Many rows at once."""
        self._kind.frombytes(kind.tobytes())
        self._end.frombytes(end.tobytes())
        self._centre.frombytes(centre.tobytes())
        self._sweep.frombytes(sweep.tobytes())
        self._feed.frombytes(feed.tobytes())
        self._line.frombytes(line_number.tobytes())

    def event(self, event: Event) -> None:
        self._events.append(event)
        self._event_at.append(len(self))

    def shifted_cycle(self, cycle: Cycle, rows: int) -> None:
        """A cycle whose row numbers begin at 0, moved on by that many rows."""
        self._cycles.append(replace(cycle, first=cycle.first + rows, last=cycle.last + rows))

    def program(self, start: tuple[float, float, float]) -> Program:
        """The program in the controller's frame, without stock or names."""
        count = len(self)
        nothing = np.full(count, -1, np.int32)
        return Program(
            start=np.array(start),
            kind=np.frombuffer(self._kind, np.uint8),
            end=np.frombuffer(self._end, np.float64).reshape(count, 3),
            centre=np.frombuffer(self._centre, np.float64).reshape(count, 2),
            sweep=np.frombuffer(self._sweep, np.float64),
            feed=np.frombuffer(self._feed, np.float64),
            toolpath=nothing,
            level=nothing,
            line=np.frombuffer(self._line, np.int32),
            event=tuple(self._events),
            event_at=np.array(self._event_at, np.int64),
            cycles=tuple(self._cycles),
            frame="controller",
        )
