"""Chords to fit arcs to, and what holds of every fit, looked at place by place."""

from __future__ import annotations

import cmath
import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pathkit.curves.fitting import Fitted, fit

Array = NDArray[np.float64]

ROUND = 1e-6


def chords(
    centre: tuple[float, float], radius: float, begin: float, sweep: float, sagitta: float = 0.01, rise: float = 0.0
) -> Array:
    """Vertices of an arc as chords of equal angle θ with r(1 − cos(θ/2)) ≤ sagitta (geometry of a circle)."""
    count = math.ceil(abs(sweep) / (2.0 * math.acos(1.0 - sagitta / radius)))
    turn = begin + np.linspace(0.0, sweep, count + 1)
    return np.stack(
        [centre[0] + radius * np.cos(turn), centre[1] + radius * np.sin(turn), np.linspace(0.0, rise, count + 1)],
        axis=1,
    )


def fit_lines(points: Array, tolerance: float = 0.01, feed: float = 1000.0) -> Fitted:
    count = len(points) - 1
    return fit(points, np.zeros(count), np.full(count, feed), tolerance)


def circle_of(start: Array, end: Array, sweep: float) -> tuple[complex, float]:
    """Centre and radius of an arc: the turn that carries its start to its end leaves the centre where it is."""
    a, b, turn = complex(*start[:2]), complex(*end[:2]), cmath.exp(1j * sweep)
    centre = (b - turn * a) / (1.0 - turn)
    return centre, abs(a - centre)


def along(start: Array, end: Array, sweep: float, count: int) -> Array:
    """(count + 1, 3) places of a span, ends included: of an arc at equal angles about its centre."""
    share = np.linspace(0.0, 1.0, count + 1)
    places: Array = start + (end - start) * share[:, None]
    if sweep != 0.0:
        centre, _ = circle_of(start, end, sweep)
        turned = centre + (complex(*start[:2]) - centre) * np.exp(1j * sweep * share)
        places[:, 0], places[:, 1] = turned.real, turned.imag
    return places


def to_polyline(places: Array, vertices: Array) -> float:
    """The farthest that any place is from the nearest place of the polyline, mm."""
    start, way = vertices[:-1], np.diff(vertices, axis=0)
    square = np.maximum((way * way).sum(axis=1), 1e-300)
    to = places[:, None, :] - start[None, :, :]
    share = np.clip((to * way).sum(axis=2) / square, 0.0, 1.0)
    off = to - share[:, :, None] * way
    return float(np.sqrt((off * off).sum(axis=2).min(axis=1).max()))


def strays(points: Array, sweeps: Array, fitted: Fitted) -> float:
    """Both ways, each new span against what it stands for, by brute force: places along one against the other."""
    worst, bounds = 0.0, [*fitted.first.tolist(), len(sweeps)]
    for k, (first, last) in enumerate(pairwise(bounds)):
        if last - first == 1:
            continue  # it is as it was
        count = 200 if sweeps[first] else 6
        old = np.concatenate([along(points[m], points[m + 1], sweeps[m], count) for m in range(first, last)])
        new = along(fitted.points[k], fitted.points[k + 1], fitted.sweeps[k], 240)
        # Places lie close on either; what they are held against has a vertex only where it bends.
        chords_of_old = old if sweeps[first] else points[first : last + 1]
        chords_of_new = new if fitted.sweeps[k] else new[[0, -1]]
        worst = max(worst, to_polyline(old, chords_of_new), to_polyline(new, chords_of_old))
    return worst


def judge(points: Array, sweeps: Array, feeds: Array, tolerance: float, fitted: Fitted) -> None:
    """What holds of every fit."""
    assert len(fitted.first) == len(fitted.sweeps) == len(fitted.feeds) == len(fitted.points) - 1
    assert fitted.first[0] == 0
    assert (np.diff(fitted.first) > 0).all()
    assert fitted.points.tolist() == points[[*fitted.first.tolist(), -1]].tolist(), "vertices are those that were there"
    assert np.repeat(fitted.feeds, np.diff(fitted.first, append=len(sweeps))).tolist() == feeds.tolist()
    assert fitted.deviation <= tolerance + 1e-9
    for k, (first, last) in enumerate(pairwise([*fitted.first.tolist(), len(sweeps)])):
        if last - first == 1:
            assert fitted.sweeps[k] == sweeps[first], "what stands for itself is as it was"
        elif sweeps[first] == 0.0 and fitted.sweeps[k] != 0.0:
            assert last - first >= 4
            assert abs(fitted.sweeps[k]) <= min(math.radians(300.0), (last - first) * math.radians(28.8)) + ROUND
            assert circle_of(fitted.points[k], fitted.points[k + 1], fitted.sweeps[k])[1] <= 1e4 * (1.0 + ROUND)
    # The new arcs are looked at as 240 chords: on a circle as large as they get these miss it by less than this.
    assert strays(points, sweeps, fitted) <= tolerance + 1e-3 * tolerance + ROUND + _sagitta(fitted)


def _sagitta(fitted: Fitted) -> float:
    """How far 240 chords of the new arcs lie inside them, mm: r(1 − cos(θ/2))."""
    found = 0.0
    for k in np.flatnonzero(fitted.sweeps):
        _, radius = circle_of(fitted.points[k], fitted.points[k + 1], fitted.sweeps[k])
        found = max(found, radius * (1.0 - math.cos(fitted.sweeps[k] / 480.0)))
    return found
