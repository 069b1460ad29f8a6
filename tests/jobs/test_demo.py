"""The demo is real work: shapely judges what its bit sweeps against the parts that it promises."""

from itertools import combinations

import pytest
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from pathkit.jobs.demo import demo_job, demo_passes
from pathkit.model import codec
from pathkit.model.curve import Curve
from pathkit.model.toolpath import Toolpath
from tests.demo import demo
from tests.swept import swept

JOB = demo()


def plate(curve: Curve) -> Polygon:
    return Polygon(curve.flattened(1e-3))


def of(part: str, *roles: str) -> list[Toolpath]:
    return [path for path in JOB.toolpaths if path.part == part and path.role in roles]


def test_twelve_plates_and_what_each_has() -> None:
    assert len(JOB.parts) == 12
    for part in JOB.parts:
        assert [len(of(part.name, role)) for role in ("pocket", "finish", "slot", "drill", "outline")] == [
            1,
            1,
            1,
            4,
            1,
        ]


def test_every_plate_comes_out_as_its_part_says() -> None:
    for part in JOB.parts:
        assert part.outline is not None
        outline, recess = plate(part.outline), plate(part.recesses[0].curve)
        holes = unary_union([plate(hole.curve) for hole in part.holes])
        through = swept(of(part.name, "slot", "drill"))
        assert through.symmetric_difference(holes).buffer(-0.01).is_empty
        floor = swept(of(part.name, "pocket", "finish"))
        assert floor.symmetric_difference(recess).buffer(-0.01).is_empty
        freed = swept(of(part.name, "outline"))
        assert freed.intersection(outline).buffer(-0.01).is_empty
        assert freed.buffer(0.01).union(outline).buffer(-0.01).contains(outline.buffer(1.0)), "freed all round"


def test_cuts_keep_to_the_board_and_leave_a_web_between_plates() -> None:
    board = box(0.0, 0.0, JOB.stock.width, JOB.stock.depth)
    kerfs = [swept(of(part.name, "outline")) for part in JOB.parts]
    assert all(board.buffer(-10.0).contains(kerf) for kerf in kerfs)
    assert min(a.distance(b) for a, b in combinations(kerfs, 2)) == pytest.approx(4.0, abs=0.01)


def test_through_cuts_end_in_the_waste_and_tape_lies_clear_of_them() -> None:
    stock = JOB.stock
    for path in JOB.toolpaths:
        assert path.bottom is not None
        if path.role in ("slot", "drill", "outline"):
            assert stock.bed < path.bottom == pytest.approx(stock.underside - 0.3)
    through = swept(JOB.toolpaths, "slot", "drill", "outline")
    assert len(stock.zones) == 12
    assert all(zone.kind == "tape" and not zone.shape.intersects(through) for zone in stock.zones)
    for zone, part in zip(stock.zones, JOB.parts, strict=True):
        assert part.outline is not None
        assert plate(part.outline).contains(zone.shape)


def test_it_survives_being_written_down() -> None:
    assert codec.loads(codec.dumps(JOB)) == JOB
    assert demo_job() == JOB


def test_its_passes_are_those_of_the_house() -> None:
    assert [step.name for step in demo_passes()] == [
        "merge_stepdowns", "spare_top_edge", "hold_tabs", "ramp_entries", "order_travel",
    ]  # fmt: skip
