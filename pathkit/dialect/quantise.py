"""The one rounding: a legal program becomes integers on the grid of the output's last decimal.

Everything written comes from here, so that the writer and its checks format the same integers.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NoReturn

import numpy as np
from numpy.typing import NDArray

from pathkit.dialect.arcs import open_length
from pathkit.dialect.legalise import Legal
from pathkit.errors import CapabilityError
from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.profile import Machine
from pathkit.motion.program import RAPID, Program
from pathkit.tolerances import ARC_SLACK_USED, FINEST_CHORDS
from pathkit.units import MM_PER_UNIT

Counts = NDArray[np.int64]

LARGEST_DIGITS = 15
"""Digits of a number if the controller itself sets no limit: what a double holds."""


@dataclass(frozen=True, eq=False)
class Grid:
    """Rows as they are written, in counts of the last decimal.

    ``power`` (m,) of a beam, in counts of S; None without one.

    ``motion`` (m,) 0 rapid, 1 straight, 2 clockwise, 3 counter-clockwise, 4 to 6 the drill cycles G81 to G83 ·
    ``point`` (m, 3) ends (of a cycle x, y and the bottom), `grid_kernel.UNKNOWN` where an axis is not known ·
    ``arc`` (m, 2) the absolute centre, or R and 0; of a cycle its retract plane, and the peck or the milliseconds at
    the bottom · ``feed`` (m,) 0 for rapids that need none · ``row`` (m,) the row of the program it came from ·
    ``restate`` (m,) whether events come before it, so that it writes its motion and feed again · ``event_at`` for each
    event of the script the row before which it comes · ``folded`` (row, first, last): the rows of the program that a
    drill cycle replaces.
    """

    motion: NDArray[np.uint8]
    point: Counts
    arc: Counts
    feed: Counts
    row: Counts
    restate: NDArray[np.bool_]
    event_at: Counts
    folded: tuple[tuple[int, int, int], ...] = ()
    power: Counts | None = None

    def __len__(self) -> int:
        return len(self.motion)

    def forgetting(self, events: Sequence[int]) -> Grid:
        """The same rows, as if X and Y were not known after these events: where Z alone moves then, both are written
        again before anything else, by a row of their own if the next move is not sideways."""
        from pathkit.dialect.grid_kernel import RAPIDLY, UNKNOWN

        places = self.point[:, :2]
        rows = [
            row for row in self.event_at[list(events)].tolist()
            if 0 < row < len(self) and self.motion[row] == RAPIDLY and (places[row] == places[row - 1]).all()
        ]  # fmt: skip
        if not rows:
            return self
        twice = np.ones(len(self), dtype=np.int64)
        twice[[r for r in rows if r + 1 < len(self) and (places[r + 1] == places[r]).all()]] = 2
        kept = np.repeat(np.arange(len(self)), twice)
        first = np.concatenate([[0], np.cumsum(twice)])
        names = ("motion", "arc", "feed", "row", "restate", *(() if self.power is None else ("power",)))
        columns = {name: getattr(self, name)[kept] for name in names}
        point = self.point[kept]
        point[first[rows], :2] = UNKNOWN
        return replace(self, point=point, event_at=first[self.event_at], **columns)

    def raised(self, steps: int) -> Grid:
        """The same rows with every Z moved by that many counts, retract planes as well."""
        from pathkit.dialect.grid_kernel import DRILL, UNKNOWN

        point, arc = self.point.copy(), self.arc.copy()
        known = point[:, 2] != UNKNOWN
        point[known, 2] += steps
        arc[self.motion >= DRILL, 0] += steps
        return replace(self, point=point, arc=arc)


def quantise(legal: Legal, machine: Machine, capabilities: Capabilities) -> Grid:
    """Round half to even: value · 10^decimals in the output's units.

    Moves that round to nothing vanish. An arc stays an arc only if its rounded start, end and centre keep its sense,
    sweep and shape and the controller accepts their radii; else it becomes shorter arcs, lines, or nothing. Raises
    `CapabilityError` for numbers with more digits than the controller reads and for feeds that round to zero.
    """
    from pathkit.dialect import grid_kernel

    program = legal.program
    mm = MM_PER_UNIT[capabilities.units]
    scale = 10.0**capabilities.unit_decimals
    per_mm = scale / mm
    shortest = open_length(program, capabilities) * [per_mm, 1.0]
    digits = capabilities.significant_digits or LARGEST_DIGITS
    rule = grid_kernel.Rule(
        mm=mm,
        scale=scale,
        feed_scale=10.0**capabilities.feed_decimals,
        refused=_too_long(digits, capabilities.unit_decimals),
        feed_refused=_too_long(digits, capabilities.feed_decimals),
        rapids=capabilities.rapid_feed,
        form=grid_kernel.BY_RADIUS if capabilities.arcs == "radius" else grid_kernel.ABOUT_CENTRE,
        tolerance=float(min(machine.motion.arc_tolerance, FINEST_CHORDS) * per_mm),
        slack=float(arc_slack(capabilities) * ARC_SLACK_USED * per_mm),
        longest=10.0**digits - 1.0,
        shortest=float(shortest[0]),
        share=float(shortest[1]),
    )
    rate = _rates(program, machine) if capabilities.rapid_feed else program.feed
    rows = grid_kernel.Rows(program.kind, program.end, program.centre, program.sweep, rate)

    def laid(count: int) -> tuple[int, grid_kernel.Laid]:
        columns = grid_kernel.Laid(
            np.empty(count, np.uint8), np.empty((count, 3), np.int64), np.zeros((count, 2), np.int64),
            np.empty(count, np.int64), np.empty(count, np.int64),
        )  # fmt: skip
        unknown = np.full(3, grid_kernel.UNKNOWN, np.int64)
        work = grid_kernel.Work(np.full(3, np.nan), unknown, np.zeros((grid_kernel.DEEPEST + 1, 2)))
        return grid_kernel.lay_rows(rows, rule, columns, work), columns

    # Only halved arcs need more rows than there are; all is then done again with as many.
    count, filled = laid(len(program))
    if count > len(program):
        count, filled = laid(count)
    if count < 0:
        _refuse(legal, rate, capabilities, digits)
    motion, point, arc = filled.motion[:count], filled.point[:count], filled.arc[:count]
    feed, row = filled.feed[:count], filled.row[:count]
    event_at = np.searchsorted(row, legal.script.at)
    restate = np.zeros(count, dtype=bool)
    restate[event_at[event_at < count]] = True
    power = None if program.power is None else _powers(program.power, capabilities)[row]
    return Grid(motion, point, arc, feed, legal.source[row], restate, event_at, power=power)


def _powers(power: NDArray[np.float64], capabilities: Capabilities) -> Counts:
    """(n,) the S of each row. Raises `CapabilityError` where a power would be written as none."""
    steps = np.rint(power * capabilities.full_speed * 10.0**capabilities.speed_decimals).astype(np.int64)
    if len(lost := np.flatnonzero((steps == 0) & (power > 0.0))):
        what = f"a power of {power[lost[0]]:g} of the full: with S up to {capabilities.full_speed:g} it rounds to S0"
        fix = "give more power, or a finer S in the profile's [output] speed"
        raise CapabilityError([Finding(check="quantise", what=what, fix=fix)])
    return steps


def arc_slack(capabilities: Capabilities) -> float:
    """mm by which the radii of an arc's start and end may differ in a file in these units."""
    inch = capabilities.arc_radius_slack_inch
    return inch if capabilities.units == "inch" and inch is not None else capabilities.arc_radius_slack


