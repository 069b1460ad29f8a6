"""Sloped tabs: the way of the bit over them, the wood they leave, and how the proof sees that they are not so."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import pathkit as pk
from pathkit.errors import InputError, ModelError, PassRefused, Refused
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.jobs.sources import audited, boards_of
from pathkit.lowering import slopes
from pathkit.model.codec import dumps, loads
from pathkit.operations import contour, rectangle
from tests.jobs.audit.conftest import TAGS
from tests.jobs.audit.seeds import tabs

MACHINE = pk.load_machine("grbl-front-left")
MILL = pk.Tool("4 mm end mill", 4.0, number=1, centre_cutting=True)
FEEDS = pk.Cutting(feed=1000.0, plunge=300.0, spindle=16000.0)
STOCK = pk.Stock(130.0, 100.0, 6.0, z_zero="bed", underlay=3.0, thickness_tolerance=0.2)
RUN = 1.0 / math.tan(math.radians(30.0))
"""mm along for each mm of height, at 30 degrees."""

EDGES = {
    "rectangle": rectangle((20.0, 20.0), 90.0, 60.0),
    "rounded": rectangle((20.0, 20.0), 90.0, 60.0, radius=12.0),
    "circle": pk.Curve.circle((65.0, 50.0), 32.0),
}
ENTRIES: dict[str, Callable[[pk.Job], pk.Job]] = {
    "plunge": lambda job: job,
    "ramps": lambda job: pk.Pipeline([pk.RampEntries(angle=3.0)]).run(job, MACHINE).job,
}


def job_of(edge: pk.Curve = EDGES["rectangle"], tool: pk.Tool = MILL, lead: float = 0.0, **options: Any) -> pk.Job:
    """A plate that is cut out, with two tabs 6 mm wide and 3 mm high."""
    paths = contour("outline", edge, tool, FEEDS, bottom=STOCK.through(), stepdown=2.0, lead=lead)
    job = pk.Job("plate", STOCK, paths, parts=(pk.Part("plate", edge),))
    holding = pk.HoldTabs(count=2, width=6.0, height=3.0, **{"shape": "sloped", **options})
    return pk.Pipeline([holding]).run(job, MACHINE, check=True).job


def proof_of(job: pk.Job, program: pk.Program | None = None) -> set[str]:
    """The checks that the files of a job, or of a program that should be its, do not pass."""
    program = program or pk.lower(job, MACHINE)
    proof = pk.verify(pk.post(program, MACHINE), program, MACHINE, job=job)
    return {check.name for check in proof.checks if check.status != "passed"}


@pytest.mark.parametrize("entry", ENTRIES)
@pytest.mark.parametrize("edge", EDGES)
def test_they_are_proved(edge: str, entry: str) -> None:
    assert proof_of(ENTRIES[entry](job_of(EDGES[edge]))) == set()


def test_a_lead_and_another_order_of_passes_are_proved() -> None:
    job = job_of(EDGES["rounded"], lead=4.0)
    passes: list[Any] = [pk.MergeStepdowns(), pk.RampEntries(angle=3.0), pk.OrderTravel(effort=0)]
    assert proof_of(pk.Pipeline(passes).run(job, MACHINE, check=True).job) == set()


def test_the_bit_goes_up_and_down_at_thirty_degrees() -> None:
    job = job_of()
    path = job.toolpaths[0]
    program = pk.lower(job, MACHINE)
    start = np.vstack([[math.nan] * 3, program.end[:-1]])
    tab = path.tabs[0]
    x, y = path.curve.at(tab.at)[:2]
    top = STOCK.highest_underside + 3.0
    rise = top - STOCK.through()
    # Straight there, so that distances along the cut are distances from the tab's middle.
    near = [k for k in range(len(program)) if math.dist(program.end[k, :2], (x, y)) < 25.0 and program.level[k] >= 0]
    steep = [k for k in near if abs(program.end[k, 2] - start[k, 2]) > 0.01]
    assert len(steep) >= 4
    for k in steep:
        run = math.dist(program.end[k, :2], start[k, :2])
        if run < 0.01:
            continue  # the way down at the start of the cut
        assert abs(program.end[k, 2] - start[k, 2]) == pytest.approx(run / RUN, abs=1e-6)
        # Down no faster than the plunge: 300 mm/min at 30 degrees are 600 along the slope.
        assert program.feed[k] == pytest.approx(600.0 if program.end[k, 2] < start[k, 2] else 1000.0)
    # At its top the gap is the width and the bit's diameter; at the bottom its slopes come to that.
    for height, half in ((top, 5.0), (STOCK.through(), 5.0 + rise * RUN)):
        ends = [math.dist(program.end[k, :2], (x, y)) for k in near if abs(program.end[k, 2] - height) < 1e-9]
        assert min(ends) == pytest.approx(half, abs=1e-6)


def test_square_tabs_are_written_as_before() -> None:
    job = job_of(shape="square")
    assert '"shape"' not in dumps(job)
    assert '"shape": "sloped"' in dumps(job_of())
    assert loads(dumps(job_of())) == job_of()


def test_a_bit_that_does_not_cut_at_its_centre_leaves_none() -> None:
    blunt = replace(MILL, centre_cutting=False)
    with pytest.raises(PassRefused, match="would go down steeply behind a sloped tab"):
        job_of(tool=blunt)
    job = job_of()
    told = job.with_toolpaths(tuple(replace(p, tool=blunt, entry=pk.Spiral(3.0)) for p in job.toolpaths))
    with pytest.raises(Refused, match="would go down steeply behind a sloped tab"):
        pk.lower(told, MACHINE)


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(InputError, match="shape is 'round'"):
        pk.HoldTabs(shape="round")  # type: ignore[arg-type]
    with pytest.raises(ModelError, match="shape is 'round'"):
        pk.Tab(1.0, 2.0, 3.0, "round")  # type: ignore[arg-type]
    path = job_of().toolpaths[0]
    with pytest.raises(ModelError, match="several shapes"):
        replace(path, tabs=(path.tabs[0], replace(path.tabs[1], shape="square")))
    with pytest.raises(PassRefused, match="no room for 2 tabs"):
        job_of(rectangle((20.0, 20.0), 9.0, 9.0))


def shaped(job: pk.Job, shape: Any) -> pk.Job:
    return job.with_toolpaths(
        tuple(replace(path, tabs=tuple(replace(tab, shape=shape) for tab in path.tabs)) for path in job.toolpaths)
    )


def test_square_ones_where_sloped_ones_are_asked_for_are_found() -> None:
    job = job_of()
    assert "asked tabs" in proof_of(job, pk.lower(shaped(job, "square"), MACHINE))


def test_sloped_ones_where_square_ones_are_asked_for_are_found() -> None:
    job = job_of()
    failed = proof_of(shaped(job, "square"), pk.lower(job, MACHINE))
    assert {"asked tabs", "finished shape"} <= failed


@pytest.mark.parametrize(("angle", "by"), [(22.0, {"asked tabs", "finished shape"}), (40.0, {"asked tabs"})])
def test_slopes_of_another_angle_are_found(angle: float, by: set[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(slopes, "TAB_STEEPNESS", math.tan(math.radians(angle)))
    job = job_of()
    assert by <= proof_of(job, pk.lower(job, MACHINE))
    # Where ways down have an angle of their own, what is steeper or reaches further is not taken for a tab's slope.
    job = ENTRIES["ramps"](job)
    assert "asked entries" in proof_of(job, pk.lower(job, MACHINE))


def test_a_foot_that_another_cut_eats_is_found() -> None:
    job = job_of()
    path = job.toolpaths[0]
    x, y = path.curve.at(path.tabs[0].at)[:2]
    ahead = path.curve.at(path.tabs[0].at + 7.0)[:2]
    further = path.curve.at(path.tabs[0].at + 11.0)[:2]
    # Past the full width, where a square tab would have nothing left to lose.
    eaten = pk.Toolpath(
        "bite", pk.Curve.polyline([ahead, further]), MILL, FEEDS, bottom=STOCK.through(), role="slot",
    )  # fmt: skip
    assert math.dist((x, y), ahead) == pytest.approx(7.0)
    assert "tab strength" in proof_of(job.with_toolpaths((path, eaten)))
    square = shaped(job, "square")
    assert "tab strength" not in proof_of(square.with_toolpaths((square.toolpaths[0], eaten)))


SLOPED = TAGS.replace("height = 2 }", 'height = 2, shape = "sloped" }')


def audit(text: str) -> tuple[pk.Job, dict[str, list[str]]]:
    every = orders_of(job_file_of(text, "job.toml", Path()), [MACHINE], effort=0)
    job = pk.Pipeline(every[0].passes).run(every[0].job, MACHINE).job
    results = audited(every[0], boards_of(every, every[0]), dumps(job).encode())
    return job, {check.name: [str(f) for f in check.findings] for check in results if check.status != "passed"}


def test_only_the_audit_knows_that_sloped_ones_were_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    job, found = audit(SLOPED)
    assert found == {}
    assert {tab.shape for path in job.toolpaths for tab in path.tabs} == {"sloped"}
    tabs(shape="square")(monkeypatch)
    job, found = audit(SLOPED)
    assert list(found) == ["tabs as asked"]
    assert "has square tabs, and sloped ones are asked for" in found["tabs as asked"][0]
    assert proof_of(job) == set()
