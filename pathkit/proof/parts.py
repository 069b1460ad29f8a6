"""Proof of a program that was written into several files, one a bit: each file against its part of the program."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from pathkit.errors import InputError
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.motion.parts import by_tool
from pathkit.motion.program import Program
from pathkit.proof.evidence import gather
from pathkit.proof.result import CheckResult, Proof
from pathkit.proof.verify import all_checks, run_one

if TYPE_CHECKING:
    from pathkit.posting import Posted
    from pathkit.readback.foreign import Read

_OF_THE_WHOLE: Final = frozenset({"job", "precedence"})
"""Checks that look at the program and the job alone, and at all of both."""

_RANKS: Final = ("failed", "not proved", "not run", "passed")


def verify_part(
    posted: Posted | str | bytes,
    program: Program,
    machine: Machine,
    capabilities: Capabilities,
    part: tuple[int, int],
    *,
    job: Job | None = None,
    setup: Setup | None = None,
    file: str | None = None,
    reader: Read | None = None,
) -> Proof:
    """Prove one file of several: number ``part[0]`` (from 1) of ``part[1]``; ``program`` and ``job`` are the whole.

    Finished parts are made by all files together and are not judged here. Raises `InputError` where the program has
    another number of parts.
    """
    parts = by_tool(program, machine.spindle.spin_up)
    number, of = part
    if of != len(parts) or not 1 <= number <= of:
        raise InputError(f"file {number} of {of}, but for this machine the program has {len(parts)}; build it anew")
    mine = parts[number - 1]
    evidence = gather(
        posted, mine, machine, capabilities, job=None if job is None else _share(job, mine), setup=setup, file=file,
        reader=reader,
    )  # fmt: skip
    whole = replace(evidence, program=program, job=job)
    results = tuple(
        run_one(one, whole if one.name in _OF_THE_WHOLE else evidence, compared=True) for one in all_checks()
    )
    deviation = evidence.comparison.deviation if "board" in evidence.available else float("nan")
    return Proof(results, deviation, evidence.file)


def together(proofs: tuple[Proof, ...]) -> Proof:
    """Several files' proofs as one: a check has passed where it has for all of them."""
    if len(proofs) == 1:
        return proofs[0]
    checks: list[CheckResult] = []
    for results in zip(*(proof.checks for proof in proofs), strict=True):
        worst = min(results, key=lambda result: _RANKS.index(result.status))
        findings = tuple(dict.fromkeys(finding for result in results for finding in result.findings))
        figures = {
            f"{proof.file} {key}": value
            for proof, result in zip(proofs, results, strict=True)
            for key, value in result.figures.items()
        }
        checks.append(replace(worst, findings=findings, figures=figures))
    return Proof(tuple(checks), float(np.max([proof.deviation for proof in proofs])), None)


def _share(job: Job, program: Program) -> Job:
    """The toolpaths that a part cuts, as a job of their own."""
    names = {program.names[number] for number in np.unique(program.toolpath) if number >= 0}
    pairs = tuple(pair for pair in job.precedence if names.issuperset(pair))
    return Job(job.name, job.stock, tuple(path for path in job.toolpaths if path.name in names), pairs)
