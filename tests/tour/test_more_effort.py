"""More effort never ends worse: at one seed a run of twice the effort begins with the run of the effort."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathkit.tour import Item, Metric, Problem, Tour, solve
from pathkit.tour.constrained import parts
from pathkit.tour.stopping import Stopping

SUMMED = 1e-12  # one tour added up from another item on may differ by as much
SEEDS = st.integers(0, 2**32 - 1)


@st.composite
def plain(draw: st.DrawFn) -> Problem:
    """Points, some of them ends of strokes, enough of them for the search of symmetric tours."""
    n = draw(st.integers(40, 70))
    at = np.random.default_rng(draw(SEEDS)).random((n, 4)) * 100.0
    kinds = draw(st.sampled_from([1, 3]))
    items = [Item([((a, b), (c, d))], reversible=True) if k % kinds else Item.at(a, b) for k, (a, b, c, d) in
             enumerate(at.tolist())]  # fmt: skip
    return Problem.from_items(items, start=(0.0, 0.0), closed=draw(st.booleans()))


@st.composite
def ruled(draw: st.DrawFn) -> Problem:
    """Contours with several starts in two stages, or costs as a matrix; with precedence, on both sides of `FEW`."""
    n = draw(st.sampled_from([14, 20, 40]))
    random = np.random.default_rng(draw(SEEDS))
    pairs = [(a, b) for a in range(n) for b in range(a + 1, n) if random.random() < 0.05]
    if draw(st.booleans()):
        return Problem.from_matrix(random.integers(0, 50, (n, n)).astype(float), first=0, precedence=pairs)
    spots = random.random((n, 3, 2)) * 30.0
    items = [Item([(tuple(p), tuple(p)) for p in own], stage=k * 2 // n) for k, own in enumerate(spots.tolist())]
    return Problem.from_items(items, start=(0.0, 0.0), precedence=pairs, metric=Metric(retract=2.0))


def begins_with(more: Tour, less: Tour) -> None:
    assert more.history[: len(less.history)] == less.history
    assert more.iterations >= less.iterations
    assert more.length <= less.length * (1.0 + SUMMED)


@st.composite
def parted(draw: st.DrawFn) -> Problem:
    """A hole in each of many contours, both inside before outside: parts, whose order is sought first."""
    random = np.random.default_rng(draw(SEEDS))
    items: list[Item] = []
    for x, y in random.random((draw(st.integers(14, 24)), 2)) * 90.0:
        items += [Item.at(x, y), Item([((x + dx, y), (x + dx, y)) for dx in (-3.0, 3.0)])]
    pairs = [(k, k + 1) for k in range(0, len(items), 2)]
    return Problem.from_items(items, start=(0.0, 0.0), precedence=pairs)


@pytest.mark.parametrize("kind", [plain(), ruled(), parted()], ids=["symmetric", "constrained", "parts"])
def test_twice_the_effort_begins_with_the_effort(
    kind: st.SearchStrategy[Problem], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(parts, "LEAST", 1)

    @settings(max_examples=15)
    @given(kind, st.floats(0.05, 0.1), st.integers(0, 3))
    def holds(problem: Problem, effort: float, seed: int) -> None:
        runs = [solve(problem, effort=effort * times, seed=seed, bound=False) for times in (1, 2, 4)]
        begins_with(runs[1], runs[0])
        begins_with(runs[2], runs[1])

    holds()


def test_patience_ends_a_search_that_has_long_gained_nothing() -> None:
    """A grid of holes is soon at its optimum, a step to each (textbook: a comb), whatever effort is left."""
    at = np.stack(np.meshgrid(np.arange(8.0), np.arange(8.0)), axis=-1).reshape(-1, 2)
    for ruled, effort in ((False, 5), (True, 20)):
        problem = Problem.from_points(at, start=(0.0, -1.0), precedence=[(0, 63)] if ruled else [])
        patient = solve(problem, effort=effort, bound=False)
        ended = solve(problem, effort=effort, bound=False, patience=3)
        assert ended.length == patient.length == 64.0
        assert ended.iterations < patient.iterations / 2
        begins_with(patient, ended)


@given(st.floats(0.0, 1e6), st.floats(1.0, 1e4))
def test_stages_of_twice_the_budget_are_the_same_and_one_more(budget: float, shortest: float) -> None:
    """Budgets are rounded down after they are worked out, and halved in whole numbers."""

    def ends(whole: int) -> list[tuple[int, int] | None]:
        stopping, seen = Stopping(whole), []
        for _ in stopping.stages(shortest, 0.0):
            seen.append(stopping.stage)
            stopping.count(stopping.left(10**9))
        return seen

    once, twice = ends(int(budget)), ends(int(2.0 * budget))
    if int(budget) > shortest / 2:
        assert twice[: len(once)] == once
    assert len(twice) <= len(once) + 1
    assert twice[-1] is not None
    assert twice[-1][1] == int(2.0 * budget)
