"""SteadyLoad: each cut may slow down in much wood and speed up in little, within the usual thickness of its chips."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import ClassVar

import numpy as np

from pathkit.door import expect_number
from pathkit.errors import InputError
from pathkit.feeds.chips import feed_rate, usual_chip_load
from pathkit.feeds.materials import USUAL, Material
from pathkit.findings import Finding
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.model.tool import Cutting
from pathkit.model.toolpath import Toolpath
from pathkit.passes.base import Passed, Progress, Promise
from pathkit.passes.promises import only_changes, promise, same_board


@promise("feeds stay what they are, and get a range")
def only_ranges(before: Job, after: Job) -> str | None:
    """Of a toolpath's feeds only the range may be new, and the feed itself lies within it."""
    kept = [f.name for f in fields(Cutting) if f.name not in ("slowest", "fastest")]
    for path in before.toolpaths:
        own = after.by_name.get(path.name)
        changed = [] if own is None else [n for n in kept if getattr(own.cutting, n) != getattr(path.cutting, n)]
        if changed:
            return f"{changed[0]} of {path.name!r} changed"
    return None


@dataclass(frozen=True)
class SteadyLoad:
    """Give each level cut a range of feeds, within which lowering keeps its load steady (see
    `pathkit.lowering.steady_load`).

    ``slowest`` and ``fastest`` are shares of the toolpath's own feed. With a ``material`` the feed also stays within
    the usual chip loads of the bit there (`pathkit.feeds.chips`), and it never exceeds what the machine's axes allow; a
    feed that is outside of these itself is left as the end of its range. Toolpaths that have a range, holes, and curves
    in space are not changed. Its figures compare the run time (s) and the thickest chip (mm a tooth), with and without.

    >>> pk.SteadyLoad().name
    'steady_load'
    """

    slowest: float = 0.6
    fastest: float = 1.6
    material: Material | None = None
    setup: Setup | None = None

    name: ClassVar[str] = "steady_load"
    promises: ClassVar[tuple[Promise, ...]] = (same_board, only_changes("cutting"), only_ranges)

    def __post_init__(self) -> None:
        for name in ("slowest", "fastest"):
            expect_number("SteadyLoad", name, getattr(self, name))
        if not 0.0 < self.slowest <= 1.0 <= self.fastest:
            raise InputError(
                f"slowest = {self.slowest:g}, fastest = {self.fastest:g}: shares of the feed on either side of it; give"
                " slowest up to 1 and fastest from 1 on, such as 0.6 and 1.6"
            )
        if self.material is not None and self.material not in USUAL:
            raise InputError(f"no chip loads are known for {self.material!r}; there are: {', '.join(USUAL)}")

    def placed(self, setup: Setup | None) -> SteadyLoad:
        return replace(self, setup=setup)

    def __call__(self, job: Job, machine: Machine, *, progress: Progress | None = None) -> Passed:
        """Raises `Refused` for a job that cannot be lowered."""
        after = job.with_toolpaths(tuple(self._ranged(path, job, machine) for path in job.toolpaths))
        ranges = sum(a is not b for a, b in zip(after.toolpaths, job.toolpaths, strict=True))
        if not ranges:
            return Passed(job, (), {"ranges": 0})
        (was, thickest), (now, thicker) = (self._measured(each, machine) for each in (job, after))
        figures = {
            "ranges": ranges, "run_time_before": was, "run_time_after": now, "chip_before": thickest,
            "chip_after": thicker,
        }  # fmt: skip
        what = (
            f"steady load: {was:.0f} s become {now:.0f} s, and the thickest chip of {thickest:.3f} mm a tooth"
            f" becomes one of {thicker:.3f} mm (both are estimates)"
        )
        return Passed(after, (Finding(check=self.name, what=what, severity="note"),), figures)

    def _ranged(self, path: Toolpath, job: Job, machine: Machine) -> Toolpath:
        cutting = path.cutting
        if cutting.steady or path.curve.is_trace or path.curve.is_point or path.tool.kind == "drill":
            return path
        least, most = self.slowest * cutting.feed, self.fastest * cutting.feed
        most = min(most, *machine.motion.feed_limit[:2])
        if self.material is not None:
            chips = usual_chip_load(path.tool, self.material, path.deepest_bite(job.stock))
            low, high = (feed_rate(cutting.spindle, path.tool.flutes, chip) for chip in chips)
            least, most = max(least, low), min(most, high)
        ranged = replace(cutting, slowest=min(round(least), cutting.feed), fastest=max(float(int(most)), cutting.feed))
        return path if ranged.slowest == ranged.fastest else replace(path, cutting=ranged)

    def _measured(self, job: Job, machine: Machine) -> tuple[float, float]:
        """Seconds of the run, and the thickest chip (mm a tooth) of its level cuts."""
        from pathkit.lowering.engagement import chips_of, engagement_of, level_rows
        from pathkit.lowering.lower import lower
        from pathkit.machine.kinematics import run_time

        program = lower(job, machine, self.setup)
        met = engagement_of(program, job)
        chips = chips_of(program, job, met)[level_rows(program)[met.row]]
        return run_time(program, machine, self.setup).total, float(np.max(chips, initial=0.0))
