"""The order that keeps pieces where they are, worked out from the job's curves and compared with the file's."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from graphlib import CycleError, TopologicalSorter
from typing import Any, Final

import numpy as np

from pathkit.findings import Finding
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Toolpath
from pathkit.motion.program import RAPID
from pathkit.proof.ends import ends_of
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.intent.places import MOST
from pathkit.proof.material.bits import width_at
from pathkit.proof.result import Verdict
from pathkit.tolerances import BESIDE_CURVE, SAME_HEIGHT

FREEING: Final = frozenset({"outline", "cut", "slot"})
"""Roles of cuts that may part a piece from the board. A pocket does not: it clears all that lies within it."""

TURN: Final = {"pocket": 0, "finish": 0, "engrave": 0, "chamfer": 0, "drill": 1, "slot": 1, "outline": 2}
"""A role with a lower number comes before the through cuts beside it that have a higher one. Of a plain ``cut`` only
what lies within it is known. Common practice, no source."""


@check(
    "safe order",
    "board",
    "job",
    scope="whole",
    limits="Of a cut without a role it knows only what lies within it; what holds the pieces meanwhile is judged by "
    "the check `holding`.",
)
def safe_order(evidence: Evidence) -> Verdict:
    """What lies inside a cut that frees it comes before that cut, a recess before the through cut that touches it, and
    a floor before its walls; the job's own pairs are kept too."""
    job, bench, sections = evidence.job, evidence.bench, evidence.sections
    assert job is not None
    cutting = np.flatnonzero((sections.owner >= 0) & (bench.kind != RAPID))
    owner = sections.owner[cutting]
    count = len(job.toolpaths)
    first, last = np.full(count, len(bench)), np.full(count, -1)
    np.minimum.at(first, owner, cutting)
    np.maximum.at(last, owner, cutting)
    number = {path.name: k for k, path in enumerate(job.toolpaths)}
    given = {(number[a], number[b]): "the job asks for it" for a, b in job.precedence}
    derived = _pairs(evidence)
    pairs = _without_contradiction(count, given, derived)
    found: list[Finding] = []
    for a, b in [pair for pair in derived if pair not in pairs][:MOST]:
        before, after = job.toolpaths[a].name, job.toolpaths[b].name
        what = f"need not wait for {before!r}, though {derived[a, b]}: the order that the job asks for contradicts it"
        fix = "make sure that the piece is held meanwhile"
        found.append(Finding(check="safe order", what=what, fix=fix, severity="warning", toolpath=after))
    for (a, b), why in pairs.items():
        if last[a] >= 0 and last[b] >= 0 and last[a] > first[b] and len(found) < 2 * MOST:
            before, after = job.toolpaths[a].name, job.toolpaths[b].name
            what = f"is cut before {before!r} is done: {why}"
            line = evidence.line(int(first[b]))
            found.append(Finding(check="safe order", what=what, fix="order the job again", line=line, toolpath=after))
    for stretch in sections.back[:MOST]:
        path = job.toolpaths[int(sections.owner[stretch.first])]
        what = "is cut after toolpaths that come later in the job"
        line = evidence.line(stretch.first)
        found.append(Finding(check="safe order", what=what, fix="post the job again", line=line, toolpath=path.name))
    return Verdict(found, figures={"pairs": len(pairs)})


def _without_contradiction(
    count: int, given: dict[tuple[int, int], str], derived: dict[tuple[int, int], str]
) -> dict[tuple[int, int], str]:
    """The job's own pairs, and the derived pairs that an order can keep beside them. Where toolpaths wait for each
    other in a ring (a strong component of the graph of all pairs), only the job's own pairs count."""
    waits = TopologicalSorter[int]()
    for first, second in (*given, *derived):
        waits.add(second, first)
    try:
        waits.prepare()
    except CycleError:
        pass
    else:
        return derived | given
    # scipy takes a while to import, and nearly no job needs it.
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    # Older releases of scipy take 32-bit indices only.
    firsts, seconds = np.array([*given, *derived], np.int32).T
    graph = coo_array((np.ones(len(firsts)), (firsts, seconds)), shape=(count, count))
    _, knot = connected_components(graph, connection="strong")
    return {pair: why for pair, why in derived.items() if knot[pair[0]] != knot[pair[1]]} | given


