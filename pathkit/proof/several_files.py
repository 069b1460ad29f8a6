"""Proof of several files, one a bit: each by itself, and all of them together as the work on one board."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.motion.program import Program, Stop
from pathkit.proof.evidence import Evidence, gather
from pathkit.proof.path.compare import Comparison
from pathkit.proof.result import CheckResult, Proof
from pathkit.proof.shares import Share, shares_of
from pathkit.proof.verify import CHECKS, run_one, scope_of
from pathkit.readback.interpret import Reading

if TYPE_CHECKING:
    from pathkit.findings import Check
    from pathkit.posting import Posted
    from pathkit.readback.foreign import Read

_RANKS: Final = ("failed", "not proved", "not run", "passed")

ALONE: Final = "the other files of the job are not at hand"


def verify_several(  # noqa: PLR0913 - each is asked for by its name
    files: Sequence[Posted | bytes | None],
    program: Program,
    machine: Machine,
    capabilities: Capabilities,
    *,
    job: Job | None = None,
    setup: Setup | None = None,
    names: Sequence[str | None] | None = None,
    checks: Sequence[Check] | None = None,
    reader: Read | None = None,
) -> tuple[Proof | None, ...]:
    """Prove the files of one job, in the order in which they are run; ``program`` and ``job`` are the whole.

    Every file is read back, put on the bench and held against its own share of the program; then all are joined and
    judged as what they come to: removal, gouges, holding, finished parts, order, and what the job asks. A file that is
    not at hand is None, gets no proof, and then nothing is said of the whole: its checks are *not run*.

    Raises `InputError` where the program has another number of shares than there are files.
    """
    every, shares = _gathered(files, program, machine, capabilities, job, setup, names, reader)
    alone = [each for each in every if each is not None]
    whole = _joined(alone, shares, program, job) if len(alone) == len(every) else None
    checks = CHECKS if checks is None else checks
    shared = {one.name: _of_whole(whole, one) for one in checks if scope_of(one) == "whole"}
    return tuple(
        None if each is None else Proof(
            tuple(shared.get(one.name) or run_one(one, each, compared=True) for one in checks),
            each.comparison.deviation if "board" in each.available else float("nan"),
            each.file,
        )
        for each in every
    )  # fmt: skip


def gather_all(
    files: Sequence[Posted], program: Program, machine: Machine, capabilities: Capabilities, *, job: Job | None = None,
    setup: Setup | None = None, reader: Read | None = None,
) -> Evidence:  # fmt: skip
    """What all files of a job come to, as one; of a single file its own evidence. Raises as `verify_several`."""
    if len(files) == 1:
        return gather(files[0], program, machine, capabilities, job=job, setup=setup, reader=reader)
    every, shares = _gathered(files, program, machine, capabilities, job, setup, None, reader)
    return _joined([each for each in every if each is not None], shares, program, job)


def _gathered(
    files: Sequence[Posted | bytes | None], program: Program, machine: Machine, capabilities: Capabilities,
    job: Job | None, setup: Setup | None, names: Sequence[str | None] | None, reader: Read | None,
) -> tuple[list[Evidence | None], tuple[Share, ...]]:  # fmt: skip
    """Each file with its share of the program."""
    shares = shares_of(program, machine.spindle.spin_up)
    if len(shares) != len(files):
        raise InputError(f"{len(files)} files, and for this machine the program has {len(shares)}; build it again")
    every = [
        None if file is None else gather(
            file, share.program, machine, capabilities, job=None if job is None else _section_of(job, share.program),
            setup=setup, file=name, reader=reader,
        )
        for file, share, name in zip(files, shares, names or [None] * len(files), strict=True)
    ]  # fmt: skip
    return every, shares


def _of_whole(whole: Joined | None, one: object) -> CheckResult:
    from pathkit.findings import Check

    assert isinstance(one, Check)
    if whole is None:
        return CheckResult(one.name, "not run", one.limits, reason=ALONE)
    return run_one(one, whole, compared=True)


@dataclass(frozen=True)
class Joined(Evidence):
    """Several files as one: their texts one behind the other, and their moves as they follow each other on the bench.

    ``files`` are the evidence of each, ``shares`` what each has to do.
    """

    files: tuple[Evidence, ...] = ()
    shares: tuple[Share, ...] = ()

    @cached_property
    def comparison(self) -> Comparison:
        """Each read row's row in the whole program, as its own file's comparison has found it."""
        owners = []
        for each, share in zip(self.files, self.shares, strict=True):
            owner = each.comparison.owner - share.lead
            owners.append(np.where(owner >= 0, owner + share.first, -1).astype(np.int32))
        deviation = max(each.comparison.deviation for each in self.files)
        return Comparison(np.concatenate(owners), deviation=deviation)

    @cached_property
    def bits(self) -> NDArray[np.int32]:
        """By each file's own bit."""
        tools = self.job.tools if self.job is not None else ()
        found = []
        for each in self.files:
            mine = each.job.tools if each.job is not None else ()
            index = np.array([*(tools.index(tool) for tool in mine), -1], np.int32)
            found.append(index[each.bits])
        return np.concatenate(found)

    def placed(self, finding: Finding) -> Finding:
        """In the file, and on the line of it, that the line of the joined text stands for."""
        if finding.line is None:
            return finding
        before = 0
        for each in self.files:
            lines = _lines(each.text)
            if finding.line <= before + lines:
                return replace(finding, line=finding.line - before).at(file=each.file)
            before += lines
        return finding


