"""Unlike parts on boards: counts worked out by hand, laws that every board keeps, and instances from the literature."""

from __future__ import annotations

import math
from itertools import combinations
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from pathkit.errors import Refused
from pathkit.model.curve import Curve
from pathkit.model.stock import Stock, Zone
from pathkit.model.tool import Tool
from pathkit.operations import Placement, obround, rectangle, spread
from pathkit.operations.nesting import Fixed, Item, Nested, Placed, Sheet, alone, nest, strip
from pathkit.operations.nesting import boards as boards_module
from pathkit.operations.nesting.no_fit import no_fit, pieces
from pathkit.operations.nesting.separation import faults

PLATE = rectangle((0, 0), 90.0, 50.0, 8.0)
ELBOW = Curve.polyline([(0, 0), (60, 0), (60, 20), (20, 20), (20, 60), (0, 60)], closed=True)
WEDGE = Curve.polyline([(0, 0), (70, 0), (35, 50)], closed=True)
DISC = Curve.circle((0, 0), 25.0)
SHAPES = (PLATE, ELBOW, WEDGE, DISC, obround((0, 0), (30, 10), 14.0))


def sheet(width: float, depth: float, apart: float = 12.0, margin: float = 8.0, **more: Any) -> Sheet:
    return Sheet(Stock(width, depth, 9.0, **more), apart, margin, 4.0)


def areas(board: Nested) -> list[Any]:
    """What lies on a board, turned and carried by shapely."""
    found = []
    for each in board.placed:
        area = shapely.Polygon(board.items[each.item].outline.flattened(1e-4))
        turned = shapely.affinity.rotate(area, 90.0 * each.place.turn, origin=(0, 0))
        found.append(shapely.affinity.translate(turned, each.place.x, each.place.y))
    return found


def keeps_apart(board: Nested, on: Sheet) -> None:
    there = areas(board)
    room = shapely.box(*on.room).buffer(1e-3)
    assert all(room.covers(area) for area in there)
    assert all(one.distance(other) > on.apart - 2e-3 for one, other in combinations(there, 2))
    assert all(area.distance(zone) > on.kerf - 2e-3 for area in there for zone in on.barred)


@pytest.mark.parametrize(
    ("width", "depth", "count"),
    [
        # Discs of 50 mm, 12 mm apart: pitch 62, rows 62 · sin 60° = 53.69 mm high. Within its margins the board holds
        # (424 − 50) / 62 + 1 = 7 in a row, (374 − 31) / 62 + 1 = 6 in an offset one; (d − 16 − 50) / 53.69 + 1 rows.
        (440.0, 120.0, 7 + 6),  # plain rows: 7
        (440.0, 175.0, 7 + 6 + 7),  # plain rows: (159 + 12) / 62 = 2 of 7
        (440.0, 230.0, 7 + 6 + 7 + 6),  # plain rows: 3 of 7
        (66.0, 66.0, 1),
    ],
)
def test_round_parts_lie_in_offset_rows(width: float, depth: float, count: int) -> None:
    boards = nest([Item("disc", DISC, count)], sheet(width, depth))
    assert [board.count for board in boards] == [count]
    keeps_apart(boards[0], sheet(width, depth))
    assert nest([Item("disc", DISC, count + 1)], sheet(width, depth))[0].count == count


@pytest.mark.parametrize("outline", SHAPES)
@pytest.mark.parametrize("size", [(440.0, 240.0), (300.0, 500.0)])
def test_no_part_needs_more_boards_than_plain_rows_of_it(outline: Curve, size: tuple[float, float]) -> None:
    plain = spread(outline, Stock(*size, 9.0), Tool("bit", 4.0), 40, spacing=12.0, margin=8.0)
    boards = nest([Item("part", outline, 40, (0, 2))], sheet(*size))
    assert sum(board.count * board.times for board in boards) == 40
    assert sum(board.times for board in boards) <= len(plain)
    assert boards[0].count >= plain[0].count


def test_elbows_lie_within_each_other() -> None:
    # Two elbows turned against each other take 92 × 60 mm and less; side by side they need 132 mm.
    assert nest([Item("elbow", ELBOW, 2, (0, 2))], sheet(60 + 50 + 16, 90.0))[0].count == 2


parts = st.lists(
    st.tuples(st.sampled_from(SHAPES), st.integers(1, 6), st.sampled_from([(0,), (0, 2), (1,), (0, 1, 2, 3)])),
    min_size=1, max_size=4,
)  # fmt: skip


@given(parts, st.floats(150.0, 400.0), st.floats(150.0, 300.0), st.floats(4.0, 15.0))
@settings(max_examples=10)
def test_every_copy_lies_on_some_board_and_none_on_another(
    wanted: list[tuple[Curve, int, tuple[int, ...]]], width: float, depth: float, apart: float
) -> None:
    on = sheet(width, depth, apart)
    items = [Item(f"part {k}", *each) for k, each in enumerate(wanted)]
    with pytest.MonkeyPatch.context() as patch:
        # No long look at what may or may not fit on one board fewer.
        patch.setattr(boards_module, "COPIES_TRIED_LONGER", 40)
        patch.setattr(strip, "REPORTS", 5)
        boards, again = nest(items, on), nest(items, on)
    assert boards == again
    for k, item in enumerate(items):
        assert sum(board.times * board.counts[k] for board in boards) == item.quantity
    for board in boards:
        keeps_apart(board, on)
        assert all(each.place.turn in items[each.item].turns for each in board.placed)


