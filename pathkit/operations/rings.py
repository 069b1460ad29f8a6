"""Rings within rings, run from the innermost outwards and linked into few cuts."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pathkit.curves.intersections import Chain
from pathkit.curves.regions import Region
from pathkit.curves.regions import backward as turned_round
from pathkit.errors import InputError
from pathkit.geometry import spans as geometry
from pathkit.model.curve import Curve
from pathkit.operations.offset import inset
from pathkit.tolerances import SAME_PLACE, SHAPE_CHORDS

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

_REACH = 2.0  # steps: a ring's neighbour lies one step away, and at a sharp corner a little more
_MOST_RINGS = 5000


def nested(region: Region, step: float, *, backward: bool = False) -> tuple[Curve, ...]:
    """Rings ``step`` mm apart over the whole region; its own edge is the last.

    Each has the region to its left, or to its right if run ``backward``.

    A run goes once round a ring, straight on to the next one out, and so on: an open curve, or a closed one if it
    has a single ring. Every place of the region lies within a step of some ring, since what is left within the
    innermost is nowhere wider (erosion by k steps is erosion by one, k times).
    """
    import shapely

    # A region whose widest inscribed circle has the radius r has at most r times its boundary's length as area.
    least = abs(sum(ring.area for ring in region.rings)) / sum(ring.length for ring in region.rings) / step
    if least > _MOST_RINGS:
        raise _too_many(step)
    levels = [region.rings]
    while levels[-1]:
        if len(levels) > _MOST_RINGS:
            raise _too_many(step)
        levels.append(inset(region.rings, len(levels) * step))
    allowed = region.area.buffer(3.0 * SHAPE_CHORDS)
    shapely.prepare(allowed)
    done: list[list[Curve]] = []
    open_: list[list[Curve]] = []
    for rings in reversed(levels):
        fresh: list[list[Curve]] = []
        for ring in (turned_round(each) for each in rings) if backward else rings:
            run = _nearest_run(open_, ring, _REACH * step, allowed)
            if run is None:
                fresh.append([ring])
                continue
            open_.remove(run)
            fresh.append([*run, _begun_at(ring, run[-1].points[0])])
        done += open_
        open_ = fresh
    return tuple(_linked(run) for run in [*done, *open_])


def _nearest_run(runs: list[list[Curve]], ring: Curve, reach: float, allowed: BaseGeometry) -> list[Curve] | None:
    """The run whose end (where its last ring began) has the shortest straight line to the ring, within the region."""
    import shapely

    best: tuple[float, list[Curve]] | None = None
    for run in runs:
        here = run[-1].points[0]
        there = ring.at(_nearest(ring, here))
        way = float(np.hypot(*(there - here)))
        if (
            way <= reach
            and (best is None or way < best[0])
            and shapely.covers(allowed, shapely.LineString([here, there]))
        ):
            best = (way, run)
    return best[1] if best else None


def _nearest(ring: Curve, point: NDArray[np.float64]) -> float:
    """Station (mm) where the ring is nearest to the point."""
    spans = ring.spans
    chain = Chain(spans.start, spans.end, spans.centre, spans.sweep)
    share = np.clip(chain.share(np.broadcast_to(point, spans.start.shape)), 0.0, 1.0)
    away = np.hypot(*(chain.at(share) - point).T)
    at = int(np.argmin(away))
    return float(spans.station[at] + share[at] * spans.length[at])


def _begun_at(ring: Curve, point: NDArray[np.float64]) -> Curve:
    """The same ring, starting where it is nearest to the point."""
    station = _nearest(ring, point)
    if station < SAME_PLACE or station > ring.length - SAME_PLACE:
        return ring
    spans = geometry.between(ring.spans, station, station + ring.length)
    return Curve(spans.start, spans.sweep, closed=True)


def _linked(run: list[Curve]) -> Curve:
    if len(run) == 1:
        return run[0]
    points = [part for ring in run for part in (ring.points, ring.points[:1])]
    sweeps = np.concatenate([part for ring in run for part in (ring.sweeps, [0.0])])
    return Curve(np.concatenate(points), sweeps[:-1])


def _too_many(step: float) -> InputError:
    return InputError(
        f"rings {step:g} mm apart would be more than {_MOST_RINGS}; take a larger stepover (0.4 is usual)"
    )
