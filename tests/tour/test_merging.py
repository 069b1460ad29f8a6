"""Edge assembly: walks along two tours, rings joined again, and what the population promises.

The walks are as defined by Nagata and Kobayashi (INFORMS J. Computing 25(2), 2013, 346-363).
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from pathkit.tour import Item, Problem, solve
from pathkit.tour.kernel.frame import frame
from pathkit.tour.symmetric.state import State


def woven(problem: Problem) -> State:
    """The kernels' state of a plain problem, with the greedy tour."""
    from pathkit.tour.kernel.greedy import greedy_tour
    from pathkit.tour.symmetric import search

    core = frame(problem).core
    own = search.nodes(core)
    near, gap = search.near_nodes(core, own)
    first = greedy_tour(own.points, near, gap, own.fixed, own.free)
    return search._renumbered(core, own, near, gap, first)


def links(tour: NDArray[np.int32]) -> set[frozenset[int]]:
    return {frozenset(pair) for pair in zip(tour.tolist(), np.roll(tour, -1).tolist(), strict=True)}


def strokes(count: int, seed: int) -> Problem:
    """Points, and strokes that may be run either way."""
    at = np.random.default_rng(seed).random((count, 4)) * 50
    items = [Item.at(a, b) if k % 3 else Item([((a, b), (c, d))], reversible=True) for k, (a, b, c, d) in enumerate(at)]
    return Problem.from_items(items, start=(0.0, 0.0))


def shuffled_strokes(state: State, random: np.random.Generator) -> NDArray[np.int32]:
    """Any tour that holds the fixed edges."""
    blocks = [
        [u] if state.fixed[u] < 0 else [u, int(state.fixed[u])] for u in range(len(state.tour)) if state.fixed[u] <= u
    ]
    picked = [blocks[k][:: random.choice([-1, 1])] for k in random.permutation(len(blocks))]
    return np.array([u for block in picked for u in block], dtype=np.int32)


@settings(max_examples=25)
@given(st.integers(9, 60), st.integers(0, 1000))
def test_walks_take_each_differing_edge_once_and_alternate(count: int, seed: int) -> None:
    from pathkit.tour.kernel.costs import seeded
    from pathkit.tour.symmetric import ab_cycles

    random = np.random.default_rng(seed)
    a, b = (random.permutation(count).astype(np.int32) for _ in range(2))
    pair = ab_cycles.pair_memory(count)
    found = ab_cycles.ab_cycles_between(pair, a, b, seeded(seed))
    seen: list[set[frozenset[int]]] = [set(), set()]
    for w in range(found):
        walk = pair.cycles[pair.walk_at[w] : pair.walk_at[w + 1]].tolist()
        assert len(walk) % 2 == 0
        for s, u in enumerate(walk):
            edge = frozenset((u, walk[(s + 1) % len(walk)]))
            assert edge not in seen[s % 2]
            seen[s % 2].add(edge)
    assert seen[0] == links(a) - links(b)
    assert seen[1] == links(b) - links(a)


@settings(max_examples=25)
@given(st.integers(12, 60), st.integers(0, 1000))
def test_a_merged_tour_is_a_tour_holds_its_strokes_and_costs_what_is_said(count: int, seed: int) -> None:
    """Random tours differ everywhere, so that walks leave many rings; each must be joined again."""
    from pathkit.tour.kernel.costs import seeded
    from pathkit.tour.symmetric import ab_cycles, edge_assembly, lin_kernighan
    from pathkit.tour.symmetric.state import set_tour

    state = woven(strokes(count, seed))
    random = np.random.default_rng(seed)
    a, b = shuffled_strokes(state, random), shuffled_strokes(state, random)
    set_tour(state, a)
    before = lin_kernighan.tour_cost(state)
    gain = edge_assembly.cross_over(state, ab_cycles.pair_memory(len(a)), a, b, seeded(seed))
    set_tour(state, a)
    assert np.array_equal(np.sort(a), np.arange(len(a)))
    assert gain >= 0
    assert lin_kernighan.tour_cost(state) == pytest.approx(before - gain)
    ends = np.flatnonzero(state.fixed >= 0)
    assert {frozenset((u, int(state.fixed[u]))) for u in ends.tolist()} <= links(a)


