"""Depths, bites, entries, direction, tabs, lengths, names and order: each check with the faults that it is for.

The fault is put between job and moves: another job is lowered and posted, and the file is held against the job that was
asked for. Program and file agree, and no check here looks at the program.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import pathkit as pk
from pathkit.operations import pocket, rectangle
from pathkit.proof.evidence import ProofCheck
from pathkit.proof.intent import INTENT
from pathkit.proof.intent.depths import asked_depths
from pathkit.proof.intent.direction import asked_direction
from pathkit.proof.intent.entries import asked_entries
from pathkit.proof.intent.named import bit_named
from pathkit.proof.intent.order import safe_order
from pathkit.proof.intent.tabs import asked_tabs
from pathkit.proof.intent.visited import every_cut
from pathkit.proof.result import Verdict

Judge = Callable[..., Verdict]


def of_role(job: pk.Job, role: str, change: Callable[[pk.Toolpath], pk.Toolpath]) -> pk.Job:
    paths = tuple(change(p) if p.role == role else p for p in job.toolpaths)
    assert paths != job.toolpaths
    return job.with_toolpaths(paths)


def deeper(path: pk.Toolpath, by: float) -> pk.Toolpath:
    assert path.bottom is not None
    return replace(path, bottom=path.bottom - by, levels=None)


def lowered(case: Any, job: pk.Job) -> Callable[[pk.Program], pk.Program]:
    return lambda _: pk.lower(job, case.machine)


@pytest.mark.parametrize("one", INTENT, ids=lambda one: one.name)
def test_nothing_is_said_of_the_job_as_it_should_be(judge: Judge, one: ProofCheck) -> None:
    assert judge(one) == ()


@pytest.mark.parametrize("by", [0.01, -0.01, 0.5])
@pytest.mark.parametrize("role", ["pocket", "finish", "slot", "drill", "outline"])
def test_another_depth_than_asked(case: Any, judge: Judge, role: str, by: float) -> None:
    wrong = of_role(case.job, role, lambda p: deeper(p, by))
    found = judge(asked_depths, lowered(case, wrong))
    assert {f.toolpath for f in found} >= {p.name for p in case.job.toolpaths if p.role == role}


def test_levels_deeper_than_the_stepdown(case: Any, judge: Judge) -> None:
    wrong = of_role(case.job, "pocket", lambda p: replace(p, levels=None, stepdown=None))
    assert "deep at once" in judge(asked_depths, lowered(case, wrong))[0].what


def test_a_level_of_the_job_itself_beyond_its_stepdown(case: Any, judge: Judge) -> None:
    """A pass wrote levels down that the stepdown beside them does not allow: file and job agree on the levels."""
    wrong = of_role(case.job, "pocket", lambda p: replace(p, levels=(p.levels or ())[-1:]))
    assert any("its stepdown is" in f.what for f in judge(asked_depths, lowered(case, wrong), job=wrong))


def test_pecks_deeper_than_asked(case: Any, judge: Judge) -> None:
    wrong = of_role(case.job, "drill", lambda p: replace(p, entry=pk.Peck(6.0)))
    assert any("pecks" in f.what for f in judge(asked_depths, lowered(case, wrong)))


@pytest.mark.parametrize("role", ["slot", "outline"])
def test_a_steeper_way_down_than_asked(case: Any, judge: Judge, role: str) -> None:
    def steeper(path: pk.Toolpath) -> pk.Toolpath:
        assert isinstance(path.entry, pk.Ramp | pk.Spiral)
        return replace(path, entry=replace(path.entry, angle=8.0), stepdown=None, levels=None)

    wrong = of_role(case.job, role, steeper)
    found = judge(asked_entries, lowered(case, wrong))
    assert {f.toolpath for f in found} == {p.name for p in case.job.toolpaths if p.role == role}
    assert "degrees" in found[0].what


def test_a_helix_beyond_what_the_cut_clears(case: Any, judge: Judge, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every helix is 2 mm further from its curve: the bit's centre stays in what the cut clears, its edge does not."""
    from pathkit.lowering import entries

    right = entries.place_helix

    def moved(cut: Any, course: Any, entry: Any) -> Any:
        helix = right(cut, course, entry)
        assert helix is not None
        middle = cut.toolpath.curve.points.mean(axis=0)
        way = np.array(helix.centre) - middle
        shift = -2.0 * way / np.hypot(*way) if np.hypot(*way) < 10.0 else 2.0 * way / np.hypot(*way)
        begin = (helix.begin[0] + shift[0], helix.begin[1] + shift[1])
        return replace(helix, centre=(helix.centre[0] + shift[0], helix.centre[1] + shift[1]), begin=begin)

    monkeypatch.setattr(entries, "place_helix", moved)
    helices = {p.name for p in case.job.toolpaths if isinstance(p.entry, pk.Helix)}
    found = judge(asked_entries, lowered(case, case.job))
    assert helices
    assert {f.toolpath for f in found if "beyond what it clears" in f.what} == helices


