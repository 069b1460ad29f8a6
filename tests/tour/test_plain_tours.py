"""Plain tours: chains of exchanges, kicks, strokes, free ends, and what the search promises."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathkit.tour import Item, Metric, Problem, Tour, solve
from pathkit.tour.kernel.frame import frame
from pathkit.tour.kernel.greedy import greedy_tour


def scattered(count: int, seed: int = 0, **options: Any) -> Problem:
    return Problem.from_points(np.random.default_rng(seed).random((count, 2)) * 100, **options)


@st.composite
def plain_problems(draw: st.DrawFn) -> Problem:
    """Points and strokes with free or fixed ends; coordinates often repeat and line up."""
    at = st.tuples(st.integers(0, 6).map(float), st.integers(0, 6).map(float))
    items = [
        Item.at(*draw(at)) if draw(st.booleans()) else Item([(draw(at), draw(at))], reversible=True)
        for _ in range(draw(st.integers(6, 14)))
    ]
    ends = draw(st.sampled_from(["open", "start", "end", "both", "back", "ring"]))
    return Problem.from_items(
        items,
        start=draw(at) if ends in ("start", "both", "back") else None,
        end=draw(at) if ends in ("end", "both") else None,
        closed=ends in ("back", "ring"),
        metric=draw(st.sampled_from([Metric(), Metric("rounded"), Metric.time((3000, 5000), (200, 400), retract=0.5)])),
    )


@settings(max_examples=60)
@given(plain_problems(), st.integers(0, 3))
def test_search_of_plain_tours_is_valid_and_not_far_from_the_optimum(problem: Problem, seed: int) -> None:
    """Every order is valid, and none beats dynamic programming; on such small problems kicks may miss the optimum.

    `solve` proves such problems, and anneals up to `plain.LEAST` points.
    """
    from pathkit.tour import dynamic_programming
    from pathkit.tour.kernel.costs import total
    from pathkit.tour.solve import _order
    from pathkit.tour.stopping import Stopping
    from pathkit.tour.symmetric import search

    framed = frame(problem)
    core = framed.core
    if not search.suits(core) or len((own := search.nodes(core)).points) < 9:
        return
    found = search.search(core, own, None, seed, Stopping(4_000), [])
    order, variants = _order(framed.items, core.first, core.owner, found)
    assert problem.length(order, variants) == pytest.approx(total(core, found), abs=1e-9)
    if dynamic_programming.affordable(core):
        optimum = total(core, dynamic_programming.best_order(core))
        assert optimum - 1e-9 <= total(core, found) <= 1.2 * optimum + 1e-9


def test_the_tour_in_the_kernel_stays_a_permutation_and_its_cost_adds_up() -> None:
    from pathkit.tour.kernel.costs import seeded
    from pathkit.tour.kernel.work_queue import queue_all
    from pathkit.tour.symmetric import double_bridge, lin_kernighan, search

    core = frame(scattered(300, closed=True)).core
    own = search.nodes(core)
    near, gap = search.near_nodes(core, own)
    first = greedy_tour(own.points, near, gap, own.fixed, own.free)
    state = search._renumbered(core, own, near, gap, first)
    before = lin_kernighan.tour_cost(state)
    queue_all(state.queue, state.tour)
    gained = lin_kernighan.descend(state)
    gained += double_bridge.perturb_and_descend(state, seeded(1), 5.0, 500, 0)
    assert np.array_equal(np.sort(state.tour), np.arange(300))
    assert np.array_equal(state.tour[state.place], np.arange(300))
    assert lin_kernighan.tour_cost(state) == pytest.approx(before - gained)
    assert gained > 0


def test_no_gaining_2_exchange_towards_a_near_point_is_left() -> None:
    """The kernel against its definition in plain Python: chains include every 2-exchange, so none may be left."""
    from pathkit.tour.kernel.work_queue import queue_all
    from pathkit.tour.symmetric import lin_kernighan, search

    core = frame(scattered(120, seed=3, closed=True)).core
    own = search.nodes(core)
    near, gap = search.near_nodes(core, own)
    state = search._renumbered(core, own, near, gap, greedy_tour(own.points, near, gap, own.fixed, own.free))
    queue_all(state.queue, state.tour)
    lin_kernighan.descend(state)
    at = state.at
    for u in range(120):
        for v in state.near[u]:
            for step in (1, -1):
                a, b = state.tour[(state.place[[u, v]] + step) % 120]
                old = np.hypot(*(at[u] - at[a])) + np.hypot(*(at[v] - at[b]))
                new = np.hypot(*(at[u] - at[v])) + np.hypot(*(at[a] - at[b]))
                assert new >= old - 1e-9


@pytest.mark.parametrize("effort", [0, 0.05])
def test_same_seed_and_effort_give_the_same_tour(effort: float) -> None:
    problem = scattered(150, start=(0.0, 0.0))
    assert solve(problem, effort=effort, seed=3) == solve(problem, effort=effort, seed=3)


def test_never_worse_than_the_order_it_was_given() -> None:
    problem = scattered(60, start=(0.0, 0.0))
    good = solve(problem, effort=0.2, bound=False)
    again = solve(problem, effort=0, initial=good, bound=False)
    assert again.length <= good.length
    search = solve(problem, effort=0, initial=list(range(60)), bound=False)
    assert search.length <= problem.length(range(60), [0] * 60)


def test_seconds_are_a_cap_and_said_to_have_bitten() -> None:
    tour = solve(scattered(500, closed=True), effort=1e6, seconds=0.3, bound=False)
    assert tour.capped
    assert not solve(scattered(40, closed=True), effort=0.01, seconds=60, bound=False).capped


def test_stop_and_progress_end_the_search_with_a_valid_tour() -> None:
    problem = scattered(200, closed=True)
    calls: list[int] = []

    def progress(done: int, total: int, message: str) -> bool:
        calls.append(done)
        return len(calls) < 3

    tour = solve(problem, effort=1e6, progress=progress, bound=False)
    assert len(calls) == 3
    assert problem.length(tour.order, tour.variants) == tour.length
    assert solve(problem, effort=1e6, stop=lambda: True, bound=False).iterations == 0


def test_several_starts_give_the_best_of_them_whoever_runs_them() -> None:
    problem = scattered(200, closed=True)
    one = [solve(problem, effort=0.02, seed=0, starts=3, bound=False)]
    with ThreadPoolExecutor(2) as executor:
        one.append(solve(problem, effort=0.02, seed=0, starts=3, executor=executor, bound=False))
    assert one[0] == one[1]
    assert one[0].length <= solve(problem, effort=0.02, seed=0, bound=False).length


@pytest.mark.parametrize(
    "points",
    [
        np.zeros((30, 2)),
        np.column_stack([np.arange(30.0), np.zeros(30)]),
        np.repeat(np.random.default_rng(0).random((8, 2)), 5, axis=0),
    ],
    ids=["one place", "one line", "five times each"],
)
def test_degenerate_points_work(points: np.ndarray) -> None:
    problem = Problem.from_points(points, closed=True)
    tour = solve(problem, effort=0.05)
    assert sorted(tour.order) == list(range(len(points)))
    assert tour.bound <= tour.length
    if np.ptp(points[:, 1]) == 0:
        assert tour.length == pytest.approx(2 * np.ptp(points[:, 0]))


@pytest.mark.parametrize("count", [0, 1, 2])
def test_hardly_anything_to_order(count: int) -> None:
    tour = solve(scattered(count, start=(0.0, 0.0), closed=True))
    assert len(tour.order) == count
    assert tour.bound == tour.length


def test_the_package_compiles_and_imports_nothing_heavy() -> None:
    import subprocess
    import sys

    code = "import sys, pathkit.tour; assert not {'numba', 'scipy'} & set(sys.modules)"
    subprocess.run([sys.executable, "-c", code], check=True)


def test_gap_is_never_below_nothing() -> None:
    assert Tour((), (), 0.0, 0.0).bound_gap == 0
    assert Tour((0,), (0,), 2.0, 1.0).bound_gap == 1
    assert Tour((0,), (0,), 2.0, 0.0).bound_gap == float("inf")
