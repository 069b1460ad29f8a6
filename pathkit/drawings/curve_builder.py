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
Place = tuple[float, float]


@dataclass
class Chain:
    """Begins at ``first`` (2,), mm; grows span by span. Spans too short to have a direction are dropped."""

    first: Place | Floats
    vertices: list[Place] = field(default_factory=list)
    sweeps: list[float] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.vertices = [(float(self.first[0]), float(self.first[1]))]

    @property
    def end(self) -> Floats:
        return np.array(self.vertices[-1])

    def line(self, to: Place | Floats) -> None:
        self._add(to, 0.0)

    def arc(self, to: Place | Floats, sweep: float) -> None:
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
            angle = start + delta * (k + 1) / halves
            cos, sin = math.cos(angle), math.sin(angle)
            self._add(
                (centre[0] + u[0] * cos + v[0] * sin, centre[1] + u[1] * cos + v[1] * sin), sense * delta / halves
            )

    def _add(self, to: Place | Floats, sweep: float) -> None:
        x, y = float(to[0]), float(to[1])
        before = self.vertices[-1]
        if math.hypot(x - before[0], y - before[1]) > ROUNDING:
            self.vertices.append((x, y))
            self.sweeps.append(sweep)

    def curve(self, *, closed: bool = False, gap: float = ROUNDING) -> Curve | None:
        """The curve; None where it has no length. It is closed if ``closed`` or if its ends are within ``gap`` mm."""
        vertices, sweeps = list(self.vertices), list(self.sweeps)
        if not sweeps:
            return None
        apart = math.dist(vertices[-1], vertices[0])
        if apart <= gap and len(vertices) > 2:
            return Curve(vertices[:-1], sweeps, closed=True)
        if closed and apart > ROUNDING and (len(vertices) > 2 or any(sweeps)):
            return Curve(vertices, [*sweeps, 0.0], closed=True)
        return Curve(vertices, sweeps)
