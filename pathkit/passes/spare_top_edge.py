"""SpareTopEdge: compression bits go deeper than their up-cut tip before they cut along the board's top edge."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from pathkit.errors import PassRefused
from pathkit.findings import Finding, Severity
from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.passes.base import Passed, Progress, Promise
from pathkit.passes.compression import shallow_edge, tears_the_top
from pathkit.passes.entry_in_waste import enter_in_waste, holes_for_entries
from pathkit.passes.merge_stepdowns import with_levels
from pathkit.passes.promises import levels_within_stepdown, promise, same_board, same_contours, tabs_keep_place
from pathkit.tolerances import SAME_PLACE


@promise("no top edge is torn more than before")
def edges_spared(before: Job, after: Job) -> str | None:
    """No compression cut has more of its top edge first cut by its tip alone than before."""
    for path in before.toolpaths:
        own = after.by_name.get(path.name)
        if own is not None and shallow_edge(own, after.stock) > shallow_edge(path, before.stock) + SAME_PLACE:
            return f"more of the top edge of {path.name!r} is first cut by the tip alone"
    return None


@dataclass(frozen=True)
class SpareTopEdge:
    """Spare the board's top edge wherever a compression bit cuts a closed contour from the top.

    Each is entered through a hole bored beside it in waste (a toolpath of its own, before it), and its first level is
    deeper than the tip, never deeper than its stepdown. Where that is impossible the cut is left as it is, with a
    warning that says why; with ``strict`` the job is refused. Jobs without such bits are not changed.

    >>> pk.SpareTopEdge().name
    'spare_top_edge'
    """

    strict: bool = False

    name: ClassVar[str] = "spare_top_edge"
    promises: ClassVar[tuple[Promise, ...]] = (
        same_board, same_contours, tabs_keep_place, levels_within_stepdown, edges_spared,
    )  # fmt: skip

    def __call__(self, job: Job, machine: Machine, *, progress: Progress | None = None) -> Passed:
        """Raises `PassRefused` with every cut whose top edge cannot be spared, if ``strict``."""
        entered, reasons = enter_in_waste(job)
        for path in job.toolpaths:
            # What clears a floor leaves no edge of its own; RampEntries reports how an open cut is entered.
            if not path.curve.closed and path.role != "pocket" and shallow_edge(path, job.stock) > 0.0:
                reasons[path.name] = "its first level is no deeper than the tip"
        findings = [self._left(name, why) for name, why in reasons.items()]
        if findings and self.strict:
            raise PassRefused(findings)
        known = set(job.by_name)
        written = all(path.levels is not None or path.curve.is_trace for path in job.toolpaths)
        holes = [path for path in entered.toolpaths if path.name not in known]
        if written and holes:
            # The holes get levels if all other toolpaths already have theirs.
            entered = entered.with_toolpaths(tuple(with_levels(path, job.stock) for path in entered.toolpaths))
        spared = sum(tears_the_top(entered.by_name[name], job.stock) for name in holes_for_entries(entered))
        return Passed(entered, tuple(findings), {"spared": spared, "holes": len(holes)})

    def _left(self, name: str, why: str) -> Finding:
        what = f"the up-cut tip of its compression bit may tear its top edge: {why}"
        fix = "cut it with another bit, or with a stepdown deeper than the tip"
        severity: Severity = "error" if self.strict else "warning"
        return Finding(check=self.name, what=what, fix=fix, severity=severity, toolpath=name)
