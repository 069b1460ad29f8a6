"""The audit's findings, gathered check by check: a `CheckResult` for each, like those of the proof of a file."""

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
        "It proves that the copies asked for are there, and lie where they may; that no more would fit is proved only "
        "for copies in plain rows."
    ),
    "cuts as asked": (
        "It compares cuts with the job file's shapes to within 0.02 mm; in drawings, to within 0.03 mm plus the gaps "
        "that are closed. How a floor is cleared is judged by the spacing and angle of its lines, not line by line."
    ),
    "depths as asked": "It compares depths with the job file's own numbers, to a millionth of a millimetre.",
    "bits as asked": "It proves which bit the job names, not which one is in the spindle.",
    "feeds as asked": "It proves what was asked for, not that it suits bit, wood and machine.",
    "parts as asked": (
        "It compares parts with the job file's shapes to within 0.02 mm; in drawings, to within 0.03 mm plus the gaps "
        "that are closed."
    ),
    "tabs as asked": (
        'It proves how many tabs there are, how wide and how high; if count is "auto", that they hold by the same '
        "estimate. It does not judge whether fewer would do, or where they stand best."
    ),
    "entries as asked": "It proves the kind and angle of each way down; its place is judged from the cut file.",
    "order as asked": "It proves that the job holds the pairs asked for; the cuts' order is judged from the cut file.",
}
"""The audit's checks in the order of a report, each with its limits."""

WHOLE: Final = "job as asked"
"""The name of the audit as a whole, if it is not run."""

MOST: Final = 8
"""The most findings of one check that are listed; more are only counted."""


@dataclass
class Report:
    """Gathers findings and what could not be judged; `results` makes check results of them."""

    found: dict[str, list[Finding]] = field(default_factory=dict)
    left_open: dict[str, list[str]] = field(default_factory=dict)
    figures: dict[str, dict[str, int]] = field(default_factory=dict)

    def add(self, check: str, what: str, key: Key = (), *, fix: str = "", toolpath: str | None = None) -> None:
        """Add an error: what was made is not what ``key`` in the job file asks for."""
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

    def join(self, other: Report) -> None:
        """Add all that another report holds, as if it had been reported here."""
        for check, findings in other.found.items():
            self.found.setdefault(check, []).extend(findings)
        for check, reasons in other.left_open.items():
            for reason in reasons:
                self.leave_open(check, reason)
        for check, figures in other.figures.items():
            for what, number in figures.items():
                self.count(check, what, number)

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
    limits = "It proves that the job is the one asked for, not that what was asked for is what is wanted."
    return (CheckResult(WHOLE, "not run", limits, reason=reason),)


def dotted(key: Key) -> str:
    """``$.part[0].operations[1].bottom``."""
    return "$" + "".join(f"[{each}]" if isinstance(each, int) else f".{each}" for each in key)
