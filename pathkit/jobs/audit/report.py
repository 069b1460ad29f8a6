"""What the audit has to say, gathered check by check: a `CheckResult` for each, as the proof of a file has them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from pathkit.findings import Finding
from pathkit.proof.result import CheckResult

Key = tuple[str | int, ...]
"""Keys that lead to a value of the job file."""

CHECKS: Final = {
    "board as asked": "It proves which board the job is for, not that such a board lies on the machine.",
    "copies as asked": (
        "It proves that the copies asked for are there and where they may lie; that no more would fit is proved only "
        "where they stand in plain rows."
    ),
    "cuts as asked": (
        "Within 0.02 mm of what the job file draws, drawings within the gaps that are closed in them. How a floor is "
        "cleared is judged by its spacing and angle, not line by line."
    ),
    "depths as asked": "To a millionth of a millimetre, from the job file's own numbers.",
    "bits as asked": "It proves which bit the job names, not which one is in the spindle.",
    "feeds as asked": "It proves what was asked for, not that it suits bit, wood and machine.",
    "parts as asked": "Within 0.02 mm of what the job file draws, drawings within the gaps that are closed in them.",
    "tabs as asked": (
        "It proves how many, how wide and how high, and where their number was to be worked out that they hold by the "
        "same estimate; that fewer would not do, and where they stand best, is not judged."
    ),
    "entries as asked": "It proves kind and angle of each way down; its place is judged from the cut file.",
    "order as asked": "It proves that the job's own pairs are kept in mind; the file's order is judged from the file.",
}
"""The audit's checks in the order of a report, each with what it does not prove."""

WHOLE: Final = "job as asked"
"""The audit as a whole, where it is not run."""

MOST: Final = 8
"""Findings of one check that are told; more are only counted."""


@dataclass
class Report:
    """Gathers findings and what could not be judged; `results` makes check results of them."""

    found: dict[str, list[Finding]] = field(default_factory=dict)
    left_open: dict[str, list[str]] = field(default_factory=dict)
    figures: dict[str, dict[str, int]] = field(default_factory=dict)

    def add(self, check: str, what: str, key: Key = (), *, fix: str = "", toolpath: str | None = None) -> None:
        """An error: what was made is not what stands behind ``key`` in the job file."""
        fix = fix or "build the job again; do not cut these files"
        self.found.setdefault(check, []).append(
            Finding(check=check, what=what, fix=fix, path=dotted(key) if key else None, toolpath=toolpath)
        )

    def leave_open(self, check: str, reason: str) -> None:
        """Say that a check could not judge something, and why."""
        reasons = self.left_open.setdefault(check, [])
        if reason not in reasons:
            reasons.append(reason)

    def leave_all_open(self, reason: str, checks: Sequence[str] = tuple(CHECKS)) -> None:
        for check in checks:
            self.leave_open(check, reason)

    def count(self, check: str, what: str, number: int) -> None:
        figures = self.figures.setdefault(check, {})
        figures[what] = figures.get(what, 0) + number

    @property
    def errors(self) -> int:
        return sum(map(len, self.found.values()))

    def results(self) -> tuple[CheckResult, ...]:
        """One result a check: failed with its findings, not run with its reasons, else passed."""
        return tuple(self._result(name, limits) for name, limits in CHECKS.items())

    def _result(self, name: str, limits: str) -> CheckResult:
        found, reason = list(dict.fromkeys(self.found.get(name, []))), "; ".join(self.left_open.get(name, [])[:MOST])
        more = len(found) - MOST
        if more > 0:
            last = found[MOST - 1]
            found = [*found[: MOST - 1], Finding(check=name, what=f"{last.what}; and {more} more", fix=last.fix,
                     path=last.path, toolpath=last.toolpath)]  # fmt: skip
        status = "failed" if found else "not run" if reason else "passed"
        return CheckResult(name, status, limits, tuple(found), self.figures.get(name, {}), reason)  # type: ignore[arg-type]


def not_run(reason: str) -> tuple[CheckResult, ...]:
    """The audit as a whole, not run, for one reason."""
    limits = "It proves that the job is the one asked for, not that this is what is wanted."
    return (CheckResult(WHOLE, "not run", limits, reason=reason),)


def dotted(key: Key) -> str:
    """``$.part[0].operations[1].bottom``."""
    return "$" + "".join(f"[{each}]" if isinstance(each, int) else f".{each}" for each in key)
