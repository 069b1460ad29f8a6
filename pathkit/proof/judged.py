"""What was judged once, for other files that make the same moves on the bench.

One job may be written for many machines. Their files differ in words and axes, but the moves that are *read back* from
them are often the same on the bench. What such moves leave of the board is then the same too: it is worked out once,
and what was found to be right is not judged again. Whatever is wrong is judged anew for every file, since findings
name its lines. Everything that depends on the file itself or on the machine is judged for every file.
"""

from __future__ import annotations

import hashlib
import pickle
from collections.abc import Callable
from typing import TYPE_CHECKING, Final, TypeVar

import numpy as np

from pathkit.once import Once
from pathkit.tolerances import SAME_PLACE

if TYPE_CHECKING:
    from pathkit.proof.evidence import Evidence

Result = TypeVar("Result")

MOST: Final = 64
"""How much is kept at most: maps of what is left take a few MB each."""

PROGRAMS: Final = 4
"""How many programs are kept: one of a million moves takes 130 MB."""

READ: Final = frozenset(
    {
        "bench", "job", "board", "ends", "count", "bits", "radius", "cuts", "removal", "toolpath", "names",
        "toolpath_name", "line", "capabilities.arcs", "capabilities.helical", "machine.motion.arc_tolerance",
    }
)  # fmt: skip
"""What a check may read whose verdicts are kept: all of it is in `key_of`, or follows from it, or, as the line of a
row, is used in findings only."""


class Judged:
    """Kept results of one process, for any number of files; threads may share it. ``audits`` keeps those of jobs, by
    what they look at, and ``lowered`` jobs as programs, by what lowering reads."""

    def __init__(self, most: int = MOST) -> None:
        self._kept = Once(most)
        self.audits = Once(most)
        self.lowered = Once(PROGRAMS)

    def once(
        self, name: str, evidence: Evidence, work_out: Callable[[], Result], keep: Callable[[Result], bool]
    ) -> Result:
        """What ``work_out`` returns, worked out once for all evidence that is alike, if it is worth keeping."""
        return self._kept((name, evidence.alike), work_out, keep)


def key_of(evidence: Evidence) -> bytes:
    """A digest of all that the checks of `READ` look at: evidence with equal digests is alike.

    Places count as equal if they agree to `SAME_PLACE`: the same place, worked out from another zero.
    """
    bench, machine, capabilities = evidence.bench, evidence.machine, evidence.capabilities
    job = evidence.job
    said = hashlib.sha256()
    for numbers in (bench.start, bench.end, bench.centre, bench.sweep, bench.feed):
        # Adding zero turns −0 into 0. What is not known has several spellings in bits, too.
        said.update(np.where(np.isnan(numbers), np.inf, np.round(numbers / SAME_PLACE) + 0.0).tobytes())
    for whole in (bench.kind, bench.event_at, evidence.toolpath, evidence.bits):
        said.update(np.ascontiguousarray(whole).tobytes())
    rest = (
        len(bench), bench.event, evidence.count, capabilities.arcs, capabilities.helical,
        machine.motion.arc_tolerance, evidence.names,
        None if job is None else job.digest,
    )  # fmt: skip
    said.update(repr(rest).encode("utf-8", "backslashreplace"))
    # The board may be another than the job's; how its zones are shown in words is cut short.
    said.update(pickle.dumps(evidence.board))
    return said.digest()
