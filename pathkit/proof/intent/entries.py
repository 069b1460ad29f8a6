"""Ways down as the job asks: no steeper than their angle, and on ground that the cut itself clears."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.model.toolpath import Descend, Helix, Ramp, Spiral, Toolpath
from pathkit.motion.program import RAPID
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.intent.places import MOST, runs_and_falls
from pathkit.proof.intent.tabs import half_gap
from pathkit.proof.material.segments import segments_of
from pathkit.proof.result import Verdict
from pathkit.tolerances import BESIDE_CURVE, BESIDE_CUT, BITE, CURVE_CHORDS, FALL_COUNTS, STEEPER

_RING: Final = np.stack([(math.cos(a), math.sin(a)) for a in np.arange(16) * (math.pi / 8.0)])


@check(
    "asked entries",
    "board",
    "job",
    scope="whole",
    limits="Straight down is judged where wood is met; behind a tab a centre-cutting bit may go straight down.",
)
def asked_entries(evidence: Evidence) -> Verdict:
    """Every slope into wood no steeper than the entry's angle, and every way down within the toolpath's own sweep."""
    job, bench, sections = evidence.job, evidence.bench, evidence.sections
    assert job is not None
    run, fall = runs_and_falls(bench)
    found: list[Finding] = []
    for index, path in enumerate(job.toolpaths):
        if len(found) >= MOST:
            break
        rows = sections.rows(index)
        rows = rows[bench.kind[rows] != RAPID]
        if isinstance(path.entry, Ramp | Spiral | Helix):
            found += _steep(evidence, path, rows, run[rows], fall[rows])
        if isinstance(path.entry, Descend):
            found += _into_wood(evidence, path, rows, run[rows], fall[rows])
        if not path.curve.is_point and not path.curve.is_trace:
            found += _aside(evidence, index, path, rows)
    return Verdict(found[:MOST])


def _steep(
    evidence: Evidence, path: Toolpath, rows: NDArray[np.int64], run: NDArray[np.float64], fall: NDArray[np.float64]
) -> Iterator[Finding]:
    assert isinstance(path.entry, Ramp | Spiral | Helix)
    asked = path.entry.angle
    # The slope is the curve's length against the fall; what rounding can do to either is granted.
    least = fall - FALL_COUNTS * evidence.count
    steep = least > (run + evidence.count) * math.tan(math.radians(asked)) * (1.0 + STEEPER)
    bite = evidence.removal.bite[rows]
    for k in np.flatnonzero(steep & (bite > BITE)):
        row = int(rows[k])
        if path.tool.plunges and run[k] <= evidence.count and _behind_a_tab(evidence, path, row):
            continue
        angle = math.degrees(math.atan2(fall[k], run[k]))
        what = f"goes into wood at {angle:.1f} degrees, and the job asks for {asked:g} at most"
        yield _finding(evidence, path, row, what)
        return


def _into_wood(
    evidence: Evidence, path: Toolpath, rows: NDArray[np.int64], run: NDArray[np.float64], fall: NDArray[np.float64]
) -> Iterator[Finding]:
    """Where the bit is to go down through air, and meets wood."""
    bite = evidence.removal.bite[rows]
    down = (fall > FALL_COUNTS * evidence.count) & (run <= evidence.count)
    for k in np.flatnonzero(down & (bite > BITE)):
        row = int(rows[k])
        if not (path.tool.plunges and _behind_a_tab(evidence, path, row)):
            what = f"goes straight down through {bite[k]:.2f} mm of wood, and the job has that ground cleared before"
            yield _finding(evidence, path, row, what)
            return


def _behind_a_tab(evidence: Evidence, path: Toolpath, row: int) -> bool:
    x, y = evidence.bench.end[row, :2]
    for tab in path.tabs:
        half = half_gap(path, tab)
        for station in (tab.at - half, tab.at + half):
            end = path.curve.at(station if path.curve.closed else min(max(station, 0.0), path.curve.length))
            if math.dist((x, y), end[:2]) <= 0.5:
                return True
    return False


def _aside(evidence: Evidence, index: int, path: Toolpath, rows: NDArray[np.int64]) -> Iterator[Finding]:
    """Ways beside the curve: what they sweep in wood is swept by the toolpath itself."""
    import shapely

    bench, ground = evidence.bench, evidence.sections.ground
    line = ground.lines[index]
    mine = np.zeros(len(bench), bool)
    mine[rows] = True
    segments = segments_of(bench, CURVE_CHORDS, mine & (bench.end[:, 2] < evidence.board.highest_top - BESIDE_CURVE))
    if not len(segments.row):
        return
    middle = (segments.start[:, :2] + segments.end[:, :2]) / 2.0
    places = np.stack([segments.start[:, :2], middle, segments.end[:, :2]], axis=1)
    apart = shapely.distance(shapely.points(places), line).max(axis=1)
    aside = np.flatnonzero(apart > BESIDE_CURVE)
    if not len(aside):
        return
    # The rim of what the bit sweeps on its way must lie on ground that the bit sweeps on the curve.
    spots = places[aside, 1:].reshape(-1, 2)
    rims = (spots[:, None, :] + max(path.tool.radius - BESIDE_CUT, 0.0) * _RING[None, :, :]).reshape(-1, 2)
    beyond = shapely.distance(shapely.points(rims), line) - path.tool.radius
    worst = int(np.argmax(beyond))
    if beyond[worst] > BESIDE_CURVE - BESIDE_CUT:
        x, y = spots[worst // len(_RING)]
        what = f"reaches {beyond[worst]:.2f} mm beyond what it clears itself, beside its curve at ({x:.1f}, {y:.1f})"
        row = int(segments.row[aside[worst // (2 * len(_RING))]])
        yield _finding(evidence, path, row, what)


def _finding(evidence: Evidence, path: Toolpath, row: int, what: str) -> Finding:
    fix = "post the job again"
    return Finding(check="asked entries", what=what, fix=fix, line=evidence.line(row), toolpath=path.name)
