"""Layouts against counts worked out by hand and against laws that all keep; copies are the same part, moved."""

import math
import time
from functools import cache
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import STRtree
from shapely.geometry import Polygon, box

import pathkit as pk
from pathkit.errors import InputError, ModelError, Refused
from pathkit.model.curve import Curve
from pathkit.model.stock import Stock, Zone
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Tab, Toolpath
from pathkit.operations import Layout, Placement, contour, fill, laid_out, part_of, pocket, rectangle, slot, spread
from pathkit.operations.copies import placed

BIT = Tool("4 mm", 4.0, centre_cutting=True)
CUT = Cutting(feed=1800.0, plunge=500.0, spindle=16000.0)
PLATE = rectangle((0, 0), 90.0, 50.0, 8.0)


def boxes(layout: Layout, curve: Curve) -> list[Polygon]:
    return [box(*placed(curve, place).bounds) for place in layout.placements]


@pytest.mark.parametrize(
    ("width", "depth", "options", "count"),
    [
        # By hand: pitch 102 × 62 (two kerfs of 4 and a web of 4), margin 8 (a kerf and a web).
        (400.0, 400.0, {}, 3 * 6),  # 3·90 + 2·12 = 294, a fourth would need 396 of 384; 6·50 + 5·12 = 360 of 384
        (440.0, 240.0, {}, 4 * 3),  # 4·90 + 3·12 = 396 of 424; 3·50 + 2·12 = 174 of 224
        (106.0, 66.0, {}, 1),  # exactly a plate and its margins
        (208.0, 66.0, {}, 2),  # exactly two
        (207.9, 66.0, {}, 1),
        (400.0, 400.0, {"web": 0.0}, 4 * 6),  # pitch 98 × 58, margin 4: 4·90 + 3·8 = 384 and 6·50 + 5·8 = 340 of 392
        (400.0, 400.0, {"spacing": 20.0, "margin": 0.0}, 3 * 6),  # 3·90 + 2·20 = 310, 4 → 420; 6·50 + 5·20 = 400
        (400.0, 66.0, {"keep_grain": False}, 3),
        (66.0, 400.0, {"keep_grain": False}, 3),  # turned: 3·90 + 2·12 = 294 of 384
        (400.0, 400.0, {"keep_grain": False}, 3 * 6),  # turned, it is 6 × 3 too
        (300.0, 110.0, {"keep_grain": False}, 4),  # as drawn 2 × 1; turned 4·50 + 3·12 = 236 of 284, 90 of 94
        (600.0, 400.0, {"count": 7}, 7),
    ],
)
def test_counts_are_what_arithmetic_says(width: float, depth: float, options: dict[str, Any], count: int) -> None:
    assert fill(PLATE, Stock(width, depth, 9.0), BIT, **options).count == count


def test_a_board_reports_its_waste() -> None:
    layout = fill(PLATE, Stock(400.0, 400.0, 9.0), BIT)
    area = 90.0 * 50.0 - (4.0 - math.pi) * 64.0
    assert layout.waste == pytest.approx(1.0 - 18 * area / 160_000.0)
    assert str(layout) == "18 copies on a board of 400 × 400 mm, 50 % of it waste"
    assert layout.as_dict()["copies"] == 18
    assert layout.placements[0] == Placement(8.0, 8.0)
    assert layout.placements[1] == Placement(110.0, 8.0), "row by row"
    assert layout.placements[3] == Placement(8.0, 70.0)


def test_a_grid_may_stand_in_the_middle() -> None:
    layout = fill(PLATE, Stock(440.0, 240.0, 9.0), BIT, align="centre")
    # By hand: (440 − 396) / 2 and (240 − 174) / 2.
    assert layout.placements[0] == Placement(22.0, 33.0)


def test_a_count_goes_over_several_boards() -> None:
    boards = spread(PLATE, Stock(440.0, 240.0, 9.0), BIT, 30)
    assert [board.count for board in boards] == [12, 12, 6]
    assert [board.count for board in spread(PLATE, Stock(440.0, 240.0, 9.0), BIT, 24)] == [12, 12]
    with pytest.raises(InputError, match="count is 0"):
        spread(PLATE, Stock(440.0, 240.0, 9.0), BIT, 0)