def _joined(files: Sequence[Evidence], shares: Sequence[Share], program: Program, job: Job | None) -> Joined:
    first = files[0]
    rows = np.cumsum([0, *(len(each.read) for each in files)])
    lines = np.cumsum([0, *(_lines(each.text) for each in files)])
    reads = [each.read for each in files]
    # Each file ends by its own word; on the bench the work goes on with the next.
    events = [
        (int(at + row), event)
        for read, row in zip(reads, rows[:-1], strict=True)
        for at, event in zip(read.event_at, read.event, strict=True)
        if read is reads[-1] or not isinstance(event, Stop)
    ]
    joined = reads[0].replace(
        event=tuple(event for _, event in events),
        event_at=np.array([at for at, _ in events], dtype=np.int64),
        line=np.concatenate([
            np.where(read.line > 0, read.line + at, read.line) for read, at in zip(reads, lines[:-1], strict=True)
        ]).astype(np.int32),
        cycles=(),
        **{
            name: np.concatenate([getattr(read, name) for read in reads])
            for name in reads[0].columns if name != "line"
        },
    )  # fmt: skip
    text = b"".join(each.text if each.text.endswith(b"\n") else each.text + b"\n" for each in files)
    stock = first.stock if job is None else job.stock
    return Joined(
        text, Reading(joined, ()), first.machine, first.capabilities, first.setup, program, job, stock, None,
        files=tuple(files), shares=tuple(shares),
    )  # fmt: skip


def _lines(text: bytes) -> int:
    return text.count(b"\n") + (not text.endswith(b"\n"))


def _section_of(job: Job, program: Program) -> Job:
    """The toolpaths that a share cuts, as a job of their own; its finished parts are made by all files together."""
    names = {program.names[number] for number in np.unique(program.toolpath) if number >= 0}
    pairs = tuple(pair for pair in job.precedence if names.issuperset(pair))
    return Job(job.name, job.stock, tuple(path for path in job.toolpaths if path.name in names), pairs)


def join_proofs(proofs: tuple[Proof, ...]) -> Proof:
    """Several files' proofs as one: a check has passed where it has for all of them."""
    if len(proofs) == 1:
        return proofs[0]
    checks: list[CheckResult] = []
    for results in zip(*(proof.checks for proof in proofs), strict=True):
        worst = min(results, key=lambda result: _RANKS.index(result.status))
        if all(result is results[0] for result in results):
            checks.append(worst)
            continue
        findings = tuple(dict.fromkeys(finding for result in results for finding in result.findings))
        figures = {
            f"{proof.file} {key}": value
            for proof, result in zip(proofs, results, strict=True)
            for key, value in result.figures.items()
        }
        checks.append(replace(worst, findings=findings, figures=figures))
    return Proof(tuple(checks), float(np.max([proof.deviation for proof in proofs])), None)
