"""What the tests of seeded faults share: a fault, the audit of a job that has it, and the proof of its cut files.

A fault lies between job file and job, where only the audit looks: the job is consistent, but not the one asked for. It
is seeded in what makes jobs from a job file (or, if that is simplest, in the finished job), so that program, files and
proof agree with it.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest

import pathkit as pk
from pathkit import api
from pathkit.jobs.order import Order
from pathkit.jobs.planning import orders_of
from pathkit.jobs.sources import audited, boards_of
from pathkit.model.codec import dumps
from pathkit.proof.result import CheckResult
from tests.jobs.made import finished

MACHINE = pk.load_machine("grbl-front-left")

Patch = pytest.MonkeyPatch

OF_SHAPES = {"copies as asked", "cuts as asked", "parts as asked"}
"""The checks of the audit that judge where something is and what shape it has."""


class Fault(NamedTuple):
    """``caught_by`` is the check that must fail. ``seed`` puts the fault in; ``change`` alters the text of the job file
    first, if the fault needs that."""

    name: str
    caught_by: str
    seed: Callable[[Patch], None]
    change: Callable[[str], str] = str
    bits: tuple[str, ...] = ()


def made(text: str, folder: Path, bits: tuple[str, ...] = ()) -> tuple[Any, pk.Job, list[CheckResult]]:
    """The first order of a job file, its job after the passes, and the results of the audit of all its boards."""
    every = orders_from(text, folder, bits)
    jobs = [finished(order) for order in every]
    results = [
        check
        for order, job in zip(every, jobs, strict=True)
        for check in audited(order, boards_of(every, order), dumps(job).encode())
    ]
    return every[0], jobs[0], results


def orders_from(text: str, folder: Path, bits: tuple[str, ...]) -> tuple[Order, ...]:
    """The orders of a job file, by whatever a fault has put in the place of its reader."""
    from pathkit.jobs import reading

    return orders_of(reading.job_file_of(text, "job.toml", folder), [MACHINE], bits=bits, effort=0)


_honest: dict[tuple[str, tuple[str, ...]], list[str]] = {}


def assert_caught(fault: Fault, tags: str, drawings: Path, patch: Patch) -> None:
    """The check that is named for the fault fails once it is seeded, and each finding says what to do; without the
    fault, every check passes."""
    text = fault.change(tags)
    if (text, fault.bits) not in _honest:
        # Judged once for all faults that are seeded in the same file; all folders of drawings hold the same.
        results = made(text, drawings, fault.bits)[2]
        _honest[text, fault.bits] = [str(check) for check in results if check.status != "passed"]
    complaints = _honest[text, fault.bits]
    assert not complaints, complaints
    fault.seed(patch)
    failed = {check.name: check for check in made(text, drawings, fault.bits)[2] if check.status == "failed"}
    assert fault.caught_by in failed, sorted(failed)
    assert all(finding.what and finding.fix for check in failed.values() for finding in check.findings)


def errors_of_the_proof(fault: Fault, tags: str, drawings: Path, patch: Patch) -> list[str]:
    """What the proof of the cut files says against a job with the fault: the intent checks and the geometry."""
    fault.seed(patch)
    order = orders_from(fault.change(tags), drawings, fault.bits)[0]
    assert order.sources is not None
    job = finished(order)
    program = pk.lower(job, MACHINE)
    proofs = api.verify_files(api.post(program, MACHINE), program, MACHINE, job=job)
    return [str(finding) for proof in proofs for finding in proof.findings if finding.severity == "error"]
