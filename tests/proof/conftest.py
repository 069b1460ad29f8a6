"""A small real job of the makerspace, posted for the three machines that come with the dialects."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import pytest

import pathkit as pk
from pathkit import registry
from pathkit.operations import contour, drill, moved, pocket, rectangle, slot

MACHINES = ("grbl-front-left", "grbl-back-right", "portrait-inch")


@dataclass(frozen=True)
class Case:
    """The job as one machine cuts it, from job to posted file."""

    job: pk.Job
    machine: pk.Machine
    program: pk.Program
    posted: pk.Posted

    @property
    def text(self) -> str:
        return self.posted.text

    @property
    def capabilities(self) -> pk.Capabilities:
        return registry.capabilities_of(self.machine)

    def verify(self, text: str | bytes | None = None, **changes: Any) -> pk.Proof:
        values: dict[str, Any] = {"job": self.job, "setup": self.posted.setup, **changes}
        return pk.verify(self.posted if text is None else text, self.program, self.machine, **values)


def plate() -> pk.Job:
    """A cable-tidy plate: a recess, a ramped slot, two screw holes, an outline with two tabs."""
    bit = pk.Tool("6 mm end mill", 6.0, number=1)
    drill_bit = pk.Tool("4 mm drill", 4.0, number=2, kind="drill")
    cutting = pk.Cutting(feed=1200.0, plunge=400.0, spindle=16000.0)
    stock = pk.Stock(118.0, 90.0, 9.0, z_zero="bed", underlay=3.0)
    through = stock.underside - 0.3
    name, at = "plate", (15.0, 16.0)
    recess = moved(rectangle((12.0, 10.0), 34.0, 26.0, radius=5.0), at)
    outline = moved(rectangle((0.0, 0.0), 86.0, 52.0, radius=8.0), at)
    line = moved(pk.Curve.polyline([(66.0, 14.0), (66.0, 38.0)]), at)
    paths = (
        *pocket(f"{name} recess", recess, bit, cutting, bottom=stock.top - 4.0, stepdown=2.5, stock=stock, part=name),
        *slot(f"{name} slot", line, bit, cutting, bottom=through, stepdown=3.0, part=name),
        *drill(f"{name} hole", [(20.0, 21.0), (96.0, 63.0)], drill_bit, cutting, bottom=through, peck=3.0, part=name),
        *contour(f"{name} outline", outline, bit, cutting, bottom=through, stepdown=3.0, part=name),
    )
    return pk.Job("plates", stock, paths)


@pytest.fixture(scope="session")
def job() -> pk.Job:
    passes: list[pk.Pass] = [
        pk.MergeStepdowns(),
        pk.HoldTabs(count=2, width=6.0, height=3.0),
        pk.RampEntries(angle=3.0),
    ]
    machine = pk.load_machine(MACHINES[0])
    done = pk.Pipeline([*passes, pk.OrderTravel(effort=1, seed=0)]).run(plate(), machine).job
    outlines = [path.name for path in done.toolpaths if path.role == "outline"]
    others = [path.name for path in done.toolpaths if path.role == "pocket"]
    return replace(done, precedence=tuple((a, b) for a in others for b in outlines))


def in_one_file(name: str) -> pk.Machine:
    """The machine of this name, with a pause for each bit instead of a file, as one text is to be looked at."""
    machine = pk.load_machine(name)
    pauses = {"tool_change": "pause"} if machine.dialect == "grbl" else {}
    return replace(machine, output={**machine.output, **pauses})


def case_of(job: pk.Job, name: str) -> Case:
    machine = in_one_file(name)
    program = pk.lower(job, machine)
    return Case(job, machine, program, pk.post(program, machine))


@pytest.fixture(scope="session")
def cases(job: pk.Job) -> dict[str, Case]:
    return {name: case_of(job, name) for name in MACHINES}


@pytest.fixture(params=MACHINES)
def case(request: pytest.FixtureRequest, cases: dict[str, Case]) -> Case:
    return cases[request.param]
