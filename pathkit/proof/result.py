"""What the proof says: a `Verdict` of one check, and the `Proof` of a whole file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Literal

from pathkit.findings import Check, Finding, errors_of

Status = Literal["passed", "failed", "not proved", "not run"]
Figure = float | int | str


class Verdict(tuple[Finding, ...]):
    """The findings of a check, with its figures. ``proved`` False: it found no fault, yet cannot vouch.

    >>> verdict = pk.Verdict([pk.Finding(check="feeds", what="too fast")], figures={"fastest": 3000.0})
    >>> len(verdict), verdict.figures["fastest"]
    (1, 3000.0)
    """

    figures: Mapping[str, Figure]
    proved: bool

    def __new__(
        cls, findings: Iterable[Finding] = (), *, figures: Mapping[str, Figure] | None = None, proved: bool = True
    ) -> Verdict:
        self = super().__new__(cls, findings)
        self.figures = MappingProxyType(dict(figures or {}))
        self.proved = proved
        return self

    def __reduce__(self) -> tuple[Any, ...]:
        return _verdict, (tuple(self), dict(self.figures), self.proved)


def _verdict(findings: tuple[Finding, ...], figures: dict[str, Figure], proved: bool) -> Verdict:
    return Verdict(findings, figures=figures, proved=proved)


@dataclass(frozen=True, slots=True)
class CheckResult:
    """What one check came to. ``limits`` says in one sentence what it does not prove, ``reason`` why it was not run.

    >>> program = pk.lower(job, machine)
    >>> proof = pk.verify(pk.post(program, machine), program, machine, job=job)
    >>> proof["same path"].status
    'passed'
    """

    name: str
    status: Status
    limits: str
    findings: tuple[Finding, ...] = ()
    figures: Mapping[str, Figure] = field(default_factory=dict)
    reason: str = ""

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        values: dict[str, Any] = {"name": self.name, "status": self.status, "limits": self.limits}
        if self.figures:
            values["figures"] = dict(self.figures)
        if self.reason:
            values["reason"] = self.reason
        if self.findings:
            values["findings"] = [f.as_dict() for f in self.findings]
        return values


@dataclass(frozen=True, slots=True)
class Proof:
    """Whether a file does what its program says.

    ``ok``: no check found an error; `proved`: and none was left out. ``deviation`` is the largest distance in mm
    between the program's path and the path the controller would draw (NaN where nothing was compared).

    >>> program = pk.lower(job, machine)
    >>> proof = pk.verify(pk.post(program, machine), program, machine, job=job)
    >>> proof["same path"].status
    'passed'
    """

    checks: tuple[CheckResult, ...]
    deviation: float
    file: str | None = None

    @property
    def _verdict(self) -> str:
        errors = len(errors_of(self.findings))
        if errors:
            return f"errors: {errors}"
        return f"no error; not proved: {', '.join(self.unproved)}" if self.unproved else "proved"

    def __repr__(self) -> str:
        verdict = self._verdict if len(self._verdict) < 120 else f"no error; {len(self.unproved)} checks not proved"
        return f"Proof({self.file + ': ' if self.file else ''}{verdict}; {len(self.checks)} checks)"

    def _repr_html_(self) -> str:
        """Each check with what it came to, for notebooks."""
        from pathkit.sketch import table

        said = ((each, " ".join(map(str, each.findings)) or each.reason or each.limits) for each in self.checks)
        return table(f"Proof: {self._verdict}", ((each.name, each.status, words) for each, words in said))

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All findings, check by check."""
        return tuple(f for check in self.checks for f in check.findings)

    @property
    def ok(self) -> bool:
        return not errors_of(self.findings)

    @property
    def unproved(self) -> tuple[str, ...]:
        """Names of the checks that were not run, or found no fault and yet cannot vouch."""
        return tuple(check.name for check in self.checks if check.status in ("not run", "not proved"))

    @property
    def proved(self) -> bool:
        """Every check was run, found no error, and vouches for it."""
        return self.ok and not self.unproved

    def __getitem__(self, name: str) -> CheckResult:
        """The result of one check by its name; `KeyError` where there is none."""
        for check in self.checks:
            if check.name == name:
                return check
        raise KeyError(name)

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        values: dict[str, Any] = {"ok": self.ok}
        if self.file is not None:
            values["file"] = self.file
        if self.deviation == self.deviation:
            values["deviation_mm"] = round(self.deviation, 6)
        values["checks"] = [check.as_dict() for check in self.checks]
        return values


def run_check(one: Check, evidence: Any) -> CheckResult:
    """Run a check on evidence that has all it needs; a plugin's may return plain findings."""
    said = one(evidence)
    verdict = said if isinstance(said, Verdict) else Verdict(said)
    if strange := [each for each in verdict if not isinstance(each, Finding)]:
        raise TypeError(f"the check {one.name!r} returned {strange[0]!r:.80}, which is no Finding")
    findings = tuple(evidence.placed(f) for f in verdict)
    status: Status = "failed" if errors_of(findings) else "passed" if verdict.proved else "not proved"
    # A verdict's own mapping is read-only, and cannot go to another process.
    return CheckResult(one.name, status, one.limits, findings, dict(verdict.figures))
