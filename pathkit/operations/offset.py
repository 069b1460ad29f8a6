"""Rings moved sideways by a fixed distance, arcs kept exact.

Every span is shifted along its normal (an arc keeps its centre), outward corners get an arc about the corner, the
pieces are cut where they cross, and a piece is kept if and only if it lies no nearer to the original than the distance:
the definition of an offset. The result is compared with shapely's buffer. If the two disagree, or if the pieces do not
close up, shapely's flattened ring is used instead.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from pathkit.curves.intersections import Chain, Floats, Ints, beyond, crossings
from pathkit.curves.regions import area_of, backward, near, rings_of
from pathkit.geometry import spans as geometry
from pathkit.model.curve import Curve
from pathkit.tolerances import (
    ANGLE_ROUNDING,
    OFFSET_AGREES,
    ON_THE_SPOT,
    REPEATED,
    RING_GAP,
    ROUNDING,
    SAME_HEADING,
    SHAPE_CHORDS,
    VANISHING,
)

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

_MOST = 4000  # spans; for more, the flattened result will do


def inset(rings: Sequence[Curve], by: float) -> tuple[Curve, ...]:
    """The rings of a region (it lies to their left) moved into it by ``by`` mm; negative moves out of it.

    The result may be several rings, or none. Rings keep their direction.
    """
    if by == 0.0:
        return tuple(rings)
    judged = buffered(area_of(rings), -by)
    exact = _exact(rings, by) if sum(len(ring.sweeps) for ring in rings) <= _MOST else None
    rings = exact if exact is not None and _agree(exact, judged) else rings_of(judged)
    return tuple(ring for ring in rings if ring.length > ON_THE_SPOT)


def swept_rings(line: Curve, by: float) -> tuple[Curve, ...]:
    """The rings (region to their left) of what a disc of radius ``by`` mm sweeps along an open or closed line."""
    from shapely.geometry import LineString

    there_and_back = (line, backward(line)) if line.closed else (_doubled(line),)
    vertices = line.flattened(SHAPE_CHORDS)
    vertices = np.concatenate([vertices, vertices[:1]]) if line.closed else vertices
    judged = buffered(LineString(vertices), by)
    exact = _exact(there_and_back, -by)
    if exact is not None and _agree(exact, judged):
        return exact
    return rings_of(judged)


def buffered(area: BaseGeometry, by: float) -> BaseGeometry:
    """Shapely's buffer with round corners, its chords within `SHAPE_CHORDS` mm of the arc."""
    quarter = geometry.chord_count(max(abs(by), SHAPE_CHORDS), math.pi / 2.0, SHAPE_CHORDS)
    return area.buffer(by, quad_segs=quarter)


def _exact(rings: Sequence[Curve], by: float) -> tuple[Curve, ...] | None:
    source = _joined([Chain(*(getattr(ring.spans, f) for f in Chain._fields)) for ring in rings])
    shifted = _joined([_shifted(ring, by) for ring in rings])
    if not len(shifted.sweep):
        return ()
    pieces = _cut(shifted, *_crossing_places(shifted))
    kept = beyond(source, pieces.at(np.full(len(pieces.sweep), 0.5)), abs(by) - ROUNDING)
    return _stitched(pieces.rows(kept))


def _shifted(ring: Curve, by: float) -> Chain:
    """Every span moved to its left by ``by``, and an arc about each corner that opens on that side."""
    spans = ring.spans
    straight = spans.sweep == 0.0
    chord = spans.end - spans.start
    ahead = chord / np.hypot(chord[:, 0], chord[:, 1])[:, None]
    first, last = _rotated(ahead, -spans.sweep / 2.0), _rotated(ahead, spans.sweep / 2.0)
    leaving, arriving = _left(first) * by, _left(last) * by
    radius = np.where(straight, np.inf, spans.length / np.where(straight, 1.0, np.abs(spans.sweep)))
    # An arc that would turn inside out is nearer than the distance everywhere, so it is left out.
    stays = straight | (radius - np.sign(spans.sweep) * by > REPEATED)
    parallel = Chain(spans.start + leaving, spans.end + arriving, spans.centre, spans.sweep).rows(stays)

    before = np.roll(np.arange(len(spans.sweep)), 1)
    cross = last[before, 0] * first[:, 1] - last[before, 1] * first[:, 0]
    turn = np.arctan2(cross, (last[before] * first).sum(axis=1))
    turn = np.where(np.abs(turn) > math.pi - ANGLE_ROUNDING, -math.copysign(math.pi, by), turn)
    opens = turn * by < -VANISHING
    corner = spans.start
    join = Chain(corner + arriving[before], corner + leaving, corner, turn).rows(opens)
    return _joined([parallel, join])


