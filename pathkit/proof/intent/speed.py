"""The spindle as the job asks: speed and sense at every cut, and time to spin up after each increase of speed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pathkit.findings import Finding
from pathkit.motion.program import RAPID, Dwell, Spindle, Stop
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.intent.places import MOST, first_of_each
from pathkit.proof.result import Verdict
from pathkit.tolerances import DWELL_SLACK, SPEED_ROUNDING


@check(
    "asked speed",
    "board",
    "job",
    scope="whole",
    limits="It judges the words: whether the spindle obeys them, and turns the right way, only the machine can show.",
)
def asked_speed(evidence: Evidence) -> Verdict:
    """Each toolpath at its spindle speed, clockwise, and after every increase of speed the time to spin up."""
    if evidence.manual:
        return Verdict(proved=False)
    job, bench, owner = evidence.job, evidence.bench, evidence.sections.owner
    assert job is not None
    speed, sense = np.zeros(len(bench)), np.zeros(len(bench), np.int64)
    for at, event in zip(bench.event_at, bench.event, strict=True):
        if isinstance(event, Stop):
            break
        if isinstance(event, Spindle):
            speed[at:], sense[at:] = event.speed, event.sense if event.speed > 0.0 else 0
    asked = np.array([*(path.cutting.spindle for path in job.toolpaths), np.nan])[owner]
    slack = 0.5 * evidence.capabilities.speed_step + SPEED_ROUNDING
    wrong = (owner >= 0) & (bench.kind != RAPID) & ~((np.abs(speed - asked) <= slack) & (sense == 1))
    found: list[Finding] = []
    for row in first_of_each(owner, wrong):
        turns = {1: "clockwise", -1: "counter-clockwise", 0: "standing"}[int(sense[row])]
        what = f"cuts at {speed[row]:g} rpm {turns}, and the job asks for {asked[row]:g} rpm clockwise"
        found.append(_finding(evidence, what, "post the job again", row))
    found += _hurried(evidence)
    return Verdict(found[:MOST])


def _hurried(evidence: Evidence) -> Iterator[Finding]:
    """Cuts that begin before the spindle can have reached its new speed."""
    bench, wanted = evidence.bench, evidence.machine.spindle.spin_up
    cutting = np.flatnonzero(bench.kind != RAPID)
    turning, waited, since = 0.0, 0.0, -1
    for at, event in [*zip(bench.event_at, bench.event, strict=True), (len(bench), Stop())]:
        if since >= 0:
            first = int(np.searchsorted(cutting, since))
            if first < len(cutting) and cutting[first] < at:
                if waited < wanted - DWELL_SLACK:
                    what = f"{waited:g} s from a rise in spindle speed to this cut; the spindle needs {wanted:g} s"
                    yield _finding(evidence, what, f"a dwell of {wanted:g} s", int(cutting[first]))
                since = -1
        if isinstance(event, Spindle):
            now = event.sense * event.speed
            # To turn the other way it has to spin up from a standstill.
            if now != 0.0 and (abs(now) > abs(turning) or now * turning < 0.0):
                waited, since = 0.0, int(at)
            turning = now
        elif isinstance(event, Dwell):
            waited += event.seconds


def _finding(evidence: Evidence, what: str, fix: str, row: int) -> Finding:
    job, index = evidence.job, int(evidence.sections.owner[row])
    name = job.toolpaths[index].name if job is not None and index >= 0 else None
    return Finding(check="asked speed", what=what, fix=fix, line=evidence.line(row), toolpath=name)
