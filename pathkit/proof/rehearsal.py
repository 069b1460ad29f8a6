"""Proof of a file that only shows itself in the air: the same path, all of it above everything, no spindle.

It is not a cut, so the checks of a cut do not fit it: feed moves with the spindle off are its whole purpose.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.profile import Machine
from pathkit.model.job import Setup
from pathkit.motion.program import Program, Spindle
from pathkit.proof.checks import travel, words
from pathkit.proof.evidence import Evidence, ProofCheck, check
from pathkit.proof.result import Proof, Verdict
from pathkit.proof.verify import verify
from pathkit.tolerances import HALF_COUNT

if TYPE_CHECKING:
    from pathkit.posting import Posted
    from pathkit.readback.foreign import Read


@check("in the air", "board", limits="It trusts that zero is set as for the cut, and that only drawn clamps stand up.")
def in_the_air(evidence: Evidence) -> Verdict:
    """Everything lies above the thickest board and the tallest clamp by the approach height."""
    board = evidence.board
    clear = board.highest_top + max((zone.height for zone in board.zones if zone.is_keep_out), default=0.0)
    needed = clear + evidence.machine.heights.approach
    heights = evidence.bench.end[:, 2]
    # Where the file does not say a height, it has gone up in machine coordinates, or `unknown state` objects.
    low = np.flatnonzero(heights < needed - HALF_COUNT * evidence.count)
    found = [
        Finding(
            check="in the air",
            what=f"goes to {heights[row]:.3f} mm; it must stay above {needed:.3f} mm",
            fix="make the rehearsal again",
            line=evidence.line(int(row)),
        )
        for row in low[:20]
    ]
    lowest = float(np.fmin.reduce(heights, initial=np.inf))
    figures = {"lowest_mm": round(lowest, 6), "needed_mm": needed} if np.isfinite(lowest) else {}
    return Verdict(found, figures=figures)


@check("spindle stays off", limits="A spindle switched by hand stays the operator's affair.")
def spindle_stays_off(evidence: Evidence) -> Verdict:
    """No word starts the spindle."""
    read = evidence.read
    turning = [
        evidence.line(min(int(at), len(read) - 1)) if len(read) else None
        for at, event in zip(read.event_at, read.event, strict=True)
        if isinstance(event, Spindle) and event.sense != 0
    ]
    found = [
        Finding(check="spindle stays off", what="the spindle is started", fix="make the rehearsal again", line=line)
        for line in turning
    ]
    return Verdict(found[:20])


CHECKS: Final[tuple[ProofCheck, ...]] = (
    words.controller,
    words.unknown_state,
    words.same_path,
    words.feeds,
    words.events,
    words.end_state,
    travel.first_motion,
    travel.travel_limits,
    in_the_air,
    spindle_stays_off,
)
"""What a rehearsal is held against."""


def verify_rehearsal(
    posted: Posted | str | bytes,
    program: Program,
    machine: Machine,
    capabilities: Capabilities,
    *,
    setup: Setup | None = None,
    reader: Read | None = None,
) -> Proof:
    """Read a rehearsal's file back and prove that it makes the program's moves, in the air, with the spindle off."""
    return verify(posted, program, machine, capabilities, setup=setup, checks=CHECKS, reader=reader)
