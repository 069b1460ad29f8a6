"""Whether a path made of fewer spans is still the path that it was: both ways, in order, and at the same feeds.

Places all along either path are held against the other's own lines and arcs. What makes such paths has no part in this.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pathkit.geometry.spans import Spans, take_apart
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.toolpath import Toolpath
from pathkit.passes.base import Promise
from pathkit.passes.promises import promise
from pathkit.tolerances import ROUNDING, SAME_PLACE

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

SHARES = np.array([0.0, 0.25, 0.5, 0.75])
"""Where on each span that was there it is looked."""


def same_line(tolerance: float) -> Promise:
    """Each curve keeps its ends, stays within ``tolerance`` mm of what it was, and that of it, at the same feeds.

    What has tabs or a start of its own, or a way in that is measured along it, keeps its curve as it is.
    """

    def judge(before: Job, after: Job) -> str | None:
        for path in before.toolpaths:
            own = after.by_name.get(path.name)
            if own is None or (own.curve == path.curve and own.feeds == path.feeds):
                continue
            if measured_along(path):
                return f"the curve of {path.name!r} changed, and places are measured along it"
            if (fault := _fault(path, own, tolerance)) is not None:
                return f"{path.name!r} {fault}"
        return None

    return promise(f"every curve within {tolerance:g} mm of what it was, both ways")(judge)


def measured_along(path: Toolpath) -> bool:
    """Whether tabs, a start or a way in lie at so many mm along the curve."""
    return bool(path.tabs) or path.start != 0.0 or getattr(path.entry, "within", None) is not None


def _fault(path: Toolpath, own: Toolpath, tolerance: float) -> str | None:
    if path.curve.closed != own.curve.closed:
        return "was opened or closed"
    stretch = _stretches(path.curve, own.curve)
    if stretch is None:
        return "has vertices that it did not have, or lost an end"
    if not np.array_equal(path.feed_of_spans, own.feed_of_spans[stretch]):
        return "is cut at another feed"
    strays = strays_by(path.curve, own.curve, stretch)
    return None if strays <= tolerance + SAME_PLACE else f"strays by {strays:.4g} mm from what it was"


def _stretches(old: Curve, new: Curve) -> Ints | None:
    """(m,) the span of the new curve that stands for each span of the old one; None if vertices are not the old ones'.

    A vertex is the first such place after the one before it: within one span no place is passed twice.
    """
    places, at, found = [*map(tuple, old.points.tolist())], 0, []
    wanted = [*map(tuple, new.points.tolist())]
    if old.closed:
        places.append(places[0])
        wanted.append(wanted[0])
    if places[0] != wanted[0]:
        return None
    for k, place in enumerate(wanted[1:]):
        first = at
        at += 1
        while at < len(places) and places[at] != place:
            at += 1
        if at == len(places):
            return None
        found += [k] * (at - first)
    return np.array(found, np.int64) if at == len(places) - 1 else None


def strays_by(old: Curve, new: Curve, stretch: Ints) -> float:
    """mm by which places on either curve miss the other's span that stands for theirs; inf where one runs backward."""
    mine, theirs = _in_space(old), _in_space(new)
    span, share = np.repeat(np.arange(len(stretch)), len(SHARES)), np.tile(SHARES, len(stretch))
    of = stretch[span]
    there, away = _nearest(theirs, of, _places(mine, span, share))
    # Up to the next place looked at, or to the end of the new span.
    last = np.append(of[1:] != of[:-1], True)
    then = np.where(last, 1.0, np.roll(there, -1))
    if ((then - there) * theirs.length[of] < -SAME_PLACE).any():
        return math.inf
    _, back = _nearest(mine, span, _places(theirs, of, (there + then) / 2.0))
    return float(max(away.max(initial=0.0), back.max(initial=0.0)))


def _in_space(curve: Curve) -> Spans:
    points = curve.points if curve.is_trace else np.pad(curve.points, ((0, 0), (0, 1)))
    return take_apart(points, curve.sweeps, curve.closed)


def _places(spans: Spans, of: Ints, share: Array) -> Array:
    """(k, 3): the place at a ``share`` (k,) of the length of spans ``of`` (k,)."""
    found: Array = spans.start[of] + (spans.end[of] - spans.start[of]) * share[:, None]
    arcs = np.flatnonzero(spans.sweep[of])
    centre = spans.centre[of[arcs]]
    arm = (spans.start[of[arcs], :2] - centre) @ np.array([1.0, 1.0j])
    turned = arm * np.exp(1.0j * spans.sweep[of[arcs]] * share[arcs])
    found[arcs, :2] = centre + np.stack([turned.real, turned.imag], axis=1)
    return found


def _nearest(spans: Spans, of: Ints, places: Array) -> tuple[Array, Array]:
    """Where spans ``of`` (k,) come near to ``places`` (k, 3), as a share of each, and how far off that is, mm.

    On arcs it is the place at the same angle, which is at least as far off as the nearest.
    """
    way, to = spans.end[of] - spans.start[of], places - spans.start[of]
    share = (way * to).sum(axis=1) / np.maximum((way * way).sum(axis=1), ROUNDING**2)
    arcs = np.flatnonzero(spans.sweep[of])
    centre, sweep = spans.centre[of[arcs]], spans.sweep[of[arcs]]
    arm, reach = ((at[arcs, :2] - centre) @ np.array([1.0, 1.0j]) for at in (spans.start[of], places))
    # Beyond the ends the nearer one counts: half of what is left of the circle belongs to each.
    spare = math.pi - np.abs(sweep) / 2.0
    share[arcs] = (np.mod(np.sign(sweep) * np.angle(reach * arm.conj()) + spare, 2.0 * math.pi) - spare) / np.abs(sweep)
    share = np.clip(share, 0.0, 1.0)
    return share, np.sqrt(((places - _places(spans, of, share)) ** 2).sum(axis=1))