def test_run_the_other_way_round(case: Any, judge: Judge) -> None:
    def turned(path: pk.Toolpath) -> pk.Toolpath:
        curve = pk.Curve(path.curve.points[::-1], -np.roll(path.curve.sweeps[::-1], -1), True)
        return replace(path, curve=curve, start=0.0, tabs=())

    wrong = of_role(case.job, "outline", turned)
    found = judge(asked_direction, lowered(case, wrong))
    assert {f.toolpath for f in found} == {p.name for p in case.job.toolpaths if p.role == "outline"}


@pytest.mark.parametrize(
    "change",
    [
        lambda tab: replace(tab, width=tab.width - 1.0),
        lambda tab: replace(tab, width=tab.width + 1.0),
        lambda tab: replace(tab, height=tab.height - 0.1),
        lambda tab: replace(tab, height=tab.height + 0.1),
        lambda tab: replace(tab, at=tab.at + 3.0),
    ],
    ids=["narrower", "wider", "lower", "higher", "elsewhere"],
)
def test_other_tabs_than_asked(case: Any, judge: Judge, change: Callable[[pk.Tab], pk.Tab]) -> None:
    wrong = of_role(case.job, "outline", lambda p: replace(p, tabs=tuple(map(change, p.tabs))))
    found = judge(asked_tabs, lowered(case, wrong))
    assert {f.toolpath for f in found} == {p.name for p in case.job.toolpaths if p.role == "outline"}


def test_a_tab_too_few_and_a_tab_too_many(case: Any, judge: Judge) -> None:
    fewer = of_role(case.job, "outline", lambda p: replace(p, tabs=p.tabs[:1]))
    assert judge(asked_tabs, lowered(case, fewer))
    # A tab that nobody asked for is wood that is not cut.
    assert judge(every_cut, lowered(case, case.job), job=fewer)


def test_tabs_all_on_one_side(case: Any, judge: Judge) -> None:
    def crowded(path: pk.Toolpath) -> pk.Toolpath:
        first = path.tabs[0]
        return replace(path, tabs=(first, replace(first, at=first.at + 15.0)))

    wrong = of_role(case.job, "outline", crowded)
    assert any("one quarter" in f.what for f in judge(asked_tabs, lowered(case, wrong), job=wrong))


@pytest.mark.parametrize("role", ["pocket", "finish", "slot", "drill", "outline"])
def test_a_cut_left_out(case: Any, judge: Judge, role: str) -> None:
    left_out = next(p for p in case.job.toolpaths if p.role == role)
    fewer = tuple(p for p in case.job.toolpaths if p is not left_out)
    made = pk.lower(pk.Job(case.job.name, case.job.stock, fewer), case.machine)
    assert left_out.name in {f.toolpath for f in judge(every_cut, lambda _: made)}


def test_a_cut_that_nobody_asked_for(case: Any, judge: Judge) -> None:
    extra = replace(case.job.toolpaths[0], name="extra", curve=pk.Curve.polyline([(10, 80), (90, 80)]), bottom=11.0,
                    levels=None, entry=pk.Ramp(3.0), role="cut", start=0.0, part=None)  # fmt: skip
    made = pk.lower(case.job.with_toolpaths((*case.job.toolpaths, extra)), case.machine)
    assert any("asks for nothing" in f.what for f in judge(every_cut, lambda _: made))


def test_half_a_slot(case: Any, judge: Judge) -> None:
    def shorter(path: pk.Toolpath) -> pk.Toolpath:
        a, b = path.curve.points
        return replace(path, curve=pk.Curve.polyline([a, (a + b) / 2.0]))

    found = judge(every_cut, lowered(case, of_role(case.job, "slot", shorter)))
    assert {f.toolpath for f in found} == {p.name for p in case.job.toolpaths if p.role == "slot"}


