"""Do two files leave the same board? Whatever their dialects, orientations and orders of cuts.

Each file is read by its own controller's rules and placed on the bench by its own machine's words. Then what both sweep
is compared height by height, exactly: order, direction and starts do not matter, since the ground that is gone at a
height in the end is the union of all that ran there or lower.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.motion.program import RAPID
from pathkit.proof.checks.gouges import tolerance
from pathkit.proof.evidence import Evidence
from pathkit.proof.material.cross_sections import Level, grown
from pathkit.proof.result import CheckResult, Proof

STEP: Final = 1.0
"""mm between the heights at which two files are compared, at the most."""

HEIGHTS: Final = 400
"""At most this many heights; of more, evenly spaced ones are taken."""

MOST: Final = 20
"""Places named one by one."""

NAME: Final = "same board"
LIMITS: Final = (
    "It compares what is cut away in the end, not how: order, feeds and tabs' hops may differ as long as the wood left "
    f"is the same. Between flat levels it looks every {STEP:g} mm or nearer, at {HEIGHTS} heights at the most."
)


@dataclass(frozen=True)
class _Difference:
    """A region (shapely) that ``cutter`` cuts away at height ``z`` and the other file leaves."""

    region: Any
    cutter: Evidence
    other: Evidence
    z: float

    def finding(self) -> Finding:
        level = self.cutter.cuts.at(self.z)
        line = level.near(self.region)
        row = level.row_of(int(line[0]), self.region)
        x, y = self.region.representative_point().coords[0]
        mine, theirs = (e.file or name for e, name in ((self.cutter, "one file"), (self.other, "the other")))
        what = (
            f"{mine} cuts away {self.region.area:.3g} mm² near x {x:.2f}, y {y:.2f} at z {self.z:.3f} (bench), "
            f"and {theirs} leaves it"
        )
        fix = "post both from one job"
        return Finding(check=NAME, what=what, fix=fix, file=self.cutter.file, line=self.cutter.line(row))


def same_board(first: Evidence, second: Evidence) -> Proof:
    """Prove or refute that two files leave the same board; every place where they differ is named with its line.

    Both need a job (for the board and the bits). A file that its controller would not take as it stands proves nothing:
    its faults are errors here too. Raises `InputError` for the file of a beam.
    """
    if beams := [each for each in (first, second) if each.capabilities.beam]:
        what = "it is for a beam: how deep that burns is not known, so no boards can be compared"
        fix = "prove each file against the job that it was made from"
        raise InputError([Finding(check=NAME, what=what, fix=fix, file=each.file) for each in beams])
    results = [_readable(each) for each in (first, second)]
    heights = _heights(first, second)
    # Each file may be off by its own grid and chords; where both are, they may be off both ways.
    slack = tolerance(first) + tolerance(second)
    found = _differences(first, second, heights, slack)
    findings = tuple(each.finding() for each in found[:MOST])
    unknown = [e for e in (first, second) if not e.cuts.known]
    findings += tuple(
        Finding(check=NAME, what="which bit makes some of its cuts is not known", fix="give the job it was made from",
                file=e.file)
        for e in unknown
    )  # fmt: skip
    figures = {"heights": len(heights), "tolerance_mm": round(slack, 6), "differences": len(found)}
    results.append(CheckResult(NAME, "failed" if findings else "passed", LIMITS, findings, figures))
    return Proof(tuple(results), math.nan)


def _readable(evidence: Evidence) -> CheckResult:
    """What the controller would refuse, or what depends on a state that the file has not set."""
    findings = tuple(f.at(file=evidence.file) for f in evidence.reading.findings if f.severity == "error")
    name = f"reading {evidence.file}" if evidence.file else "reading"
    return CheckResult(
        name, "failed" if findings else "passed", "It knows the controller by its published rules.", findings
    )


def _heights(first: Evidence, second: Evidence) -> NDArray[np.float64]:
    """Just above every flat level of either, and between them at equal steps of at most `STEP`."""
    margin = first.count + second.count
    levels = []
    for each in (first, second):
        bench, top = each.bench, each.board.highest_top
        z = bench.end[:, 2]
        flat = (bench.kind != RAPID) & (np.abs(z - bench.origins[:, 2]) < each.count / 2.0)
        cutting = (bench.kind != RAPID) & (z < top - margin)
        # Where everything slopes, the deepest place is still a level.
        levels += [z[flat & cutting], z[cutting][np.argmin(z[cutting])][None] if cutting.any() else z[:0], [top]]
    every = np.unique(np.concatenate(levels))
    # Levels within both grids of one another are one.
    every = every[np.concatenate([[True], np.diff(every) > margin])]
    heights = [every[:-1] + margin]
    for low, high in pairwise(every):
        parts = max(2, math.ceil((high - low) / STEP))
        heights.append(low + (high - low) * np.arange(1, parts) / parts)
    found = np.unique(np.concatenate(heights))
    step = math.ceil(len(found) / HEIGHTS) if len(found) else 1
    chosen: NDArray[np.float64] = found[::step]
    return chosen


def _differences(
    first: Evidence, second: Evidence, heights: NDArray[np.float64], slack: float
) -> list[_Difference]:  # fmt: skip
    """Where one sweeps what the other does not, wider than the slack; the same place is named at its first height."""
    import shapely

    found: list[_Difference] = []
    seen: set[tuple[bool, int, int]] = set()
    before: list[Level] = []
    for z in heights:
        grounds = [each.cuts.at(float(z)) for each in (first, second)]
        # Between the levels of flat bits nothing changes, and what differs there is already named.
        if before and all(_alike(*pair) for pair in zip(before, grounds, strict=True)):
            continue
        before = grounds
        one, two = (level.swept(np.arange(len(level.lines))) for level in grounds)
        for mine, theirs, cutter, other in ((one, two, first, second), (two, one, second, first)):
            lacking = shapely.difference(mine, grown(theirs, slack))
            # What is as thin as the slack is the rounding of an edge.
            core = grown(lacking, -slack / 2.0)
            for piece in shapely.get_parts(lacking):
                if not shapely.intersects(piece, core):
                    continue
                centre = piece.representative_point()
                place = (cutter is first, round(centre.x), round(centre.y))
                if place not in seen:
                    seen.add(place)
                    found.append(_Difference(piece, cutter, other, float(z)))
    return found


def _alike(one: Level, other: Level) -> bool:
    """Whether two levels of one file have the very same lines and widths, and so the same ground."""
    return (
        np.array_equal(one.radius, other.radius)
        and np.array_equal(one.first, other.first)
        and np.array_equal(one.segments.start[:, :2], other.segments.start[:, :2])
        and np.array_equal(one.segments.end[:, :2], other.segments.end[:, :2])
    )
