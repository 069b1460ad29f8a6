"""The program under construction: columns that grow, never an object per move."""

from __future__ import annotations

import math
from array import array

import numpy as np
from numpy.typing import NDArray

from pathkit.geometry.spans import Spans
from pathkit.model.stock import Stock
from pathkit.motion.program import ARC, LINE, RAPID, Cycle, Event, Program
from pathkit.tolerances import SAME_PLACE


class Rows:
    """Columns of a program that grow at their end; knows where the bit stands.

    ``toolpath`` and ``level`` are stamped on every row that is written until they are changed.
    """

    def __init__(self) -> None:
        self.x = self.y = self.z = math.nan
        self.toolpath = -1
        self.level = -1
        self._kind = bytearray()
        self._end = array("d")
        self._centre = array("d")
        self._sweep = array("d")
        self._feed = array("d")
        self._toolpath = array("i")
        self._level = array("i")
        self._events: list[tuple[int, Event]] = []
        self._cycles: list[Cycle] = []

    def __len__(self) -> int:
        return len(self._kind)

    def rapid(self, x: float, y: float, z: float) -> None:
        """A straight rapid; x and y may be NaN while they are unknown."""
        self._straight(RAPID, x, y, z, math.nan)

    def line(self, x: float, y: float, z: float, feed: float) -> None:
        self._straight(LINE, x, y, z, feed)

    def stay(self) -> None:
        """A rapid to where the bit already is, so that the file states X and Y again where nothing else would."""
        self._put(RAPID, self.x, self.y, self.z, (math.nan, math.nan), 0.0, math.nan)

    def to_height(self, z: float) -> None:
        """A rapid straight up or down."""
        self.rapid(self.x, self.y, z)

    def sink(self, z: float, feed: float) -> None:
        """Straight up or down at ``feed``."""
        self.line(self.x, self.y, z, feed)

    def turn(self, centre: tuple[float, float], sweep: float, z: float, feed: float) -> None:
        """Whole turns (``sweep`` in radians, a multiple of 2π) about ``centre``, ending at ``z`` where they began."""
        self._put(ARC, self.x, self.y, z, centre, sweep, feed)

    def along(self, spans: Spans, z_from: float, z_to: float, feed: float) -> None:
        """Lines and arcs of ``spans``, z changing evenly with arc length; the bit stands at their start."""
        keep = spans.length > SAME_PLACE
        count = int(np.count_nonzero(keep))
        if count == 0:
            return
        total = float(spans.station[-1])
        z = z_from + (z_to - z_from) * (spans.station[1:] / total)
        z[-1] = z_to
        end = np.column_stack([spans.end[:, :2], z])
        kind = np.where(spans.sweep != 0.0, ARC, LINE).astype(np.uint8)
        if count == len(keep):
            self._block(kind, end, spans.centre, spans.sweep, np.full(count, feed))
        else:
            self._block(kind[keep], end[keep], spans.centre[keep], spans.sweep[keep], np.full(count, feed))

    def through(self, spans: Spans, feed: NDArray[np.float64]) -> None:
        """Lines and helical arcs of ``spans`` in space at ``feed`` (m,); the bit stands at their start."""
        keep = spans.sweep != 0.0
        for axis, here in enumerate((self.x, self.y, self.z)):
            keep |= np.abs(np.diff(spans.end[:, axis], prepend=here)) > SAME_PLACE
        if not keep.any():
            return
        sweep = spans.sweep[keep]
        kind = np.where(sweep != 0.0, ARC, LINE).astype(np.uint8)
        self._block(kind, spans.end[keep], spans.centre[keep], sweep, feed[keep])

    def event(self, event: Event) -> None:
        """Happens before the next row."""
        self._events.append((len(self), event))

    def cycle(self, cycle: Cycle) -> None:
        self._cycles.append(cycle)

    def program(self, names: tuple[str, ...], stock: Stock, title: str) -> Program:
        """The finished program in the bench frame; where the bit stands at its start is unknown."""
        count = len(self)
        return Program(
            start=np.full(3, math.nan),
            kind=np.frombuffer(bytes(self._kind), np.uint8),
            end=np.frombuffer(self._end, np.float64).reshape(-1, 3),
            centre=np.frombuffer(self._centre, np.float64).reshape(-1, 2),
            sweep=np.frombuffer(self._sweep, np.float64),
            feed=np.frombuffer(self._feed, np.float64),
            toolpath=np.frombuffer(self._toolpath, np.int32),
            level=np.frombuffer(self._level, np.int32),
            line=np.full(count, -1, np.int32),
            event=tuple(event for _, event in self._events),
            event_at=np.array([at for at, _ in self._events], np.int64),
            cycles=tuple(self._cycles),
            names=names,
            stock=stock,
            title=title,
        )

    def _straight(self, kind: int, x: float, y: float, z: float, feed: float) -> None:
        # Written so that an unknown (NaN) place always counts as a move.
        if abs(x - self.x) < SAME_PLACE and abs(y - self.y) < SAME_PLACE and abs(z - self.z) < SAME_PLACE:
            return
        self._put(kind, x, y, z, (math.nan, math.nan), 0.0, feed)

    def _put(
        self, kind: int, x: float, y: float, z: float, centre: tuple[float, float], sweep: float, feed: float
    ) -> None:
        self._kind.append(kind)
        self._end.extend((x, y, z))
        self._centre.extend(centre)
        self._sweep.append(sweep)
        self._feed.append(feed)
        self._toolpath.append(self.toolpath)
        self._level.append(self.level)
        self.x, self.y, self.z = x, y, z

    def _block(
        self,
        kind: NDArray[np.uint8],
        end: NDArray[np.float64],
        centre: NDArray[np.float64],
        sweep: NDArray[np.float64],
        feed: NDArray[np.float64],
    ) -> None:
        count = len(kind)
        self._kind.extend(kind.tobytes())
        for column, values in ((self._end, end), (self._centre, centre), (self._sweep, sweep), (self._feed, feed)):
            # Bytes are taken as they are, so a column of integers must become float64 first.
            column.frombytes(np.asarray(values, np.float64).tobytes())
        self._toolpath.extend(array("i", [self.toolpath]) * count)
        self._level.extend(array("i", [self.level]) * count)
        self.x, self.y, self.z = (float(v) for v in end[-1])