def check_range(grid: Grid, capabilities: Capabilities) -> None:
    """Refuse numbers with more digits than the controller reads, leading zeros included."""
    from pathkit.dialect.grid_kernel import UNKNOWN

    digits = capabilities.significant_digits or LARGEST_DIGITS
    known = grid.point[grid.point != UNKNOWN]
    _refuse_long(known.astype(float), digits, capabilities.unit_decimals)


def _rates(program: Program, machine: Machine) -> NDArray[np.float64]:
    """Feeds with those of rapids: at the pace of the slowest axis that moves; the bit's first position is unknown."""
    moves = program.origins != program.end
    paces = np.where(moves & ~np.isnan(program.end), np.array(machine.motion.rapid), np.inf).min(axis=1)
    paces = np.where(np.isfinite(paces), paces, min(machine.motion.rapid))
    rates: NDArray[np.float64] = np.where(program.kind != RAPID, program.feed, paces)
    # As a program's own columns, so that the kernel is compiled once.
    rates.setflags(write=False)
    return rates


def _refuse(legal: Legal, rate: NDArray[np.float64], capabilities: Capabilities, digits: int) -> NoReturn:
    """Say what the kernel did not take."""
    program, mm = legal.program, MM_PER_UNIT[capabilities.units]
    _refuse_long(program.end / mm * 10.0**capabilities.unit_decimals, digits, capabilities.unit_decimals)
    cutting = program.kind != RAPID
    scaled = np.where(cutting | capabilities.rapid_feed, rate, 0.0) / mm * 10.0**capabilities.feed_decimals
    _refuse_long(scaled, digits, capabilities.feed_decimals)
    rows = np.flatnonzero(cutting & ~(np.rint(scaled) > 0.0))
    what = f"feed {program.feed[rows[0]]:g} mm/min: with {capabilities.feed_decimals} decimals it rounds to 0"
    path = f"$.feed[{legal.source[rows[0]]}]"
    raise CapabilityError([Finding(check="quantise", what=what, fix="give a faster feed", path=path)])


def _too_long(digits: int, decimals: int) -> float:
    """The count from which a number has too many digits, leading zeros included."""
    return float(10.0 ** max(digits, decimals + 1) - 0.5)


def _refuse_long(counts: NDArray[np.float64], digits: int, decimals: int) -> None:
    with np.errstate(invalid="ignore"):
        largest = float(np.nanmax(np.abs(counts))) if np.isfinite(counts).any() else 0.0
    if largest >= _too_long(digits, decimals) or not math.isfinite(largest):
        what = f"a number of {largest / 10.0**decimals:g} needs more than the {digits} digits that the controller reads"
        raise CapabilityError([Finding(check="quantise", what=what, fix="bring the zero nearer to the work")])
