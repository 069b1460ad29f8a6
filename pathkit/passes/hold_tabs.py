"""HoldTabs: bridges of wood that keep a part in the board until it is taken out by hand."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar, Final, Literal, NamedTuple, get_args

import numpy as np

from pathkit.curves.alike import loop_of, nearest_station
from pathkit.door import expect_number
from pathkit.errors import InputError, PassRefused
from pathkit.findings import Finding
from pathkit.machine.profile import Machine
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Role, Tab, TabShape, Toolpath
from pathkit.passes.base import Passed, Progress, Promise
from pathkit.passes.promises import only_changes, precedence_kept, promise, same_board, tabs_keep_place
from pathkit.passes.tab_places import Place, beside_pieces, cuts_beside, evenly, places_on, spread, suiting
from pathkit.passes.tab_strength import SAFETY, WOOD, load_of, used
from pathkit.tolerances import COARSE_CHORDS, NO_CORE, ROUNDING, SAME_HEIGHT
from pathkit.units import Millimetres

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry


FEWEST: Final = 2
"""The least number of tabs where it is worked out: a part turns on a single one."""

MANY: Final = 24
"""The largest number of tabs that is tried; more would leave a seam."""


@promise("tabs hold every through cut")
def tabs_hold(before: Job, after: Job) -> str | None:
    """A toolpath that was given tabs is a through cut, and its tabs are lower than the wood is thick."""
    for path in after.toolpaths:
        if path.tabs and not before.by_name[path.name].tabs:
            if not path.goes_through(after.stock):
                return f"{path.name!r} was given tabs, but does not cut through"
            if any(tab.height >= _least_wood(path, after.stock) for tab in path.tabs):
                return f"a tab of {path.name!r} is as high as the board is thick"
    return None


@dataclass(frozen=True)
class HoldTabs:
    """Leave ``count`` tabs on every through cut of the ``roles``, at least ``width`` mm wide and ``height`` mm high.

    Tabs stand on straight stretches if there are enough of them, clear of corners, of the place where the cut begins
    and of what leads and other cuts of the part sweep, on wide wood along the grain (see `tab_places`). They are spread
    evenly round the contour: two lie half its length apart, as nearly as the stretches allow. Round contours have them
    on their arcs. Slots whose ends meet free a core, and get tabs too. Contours within which the bit takes all the wood
    have nothing to hold; these and toolpaths without ``hold`` get no tabs. Toolpaths that already have tabs keep
    theirs. The bit goes up and down a ``sloped`` tab at an angle, so the tab needs room for its slopes on either side
    of its width. Defaults: common practice, no source.

    If a contour has no room for tabs of that ``width``, they are narrower, down to ``least_width`` (half of it unless
    given), and a note says so. If its core falls into several pieces, each piece gets its tabs.

    With ``count="auto"`` each toolpath gets as many tabs as the part's size and mass and the bit's force require in
    this ``material``, by the estimate of `tab_strength`, and never fewer than two.

    >>> pk.HoldTabs(count=4, width=6.0, height=3.0).count
    4
    """

    count: int | Literal["auto"] = 2
    width: Millimetres = 6.0
    height: Millimetres = 3.0
    roles: tuple[Role, ...] = ("outline",)
    material: str | None = None
    shape: TabShape = "square"
    least_width: Millimetres | None = None

    name: ClassVar[str] = "hold_tabs"
    promises: ClassVar[tuple[Promise, ...]] = (
        same_board, only_changes("tabs"), precedence_kept, tabs_keep_place, tabs_hold,
    )  # fmt: skip

    def __post_init__(self) -> None:
        object.__setattr__(self, "roles", tuple(self.roles))
        whole = isinstance(self.count, int) and not isinstance(self.count, bool) and self.count >= 1
        if self.count != "auto" and not whole:
            raise InputError(f'HoldTabs: count is {self.count!r}; give a whole number, at least 1, or "auto"')
        if self.count == "auto" and self.material not in WOOD:
            known = ", ".join(WOOD)
            raise InputError(
                f'HoldTabs: count is "auto", but what tabs of {self.material or "this board"} bear is not known; give a'
                f" number, as in count = 4, or one of these materials: {known}"
            )
        for name in ("width", "height"):
            value = getattr(self, name)
            expect_number("HoldTabs", name, value)
            if not (0.0 < value < math.inf):
                raise InputError(f"HoldTabs: {name} is {value!r}; give mm above 0")
        if self.least_width is not None:
            expect_number("HoldTabs", "least_width", self.least_width)
        if self.least_width is not None and not 0.0 < self.least_width <= self.width:
            raise InputError(
                f"HoldTabs: least_width is {self.least_width!r}; give mm above 0, and no more than width ="
                f" {self.width:g}"
            )
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
        laps = {path.finishes: path for path in job.toolpaths if path.finishes is not None}
        known: dict[tuple[object, ...], tuple[Tab, ...] | Finding] = {}
        for done, path in enumerate(job.toolpaths):
            if progress is not None and done % 64 == 0:
                # A board with half its parts held would be unsafe, so a request to stop is not granted here.
                progress(done, len(job.toolpaths), "tabs")
            if path.tabs or path.curve.is_trace or not path.goes_through(job.stock) or not self._holds(path):
                paths.append(path)
                continue
            # Where a lap finishes the wall, both cuts leave the same tabs: the lap, with its leads, has less room.
            lap = laps.get(path.name, path)
            rough = job.by_name[path.finishes] if path.finishes is not None else path
            others = [each for each in of_part[path.part] if each is not lap and each is not rough]
            beside = cuts_beside(path, others, job.stock.highest_underside + self.height)
            # Copies of one part have one shape: what fits the first fits all.
            shape = (
                _shape(path.curve), *map(_cut, (path, rough, lap)), _outline(beside, path.curve),
                path.bottom, path.cutting,
            )  # fmt: skip
            tabs = known.get(shape)
            if tabs is None:
                tabs = self._chosen(lap, rough, job.stock, machine, beside)
                if path is not lap and not isinstance(tabs, Finding):
                    tabs = tuple(replace(tab, at=nearest_station(path.curve, lap.curve.at(tab.at))) for tab in tabs)
                known[shape] = tabs
            if isinstance(tabs, Finding):
                findings.append(replace(tabs, toolpath=path.name))
            else:
                placed += len(tabs)
                paths.append(replace(path, tabs=tabs))
        if findings:
            raise PassRefused(findings)
        figures: dict[str, object] = {"tabs": placed}
        if self.count == "auto":
            counts = [len(path.tabs) for path in paths if path.tabs]
            figures |= {"fewest": min(counts, default=0), "most": max(counts, default=0), "safety": SAFETY}
            figures["estimate"] = f"strength of {self.material}: {WOOD[self.material or ''].source}; not proved"
        return Passed(job.with_toolpaths(tuple(paths)), self._narrower(job, paths), figures)

    def _narrower(self, job: Job, paths: Sequence[Toolpath]) -> tuple[Finding, ...]:
        """A note about the tabs that are narrower than asked, for lack of room."""
        fresh = [path for path in paths if path.tabs and not job.by_name[path.name].tabs]
        less = [path for path in fresh if any(tab.width < self.width - ROUNDING for tab in path.tabs)]
        if not less:
            return ()
        least = min(tab.width for path in less for tab in path.tabs)
        what = f"its tabs are only {less[0].tabs[0].width:g} mm wide, since it has no room for {self.width:g} mm"
        if len(less) > 1:
            what += f" ({len(less)} toolpaths, the narrowest tab has {least:g} mm)"
        return (Finding(check=self.name, what=what, severity="note", toolpath=less[0].name),)

    def _holds(self, path: Toolpath) -> bool:
        """Whether this cut frees a piece that tabs must hold: it has one of the roles, or is a slot whose ends meet,
        and the bit does not take all the wood within it."""
        if not path.hold:
            return False
        ring_slot = path.role == "slot" and path.curve.closed
        return (path.role in self.roles or ring_slot) and leaves_a_core(path)

    def _chosen(
        self, path: Toolpath, rough: Toolpath, stock: Stock, machine: Machine, beside: BaseGeometry
    ) -> tuple[Tab, ...] | Finding:  # fmt: skip
        """Tabs of one toolpath, as many as asked for or as it takes to hold the part, or why there are none. They
        also suit ``rough``, the cut whose allowance this one takes off."""
        if self.count == "auto" and path.cutting.spindle <= 0.0:
            what = "how hard the bit pushes cannot be estimated without a spindle speed"
            return self._refusal(path, what, "give its cutting a spindle speed, or set the number of tabs: count = 4")
        if self.count != "auto":
            return self._widest(path, rough, stock, beside, self.count)
        room = self._room(path, rough, stock, beside, self.width)
        if isinstance(room, Finding):
            return room
        assert self.material is not None
        wood = WOOD[self.material]
        # The cut that leaves the allowance takes more wood than the lap: its load counts.
        load = load_of(rough, stock, wood, machine)
        most: tuple[Tab, ...] = ()
        for count in range(FEWEST, MANY + 1):
            if not (tabs := self._tabs(path, room, count)):
                break
            most, taken = tabs, used(path, tabs, stock, wood, load)
            if taken <= 1.0:
                return tabs
        if not most:
            return self._no_room(path, room, FEWEST)
        fix = "make them wider or higher, cut with a smaller stepdown or feed, or set their number: count = 4"
        what = (
            f"the {len(most)} tabs {self.width:g} mm wide and {self.height:g} mm high that it has room for bear"
            f" {100.0 / taken:.0f} % of what they must bear in {self.material}, by estimate (safety {SAFETY:g}, a"
            f" dull bit: {load.push:.0f} N along, {load.lift:.0f} N up)"
        )
        return self._refusal(path, what, fix)

    def _widest(
        self, path: Toolpath, rough: Toolpath, stock: Stock, beside: BaseGeometry, count: int
    ) -> tuple[Tab, ...] | Finding:  # fmt: skip
        """``count`` tabs of one toolpath, narrower if the width asked for has no room, or why there are none."""
        least = self.width / 2.0 if self.least_width is None else self.least_width
        for width in (self.width, (self.width + least) / 2.0, least):
            found = self._room(path, rough, stock, beside, width)
            if isinstance(found, Finding):
                return found
            room = found
            if tabs := self._tabs(path, room, count):
                return tabs
        return self._no_room(path, room, count)

    def _room(
        self, path: Toolpath, rough: Toolpath, stock: Stock, beside: BaseGeometry, wide: float
    ) -> _Room | Finding:  # fmt: skip
        """Where tabs ``wide`` mm wide may stand on a toolpath, or why they cannot."""
        wood = _least_wood(path, stock)
        if path.curve.is_point:
            return self._refusal(path, "a single point has no contour to leave tabs on", "give it another role")
        if self.height >= wood - SAME_HEIGHT:
            what = f"tabs {self.height:g} mm high in {wood:g} mm of wood (the least allowed) would leave it uncut"
            return self._refusal(
                path, what, f"make them lower: height = {math.floor(wood * 5.0) / 10.0:g} in hold_tabs"
            )
        if self.shape == "sloped" and not path.tool.plunges:
            what = f"{path.tool.name!r} does not cut at its centre, but would go down steeply behind a sloped tab"
            fix = 'set shape = "square" in hold_tabs, or centre_cutting = true if the bit does cut there'
            return self._refusal(path, what, fix)
        slope = Tab(0.0, wide, self.height, self.shape).slope_above(path.lowest, stock.highest_underside + self.height)
        width = wide + 2.0 * slope
        places = suiting(rough, path, places_on(path, stock, width, beside), stock, wide)
        return _Room(beside_pieces(path, places), wide, width, width + path.tool.diameter)

    def _tabs(self, path: Toolpath, room: _Room, count: int) -> tuple[Tab, ...]:
        """``count`` tabs of one toolpath, or of each piece that it frees; none if there is no room for them."""
        apart = room.gap + path.tool.diameter
        if len(room.pieces) == 1:
            chosen = spread(room.pieces[0], count, path.curve, apart)
        else:
            each = [evenly(places, count, path.curve, apart) for places in room.pieces]
            chosen = tuple(sorted(at for some in each for at in some or ())) if all(each) else None
        return tuple(Tab(at, room.wide, self.height, self.shape) for at in chosen or ())

    def _no_room(self, path: Toolpath, room: _Room, count: int) -> Finding:
        what = f"a contour of {path.curve.length:.1f} mm has no room for {count} tabs {room.width:g} mm wide"
        if len(room.pieces) > 1:
            what += f" on each of the {len(room.pieces)} pieces into which its core falls"
        elif room.pieces[0] and count > 1:
            what += ", but on one side of it"
        what += f" (each needs {room.gap:g} mm free of corners, of the entry and of other cuts)"
        fix = "give hold_tabs a smaller width or count, or hold the part by tape (zones)"
        if len(room.pieces) > 1:
            fix += ', or clear the core (core = "clear")'
        return self._refusal(path, what, fix)

    def _refusal(self, path: Toolpath, what: str, fix: str) -> Finding:
        return Finding(check=self.name, what=what, fix=fix, toolpath=path.name)


class _Room(NamedTuple):
    """Where tabs may stand on each piece that is freed, mm: each tab is ``wide`` at its full height, ``width`` at its
    foot, and needs a ``gap`` in the cut."""

    pieces: list[list[Place]]
    wide: float
    width: float
    gap: float


def _least_wood(path: Toolpath, stock: Stock) -> float:
    """mm of wood that a cut meets above the highest underside, on the thinnest board allowed."""
    return min(path.highest(stock), stock.lowest_top) - stock.highest_underside


def leaves_a_core(path: Toolpath) -> bool:
    """Whether any wood is left within a contour once the bit has gone round it; True for an open cut."""
    import shapely

    loop = loop_of(path.curve) if not path.curve.is_point else None
    if loop is None:
        return True
    # Two straight spans enclose nothing, and a ring needs at least three points.
    points = loop.flattened(COARSE_CHORDS)
    return len(points) > 2 and not shapely.Polygon(points).buffer(-path.tool.radius - NO_CORE).is_empty


def _shape(curve: Curve) -> tuple[object, ...]:
    """A key that is equal for curves that are copies of one another, to a millionth of a millimetre."""
    shifted = np.round(curve.points - curve.points[0], 6) + 0.0
    return curve.closed, shifted.tobytes(), np.round(curve.sweeps, 9).tobytes()


def _cut(path: Toolpath) -> tuple[object, ...]:
    """What decides, besides the curve, where a cut needs room for itself."""
    return path.tool, path.entry, path.start, path.stepdown, path.levels, path.top


def _outline(area: BaseGeometry, curve: Curve) -> bytes:
    """A key that is equal for areas that lie alike beside copies of one curve, to a thousandth of a millimetre."""
    import shapely

    return (np.round(shapely.get_coordinates(area) - curve.points[0, :2], 3) + 0.0).tobytes()
