"""A curve in the making: spans put one after the other."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pathkit.drawings.biarcs import Smooth, fitted
from pathkit.model.curve import Curve
from pathkit.tolerances import ANGLE_ROUNDING, QUOTIENT_ROUNDING, RELATIVE_ROUNDING, ROUNDING

Floats = NDArray[np.float64]


@dataclass
class Chain:
    """Begins at ``first`` (2,), mm; grows span by span. Spans too short to have a direction are dropped."""

    first: Floats
    vertices: list[Floats] = field(default_factory=list)
    sweeps: list[float] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.vertices = [np.asarray(self.first, dtype=float)]

    @property
    def end(self) -> Floats:
        return self.vertices[-1]

    def line(self, to: Floats) -> None:
        self._add(to, 0.0)

    def arc(self, to: Floats, sweep: float) -> None:
        self._add(to, sweep)

    def smooth(self, curve: Smooth, low: float, high: float, tolerance: float) -> None:
        for vertex, sweep in zip(*fitted(curve, low, high, tolerance), strict=True):
            self._add(vertex, sweep)

    def elliptic(self, centre: Floats, u: Floats, v: Floats, start: float, delta: float, tolerance: float) -> None:
        """The arc centre + u·cos θ + v·sin θ for θ from ``start`` through ``delta`` (radians); exact if circular."""
        round_ = abs(float(u @ v)) <= RELATIVE_ROUNDING * float(u @ u) and math.isclose(
            u @ u, v @ v, rel_tol=RELATIVE_ROUNDING
        )

        def at(angle: Floats) -> tuple[Floats, Floats]:
            cos, sin = np.cos(angle)[:, None], np.sin(angle)[:, None]
            return centre + u * cos + v * sin, -u * sin + v * cos

        if not round_:
            pieces = max(1, math.ceil(abs(delta) / (math.pi / 2.0) - QUOTIENT_ROUNDING))
            for k in range(pieces):
                self.smooth(at, start + delta * k / pieces, start + delta * (k + 1) / pieces, tolerance)
            return
        sense = math.copysign(1.0, u[0] * v[1] - u[1] * v[0])
        # A span must turn less than a full circle, and near a full circle the shape must not depend on rounding.
        halves = 2 if abs(delta) > math.pi + ANGLE_ROUNDING else 1
        for k in range(halves):
            to = at(np.array([start + delta * (k + 1) / halves]))[0][0]
            self._add(to, sense * delta / halves)

    def _add(self, to: Floats, sweep: float) -> None:
        to = np.asarray(to, dtype=float)
        if math.hypot(*(to - self.vertices[-1])) > ROUNDING:
            self.vertices.append(to)
            self.sweeps.append(sweep)

    def curve(self, *, closed: bool = False, gap: float = ROUNDING) -> Curve | None:
        """The curve; None where it has no length. It is closed if ``closed`` or if its ends are within ``gap`` mm."""
        vertices, sweeps = list(self.vertices), list(self.sweeps)
        if not sweeps:
            return None
        apart = math.hypot(*(vertices[-1] - vertices[0]))
        if apart <= gap and len(vertices) > 2:
            return Curve(vertices[:-1], sweeps, closed=True)
        if closed and apart > ROUNDING and (len(vertices) > 2 or any(sweeps)):
            return Curve(vertices, [*sweeps, 0.0], closed=True)
        return Curve(vertices, sweeps)
