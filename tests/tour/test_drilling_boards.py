"""Drilling boards of rows and clusters: near points lie in the same row, what joins rows is far."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.boards import board
from pathkit.tour import Problem, solve
from pathkit.tour.kernel.frame import frame


@pytest.mark.parametrize(
    ("kind", "count", "gap"), [("rows", 150, 0.01), ("clusters", 200, 0.001), ("clusters", 350, 0.001)]
)
def test_each_seed_ends_at_the_proved_bound_or_close_to_it(kind: str, count: int, gap: float) -> None:
    """The bound (Held and Karp 1970, with cuts) is tested against dynamic programming and knows of no tour."""
    problem = board(kind, count)
    proved = solve(problem, effort=0.2)
    lengths = [proved.length, *(solve(problem, effort=0.2, seed=seed, bound=False).length for seed in (1, 2))]
    assert proved.bound > 0.0
    assert max(lengths) <= (1.0 + gap) * proved.bound


@pytest.mark.parametrize("legs", [16, 40])
def test_parts_in_a_row_cost_what_is_worked_out_by_hand(legs: int) -> None:
    """Three parts of two rows each, in line: along one side and back along the other is shortest, as the outline of
    a convex board is of all tours through its corners, and the points in between lie on it."""
    at = [(x, y) for part in range(3) for y in (0.0, 7.0) for x in part * (legs + 20.0) + np.arange(float(legs))]
    around = 2.0 * (2 * (legs + 20.0) + legs - 1 + 7.0)
    for seed in range(3):
        assert solve(Problem.from_points(at, closed=True), effort=0.1, seed=seed).length == pytest.approx(around)


def bits_of_a_board(random: np.random.Generator) -> Problem:
    """Eleven points of short rows, far from each other."""
    at: set[tuple[float, float]] = set()
    while len(at) < 11:
        x, y = random.integers(0, 4, 2) * 40.0
        turned = random.random() < 0.5
        at |= {(x, y + 1.5 * k) if turned else (x + k, y) for k in range(random.integers(1, 6))}
    return Problem.from_points(sorted(at)[:11], closed=True)


@settings(max_examples=40)
@given(st.integers(0, 2**32 - 1))
def test_bits_of_boards_reach_the_optimum(seed: int) -> None:
    """Against dynamic programming over sets (Held and Karp 1962)."""
    from pathkit.tour import dynamic_programming
    from pathkit.tour.kernel.costs import total
    from pathkit.tour.stopping import Stopping
    from pathkit.tour.symmetric import search

    core = frame(bits_of_a_board(np.random.default_rng(seed))).core
    found = search.search(core, search.nodes(core), None, seed, Stopping(4_000), [])
    assert total(core, found) == pytest.approx(total(core, dynamic_programming.best_order(core)))
