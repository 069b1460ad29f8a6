"""The map of heights: what it finds; compiled and plain kernels agree; order does not change a board."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings

import pathkit as pk
from pathkit.errors import InputError, PathkitError, Refused
from pathkit.motion.program import LINE, RAPID, Program
from pathkit.proof.material import heightmap_kernel
from pathkit.proof.material.bits import bits_by_events, full_width, width_at
from pathkit.proof.material.heightmap import FEW_POINTS, GRID, Removal, grid_for, remove
from pathkit.testing import strategies

MACHINE = pk.load_machine("grbl-front-left")
BIT = pk.Tool("6 mm end mill", 6.0, number=1, centre_cutting=True, cut_length=12.0, shank=8.0, holder=30.0, reach=20.0)
BLUNT = pk.Tool("6 mm blunt", 6.0, number=2)
CUTTING = pk.Cutting(feed=1000.0, plunge=300.0, spindle=16000.0)
STOCK = pk.Stock(100.0, 60.0, 15.0, underlay=2.0)


def rows(*moves: tuple[int, float, float, float], stock: pk.Stock = STOCK) -> Program:
    """A program of straight moves: kind, x, y, z."""
    kind, end = np.array([m[0] for m in moves]), np.array([m[1:] for m in moves], float)
    count = len(moves)
    return Program(
        start=np.array([0.0, 0.0, 20.0]), kind=kind, end=end, centre=np.full((count, 2), np.nan), sweep=np.zeros(count),
        feed=np.where(kind == RAPID, np.nan, 500.0), toolpath=np.zeros(count, np.int32),
        level=np.zeros(count, np.int32), line=np.arange(count, dtype=np.int32), names=("cut",), stock=stock,
    )  # fmt: skip


def swept(*moves: tuple[int, float, float, float], tool: pk.Tool = BIT) -> Removal:
    return remove(rows(*moves), stock=STOCK, tools=[tool])


def proved(job: pk.Job, program: Program | None = None) -> pk.Proof:
    made = program if program is not None else pk.lower(job, MACHINE)
    return pk.verify(pk.post(made, MACHINE), made, MACHINE, job=job)


def slot(tool: pk.Tool = BIT, **fields: Any) -> pk.Job:
    line = pk.Curve.polyline([(20.0, 30.0), (80.0, 30.0)])
    values: dict[str, Any] = {"bottom": -6.0, "stepdown": 3.0, "role": "slot", **fields}
    return pk.Job("board", STOCK, (pk.Toolpath("slot", line, tool, CUTTING, **values),))


def test_a_rapid_through_wood_is_met_and_one_through_its_own_slot_is_not() -> None:
    way = ((RAPID, 20.0, 30.0, 5.0), (LINE, 20.0, 30.0, -3.0), (LINE, 80.0, 30.0, -3.0))
    assert swept(*way, (RAPID, 20.0, 30.0, -3.0)).rapid.max() == 0.0
    assert swept(*way, (RAPID, 20.0, 30.0, -3.5)).rapid[3] == pytest.approx(0.5, abs=0.01)
    beside = swept(*way, (RAPID, 80.0, 34.0, -3.0))
    assert beside.rapid[3] == pytest.approx(3.0)
    assert beside.toolpaths[0].rapid_row == 3
    # Straight up, the bit comes out of the hole that it has made.
    assert swept(*way, (RAPID, 80.0, 30.0, 20.0)).rapid.max() == 0.0


def test_a_ball_goes_back_along_its_own_groove() -> None:
    ball = replace(BIT, kind="ball")
    way = ((LINE, 20.0, 30.0, 5.0), (LINE, 20.0, 30.0, -2.0), (LINE, 80.0, 30.0, -2.0), (RAPID, 20.0, 30.0, -2.0))
    assert swept(*way, tool=ball).rapid.max() == 0.0


def test_straight_down_without_a_cutting_centre() -> None:
    down = ((LINE, 20.0, 30.0, 1.0), (LINE, 20.0, 30.0, -3.0))
    assert swept(*down, tool=BLUNT).straight[1] == pytest.approx(3.0)
    assert swept(*down).straight.max() == 0.0
    again = (
        *down,
        (LINE, 60.0, 30.0, -3.0),
        (LINE, 60.0, 30.0, 2.0),
        (LINE, 40.0, 30.0, 2.0),
        (LINE, 40.0, 30.0, -3.0),
    )
    assert swept(*again, tool=BLUNT).straight[5] == 0.0


def test_wood_above_the_flutes_is_met_by_shank_and_holder() -> None:
    deep = replace(BIT, cut_length=4.0, reach=7.0)
    levels = [(LINE, x, 30.0, z) for z in (-3.0, -6.0, -9.0) for x in ((20.0, 80.0) if z == -6.0 else (80.0, 20.0))]
    removal = swept((LINE, 80.0, 30.0, 2.0), *levels, tool=deep)
    assert removal.bite.max() == pytest.approx(3.0)
    # 9 mm down with 4 mm of flutes: 5 mm of wall touch the 8 mm shank, 2 mm the holder.
    assert removal.shank.max() == pytest.approx(5.0)
    assert removal.holder.max() == pytest.approx(2.0)
    assert swept((LINE, 80.0, 30.0, 2.0), *levels, tool=replace(deep, shank=6.0)).shank.max() == 0.0


def test_the_checks_speak_of_bites_flutes_and_holders() -> None:
    job = slot()
    proof = proved(job)
    assert proof.ok
    assert proof["stock removal"].figures["deepest_bite_mm"] == pytest.approx(3.0, abs=1e-3)
    assert proof["bit length"].figures["flutes_to_spare_mm"] == pytest.approx(9.0, abs=1e-3)
    # The same file, judged by a job that wants three levels.
    finer = proved(slot(stepdown=2.0), pk.lower(job, MACHINE))
    assert "levels allow 2.00 mm" in finer["stock removal"].findings[0].what
    assert finer["stock removal"].findings[0].line is not None
    short = proved(slot(replace(BIT, cut_length=2.5)))
    assert "above its flutes" in short["bit length"].findings[0].what
    stubby = proved(slot(replace(BIT, reach=5.0)))
    assert stubby["bit length"].findings[0].what == "its holder meets 1.00 mm of wood"


def test_what_must_come_before_and_does_not() -> None:
    floor, slot_in_it = pk.Curve.polyline([(30.0, 30.0), (70.0, 30.0)]), pk.Curve.polyline([(40.0, 30.0), (60.0, 30.0)])
    upper = pk.Toolpath("upper", floor, BIT, CUTTING, bottom=-3.0, role="slot")
    lower = pk.Toolpath("lower", slot_in_it, BIT, CUTTING, top=-3.0, bottom=-6.0, role="slot")
    assert proved(pk.Job("board", STOCK, (upper, lower))).ok
    wrong = proved(pk.Job("board", STOCK, (lower, upper)))
    assert wrong["stock removal"].findings[0].toolpath == "lower"


def test_zones_are_kept_out_of_by_the_holder_too() -> None:
    from shapely.geometry import box

    def clamped(height: float) -> pk.Proof:
        job = slot()
        stock = replace(STOCK, zones=(pk.Zone(box(40.0, 40.0, 60.0, 55.0), "clamp", height),))
        job = replace(job, stock=stock)
        return proved(job)

    # The holder of 30 mm passes 10 mm from the line of the slot, 14 mm above the board at the deepest level.
    assert clamped(13.0).ok
    found = clamped(15.0)["keep-out zones"].findings
    assert found
    assert all("the holder meets a clamp" in f.what for f in found)


def test_what_cannot_be_mapped_is_refused() -> None:
    program = rows((LINE, 10.0, 10.0, -1.0))
    with pytest.raises(InputError, match="bits"):
        remove(program, stock=STOCK)
    with pytest.raises(InputError, match="board"):
        remove(program.replace(stock=None), tools=[BIT])
    with pytest.raises(InputError, match="grid"):
        remove(program, stock=STOCK, tools=[BIT], grid=0.0)
    with pytest.raises(InputError, match="controller"):
        remove(program.replace(frame="controller"), stock=STOCK, tools=[BIT])
    with pytest.raises(Refused, match="take a grid of"):
        remove(program, stock=STOCK, tools=[BIT], grid=0.001)


def test_a_proof_maps_a_large_board_more_coarsely() -> None:
    sheet = pk.Stock(2440.0, 1220.0, 18.0)
    assert grid_for(STOCK) == GRID
    assert sheet.width * sheet.depth / grid_for(sheet) ** 2 == pytest.approx(FEW_POINTS)


def test_bits_are_known_by_number_then_name() -> None:
    from pathkit.motion.program import ToolChange

    program = rows(*[(LINE, 10.0, 10.0, 1.0)] * 4)
    assert bits_by_events(program, [BIT]).tolist() == [0, 0, 0, 0]
    assert bits_by_events(program, [BIT, BLUNT]).tolist() == [-1, -1, -1, -1]
    changes = program.replace(
        event=(ToolChange("T2", 2), ToolChange(BIT.name), ToolChange("T9", 9)), event_at=[0, 2, 3]
    )
    assert bits_by_events(changes, [BIT, BLUNT]).tolist() == [1, 1, 0, -1]
    unknown = remove(changes, stock=STOCK, tools=[BIT, BLUNT])
    assert unknown.known


def test_widths_of_bits() -> None:
    ball, vee = pk.Tool("b", 6.0, kind="ball"), pk.Tool("v", 6.0, kind="vee", angle=60.0)
    assert [width_at(ball, h) for h in (0.0, 3.0, 9.0)] == [0.0, 3.0, 3.0]
    assert width_at(vee, 3.0) == pytest.approx(3.0 * np.tan(np.radians(30.0)))
    assert width_at(vee, 99.0) == width_at(BIT, 0.0) == 3.0
    assert [full_width(t) for t in (BIT, ball)] == [0.0, 3.0]
    assert full_width(vee) == pytest.approx(3.0 / np.tan(np.radians(30.0)))


def test_the_compiled_kernel_is_the_plain_one(monkeypatch: pytest.MonkeyPatch) -> None:
    way = ((LINE, 5.0, 5.0, 2.0), (LINE, 5.0, 5.0, -2.0), (LINE, 12.0, 9.0, -5.0), (RAPID, 14.0, 6.0, -1.0))
    tools = [
        replace(BIT, cut_length=1.0, reach=3.0),
        pk.Tool("ball", 6.0, kind="ball"),
        pk.Tool("v", 6.0, kind="vee", angle=80.0),
    ]
    small = pk.Stock(20.0, 14.0, 4.0)
    program = rows(*way, stock=small)
    compiled = [remove(program, stock=small, tools=[t]) for t in tools]
    for name in ("sweep", "_span", "_floor", "_meet", "_cut"):
        monkeypatch.setattr(heightmap_kernel, name, getattr(heightmap_kernel, name).py_func)
    for tool, fast in zip(tools, compiled, strict=True):
        plain = remove(program, stock=small, tools=[tool])
        for column in ("height", "opened", "volume", "bite", "rapid", "straight", "shank", "holder"):
            assert np.array_equal(getattr(fast, column), getattr(plain, column)), (tool.name, column)


@given(strategies.jobs(repeats=False))
@settings(max_examples=10)
def test_passes_that_only_order_merge_or_reverse_leave_the_same_board(job: pk.Job) -> None:
    # No round number: what is drawn on halves would have its edges on the very points of such a map.
    try:
        before = remove(pk.lower(job, MACHINE), job, grid=0.47)
        ordered = pk.Pipeline([pk.OrderTravel(effort=0.1, seed=1)]).run(job, MACHINE).job
        levelled = pk.Pipeline([pk.MergeStepdowns()]).run(job, MACHINE).job
        ramped = pk.Pipeline([pk.RampEntries(angle=3.0)]).run(job, MACHINE).job
        boards = [remove(pk.lower(each, MACHINE), each, grid=0.47) for each in (ordered, levelled, ramped)]
    except PathkitError:
        return
    for after in boards:
        differ = np.abs(after.height - before.height) > 1e-5
        # A point on the very edge of a cut may fall to either side through rounding.
        cut = int(np.count_nonzero(before.height < job.stock.highest_top))
        assert np.count_nonzero(differ) <= 2e-4 * max(cut, 5000)
        assert after.total == pytest.approx(before.total, rel=1e-3, abs=1.0)


@given(strategies.jobs(repeats=False))
@settings(max_examples=10)
def test_good_jobs_raise_no_error(job: pk.Job) -> None:
    try:
        passes: list[pk.Pass] = [pk.MergeStepdowns(), pk.RampEntries(angle=3.0), pk.OrderTravel(effort=0.1, seed=0)]
        done = pk.Pipeline(passes).run(job, MACHINE).job
        program = pk.lower(done, MACHINE)
        posted = pk.post(program, MACHINE)
    except PathkitError:
        return
    proof = pk.verify(posted, program, MACHINE, job=done)
    assert [str(f) for f in proof.findings if f.severity == "error"] == []
