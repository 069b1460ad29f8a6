"""HoldTabs: bridges of wood that keep a part in the board until it is taken out by hand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar, Final, Literal, get_args

import numpy as np
from numpy.typing import NDArray

from pathkit.curves.alike import CORNER, lap_of, loop_of
from pathkit.errors import InputError, PassRefused
from pathkit.findings import Finding
from pathkit.geometry.spans import corner_stations
from pathkit.machine.profile import Machine
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Role, Tab, Toolpath
from pathkit.passes.base import Passed, Progress, Promise
from pathkit.passes.promises import only_changes, precedence_kept, promise, same_board, tabs_keep_place
from pathkit.passes.start_points import entry_length
from pathkit.passes.tab_strength import SAFETY, WOOD, load_of, used

STRAIGHT = math.radians(0.05)
"""Spans whose headings differ by less than this are one straight stretch, however many points it was drawn with."""

PROBES = 48
MOST_PLACES = 1500
"""Places tried on each stretch, and about how many in all."""


FEWEST: Final = 2
"""Tabs at least where their number is worked out: on one a part turns."""

MANY: Final = 24
"""Tabs at most that are tried there; more are a seam."""


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

    They stand on straight stretches where there are enough, clear of corners and of the place where the cut begins,
    and evenly round the contour: two lie half its length apart as nearly as the stretches allow. Round contours carry
    them on their arcs. Slots whose ends meet free a core, and get tabs too. Contours within which the bit takes all the
    wood have nothing to hold. Toolpaths that already have tabs keep theirs. Defaults: common practice, no source.

    With ``count`` ``"auto"`` as many as the part's size and mass and the bit's force ask in this ``material``, by the
    estimate of `tab_strength`, and never fewer than two.
    """

    count: int | Literal["auto"] = 2
    width: float = 6.0
    height: float = 3.0
    roles: tuple[Role, ...] = ("outline",)
    material: str | None = None

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
            what = f'HoldTabs: count is "auto", and what tabs of {self.material or "this board"} bear is not known'
            raise InputError(f"{what}; give a number, as in count = 4, or say which material it is: {known}")
        for name in ("width", "height"):
            value = getattr(self, name)
            if not (0.0 < value < math.inf):
                raise InputError(f"HoldTabs: {name} is {value!r}; give mm above 0")
        if unknown := [role for role in self.roles if role not in get_args(Role)]:
            raise InputError(f"HoldTabs: no role is called {unknown[0]!r}; there are: {', '.join(get_args(Role))}")

    def __call__(self, job: Job, machine: Machine, *, progress: Progress | None = None) -> Passed:
        """Raises `PassRefused` naming every contour that is too small for its tabs, or too thin."""
        findings: list[Finding] = []
        paths: list[Toolpath] = []
        placed = 0
        known: dict[tuple[object, ...], tuple[Tab, ...] | Finding] = {}
        for done, path in enumerate(job.toolpaths):
            if progress is not None and done % 64 == 0:
                # A board with only half its parts held would be unsafe: asking to stop cannot be granted here.
                progress(done, len(job.toolpaths), "tabs")
            if path.tabs or path.curve.is_trace or not path.goes_through(job.stock) or not self._holds(path):
                paths.append(path)
                continue
            # Copies of one part have one shape: what fits the first fits all.
            shape = (
                _shape(path.curve), path.tool, path.entry, path.start, path.stepdown, path.levels, path.top,
                path.bottom, path.cutting,
            )  # fmt: skip
            tabs = known.get(shape)
            if tabs is None:
                tabs = known[shape] = self._chosen(path, job.stock, machine)
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
        return Passed(job.with_toolpaths(tuple(paths)), (), figures)

    def _holds(self, path: Toolpath) -> bool:
        """Whether it frees a piece: one of the roles does, and so does a slot whose ends meet. Where the bit takes all
        that lies within, no piece is left to hold."""
        ring_slot = path.role == "slot" and path.curve.closed
        return (path.role in self.roles or ring_slot) and leaves_a_core(path)

    def _chosen(self, path: Toolpath, stock: Stock, machine: Machine) -> tuple[Tab, ...] | Finding:
        """Tabs of one toolpath, as many as asked or as hold it, or why there can be none."""
        if self.count != "auto":
            return self._tabs(path, self.count, stock)
        assert self.material is not None
        if path.cutting.spindle <= 0.0:
            what = "how hard the bit pushes is not known while its spindle stands"
            return self._refusal(path, what, "give its cutting a spindle speed, or say how many tabs: count = 4")
        wood = WOOD[self.material]
        load = load_of(path, stock, wood, machine)
        taken = math.inf
        for count in range(FEWEST, MANY + 1):
            tabs = self._tabs(path, count, stock)
            if isinstance(tabs, Finding):
                if count == FEWEST:
                    return tabs
                break
            taken = used(path, tabs, stock, wood, load)
            if taken <= 1.0:
                return tabs
        fix = "make them wider or higher, cut with a smaller stepdown or feed, or say how many: count = 4"
        what = (
            f"the {count - 1} tabs {self.width:g} mm wide and {self.height:g} mm high that it has room for bear"
            f" {100.0 / taken:.0f} % of what is asked of them in {self.material}, by estimate (safety {SAFETY:g}, a"
            f" dull bit: {load.push:.0f} N along, {load.lift:.0f} N up)"
        )
        return self._refusal(path, what, fix)

    def _tabs(self, path: Toolpath, count: int, stock: Stock) -> tuple[Tab, ...] | Finding:
        """So many tabs of one toolpath, or why there can be none."""
        wood = _least_wood(path, stock)
        if path.curve.is_point:
            return self._refusal(path, "a single point has no contour to leave tabs on", "give it another role")
        if self.height >= wood - 1e-6:
            what = f"tabs {self.height:g} mm high in {wood:g} mm of wood (the least allowed) would leave nothing cut"
            return self._refusal(path, what, "make them lower")
        gap = self.width + path.tool.diameter
        places = _places(path, gap, stock)
        chosen = _evenly(places, count, path.curve, gap + path.tool.diameter)
        if chosen is None:
            what = (
                f"a contour of {path.curve.length:.1f} mm has no room for {count} tabs {self.width:g} mm wide"
                f" (each needs {gap:g} mm free of corners and of the entry)"
            )
            return self._refusal(path, what, "make tabs narrower or fewer, or hold the part otherwise")
        return tuple(Tab(at, self.width, self.height) for at in chosen)

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
    return len(points) > 2 and not shapely.Polygon(points).buffer(-path.tool.radius).is_empty


