"""Ways down as the job asks: no steeper than their angle, and on ground that the cut itself clears."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.model.toolpath import TAB_SLOPE, Descend, Helix, Ramp, Spiral, Toolpath
from pathkit.motion.program import RAPID
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.intent.places import MOST, runs_and_falls
from pathkit.proof.intent.tabs import half_gap, slope_run
from pathkit.proof.material.segments import segments_of
from pathkit.proof.result import Verdict
from pathkit.tolerances import (
    BESIDE_CURVE,
    BESIDE_CUT,
    BITE,
    CURVE_CHORDS,
    FALL_COUNTS,
    SLOPE_STEEPER,
    STEEPER,
    STUB_STEP,
)

SLOPED: Final = math.tan(math.radians(TAB_SLOPE)) * (1.0 + SLOPE_STEEPER)
"""The fall (mm) on the slope of a tab for each mm along it."""

Array = NDArray[np.float64]

_RING: Final = np.stack([(math.cos(a), math.sin(a)) for a in np.arange(16) * (math.pi / 8.0)])


@check(
    "asked entries",
    "board",
    "job",
    scope="whole",
    limits="Straight down is judged where wood is met; behind a tab a centre-cutting bit may go straight down.",
)
def asked_entries(evidence: Evidence) -> Verdict:
    """No slope into wood is steeper than the entry's angle, and every way down lies within the toolpath's own sweep."""
    job, bench, sections = evidence.job, evidence.bench, evidence.sections
    assert job is not None
    run, fall = runs_and_falls(bench)
    strays = _strays(evidence)
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
        if index in strays:
            found.append(strays[index])
    return Verdict(found[:MOST])


def _steep(
    evidence: Evidence, path: Toolpath, rows: NDArray[np.int64], run: NDArray[np.float64], fall: NDArray[np.float64]
) -> Iterator[Finding]:
    assert isinstance(path.entry, Ramp | Spiral | Helix)
    asked = path.entry.angle
    # The slope is the fall over the length of the curve, with an allowance for the rounding of both.
    least = fall - FALL_COUNTS * evidence.count
    steep = least > (run + evidence.count) * math.tan(math.radians(asked)) * (1.0 + STEEPER)
    bite = evidence.removal.bite[rows]
    for k in np.flatnonzero(steep & (bite > BITE)):
        row = int(rows[k])
        if path.tool.plunges and run[k] <= evidence.count and _behind_a_tab(evidence, path, row):
            continue
        if path.tool.plunges and least[k] <= (run[k] + evidence.count) * SLOPED and _on_a_slope(evidence, path, row):
            continue
        angle = math.degrees(math.atan2(fall[k], run[k]))
        what = f"goes into wood at {angle:.1f} degrees, and the job asks for {asked:g} at most"
        yield _finding(evidence, path, row, what)
        return


def _into_wood(
    evidence: Evidence, path: Toolpath, rows: NDArray[np.int64], run: NDArray[np.float64], fall: NDArray[np.float64]
) -> Iterator[Finding]:
    """Where the bit should go down through air, but meets wood."""
    bite = evidence.removal.bite[rows]
    down = (fall > FALL_COUNTS * evidence.count) & (run <= evidence.count)
    for k in np.flatnonzero(down & (bite > BITE)):
        row = int(rows[k])
        if not (path.tool.plunges and _behind_a_tab(evidence, path, row)):
            what = f"goes straight down through {bite[k]:.2f} mm of wood, and the job asks to clear that ground first"
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


def _on_a_slope(evidence: Evidence, path: Toolpath, row: int) -> bool:
    """Whether a move falls along the slope of one of the tabs, beside the part of the tab that has its full height."""
    import shapely

    ends = shapely.points(np.stack([evidence.bench.origins[row, :2], evidence.bench.end[row, :2]]))
    for tab in path.tabs:
        run = slope_run(path, tab, path.lowest, evidence.board)
        for side in (-1.0, 1.0) if run else ():
            begin = tab.at + side * half_gap(path, tab)
            stations = np.linspace(begin, begin + side * run, max(2, math.ceil(run / STUB_STEP)))
            if not path.curve.closed:
                stations = np.clip(stations, 0.0, path.curve.length)
            way = shapely.linestrings(path.curve.along(stations))
            if bool(np.all(shapely.distance(ends, way) <= BESIDE_CURVE)):
                return True
    return False


def _strays(evidence: Evidence) -> dict[int, Finding]:
    """By toolpath, where the bit sweeps wood on a way beside its curve that it does not sweep along the curve.

    The rim of what the bit sweeps on its way must lie on ground that the bit sweeps on the curve.
    """
    job, bench, sections = evidence.job, evidence.bench, evidence.sections
    assert job is not None
    near, owner = sections.ground.near, sections.owner
    curves = np.array([not path.curve.is_point and not path.curve.is_trace for path in job.toolpaths] + [False])
    low = bench.end[:, 2] < evidence.board.highest_top - BESIDE_CURVE
    segments = segments_of(bench, CURVE_CHORDS, (bench.kind != RAPID) & low & curves[owner])
    start, end = segments.start[:, :2], segments.end[:, :2]
    places = np.stack([start, (start + end) / 2.0, end], axis=1)
    of = owner[segments.row]
    apart, _, _ = near.held(places.reshape(-1, 2), np.repeat(of, 3), BESIDE_CURVE)
    aside = np.flatnonzero(~np.isfinite(apart.reshape(-1, 3)).all(axis=1))
    # Ways that go back and forth, and round again lower down, come by the same spots many times.
    beside = np.column_stack([np.repeat(of[aside], 2), places[aside, 1:].reshape(-1, 2)])
    spots, where = np.unique(beside, axis=0, return_index=True)
    mine = spots[:, 0].astype(np.int32)
    radius = np.array([path.tool.radius for path in job.toolpaths])[mine]
    rim = spots[:, None, 1:] + np.maximum(radius - BESIDE_CUT, 0.0)[:, None, None] * _RING[None, :, :]
    each = len(_RING)
    reach = np.repeat(radius + BESIDE_CURVE - BESIDE_CUT, each)
    covered = np.isfinite(near.held(rim.reshape(-1, 2), np.repeat(mine, each), reach)[0]).reshape(-1, each)
    rows = segments.row[aside[where // 2]]
    found: dict[int, Finding] = {}
    for index in np.unique(mine[~covered.all(axis=1)]).tolist():
        here = mine == index
        found[index] = _stray(evidence, index, rim[here], spots[here, 1:], rows[here])
    return found


def _stray(evidence: Evidence, index: int, rim: Array, spots: Array, rows: NDArray[np.int32]) -> Finding:
    """How far the bit of a toolpath goes astray at most, and where; ``rim`` (k, 16, 2) is round the ``spots``."""
    import shapely

    assert evidence.job is not None
    path = evidence.job.toolpaths[index]
    beyond = shapely.distance(shapely.points(rim), evidence.sections.ground.lines[index]) - path.tool.radius
    worst = int(np.argmax(beyond.max(axis=1)))
    x, y = spots[worst]
    what = f"reaches {beyond[worst].max():.2f} mm beyond what it clears itself, beside its curve at ({x:.1f}, {y:.1f})"
    return _finding(evidence, path, int(rows[worst]), what)


def _finding(evidence: Evidence, path: Toolpath, row: int, what: str) -> Finding:
    fix = "post the job again"
    return Finding(check="asked entries", what=what, fix=fix, line=evidence.line(row), toolpath=path.name)
