"""Checks of what the bit meets: no rapid through wood, no straight plunge by a bit that cannot, tabs left standing."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.model.curve import Curve
from pathkit.model.toolpath import MAX_RAMP, Tab, Toolpath
from pathkit.motion.program import ARC, RAPID
from pathkit.proof.checks.travel import extents
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.material.cleared import Cleared, origin_of, points_of
from pathkit.proof.result import Verdict
from pathkit.tolerances import GROUND_SLACK, HALF_COUNT

MOST = 20
"""Places named one by one."""


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
    job, bench = evidence.job, evidence.bench
    assert job is not None
    low, high = extents(bench)
    radius = evidence.radius
    cuts = (bench.kind != RAPID) & np.isfinite(bench.end).all(axis=1)
    found: list[Finding] = []
    count = 0
    for path in job.toolpaths:
        for tab in path.tabs:
            count += 1
            top = evidence.ends.highest_underside + tab.height
            x, y = path.curve.at(tab.at)[:2]
            reach = tab.width + np.nan_to_num(radius, nan=path.tool.radius)
            near = (low[:, 0] < x + reach) & (high[:, 0] > x - reach)
            near &= (low[:, 1] < y + reach) & (high[:, 1] > y - reach)
            rows = np.flatnonzero(near & cuts & (low[:, 2] < top - evidence.count))
            if (row := _cuts_tab(evidence, path, tab, top, rows)) is not None:
                what = f"cuts the tab of {path.name!r} at ({x:.1f}, {y:.1f}), whose top is at {top:.3f} mm"
                found.append(_finding(evidence, "tabs", what, "hop over it, or move the tab", row))
    return Verdict(found[:MOST], figures={"tabs": count})


def _cuts_tab(evidence: Evidence, path: Toolpath, tab: Tab, top: float, rows: NDArray[np.int64]) -> int | None:
    """The first of these rows that, below the tab's top, comes nearer to its wood than the bit's radius allows."""
    import shapely

    bench = evidence.bench
    wood = shapely.linestrings(_stretch(path.curve, tab.at - tab.width / 2.0, tab.at + tab.width / 2.0))
    for row in rows:
        bit = evidence.radius[row] if np.isfinite(evidence.radius[row]) else path.tool.radius
        # On a bend the ends of the gap, measured along the path, are a little nearer in a straight line.
        ends = [path.curve.at(s)[:2] for s in (tab.at - tab.width / 2.0 - bit, tab.at + tab.width / 2.0 + bit)]
        allowed = min(bit, float(shapely.distance(shapely.points(ends), wood).min())) - GROUND_SLACK
        heights = float(origin_of(bench, int(row))[2]), float(bench.end[row, 2])
        below = _below(*heights, top - evidence.count)
        points = points_of(bench, int(row), *below, step=0.25)
        if shapely.distance(shapely.points(points[:, :2]), wood).min() < allowed:
            return int(row)
    return None


def _stretch(curve: Curve, first: float, last: float) -> NDArray[np.float64]:
    count = max(2, math.ceil((last - first) / 0.5))
    return curve.along(np.linspace(first, last, count + 1))[:, :2]


def _below(start: float, end: float, height: float) -> tuple[float, float]:
    """Which share of a move (from, to) runs below a height; at least one of its ends must."""
    if (start < height and end < height) or start == end:
        return 0.0, 1.0
    crossing = (height - start) / (end - start)
    return (0.0, crossing) if start < end else (crossing, 1.0)


def _finding(evidence: Evidence, name: str, what: str, fix: str, row: int) -> Finding:
    return Finding(check=name, what=what, fix=fix, line=evidence.line(row), toolpath=evidence.toolpath_name(row))