def test_engraving_that_is_not_all_cut() -> None:
    stock = pk.Stock(100, 60, 6.0, z_zero="bed", underlay=3)
    bit = pk.Tool("engraver", 3.0, kind="vee", angle=60.0, centre_cutting=True)
    line = pk.Curve.polyline([(10, 10), (60, 10), (60, 40)])
    path = pk.Toolpath(
        "sign", line, bit, pk.Cutting(feed=900, plunge=300, spindle=16000), bottom=stock.top - 0.5, role="engrave"
    )
    machine = pk.load_machine("grbl-front-left")
    short = replace(path, curve=pk.Curve.polyline([(10, 10), (60, 10), (60, 39)]))
    for cut, said in ((path, False), (short, True)):
        program = pk.lower(pk.Job("sign", stock, (cut,)), machine)
        proof = pk.verify(pk.post(program, machine), program, machine, job=pk.Job("sign", stock, (path,)))
        assert bool(proof["every cut"].findings) == said


def test_the_bit_by_another_name_and_number(case: Any, judge: Judge) -> None:
    def renamed(program: pk.Program, **values: Any) -> pk.Program:
        events = [replace(e, **values) if isinstance(e, pk.ToolChange) and e.number == 2 else e for e in program.event]
        return program.replace(event=tuple(events))

    assert "names the bit" in judge(bit_named, lambda p: renamed(p, name="another"))[0].what
    assert "names the number" in judge(bit_named, lambda p: renamed(p, number=7))[0].what


def test_a_t_word_for_another_bit_than_the_comment_names() -> None:
    """A controller without a tool changer takes the word and does nothing; but the operator may read it."""
    machine = replace(pk.load_machine("grbl-front-left"), output={"tool_change": "pause"})
    feeds = pk.Cutting(feed=900, plunge=300, spindle=16000)
    bits = [pk.Tool(f"{d} mm end mill", d, number=n, centre_cutting=True) for d, n in ((6.0, 1), (3.0, 2))]
    paths = [
        pk.Toolpath(f"line {k}", pk.Curve.polyline([(20, y), (60, y)]), bit, feeds, bottom=5.0)
        for k, (bit, y) in enumerate(zip(bits, (20, 40), strict=True))
    ]
    job = pk.Job("board", pk.Stock(100, 60, 6.0), tuple(replace(path, bottom=-1.0) for path in paths))
    program = pk.lower(job, machine)
    text = pk.post(program, machine).text
    assert text.count("\nT2\n") == 1
    for word, wrong in (("T2", False), ("T7", True)):
        proof = pk.verify(text.replace("\nT2\n", f"\n{word}\n"), program, machine, job=job)
        assert any("calls for T7" in f.what for f in proof["bit named"].findings) == wrong
        assert proof.ok != wrong


def test_the_outline_before_what_lies_inside_it(case: Any, judge: Judge) -> None:
    """The job itself has this order, and so has its file: only this check works out that it is unsafe."""
    last = [p for p in case.job.toolpaths if p.role == "outline"]
    others = [p for p in case.job.toolpaths if p.role != "outline"]
    wrong = pk.Job(case.job.name, case.job.stock, (*last, *others))
    found = judge(safe_order, lowered(case, wrong), job=wrong)
    assert {f.toolpath for f in found} == {p.name for p in last}
    assert all("frees" in f.what for f in found)


def test_a_recess_after_the_through_cut_that_it_touches() -> None:
    stock = pk.Stock(100, 60, 6.0, z_zero="bed", underlay=3)
    bit = pk.Tool("6 mm end mill", 6.0, centre_cutting=True)
    feeds = pk.Cutting(feed=900, plunge=300, spindle=16000)
    groove = pk.Toolpath("groove", pk.Curve.polyline([(10, 30), (50, 30)]), bit, feeds, bottom=7.0, role="slot")
    ring = pk.Curve.polyline([(48, 10), (90, 10), (90, 50), (48, 50)], closed=True)
    outline = pk.Toolpath("outline", ring, bit, feeds, bottom=2.7, role="outline", stepdown=3.0)
    machine = pk.load_machine("grbl-front-left")
    for paths, said in (((groove, outline), False), ((outline, groove), True)):
        job = pk.Job("board", stock, paths)
        program = pk.lower(job, machine)
        proof = pk.verify(pk.post(program, machine), program, machine, job=job)
        assert any("recess" in f.what for f in proof["safe order"].findings) == said


def one_board(*paths: pk.Toolpath) -> pk.Proof:
    machine = pk.load_machine("grbl-front-left")
    job = pk.Job("board", pk.Stock(100, 60, 6.0, z_zero="bed", underlay=3), paths)
    program = pk.lower(job, machine)
    return pk.verify(pk.post(program, machine), program, machine, job=job)