class _Place:
    """A station where a tab could stand, and what speaks against it (less is better)."""

    __slots__ = ("at", "cost")

    def __init__(self, at: float, cost: float) -> None:
        self.at, self.cost = at, cost


def _places(path: Toolpath, gap: float, stock: Stock) -> list[_Place]:
    """Stations that have room for a gap of ``gap`` mm, clear of corners and of the entry."""
    curve = path.curve
    clear = path.tool.radius
    # A tab on a bend is worth a quarter of the contour: straight stretches win unless they all lie on one side.
    kinds = ((_straights(curve), 0.0), (_between_corners(curve), curve.length / 4.0))
    roomy = [(low, high, cost) for stretches, cost in kinds for low, high in stretches if high - low >= gap + 2 * clear]
    places: list[_Place] = []
    lap = _single_run(curve)
    for low, high, handicap in roomy:
        reach = high - low - gap - 2.0 * clear
        for share in np.linspace(-0.5, 0.5, min(PROBES, max(4, MOST_PLACES // len(roomy))) + 1):
            at = (low + high) / 2.0 + float(share) * reach
            half = _half_gap(curve, at, gap)
            if half is None or at - half < low + clear - 1e-9 or at + half > high - clear + 1e-9:
                continue
            at = at % curve.length if curve.closed else at
            if _clear_of_entry(path, at, half, clear, stock, lap):
                # In the middle of a long stretch it is easiest to reach with a chisel.
                places.append(_Place(at, handicap + 0.1 * abs(float(share)) * reach - 0.01 * (high - low)))
    return places


def _evenly(places: Sequence[_Place], count: int, curve: Curve, apart: float) -> tuple[float, ...] | None:
    """``count`` of the places, as evenly round the curve as can be and never nearer than ``apart`` mm; None if none."""
    if not places:
        return None
    length = curve.length
    at = np.array([place.at for place in places])
    cost = np.array([place.cost for place in places])
    # Evenly round a closed contour; on an open one both ends are held by nothing, so half a step stays free there.
    step = length / count
    best: tuple[float, tuple[float, ...]] | None = None
    for first in range(len(places)):
        chosen = [first]
        total = float(cost[first])
        if not curve.closed:
            total += abs(at[first] - step / 2.0)
        for k in range(1, count):
            deviation = _distance(at, at[first] + k * step, length, curve.closed)
            taken = _distance(at[:, None], at[chosen][None, :], length, curve.closed).min(axis=1) < apart
            score = np.where(taken, np.inf, deviation + cost)
            pick = int(np.argmin(score))
            if not math.isfinite(score[pick]):
                break
            chosen.append(pick)
            total += float(score[pick])
        if len(chosen) == count and (best is None or total < best[0] - 1e-9):
            best = (total, tuple(sorted(float(at[k]) for k in chosen)))
    return best[1] if best else None


def _distance(
    a: NDArray[np.float64], b: NDArray[np.float64] | float, length: float, closed: bool
) -> NDArray[np.float64]:
    apart = np.abs(a - b)
    if closed:
        apart = apart % length
        apart = np.minimum(apart, length - apart)
    distance: NDArray[np.float64] = apart
    return distance


def _straights(curve: Curve) -> list[tuple[float, float]]:
    """Stations (low, high) of straight stretches; of a closed curve one may run past the end."""
    spans = curve.spans
    bends = set(np.flatnonzero(spans.sweep != 0.0).tolist())
    turns = corner_stations(spans, curve.closed, STRAIGHT)
    pieces: list[tuple[float, float]] = []
    for index in range(len(spans.length)):
        if index in bends:
            continue
        low, high = float(spans.station[index]), float(spans.station[index + 1])
        joins = pieces and abs(pieces[-1][1] - low) < 1e-9 and not _is_among(turns, low)
        if joins:
            pieces[-1] = (pieces[-1][0], high)
        else:
            pieces.append((low, high))
    return _joined_round(pieces, curve, turns)


def _between_corners(curve: Curve) -> list[tuple[float, float]]:
    """Stations (low, high) of stretches without a corner, straight or bent."""
    corners = sorted(corner_stations(curve.spans, curve.closed, CORNER).tolist())
    length = curve.length
    if not curve.closed:
        return list(zip([0.0, *corners], [*corners, length], strict=True))
    if not corners:
        # No corner at all: a tab may stand anywhere, so the stretch is longer than the curve by any gap.
        return [(0.0, 2.0 * length)]
    return list(zip(corners, [*corners[1:], corners[0] + length], strict=True))


def _joined_round(
    pieces: list[tuple[float, float]], curve: Curve, turns: NDArray[np.float64]
) -> list[tuple[float, float]]:
    """The last and the first piece of a closed curve as one, where the first vertex lies within a straight stretch."""
    if len(pieces) < 2 or not curve.closed or _is_among(turns, 0.0):
        return pieces
    (_, first_high), (last_low, last_high) = pieces[0], pieces[-1]
    if pieces[0][0] > 1e-9 or abs(last_high - curve.length) > 1e-9:
        return pieces
    return [*pieces[1:-1], (last_low, curve.length + first_high)]


def _is_among(stations: NDArray[np.float64], station: float) -> bool:
    return bool(np.any(np.abs(stations - station) < 1e-9))


def _half_gap(curve: Curve, at: float, gap: float) -> float | None:
    """Half the length along the curve whose ends lie ``gap`` mm apart as the crow flies; None where it is too small.

    On a bent stretch the gap along the curve is longer than the wood between the swept discs is wide.
    """
    half = gap / 2.0
    for _ in range(100):
        if 2.0 * half >= curve.length or (not curve.closed and (at - half < 0.0 or at + half > curve.length)):
            return None
        lacking = gap - math.dist(curve.at(at - half), curve.at(at + half))
        if lacking <= 1e-6:
            return half
        half += lacking / 2.0
    return None


def _single_run(curve: Curve) -> tuple[float, float]:
    """Stations of the stretch of an open curve where tabs hold: not where it is led on and off, which is waste, nor
    where it runs twice, since the second run would cut them."""
    lap = lap_of(curve)
    return (0.0, curve.length) if lap is None else (lap.low + lap.over, lap.high)


def _clear_of_entry(
    path: Toolpath, at: float, half: float, clear: float, stock: Stock, lap: tuple[float, float]
) -> bool:
    """Whether the gap keeps clear of the start, and of the stretch behind it that a ramp needs."""
    curve = path.curve
    if not curve.closed:
        return lap[0] + half + clear <= at <= lap[1] - half - clear
    ahead = (at - path.start) % curve.length
    ramp = min(entry_length(path, stock), curve.length / 2.0)
    return half + clear + ramp <= ahead <= curve.length - half - clear


def _shape(curve: Curve) -> tuple[object, ...]:
    """The same for curves that are copies of one another, to a millionth of a millimetre."""
    shifted = np.round(curve.points - curve.points[0], 6) + 0.0
    return curve.closed, shifted.tobytes(), np.round(curve.sweeps, 9).tobytes()
