"""A changed job keeps what need not change of the order that was built before."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.passes.earlier_order import carried_over
from tests.passes.test_order_travel import hole, names, order

if TYPE_CHECKING:
    from tests.passes.conftest import Cut


def test_a_changed_job_keeps_the_order_that_was_built_before(cut: Cut, board: Stock, machine: Machine) -> None:
    """One hole is left out, one is new: all others stay in turn, the new one goes between the two nearest it."""
    random = np.random.default_rng(4)
    spots = random.uniform(0, 300, (40, 2))
    paths = [hole(cut, f"h{k}", *spot) for k, spot in enumerate(spots)]
    built = names(order(Job("j", board, tuple(paths)), machine, effort=1.0)[0])
    changed = [*paths[:7], *paths[8:], hole(cut, "new", *(spots[20] + 0.1))]
    for seed in range(3):
        again = names(order(Job("j", board, tuple(changed)), machine, seed=seed, earlier=tuple(built))[0])
        assert [name for name in again if name != "new"] == [name for name in built if name != "h7"]
        assert abs(again.index("new") - again.index("h20")) == 1


def test_an_earlier_order_that_wastes_travel_is_given_up(cut: Cut, board: Stock, machine: Machine) -> None:
    spots = np.random.default_rng(4).uniform(0, 300, (40, 2))
    job = Job("j", board, tuple(hole(cut, f"h{k}", *spot) for k, spot in enumerate(spots)))
    plain = order(job, machine, effort=1.0)[1]["travel"]["after"]
    poor = order(job, machine, effort=1.0, earlier=tuple(names(job)))[1]["travel"]["after"]
    assert poor <= 1.01 * plain


@given(st.integers(1, 9), st.integers(0, 2**32 - 1))
def test_what_is_carried_over_keeps_the_rules_or_is_refused(count: int, seed: int) -> None:
    """By definition: a permutation in which pairs, stages and the earlier order hold, unless those contradict."""
    random = np.random.default_rng(seed)
    stage = np.sort(random.integers(0, 3, count)).tolist()
    pairs = [(a, b) for a, b in itertools.combinations(range(count), 2) if random.random() < 0.2]
    old = [str(k) for k in random.permutation(count + 3) if random.random() < 0.6]
    at = random.random((2, count, 2))
    found = carried_over([str(k) for k in range(count)], old, pairs, stage, at[0], at[1])
    kept = [int(name) for name in old if int(name) < count]
    alone = all(stage[a] <= stage[b] for a, b in itertools.pairwise(kept))
    place = {index: at for at, index in enumerate(kept)}
    if not alone or any(place.get(a, -1) > place.get(b, count) for a, b in pairs):
        assert found is None
    elif found is not None:
        assert sorted(found) == list(range(count))
        assert [index for index in found if index in kept] == kept
        assert all(found.index(a) < found.index(b) for a, b in pairs)
        assert all(stage[a] <= stage[b] for a, b in itertools.pairwise(found))
    else:
        assert len(kept) < count