def test_a_cut_of_no_told_role_is_not_taken_for_what_opens_a_recess() -> None:
    """Nobody asked for an order of these two, and the pass that orders knows none."""
    bit, feeds = pk.Tool("6 mm end mill", 6.0, centre_cutting=True), pk.Cutting(feed=900, plunge=300, spindle=16000)
    ring = pk.Curve.circle((30.0, 30.0), 15.0)
    freed = pk.Toolpath("through", ring, bit, feeds, bottom=2.75, stepdown=3.0)
    line = pk.Toolpath("line", pk.Curve.polyline([(44, 10), (44, 50)]), bit, feeds, bottom=8.0, role="engrave")
    assert not one_board(freed, line)["safe order"].findings


def test_what_waits_for_an_outline_by_way_of_others_need_not_come_before_a_slot() -> None:
    """The job puts the pocket after the outline, and the wall follows the pocket: neither can come before a slot."""
    bit, feeds = pk.Tool("6 mm end mill", 6.0, centre_cutting=True), pk.Cutting(feed=900, plunge=300, spindle=16000)
    fine = pk.Tool("3 mm end mill", 3.0, number=2, centre_cutting=True)
    ring = pk.Curve.circle((80.0, 30.0), 9.0)
    rest: dict[str, Any] = {"bottom": 6.0, "stepdown": 3.0, "part": "plate"}
    paths = (
        pk.Toolpath("slot", pk.Curve.polyline([(60, 30), (74, 30)]), bit, feeds, bottom=2.7, role="slot"),
        pk.Toolpath("outline", pk.Curve.circle((25.0, 30.0), 15.0), bit, feeds, bottom=2.7, role="outline"),
        pk.Toolpath("pocket", ring, bit, feeds, role="pocket", **rest),
        pk.Toolpath("wall", ring, fine, feeds, role="finish", **rest),
    )
    machine = pk.load_machine("grbl-front-left")
    stock = pk.Stock(100, 60, 6.0, z_zero="bed", underlay=3)
    for given, said in (((), True), ((("outline", "pocket"),), False)):
        job = pk.Job("board", stock, paths, precedence=given)
        program = pk.lower(job, machine)
        found = pk.verify(pk.post(program, machine), program, machine, job=job)["safe order"].findings
        assert any("the through cut opens" in f.what for f in found) == said


def test_the_way_back_over_a_raster_is_not_run_against_it() -> None:
    """From the last row's end straight over the cleared floor to the first row's start: the middle lies on a row."""
    bit, feeds = pk.Tool("6 mm end mill", 6.0, centre_cutting=True), pk.Cutting(feed=900, plunge=300, spindle=16000)
    rows = [(20, 20), (80, 20), (80, 24), (20, 24), (20, 28), (80, 28), (80, 32), (20, 32), (20, 36), (80, 36)]
    entry = pk.Helix(3.0, 4.8)
    floor = pk.Toolpath(
        "floor", pk.Curve.polyline(rows), bit, feeds, bottom=5.0, stepdown=1.0, role="pocket", entry=entry
    )
    proof = one_board(floor)
    assert proof["asked direction"].figures["toolpaths"] == 1
    assert not proof["asked direction"].findings


def test_the_wall_before_its_floor(case: Any, judge: Judge) -> None:
    order = {"finish": 0, "pocket": 1}
    paths = sorted(case.job.toolpaths, key=lambda p: order.get(p.role, 2))
    wrong = pk.Job(case.job.name, case.job.stock, tuple(paths))
    assert any("floor" in f.what for f in judge(safe_order, lowered(case, wrong), job=wrong))


def test_the_jobs_own_order_wins_over_a_derived_one_and_is_told(case: Any, judge: Judge) -> None:
    """The job wants the wall before its floor: the pass that orders obeys, and the check only warns."""
    order = {"finish": 0, "pocket": 1}
    paths = sorted(case.job.toolpaths, key=lambda p: order.get(p.role, 2))
    walls, floors = ([p for p in paths if p.role == role] for role in ("finish", "pocket"))
    asked = replace(case.job.with_toolpaths(paths), precedence=tuple((w.name, f.name) for w in walls for f in floors))
    found = judge(safe_order, lowered(case, asked), job=asked)
    assert found
    assert all(f.severity == "warning" and "contradicts" in f.what for f in found)


def test_an_order_that_is_not_the_jobs(case: Any, judge: Judge) -> None:
    a, b, *rest = (p for p in case.job.toolpaths if p.role == "drill")
    swapped = [b if p is a else a if p is b else p for p in case.job.toolpaths]
    made = pk.lower(pk.Job(case.job.name, case.job.stock, tuple(swapped)), case.machine)
    assert not rest
    assert any("that come later in the job" in f.what for f in judge(safe_order, lambda _: made))


