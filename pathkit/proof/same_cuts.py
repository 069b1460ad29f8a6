"""Do two programs cut the same? Place by place of the bit's own way, whatever the bit's shape and the order of cuts.

Wood is gone in the end where the bit has ever been. So two programs leave the same board if each, with the same bit,
goes wherever the other goes: to the same place in the plan, as low or lower, since a bit cuts no less above than at its
tip. This needs no diameter, and time in proportion to the moves.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.motion.program import RAPID, Program
from pathkit.proof.material.near import Near
from pathkit.proof.material.segments import Segments, parted, segments_of
from pathkit.proof.result import CheckResult, Status
from pathkit.tolerances import SAME_HEIGHT, SAME_PLACE

Array = NDArray[np.float64]
Numbers = NDArray[np.int32]

NAME: Final = "same cuts"

STEP: Final = 0.5
"""mm between the places of a straight cut that are looked at."""

STEEPEST: Final = 100.0
"""mm of height for each mm along: on steeper slopes no more is granted to the height of a place."""

MOST: Final = 20
"""Places named one by one."""

LIMITS: Final = (
    "It compares where the bit goes below the board's top, not in which order or how fast; on straight cuts "
    f"it looks every {STEP:g} mm."
)


def _as_it_is(finding: Finding) -> Finding:
    return finding


class Cutter(NamedTuple):
    """A program on the bench, the number of the bit of each row (−1: not known), and what to call it. ``placed`` puts a
    finding about a line of it into the file that has the line."""

    program: Program
    bits: Numbers
    called: str
    placed: Callable[[Finding], Finding] = _as_it_is


def same_cuts(first: Cutter, second: Cutter, top: float, slack: float) -> CheckResult:
    """Whether both go to the same places below z = ``top`` mm, within ``slack`` mm, each bit for itself.

    Finds every stretch where one goes and the other does not, with its line in the one that goes there.
    """
    ways = [_Way(cutter, top, slack) for cutter in (first, second)]
    findings: list[Finding] = []
    farthest = 0.0
    for mine, theirs in (ways, reversed(ways)):
        missing, apart = mine.lacking(theirs, slack)
        farthest = max(farthest, apart)
        findings += itertools.islice(missing, MOST)
    figures = {
        "tolerance_mm": round(slack, 6), "farthest_mm": round(farthest, 6),
        "places": sum(len(way.places) for way in ways),
    }  # fmt: skip
    unknown = any((way.owner < 0).any() for way in ways)
    status: Status = "failed" if findings else "not proved" if unknown else "passed"
    return CheckResult(NAME, status, LIMITS, tuple(findings), figures)


class _Way:
    """Where a program's bits go below the board's top: segments to be near to, and places to be held against others."""

    def __init__(self, cutter: Cutter, top: float, slack: float) -> None:
        program = cutter.program
        self.cutter = cutter
        # At rapid a bit cuts as well.
        self.segments = _below(segments_of(program, slack / 4.0), top - SAME_HEIGHT)
        self.owner = cutter.bits[self.segments.row]
        # Straight up and down at rapid it goes where it has cut, or comes from where the program finds it.
        sideways = (self.segments.start[:, :2] != self.segments.end[:, :2]).any(axis=1)
        held = (program.kind[self.segments.row] != RAPID) | sideways
        self.places, self.steep, of = _places(self.segments.of(held))
        self.of = np.flatnonzero(held)[of]

    def lacking(self, other: _Way, slack: float) -> tuple[Iterator[Finding], float]:
        """Where this goes and the other does not; and how far the other passes by the places that it does reach, mm."""
        near = Near(other.segments.start, other.segments.end, other.owner)
        # On a slope what is a little beside is a little higher.
        room = slack * (1.0 + self.steep)
        apart, lowest, _ = near.held(self.places[:, :2], self.owner[self.of], slack)
        missed = ~((apart <= slack) & (lowest <= self.places[:, 2] + room))
        farthest = float(apart[~missed].max(initial=0.0))
        return self._told(missed, other), farthest

    def _told(self, missed: NDArray[np.bool_], other: _Way) -> Iterator[Finding]:
        rows, places = self.segments.row[self.of[missed]], self.places[missed]
        _, first = np.unique(rows, return_index=True)
        # Rows that follow one another are one stretch.
        heads = [int(k) for n, k in enumerate(first) if n == 0 or rows[k] != rows[first[n - 1]] + 1]
        for k in heads:
            x, y, z = places[k].tolist()
            line = int(self.cutter.program.line[rows[k]])
            what = (
                f"{self.cutter.called} cuts at x {x:.3f}, y {y:.3f} down to z {z:.3f} (bench), and "
                f"{other.cutter.called} does not"
            )
            told = Finding(check=NAME, what=what, fix="keep the file as it was", line=line if line > 0 else None)
            yield self.cutter.placed(told)


def _below(segments: Segments, top: float) -> Segments:
    """The part of each segment below ``top``; of those straight down the lowest place."""
    start, end, row = segments
    low = np.minimum(start[:, 2], end[:, 2]) < top
    start, end, row = start[low], end[low], row[low]
    fall = end - start
    run = np.hypot(fall[:, 0], fall[:, 1])
    upright = run <= SAME_PLACE
    lowest = np.where((start[:, 2] < end[:, 2])[:, None], start, end)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.clip((top - start[:, 2]) / fall[:, 2], 0.0, 1.0)[:, None]
    crossing = start + fall * share
    begin = np.where((start[:, 2] > top)[:, None], crossing, start)
    stop = np.where((end[:, 2] > top)[:, None], crossing, end)
    return Segments(
        np.where(upright[:, None], lowest, begin), np.where(upright[:, None], lowest, stop), row
    )  # fmt: skip


def _places(segments: Segments) -> tuple[Array, Array, NDArray[np.int64]]:
    """Places (k, 3) along segments, both ends of each among them; how steep it is there, mm of height for each mm
    along; and of which segment."""
    step = segments.end - segments.start
    run = np.hypot(step[:, 0], step[:, 1])
    count = np.ceil(run / STEP).astype(np.int64) + 1
    of, number = parted(count)
    share = number / np.maximum(count - 1, 1)[of]
    places = segments.start[of] + step[of] * share[:, None]
    steep = np.abs(step[:, 2]) / np.where(run > 0.0, run, np.inf)
    return places, np.minimum(steep, STEEPEST)[of], of
