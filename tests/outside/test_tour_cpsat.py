"""Random small travel orders against CP-SAT: another solver, another formulation (circuit constraint), same optimum."""

from __future__ import annotations

import numpy as np
import pytest
from ortools.sat.python import cp_model

from pathkit.tour import Item, Metric, Problem, solve
from pathkit.tour.stopping import Stopping
from tests.how_long import usually

SCALE = 10_000  # CP-SAT counts in whole numbers


def made(seed: int, largest: int) -> Problem:
    """Items with variants, strokes, precedence, stages and groups, with free or fixed ends."""
    random = np.random.default_rng(seed)
    n = int(random.integers(1, largest + 1))
    stage = np.sort(random.integers(0, 2, n)) if random.random() < 0.5 else np.zeros(n, dtype=int)
    items = []
    for item in range(n):
        count = int(random.integers(1, 4))
        points = random.integers(0, 50, (count, 2, 2)).astype(float)
        if random.random() < 0.5:
            points[:, 1] = points[:, 0]
        variants = [(tuple(a), tuple(b)) for a, b in points.tolist()]
        items.append(Item(variants, bool(random.random() < 0.3), int(stage[item]), int(random.integers(0, 2))))
    pairs = [(a, b) for a in range(n) for b in range(a + 1, n) if random.random() < 0.12]
    ends = random.integers(0, 4)
    return Problem.from_items(
        items,
        start=(0.0, 0.0) if ends != 0 else None,
        end=(50.0, 0.0) if ends == 2 else None,
        closed=bool(ends == 3),
        metric=[Metric(), Metric("rounded"), Metric(retract=4.0), Metric.time((3000, 5000), (200, 400))][seed % 4],
        precedence=pairs,
        switch_cost=float(random.choice([0.0, 10.0])),
    )


def dense(seed: int) -> Problem:
    """A sequential ordering of 9 to 12 items: costs differ both ways, few of them small, and many rules."""
    random = np.random.default_rng(seed)
    n = int(random.integers(9, 13))
    costs = np.rint(random.exponential(30.0, (n, n)))
    likely = random.choice([0.1, 0.3])
    pairs = [(a, b) for a in range(1, n) for b in range(a + 1, n) if random.random() < likely]
    shuffled = np.concatenate([[0], 1 + random.permutation(n - 1)])
    for a, b in pairs:
        costs[shuffled[b], shuffled[a]] = np.inf
    return Problem.from_matrix(costs, first=0, precedence=[(int(shuffled[a]), int(shuffled[b])) for a, b in pairs])


def optimum(problem: Problem) -> float:
    """A circuit over variants, in which those not taken loop on themselves, with place numbers for precedence."""
    model = cp_model.CpModel()
    n, m = len(problem), int(problem.offset[-1])
    owner = np.repeat(np.arange(n), np.diff(problem.offset))
    place = [model.new_int_var(0, n - 1, f"place {item}") for item in range(n)]
    taken = [model.new_bool_var(f"taken {v}") for v in range(m)]
    for item in range(n):
        model.add_exactly_one(taken[problem.offset[item] : problem.offset[item + 1]])
    for a, b in problem.precedence.tolist():
        model.add(place[a] < place[b])
    for a in range(n):
        for b in range(n):
            if problem.stage[a] < problem.stage[b]:
                model.add(place[a] < place[b])
    if problem.first is not None:
        model.add(place[problem.first] == 0)
    arcs, terms = [(v + 1, v + 1, taken[v].negated()) for v in range(m)], []
    between = problem.arcs(np.arange(m)[:, None], np.arange(m)[None, :])
    home = problem.start if problem.closed else problem.end
    for v in range(m):
        first, last = model.new_bool_var(""), model.new_bool_var("")
        arcs += [(0, v + 1, first), (v + 1, 0, last)]
        model.add(place[owner[v]] == 0).only_enforce_if(first)
        if problem.start is not None:
            terms.append((float(problem.metric.cost(np.array(problem.start), problem.entry[v])), first))
        if home is not None:
            terms.append((float(problem.metric.cost(problem.exit[v], np.array(home))), last))
        for w in range(m):
            if owner[w] != owner[v] and np.isfinite(between[v, w]):
                arc = model.new_bool_var("")
                arcs.append((v + 1, w + 1, arc))
                terms.append((float(between[v, w]), arc))
                model.add(place[owner[w]] == place[owner[v]] + 1).only_enforce_if(arc)
    model.add_circuit(arcs)
    model.minimize(sum(round(cost * SCALE) * arc for cost, arc in terms))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_time_in_seconds = 60
    assert solver.solve(model) == cp_model.OPTIMAL
    return float(solver.objective_value) / SCALE


@pytest.mark.parametrize("seed", range(12))
def test_equals_the_optimum_that_cp_sat_proves(seed: int) -> None:
    problem = made(seed, 8)
    tour = solve(problem)
    assert tour.length == pytest.approx(optimum(problem), abs=(len(problem) + 1) / SCALE)
    assert tour.bound == tour.length


@pytest.mark.parametrize("seed", usually(range(4), of=range(16)))
def test_rebuilding_finds_the_optimum_that_cp_sat_proves(seed: int) -> None:
    """`solve` proves so few items by dynamic programming; here the search that rebuilds orders is asked alone."""
    from pathkit.tour.constrained import rebuilding, search
    from pathkit.tour.constrained.linked_order import new_linked
    from pathkit.tour.kernel.candidates import near_both_ways
    from pathkit.tour.kernel.costs import seeded, total
    from pathkit.tour.kernel.frame import frame
    from pathkit.tour.kernel.nearest_neighbour import nearest_feasible

    problem = dense(seed)
    best = pytest.approx(optimum(problem), abs=(len(problem) + 1) / SCALE)
    core = frame(problem).core
    first = nearest_feasible(core)
    ring, random, mean = new_linked(core, near_both_ways(core, search.NEAR)), seeded(seed), search.scale(core, first)
    found = first.copy()
    for heat in (1.0, 0.5, 0.25, 0.1, 0.02):
        rebuilding.rebuild(ring, first, found, random, heat * mean, 4_000)
    assert total(core, found) == best
    assert total(core, search.search(core, nearest_feasible(core), seed, Stopping(200_000), [])) == best
