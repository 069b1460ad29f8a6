"""Checks of what the bit meets: no rapid through wood, no straight plunge by a bit that cannot, tabs left standing."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.model.curve import Curve
from pathkit.model.toolpath import MAX_RAMP, Tab, Toolpath
from pathkit.motion.program import ARC, RAPID
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.material.cleared import Cleared
from pathkit.proof.material.segments import segments_of
from pathkit.proof.result import Verdict
from pathkit.tolerances import GROUND_SLACK, HALF_COUNT, WALL_CHORDS

MOST = 20
"""Places named one by one."""

_Tab: TypeAlias = tuple[Toolpath, Tab]


@check(
    "rapids clear the wood",
    "board",
    scope="whole",
    limits="It takes the board to be as thick as the job allows and flat, and a rapid to run straight.",
)
def rapids_clear_the_wood(evidence: Evidence) -> Verdict:
    """No rapid below the thickest board's top, except straight up or where this file has already cut as deep."""
    bench = evidence.bench
    top = evidence.board.highest_top
    origin, end = bench.origins, bench.end
    low = np.fmin(origin[:, 2], end[:, 2])
    rapid = bench.kind == RAPID
    # From an unknown height only the end is known; it is judged by where it goes.
    level = (origin[:, 0] == end[:, 0]) & (origin[:, 1] == end[:, 1])
    unknown = np.isnan(end[:, :2]).all(axis=1)
    up = (level | unknown) & ~(end[:, 2] < origin[:, 2])
    inside = np.flatnonzero(rapid & ~up & (low < top - HALF_COUNT * evidence.count))
    cleared = Cleared(bench, evidence.radius)
    found: list[Finding] = []
    for row in inside:
        if len(found) >= MOST:
            break
        if np.isnan(end[row]).any() or not cleared.covers(int(row)):
            what = f"a rapid at {low[row]:.3f} mm, below the top of the wood at {top:.3f} mm, where nothing is cut yet"
            found.append(_finding(evidence, "rapids clear the wood", what, "retract before it", int(row)))
    known = rapid & ~level & np.isfinite(low)
    figures = {"wood_top_mm": top, "rapids": int(rapid.sum()), "below_the_top": len(inside)}
    if known.any():
        figures["lowest_crossing_mm"] = round(float(low[known].min()), 6)
    return Verdict(found, figures=figures)


@check(
    "plunges",
    "program",
    "board",
    "job",
    scope="whole",
    limits="Whether the bit cuts at its centre, it knows only from the job.",
)
def plunges(evidence: Evidence) -> Verdict:
    """A bit that does not cut at its centre goes straight down only where the wood is gone already."""
    job, program, bench = evidence.job, evidence.program, evidence.bench
    assert job is not None
    assert program is not None
    by_name = job.by_name
    cannot = np.array([n in by_name and not by_name[n].tool.plunges for n in program.names], dtype=bool)
    if not cannot.any():
        return Verdict(figures={"straight_down": 0})
    origin, end = bench.origins, bench.end
    fall = origin[:, 2] - end[:, 2]
    run = np.hypot(*(end[:, :2] - origin[:, :2]).T)
    arcs = bench.kind == ARC
    radius = np.hypot(*(origin[arcs, :2] - bench.centre[arcs]).T)
    run[arcs] = radius * np.abs(bench.sweep[arcs])
    steep = (bench.kind != RAPID) & (fall > evidence.count) & (fall > run * math.tan(math.radians(MAX_RAMP + 1.0)))
    steep &= end[:, 2] < evidence.board.highest_top - HALF_COUNT * evidence.count
    steep &= (evidence.toolpath >= 0) & cannot[evidence.toolpath]
    cleared = Cleared(bench, evidence.radius)
    found: list[Finding] = []
    for row in np.flatnonzero(steep):
        if len(found) >= MOST:
            break
        if not cleared.covers(int(row)):
            tool = by_name[program.names[evidence.toolpath[row]]].tool
            what = f"{tool.name!r} goes straight down to {end[row, 2]:.3f} mm, and does not cut at its centre"
            found.append(_finding(evidence, "plunges", what, "enter by a ramp, spiral or helix", int(row)))
    return Verdict(found, figures={"straight_down": int(steep.sum())})


