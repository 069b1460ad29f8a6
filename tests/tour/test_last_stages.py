"""Stages that end a problem are put in the place of their cheapest way."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from pathkit.tour import Item, Problem, solve
from pathkit.tour.bound import short_memory
from pathkit.tour.bound.short_memory import Stretch, least_after
from pathkit.tour.solve import proved_bound
from pathkit.tour.stopping import Stopping


def cheapest(own: Stretch) -> NDArray[np.float64]:
    """By trying every order and every choice of variants."""
    variants = [range(a, b) for a, b in itertools.pairwise(own.first.tolist())]
    best = np.full(len(own.leave), np.inf)
    for order in itertools.permutations(range(len(variants))):
        for path in itertools.product(*(variants[item] for item in order)):
            cost = sum(own.cost[u, v] for u, v in itertools.pairwise(path)) + own.leave[path[-1]]
            best[path[0]] = min(best[path[0]], cost)
    return best


@given(st.lists(st.integers(1, 3), min_size=1, max_size=5), st.sampled_from([0, 2, 3]), st.integers(0, 2**32 - 1))
def test_no_way_through_a_stage_is_cheaper_than_its_bound(sizes: list[int], memory: int, seed: int) -> None:
    """With all items remembered the bound is the cheapest way itself. Some ways are forbidden, ends too."""
    random = np.random.default_rng(seed)
    first = np.concatenate([[0], np.cumsum(sizes)]).astype(np.int32)
    m = int(first[-1])
    owner = np.repeat(np.arange(len(sizes)), sizes)
    cost = random.integers(0, 30, (m, m)).astype(float)
    cost[(owner[:, None] == owner) | (random.random((m, m)) < 0.1)] = np.inf
    leave = np.where(random.random(m) < 0.2, np.inf, random.integers(0, 30, m).astype(float))
    own = Stretch(first, cost, random.integers(0, 30, m).astype(float), leave)
    exact = cheapest(own)
    with pytest.MonkeyPatch.context() as patch:
        if memory:
            patch.setattr(short_memory, "ALL", 0)
            patch.setattr(short_memory, "MOST", memory)
        found = least_after(own, Stopping(None))
    assert np.all(found <= exact)
    if not memory:
        assert found == pytest.approx(exact)


def rings(count: int, across: int) -> list[Item]:
    """Outlines in rows, to be cut last, each with twelve starts; two holes in each before."""
    turns = np.arange(12) * np.pi / 6
    items = []
    for k in range(count):
        x, y = 60.0 * (k % across), 50.0 * (k // across)
        items += [Item.at(x - 9, y), Item.at(x + 9, y + 4)]
        items.append(
            Item([((x + 26 * a, y + 21 * b),) * 2 for a, b in zip(np.cos(turns), np.sin(turns), strict=True)], stage=1)
        )
    return items


@pytest.mark.parametrize(("count", "across"), [(8, 4), (24, 6)])
def test_outlines_at_the_end_cost_the_bound_little(count: int, across: int) -> None:
    """By trees alone, at most nine tenths are proved: a tree may enter an outline here and leave it there."""
    from pathkit.tour.bound import last_stages

    problem = Problem.from_items(rings(count, across), start=(-40.0, -30.0), end=(-40.0, -30.0))
    length = min(solve(problem, effort=1, seed=seed, bound=False).length for seed in range(2))
    assert 0.97 * length < proved_bound(problem, length) <= length
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(last_stages, "affordable", lambda *_: False)
        assert proved_bound(problem, length) < 0.9 * length


def test_stages_of_few_items_are_solved_one_after_the_other() -> None:
    """Four stages of six items each, none of which dynamic programming over all of them could take: proved best."""
    random = np.random.default_rng(3)
    items = [Item.at(*spot, stage=k // 6) for k, spot in enumerate((random.random((24, 2)) * 100).tolist())]
    problem = Problem.from_items(items, start=(0.0, 0.0))
    tour = solve(problem, effort=1, seed=0)
    assert tour.bound == pytest.approx(tour.length)