def test_a_clamp_costs_what_arithmetic_says() -> None:
    clamp = Zone(box(0.0, 190.0, 30.0, 210.0), "clamp", 20.0)
    layout = fill(PLATE, Stock(400.0, 400.0, 9.0, zones=(clamp,)), BIT)
    # By hand: beside a clamp 30 mm wide and a kerf a row begins at 34, and three still end at 34 + 294 = 328 < 392.
    assert layout.count == 18
    wide = Zone(box(0.0, 190.0, 120.0, 210.0), "screw")
    # By hand: behind 120 and a kerf 268 mm are left, two plates a row; rows in front of 186 and behind 214 are whole:
    # 3 rows of 3 end at 8 + 174 = 182, and from 214 on 3 rows of 3 end at 388.
    assert fill(PLATE, Stock(400.0, 400.0, 9.0, zones=(wide,)), BIT).count == 18
    middle = Zone(box(100.0, 100.0, 300.0, 300.0), "clamp")
    assert fill(PLATE, Stock(400.0, 400.0, 9.0, zones=(middle,)), BIT).count == 6, "a row of three before and behind it"
    assert fill(PLATE, Stock(400.0, 400.0, 9.0, zones=(Zone(middle.shape, "tape"),)), BIT).count == 18, "tape is below"


def test_what_does_not_fit_is_refused_with_the_sizes() -> None:
    with pytest.raises(Refused, match=r"90 × 50 mm does not fit on the board of 80 × 200 mm, which has 64 × 184"):
        fill(PLATE, Stock(80.0, 200.0, 9.0), BIT)
    with pytest.raises(Refused, match="less what has to be avoided"):
        fill(PLATE, Stock(120.0, 80.0, 9.0), BIT, avoid=[box(50, 30, 60, 40)])
    with pytest.raises(Refused, match="no room for the kerf"):
        fill(PLATE, Stock(400.0, 400.0, 9.0), BIT, spacing=3.0)
    with pytest.raises(InputError, match="give one of them"):
        fill(PLATE, Stock(400.0, 400.0, 9.0), BIT, spacing=30.0, web=3.0)
    with pytest.raises(ModelError, match="margin is -1"):
        fill(PLATE, Stock(400.0, 400.0, 9.0), BIT, margin=-1.0)


@given(
    st.floats(5.0, 60.0), st.floats(5.0, 60.0), st.floats(80.0, 400.0), st.floats(80.0, 400.0), st.booleans(),
    st.lists(st.tuples(st.floats(0, 350), st.floats(0, 350), st.floats(2, 80), st.floats(2, 80)), max_size=3),
)  # fmt: skip
def test_no_copy_meets_another_nor_what_it_must_avoid(
    width: float, depth: float, across: float, along: float, keep_grain: bool, clamps: list[tuple[float, ...]]
) -> None:
    zones = tuple(Zone(box(x, y, x + w, y + d), "clamp") for x, y, w, d in clamps)
    stock = Stock(across, along, 9.0, zones=zones)
    part = rectangle((3.0, -7.0), width, depth)
    try:
        layout = fill(part, stock, BIT, keep_grain=keep_grain)
    except Refused:
        return
    placed_ = boxes(layout, part)
    board = box(8.0, 8.0, across - 8.0, along - 8.0).buffer(1e-6)
    assert all(board.contains(each) for each in placed_)
    first, second = STRtree(placed_).query(placed_, predicate="dwithin", distance=12.0 - 1e-6)
    assert (first == second).all(), "two kerfs and a web between any two"
    assert all(each.distance(zone.shape) >= 4.0 - 1e-6 for each in placed_ for zone in zones)
    if not zones:
        plain = math.floor((across - 16 + 12) / (width + 12) + 1e-9) * math.floor(
            (along - 16 + 12) / (depth + 12) + 1e-9
        )
        turned = math.floor((across - 4) / (depth + 12) + 1e-9) * math.floor((along - 4) / (width + 12) + 1e-9)
        assert layout.count == (plain if keep_grain else max(plain, turned))


@given(st.floats(0, 300), st.floats(0, 300))
def test_a_zone_never_costs_more_than_the_copies_it_touches_in_the_grid(x: float, y: float) -> None:
    zone = box(x, y, x + 25.0, y + 25.0)
    stock = Stock(400.0, 400.0, 9.0)
    free = fill(PLATE, stock, BIT)
    hit = sum(each.distance(zone) < 4.0 for each in boxes(free, PLATE))
    assert fill(PLATE, Stock(400.0, 400.0, 9.0, zones=(Zone(zone, "screw"),)), BIT).count >= free.count - hit


@cache
def piece() -> tuple[list[Toolpath], Any, Stock]:
    stock = Stock(440.0, 240.0, 9.0, z_zero="bed", underlay=3.0)
    recess = rectangle((14.0, 10.0), 42.0, 30.0, 4.0)
    through = stock.underside - 0.3
    paths = [
        *contour("plate outline", PLATE, BIT, CUT, bottom=through, stepdown=3, part="plate"),
        *pocket("recess", recess, BIT, CUT, bottom=stock.top - 4, stock=stock, part="plate"),
        *slot("plate slot", Curve([(70, 14), (70, 36)]), BIT, CUT, bottom=through, stepdown=3, part="plate"),
    ]
    return paths, part_of("plate", PLATE, recesses=[(recess, stock.top - 4)]), stock


