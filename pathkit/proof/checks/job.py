"""Checks against the job: the program is this job's, in an order that it allows, and every cut is there."""

from __future__ import annotations

import numpy as np

from pathkit.errors import PathkitError
from pathkit.findings import Finding
from pathkit.model.job import Job
from pathkit.motion.program import RAPID, Program
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.result import Verdict
from pathkit.tolerances import ROUNDING


@check(
    "job",
    "program",
    "board",
    "job",
    scope="whole",
    limits="It proves that the file is this job's, not that the job is what you want.",
)
def same_job(evidence: Evidence) -> Verdict:
    """Lowering the job on this machine gives this very program."""
    job, program = evidence.job, evidence.program
    assert job is not None
    assert program is not None
    if program.frame == "controller":
        program = evidence.frame.program_to_bench(program, evidence.stock)
    try:
        again = _lowered(evidence, job)
    except PathkitError as error:
        return Verdict(f.at(path="$") for f in error.findings)
    if again == program:
        return Verdict(figures={"moves": len(program)})
    what = f"this is not the job's program: the job has {len(again)} moves, the program {len(program)}"
    if len(again) == len(program):
        apart = np.flatnonzero(~np.isclose(again.end, program.end, rtol=0, atol=ROUNDING, equal_nan=True).all(axis=1))
        what = f"this is not the job's program: from move {apart[0] + 1} on they differ" if len(apart) else (
            "this is not the job's program: its places are the same, but feeds, arcs, events or names differ"
        )  # fmt: skip
    return Verdict([Finding(check="job", what=what, fix="pass the job after its passes, and the set-up that was used")])


def _lowered(evidence: Evidence, job: Job) -> Program:
    """The job as a program: once for all machines that lowering cannot tell apart.

    It reads heights, spindle and offset; places of the machine, which lie elsewhere on every bench; and where a load is
    to be steady, everything.
    """
    from pathkit.lowering.lower import lower

    machine, setup = evidence.machine, evidence.setup
    own = machine.park or machine.change or any(path.cutting.steady for path in job.toolpaths)
    if evidence.judged is None or own:
        return lower(job, machine, setup)
    key = job.digest, machine.heights, machine.spindle, setup.offset
    return evidence.judged.lowered(key, lambda: lower(job, machine, setup))


@check(
    "precedence",
    "program",
    "job",
    scope="whole",
    limits="It judges the order by what the job asks for; it does not look for a better one.",
)
def precedence(evidence: Evidence) -> Verdict:
    """Every toolpath is cut, and after all that must come before it."""
    job, program = evidence.job, evidence.program
    assert job is not None
    assert program is not None
    cutting = np.flatnonzero((program.kind != RAPID) & (program.toolpath >= 0))
    owner = program.toolpath[cutting]
    first = dict(zip(*(a.tolist() for a in np.unique(owner, return_index=True)), strict=True))
    last_of, back = np.unique(owner[::-1], return_index=True)
    last = dict(zip(last_of.tolist(), (len(owner) - 1 - back).tolist(), strict=True))
    number = {name: index for index, name in enumerate(program.names)}
    found = [
        Finding(check="precedence", what="is never cut", fix="post the whole job", toolpath=path.name)
        for path in job.toolpaths
        if number.get(path.name, -1) not in first
    ]
    for before, after in job.precedence:
        a, b = number.get(before, -1), number.get(after, -1)
        if a in last and b in first and last[a] > first[b]:
            what = f"is cut before {before!r} is done"
            fix = "order the job again"
            found.append(Finding(check="precedence", what=what, fix=fix, toolpath=after))
    return Verdict(found, figures={"toolpaths": len(job.toolpaths), "pairs": len(job.precedence)})
