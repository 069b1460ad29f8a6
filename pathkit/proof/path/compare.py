"""The same path? A program and the program read back, compared in order and both ways, on the grid of the file.

Events divide the two into stretches. Within each stretch the kernel in `pathkit.proof.path.kernel` goes row by row.
Where the two differ, the place is named, and the comparison goes on from the next place where both are at one point.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities
from pathkit.motion.program import RAPID, Program
from pathkit.proof.path.events import Signal, align
from pathkit.tolerances import ARC_COUNTS, HALF_STEP, ROUNDING
from pathkit.units import MM_PER_UNIT

if TYPE_CHECKING:
    from pathkit.proof.path.kernel import Rows

MOST_FINDINGS = 40
"""Places named one by one; a file that has more is wrong throughout."""

LOOK_AHEAD = 80
"""Rows searched on either side for the next place where both are at one point."""

BLOCK = 16_384
"""Rows that are rounded together: 400 kB."""

_CHECK_OF = {"spindle": "spindle", "beam": "beam", "tool": "tool changes", "stop": "end state"}
_MOTION = {0: "a rapid", 1: "a line", 2: "an arc"}

Array = NDArray[np.float64]


@dataclass
class Comparison:
    """``owner`` (m,) is the program's row for each row read, −1 if there is none; ``deviation`` in mm."""

    owner: NDArray[np.int32]
    findings: list[Finding] = field(default_factory=list)
    deviation: float = 0.0

    def of(self, check: str) -> list[Finding]:
        return [f for f in self.findings if f.check == check]


class _Columns:
    """One side in counts: the arrays for the kernel. Only the program has ``goals``: ends rounded as for the file."""

    def __init__(self, program: Program, unit: float, decimals: int, goals: bool) -> None:
        # In this order of division and multiplication the numbers equal, to the last bit, those rounded for the file.
        scale = 10.0**decimals
        self.kind = program.kind
        # Each move begins where the one before it ends: one array holds both, without copies of millions of rows.
        places = np.concatenate([program.start[None, :], program.end])
        places /= unit
        places *= scale
        self.end, self.origin = places[1:], places[:-1]
        self.centre = program.centre / unit
        self.centre *= scale
        self.sweep = program.sweep
        self.feed = program.feed
        self.goal = np.empty_like(self.end) if goals else self.end
        self.rests = np.empty(len(program), np.uint8)
        # Some rows at a time: what is worked out on the way stays in the cache.
        for first in range(0, len(program), BLOCK):
            some = slice(first, first + BLOCK)
            rounded = np.rint(places[first : first + BLOCK + 1])
            before, after = rounded[:-1], rounded[1:]
            still = (after == before) | (np.isnan(after) & np.isnan(before))
            self.rests[some] = still[:, 0] & still[:, 1] & still[:, 2]
            if goals:
                self.goal[some] = after

    @cached_property
    def rows(self) -> Rows:
        from pathkit.proof.path.kernel import Rows

        return Rows(self.kind, self.goal, self.end, self.origin, self.centre, self.sweep, self.feed, self.rests)


def mm_per_count(capabilities: Capabilities) -> float:
    """The smallest step of a dimension in the file, in mm."""
    return MM_PER_UNIT[capabilities.units] / float(10**capabilities.unit_decimals)


def compare(
    program: Program,
    read: Program,
    wanted: list[Signal],
    found: list[Signal],
    capabilities: Capabilities,
    *,
    arc_tolerance: float,
) -> Comparison:
    """Both programs in the controller's frame, mm; ``wanted`` and ``found`` are the signals between their moves."""
    return _Walk(program, read, capabilities, arc_tolerance).run(wanted, found)