def test_copies_are_named_placed_and_ordered() -> None:
    paths, part, stock = piece()
    layout = fill(PLATE, stock, BIT)
    copies = laid_out(paths, layout.placements, parts=[part], precedence=[("recess wall", "plate slot")])
    names = [path.name for path in copies.toolpaths]
    assert len(names) == 48
    assert names[:4] == ["recess rows 01", "recess wall 01", "recess rows 02", "recess wall 02"]
    assert names[24:26] == ["plate 01 slot", "plate 02 slot"]
    assert names[-1] == "plate 12 outline"
    assert [part.name for part in copies.parts][-1] == "plate 12"
    assert copies.precedence[1] == ("recess wall 02", "plate 02 slot")
    assert {path.part for path in copies.toolpaths} == {part.name for part in copies.parts}
    by_part = laid_out(paths, layout.placements, order="part", first=7)
    assert [path.name for path in by_part.toolpaths][:4] == [
        "plate 07 outline", "recess rows 07", "recess wall 07", "plate 07 slot",
    ]  # fmt: skip
    job = pk.Job("plates", stock, copies.toolpaths, copies.precedence, copies.parts)
    assert len(job.tools) == 1


@given(st.floats(-500, 500), st.floats(-500, 500), st.integers(0, 3))
def test_a_copy_is_the_piece_moved_by_a_rigid_motion(x: float, y: float, turn: int) -> None:
    paths, part, _ = piece()
    tabbed = [pk.Toolpath("t", PLATE, BIT, CUT, bottom=-9.0, tabs=(Tab(20.0, 6.0, 3.0),), start=5.0), *paths]
    copies = laid_out(tabbed, [Placement(x, y, turn)], parts=[part], order="part")
    angle = turn * math.pi / 2
    motion = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    for before, after in zip(tabbed, copies.toolpaths, strict=True):
        for station in np.linspace(0, before.curve.length, 9):
            assert after.curve.at(station) == pytest.approx(motion @ before.curve.at(station) + [x, y], abs=1e-6)
        kept = ("tool", "cutting", "bottom", "top", "stepdown", "role", "entry", "tabs", "start", "reversible")
        assert all(getattr(before, field) == getattr(after, field) for field in kept)
        assert after.curve.area == pytest.approx(before.curve.area, abs=1e-6), "climb stays climb"
    moved = copies.parts[0]
    assert moved.outline is not None
    assert part.outline is not None
    assert moved.outline.area == pytest.approx(part.outline.area)
    assert moved.recesses[0].bottom == part.recesses[0].bottom


def test_a_turned_layout_tells_the_grain_as_the_drawing_sees_it() -> None:
    layout = fill(PLATE, Stock(66.0, 400.0, 9.0, grain=90.0), BIT, keep_grain=False)
    assert layout.turn == 1
    assert layout.grain == 0.0
    assert fill(PLATE, Stock(400.0, 66.0, 9.0, grain=30.0), BIT).grain == 30.0
    assert all(box(0, 0, 66, 400).contains(each) for each in boxes(layout, PLATE))


def test_bad_placements_are_refused() -> None:
    paths, *_ = piece()
    with pytest.raises(ModelError, match="turn is 5"):
        laid_out(paths, [Placement(0, 0, 5)])
    with pytest.raises(ModelError, match="placement 1 is 3"):
        laid_out(paths, [Placement(0, 0), 3])  # type: ignore[list-item]
    with pytest.raises(InputError, match="no toolpath called 'x'"):
        laid_out(paths, [Placement(0, 0)], precedence=[("x", "recess wall")])
    with pytest.raises(ModelError, match="order is 'board'"):
        laid_out(paths, [Placement(0, 0)], order="board")  # type: ignore[arg-type]


def test_two_thousand_toolpaths_cost_little_more_than_one_piece() -> None:
    paths, part, _ = piece()
    began = time.process_time()
    for _ in range(5):
        pocket("r", rectangle((14.0, 10.0), 42.0, 30.0, 4.0), BIT, CUT, bottom=-4.0, angle=0.0)
    one = (time.process_time() - began) / 5
    began = time.process_time()
    copies = laid_out(paths, [Placement(k * 102.0, 0.0) for k in range(500)], parts=[part])
    assert len(copies.toolpaths) == 2000
    # If each were worked out again, 500 pockets would take 500 times as long as one.
    assert time.process_time() - began < 150 * one
