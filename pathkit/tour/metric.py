"""What a travel move costs: a length, a published instance's rounded length, or the time of a rapid move."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import InputError
from pathkit.tolerances import SAME_PLACE

Kind = Literal["euclid", "rounded", "ceil", "time"]
KINDS: tuple[Kind, ...] = ("euclid", "rounded", "ceil", "time")


MATRIX: Final = -1.0
"""Kind of `Pricing` where costs are given as a matrix."""

TIME: Final = 3.0
"""Kind of `Pricing` that is seconds."""


class Pricing(NamedTuple):
    """A metric for the kernels; ``kind`` is an index into `KINDS`, or `MATRIX`."""

    kind: float
    retract: float
    meet: float  # mm
    slow_x: float  # seconds per mm
    slow_y: float
    soft_x: float  # s²/mm
    soft_y: float


NOT_PRICED: Final = Pricing(MATRIX, MATRIX, MATRIX, MATRIX, MATRIX, MATRIX, MATRIX)


@dataclass(frozen=True)
class Metric:
    """The cost of going from one point to another.

    ``kind``:
        ``euclid``   the distance;
        ``rounded``  floor(distance + 0.5), EUC_2D of TSPLIB (Reinelt, ORSA J. Computing 3(4), 1991);
        ``ceil``     the distance rounded up, CEIL_2D of TSPLIB;
        ``time``     seconds of one coordinated straight rapid move from rest to rest.

    ``rate`` (mm/min) and ``acceleration`` (mm/s²) hold one number for x and one for y; only ``time`` reads them.
    ``retract`` is added to every move, in the metric's own unit, unless the move ends within ``meet`` of where it
    began: then the tool stays down.
    """

    kind: Kind = "euclid"
    retract: float = 0.0
    rate: tuple[float, float] = (0.0, 0.0)
    acceleration: tuple[float, float] = (0.0, 0.0)
    meet: float = SAME_PLACE

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise InputError(f"metric kind {self.kind!r} is not known; use one of {', '.join(KINDS)}")
        object.__setattr__(self, "rate", tuple(float(r) for r in self.rate))
        object.__setattr__(self, "acceleration", tuple(float(a) for a in self.acceleration))
        if not (math.isfinite(self.retract) and self.retract >= 0):
            raise InputError(f"metric retract is {self.retract}; give a finite cost, 0 or more")
        if not (math.isfinite(self.meet) and self.meet >= 0):
            raise InputError(f"metric meet is {self.meet}; give a finite distance, 0 or more")
        if self.kind == "time":
            for name, pair in (("rate", self.rate), ("acceleration", self.acceleration)):
                if len(pair) != 2 or not all(math.isfinite(value) and value > 0 for value in pair):
                    raise InputError(f"metric {name} is {pair}; give two positive numbers, for x and for y")

    @classmethod
    def time(
        cls,
        rate: tuple[float, float],
        acceleration: tuple[float, float],
        *,
        retract: float = 0.0,
        meet: float = SAME_PLACE,
    ) -> Metric:
        """Seconds of a rapid move under per-axis rates (mm/min) and accelerations (mm/s²), plus ``retract`` seconds."""
        return cls("time", retract, rate, acceleration, meet)

    def pricing(self) -> Pricing:
        """The metric for the kernels."""
        timed = self.kind == "time"
        slowness = [60.0 / r if timed else 0.0 for r in self.rate]
        softness = [1.0 / a if timed else 0.0 for a in self.acceleration]
        kind = float(KINDS.index(self.kind))
        return Pricing(kind, float(self.retract), float(self.meet), *slowness, *softness)

    def cost(self, a: NDArray[np.float64], b: NDArray[np.float64]) -> NDArray[np.float64]:
        """Cost of going from ``a`` to ``b``, arrays of points (..., 2) that broadcast.

        Time of a trapezoid from rest to rest over a length L with rate v and acceleration a: L/v + v/a if L ≥ v²/a,
        else 2·sqrt(L/a) (textbook kinematics). The slowest axis governs both. So with T = L/v = max |d|/rate and
        S = L/a = max |d|/acceleration, the time is T + S/T if T² ≥ S, else 2·sqrt(S).
        """
        dx = np.abs(b[..., 0] - a[..., 0])
        dy = np.abs(b[..., 1] - a[..., 1])
        distance = np.sqrt(dx * dx + dy * dy)
        cost: NDArray[np.float64]
        if self.kind == "rounded":
            cost = np.floor(distance + 0.5)
        elif self.kind == "ceil":
            cost = np.ceil(distance)
        elif self.kind == "time":
            by = self.pricing()
            cruise = np.maximum(dx * by.slow_x, dy * by.slow_y)
            speeding = np.maximum(dx * by.soft_x, dy * by.soft_y)
            full = cruise * cruise >= speeding
            safe = np.where(cruise > 0, cruise, 1.0)
            cost = np.where(full, cruise + np.where(cruise > 0, speeding / safe, 0.0), 2.0 * np.sqrt(speeding))
        else:
            cost = distance
        if self.retract > 0:
            cost = np.where(distance > self.meet, cost + self.retract, cost)
        return cost
