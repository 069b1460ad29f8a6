"""Small orders against OR-tools CP-SAT (constraint programming, Apache-2.0): exact, and apart from the search.

The model is the textbook one: one node for each way to run a cut, a circuit through the park over optional nodes
(`AddCircuit`), and a place number for each cut, which expresses precedence and stages.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
import pytest

from pathkit.machine.profile import Axes, Machine, Motion, Travel
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Ramp, Role, Toolpath
from pathkit.passes.order_travel import OrderTravel
from pathkit.passes.pipeline import Pipeline

CUTTING = Cutting(feed=1200.0, plunge=300.0, spindle=18000.0)
DRILL, FLAT = Tool("drill", 3.0, kind="drill"), Tool("flat", 6.0)
ROLE = {"pocket": 0, "drill": 1, "outline": 2}
SCALE = 1000
CHANGE = 10_000_000
"""What a change of bit costs: more than any travel on this board, so that fewer changes always win."""


class Node(NamedTuple):
    """A way to run cut ``item``: where it is entered and left."""

    item: int
    entry: tuple[float, float]
    exit: tuple[float, float]


@pytest.fixture
def router() -> Machine:
    motion = Motion((5000.0, 5000.0, 2000.0), (4000.0, 4000.0, 1000.0), (400.0, 400.0, 200.0))
    return Machine("router", "grbl", Axes(), Travel(600.0, 400.0, 80.0), motion, park=(-20.0, -10.0))


def random_job(seed: int, *, one_bit: bool) -> tuple[Job, list[Node]]:
    """Holes, one-way pocket strokes, strokes either way, and plates that must begin at their corner."""
    random = np.random.default_rng(seed)
    stock = Stock(400.0, 300.0, 12.0, underlay=1.0)
    paths: list[Toolpath] = []
    nodes: list[Node] = []
    for item in range(int(random.integers(4, 8))):
        x, y = (float(v) for v in random.integers(10, 250, 2))
        a, b = (x, y), (x + float(random.integers(5, 40)), y + float(random.integers(0, 40)))
        kind = random.choice(["hole", "one way", "either way", "plate"])
        tool = FLAT if one_bit else DRILL if kind == "hole" else FLAT
        common: dict[str, Any] = {"stepdown": None, "bottom": -3.0}
        if kind == "hole":
            curve = Curve.point(a) if tool is DRILL else Curve.polyline([a, a2 := (x + 1.0, y)])
            exits = a if tool is DRILL else a2
            role: Role = "drill" if tool is DRILL else "pocket"
            entry: dict[str, Any] = {} if tool is DRILL else {"entry": Ramp(40.0)}
            paths.append(Toolpath(f"{item}", curve, tool, CUTTING, role=role, **entry, **common))
            nodes.append(Node(item, a, exits))
        elif kind == "plate":
            curve = Curve.polyline([a, (x + 30.0, y), (x + 30.0, y + 20.0), (x, y + 20.0)], closed=True)
            paths.append(Toolpath(f"{item}", curve, tool, CUTTING, role="outline", free_start=False, **common))
            nodes.append(Node(item, a, a))
        else:
            free = kind == "either way"
            curve = Curve.polyline([a, b])
            paths.append(Toolpath(f"{item}", curve, tool, CUTTING, role="pocket", reversible=free, **common))
            nodes += [Node(item, a, b), Node(item, b, a)] if free else [Node(item, a, b)]
    pairs = []
    for _ in range(int(random.integers(0, 4))):
        first, second = sorted(random.choice(len(paths), 2, replace=False).tolist())
        if ROLE[paths[first].role] <= ROLE[paths[second].role]:
            pairs.append((f"{first}", f"{second}"))
    return Job("random", stock, tuple(paths), tuple(dict.fromkeys(pairs))), nodes


def optimum(job: Job, nodes: list[Node], park: tuple[float, float]) -> tuple[int, float]:
    """(changes of bit, travel in mm) of the best order, which CP-SAT proves optimal."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    count = len(job.toolpaths)
    place = [model.new_int_var(0, count - 1, f"place {k}") for k in range(count)]
    used = [model.new_bool_var(f"way {k}") for k in range(len(nodes))]
    for item in range(count):
        model.add_exactly_one(used[k] for k, node in enumerate(nodes) if node.item == item)
    arcs: list[tuple[int, int, Any]] = []
    costs: list[Any] = []

    def arc(tail: int, head: int, cost: int) -> Any:
        literal = model.new_bool_var(f"{tail} to {head}")
        arcs.append((tail, head, literal))
        costs.append(cost * literal)
        return literal

    for k, node in enumerate(nodes, 1):
        arcs.append((k, k, ~used[k - 1]))
        arc(0, k, round(SCALE * math.dist(park, node.entry)))
        arc(k, 0, round(SCALE * math.dist(node.exit, park)))
        for m, other in enumerate(nodes, 1):
            if node.item != other.item:
                change = CHANGE * (job.toolpaths[node.item].tool != job.toolpaths[other.item].tool)
                literal = arc(k, m, change + round(SCALE * math.dist(node.exit, other.entry)))
                model.add(place[other.item] == place[node.item] + 1).only_enforce_if(literal)
    model.add_circuit(arcs)
    for first, second in job.precedence:
        model.add(place[int(first)] < place[int(second)])
    for a, earlier in enumerate(job.toolpaths):
        for b, later in enumerate(job.toolpaths):
            if ROLE[earlier.role] < ROLE[later.role]:
                model.add(place[a] < place[b])
    model.minimize(sum(costs))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    total = round(solver.objective_value)
    return total // CHANGE, (total % CHANGE) / SCALE


@pytest.mark.parametrize("seed", range(24))
def test_the_order_is_the_best_there_is(router: Machine, seed: int) -> None:
    job, nodes = random_job(seed, one_bit=seed % 2 == 0)
    changes, travel = optimum(job, nodes, (-20.0, -10.0))
    figures = Pipeline([OrderTravel()]).run(job, router, check=True).reports[0].figures
    assert figures["tool_changes"]["after"] == changes
    assert figures["travel"]["after"] == pytest.approx(travel, abs=2e-3 * (len(nodes) + 1))
