"""Regions of a large board: a part of a tour is a problem of its own, and what is found there fits into the whole."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathkit.tour import Problem, solve
from tests.tour.test_merging import links, shuffled_strokes, strokes, woven
from tests.tour.test_more_effort import begins_with

SEEDS = st.integers(0, 2**32 - 1)


@pytest.fixture
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    """Boards of a few dozen points are large, and their regions have some twenty."""
    from pathkit.tour.symmetric import population, regions

    monkeypatch.setattr(population, "LARGE", 40)
    monkeypatch.setattr(population, "LEAST", 20)
    monkeypatch.setattr(regions, "SIZE", 25)
    monkeypatch.setattr(regions, "LEAST", 5)


@pytest.mark.usefixtures("small")
def test_another_order_of_a_region_is_worth_in_the_whole_what_it_is_worth_there() -> None:
    from pathkit.tour.kernel.greedy import greedy_tour
    from pathkit.tour.symmetric import lin_kernighan, regions
    from pathkit.tour.symmetric.state import set_tour

    changed = 0

    @settings(max_examples=40)
    @given(st.integers(30, 60), SEEDS, st.integers(0, 3))
    def holds(count: int, seed: int, sweep: int) -> None:
        nonlocal changed
        state = woven(strokes(count, seed % 1000))
        tour = shuffled_strokes(state, np.random.default_rng(seed)) if seed % 2 else state.tour.copy()
        set_tour(state, tour)
        before = lin_kernighan.tour_cost(state)
        for part in regions.regions_of(state, sweep):
            region = regions.region_of(state, tour, part)
            if region is None:
                continue
            inner = region.state
            gain = lin_kernighan.tour_cost(inner)
            found = greedy_tour(inner.at, inner.near, inner.gap, inner.fixed, -1)
            set_tour(inner, found)
            gain -= lin_kernighan.tour_cost(inner)
            other = region.put_into(tour, found)
            changed += links(other) != links(tour)
            assert np.array_equal(np.sort(other), np.arange(len(tour)))
            ends = np.flatnonzero(state.fixed >= 0)
            assert {frozenset((u, int(state.fixed[u]))) for u in ends.tolist()} <= links(other)
            set_tour(state, other)
            assert lin_kernighan.tour_cost(state) == pytest.approx(before - gain)

    holds()
    assert changed > 0


@pytest.mark.usefixtures("small")
@given(st.integers(41, 120), SEEDS, st.integers(0, 3))
def test_regions_hold_every_point_once_and_are_about_as_large(count: int, seed: int, sweep: int) -> None:
    from pathkit.tour.symmetric import regions

    state = woven(Problem.from_points(np.random.default_rng(seed).random((count, 2)) * 100.0, closed=True))
    parts = [*regions.regions_of(state, sweep)]
    assert np.array_equal(np.sort(np.concatenate(parts)), np.arange(count))
    sizes = [len(part) for part in parts]
    assert max(sizes) <= regions.SIZE
    assert 2 * min(sizes) + 2 >= max(sizes)


@pytest.mark.usefixtures("small")
def test_the_borders_of_two_sweeps_differ() -> None:
    from pathkit.tour.symmetric import regions

    state = woven(Problem.from_points(np.random.default_rng(3).random((100, 2)) * 100.0, closed=True))
    one, other = ({frozenset(part.tolist()) for part in regions.regions_of(state, sweep)} for sweep in (0, 1))
    assert not one & other


@pytest.mark.usefixtures("small")
def test_twice_the_effort_begins_with_the_effort_region_by_region(monkeypatch: pytest.MonkeyPatch) -> None:
    from pathkit.tour.symmetric import population, regions

    made: list[regions.Region | None] = []

    def counted(*given: Any) -> regions.Region | None:
        made.append(regions.region_of(*given))
        return made[-1]

    monkeypatch.setattr(population, "region_of", counted)

    @settings(max_examples=10)
    @given(st.integers(50, 90), SEEDS, st.floats(0.05, 0.1))
    def holds(count: int, seed: int, effort: float) -> None:
        problem = strokes(count, seed % 1000)
        runs = [solve(problem, effort=effort * times, seed=seed, bound=False) for times in (1, 2)]
        begins_with(runs[1], runs[0])
        assert sorted(runs[1].order) == [*range(count)]

    holds()
    assert any(made)


@pytest.mark.usefixtures("small")
def test_a_search_by_regions_stops_when_it_is_told_to() -> None:
    problem = Problem.from_points(np.random.default_rng(1).random((200, 2)) * 100.0)
    asked = 0

    def stop() -> bool:
        nonlocal asked
        asked += 1
        return asked > 3

    tour = solve(problem, effort=None, seconds=60.0, stop=stop, bound=False)
    assert asked == 4
    assert sorted(tour.order) == [*range(200)]
