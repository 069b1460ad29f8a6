"""Feeds against the check values of the handbook's formulas; suggestions that warn and never change a job."""

import math
from dataclasses import replace
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

import pathkit as pk
from pathkit.errors import InputError, ModelError
from pathkit.feeds.chips import (
    chip_load_of,
    cutting_speed,
    depth_share,
    feed_rate,
    slant,
    thinning,
    usual_chip_load,
    width_at,
)
from pathkit.feeds.materials import DO_NOT_CUT, USUAL, Material, why_not
from pathkit.jobs.reading import job_file_of
from pathkit.machine.reached import mean_feeds
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.operations import check_feeds, check_reached, contour, drill, pocket, rectangle, suggest

SIX = Tool("6 mm", 6.0, flutes=2)
STOCK = Stock(300.0, 200.0, 12.0)


def test_the_handbooks_check_values() -> None:
    # Machinery's Handbook, Speeds and Feeds, from memory: 18 000 rpm × 2 × 0.1 mm = 3 600 mm/min; D = 6 mm at
    # 18 000 rpm → 339.3 m/min.
    assert feed_rate(18_000, 2, 0.1) == pytest.approx(3600.0)
    assert chip_load_of(3600.0, 18_000, 2) == pytest.approx(0.1)
    assert cutting_speed(6.0, 18_000) == pytest.approx(339.3, abs=0.05)
    # Chip thinning (same book): at half the diameter none; at a tenth 2·√(0.1·0.9) = 0.6.
    assert thinning(3.0, 6.0) == 1.0
    assert thinning(0.6, 6.0) == pytest.approx(0.6)
    assert thinning(5.0, 6.0) == 1.0


def test_ranges_are_those_of_common_practice() -> None:
    # Common practice, no single source: softwood and plywood 0.10-0.25, hardwood 0.08-0.18, a 3 mm bit about half;
    # a quarter less at 2 × D, half at 3 × D.
    assert usual_chip_load(SIX, "plywood") == pytest.approx((0.10, 0.25))
    assert usual_chip_load(Tool("3", 3.0), "hardwood") == pytest.approx((0.04, 0.09))
    assert usual_chip_load(Tool("12", 12.0), "softwood") == pytest.approx((0.10, 0.25)), "no source says more"
    assert [depth_share(d) for d in (0.5, 1.0, 1.5, 2.0, 3.0, 9.0)] == pytest.approx([1, 1, 0.875, 0.75, 0.5, 0.5])
    assert usual_chip_load(SIX, "plywood", 18.0) == pytest.approx((0.05, 0.125))
    with pytest.raises(InputError, match="no chip loads are known for 'granite'; there are: softwood"):
        usual_chip_load(SIX, "granite")  # type: ignore[arg-type]


@given(
    st.sampled_from(sorted(USUAL)), st.floats(1.0, 12.0), st.integers(1, 4), st.floats(5000, 12000),
    st.floats(0, 20000), st.one_of(st.none(), st.floats(300.0, 8000.0)), st.one_of(st.none(), st.floats(0.2, 12.0)),
)  # fmt: skip
def test_a_suggestion_keeps_range_and_machine_or_says_why_not(
    material: Any, diameter: float, flutes: int, slowest: float, more: float, limit: float | None, wide: float | None
) -> None:
    tool = Tool("bit", diameter, flutes=flutes)
    spindle = (slowest, slowest + more)
    found = suggest(tool, material, spindle, feed_limit=limit, engagement=wide, plunge_limit=500.0)
    cutting = found.cutting
    assert spindle[0] - 1 <= cutting.spindle <= spindle[1]
    assert limit is None or cutting.feed <= limit
    assert cutting.plunge <= min(cutting.feed, 500.0)
    assert found.stepdown == diameter
    low, high = found.chip_range
    assert found.chip_load <= high * 1.001
    said = " ".join(note.what for note in found.notes if note.severity == "warning")
    assert found.chip_load >= low * 0.9 or "chips of" in said
    assert "starting point" in found.notes[0].what, "every suggestion says what it is"
    thin = thinning(min(wide, diameter), diameter) if wide is not None else 1.0
    assert found.chip_load == pytest.approx(cutting.feed / (cutting.spindle * flutes) * thin)
    assert found.speed == pytest.approx(math.pi * diameter * cutting.spindle / 1000)


