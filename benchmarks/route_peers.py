"""The other solvers: each takes points and a time limit and returns a closed tour, or says why it cannot.

They are general solvers of plain symmetric tours over a full matrix. Only our solver is run on problems with variants,
precedence or costs that depend on the direction.
"""

from __future__ import annotations

import importlib.metadata
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from pathkit.tour import Problem

Matrix = NDArray[np.int64]
Solver = Callable[[Matrix, float, int], list[int]]


class CannotError(Exception):
    """Why a peer is left out, in a few words."""


def tour_of(peer: str, problem: Problem, seconds: float, seed: int) -> list[int]:
    """The peer's closed tour; raises CannotError where it cannot give one."""
    solver, largest = PEERS[peer]
    sizes = np.diff(problem.offset)
    plain = problem.closed and problem.start is None and problem.matrix is None and bool((sizes == 1).all())
    ruled = len(problem.precedence) or np.ptp(problem.stage) or problem.switch_cost
    if not plain or ruled or not np.array_equal(problem.entry, problem.exit):
        raise CannotError("takes plain closed tours only")
    if len(problem) > largest:
        raise CannotError(f"an n × n matrix of {len(problem)} points is too much for it here (more than {largest})")
    try:
        importlib.metadata.version(peer)
    except importlib.metadata.PackageNotFoundError:
        raise CannotError("is not installed") from None
    # Geometric costs that are not whole numbers are handed over in thousandths.
    scale = 1.0 if problem.metric.kind in ("rounded", "ceil") else 1000.0
    costs = problem.metric.cost(problem.entry[:, None, :], problem.entry[None, :, :])
    return solver(np.rint(costs * scale).astype(np.int64), seconds, seed)


def fast_tsp(matrix: Matrix, seconds: float, seed: int) -> list[int]:
    """Or-opt with a full matrix; it takes no seed."""
    import fast_tsp as peer

    # it takes costs up to 65 535
    shrink = max(float(matrix.max()) / 65_000.0, 1.0)
    return list(peer.find_tour(np.rint(matrix / shrink).astype(np.int32), duration_seconds=seconds))


def elkai(matrix: Matrix, seconds: float, seed: int) -> list[int]:
    """Lin-Kernighan-Helsgaun, one run; it takes no time limit and no seed."""
    import elkai as peer

    return list(peer.DistanceMatrix(matrix.tolist()).solve_tsp(runs=1))[:-1]


def ortools(matrix: Matrix, seconds: float, seed: int) -> list[int]:
    """Routing with guided local search."""
    from ortools.constraint_solver import pywrapcp, routing_enums_pb2

    manager = pywrapcp.RoutingIndexManager(len(matrix), 1, 0)
    routing = pywrapcp.RoutingModel(manager)
    routing.SetArcCostEvaluatorOfAllVehicles(routing.RegisterTransitMatrix(matrix.tolist()))
    limits = pywrapcp.DefaultRoutingSearchParameters()
    limits.first_solution_strategy = routing_enums_pb2.FirstSolutionStrategy.PATH_CHEAPEST_ARC
    limits.local_search_metaheuristic = routing_enums_pb2.LocalSearchMetaheuristic.GUIDED_LOCAL_SEARCH
    limits.time_limit.FromMilliseconds(int(seconds * 1000))
    found = routing.SolveWithParameters(limits)
    if found is None:
        raise CannotError("found no tour in the time")
    at, tour = routing.Start(0), []
    while not routing.IsEnd(at):
        tour.append(manager.IndexToNode(at))
        at = found.Value(routing.NextVar(at))
    return tour


def pyvrp(matrix: Matrix, seconds: float, seed: int) -> list[int]:
    """Hybrid genetic search for vehicle routing, with one vehicle."""
    import pyvrp as peer
    from pyvrp.stop import MaxRuntime

    model = peer.Model()
    places = [model.add_location(0, 0) for _ in range(len(matrix))]
    model.add_depot(places[0])
    for place in places[1:]:
        model.add_client(place)
    model.add_vehicle_type()
    for a, row in zip(places, matrix.tolist(), strict=True):
        for b, cost in zip(places, row, strict=True):
            model.add_edge(a, b, distance=cost)
    found = model.solve(stop=MaxRuntime(seconds), seed=seed, display=False)
    route = found.best.routes()[0]
    return [0, *(int(visit.idx) + 1 for visit in route.schedule() if visit.is_client())]  # clients count from 0


def networkx(matrix: Matrix, seconds: float, seed: int) -> list[int]:
    """Nearest neighbour (greedy_tsp); it takes no time limit and no seed."""
    import networkx as peer

    graph = peer.from_numpy_array(matrix + (matrix == 0))  # a weight of 0 would be no edge
    return list(peer.approximation.greedy_tsp(graph, source=0))[:-1]


PEERS: dict[str, tuple[Solver, int]] = {
    "fast-tsp": (fast_tsp, 6_000),
    "elkai": (elkai, 1_300),
    "ortools": (ortools, 6_000),
    "pyvrp": (pyvrp, 1_300),
    "networkx": (networkx, 3_100),
}