def test_fixed_parts_and_clamps_are_kept_off() -> None:
    clamp = Zone(shapely.box(0.0, 100.0, 40.0, 140.0), "clamp", 20.0)
    on = sheet(440.0, 240.0, zones=(clamp,))
    fixed = Fixed(1, Placement(200.0, 100.0))
    boards = nest([Item("elbow", ELBOW, 14, (0, 2)), Item("plate", PLATE, 0)], on, [fixed])
    assert Placed(1, fixed.place) in boards[0].placed
    assert sum(board.times * board.counts[0] for board in boards) == 14
    for board in boards:
        keeps_apart(board, on)


def test_a_part_that_fits_on_no_board_is_refused_with_its_size() -> None:
    with pytest.raises(Refused, match=r"'plate' of 90 × 50 mm does not fit on the board of 100 × 80 mm"):
        nest([Item("disc", DISC), Item("plate", PLATE)], sheet(100.0, 80.0))


def test_boards_that_are_alike_are_one_with_its_times() -> None:
    boards = nest([Item("disc", DISC, 30)], sheet(440.0, 120.0))
    assert [(board.count, board.times) for board in boards] == [(13, 2), (4, 1)]
    assert [board.count for board in alone(boards)] == [13, 13, 4]


@pytest.mark.parametrize(
    ("moved", "told"),
    [
        (Placement(60.0, 8.0), "lie on each other"),
        (Placement(109.0, 8.0), "lie 11.000 mm apart, and 12 mm is wanted"),
        (Placement(200.0, 7.9), "lies less than 8 mm from the board's edge"),
        (Placement(317.0, 8.0), "and its kerf lie on a screw or clamp"),
    ],
)
def test_the_second_look_finds_what_lies_wrong(moved: Placement, told: str) -> None:
    on = sheet(440.0, 240.0, zones=(Zone(shapely.box(410.0, 0.0, 420.0, 90.0), "screw"),))
    there = [Placed(0, Placement(8.0, 8.0)), Placed(0, Placement(110.0, 8.0))]
    assert not faults([Item("plate", PLATE)], there, on)
    found = faults([Item("plate", PLATE)], [there[0], Placed(0, moved)], on)
    assert told in " ".join(fault.what for fault in found)


@given(st.integers(3, 7), st.integers(3, 7), st.randoms(use_true_random=False))
def test_where_a_part_may_not_go_is_where_it_meets_the_other(n: int, m: int, random: Any) -> None:
    def star(corners: int) -> Any:
        """A ring that is seen whole from its middle: corners in order of their angle."""
        angles = sorted(random.uniform(0.0, 2.0 * math.pi) for _ in range(corners))
        return shapely.make_valid(
            shapely.Polygon(
                [(random.uniform(5, 30) * math.cos(a), random.uniform(5, 30) * math.sin(a)) for a in angles]
            )
        )

    one, other = star(n), star(m)
    if one.geom_type != "Polygon" or other.geom_type != "Polygon" or min(one.area, other.area) < 1.0:
        return
    barred = no_fit(pieces(one), pieces(other))
    for x, y in np.array([[random.uniform(-60, 60), random.uniform(-60, 60)] for _ in range(20)]):
        there = shapely.affinity.translate(other, x, y)
        if barred.boundary.distance(shapely.Point(x, y)) > 1e-3:
            assert one.intersects(there) == barred.intersects(shapely.Point(x, y))


def test_a_strip_is_packed_alike_every_time_and_as_short_as_asked() -> None:
    ring = np.array([(0.0, 0.0), (40.0, 0.0), (20.0, 30.0)])
    asked = [strip.Piece(ring, 6, (0, 2)), strip.Piece(np.array([(0.0, 0.0), (20, 0), (20, 20), (0, 20)]), 4, (0,))]
    first, second = (strip.pack(asked, 62.0, short_enough=125.0, reports=60) for _ in range(2))
    assert first is not None
    assert first == second
    # 6 · 600 + 4 · 400 mm² in 62 mm: no strip is shorter than 83.8 mm.
    assert 83.8 < first.length <= 125.0
    assert len(first.places) == 10


# Hopper and Turton (2001), An empirical investigation of meta-heuristic and heuristic algorithms for a 2D packing
# problem, European Journal of Operational Research 128, 34-57: instances C1, sixteen or seventeen rectangles cut from
# a sheet of 20 × 20, which is the best there is. Written down from memory; their areas add up to 400, as they must.
C1 = {
    "C1P1": "2 12,7 12,8 6,3 6,3 5,5 5,3 12,3 7,5 7,2 6,3 2,4 2,3 4,4 4,9 2,11 2",
    "C1P2": "4 1,4 5,9 4,3 5,3 9,1 4,5 3,4 1,5 5,7 2,9 3,3 13,2 8,15 4,5 4,10 6,7 2",
    "C1P3": "4 14,5 2,2 2,9 7,5 5,2 5,7 7,3 5,6 5,3 2,6 2,4 6,6 3,10 3,6 3,10 3",
}


@pytest.mark.parametrize("name", C1)
def test_published_rectangles_come_within_five_per_cent_of_the_best(name: str) -> None:
    sizes = [tuple(map(float, each.split())) for each in C1[name].split(",")]
    assert sum(width * depth for width, depth in sizes) == 400.0
    items = [Item(f"{k}", rectangle((0, 0), 10.0 * w, 10.0 * d), 1, (0, 1)) for k, (w, d) in enumerate(sizes)]
    boards = nest(items, Sheet(Stock(210.0, 200.0, 1.0), 0.0, 0.0, 0.0))
    assert [board.count for board in boards] == [len(sizes)]
