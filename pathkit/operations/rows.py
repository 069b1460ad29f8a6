"""Parallel lines over a region, joined into few zigzags.

Lines end exactly on the rings. A join is the stretch of a ring between two ends, or a straight line through the region
where that saves lifting the bit, so nothing ever leaves the region. All of it is worked out in a frame that is turned
so that the lines run along x.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.curves.regions import Region, backward, rotated
from pathkit.errors import InputError
from pathkit.geometry import spans as geometry
from pathkit.model.curve import Curve
from pathkit.tolerances import INSIDE_EXTREME, OFF_VERTEX, QUOTIENT_ROUNDING, SHAPE_CHORDS

Floats = NDArray[np.float64]

MOST_ROWS = 10_000
"""Lines over one region, at most."""

_REACH = 20.0  # steps: a longer way between two zigzags costs more time than lifting the bit


class _End(NamedTuple):
    """One end of a row: where it lies on its ring."""

    row: int
    x: float
    ring: int
    station: float


def zigzags(region: Region, step: float, angle: float) -> tuple[Curve, ...]:
    """Lines at ``angle`` degrees from x, at most ``step`` mm apart, over each connected piece of the region.

    Open curves; where joins run along the region's boundary its arcs are kept exact.
    """
    curves: list[Curve] = []
    for piece in region.components():
        level = [rotated(ring, -angle) for ring in piece.rings]
        chains = [rotated(chain, angle) for chain in _over(level, step)]
        curves += _linked(chains, piece, _REACH * step) if len(chains) > 1 else chains
    _refuse_leaving(curves, region, angle)
    return tuple(curves)


def _linked(chains: list[Curve], region: Region, reach: float) -> list[Curve]:
    """Zigzags joined end to end, each to the nearest that a straight line of at most ``reach`` mm within the region
    leads to."""
    import shapely

    allowed = region.area.buffer(3.0 * SHAPE_CHORDS)
    shapely.prepare(allowed)
    left = list(chains)
    linked: list[Curve] = []
    while left:
        run = [left.pop(0)]
        while left:
            here = run[-1].points[-1]
            ends = np.array([end for chain in left for end in (chain.points[0], chain.points[-1])])
            away = np.hypot(*(ends - here).T)
            options = [int(k) for k in np.argsort(away, kind="stable") if away[k] <= reach]
            found = next((k for k in options if allowed.covers(shapely.LineString([here, ends[k]]))), None)
            if found is None:
                break
            chain = left.pop(found // 2)
            run.append(backward(chain) if found % 2 else chain)
        sweeps = [sweep for chain in run for sweep in (*chain.sweeps, 0.0)][:-1]
        linked.append(Curve(np.concatenate([chain.points for chain in run]), sweeps))
    return linked


def _refuse_leaving(curves: list[Curve], region: Region, angle: float) -> None:
    """The even-odd rule fails where a ring touches itself, and a line outside the region would gouge the wall."""
    import shapely

    strokes = [(curve.spans.start + curve.spans.end)[curve.spans.sweep == 0.0] / 2.0 for curve in curves]
    middles = np.concatenate(strokes) if strokes else np.zeros((0, 2))
    area = region.area
    shapely.prepare(area)
    # Joins run along the edge itself, so a middle may lie on it.
    if not np.all(shapely.dwithin(area, shapely.points(middles), 3.0 * SHAPE_CHORDS)):
        raise InputError(
            f"the shape cannot be cleared by rows at {angle:g} degrees, because its edge touches itself; change its"
            ' angle, say style = "rings", or mend the drawing'
        )


def _over(rings: list[Curve], step: float) -> list[Curve]:
    rows = _rows(rings, step)
    ends = [end for k, ring in enumerate(rings) for end in _ends_on(ring, k, rows)]
    ends.sort(key=lambda end: (end.row, end.x))
    # By the even-odd rule, ends 2k and 2k + 1 are the two ends of one line within the region.
    onward, back = _neighbours(ends)
    fresh = [True] * (len(ends) // 2)
    chains: list[Curve] = []
    for first in range(len(fresh)):
        if fresh[first]:
            walks = [_walk(begin, ends, onward, back, fresh) for begin in (2 * first, 2 * first + 1)]
            longest = max(walks, key=len)
            for end in longest:
                fresh[end // 2] = False
            chains.append(_curve(longest, ends, rings, onward))
    return chains


def _rows(rings: list[Curve], step: float) -> Floats:
    """y (mm) of the lines: evenly spaced, none through a vertex or the crest of an arc."""
    boxes = np.array([ring.bounds for ring in rings])
    low, high = float(boxes[:, 1].min()), float(boxes[:, 3].max())
    edge = min(INSIDE_EXTREME, (high - low) / 4.0)
    between = (high - low - 2.0 * edge) / step
    if between > MOST_ROWS:
        raise InputError(
            f"lines {step:g} mm apart over {high - low:g} mm would be more than {MOST_ROWS}; take a larger stepover"
            " (0.4 is usual), or a wider bit"
        )
    count = max(1, math.ceil(between - QUOTIENT_ROUNDING))
    rows = np.linspace(low + edge, high - edge, count + 1)
    critical = np.sort(np.concatenate([_critical(ring) for ring in rings]))
    for k in range(len(rows)):
        while np.abs(critical - rows[k]).min() < OFF_VERTEX / 2.0:
            rows[k] += OFF_VERTEX
    return rows


def _critical(ring: Curve) -> Floats:
    """y (mm) at which a line along x meets the ring other than by crossing one span: vertices and crests of arcs."""
    spans = ring.spans
    arcs = spans.sweep != 0.0
    radius = spans.length[arcs] / np.abs(spans.sweep[arcs])
    centre = spans.centre[arcs][:, 1]
    return np.concatenate([ring.points[:, 1], centre - radius, centre + radius])


def _ends_on(ring: Curve, index: int, rows: Floats) -> list[_End]:
    spans = ring.spans
    found: list[_End] = []
    for k in range(len(spans.sweep)):
        a, b, sweep = spans.start[k], spans.end[k], float(spans.sweep[k])
        if sweep == 0.0:
            for row in np.flatnonzero((a[1] < rows) != (b[1] < rows)):
                share = (rows[row] - a[1]) / (b[1] - a[1])
                place = spans.station[k] + share * spans.length[k]
                found.append(_End(int(row), float(a[0] + share * (b[0] - a[0])), index, float(place)))
            continue
        centre, radius = spans.centre[k], spans.length[k] / abs(sweep)
        begin = math.atan2(a[1] - centre[1], a[0] - centre[0])
        for row in np.flatnonzero(np.abs(rows - centre[1]) < radius):
            rise = rows[row] - centre[1]
            half = math.sqrt(radius**2 - rise**2)
            for x in (-half, half):
                ahead = (math.atan2(rise, x) - begin) * math.copysign(1.0, sweep) % (2.0 * math.pi)
                if ahead <= abs(sweep):
                    found.append(_End(int(row), float(centre[0] + x), index, float(spans.station[k] + ahead * radius)))
    return found


def _neighbours(ends: list[_End]) -> tuple[list[int], list[int]]:
    """For each end, the next one along its ring and the one before."""
    onward, back = [0] * len(ends), [0] * len(ends)
    by_ring: dict[int, list[int]] = {}
    for k in sorted(range(len(ends)), key=lambda k: ends[k].station):
        by_ring.setdefault(ends[k].ring, []).append(k)
    for order in by_ring.values():
        for here, there in zip(order, order[1:] + order[:1], strict=True):
            onward[here], back[there] = there, here
    return onward, back


def _walk(begin: int, ends: list[_End], onward: list[int], back: list[int], fresh: list[bool]) -> list[int]:
    """Ends in the order in which a zigzag from ``begin`` meets them, two for each line.

    At the end of a line it goes along the ring to a line not yet taken: preferably to the next row in the
    direction it has been going, else to its own row again (round a bump of the boundary), else to the row before.
    """
    taken: set[int] = set()
    order: list[int] = []
    here, rise = begin, 1
    while True:
        taken.add(here // 2)
        order += [here, here ^ 1]
        here ^= 1
        row = ends[here].row
        options = [k for k in (onward[here], back[here]) if fresh[k // 2] and k // 2 not in taken]
        if not options:
            return order
        following = max(options, key=lambda k: (ends[k].row - row) * rise)
        rise = 1 if ends[following].row >= row else -1
        here = following


def _curve(order: list[int], ends: list[_End], rings: list[Curve], onward: list[int]) -> Curve:
    points: list[Floats] = []
    sweeps: list[float] = []
    for k in range(0, len(order), 2):
        first, last = ends[order[k]], ends[order[k + 1]]
        points.append(rings[first.ring].at(first.station))
        sweeps.append(0.0)
        if k + 2 == len(order):
            points.append(rings[last.ring].at(last.station))
            break
        following = ends[order[k + 2]]
        link = _along(rings[last.ring], last.station, following.station, forward=onward[order[k + 1]] == order[k + 2])
        points += list(link.start)
        sweeps += list(link.sweep)
    return Curve(points, sweeps)


def _along(ring: Curve, first: float, last: float, *, forward: bool) -> geometry.Spans:
    """The stretch of the ring between two stations, forward or backward round it."""
    if forward:
        return geometry.between(ring.spans, first, last if last > first else last + ring.length)
    stretch = geometry.between(ring.spans, last, first if first > last else first + ring.length)
    return geometry.turned_round(stretch)