@check(
    "tabs",
    "program",
    "board",
    "job",
    scope="whole",
    limits="It proves that the wood of the tabs is not cut, not that this wood is enough to hold the part.",
)
def tabs(evidence: Evidence) -> Verdict:
    """The wood of every tab is left standing: no bit comes near it below its top."""
    job = evidence.job
    assert job is not None
    every = [(path, tab) for path in job.toolpaths for tab in path.tabs]
    found: list[Finding] = []
    for (path, tab), row in _cut_tabs(evidence, every):
        x, y = path.curve.at(tab.at)[:2]
        what = f"cuts the tab of {path.name!r} at ({x:.1f}, {y:.1f}), whose top is at {_top(evidence, tab):.3f} mm"
        found.append(_finding(evidence, "tabs", what, "hop over it, or move the tab", row))
        if len(found) == MOST:
            break
    return Verdict(found, figures={"tabs": len(every)})


def _top(evidence: Evidence, tab: Tab) -> float:
    return evidence.ends.highest_underside + tab.height


def _cut_tabs(evidence: Evidence, every: Sequence[_Tab]) -> Iterator[tuple[_Tab, int]]:
    """The tabs that are cut, each with the first row that, below the tab's top, comes nearer to its wood than the
    bit's radius allows."""
    import shapely

    if not every:
        return
    bench = evidence.bench
    below = np.array([_top(evidence, tab) for _, tab in every]) - evidence.count
    low = np.fmin(bench.origins[:, 2], bench.end[:, 2]) < below.max()
    moves = segments_of(bench, WALL_CHORDS, (bench.kind != RAPID) & low)
    own = np.array([path.tool.radius for path, _ in every])
    radius = evidence.radius[moves.row]
    widest = float(max(own.max(), np.nanmax(radius, initial=0.0)))
    woods = np.array([shapely.linestrings(_stretch(path.curve, tab)) for path, tab in every], dtype=object)
    move, tab = shapely.STRtree(woods).query(_lines(moves.start, moves.end), predicate="dwithin", distance=widest)
    start, end, height = moves.start[move], moves.end[move], below[tab]
    deep = np.minimum(start[:, 2], end[:, 2]) < height
    move, tab, start, end, height = move[deep], tab[deep], start[deep], end[deep], height[deep]
    # The share of a sloping move that runs below the tab's top.
    rise = end[:, 2] - start[:, 2]
    share = np.clip((height - start[:, 2]) / np.where(rise == 0.0, 1.0, rise), 0.0, 1.0)[:, None]
    crossing = start + (end - start) * share
    first = np.where((start[:, 2] >= height)[:, None], crossing, start)
    last = np.where((end[:, 2] >= height)[:, None], crossing, end)
    bit = np.where(np.isnan(radius[move]), own[tab], radius[move])
    apart = shapely.distance(_lines(first, last), woods[tab])
    near = np.flatnonzero(apart < bit - GROUND_SLACK)
    told: set[int] = set()
    for k in near[np.lexsort((move[near], tab[near]))].tolist():
        which = int(tab[k])
        if which not in told and apart[k] < _allowed(every[which], float(bit[k]), woods[which]):
            told.add(which)
            yield every[which], int(moves.row[move[k]])


def _allowed(one: _Tab, bit: float, wood: Any) -> float:
    """How near (mm) a bit may come to the wood of a tab."""
    import shapely

    path, tab = one
    # On a bend the ends of the gap, measured along the path, are a little nearer in a straight line.
    ends = [path.curve.at(s)[:2] for s in (tab.at - tab.width / 2.0 - bit, tab.at + tab.width / 2.0 + bit)]
    return min(bit, float(shapely.distance(shapely.points(ends), wood).min())) - GROUND_SLACK


def _stretch(curve: Curve, tab: Tab) -> NDArray[np.float64]:
    first, last = tab.at - tab.width / 2.0, tab.at + tab.width / 2.0
    count = max(2, math.ceil((last - first) / 0.5))
    return curve.along(np.linspace(first, last, count + 1))[:, :2]


def _lines(start: NDArray[np.float64], end: NDArray[np.float64]) -> NDArray[Any]:
    """The plan (shapely) of moves (k, 3); of one straight up or down a point, since a line without length is near
    nothing."""
    import shapely

    lines: NDArray[Any] = np.asarray(shapely.linestrings(np.stack([start[:, :2], end[:, :2]], axis=1)), dtype=object)
    still = (start[:, :2] == end[:, :2]).all(axis=1)
    lines[still] = shapely.points(start[still, :2])
    return lines


def _finding(evidence: Evidence, name: str, what: str, fix: str, row: int) -> Finding:
    return Finding(check=name, what=what, fix=fix, line=evidence.line(row), toolpath=evidence.toolpath_name(row))
