"""Every curve of the job is cut over its whole length, engraving too: at its bottom, except where tabs stand."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Helix, Toolpath
from pathkit.motion.program import ARC
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.intent.places import MOST
from pathkit.proof.intent.tabs import half_gap, slope_run
from pathkit.proof.result import Verdict
from pathkit.tolerances import BESIDE_CURVE, GONE_ROUND, HALF_COUNT, PROFILE_CHORDS, SAME_HEIGHT

Array = NDArray[np.float64]

STEP: Final = 0.5
"""mm between the places of a curve that are looked at."""

MOST_PLACES: Final = 20_000
"""Places of one curve: on longer ones they lie further apart."""


@check(
    "every cut",
    "board",
    "job",
    scope="whole",
    limits=f"It looks at places {STEP:g} mm apart (further apart on curves over {STEP * MOST_PLACES / 1000.0:g} m).",
)
def every_cut(evidence: Evidence) -> Verdict:
    """Each toolpath of the job is cut over its whole length, at its bottom or along its trace, and nothing else is."""
    job, sections = evidence.job, evidence.sections
    assert job is not None
    found: list[Finding] = []
    for stretch in sections.stray[:MOST]:
        x, y, z = evidence.bench.end[stretch.first]
        what = f"cuts at ({x:.1f}, {y:.1f}), z = {z:.3f} mm, where the job asks for nothing"
        line = evidence.line(stretch.first)
        found.append(Finding(check="every cut", what=what, fix="post the job again", line=line))
    asked = [_places(path, evidence.board) for path in job.toolpaths]
    count = [len(z) for _, z in asked]
    owner = np.repeat(np.arange(len(asked), dtype=np.int32), count)
    places = np.concatenate([each for each, _ in asked] or [np.zeros((0, 2))])
    lowest = np.split(evidence.profiles.lowest_at(owner, places), np.cumsum(count)[:-1])
    for index, path in enumerate(job.toolpaths):
        if len(found) >= MOST:
            break
        found += _missing(evidence, index, path, (*asked[index], lowest[index]))
    return Verdict(found[:MOST], figures={"toolpaths": len(job.toolpaths)})


def _missing(evidence: Evidence, index: int, path: Toolpath, along: tuple[Array, Array, Array]) -> Iterator[Finding]:
    """What is lacking of a toolpath; ``along`` it are places, the z that is asked for, and the lowest that is cut."""
    rows = evidence.sections.rows(index)
    if not len(rows):
        yield Finding(check="every cut", what="is never cut", fix="post the whole job", toolpath=path.name)
        return
    if path.curve.is_point:
        yield from _bored(evidence, path, rows)
        return
    places, wanted, lowest = along
    slack = HALF_COUNT * evidence.count + SAME_HEIGHT + (BESIDE_CURVE if path.curve.is_trace else 0.0)
    bad = np.flatnonzero(lowest > wanted + slack)
    if len(bad):
        x, y = places[bad[0]]
        step = path.curve.length / max(len(places), 1)
        z, length = lowest[bad[0]], len(bad) * step
        what = f"about {length:.1f} mm of it are not cut as asked; at ({x:.1f}, {y:.1f}) only down to z = {z:.3f} mm"
        if np.isinf(z):
            what = f"about {length:.1f} mm of it are not cut as asked; at ({x:.1f}, {y:.1f}) never"
        line = evidence.line(evidence.profiles.row_near(index, places[bad[0]]))
        yield Finding(check="every cut", what=what, fix="post the job again", line=line, toolpath=path.name)


def _places(path: Toolpath, stock: Stock) -> tuple[Array, Array]:
    """Places (k, 2) along the curve, those under tabs left out, and the z (k,) asked for there; none for a hole."""
    curve = path.curve
    if curve.is_point:
        return np.zeros((0, 2)), np.zeros(0)
    count = min(max(2, math.ceil(curve.length / STEP)), MOST_PLACES)
    if curve.is_trace:
        points = curve.flattened(PROFILE_CHORDS)
        steps = np.sqrt((np.diff(points, axis=0) ** 2).sum(axis=1))
        along = np.concatenate([[0.0], np.cumsum(steps)])
        at = np.linspace(0.0, along[-1], count + 1)
        x, y, z = (np.interp(at, along, points[:, axis]) for axis in range(3))
        return np.column_stack([x, y]), z
    stations = np.linspace(0.0, curve.length, count + 1)
    keep = np.ones(len(stations), bool)
    for tab in path.tabs:
        apart = np.abs(stations - tab.at)
        if curve.closed:
            apart = np.minimum(apart, curve.length - apart)
        keep &= apart > half_gap(path, tab) + slope_run(path, tab, path.lowest, stock) + BESIDE_CURVE
    kept = stations[keep]
    assert path.bottom is not None
    return curve.along(kept), np.full(len(kept), path.bottom)


def _bored(evidence: Evidence, path: Toolpath, rows: NDArray[np.int64]) -> Iterator[Finding]:
    """In a hole that a helix bores, the bit goes once round at the bottom, at the radius of the helix."""
    if not isinstance(path.entry, Helix):
        return
    bench = evidence.bench
    assert path.bottom is not None
    arcs = rows[(bench.kind[rows] == ARC) & (np.abs(bench.end[rows, 2] - path.bottom) <= evidence.count)]
    arcs = arcs[np.abs(bench.origins[arcs, 2] - path.bottom) <= evidence.count]
    radius = np.hypot(*(bench.origins[arcs, :2] - bench.centre[arcs]).T)
    right = np.abs(radius - path.entry.diameter / 2.0) <= BESIDE_CURVE
    turned = float(np.abs(bench.sweep[arcs[right]]).sum())
    chords = not len(arcs) and (evidence.capabilities.arcs == "none")
    if not chords and turned < 2.0 * math.pi - GONE_ROUND:
        what = f"the bit goes only {math.degrees(turned):.0f} of 360 degrees round the hole at its bottom"
        line = evidence.line(int(rows[-1]))
        yield Finding(check="every cut", what=what, fix="post the job again", line=line, toolpath=path.name)
