"""Where toolpaths engrave, and so may cut into a part: which of a file's cuts stay within that."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pathkit.model.job import Job
from pathkit.proof.material.cross_sections import Level, grown, line_of, united
from pathkit.proof.material.near import Near
from pathkit.proof.material.segments import parted
from pathkit.tolerances import WALL, WALL_CHORDS

Array = NDArray[np.float64]
Numbers = NDArray[np.int64]


@dataclass(frozen=True)
class Marks:
    """Where toolpaths engrave: the plan (shapely) of each one's line, how far (mm) from it the part may be cut, the
    radius of its bit, and how deep (z, mm)."""

    lines: NDArray[Any]
    reach: Array
    radius: Array
    bottom: Array
    _tracks: dict[int, Any] = field(default_factory=dict, repr=False)

    @cached_property
    def boxes(self) -> Array:
        """(k, 4) bounding boxes of what each may cut."""
        import shapely

        out = self.reach[:, None] * np.array([-1.0, -1.0, 1.0, 1.0])
        boxes: Array = shapely.bounds(self.lines).reshape(-1, 4) + out
        return boxes

    @property
    def leeway(self) -> Array:
        """How far (mm) beside each line its bit's centre may run."""
        return self.reach - self.radius - WALL_CHORDS

    @cached_property
    def stretches(self) -> tuple[Array, Array, Numbers]:
        """(m, 2) where the straight stretches of all lines begin and end, and (m,) whose they are."""
        import shapely

        points, of = shapely.get_coordinates(self.lines, return_index=True)
        same = np.flatnonzero(of[1:] == of[:-1])
        return points[same], points[same + 1], of[same]

    @cached_property
    def near(self) -> Near:
        """What tells the stretch that is nearest to a place."""
        start, end, owner = self.stretches
        level = np.zeros((len(owner), 1))
        return Near(np.hstack([start, level]), np.hstack([end, level]), np.zeros(len(owner), np.int32))

    def at(self, z: float, plan: Any) -> Numbers:
        """Those that may be cut at height ``z``, and whose box has something in common with that of ``plan``."""
        return np.flatnonzero((self.bottom <= z) & self.over(plan))

    def over(self, plan: Any) -> NDArray[np.bool_]:
        """Those whose box has something in common with that of ``plan``."""
        left, front, right, back = plan.bounds
        near: NDArray[np.bool_] = (self.boxes[:, 0] < right) & (left < self.boxes[:, 2])
        near &= (self.boxes[:, 1] < back) & (front < self.boxes[:, 3])
        return near

    def within(self, level: Level, lines: Numbers, some: Numbers) -> NDArray[np.bool_]:
        """Whether all that the bit sweeps on each of these lines may be cut, by ``some`` of the marks alone."""
        import shapely

        found = self._along(level, lines, some)
        left = np.flatnonzero(~found)
        # Only those are looked at further whose box lies within that of a mark's track.
        around = self._track_boxes[some]
        boxes: Any = shapely.box(*around.T)
        line, mark = shapely.STRtree(boxes).query(level.lines[lines[left]])
        out, box = around[mark], shapely.bounds(level.lines[lines[left]])[line]
        fits = (out[:, 0] <= box[:, 0]) & (out[:, 1] <= box[:, 1]) & (out[:, 2] >= box[:, 2]) & (out[:, 3] >= box[:, 3])
        line, mark = left[line[fits]], some[mark[fits]]
        tracks = np.array([self._track(int(k)) for k in mark], dtype=object)
        inside = shapely.covers(tracks, level.lines[lines[line]])
        found[line[inside & (level.radius[lines[line]] <= self.radius[mark])]] = True
        return found

    @property
    def _track_boxes(self) -> Array:
        """(k, 4) bounding boxes of the tracks."""
        import shapely

        out = self.leeway[:, None] * np.array([-1.0, -1.0, 1.0, 1.0])
        boxes: Array = shapely.bounds(self.lines).reshape(-1, 4) + out
        return boxes

    def _track(self, mark: int) -> Any:
        """What lies so near to a line that its bit, there, stays within what may be cut (shapely)."""
        import shapely

        if mark not in self._tracks:
            self._tracks[mark] = grown(self.lines[mark], self.leeway[mark])
            shapely.prepare(self._tracks[mark])
        return self._tracks[mark]

    def _along(self, level: Level, lines: Numbers, some: Numbers) -> NDArray[np.bool_]:
        """`within` of lines that follow one of ``some`` marks stretch by stretch, as most do; of others it says no."""
        begin, stop, owner = self.stretches
        if not len(lines) or not len(owner):
            return np.zeros(len(lines), np.bool_)
        count = level.last[lines] - level.first[lines]
        of, number = parted(count)
        row = level.first[lines][of] + number
        start, end = level.segments.start[row, :2], level.segments.end[row, :2]
        _, _, nearest = self.near.held((start + end) / 2.0, 0, float(self.leeway.max()))
        mark = owner[nearest]
        listed = np.zeros(len(self.lines), np.bool_)
        listed[some] = True
        # No place of a move is further from a stretch than the further of its two ends: that distance is convex. The
        # outline of a track may lie inside of it by its chords.
        least = self.leeway[mark] - WALL_CHORDS
        held = (nearest >= 0) & listed[mark] & (level.radius[lines][of] <= self.radius[mark])
        held &= _apart(start, begin[nearest], stop[nearest]) <= least
        held &= _apart(end, begin[nearest], stop[nearest]) <= least
        first = np.cumsum(count) - count
        one = np.minimum.reduceat(mark, first) == np.maximum.reduceat(mark, first)
        along: NDArray[np.bool_] = one & np.logical_and.reduceat(held, first)
        return along

    def beside(self, level: Level, lines: Numbers, some: Numbers) -> Numbers:
        """Those of ``some`` whose cuts may come as near to one of these lines as its bit does."""
        import shapely

        widest = float(self.reach[some].max() + level.radius.max(initial=0.0)) + WALL
        tree = shapely.STRtree(self.lines[some])
        near = tree.query(level.lines[lines], predicate="dwithin", distance=widest)[1]
        beside: Numbers = some[np.unique(near)]
        return beside

    def plan(self, some: Numbers) -> Any:
        """The plan (shapely) of what some of them may cut."""
        return united([grown(self.lines[k], self.reach[k]) for k in some])


def marks_of(job: Job, slack: float) -> Marks:
    """The marks of a job; walls may be off by ``slack`` mm."""
    import shapely

    engraved = [path for path in job.toolpaths if path.role == "engrave" and not path.curve.is_point]
    lines = np.empty(len(engraved), dtype=object)
    lines[:] = [line_of(path.curve, WALL_CHORDS) for path in engraved]
    shapely.prepare(lines)
    radius = np.array([path.tool.radius for path in engraved])
    return Marks(lines, radius + slack + WALL_CHORDS, radius, np.array([path.lowest for path in engraved]))


def _apart(place: Array, start: Array, end: Array) -> Array:
    """(k,) how far (mm) each place (k, 2) is from a straight stretch."""
    way, back = end - start, place - start
    square = np.maximum(way[:, 0] ** 2 + way[:, 1] ** 2, np.finfo(float).tiny)
    share = np.clip((back[:, 0] * way[:, 0] + back[:, 1] * way[:, 1]) / square, 0.0, 1.0)
    apart: Array = np.hypot(back[:, 0] - share * way[:, 0], back[:, 1] - share * way[:, 1])
    return apart