def test_the_spindle_turns_slower_before_the_chip_gets_thin() -> None:
    free = suggest(SIX, "plywood", (8000, 24000))
    assert free.cutting.spindle == 18000
    assert free.cutting.feed == pytest.approx(18000 * 2 * 0.175)
    slow = suggest(SIX, "plywood", (8000, 24000), feed_limit=4000)
    assert slow.cutting.spindle == pytest.approx(4000 / (2 * 0.175), abs=1)
    assert slow.chip_load == pytest.approx(0.175, rel=0.001)
    weak = suggest(SIX, "plywood", (8000, 24000), feed_limit=1500)
    assert weak.cutting.spindle == 10000
    assert "take a bit with fewer flutes" in weak.notes[-1].fix
    assert suggest(Tool("6", 6.0, cut_length=4.0), "plywood", (8000, 24000)).stepdown == 4.0


def test_bad_questions_are_refused() -> None:
    with pytest.raises(ModelError, match="the slowest and the fastest"):
        suggest(SIX, "plywood", (24000, 8000))
    with pytest.raises(ModelError, match="stepdown is 0"):
        suggest(SIX, "plywood", (8000, 24000), stepdown=0.0)
    with pytest.raises(InputError, match="known for 'granite'"):
        check_feeds([], STOCK, "granite")  # type: ignore[arg-type]


def paths(feed: float, spindle: float, stepdown: float = 3.0, plunge: float = 500.0) -> tuple[pk.Toolpath, ...]:
    cutting = Cutting(feed=feed, plunge=plunge, spindle=spindle)
    recess = rectangle((20, 20), 60, 40, 5)
    return pocket("p", recess, SIX, cutting, bottom=-6.0, stepdown=stepdown, angle=0.0)


def test_usual_values_pass_and_unusual_ones_are_named() -> None:
    assert check_feeds(paths(3600, 18000), STOCK, "plywood") == ()
    (rubs,) = check_feeds(paths(1000, 18000), STOCK, "plywood")
    assert "0.028 mm a tooth, and usual in plywood is 0.100 to 0.250 mm: it rubs" in rubs.what
    assert (rubs.severity, rubs.toolpath) == ("warning", "p rows")
    (breaks,) = check_feeds(paths(9000, 16000), STOCK, "hardwood")
    assert "it may break" in breaks.what
    assert "2 toolpaths" in breaks.what
    deep = check_feeds(contour("o", rectangle((0, 0), 60, 40), SIX, Cutting(feed=3600, plunge=500, spindle=18000),
                               bottom=-12.0), STOCK,
                       "plywood")  # fmt: skip
    assert any("12 mm deep at once, and usual in plywood is up to 6 mm" in f.what for f in deep)
    assert any("rpm; usual is 10000" in f.what for f in check_feeds(paths(1600, 8000), STOCK, "plywood"))


def test_each_material_has_its_range_and_some_must_not_be_cut(tags: str) -> None:
    for material in get_args(Material):
        low, high = usual_chip_load(SIX, material)
        assert 0.0 < low < high
        assert job_file_of(tags.replace("thickness = 6", f'thickness = 6\nmaterial = "{material}"'), "j").form.stock
    for name, why in (
        ("PVC", "hydrogen chloride"), ("pvc-foam", "hydrogen chloride"), ("carbon_fibre", "conducts"),
        ("FR4", "fibrous glass dust, NIOSH"), ("fibre cement", "crystalline silica"), ("Treated Wood", "arsenic"),
        ("unknown composite", "safety data sheet"),
    ):  # fmt: skip
        with pytest.raises(InputError, match="must not be cut") as raised:
            job_file_of(tags.replace("thickness = 6", f'thickness = 6\nmaterial = "{name}"'), "job.toml")
        (finding,) = raised.value.findings
        assert why in finding.what
        assert (finding.line, finding.path) == (6, "$.stock.material")
    with pytest.raises(InputError, match=r"stock\.material: must be 'softwood'") as raised:
        job_file_of(tags.replace("thickness = 6", 'thickness = 6\nmaterial = "granite"'), "job.toml")
    assert "must not be cut" not in str(raised.value)
    assert not set(DO_NOT_CUT) & set(get_args(Material))
    assert why_not("polycarbonate") is None


