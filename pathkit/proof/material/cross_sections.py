"""What the cuts of a file sweep at a height, as lines with the bit's width there: exact, without a grid."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from pathkit.model.curve import Curve
from pathkit.model.tool import Tool
from pathkit.motion.program import RAPID, Program
from pathkit.proof.material.bits import cone, width_at
from pathkit.proof.material.segments import Segments, parted, segments_of
from pathkit.tolerances import SLOPE_STEP, WALL_CHORDS

Array = NDArray[np.float64]

LONGEST = 64
"""Most segments of one line: short lines make an index of their places useful."""


@dataclass(frozen=True, eq=False)
class Level:
    """What is swept at one height ``z``. Line k has the half width ``radius[k]``; its segments come from rows from
    ``row[k]`` on.

    ``tool[k]`` is the index of its bit. ``first[k]`` and ``last[k]`` delimit its segments in ``segments``.
    """

    z: float
    lines: NDArray[Any]
    radius: Array
    tool: NDArray[np.int32]
    row: NDArray[np.int32]
    first: NDArray[np.int64]
    last: NDArray[np.int64]
    segments: Segments
    _swept: dict[tuple[int, float], Any] = field(default_factory=dict, repr=False)

    @cached_property
    def tree(self) -> Any:
        import shapely

        return shapely.STRtree(self.lines)

    def near(self, region: Any, depth: float = 0.0) -> NDArray[np.int64]:
        """Lines whose bit touches the region, and gets ``depth`` mm or more into it; ascending."""
        import shapely

        if not len(self.lines) or shapely.is_empty(region):
            return np.zeros(0, np.int64)
        reach = np.maximum(self.radius - depth, 0.0)
        widest = float(reach.max())
        found = np.sort(self.tree.query(region, predicate="dwithin", distance=widest))
        near = np.ones(len(found), np.bool_)
        # The query has answered for the widest bit. Prepared, the region is found near or far without the distance from
        # each of its edges.
        rest = np.flatnonzero(reach[found] < widest)
        shapely.prepare(region)
        near[rest] = shapely.dwithin(region, self.lines[found[rest]], reach[found[rest]])
        kept: NDArray[np.int64] = found[near]
        return kept

    def swept(self, lines: NDArray[np.int64], less: float = 0.0) -> Any:
        """The ground that these lines sweep with bits smaller by ``less`` mm; at most `WALL_CHORDS` inside the true
        shape."""
        missing = [int(k) for k in lines if (int(k), less) not in self._swept]
        for radius in {float(self.radius[k]) for k in missing}:
            some = [k for k in missing if self.radius[k] == radius]
            grounds = grown(self.lines[some], max(radius - less, 0.0))
            self._swept.update(zip(((k, less) for k in some), grounds, strict=True))
        return united([self._swept[int(k), less] for k in lines])

    def row_of(self, line: int, region: Any) -> int:
        """The row of this line that comes nearest to the region."""
        import shapely

        some = slice(int(self.first[line]), int(self.last[line]))
        pairs = np.stack([self.segments.start[some, :2], self.segments.end[some, :2]], axis=1)
        return int(self.segments.row[some][np.argmin(shapely.distance(shapely.linestrings(pairs), region))])


class Cuts:
    """The cutting moves of a program (bench frame) below ``top``, for questions about what they sweep at a height.

    ``bits`` (n,) index ``tools``; cuts by an unknown bit (−1) are left out, and `known` is then False.
    """

    def __init__(self, program: Program, tools: Sequence[Tool], bits: NDArray[np.int32], top: float) -> None:
        low = np.fmin(program.origins[:, 2], program.end[:, 2])
        cutting = (program.kind != RAPID) & (low < top)
        self.tools = tuple(tools)
        self.known = not bool((cutting & (bits < 0)).any())
        segments = segments_of(program, WALL_CHORDS, cutting & (bits >= 0))
        pointed = np.array([t.kind == "ball" or cone(t) > 0.0 for t in tools] or [False])
        self._segments = _split_by_height(segments, pointed[bits[segments.row]])
        self._bit = bits[self._segments.row]
        self._pointed = pointed[self._bit]
        self._levels: dict[float, Level] = {}

    def at(self, z: float) -> Level:
        """What is swept at height ``z``: by flat bits whose end is lower, and by others with their width there."""
        known = self._levels.get(z)
        if known is None:
            known = self._levels[z] = self._at(z)
        return known

    def _at(self, z: float) -> Level:
        start, end, row = self._segments
        radius = np.array([t.radius for t in self.tools])[self._bit] if self.tools else np.zeros(0)
        middle = (start[:, 2] + end[:, 2]) / 2.0
        for k in np.flatnonzero(self._pointed & (middle < z)):
            radius[k] = width_at(self.tools[self._bit[k]], z - float(middle[k]))
        low = np.minimum(start[:, 2], end[:, 2])
        keep = np.flatnonzero(np.where(self._pointed, middle < z, low <= z) & (radius > 0.0))
        begin, stop, bit = start[keep], end[keep], self._bit[keep]
        # Of a sloping move counts what is below the height.
        cross = np.flatnonzero(~self._pointed[keep] & (np.maximum(begin[:, 2], stop[:, 2]) > z))
        way = stop[cross] - begin[cross]
        falls = way[:, 2] < 0.0
        place = begin[cross] + way * np.clip((z - begin[cross, 2]) / way[:, 2], 0.0, 1.0)[:, None]
        begin[cross[falls]], stop[cross[~falls]] = place[falls], place[~falls]
        segments, radius = Segments(begin, stop, row[keep]), radius[keep]
        first = _first_times(segments, radius, bit)
        return _join_lines(z, segments.of(first), radius[first], bit[first])


def quarters(radius: float) -> int:
    """Number of chords of a quarter turn that stay within `WALL_CHORDS` of it: the height of a circular segment is
    r(1 − cos(θ/2)) (Machinery's Handbook, "Segments of Circles"; from memory)."""
    return max(2, math.ceil(math.pi / 4.0 / math.acos(1.0 - WALL_CHORDS / max(radius, WALL_CHORDS))))


def grown(region: Any, by: float) -> Any:
    """The region (shapely, or an array of such) with everything nearer than ``by`` mm; smaller if ``by`` is negative.

    At most `WALL_CHORDS` inside the true shape: shapely's default of a few chords a quarter turn misses 0.5 % of the
    radius.
    """
    import shapely

    whole = shapely.buffer(region, by, quad_segs=quarters(abs(by)))
    # GEOS (3.14) may lose what a line goes round, where that line comes back on itself: it is taken apart there.
    knotted = (shapely.get_dimensions(region) == 1) & ~shapely.is_simple(region)
    if not np.any(knotted):
        return whole
    if np.ndim(region) == 0:
        return _piecewise(region, by)
    for k in np.flatnonzero(knotted):
        whole[k] = _piecewise(region[k], by)
    return whole


def united(regions: Sequence[Any]) -> Any:
    """The union of regions (shapely). Those that lie apart, as most of many do, never meet: each cluster is united by
    itself."""
    import shapely

    return shapely.disjoint_subset_union_all(regions) if len(regions) else shapely.GeometryCollection()


def _piecewise(lines: Any, by: float) -> Any:
    """What a bit of radius ``by`` mm sweeps along lines, in pieces that do not come back on themselves."""
    import shapely

    left, simple = [*shapely.get_parts(lines)], []
    while left:
        line = left.pop()
        points = shapely.get_coordinates(line)
        if len(points) <= 2 or shapely.is_simple(line):
            simple.append(line)
        else:
            middle = len(points) // 2
            left += [shapely.linestrings(points[: middle + 1]), shapely.linestrings(points[middle:])]
    return united([*shapely.buffer(simple, by, quad_segs=quarters(by))])


def line_of(curve: Curve, chord: float) -> Any:
    """A curve in the plan (shapely): a line within ``chord`` mm of it, closed if the curve is, or its single point."""
    import shapely

    points = curve.flattened(chord)[:, :2]
    if len(points) == 1:
        return shapely.points(points[0])
    return shapely.linestrings(np.concatenate([points, points[:1]]) if curve.closed else points)


def _split_by_height(segments: Segments, pointed: NDArray[np.bool_]) -> Segments:
    """Sloping segments of pointed bits, split into steps of at most `SLOPE_STEP` mm of height."""
    fall = np.abs(segments.end[:, 2] - segments.start[:, 2])
    count = np.where(pointed, np.maximum(1, np.ceil(fall / SLOPE_STEP)), 1).astype(np.int64)
    if not (count > 1).any():
        return segments
    of, number = parted(count)
    step = number[:, None]
    start, way = segments.start[of], (segments.end - segments.start)[of]
    total = count[of, None]
    return Segments(start + way * (step / total), start + way * ((step + 1) / total), segments.row[of])


def _first_times(segments: Segments, radius: Array, bit: NDArray[np.int32]) -> NDArray[np.bool_]:
    """(m,) True where the plan of a segment is not that of one before it, run either way: the levels of a cut sweep the
    same ground, and one is enough to tell."""
    start, end = (np.ascontiguousarray(places[:, :2] + 0.0) for places in (segments.start, segments.end))
    from_start, from_end = (places.view(np.uint64) @ _SCATTER[:2] for places in (start, end))
    wide = np.ascontiguousarray(radius).view(np.uint64) * _SCATTER[2] + bit.astype(np.uint64) * _SCATTER[3]
    # Equal plans have equal numbers; of unlike ones with equal numbers none is left out.
    number = from_start * from_end + from_start + from_end + wide
    _, first, which = np.unique(number, return_index=True, return_inverse=True)
    one = first[which]
    same = _equal(start[one], start) & _equal(end[one], end)
    same |= _equal(start[one], end) & _equal(end[one], start)
    again: NDArray[np.bool_] = same & (radius[one] == radius) & (bit[one] == bit) & (one < np.arange(len(one)))
    return ~again


def _equal(these: Array, those: Array) -> NDArray[np.bool_]:
    """(m,) which places (m, 2 or more) are the same in the plan."""
    equal: NDArray[np.bool_] = (these[:, 0] == those[:, 0]) & (these[:, 1] == those[:, 1])
    return equal


_SCATTER: Final = np.array([0x9E3779B97F4A7C15, 0xC2B2AE3D27D4EB4F, 0x165667B19E3779F9, 0x27D4EB2F165667C5], np.uint64)
"""Odd numbers that spread what they are multiplied with over all 64 bits."""


def _join_lines(z: float, segments: Segments, radius: Array, bit: NDArray[np.int32]) -> Level:
    """Consecutive segments joined to lines, as long as bit and width are the same."""
    import shapely

    count = len(segments.row)
    none = np.zeros(0, np.int64)
    if count == 0:
        return Level(z, np.zeros(0, object), radius, bit, segments.row, none, none, segments)
    joined = _equal(segments.start[1:], segments.end[:-1])
    joined &= (radius[1:] == radius[:-1]) & (bit[1:] == bit[:-1])
    run = np.concatenate([[0], np.cumsum(~joined)])
    begins = np.flatnonzero(np.concatenate([[True], ~joined]))
    inside = np.arange(count) - begins[run]
    fresh = inside % LONGEST == 0
    first = np.flatnonzero(fresh)
    last = np.concatenate([first[1:], [count]])
    chain = np.cumsum(fresh) - 1
    # Each line is the starts of its segments and the end of its last segment.
    points = np.insert(segments.start[:, :2], last, segments.end[last - 1, :2], axis=0)
    owner = np.insert(chain, last, chain[last - 1])
    lines = np.asarray(shapely.linestrings(points, indices=owner), dtype=object)
    # GEOS (3.14) finds a line without length near no prepared geometry: a move straight down becomes a point.
    still = np.flatnonzero(shapely.length(lines) == 0.0)
    lines[still] = shapely.points(points[np.searchsorted(owner, still)])
    return Level(z, lines, radius[first], bit[first], segments.row[first], first, last, segments)
