"""Every cut at the feed that the job asks for: along the curve, and no faster down than the plunge feed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.motion.program import RAPID
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.intent.places import first_of_each, runs_and_falls
from pathkit.proof.result import Verdict
from pathkit.tolerances import FALL_COUNTS, HALF_STEP
from pathkit.units import MM_PER_UNIT

Array = NDArray[np.float64]


@check(
    "asked feeds",
    "board",
    "job",
    scope="whole",
    limits="It judges the feed that is asked for; an override at the machine changes it.",
)
def asked_feeds(evidence: Evidence) -> Verdict:
    """Each toolpath runs along at its feed, or within its range of feeds, and straight down at its plunge feed. On a
    slope of angle α it runs at min(feed, plunge / sin α), since v_z = v sin α (geometry of the slope); a ramp feed
    replaces the feed there. A trace that has feeds of its own runs at these, one after the other."""
    job, bench, sections = evidence.job, evidence.bench, evidence.sections
    assert job is not None
    rows = np.flatnonzero((sections.owner >= 0) & (bench.kind != RAPID))
    owner = sections.owner[rows]
    own = np.array([bool(path.feeds) for path in job.toolpaths] + [False])
    found = list(_out_of_turn(evidence, rows[own[owner]], owner[own[owner]]))
    rows, owner = rows[~own[owner]], owner[~own[owner]]
    least, most = _bounds(evidence, rows)
    slack = _slack(evidence)
    feed = bench.feed[rows]
    wrong = ~((feed >= least - slack) & (feed <= most + slack))
    for k in first_of_each(owner, wrong):
        path, row = job.toolpaths[owner[k]], int(rows[k])
        asked = f"{most[k]:.4g}" if most[k] - least[k] < 0.5 else f"{least[k]:.4g} to {most[k]:.4g}"
        what = f"cuts at {feed[k]:g} mm/min, and the job asks for {asked}"
        place = {"line": evidence.line(row), "toolpath": path.name}
        found.append(Finding(check="asked feeds", what=what, fix="post the job again", **place))
    return Verdict(found, figures={"moves": len(rows) + int(own[sections.owner].sum())})


def _slack(evidence: Evidence) -> float:
    """mm/min by which the file's feeds are rounded at most."""
    return MM_PER_UNIT[evidence.capabilities.units] * HALF_STEP / 10.0**evidence.capabilities.feed_decimals


def _out_of_turn(evidence: Evidence, rows: NDArray[np.int64], owner: NDArray[np.int32]) -> Iterator[Finding]:
    """Traces with feeds of their own whose moves do not have these feeds in their order."""
    assert evidence.job is not None
    slack = _slack(evidence)
    for index in np.unique(owner).tolist():
        path = evidence.job.toolpaths[index]
        mine = rows[owner == index]
        asked = [feed for _, feed in (reversed(path.feeds) if path.backward else path.feeds)]
        feed = evidence.bench.feed[mine]
        new = np.concatenate([[True], np.abs(np.diff(feed)) > slack])
        # The way down to its first place may be a move of its own.
        ways = [_runs(asked, slack), _runs([path.cutting.plunge, *asked], slack)]
        seen = feed[new].tolist()
        if any(len(way) == len(seen) and np.allclose(way, seen, rtol=0.0, atol=slack) for way in ways):
            continue
        way = ways[len(ways[1]) == len(seen)]
        at = next((k for k, (a, b) in enumerate(zip(way, seen, strict=False)) if abs(a - b) > slack), len(seen) - 1)
        what = f"cuts at {seen[at]:g} mm/min, out of the turn of its {len(path.feeds)} feeds"
        line = evidence.line(int(mine[np.flatnonzero(new)[at]]))
        yield Finding(check="asked feeds", what=what, fix="post the job again", line=line, toolpath=path.name)


def _runs(feeds: list[float], slack: float) -> list[float]:
    """Feeds one after the other, equal neighbours once."""
    return [feed for k, feed in enumerate(feeds) if k == 0 or abs(feed - feeds[k - 1]) > slack]


def _bounds(evidence: Evidence, rows: NDArray[np.int64]) -> tuple[Array, Array]:
    """The least and the greatest feed (mm/min) that each of these rows may have."""
    job, bench = evidence.job, evidence.bench
    assert job is not None
    owner = evidence.sections.owner[rows]
    cuttings = [path.cutting for path in job.toolpaths]
    slow, fast = np.array([c.along for c in cuttings]).reshape(-1, 2)[owner].T
    plunge = np.array([c.plunge for c in cuttings])[owner]
    # A trace goes down along its own points: its ramp feed does not apply.
    ramps = [
        c.feed if c.ramp is None or p.curve.is_trace else c.ramp for c, p in zip(cuttings, job.toolpaths, strict=True)
    ]
    ramp = np.array(ramps)[owner]
    run, fall = (column[rows] for column in runs_and_falls(bench))
    open_by = FALL_COUNTS * evidence.count
    fastest_fall, slowest_fall = fall + open_by, np.maximum(fall - open_by, 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        least = np.minimum(ramp, plunge * np.hypot(run, fastest_fall) / fastest_fall)
        most = np.minimum(ramp, plunge * np.hypot(run, slowest_fall) / slowest_fall)
    most = np.where(np.isnan(most), ramp, most)
    straight = (run <= open_by) & (fall > open_by)
    least[straight] = most[straight] = plunge[straight]
    sloping = fall > open_by
    # So flat that its fall may be nothing but rounding: a slope if its neighbours on the same curve fall, else level.
    flat = ~sloping & (np.abs(fall) <= open_by)
    falls_beside = _beside(rows, sloping | (flat & (fall > 0.0)), owner)
    least = np.where(flat & falls_beside, np.minimum(least, slow), least)
    most = np.where(flat & falls_beside, np.maximum(most, fast), most)
    level = (flat & ~falls_beside) | (fall < -open_by)
    least[level], most[level] = slow[level], fast[level]
    return least, most


def _beside(rows: NDArray[np.int64], falling: NDArray[np.bool_], owner: NDArray[np.int32]) -> NDArray[np.bool_]:
    """Rows that fall, or whose neighbour of the same toolpath does."""
    near = falling.copy()
    joined = (np.diff(rows) == 1) & (np.diff(owner) == 0)
    near[1:] |= falling[:-1] & joined
    near[:-1] |= falling[1:] & joined
    return near
