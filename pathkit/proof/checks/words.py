"""Checks that look at the file's own words and at the comparison: what it says, in which order, and in which state."""

from __future__ import annotations

import numpy as np

from pathkit.findings import Finding
from pathkit.motion.program import RAPID, Dwell, Program, Spindle, Stop
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.result import Verdict
from pathkit.tolerances import SPIN_UP_SLACK

AGAIN = "post the program again, and do not edit the file"


@check(
    "controller",
    limits="It knows the controller by its published rules; an older or altered build may refuse more.",
)
def controller(evidence: Evidence) -> Verdict:
    """The controller takes every block."""
    found = [f for f in evidence.reading.findings if f.check not in ("unknown state",)]
    blocks = evidence.text.count(b"\n") + (not evidence.text.endswith(b"\n") and len(evidence.text) > 0)
    return Verdict(found, figures={"lines": blocks, "refused": len(found)})


@check(
    "unknown state",
    limits="It trusts that the controller holds what the file itself has set.",
)
def unknown_state(evidence: Evidence) -> Verdict:
    """The file relies on nothing that it has not set: units, plane, modes, offset, position."""
    return Verdict(f for f in evidence.reading.findings if f.check == "unknown state")


@check(
    "same path",
    "program",
    "board",
    limits="It judges the path that the file asks for, not how closely the axes follow it.",
)
def same_path(evidence: Evidence) -> Verdict:
    """The same moves in the same order and direction; ends within half a count, arcs within three and the chords'
    tolerance."""
    comparison = evidence.comparison
    matched = int((comparison.owner >= 0).sum())
    rows = len(evidence.program) if evidence.program is not None else 0
    figures = {"moves": rows, "read": len(evidence.read), "matched": matched, "count_mm": evidence.count}
    return Verdict(comparison.of("same path"), figures={**figures, "deviation_mm": round(comparison.deviation, 9)})


@check(
    "feeds", "program", "board", limits="It judges the feed that is asked for; an override at the machine changes it."
)
def feeds(evidence: Evidence) -> Verdict:
    """Every cut at the program's feed, within half a count."""
    return Verdict(evidence.comparison.of("feeds"))


@check(
    "spindle",
    limits="It judges the words: whether the spindle obeys them, and turns the right way, only the machine can show.",
)
def spindle(evidence: Evidence) -> Verdict:
    """No cut with the spindle off; speeds that the spindle can run at; time to spin up; and all as the program says."""
    if evidence.manual:
        note = Finding(
            check="spindle",
            what="the spindle is switched by hand: nothing in the file can prove that it turns",
            fix="switch it on at the first pause, at the speed that it names, and off at the last",
            severity="note",
        )
        return Verdict([note, *_compared(evidence, "spindle")], proved=False)
    read = evidence.read
    speed, sense = (column[: len(read)] for column in spindle_at(read))
    cutting = read.kind != RAPID
    found = _compared(evidence, "spindle")
    off = cutting & (sense == 0)
    for row in _beginnings(off):
        what = "cuts with the spindle off"
        found.append(Finding(check="spindle", what=what, fix="switch it on before this", line=evidence.line(row)))
    limits = evidence.machine.spindle
    slack = 0.5 * evidence.capabilities.speed_step
    beyond = cutting & (sense != 0) & ((speed > limits.max + slack) | (speed < limits.min - slack))
    for row in _beginnings(beyond):
        what = f"cuts at {speed[row]:g} rpm; the spindle runs from {limits.min:g} to {limits.max:g}"
        fix = "choose a speed in that range"
        found.append(Finding(check="spindle", what=what, fix=fix, line=evidence.line(row)))
    found += _spin_up(evidence)
    turning = speed[cutting & (sense != 0)]
    figures = {"slowest_rpm": float(turning.min()), "fastest_rpm": float(turning.max())} if len(turning) else {}
    return Verdict(found, figures=figures)


