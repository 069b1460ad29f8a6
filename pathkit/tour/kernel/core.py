"""The compiled problem: one cyclic sequence whose place 0 is pinned, as arrays for the kernels."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.metric import Pricing

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

FREE_START: Final = 1.0
FREE_END: Final = 2.0


class Core(NamedTuple):
    """Arrays for the kernels. Items and variants are renumbered: item 0 is always at place 0.

    ``free`` says which ends cost nothing to reach (a sum of FREE_START and FREE_END; they concern variant 0).
    ``mate[v]`` is variant v with entry and exit swapped: v itself if both are the same point, -1 if it may not be
    reversed.
    """

    first: Ints  # (n + 1,) variants of item i are first[i] : first[i + 1]
    owner: Ints  # (m,) item of a variant
    entry: Floats  # (m, 2)
    exit: Floats  # (m, 2)
    costs: Floats  # (m, m), or (0, 0) where costs come from the points
    inner: Floats  # (m,) what doing a variant costs more than the item's cheapest, or (0,) if nothing
    pricing: Pricing
    switch_cost: float
    free: float
    two_way: bool  # whether going backwards costs the same
    group: Ints  # (n,) -1 for an added item 0, which needs no change of group
    low: Ints  # (n,) an item's stage fills the places low to high in every order
    high: Ints  # (n,)
    mate: Ints  # (m,)
    after_at: Ints  # (n + 1,) items directly after item i: after[after_at[i] : after_at[i + 1]]
    after: Ints
    before_at: Ints
    before: Ints