class _Walk:
    """The state of one comparison: both sides in counts, and the findings so far."""

    def __init__(self, program: Program, read: Program, capabilities: Capabilities, arc_tolerance: float) -> None:
        self.program, self.read, self.capabilities = program, read, capabilities
        self.unit = MM_PER_UNIT[capabilities.units]
        self.count = mm_per_count(capabilities)
        self.mine, self.theirs = self._columns(program, goals=True), self._columns(read, goals=False)
        self.arc_slack = ARC_COUNTS + arc_tolerance / self.count
        self.feed_slack = self.unit * HALF_STEP / 10.0**capabilities.feed_decimals
        self.off, self.reached = np.zeros(len(read)), np.zeros(len(read))
        self.wrong_feed = np.zeros(len(read), np.uint8)
        self.result = Comparison(np.full(len(read), -1, np.int32))

    def _columns(self, program: Program, goals: bool) -> _Columns:
        return _Columns(program, self.unit, self.capabilities.unit_decimals, goals)

    def run(self, wanted: list[Signal], found: list[Signal]) -> Comparison:
        speed_slack = 0.5 * self.capabilities.speed_step + ROUNDING
        pairs, missing, extra = align(wanted, found, speed_slack)
        row = read_row = 0
        for mine, theirs in [*((s.at, h.at) for s, h in pairs), (len(self.program), len(self.read))]:
            self._stretch(row, mine, read_row, theirs)
            row, read_row = mine, theirs
        self._report_signals(missing, extra)
        self._report_feeds()
        matched = self.result.owner >= 0
        self.result.deviation = float(self.off[matched].max(initial=0.0)) * self.count
        return self.result

    def _stretch(self, row: int, last: int, read_row: int, read_last: int) -> None:
        from pathkit.proof.path.kernel import AGREE, Matched, follow

        mine, theirs, slack = self.mine.rows, self.theirs.rows, (self.arc_slack, self.feed_slack)
        matched = Matched(self.result.owner, self.off, self.wrong_feed, self.reached)
        while True:
            row, read_row, reason = follow(mine, theirs, row, last, read_row, read_last, slack, matched)
            if reason == AGREE or len(self.result.of("same path")) > MOST_FINDINGS:
                return
            self._report_parting(row, read_row, reason)
            where = self._meet(row, last, read_row, read_last)
            if where is None:
                if row < last - 1 or read_row < read_last - 1:
                    rest = max(last - row, read_last - read_row) - 1
                    what = f"the two do not meet again; {rest} more moves before the next event were not compared"
                    self._add("same path", what, "post the program again", read_row, row)
                return
            row, read_row = where

    def _meet(self, row: int, last: int, read_row: int, read_last: int) -> tuple[int, int] | None:
        """The rows after the nearest place where both end a move of the same kind at the same point."""
        mine = slice(row, min(last, row + LOOK_AHEAD))
        theirs = slice(read_row, min(read_last, read_row + LOOK_AHEAD))
        goal, end = self.mine.goal[mine, None, :], np.rint(self.theirs.end[None, theirs, :])
        same = ((goal == end) | (np.isnan(goal) & np.isnan(end))).all(axis=2)
        same &= (self.mine.kind[mine, None] == RAPID) == (self.theirs.kind[None, theirs] == RAPID)
        same &= (self.mine.rests[mine, None] == 0) & (self.theirs.rests[None, theirs] == 0)
        places = np.argwhere(same)
        # The first pair is the one that just failed.
        places = places[places.sum(axis=1) > 0]
        if not len(places):
            return None
        skips = np.abs(places[:, 0] - places[:, 1])
        best = places[np.lexsort((skips, places.max(axis=1)))[0]]
        return row + int(best[0]) + 1, read_row + int(best[1]) + 1

    def _report_parting(self, row: int, read_row: int, reason: int) -> None:
        from pathkit.proof.path import kernel

        fix = "post the program again, and do not edit the file"
        if reason == kernel.MISSING:
            what = f"the program goes on with {self._mine(row)}, and the file does not"
        elif reason == kernel.EXTRA:
            what = f"the file has {self._theirs(read_row)}, and the program has no more moves here"
        elif reason == kernel.KIND:
            what = f"the file has {self._theirs(read_row)}, and the program {self._mine(row)}"
        elif reason == kernel.SENSE:
            what = f"the arc to {self._place(self.read, read_row)} runs the other way round than the program's"
        elif reason == kernel.SHAPE:
            what = f"the file has {self._theirs(read_row)}, which strays from the program's {self._mine(row)}"
        else:
            places = self._place(self.read, read_row), self._place(self.program, row)
            what = f"the file goes to {places[0]}, and the program to {places[1]}"
        self._add("same path", what, fix, read_row, row)

    def _report_feeds(self) -> None:
        wrong = np.flatnonzero(self.wrong_feed & (self.result.owner >= 0))
        for read_row in wrong[:MOST_FINDINGS]:
            row = int(self.result.owner[read_row])
            got, wanted = self.read.feed[read_row] / self.unit, self.program.feed[row] / self.unit
            what = f"cuts at F{got:g}, and the program at F{wanted:g}"
            if np.isnan(got):
                what = f"cuts at a feed that nothing has set, and the program at F{wanted:g}"
            self._add("feeds", what, "post the program again", int(read_row), row)
        if len(wrong) > MOST_FINDINGS:
            self._add("feeds", f"{len(wrong) - MOST_FINDINGS} more moves have another feed", "", int(wrong[-1]), -1)

    def _report_signals(self, missing: list[Signal], extra: list[Signal]) -> None:
        for signal in missing[:MOST_FINDINGS]:
            behind = np.flatnonzero(self.result.owner >= signal.at)
            read_row = int(behind[0]) if len(behind) else len(self.read) - 1
            check = _CHECK_OF.get(signal.kind, "events")
            self._add(
                check, f"the program has {signal.words} before this, and the file does not", "", read_row, signal.at
            )
        for signal in extra[:MOST_FINDINGS]:
            check = _CHECK_OF.get(signal.kind, "events")
            what = f"the file has {signal.words} before this, and the program does not"
            self._add(check, what, "", signal.at, -1)

    def _add(self, check: str, what: str, fix: str, read_row: int, row: int) -> None:
        line = None
        if len(self.read):
            number = int(self.read.line[min(max(read_row, 0), len(self.read) - 1)])
            line = number if number > 0 else None
        toolpath = None
        if 0 <= row < len(self.program) and self.program.toolpath[row] >= 0:
            toolpath = self.program.names[self.program.toolpath[row]]
        fix = fix or "post the program again, and do not edit the file"
        self.result.findings.append(Finding(check=check, what=what, fix=fix, line=line, toolpath=toolpath))

    def _mine(self, row: int) -> str:
        return f"{_MOTION[int(self.program.kind[row])]} to {self._place(self.program, row)}"

    def _theirs(self, read_row: int) -> str:
        return f"{_MOTION[int(self.read.kind[read_row])]} to {self._place(self.read, read_row)}"

    def _place(self, program: Program, row: int) -> str:
        """An end as the file would write it; unknown axes are left out."""
        decimals = self.capabilities.unit_decimals
        values = zip("XYZ", program.end[row] / self.unit, strict=True)
        return " ".join(f"{axis}{value:.{decimals}f}" for axis, value in values if not np.isnan(value))
