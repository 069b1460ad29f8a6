"""A changed job keeps what need not change of the order that was built before."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.passes.earlier_order import KeptOrder, carried_over, places_in, spliced
from pathkit.tour import Problem, Tour
from tests.passes.test_order_travel import hole, names, order

if TYPE_CHECKING:
    from tests.passes.conftest import Cut


@pytest.mark.parametrize("count", [9, 40])  # so few are ordered by dynamic programming
def test_a_changed_job_keeps_the_order_that_was_built_before(
    cut: Cut, board: Stock, machine: Machine, count: int
) -> None:
    """One hole is left out, one is new: all others stay in turn, the new one goes between the two nearest it."""
    random = np.random.default_rng(4)
    spots = random.uniform(0, 300, (count, 2))
    paths = [hole(cut, f"h{k}", *spot) for k, spot in enumerate(spots)]
    built = names(order(Job("j", board, tuple(paths)), machine, effort=1.0)[0])
    changed = [*paths[:7], *paths[8:], hole(cut, "new", *(spots[count // 2] + 0.1))]
    for seed in range(3):
        job, figures = order(Job("j", board, tuple(changed)), machine, seed=seed, earlier=tuple(built))
        again = names(job)
        assert [name for name in again if name != "new"] == [name for name in built if name != "h7"]
        assert abs(again.index("new") - again.index(f"h{count // 2}")) == 1
        assert figures["earlier"] == {"kept": count - 1, "there": count - 1, "new": 1, "gone": 1}


def test_an_order_is_kept_though_another_is_a_little_shorter(cut: Cut, board: Stock, machine: Machine) -> None:
    """Holes in a ring may be drilled either way round, and no way is worth another file."""
    turns = np.linspace(0.0, 2.0 * np.pi, 30, endpoint=False)
    ring = 150.0 + 100.0 * np.column_stack([np.cos(turns), np.sin(turns)])
    job = Job("j", board, tuple(hole(cut, f"h{k}", *spot) for k, spot in enumerate(ring)))
    built = names(order(job, machine, effort=1.0)[0])
    for earlier in (built, built[::-1]):
        assert names(order(job, machine, effort=1.0, earlier=tuple(earlier))[0]) == earlier


def test_an_earlier_order_that_wastes_travel_is_given_up(cut: Cut, board: Stock, machine: Machine) -> None:
    spots = np.random.default_rng(4).uniform(0, 300, (40, 2))
    job = Job("j", board, tuple(hole(cut, f"h{k}", *spot) for k, spot in enumerate(spots)))
    plain = order(job, machine, effort=1.0)[1]["travel"]["after"]
    poor = order(job, machine, effort=1.0, earlier=tuple(names(job)))[1]["travel"]["after"]
    assert poor <= 1.01 * plain


def test_the_order_of_parts_is_kept(cut: Cut, board: Stock, machine: Machine) -> None:
    """Parts in a ring may be cut either way round, each for itself."""
    turns = np.linspace(0.0, 2.0 * np.pi, 14, endpoint=False)
    ring = 150.0 + 100.0 * np.column_stack([np.cos(turns), np.sin(turns)])
    paths = [
        replace(hole(cut, f"h{k} {n}", *(spot + 3.0 * n)), part=f"p{k}") for k, spot in enumerate(ring) for n in (0, 1)
    ]
    job = Job("j", board, tuple(paths))
    built = names(order(job, machine, effort=1.0, by="part")[0])
    assert [name[:-2] for name in built[::2]] == [name[:-2] for name in built[1::2]]
    for earlier in (built, built[::-1]):
        assert names(order(job, machine, effort=1.0, by="part", earlier=tuple(earlier))[0]) == earlier


def test_only_a_stretch_that_is_worth_it_is_changed() -> None:
    """Two stretches of the found order differ: one saves nothing to speak of, the other a detour."""
    spots = [(0, 0), (1, 0), (2, 0.001), (3, 0), (10, 0), (20, 0), (21, 0), (22, 0)]
    problem = Problem.from_points(np.array(spots, dtype=float), start=(0.0, 0.0))

    def tour(*places: int) -> Tour:
        return Tour(places, (0,) * 8, problem.length(places, (0,) * 8), 0.0)

    found = tour(0, 1, 2, 3, 4, 5, 6, 7)
    kept = tour(0, 1, 2, 3, 4, 6, 5, 7)
    assert spliced(problem, kept, found).order == found.order
    along = Problem.from_points(np.array([(0, 0), (5, 0), (5, 0), *spots[4:]], dtype=float), start=(0.0, 0.0))
    either = Tour((0, 2, 1, 3, 5, 4, 6), (0,) * 7, along.length((0, 2, 1, 3, 5, 4, 6), (0,) * 7), 0.0)
    best = Tour((0, 1, 2, 3, 4, 5, 6), (0,) * 7, along.length((0, 1, 2, 3, 4, 5, 6), (0,) * 7), 0.0)
    assert spliced(along, either, best).order == (0, 2, 1, 3, 4, 5, 6)


@given(st.integers(1, 9), st.integers(0, 2**32 - 1))
def test_what_is_carried_over_keeps_the_rules(count: int, seed: int) -> None:
    """By definition: a permutation in which pairs and stages hold, and the earlier order unless those contradict."""
    random = np.random.default_rng(seed)
    stage = np.sort(random.integers(0, 3, count)).tolist()
    pairs = [(a, b) for a, b in itertools.combinations(range(count), 2) if random.random() < 0.2]
    old = [str(k) for k in random.permutation(count + 3) if random.random() < 0.6]
    at = random.random((2, count, 2))
    found = carried_over(places_in(old, [str(k) for k in range(count)]), pairs, stage, at[0], at[1])
    assert sorted(found) == list(range(count))
    assert all(found.index(a) < found.index(b) for a, b in pairs)
    assert all(stage[a] <= stage[b] for a, b in itertools.pairwise(found))
    kept = [int(name) for name in old if int(name) < count]
    place = {index: at for at, index in enumerate(kept)}
    alone = all(stage[a] <= stage[b] for a, b in itertools.pairwise(kept))
    behind = {a: {b for _, b in filter(lambda pair: pair[0] == a, pairs)} for a in range(count)}
    for a in range(count - 1, -1, -1):
        behind[a] |= {c for b in behind[a] for c in behind[b]}
    if alone and all(place[a] < place[b] for a in place for b in behind[a] if b in place):
        assert [index for index in found if index in place] == kept


@given(st.permutations(range(8)), st.sets(st.integers(0, 7)))
def test_what_was_kept_is_the_longest_part_in_the_same_turn(earlier: list[int], new: set[int]) -> None:
    """Against every selection of the cuts."""
    place = [None if index in new else at for index, at in enumerate(earlier)]
    there = [at for at in place if at is not None]
    rising = (len(s) for r in range(len(there) + 1) for s in itertools.combinations(there, r) if list(s) == sorted(s))
    kept = KeptOrder.of(place, range(len(place)), 100)
    assert kept == KeptOrder(max(rising), len(there), len(new), 100 - len(there))
