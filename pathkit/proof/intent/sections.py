"""Which stretch of a file cuts which toolpath: found by place, in the order of the job.

A *stretch* lies between two moves over the board. It may belong to any toolpath whose ground the bit does not leave in
it. Of all ways to give these candidates to the stretches the cheapest is taken (dynamic programming): in the job's
order, each toolpath at least once, and each stretch as near as possible to its curve.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.model.job import Job
from pathkit.model.toolpath import Helix, Toolpath
from pathkit.motion.program import RAPID, Pause, Program, ToolChange
from pathkit.proof.material.bits import bits_by_events
from pathkit.proof.material.cross_sections import line_of
from pathkit.proof.material.segments import segments_of
from pathkit.tolerances import BESIDE_CURVE, CURVE_CHORDS, STRETCH_CHORDS

Array = NDArray[np.float64]

SAMPLES: Final = 48
"""Places of a stretch that are looked at: enough to tell it from its neighbours."""

_SKIPPED: Final = 10.0
_BACK: Final = 100.0
_TOO_DEEP: Final = 5.0
_OTHER_BIT: Final = 2.0
_UNFINISHED: Final = 1.0
"""Costs, in mm of distance from the curve: of a toolpath left out; of one cut out of turn; of one cut too deep; of one
whose bit is not the one that the file has called for, or is not the bit of the cut before although the file has not
halted; and of one that is left before its bottom."""


class Stretch(NamedTuple):
    """Rows ``first`` to ``last`` (exclusive) between two moves over the board."""

    first: int
    last: int


class _Fit(NamedTuple):
    """What it costs to give a stretch to a toolpath, and whether the stretch ``ends`` it, at its bottom."""

    cost: float
    ends: bool


class Ground:
    """Every toolpath of a job as a line in the plan, with an index of what lies near.

    ``lines`` (n,) shapely lines within `CURVE_CHORDS` of the curves (points for holes); ``reach`` (n,) mm from the line
    within which the bit's centre may be: on the toolpath's own ground, round a hole's middle for a helix.
    """

    def __init__(self, job: Job) -> None:
        import shapely

        self.toolpaths = job.toolpaths
        self.lines: NDArray[Any] = np.array([line_of(path.curve, CURVE_CHORDS) for path in job.toolpaths], dtype=object)
        shapely.prepare(self.lines)
        self.reach = np.array([_reach_of(path) for path in job.toolpaths])
        self.tree = shapely.STRtree(self.lines)


def _reach_of(toolpath: Toolpath) -> float:
    if toolpath.curve.is_point:
        helix = toolpath.entry.diameter / 2.0 if isinstance(toolpath.entry, Helix) else 0.0
        return helix + BESIDE_CURVE
    return toolpath.tool.radius + BESIDE_CURVE


@dataclass(frozen=True, eq=False)
class Sections:
    """``owner`` int32 (m,): the index in ``job.toolpaths`` that each row of the file belongs to, −1 for travel.

    ``stray`` are stretches that lie on the ground of no toolpath, ``back`` those of a toolpath that comes earlier in
    the job than the one cut just before.
    """

    owner: NDArray[np.int32]
    stray: tuple[Stretch, ...]
    back: tuple[Stretch, ...]
    ground: Ground

    def rows(self, index: int) -> NDArray[np.int64]:
        """The rows of one toolpath, ascending."""
        order, ends = self._by_owner
        return order[ends[index + 1] : ends[index + 2]]

    @cached_property
    def _by_owner(self) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """All rows, owner by owner from −1 on, and where in them each owner begins."""
        order = np.argsort(self.owner, kind="stable")
        owners = np.arange(-1, len(self.ground.toolpaths) + 1)
        return order, np.searchsorted(self.owner[order], owners)


def sections_of(bench: Program, job: Job, over: float) -> Sections:
    """The stretches of a file (bench frame) by toolpath; ``over`` is the z of moves over the board, mm.

    Cuts in the same place are told apart by the bit that the file calls for; if it has no word for that, by the rule
    that a bit is changed only where the file halts.
    """
    stretches = _stretches(bench, over)
    owner = np.full(len(bench), -1, np.int32)
    ground = Ground(job)
    bits = bits_by_events(bench, job.tools)
    tools = [job.tools.index(path.tool) for path in job.toolpaths]
    candidates = []
    for stretch in stretches:
        costs, bit = _candidates(bench, ground, stretch), int(bits[stretch.first])
        candidates.append(
            {k: each._replace(cost=each.cost + _OTHER_BIT * (bit not in (-1, tools[k]))) for k, each in costs.items()}
        )
    halts = np.array([at for at, event in zip(bench.event_at, bench.event, strict=True)
                      if isinstance(event, Pause | ToolChange)], np.int64)  # fmt: skip
    halted = [int(np.count_nonzero(halts <= stretch.first)) for stretch in stretches]
    chosen = _cheapest(candidates, halted, tools)
    stray: list[Stretch] = []
    back: list[Stretch] = []
    before = -1
    for stretch, index in zip(stretches, chosen, strict=True):
        if index < 0:
            stray.append(stretch)
            continue
        owner[stretch.first : stretch.last] = index
        if index < before:
            back.append(stretch)
        before = index
    return Sections(owner, tuple(stray), tuple(back), ground)


def _stretches(bench: Program, over: float) -> list[Stretch]:
    """Between moves over the board: rapids across, and rapids up to the height of travel."""
    origin, end = bench.origins, bench.end
    rapid = bench.kind == RAPID
    with np.errstate(invalid="ignore"):
        across = rapid & ((origin[:, :2] != end[:, :2]).any(axis=1))
        up = rapid & (end[:, 2] >= over)
    edges = np.flatnonzero(across | up)
    bounds = np.concatenate([[-1], edges, [len(bench)]])
    found: list[Stretch] = []
    for first, last in zip(bounds[:-1] + 1, bounds[1:], strict=True):
        if last > first and (bench.kind[first:last] != RAPID).any():
            found.append(Stretch(int(first), int(last)))
    return found


def _candidates(bench: Program, ground: Ground, stretch: Stretch) -> dict[int, _Fit]:
    """How well the stretch suits each toolpath on whose ground all of it lies."""
    import shapely

    rows = stretch.first + np.flatnonzero(bench.kind[stretch.first : stretch.last] != RAPID)
    segments = segments_of(bench, STRETCH_CHORDS, rows)
    if not len(segments.row):
        return {}
    start, end = segments.start[:, :2], segments.end[:, :2]
    places = np.concatenate([start, (start + end) / 2.0, end[-1:]])
    places = places[np.unique(np.linspace(0, len(places) - 1, SAMPLES).astype(int))]
    lowest = float(segments.end[:, 2].min())
    points = shapely.points(places)
    here = shapely.multipoints(points)
    costs: dict[int, _Fit] = {}
    for index in ground.tree.query(here, predicate="dwithin", distance=float(ground.reach.max())):
        line = ground.lines[index]
        # The lines are prepared: what is too far is found without the distance.
        if not shapely.dwithin(line, points, ground.reach[index]).all():
            continue
        apart = shapely.distance(points, line)
        path = ground.toolpaths[index]
        above = lowest - path.lowest
        cost = float(apart.mean()) + (_TOO_DEEP if above < -BESIDE_CURVE else 0.001 * abs(above))
        costs[int(index)] = _Fit(cost, above <= BESIDE_CURVE)
    return costs


def _cheapest(candidates: list[dict[int, _Fit]], halted: list[int], tools: list[int]) -> list[int]:
    """For each stretch its toolpath, −1 where it has none: the cheapest way through the job from first to last.

    ``halted`` is how often the file has halted before each stretch, ``tools`` the bit of each toolpath.
    """
    ways: dict[int, float] = {-1: 0.0}
    steps: list[dict[int, int]] = []
    last = 0
    unfinished: set[int] = set()
    for costs, halts in zip(candidates, halted, strict=True):
        if not costs:
            steps.append({})
            continue
        following: dict[int, float] = {}
        step: dict[int, int] = {}
        for index, fit in costs.items():
            total = {
                known: way + _between(known, index) + _UNFINISHED * (known in unfinished and known != index)
                + _OTHER_BIT * (known >= 0 and halts == last and tools[known] != tools[index])
                for known, way in ways.items()
            }  # fmt: skip
            before = min(total, key=lambda known: (total[known], known))
            following[index] = total[before] + fit.cost
            step[index] = before
        ways, last = following, halts
        unfinished = {index for index, fit in costs.items() if not fit.ends}
        steps.append(step)
    at = min(
        ways, key=lambda known: (ways[known] + _between(known, len(tools)) + _UNFINISHED * (known in unfinished), known)
    )
    chosen: list[int] = []
    for step in reversed(steps):
        if not step:
            chosen.append(-1)
            continue
        chosen.append(at)
        at = step[at]
    return chosen[::-1]


def _between(before: int, after: int) -> float:
    if after < before:
        return _BACK + _SKIPPED * math.log1p(before - after)
    return _SKIPPED * max(after - before - 1, 0)
