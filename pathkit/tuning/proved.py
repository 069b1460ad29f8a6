"""The improved file is read back and held against the moves it should make, and against the file it was made from."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from pathkit import api, registry
from pathkit.findings import Finding
from pathkit.motion.program import RAPID, Program
from pathkit.proof.evidence import Evidence
from pathkit.proof.frame import bench_frame
from pathkit.proof.material.bits import bits_by_events
from pathkit.proof.material.heightmap import grid_for, remove
from pathkit.proof.result import CheckResult, Figure, Proof, Status
from pathkit.proof.same_cuts import LIMITS as SAME_LIMITS
from pathkit.proof.same_cuts import NAME as SAME
from pathkit.proof.same_cuts import Cutter, same_cuts
from pathkit.proof.several_files import gather_all, join_proofs
from pathkit.tolerances import BITE

if TYPE_CHECKING:
    from pathkit.machine.profile import Machine
    from pathkit.model.job import Job, Setup
    from pathkit.posting import Posted
    from pathkit.readback.interpret import Reading

Numbers = NDArray[np.int32]

GRIDS: Final = 0.003
"""mm by which the written file may lie beside the one that was read: its rounding, and that of what it is made from."""

_BITE_LIMITS: Final = (
    "It compares the deepest bite of each bit in both files, on a map of points: it needs the bit and the board that "
    "were given."
)

_AGAINST: Final = {SAME: SAME_LIMITS, "no deeper bite": _BITE_LIMITS}


def proved(
    reading: Reading, source: Machine, posted: Posted, program: Program, job: Job, machine: Machine,
    setup: Setup | None, *, altered: bool,
) -> Proof:  # fmt: skip
    """Every check of `verify`, and *same cuts* and *no deeper bite* against the file that was read.

    ``altered``: passes were asked for that change what is cut, as tabs do, so that the last two are not run.
    """
    proof = join_proofs(api.verify_files(posted, program, machine, job=job, setup=setup))
    if altered:
        reason = "passes were asked for that may change what is cut"
        more = [CheckResult(name, "not run", limits, reason=reason) for name, limits in _AGAINST.items()]
        return Proof((*proof.checks, *more), proof.deviation, proof.file)
    capabilities, reader = registry.capabilities_of(machine), api.reader_of(machine)
    written = gather_all(posted.each_file, program, machine, capabilities, job=job, setup=setup, reader=reader)
    # Placed on the bench by the proof's own means, not by those that lifted it.
    original = bench_frame(source, job.stock).program_to_bench(reading.program, job.stock)
    bits = bits_by_events(original, job.tools)
    cutters = Cutter(original, bits, "the file"), Cutter(written.bench, written.bits, "what was made of it")
    same = same_cuts(*cutters, job.stock.highest_top, GRIDS + 2.0 * written.count)
    return Proof((*proof.checks, same, _bites(original, bits, written, job)), proof.deviation, proof.file)


def _bites(original: Program, bits: Numbers, written: Evidence, job: Job) -> CheckResult:
    """No bit goes deeper into wood at once than it does in the file."""
    name = "no deeper bite"
    before = remove(original, job, stock=job.stock, bits=bits, grid=grid_for(job.stock))
    after = written.removal
    found: list[Finding] = []
    figures: dict[str, Figure] = {}
    for number, tool in enumerate(job.tools):
        deepest = [
            float(removal.bite[(which == number) & (program.kind != RAPID)].max(initial=0.0))
            for removal, which, program in ((before, bits, original), (after, written.bits, written.bench))
        ]
        figures |= {f"{tool.name}, file": round(deepest[0], 3), f"{tool.name}, now": round(deepest[1], 3)}
        if deepest[1] > deepest[0] + BITE:
            row = int(np.argmax(np.where((written.bits == number) & (written.bench.kind != RAPID), after.bite, 0.0)))
            what = f"{tool.name!r} cuts {deepest[1]:.2f} mm deep at once here, in the file {deepest[0]:.2f} mm at most"
            line = written.line(row)
            found.append(Finding(check=name, what=what, fix="keep the order of the file", line=line))
    known = before.known and after.known
    status: Status = "failed" if found else "passed" if known else "not proved"
    return CheckResult(name, status, _BITE_LIMITS, tuple(found), figures)
