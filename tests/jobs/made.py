"""What tests of jobs make of a job file: orders, the job as it is cut, its proof, and what the audit says to it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import pathkit as pk
from pathkit import api
from pathkit.jobs.order import Order
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.jobs.sources import audited, boards_of
from pathkit.model.codec import dumps
from pathkit.model.job import Part
from pathkit.passes.pipeline import Pipeline
from pathkit.proof.result import CheckResult

MACHINE = pk.load_machine("grbl-front-left")

MARK = """
[[part.operations]]
kind = "engrave"
shape = "mark"
bottom.from_top = 0.8
"""


def orders_from(
    text: str,
    machines: Sequence[pk.Machine] = (MACHINE,),
    folder: Path | str = ".",
    *,
    effort: float | None = 0,
    **options: Any,
) -> tuple[Order, ...]:
    """The orders of a job file for ``machines`` (none: those that it names), without any search for a shorter way."""
    return orders_of(job_file_of(text, "job.toml", folder), machines, effort=effort, **options)


def order_of(text: str, machine: pk.Machine = MACHINE, **options: Any) -> Order:
    """The one order of a job file."""
    (order,) = orders_from(text, [machine], **options)
    return order


def only(text: str, **options: Any) -> pk.Job:
    """The one job of a job file, before its passes."""
    return order_of(text, **options).job


def finished(order: Order) -> pk.Job:
    """The job after its passes."""
    return Pipeline(order.passes).run(order.job, order.machine, setup=order.setup).job


def proof_of(job: pk.Job, machine: pk.Machine = MACHINE) -> pk.Proof:
    """The proof of a job in one file."""
    program = pk.lower(job, machine)
    return pk.verify(pk.post(program, machine), program, machine, job=job)


def proofs_of(job: pk.Job, machine: pk.Machine = MACHINE) -> tuple[pk.Program, list[pk.Proof]]:
    """The program of a job, and the proof of each of its files."""
    program = pk.lower(job, machine)
    return program, list(api.verify_files(api.post(program, machine), program, machine, job=job))


def said(proof: pk.Proof) -> list[str]:
    """What a proof finds to be wrong."""
    return [f"{check.name}: {finding.what}" for check in proof.checks for finding in check.findings
            if finding.severity == "error"]  # fmt: skip


def checks_of(order: Order, job: pk.Job, every: Iterable[Order] | None = None) -> list[CheckResult]:
    """What the audit checks of a job made for an order, one of ``every`` (of itself alone unless given)."""
    return list(audited(order, boards_of([order] if every is None else every, order), dumps(job).encode()))


def audit_of(order: Order, job: pk.Job) -> list[str]:
    """What the audit finds."""
    return [f"{check.name}: {finding.what}" for check in checks_of(order, job) for finding in check.findings]


def changed(job: pk.Job, name: str, **changes: Any) -> pk.Job:
    """The job with one toolpath changed."""
    assert name in job.by_name
    return job.with_toolpaths(tuple(replace(p, **changes) if p.name == name else p for p in job.toolpaths))


def outline_of(part: Part) -> pk.Curve:
    """The outline of a part that has one."""
    assert part.outline is not None
    return part.outline
