"""RampEntries: no bit goes straight down where it can go down at an angle."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace
from typing import ClassVar

from pathkit.door import expect_number
from pathkit.errors import InputError, PassRefused
from pathkit.findings import Finding, errors_of
from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.toolpath import (
    MAX_RAMP,
    NARROWEST_HELIX,
    Entry,
    Helix,
    Peck,
    Plunge,
    Ramp,
    Spiral,
    Toolpath,
    helix_gains,
    turn_gains,
)  # fmt: skip
from pathkit.passes.base import Passed, Progress, Promise
from pathkit.passes.compression import torn_edges
from pathkit.passes.entry_in_waste import holes_for_entries
from pathkit.passes.promises import no_blunt_plunge, only_changes, precedence_kept, same_board
from pathkit.tolerances import ROUNDING
from pathkit.units import Millimetres

HELIX_SHARES = (0.8, 0.5, 0.35)
"""Diameters of the helix to try, as shares of the bit's. Wider turns cut more evenly; a helix wider than the bit leaves
a post (geometry: the disc swept by a bit of diameter D round a circle of diameter d covers its middle only if d ≤ D).
"""


@dataclass(frozen=True)
class RampEntries:
    """Choose how each cut is entered: a helix in pockets where one fits, a spiral round closed contours, else a ramp.

    ``angle`` is in degrees (common practice in wood 2-5, no source). ``helix_diameter`` (mm, of the bit's centre) is at
    most the bit's diameter; None tries a few shares of the bit's, whose turns must gain `LEAST_PITCH`. A closed contour
    too short for laps to gain that much is entered straight down if the bit cuts at its centre; if not, it is refused
    if it is very short. Angled entries that the job already gives are kept. So are the straight entries, by bits that
    cut at their centre, of holes (single points and the role ``drill``), of engraving, of chamfers, and of cuts whose
    piece may lie loose. Where a compression bit's up-cut tip alone first cuts the board's top edge, a warning gives the
    length concerned; with ``strict`` the job is refused. A cut that enters through a hole bored for it goes straight
    down there.

    >>> pk.Pipeline([pk.RampEntries(angle=3.0)]).run(job, machine).job.toolpaths[0].entry.angle
    3.0
    """

    angle: float = 3.0
    helix_diameter: Millimetres | None = None
    strict: bool = False

    name: ClassVar[str] = "ramp_entries"
    promises: ClassVar[tuple[Promise, ...]] = (same_board, only_changes("entry"), precedence_kept, no_blunt_plunge)

    def __post_init__(self) -> None:
        expect_number("RampEntries", "angle", self.angle)
        if self.helix_diameter is not None:
            expect_number("RampEntries", "helix_diameter", self.helix_diameter)
        if not (0.0 < self.angle <= MAX_RAMP):
            raise InputError(f"RampEntries: angle is {self.angle!r}; give degrees above 0 and at most {MAX_RAMP:g}")
        if self.helix_diameter is not None and not (0.0 < self.helix_diameter < math.inf):
            raise InputError(f"RampEntries: helix_diameter is {self.helix_diameter!r}; give mm above 0, or None")

    def __call__(self, job: Job, machine: Machine, *, progress: Progress | None = None) -> Passed:
        """Raises `PassRefused` naming every toolpath that has no sound way in."""
        findings: list[Finding] = []
        paths: list[Toolpath] = []
        bored = holes_for_entries(job)
        for done, path in enumerate(job.toolpaths):
            if progress is not None and done % 256 == 0:
                # A job with half its entries would be unsafe, so a request to stop is not granted; the pass is quick.
                progress(done, len(job.toolpaths), "entries")
            through_a_hole = path.name in bored and path.tool.plunges
            chosen = path.entry if through_a_hole else self._chosen(path, job.stock)
            if isinstance(chosen, Finding):
                findings.append(chosen)
            else:
                paths.append(path if chosen == path.entry else replace(path, entry=chosen))
        if findings:
            raise PassRefused(findings)
        after = job.with_toolpaths(tuple(paths))
        torn = torn_edges(self.name, after.toolpaths, job.stock, strict=self.strict)
        if errors_of(torn):
            raise PassRefused(torn)
        counts = Counter(type(path.entry).__name__.lower() for path in paths if not path.curve.is_trace)
        return Passed(after, torn, {"entries": dict(sorted(counts.items()))})

    def _chosen(self, path: Toolpath, stock: Stock) -> Entry | Finding:
        entry = path.entry
        if isinstance(entry, Helix) and entry.diameter > path.tool.diameter + ROUNDING:
            return self._post_stands(path, entry.diameter)
        if path.curve.is_trace or not isinstance(entry, Plunge | Peck):
            return entry
        if path.curve.is_point:
            return entry if path.tool.plunges else self._no_bore(path)
        if (path.role in ("drill", "engrave", "chamfer") or not path.hold) and path.tool.plunges:
            return entry
        if path.role == "pocket":
            if self.helix_diameter is not None and self.helix_diameter > path.tool.diameter + ROUNDING:
                return self._post_stands(path, self.helix_diameter)
            if (helix := self._helix(path, stock)) is not None:
                return helix
        if not path.curve.closed:
            return Ramp(self.angle)
        if turn_gains(path.curve.length, self.angle, path.tool):
            return Spiral(self.angle)
        if path.tool.plunges:
            return Plunge()
        # A bit that does not cut at its centre must move its centre away from where it stands; on the innermost ring of
        # a floor it does so on the next ring.
        moves = path.role == "pocket" or path.curve.length >= math.pi * NARROWEST_HELIX * path.tool.diameter
        return Spiral(self.angle) if moves else self._too_short(path)

    def _helix(self, path: Toolpath, stock: Stock) -> Helix | None:
        from pathkit.lowering.entries import helix_fits

        wanted = self.helix_diameter
        for diameter in (wanted,) if wanted is not None else (path.tool.diameter * share for share in HELIX_SHARES):
            helix = Helix(self.angle, diameter)
            if wanted is None and not helix_gains(diameter, self.angle, path.tool):
                continue
            if helix_fits(replace(path, entry=helix), stock):
                return helix
        return None

    def _post_stands(self, path: Toolpath, diameter: float) -> Finding:
        what = f"a helix of {diameter:g} mm with a bit of {path.tool.diameter:g} mm leaves a post standing"
        return Finding(check=self.name, what=what, fix="make it at most the bit's diameter", toolpath=path.name)

    def _too_short(self, path: Toolpath) -> Finding:
        what = (
            f"{path.tool.name!r} does not cut at its centre, and round {path.curve.length:.3g} mm of contour at"
            f" {self.angle:g} degrees it would rub its way down"
        )
        fix = "take a narrower bit, or one that cuts at its centre (centre_cutting = true), or a drill"
        return Finding(check=self.name, what=what, fix=fix, toolpath=path.name)

    def _no_bore(self, path: Toolpath) -> Finding:
        what = f"{path.tool.name!r} does not cut at its centre, and on a single point it cannot go down at an angle"
        fix = (
            "take a drill or a centre-cutting bit, or bore the hole with a helix (Helix as its entry) and a smaller bit"
        )
        return Finding(check=self.name, what=what, fix=fix, toolpath=path.name)
