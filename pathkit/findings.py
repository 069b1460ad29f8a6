"""What a check reports: a `Finding`; and the interface (`Check`) of every check.

A finding answers three questions: *what* is wrong, *where* it is, and what to *do* about it. Everything in the library
that judges (validation, passes, legalisation, read-back, proof) returns findings, so that one report can show them
all.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal, Protocol, runtime_checkable

Severity = Literal["error", "warning", "note"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One statement of a check.

    ``check`` names the check. ``file``, ``line`` and ``column`` (both from 1) point into a text, ``toolpath`` at a
    toolpath by name, ``path`` into a value (``$.toolpaths[2].tool.diameter``). ``code`` is the controller's own answer
    if it would give one (``error:25``).

    >>> print(pk.Finding(check="travel", what="X goes too far", fix="move the zero", line=7))
    line 7: X goes too far (move the zero)
    """

    check: str
    what: str
    fix: str = ""
    severity: Severity = "error"
    file: str | None = None
    line: int | None = None
    column: int | None = None
    toolpath: str | None = None
    path: str | None = None
    code: str | None = None

    @property
    def where(self) -> str:
        """The place in one short phrase, empty if there is none."""
        places = []
        if self.file is not None or self.line is not None:
            text = self.file or "line"
            if self.line is not None:
                text += f":{self.line}" if self.file else f" {self.line}"
                if self.column is not None:
                    text += f":{self.column}"
            places.append(text)
        if self.toolpath is not None:
            places.append(f"toolpath {self.toolpath!r}")
        if self.path is not None:
            places.append(self.path)
        return ", ".join(places)

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        code = f" [{self.code}]" if self.code else ""
        remedy = f" ({self.fix})" if self.fix else ""
        return f"{place}{self.what}{code}{remedy}"

    def at(self, **place: Any) -> Finding:
        """The same finding with more of its place filled in; what was already set is kept."""
        return replace(self, **{key: value for key, value in place.items() if getattr(self, key) is None})

    def as_dict(self) -> dict[str, Any]:
        """For JSON: only the fields that are set."""
        names = ("check", "severity", "what", "fix", "file", "line", "column", "toolpath", "path", "code")
        return {name: value for name in names if (value := getattr(self, name)) not in (None, "")}


def errors_of(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings of severity ``error``."""
    return tuple(f for f in findings if f.severity == "error")


def grouped(findings: Iterable[Finding]) -> list[tuple[Finding, tuple[Finding, ...]]]:
    """Findings by their cause, in order: one of each, and those that say the same of other toolpaths. The one is the
    first, or that whose advice helps all of them: the narrowest bit of those that are named, say.

    The same is what differs in numbers, places and names alone. What names no toolpath must speak of the same place
    too: each line of a job file is mended on its own.
    """
    groups: dict[Any, list[Finding]] = {}
    for finding in findings:
        place = (finding.file, finding.line, finding.path) if finding.toolpath is None else None
        cause = finding.check, finding.severity, finding.code, _plain(finding.what), _plain(finding.fix), place
        groups.setdefault(cause, []).append(finding)
    found = []
    for group in groups.values():
        one = _strictest(group)
        found.append((one, tuple(each for each in group if each is not one)))
    return found


def _strictest(group: Sequence[Finding]) -> Finding:
    limits = [_LIMIT.search(each.fix) for each in group]
    numbers = [(float(limit[2]), k) for k, limit in enumerate(limits) if limit is not None]
    if len(numbers) < len(group):
        return group[0]
    least = limits[0] is not None and limits[0][1] == "at least"
    # Of equal ones the first.
    return group[max(numbers, key=lambda n: (n[0], -n[1]))[1] if least else min(numbers)[1]]


_LIMIT = re.compile(r"(at most|at least|widest bit that fits has)[^\d]*(\d+(?:\.\d+)?)")


_VARIES = re.compile(r"'[^']*'|\([^()]*\d[^()]*\)|[-+]?\d+(?:\.\d+)?")

_LISTED = re.compile(r"(#[^#,]*#)(?:, \1)+")  # of whatever length


def _plain(text: str) -> str:
    return _LISTED.sub(r"\1", _VARIES.sub("#", text.split("; it is ")[0]))


@runtime_checkable
class Check(Protocol):
    """A named judgement that can be run and tested alone.

    ``needs`` names what it looks at; ``limits`` says in one sentence what it does not prove.

    >>> from pathkit.api import every_check
    >>> sorted(check.name for check in every_check())[0]
    'above the bed'
    """

    @property
    def name(self) -> str: ...

    @property
    def needs(self) -> frozenset[str]: ...

    @property
    def limits(self) -> str: ...

    def __call__(self, evidence: Any) -> Sequence[Finding]: ...