def test_long_stretches_are_merged_and_cost_what_is_said() -> None:
    """Two greedy tours of many points: rings of thousands are joined by what is near their ends, and most of a tour
    stays in place when a stretch of it changes."""
    from pathkit.tour.kernel.costs import seeded
    from pathkit.tour.kernel.greedy import greedy_tour
    from pathkit.tour.symmetric import ab_cycles, edge_assembly, lin_kernighan
    from pathkit.tour.symmetric.state import set_tour

    state = woven(Problem.from_points(np.random.default_rng(1).random((4000, 2)) * 1000, closed=True))
    dearer = state.gap * (1.0 + np.random.default_rng(2).random(state.gap.shape))
    a, b = state.tour.copy(), greedy_tour(state.at, state.near, dearer, state.fixed, state.free)
    costs = []
    for tour in (a, b):
        set_tour(state, tour)
        costs.append(lin_kernighan.tour_cost(state))
    cheapest = min(costs)
    pair, random = ab_cycles.pair_memory(len(a)), seeded(3)
    for _ in range(3):
        costs[0] -= edge_assembly.cross_over(state, pair, a, b, random)
        set_tour(state, a)
        assert np.array_equal(np.sort(a), np.arange(len(a)))
        assert lin_kernighan.tour_cost(state) == pytest.approx(costs[0])
        assert np.all(pair.cut_at == -1)
        assert not pair.marked.any()
    assert costs[0] < 0.97 * cheapest


def test_each_half_comes_from_the_tour_that_has_it_better() -> None:
    """Holes on a circle, visited in turn except for two that changed places: on the left in one tour, the right in the
    other."""
    from pathkit.tour.kernel.costs import seeded
    from pathkit.tour.symmetric import ab_cycles, edge_assembly, lin_kernighan
    from pathkit.tour.symmetric.state import set_tour

    angle = np.linspace(0, 2 * np.pi, 64, endpoint=False)
    state = woven(Problem.from_points(np.column_stack([np.cos(angle), np.sin(angle)]), closed=True))
    round_ = state.tour.copy()
    optimum = lin_kernighan.tour_cost(state)
    assert optimum == pytest.approx(128 * np.sin(np.pi / 64))  # a regular polygon
    a, b = round_.copy(), round_.copy()
    a[[10, 11]] = a[[11, 10]]
    b[[40, 41]] = b[[41, 40]]
    edge_assembly.cross_over(state, ab_cycles.pair_memory(64), a, b, seeded(0))
    set_tour(state, a)
    assert lin_kernighan.tour_cost(state) == pytest.approx(optimum)
    assert edge_assembly.cross_over(state, ab_cycles.pair_memory(64), a, a.copy(), seeded(0)) == 0


@pytest.mark.parametrize("closed", [True, False])
def test_annealed_and_merged_search_depends_on_seed_and_effort_alone(closed: bool) -> None:
    """The clock has no influence; another seed finds another tour, which is valid too."""
    points = np.random.default_rng(5).random((260, 2)) * 100
    problem = Problem.from_points(points, closed=closed)
    runs = [solve(problem, effort=0.4, seed=seed, bound=False) for seed in (1, 1, 2)]
    assert runs[0] == runs[1]
    assert runs[0].iterations == runs[2].iterations
    for run in runs:
        assert sorted(run.order) == list(range(260))
        assert run.length == pytest.approx(problem.length(run.order, run.variants))
        steps = [length for _, length in run.history]
        assert steps == sorted(steps, reverse=True)


def test_points_with_the_same_answer_everywhere_find_it() -> None:
    """A grid of an even number of points has a tour of as many steps (textbook: a comb); greedy does not find it."""
    at = np.stack(np.meshgrid(np.arange(16.0), np.arange(16.0)), axis=-1).reshape(-1, 2)
    tour = solve(Problem.from_points(at, closed=True), effort=0.5)
    assert tour.length == pytest.approx(256)
    assert tour.history[0][1] > 256
