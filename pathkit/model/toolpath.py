"""What one cut is: a curve, a bit, depths, how to get in, where to leave wood."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import KW_ONLY, dataclass, field
from itertools import pairwise
from typing import Annotated, Final, Literal, get_args

from annotated_types import Ge, Le

from pathkit.fields import Above0, From0
from pathkit.model.checking import Checked, Faults
from pathkit.model.curve import Curve
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool

Role = Literal["pocket", "finish", "slot", "drill", "outline", "engrave", "cut"]

STAGE: Final[dict[Role, int]] = {"pocket": 0, "engrave": 0, "finish": 0, "drill": 1, "slot": 1, "outline": 2}
"""Pockets first, then drills and slots, outlines last: common practice, no source. ``cut`` has no stage of its own."""

MAX_RAMP = 45.0
"""Degrees. A way down steeper than this is a plunge by another name; common practice is 2-5 (no source)."""

MIN_RAMP = 0.05
"""Degrees. Flatter than this the way down has no end: more than a metre of it for each millimetre."""

FINEST = 0.01
"""mm: the smallest bite that a level or a peck may take. Small routers do not place Z finer (common practice, no
source), and each bite costs a lap: less is a slip of the keyboard that would fill the memory."""


Angle = Annotated[float, Ge(MIN_RAMP), Le(MAX_RAMP)]
Bite = Annotated[float, Ge(FINEST)]


@dataclass(frozen=True)
class Plunge:
    """Straight down; legal only for a bit that cuts at its centre."""


@dataclass(frozen=True)
class Ramp(Checked):
    """Back and forth along the beginning of the curve, going down at ``angle`` degrees.

    It keeps to the first ``within`` mm of the curve, where given: to the lead of a pass that must leave no marks.
    """

    angle: Angle
    within: Above0 | None = None


@dataclass(frozen=True)
class Spiral(Checked):
    """Round and round a closed curve, always going down, never steeper than ``angle`` degrees."""

    angle: Angle


@dataclass(frozen=True)
class Helix(Checked):
    """Down a helix of ``diameter`` mm (of the bit's centre) beside the beginning of the curve."""

    angle: Angle
    diameter: Bite


@dataclass(frozen=True)
class Peck(Checked):
    """Straight down in bites of ``depth`` mm, back up to clear the chips after each."""

    depth: Bite


Entry = Plunge | Ramp | Spiral | Helix | Peck


@dataclass(frozen=True)
class Tab(Checked):
    """Wood left standing: centred ``at`` mm along the curve, at least ``width`` mm wide, ``height`` mm above the
    stock's underside. The path's gap is wider by the bit's diameter."""

    at: From0
    width: Above0
    height: Above0


@dataclass(frozen=True)
class Toolpath:
    """One cut, z in mm in the job's frame.

    ``top`` is where the wood begins (None: the stock's highest top), ``bottom`` where the cut ends. ``stepdown`` is
    the deepest bite of one level; ``levels``, if given, are the z's themselves, descending, the last is ``bottom``. A
    trace (a curve of 3-D points) has none of them: it is cut as it lies. ``reversible`` None means: a full-width open
    cut only. ``start`` (mm along the curve) and ``backward`` are what ordering chooses; the curve is never rewritten.
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
        if self.part is not None:
            faults.text(self.part, "part")
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
                    faults.add(f"a trace with a {name}", "a trace is cut as it lies; leave it out", name)
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
        if self.tabs and (curve.is_trace or curve.is_point):
            faults.add("tabs on a trace or a point", "tabs belong on the plan of a through cut", "tabs")
        if isinstance(self.entry, Spiral) and not curve.closed:
            faults.add("a spiral on an open curve", "use Ramp", "entry")
        if isinstance(self.entry, Peck) and not curve.is_point:
            faults.add("a peck on a curve", "pecking is for points", "entry")
        if isinstance(self.entry, Ramp | Helix | Spiral) and curve.is_trace:
            faults.add("an angled entry on a trace", "a trace is cut as it lies", "entry")
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
    def may_reverse(self) -> bool:
        """Whether ordering may run it from the other end. Closed curves never: that would turn climb round."""
        if self.curve.closed:
            return False
        if self.reversible is None:
            # Only a cut with wood on both sides does not care which way it goes.
            return self.role in ("slot", "engrave", "drill") or (self.role == "cut" and not self.curve.is_trace)
        return self.reversible

    @property
    def lowest(self) -> float:
        """z of its lowest place, mm: its bottom, or the lowest point of a trace."""
        if self.bottom is not None and not self.curve.is_trace:
            return self.bottom
        return float(self.curve.points[:, 2].min())

    def goes_through(self, stock: Stock) -> bool:
        """Whether it is through in any board that is allowed."""
        return self.lowest <= stock.highest_underside + 1e-6

    def highest(self, stock: Stock) -> float:
        """z of the highest wood this cut may meet: its own top, raised to the stock's highest where that is it."""
        if self.curve.is_trace:
            return stock.highest_top
        if self.top is None or self.top >= stock.top - 1e-9:
            return stock.highest_top if self.top is None else max(self.top, stock.highest_top)
        return self.top

    def depths(self, stock: Stock) -> tuple[float, ...]:
        """The z of each level, descending; the last is ``bottom``. Empty for a trace.

        Without ``levels``: n = ceil(depth / stepdown − 1e-9) equal levels below the highest wood.
        """
        if self.curve.is_trace or self.bottom is None:
            return ()
        return self.levels if self.levels is not None else equal_levels(self.highest(stock), self.bottom, self.stepdown)


def equal_levels(top: float, bottom: float, stepdown: float | None) -> tuple[float, ...]:
    """n = ceil(depth / stepdown − 1e-9) equal levels (z, descending) from ``top`` (excluded) to ``bottom``."""
    depth = top - bottom
    count = 1 if stepdown is None else max(1, math.ceil(depth / stepdown - 1e-9))
    return (*(top - depth * k / count for k in range(1, count)), bottom)


def _numbers(values: Sequence[object]) -> bool:
    return all(isinstance(v, (int, float)) and not isinstance(v, bool) for v in values)
