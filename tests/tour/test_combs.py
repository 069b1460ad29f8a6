"""Every tour satisfies every comb and subtour, and the linear programs prove nothing that is not so."""

from __future__ import annotations

from itertools import combinations, permutations
from math import comb

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import linprog

from pathkit.tour import Problem, solve
from pathkit.tour.bound import linear_program
from pathkit.tour.bound.combs import (
    Family,
    blossoms,
    combs,
    handles,
    least_crossed,
    least_crossings,
    most_inside,
    support,
)
from pathkit.tour.solve import proved_bound
from pathkit.tour.stopping import Stopping, Watch

N = 8
TOURS = np.array([(0, *rest, 0) for rest in permutations(range(1, N)) if rest[0] < rest[-1]])
"""All 2520 tours of eight nodes, each once."""

ROWS, COLUMNS = np.triu_indices(N, 1)


def used(tours: NDArray[np.int64]) -> NDArray[np.int64]:
    """(tours, edges) which edges a tour uses."""
    number = np.zeros((N, N), dtype=int)
    number[ROWS, COLUMNS] = number[COLUMNS, ROWS] = np.arange(len(ROWS))
    out = np.zeros((len(tours), len(ROWS)), dtype=int)
    np.put_along_axis(out, number[tours[:, :-1], tours[:, 1:]], 1, axis=1)
    return out


EDGES = used(TOURS)


def inside(family: Family) -> NDArray[np.int64]:
    """(edges,) how many of a family's sets an edge lies in."""
    held = [np.isin(ROWS, own) & np.isin(COLUMNS, own) for own in family]
    return np.array(np.sum(held, axis=0, dtype=np.int64))


def across(family: Family) -> NDArray[np.int64]:
    """(edges,) how many of a family's borders an edge crosses."""
    return np.array(np.sum([np.isin(ROWS, own) ^ np.isin(COLUMNS, own) for own in family], axis=0, dtype=np.int64))


@st.composite
def a_family(draw: st.DrawFn) -> Family:
    """A handle and three disjoint teeth, each with nodes in it and out of it; nodes that are left go anywhere."""
    nodes = draw(st.permutations(range(N)))
    teeth = [[nodes[k], nodes[k + 3]] for k in range(3)]
    handle = list(nodes[:3])
    for node in nodes[6:]:
        if draw(st.booleans()):
            handle.append(node)
        if (tooth := draw(st.integers(0, 3))) < 3:
            teeth[tooth].append(node)
    return tuple(np.array(sorted(own), dtype=np.int32) for own in (handle, *teeth))


@settings(max_examples=60)
@given(a_family())
def test_no_tour_breaks_a_comb_and_some_just_keep_it(family: Family) -> None:
    """Against all tours of eight nodes. Combs are facets (Grötschel and Padberg 1979), so some tours just keep them."""
    assert (EDGES @ inside(family)).max() == most_inside(family)
    assert (EDGES @ across(family)).min() == least_crossings(family)


def test_a_comb_of_too_few_teeth_is_none() -> None:
    """The same formula with two teeth is broken by tours: the number of teeth must be odd."""
    handle, one, two = (np.array(own, dtype=np.int32) for own in ([0, 1], [0, 2], [1, 3]))
    assert (EDGES @ across((handle, one, two))).min() < least_crossings((handle, one, two))


def corner(seed: int, *, joined: bool) -> NDArray[np.float64]:
    """(edges,) the cheapest point for random costs of which each node has two edges and, if ``joined``, each pair and
    triple of nodes less than a circle: such corners are often halves of tours and circles."""
    random = np.random.default_rng(seed)
    cost = random.integers(0, 4, len(ROWS)) + 0.01 * random.random(len(ROWS))
    degree = np.array([(node == ROWS) | (node == COLUMNS) for node in range(N)], dtype=float)
    small = [inside((np.array(own),)) for size in (3, 4) for own in combinations(range(N), size)]
    limits = np.repeat([2.0, 3.0], [comb(N, 3), comb(N, 4)])
    limits = limits if joined else np.full(len(small), float(N))
    two = np.full(N, 2.0)
    solved = linprog(cost, np.array(small), limits, A_eq=degree, b_eq=two, bounds=(0, 1), method="highs")
    return np.array(solved.x)


