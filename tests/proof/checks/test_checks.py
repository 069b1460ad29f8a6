"""Programs that are wrong in themselves: their files are true to them, and still must not pass."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from shapely.geometry import box

import pathkit as pk
from pathkit.machine.profile import SpindleControl
from pathkit.model.stock import ZoneKind

NAN = math.nan
BIT = pk.Tool("6 mm end mill", 6.0, number=1)
DRILL = pk.Tool("6 mm drill", 6.0, number=2, kind="drill")
CUTTING = pk.Cutting(feed=1200.0, plunge=400.0, spindle=16000.0)
STOCK = pk.Stock(200.0, 100.0, 9.0, z_zero="bed", underlay=3.0, thickness_tolerance=0.5)
TOP, SAFE = STOCK.highest_top, STOCK.highest_top + 8.0
MACHINE = pk.load_machine("grbl-front-left")

Rows = list[tuple[str, float, float, float]]


def job_of(tool: pk.Tool = BIT, stock: pk.Stock = STOCK, **changes: Any) -> pk.Job:
    line = pk.Curve.polyline([(20.0, 20.0), (120.0, 20.0)])
    values: dict[str, Any] = {"bottom": 6.0, "entry": pk.Ramp(3.0) if tool is BIT else pk.Plunge(), **changes}
    return pk.Job("board", stock, (pk.Toolpath("cut", line, tool, CUTTING, **values),))


def program(rows: Rows, stock: pk.Stock = STOCK, tool: pk.Tool = BIT, dwell: float = 3.0) -> pk.Program:
    """Rows "rapid" or "cut" with x, y, z; the spindle is on at 16 000 rpm from the second row on.

    Straight down at the plunge feed of `CUTTING`, else at its feed: no slope here is so steep that it needs less.
    """
    n = len(rows)
    straight = np.array([k > 0 and r[1:3] == rows[k - 1][1:3] for k, r in enumerate(rows)])
    feed = np.where(straight, CUTTING.plunge, CUTTING.feed)
    events = (
        pk.Offset("G54"), pk.ToolChange(tool.name, tool.number), pk.Spindle(16000.0, 1), pk.Dwell(dwell),
        pk.Spindle(0.0, 0), pk.Stop(),
    )  # fmt: skip
    cuts = np.array([r[0] == "cut" for r in rows])
    return pk.Program(
        np.full(3, NAN), np.where(cuts, pk.LINE, pk.RAPID), np.array([r[1:4] for r in rows]), np.full((n, 2), NAN),
        np.zeros(n), np.where(cuts, feed, NAN), np.where(cuts, 0, -1), np.zeros(n, np.int32), np.full(n, -1), events,
        np.array([0, 0, 1, 1, n, n]),
        names=("cut",), stock=stock, title="board",
    )  # fmt: skip


UP = ("rapid", NAN, NAN, SAFE)
OVER = [UP, ("rapid", 20.0, 20.0, SAFE), ("rapid", 20.0, 20.0, TOP + 1.0)]
DOWN_A_RAMP = [("cut", 20.0, 20.0, TOP), ("cut", 120.0, 20.0, 8.0), ("cut", 20.0, 20.0, 6.0), ("cut", 120.0, 20.0, 6.0)]
GOOD = [*OVER, *DOWN_A_RAMP, ("rapid", 120.0, 20.0, SAFE), ("rapid", 0.0, 0.0, SAFE)]


def proof_of(
    rows: Rows,
    *,
    job: pk.Job | None = None,
    machine: pk.Machine = MACHINE,
    setup: pk.Setup | None = None,
    **changes: Any,
) -> pk.Proof:
    made = program(rows, **changes)
    return pk.verify(pk.post(made, machine, setup), made, machine, job=job, setup=setup)


def failed(proof: pk.Proof) -> set[str]:
    return {check.name for check in proof.checks if check.status == "failed"}


def test_the_pattern_itself_is_sound() -> None:
    proof = proof_of(GOOD, job=job_of())
    assert failed(proof) == {"job"}, "only that it was not lowered from this job"
    assert proof_of(GOOD).ok


def test_a_rapid_through_wood() -> None:
    crossing = [*OVER, *DOWN_A_RAMP, ("rapid", 120.0, 60.0, 8.0), ("rapid", 120.0, 60.0, SAFE)]
    for job in (None, job_of()):
        proof = proof_of(crossing, job=job)
        assert "rapids clear the wood" in failed(proof)
        assert proof["rapids clear the wood"].findings[0].line is not None
    down = [*GOOD[:-1], ("rapid", 60.0, 60.0, SAFE), ("rapid", 60.0, 60.0, TOP - 0.5), ("rapid", 60.0, 60.0, SAFE)]
    assert failed(proof_of(down)) == {"rapids clear the wood"}


def test_a_rapid_back_along_what_is_cut_already_is_safe() -> None:
    back = [*OVER, *DOWN_A_RAMP, ("rapid", 40.0, 20.0, 6.5), ("rapid", 40.0, 20.0, SAFE)]
    assert proof_of(back).ok
    assert "rapids clear the wood" not in failed(proof_of(back, job=job_of()))
    deeper = [*OVER, *DOWN_A_RAMP[:2], ("rapid", 40.0, 20.0, 8.0), ("rapid", 40.0, 20.0, SAFE)]
    assert failed(proof_of(deeper)) == {"rapids clear the wood"}, "there the ramp is not down to 8 yet"


def test_only_as_wide_as_the_bit_that_cut_it() -> None:
    """A rapid 1 mm beside the cut still meets wood; the bit's width is known from the job."""
    beside = [
        *OVER,
        *DOWN_A_RAMP,
        ("rapid", 120.0, 21.0, SAFE),
        ("rapid", 60.0, 21.0, SAFE),
        ("rapid", 60.0, 21.0, 6.5),
    ]
    assert "rapids clear the wood" in failed(proof_of([*beside, ("rapid", 60.0, 21.0, SAFE)], job=job_of()))


