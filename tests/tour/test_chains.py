"""Chains: rules are broken on the way only, reduced costs change all orders alike, crossing keeps rules."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathkit.tour import Problem
from pathkit.tour.constrained.chains import (
    BROKEN,
    KEPT,
    NEAR,
    lay,
    more_broken,
    new_chained,
    reduced,
    search_chains,
    suits,
    swap,
)
from pathkit.tour.constrained.order_population import OrderPopulation
from pathkit.tour.constrained.search import scale
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import seeded, total
from pathkit.tour.kernel.frame import frame
from pathkit.tour.kernel.nearest_neighbour import nearest_feasible
from pathkit.tour.stopping import Stopping

SEEDS = st.integers(0, 2**32 - 1)


@st.composite
def orderings(draw: st.DrawFn) -> Core:
    """Whole costs as a matrix, often asymmetric, with few or many rules whose way back is forbidden."""
    n = draw(st.integers(NEAR + 2, 30))
    random = np.random.default_rng(draw(SEEDS))
    likely = draw(st.sampled_from([0.0, 0.05, 0.3]))
    pairs = [(a, b) for a in range(1, n) for b in range(a + 1, n) if random.random() < likely]
    costs = random.integers(0, 50, (n, n)).astype(float)
    for a, b in pairs:
        costs[b, a] = np.inf
    return frame(Problem.from_matrix(costs, first=0, precedence=pairs)).core


def broken_rules(core: Core, sequence: np.ndarray) -> int:
    """By their definition."""
    place = np.argsort(sequence)
    before = np.repeat(np.arange(len(sequence)), np.diff(core.after_at))
    return int(np.sum(place[before] > place[core.after]))


@settings(max_examples=60)
@given(orderings(), SEEDS, st.sampled_from([0.0, 20.0]), st.sampled_from([5.0, 1e6]))
def test_what_is_handed_back_breaks_no_rule_and_costs_no_more(
    core: Core, seed: int, heat: float, penalty: float
) -> None:
    assert suits(core)
    first = nearest_feasible(core)
    own = new_chained(core, total(core, first) + 1.0)
    sequence, best, random = first.copy(), first.copy(), seeded(seed)
    lowest = total(core, best)
    for _ in range(3):
        search_chains(own, sequence, best, random, heat, penalty, 1e-6, 30)
        assert sorted(sequence.tolist()) == sorted(best.tolist()) == list(range(len(first)))
        assert sequence[0] == best[0] == 0
        assert broken_rules(core, best) == 0
        assert broken_rules(core, sequence) == own.counters[BROKEN]
        assert 0 <= own.counters[KEPT] <= 30
        assert total(core, best) <= lowest + 1e-6
        lowest = total(core, best)


@settings(max_examples=60)
@given(orderings(), SEEDS)
def test_swaps_count_the_rules_that_they_break(core: Core, seed: int) -> None:
    random = np.random.default_rng(seed)
    n = len(core.owner)
    own = new_chained(core, 1e3)
    lay(own, nearest_feasible(core))
    for _ in range(10):
        i, j, k = np.sort(random.choice(np.arange(1, n), 3, replace=False)).tolist()
        before = own.sequence.copy()
        told = own.counters[BROKEN] + more_broken(own, i, j, k)
        swap(own, i, j, k)
        by_hand = np.concatenate([before[:i], before[j + 1 : k + 1], before[i : j + 1], before[k + 1 :]])
        assert np.array_equal(own.sequence, by_hand)
        assert broken_rules(core, own.sequence) == own.counters[BROKEN] == told


@given(orderings(), SEEDS)
def test_reduced_costs_differ_by_the_same_for_every_order(core: Core, seed: int) -> None:
    """Linear programming duality: none is below zero, and an assignment's arcs cost nothing (Burkard et al. 2009)."""
    costs = np.where(core.costs > 1e3, 1e3, core.costs)
    less = core._replace(costs=reduced(costs, 1e3))
    assert less.costs.min() > -1e-6
    assert np.sum(np.abs(less.costs + np.eye(len(costs))) < 1e-6, axis=1).min() >= 1
    random = np.random.default_rng(seed)
    orders = [np.concatenate([[0], 1 + random.permutation(len(costs) - 1)]).astype(np.int32) for _ in range(4)]
    gaps = [total(core._replace(costs=costs), order) - total(less, order) for order in orders]
    assert gaps == pytest.approx([gaps[0]] * 4, abs=1e-6)