def test_whatever_is_found_is_kept_by_all_tours_and_broken_by_the_point() -> None:
    counts = np.zeros(3, dtype=int)
    for seed in range(200):
        x = corner(seed, joined=seed % 2 == 0)
        on = support(N, ROWS, COLUMNS, x)
        below, tight = least_crossed(on)
        tried = [own for nothing in (0.01, 0.3) for own in handles(on, nothing)]
        subtours: list[Family] = [(own,) for own in below]
        found = subtours, blossoms(on, tried, 0.02), combs(on, tried + tight, tight, 0.02, 50)
        for own in tight:
            assert x @ across((own,)) == pytest.approx(2.0)
        for kind, families in enumerate(found):
            counts[kind] += len(families)
            for family in families:
                assert x @ inside(family) > most_inside(family)
                assert (EDGES @ inside(family)).max() <= most_inside(family)
                assert (EDGES @ across(family)).min() >= least_crossings(family)
    assert counts.min() > 10


def test_the_solver_is_there() -> None:
    """It has no public name, so that another release of scipy may take it away; bounds are weaker then."""
    assert linear_program.solver() is not None


@settings(max_examples=25)
@given(st.integers(0, 2**32 - 1), st.sampled_from(["closed", "open", "between"]))
def test_programs_prove_no_more_than_the_best_order(seed: int, kind: str) -> None:
    """Against dynamic programming over sets (Held and Karp 1962)."""
    random = np.random.default_rng(seed)
    points = random.integers(0, 12, (int(random.integers(6, 12)), 2)).astype(float)
    start, end = ((0.0, 0.0), (12.0, 3.0)) if kind == "between" else (None, None)
    problem = Problem.from_points(points, closed=kind == "closed", start=start, end=end)
    best = solve(problem, bound=False).length
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(linear_program, "LEAST", 4)
        assert proved_bound(problem, best * 1.05) <= best * (1.0 + 1e-9)


def test_programs_prove_more_than_the_ascent(monkeypatch: pytest.MonkeyPatch) -> None:
    random = np.random.default_rng(6)
    points = np.unique(random.integers(0, 40, (260, 2)), axis=0).astype(float)
    problem = Problem.from_points(points, closed=True)
    length = solve(problem, effort=0.3, bound=False).length
    sharp = proved_bound(problem, length)
    monkeypatch.setattr(linear_program, "solver", lambda: None)
    assert proved_bound(problem, length) < sharp <= length


def test_a_full_grid_is_proved_to_take_a_step_a_hole() -> None:
    """Of an even number of holes at a pitch of one the shortest tour is as long as there are holes: no step is shorter,
    and going to and fro beside one column that leads back takes no longer one."""
    grid = np.argwhere(np.ones((16, 15))).astype(float)
    assert proved_bound(Problem.from_points(grid, closed=True), 250.0) == pytest.approx(240.0)


def test_a_stop_ends_the_programs(monkeypatch: pytest.MonkeyPatch) -> None:
    """Stopped after its first program, the bound is one, and less than with all the time."""
    problem = Problem.from_points(np.random.default_rng(3).random((220, 2)), closed=True)
    length = solve(problem, effort=0.1, bound=False).length
    whole, watch, solved = proved_bound(problem, length), Watch(), list[float]()
    program = linear_program.Program.solve

    def counted(*arguments: object, **options: object) -> float | None:
        value = program(*arguments, **options)  # type: ignore[arg-type]
        solved.append(value or 0.0)
        watch.stopped = True
        return value

    monkeypatch.setattr(linear_program.Program, "solve", counted)
    part = proved_bound(problem, length, Stopping(None, watch=watch))
    assert len(solved) == 1
    assert 0.0 < part < whole <= length