def _crossing_places(chain: Chain) -> tuple[Ints, Floats]:
    """Where the spans cross each other, by `crossings`; pairs that only meet smoothly at their ends are left out."""
    import shapely

    margin = RING_GAP
    corners = np.stack([chain.start, chain.end])
    low, high = corners.min(axis=0), corners.max(axis=0)
    arcs = chain.sweep != 0.0
    radius = np.nan_to_num(chain.radius)[:, None]
    centre = np.nan_to_num(chain.centre)
    low = np.where(arcs[:, None], centre - radius, low) - margin
    high = np.where(arcs[:, None], centre + radius, high) + margin
    boxes = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
    pairs = shapely.STRtree(boxes).query(boxes)
    first, second = pairs[0].astype(np.int64), pairs[1].astype(np.int64)
    first, second = first[first < second], second[first < second]
    smooth = _meet_smoothly(chain, first, second) | _meet_smoothly(chain, second, first)
    return crossings(chain, first[~smooth], second[~smooth], REPEATED)


def _meet_smoothly(chain: Chain, first: Ints, second: Ints) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Whether ``second`` goes on where ``first`` ends, with the same heading: such spans touch and never cross."""
    one, two = chain.rows(first), chain.rows(second)
    touch = np.abs(one.end - two.start).max(axis=1, initial=0.0) < RING_GAP
    leave, enter = _heading(one, 1.0), _heading(two, 0.0)
    return np.asarray(touch & (np.abs(leave - enter).max(axis=1, initial=0.0) < SAME_HEADING))


def _heading(chain: Chain, share: float) -> Floats:
    chord = chain.end - chain.start
    return _rotated(chord / np.hypot(chord[:, 0], chord[:, 1])[:, None], chain.sweep * (share - 0.5))


def _cut(chain: Chain, row: Ints, place: Floats) -> Chain:
    """The spans, each cut at its places (``row`` names the span of each)."""
    share = np.clip(chain.rows(row).share(place), 0.0, 1.0) if len(row) else np.zeros(0)
    count = len(chain.sweep)
    every = np.concatenate([np.arange(count), row, np.arange(count)])
    at = np.concatenate([np.zeros(count), share, np.ones(count)])
    order = np.lexsort((at, every))
    every, at = every[order], at[order]
    same = every[1:] == every[:-1]
    owner, low, high = every[:-1][same], at[:-1][same], at[1:][same]
    whole = chain.rows(owner)
    long = (high - low) * whole.length > REPEATED
    owner, low, high, whole = owner[long], low[long], high[long], whole.rows(long)
    # Ends are taken as they are, so that uncut spans stay exactly what they were.
    start = np.where((low == 0.0)[:, None], whole.start, whole.at(low))
    end = np.where((high == 1.0)[:, None], whole.end, whole.at(high))
    return Chain(start, end, whole.centre, whole.sweep * (high - low))


def _stitched(pieces: Chain) -> tuple[Curve, ...] | None:
    """Pieces put end to end into rings; None if they do not close up."""
    import shapely

    count = len(pieces.sweep)
    if count == 0:
        return ()
    starts = shapely.STRtree(np.asarray(shapely.points(pieces.start), dtype=object))
    (_, following), gap = starts.query_nearest(shapely.points(pieces.end), return_distance=True, all_matches=False)
    if gap.max() > RING_GAP or len(np.unique(following)) != count:
        return None
    rings: list[Curve] = []
    fresh = np.ones(count, dtype=bool)
    for begin in range(count):
        order = []
        at = begin
        while fresh[at]:
            fresh[at] = False
            order.append(at)
            at = int(following[at])
        if len(order) == 1:
            return None
        if order:
            rings.append(Curve(pieces.start[order], pieces.sweep[order], closed=True))
    return tuple(rings)


def _agree(exact: Sequence[Curve], judged: BaseGeometry) -> bool:
    """Whether the rings enclose what shapely found.

    They do if every vertex and every middle of a chord of either edge lies near the other edge, and the areas are the
    same. If only one of them has any area, it must be a sliver.
    """
    mine = area_of(exact)
    slack = OFFSET_AGREES * (mine.length + judged.length) + OFFSET_AGREES**2
    if abs(mine.area - judged.area) > slack:
        return False
    if mine.is_empty or judged.is_empty:
        return mine.buffer(-OFFSET_AGREES).is_empty and judged.buffer(-OFFSET_AGREES).is_empty
    return near(mine.boundary, judged.boundary, OFFSET_AGREES) and near(judged.boundary, mine.boundary, OFFSET_AGREES)


def _doubled(line: Curve) -> Curve:
    """An open line there and back again, as one closed curve."""
    back = backward(line)
    points = np.concatenate([line.points[:-1], back.points[:-1]])
    return Curve(points, np.concatenate([line.sweeps, back.sweeps]), closed=True)


def _joined(chains: Sequence[Chain]) -> Chain:
    return Chain(*(np.concatenate(columns) for columns in zip(*chains, strict=True)))


def _left(heading: Floats) -> Floats:
    return np.stack([-heading[:, 1], heading[:, 0]], axis=1)


def _rotated(heading: Floats, angle: Floats) -> Floats:
    cos, sin = np.cos(angle), np.sin(angle)
    return np.stack([cos * heading[:, 0] - sin * heading[:, 1], sin * heading[:, 0] + cos * heading[:, 1]], axis=1)
