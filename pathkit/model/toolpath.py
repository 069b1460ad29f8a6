"""One cut: a curve, a bit, depths, how the bit enters, and where tabs are left."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import KW_ONLY, dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, Annotated, Final, Literal, get_args

import numpy as np
from annotated_types import Ge, Le
from numpy.typing import NDArray

from pathkit.fields import Above0, From0
from pathkit.model.beam import check_beam
from pathkit.model.checking import Checked, Faults
from pathkit.model.curve import Curve
from pathkit.model.span_feeds import Feeds, checked, spread
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.tolerances import QUOTIENT_ROUNDING, ROUNDING, SAME_HEIGHT

Role = Literal["pocket", "finish", "slot", "drill", "outline", "engrave", "chamfer", "cut"]

STAGE: Final[dict[Role, int]] = {
    "pocket": 0, "engrave": 0, "chamfer": 0, "finish": 0, "drill": 1, "slot": 1, "outline": 2,
}  # fmt: skip
"""Pockets first, then drills and slots, outlines last: common practice, no source. ``cut`` has no stage of its own."""

MAX_RAMP = 45.0
"""Degrees. A steeper way down is really a plunge; common practice is 2-5 (no source)."""

MIN_RAMP = 0.05
"""Degrees. A flatter way down never ends: it takes more than a metre for each millimetre."""

LEAST_PITCH = 0.05
"""Of the bit's diameter: what a turn on the way down must gain at least. Less only rubs, and a hole three diameters
deep takes more than 60 turns (common practice, no source)."""

NARROWEST_HELIX = 0.25
"""Of the bit's diameter: in narrower turns the middle of the bit all but stands where it is, and it is the middle that
does not cut (common practice, no source)."""

FINEST = 0.01
"""mm: the smallest depth of a level or a peck. Small routers do not position Z more finely (common practice, no
source), and each step costs a lap: less is a typing error that would fill the memory."""


Angle = Annotated[float, Ge(MIN_RAMP), Le(MAX_RAMP)]
Bite = Annotated[float, Ge(FINEST)]


@dataclass(frozen=True)
class Plunge:
    """Straight down; allowed only for a bit that cuts at its centre.

    >>> pk.Plunge()
    Plunge()
    """


@dataclass(frozen=True)
class Ramp(Checked):
    """Back and forth along the beginning of the curve, going down at ``angle`` degrees.

    It stays within the first ``within`` mm of the curve, if given: on the lead of a pass that must leave no marks.

    >>> pk.Ramp(angle=3.0).angle
    3.0
    """

    angle: Angle
    within: Above0 | None = None


@dataclass(frozen=True)
class Descend(Checked):
    """Straight down through air, where other cuts have cleared the ground before; so any bit may.

    The bit comes on to the cut along the first ``within`` mm of the curve, its lead, and leaves along a lead as long.

    >>> pk.Descend(within=4.0)
    Descend(within=4.0)
    """

    within: Above0


@dataclass(frozen=True)
class Spiral(Checked):
    """Round and round a closed curve, always downwards, never steeper than ``angle`` degrees.

    >>> pk.Spiral(angle=2.0)
    Spiral(angle=2.0)
    """

    angle: Angle


@dataclass(frozen=True)
class Helix(Checked):
    """Down a helix of ``diameter`` mm (of the bit's centre) beside the beginning of the curve.

    >>> pk.Helix(angle=3.0, diameter=4.0).diameter
    4.0
    """

    angle: Angle
    diameter: Bite


@dataclass(frozen=True)
class Peck(Checked):
    """Straight down in pecks of ``depth`` mm, back up after each to clear the chips.

    For single points, and for curves of the role ``drill``, which begin in the middle of their hole.

    >>> pk.Peck(2.0)
    Peck(depth=2.0)
    """

    depth: Bite


Entry = Plunge | Descend | Ramp | Spiral | Helix | Peck


TabShape = Literal["square", "sloped"]

TAB_SLOPE: Final = 30.0
"""Degrees at which the bit goes up to a sloped tab and down behind it (common practice, no source)."""

TAB_STEEPNESS: Final = math.tan(math.radians(TAB_SLOPE))
"""The same as mm of height for each mm along the curve."""


@dataclass(frozen=True)
class Tab(Checked):
    """Wood left uncut: centred ``at`` mm along the curve, at least ``width`` mm wide, ``height`` mm above the stock's
    underside. The gap in the path is wider by the bit's diameter. A ``sloped`` one has that width at its full height,
    and stands on a foot whose ends rise at `TAB_SLOPE` degrees.

    >>> pk.Tab(at=30.0, width=6.0, height=3.0).height
    3.0
    """

    at: From0
    width: Above0
    height: Above0
    shape: TabShape = "square"

    def slope_above(self, bottom: float, top: float) -> float:
        """mm along the curve on either side over which its ends rise from z = ``bottom`` to ``top``; 0 if square."""
        return max(top - bottom, 0.0) / TAB_STEEPNESS if self.shape == "sloped" else 0.0


@dataclass(frozen=True)
class Toolpath:
    """One cut, z in mm in the job's frame.

    ``top`` is where the wood begins (None: the stock's highest top), ``bottom`` where the cut ends. ``stepdown`` is the
    greatest depth of one level; ``levels``, if given, are the heights themselves, descending; the last is ``bottom``. A
    trace (a curve of 3-D points) has none of these: it is cut at its own heights. It may have ``feeds``: pairs of a
    span's number and the feed (mm/min) from that span on, which is then neither slowed on slopes nor changed by load;
    the first is that of span 0. ``reversible`` None means: only if it
    is an open cut at full width. ``start`` (mm along the curve) and ``backward`` are chosen by the ordering; the curve
    is never rewritten. Without ``hold`` what it frees may lie loose: it gets no tabs, and goes straight down where
    it was told to. ``finishes`` names the toolpath whose allowance this one takes off: it comes after it, and leaves
    the same tabs standing.

    >>> bit = pk.Tool("3 mm", 3.0, centre_cutting=True)
    >>> ring = pk.Curve.circle((30, 20), 10.0)
    >>> cutting = pk.Cutting(feed=1200.0, plunge=400.0, spindle=18000.0)
    >>> path = pk.Toolpath("ring", ring, bit, cutting, bottom=-4.0, stepdown=2.0)
    >>> path.stepdown
    2.0
    """

    name: str
    curve: Curve
    tool: Tool
    cutting: Cutting
    _: KW_ONLY
    top: float | None = None
    bottom: float | None = None
    stepdown: float | None = None
    levels: tuple[float, ...] | None = None
    part: str | None = None
    role: Role = "cut"
    entry: Entry = field(default_factory=Plunge)
    tabs: tuple[Tab, ...] = ()
    reversible: bool | None = None
    free_start: bool = True
    start: float = 0.0
    backward: bool = False
    hold: bool = True
    finishes: str | None = None
    feeds: Feeds = ()

    if TYPE_CHECKING:

        def __init__(  # noqa: PLR0913 - the fields, and sequences for tuples
            self,
            name: str,
            curve: Curve,
            tool: Tool,
            cutting: Cutting,
            *,
            top: float | None = None,
            bottom: float | None = None,
            stepdown: float | None = None,
            levels: Iterable[float] | None = None,
            part: str | None = None,
            role: Role = "cut",
            entry: Entry = Plunge(),
            tabs: Iterable[Tab] = (),
            reversible: bool | None = None,
            free_start: bool = True,
            start: float = 0.0,
            backward: bool = False,
            hold: bool = True,
            finishes: str | None = None,
            feeds: Iterable[tuple[int, float]] = (),
        ) -> None: ...

    def __post_init__(self) -> None:
        faults = Faults("toolpath")
        faults.text(self.name, "name")
        for value, kind, path in (
            (self.curve, Curve, "curve"),
            (self.tool, Tool, "tool"),
            (self.cutting, Cutting, "cutting"),
            (self.entry, Entry, "entry"),
        ):
            if not isinstance(value, kind):
                faults.add(f"{path} is {value!r}", f"pass a {getattr(kind, '__name__', 'Plunge, Ramp, …')}", path)
        faults.raise_any()
        faults.choice(self.role, get_args(Role), "role")
        for name, kinds in _SWITCHES.items():
            if not isinstance(value := getattr(self, name), kinds):
                faults.add(f"{name} is {value!r}", "True or False", name)
        for name in ("part", "finishes"):
            if getattr(self, name) is not None:
                faults.text(getattr(self, name), name)
        check_beam(self, faults)
        self._check_depths(faults)
        self._check_shape(faults)
        faults.raise_any()

    def _check_depths(self, faults: Faults) -> None:
        if self.levels is not None:
            levels = faults.sequence(self.levels, "levels")
            object.__setattr__(self, "levels", tuple(float(z) for z in levels) if _numbers(levels) else ())
        if self.curve.is_trace:
            for name in ("top", "bottom", "stepdown", "levels"):
                if getattr(self, name) is not None:
                    faults.add(f"a trace with a {name}", "a trace is cut at its own heights; leave it out", name)
            return
        top = faults.number(self.top, "top", optional=True)
        faults.number(self.stepdown, "stepdown", least=FINEST, optional=True)
        if self.levels is not None:
            self._check_levels(self.levels, faults)
        elif self.bottom is None:
            faults.add("no bottom", "give the z where the cut ends, or levels", "bottom")
        if self.bottom is None or not faults.number(self.bottom, "bottom"):
            return
        if top and self.top is not None and self.bottom >= self.top:
            faults.add(f"bottom {self.bottom} is not below top {self.top}", "z grows upward", "bottom")

    def _check_levels(self, levels: tuple[float, ...], faults: Faults) -> None:
        if not levels or not all(math.isfinite(z) for z in levels):
            faults.add("levels are not finite numbers", "give at least one z", "levels")
            return
        if any(lower >= upper for upper, lower in pairwise(levels)):
            faults.add(f"levels {levels} do not go down", "each must be below the one before", "levels")
        if self.top is not None and levels[0] >= self.top:
            faults.add(f"first level {levels[0]} is not below top {self.top}", "z grows upward", "levels[0]")
        if self.bottom is None:
            object.__setattr__(self, "bottom", levels[-1])
        elif levels[-1] != self.bottom:
            faults.add(f"last level {levels[-1]} is not the bottom {self.bottom}", "make them agree", "levels")

    def _check_shape(self, faults: Faults) -> None:
        curve = self.curve
        object.__setattr__(self, "tabs", faults.sequence(self.tabs, "tabs"))
        for index, tab in enumerate(self.tabs):
            if not isinstance(tab, Tab):
                faults.add(f"tab {index} is {tab!r}", "pass a Tab", f"tabs[{index}]")
            elif tab.at >= curve.length:
                faults.add(f"tab at {tab.at} on a curve of {curve.length:.3f} mm", "move it", f"tabs[{index}].at")
        if len({tab.shape for tab in self.tabs if isinstance(tab, Tab)}) > 1:
            faults.add("tabs of several shapes on one toolpath", "give all of them one shape", "tabs")
        if self.tabs and (curve.is_trace or curve.is_point):
            faults.add("tabs on a trace or a point", "tabs belong on the plan of a through cut", "tabs")
        if isinstance(self.entry, Spiral) and not curve.closed:
            faults.add("a spiral on an open curve", "use Ramp", "entry")
        if isinstance(self.entry, Peck) and not curve.is_point and (self.role != "drill" or curve.is_trace):
            faults.add("a peck on a curve", "pecking is for holes: single points, or the role drill", "entry")
        if isinstance(self.entry, Descend) and (curve.closed or curve.is_point or curve.is_trace):
            faults.add("a descent on a curve without a lead", "lead it on, or use another entry", "entry")
        if isinstance(self.entry, Ramp | Helix | Spiral) and curve.is_trace:
            faults.add("an angled entry on a trace", "a trace is cut at its own heights", "entry")
        object.__setattr__(self, "feeds", checked(self.feeds, curve, self.start, faults))
        if isinstance(self.entry, Ramp) and curve.is_point:
            faults.add("a ramp on a point", "use Plunge, Peck or Helix", "entry")
        if curve.is_point and self.role not in ("drill", "cut"):
            faults.add(f"a single point as {self.role}", "a point is a drill's", "role")
        if faults.number(self.start, "start", least=0.0) and self.start:
            if not curve.closed:
                faults.add("a start on an open curve", "open curves begin at an end; use backward", "start")
            elif self.start >= curve.length:
                faults.add(f"start {self.start} on a curve of {curve.length:.3f} mm", "it must lie on it", "start")
        if self.backward and not self.may_reverse:
            faults.add("backward, but not reversible", "reversal turns climb into conventional", "backward")

    @property
    def feed_of_spans(self) -> NDArray[np.float64]:
        """(m,) mm/min asked for along each span of the curve."""
        return spread(self.feeds or ((0, self.cutting.feed),), len(self.curve.sweeps))

    @property
    def may_reverse(self) -> bool:
        """Whether the ordering may run it backwards. Closed curves never: that would turn climb into conventional."""
        if self.curve.closed:
            return False
        if self.reversible is None:
            # Only for a cut with wood on both sides the direction does not matter.
            return self.role in ("slot", "engrave", "drill") or (self.role == "cut" and not self.curve.is_trace)
        return self.reversible

    @property
    def lowest(self) -> float:
        """z of its lowest point, mm: its bottom, or the lowest point of a trace."""
        if self.bottom is not None and not self.curve.is_trace:
            return self.bottom
        return float(self.curve.points[:, 2].min())

    def goes_through(self, stock: Stock) -> bool:
        """Whether it goes through every allowed board."""
        return self.lowest <= stock.highest_underside + SAME_HEIGHT

    def highest(self, stock: Stock) -> float:
        """z of the highest wood that this cut may meet: its own top, or the stock's highest top if that is its top."""
        return stock.highest_top if self.curve.is_trace else wood_above(self.top, stock)

    def deepest_bite(self, stock: Stock) -> float:
        """The greatest depth, mm, that it goes down at once. Not for a trace."""
        return max(high - low for high, low in pairwise((self.highest(stock), *self.depths(stock))))

    def depths(self, stock: Stock) -> tuple[float, ...]:
        """The z of each level, descending; the last is ``bottom``. Empty for a trace.

        Without ``levels``: n = ceil(depth / stepdown − 1e-9) equal levels below the highest wood.
        """
        if self.curve.is_trace or self.bottom is None:
            return ()
        return self.levels if self.levels is not None else equal_levels(self.highest(stock), self.bottom, self.stepdown)


_SWITCHES: Final[dict[str, tuple[type, ...]]] = {
    "reversible": (bool, type(None)), "free_start": (bool,), "backward": (bool,), "hold": (bool,),
}  # fmt: skip


def helix_gains(diameter: float, angle: float, tool: Tool) -> bool:
    """Whether a helix of ``diameter`` mm (of the bit's centre) at ``angle`` degrees cuts its way down and does not rub.

    Its pitch π d tan α is at least `LEAST_PITCH`, and d at least `NARROWEST_HELIX` of the bit's diameter.
    """
    wide = diameter >= NARROWEST_HELIX * tool.diameter - ROUNDING
    return wide and turn_gains(math.pi * diameter, angle, tool)


def turn_gains(length: float, angle: float, tool: Tool) -> bool:
    """Whether a turn ``length`` mm long at ``angle`` degrees goes down by at least `LEAST_PITCH` of the bit."""
    return length * math.tan(math.radians(angle)) >= LEAST_PITCH * tool.diameter - ROUNDING


def wood_above(top: float | None, stock: Stock) -> float:
    """z of the highest wood of a cut that begins at ``top`` mm: its own, or the stock's highest if that is its top."""
    if top is None or top >= stock.top - ROUNDING:
        return stock.highest_top if top is None else max(top, stock.highest_top)
    return top


def equal_levels(top: float, bottom: float, stepdown: float | None) -> tuple[float, ...]:
    """n = ceil(depth / stepdown − 1e-9) equal levels (z, descending) from ``top`` (excluded) to ``bottom``."""
    depth = top - bottom
    count = 1 if stepdown is None else max(1, math.ceil(depth / stepdown - QUOTIENT_ROUNDING))
    return (*(top - depth * k / count for k in range(1, count)), bottom)


def _numbers(values: Sequence[object]) -> bool:
    return all(isinstance(v, (int, float)) and not isinstance(v, bool) for v in values)
