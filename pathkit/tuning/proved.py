"""The improved file is read back and held against the moves it should make, and against the file it was made from."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from pathkit import api, registry
from pathkit.proof import bites, same_cuts
from pathkit.proof.frame import bench_frame
from pathkit.proof.material.bits import bits_by_events
from pathkit.proof.result import CheckResult, Proof
from pathkit.proof.same_cuts import Cutter
from pathkit.proof.several_files import gather_all, join_proofs
from pathkit.tolerances import FILES_APART

if TYPE_CHECKING:
    from pathkit.machine.profile import Machine
    from pathkit.model.job import Job, Setup
    from pathkit.motion.program import Program
    from pathkit.posting import Posted
    from pathkit.readback.interpret import Reading

_AGAINST: Final = {same_cuts.NAME: same_cuts.LIMITS, bites.NAME: bites.LIMITS}


def proved(  # noqa: PLR0913 - all that is held against one another
    reading: Reading, source: Machine, posted: Posted, program: Program, job: Job, machine: Machine,
    setup: Setup | None, *, fit: float, altered: bool,
) -> Proof:  # fmt: skip
    """Every check of `verify`, and *same cuts* and *no deeper bite* against the file that was read.

    ``fit`` is how far (mm) its path may lie beside that file's. ``altered``: passes were asked for that change what is
    cut, as tabs do, so that the last two are not run.
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
    file = Cutter(original, bits_by_events(original, job.tools), "the file")
    made = Cutter(written.bench, written.bits, "what was made of it", written.placed)
    slack = FILES_APART + 2.0 * written.count + fit
    same = same_cuts.same_cuts(file, made, job.stock.highest_top, slack)
    return Proof((*proof.checks, same, bites.no_deeper_bite(file, made, job)), proof.deviation, proof.file)
