"""HoldTabs: bridges of wood that keep a part in the board until it is taken out by hand."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar, get_args

import numpy as np

from pathkit.curves.alike import loop_of
from pathkit.errors import InputError, PassRefused
from pathkit.findings import Finding
from pathkit.machine.profile import Machine
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Role, Tab, TabShape, Toolpath
from pathkit.passes.base import Passed, Progress, Promise
from pathkit.passes.promises import only_changes, precedence_kept, promise, same_board, tabs_keep_place
from pathkit.passes.tab_places import cuts_beside, evenly, places_on

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

NOTHING = 0.01
"""mm: wood within a contour that is nowhere twice as wide is only rounding."""


@promise("tabs hold every through cut")
def tabs_hold(before: Job, after: Job) -> str | None:
    """A toolpath that got tabs is a through cut, and they are lower than the wood is thick."""
    for path in after.toolpaths:
        if path.tabs and not before.by_name[path.name].tabs:
            if not path.goes_through(after.stock):
                return f"{path.name!r} got tabs, but does not cut through"
            if any(tab.height >= _least_wood(path, after.stock) for tab in path.tabs):
                return f"a tab of {path.name!r} is as high as the board is thick"
    return None


@dataclass(frozen=True)
class HoldTabs:
    """Leave ``count`` tabs on every through cut of the ``roles``: ``width`` mm of wood at least, ``height`` mm high.

    They stand on straight stretches where there are enough, clear of corners, of the place where the cut begins and of
    what leads and other cuts of the part sweep, on wide wood along the grain (see `tab_places`), and evenly round the
    contour: two lie half its length apart as nearly as the stretches allow. Round contours carry them on their arcs.
    Slots whose ends meet free a core, and get tabs too. Contours within which the bit takes all the wood have nothing
    to hold, and those without ``hold`` are not to be held. Toolpaths that already have tabs keep theirs. A ``sloped``
    tab is gone up to and down from at an angle, and needs room for its slopes beside its width. Defaults: common
    practice, no source.
    """

    count: int = 2
    width: float = 6.0
    height: float = 3.0
    roles: tuple[Role, ...] = ("outline",)
    shape: TabShape = "square"

    name: ClassVar[str] = "hold_tabs"
    promises: ClassVar[tuple[Promise, ...]] = (
        same_board, only_changes("tabs"), precedence_kept, tabs_keep_place, tabs_hold,
    )  # fmt: skip

    def __post_init__(self) -> None:
        object.__setattr__(self, "roles", tuple(self.roles))
        if isinstance(self.count, bool) or not isinstance(self.count, int) or self.count < 1:
            raise InputError(f"HoldTabs: count is {self.count!r}; give a whole number, at least 1")
        for name in ("width", "height"):
            value = getattr(self, name)
            if not (0.0 < value < math.inf):
                raise InputError(f"HoldTabs: {name} is {value!r}; give mm above 0")
        if self.shape not in get_args(TabShape):
            raise InputError(f"HoldTabs: shape is {self.shape!r}; one of: {', '.join(get_args(TabShape))}")
        if unknown := [role for role in self.roles if role not in get_args(Role)]:
            raise InputError(f"HoldTabs: no role is called {unknown[0]!r}; there are: {', '.join(get_args(Role))}")

    def __call__(self, job: Job, machine: Machine, *, progress: Progress | None = None) -> Passed:
        """Raises `PassRefused` naming every contour that is too small for its tabs, or too thin."""
        findings: list[Finding] = []
        paths: list[Toolpath] = []
        placed = 0
        of_part: dict[str | None, list[Toolpath]] = {}
        for path in job.toolpaths:
            of_part.setdefault(path.part, []).append(path)
        known: dict[tuple[object, ...], tuple[Tab, ...] | Finding] = {}
        for done, path in enumerate(job.toolpaths):
            if progress is not None and done % 64 == 0:
                # A board with only half its parts held would be unsafe: asking to stop cannot be granted here.
                progress(done, len(job.toolpaths), "tabs")
            if path.tabs or path.curve.is_trace or not path.goes_through(job.stock) or not self._holds(path):
                paths.append(path)
                continue
            # Copies of one part have one shape: what fits the first fits all.
            beside = cuts_beside(path, of_part[path.part], job.stock.highest_underside + self.height)
            shape = (_shape(path.curve), path.tool, path.entry, path.start, path.stepdown, path.levels, path.top,
                     _outline(beside, path.curve))  # fmt: skip
            tabs = known.get(shape)
            if tabs is None:
                tabs = known[shape] = self._tabs(path, job.stock, beside)
            if isinstance(tabs, Finding):
                findings.append(replace(tabs, toolpath=path.name))
            else:
                placed += len(tabs)
                paths.append(replace(path, tabs=tabs))
        if findings:
            raise PassRefused(findings)
        return Passed(job.with_toolpaths(tuple(paths)), (), {"tabs": placed})

    def _holds(self, path: Toolpath) -> bool:
        """Whether it frees a piece: one of the roles does, and so does a slot whose ends meet. Where the bit takes all
        that lies within, no piece is left to hold."""
        if not path.hold:
            return False
        ring_slot = path.role == "slot" and path.curve.closed
        return (path.role in self.roles or ring_slot) and leaves_a_core(path)

    def _tabs(self, path: Toolpath, stock: Stock, beside: BaseGeometry) -> tuple[Tab, ...] | Finding:
        """Tabs of one toolpath, or why there can be none."""
        wood = _least_wood(path, stock)
        if path.curve.is_point:
            return self._refusal(path, "a single point has no contour to leave tabs on", "give it another role")
        if self.height >= wood - 1e-6:
            what = f"tabs {self.height:g} mm high in {wood:g} mm of wood (the least allowed) would leave nothing cut"
            return self._refusal(path, what, "make them lower")
        if self.shape == "sloped" and not path.tool.plunges:
            what = f"{path.tool.name!r} does not cut at its centre, and goes down steeply behind a sloped tab"
            fix = 'say shape = "square" for hold_tabs, or centre_cutting = true if the bit does'
            return self._refusal(path, what, fix)
        slope = Tab(0.0, self.width, self.height, self.shape).slope_above(
            path.lowest, stock.highest_underside + self.height
        )
        room = self.width + 2.0 * slope
        gap = room + path.tool.diameter
        places = places_on(path, stock, room, beside)
        chosen = evenly(places, self.count, path.curve, gap + path.tool.diameter)
        if chosen is None:
            what = (
                f"a contour of {path.curve.length:.1f} mm has no room for {self.count} tabs {room:g} mm wide"
                f" (each needs {gap:g} mm free of corners, of the entry and of other cuts)"
            )
            return self._refusal(path, what, "make tabs narrower or fewer, or hold the part otherwise")
        return tuple(Tab(at, self.width, self.height, self.shape) for at in chosen)

    def _refusal(self, path: Toolpath, what: str, fix: str) -> Finding:
        return Finding(check=self.name, what=what, fix=fix, toolpath=path.name)


def _least_wood(path: Toolpath, stock: Stock) -> float:
    """mm of wood that a cut meets above the highest underside, in whichever board that is allowed has the least."""
    return min(path.highest(stock), stock.lowest_top) - stock.highest_underside


def leaves_a_core(path: Toolpath) -> bool:
    """Whether any wood is left within a contour once the bit has gone round it; an open cut counts as if."""
    import shapely

    loop = loop_of(path.curve) if not path.curve.is_point else None
    if loop is None:
        return True
    # Two straight spans enclose nothing, and three points or more are wanted of a ring.
    points = loop.flattened(0.01)
    return len(points) > 2 and not shapely.Polygon(points).buffer(-path.tool.radius - NOTHING).is_empty


def _shape(curve: Curve) -> tuple[object, ...]:
    """The same for curves that are copies of one another, to a millionth of a millimetre."""
    shifted = np.round(curve.points - curve.points[0], 6) + 0.0
    return curve.closed, shifted.tobytes(), np.round(curve.sweeps, 9).tobytes()


def _outline(area: BaseGeometry, curve: Curve) -> bytes:
    """The same for areas that lie alike to curves that are copies of one another, to a thousandth of a millimetre."""
    import shapely

    return (np.round(shapely.get_coordinates(area) - curve.points[0, :2], 3) + 0.0).tobytes()
