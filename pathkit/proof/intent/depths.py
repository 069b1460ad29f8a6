"""Every cut as deep as the job asks, and no bite deeper than its stepdown or its peck."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Peck, Plunge, Toolpath
from pathkit.motion.program import RAPID
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.intent.places import MOST, runs_and_falls
from pathkit.proof.material.heightmap import GRID
from pathkit.proof.result import Verdict
from pathkit.tolerances import BITE, HALF_COUNT, ROUNDING, SAME_HEIGHT


@check(
    "asked depths",
    "board",
    "job",
    scope="whole",
    limits=f"Bites are judged on a map of points {GRID:g} mm apart (further apart over 1 m² of board), depths exactly.",
)
def asked_depths(evidence: Evidence) -> Verdict:
    """Each toolpath down to its bottom and no further; no bite beyond its stepdown, its levels or its peck."""
    job, bench, sections = evidence.job, evidence.bench, evidence.sections
    assert job is not None
    cutting = bench.kind != RAPID
    bites = np.where(cutting, evidence.removal.bite, 0.0)
    found: list[Finding] = []
    for index, path in enumerate(job.toolpaths):
        rows = sections.rows(index)
        rows = rows[cutting[rows]]
        if not len(rows):
            found.append(_finding(evidence, path, None, "is never cut", "post the whole job"))
            continue
        found += _bottoms(evidence, path, rows)
        found += _bites(evidence, path, rows, bites[rows])
        found += _pecks(evidence, path, rows)
        if len(found) > MOST:
            break
    return Verdict(found[:MOST], figures={"toolpaths": len(job.toolpaths)})


def asked_bite(path: Toolpath, stock: Stock) -> float:
    """The deepest bite (mm) that a toolpath asks for: its stepdown, its peck, or the largest step of its own levels;
    infinite for a trace and for a hole drilled in one go."""
    if path.curve.is_trace or path.bottom is None:
        return float("inf")
    top = stock.highest_top if path.top is None or path.top >= stock.top - ROUNDING else path.top
    if isinstance(path.entry, Peck) and path.curve.is_point:
        return path.entry.depth
    if path.curve.is_point and isinstance(path.entry, Plunge):
        # Drilled in one go: a stepdown applies to milling only.
        return float("inf")
    if path.stepdown is not None:
        return path.stepdown
    return max(high - low for high, low in pairwise((top, *(path.levels or (path.bottom,)))))


def _bottoms(evidence: Evidence, path: Toolpath, rows: NDArray[np.int64]) -> Iterator[Finding]:
    """The lowest place of a toolpath is its bottom, to the grid of the file."""
    z = evidence.bench.end[rows, 2]
    asked = path.lowest
    at = int(np.argmin(z))
    off = float(z[at]) - asked
    if abs(off) > HALF_COUNT * evidence.count + SAME_HEIGHT:
        what = f"goes down to z = {z[at]:.3f} mm, and the job asks for {asked:.3f} mm"
        yield _finding(evidence, path, int(rows[at]), what, "post the job again")


def _bites(
    evidence: Evidence, path: Toolpath, rows: NDArray[np.int64], bites: NDArray[np.float64]
) -> Iterator[Finding]:
    allowed = asked_bite(path, evidence.board)
    at = int(np.argmax(bites))
    if bites[at] > allowed + BITE:
        what = f"cuts {bites[at]:.2f} mm deep at once, and the job asks for {allowed:.2f} mm at most"
        yield _finding(evidence, path, int(rows[at]), what, "give it more levels, or first cut what lies above it")
    levels = (*(path.levels or ()),)
    top = evidence.board.highest_top if path.top is None else max(path.top, path.highest(evidence.board))
    drops = [high - low for high, low in pairwise((top, *levels))]
    if path.stepdown is not None and drops and max(drops) > path.stepdown + SAME_HEIGHT:
        what = f"has a level {max(drops):.3f} mm below the one before, and its stepdown is {path.stepdown:g} mm"
        yield _finding(evidence, path, int(rows[0]), what, "give it more levels")


def _pecks(evidence: Evidence, path: Toolpath, rows: NDArray[np.int64]) -> Iterator[Finding]:
    """Each peck goes no further than asked below what is already drilled, and takes something."""
    if not isinstance(path.entry, Peck):
        return
    floor = evidence.board.highest_top if path.top is None else max(path.top, path.highest(evidence.board))
    if not path.curve.is_point:
        # At its levels the bit goes round; only its ways straight down are pecks.
        run, fall = runs_and_falls(evidence.bench)
        rows = rows[(run[rows] <= evidence.count) & (fall[rows] > evidence.count)]
    for row in rows:
        z = float(evidence.bench.end[row, 2])
        if floor - z > path.entry.depth + 1.01 * evidence.count:
            what = f"pecks {floor - z:.3f} mm deep, and the job asks for {path.entry.depth:g} mm at most"
            yield _finding(evidence, path, int(row), what, "post the job again")
            return
        if z > floor - 1.01 * evidence.count and floor < evidence.board.highest_top - evidence.count:
            yield _finding(evidence, path, int(row), "has a peck that takes nothing", "post the job again")
            return
        floor = min(floor, z)


def _finding(evidence: Evidence, path: Toolpath, row: int | None, what: str, fix: str) -> Finding:
    line = None if row is None else evidence.line(row)
    return Finding(check="asked depths", what=what, fix=fix, line=line, toolpath=path.name)