def test_pecking_down_its_own_hole() -> None:
    hole = [*OVER]
    for z in (9.0, 6.0):
        hole += [("cut", 20.0, 20.0, z), ("rapid", 20.0, 20.0, TOP + 1.0), ("rapid", 20.0, 20.0, z + 0.5)]
    hole += [("cut", 20.0, 20.0, 2.7), ("rapid", 20.0, 20.0, SAFE)]
    point = pk.Toolpath("cut", pk.Curve.point((20.0, 20.0)), DRILL, CUTTING, bottom=2.7, role="drill")
    proof = proof_of(hole, job=pk.Job("board", STOCK, (point,)), tool=DRILL)
    assert failed(proof) == {"job"}
    too_deep = [*OVER, ("cut", 20.0, 20.0, 9.0), ("rapid", 20.0, 20.0, 8.9), ("rapid", 20.0, 20.0, SAFE)]
    assert failed(proof_of(too_deep, tool=DRILL)) == {"rapids clear the wood"}


def test_a_straight_plunge_by_a_bit_that_does_not_cut_at_its_centre() -> None:
    plunge = [*OVER, ("cut", 20.0, 20.0, 6.0), ("cut", 120.0, 20.0, 6.0), ("rapid", 120.0, 20.0, SAFE)]
    proof = proof_of(plunge, job=job_of())
    assert "plunges" in failed(proof)
    assert proof["plunges"].findings[0].toolpath == "cut"
    assert "plunges" not in failed(proof_of(plunge, job=job_of(DRILL), tool=DRILL))
    again = [*GOOD[:-2], ("rapid", 120.0, 20.0, SAFE), ("cut", 120.0, 20.0, 6.0), ("rapid", 120.0, 20.0, SAFE)]
    assert "plunges" not in failed(proof_of(again, job=job_of())), "down where the slot is already"
    steep = [*OVER, ("cut", 20.0, 20.0, TOP), ("cut", 22.0, 20.0, 6.0), ("rapid", 22.0, 20.0, SAFE)]
    assert "plunges" in failed(proof_of(steep, job=job_of())), "a ramp of 73 degrees is a plunge"


def test_below_the_bed() -> None:
    # No job may ask for this, but a program and its file can do it.
    deep = [*GOOD[:6], ("cut", 20.0, 20.0, -0.1), *GOOD[6:]]
    assert failed(proof_of(deep)) == {"above the bed"}
    # Over an underlay nothing may even touch the bed; without one, a cut down to the bed is a through cut.
    down = [*GOOD[:6], ("cut", 20.0, 20.0, 0.0), *GOOD[6:]]
    assert failed(proof_of(down)) == {"above the bed"}
    assert proof_of([*GOOD[:6], ("cut", 20.0, 20.0, 0.002), *GOOD[6:]]).ok
    bare = replace(STOCK, thickness=STOCK.thickness + STOCK.underlay, underlay=0.0)
    assert proof_of(down, stock=bare).ok