@settings(max_examples=20)
@given(st.integers(NEAR + 1, 11), SEEDS)
def test_chains_reach_the_optimum_of_small_orderings(n: int, seed: int) -> None:
    """Against dynamic programming over sets (Held and Karp 1962), itself tested against every order."""
    from pathkit.tour import dynamic_programming

    random = np.random.default_rng(seed)
    pairs = [(a, b) for a in range(1, n) for b in range(a + 1, n) if random.random() < 0.15]
    costs = random.integers(0, 50, (n, n)).astype(float)
    core = frame(Problem.from_matrix(costs, first=0, precedence=pairs)).core
    first = nearest_feasible(core)
    own = new_chained(core, total(core, first) + 1.0)
    best = first.copy()
    for heat in (30.0, 10.0, 3.0, 0.0):
        search_chains(own, best.copy(), best, seeded(seed), heat, 60.0, 1e-6, 1_000)
    assert total(core, best) == pytest.approx(total(core, dynamic_programming.best_order(core)))


def several(core: Core, seed: int, budget: int) -> OrderPopulation:
    """A population that may spend a budget, all of it in one stage."""
    first = nearest_feasible(core)
    return OrderPopulation(core, first, scale(core, first), 1e-6, seeded(seed), Stopping(budget))


@settings(max_examples=60)
@given(orderings(), SEEDS)
def test_crossed_orders_keep_what_both_keep(core: Core, seed: int) -> None:
    """Every rule, and the order of any two items about which both agree; item 0 stays first."""
    own = several(core, seed, 0)
    one, other = nearest_feasible(core), nearest_feasible(core)
    for order in (one, other):
        lay(own.chained, order)
        search_chains(own.chained, order.copy(), order, seeded(seed), 50.0, 50.0, 1e-6, 20)
        seed += 1
    crossed = own.crossed(one, other)
    assert crossed[0] == 0
    assert broken_rules(core, crossed) == 0
    placed = [np.argsort(order)[:, None] < np.argsort(order) for order in (one, other, crossed)]
    assert np.all(placed[2][placed[0] & placed[1]])


@settings(max_examples=20)
@given(orderings(), SEEDS)
def test_a_population_holds_orders_that_keep_all_rules_and_grows_no_dearer(core: Core, seed: int) -> None:
    own = several(core, seed, 400_000)
    own.fill(40_000.0, 0.5)
    dearest = max(own.costs)
    found = own.best()
    own.breed(1.0)
    own.include(found)
    assert own.stopping.done >= 400_000
    assert len(own.orders) == 6
    assert all(broken_rules(core, order) == 0 for order in own.orders)
    assert own.costs == [total(core, order) for order in own.orders]
    assert total(core, own.best()) == min(own.costs) <= total(core, found)
    assert max(own.costs) <= dearest


def test_an_order_takes_the_place_of_a_dearer_one_and_none_is_kept_twice() -> None:
    """Costs are distances along a line: an order costs what its steps are long."""
    at = np.arange(12.0)
    core = frame(Problem.from_matrix(np.abs(at[:, None] - at), first=0)).core
    own = several(core, 1, 0)
    sorted_ = np.arange(12, dtype=np.int32)
    swapped, turned = sorted_.copy(), np.roll(sorted_[::-1], 1)
    swapped[[5, 6]] = swapped[[6, 5]]
    halved = np.concatenate([sorted_[::2], sorted_[1::2]])

    def left(orders: list[np.ndarray], k: int, order: np.ndarray) -> list[list[int]]:
        own.orders, own.costs = [o.copy() for o in orders], [total(core, o) for o in orders]
        own.replace(k, order)
        assert own.costs == [total(core, o) for o in own.orders]
        return [o.tolist() for o in own.orders]

    assert total(core, sorted_) < total(core, swapped) < total(core, halved)
    assert left([swapped, halved], 0, sorted_) == [sorted_.tolist(), halved.tolist()]
    assert left([sorted_, halved], 0, swapped) == [sorted_.tolist(), swapped.tolist()]
    assert left([sorted_, halved], 1, sorted_) == [sorted_.tolist(), halved.tolist()]
    assert left([sorted_, swapped], 0, halved) == [sorted_.tolist(), swapped.tolist()]
    assert left([sorted_, halved], -1, turned) == [sorted_.tolist(), turned.tolist()]
