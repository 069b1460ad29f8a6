"""Two plates of the demo on a small board, with a drill for the holes: a job to be sabotaged."""

from __future__ import annotations

from dataclasses import dataclass, replace

import pytest

import pathkit as pk
from pathkit import registry
from pathkit.jobs.demo import demo_passes
from pathkit.proof.intent import INTENT
from pathkit.proof.verify import CHECKS, verify
from tests.demo import demo_plates

MACHINES = ("grbl-front-left", "portrait-inch")
CUTTING = pk.Cutting(feed=1920.0, plunge=500.0, spindle=16000.0)
BOARD_CHECKS = frozenset({
    "stock removal", "bit length", "holding", "tab strength", "gouges", "finished shape", *(c.name for c in INTENT),
})  # fmt: skip
"""Checks of the board that a file leaves, and of what was asked for: they are for faults upstream."""

DRILL = pk.Tool("4 mm drill", 4.0, number=2, kind="drill", cut_length=20.0, reach=30.0)


@dataclass(frozen=True)
class Case:
    """The job's file for one machine, with all that it is judged by."""

    job: pk.Job
    machine: pk.Machine
    program: pk.Program
    posted: pk.Posted

    @property
    def lines(self) -> list[str]:
        return self.posted.text.split("\n")

    def failed(self, data: bytes) -> dict[str, list[str]]:
        """Check that failed → what it said. It judges text, program and job only: no hash, no certificate."""
        capabilities = registry.capabilities_of(self.machine)
        checks = [check for check in CHECKS if check.name not in BOARD_CHECKS]
        setup = self.posted.setup
        proof = verify(data, self.program, self.machine, capabilities, job=self.job, setup=setup, checks=checks)
        return {c.name: [str(f) for f in c.findings] for c in proof.checks if c.status == "failed"}


def two_plates() -> pk.Job:
    """Plates 01 and 02 of the demo, before any pass."""
    whole = demo_plates("plate 01", "plate 02")
    paths = tuple(
        replace(path, cutting=CUTTING, tool=DRILL if path.role == "drill" else path.tool) for path in whole.toolpaths
    )
    stock = replace(whole.stock, width=236.0, depth=106.0, zones=whole.stock.zones[:2])
    return pk.Job("two plates", stock, paths, parts=whole.parts)


@pytest.fixture(scope="session")
def job() -> pk.Job:
    done = pk.Pipeline(demo_passes()).run(two_plates(), pk.load_machine(MACHINES[0])).job
    pockets = [path.name for path in done.toolpaths if path.role == "pocket"]
    outlines = [path.name for path in done.toolpaths if path.role == "outline"]
    return replace(done, precedence=tuple((a, b) for a in pockets for b in outlines))


@pytest.fixture(scope="session")
def cases(job: pk.Job) -> dict[str, Case]:
    made: dict[str, Case] = {}
    for name in MACHINES:
        machine = pk.load_machine(name)
        # One text is to be looked at, so that a GRBL pauses for each bit.
        pauses = {"tool_change": "pause"} if machine.dialect == "grbl" else {}
        machine = replace(machine, output={**machine.output, **pauses})
        program = pk.lower(job, machine)
        made[name] = Case(job, machine, program, pk.post(program, machine))
    return made


@pytest.fixture(params=MACHINES)
def case(request: pytest.FixtureRequest, cases: dict[str, Case]) -> Case:
    return cases[request.param]