@pytest.mark.parametrize("kind", ["clamp", "screw"])
def test_keep_out_zones(kind: ZoneKind) -> None:
    def stock(x: float, height: float = 0.0) -> pk.Stock:
        return replace(STOCK, zones=(pk.Zone(box(x, 10.0, x + 10.0, 30.0), kind, height),))

    assert failed(proof_of(GOOD, stock=stock(60.0))) == {"keep-out zones"}
    # The path ends at x = 120, the bit at 123: only the job knows how wide the bit is.
    near = stock(122.0)
    assert proof_of(GOOD, stock=near)["keep-out zones"].status == "not proved"
    assert "keep-out zones" in failed(proof_of(GOOD, stock=near, job=job_of(stock=near)))
    assert "keep-out zones" not in failed(proof_of(GOOD, stock=stock(124.0), job=job_of(stock=stock(124.0))))
    # A clamp that is higher than the way back home at travel height.
    high = [("rapid", NAN, NAN, SAFE + 9.0), ("rapid", 20.0, 20.0, SAFE + 9.0), *GOOD[2:]]
    assert failed(proof_of(high, stock=stock(5.0, 9.0))) == set()
    home = [*high[:-1], ("rapid", 0.0, 20.0, SAFE)]
    assert failed(proof_of(home, stock=stock(5.0, 9.0))) == {"keep-out zones", "travel height"}
    assert failed(proof_of(home, stock=stock(5.0, 7.0))) == {"travel height"}


def test_a_rapid_is_as_high_as_what_it_crosses_asks() -> None:
    """By hand: a clamp 9 mm high from x 5 to 15 mm; 8 mm over it is SAFE + 9. Only what crosses it is judged by it."""
    clamp = pk.Zone(box(5.0, 10.0, 15.0, 30.0), "clamp", 9.0)
    stock = replace(STOCK, zones=(clamp,))
    high, over = SAFE + 9.0, ("rapid", 0.0, 20.0)
    first = [("rapid", NAN, NAN, high), ("rapid", 20.0, 20.0, high), *GOOD[2:-1]]
    up = ("rapid", 120.0, 20.0, high)
    assert proof_of([*first, up, (*over, high)], stock=stock).ok
    assert failed(proof_of([*first, up, (*over, high - 0.1)], stock=stock)) == {"travel height"}
    # From a place that is not known the way may lead over anything.
    blind = [("rapid", NAN, NAN, high - 0.1), ("rapid", 20.0, 20.0, high - 0.1), *first[2:]]
    assert failed(proof_of(blind, stock=stock)) == {"travel height"}
    # Past it at y = 5 by 5 mm: a bit of 6 mm keeps clear; a holder of 40 mm does not, but ends 5 mm over the tip.
    past = [*first, ("rapid", 120.0, 5.0, SAFE), ("rapid", 0.0, 5.0, SAFE)]
    assert "travel height" not in failed(proof_of(past, stock=stock, job=job_of(stock=stock)))
    wide = replace(BIT, holder=40.0, reach=5.0)
    assert "travel height" in failed(proof_of(past, stock=stock, job=job_of(wide, stock), tool=wide))
    long = replace(wide, reach=9.0)
    assert "travel height" not in failed(proof_of(past, stock=stock, job=job_of(long, stock), tool=long))
    # Just over the board is too low for a rapid, whatever is there.
    low = [*GOOD[:-2], ("rapid", 120.0, 20.0, SAFE - 1.0), ("rapid", 0.0, 0.0, SAFE - 1.0)]
    assert failed(proof_of(low)) == {"travel height"}


def test_tape_may_be_cut_over() -> None:
    taped = replace(STOCK, zones=(pk.Zone(box(60.0, 10.0, 70.0, 30.0), "tape"),))
    assert proof_of(GOOD, stock=taped).ok


def test_travel_by_size_and_as_placed() -> None:
    far = [*GOOD[:-1], ("rapid", 0.0, 0.0, SAFE), ("rapid", 601.0, 0.0, SAFE)]
    assert failed(proof_of(far)) == {"travel limits"}
    back_right = pk.load_machine("grbl-back-right")
    low, travel = back_right.travel.low, back_right.travel
    assert low is not None
    # The board's back right corner is at the lower ends of X and Y, the bed as deep as Z goes: all of it fits.
    assert proof_of(GOOD, machine=back_right, setup=pk.Setup(zero_at=low)).ok
    off = (low[0] - 0.5, low[1], low[2])
    beyond = proof_of(GOOD[:-1], machine=back_right, setup=pk.Setup(zero_at=(low[0] + travel.x - 100.0, *low[1:])))
    assert failed(beyond) == {"room", "travel limits"}
    assert "upper end of X" in beyond["travel limits"].findings[0].what
    # Worked out by hand: x = 120 on a board 200 wide is X80 seen from the right, so 80 − 0.5 above the lower end.
    placed = proof_of(GOOD[:-1], machine=back_right, setup=pk.Setup(zero_at=off))
    assert placed["travel limits"].figures["X_margin_mm"] == 79.5


def test_the_extent_of_an_arc_is_its_bulge() -> None:
    from pathkit.proof.checks.travel import extents

    made = program([*OVER, ("cut", 20.0, 20.0, 6.0), ("cut", 40.0, 20.0, 6.0)])
    sweep, centre = np.zeros(5), np.full((5, 2), NAN)
    kind = np.array(made.kind)
    sweep[4], centre[4], kind[4] = -math.pi, (30.0, 20.0), pk.ARC
    low, high = extents(made.replace(kind=kind, sweep=sweep, centre=centre))
    assert low[4].tolist() == pytest.approx([20.0, 20.0, 6.0])
    assert high[4].tolist() == pytest.approx([40.0, 30.0, 6.0])


