"""The cuts of a program: what runs between two moves at a height that is clear of the board."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import Refused
from pathkit.findings import Finding
from pathkit.geometry.spans import parted
from pathkit.motion.program import ARC, RAPID, Coolant, Dwell, Lift, Offset, Pause, Program, Spindle, ToolChange
from pathkit.tolerances import ROUNDING, SAME_HEIGHT, SAME_PLACE

Array = NDArray[np.float64]

CHECK: Final = "lift"

MOST_TURN: Final = 1.5 * math.pi
"""Radians that one span turns at most: the ends of a nearly whole turn lie too near together to tell its centre."""


@dataclass(frozen=True, eq=False)
class Chain:
    """One cut: ``points`` (k + 1, 3) mm, ``sweeps`` (k,) radians and ``feeds`` (k,) mm/min of its spans.

    The straight way down to its first point and the one up from its last are left off; ``plunge`` (mm/min) is the feed
    of the way down; where it was a rapid, the slowest at which the file goes straight down anywhere. A hole has one
    place in the plan: all its moves are in ``points``. ``rapid`` (k,) tells which spans are rapids in the program.
    ``line`` is its first in the text (−1: not known), ``tool`` the number of the bit (None: never said), ``spindle`` in
    rpm.
    """

    points: Array
    sweeps: Array
    feeds: Array
    plunge: float
    rapid: NDArray[np.bool_]
    line: int
    tool: int | None
    spindle: float

    @property
    def is_hole(self) -> bool:
        """Whether all its moves lie in one place of the plan."""
        return bool((np.hypot(*(self.points - self.points[0])[:, :2].T) <= SAME_PLACE).all())

    def plunges(self, top: float) -> bool:
        """Whether it goes down into wood that begins at z = ``top`` mm straight, or steeper than 45°."""
        steps = np.diff(self.points, axis=0)
        steep = (-steps[:, 2] > np.hypot(steps[:, 0], steps[:, 1])) & (self.points[1:, 2] < top - SAME_HEIGHT)
        return bool(steep.any()) or float(self.points[0, 2]) < top - SAME_HEIGHT

    @property
    def lowest(self) -> float:
        return float(self.points[:, 2].min())


@dataclass
class Chains:
    """The cuts in their order, and what a job cannot hold."""

    chains: list[Chain] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


def chains_of(program: Program, top: float, spindle: float | None = None) -> Chains:
    """The cuts of a program in the bench frame, whose wood begins at z = ``top`` mm. ``spindle`` is the speed (rpm) at
    which it is switched on by hand where the file does not switch it on.

    Raises `Refused` for a program in which the bit or its speed changes within a cut, or is stopped in wood, or whose
    cuts begin at a place that is not known.
    """
    found = Chains()
    refused: list[Finding] = []
    runs = _runs(program, top)
    states = _States(program, found.findings, spindle)
    fastest, plunge = float(np.nanmax(program.feed, initial=0.0)), _slowest_plunge(program)
    slow = 0
    for first, last in runs:
        if (program.kind[first:last] == RAPID).all() or _stands(program, first, last):
            continue
        state = states.at(first, last, refused)
        if np.isnan(program.origins[first]).any() or np.isnan(program.end[first:last]).any():
            what, fix = "a cut begins at a place that is not known", "move to a known X, Y and Z first"
            refused.append(_finding(program, first, what, fix))
            continue
        chain = _chain(program, first, last, (fastest, plunge), state)
        found.chains.append(chain)
        slow += 0 if chain.is_hole else int(chain.rapid.sum())
    if refused:
        raise Refused(refused)
    if slow:
        what = f"{slow} rapids run below the board's top; they are made at the file's greatest feed, {fastest:g} mm/min"
        found.findings.append(Finding(check=CHECK, what=what, severity="note"))
    return found


def _runs(program: Program, top: float) -> list[tuple[int, int]]:
    """First row and the row after the last of each cut."""
    if not len(program):
        return []
    low = np.fmin(program.origins[:, 2], program.end[:, 2])
    unknown = np.isnan(program.origins).any(axis=1) | np.isnan(program.end).any(axis=1)
    travel = (program.kind == RAPID) & (unknown | (low >= top - SAME_HEIGHT))
    edges = np.diff(np.concatenate([[True], travel, [True]]).astype(np.int8))
    return list(zip(np.flatnonzero(edges == -1).tolist(), np.flatnonzero(edges == 1).tolist(), strict=True))


def _slowest_plunge(program: Program) -> float:
    """mm/min: the slowest at which the file goes straight down; else half of its slowest feed."""
    cut = (program.kind != RAPID) & np.isfinite(program.feed)
    fall = program.origins - program.end
    down = cut & (np.hypot(fall[:, 0], fall[:, 1]) <= SAME_PLACE) & (fall[:, 2] > 0.0)
    if down.any():
        return float(program.feed[down].min())
    return float(program.feed[cut].min(initial=math.inf)) / 2.0


def _chain(program: Program, first: int, last: int, feeds: tuple[float, float], state: _State) -> Chain:
    """The cut in rows ``first`` to ``last``; ``feeds`` (mm/min) are for rapids in it, and for a way down at rapid."""
    fastest, slowest = feeds
    begin, rise = _ends(program, first, last)
    leading = program.feed[first:begin]
    leading = leading[np.isfinite(leading)]
    plunge = float(leading[-1]) if len(leading) else slowest
    if begin == last or begin >= rise or _stands(program, begin, rise):
        # All its moves go down, or down and up: a hole.
        begin, rise = first, last
    rapid = program.kind[begin:rise] == RAPID
    feed = np.where(np.isnan(program.feed[begin:rise]) | rapid, fastest, program.feed[begin:rise])
    points, sweeps, pace = _spans(
        program.origins[begin], program.end[begin:rise], program.centre[begin:rise], program.sweep[begin:rise],
        np.column_stack([feed, rapid]),
    )  # fmt: skip
    line = int(program.line[first])
    return Chain(points, sweeps, pace[:, 0], plunge, pace[:, 1] > 0.0, line, state.tool, state.spindle)


def _ends(program: Program, first: int, last: int) -> tuple[int, int]:
    """The rows of a cut without its straight way down and up: where it begins, and the one after its last."""
    origin, end = program.origins[first:last], program.end[first:last]
    upright = (np.hypot(*(end - origin)[:, :2].T) <= SAME_PLACE) & (program.kind[first:last] != ARC)
    down, up = upright & (end[:, 2] < origin[:, 2]), upright & (end[:, 2] > origin[:, 2])
    begin = first + int(np.argmin(down)) if not down.all() else last
    rise = last - int(np.argmin(up[::-1])) if not up.all() else first
    return begin, rise


def _stands(program: Program, first: int, last: int) -> bool:
    """Whether none of the moves goes anywhere: a place that is stated again."""
    step = program.end[first:last] - program.origins[first:last]
    return bool((np.abs(step) <= SAME_PLACE).all() and (program.kind[first:last] != ARC).all())


def _spans(begin: Array, end: Array, centre: Array, sweep: Array, pace: Array) -> tuple[Array, Array, Array]:
    """Points, sweeps and paces of moves: wide arcs in parts, moves of no length left out."""
    origin = np.concatenate([begin[None, :], end[:-1]]) if len(end) else end
    parts = np.maximum(np.ceil(np.abs(sweep) / MOST_TURN - ROUNDING), 1.0).astype(np.int64)
    of, step = parted(parts)
    share = (step + 1) / parts[of]
    turn = sweep[of] * share
    arm = (origin[:, :2] - centre)[of]
    points = end[of].copy()
    inner = step + 1 < parts[of]
    cos, sin = np.cos(turn[inner]), np.sin(turn[inner])
    x, y = arm[inner].T
    points[inner, :2] = centre[of][inner] + np.column_stack([cos * x - sin * y, sin * x + cos * y])
    points[inner, 2] = (origin[of, 2] + (end[of, 2] - origin[of, 2]) * share)[inner]
    sweeps = sweep[of] / parts[of]
    return _without_short(np.concatenate([begin[None, :], points]), sweeps, pace[of])


def _without_short(points: Array, sweeps: Array, pace: Array) -> tuple[Array, Array, Array]:
    """The same without spans that go nowhere."""
    while True:
        steps = np.diff(points, axis=0)
        steps[sweeps != 0.0, 2] = 0.0
        long = np.sqrt((steps**2).sum(axis=1)) > SAME_PLACE
        if long.all():
            return points, sweeps, pace
        points = np.concatenate([points[:1], points[1:][long]])
        sweeps, pace = sweeps[long], pace[long]


@dataclass(frozen=True)
class _State:
    tool: int | None
    spindle: float


class _States:
    """Bit and spindle in force, as the events of a program set them one after the other."""

    def __init__(self, program: Program, findings: list[Finding], speed: float | None) -> None:
        self._program = program
        self._speed = speed
        self._findings = findings
        self._next = 0
        self._tool: int | None = None
        self._spindle = 0.0
        self._sense = 0
        self._offset: str | None = None
        self._cut_in: str | None = None
        self._cuts = 0
        self._told: set[str] = set()

    def at(self, first: int, last: int, refused: list[Finding]) -> _State:
        """The state in the cut of rows ``first`` to ``last``; what must not happen there is added to ``refused``."""
        for row, event in self._until(first):
            if isinstance(event, Pause) and self._cuts:
                what = "the machine waits between two cuts, perhaps for another bit"
                refused.append(_finding(self._program, row, what, "split the file there"))
            self._take(event, row)
        if self._speed is not None and (self._sense == 0 or self._spindle <= 0.0):
            self._spindle, self._sense = self._speed, 1
        if self._sense == 0 or self._spindle <= 0.0:
            what, fix = "a cut while the spindle is off, or at no speed", "switch it on first (S18000 M3, say), or say"
            self._once(refused, "spindle", first, what, f"{fix} how fast it turns when it is switched on by hand")
        elif self._sense < 0:
            what = "a cut with the spindle turning counter-clockwise (M4)"
            self._once(refused, "sense", first, what, "bits for routers cut clockwise: write M3")
        if self._cuts and self._offset != self._cut_in:
            what = f"cuts in two work offsets, {self._cut_in or 'that in force'} and {self._offset}"
            self._once(refused, "offset", first, what, "where these lie to one another is not in the file: split it")
        self._cut_in, self._cuts = self._offset, self._cuts + 1
        state = _State(self._tool, self._spindle)
        for row, event in self._until(last - 1):
            match event:
                case ToolChange() | Spindle() | Offset():
                    what = "the bit, its speed or the work offset changes within a cut"
                    refused.append(_finding(self._program, row, what, "lift it clear of the board first"))
                case Pause() | Lift():
                    what = "the machine waits, or lifts in its own coordinates, within a cut"
                    refused.append(_finding(self._program, row, what, "lift it clear of the board first"))
                case Dwell(seconds=seconds):
                    what = f"a wait of {seconds:g} s within a cut is left out"
                    self._note("dwell", row, what)
                case _:
                    self._take(event, row)
        return state

    def _until(self, row: int) -> Iterator[tuple[int, object]]:
        """Events that happen before the row after ``row`` is run: all up to and with that row."""
        at = self._program.event_at
        while self._next < len(at) and at[self._next] <= row:
            self._next += 1
            yield int(at[self._next - 1]), self._program.event[self._next - 1]

    def _take(self, event: object, row: int) -> None:
        match event:
            case ToolChange(number=number):
                self._tool = number
            case Spindle(speed=speed, sense=sense):
                self._spindle, self._sense = speed, sense
            case Offset(name=name):
                self._offset = name
            case Coolant(kind=kind) if kind != "off":
                self._note("coolant", row, f"coolant ({kind}) is left out", severity=True)

    def _note(self, name: str, row: int, what: str, *, severity: bool = False) -> None:
        if name not in self._told:
            self._told.add(name)
            found = _finding(self._program, row, what, "")
            self._findings.append(found.at(severity="warning" if severity else "note"))

    def _once(self, refused: list[Finding], name: str, row: int, what: str, fix: str) -> None:
        if name not in self._told:
            self._told.add(name)
            refused.append(_finding(self._program, row, what, fix))


def _finding(program: Program, row: int, what: str, fix: str) -> Finding:
    line = int(program.line[min(row, len(program) - 1)]) if len(program) else -1
    return Finding(check=CHECK, what=what, fix=fix, line=line if line > 0 else None)
