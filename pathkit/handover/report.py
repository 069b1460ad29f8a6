"""The report beside a cut file: the certificate, and other figures for makers."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

from pathkit.findings import Finding
from pathkit.handover.pages.beam import collapsed
from pathkit.handover.pages.cautions import cautions

if TYPE_CHECKING:
    from pathkit.machine.kinematics import RunTime
    from pathkit.passes.measuring import Measured
    from pathkit.passes.pipeline import Outcome


@dataclass(frozen=True)
class Figures:
    """A job on one machine. Level travel and vertical rapids in mm, times in s.

    None if the job as given could not be cut without its passes (no legal entry yet).
    """

    travel_before: float | None
    travel_after: float | None
    vertical_before: float | None
    vertical_after: float | None
    retracts_before: int | None
    retracts_after: int | None
    run_time_before: float | None
    run_time: float
    moves: int
    lines: int

    def as_dict(self) -> dict[str, Any]:
        """For JSON, rounded to the precision of an estimate."""

        def sides(before: float | None, after: float | None, digits: int) -> dict[str, Any]:
            return {"before": _rounded(before, digits), "after": _rounded(after, digits)}

        return {
            "travel_mm": sides(self.travel_before, self.travel_after, 3),
            "vertical_mm": sides(self.vertical_before, self.vertical_after, 3),
            "retracts": sides(self.retracts_before, self.retracts_after, 0),
            "run_time_s": sides(self.run_time_before, self.run_time, 2),
            "moves": self.moves,
            "lines": self.lines,
        }


PROVED: Final = "yes"
FAILED: Final = "NO"
BUT: Final = "all but "
"""How a verdict is kept: the last is followed by the names of checks."""


def verdict_of(ok: bool, unproved: Sequence[str]) -> str:
    """Whether files are proved, in a few words: yes only if no check was left out."""
    if not ok:
        return FAILED
    return f"{BUT}{', '.join(collapsed(unproved))}" if unproved else PROVED


def figures_of(before: Measured, after: Measured, run_time: RunTime, moves: int, lines: int) -> Figures:
    """From what was measured before the first pass and after the last."""
    return Figures(
        travel_before=before.travel,
        travel_after=after.travel,
        vertical_before=before.vertical,
        vertical_after=after.vertical,
        retracts_before=before.retracts,
        retracts_after=after.retracts,
        run_time_before=before.run_time,
        run_time=run_time.total,
        moves=moves,
        lines=lines,
    )


def bare(finding: Finding) -> Finding:
    """Without the folders that lead to its file: where its maker keeps it is nothing to whoever is handed the rest."""
    return finding if finding.file is None else replace(finding, file=re.split(r"[/\\]", finding.file)[-1])


def report_of(
    certificate: Mapping[str, Any], figures: Figures, outcome: Outcome, findings: Iterable[Finding]
) -> dict[str, Any]:
    """The certificate with the figures, the passes, the warnings and the cautions added."""
    added = {
        "figures": figures.as_dict(),
        "passes": [
            {"name": report.name, "figures": _plain(report.figures), "findings": [f.as_dict() for f in report.findings]}
            for report in outcome.reports
        ],
        "warnings": [bare(finding).as_dict() for finding in findings],
        "cautions": list(cautions(bit=not outcome.job.by_beam, beam=outcome.job.by_beam)),
    }
    return {**certificate, **added}


def as_json(report: Mapping[str, Any]) -> bytes:
    """ASCII, indented, keys in the given order; the same report gives the same bytes."""
    return (json.dumps(report, indent=1, allow_nan=False) + "\n").encode("ascii")


def _plain(value: Any) -> Any:
    """Numbers of any library as Python's own; numbers that are not finite as None, since JSON has no word for them."""
    if isinstance(value, Mapping):
        return {str(key): _plain(each) for key, each in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(each) for each in value]
    if hasattr(value, "tolist"):
        return _plain(value.tolist())
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    return value if value is None or isinstance(value, (bool, int, str)) else str(value)


def _rounded(value: float | None, digits: int) -> float | int | None:
    if value is None or not math.isfinite(value):
        return None
    return round(value, digits) if digits else round(value)
