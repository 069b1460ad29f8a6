"""Parts of a board, done in one go: their ways are the cheapest, and orders of them are orders of the items."""

from __future__ import annotations

from itertools import pairwise, permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathkit.tour import Item, Metric, Problem, solve
from pathkit.tour.constrained import parts as module
from pathkit.tour.constrained.parts import LARGEST, WIDEST, Parts, parts_of, spelled_out
from pathkit.tour.kernel.costs import total
from pathkit.tour.kernel.frame import frame

METRICS = [Metric(), Metric(retract=3.0), Metric.time((6000.0, 3000.0), (300.0, 200.0), retract=0.5)]


@pytest.fixture(autouse=True)
def small_boards(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "LEAST", 1)


@st.composite
def boards(draw: st.DrawFn) -> Problem:
    """Clusters of up to five strokes, one-way strokes and contours, tied at random; some in stages or groups."""
    random = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    items: list[Item] = []
    pairs: list[tuple[int, int]] = []
    stages, groups = draw(st.sampled_from([1, 2])), draw(st.sampled_from([1, 2]))
    for _ in range(draw(st.integers(1, 4))):
        corner, first = random.integers(0, 100, 2), len(items)
        stage, group = int(random.integers(stages)), int(random.integers(groups))
        for k in range(int(random.integers(1, 6))):
            places = [(float(x), float(y)) for x, y in corner + random.integers(0, 12, (4, 2))]
            kind = int(random.integers(0, 3))
            ways = [(p, p) for p in places[:3]] if kind == 0 else [(places[0], places[1])]
            other = group if random.random() < 0.9 else 0
            items.append(Item(ways, reversible=kind == 1, stage=stage, group=other))
            pairs += [(j, first + k) for j in range(first, first + k) if random.random() < 0.6]
    start, end, closed = draw(st.sampled_from([(True, False, False), (True, False, True), (False, True, False)]))
    metric = draw(st.sampled_from(METRICS))
    return Problem.from_items(
        items,
        start=(0.0, 0.0) if start else None,
        end=(9.0, 9.0) if end else None,
        closed=closed,
        precedence=pairs,
        metric=metric,
        switch_cost=4.0 if groups > 1 else 0.0,
    )


def cheapest_paths(problem: Problem, parts: Parts, part: int) -> dict[tuple[int, int], float]:
    """By trying every order and every choice of variants: the cost of a part by its first and last variants."""
    core = parts.whole
    items = parts.members[parts.members_at[part] : parts.members_at[part + 1]].tolist()
    after = {item: set(core.after[core.after_at[item] : core.after_at[item + 1]].tolist()) for item in items}
    found: dict[tuple[int, int], float] = {}
    for order in permutations(items):
        if any(a in after[b] for k, b in enumerate(order) for a in order[:k]):
            continue
        for chosen in product(*(range(core.first[item], core.first[item + 1]) for item in order)):
            cost = sum(
                float(problem.metric.cost(core.exit[u], core.entry[v])) for u, v in pairwise(chosen)
            )  # within a part no group changes
            ends = (chosen[0], chosen[-1])
            found[ends] = min(cost, found.get(ends, np.inf))
    assert 0 not in items
    return found


@settings(max_examples=60)
@given(boards())
def test_ways_are_the_cheapest_and_those_left_out_are_no_loss(problem: Problem) -> None:
    parts = parts_of(frame(problem).core)
    if parts is None:
        return
    core, first, least = parts.whole, parts.core.first, 0.0
    for part in range(len(first) - 1):
        if parts.members_at[part + 1] - parts.members_at[part] < 2:
            continue
        true = cheapest_paths(problem, parts, part)
        least += min(true.values())
        kept = {}
        for way in range(first[part], first[part + 1]):
            ends = (int(parts.head[way]), int(parts.tail[way]))
            kept[ends] = parts.core.inner[way] + min(true.values())
            assert kept[ends] == pytest.approx(true[ends])
        if len(kept) == module.KEPT:
            continue
        steps = Metric(problem.metric.kind, 0.0, problem.metric.rate, problem.metric.acceleration)
        for (u, v), cost in true.items():
            detours = (
                own + steps.cost(core.entry[u], core.entry[a]) + steps.cost(core.exit[b], core.exit[v])
                for (a, b), own in kept.items()
            )
            assert min(detours) <= cost + 1e-9
    assert parts.fixed == pytest.approx(least)


