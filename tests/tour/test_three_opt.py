"""Orders under rules: the search's records stay true through exchanges, shakes and their undoing."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from pathkit.tour import Item, Metric, Problem, solve
from pathkit.tour.constrained.block_reversal import reverse_into, reversed_rise, split
from pathkit.tour.constrained.perturbation import perturb_and_descend
from pathkit.tour.constrained.state import State, enqueue, excess_at, new_state, take_back
from pathkit.tour.constrained.three_opt import descend, tied
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import seeded, total
from pathkit.tour.kernel.frame import frame
from pathkit.tour.kernel.nearest_neighbour import nearest_feasible
from pathkit.tour.kernel.undo_log import FILL, FULL, LOGGED, new_log


@st.composite
def boards(draw: st.DrawFn) -> Problem:
    """Strokes, one-way strokes and contours in the plane, with stages and precedence; or arbitrary costs."""
    n = draw(st.integers(4, 24))
    random = np.random.default_rng(draw(st.integers(0, 10_000)))
    likely = draw(st.sampled_from([0.0, 0.05, 0.1]))
    pairs = [(a, b) for a in range(n) for b in range(a + 1, n) if random.random() < likely]
    if draw(st.booleans()):
        return Problem.from_matrix(random.integers(0, 50, (n, n)).astype(float), precedence=pairs)
    items = []
    for k in range(n):
        places = random.integers(0, 30, (4, 2)).astype(float).tolist()
        kind = random.integers(0, 3)
        if kind == 0:
            items.append(Item([(p, p) for p in places], stage=k * 2 // n))
        else:
            items.append(Item([(places[0], places[1])], reversible=bool(kind == 1), stage=k * 2 // n))
    return Problem.from_items(items, start=(0, 0), precedence=pairs, metric=Metric(retract=3.0))


def plates(count: int) -> Problem:
    """Cable-tidy plates: a pocket, two holes and an outline with eight starts each, the outline last."""
    random = np.random.default_rng(count)
    side = int(np.ceil(np.sqrt(count / 4)))
    items: list[Item] = []
    for plate in range(count // 4):
        x, y = np.array([plate % side, plate // side]) * 40.0 + random.random(2) * 4.0
        angle = np.arange(8) * np.pi / 4.0
        ring = [(p, p) for p in zip(x + 15.0 * np.cos(angle), y + 15.0 * np.sin(angle), strict=True)]
        items += [
            Item([((x, y), (x + 6.0, y + 3.0))]),
            Item.at(x - 8.0, y - 5.0),
            Item.at(x + 8.0, y + 5.0),
            Item(ring),
        ]
    pairs = [(k, k - k % 4 + 3) for k in range(count) if k % 4 < 3]
    return Problem.from_items(items, start=(0.0, 0.0), precedence=pairs, metric=Metric(retract=5.0))


def laid(problem: Problem) -> tuple[Core, State]:
    core = frame(problem).core
    return core, new_state(core, nearest_feasible(core), 8)


def check(core: Core, state: State) -> None:
    """All that depends on the order, from its definition."""
    n = len(state.sequence)
    owners = core.owner[state.sequence]
    assert sorted(owners.tolist()) == list(range(n))
    assert owners[0] == 0
    place = np.empty(n, dtype=int)
    place[owners] = np.arange(n)
    assert np.array_equal(place, state.place)
    assert np.all((core.low[owners[1:]] <= np.arange(1, n)) & (np.arange(1, n) <= core.high[owners[1:]]))
    follows = [place[core.after[core.after_at[item] : core.after_at[item + 1]]].tolist() for item in owners]
    assert all(q > p for p in range(n) for q in follows[p])
    for i, j in ((1, n - 1), (1, n // 2), (n // 2, n - 1), (n // 3, n // 2)):
        assert tied(state, i, j) == any(q <= j for p in range(i, j + 1) for q in follows[p])
    for p in range(n if len(state.excess) else 0):
        u, v = state.sequence[p - 1], state.sequence[p]
        back_v, back_u = (w if core.mate[w] < 0 else core.mate[w] for w in (v, u))
        assert excess_at(state, p) == pytest.approx(core.costs[back_v, back_u] - core.costs[u, v])


@settings(max_examples=60)
@given(boards(), st.integers(0, 9), st.sampled_from([0.0, 5.0, 1e9]))
def test_what_hangs_on_the_order_stays_true(problem: Problem, seed: int, heat: float) -> None:
    core, state = laid(problem)
    check(core, state)
    cost = total(core, state.sequence)
    for p in range(len(state.sequence)):
        enqueue(state, p)
    cost -= descend(state)
    assert total(core, state.sequence) == pytest.approx(cost, abs=1e-6)
    check(core, state)
    cost -= perturb_and_descend(state, seeded(seed), heat, 40)
    assert total(core, state.sequence) == pytest.approx(cost, abs=1e-6)
    check(core, state)


@settings(max_examples=30)
@given(boards())
def test_what_is_logged_can_be_taken_back(problem: Problem) -> None:
    core, state = laid(problem)
    before = state.sequence.copy()
    state.log.counters[LOGGED] = 1
    for p in range(len(state.sequence)):
        enqueue(state, p)
    gain = descend(state)
    assert (gain > 0.0) == (not np.array_equal(before, state.sequence))
    take_back(state)
    assert np.array_equal(before, state.sequence)
    check(core, state)


def test_a_log_that_is_full_refuses_what_it_cannot_hold() -> None:
    """Everything up to that point can still be undone."""
    _core, state = laid(plates(60))
    before = state.sequence.copy()
    state = state._replace(log=new_log(40))
    state.log.counters[LOGGED] = 1
    for p in range(len(before)):
        enqueue(state, p)
    descend(state)
    assert state.log.counters[FULL] == 1
    assert state.log.counters[FILL] <= 40
    take_back(state)
    assert np.array_equal(before, state.sequence)


@settings(max_examples=60)
@given(boards(), st.data())
def test_runs_reversed_keep_precedence_and_cost_what_is_said(problem: Problem, data: st.DataObject) -> None:
    core, state = laid(problem)
    n = len(state.sequence)
    i = data.draw(st.integers(1, n - 2))
    j = data.draw(st.integers(i + 1, n - 1))
    if core.high[core.owner[state.sequence[i]]] < j:
        return
    count = split(core, state.sequence, state.place, state.scratch, i, j)
    starts = state.scratch[n : n + count + 1].copy()
    assert starts[0] == i
    assert starts[-1] == j + 1
    assert np.all(np.diff(starts) > 0)
    before = total(core, state.sequence)
    rise = reversed_rise(core, state.sequence, state.scratch, count)
    reverse_into(core, state.sequence, state.scratch, count)
    turned: NDArray[np.int32] = state.sequence.copy()
    turned[i : j + 1] = state.scratch[: j - i + 1]
    check(core, new_state(core, turned, 4))
    assert total(core, turned) == pytest.approx(before + rise, abs=1e-9)


def test_same_seed_and_effort_same_order() -> None:
    """With rules and without; the clock has no influence."""
    for problem in (plates(80), Problem.from_matrix(np.random.default_rng(3).integers(0, 99, (40, 40)).astype(float))):
        one = solve(problem, effort=0.2, seed=4, bound=False)
        again = solve(problem, effort=0.2, seed=4, bound=False)
        assert (one.order, one.variants, one.length) == (again.order, again.variants, again.length)
        assert one.iterations == again.iterations
        assert not one.capped


def test_boards_with_precedence_gain_on_a_careful_person() -> None:
    """A tenth less travel, without retracts, than by always going on to the nearest feasible item."""
    problem = plates(200)
    fixed = 5.0 * len(problem)
    first = solve(problem, effort=0, bound=False).length - fixed
    found = solve(problem, effort=0.5, bound=False).length - fixed
    assert found < 0.9 * first