def _pairs(evidence: Evidence) -> dict[tuple[int, int], str]:
    """(first, second) → why: what must be cut before what, by place and depth alone."""
    job = evidence.job
    assert job is not None
    radius = np.array([_half_width(path, evidence.board) for path in job.toolpaths])
    pairs: dict[tuple[int, int], str] = {}
    for k, path in enumerate(job.toolpaths):
        if path.role == "finish":
            pairs |= _floors_before(evidence, k, radius)
        if path.finishes is not None:
            rough = next(n for n, other in enumerate(job.toolpaths) if other.name == path.finishes)
            pairs[rough, k] = "it takes off what that one leaves on the wall"
    through = np.array([_goes_through(path, evidence.board) for path in job.toolpaths])
    freeing = [k for k, path in enumerate(job.toolpaths) if through[k] and path.role in FREEING]
    for k in freeing:
        pairs |= _within(evidence, k, radius)
    turn = _turns(job, pairs)
    for k in freeing:
        pairs |= _opened(evidence, k, radius, through, turn)
    return pairs


def _within(evidence: Evidence, outer: int, radius: Any) -> Iterator[tuple[tuple[int, int], str]]:
    """Pairs: what lies within a freeing cut comes before that cut."""
    import shapely

    job, ground = evidence.job, evidence.sections.ground
    assert job is not None
    inside = _inside(job.toolpaths[outer], ground.lines[outer])
    if inside is None:
        return
    for other in ground.tree.query(inside, predicate="covers").tolist():
        apart = float(shapely.distance(ground.lines[outer], ground.lines[other]))
        if other != outer and apart >= radius[outer] + radius[other] - BESIDE_CURVE:
            yield (other, outer), "it lies within what the cut frees"


def _opened(
    evidence: Evidence, cut: int, radius: Any, through: Any, turn: list[int]
) -> Iterator[tuple[tuple[int, int], str]]:
    """Pairs: the recesses that a through cut opens come before that cut."""
    import shapely

    job, ground = evidence.job, evidence.sections.ground
    assert job is not None
    mine = TURN.get(job.toolpaths[cut].role, 0)
    near = ground.tree.query(ground.lines[cut], predicate="dwithin", distance=float(radius.max() + radius[cut]))
    for other in near[near != cut].tolist():
        apart = float(shapely.distance(ground.lines[cut], ground.lines[other]))
        if not through[other] and turn[other] < mine and apart < radius[cut] + radius[other] - BESIDE_CURVE:
            yield (other, cut), "it is a recess that the through cut opens"


def _floors_before(evidence: Evidence, wall: int, radius: Any) -> Iterator[tuple[tuple[int, int], str]]:
    """Pairs: the floor of a recess comes before its wall."""
    import shapely

    job, ground = evidence.job, evidence.sections.ground
    assert job is not None
    path = job.toolpaths[wall]
    reach = float(radius.max() + radius[wall])
    for other in ground.tree.query(ground.lines[wall], predicate="dwithin", distance=reach).tolist():
        floor = job.toolpaths[other]
        if floor.role != "pocket" or floor.part != path.part or floor.bottom != path.bottom:
            continue
        if floor.tool.radius < path.tool.radius and (path.name, floor.name) in job.precedence:
            # There a narrower bit clears what the wall's own bit could not reach.
            continue
        if (
            float(shapely.distance(ground.lines[wall], ground.lines[other]))
            < radius[wall] + radius[other] - BESIDE_CURVE
        ):
            yield (other, wall), "it clears the floor beside that wall"


def _half_width(path: Toolpath, stock: Stock) -> float:
    """mm to each side that a cut takes at the highest top: a vee that bevels an edge takes less than it is wide."""
    if path.role != "chamfer" or path.bottom is None:
        return path.tool.radius
    return width_at(path.tool, ends_of(stock).highest_top - path.bottom)


def _goes_through(path: Toolpath, stock: Stock) -> bool:
    return path.bottom is not None and path.bottom <= ends_of(stock).highest_underside + SAME_HEIGHT


def _turns(job: Job, pairs: Iterable[tuple[int, int]]) -> list[int]:
    """The turn of each toolpath's role, or the later turn of something that it must wait for."""
    number = {path.name: k for k, path in enumerate(job.toolpaths)}
    waits = [*((number[first], number[second]) for first, second in job.precedence), *pairs]
    turn = [TURN.get(path.role, 2) for path in job.toolpaths]
    # One round for each toolpath is enough: toolpaths that wait in a ring rise no further.
    for _ in range(len(turn)):
        before = list(turn)
        for first, second in waits:
            turn[second] = max(turn[second], turn[first])
        if turn == before:
            break
    return turn


def _inside(path: Toolpath, line: Any) -> Any:
    """The plan (shapely) of what a cut goes round, whether or not it has leads; None if it encloses nothing."""
    import shapely

    if path.curve.is_point:
        return None
    rings = shapely.get_parts(shapely.polygonize([shapely.node(line)]))
    return max(rings, key=lambda ring: ring.area) if len(rings) else None
