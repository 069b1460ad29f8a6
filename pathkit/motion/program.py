"""A program: columns of moves, and the events between them. No object per move."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import KW_ONLY, dataclass, field, fields
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final, Literal, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pathkit.model.checking import Faults
from pathkit.model.stock import Stock
from pathkit.motion.events import (
    Beam,
    BeamMode,
    Coolant,
    CoolantKind,
    Dwell,
    Event,
    Lift,
    Note,
    Offset,
    Pause,
    Spindle,
    Stop,
    ToolChange,
)

__all__ = [
    "ARC", "CHORD", "COLUMNS", "LINE", "RAPID", "Beam", "BeamMode", "Coolant", "CoolantKind", "Cycle", "Dwell", "Event",
    "Frame", "Lift", "Note", "Offset", "Pause", "Program", "Spindle", "Stop", "ToolChange", "locked",
]  # fmt: skip
"""Moves and events are taken from here together."""

RAPID: Final = 0
LINE: Final = 1
ARC: Final = 2

COLUMNS: Final = ("kind", "end", "centre", "sweep", "feed", "toolpath", "level", "line")
"""The columns that every program has: one entry a row."""

CHORD: Final = math.pi / 18.0
"""Radians of an arc that a small picture draws as one line."""

Frame = Literal["bench", "controller"]


def locked(values: NDArray[Any]) -> NDArray[Any]:
    """The array itself, never to be written again: a `Program` takes it as it is, without a copy.

    Only for arrays that nothing else holds.
    """
    values.setflags(write=False)
    return values


def _locked(values: NDArray[Any], dtype: type, shape: tuple[int, ...]) -> bool:
    """Whether the array can be taken as it is: nothing can change it, since its memory is its own."""
    flags = values.flags
    return (
        values.dtype == dtype and values.shape == shape and flags.owndata and flags.c_contiguous and not flags.writeable
    )


@dataclass(frozen=True, slots=True)
class Cycle:
    """Rows ``first`` … ``last`` (inclusive) drill one hole; a dialect may fold them into a drill cycle.

    ``top`` (the retract plane), ``bottom`` in mm; ``peck`` a peck's depth in mm or None; ``dwell`` seconds at the
    bottom.

    >>> pk.Cycle(first=2, last=4, top=1.0, bottom=-5.0, feed=300.0).peck is None
    True
    """

    first: int
    last: int
    top: float
    bottom: float
    feed: float
    peck: float | None = None
    dwell: float = 0.0


@dataclass(frozen=True, eq=False)
class Program:
    r"""Moves as columns; n is their number.

    ``start`` (3,) in mm, NaN where unknown · ``kind`` uint8 (n,): `RAPID`, `LINE`, `ARC` (in the XY plane, helical if z
    changes) · ``end`` (n, 3) mm; an axis may be NaN only while it is still unknown · ``centre`` (n, 2) absolute mm,
    NaN unless an arc · ``sweep`` (n,) signed radians, positive counter-clockwise in the frame's own x and y, may exceed
    2π · ``feed`` (n,) mm/min, NaN for rapids · ``toolpath``, ``level``, ``line`` int32 (n,), −1 for none; ``toolpath``
    indexes ``names``, ``line`` counts the lines of a text from 1.

    ``event[k]`` happens before row ``event_at[k]`` (nondecreasing; n means after the last row). ``cycles`` are rows
    that a dialect may fold; the rows are always stored expanded. ``stock`` may be None (a file read back).

    ``power`` (n,) is the share of a beam's full power that each move asks for, from 0; None for a program without a
    beam.

    >>> program = pk.read("G21 G90 G94 G17 G54\nG0 Z5\nG0 X0 Y0\nG1 Z-1 F300\nG1 X30", "grbl").program
    >>> len(program), program.end[-1].tolist()
    (4, [30.0, 0.0, -1.0])
    """

    start: NDArray[np.float64]
    kind: NDArray[np.uint8]
    end: NDArray[np.float64]
    centre: NDArray[np.float64]
    sweep: NDArray[np.float64]
    feed: NDArray[np.float64]
    toolpath: NDArray[np.int32]
    level: NDArray[np.int32]
    line: NDArray[np.int32]
    event: tuple[Event, ...] = ()
    event_at: NDArray[np.int64] = field(default_factory=lambda: np.zeros(0, np.int64))
    cycles: tuple[Cycle, ...] = ()
    names: tuple[str, ...] = ()
    stock: Stock | None = None
    frame: Frame = "bench"
    _: KW_ONLY
    title: str = ""
    power: NDArray[np.float64] | None = None

    if TYPE_CHECKING:

        def __init__(  # noqa: PLR0913 - the fields, and whatever makes an array or a tuple of their kind
            self,
            start: ArrayLike,
            kind: ArrayLike,
            end: ArrayLike,
            centre: ArrayLike,
            sweep: ArrayLike,
            feed: ArrayLike,
            toolpath: ArrayLike,
            level: ArrayLike,
            line: ArrayLike,
            event: Iterable[Event] = (),
            event_at: ArrayLike = (),
            cycles: Iterable[Cycle] = (),
            names: Iterable[str] = (),
            stock: Stock | None = None,
            frame: Frame = "bench",
            *,
            title: str = "",
            power: ArrayLike | None = None,
        ) -> None: ...

    def __post_init__(self) -> None:
        faults = Faults("program")
        count = len(np.atleast_1d(self.kind))
        for name, kind in (("event", Event), ("cycles", Cycle), ("names", str)):
            values = faults.sequence(getattr(self, name), name)
            object.__setattr__(self, name, values)
            # Of each type one, so that programs of a hundred thousand events are looked at quickly.
            strange = [each for each in {type(value): value for value in values}.values() if not isinstance(each, kind)]
            if strange:
                wanted = ", ".join(each.__name__ for each in get_args(kind) or (kind,))
                faults.add(f"{name} holds {strange[0]!r:.80}", f"pass {name} of {wanted}", name)
        for name, dtype, shape in (
            ("start", np.float64, (3,)),
            ("kind", np.uint8, (count,)),
            ("end", np.float64, (count, 3)),
            ("centre", np.float64, (count, 2)),
            ("sweep", np.float64, (count,)),
            ("feed", np.float64, (count,)),
            ("toolpath", np.int32, (count,)),
            ("level", np.int32, (count,)),
            ("line", np.int32, (count,)),
            ("event_at", np.int64, (len(self.event),)),
            *([("power", np.float64, (count,))] if self.power is not None else []),
        ):
            self._lock(name, dtype, shape, faults)
        faults.choice(self.frame, ("bench", "controller"), "frame")
        faults.raise_any()
        self._check_moves(faults)
        faults.raise_any()

    def _lock(self, name: str, dtype: type, shape: tuple[int, ...], faults: Faults) -> None:
        value: ArrayLike = getattr(self, name)
        if isinstance(value, np.ndarray) and _locked(value, dtype, shape):
            return
        try:
            array: NDArray[Any] = np.array(value, dtype=dtype, copy=True, order="C")
            if array.dtype.kind in "iu" and np.asarray(value).dtype.kind not in "iub" and np.any(array != value):
                faults.add(f"{name} holds fractions", "whole numbers", name)
                return
        except (TypeError, ValueError):
            faults.add(f"{name} does not fit {np.dtype(dtype)}", path=name)
            return
        if array.size == 0 and 0 in shape:
            array = array.reshape(shape)
        if array.shape != shape:
            faults.add(f"{name} has the shape {array.shape}", f"it must be {shape}", name)
            return
        array.setflags(write=False)
        object.__setattr__(self, name, array)

    def _check_moves(self, faults: Faults) -> None:
        for bad, what, name in self._wrong() if len(self.kind) else ():
            if len(rows := np.flatnonzero(bad)):
                faults.add(f"row {rows[0]} {what}", "", f"{name}[{rows[0]}]")
        at = self.event_at
        if len(at) and (np.any(np.diff(at) < 0) or at[0] < 0 or at[-1] > len(self.kind)):
            faults.add("event_at must not decrease and must lie between 0 and the number of rows", "", "event_at")
        for index, cycle in enumerate(self.cycles):
            if not 0 <= cycle.first <= cycle.last < len(self.kind):
                faults.add(f"cycle {index} covers missing rows", "", f"cycles[{index}]")

    def _wrong(self) -> Iterator[tuple[NDArray[np.bool_], str, str]]:
        """(n,) whether each row is wrong in one way, for each way that is cheaply seen to occur at all."""
        kind, feed, toolpath = self.kind, self.feed, self.toolpath
        if kind.max() > ARC:
            yield kind > ARC, "is not RAPID, LINE or ARC", "kind"
        if np.isinf(self.end).any():
            yield np.asarray(np.isinf(self.end).any(axis=1)), "has an infinite end", "end"
        if (arcs := kind == ARC).any():
            yield arcs & ~np.isfinite(self.centre).all(axis=1), "is an arc without a centre", "centre"
            yield arcs & ~(np.isfinite(self.sweep) & (self.sweep != 0.0)), "is an arc without a sweep", "sweep"
        yield (feed <= 0.0) & (kind != RAPID), "has a feed that is not positive", "feed"
        yield np.isinf(feed), "has an infinite feed", "feed"
        if self.power is not None:
            yield ~(np.isfinite(self.power) & (self.power >= 0.0)), "has a power that is not a share from 0", "power"
        if toolpath.min() < -1 or toolpath.max() >= len(self.names):
            yield (toolpath < -1) | (toolpath >= len(self.names)), "names no toolpath", "toolpath"

    def __len__(self) -> int:
        return len(self.kind)

    @property
    def columns(self) -> tuple[str, ...]:
        """Names of the columns that it has: `COLUMNS`, and ``power`` if it is a beam's."""
        return COLUMNS if self.power is None else (*COLUMNS, "power")

    @cached_property
    def origins(self) -> NDArray[np.float64]:
        """(n, 3), read-only: where each move begins."""
        begin = np.concatenate([self.start[None, :], self.end[:-1]]) if len(self) else np.zeros((0, 3))
        begin.setflags(write=False)
        return begin

    def __getstate__(self) -> dict[str, Any]:
        """Without what can be worked out again."""
        return {f.name: getattr(self, f.name) for f in fields(self) if f.name != "_"}

    def replace(self, **columns: Any) -> Program:
        """The same program with some columns replaced."""
        values = {f.name: getattr(self, f.name) for f in fields(self) if f.name != "_"}
        return Program(**{**values, **columns})

    def take(self, rows: Any, **columns: Any) -> Program:
        """The program of these rows (indices, a mask or a slice), with some columns replaced.

        Events and cycles refer to rows, whose numbers change here: only those given are kept.
        """
        nothing: dict[str, Any] = {"event": (), "event_at": np.zeros(0, np.int64), "cycles": ()}
        taken = {name: getattr(self, name)[rows] for name in self.columns if name not in columns}
        return self.replace(**nothing | taken | columns)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Program):
            return NotImplemented
        for f in fields(self):
            mine, theirs = getattr(self, f.name), getattr(other, f.name)
            if isinstance(mine, np.ndarray) and isinstance(theirs, np.ndarray):
                if not np.array_equal(mine, theirs, equal_nan=mine.dtype.kind == "f"):
                    return False
            elif isinstance(mine, np.ndarray) or isinstance(theirs, np.ndarray) or mine != theirs:
                return False
        return True

    __hash__ = None  # type: ignore[assignment]

    def _repr_svg_(self) -> str | None:
        """The moves from above, rapid ones dashed, for notebooks."""
        from pathkit.sketch import MOST_POINTS, Stroke, drawn

        if len(self) > MOST_POINTS:
            return None
        strokes = []
        for kind, begin, end, centre, sweep in zip(
            self.kind.tolist(), self.origins[:, :2], self.end[:, :2], self.centre, self.sweep.tolist(), strict=True
        ):
            points = np.stack([begin, end])
            if kind == ARC and np.isfinite(begin).all():
                turns = np.linspace(0.0, sweep, 2 + int(abs(sweep) / CHORD))[:, None]
                arm = begin - centre
                points = centre + np.hstack(
                    [arm[0] * np.cos(turns) - arm[1] * np.sin(turns), arm[0] * np.sin(turns) + arm[1] * np.cos(turns)]
                )
            if np.isfinite(points).all() and (points[0] != points).any():
                strokes.append(Stroke(points, "travel" if kind == RAPID else "cut"))
        return drawn(strokes, f"{self.title or 'program'}: {len(self)} moves from above")

    def __repr__(self) -> str:
        return f"Program({len(self)} moves, {len(self.event)} events, {self.frame} frame)"
