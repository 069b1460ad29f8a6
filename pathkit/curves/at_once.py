"""Many small curves measured at once: a drawing may have a hundred thousand, and one by one each costs far more.

All of these take curves in the plan, no traces and, unless they say so, no points.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.geometry import spans as geometry
from pathkit.model.curve import Curve

Array = NDArray[np.float64]


class Strung(NamedTuple):
    """The spans of many curves in one column; those of curve k begin at row ``first[k]``."""

    spans: geometry.Spans
    first: NDArray[np.int64]


def strung(curves: Sequence[Curve]) -> Strung:
    """The columns of at least one curve."""
    count = np.array([len(curve.sweeps) for curve in curves])
    last = np.cumsum(count)
    start = np.concatenate([curve.points[:k] for curve, k in zip(curves, count.tolist(), strict=True)])
    end = np.empty_like(start)
    end[:-1] = start[1:]
    end[last - 1] = [curve.points[0 if curve.closed else -1] for curve in curves]
    return Strung(geometry.joined(start, end, np.concatenate([curve.sweeps for curve in curves])), last - count)


def bounds_of(curves: Sequence[Curve]) -> Array:
    """(n, 4) min x, min y, max x, max y of each, mm: `Curve.bounds`."""
    if not curves:
        return np.zeros((0, 4))
    spans, first = strung(curves)
    boxes = geometry.boxes(spans)
    low, high = np.minimum.reduceat(boxes[:, :2], first), np.maximum.reduceat(boxes[:, 2:], first)
    return np.concatenate([low, high], axis=1)


def lengths_of(curves: Sequence[Curve]) -> Array:
    """(n,) mm, but for rounding: `Curve.length`. Points may be among them."""
    lengths = np.zeros(len(curves))
    some = [k for k, curve in enumerate(curves) if not curve.is_point]
    if some:
        spans, first = strung([curves[k] for k in some])
        lengths[some] = np.add.reduceat(spans.length, first)
    return lengths


def areas_of(curves: Sequence[Curve]) -> Array:
    """(n,) mm², positive counter-clockwise, of closed curves, but for rounding: `Curve.area`."""
    if not curves:
        return np.zeros(0)
    spans, first = strung(curves)
    areas: Array = np.add.reduceat(geometry.areas(spans), first)
    return areas


def flatten_all(curves: Sequence[Curve], tolerance: float) -> None:
    """Work out `Curve.flattened` for all of them, which each then keeps."""
    some = [curve for curve in curves if not curve.has_flattened(tolerance)]
    if not some:
        return
    spans, first = strung(some)
    vertices, count = geometry.chords(spans, tolerance)
    begin = np.concatenate([[0], np.cumsum(count)])[first].tolist()
    for curve, a, b in zip(some, begin, [*begin[1:], len(vertices)], strict=True):
        own = vertices[a:b] if curve.closed else np.concatenate([vertices[a:b], curve.points[-1:]])
        curve.keep_flattened(tolerance, own)


def polygons(curves: Sequence[Curve], tolerance: float) -> NDArray[Any]:
    """Closed curves of three vertices or more as shapely polygons (n,) within ``tolerance`` mm, valid or not."""
    import shapely

    if not curves:
        return np.zeros(0, object)
    flatten_all(curves, tolerance)
    every = [curve.flattened(tolerance) for curve in curves]
    of = np.repeat(np.arange(len(every)), [len(vertices) for vertices in every])
    return np.asarray(shapely.polygons(shapely.linearrings(np.concatenate(every), indices=of)), dtype=object)
