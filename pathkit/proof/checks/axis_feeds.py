"""Feeds against the limits of the machine's axes: above them, the machine does not cut at the feed in the file."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.motion.program import ARC, RAPID, Program
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.result import Verdict
from pathkit.tolerances import SAME_PLACE

Array = NDArray[np.float64]

SLACK: Final = 1.002
"""Times the limit: rounding of a short move's ends turns its direction a little."""


def axis_shares(read: Program) -> Array:
    """(m, 3) the largest share of its feed that a move asks of each axis (geometry of the line and of the circle).

    On a line the share is |d| / length. On an arc the heading turns: where the arc passes a quadrant, one axis has the
    whole feed in the plan.
    """
    away = np.abs(read.end - read.origins)
    shares: Array = np.nan_to_num(away / np.sqrt((away**2).sum(axis=1))[:, None])
    rows = np.flatnonzero(read.kind == ARC)
    if len(rows):
        arm = read.origins[rows, :2] - read.centre[rows]
        first, sweep = np.arctan2(arm[:, 1], arm[:, 0]), read.sweep[rows]
        plan = np.hypot(*arm.T) * np.abs(sweep)
        level = plan / np.hypot(plan, np.nan_to_num(away[rows, 2]))
        low, high = np.minimum(first, first + sweep), np.maximum(first, first + sweep)
        for axis, (ahead, peak) in enumerate(((np.sin, math.pi / 2.0), (np.cos, 0.0))):
            passes = np.floor((high - peak) / math.pi) > np.floor((low - peak) / math.pi)
            most = np.where(passes, 1.0, np.maximum(np.abs(ahead(low)), np.abs(ahead(high))))
            shares[rows, axis] = most * level
        shares[rows, 2] = np.sqrt(np.maximum(1.0 - level**2, 0.0))
    return shares


@check(
    "axis feeds",
    limits=(
        "It compares the feeds in the file with the profile's feed_limit: what the controller's own settings allow, "
        "and how fast a move really runs, only the machine can show."
    ),
)
def axis_feeds(evidence: Evidence) -> Verdict:
    """No cut asks an axis for more than its limit. A move straight up may: it cuts nothing, so it may run slower."""
    read, limit = evidence.read, np.array(evidence.machine.motion.feed_limit)
    rises = np.nan_to_num(read.end[:, 2] - read.origins[:, 2]) * (1.0 if evidence.machine.axes.z == "up" else -1.0) > 0
    with np.errstate(divide="ignore", invalid="ignore"):
        shares = axis_shares(read)
        asked = shares * read.feed[:, None]
    upright = (shares[:, :2] == 0.0).all(axis=1) & rises
    cuts = (read.kind != RAPID) & ~upright & np.isfinite(read.feed)
    over = cuts[:, None] & (asked > SLACK * limit + SAME_PLACE)
    figures: dict[str, float | int | str] = {"moves": int(cuts.sum()), "too fast": int(over.any(axis=1).sum())}
    found = [_finding(evidence, over, asked, axes) for axes in ((0, 1), (2,)) if over[:, axes].any()]
    return Verdict(found, figures=figures, proved=not over.any())


def _finding(evidence: Evidence, over: NDArray[np.bool_], asked: Array, axes: tuple[int, ...]) -> Finding:
    """The finding for X and Y, or for Z: what is asked too fast, and a value that works in every direction."""
    machine = evidence.machine
    rows = np.flatnonzero(over[:, axes].any(axis=1))
    key = "plunge" if axes == (2,) else "feed"
    most = float(asked[rows, 2].max() if axes == (2,) else evidence.read.feed[rows].max())
    names = [axis for axis in axes if over[:, axis].any()]
    limits = " and ".join(f"{'XYZ'[axis]} at most {machine.motion.feed_limit[axis]:g}" for axis in names)
    works = min(machine.motion.feed_limit[axis] for axis in axes)
    what = (
        f"{len(rows)} moves ask for up to {most:.0f} mm/min, and {machine.name!r} moves {limits}: {does(evidence)}."
        " Where it slows down, chips are thinner than intended; the run time is computed with the limit"
    )
    share = math.floor(100.0 * works / most)
    fix = f"{key} = {works:g} works"
    if share >= 1:
        fix += f'; for this machine alone, if it has no share yet: cutting = {{ {key} = "{share}%" }} in [[machine]]'
    row = int(rows[0])
    name = evidence.toolpath_name(row)
    return Finding(check="axis feeds", what=what, fix=fix, severity="warning", line=evidence.line(row), toolpath=name)


def does(evidence: Evidence) -> str:
    """What the controller does if a feed is above an axis limit, as far as its documents say."""
    if evidence.capabilities.slows_to_limits:
        return "the controller slows the whole move down until every axis keeps its limit"
    return "what this controller does then is not known here; it may slow down, stop, or lose its place"