def test_the_width_of_a_ball_and_of_a_vee() -> None:
    # Geometry of sphere and cone: a ball of 6 mm that is 3 mm deep cuts 6 mm wide, 1 mm deep 2·√(1·5) = 4.472 mm; a vee
    # of 60° that is 2 mm deep cuts 2·2·tan 30° = 2.309 mm wide.
    ball, vee = Tool("b", 6.0, kind="ball"), Tool("v", 6.0, kind="vee", angle=60.0)
    assert [width_at(ball, d) for d in (1.0, 3.0, 5.0)] == pytest.approx([4.4721, 6.0, 6.0], abs=1e-4)
    assert [width_at(vee, d) for d in (2.0, 5.196, 9.0)] == pytest.approx([2.3094, 6.0, 6.0], abs=1e-3)
    # h = f_z · sin κ: half the feed per tooth for a vee of 60°; 4.472 / 6 of it for the ball.
    assert slant(vee, 2.0) == pytest.approx(0.5)
    assert slant(ball, 1.0) == pytest.approx(0.7454, abs=1e-4)
    assert slant(SIX, 1.0) == 1.0


def engraved(tool: Tool, feed: float, depth: float, spindle: float = 18000.0) -> list[str]:
    line = pk.Curve.polyline([[20, 20], [120, 20]])
    path = pk.Toolpath(
        "m", line, tool, Cutting(feed=feed, plunge=400.0, spindle=spindle), top=0.0, bottom=-depth, role="engrave"
    )
    return [f.what for f in check_feeds([path], STOCK, "hardwood")]


def test_a_vee_is_judged_by_where_it_cuts() -> None:
    vee = Tool("60 degree vee", 6.0, kind="vee", angle=60.0)
    # 1 mm deep it cuts 1.155 mm wide: at least 0.08 · 1.155 / 6 = 0.0154 mm; 1400 / 36000 / 2 = 0.0194 mm.
    assert engraved(vee, 1400.0, 1.0) == []
    assert "takes 0.014 mm a tooth, and usual in hardwood is 0.015" in engraved(vee, 1000.0, 1.0)[0]
    assert any("its cone ends 5.20 mm above its tip" in what for what in engraved(vee, 3000.0, 5.6))


def test_a_ball_takes_thinner_chips_near_its_tip() -> None:
    ball = Tool("6 mm ball", 6.0, kind="ball")
    # 0.1 mm a tooth is usual in hardwood; 0.3 mm deep sin κ is √(0.3 · 5.7) / 3 = 0.436.
    assert engraved(ball, 3600.0, 3.0) == []
    (rubs,) = engraved(ball, 3600.0, 0.3)
    assert "takes 0.044 mm a tooth" in rubs


def drilled(tool: Tool, plunge: float, spindle: float, depth: float = 9.0, peck: float | None = None) -> list[str]:
    paths = drill("h", [(10, 10)], tool, Cutting(feed=plunge, plunge=plunge, spindle=spindle), bottom=-depth, peck=peck)
    return [f.what for f in check_feeds(paths, STOCK, "plywood")]


def test_a_drill_is_judged_on_its_way_down() -> None:
    bit = Tool("6 mm drill", 6.0, kind="drill")
    # π · 6 · 6000 / 1000 = 113 m/min; 600 / 12000 = 0.05 mm a tooth.
    assert drilled(bit, 600.0, 6000.0) == []
    (slow,) = drilled(bit, 100.0, 6000.0)
    assert "takes 0.008 mm a tooth on its way down, and usual is 0.020 to 0.150 mm: it rubs" in slow
    (fast,) = drilled(bit, 2400.0, 6000.0)
    assert "it may break" in fast
    assert any("runs at 339 m/min, and usual in plywood is 150 at most" in what for what in drilled(bit, 1800, 18000))
    (packed,) = drilled(bit, 600.0, 6000.0, depth=20.0)
    assert "goes 20 mm down at once, and the chips pack" in packed
    assert drilled(bit, 600.0, 6000.0, depth=20.0, peck=6.0) == []
    # An end mill straight down takes half of what it takes along.
    assert any("0.139 mm a tooth on its way down, and usual is 0.125" in what for what in drilled(SIX, 5000, 18000))


def test_what_is_engaged_thins_the_chips() -> None:
    def rows(stepover: float) -> list[str]:
        recess = rectangle((20, 20), 120, 80, 5)
        made = pocket("p", recess, SIX, Cutting(feed=4320, plunge=500, spindle=18000), bottom=-3.0, stepdown=3.0,
                      angle=0.0,
                      stepover=stepover)  # fmt: skip
        return [f.what for f in check_feeds(made, STOCK, "plywood")]

    # 0.12 mm a tooth: 0.118 mm thick with 0.4 of the bit in the wood, 0.052 mm with 0.05 of it
    # (2·√(0.05·0.95) = 0.436).
    assert rows(0.4) == []
    (rubs,) = rows(0.05)
    assert "of it in the wood" in rubs
    thick = float(rubs.split("takes ")[1].split(" mm")[0])
    assert thick == pytest.approx(0.12 * 0.436, rel=0.15)


