"""What a check reports: a `Finding`; and the interface (`Check`) of every check.

A finding answers three questions: *what* is wrong, *where* it is, and what to *do* about it. Everything in the library
that judges (validation, passes, legalisation, read-back, proof) returns findings, so that one report can show them
all.
"""

from __future__ import annotations

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


@runtime_checkable
class Check(Protocol):
    """A named judgement that can be run and tested alone.

    ``needs`` names what it looks at; ``limits`` says in one sentence what it does not prove.
    """

    @property
    def name(self) -> str: ...

    @property
    def needs(self) -> frozenset[str]: ...

    @property
    def limits(self) -> str: ...

    def __call__(self, evidence: Any) -> Sequence[Finding]: ...
