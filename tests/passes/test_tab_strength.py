"""How many tabs hold a part: formulas against worked examples of handbooks, counts against the laws they obey."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathkit.errors import InputError, PassRefused
from pathkit.handover.pages.holding import held_parts, holding_findings, holding_lines
from pathkit.jobs.audit import tab_loads
from pathkit.model.curve import Curve
from pathkit.model.job import Job, Part
from pathkit.model.stock import Stock, Zone
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Tab, Toolpath
from pathkit.operations import contour, rectangle
from pathkit.operations.finishing import Finish, finished_contour
from pathkit.passes.hold_tabs import HoldTabs
from pathkit.passes.tab_strength import DULL, SAFETY, WOOD, at_an_angle, bent, load_of, shares, taped, used
from pathkit.registry import load_machine

MACHINE = load_machine("grbl-front-left")
BIT = Tool("4 mm end mill", 4.0, centre_cutting=True)
BOARD = Stock(500.0, 400.0, 9.0, z_zero="bed", underlay=3.0)


def plate(
    width: float = 90.0, depth: float = 50.0, feed: float = 2560.0, stepdown: float = 3.0, spindle: float = 16000.0
) -> Toolpath:
    (path,) = contour("plate", rectangle((60, 60), width, depth, radius=8.0), BIT,
                      Cutting(feed=feed, plunge=500.0, spindle=spindle),
                      bottom=BOARD.through(), stepdown=stepdown, part="plate")  # fmt: skip
    return path


def automatic(path: Toolpath, material: str = "plywood", board: Stock = BOARD, **more: float) -> Toolpath:
    job = Job("j", board, (path,))
    (got,) = HoldTabs(count="auto", material=material, **more)(job, MACHINE).job.toolpaths  # type: ignore[arg-type]
    return got


def test_a_load_beside_the_middle_of_a_group() -> None:
    """Shigley's Mechanical Engineering Design, 8th edition, example 8-7 (from memory): four bolts 150 × 120 mm apart,
    and 16 kN that act 425 mm beside their middle. Primary shear 4 kN, secondary 17.7 kN, the worst bolt 21.0 kN. What
    is taken here adds both as if they had one direction, which is never less."""
    bolts = [(75.0, 60.0), (75.0, -60.0), (-75.0, -60.0), (-75.0, 60.0)]
    far = [(425.0, 0.0)]
    taken = [16.0 * share for share in shares(bolts, far)]
    secondary = [kn - 4.0 for kn in taken]
    assert secondary == pytest.approx([17.7] * 4, abs=0.05)
    radius = math.hypot(75.0, 60.0)
    worst = math.hypot(4.0 + secondary[0] * 75.0 / radius, secondary[0] * 60.0 / radius)
    assert worst == pytest.approx(21.0, abs=0.05)
    assert max(taken) >= worst


@given(st.floats(1.0, 60.0), st.floats(2.0, 8.0), st.floats(3.0, 20.0), st.floats(1.0, 8.0))
def test_a_tab_is_a_beam_held_at_both_ends(force: float, length: float, wide: float, high: float) -> None:
    """One end of a fixed beam moved by δ without turning: V = 12·E·I·δ/ℓ³ and M = 6·E·I·δ/ℓ² (Timoshenko, Strength of
    Materials, part I, beams with built-in ends; from memory), σ = M·(h/2)/I, whatever E."""
    inertia, e = wide * high**3 / 12.0, 9000.0
    moved = force * length**3 / (12.0 * e * inertia)
    moment = 6.0 * e * inertia * moved / length**2
    assert bent(force, length, wide, high) == pytest.approx(moment * (high / 2.0) / inertia)


def test_a_tab_by_hand() -> None:
    # 10 N at the end of a beam 4 mm long, 6 × 3 mm: M = 20 N mm, W = 6·9/6 = 9 mm³, σ = 2.22 MPa.
    assert bent(10.0, 4.0, 6.0, 3.0) == pytest.approx(20.0 / 9.0)


@given(st.floats(0.0, 90.0), st.sampled_from(sorted(WOOD)))
def test_hankinsons_formula(angle: float, material: str) -> None:
    """Wood Handbook, chapter 5: P along the grain, Q across it, between them ever less; the same on either side."""
    wood = WOOD[material]
    assert at_an_angle(wood, 0.0) == pytest.approx(wood.along)
    assert at_an_angle(wood, 90.0) == pytest.approx(wood.across)
    bears = at_an_angle(wood, angle)
    assert wood.across - 1e-9 <= bears <= wood.along + 1e-9
    assert at_an_angle(wood, 180.0 - angle) == pytest.approx(bears)
    if wood.along == wood.across:
        assert bears == wood.along, "what has no grain bears the same all round"
        return
    s, c = math.sin(math.radians(angle)) ** 1.5, math.cos(math.radians(angle)) ** 1.5
    assert 1.0 / bears == pytest.approx(s / wood.across + c / wood.along)


def test_the_force_of_a_bit_by_hand() -> None:
    """2560 mm/min, 16 000 rpm, two flutes: 0.08 mm a tooth. 9.8 mm of plywood and air in four bites of at most 3 mm.

    A dull bit: 2 · 30 N/mm² · bite · 0.08 mm, one tooth at a time.
    """
    path = plate()
    bite = (BOARD.highest_top - BOARD.through()) / 4.0
    load = load_of(path, BOARD, WOOD["plywood"], MACHINE)
    mass = 680.0 * 94.0 * 54.0 * 9.5 * 1e-9
    assert load.push == pytest.approx(DULL * 30.0 * bite * 0.08 + mass * 0.4, rel=5e-3)
    assert load.lift == pytest.approx(0.6 * DULL * 30.0 * bite * 0.08)
    assert load.weight == pytest.approx(mass * 9.81, rel=0.02)
    # A feed that the machine does not run (4000 mm/min) pushes no harder.
    fast = load_of(plate(feed=9000.0), BOARD, WOOD["plywood"], MACHINE)
    assert fast.lift == pytest.approx(load.lift * 4000.0 / 2560.0)


@given(st.floats(60.0, 300.0), st.floats(40.0, 200.0), st.floats(600.0, 3500.0),
       st.sampled_from(["plywood", "mdf", "hdf", "acrylic", "hdpe"]))  # fmt: skip
def test_as_many_as_are_asked_and_no_fewer_than_two(width: float, depth: float, feed: float, material: str) -> None:
    path = plate(width, depth, feed)
    wood = WOOD[material]
    load = load_of(path, BOARD, wood, MACHINE)
    try:
        got = automatic(path, material)
    except PassRefused:
        return
    assert len(got.tabs) >= 2
    assert used(path, got.tabs, BOARD, wood, load) <= 1.0
    if len(got.tabs) > 2:
        job = HoldTabs(count=len(got.tabs) - 1)(Job("j", BOARD, (path,)), MACHINE).job
        assert used(path, job.toolpaths[0].tabs, BOARD, wood, load) > 1.0, "one less would not do"


def test_what_asks_for_more_gets_more() -> None:
    light, heavy = len(automatic(plate(feed=800.0)).tabs), len(automatic(plate(feed=2560.0)).tabs)
    assert light == 2 < heavy
    assert len(automatic(plate(), width=10.0, height=5.0).tabs) == 2, "wider and higher ones bear more"
    assert len(automatic(plate(stepdown=9.0)).tabs) > heavy


def test_across_the_grain_a_tab_is_weak() -> None:
    """Two tabs on the long sides, which run along x: with the grain along x their fibres lie across them."""
    path = plate()
    (tabbed,) = HoldTabs(count=2)(Job("j", BOARD, (path,)), MACHINE).job.toolpaths
    wood = WOOD["softwood"]
    load = load_of(path, BOARD, wood, MACHINE)
    long_sides = [Tab(at, 6.0, 3.0) for at in _stations(path.curve, horizontal=True)]
    weak = used(path, long_sides, BOARD, wood, load)
    strong = used(path, long_sides, dataclasses.replace(BOARD, grain=90.0), wood, load)
    assert weak == pytest.approx(strong * min(wood.along / wood.across, weak / strong))
    assert weak > 5.0 * strong
    assert used(path, long_sides, BOARD, WOOD["mdf"], load) == pytest.approx(
        used(path, long_sides, dataclasses.replace(BOARD, grain=90.0), WOOD["mdf"], load)
    ), "a sheet without a grain does not care"
    assert tabbed.tabs


def _stations(curve: Curve, *, horizontal: bool) -> list[float]:
    """The middles of the two long straight sides."""
    spans = curve.spans
    found = []
    for k in range(len(spans.length)):
        dx, dy = (spans.end[k] - spans.start[k])[:2]
        if spans.sweep[k] == 0.0 and (abs(dx) > abs(dy)) == horizontal and spans.length[k] > 20.0:
            found.append(float((spans.station[k] + spans.station[k + 1]) / 2.0))
    return found


@pytest.mark.parametrize("material", [None, "cork", "foam", "granite"])
def test_of_what_nothing_is_known_no_number_is_made_up(material: str | None) -> None:
    with pytest.raises(InputError, match=r"what tabs of .* bear is not known; give a number, as in count = 4"):
        HoldTabs(count="auto", material=material)


def test_where_no_number_holds_it_is_refused_with_what_to_do() -> None:
    with pytest.raises(
        PassRefused, match=r"bear .* % of what they must bear in softwood, by estimate \(safety 2, a"
    ) as raised:
        automatic(plate(60.0, 40.0, 3500.0, 10.0), "softwood", width=4.0, height=1.0)
    assert "wider or higher" in raised.value.findings[0].fix
    standing = plate(spindle=0.0)
    with pytest.raises(PassRefused, match="how hard the bit pushes cannot be estimated"):
        automatic(standing)


def test_the_audit_has_figures_of_its_own_and_they_are_the_same() -> None:
    ours = {name: (w.along, w.across, w.shear, w.cost, w.density) for name, w in WOOD.items()}
    assert ours == tab_loads.FIGURES
    assert (SAFETY, DULL) == (tab_loads.SAFE, tab_loads.DULL)


@given(st.floats(60.0, 200.0), st.floats(40.0, 120.0), st.floats(-40.0, 130.0), st.sampled_from(sorted(WOOD)))
def test_the_audit_comes_to_the_same(width: float, depth: float, grain: float, material: str) -> None:
    import json

    from pathkit.model.codec import dumps
    from pathkit.proof.certificate import machine_as_dict

    board = dataclasses.replace(BOARD, grain=grain)
    (path,) = HoldTabs(count=3)(Job("j", board, (plate(width, depth),)), MACHINE).job.toolpaths
    share = used(path, path.tabs, board, WOOD[material], load_of(path, board, WOOD[material], MACHINE))
    written = json.loads(dumps(Job("j", board, (path,))))["toolpaths"][0]
    stock = {"material": material, "thickness": 9.0, "thickness_tolerance": 0.5, "underlay": 3.0,
             "underlay_tolerance": 0.0, "z_zero": "bed"}  # fmt: skip
    outline = path.curve.flattened(0.001)
    ring, tool = np.vstack([outline, outline[:1]]), {"diameter": 4.0, "flutes": 2}
    load = tab_loads.load(written, ring, tool, stock, machine_as_dict(MACHINE))
    again = tab_loads.taken(written, ring, load, tool, stock, grain)
    assert again == pytest.approx(share, rel=5e-3)


def held_job(tabs: int, tape: float = 0.0, material: str = "plywood") -> Job:
    from shapely.geometry import box

    outline = rectangle((60, 60), 90.0, 50.0, radius=8.0)
    zones = (Zone(box(65, 65, 65 + tape, 105), "tape"),) if tape else ()
    job = Job("j", dataclasses.replace(BOARD, zones=zones), (plate(),), (), (Part("plate", outline),))
    return HoldTabs(count=tabs)(job, MACHINE).job if tabs else job


def test_the_sheet_shows_every_figure_and_never_says_proved() -> None:
    (line,) = holding_lines(held_job(2, tape=30.0), "plywood", MACHINE)
    assert line.startswith("Estimate, not proved: a dull bit pushes 'plate'")
    # 30 × 40 mm of tape, 0.02 N/mm², half of it for safety.
    assert taped(1200.0) == pytest.approx(12.0)
    assert "Tape under 1200 mm² of it may be asked for 12 N" in line
    # Strength of the wood and cutting force share theirs; the tape has its own.
    assert line.count("common practice, no source") == 2
    assert "safety 2" in line
    (solid,) = holding_lines(held_job(2), "hardwood", MACHINE)
    assert "Wood Handbook, USDA FPL-GTR-282, chapter 5" in solid
    assert holding_lines(held_job(2), "cork", MACHINE) == []
    assert holding_lines(held_job(2), None, MACHINE) == []


def test_too_little_is_warned_of() -> None:
    (finding,) = holding_findings(held_job(0), "plywood", MACHINE)
    assert "more than nothing but the board around it can hold" in finding.what
    assert 'count = "auto"' in finding.fix
    assert holding_findings(held_job(4), "plywood", MACHINE) == ()
    assert holding_findings(held_job(0, tape=60.0), "plywood", MACHINE) == ()
    (weak,) = held_parts(held_job(2), "plywood", MACHINE)
    assert weak.share is not None
    assert weak.breaks == (weak.share > SAFETY)


def test_a_cut_that_frees_nothing_needs_no_hold() -> None:
    """An opening less than two bits wide is cleared by going round it once. One twice as wide leaves a core; where that
    is to be dropped, it is not meant to be held, and the proof sees that nothing moves beside it."""
    outline = rectangle((60, 60), 90.0, 50.0, radius=8.0)
    cutting = Cutting(feed=2560.0, plunge=500.0, spindle=16000.0)

    def warned(width: float, *, drop: bool = False) -> list[str | None]:
        inside = contour("gap", rectangle((80, 70), width, 30.0), BIT, cutting, side="inside", bottom=BOARD.through(),
                         stepdown=3.0, part="plate", drop=drop)  # fmt: skip
        (held,) = HoldTabs(count=4)(Job("j", BOARD, (plate(),)), MACHINE).job.toolpaths
        job = Job("j", BOARD, (*inside, held), (), (Part("plate", outline),))
        return [finding.toolpath for finding in holding_findings(job, "plywood", MACHINE)]

    assert warned(7.9) == []
    assert warned(16.0) == ["gap"]
    assert warned(16.0, drop=True) == []


def test_a_lap_that_takes_off_an_allowance_asks_no_more_of_its_tabs() -> None:
    """It goes to the bottom at once, and takes off 0.3 mm: the cut before it is what the tabs bear."""
    outline = rectangle((60, 60), 90.0, 50.0, radius=8.0)
    paths = finished_contour(
        "plate", outline, BIT, plate().cutting, finish=Finish(0.3), bottom=BOARD.through(), stepdown=3.0, part="plate"
    )
    job = HoldTabs(count=2)(Job("j", BOARD, paths, (), (Part("plate", outline),)), MACHINE).job
    (held,) = held_parts(job, "plywood", MACHINE)
    assert held.path.name == "plate"
    assert held.count == 1
