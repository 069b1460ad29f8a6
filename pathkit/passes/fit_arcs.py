"""FitArcs: arcs in place of chains of short lines, and one line in place of several that are in line."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, cast

import numpy as np

from pathkit.curves.fitting import fit
from pathkit.door import expect_number
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.machine.profile import Machine
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.span_feeds import gathered
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Toolpath
from pathkit.passes.base import Passed, Progress, Promise
from pathkit.passes.carried import Carrier
from pathkit.passes.promises import only_changes, same_board
from pathkit.passes.same_line import MEASURED, same_line
from pathkit.tolerances import FITTED
from pathkit.units import Millimetres

if TYPE_CHECKING:
    from pathkit.curves.fitting import Fitted


class _Promises:
    """What a pass promises within its own tolerance; asked of the class, within the usual one."""

    def __get__(self, one: FitArcs | None, _: type[FitArcs]) -> tuple[Promise, ...]:
        tolerance = FITTED if one is None else one.tolerance
        return same_board, only_changes("curve", "feeds", *MEASURED), same_line(tolerance)


@dataclass(frozen=True)
class FitArcs:
    """Make arcs of chains of short lines, and drop points between lines that are in line, within ``tolerance`` mm.

    For jobs whose curves were made of short lines elsewhere. No curve then strays farther from what it was, nor that
    from it; its ends stay, vertices are those that were there, and a change of feed is never passed over. An arc takes
    at least four lines, of which none turns by more than 28.8° about its centre, and no corner. Arcs lie in the plan or
    rise evenly (helices). With ``arcs`` False only points are dropped. Tabs, starts, and ways in that are measured
    along the curve keep their places within the tolerance, and are no shorter; where they could not, the curve is not
    changed. Its figures are the numbers of spans, and the largest deviation (mm).

    >>> corners = [pk.Curve.circle((30, 30), 10).at(k) for k in range(62)]
    >>> rough = replace(job.toolpaths[0], curve=pk.Curve(corners, closed=True))
    >>> passed = pk.FitArcs(tolerance=0.02)(job.with_toolpaths((rough,)), machine)
    >>> passed.figures["spans"]
    {'before': 62, 'after': 3}
    """

    tolerance: Millimetres = FITTED
    arcs: bool = True

    name: ClassVar[str] = "fit_arcs"
    promises: ClassVar[tuple[Promise, ...]] = cast(Any, _Promises())

    def __post_init__(self) -> None:
        expect_number("FitArcs", "tolerance", self.tolerance)
        if not self.tolerance > 0.0:
            raise InputError(f"FitArcs: tolerance is {self.tolerance:g} mm; give one above 0, such as {FITTED:g}")
        if not isinstance(self.arcs, bool):
            raise InputError(f"FitArcs: arcs is {self.arcs!r}; give True or False")

    def __call__(self, job: Job, machine: Machine, *, progress: Progress | None = None) -> Passed:
        spans, deviation, paths, notes = [0, 0], 0.0, [], []
        for path in job.toolpaths:
            fitted = self._fitted(path)
            before = after = len(path.curve.sweeps)
            made = self._along(path, fitted, job.stock) if len(fitted.sweeps) < before else None
            if made is not None:
                after, deviation = len(fitted.sweeps), max(deviation, fitted.deviation)
                what = f"{before} lines and arcs became {after}, within {fitted.deviation:.4f} mm"
                notes.append(Finding(check=self.name, what=what, severity="note", toolpath=path.name))
            paths.append(made or path)
            spans[0] += before
            spans[1] += after
        figures = {"spans": {"before": spans[0], "after": spans[1]}, "deviation": deviation}
        return Passed(job.with_toolpaths(tuple(paths)) if notes else job, notes, figures)

    def _fitted(self, path: Toolpath) -> Fitted:
        curve = path.curve
        points = np.concatenate([curve.points, curve.points[:1]]) if curve.closed else curve.points
        if not curve.is_trace:
            points = np.pad(points, ((0, 0), (0, 1)))
        return fit(points, curve.sweeps, path.feed_of_spans, self.tolerance, arcs=self.arcs)

    def _along(self, path: Toolpath, fitted: Fitted, stock: Stock) -> Toolpath | None:
        """The toolpath along the fitted spans; None if what is measured along it would not keep its place."""
        points = fitted.points[:-1] if path.curve.closed else fitted.points
        curve = Curve(points if path.curve.is_trace else points[:, :2], fitted.sweeps, path.curve.closed)
        feeds = gathered(fitted.feeds) if path.feeds else ()
        return Carrier(path.curve, curve, fitted.first, self.tolerance).moved(path, feeds, stock)
