"""The path syntax of SVG (W3C SVG 1.1, chapter 8.3) as curves: lines and arcs exact, Béziers within a tolerance."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pathkit.drawings.curve_builder import Chain, Place
from pathkit.drawings.path_data import Segment, ellipse_of, segments_of
from pathkit.model.curve import Curve
from pathkit.tolerances import DRAWN_CURVE, ROUNDING

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Affine:
    """p → (a·x + c·y + e, b·x + d·y + f), the order of the six numbers as in SVG's ``matrix()``."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def at(self, x: float, y: float) -> Place:
        """Where a point goes to."""
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    def point(self, x: float, y: float) -> Floats:
        """The same as an array (2,)."""
        return np.array(self.at(x, y))

    def points(self, xy: Floats) -> Floats:
        moved: Floats = self.vectors(xy) + np.array([self.e, self.f])
        return moved

    def vectors(self, xy: Floats) -> Floats:
        """Directions (k, 2): not moved."""
        turned: Floats = np.asarray(xy, dtype=float) @ np.array([[self.a, self.b], [self.c, self.d]])
        return turned

    def after(self, first: Affine) -> Affine:
        """This map after ``first``."""
        x, y = self.vectors(np.array([[first.a, first.b], [first.c, first.d]]))
        moved = self.point(first.e, first.f)
        return Affine(float(x[0]), float(x[1]), float(y[0]), float(y[1]), float(moved[0]), float(moved[1]))


def curves_of_path(text: str, place: Affine | None = None, *, tolerance: float = DRAWN_CURVE) -> tuple[Curve, ...]:
    """One curve for each subpath, mapped to mm by ``place``. Subpaths without length are left out.

    Raises `InputError` if ``text`` is not a path.
    """
    place = place or Affine()
    chains: list[tuple[Chain, bool]] = []
    for segment in segments_of(text):
        if segment.kind == "move":
            chains.append((Chain(_mapped(place, segment.end)), False))
            continue
        if chains[-1][1]:
            chains.append((Chain(_mapped(place, segment.start)), False))
        chain = chains[-1][0]
        if segment.kind == "close":
            chains[-1] = (chain, True)
        elif segment.kind == "line":
            chain.line(_mapped(place, segment.end))
        elif segment.kind == "arc":
            _arc(chain, segment, place, tolerance)
        else:
            _bezier(chain, segment, place, tolerance)
    curves = (chain.curve(closed=closed) for chain, closed in chains)
    return tuple(curve for curve in curves if curve is not None)


def _mapped(place: Affine, z: complex) -> Floats:
    return place.point(z.real, z.imag)


def _arc(chain: Chain, segment: Segment, place: Affine, tolerance: float) -> None:
    arc = ellipse_of(segment)
    if arc is None:
        chain.line(_mapped(place, segment.end))
        return
    cos, sin, rx, ry = math.cos(arc.tilt), math.sin(arc.tilt), arc.radii.real, arc.radii.imag
    axes = place.vectors(np.array([[rx * cos, rx * sin], [-ry * sin, ry * cos]]))
    chain.elliptic(_mapped(place, arc.centre), axes[0], axes[1], arc.start, arc.delta, tolerance)


def _bezier(chain: Chain, segment: Segment, place: Affine, tolerance: float) -> None:
    points = np.array([_mapped(place, point) for point in segment.points])
    if len(points) == 3:
        # A quadratic is a cubic whose handles lie two thirds of the way to its control point.
        q = points
        points = np.array([q[0], q[0] + (q[1] - q[0]) * 2.0 / 3.0, q[2] + (q[1] - q[2]) * 2.0 / 3.0, q[2]])

    def at(t: Floats) -> tuple[Floats, Floats]:
        s, t = 1.0 - t[:, None], t[:, None]
        p0, p1, p2, p3 = points
        where = s**3 * p0 + 3 * s * s * t * p1 + 3 * s * t * t * p2 + t**3 * p3
        ahead = 3 * s * s * (p1 - p0) + 6 * s * t * (p2 - p1) + 3 * t * t * (p3 - p2)
        return where, _never_still(ahead, points)

    chain.smooth(at, 0.0, 1.0, tolerance)


def _never_still(ahead: Floats, points: Floats) -> Floats:
    """Handles of no length make the derivative vanish at an end; the heading there is that to the next point."""
    still = np.hypot(ahead[:, 0], ahead[:, 1]) < ROUNDING
    if still[0]:
        ahead[0] = next((p - points[0] for p in points[1:] if np.abs(p - points[0]).max() > ROUNDING), ahead[0])
    if still[-1]:
        ahead[-1] = next((points[3] - p for p in points[2::-1] if np.abs(points[3] - p).max() > ROUNDING), ahead[-1])
    return ahead
