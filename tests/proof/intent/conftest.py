"""Faults between job and moves: program and file agree with each other, but not with the job."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

import pathkit as pk
from pathkit import registry
from pathkit.proof.evidence import ProofCheck, gather
from pathkit.proof.result import Verdict

Change = Callable[[pk.Program], pk.Program]
Judge = Callable[..., Verdict]


@pytest.fixture
def judge(case: Any) -> Judge:
    """What one check says of the case's job after ``change`` was made to its program before posting."""

    def judged(one: ProofCheck, change: Change | None = None, *, job: pk.Job | None = None) -> Verdict:
        program = case.program if change is None else change(case.program)
        posted = pk.post(program, case.machine)
        capabilities = registry.capabilities_of(case.machine)
        return one(gather(posted, program, case.machine, capabilities, job=job or case.job))

    return judged
