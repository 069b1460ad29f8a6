"""The bit is named where a person reads it: before its first cut, by name and by number."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from typing import Final

import numpy as np

from pathkit.findings import Finding
from pathkit.motion.program import RAPID
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.intent.places import MOST
from pathkit.proof.result import Verdict

ENOUGH: Final = 16
"""Letters and digits of a long name that must be readable: a controller's line may be too short for all of it."""


@check(
    "bit named",
    "board",
    "job",
    scope="whole",
    limits="Which bit is in the collet only the operator can see.",
)
def bit_named(evidence: Evidence) -> Verdict:
    """Between the last cut of one bit and the first cut of the next, the text names the next bit and its number."""
    job, bench, owner = evidence.job, evidence.bench, evidence.sections.owner
    assert job is not None
    rows = np.flatnonzero((owner >= 0) & (bench.kind != RAPID))
    # Of the cuts one after the other with one toolpath the first and the last are enough.
    turns = owner[rows[1:]] != owner[rows[:-1]]
    rows = rows[np.concatenate([[True], turns]) | np.concatenate([turns, [True]])] if len(rows) else rows
    lines = evidence.text.decode("latin-1").splitlines()
    grammar = evidence.capabilities.grammar
    marks = () if grammar is None else grammar.comments
    found: list[Finding] = []
    before, tool = 0, None
    for row in rows:
        path = job.toolpaths[owner[row]]
        line = evidence.line(int(row)) or 0
        if path.tool != tool:
            tool = path.tool
            said = lines[before : max(line - 1, before)]
            for what in (*_unsaid(tool.name, tool.number, said), *_called(tool.number, said, marks)):
                fix = "post the job again"
                if len(found) < MOST:
                    found.append(Finding(check="bit named", what=what, fix=fix, line=line or None, toolpath=path.name))
        before = line
    return Verdict(found)


def _unsaid(name: str, number: int | None, lines: list[str]) -> list[str]:
    wanted = _plain(name)[:ENOUGH]
    missing = []
    if not any(wanted in _plain(line) for line in lines):
        missing.append(f"nothing before this cut names the bit {name!r}")
    # As a T word, or in words.
    numbered = re.compile(rf"(?i)(?:(?<![a-z])T|number |(?<![a-z])bit,)\s*0*{number}(?![\d.])")
    if number is not None and not any(numbered.search(line) for line in lines):
        missing.append(f"nothing before this cut names the number {number} of the bit {name!r}")
    return missing


def _called(number: int | None, lines: list[str], marks: Sequence[tuple[str, str]]) -> list[str]:
    """The last T word outside comments, if its number is not the bit's."""
    if number is None or not marks:
        return []
    text = "\n".join(lines)
    for opening, closing in marks:
        text = re.sub(rf"{re.escape(opening)}[^\n]*?({re.escape(closing)}|$)" if closing else
                      rf"{re.escape(opening)}[^\n]*", "", text, flags=re.MULTILINE)  # fmt: skip
    words = re.findall(r"(?i)(?<![a-z])T\s*0*(\d+)", text)
    if not words or int(words[-1]) == number:
        return []
    return [f"the file calls for T{words[-1]}, and the bit has the number {number}"]


def _plain(text: str) -> str:
    """Lower-case letters and digits: what every controller's comments can carry."""
    ascii_only = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]", "", ascii_only.lower())
