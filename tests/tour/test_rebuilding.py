"""Rebuilding: items taken out of an order under rules and put in again, against definitions and dynamic programming."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from pathkit.tour import Item, Metric, Problem, solve
from pathkit.tour.constrained.linked_order import (
    OUT,
    Linked,
    copy_to,
    lay,
    limits,
    new_linked,
    put_in,
    restore,
    settle,
    take_out,
)
from pathkit.tour.constrained.rebuilding import put_back, rebuild
from pathkit.tour.kernel.candidates import near_both_ways
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import seeded, total
from pathkit.tour.kernel.frame import frame
from pathkit.tour.kernel.nearest_neighbour import nearest_feasible

Ints = NDArray[np.int32]
SEEDS = st.integers(0, 2**32 - 1)


@st.composite
def ruled(draw: st.DrawFn, most: int = 30) -> Problem:
    """Contours and strokes in stages, or a matrix, alike both ways but for what precedence forbids, or not alike."""
    n = draw(st.integers(6, most))
    random = np.random.default_rng(draw(SEEDS))
    likely = draw(st.sampled_from([0.0, 0.05, 0.3]))
    pairs = [(a, b) for a in range(n) for b in range(a + 1, n) if random.random() < likely]
    if draw(st.booleans()):
        costs = random.integers(0, 50, (n, n)).astype(float)
        costs = np.minimum(costs, costs.T) if draw(st.booleans()) else costs
        for a, b in pairs:
            costs[b, a] = np.inf
        return Problem.from_matrix(costs, first=0, precedence=pairs)
    spots = random.random((n, 3, 2)) * 30.0
    items = []
    for k, own in enumerate(spots.tolist()):
        ways = [(own[0], own[1])] if k % 3 == 0 else [(p, p) for p in own]
        items.append(Item(ways, reversible=k % 2 == 0, stage=k * 2 // n))
    return Problem.from_items(items, start=(0.0, 0.0), precedence=pairs, metric=Metric(retract=2.0))


def ring_of(problem: Problem) -> tuple[Core, Linked, Ints]:
    core = frame(problem).core
    ring = new_linked(core, near_both_ways(core, 6))
    first = nearest_feasible(core)
    lay(ring, first)
    settle(ring)
    return core, ring, first


def valid(core: Core, sequence: Ints) -> bool:
    """A permutation from item 0 on that keeps precedence and stages, by their definitions."""
    owners = core.owner[sequence]
    place = np.argsort(owners)
    at = np.arange(len(owners))
    before = np.repeat(np.arange(len(owners)), np.diff(core.after_at))
    return bool(
        np.array_equal(owners[place], at)
        and owners[0] == 0
        and np.all(place[before] < place[core.after])
        and np.all((core.low[owners[1:]] <= at[1:]) & (at[1:] <= core.high[owners[1:]]))
    )


def beyond(core: Core, item: int, at: Ints, to: Ints) -> set[int]:
    """All items that a chain of rules leads to."""
    seen, waiting = set[int](), [item]
    while waiting:
        one = waiting.pop()
        new = set(to[at[one] : at[one + 1]].tolist()) - seen
        seen |= new
        waiting += new
    return seen


@settings(max_examples=60)
@given(ruled(), SEEDS, st.sampled_from([0.0, 5.0, 1e9]))
def test_rebuilt_orders_keep_the_rules_and_cost_what_is_said(problem: Problem, seed: int, heat: float) -> None:
    core, ring, first = ring_of(problem)
    sequence, best = first.copy(), first.copy()
    random = seeded(seed)
    for _ in range(3):
        lowest = rebuild(ring, sequence, best, random, heat, 60)
        assert valid(core, sequence)
        assert valid(core, best)
        assert lowest == pytest.approx(total(core, best), abs=1e-9)
        assert lowest <= min(total(core, first), total(core, sequence)) + 1e-6
    assert heat or total(core, sequence) <= total(core, first) + 1e-9


@settings(max_examples=60)
@given(ruled(), SEEDS)
def test_what_was_taken_out_goes_back_to_its_place(problem: Problem, seed: int) -> None:
    core, ring, first = ring_of(problem)
    random = np.random.default_rng(seed)
    out = (random.permutation(len(first) - 1)[: len(first) // 2] + 1).tolist()
    before = [column.copy() for column in (ring.ahead, ring.behind, ring.variant, ring.key)]
    gain = sum(take_out(ring, item) for item in out)
    ahead = [0]
    while ring.ahead[ahead[-1]] != 0:
        ahead.append(int(ring.ahead[ahead[-1]]))
    assert sorted([*ahead, *out]) == list(range(len(first)))
    assert total(core, ring.variant[ahead]) == pytest.approx(total(core, first) - gain, abs=1e-6)
    draws = seeded(seed)
    for item in out[::2]:
        put_back(ring, item, draws)
    restore(ring)
    again = np.empty_like(first)
    copy_to(ring, again)
    assert np.array_equal(again, first)
    assert all(np.array_equal(a, b) for a, b in zip(before[:3], (ring.ahead, ring.behind, ring.variant), strict=True))


@settings(max_examples=60)
@given(ruled(), SEEDS)
def test_an_item_is_put_where_it_costs_least_of_all_places_that_rules_leave(problem: Problem, seed: int) -> None:
    """Every place is tried in plain Python; the kernel passes some over by chance, so it is asked several times."""
    core, ring, first = ring_of(problem)
    random = np.random.default_rng(seed)
    out = (random.permutation(len(first) - 1)[:4] + 1).tolist()
    for item in out:
        take_out(ring, item)
    item = out[0]
    rest = [v for v in first.tolist() if core.owner[v] not in out]
    ahead, behind = beyond(core, item, core.before_at, core.before), beyond(core, item, core.after_at, core.after)
    low, high = limits(ring, item)
    place = {int(core.owner[v]): p for p, v in enumerate(rest)}
    assert place[low] == max([place[one] for one in ahead if one in place], default=0)
    assert place.get(high if high else -1) == min([place[one] for one in behind if one in place], default=None)
    costs = []
    for p in range(place[low], place[high] if high else len(rest)):
        u, w = rest[p], rest[p + 1 if p + 1 < len(rest) else 0]
        stages = [core.low[core.owner[v]] for v in (u, w)]
        if (p > 0 and stages[0] > core.low[item]) or (p + 1 < len(rest) and stages[1] < core.low[item]):
            continue
        for v in range(core.first[item], core.first[item + 1]):
            costs.append(core.costs[u, v] + core.costs[v, w] - core.costs[u, w])
    found = []
    for draws in range(6):
        found.append(put_back(ring, item, seeded(draws)))
        a, b, v = ring.behind[item], ring.ahead[item], ring.variant[item]
        u, w = ring.variant[a], ring.variant[b]
        assert found[-1] == pytest.approx(core.costs[u, v] + core.costs[v, w] - core.costs[u, w])
        ring.ahead[a], ring.behind[b], ring.key[item] = b, a, OUT
    assert min(found) == pytest.approx(min(costs))


def test_keys_are_renumbered_where_no_room_is_left() -> None:
    """Two items that always go between the same two others use up the room in forty steps."""
    _core, ring, _first = ring_of(Problem.from_matrix(np.ones((8, 8)), first=0))
    a = int(ring.ahead[0])
    for _ in range(200):
        one = int(ring.ahead[a])
        take_out(ring, one)
        put_in(ring, one, int(ring.ahead[a]), int(ring.was_variant[one]))
        two = int(ring.ahead[a])
        settle(ring)
        assert ring.key[0] < ring.key[a] < ring.key[two] < ring.key[one] < ring.key[ring.ahead[one]]


@settings(max_examples=25)
@given(ruled(most=10), st.integers(0, 3))
def test_the_search_reaches_the_optimum(problem: Problem, seed: int) -> None:
    """Against dynamic programming over sets (Held and Karp 1962), itself tested against every order."""
    from pathkit.tour import dynamic_programming
    from pathkit.tour.constrained import search
    from pathkit.tour.stopping import Stopping

    core = frame(problem).core
    optimum = total(core, dynamic_programming.best_order(core))
    found = search.search(core, nearest_feasible(core), seed, Stopping(200_000), [])
    assert total(core, found) == pytest.approx(optimum, abs=1e-9)


@settings(max_examples=20)
@given(SEEDS)
def test_a_dear_arc_that_no_order_needs_hides_no_gain(seed: int) -> None:
    """Costs differ by less than the billionth part of what stands for a forbidden arc: a descent still finds gains."""
    from pathkit.tour.constrained.state import new_state

    costs = np.random.default_rng(seed).random((30, 30))
    costs[3, 7] = np.inf
    dear = costs.copy()
    dear[0, 5] = 1e7
    states = [new_state(core, nearest_feasible(core), 29) for core in
              (frame(Problem.from_matrix(one, first=0)).core for one in (costs, dear))]  # fmt: skip
    assert states[1].gap.max() > 1e10
    assert states[1].rounding < 1e-3
    assert states[0].rounding < 1e-6


def test_a_row_of_tied_pairs_is_gone_through_in_turn() -> None:
    """The shortest way along a row, by hand, is one step from each to the next; the first order jumps."""
    n = 60
    random = np.random.default_rng(2)
    at = np.concatenate([[0], random.permutation(n - 1) + 1])  # where on the row each item lies
    place = np.argsort(at)
    pairs = [(int(place[k]), int(place[k + 1])) for k in range(1, n - 1, 2)]
    costs = np.abs(np.subtract.outer(at, at)).astype(float) ** 0.5
    for a, b in pairs:
        costs[b, a] = np.inf
    assert solve(Problem.from_matrix(costs, first=0, precedence=pairs), effort=0.5, bound=False).length == n - 1
