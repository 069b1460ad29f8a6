"""Which stretch of a file cuts which toolpath: found by place, in the order of the job.

A *stretch* lies between two moves over the board. It may belong to any toolpath whose ground the bit does not leave in
it. Of all ways to give these candidates to the stretches the cheapest is taken (dynamic programming): in the job's
order, each toolpath at least once, and each stretch as near as possible to its curve.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.model.job import Job
from pathkit.model.toolpath import Helix, Toolpath
from pathkit.motion.program import RAPID, Pause, Program, ToolChange
from pathkit.proof.material.bits import bits_by_events
from pathkit.proof.material.cross_sections import line_of
from pathkit.proof.material.near import Near
from pathkit.proof.material.segments import segments_of
from pathkit.tolerances import BESIDE_CURVE, CURVE_CHORDS, HEADING_STEP, STRETCH_CHORDS

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
    in which the bit's centre may be: on the toolpath's own ground, round a hole's middle for a helix. ``near``
    holds places against the lines, by the toolpaths' numbers.
    """

    def __init__(self, job: Job) -> None:
        import shapely

        self.toolpaths = job.toolpaths
        self.lines: NDArray[Any] = np.array([line_of(path.curve, CURVE_CHORDS) for path in job.toolpaths], dtype=object)
        shapely.prepare(self.lines)
        self.reach = np.array([_reach_of(path) for path in job.toolpaths])
        self.tree = shapely.STRtree(self.lines)
        self._lines = _pieces(self.lines)
        self.near = Near(*self._lines)

    def heading(self, places: Array, which: NDArray[np.int32]) -> Array:
        """(k, 2) of length 1: which way the curves run at places, over `HEADING_STEP` mm before and after; ``which``
        segment of them is nearest (`Near.held`)."""
        start, end, owner = self._lines
        length = np.hypot(*(end - start)[:, :2].T)
        station = np.concatenate([[0.0], np.cumsum(length)])
        way = (end - start)[which, :2] / np.maximum(length[which], np.finfo(float).tiny)[:, None]
        at = station[which] + np.clip(((places - start[which, :2]) * way).sum(axis=1), 0.0, length[which])
        first = np.searchsorted(owner, owner[which])
        last = np.searchsorted(owner, owner[which], side="right") - 1

        def place(at: Array) -> Array:
            k = np.clip(np.searchsorted(station, at, side="right") - 1, first, last)
            share = np.clip((at - station[k]) / np.maximum(length[k], np.finfo(float).tiny), 0.0, 1.0)
            found: Array = start[k, :2] + share[:, None] * (end - start)[k, :2]
            return found

        chord = place(at + HEADING_STEP) - place(at - HEADING_STEP)
        chord /= np.maximum(np.hypot(*chord.T), np.finfo(float).tiny)[:, None]
        return chord


def _pieces(lines: NDArray[Any]) -> tuple[Array, Array, NDArray[np.int32]]:
    """The segments of all lines: start, end, and which line they are of. A point is a segment without length."""
    import shapely

    points, of = shapely.get_coordinates(lines, return_index=True)
    points = np.column_stack([points, np.zeros(len(points))])
    count = np.bincount(of, minlength=len(lines))
    goes_on = np.concatenate([of[1:] == of[:-1], [False]]) | (count[of] == 1)
    begin = np.flatnonzero(goes_on)
    return points[begin], points[begin + (count[of[begin]] > 1)], of[begin].astype(np.int32)


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
    for stretch, costs in zip(stretches, _candidates(bench, ground, stretches), strict=True):
        bit = int(bits[stretch.first])
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


def _candidates(bench: Program, ground: Ground, stretches: list[Stretch]) -> list[dict[int, _Fit]]:
    """For each stretch, how well it suits each toolpath on whose ground all of it lies."""
    rows = np.concatenate([np.arange(first, last) for first, last in stretches] or [np.zeros(0, np.int64)])
    segments = segments_of(bench, STRETCH_CHORDS, rows[bench.kind[rows] != RAPID])
    start, end = segments.start[:, :2], segments.end[:, :2]
    middle = (start + end) / 2.0
    firsts, lasts = (np.searchsorted(segments.row, rows) for rows in np.array(stretches, np.int64).reshape(-1, 2).T)
    looked_at: list[Array] = []
    for first, last in zip(firsts, lasts, strict=True):
        places = np.concatenate([start[first:last], middle[first:last], end[max(last - 1, first) : last]])
        looked_at.append(places[_sample(len(places))])
    begins = np.cumsum([0, *map(len, looked_at)])
    of, toolpath, apart = ground.near.all_near(np.concatenate([np.zeros((0, 2)), *looked_at]), begins, ground.reach)
    found: list[dict[int, _Fit]] = [{} for _ in stretches]
    for g, index, mean in zip(of.tolist(), toolpath.tolist(), apart.tolist(), strict=True):
        lowest = float(segments.end[firsts[g] : lasts[g], 2].min())
        above = lowest - ground.toolpaths[index].lowest
        cost = mean + (_TOO_DEEP if above < -BESIDE_CURVE else 0.001 * abs(above))
        found[g][index] = _Fit(cost, above <= BESIDE_CURVE)
    return found


@cache
def _sample(count: int) -> NDArray[np.int64]:
    """Which of so many places are looked at."""
    return np.unique(np.linspace(0, count - 1, SAMPLES).astype(np.int64)) if count else np.zeros(0, np.int64)


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