@check("tool changes", "program", "board", limits="Which bit is in the collet only the operator can see.")
def tool_changes(evidence: Evidence) -> Verdict:
    """The program's bits in its order, and no bit changed while the spindle turns."""
    return Verdict(evidence.comparison.of("tool changes"))


@check("events", "program", "board", limits="Comments and messages are not compared.")
def events(evidence: Evidence) -> Verdict:
    """Dwells, pauses, coolant and work offset as the program has them, and no pause with the spindle turning."""
    return Verdict(evidence.comparison.of("events"))


@check("end state", limits="What the machine does after the program's end is not in the file.")
def end_state(evidence: Evidence) -> Verdict:
    """The program ends by its own word, with the spindle off, and nothing comes after."""
    read = evidence.read
    found = _compared(evidence, "end state")
    speed, sense = spindle_at(read)
    stops = [int(at) for at, event in zip(read.event_at, read.event, strict=True) if isinstance(event, Stop)]
    last = evidence.line(len(read) - 1) if len(read) else None
    if not stops:
        word = evidence.capabilities.program_end or "its own end"
        found.append(Finding(check="end state", what=f"the file does not end with {word}", fix=AGAIN, line=last))
    elif stops[0] < len(read):
        line = evidence.line(stops[0])
        found.append(Finding(check="end state", what="moves after the program's end", fix=AGAIN, line=line))
    if sense[-1] != 0 and not evidence.manual:
        what = f"the spindle still turns at {speed[-1]:g} rpm where the program ends"
        found.append(Finding(check="end state", what=what, fix="switch it off before the end", line=last))
    return Verdict(found)


def spindle_at(read: Program) -> tuple[np.ndarray, np.ndarray]:
    """Speed (m + 1,) in rpm and sense (m + 1,) in force at each row; the last entry is what the program ends with.

    At the end it is what the file's own words have left, not what the word that ends the program does besides.
    """
    speed, sense = np.zeros(len(read) + 1), np.zeros(len(read) + 1, int)
    for at, event in zip(read.event_at, read.event, strict=True):
        if isinstance(event, Stop):
            break
        if isinstance(event, Spindle):
            speed[at:] = event.speed
            sense[at:] = event.sense if event.speed > 0.0 else 0
    return speed, sense


def _compared(evidence: Evidence, name: str) -> list[Finding]:
    if {"program", "board"} <= evidence.available:
        return evidence.comparison.of(name)
    return []


def _beginnings(marked: np.ndarray) -> list[int]:
    """Rows at which a run of marked ones begins; at most twenty."""
    starts = np.flatnonzero(marked & ~np.concatenate([[False], marked[:-1]]))
    return [int(row) for row in starts[:20]]


def _spin_up(evidence: Evidence) -> list[Finding]:
    """Too little time between the spindle's start and the first cut after it."""
    read, wanted = evidence.read, evidence.machine.spindle.spin_up
    cutting = np.flatnonzero(read.kind != RAPID)
    found: list[Finding] = []
    turning, waited, since = False, 0.0, -1
    for at, event in [*zip(read.event_at, read.event, strict=True), (len(read), Stop())]:
        if since >= 0:
            first = int(np.searchsorted(cutting, since))
            if first < len(cutting) and cutting[first] < at:
                if waited < wanted - SPIN_UP_SLACK:
                    what = f"{waited:g} s from the spindle's start to this cut; it needs {wanted:g} s to spin up"
                    fix = f"a dwell of {wanted:g} s"
                    line = evidence.line(int(cutting[first]))
                    found.append(Finding(check="spindle", what=what, fix=fix, severity="warning", line=line))
                since = -1
        if isinstance(event, Spindle):
            on = event.sense != 0 and event.speed > 0.0
            if on and not turning:
                waited, since = 0.0, int(at)
            turning = on
        elif isinstance(event, Dwell):
            waited += event.seconds
    return found[:20]
