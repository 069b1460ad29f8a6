"""Check of bit changes: whether it is safe to reach in, and what the file takes for granted afterwards."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from pathkit.findings import Finding
from pathkit.motion.program import RAPID, Pause, Spindle, ToolChange
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.result import Verdict
from pathkit.readback.interpret import interpret

MOST = 20
"""Findings named one by one."""


@check(
    "bit changes",
    "program",
    "board",
    "job",
    scope="whole",
    limits="Which bit is put in, and whether Z is set for it, only the operator can see.",
)
def bit_changes(evidence: Evidence) -> Verdict:
    """Between two bits the file stops or ends: the bit above everything, at the place for changes, the spindle off.

    What follows in the same file takes no position for granted: it moves Z alone first, and then gives X and Y again.
    """
    found: list[Finding] = []
    ends, changes = _ends(evidence), list(_changes(evidence))
    stops = [_stop(evidence, last, first) for last, first in changes]
    within = [stop for stop in stops if stop is not None and stop not in ends]
    until = dict(pairwise(within))
    for stop, (_, first) in zip(stops, changes, strict=True):
        if stop is None:
            what = "goes on with another bit without a stop to change it"
            found.append(_finding(evidence, what, "post the program again", first))
            continue
        found += _raised(evidence, stop)
        if stop not in ends:
            found += [*_off(evidence, stop), *_forgotten(evidence, stop, until.get(stop))]
    return Verdict(found[:MOST], figures={"changes": len(changes)})


def _changes(evidence: Evidence) -> Iterator[tuple[int, int]]:
    """The last cut of each bit, and the first of the next."""
    cuts = np.flatnonzero((evidence.bench.kind != RAPID) & (evidence.bits >= 0))
    bits = evidence.bits[cuts]
    for k in np.flatnonzero(bits[1:] != bits[:-1]):
        yield int(cuts[k]), int(cuts[k + 1])


def _ends(evidence: Evidence) -> set[int]:
    """The first row of each file but the first."""
    lengths = [len(each.read) for each in getattr(evidence, "files", ())]
    return set(np.cumsum(lengths)[:-1].tolist())


def _stop(evidence: Evidence, last: int, first: int) -> int | None:
    """The row before which the machine waits between these two cuts; None if it does not."""
    read = evidence.read
    waits = [
        int(at)
        for at, event in zip(read.event_at, read.event, strict=True)
        if isinstance(event, Pause | ToolChange) and last < at <= first
    ]
    ends = [row for row in _ends(evidence) if last < row <= first]
    return min([*waits, *ends], default=None)


def _raised(evidence: Evidence, stop: int) -> Iterator[Finding]:
    """Whether the bit is high enough, and at the right place, while the machine waits."""
    board, machine, place = evidence.board, evidence.machine, evidence.bench.end[stop - 1]
    tallest = max((zone.height for zone in board.zones if zone.is_keep_out), default=0.0)
    wanted = board.highest_top + tallest + machine.heights.travel
    if not place[2] >= wanted - evidence.count:
        what = f"the bit is changed at {place[2]:.3f} mm; to be above everything it must be at {wanted:.3f} mm"
        yield _finding(evidence, what, "go up before the stop", stop - 1)
    own = machine.park if machine.change is None else (machine.change.x, machine.change.y)
    if own is not None:
        x, y = evidence.read.end[stop - 1, :2]
        if not max(abs(x - own[0]), abs(y - own[1])) <= evidence.count:
            what = f"the bit is changed at X{x:.3f} Y{y:.3f}, and the profile asks for X{own[0]:g} Y{own[1]:g}"
            yield _finding(evidence, what, "go there before the stop", stop - 1)


def _off(evidence: Evidence, stop: int) -> Iterator[Finding]:
    """Whether the words before the stop have switched the spindle off."""
    turning = False
    for at, event in zip(evidence.read.event_at, evidence.read.event, strict=True):
        if at == stop and isinstance(event, Pause | ToolChange):
            break
        if isinstance(event, Spindle):
            turning = event.sense != 0 and event.speed > 0.0
    if turning:
        yield _finding(evidence, "the spindle turns while the bit is changed", "switch it off before the stop", stop)


def _forgotten(evidence: Evidence, stop: int, until: int | None) -> Iterator[Finding]:
    """What the file takes for granted up to the next such stop (``until``; None: its end), when it is read as if the
    bit might be anywhere. What comes after that stop is read again from there, with no more taken for granted."""
    lines = evidence.text.splitlines(keepends=True)
    begins, goes_on = evidence.line(0), evidence.line(stop)
    ends = None if until is None else evidence.line(until)
    if evidence.capabilities.grammar is None or begins is None or goes_on is None:
        return
    # The lines that set the modes, without any move in machine coordinates: after one, rapids sideways are allowed.
    modes = [line for line in lines[: begins - 1] if b"G53" not in line.replace(b" ", b"")]
    read = interpret(b"".join([*modes, *lines[goes_on - 1 : ends]]), evidence.capabilities)
    for finding in read.findings:
        if finding.check == "unknown state":
            line = None if finding.line is None else finding.line - len(modes) + goes_on - 1
            what = f"after the bit is changed: {finding.what}"
            fix = "Z alone first, then X and Y: the bit may have been moved"
            yield Finding(check="bit changes", what=what, fix=fix, line=line)


def _finding(evidence: Evidence, what: str, fix: str, row: int) -> Finding:
    name = evidence.toolpath_name(row)
    return Finding(check="bit changes", what=what, fix=fix, line=evidence.line(row), toolpath=name)
