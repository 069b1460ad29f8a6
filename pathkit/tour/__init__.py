"""Travel orders as a pure problem on points: what to visit, in which order, entered where.

    from pathkit.tour import Item, Metric, Problem, solve

    problem = Problem.from_points(holes, start=(0, 0))                   # array (n, 2); or closed=True to come back
    problem = Problem.from_items(                                        # entries, exits, order rules
        [
            Item([((0, 0), (50, 0))], reversible=True),                  # a stroke, either way
            Item([((9, 9), (9, 9)), ((9, 1), (9, 1))], stage=1),         # a contour with two candidate starts
            Item.at(5, 5, group=2),                                      # a hole for another tool
        ],
        start=(0, 0), end=(0, 300),                                      # both optional; or closed=True
        precedence=[(0, 2)],                                             # item 0 before item 2
        switch_cost=250.0,                                               # between neighbours of different group
        metric=Metric.time((5000, 5000), (400, 400), retract=1.2),       # mm/min, mm/s², seconds
    )
    problem = Problem.from_matrix(costs, first=0, closed=True)           # inf: forbidden
    problem = Problem.read("board.tsp")                                  # .tsp .sop .gtsp .pcglns

    tour = solve(problem, effort=1, seed=0)                              # same seed and effort: same tour
    for item, choice in zip(tour.order, tour.variants):
        variant, backward = problem.variant(item, choice)                # which of the item's variants, reversed or not
    tour.length, tour.bound, tour.bound_gap                              # cost, proved lower bound, what may be left
    tour.history, tour.iterations, tour.capped                           # capped: `seconds` cut the search short

`solve(problem, *, effort=1, seconds=None, seed=0, stop=None, progress=None, executor=None, initial=None, starts=None,
bound=True, patience=None)`: the result is never worse than ``initial`` (an order of item indices or an earlier Tour).
`problem.length(order, variants)` is the cost of any order. Travel inside an item is not counted.

This package imports no compiled code; the search kernels are loaded, and on their first use compiled, by `solve`.
"""

from pathkit.tour.metric import Metric
from pathkit.tour.problem import Item, Problem
from pathkit.tour.solve import Tour, solve

__all__ = ["Item", "Metric", "Problem", "Tour", "solve"]
