"""MergeStepdowns: equal levels for every cut, and one toolpath where several repeat a contour deeper and deeper."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, ClassVar

from pathkit.curves.alike import clusters, offset_between
from pathkit.findings import Finding
from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Tab, Toolpath, equal_levels
from pathkit.passes.base import Passed, Progress, Promise
from pathkit.passes.precedence import precedence_of
from pathkit.passes.promises import levels_within_stepdown, same_board, same_contours, tabs_keep_place
from pathkit.tolerances import SAME_HEIGHT, SAME_PLACE

if TYPE_CHECKING:
    import networkx


@dataclass(frozen=True)
class MergeStepdowns:
    """Give every cut its levels, and join toolpaths that repeat one contour at adjoining depths.

    Each cut gets n = ceil(depth / stepdown − 1e-9) equal levels below the highest wood of the thickest board allowed;
    levels that the job gives are kept. Toolpaths are joined only if bit, feeds, part, role, direction and entry agree,
    the tabs leave the same wood, and nothing has to be cut between them. The joined one inherits every precedence pair
    and has the name of the uppermost.

    >>> pk.Pipeline([pk.MergeStepdowns()]).run(job, machine).job.name
    'tidy'
    """

    name: ClassVar[str] = "merge_stepdowns"
    promises: ClassVar[tuple[Promise, ...]] = (same_board, same_contours, tabs_keep_place, levels_within_stepdown)

    def __call__(self, job: Job, machine: Machine, *, progress: Progress | None = None) -> Passed:
        merged, joined = _merged(job)
        merged = merged.with_toolpaths(tuple(with_levels(path, job.stock) for path in merged.toolpaths))
        figures = {
            "toolpaths": {"before": len(job.toolpaths), "after": len(merged.toolpaths)},
            "levels": sum(len(path.levels or ()) for path in merged.toolpaths),
        }
        notes = [
            Finding(check=self.name, severity="note", what=f"joined with {', '.join(map(repr, others))}", toolpath=name)
            for name, others in joined.items()
        ]
        return Passed(merged, tuple(notes), figures)


def with_levels(path: Toolpath, stock: Stock) -> Toolpath:
    """The toolpath with its levels filled in; traces have none, and given levels are kept."""
    if path.curve.is_trace or path.levels is not None:
        return path
    return replace(path, levels=path.depths(stock))


def _merged(job: Job) -> tuple[Job, Mapping[str, list[str]]]:
    """The job with repeated contours joined, and for each joined toolpath the names of those it took in."""
    stock = job.stock
    repeats = _repeats(job)
    if not repeats:
        return job, {}
    rule = precedence_of(job)
    waiting = rule.graph.copy()
    waiting.add_edges_from(rule.given, given=True)
    paths: dict[int, Toolpath] = dict(enumerate(job.toolpaths))
    swallowed: dict[int, list[int]] = {}
    for group in repeats:
        # One join may make another possible, so go on until nothing more of the group can be joined.
        while (pair := _joinable(group, paths, waiting, stock)) is not None:
            head, at, joined = pair
            paths[head] = joined
            del paths[at]
            group.remove(at)
            swallowed.setdefault(head, []).extend([at, *swallowed.pop(at, [])])
            _contract(waiting, head, at)
    if not swallowed:
        return job, {}
    return _rebuilt(job, paths, swallowed, waiting)


def _joinable(
    group: list[int], paths: dict[int, Toolpath], waiting: networkx.DiGraph[int], stock: Stock
) -> tuple[int, int, Toolpath] | None:
    """The indices of the uppermost two of a group that may become one, and the toolpath that they become."""
    downward = sorted(group, key=lambda at: (-paths[at].highest(stock), -_bottom(paths[at]), at))
    for place, head in enumerate(downward):
        for at in downward[place + 1 :]:
            joined = _joined(paths[head], paths[at], stock)
            if joined is not None and not _ordered(waiting, head, at):
                return head, at, joined
    return None


def _rebuilt(
    job: Job, paths: dict[int, Toolpath], swallowed: dict[int, list[int]], waiting: networkx.DiGraph[int]
) -> tuple[Job, Mapping[str, list[str]]]:
    import networkx

    names = {at: path.name for at, path in enumerate(job.toolpaths)}
    becomes = {names[at]: names[head] for head, others in swallowed.items() for at in others}
    renamed = [(becomes.get(first, first), becomes.get(second, second)) for first, second in job.precedence]
    pairs = [(first, second) for first, second in renamed if first != second]
    # A joined toolpath stands where its last member stood, or as soon after that as its pairs allow.
    last = {at: max([at, *swallowed.get(at, ())]) for at in paths}
    order = networkx.lexicographical_topological_sort(waiting, key=last.__getitem__)
    joined = {names[head]: [names[at] for at in others] for head, others in sorted(swallowed.items())}
    merged = replace(job, toolpaths=tuple(paths[at] for at in order), precedence=tuple(dict.fromkeys(pairs)))
    # Pairs derived from where a cut ends may be lost once it is joined to a deeper one: the job gives them from now on.
    held = {(merged.toolpaths[a].name, merged.toolpaths[b].name) for a, b in precedence_of(merged).pairs}
    wanted = ((becomes.get(names[a], names[a]), becomes.get(names[b], names[b])) for a, b in precedence_of(job).pairs)
    lost = [pair for pair in wanted if pair[0] != pair[1] and pair not in held]
    return replace(merged, precedence=tuple(dict.fromkeys([*merged.precedence, *lost]))), joined


def _repeats(job: Job) -> list[list[int]]:
    """Indices of toolpaths that may repeat one contour: alike in all but depth, and of the same length and bounds."""
    kinds: dict[tuple[object, ...], list[tuple[int, tuple[float, ...]]]] = {}
    for at, path in enumerate(job.toolpaths):
        if not path.curve.is_trace and not path.curve.is_point:
            kind = (path.tool, path.cutting, path.part, path.role, path.backward, path.curve.closed, path.entry)
            kinds.setdefault(kind, []).append((at, (path.curve.length, *path.curve.bounds)))
    groups = [
        [at for at, _ in group]
        for alike in kinds.values()
        for group in clusters(alike, *(lambda thing, i=i: thing[1][i] for i in range(5)))
    ]
    return sorted(group for group in groups if len(group) > 1)


def _joined(upper: Toolpath, lower: Toolpath, stock: Stock) -> Toolpath | None:
    """Both as one, or None if their depths do not adjoin, their contours differ, or their tabs leave different wood."""
    bottom, deeper = _bottom(upper), _bottom(lower)
    if deeper >= bottom - SAME_HEIGHT or lower.highest(stock) < bottom - SAME_HEIGHT:
        return None
    offset = offset_between(upper.curve, lower.curve)
    if offset is None or upper.may_reverse != lower.may_reverse:
        return None
    if not (upper.free_start and lower.free_start) and not _same_start(upper, lower, offset):
        return None
    tabs = tuple(_moved(tab, upper, offset) for tab in lower.tabs)
    if not _leave_alike(upper.tabs, tabs, upper, bottom - stock.highest_underside):
        return None
    known = [path.stepdown for path in (upper, lower) if path.stepdown is not None]
    stepdown = min(known) if known else None
    levels = None
    # Depths without a stepdown, and levels that the job gave, are kept; else the whole depth is divided anew.
    if len(known) < 2 or upper.levels is not None or lower.levels is not None:
        both = [*upper.depths(stock), *(z for z in lower.depths(stock) if z < bottom - SAME_HEIGHT)]
        levels = _split(upper.highest(stock), both, stepdown)
    return replace(
        upper,
        levels=levels,
        bottom=deeper,
        stepdown=stepdown,
        tabs=tabs,
        free_start=upper.free_start and lower.free_start,
    )


def _split(wood: float, levels: list[float], stepdown: float | None) -> tuple[float, ...]:
    """The levels, with each drop that exceeds the stepdown divided into equal ones."""
    parted = (equal_levels(high, low, stepdown) for high, low in pairwise([wood, *levels]))
    return tuple(z for part in parted for z in part)


def _bottom(path: Toolpath) -> float:
    return path.bottom if path.bottom is not None else math.nan


def _same_start(upper: Toolpath, lower: Toolpath, offset: float) -> bool:
    return math.dist(upper.curve.at(upper.start), upper.curve.at(lower.start + offset)) <= SAME_PLACE


def _moved(tab: Tab, upper: Toolpath, offset: float) -> Tab:
    """The lower contour's tab at its place along the upper one's curve."""
    return replace(tab, at=(tab.at + offset) % upper.curve.length) if upper.curve.closed else tab


def _leave_alike(above: tuple[Tab, ...], below: tuple[Tab, ...], upper: Toolpath, floor: float) -> bool:
    """Whether the tabs that count at the upper cut's bottom (``floor`` mm above the underside) are the same."""
    high = [tab for tab in above if tab.height > floor + SAME_HEIGHT]
    low = [tab for tab in below if tab.height > floor + SAME_HEIGHT]
    return len(high) == len(low) and all(
        any(
            math.dist(upper.curve.at(one.at), upper.curve.at(other.at)) <= SAME_PLACE
            and abs(one.width - other.width) <= SAME_PLACE
            and abs(one.height - other.height) <= SAME_HEIGHT
            and one.shape == other.shape
            for other in low
        )
        for one in high
    )


def _ordered(waiting: networkx.DiGraph[int], one: int, other: int) -> bool:
    """Whether precedence keeps the two apart: something has to be cut between them, or the lower (``other``) before the
    upper, so that joining would close a circle; or the job itself gives them as a pair. A derived pair of the two does
    not keep them apart."""
    import networkx

    if waiting.has_edge(one, other) and waiting[one][other].get("given"):
        return True
    between = (node for node in waiting.successors(one) if node != other)
    return networkx.has_path(waiting, other, one) or any(networkx.has_path(waiting, node, other) for node in between)


def _contract(waiting: networkx.DiGraph[int], head: int, at: int) -> None:
    waiting.add_edges_from(
        [(before, head, kept) for before, _, kept in waiting.in_edges(at, data=True) if before != head]
    )
    waiting.add_edges_from([(head, after, kept) for _, after, kept in waiting.out_edges(at, data=True)])
    waiting.remove_node(at)
