"""What cannot be solved is refused by name, with its place and what to do."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pathkit.errors import InputError, Refused
from pathkit.tour import Item, Metric, Problem, solve

SQUARE = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]


def test_a_precedence_cycle_is_walked_through() -> None:
    with pytest.raises(InputError, match=r"cycle: (1 before 2 before 3|2 before 3 before 1|3 before 1 before 2)"):
        Problem.from_points(SQUARE, precedence=[(0, 1), (1, 2), (2, 3), (3, 1)])


@pytest.mark.parametrize(
    ("build", "said"),
    [
        (lambda: Problem.from_items([Item(())]), r"items\[0\].*no variants"),
        (lambda: Problem.from_points([(0, 0), (float("nan"), 1)]), r"items\[1\].*not finite"),
        (lambda: Problem.from_points([(0, 0), (1, float("inf"))]), r"items\[1\].*not finite"),
        (lambda: Problem.from_points([1, 2, 3]), r"array \(n, 2\)"),
        (lambda: Problem.from_points([("a", "b")]), "numbers"),
        (lambda: Problem.from_points(SQUARE, precedence=[(0, 9)]), "does not exist"),
        (lambda: Problem.from_points(SQUARE, precedence=[(1, 1)]), "before itself"),
        (lambda: Problem.from_points(SQUARE, precedence=[(0, 1)], stage=[1, 0, 0, 0]), "contradicts their stages"),
        (lambda: Problem.from_points(SQUARE, start=(0, float("nan"))), "start .* not finite"),
        (lambda: Problem.from_points(SQUARE, end=(0, 1), closed=True), "both end at a point and return"),
        (lambda: Problem.from_points(SQUARE, closed=True, precedence=[(0, 1)]), "no before and after"),
        (lambda: Problem.from_points(SQUARE, switch_cost=-1), "switch_cost"),
        (lambda: Problem.from_points(SQUARE, stage=[0, 1]), "one whole number for each"),
        (lambda: Problem.from_matrix([[0, 1]]), "square"),
        (lambda: Problem.from_matrix([[0, -1], [1, 0]]), r"matrix\[0\]\[1\]"),
        (lambda: Problem.from_matrix([[0, 1], [1, 0]], items=[[0]]), "exactly once"),
        (lambda: Problem.from_matrix([[0, 1], [1, 0]], first=2), "no item 2"),
        (lambda: Metric("crow"), "not known"),  # type: ignore[arg-type]
        (lambda: Metric.time((0, 1), (1, 1)), "rate"),
        (lambda: Metric(retract=-1), "retract"),
    ],
)
def test_refused_by_name(build: Callable[[], object], said: str) -> None:
    with pytest.raises(InputError, match=said):
        build()


def test_all_findings_at_once() -> None:
    with pytest.raises(InputError) as caught:
        Problem.from_points([(0, 0), (float("nan"), 1)], precedence=[(0, 9)], switch_cost=-1)
    assert len(caught.value.findings) >= 3


@pytest.mark.parametrize(
    "options",
    [
        {"effort": None},
        {"effort": -1},
        {"effort": float("nan")},
        {"seconds": -1},
        {"seed": -1},
        {"starts": 0},
        {"patience": 0},
    ],
)
def test_impossible_options(options: dict[str, Any]) -> None:
    with pytest.raises(InputError):
        solve(Problem.from_points(SQUARE), **options)


@pytest.mark.parametrize("initial", [[0, 1, 2], [0, 1, 2, 2], [3, 0, 1, 2]])
def test_initial_orders_that_break_the_rules(initial: list[int]) -> None:
    with pytest.raises(InputError):
        solve(Problem.from_points(SQUARE, precedence=[(0, 3)]), initial=initial)


def test_no_way_but_over_a_forbidden_arc() -> None:
    inf = float("inf")
    with pytest.raises(Refused, match="forbidden"):
        solve(Problem.from_matrix([[0.0, inf, inf], [1.0, 0.0, 1.0], [1.0, 1.0, 0.0]], first=0))


def test_forbidden_arcs_are_gone_round() -> None:
    costs = np.full((5, 5), np.inf)
    for a, b in [(0, 3), (3, 1), (1, 4), (4, 2)]:
        costs[a, b] = 1.0
    assert solve(Problem.from_matrix(costs, first=0)).order == (0, 3, 1, 4, 2)


TSP = """NAME : four
TYPE : TSP
DIMENSION : 4
EDGE_WEIGHT_TYPE : EUC_2D
NODE_COORD_SECTION
1 0 0
2 3 0
3 3 4
4 0 4
EOF
"""


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("G21 G90\nG0 X0 Y0\n", "not an instance"),
        ("", "not an instance"),
        (TSP.replace("TSP\nD", "CVRP\nD"), "TYPE CVRP is not known"),
        (TSP.replace("EUC_2D", "GEO"), "GEO is not known"),
        (TSP.replace("DIMENSION : 4", "DIMENSION : four"), "not a number"),
        (TSP.replace("DIMENSION : 4", "DIMENSION : 5"), "15 are needed"),
        (TSP.replace("DIMENSION : 4", "DIMENSION : 100000000"), "can be read"),
        (TSP.replace("3 3 4", "3 x 4"), "NODE_COORD_SECTION"),
        (TSP.replace("3 3 4", "7 3 4"), "numbered"),
    ],
)
def test_files_that_are_no_instance(tmp_path: Path, text: str, said: str) -> None:
    path = tmp_path / "board.tsp"
    path.write_text(text)
    with pytest.raises(InputError, match=said):
        Problem.read(path)


def test_a_missing_file(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be read"):
        Problem.read(tmp_path / "none.tsp")


def test_instances_of_every_kind_are_read(tmp_path: Path) -> None:
    """Four tiny instances with optima worked out by hand, in integers as TSPLIB rounds them."""
    (tmp_path / "a.tsp").write_text(TSP)
    assert solve(Problem.read(tmp_path / "a.tsp")).length == 14
    sets = "GTSP_SETS : 2\nGTSP_SET_SECTION\n1 1 2 -1\n2 3 4 -1\nEOF\n"
    (tmp_path / "a.gtsp").write_text(TSP.replace("TYPE : TSP", "TYPE : GTSP").replace("EOF\n", sets))
    assert solve(Problem.read(tmp_path / "a.gtsp")).length == 8
    head = "DIMENSION: 4\nEDGE_WEIGHT_TYPE: EXPLICIT\nEDGE_WEIGHT_FORMAT: FULL_MATRIX\nEDGE_WEIGHT_SECTION\n"
    rows = "0 1 5 9\n-1 0 2 4\n-1 -1 0 3\n-1 -1 -1 0\nEOF\n"
    (tmp_path / "a.sop").write_text("NAME: a\nTYPE: SOP\n" + head + "4\n" + rows)
    problem = Problem.read(tmp_path / "a.sop")
    assert solve(problem).order == (0, 1, 2, 3)
    assert solve(problem).length == 6
    pieces = "GTSP_SET_SECTION\n1 1 -1\n2 2 3 -1\n3 4 -1\nGTSP_SET_ORDERING\n3 2 -1\nSTART_GROUP_SECTION\n1\nEOF\n"
    grid = "0 1 1 7\n2 0 0 1\n6 0 0 1\n1 5 3 0\n"
    (tmp_path / "a.pcglns").write_text("NAME: a\nTYPE: PCGLNS\n" + head + grid + pieces)
    problem = Problem.read(tmp_path / "a.pcglns")
    tour = solve(problem)
    assert (tour.order, tour.variants, tour.length) == ((0, 2, 1), (0, 0, 0), 7 + 5 + 2)


def test_what_a_variant_number_means() -> None:
    """A reversible item's variants are followed by their reverses; one that begins and ends at one place has none."""
    stroke = Item([((0.0, 0.0), (5.0, 0.0)), ((0.0, 1.0), (5.0, 1.0))], reversible=True)
    problem = Problem.from_items([stroke, Item([((9.0, 9.0), (9.0, 9.0))], reversible=True)])
    assert [problem.variant(0, k) for k in range(4)] == [(0, False), (1, False), (0, True), (1, True)]
    assert problem.given.tolist() == [2, 1]
    assert problem.offset.tolist() == [0, 4, 5]
    assert problem.entry[2].tolist() == problem.exit[0].tolist()
