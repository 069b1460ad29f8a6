"""Where tabs may stand on a contour, and where they stand best.

They keep clear of corners, of the place where the cut begins, and of all that other cuts and leads sweep. Of what is
left, wide places are better than thin fingers, edges along the grain are better than end grain (a chisel cuts a tab off
along the fibres, and tears it off across them), and places on the convex hull are easier to reach than hollows. All of
this is common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.curves.alike import CORNER, lap_of, loop_of, nearest_station
from pathkit.curves.regions import pieces_of, swept_by
from pathkit.geometry.spans import between, corner_stations, flatten
from pathkit.model.curve import Curve
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Toolpath
from pathkit.passes.start_points import entry_length
from pathkit.tolerances import BEHIND_PLACE, COARSE_CHORDS, ONE_HEADING, ROUNDING, SAME_PLACE

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

PROBES: Final = 48
MOST_PLACES: Final = 1500
"""How many places are tried on each stretch, and about how many in all."""

WIDTHS: Final = (3.0, 2.0, 1.5, 1.0, 0.5)
"""Widths of the wood behind a tab that are distinguished, in widths of the tab; wider than the first is no better."""

NARROW: Final = 2.0
END_GRAIN: Final = 0.1
HIDDEN: Final = 0.05
"""Costs of a place, in lengths of the contour: for wood behind it that is thin compared with the widest there is, for
end grain, and for a hollow of the outline."""


QUARTER: Final = 0.75
"""Share of a closed contour that may lie without a tab where there are several: more, and a part turns about them.
Common practice, no source."""


def cuts_beside(path: Toolpath, of_part: Sequence[Toolpath], top: float) -> BaseGeometry:
    """What other cuts ``of_part`` sweep below z = ``top``, where a tab of that height must not stand."""
    import shapely

    others = [other for other in of_part if other is not path and other.lowest < top]
    box = shapely.box(*path.curve.bounds)
    near = [o for o in others if shapely.dwithin(box, shapely.box(*o.curve.bounds), path.tool.radius + o.tool.radius)]
    return shapely.union_all([swept_by(other) for other in near])


class Place(NamedTuple):
    """A station where a tab could stand, mm, and its cost (less is better)."""

    at: float
    cost: float


def places_on(path: Toolpath, stock: Stock, width: float, beside: BaseGeometry) -> list[Place]:
    """Stations with room for a tab ``width`` mm wide, clear of corners, of the entry, of leads and of what is swept
    ``beside`` it (see `cuts_beside`)."""
    curve, clear = path.curve, path.tool.radius
    gap = width + path.tool.diameter
    # A tab on a bend costs a quarter of the contour: straight stretches win unless they all lie on one side.
    kinds = ((_straights(curve), 0.0), (_between_corners(curve), curve.length / 4.0))
    roomy = [(low, high, cost) for stretches, cost in kinds for low, high in stretches if high - low >= gap + 2 * clear]
    found: list[Place] = []
    lap = _single_run(curve)
    for low, high, handicap in roomy:
        reach = high - low - gap - 2.0 * clear
        shares = np.linspace(-0.5, 0.5, min(PROBES, max(4, MOST_PLACES // len(roomy))) + 1)
        stations = (low + high) / 2.0 + shares * reach
        halves = _half_gaps(curve, stations, gap)
        has_room = (stations - halves >= low + clear - ROUNDING) & (stations + halves <= high - clear + ROUNDING)
        for share, at, half in zip(*(each[has_room].tolist() for each in (shares, stations, halves)), strict=True):
            at = at % curve.length if curve.closed else at
            if _clear_of_entry(path, at, half, clear, stock, lap):
                # A tab is easiest to reach with a chisel in the middle of a long stretch.
                found.append(Place(at, handicap + 0.1 * abs(share) * reach - 0.01 * (high - low)))
    return _weighed(path, stock, width, _uncut(path, width, found, beside, lap))


def suiting(rough: Toolpath, lap: Toolpath, places: list[Place], stock: Stock, width: float) -> list[Place]:
    """The places on ``lap`` that also keep clear of the start of ``rough``, whose allowance the lap takes off."""
    if rough is lap:
        return places
    clear, gap, run = rough.tool.radius, width + rough.tool.diameter, _single_run(rough.curve)
    feet = lap.curve.along(np.array([place.at for place in places])) if places else ()
    stations = np.array([nearest_station(rough.curve, foot) for foot in feet])
    halves = _half_gaps(rough.curve, stations, gap)
    return [
        place
        for place, at, half in zip(places, stations.tolist(), halves.tolist(), strict=True)
        if not math.isnan(half) and _clear_of_entry(rough, at, half, clear, stock, run)
    ]


def _uncut(
    path: Toolpath, width: float, places: list[Place], beside: BaseGeometry, lap: tuple[float, float]
) -> list[Place]:
    """Places whose tab nothing else cuts: neither what lies beside it nor the cut's own leads."""
    import shapely

    curve, radius = path.curve, path.tool.radius
    leads = [between(curve.spans, low, high) for low, high in ((0.0, lap[0]), (lap[1], curve.length))
             if not curve.closed and high - low > ROUNDING]  # fmt: skip
    lines = [flatten(np.vstack([s.start, s.end[-1:]])[:, :2], s.sweep, False, COARSE_CHORDS) for s in leads]
    swept = shapely.union_all([beside, *(shapely.LineString(line).buffer(radius) for line in lines)])
    if swept.is_empty or not places:
        return places
    shapely.prepare(swept)
    shares = np.linspace(-0.5, 0.5, 5)
    stations = np.array([place.at for place in places])[:, None] + shares * width
    stubs = shapely.linestrings(curve.along(stations.ravel())[:, :2].reshape(*stations.shape, 2))
    cut = np.atleast_1d(shapely.dwithin(stubs, swept, radius))
    return [place for place, lost in zip(places, cut, strict=True) if not lost]


