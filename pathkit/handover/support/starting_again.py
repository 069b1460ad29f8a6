"""With which toolpath a job is started again that ended too early. A toolpath, never a line of the file: what stands
before a line sets how it is read, and only a file of its own rises, starts the spindle and enters the wood."""

from __future__ import annotations

import shlex
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from pathkit.motion.program import RAPID

if TYPE_CHECKING:
    from pathkit.handover.support.placing import Known


@dataclass(frozen=True)
class Again:
    """``toolpath`` is the first that is not done, ``begun`` whether it was begun; ``start`` the one to start with: an
    earlier one, if the rest leans on its cuts. ``command`` makes the file for it. ``toolpath`` None: all are done."""

    toolpath: str | None
    begun: bool
    start: str | None
    command: str | None

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {"toolpath": self.toolpath, "begun": self.begun, "start": self.start, "command": self.command}


def start_again(given: Known, row: int, path: Path) -> Again | None:
    """How to start again if only the moves before ``row`` of the file as sent were made; None if its toolpaths are not
    known, or it is not a cut that was proved."""
    job = given.job
    if job is None or given.changed or given.air or not given.runs:
        return None
    cuts = np.flatnonzero((given.read.kind != RAPID) & (given.toolpath >= 0))
    left = cuts[cuts >= row]
    if not len(left):
        return Again(None, False, None, None)
    number = int(given.toolpath[left[0]])
    name = given.names[number]
    begun = bool((given.toolpath[cuts[cuts < row]] == number).any())
    start = _start(given, name)
    if start is None:
        return None
    command = None
    if str(path).isprintable() and start.isprintable():
        out = f"{path.stem}-rest{path.suffix}"
        command = f"pathkit resume {shlex.quote(str(path))} --from {shlex.quote(start)} --out {shlex.quote(out)}"
    return Again(name, begun, start, command)


def _start(given: Known, name: str) -> str | None:
    """The toolpath itself, or the nearest one before it from which nothing leans on earlier cuts."""
    from pathkit.handover.resume import needs

    job = given.job
    assert job is not None
    names = [path.name for path in job.toolpaths]
    if name not in names:
        return None
    index = names.index(name)
    while index and needs(job, index):
        index -= 1
    return names[index]
