"""Small problems against every possible order."""

from __future__ import annotations

from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathkit.errors import InputError
from pathkit.tour import Item, Metric, Problem, solve
from pathkit.tour.kernel.frame import frame

COORDINATE = st.integers(0, 20).map(float)
POINT = st.tuples(COORDINATE, COORDINATE)
METRICS = st.sampled_from(
    [
        Metric(),
        Metric("rounded"),
        Metric("ceil"),
        Metric(retract=7.5),
        Metric.time((3000, 5000), (200, 400)),
        Metric.time((5000, 3000), (400, 100), retract=0.8),
    ]
)


@st.composite
def items(draw: st.DrawFn, ruled: bool) -> Item:
    count = draw(st.integers(1, 3))
    variants = [(draw(POINT), draw(POINT)) for _ in range(count)]
    if draw(st.booleans()):
        variants = [(a, a) for a, _ in variants]
    stage = draw(st.integers(0, 1)) if ruled else 0
    return Item(variants, draw(st.booleans()), stage, draw(st.integers(0, 1)))


@st.composite
def problems(draw: st.DrawFn, most: int = 6) -> Problem:
    n = draw(st.integers(0, most))
    ends = draw(st.sampled_from(["open", "start", "end", "both", "back", "ring"]))
    ruled = ends != "ring"
    own = [draw(items(ruled)) for _ in range(n)]
    pairs = [(a, b) for a in range(n) for b in range(a + 1, n) if own[a].stage <= own[b].stage]
    precedence = draw(st.lists(st.sampled_from(pairs), max_size=4)) if pairs and ruled else []
    return Problem.from_items(
        own,
        start=draw(POINT) if ends in ("start", "both", "back") else None,
        end=draw(POINT) if ends in ("end", "both") else None,
        closed=ends in ("back", "ring"),
        metric=draw(METRICS),
        precedence=precedence,
        switch_cost=draw(st.sampled_from([0.0, 5.0])),
    )


def cheapest(problem: Problem) -> float:
    """The best of all orders and variants."""
    best = float("inf")
    sizes = np.diff(problem.offset)
    for order in permutations(range(len(problem))):
        for variants in product(*(range(sizes[item]) for item in order)):
            try:
                best = min(best, problem.length(order, variants))
            except InputError:
                break
    return best


@settings(max_examples=40)
@given(problems(most=4))
def test_equals_the_best_of_all_orders(problem: Problem) -> None:
    tour = solve(problem)
    assert tour.length == pytest.approx(cheapest(problem), abs=1e-9)
    assert tour.bound == pytest.approx(tour.length)
    assert tour.bound_gap == 0


@settings(max_examples=60)
@given(problems(most=7), st.integers(0, 3))
def test_search_finds_what_dynamic_programming_proves(problem: Problem, seed: int) -> None:
    """The search for larger problems, run on small ones, gives valid orders throughout and reaches the optimum."""
    from pathkit.tour import dynamic_programming
    from pathkit.tour.constrained import search
    from pathkit.tour.kernel import nearest_neighbour
    from pathkit.tour.kernel.costs import total
    from pathkit.tour.stopping import Stopping

    if len(problem) == 0:
        return
    core = frame(problem).core
    optimum = total(core, dynamic_programming.best_order(core))
    start = nearest_neighbour.nearest_feasible(core)
    found = search.search(core, start, seed, Stopping(100_000), [])
    assert total(core, found) == pytest.approx(optimum, abs=1e-9)


@settings(max_examples=30)
@given(problems(most=7), st.randoms(use_true_random=False))
def test_core_costs_what_the_problem_costs(problem: Problem, random: object) -> None:
    """One number in two ways: the cost round the kernels' sequence, and the sum over the problem's own arrays."""
    from pathkit.tour.kernel import nearest_neighbour
    from pathkit.tour.kernel.costs import total
    from pathkit.tour.solve import _order, _sequence

    if len(problem) == 0:
        return
    framed = frame(problem)
    sequence = nearest_neighbour.nearest_feasible(framed.core)
    order, variants = _order(framed.items, framed.core.first, framed.core.owner, sequence)
    assert problem.length(order, variants) == pytest.approx(total(framed.core, sequence), abs=1e-9)
    back = _sequence(problem, framed.items, framed.core.first, order, variants)
    assert np.array_equal(back, sequence)


@settings(max_examples=40)
@given(problems(most=9), st.sampled_from([1.0, 1.3]))
def test_bounds_are_never_above_the_optimum(problem: Problem, slack: float) -> None:
    """Against dynamic programming, for every kind of problem."""
    from pathkit.tour import dynamic_programming
    from pathkit.tour.bound.held_karp import lower_bound
    from pathkit.tour.kernel.costs import total

    if len(problem) == 0:
        return
    core = frame(problem).core
    optimum = total(core, dynamic_programming.best_order(core))
    assert lower_bound(core, optimum * slack) <= optimum + 1e-9
