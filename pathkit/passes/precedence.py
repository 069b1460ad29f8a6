"""What must be cut before what: the job's own pairs, those derived from it, and the stage of each role."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from graphlib import CycleError, TopologicalSorter
from typing import TYPE_CHECKING

from pathkit.curves.alike import loop_of
from pathkit.curves.regions import helix_radius
from pathkit.findings import Finding
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.toolpath import STAGE, Toolpath
from pathkit.tolerances import ON_CUT, SAME_HEIGHT

if TYPE_CHECKING:
    import networkx
    import numpy as np
    from numpy.typing import NDArray
    from shapely.geometry import Polygon
    from shapely.geometry.base import BaseGeometry

Pairs = tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Precedence:
    """Which toolpath waits for which, by index into the job's toolpaths.

    ``given`` are the job's pairs; ``derived`` are those of containment, of laps after the cuts that they finish, of
    walls after their pockets, and of cuts that begin where another ends. Together they have no cycle: a derived pair
    that contradicts a given one is dropped, and ``overruled`` reports it. ``stage`` is a number for each toolpath; all
    toolpaths of a lower stage come before all of a higher one.
    """

    job: Job
    given: Pairs
    derived: Pairs
    stage: tuple[int, ...]
    overruled: tuple[Finding, ...] = ()

    @property
    def pairs(self) -> Pairs:
        return tuple(dict.fromkeys(self.given + self.derived))

    @cached_property
    def graph(self) -> networkx.DiGraph[int]:
        """All pairs, every toolpath a node."""
        return _graph(len(self.job.toolpaths), self.pairs)

    def within(self, home: Sequence[int]) -> Precedence:
        """The same pairs, with stages that hold only among toolpaths of one ``home``, such as a part."""
        return replace(self, stage=_stages(self.job, self.pairs, home))

    def kept_by(self, order: tuple[int, ...]) -> bool:
        """Whether this order of the toolpaths keeps every pair and the stages."""
        place = {index: at for at, index in enumerate(order)}
        if any(place[first] > place[second] for first, second in self.pairs):
            return False
        stages = [self.stage[index] for index in order]
        return stages == sorted(stages)


@lru_cache(maxsize=2)
def precedence_of(job: Job) -> Precedence:
    """Gather what must come before what on this board."""
    index = {path.name: at for at, path in enumerate(job.toolpaths)}
    given = tuple((index[first], index[second]) for first, second in job.precedence)
    finished = [(index[path.finishes], at) for at, path in enumerate(job.toolpaths) if path.finishes is not None]
    wanted = tuple(dict.fromkeys(finished + _walls(job, given) + _stacked(job) + _contained(job)))
    derived, overruled = _without_contradiction(job, given, wanted)
    stage = _stages(job, given + derived, [0] * len(index))
    return Precedence(job, given, derived, stage, overruled)


def _walls(job: Job, given: Pairs) -> list[tuple[int, int]]:
    """Pairs (pocket, wall): the pass round a wall comes after each pocket of the same part within its reach, unless the
    job clears that pocket after the wall with a narrower bit, or the pocket begins where the wall ends."""
    import shapely

    pockets = [at for at, path in enumerate(job.toolpaths) if path.role == "pocket"]
    walls = [at for at, path in enumerate(job.toolpaths) if path.role == "finish"]
    if not pockets or not walls:
        return []
    tree = shapely.STRtree([_reach(job.toolpaths[at]) for at in pockets])
    found = tree.query([_reach(job.toolpaths[at]) for at in walls], predicate="intersects")
    pairs = ((pockets[hit], walls[asked]) for asked, hit in found.T.tolist())
    return [
        (p, w)
        for p, w in pairs
        if job.toolpaths[p].part == job.toolpaths[w].part
        and not (job.toolpaths[p].tool.radius < job.toolpaths[w].tool.radius and (w, p) in given)
        and not _lies_below(job.toolpaths[p], job.toolpaths[w], job.stock)
    ]


def _stacked(job: Job) -> list[tuple[int, int]]:
    """Pairs (upper, lower): a cut that begins below the board's top comes after those that clear the wood above it,
    else its first bite would be deeper than given."""
    import shapely

    sunk = [
        at for at, path in enumerate(job.toolpaths) if path.top is not None and path.top < job.stock.top - SAME_HEIGHT
    ]
    if not sunk:
        return []
    tree = shapely.STRtree([_reach(path) for path in job.toolpaths])
    found = tree.query([_reach(job.toolpaths[at]) for at in sunk], predicate="intersects")
    pairs = ((hit, sunk[asked]) for asked, hit in found.T.tolist())
    return [
        (upper, lower)
        for upper, lower in pairs
        if upper != lower and _lies_below(job.toolpaths[lower], job.toolpaths[upper], job.stock)
    ]


def _lies_below(path: Toolpath, other: Toolpath, stock: Stock) -> bool:
    """Whether the wood of ``path`` begins where the other's cut ends, or deeper."""
    if path.top is None or path.top >= stock.top - SAME_HEIGHT or other.bottom is None:
        return False
    return path.top <= other.bottom + SAME_HEIGHT


def _reach(path: Toolpath) -> Polygon:
    import shapely

    low_x, low_y, high_x, high_y = path.curve.bounds
    radius = path.tool.radius + helix_radius(path)
    return shapely.box(low_x - radius, low_y - radius, high_x + radius, high_y + radius)


