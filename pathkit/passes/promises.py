"""The promises that passes make, each a named test of the job before and the job after."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable
from dataclasses import fields
from itertools import pairwise
from typing import NamedTuple

from pathkit.curves.alike import clusters, offset_between
from pathkit.findings import Finding
from pathkit.model.job import Job
from pathkit.model.toolpath import Peck, Plunge, Tab, Toolpath
from pathkit.passes.base import Promise
from pathkit.passes.entry_in_waste import holes_for_entries
from pathkit.passes.precedence import precedence_of
from pathkit.tolerances import RELATIVE_ROUNDING, ROUNDING, SAME_HEIGHT, SAME_PLACE


def promise(name: str) -> Callable[[Callable[[Job, Job], Finding | str | None]], Promise]:
    """Make a promise of a function that returns what was broken, in words or as a finding, or None.

    >>> @pk.promise("same name")
    ... def same_name(before, after):
    ...     return None if before.name == after.name else f"it is called {after.name} now"
    >>> same_name.judge(job, replace(job, name="other")).what
    'it is called other now'
    """

    def named(judge: Callable[[Job, Job], Finding | str | None]) -> Promise:
        def found(before: Job, after: Job) -> Finding | None:
            said = judge(before, after)
            return Finding(check=f"promise: {name}", what=said) if isinstance(said, str) else said

        return Promise(name, found)

    return named


@promise("same board")
def same_board(before: Job, after: Job) -> str | None:
    """Name, stock and parts are as they were."""
    for name in ("name", "stock", "parts"):
        if getattr(before, name) != getattr(after, name):
            return f"the job's {name} changed"
    return None


def only_changes(*allowed: str, reorders: bool = False) -> Promise:
    """Every toolpath is still there, once, in its place unless ``reorders``, and only ``allowed`` fields changed.

    >>> shallower = job.with_toolpaths((replace(job.toolpaths[0], bottom=-1.0),))
    >>> pk.only_changes("start").judge(job, shallower) is None
    False
    >>> pk.only_changes("bottom").judge(job, shallower) is None
    True
    """
    kept = [f.name for f in fields(Toolpath) if f.name not in ("_", *allowed)]
    label = f"only {' and '.join(allowed)} {'and the order ' if reorders else ''}change"

    def judge(before: Job, after: Job) -> str | None:
        names, left = [p.name for p in before.toolpaths], [p.name for p in after.toolpaths]
        if Counter(names) != Counter(left):
            missing, extra = Counter(names) - Counter(left), Counter(left) - Counter(names)
            return f"toolpaths lost: {sorted(missing)}, added: {sorted(extra)}"
        if not reorders and names != left:
            return "the order of the toolpaths changed"
        for name in names:
            one, other = before.by_name[name], after.by_name[name]
            for field in kept:
                if getattr(one, field) != getattr(other, field):
                    return f"{field} of {name!r} changed from {getattr(one, field)!r} to {getattr(other, field)!r}"
        return None

    return promise(label)(judge)


@promise("precedence kept")
def precedence_kept(before: Job, after: Job) -> str | None:
    """No pair of the job is lost or added."""
    if set(before.precedence) != set(after.precedence):
        return f"pairs lost or added: {sorted(set(before.precedence) ^ set(after.precedence))}"
    return None


@promise("the order keeps precedence")
def order_keeps_precedence(before: Job, after: Job) -> str | None:
    """The pairs of the job before, given and derived, hold in the order of the job after."""
    rule = precedence_of(before)
    place = {path.name: at for at, path in enumerate(after.toolpaths)}
    names = [path.name for path in before.toolpaths]
    for first, second in rule.pairs:
        # Another promise reports toolpaths that were lost.
        if place.get(names[first], -1) > place.get(names[second], len(place)):
            return f"{names[second]!r} is cut before {names[first]!r}"
    return None


@promise("tabs keep their place")
def tabs_keep_place(before: Job, after: Job) -> str | None:
    """Every tab still stands at its x, y on the bench, in its shape and at least as wide and high."""
    everywhere: list[Standing] | None = None
    for path in before.toolpaths:
        if not path.tabs:
            continue
        own = after.by_name.get(path.name)
        left = [] if own is None else _standing(own)
        for place, tab in _standing(path):
            if _stands(place, tab, left):
                continue
            # Where toolpaths were joined, a tab may belong to one of another name.
            if everywhere is None:
                everywhere = [each for other in after.toolpaths for each in _standing(other)]
            if not _stands(place, tab, everywhere):
                return f"the tab of {path.name!r} at x {place[0]:.3f} y {place[1]:.3f} moved or vanished"
    return None


Standing = tuple[tuple[float, float], Tab]


def _standing(path: Toolpath) -> list[Standing]:
    """Each tab with its place (x, y) on the bench."""
    places = ((path.curve.at(tab.at), tab) for tab in path.tabs)
    return [((float(place[0]), float(place[1])), tab) for place, tab in places]


def _stands(place: tuple[float, float], tab: Tab, among: list[Standing]) -> bool:
    return any(
        math.dist(place, there) < SAME_PLACE
        and other.width >= tab.width
        and other.height >= tab.height
        and other.shape == tab.shape
        for there, other in among
    )


@promise("every contour is cut to its depth by its bit")
def same_contours(before: Job, after: Job) -> str | None:
    """Each contour, with its bit, feeds, role and direction, still covers the same heights, and none is new.

    Only entry holes may be added.
    """
    return _uncovered(before, after, lambda path: (path.tool, path.cutting, path.role, path.part, path.backward))


@promise("every contour is cut to its depth")
def same_depths(before: Job, after: Job) -> str | None:
    """Each contour still covers the same heights, and none is new, whatever it is cut with.

    Only entry holes may be added.
    """
    return _uncovered(before, after, lambda _: ())


def _uncovered(before: Job, after: Job, alike: Callable[[Toolpath], tuple[object, ...]]) -> str | None:
    """What is cut in one of the jobs only, among contours that are ``alike``; None if nothing is."""
    if after is before:
        return None
    holes = set(holes_for_entries(after).values()) - set(before.by_name)
    kept = [path for path in after.toolpaths if path.name not in holes]
    sides = ((before, before.toolpaths), (after, kept))
    placed = [Placed.of(job, path, alike(path)) for job, paths in sides for path in paths]
    kinds: dict[tuple[object, ...], list[Placed]] = {}
    for one in placed:
        kinds.setdefault(one.kind, []).append(one)
    for of_kind in kinds.values():
        for group in clusters(of_kind, *(lambda p, i=i: p.sieve[i] for i in range(5))):
            for one in group:
                if not _covered(one, [p for p in group if p.job is not one.job]):
                    lacking = "is no longer cut" if one.job is before else "was not asked for"
                    return f"{one.path.name!r} from its wood to z = {one.path.bottom} {lacking}"
    return None


@promise("no level deeper than the stepdown")
def levels_within_stepdown(before: Job, after: Job) -> str | None:
    """No level that was worked out takes more than the stepdown."""
    for path in after.toolpaths:
        heights = (path.highest(after.stock), *path.depths(after.stock))
        drops = [high - low for high, low in pairwise(heights)]
        # The job answers for the levels that it gives; only those worked out are judged.
        given = path.name in before.by_name and before.by_name[path.name].levels is not None
        if (
            path.stepdown is not None
            and not given
            and max(drops, default=0.0) > path.stepdown * (1 + RELATIVE_ROUNDING) + ROUNDING
        ):
            return f"a level of {path.name!r} takes {max(drops):g} mm, more than its stepdown of {path.stepdown:g} mm"
    return None


@promise("no plunge by a bit that cannot")
def no_blunt_plunge(_: Job, after: Job) -> str | None:
    """No bit that does not cut at its centre goes straight down."""
    for path in after.toolpaths:
        if not path.curve.is_trace and not path.tool.plunges and isinstance(path.entry, Plunge | Peck):
            return f"{path.name!r} would go straight down with {path.tool.name!r}, which does not cut at its centre"
    return None


class Placed(NamedTuple):
    """A toolpath of one of the two jobs, with the numbers by which others at the same place are found."""

    job: Job
    path: Toolpath
    kind: tuple[object, ...]
    sieve: tuple[float, ...]

    @classmethod
    def of(cls, job: Job, path: Toolpath, kind: tuple[object, ...]) -> Placed:
        curve = path.curve
        return cls(job, path, (*kind, curve.closed, curve.is_trace), (curve.length, *curve.bounds))


def _covered(one: Placed, others: list[Placed]) -> bool:
    """Whether the heights that the others cut here, from the deepest up, cover those of this cut without a hole."""
    if one.path.curve.is_trace:
        return any(other.path.curve == one.path.curve for other in others)
    bottom = one.path.bottom if one.path.bottom is not None else math.nan
    here = [p for p in others if p.path.bottom is not None and offset_between(p.path.curve, one.path.curve) is not None]
    reached = bottom
    for other in sorted(here, key=lambda p: p.path.bottom or 0.0):
        if other.path.bottom is not None and other.path.bottom <= reached + SAME_HEIGHT:
            reached = max(reached, other.path.highest(other.job.stock))
    return bool(here) and reached >= one.path.highest(one.job.stock) - SAME_HEIGHT
