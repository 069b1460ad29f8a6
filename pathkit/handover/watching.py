"""What the preview shows: of a build, and of a cut file with what lies beside it."""

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
    from pathkit.jobs.order import Order
    from pathkit.machine.kinematics import RunTime
    from pathkit.machine.profile import Machine
    from pathkit.motion.program import Program
    from pathkit.posting import Posted
    from pathkit.proof.result import Proof


class Preview(NamedTuple):
    """A page, and what the proof says of its file."""

    page: bytes
    findings: tuple[Finding, ...]


def preview_of_build(
    order: Order, job: Job, posted: Posted, proofs: Sequence[Proof], clock: RunTime
) -> dict[str, bytes]:
    """The page of the files that were just made, by its name; none of files that are not proved.

    They are read back from their text; only which bit and which toolpath a line belongs to is taken from what was
    written. ``clock`` is that of the program of ``posted``.
    """
    if not all(proof.ok for proof in proofs):
        return {}
    names = {tool.name: k for k, tool in enumerate(job.tools)}
    bits = np.array([*(names.get(name, -1) for name in clock.tools), -1], np.int32)[clock.tool]
    files, first = [], 0
    for file, proof in zip(posted.each_file, proofs, strict=True):
        rows = slice(first, first + len(file.line_of_row))
        first = rows.stop
        program = _read(file.files[0].data, order.machine)
        own = [_by_line(program.line, file.line_of_row, column[rows]) for column in (bits, clock.toolpath)]
        found = [each for each in (*proof.findings, *posted.findings) if each.file in (None, file.files[0].name)]
        files.append(Watched(file.files[0].name, file.files[0].data, program, own[0], own[1], tuple(found)))
    scene = Scene(
        job.name, order.mark, order.machine, order.setup, job.stock, job.tools, clock.names, order.language
    )  # fmt: skip
    return {PREVIEW: preview_page(scene, files)}


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
    return Preview(preview_page(scene, [watched]), watched.findings)


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
