"""Whether a path made of fewer spans is still the path that it was: both ways, in order, and at the same feeds.

Places all along either path are held against the other's own lines and arcs. What makes such paths has no part in this.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import Refused
from pathkit.geometry.spans import Spans, take_apart
from pathkit.lowering.cut import tab_gap
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.toolpath import Descend, Ramp, Toolpath
from pathkit.passes.base import Promise
from pathkit.passes.promises import promise
from pathkit.tolerances import ROUNDING, SAME_PLACE

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

MEASURED: Final = ("tabs", "start", "entry")
"""What of a toolpath lies, or may lie, at so many mm along its curve."""

SHARES = np.array([0.0, 0.25, 0.5, 0.75])
"""Where on each span that was there it is looked."""


def same_line(tolerance: float) -> Promise:
    """Each curve keeps its ends, stays within ``tolerance`` mm of what it was, and that of it, at the same feeds.

    The places that are measured along it keep as near to where they were, on the stretch that stands for theirs: both
    ends of each tab, the start, and where the way in ends. No tab and no way in is shorter than it was.
    """

    def judge(before: Job, after: Job) -> str | None:
        for path in before.toolpaths:
            own = after.by_name.get(path.name)
            if own is None or all(getattr(own, name) == getattr(path, name) for name in ("curve", "feeds", *MEASURED)):
                continue
            if (fault := _fault(path, own, tolerance)) is not None:
                return f"{path.name!r} {fault}"
        return None

    return promise(f"every curve within {tolerance:g} mm of what it was, both ways")(judge)


def _fault(path: Toolpath, own: Toolpath, tolerance: float) -> str | None:
    if path.curve.closed != own.curve.closed:
        return "was opened or closed"
    stretch = _stretches(path.curve, own.curve)
    if stretch is None:
        return "has vertices that it did not have, or lost an end"
    if not np.array_equal(path.feed_of_spans, own.feed_of_spans[stretch]):
        return "is cut at another feed"
    strays = strays_by(path.curve, own.curve, stretch)
    if strays > tolerance + SAME_PLACE:
        return f"strays by {strays:.4g} mm from what it was"
    return _shorter(path, own) or _moved(path, own, stretch, tolerance)


def _shorter(path: Toolpath, own: Toolpath) -> str | None:
    """What of a tab or a way in changed that is no place, or is shorter than it was."""
    alike = len(own.tabs) == len(path.tabs) and all(
        now.width >= tab.width and (now.height, now.shape) == (tab.height, tab.shape)
        for tab, now in zip(path.tabs, own.tabs, strict=True)
    )
    if not alike:
        return "has other tabs, or narrower ones"
    was, now = path.entry, own.entry
    if isinstance(was, Ramp | Descend) and was.within is not None:
        was = replace(was, within=max(was.within, getattr(now, "within", None) or 0.0))
    if now != was:
        return "has another way in, or a shorter one"
    return None


def _moved(path: Toolpath, own: Toolpath, stretch: Ints, tolerance: float) -> str | None:
    """What lies elsewhere than it did."""
    try:
        places = list(zip(_measured(path), _measured(own), strict=True))
    except Refused:
        return "has a tab without room"
    for old, new in places:
        apart = math.dist(path.curve.at(old), own.curve.at(new))
        if apart > tolerance + SAME_PLACE:
            return f"has a tab, a start or a way in that ends {apart:.4g} mm from where it did"
        if not _on_its_stretch(path.curve, own.curve, stretch, old, new, tolerance):
            return "has a tab, a start or a way in on another stretch"
    return None


def _measured(path: Toolpath) -> list[float]:
    """How far along the curve tabs begin and end, the start lies and the way in ends; whole rounds do not count."""
    found = [path.start, *(station for index in range(len(path.tabs)) for station in tab_gap(path, index))]
    within = getattr(path.entry, "within", None)
    if within is not None:
        found.append(path.start + within)
        if not path.curve.closed:
            found.append(path.curve.length - within)
    return found


def _on_its_stretch(one: Curve, other: Curve, stretch: Ints, old: float, new: float, tolerance: float) -> bool:
    """Whether a place lies on the span that stands for its own, and not where the curve comes by once more."""
    if one.closed:
        old, new = old % one.length, new % other.length
    own = min(max(int(np.searchsorted(one.spans.station, old, side="right")) - 1, 0), len(stretch) - 1)
    low, high = other.spans.station[stretch[own] : stretch[own] + 2]
    room = 2.0 * tolerance + SAME_PLACE
    rounds = (-other.length, 0.0, other.length) if other.closed else (0.0,)
    return any(low - room <= new + whole <= high + room for whole in rounds)


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
