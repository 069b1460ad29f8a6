"""How deep each bit cuts at once, in two files whose moves are parted in unlike ways."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding, errors_of
from pathkit.model.job import Job
from pathkit.motion.program import ARC, LINE, RAPID, Program
from pathkit.proof.material.heightmap import Removal, grid_for, remove
from pathkit.proof.material.segments import Segments, parted, segments_of
from pathkit.proof.result import CheckResult, Figure, Status
from pathkit.proof.same_cuts import Cutter
from pathkit.tolerances import BITE, MAP_CHORDS, MAP_SLACK, UNEVEN_BITE

Array = NDArray[np.float64]

STEP: Final = 0.5
"""mm between the places at which both files' bits are looked at. What one move takes off depends on its length, so both
are parted evenly."""

TURN: Final = math.radians(20.0)
"""Radians of a bend that count as one such step."""

NAME: Final = "no deeper bite"
LIMITS: Final = (
    f"It compares the deepest bite of each bit within {STEP:g} mm of its way in both files, on a map of points: it "
    "needs the bit and the board that were given."
)


def no_deeper_bite(file: Cutter, made: Cutter, job: Job) -> CheckResult:
    """Whether no bit of what was ``made`` of a file cuts deeper at once than it does in the file."""
    was_removed, now_removed = (_Removed.by(each, job) for each in (file, made))
    before, _ = was_removed.deepest()
    after, rows = now_removed.deepest()
    found = was_removed.at_rapid()
    figures: dict[str, Figure] = {}
    for tool, was, now, row in zip(job.tools, before.tolist(), after.tolist(), rows.tolist(), strict=True):
        figures |= {f"{tool.name}, file": round(was, 3), f"{tool.name}, now": round(now, 3)}
        if now > was + BITE + UNEVEN_BITE:
            what = f"{tool.name!r} cuts {now:.2f} mm deep at once here, in the file {was:.2f} mm at most"
            line = int(made.program.line[row])
            found.append(made.placed(Finding(check=NAME, what=what, fix="keep the order of the file", line=line)))
    known = was_removed.removal.known and now_removed.removal.known
    status: Status = "failed" if errors_of(found) else "passed" if known else "not proved"
    return CheckResult(NAME, status, LIMITS, tuple(found), figures)


class _Removed(NamedTuple):
    """What a program takes off, in even steps, and the row that each step is part of."""

    cutter: Cutter
    job: Job
    removal: Removal
    even: Program
    of: NDArray[np.int64]

    @classmethod
    def by(cls, cutter: Cutter, job: Job) -> _Removed:
        even, of = _evenly(cutter.program)
        bits, grid = cutter.bits[of], grid_for(job.stock)
        return cls(cutter, job, remove(even, stock=job.stock, tools=job.tools, bits=bits, grid=grid), even, of)

    def deepest(self) -> tuple[Array, NDArray[np.int64]]:
        """For each bit the most (mm) that it takes off within a step, and the row (−1: none) that does."""
        bite, bits = np.where(self.even.kind == RAPID, 0.0, self.removal.bite), self.cutter.bits[self.of]
        deepest, rows = np.zeros(len(self.job.tools)), np.full(len(self.job.tools), -1, np.int64)
        for number in range(len(self.job.tools)):
            mine = np.flatnonzero(bits == number)
            if len(mine):
                at = mine[np.argmax(bite[mine])]
                deepest[number], rows[number] = bite[at], self.of[at]
        return deepest, rows

    def at_rapid(self) -> list[Finding]:
        """A warning where the program itself goes through wood at rapid."""
        met = self.removal.rapid
        if not len(met) or (deepest := float(met.max())) <= MAP_SLACK:
            return []
        line = int(self.even.line[int(np.argmax(met))])
        what = f"{self.cutter.called} itself goes through {deepest:.2f} mm of wood at rapid, in line {line}"
        return [Finding(check=NAME, what=what, fix="look at it there: is the board lower?", severity="warning")]


def _turns(segments: Segments) -> Array:
    """(m,) radians by which the bit turns where each segment begins."""
    way = segments.end - segments.start
    with np.errstate(divide="ignore", invalid="ignore"):
        way /= np.sqrt((way**2).sum(axis=1))[:, None]
    cosine = np.clip((way[1:] * way[:-1]).sum(axis=1), -1.0, 1.0)
    return np.concatenate([[0.0], np.nan_to_num(np.arccos(cosine))])[: len(way)]


def _evenly(program: Program) -> tuple[Program, NDArray[np.int64]]:
    """The program with its cuts parted evenly, as lines; and the row that each of its rows is part of."""
    segments = segments_of(program, MAP_CHORDS)
    cut = program.kind[segments.row] != RAPID
    length = np.sqrt(((segments.end - segments.start) ** 2).sum(axis=1))
    # Each run of cuts is one stretch, parted from its beginning; a rapid is one by itself.
    head = np.concatenate([[True], ~(cut[1:] & cut[:-1])]) if len(cut) else cut
    run = np.cumsum(head) - 1
    # Counted in steps, of which each bend is worth some: the middle of a small circle is not what is cut.
    steps = length / STEP
    along = np.cumsum(steps + np.where(head, 0.0, _turns(segments)) / TURN)
    begin = (along - steps)[head]
    whole = np.append(begin[1:], along[-1:]) - begin
    count = np.where(cut[head], np.maximum(1, np.ceil(whole)), 1).astype(np.int64)
    of, step = parted(count)
    at = begin[of] + whole[of] * (step + 1) / count[of]
    last = np.flatnonzero(np.append(head[1:], True)) if len(cut) else run
    which = np.minimum(np.searchsorted(along, at, side="left"), last[of])
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.nan_to_num(1.0 - (along[which] - at) / steps[which], nan=1.0)
    end = segments.start[which] + (segments.end - segments.start)[which] * np.clip(share, 0.0, 1.0)[:, None]
    rows = segments.row[which].astype(np.int64)
    kind = program.kind[rows].copy()
    kind[kind == ARC] = LINE
    nothing, blank = np.full(len(rows), -1, np.int32), np.full((len(rows), 2), np.nan)
    # No feed matters here, but a cut needs one.
    feed = np.where(kind == RAPID, np.nan, 1.0)
    even = Program(
        program.start, kind, end, blank, np.zeros(len(rows)), feed, nothing, nothing, program.line[rows],
        stock=program.stock,
    )  # fmt: skip
    return even, rows
