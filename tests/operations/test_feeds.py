"""Feeds against the check values of the handbook's formulas; suggestions that warn and never change a job."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import pathkit as pk
from pathkit.errors import InputError, ModelError
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.operations import check_feeds, contour, drill, pocket, rectangle, suggest
from pathkit.operations.feeds import (
    CHIP_LOAD,
    chip_load_of,
    cutting_speed,
    depth_share,
    feed_rate,
    thinning,
    usual_chip_load,
)

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
    st.sampled_from(sorted(CHIP_LOAD)), st.floats(1.0, 12.0), st.integers(1, 4), st.floats(5000, 12000),
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
    with pytest.raises(InputError, match="known for 'mdf'"):
        check_feeds([], STOCK, "mdf")  # type: ignore[arg-type]


def paths(feed: float, spindle: float, stepdown: float = 3.0, plunge: float = 500.0) -> tuple[pk.Toolpath, ...]:
    cutting = Cutting(feed, plunge, spindle)
    recess = rectangle((20, 20), 60, 40, 5)
    return pocket("p", recess, SIX, cutting, bottom=-6.0, stepdown=stepdown, angle=0.0)


def test_usual_values_pass_and_unusual_ones_are_named() -> None:
    assert check_feeds(paths(3600, 18000), STOCK, "plywood") == ()
    (rubs,) = check_feeds(paths(1000, 18000), STOCK, "plywood")
    assert "0.028 mm a tooth, and usual in plywood are 0.100 to 0.250 mm: it rubs" in rubs.what
    assert (rubs.severity, rubs.toolpath) == ("warning", "p rows")
    (breaks,) = check_feeds(paths(9000, 16000), STOCK, "hardwood")
    assert "it may break" in breaks.what
    assert "2 toolpaths" in breaks.what
    deep = check_feeds(contour("o", rectangle((0, 0), 60, 40), SIX, Cutting(3600, 500, 18000), bottom=-12.0), STOCK,
                       "plywood")  # fmt: skip
    assert any("12 mm deep at once, and usual is up to its diameter, 6 mm" in f.what for f in deep)
    assert any("rpm; usual in wood" in f.what for f in check_feeds(paths(1600, 8000), STOCK, "plywood"))


def test_what_the_machine_cannot_is_named_and_nothing_is_changed() -> None:
    machine = pk.load_machine("grbl-front-left")  # 4 000 mm/min in the plane, 1 000 up and down, 8 000-24 000 rpm
    before = paths(5000, 24000)
    found = check_feeds(before, STOCK, "plywood", machine)
    assert ["moves at most 4000" in f.what for f in found] == [True]
    assert before == paths(5000, 24000)
    fast = drill("h", [(10, 10)], Tool("d", 4.0, kind="drill"), Cutting(1000, 1500, 30000), bottom=-9.0)
    said = " / ".join(f.what for f in check_feeds(fast, STOCK, "plywood", machine))
    assert "at most 1000 up and down" in said
    assert "turns 8000 to 24000" in said
    assert all(f.severity == "warning" for f in check_feeds(fast, STOCK, "plywood", machine))
