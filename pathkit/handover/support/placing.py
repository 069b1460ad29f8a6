"""What is known of a cut file: its machine, its moves, the toolpath of each of them, and the time they take."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import InputError, Refused
from pathkit.files import read_gcode
from pathkit.findings import Finding
from pathkit.proof.frame import BenchFrame, bench_frame

if TYPE_CHECKING:
    from pathkit.machine.profile import Machine
    from pathkit.model.job import Job, Setup
    from pathkit.motion.program import Program
    from pathkit.proof.certificate import Certificate
    from pathkit.proof.evidence import Evidence

Numbers = NDArray[np.int32]


@dataclass(frozen=True)
class Known:
    """A cut file as its reader sees it. ``evidence`` holds text, moves and machine; without a certificate there is no
    job and no board in it. ``toolpath`` (m,) is the index in ``names`` for each move, -1 where it is not known.

    ``changed``: these are not the bytes that were proved. ``air``: it is the air-cut twin.
    """

    evidence: Evidence
    toolpath: Numbers
    names: tuple[str, ...]
    certificate: Certificate | None
    changed: bool = False
    air: bool = False

    @property
    def machine(self) -> Machine:
        return self.evidence.machine

    @property
    def job(self) -> Job | None:
        return self.evidence.job

    @property
    def read(self) -> Program:
        """The moves of the file, in the controller's numbers."""
        return self.evidence.read

    @property
    def frame(self) -> BenchFrame | None:
        """Where the controller's numbers lie on the board; None if the board is not known."""
        return None if self.evidence.stock is None else self.evidence.frame

    @property
    def top(self) -> float:
        """Height of the board's nominal top, mm; only where the board is known."""
        return self.evidence.board.top

    @property
    def mirrored(self) -> bool:
        """Whether arcs turn the other way in the file's numbers than seen from above."""
        from pathkit.model.stock import Stock

        return bench_frame(self.machine, self.evidence.stock or Stock(1, 1, 1), self.evidence.setup).mirrored

    @cached_property
    def runs(self) -> tuple[tuple[int, int], ...]:
        """(toolpath, its first move) of each run of moves of one toolpath, in the order of the file."""
        known = np.flatnonzero(self.toolpath >= 0)
        values = self.toolpath[known]
        starts = np.flatnonzero(np.diff(values, prepend=-1))
        return tuple((int(values[k]), int(known[k])) for k in starts)

    @cached_property
    def clock(self) -> NDArray[np.float64] | None:
        """(m + 1,) seconds that have passed before each move and at the end, by the run-time model; None if the moves
        cannot be timed."""
        from pathkit.machine.kinematics import run_time

        try:
            taken = run_time(self.read, self.machine)
        except InputError:
            return None
        passed = np.concatenate([[0.0], np.cumsum(taken.per_move + taken.standing[:-1])])
        passed[-1] += taken.standing[-1]
        return passed

    @property
    def cautions(self) -> tuple[Finding, ...]:
        """What whoever relies on the file must know."""
        found = []
        if self.changed:
            what = "the file was changed since it was proved: nothing in it is proved any more"
            fix = "do not run it; take the file as it was sent, or build it again"
            found.append(Finding(check="certificate", what=what, fix=fix, severity="warning"))
        if self.certificate is None:
            what = "no certificate lies beside the file: toolpaths and board are not known, and nothing is proved"
            fix = "put the file back beside its certificate"
            found.append(Finding(check="certificate", what=what, fix=fix, severity="warning"))
        if self.air:
            what = "this is the air cut: the same motion, raised above the board, with the spindle off"
            found.append(Finding(check="certificate", what=what, severity="note"))
        return tuple(found)


def known(path: str | Path, machine: Machine | None = None) -> Known:
    """What is known of a cut file, from the certificate beside it; ``machine`` goes before the certificate's.

    The file's own bytes may differ from those that were proved: that is said, and read all the same. Raises
    `InputError` for what cannot be read, is not G-code, or has neither certificate nor ``machine``, and for a job
    beside the certificate that was changed.
    """
    from pathkit.handover.recheck import certified

    path = Path(path)
    data = read_gcode(path)
    beside = certified(path)
    if beside is None:
        if machine is None:
            raise InputError(f"no certificate beside {str(path)!r}; say for which machine it is with --machine")
        evidence = _gathered(data, str(path), machine, None)
        return Known(evidence, np.full(len(evidence.read), -1, np.int32), (), None)
    certificate, job = beside
    machine = machine or certificate.machine
    program = _program(job, machine, certificate)
    air = certificate.file.name != path.name
    if not air:
        evidence = _gathered(data, str(path), machine, program, job, certificate.setup)
        sealed = certificate.file.holds(data)
        return Known(evidence, _filled(evidence.toolpath), evidence.names, certificate, not sealed)
    evidence = _gathered(data, str(path), machine, None, job, certificate.setup)
    sealed = certificate.twin is not None and certificate.twin.holds(data)
    toolpath, names = _of_the_cut(path.parent / certificate.file.name, machine, program, job, certificate)
    if len(toolpath) != len(evidence.read):
        toolpath, names = np.full(len(evidence.read), -1, np.int32), ()
    return Known(evidence, toolpath, names, certificate, not sealed, air=True)


def _filled(toolpath: Numbers) -> Numbers:
    """Moves that were changed belong to the toolpath before and after them, if that is the same."""
    index = np.arange(len(toolpath))
    there = toolpath >= 0
    if not there.any():
        return toolpath
    last = np.maximum.accumulate(np.where(there, index, -1))
    following = np.minimum.accumulate(np.where(there, index, len(index))[::-1])[::-1]
    inside = ~there & (last >= 0) & (following < len(index))
    filled = toolpath.copy()
    same = inside.copy()
    same[inside] = toolpath[last[inside]] == toolpath[following[inside]]
    filled[same] = toolpath[last[same]]
    return filled


def _program(job: Job | None, machine: Machine, certificate: Certificate) -> Program | None:
    """What the file has to do; None if that is not known."""
    from pathkit.lowering.lower import lower
    from pathkit.proof.shares import shares_of

    if job is None:
        return None
    try:
        program = lower(job, machine, certificate.setup)
    except Refused:
        return None
    if certificate.ordinal is None:
        return program
    shares = shares_of(program, machine.spindle.spin_up)
    number, of = certificate.ordinal
    return shares[number - 1].program if len(shares) == of else None


def _gathered(
    data: bytes, file: str, machine: Machine, program: Program | None, job: Job | None = None,
    setup: Setup | None = None,
) -> Evidence:  # fmt: skip
    from pathkit import api, registry
    from pathkit.proof.evidence import gather

    return gather(
        data, program, machine, registry.capabilities_of(machine), job=job, setup=setup, file=file,
        reader=api.reader_of(machine),
    )  # fmt: skip


def _of_the_cut(
    path: Path, machine: Machine, program: Program | None, job: Job | None, certificate: Certificate
) -> tuple[Numbers, tuple[str, ...]]:
    """The toolpaths of the cut file that an air cut repeats move by move."""
    try:
        evidence = _gathered(read_gcode(path), str(path), machine, program, job, certificate.setup)
    except InputError:
        return np.zeros(0, np.int32), ()
    return evidence.toolpath, evidence.names