def _weighed(path: Toolpath, stock: Stock, width: float, places: list[Place]) -> list[Place]:
    """The places, at a higher cost for thin wood behind them, for end grain, and where they are hard to reach."""
    import shapely

    piece = _wood_within(path)
    if piece is None or not places:
        return places
    radius, length = path.tool.radius, path.curve.length
    stations = np.array([place.at for place in places])
    feet = shapely.points(path.curve.along(stations))
    behind = np.full(len(places), 0.0)
    for wide in sorted(WIDTHS):
        half = wide * width / 2.0 - 0.01
        behind[shapely.dwithin(feet, piece.buffer(-half).buffer(half), radius + BEHIND_PLACE)] = wide
    ahead = path.curve.along(stations + 0.05) - path.curve.along(stations - 0.05)
    off = np.arctan2(ahead[:, 1], ahead[:, 0]) - math.radians(stock.grain)
    hidden = ~shapely.dwithin(feet, shapely.boundary(shapely.convex_hull(piece)), radius + 1.0)
    thin = 1.0 - behind / max(float(behind.max()), WIDTHS[-1])
    cost = length * (NARROW * thin + END_GRAIN * np.sin(off) ** 2 + HIDDEN * hidden)
    return [Place(place.at, place.cost + float(more)) for place, more in zip(places, cost, strict=True)]


def _wood_within(path: Toolpath) -> BaseGeometry | None:
    """What the bit leaves within a contour (shapely); None for a cut that goes round nothing."""
    import shapely

    loop = loop_of(path.curve)
    points = () if loop is None else loop.flattened(COARSE_CHORDS)[:, :2]
    return None if len(points) < 3 else shapely.make_valid(shapely.Polygon(points)).buffer(-path.tool.radius)


def beside_pieces(path: Toolpath, places: list[Place]) -> list[list[Place]]:
    """The places beside each piece that the bit leaves within a contour; all of them together where that is one."""
    import shapely

    wood, radius = _wood_within(path), path.tool.radius
    pieces = [] if wood is None else pieces_of(wood)
    if len(pieces) < 2:
        return [places]
    feet = [shapely.Point(path.curve.at(place.at)[:2]) for place in places]
    return [
        [place for place, foot in zip(places, feet, strict=True) if shapely.dwithin(foot, piece, radius + BEHIND_PLACE)]
        for piece in pieces
    ]


def spread(places: Sequence[Place], count: int, curve: Curve, apart: float) -> tuple[float, ...] | None:
    """As `evenly`, but never all on one quarter of a closed contour: rather on worse places, and rather none."""
    for weight in (1.0, 0.1, 0.0):
        chosen = evenly([Place(place.at, weight * place.cost) for place in places], count, curve, apart)
        if chosen is None or count == 1 or not curve.closed:
            return chosen
        if max(b - a for a, b in pairwise((*chosen, chosen[0] + curve.length))) <= QUARTER * curve.length:
            return chosen
    return None


def evenly(places: Sequence[Place], count: int, curve: Curve, apart: float) -> tuple[float, ...] | None:
    """Stations of ``count`` places, as evenly spread along the curve as possible and at least ``apart`` mm apart.

    None if there is no such choice.
    """
    if not places:
        return None
    length = curve.length
    at = np.array([place.at for place in places])
    cost = np.array([place.cost for place in places])
    # Evenly round a closed contour. Nothing holds the ends of an open one: half a step is best left at each.
    step = length / count
    # Each row begins at another place.
    rows = np.arange(len(places))
    chosen = rows[:, None]
    total = cost if curve.closed else cost + np.abs(at - step / 2.0)
    between_places = _distance(at, at[:, None], length, curve.closed)
    nearest = between_places
    for k in range(1, count):
        deviation = _distance(at, at[rows, None] + k * step, length, curve.closed)
        score = np.where(nearest < apart, np.inf, deviation + cost)
        pick = np.argmin(score, axis=1)
        least = score[np.arange(len(rows)), pick]
        found = np.isfinite(least)
        rows, pick = rows[found], pick[found]
        chosen = np.column_stack([chosen[found], pick])
        total = total[found] + least[found]
        nearest = np.minimum(nearest[found], between_places[pick])
    best: tuple[float, tuple[float, ...]] | None = None
    for each, whole in zip(chosen, total.tolist(), strict=True):
        if best is None or whole < best[0] - ROUNDING:
            best = (whole, tuple(sorted(at[each].tolist())))
    return best[1] if best else None


