"""How long a program takes on one machine: as its controller plans it, and as fast as the link allows.

The model is the look-ahead planner of GRBL 1.1h (settings documents and source). It was checked against the times that
the controller's own code computed; it leaves out the time that the controller needs to read a line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from types import NoneType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pathkit.door import expect
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.machine.orientation import to_controller
from pathkit.machine.profile import Machine, Motion
from pathkit.model.job import Setup
from pathkit.motion.program import (
    ARC,
    RAPID,
    Beam,
    Coolant,
    Dwell,
    Event,
    Lift,
    Note,
    Offset,
    Pause,
    Program,
    Spindle,
    Stop,
    ToolChange,
)
from pathkit.tolerances import RELATIVE_ROUNDING, STEP_ROUNDING

Array = NDArray[np.float64]

FARTHEST = 1e9
"""mm; places farther away are mistakes."""

ENDLESS = 1e9
"""More chords would take the model minutes and a machine years."""

DWELL_STEP = 0.05
"""The controller waits in steps of 50 ms and takes one more step for any remainder."""


@dataclass(frozen=True, eq=False)
class RunTime:
    """Seconds. ``total`` = ``moving`` + ``dwelling`` + ``waiting``.

    ``dwelling`` is intended standstill: dwells, and the idle delay at each of the ``stops`` full stops; pauses count
    zero. ``waiting`` is standstill because the next line had not arrived; ``link_limited`` says whether the link cost
    any time at all (the axes may also have slowed down). ``planned_moves`` counts what the controller queued: each
    chord of an arc, but no moves below one step.

    Columns: ``per_move`` (n,) moving time of each row; ``standing`` (n + 1,) the standstill before each row and after
    the last, ``waiting`` included. ``toolpath`` and ``tool`` (n,) index ``names`` and ``tools``, −1 for none.

    >>> spent = pk.run_time(pk.lower(job, machine), machine)
    >>> spent.total >= spent.moving > 1.5
    True
    """

    total: float
    moving: float
    dwelling: float
    waiting: float
    link_limited: bool
    planned_moves: int
    stops: int
    per_move: Array
    standing: Array
    toolpath: NDArray[np.int32]
    tool: NDArray[np.int32]
    names: tuple[str, ...]
    tools: tuple[str, ...]

    def by_toolpath(self) -> dict[str, float]:
        """Seconds of each toolpath, standstill included; ``""`` is for rows without a toolpath. Sums to ``total``."""
        return self._grouped(self.toolpath, self.names)

    def by_tool(self) -> dict[str, float]:
        """Seconds with each bit in the spindle; ``""`` is before the first is named. Sums to ``total``."""
        return self._grouped(self.tool, self.tools)

    def _grouped(self, index: NDArray[np.int32], names: Sequence[str]) -> dict[str, float]:
        seconds = np.bincount(index + 1, weights=self.per_move + self.standing[:-1], minlength=len(names) + 1)
        seconds[0] += self.standing[-1]
        grouped: dict[str, float] = {}
        for name, spent in zip(("", *names), seconds.tolist(), strict=True):
            grouped[name] = grouped.get(name, 0.0) + spent
        if not grouped[""]:
            del grouped[""]
        return grouped


def run_time(
    program: Program, machine: Machine, setup: Setup | None = None, *, line_bytes: ArrayLike | None = None
) -> RunTime:
    """How long ``machine`` takes for ``program``.

    ``line_bytes`` (n,) is how many bytes are sent for each row, line end included (if several rows share one line,
    count it at the first and give 0 for the others). With it, and ``[link] bytes_per_second`` in the profile, the queue
    fills only as fast as the link is, 128 bytes ahead. An unknown (NaN) start is taken as the controller's 0.

    Raises `InputError` for a cutting move without a known feed, for ``line_bytes`` that do not fit, and
    for places and chords beyond every machine.

    >>> pk.run_time(pk.lower(job, machine), machine).total > 1.5
    True
    """
    from pathkit.machine.kinematics_kernel import Limits, Moves, Spent, simulate

    expect("run_time", program=(program, Program), machine=(machine, Machine), setup=(setup, Setup, NoneType))
    program = to_controller(program, machine, setup)
    rows = len(program)
    _refuse_unknown_feed(program)
    _refuse_endless(program, machine.motion.arc_tolerance)
    sizes = _line_bytes(line_bytes, rows, machine.bytes_per_second)
    stop, dwell = _stops(program.event, program.event_at, rows)
    motion = machine.motion
    limits = Limits(
        np.array(motion.rapid, float) / 60.0, np.array(motion.feed_limit, float) / 60.0,
        np.array(motion.acceleration, float), np.array(motion.steps_per_mm or (0.0, 0.0, 0.0), float),
        float(motion.junction_deviation), float(motion.arc_tolerance), float(motion.idle_delay),
        1.0 / machine.bytes_per_second if machine.bytes_per_second else 0.0,
    )  # fmt: skip

    def run(line_sizes: Array) -> tuple[Array, Array, Array, int, int]:
        spent = Spent(np.zeros(rows), np.zeros(rows + 1), np.zeros(rows))
        moves = Moves(
            program.kind, program.end, program.centre, program.sweep, program.feed / 60.0, stop, dwell, line_sizes
        )  # fmt: skip
        return *spent, *simulate(program.start, moves, limits, spent)

    per_move, standing, waiting, planned, stops = free = run(np.zeros(0))
    limited = False
    if len(sizes):
        per_move, standing, waiting, planned, stops = linked = run(sizes)
        limited = _seconds(linked) > _seconds(free) * (1.0 + RELATIVE_ROUNDING)
    moving, dwelling, waited = float(per_move.sum()), float(standing.sum()), float(waiting.sum())
    standing[:-1] += waiting
    tool, tools = _tools(program.event, program.event_at, rows)
    for column in (per_move, standing, tool):
        column.setflags(write=False)
    return RunTime(
        moving + dwelling + waited, moving, dwelling, waited, limited, planned, stops, per_move, standing,
        program.toolpath, tool, program.names, tools,
    )  # fmt: skip


def rest_to_rest(displacement: ArrayLike, motion: Motion) -> Array:
    """Seconds (n,) of single rapids along ``displacement`` (n, 3), mm in the controller's axes, from rest to rest.

    L/v + v/a if L ≥ v²/a, else 2·√(L/a), with v and a the largest within every axis' limits (textbook trapezoid).
    """
    vector = np.atleast_2d(np.asarray(displacement, dtype=float))
    length = np.sqrt((vector**2).sum(axis=1))
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.abs(vector) / length[:, None]
        speed = (np.array(motion.rapid) / 60.0 / share).min(axis=1)
        acceleration = (np.array(motion.acceleration) / share).min(axis=1)
        cruising = length / speed + speed / acceleration
        short = 2.0 * np.sqrt(length / acceleration)
    seconds: Array = np.where(length == 0.0, 0.0, np.where(length >= speed**2 / acceleration, cruising, short))
    return seconds


def _seconds(result: tuple[Array, Array, Array, int, int]) -> float:
    return float(result[0].sum() + result[1].sum() + result[2].sum())


def _refuse_unknown_feed(program: Program) -> None:
    unknown = np.flatnonzero((program.kind != RAPID) & np.isnan(program.feed))
    if len(unknown):
        row = int(unknown[0])
        line = int(program.line[row])
        raise InputError(
            [
                Finding(
                    check="run time",
                    what=f"{len(unknown)} cutting moves have no known feed, the first is row {row}",
                    fix="set F before the first cut",
                    line=line if line > 0 else None,
                    path=f"$.feed[{row}]",
                )
            ]
        )


def _refuse_endless(program: Program, tolerance: float) -> None:
    """A file from outside must not keep the model busy for hours, nor overflow its numbers."""
    from pathkit.machine.kinematics_kernel import MOST_CHORDS

    for name, values in (("start", program.start), ("end", program.end), ("centre", program.centre)):
        if (np.abs(values) > FARTHEST).any():
            raise InputError(f"{name} holds a place more than {FARTHEST:g} mm away; no machine reaches that far")
    arcs = np.flatnonzero(program.kind == ARC)
    radius = np.sqrt(((program.end[arcs, :2] - program.centre[arcs]) ** 2).sum(axis=1))
    with np.errstate(invalid="ignore", divide="ignore"):
        chords = np.abs(0.5 * program.sweep[arcs] * radius) / np.sqrt(tolerance * (2.0 * radius - tolerance))
    total = float(np.nan_to_num(np.minimum(chords, MOST_CHORDS)).sum())
    if total > ENDLESS:
        raise InputError(f"its arcs make {total:.3g} chords of {tolerance:g} mm tolerance; that is no cut of a board")


def _line_bytes(line_bytes: ArrayLike | None, rows: int, bytes_per_second: float | None) -> Array:
    if line_bytes is None:
        return np.zeros(0)
    sizes = np.array(line_bytes, dtype=float)
    if sizes.shape != (rows,):
        raise InputError(f"line_bytes has the shape {sizes.shape}; give one number for each of the {rows} rows")
    if not (np.isfinite(sizes).all() and (sizes >= 0.0).all()):
        raise InputError("line_bytes holds a number that is negative or not finite; give the bytes of each line")
    return sizes if bytes_per_second else np.zeros(0)


def _stops(events: Sequence[Event], event_at: NDArray[np.int64], rows: int) -> tuple[NDArray[np.bool_], Array]:
    """The rows before which the controller lets all motion end (n + 1,), and how long it then dwells (n + 1,)."""
    stop, dwell = np.zeros(rows + 1, dtype=np.bool_), np.zeros(rows + 1)
    # The controller's initial state; words that change nothing do not stop it.
    spindle, beam, coolant, offset = Spindle(0.0, 0), Beam("off"), Coolant("off"), Offset("G54")
    for row, event in zip(event_at.tolist(), events, strict=True):
        match event:
            case Note() | Lift():
                continue
            case Dwell(seconds):
                # A hair is subtracted first: 0.15 / 0.05 is a little more than 3 in binary.
                dwell[row] += np.ceil(seconds / DWELL_STEP - STEP_ROUNDING) * DWELL_STEP
            case Spindle():
                if spindle == event or spindle.sense == event.sense == 0:
                    continue
                spindle = event
            case Beam():
                if beam == event:
                    continue
                beam = event
            case Coolant():
                if coolant == event:
                    continue
                coolant = event
            case Offset():
                if offset == event:
                    continue
                offset = event
            case ToolChange() | Pause() | Stop():
                pass
        stop[row] = True
    return stop, dwell


def _tools(
    events: Sequence[Event], event_at: NDArray[np.int64], rows: int
) -> tuple[NDArray[np.int32], tuple[str, ...]]:
    """The bit of each row (n,), as an index into the names."""
    tool = np.full(rows, -1, dtype=np.int32)
    names: dict[str, int] = {}
    for row, event in zip(event_at.tolist(), events, strict=True):
        if isinstance(event, ToolChange):
            tool[row:] = names.setdefault(event.name, len(names))
    return tool, tuple(names)
