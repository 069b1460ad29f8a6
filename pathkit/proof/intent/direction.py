"""Climb stays climb: each curve is run in the direction that the job gives it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.model.toolpath import Spiral, Toolpath
from pathkit.motion.program import RAPID
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.intent.places import MOST, runs_and_falls
from pathkit.proof.material.segments import segments_of
from pathkit.proof.result import Verdict
from pathkit.tolerances import BESIDE_CURVE, HALF_COUNT, HEADING_STEP, PROFILE_CHORDS, TURNED, TURNED_SHARE

Marks = NDArray[np.bool_]

GOLDEN: Final = 0.381966
"""Where between its ends a segment is looked at, as a share of it: the smaller part of the golden section."""


@check(
    "asked direction",
    "board",
    "job",
    scope="whole",
    limits="It takes the curve's own direction as the one asked for, with a spindle that turns clockwise; slots may "
    "run either way.",
)
def asked_direction(evidence: Evidence) -> Verdict:
    """Closed curves, and open ones that must not be reversed, are run forward: what was laid out as climb is climb."""
    job = evidence.job
    assert job is not None
    run, fall = runs_and_falls(evidence.bench)
    level = np.abs(fall) <= HALF_COUNT * evidence.count
    found: list[Finding] = []
    judged = 0
    for index, path in enumerate(job.toolpaths):
        # A point, or a curve that may run either way, has no direction to judge.
        if path.curve.is_point or path.may_reverse:
            continue
        judged += 1
        if len(found) < MOST:
            found += _against(evidence, index, path, run > 0.0, level)
    return Verdict(found, figures={"toolpaths": judged})


def _against(evidence: Evidence, index: int, path: Toolpath, runs: Marks, level: Marks) -> Iterator[Finding]:
    """``runs`` and ``level`` mark the file's rows that move in the plan, and that keep their height."""
    import shapely

    bench = evidence.bench
    mine = evidence.sections.rows(index)
    mine = mine[(bench.kind[mine] != RAPID) & runs[mine]]
    if not isinstance(path.entry, Spiral) and not path.curve.is_trace:
        # A ramp goes back and forth on its way down; the level run after it decides.
        mine = mine[level[mine]]
    segments = segments_of(bench, PROFILE_CHORDS, mine)
    if not len(segments.row):
        return
    line = evidence.sections.ground.lines[index]
    way = segments.end[:, :2] - segments.start[:, :2]
    length = np.hypot(way[:, 0], way[:, 1])
    start, end = segments.start[:, :2], segments.end[:, :2]
    # A move that only crosses the curve, on its way back to the start over cleared wood, does not run along it. Its
    # middle may lie on a row of a raster, and its quarters too; the point of its golden section does not.
    middle = start + GOLDEN * (end - start)
    on = (length > 0.0) & np.all(
        [shapely.dwithin(shapely.points(at), line, BESIDE_CURVE) for at in (start, middle, end)], 0
    )
    if not on.any():
        return
    at = shapely.line_locate_point(line, shapely.points(middle[on]))
    ahead = shapely.get_coordinates(shapely.line_interpolate_point(line, np.minimum(at + HEADING_STEP, line.length)))
    behind = shapely.get_coordinates(shapely.line_interpolate_point(line, np.maximum(at - HEADING_STEP, 0.0)))
    along = ((ahead - behind) * way[on]).sum(axis=1) / (np.hypot(*(ahead - behind).T) * length[on])
    flat = level[segments.row[on]] | path.curve.is_trace
    # Behind a tab a spiral too goes back and forth as it falls, but never further back than forth.
    for some, share in ((flat, TURNED_SHARE), (~flat, 1.0)):
        against = float(length[on][some & (along < -0.7)].sum())
        forward = float(length[on][some & (along > 0.7)].sum())
        if against <= TURNED or against <= share * forward:
            continue
        row = int(segments.row[np.flatnonzero(on)[np.argmin(np.where(some, along, 1.0))]])
        what = f"{against:.1f} mm of it run against its curve: what was laid out as climb is cut conventional"
        fix = "check the spindle's sense and the machine's handedness, and post the job again"
        yield Finding(check="asked direction", what=what, fix=fix, line=evidence.line(row), toolpath=path.name)
        return