def test_the_first_motion_up_to_travel_height() -> None:
    low = [("rapid", NAN, NAN, TOP + 2.0), ("rapid", 20.0, 20.0, TOP + 2.0), *GOOD[2:]]
    assert failed(proof_of(low)) == {"first motion", "travel height"}


def test_a_spindle_beyond_its_speeds_and_without_time_to_spin_up() -> None:
    made = program(GOOD)
    posted = pk.post(made, MACHINE)
    slow = replace(MACHINE, spindle=SpindleControl(min=1000.0, max=12000.0))
    assert failed(pk.verify(posted, made, slow)) == {"spindle"}
    proof = proof_of(GOOD, dwell=0.5)
    assert proof.ok
    assert [f.severity for f in proof.findings] == ["warning"]
    assert "spin up" in proof.findings[0].what


def test_a_spindle_switched_by_hand_is_not_proved() -> None:
    manual = replace(MACHINE, spindle=SpindleControl("manual"))
    proof = proof_of(GOOD, machine=manual)
    assert proof.ok
    assert proof["spindle"].status == "not proved"
    assert [f.severity for f in proof.findings] == ["note"]
    made = program(GOOD)
    text = pk.post(made, manual).text
    assert "M3" not in text
    assert "M0" in text
    assert failed(pk.verify(text.replace("M0\n", "", 1), made, manual)) == {"events"}
    assert "switch the spindle off, then go on" in text
    at = text.rindex("M0\n")
    assert failed(pk.verify(text[:at] + text[at + 3 :], made, manual)) == {"events"}, "left turning at the end"


def outline(**changes: Any) -> pk.Job:
    curve = pk.Curve.polyline([(20.0, 20.0), (120.0, 20.0), (120.0, 70.0), (20.0, 70.0)], closed=True)
    tabs = (pk.Tab(50.0, 6.0, 3.0), pk.Tab(200.0, 6.0, 3.0))
    values: dict[str, Any] = {"bottom": 2.7, "stepdown": 3.0, "entry": pk.Spiral(3.0), "tabs": tabs, **changes}
    return pk.Job("board", STOCK, (pk.Toolpath("cut", curve, BIT, CUTTING, **values),))


def test_a_program_that_cuts_its_tabs_away() -> None:
    whole = outline()
    program_with, program_without = pk.lower(whole, MACHINE), pk.lower(outline(tabs=()), MACHINE)
    assert pk.verify(pk.post(program_with, MACHINE), program_with, MACHINE, job=whole).ok
    proof = pk.verify(pk.post(program_without, MACHINE), program_without, MACHINE, job=whole)
    assert failed(proof) == {"job", "tabs", "tab strength", "asked tabs"}
    assert "tab of 'cut'" in proof["tabs"].findings[0].what
    for narrower in (pk.Tab(50.0, 5.8, 3.0), pk.Tab(50.3, 6.0, 3.0), pk.Tab(50.0, 6.0, 2.9)):
        other = pk.lower(outline(tabs=(narrower, pk.Tab(200.0, 6.0, 3.0))), MACHINE)
        assert "tabs" in failed(pk.verify(pk.post(other, MACHINE), other, MACHINE, job=whole)), narrower


def test_another_job_and_another_order() -> None:
    job = outline()
    other = outline(stepdown=2.0)
    made = pk.lower(job, MACHINE)
    posted = pk.post(made, MACHINE)
    # The job's levels ask for smaller bites than the file takes.
    assert failed(pk.verify(posted, made, MACHINE, job=other)) == {"job", "stock removal", "asked depths"}
    first = replace(job.toolpaths[0], name="first")
    pair = pk.Job("board", STOCK, (*job.toolpaths, first), precedence=(("first", "cut"),))
    wrong = pk.lower(pair, MACHINE)
    proof = pk.verify(pk.post(wrong, MACHINE), wrong, MACHINE, job=pair)
    assert failed(proof) == {"precedence", "safe order"}
    assert proof["precedence"].findings[0].toolpath == "cut"
    missing = pk.verify(posted, made, MACHINE, job=pair)
    assert {"job", "precedence"} <= failed(missing)
    assert any("never cut" in f.what for f in missing["precedence"].findings)


def test_checks_keep_their_contract() -> None:
    from pathkit.findings import Check
    from pathkit.proof.verify import CHECKS

    names = [check.name for check in CHECKS]
    assert len(set(names)) == len(names)
    for check in CHECKS:
        assert isinstance(check, Check)
        assert check.limits.endswith(".")
        assert check.needs <= {"text", "program", "board", "job", "parts"}