@pytest.mark.parametrize("feed", [900.0, 1500.0])
def test_two_bits_along_one_line_are_told_apart_by_the_halt_between_them(feed: float) -> None:
    """A controller without a word for bits; the first cut in one level, the second in three, both to one depth."""
    machine, line = pk.load_machine("grbl-front-left"), pk.Curve.polyline([(30.0, 40.0), (90.0, 40.0)])
    wide = pk.Tool("6 mm mill", 6.0, number=1, centre_cutting=True)
    fine = pk.Tool("3 mm mill", 3.0, number=2, centre_cutting=True)
    paths = (
        pk.Toolpath(
            "rough", line, wide, pk.Cutting(feed=900.0, plunge=300.0, spindle=16000.0), bottom=-4.5, role="slot"
        ),
        pk.Toolpath(
            "fine",
            line,
            fine,
            pk.Cutting(feed=feed, plunge=300.0, spindle=16000.0),
            bottom=-4.5,
            stepdown=1.5,
            reversible=False,
        ),
    )
    job = pk.Job("twice", pk.Stock(120.0, 80.0, 9.0), paths)
    program = pk.lower(job, machine)
    proof = pk.verify(pk.post(program, machine), program, machine, job=job)
    assert not [str(finding) for finding in proof.findings if finding.severity == "error"]


def test_a_cut_that_goes_on_where_another_ends_is_not_taken_for_it() -> None:
    """Two grooves from one place, the second 20 mm longer; each level begins at that place again."""
    machine = pk.load_machine("grbl-front-left")
    bit, feeds = (
        pk.Tool("6 mm mill", 6.0, number=1, centre_cutting=True),
        pk.Cutting(feed=900.0, plunge=300.0, spindle=16000.0),
    )
    paths = tuple(
        pk.Toolpath(name, pk.Curve.polyline([(20.0, 20.0), (40.0, 20.0), (40.0, high)]), bit, feeds, bottom=-4.5,
                    stepdown=1.5, reversible=False, role="pocket")
        for name, high in (("short", 50.0), ("long", 70.0))
    )  # fmt: skip
    job = pk.Job("twice", pk.Stock(120.0, 80.0, 9.0), paths)
    program = pk.lower(job, machine)
    proof = pk.verify(pk.post(program, machine), program, machine, job=job)
    assert not [str(finding) for finding in proof.findings if finding.severity == "error"]


def test_of_three_cuts_along_one_line_each_reaches_its_bottom() -> None:
    """Two cuts in one level, the third in three: where each stretch ends shows which cut it belongs to."""
    machine, line = pk.load_machine("grbl-front-left"), pk.Curve.polyline([(20.0, 20.0), (60.0, 20.0)])
    bit, feeds = (
        pk.Tool("6 mm mill", 6.0, number=1, centre_cutting=True),
        pk.Cutting(feed=900.0, plunge=300.0, spindle=16000.0),
    )
    paths = tuple(
        pk.Toolpath(name, line, bit, feeds, bottom=-4.5, stepdown=step, reversible=False, role="pocket")
        for name, step in (("first", None), ("second", None), ("third", 1.5))
    )
    job = pk.Job("thrice", pk.Stock(120.0, 80.0, 9.0), paths)
    program = pk.lower(job, machine)
    proof = pk.verify(pk.post(program, machine), program, machine, job=job)
    assert not [str(finding) for finding in proof.findings if finding.severity == "error"]


def test_a_wall_pass_that_goes_down_in_wood_is_seen() -> None:
    """Straight down beside a wall is for ground that the floor has been cleared of, though the bit could do more."""
    machine = pk.load_machine("grbl-front-left")
    bit, feeds = (
        pk.Tool("6 mm end mill", 6.0, centre_cutting=True),
        pk.Cutting(feed=2400.0, plunge=600.0, spindle=16000.0),
    )
    stock = pk.Stock(200.0, 150.0, 12.0)
    paths = pocket("recess", rectangle((40, 40), 90, 60), bit, feeds, bottom=-5.0, stepdown=5.0, stock=stock)
    *floor, wall = paths
    assert isinstance(wall.entry, pk.Descend)

    def findings(*chosen: pk.Toolpath) -> list[str]:
        program = pk.lower(pk.Job("recess", stock, chosen), machine)
        proof = pk.verify(pk.post(program, machine), program, machine, job=pk.Job("recess", stock, chosen))
        return [finding.what for finding in proof["asked entries"].findings]

    assert findings(*floor, wall) == []
    assert any("the job asks to clear that ground first" in what for what in findings(wall))