def test_a_wide_bit_turns_slower_and_plastics_too() -> None:
    wide = Tool("50 mm", 50.0, flutes=3, centre_cutting=True)
    path = contour("o", rectangle((60, 60), 80, 60), wide, Cutting(feed=6000, plunge=500, spindle=18000), bottom=-2.0)
    (edge,) = check_feeds(path, STOCK, "softwood")
    # π · 50 · 18000 / 1000 = 2827 m/min; 2000 of them are 12 732 rpm.
    assert "runs at 2827 m/min, and usual in softwood is 2000 at most" in edge.what
    assert edge.fix == "spindle = 12700, or less"
    in_acrylic = check_feeds(paths(4000, 24000), STOCK, "acrylic")
    assert [f.severity for f in in_acrylic if "melts on a bit that rubs" in f.what] == ["note"]
    # π · 6 · 24000 / 1000 = 452 m/min is fine; a bit of 12 mm comes to 905.
    assert not any("m/min" in f.what for f in in_acrylic)
    assert suggest(wide, "softwood", (8000, 24000)).speed <= 2000.0


def test_chips_are_judged_at_the_feed_that_the_machine_runs() -> None:
    machine = pk.load_machine("grbl-front-left")  # 4 000 mm/min in the plane, 1 000 up and down
    before = paths(6000, 24000)
    # 6000 would be 0.125 mm a tooth; what it really runs is 4000: 0.083 mm.
    assert check_feeds(before, STOCK, "plywood") == ()
    (rubs,) = check_feeds(before, STOCK, "plywood", machine)
    assert "takes 0.083 mm a tooth at the 4000 mm/min that 'grbl-front-left' can move" in rubs.what
    assert before == paths(6000, 24000)
    bit = Tool("d", 6.0, kind="drill", flutes=1)
    fast = drill("h", [(10, 10)], bit, Cutting(feed=4000, plunge=4000, spindle=8000), bottom=-9.0)
    assert any("it may break" in f.what for f in check_feeds(fast, STOCK, "plywood"))
    assert not any("it may break" in f.what for f in check_feeds(fast, STOCK, "plywood", machine)), "it slows down"


def test_short_moves_never_get_to_their_feed() -> None:
    """v = √(a · L) at most on a move of L from rest to rest (uniform acceleration, any mechanics textbook)."""
    machine = pk.load_machine("grbl-front-left")
    weak = replace(machine, motion=replace(machine.motion, acceleration=(20.0, 20.0, 20.0), junction_deviation=0.0))
    zigzag = pk.Curve.polyline([[20 + 4 * k, 20 + 4 * (k % 2)] for k in range(12)])
    bit = replace(SIX, centre_cutting=True)
    path = pk.Toolpath(
        "z", zigzag, bit, Cutting(feed=3600, plunge=500, spindle=16000), top=0.0, bottom=-2.0, role="engrave"
    )
    job = pk.Job("j", STOCK, (path,))

    def judged(on: pk.Machine) -> tuple[dict[str, float], list[str]]:
        program = pk.lower(job, on)
        means = mean_feeds(program, pk.run_time(program, on))
        return means, [f.what for f in check_reached(job.toolpaths, STOCK, "plywood", means, on)]

    means, said = judged(weak)
    # At 45° two axes speed up at 20 mm/s² each: 20·√2. The mean of a triangle of speed is half its top:
    # √(20·√2 · 4·√2) / 2 · 60 = 379 mm/min.
    assert means["z"] == pytest.approx(30.0 * math.sqrt(160.0), rel=0.01)
    assert "is to feed at 3600 mm/min and reaches 3" in said[0]
    stiff = replace(machine, motion=replace(machine.motion, acceleration=(9000.0,) * 3))
    assert judged(stiff)[1] == []


def test_a_cut_in_space_is_said_not_to_be_judged() -> None:
    trace = pk.Curve.polyline([[10, 10, 0], [60, 10, -2], [90, 20, -1]])
    path = pk.Toolpath("t", trace, Tool("b", 6.0, kind="ball"), Cutting(feed=3600, plunge=500, spindle=18000))
    (note,) = check_feeds([path], STOCK, "softwood")
    assert (note.severity, note.toolpath) == ("note", "t")
    assert "not judged" in note.what
