"""The twin of a file that is not made of words: compared with its file move by move, as both are read back."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.motion.program import Beam, Dwell, Event, Pause, Program, Spindle
from pathkit.proof.evidence import Evidence, ProofCheck, check
from pathkit.proof.result import Verdict
from pathkit.tolerances import SAME_PLACE

_FIX = "make the twin again"


def same_moves(original: Program) -> ProofCheck:
    """The check that compares a twin with its file as read back."""

    @check(
        "same moves",
        "text",
        limits="It compares the twin with the file beside it; that file's own proof says how it moves.",
    )
    def judge(evidence: Evidence) -> Verdict:
        """The twin has the file's moves, every Z raised by one constant; only what serves the spindle is missing."""
        twin = evidence.read
        if len(twin) != len(original):
            what = f"the twin has {len(twin)} moves, and the file {len(original)}"
            return Verdict([Finding(check="same moves", what=what, fix=_FIX)])
        rise = twin.end[:, 2] - original.end[:, 2]
        up = float(rise[0]) * (1.0 if evidence.machine.axes.z == "up" else -1.0) if len(rise) else 1.0
        wrong = np.flatnonzero(_apart(original, twin) | ~(np.abs(rise - rise[:1]) <= SAME_PLACE))
        found = [_finding("moves otherwise than the file", evidence.line(int(row))) for row in wrong[:20]]
        if not up > 0.0:
            found.append(_finding("the twin is not raised", None))
        found += _events(original, twin, evidence)
        return Verdict(found, figures={"moves": len(twin), "raised_mm": round(up, 6)} if len(rise) else {})

    return judge


def _apart(original: Program, twin: Program) -> NDArray[np.bool_]:
    """(n,): rows that differ in more than their height."""
    apart: NDArray[np.bool_] = original.kind != twin.kind
    for name in ("end", "centre", "sweep", "feed"):
        mine, theirs = getattr(original, name).reshape(len(twin), -1), getattr(twin, name).reshape(len(twin), -1)
        mine, theirs = (column[:, :2] for column in (mine, theirs))
        apart = apart | ~np.isclose(mine, theirs, rtol=0.0, atol=SAME_PLACE, equal_nan=True).all(axis=1)
    return apart


def _events(original: Program, twin: Program, evidence: Evidence) -> list[Finding]:
    """Every event of the file is in the twin, in order, except what serves the spindle."""
    found = list(zip(twin.event_at.tolist(), twin.event, strict=True))
    at, serving, row = 0, False, -1
    for where, event in zip(original.event_at.tolist(), original.event, strict=True):
        serving, row = serving and where == row, where
        if at < len(found) and found[at] == (where, event):
            at += 1
        elif isinstance(event, Spindle | Beam) or _may_go(event, serving, evidence.manual):
            serving = True
        else:
            line = evidence.line(min(where, len(twin) - 1)) if len(twin) else None
            return [_finding(f"{type(event).__name__.lower()} of the file is missing before this", line)]
    if at < len(found):
        line = evidence.line(min(found[at][0], len(twin) - 1)) if len(twin) else None
        return [_finding(f"{type(found[at][1]).__name__.lower()} that the file does not have", line)]
    return []


def _may_go(event: Event, serving: bool, manual: bool) -> bool:
    return (serving and isinstance(event, Dwell)) or (manual and isinstance(event, Pause))


def _finding(what: str, line: int | None) -> Finding:
    return Finding(check="same moves", what=what, fix=_FIX, line=line)
