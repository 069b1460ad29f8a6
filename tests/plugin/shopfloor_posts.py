"""A plugin in one file: a workshop's own dialect, pass, machine and check."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from pathkit import (
    Capabilities,
    Cutting,
    Dialect,
    Evidence,
    Finding,
    Grammar,
    Job,
    Machine,
    Passed,
    Progress,
    Promise,
    Severity,
    Verdict,
    hookimpl,
    only_changes,
    promise,
    same_board,
    same_depths,
)

CODES = """
    G0 G1 G2 G3 G4 G17 G20 G21 G40 G49 G54 G80 G90 G91 G94
    M0 M2 M3 M5 M8 M9
"""

GRAMMAR = Grammar(
    title="Shopfloor controller",
    codes=frozenset(CODES.split()),
    letters=frozenset("FGIJMNPSTXYZ"),
    axis_claims=frozenset({"G0", "G1", "G2", "G3"}),
    power_up={},
    end_modes=("M5", "M9"),
    comments=((";", ""),),
)
"""What this controller reads; it refuses anything else."""


class Shopfloor(Dialect):
    """A controller that wants numbered blocks, and comments after semicolons."""

    name = "shopfloor"
    title = "Shopfloor controller"
    suffix = ".cut"
    capabilities = Capabilities(
        comment=(";", ""),
        line_numbers=True,
        decimals={"mm": 2, "inch": 3},
        offsets=("G54",),
        spindle_senses=frozenset({1}),
        grammar=GRAMMAR,
    )


@promise("no feed is raised")
def never_faster(before: Job, after: Job) -> str | None:
    """A rule of the workshop's own, in the words of `pathkit.promise`."""
    faster = [path.name for path in after.toolpaths if path.cutting.feed > before.by_name[path.name].cutting.feed]
    return f"{faster[0]!r} is cut faster than before" if faster else None


@dataclass(frozen=True)
class SlowDown:
    """Cut at a share of the feed, for days when the machine is not stiff."""

    share: float = 0.5
    name: ClassVar[str] = "slow_down"
    promises: ClassVar[tuple[Promise, ...]] = (same_board, only_changes("cutting"), same_depths, never_faster)

    def __call__(self, job: Job, machine: Machine, *, progress: Progress | None = None) -> Passed:
        slower = [replace(path, cutting=self._slower(path.cutting)) for path in job.toolpaths]
        return Passed(job.with_toolpaths(slower), figures={"share": self.share})

    def _slower(self, cutting: Cutting) -> Cutting:
        return replace(cutting, feed=cutting.feed * self.share, plunge=cutting.plunge * self.share)


class NoMondays:
    """A house rule: nothing named after a Monday is cut."""

    severity: Severity = "error"
    name = "no mondays"
    needs = frozenset({"program"})
    limits = "looks at the program's title only"

    def __call__(self, evidence: Evidence) -> Verdict:
        title = "" if evidence.program is None else evidence.program.title
        said: list[Finding] = []
        if "monday" in title.lower():
            said.append(Finding(check=self.name, what="made on a Monday", fix="make it again", severity=self.severity))
        return Verdict(said, figures={"letters": len(title)})


@hookimpl
def pathkit_dialects() -> list[Dialect]:
    return [Shopfloor()]


@hookimpl
def pathkit_passes() -> list[type]:
    return [SlowDown]


@hookimpl
def pathkit_machines() -> list[Machine]:
    return [Machine.from_toml(PROFILE, "shopfloor")]


@hookimpl
def pathkit_checks() -> list[object]:
    return [NoMondays()]


PROFILE = """
name = "shopfloor-router"
dialect = "shopfloor"
origin = "centre"
left_handed = false
[axes]
x = "right"
y = "away"
[travel]
x = 800
y = 600
z = 100
[motion]
rapid = [4000, 4000, 1500]
feed_limit = [3000, 3000, 900]
acceleration = [300, 300, 150]
"""