def _contained(job: Job) -> list[tuple[int, int]]:
    """Pairs (inner, outer) where the outer cut goes through: a piece cut free can no longer be cut accurately."""
    import shapely

    loops = {at: loop for at, path in enumerate(job.toolpaths) if (loop := _loop(path, job)) is not None}
    if not loops:
        return []
    outer = list(loops)
    # Shrunk by a hair, so that a contour never counts as lying inside its own repetition.
    rings = [shapely.Polygon(_ring(loop)).buffer(-ON_CUT) for loop in loops.values()]
    tree = shapely.STRtree(rings)
    plans = [_plan(path) for path in job.toolpaths]
    found = tree.query(plans, predicate="within")
    # A lap that finishes a wall lies beside the cut before it, by its allowance: that is not containment.
    laps = {(path.name, path.finishes) for path in job.toolpaths if path.finishes is not None}
    names = [path.name for path in job.toolpaths]
    pairs = [(inner, outer[hit]) for inner, hit in found.T.tolist() if inner != outer[hit]]
    return [(a, b) for a, b in pairs if not {(names[a], names[b]), (names[b], names[a])} & laps]


def _loop(path: Toolpath, job: Job) -> Curve | None:
    """The loop that a through cut goes round, with or without leads; None for other cuts."""
    if path.curve.is_trace or not path.goes_through(job.stock):
        return None
    # Of open cuts, only those led round a contour close a loop on purpose; in a zigzag there is none to find.
    return loop_of(path.curve) if path.curve.closed or path.role in ("outline", "finish") else None


def _ring(curve: Curve) -> NDArray[np.float64]:
    points = curve.flattened(ON_CUT / 4)[:, :2]
    # A contour of two straight spans encloses nothing, but shapely needs three points all the same.
    return points if len(points) > 2 else points[[0, 1, 0]]


def _plan(path: Toolpath) -> BaseGeometry:
    import shapely

    if path.curve.is_point:
        return shapely.Point(path.curve.points[0, :2])
    return (
        shapely.LinearRing(_ring(path.curve))
        if path.curve.closed
        else shapely.LineString(path.curve.flattened(ON_CUT)[:, :2])
    )


def _without_contradiction(
    job: Job, given: Pairs, wanted: tuple[tuple[int, int], ...]
) -> tuple[Pairs, tuple[Finding, ...]]:
    try:
        _order(len(job.toolpaths), given + wanted)
    except CycleError:
        pass
    else:
        return wanted, ()
    # Most jobs never get here; the library takes longer to import than they take to look at.
    import networkx

    graph = _graph(len(job.toolpaths), given)
    kept: list[tuple[int, int]] = []
    overruled: list[Finding] = []
    for first, second in wanted:
        if networkx.has_path(graph, second, first):
            before, after = job.toolpaths[second].name, job.toolpaths[first].name
            what = f"{before!r} before {after!r}, as the job says, although {after!r} lies inside it or prepares for it"
            fix = "make sure that the piece is held after its outline is cut"
            overruled.append(
                Finding(check="precedence", what=what, fix=fix, severity="warning", toolpath=job.toolpaths[second].name)
            )
        else:
            graph.add_edge(first, second)
            kept.append((first, second))
    return tuple(kept), tuple(overruled)


def _order(count: int, pairs: Pairs) -> tuple[int, ...]:
    """The toolpaths in an order that keeps all pairs. Raises `CycleError` where there is none."""
    sorter = TopologicalSorter[int]()
    for node in range(count):
        sorter.add(node)
    for first, second in pairs:
        sorter.add(second, first)
    return tuple(sorter.static_order())


def _stages(job: Job, pairs: Pairs, home: Sequence[int]) -> tuple[int, ...]:
    """The stage of each toolpath's role, raised if it must wait for a toolpath of a later stage.

    The role ``cut`` has no stage of its own: it takes the stage that the given order has reached at its place (so that
    a sound given order stays allowed), but none later than that of any toolpath that must follow it. Only toolpaths
    with the same ``home`` (a number for each) affect one another: stages are kept within it.
    """
    own = [STAGE.get(path.role) for path in job.toolpaths]
    order = _order(len(own), pairs)
    before: list[list[int]] = [[] for _ in own]
    after: list[list[int]] = [[] for _ in own]
    for first, second in pairs:
        if home[first] == home[second]:
            before[second].append(first)
            after[first].append(second)
    latest = [2] * len(own)
    for node in reversed(order):
        if (fixed := own[node]) is not None:
            latest[node] = fixed
        latest[node] = min([latest[node], *(latest[other] for other in after[node])])
    stage: list[int] = []
    reached = dict.fromkeys(home, 0)
    for node, fixed in enumerate(own):
        reached[home[node]] = max(reached[home[node]], fixed or 0)
        stage.append(min(reached[home[node]], latest[node]) if fixed is None else fixed)
    for node in order:
        stage[node] = max([stage[node], *(stage[other] for other in before[node])])
    return tuple(stage)


def _graph(count: int, pairs: Pairs) -> networkx.DiGraph[int]:
    import networkx

    graph: networkx.DiGraph[int] = networkx.DiGraph()
    graph.add_nodes_from(range(count))
    graph.add_edges_from(pairs)
    return graph
