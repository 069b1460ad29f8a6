"""Finished shapes: walls and floors to a hundredth of a millimetre, and the stated exceptions, exactly."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st

import pathkit as pk
from pathkit.model.job import Feature
from pathkit.model.toolpath import Role
from pathkit.operations import contour, drill, engrave, moved, obround, pocket, rectangle, slot
from pathkit.proof.checks import finished_shape
from pathkit.proof.material.cross_sections import Cuts
from pathkit.proof.material.stubs import stub_of
from pathkit.proof.material.webs import least_web

MACHINE = pk.load_machine("grbl-front-left")
BIT = pk.Tool("4 mm end mill", 4.0, number=1, centre_cutting=True)
CUTTING = pk.Cutting(feed=1000.0, plunge=300.0, spindle=16000.0)
STOCK = pk.Stock(120.0, 80.0, 6.0, z_zero="bed", underlay=2.0)
AT = (30.0, 20.0)
OUTLINE = moved(rectangle((0.0, 0.0), 60.0, 40.0, radius=6.0), AT)
RECESS = moved(rectangle((8.0, 8.0), 24.0, 18.0, radius=3.0), AT)
SLIT = ((46.0, 10.0), (46.0, 30.0))
HOLE = (AT[0] + 54.0, AT[1] + 7.0)
FLOOR = STOCK.top - 2.5
TABS = (pk.Tab(30.0, 6.0, 3.0), pk.Tab(130.0, 6.0, 3.0))
PART = pk.Part(
    "plate",
    OUTLINE,
    recesses=(Feature(RECESS, FLOOR),),
    holes=(Feature(moved(obround(*SLIT, 4.0), AT)), Feature(pk.Curve.circle(HOLE, 2.0))),
)


def board(
    *, bit: pk.Tool = BIT, outline: pk.Curve = OUTLINE, recess: pk.Curve = RECESS, floor: float = FLOOR,
    through: float = STOCK.underside - 0.3, slit: pk.Curve | None = None, tabs: tuple[pk.Tab, ...] = TABS,
    part: pk.Part = PART,
) -> pk.Job:  # fmt: skip
    line = slit or moved(pk.Curve.polyline(SLIT), AT)
    paths = (
        *pocket("recess", recess, bit, CUTTING, bottom=floor, stock=STOCK),
        *slot("slot", line, bit, CUTTING, bottom=through, stepdown=3.0),
        *drill("hole", [HOLE], bit, CUTTING, bottom=through),
        *(replace(p, tabs=tabs) for p in contour("outline", outline, bit, CUTTING, bottom=through, stepdown=3.0)),
    )
    return pk.Job("board", STOCK, paths, parts=(part,))


def proved(job: pk.Job, machine: pk.Machine = MACHINE) -> pk.Proof:
    program = pk.lower(job, machine)
    return pk.verify(pk.post(program, machine), program, machine, job=job)


def failed(job: pk.Job) -> set[str]:
    proof = proved(job)
    return {c.name for c in proof.checks if c.status == "failed"} & {"gouges", "finished shape"}


def grown(curve: pk.Curve, by: float) -> pk.Curve:
    return pk.Curve.from_shapely(shapely.Polygon(curve.flattened(0.0005)).buffer(by, quad_segs=64).exterior)


def test_a_sound_board_raises_nothing() -> None:
    proof = proved(board())
    assert proof.ok
    assert proof["finished shape"].figures["shapes"] == 4
    assert float(proof["gouges"].figures["deepest_mm"]) < 0.003


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (lambda by: board(outline=grown(OUTLINE, -by)), "gouges"),
        (lambda by: board(outline=grown(OUTLINE, by)), "finished shape"),
        (lambda by: board(recess=grown(RECESS, by)), "gouges"),
        (lambda by: board(recess=grown(RECESS, -by)), "finished shape"),
        (lambda by: board(floor=FLOOR - by), "gouges"),
        (lambda by: board(floor=FLOOR + by), "finished shape"),
        (lambda by: board(slit=moved(pk.Curve.polyline(SLIT), (AT[0] + by, AT[1]))), "gouges"),
    ],
)
def test_walls_and_floors_to_a_hundredth(change: Callable[[float], pk.Job], expected: str) -> None:
    assert failed(change(0.006)) == set()
    assert expected in failed(change(0.018))


def test_through_cuts_go_through() -> None:
    assert failed(board(through=STOCK.underside)) == set()
    assert failed(board(through=STOCK.underside + 0.01)) == {"finished shape"}


def test_each_shape_that_is_not_cut_is_named_with_its_path() -> None:
    whole = board()
    places = {"recess rows": "recesses[0]", "slot": "holes[0]", "hole": "holes[1]", "outline": "outline"}
    for name, place in places.items():
        without = replace(whole, toolpaths=tuple(p for p in whole.toolpaths if p.name != name))
        found = proved(without)["finished shape"].findings
        assert [f.path for f in found] == [f"$.parts[0].{place}"], name


def test_inside_corners_are_left_out_as_far_as_the_bit_is_round_and_no_further() -> None:
    square = moved(rectangle((8.0, 8.0), 24.0, 18.0), AT)
    part = replace(PART, recesses=(Feature(square, FLOOR),))
    assert failed(board(part=part, recess=square)) == set()
    # These corners are rounder than the bit makes them.
    assert failed(board(part=part, recess=RECESS)) == {"finished shape"}


def test_islands_are_of_the_part() -> None:
    island = pk.Curve.circle((AT[0] + 20.0, AT[1] + 17.0), 3.0)
    part = replace(PART, recesses=(Feature(RECESS, FLOOR, (island,)),))
    assert failed(board(part=part)) == {"gouges"}
    whole = board(part=part)
    cut = pocket("recess", RECESS, BIT, CUTTING, bottom=FLOOR, stock=STOCK, islands=(island,))
    others = tuple(p for p in whole.toolpaths if not p.name.startswith("recess"))
    assert failed(replace(whole, toolpaths=(*cut, *others))) == set()


def test_engraving_may_mark_a_part_as_deep_as_it_says() -> None:
    whole = board()
    line = pk.Curve.polyline([(40.0, 52.0), (80.0, 52.0)])
    vee = pk.Tool("vee", 6.0, number=2, kind="vee", angle=60.0, centre_cutting=True)
    mark = pk.Toolpath("mark", line, vee, CUTTING, bottom=STOCK.top - 1.0, role="engrave")
    assert failed(replace(whole, toolpaths=(mark, *whole.toolpaths))) == set()
    groove = replace(mark, role="cut")
    assert failed(replace(whole, toolpaths=(groove, *whole.toolpaths))) == {"gouges"}


def test_what_leaves_the_mark_that_is_engraved_is_a_gouge() -> None:
    """Marks are no licence for what runs beside them: from one to the next, a little off, or with a wider bit."""
    fine = pk.Tool("fine", 1.0, number=2, centre_cutting=True)

    def line(*places: tuple[float, float], bit: pk.Tool = fine, role: Role = "engrave") -> pk.Toolpath:
        name = f"{role} {places}"
        return pk.Toolpath(name, pk.Curve.polyline(places), bit, CUTTING, bottom=STOCK.top - 1.0, role=role)

    whole = board()
    marks = line((40.0, 52.0), (70.0, 52.0)), line((40.0, 54.0), (60.0, 54.0), (80.0, 54.5))

    def beside(cut: pk.Toolpath) -> set[str]:
        return failed(replace(whole, toolpaths=(*marks, cut, *whole.toolpaths)))

    assert beside(line((45.0, 52.0), (65.0, 52.0), role="cut")) == set()
    assert beside(line((45.0, 52.0), (45.0, 54.0), role="cut")) == {"gouges"}
    assert beside(line((45.0, 52.05), (65.0, 52.05), role="cut")) == {"gouges"}
    assert beside(line((60.0, 52.0), (75.0, 52.0), role="cut")) == {"gouges"}
    wide = replace(fine, name="wide", number=3, diameter=1.1)
    assert beside(line((45.0, 52.0), (65.0, 52.0), bit=wide, role="cut")) == {"gouges"}


def test_a_ball_is_judged_from_its_full_width() -> None:
    groove = Feature(moved(obround((10.0, 33.0), (40.0, 33.0), 4.0), AT), STOCK.top - 3.0)
    ball = pk.Tool("ball", 4.0, number=2, kind="ball", centre_cutting=True)
    line = moved(pk.Curve.polyline([(10.0, 33.0), (40.0, 33.0)]), AT)
    whole = board(part=replace(PART, recesses=(*PART.recesses, groove)))

    def by(tool: pk.Tool, depth: float) -> set[str]:
        cut = pk.Toolpath("groove", line, tool, CUTTING, bottom=STOCK.top - depth, role="slot")
        return failed(replace(whole, toolpaths=(cut, *whole.toolpaths)))

    assert by(ball, 3.0) == set()
    assert by(ball, 3.05) == {"gouges"}
    assert by(ball, 2.9) == {"finished shape"}
    narrow = replace(ball, diameter=3.6)
    assert by(narrow, 3.0) == {"finished shape"}


def test_tabs_are_left_out_below_their_top_and_nowhere_else() -> None:
    # Tabs that the job does not ask for are wood that should be gone.
    whole = board()
    program = pk.lower(whole, MACHINE)
    bare = board(tabs=())
    proof = pk.verify(pk.post(program, MACHINE), program, MACHINE, job=bare)
    assert [f.path for f in proof["finished shape"].findings] == ["$.parts[0].outline"]
    lower = board(tabs=tuple(replace(tab, height=2.0) for tab in TABS))
    assert pk.verify(pk.post(program, MACHINE), program, MACHINE, job=lower)["finished shape"].status == "failed"
    path = next(p for p in whole.toolpaths if p.name == "outline")
    plan = stub_of(path, TABS[0])
    # 6 mm of wood and the bit's diameter, with a rim all round.
    assert plan.area == pytest.approx((6.0 + 4.0 + 0.1) * (4.0 + 0.1), rel=1e-6)


def test_an_outline_on_the_edge_of_the_board_asks_for_nothing() -> None:
    edge = pk.Part("sheet", rectangle((0.0, 0.0), STOCK.width, STOCK.depth), holes=(PART.holes[1],))
    cut = drill("hole", [HOLE], BIT, CUTTING, bottom=STOCK.underside - 0.3)
    assert failed(pk.Job("board", STOCK, cut, parts=(edge,))) == set()


def test_parts_that_lie_on_each_other_are_named_and_one_in_another_s_hole_is_not() -> None:
    job = board()
    on_it = pk.Part("lid", moved(OUTLINE, (50.0, 0.0)))
    said = [str(finding) for finding in proved(replace(job, parts=(PART, on_it))).findings]
    assert any("the parts 'plate' and 'lid' lie on each other" in each for each in said)
    for apart in (pk.Part("lid", moved(OUTLINE, (60.0, 0.0))), pk.Part("pin", pk.Curve.circle(HOLE, 1.0))):
        said = [str(finding) for finding in proved(replace(job, parts=(PART, apart))).findings]
        assert not any("lie on each other" in each for each in said)


def test_the_least_web() -> None:
    lines = [pk.Curve.polyline([(20.0, y), (100.0, y)]) for y in (20.0, 27.5, 40.0)]
    cuts = tuple(
        pk.Toolpath(f"slot {k}", line, BIT, CUTTING, bottom=STOCK.underside, role="slot")
        for k, line in enumerate(lines)
    )
    job = pk.Job("board", STOCK, cuts)
    program = pk.lower(job, MACHINE)
    swept = Cuts(program, job.tools, np.zeros(len(program), np.int32), STOCK.highest_top)
    assert least_web(swept.at(STOCK.underside + 0.001)) == pytest.approx(3.5, abs=1e-6)
    assert least_web(swept.at(STOCK.underside - 1.0)) == float("inf")


def test_a_level_is_the_part_of_a_ramp_below_it() -> None:
    line = pk.Curve([(20.0, 40.0, 8.5), (100.0, 40.0, 4.5)])
    trace = pk.Toolpath("trace", line, BIT, CUTTING)
    job = pk.Job("board", STOCK, (trace,))
    program = pk.lower(job, MACHINE)
    level = Cuts(program, job.tools, np.zeros(len(program), np.int32), STOCK.highest_top).at(5.5)
    ground = level.swept(np.arange(len(level.lines)))
    # Below 5.5 the ramp runs from x = 80 on: a stadium, 2rL + πr².
    assert ground.bounds[0] == pytest.approx(78.0, abs=1e-6)
    assert ground.area == pytest.approx(2 * 2.0 * 20.0 + np.pi * 4.0, abs=0.02)
    assert level.row_of(0, shapely.Point(100.0, 40.0)) == int(np.flatnonzero(program.end[:, 2] == 4.5)[0])


@settings(max_examples=8)
@example(13.0)
@example(25.0)
@given(st.floats(3.0, 25.0))
def test_engraving_with_wide_flat_bits_is_no_gouge(diameter: float) -> None:
    """The round at the end of a mark is judged by enough chords: with eight a quarter turn 13 mm miss by 0.03 mm."""
    bit = pk.Tool("wide", diameter, centre_cutting=True)
    marks = engrave("mark", [pk.Curve.polyline([(50.0, 40.0), (70.0, 44.0), (62.0, 52.0)])], bit, CUTTING, bottom=FLOOR)
    edge = contour("outline", rectangle((10.0, 10.0), 100.0, 60.0), BIT, CUTTING, bottom=STOCK.through(), stepdown=3.0)
    part = pk.Part("plate", rectangle((10.0, 10.0), 100.0, 60.0))
    tabbed = tuple(replace(p, tabs=(pk.Tab(30.0, 6.0, 3.0), pk.Tab(190.0, 6.0, 3.0))) for p in edge)
    assert failed(pk.Job("board", STOCK, (*marks, *tabbed), parts=(part,))) == set()
    deeper = tuple(replace(p, bottom=FLOOR - 0.05) for p in marks)
    wrong = replace(pk.Job("board", STOCK, (*deeper, *tabbed), parts=(part,)), toolpaths=(*deeper, *tabbed))
    program = pk.lower(wrong, MACHINE)
    meant = pk.Job("board", STOCK, (*marks, *tabbed), parts=(part,))
    assert pk.verify(pk.post(program, MACHINE), program, MACHINE, job=meant)["gouges"].status == "failed"


def test_a_corner_is_judged_by_the_bit_that_cuts_it() -> None:
    """A finer bit that works elsewhere in the part does not reach corners that it does not come near."""
    fine = pk.Tool("2 mm end mill", 2.0, number=2, centre_cutting=True)
    edge = pk.Curve.polyline([(10, 10), (110, 10), (110, 50), (90, 50), (90, 75), (10, 75)], closed=True)
    opening = pk.Curve.circle((100.0, 20.0), 2.0)
    paths = (
        *contour("hole", opening, fine, CUTTING, side="inside", bottom=STOCK.through(), stepdown=1.0),
        *(
            replace(p, tabs=(pk.Tab(30.0, 6.0, 3.0),))
            for p in contour("edge", edge, BIT, CUTTING, bottom=STOCK.through())
        ),
    )
    job = pk.Job("board", STOCK, paths, parts=(pk.Part("plate", edge, holes=(Feature(opening),)),))
    assert "finished shape" not in failed(job)
    rough = pk.Tool("6 mm end mill", 6.0, number=3, centre_cutting=True)
    short = pk.Curve.polyline([(10, 10), (110, 10), (110, 50), (92, 50), (92, 75), (10, 75)], closed=True)
    wrong = contour("edge", short, rough, CUTTING, bottom=STOCK.through())
    assert "finished shape" in failed(replace(job, toolpaths=(paths[0], *wrong)))


def test_a_sliver_that_no_bit_reaches_is_named_and_allowed() -> None:
    """Tip of atan(20/48): r / tan(α/2) · r − r² (π − α) / 2 = 14.5 mm² are out of the reach of r = 2 mm."""
    sharp = pk.Curve.polyline([(30, 20), (80, 20), (32, 40)], closed=True)
    edge = rectangle((10.0, 10.0), 100.0, 60.0)
    paths = (
        *pocket("sharp", sharp, BIT, CUTTING, bottom=FLOOR, stepdown=2.0, stock=STOCK),
        *(
            replace(p, tabs=(pk.Tab(30.0, 6.0, 3.0),))
            for p in contour("edge", edge, BIT, CUTTING, bottom=STOCK.through())
        ),
    )
    job = pk.Job("board", STOCK, paths, parts=(pk.Part("plate", edge, recesses=(Feature(sharp, FLOOR),)),))
    proof = proved(job)["finished shape"]
    assert proof.status == "passed"
    (note,) = proof.findings
    assert note.severity == "note"
    assert "14.5" in note.what
    assert "(73." in note.what or "(74." in note.what
    # What the bit could have reached is not excused as a sliver: the same pocket, with some of the wall left.
    inner = pk.Curve.polyline([(31, 21), (74, 21), (33, 38)], closed=True)
    lacking = pocket("sharp", inner, BIT, CUTTING, bottom=FLOOR, stepdown=2.0, stock=STOCK)
    assert failed(replace(job, toolpaths=(*lacking, *paths[-1:]))) == {"finished shape"}


def test_a_corner_that_the_finer_bit_of_a_recess_leaves_is_found() -> None:
    """A 6 mm bit clears it, a 2 mm bit only three of its corners: the fourth keeps (1 − π/4) (3² − 1²) = 1.72 mm²."""
    rough = pk.Tool("6 mm end mill", 6.0, number=3, centre_cutting=True)
    fine = pk.Tool("2 mm end mill", 2.0, number=2, centre_cutting=True)
    recess = rectangle((30.0, 20.0), 40.0, 30.0)
    edge = rectangle((10.0, 10.0), 100.0, 60.0)
    corners = [rectangle((x, y), 8.0, 8.0) for x, y in ((30.0, 20.0), (62.0, 20.0), (62.0, 42.0), (30.0, 42.0))]
    small = [
        path
        for k, square in enumerate(corners)
        for path in pocket(f"corner {k}", square, fine, CUTTING, bottom=FLOOR, stepdown=1.0, stock=STOCK)
    ]
    paths = (
        *pocket("recess", recess, rough, CUTTING, bottom=FLOOR, stepdown=2.0, stock=STOCK),
        *small,
        *(
            replace(p, tabs=(pk.Tab(30.0, 6.0, 3.0),))
            for p in contour("edge", edge, BIT, CUTTING, bottom=STOCK.through())
        ),
    )
    job = pk.Job("board", STOCK, paths, parts=(pk.Part("plate", edge, recesses=(Feature(recess, FLOOR),)),))
    assert "finished shape" not in failed(job)
    without = tuple(p for p in paths if not p.name.startswith("corner 3"))
    assert "finished shape" in failed(replace(job, toolpaths=without))


BARE = pk.Part("plate", None, PART.recesses, PART.holes)


@pytest.mark.parametrize(("wider", "expected"), [(0.0, set()), (0.1, {"gouges"})])
@pytest.mark.parametrize("what", ["recess", "hole"])
def test_a_part_without_outline_keeps_the_edges_of_what_is_cut_into_it(
    what: str, wider: float, expected: set[str]
) -> None:
    """Cut wider than drawn, in a part of which only its recess and its hole of 8 mm are known."""
    recess = grown(RECESS, wider) if wider and what == "recess" else RECESS
    through, drawn = STOCK.through(), pk.Curve.circle(HOLE, 4.0)
    hole = pk.Curve.circle(HOLE, 4.0 + wider) if what == "hole" else drawn
    job = board(recess=recess, part=replace(BARE, holes=(BARE.holes[0], Feature(drawn))))
    paths = tuple(path for path in job.toolpaths if path.name != "hole")
    wide = pocket("wide hole", hole, BIT, CUTTING, bottom=through, stepdown=3.0, wall_allowance=0.2, stock=STOCK)
    assert failed(job.with_toolpaths((*wide, *paths))) == expected


def test_what_other_cuts_take_beside_a_recess_is_theirs() -> None:
    """A slot runs out of the recess, in a part that draws no outline."""
    ways = slot("way out", moved(pk.Curve.polyline([(20.0, 16.0), (44.0, 16.0)]), AT), BIT, CUTTING, bottom=FLOOR)
    job = board(part=BARE)
    assert failed(job.with_toolpaths((*ways, *job.toolpaths))) == set()


def row_of_slots(job_of: Callable[[int], tuple[pk.Toolpath, ...]]) -> pk.Job:
    """Six parts in a row, with a slot each; ``job_of`` gives what cuts the one with a number."""
    parts = tuple(
        pk.Part(
            f"bar {k}", moved(rectangle((0.0, 0.0), 14.0, 60.0), at), holes=(Feature(moved(obround(*LINE, 4.0), at)),)
        )
        for k in range(6)
        for at in [(4.0 + 19.0 * k, 8.0)]
    )
    return pk.Job("bars", STOCK, tuple(path for k in range(6) for path in job_of(k)), parts=parts)


LINE = ((7.0, 10.0), (7.0, 50.0))


def cut_of(k: int, *, aside: float = 0.0, above: float = 0.0, short: float = 0.0) -> tuple[pk.Toolpath, ...]:
    begin, end = (LINE[0][0] + aside, LINE[0][1]), (LINE[1][0] + aside, LINE[1][1] - short)
    line = moved(pk.Curve.polyline((begin, end)), (4.0 + 19.0 * k, 8.0))
    return slot(f"slot {k}", line, BIT, CUTTING, bottom=STOCK.underside - 0.3 + above, stepdown=3.0)


IN_INCHES = pk.load_machine("portrait-inch")


@pytest.mark.parametrize("machine", [MACHINE, IN_INCHES], ids=["mm", "inch"])
@pytest.mark.parametrize("fault", [{"aside": 0.02}, {"above": 0.32}, {"short": 0.03}])
@pytest.mark.parametrize("at", [0, 3, 5])
def test_one_copy_that_is_cut_otherwise_is_found_among_equal_ones(
    fault: dict[str, float], at: int, machine: pk.Machine
) -> None:
    job = row_of_slots(lambda k: cut_of(k, **(fault if k == at else {})))
    found = [f.path for f in proved(job, machine)["finished shape"].findings if "outline" not in str(f.path)]
    assert found == [f"$.parts[{at}].holes[0]"]


@pytest.mark.parametrize("machine", [MACHINE, IN_INCHES], ids=["mm", "inch"])
def test_copies_that_are_cut_by_the_same_moves_are_judged_once(
    monkeypatch: pytest.MonkeyPatch, machine: pk.Machine
) -> None:
    """19 mm are no whole number of steps of 0.0001 in, so that no two of these slots are rounded alike in inches."""
    judged: list[str] = []
    whole = finished_shape._Judge._lacking

    def counted(self: finished_shape._Judge, demand: finished_shape.Demand, depth: float, less: float = 0.0) -> str:
        judged.append(demand.path)
        return whole(self, demand, depth, less)

    monkeypatch.setattr(finished_shape._Judge, "_lacking", counted)
    proved(row_of_slots(cut_of), machine)
    assert [path for path in judged if "holes" in path] == ["$.parts[0].holes[0]"]
    # What a fault was found in is judged anew for every copy, since each is a fault.
    judged.clear()
    proved(row_of_slots(lambda k: cut_of(k, above=0.32)), machine)
    assert len({path for path in judged if "holes" in path}) == 6
