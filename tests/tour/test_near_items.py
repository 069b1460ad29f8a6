"""Which items are tried beside each other on boards with stages."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from pathkit.tour import Problem
from pathkit.tour.kernel.candidates import near_items
from pathkit.tour.kernel.frame import frame


@given(st.integers(0, 2**32 - 1), st.integers(1, 3), st.integers(2, 30), st.integers(1, 6))
def test_near_items_are_the_nearest_of_the_same_stage_then_of_the_next(
    seed: int, stages: int, n: int, count: int
) -> None:
    """From the distances of all pairs. Items of other stages could not stand beside, but where stages meet."""
    random = np.random.default_rng(seed)
    at = random.random((n, 2)) * random.choice([1.0, 1000.0], 2)
    stage = random.integers(0, stages, n)
    core = frame(Problem.from_points(at, start=(0.0, 0.0), closed=True, stage=stage)).core
    near = near_items(core._replace(costs=np.zeros((0, 0))), count)
    for item in range(1, n + 1):
        others = np.delete(np.arange(n + 1), item)
        # the start, item 0, belongs to the first stage
        steps = np.abs(np.r_[stage.min(), stage][others] - stage[item - 1])
        if stages == 3 and len(np.unique(stage)) == 2:
            steps = np.minimum(steps, 1)  # stages without items do not count
        far = np.hypot(*(np.vstack([[0.0, 0.0], at])[others] - at[item - 1]).T)
        assert near[item].tolist() == others[np.lexsort([far, steps])][:count].tolist()
