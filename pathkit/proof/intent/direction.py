"""Climb stays climb: each curve is run in the direction that the job gives it."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
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
from pathkit.tolerances import BESIDE_CURVE, HALF_COUNT, PROFILE_CHORDS, RUNS_ALONG, TURNED, TURNED_SHARE

GOLDEN: Final = 0.381966
"""Where between its ends a segment is looked at, as a share of it: the smaller part of the golden section."""

SHARES: Final = 65
"""Places at which what is run of a trace is held against it."""

_POST: Final = "check the spindle's sense and the machine's handedness, and post the job again"


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
    # A point, or a curve that may run either way, has no direction to judge.
    directed = np.array([not path.curve.is_point and not path.may_reverse for path in job.toolpaths] + [False])
    traces = np.array([path.curve.is_trace for path in job.toolpaths] + [False])
    against = _against(evidence, job.toolpaths, directed & ~traces)
    turned = _turned_traces(evidence, np.flatnonzero(directed & traces).tolist())
    found = itertools.islice(itertools.chain(against, turned), MOST)
    return Verdict(found, figures={"toolpaths": int(directed.sum())})


def _against(evidence: Evidence, toolpaths: Sequence[Toolpath], directed: NDArray[np.bool_]) -> Iterator[Finding]:
    """Of the ``directed`` toolpaths, those that are run against their curve."""
    bench, sections = evidence.bench, evidence.sections
    run, fall = runs_and_falls(bench)
    level = np.abs(fall) <= HALF_COUNT * evidence.count
    # A ramp goes back and forth on its way down; the level run after it decides.
    falls = np.array([isinstance(path.entry, Spiral) for path in toolpaths] + [False])
    mine = (bench.kind != RAPID) & (run > 0.0) & directed[sections.owner] & (level | falls[sections.owner])
    segments = segments_of(bench, PROFILE_CHORDS, mine)
    start, end = segments.start[:, :2], segments.end[:, :2]
    way = end - start
    length = np.hypot(way[:, 0], way[:, 1])
    # A move that only crosses the curve, on its way back to the start over cleared wood, does not run along it. Its
    # middle may lie on a row of a raster, and its quarters too; the point of its golden section does not.
    middle = start + GOLDEN * way
    places = np.concatenate([start, middle, end])
    owner = sections.owner[segments.row]
    apart, _, which = sections.ground.near.held(places, np.tile(owner, 3), BESIDE_CURVE)
    on = np.flatnonzero((length > 0.0) & np.isfinite(apart.reshape(3, -1)).all(axis=0))
    owner, way, length = owner[on], way[on], length[on]
    heading = sections.ground.heading(middle[on], which.reshape(3, -1)[1][on])
    along = (heading * way).sum(axis=1) / length
    flat = level[segments.row[on]]
    against, forward = length * (along < -RUNS_ALONG), length * (along > RUNS_ALONG)
    told: set[int] = set()
    # Behind a tab a spiral too goes back and forth as it falls, but never further back than forth.
    for some, share in ((flat, TURNED_SHARE), (~flat, 1.0)):
        back, forth = (np.bincount(owner[some], each[some], len(toolpaths)) for each in (against, forward))
        for index in np.flatnonzero((back > TURNED) & (back > share * forth)).tolist():
            if index in told:
                continue
            told.add(index)
            row = int(segments.row[on[np.argmin(np.where(some & (owner == index), along, 1.0))]])
            what = f"{back[index]:.1f} mm of it run against its curve: what was laid out as climb is cut conventional"
            name = toolpaths[index].name
            yield Finding(check="asked direction", what=what, fix=_POST, line=evidence.line(row), toolpath=name)


def _turned_traces(evidence: Evidence, which: Sequence[int]) -> Iterator[Finding]:
    """Traces that are run from their end to their beginning.

    A trace may cross itself and go back over its own ground, so that the nearest place of its curve says nothing. What
    is run is held against the curve share by share of their lengths in the plan.
    """
    bench, sections = evidence.bench, evidence.sections
    assert evidence.job is not None
    for index in which:
        path, rows = evidence.job.toolpaths[index], sections.rows(index)
        mine = np.zeros(len(bench), bool)
        mine[rows] = bench.kind[rows] != RAPID
        segments = segments_of(bench, PROFILE_CHORDS, mine)
        points = path.curve.flattened(PROFILE_CHORDS)[:, :2]
        if not len(segments.row) or len(points) < 2:
            continue
        run = np.concatenate([segments.start[:1, :2], segments.end[:, :2]])
        asked = points[::-1] if path.backward else points
        slack = BESIDE_CURVE + abs(_length(run) - _length(asked))
        apart = [float(np.hypot(*(_at_shares(run) - _at_shares(way)).T).max()) for way in (asked, asked[::-1])]
        if apart[0] > slack >= apart[1]:
            what = "it is run from its end to its beginning: what was laid out as climb is cut conventional"
            line = evidence.line(int(rows[0]))
            yield Finding(check="asked direction", what=what, fix=_POST, line=line, toolpath=path.name)


def _length(points: NDArray[np.float64]) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def _at_shares(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """(k, 2) the places at even shares of a polyline's length."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    at = np.linspace(0.0, along[-1], SHARES)
    return np.column_stack([np.interp(at, along, points[:, axis]) for axis in range(2)])
