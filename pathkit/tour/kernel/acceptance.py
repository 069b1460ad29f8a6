"""Threshold accepting (Dueck and Scheuer, J. Computational Physics 90(1), 1990) with random thresholds."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tour.kernel.costs import draw


@kernel(allocates=False)
def allows(heat: float, rise: float, random: NDArray[np.uint64]) -> bool:
    """Whether to accept a change that costs ``rise``: always if it gains, else with a chance that falls with the cost.

    The threshold 4(u^(-1/4) - 1) of a uniform u is close to an exponential one and needs no logarithm.
    """
    if rise <= 0.0:
        return True
    if rise > 25.0 * heat:
        return False
    u = (draw(random, 1 << 30) + 1.0) * (1.0 / (1 << 30))
    return rise < heat * 4.0 * (1.0 / math.sqrt(math.sqrt(u)) - 1.0)