def _distance(
    a: NDArray[np.float64], b: NDArray[np.float64] | float, length: float, closed: bool
) -> NDArray[np.float64]:
    apart = np.abs(a - b)
    if closed:
        apart = apart % length
        apart = np.minimum(apart, length - apart)
    distance: NDArray[np.float64] = apart
    return distance


def _straights(curve: Curve) -> list[tuple[float, float]]:
    """Stations (low, high) of straight stretches; on a closed curve one may run past the end."""
    spans = curve.spans
    bends = set(np.flatnonzero(spans.sweep != 0.0).tolist())
    turns = corner_stations(spans, curve.closed, ONE_HEADING)
    pieces: list[tuple[float, float]] = []
    for index in range(len(spans.length)):
        if index in bends:
            continue
        low, high = float(spans.station[index]), float(spans.station[index + 1])
        joins = pieces and abs(pieces[-1][1] - low) < ROUNDING and not _is_among(turns, low)
        if joins:
            pieces[-1] = (pieces[-1][0], high)
        else:
            pieces.append((low, high))
    return _joined_round(pieces, curve, turns)


def _between_corners(curve: Curve) -> list[tuple[float, float]]:
    """Stations (low, high) of stretches without a corner, straight or bent."""
    corners = sorted(corner_stations(curve.spans, curve.closed, CORNER).tolist())
    length = curve.length
    if not curve.closed:
        return list(zip([0.0, *corners], [*corners, length], strict=True))
    if not corners:
        # No corner at all: a tab may stand anywhere, so the stretch is twice the curve, to have room for any gap.
        return [(0.0, 2.0 * length)]
    return list(zip(corners, [*corners[1:], corners[0] + length], strict=True))


def _joined_round(
    pieces: list[tuple[float, float]], curve: Curve, turns: NDArray[np.float64]
) -> list[tuple[float, float]]:
    """The last and the first piece of a closed curve as one, where the first vertex lies within a straight stretch."""
    if len(pieces) < 2 or not curve.closed or _is_among(turns, 0.0):
        return pieces
    (_, first_high), (last_low, last_high) = pieces[0], pieces[-1]
    if pieces[0][0] > ROUNDING or abs(last_high - curve.length) > ROUNDING:
        return pieces
    return [*pieces[1:-1], (last_low, curve.length + first_high)]


def _is_among(stations: NDArray[np.float64], station: float) -> bool:
    return bool(np.any(np.abs(stations - station) < ROUNDING))


def _half_gaps(curve: Curve, at: NDArray[np.float64], gap: float) -> NDArray[np.float64]:
    """For each of the stations ``at`` (k,) half the length along the curve whose ends lie ``gap`` mm apart in a
    straight line (k,); NaN where there is no room.

    On a bent stretch the gap along the curve is longer than that straight distance.
    """
    found = np.full(len(at), np.nan)
    left = np.arange(len(at))
    half = np.full(len(at), gap / 2.0)
    for _ in range(100):
        room = 2.0 * half < curve.length
        if not curve.closed:
            room &= (at[left] - half >= 0.0) & (at[left] + half <= curve.length)
        left, half = left[room], half[room]
        if not len(left):
            break
        ahead = curve.along(at[left] + half) - curve.along(at[left] - half)
        lacking = gap - np.hypot(ahead[:, 0], ahead[:, 1])
        done = lacking <= SAME_PLACE
        found[left[done]] = half[done]
        left, half = left[~done], (half + lacking / 2.0)[~done]
    return found


def _single_run(curve: Curve) -> tuple[float, float]:
    """Stations (low, high) of the stretch of an open curve where tabs hold: neither its leads, which lie in waste, nor
    where it runs twice, since the second run would cut them."""
    lap = lap_of(curve)
    return (0.0, curve.length) if lap is None else (lap.low + lap.over, lap.high)


def _clear_of_entry(
    path: Toolpath, at: float, half: float, clear: float, stock: Stock, lap: tuple[float, float]
) -> bool:
    """Whether the gap keeps clear of the start, and of the stretch after it that a ramp needs."""
    curve = path.curve
    if not curve.closed:
        return lap[0] + half + clear <= at <= lap[1] - half - clear
    ahead = (at - path.start) % curve.length
    ramp = min(entry_length(path, stock), curve.length / 2.0)
    return half + clear + ramp <= ahead <= curve.length - half - clear
