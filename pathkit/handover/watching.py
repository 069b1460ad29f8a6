"""What the preview shows: of a build, of a file that starts again, of a rehearsal, and of a cut file with what lies
beside it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import InputError, Refused
from pathkit.findings import Finding
from pathkit.handover.pages.preview import Scene, Watched, preview_page
from pathkit.handover.revision import PREVIEW
from pathkit.model.job import Job, Setup
from pathkit.texts.language import ENGLISH, Language

if TYPE_CHECKING:
    from pathkit.handover.rehearse import Rehearsal
    from pathkit.jobs.order import Order
    from pathkit.machine.kinematics import RunTime
    from pathkit.machine.profile import Machine
    from pathkit.motion.program import Program
    from pathkit.posting import Posted
    from pathkit.proof.result import Proof


class Preview(NamedTuple):
    """A page, what the proof says of its file, and the units of its machine."""

    page: bytes
    findings: tuple[Finding, ...]
    units: str


def preview_of_build(
    order: Order, job: Job, posted: Posted, proofs: Sequence[Proof], clock: RunTime
) -> dict[str, bytes]:
    """The page of the files that were just made, by its name; none of files that are not proved. ``clock`` is that of
    the program of ``posted``."""
    if not all(proof.ok for proof in proofs):
        return {}
    scene = Scene(
        job.name, order.mark, order.machine, order.setup, job.stock, job.tools, clock.names, order.language
    )  # fmt: skip
    findings = [(*proof.findings, *posted.findings) for proof in proofs]
    return {PREVIEW: preview_page(scene, watched(scene, posted.each_file, findings, clock))}


def preview_of_rest(
    job: Job, machine: Machine, setup: Setup, mark: str, posted: Posted, proof: Proof, program: Program,
    say: Language = ENGLISH,
) -> dict[str, bytes]:  # fmt: skip
    """The page of a file that starts again, by its name; ``program`` is the rest of the job, of which it is the first
    file."""
    from pathkit.machine.kinematics import run_time

    clock = run_time(program, machine, setup)
    scene = Scene(job.name, mark, machine, setup, job.stock, job.tools, clock.names, rest=True, language=say)
    findings = [(*proof.findings, *posted.findings)]
    name = f"{Path(posted.files[0].name).stem}-{PREVIEW}"
    return {name: preview_page(scene, watched(scene, [posted], findings, clock))}


def preview_of_rehearsal(made: Rehearsal, job: Job, setup: Setup, say: Language = ENGLISH) -> dict[str, bytes]:
    """The page of the files that move in the air over the board of ``job``, one after the other, by its name."""
    title = say("preview-rehearsal", machine=made.machine.name)
    scene = Scene(title, "", made.machine, setup, job.stock, (), language=say)
    files = []
    for (name, text), proof in zip(made.files.items(), made.proofs, strict=True):
        program = _read(text, made.machine)
        unknown = np.full(len(program), -1, np.int32)
        files.append(Watched(name, text, program, unknown, unknown, proof.findings))
    return {f"rehearsal-{PREVIEW}": preview_page(scene, files)}


def watched(
    scene: Scene, files: Sequence[Posted], findings: Sequence[tuple[Finding, ...]], clock: RunTime
) -> list[Watched]:  # fmt: skip
    """Files that were just written, read back from their text, each with those of its ``findings`` that are about it.

    Only which bit and which toolpath a line belongs to is taken from what was written. ``clock`` is that of a program
    which begins with their rows.
    """
    names = {tool.name: k for k, tool in enumerate(scene.bits)}
    bits = np.array([*(names.get(name, -1) for name in clock.tools), -1], np.int32)[clock.tool]
    made, first = [], 0
    for file, found in zip(files, findings, strict=True):
        rows = slice(first, first + len(file.line_of_row))
        first = rows.stop
        name, text = file.files[0].name, file.files[0].data
        program = _read(text, scene.machine)
        own = [_by_line(program.line, file.line_of_row, column[rows]) for column in (bits, clock.toolpath)]
        mine = tuple(each for each in found if each.file in (None, name))
        made.append(Watched(name, text, program, own[0], own[1], mine))
    return made


def preview_of_file(
    path: str | Path, machine: Machine | None = None, job: Job | None = None, say: Language = ENGLISH
) -> Preview:  # fmt: skip
    """The page of one cut file: machine, set-up and job are those given, else from the certificate beside it.

    The file is proved again as `pathkit.handover.recheck.recheck` does, and what is found is shown at its lines.
    Without a job neither board nor bits are known. Raises `InputError` for what cannot be read or has neither
    certificate nor ``machine``.
    """
    from pathkit import api, registry
    from pathkit.files import read_gcode
    from pathkit.handover.recheck import certified, recheck
    from pathkit.lowering.lower import lower
    from pathkit.proof.evidence import gather

    path = Path(path)
    text = read_gcode(path)
    setup, mark = Setup(), ""
    if (beside := certified(path)) is not None:
        certificate, certified_job = beside
        machine, job, setup = machine or certificate.machine, job or certified_job, certificate.setup
        mark = certificate.mark or ""
    if machine is None:
        raise InputError(f"no certificate beside {str(path)!r}; say for which machine it is with --machine")
    try:
        program = None if job is None else lower(job, machine, setup)
    except Refused:
        program = None
    reader, capabilities = api.reader_of(machine), registry.capabilities_of(machine)
    evidence = gather(text, program, machine, capabilities, job=job, setup=setup, file=str(path), reader=reader)
    found = [each for one in recheck(path, machine=machine, job=job, setup=setup, rules_only=job is None)
             for each in one.findings if one.file == str(path)]  # fmt: skip
    stock, tools, title = (None, (), path.name) if job is None else (job.stock, job.tools, job.name)
    scene = Scene(title, mark, machine, setup, stock, tools, evidence.names, say)
    watched = Watched(path.name, text, evidence.read, evidence.bits, evidence.toolpath, _of_file(found, path))
    return Preview(preview_page(scene, [watched]), watched.findings, machine.units)


def _of_file(findings: Sequence[Finding], path: Path) -> tuple[Finding, ...]:
    return tuple(each for each in findings if each.file in (None, str(path), path.name))


def _read(text: bytes, machine: Machine) -> Program:
    from pathkit import api, registry
    from pathkit.readback import interpret

    return (api.reader_of(machine) or interpret)(text, registry.capabilities_of(machine)).program


def _by_line(
    lines: NDArray[np.int32], line_of_row: NDArray[np.int32], values: NDArray[np.int32]
) -> NDArray[np.int32]:  # fmt: skip
    """(m,) the value of the last of (n,) rows that was written by each of (m,) ``lines``; before the first, its own."""
    written = line_of_row > 0
    if not written.any():
        return np.full(len(lines), -1, np.int32)
    rows, own = line_of_row[written], values[written]
    at = np.searchsorted(np.maximum.accumulate(rows), lines, side="right") - 1
    return np.asarray(own[np.maximum(at, 0)], np.int32)