@settings(max_examples=60)
@given(boards(), st.integers(0, 2**32 - 1))
def test_orders_of_parts_are_orders_of_the_items_and_cost_the_same(problem: Problem, seed: int) -> None:
    core = frame(problem).core
    parts = parts_of(core)
    if parts is None:
        return
    random = np.random.default_rng(seed)
    n = len(parts.core.first) - 1
    order = [0, *sorted(range(1, n), key=lambda part: (parts.core.low[part], random.random()))]
    after = parts.core.after
    ahead = [set(after[parts.core.after_at[k] : parts.core.after_at[k + 1]].tolist()) for k in range(n)]
    if any(a in ahead[b] for k, b in enumerate(order) for a in order[:k]):
        return  # ties that are left between items in no part
    sequence = np.array([random.integers(parts.core.first[k], parts.core.first[k + 1]) for k in order], dtype=np.int32)
    spelled = spelled_out(parts, sequence)
    place = np.empty(len(spelled), dtype=int)
    place[core.owner[spelled]] = np.arange(len(spelled))
    assert sorted(core.owner[spelled].tolist()) == list(range(len(core.first) - 1))
    for item in range(len(place)):
        assert np.all(place[core.after[core.after_at[item] : core.after_at[item + 1]]] > place[item])
    assert np.all((core.low[core.owner[spelled]] <= np.arange(len(place))) | (np.arange(len(place)) == 0))
    assert np.all(np.arange(len(place)) <= core.high[core.owner[spelled]])
    assert total(core, spelled) == pytest.approx(total(parts.core, sequence) + parts.fixed)


@settings(max_examples=30)
@given(boards(), st.integers(0, 3))
def test_a_search_by_parts_keeps_all_rules(problem: Problem, seed: int) -> None:
    """`Problem.length` refuses an order that breaks one."""
    tour = solve(problem, effort=0.01, seed=seed, bound=False)
    assert problem.length(tour.order, tour.variants) == pytest.approx(tour.length)


@pytest.mark.parametrize(("rows", "columns"), [(4, 5), (7, 12)])
def test_rows_of_parts_are_cut_to_and_fro(rows: int, columns: int) -> None:
    """The optimum by hand. Each part is a hole at its middle and a contour around it with four starts, 4 mm away.

    Any order goes from hole to hole: at least 10 mm in a row, 30 mm from row to row, which it does once for each row
    but one; and from the last hole 4 mm to its contour. Row by row, to and fro, is as short: each contour's start lies
    on the way.
    """
    items: list[Item] = []
    for x, y in product(np.arange(columns) * 10.0, np.arange(rows) * 30.0):
        starts = [(x + 4.0, y), (x - 4.0, y), (x, y + 4.0), (x, y - 4.0)]
        items += [Item.at(x, y), Item([(p, p) for p in starts])]
    pairs = [(k, k + 1) for k in range(0, len(items), 2)]
    shuffled = np.random.default_rng(rows).permutation(len(items))
    place = np.argsort(shuffled)
    problem = Problem.from_items(
        [items[k] for k in shuffled], start=(0.0, 0.0), precedence=[(int(place[a]), int(place[b])) for a, b in pairs]
    )
    best = rows * (columns - 1) * 10.0 + (rows - 1) * 30.0 + 4.0
    for seed in range(3):
        tour = solve(problem, effort=0.5, seed=seed, bound=False)
        assert best - 1e-9 <= tour.length <= 1.002 * best


def test_what_is_tied_far_apart_is_not_done_in_one_go(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pairs across the board: the search then goes as if there were no parts."""
    random = np.random.default_rng(5)
    problem = Problem.from_points(
        random.random((60, 2)) * 100.0, start=(0.0, 0.0), precedence=[(k, k + 30) for k in range(30)]
    )
    core = frame(problem).core
    assert parts_of(core) is not None
    found = solve(problem, effort=0.1, bound=False)
    monkeypatch.setattr(module, "LEAST", 1_000)
    assert parts_of(core) is None
    assert solve(problem, effort=0.1, bound=False) == found


def test_what_is_large_or_wide_or_changes_groups_stays_item_by_item(monkeypatch: pytest.MonkeyPatch) -> None:
    at = [Item.at(float(k), 0.0, group=k % 2) for k in range(2)]
    many = [Item.at(float(k), 9.0) for k in range(LARGEST + 1)]
    turn = np.arange(WIDEST + 1) / 9.0
    wide = [Item([(p, p) for p in zip(np.cos(turn), np.sin(turn), strict=True)]), Item.at(0.0, 3.0)]
    pair = [Item.at(0.0, 5.0), Item.at(1.0, 5.0)]
    items = [*at, *many, *wide, *pair]
    chain = [(2 + k, 3 + k) for k in range(LARGEST)]
    last = len(items) - 1
    problem = Problem.from_items(
        items, start=(0.0, 0.0), precedence=[(0, 1), *chain, (last - 3, last - 2), (last - 1, last)], switch_cost=1.0
    )
    core = frame(problem).core
    monkeypatch.setattr(module, "SHARE", 0.0)
    parts = parts_of(core)
    assert parts is not None
    assert np.bincount(np.diff(parts.members_at)).tolist() == [0, len(items) - 1, 1]
    assert len(parts.core.after) == 2 + LARGEST
    tour = solve(problem, effort=0.05, bound=False)
    assert problem.length(tour.order, tour.variants) == pytest.approx(tour.length)
