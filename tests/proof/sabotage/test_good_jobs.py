"""No false alarm: what the operations and passes make of a sound drawing is proved without a single finding.

The profile ``nightly`` looks at 2 000 boards; `benchmarks.false_alarms` counts any number of them.
"""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import pathkit as pk
from pathkit.errors import InputError
from pathkit.testing.boards import boards
from pathkit.testing.strategies import jobs

MACHINES = ("grbl-back-right", "grbl-front-left", "portrait-inch")
PASSES = (
    pk.MergeStepdowns(),
    pk.HoldTabs(count=2, width=6.0, height=2.0),
    pk.RampEntries(angle=3.0),
    pk.OrderTravel(effort=0, seed=0),
)
MANY = settings().max_examples
FEW = settings(max_examples=MANY if MANY >= 1000 else 8, suppress_health_check=list(HealthCheck), deadline=None)


def proof_of(job: pk.Job, machine: pk.Machine, turn: int) -> pk.Proof:
    setup = pk.Setup(turn=turn)
    done = pk.Pipeline(PASSES).run(job, machine, setup=setup).job
    program = pk.lower(done, machine, setup)
    return pk.verify(pk.post(program, machine, setup), program, machine, job=done, setup=setup)


@FEW
@given(job=boards(), name=st.sampled_from(MACHINES), turn=st.sampled_from([0, 1]))
def test_boards_of_plates_are_proved_without_a_finding(job: pk.Job, name: str, turn: int) -> None:
    proof = proof_of(job, pk.load_machine(name), turn)
    # Waste that comes loose on a board without tape is worth a warning, but it is no fault.
    assert [f for f in proof.findings if f.severity == "error"] == []
    assert all(f.check == "holding" for f in proof.findings)
    by_name = {check.name: check.status for check in proof.checks}
    assert {check for check, status in by_name.items() if status != "passed"} <= {"holding"}


@FEW
@given(job=jobs(roles=("pocket", "finish", "slot", "drill", "engrave"), repeats=False), name=st.sampled_from(MACHINES))
def test_cuts_at_random_places_are_proved_without_an_error(job: pk.Job, name: str) -> None:
    proof = proof_of(job, pk.load_machine(name), 0)
    assert [f for f in proof.findings if f.severity == "error"] == []


def test_a_wrong_size_of_boards_is_refused_at_once() -> None:
    with pytest.raises(InputError, match="1 to 6"):
        boards(most=0)
