"""How each cut is entered."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathkit.errors import InputError, ModelError, PassRefused
from pathkit.lowering.entries import helix_fits
from pathkit.lowering.lower import lower
from pathkit.machine.profile import Machine
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.tool import Tool
from pathkit.model.toolpath import Helix, Peck, Plunge, Ramp, Spiral, Toolpath
from pathkit.motion.program import LINE, RAPID
from pathkit.passes.merge_stepdowns import MergeStepdowns
from pathkit.passes.pipeline import Pipeline
from pathkit.passes.ramp_entries import RampEntries
from pathkit.testing.strategies import jobs, machines

if TYPE_CHECKING:
    from tests.passes.conftest import Cut, Ring


BLUNT = Tool("6 mm blunt", 6.0)
SHARP = Tool("6 mm centre-cutting", 6.0, centre_cutting=True)
VEE = Tool("vee", 6.0, kind="vee", angle=60.0, centre_cutting=True)
DRILL = Tool("3 mm drill", 3.0, kind="drill")
RASTER = Curve.polyline([(20, 20), (60, 20), (60, 24), (20, 24), (20, 28), (60, 28)])
LINE_ = Curve.polyline([(20, 100), (60, 100)])


def ramp(job: Job, machine: Machine, **options: Any) -> Job:
    return Pipeline([RampEntries(**options)]).run(job, machine, check=True).job


def test_each_kind_of_cut_gets_its_own(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    paths = (
        cut("outline", ring(100, 10, 80, 50), role="outline"),
        cut("slot", LINE_, role="slot", bottom=4.0),
        cut("wide pocket", Curve.polyline([(20, 20), (60, 20), (60, 25), (20, 25)]), role="pocket", bottom=6.0),
        cut("narrow pocket", LINE_, role="pocket", bottom=6.0),
        cut("wall", ring(200, 10, 60, 30), role="finish", bottom=6.0),
        cut("hole", Curve.point((10, 10)), DRILL, role="drill"),
        cut("deep hole", Curve.point((10, 20)), DRILL, role="drill", entry=Peck(3.0)),
        cut("bore", Curve.point((10, 40)), BLUNT, role="drill", entry=Helix(5.0, 4.0)),
        cut(
            "letter", LINE_, Tool("vee", 6.0, kind="vee", angle=60.0, centre_cutting=True), role="engrave", bottom=11.5
        ),
        cut("own", LINE_, role="slot", bottom=4.0, entry=Ramp(9.0)),
        cut("trace", Curve.polyline([(0, 0, 14), (30, 0, 11)]), bottom=None, stepdown=None),
    )
    got = {p.name: p.entry for p in ramp(Job("j", board, paths), machine, angle=4.0).toolpaths}
    assert isinstance(got["wide pocket"], Helix)
    assert helix_fits(paths[2].__class__(**{**vars(paths[2]), "entry": got["wide pocket"]}), board)
    del got["wide pocket"]
    assert got == {
        "outline": Spiral(4.0),
        "slot": Ramp(4.0),
        "narrow pocket": Ramp(4.0),
        "wall": Spiral(4.0),
        "hole": Plunge(),
        "deep hole": Peck(3.0),
        "bore": Helix(5.0, 4.0),
        "letter": Plunge(),
        "own": Ramp(9.0),
        "trace": Plunge(),
    }


def test_a_helix_wider_than_the_bit_is_refused_by_name(cut: Cut, board: Stock, machine: Machine) -> None:
    """A disc of diameter D led round a circle of diameter d covers its middle only where d ≤ D (geometry)."""
    paths = (
        cut("pocket", RASTER, role="pocket", bottom=6.0),
        cut("bore", Curve.point((10, 40)), BLUNT, role="drill", entry=Helix(5.0, 7.0)),
        cut("slot", LINE_, role="slot", bottom=4.0),
    )
    with pytest.raises(PassRefused) as refused:
        ramp(Job("j", board, paths), machine, helix_diameter=6.5)
    assert [f.toolpath for f in refused.value.findings] == ["pocket", "bore"]
    assert all("post" in f.what for f in refused.value.findings)


def test_a_single_point_with_a_bit_that_cannot_plunge_is_refused_by_name(
    cut: Cut, board: Stock, machine: Machine
) -> None:
    paths = tuple(cut(name, Curve.point((10, 10)), BLUNT, role="drill") for name in ("one", "two"))
    with pytest.raises(PassRefused) as refused:
        ramp(Job("j", board, paths), machine)
    assert [f.toolpath for f in refused.value.findings] == ["one", "two"]


def tiny(cut: Cut, diameter: float, tool: Tool, **options: Any) -> Toolpath:
    return cut("tiny", Curve.circle((40.0, 40.0), diameter / 2.0), tool, bottom=6.0, **options)


@pytest.mark.parametrize("role", ["outline", "finish"])
def test_a_contour_too_short_to_gain_by_it_is_entered_straight(
    cut: Cut, board: Stock, machine: Machine, role: str
) -> None:
    """At 3 degrees a lap of π d gains π d tan 3° (textbook geometry); a twentieth of the bit is the least."""
    least = 0.05 * 6.0 / (math.pi * math.tan(math.radians(3.0)))
    for diameter, entry in ((0.025, Plunge()), (least - 0.01, Plunge()), (least + 0.01, Spiral(3.0))):
        (path,) = ramp(Job("j", board, (tiny(cut, diameter, SHARP, role=role),)), machine).toolpaths
        assert path.entry == entry


def test_a_bit_that_does_not_cut_at_its_centre_is_not_turned_on_the_spot(
    cut: Cut, board: Stock, machine: Machine
) -> None:
    (path,) = ramp(Job("j", board, (tiny(cut, 1.6, BLUNT),)), machine).toolpaths
    assert path.entry == Spiral(3.0)
    with pytest.raises(PassRefused, match="would rub its way down"):
        ramp(Job("j", board, (tiny(cut, 1.4, BLUNT),)), machine)


def test_a_pocket_is_not_entered_by_a_helix_that_gains_nothing(cut: Cut, board: Stock, machine: Machine) -> None:
    wide = cut("wide pocket", Curve.polyline([(20, 20), (60, 20), (60, 25), (20, 25)]), role="pocket", bottom=6.0)
    (path,) = ramp(Job("j", board, (wide,)), machine, angle=0.5).toolpaths
    assert path.entry == Ramp(0.5)
    (path,) = ramp(Job("j", board, (wide,)), machine, angle=0.5, helix_diameter=3.0).toolpaths
    assert path.entry == Helix(0.5, 3.0), "one that is asked for is what it is"


def test_holes_that_begin_in_their_middle_stay_as_they_are(cut: Cut, board: Stock, machine: Machine) -> None:
    way = Curve.polyline([(40, 40), (41, 40), (40, 41), (40, 40)])
    for entry in (Plunge(), Peck(2.0)):
        path = cut("hole", way, SHARP, role="drill", entry=entry, bottom=6.0, reversible=False)
        assert ramp(Job("j", board, (path,)), machine).toolpaths[0].entry == entry
    with pytest.raises(ModelError, match="pecking is for holes"):
        cut("slot", way, SHARP, role="slot", entry=Peck(2.0), bottom=6.0)


def test_a_spiral_that_tears_the_edge_of_a_compression_cut_is_told(
    cut: Cut, ring: Ring, board: Stock, machine: Machine
) -> None:
    bit = Tool("compression", 6.0, kind="compression", tip_length=4.0, centre_cutting=True)
    # Two laps take the 12.75 mm below the thickest board's top. On the thinnest board, whose top is 1 mm lower, the
    # first lap is out of the reach of the tip (4 mm) after 5 of its 6.375 mm.
    job = Job("j", board, (cut("edge", ring(10, 10, 80, 50), bit, stepdown=6.5, role="outline"),))
    outcome = Pipeline([RampEntries(angle=3.0)]).run(job, machine)
    (finding,) = outcome.findings
    assert f"{260 * 5.0 / 6.375:.1f} mm" in finding.what
    with pytest.raises(PassRefused, match="edge"):
        ramp(job, machine, strict=True)


@pytest.mark.parametrize("options", [{"angle": 0.0}, {"angle": 46.0}, {"angle": math.nan}, {"helix_diameter": 0.0}])
def test_impossible_options_are_refused(options: dict[str, Any]) -> None:
    with pytest.raises(InputError, match="RampEntries"):
        RampEntries(**options)


@given(jobs(most=3), machines(), st.sampled_from((2.0, 3.0, 5.0)))
def test_no_way_down_is_steeper_than_the_angle(job: Job, machine: Machine, angle: float) -> None:
    """Ramp length for a depth d at angle α is d / tan α (textbook trigonometry); judged on the lowered moves."""
    job = Pipeline([MergeStepdowns(), RampEntries(angle=angle)]).run(job, machine, check=True).job
    program = lower(job, machine)
    for row in range(1, len(program)):
        a, b = program.end[row - 1], program.end[row]
        if program.kind[row] == RAPID or b[2] >= a[2] - 1e-9:
            continue
        path = job.toolpaths[program.toolpath[row]]
        radius = math.dist(a[:2], program.centre[row])
        run = math.dist(a[:2], b[:2]) if program.kind[row] == LINE else abs(program.sweep[row]) * radius
        wood = min(float(a[2]), path.highest(job.stock))
        straight_down = run < 1e-6 and wood > b[2] + 1e-6
        if straight_down:
            # Only through air to a floor that this cut has made already, or with a bit that cuts at its centre.
            levels = np.array((path.highest(job.stock), *path.depths(job.stock)))
            to_a_floor = bool(np.any((levels <= b[2] + 0.11) & (levels >= b[2] - 0.11)))
            assert path.tool.plunges or (to_a_floor and a[2] > path.highest(job.stock) - 1e-6)
        elif run > 1e-6:
            steepest = math.tan(math.radians(getattr(path.entry, "angle", angle)))
            assert (a[2] - b[2]) / run <= steepest * (1 + 1e-6)
