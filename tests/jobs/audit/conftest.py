"""Job files are made into finished jobs, in memory, and audited as by a build."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from pathlib import Path

import pytest

from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.jobs.sources import audited, boards_of
from pathkit.machine.profile import Machine
from pathkit.model.codec import dumps
from pathkit.model.job import Setup
from pathkit.passes.pipeline import Pipeline
from pathkit.proof.result import CheckResult
from pathkit.registry import load_machine

Results = list[tuple[CheckResult, ...]]

TAGS = """
name = "key tags"
[stock]
thickness = 6
underlay = 2
z_zero = "bed"
[[board]]
width = 190
depth = 110
[tools."3 mm mill"]
diameter = 3
number = 1
centre_cutting = true
[tools."2 mm mill"]
diameter = 2
number = 2
centre_cutting = true
[cutting.wood]
feed = 1400
plunge = 400
spindle = 18000
[[part]]
name = "tag"
zones = [{ kind = "tape", shape = "recess" }]
[part.shapes]
outline.polygon = [[0, 0], [60, 0], [60, 20], [50, 30], [0, 30]]
recess.rectangle = { corner = [16, 6], width = 24, depth = 14, radius = 3 }
hole.points = [[8, 15]]
mark.line = [[16, 24], [30, 24], [34, 27]]
[[part.operations]]
kind = "pocket"
shape = "recess"
tool = "3 mm mill"
bottom.from_top = 2
stepdown = 1.5
[[part.operations]]
kind = "drill"
shape = "hole"
tool = "3 mm mill"
bottom.through = true
peck = 2
[[part.operations]]
kind = "engrave"
shape = "mark"
tool = "2 mm mill"
bottom.from_top = 0.8
[[part.operations]]
kind = "contour"
shape = "outline"
tool = "3 mm mill"
bottom.through = 0.4
stepdown = 2
[layout]
copies = 3
margin = 8
[passes]
hold_tabs = { count = 2, width = 5, height = 2 }
"""

FILLED = "M 16 4 H 26 V 12 H 16 Z M 22 6 H 30 V 10 H 22 Z M 40 4 H 50 V 12"
"""Two boxes that overlap, and a triangle whose last side is not drawn."""


def audits(
    text: str,
    *,
    folder: Path | str = ".",
    machine: Machine | str = "grbl-front-left",
    bits: tuple[str, ...] = (),
    tabs: bool = True,
    turn: int = 0,
) -> Results:
    """The audit of each board that a job file makes."""
    profile = load_machine(machine) if isinstance(machine, str) else machine
    orders = orders_of(
        job_file_of(text, "job.toml", folder), [profile], bits=bits, tabs=tabs, setups=Setup(turn=turn), effort=0
    )
    results: Results = []
    for order in orders:
        job = Pipeline(order.passes).run(order.job, order.machine, setup=order.setup).job
        results.append(audited(order, boards_of(orders, order), dumps(job).encode()))
    return results


def complaints(results: Results) -> list[str]:
    """Every check that has not passed, in words."""
    return [
        f"{check.name}: {check.status} {check.reason} {[str(f) for f in check.findings]}"
        for board in results
        for check in board
        if check.status != "passed"
    ]


@pytest.fixture(autouse=True)
def no_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    """The audit never sees how much shorter the travel might be; to prove that bound takes a quarter of its tests'
    time."""
    monkeypatch.setattr(import_module("pathkit.tour.solve"), "proved_bound", lambda problem, length: 0.0)


@pytest.fixture(scope="session")
def alarms() -> Callable[..., list[str]]:
    """What the audit finds wrong with a job file's own job, in words; it should find nothing."""
    return lambda text, **options: complaints(audits(text, **options))


@pytest.fixture
def tags() -> str:
    return TAGS


@pytest.fixture
def drawings(tmp_path: Path) -> Path:
    """A folder with the mark of the tags, drawn in inches, and another one, filled."""
    line = " ".join(f"{x / 25.4:.6f},{(30 - y) / 25.4:.6f}" for x, y in ((16, 24), (30, 24), (34, 27)))
    size = f'viewBox="0 0 {60 / 25.4:.6f} {30 / 25.4:.6f}"'
    drawn = f'<polyline points="{line}" stroke="#000" fill="none"/>'
    (tmp_path / "mark.svg").write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{drawn}</svg>')
    page = 'width="60mm" height="30mm" viewBox="0 0 60 30"'
    (tmp_path / "filled.svg").write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {page}><path d="{FILLED}"/></svg>')
    notch = '<path d="M 0 0 H 50 V 8 H 60 V 30 H 0 Z" fill="none" stroke="red"/>'
    (tmp_path / "notch.svg").write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {page}>{notch}</svg>')
    return tmp_path
