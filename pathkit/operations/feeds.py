"""Feeds and speeds: suggestions to start from, and warnings where a job's own values leave what is usual.

Formulas (Machinery's Handbook, chapter Speeds and Feeds; from memory): feed = rpm · flutes · feed per tooth; cutting
speed v = π·D·n/1000; an engagement a_e of less than half the diameter D thins the chip to
h = f_z · 2·√(a_e/D · (1 − a_e/D)).

Every range here is common practice, no source: a starting point, to be tried on a piece of waste. Nothing in a job is
ever changed by this module.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Final, Literal, get_args

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.model.checking import Faults
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Peck, Plunge, Toolpath
from pathkit.tolerances import ROUNDING, SAME_PLACE

if TYPE_CHECKING:
    from pathkit.machine.profile import Machine

Material = Literal["softwood", "plywood", "hardwood"]

CHIP_LOAD: Final[dict[str, tuple[float, float]]] = {
    "softwood": (0.10, 0.25),
    "plywood": (0.10, 0.25),
    "hardwood": (0.08, 0.18),
}
"""mm a tooth of a 6 mm carbide bit; a 3 mm bit takes about half. Common practice, no source."""

USUAL_SPEED: Final = (10_000.0, 24_000.0)
"""rpm. Common practice, no source."""

PREFERRED_SPEED: Final = 18_000.0
"""rpm from which a suggestion begins: the example of the handbook's feed formula in the usual range."""

DEPTH: Final = ((1.0, 1.0), (2.0, 0.75), (3.0, 0.5))
"""Depth in diameters → share of the chip load: a quarter less at 2 × D, half at 3 × D. Common practice, no single
source."""

PLUNGE_SHARE: Final = 0.25
"""Plunge feed as a share of the feed. From memory of practice, no source."""

STARTING_POINT: Final = "a starting point (common practice, no source): try it on waste first"


@dataclass(frozen=True)
class Suggestion:
    """Values to start from: ``cutting`` and ``stepdown`` (mm), the ``chip_load`` (mm a tooth) they give, the usual
    ``chip_range``, the cutting ``speed`` at the bit's edge (m/min), and what must be said with them."""

    cutting: Cutting
    stepdown: float
    chip_load: float
    chip_range: tuple[float, float]
    speed: float
    notes: tuple[Finding, ...]


def feed_rate(spindle: float, flutes: int, chip_load: float) -> float:
    """mm/min: rpm · flutes · feed per tooth (mm) (see above)."""
    return spindle * flutes * chip_load


def chip_load_of(feed: float, spindle: float, flutes: int) -> float:
    """mm a tooth of a feed in mm/min (see above)."""
    return feed / (spindle * flutes)


def cutting_speed(diameter: float, spindle: float) -> float:
    """m/min at the edge of a bit of ``diameter`` mm: π·D·n/1000 (see above)."""
    return math.pi * diameter * spindle / 1000.0


def thinning(engagement: float, diameter: float) -> float:
    """How much thinner than the feed per tooth the chip is, 0 to 1: 2·√(a_e/D·(1 − a_e/D)) below half the diameter
    (see above), 1 from there on."""
    share = engagement / diameter
    return 1.0 if share >= 0.5 else 2.0 * math.sqrt(share * (1.0 - share))


def usual_chip_load(tool: Tool, material: Material, depth: float | None = None) -> tuple[float, float]:
    """The usual range (mm a tooth) for this bit in a material, ``depth`` mm deep at once (its diameter unless given).

    In proportion to the diameter up to 6 mm; a wider bit is given no more than one of 6 mm, since no source says more.
    """
    if material not in CHIP_LOAD:
        raise InputError(f"no chip loads are known for {material!r}; there are: {', '.join(CHIP_LOAD)}")
    share = min(tool.diameter / 6.0, 1.0) * depth_share((depth or 0.0) / tool.diameter)
    low, high = CHIP_LOAD[material]
    return low * share, high * share


def depth_share(diameters: float) -> float:
    """Share of the chip load at a depth in diameters, between the places of `DEPTH` in proportion."""
    for (shallow, more), (deep, less) in pairwise(DEPTH):
        if diameters <= deep:
            return more + (less - more) * max(0.0, diameters - shallow) / (deep - shallow)
    return DEPTH[-1][1]


def suggest(
    tool: Tool,
    material: Material,
    spindle: tuple[float, float],
    *,
    stepdown: float | None = None,
    engagement: float | None = None,
    feed_limit: float | None = None,
    plunge_limit: float | None = None,
) -> Suggestion:
    """Feed, plunge and stepdown for a bit in a material on a spindle that turns from … to … rpm.

    ``stepdown`` mm (the bit's diameter unless given, and no more than its flutes are long), ``engagement`` mm (radial;
    the whole diameter unless given: a slot), ``feed_limit`` and ``plunge_limit`` mm/min of the machine. The chip load
    is the middle of the usual range; where the machine cannot feed so fast the spindle turns slower first, and the
    chip gets thinner only where that is not enough, which is then said.
    """
    _check(spindle, stepdown, engagement, feed_limit, plunge_limit)
    depth = stepdown if stepdown is not None else tool.diameter
    if tool.cut_length is not None:
        depth = min(depth, tool.cut_length)
    low, high = usual_chip_load(tool, material, depth)
    wide = thinning(min(engagement, tool.diameter), tool.diameter) if engagement is not None else 1.0
    per_tooth = (low + high) / 2.0 / wide
    slowest, fastest = max(spindle[0], USUAL_SPEED[0]), min(spindle[1], USUAL_SPEED[1])
    notes = [_note(f"feeds for {tool.name!r} in {material} are {STARTING_POINT}")]
    if slowest > fastest:
        slowest = fastest = spindle[1] if spindle[1] < USUAL_SPEED[0] else spindle[0]
        what = f"the spindle turns {spindle[0]:g} to {spindle[1]:g} rpm; usual in wood are 10 000 to 24 000"
        notes.append(_note(what, severity="warning"))
    if not 3.0 <= tool.diameter <= 6.0:
        what = f"chip loads are known for bits of 3 to 6 mm; for {tool.diameter:g} mm this is a guess"
        notes.append(_note(what, severity="warning"))
    speed = min(max(PREFERRED_SPEED, slowest), fastest)
    limit = math.inf if feed_limit is None else feed_limit
    if feed_rate(speed, tool.flutes, per_tooth) > limit:
        speed = max(slowest, limit / (tool.flutes * per_tooth))
    feed = min(feed_rate(speed, tool.flutes, per_tooth), limit)
    chip = chip_load_of(feed, speed, tool.flutes) * wide
    if chip < low - ROUNDING:
        what = (
            f"the machine feeds at most {limit:g} mm/min: chips of {chip:.3f} mm, and usual are {low:.3f} to {high:.3f}"
        )
        notes.append(_note(what, "take a bit with fewer flutes, or a shallower stepdown", severity="warning"))
    # Rounded down to what a person would write, so that neither limit nor range is left.
    feed = math.floor(feed / 10.0) * 10.0 if feed >= 100.0 else feed
    plunge = min(PLUNGE_SHARE * feed, math.inf if plunge_limit is None else plunge_limit)
    cutting = Cutting(feed, plunge, math.floor(speed))
    load = chip_load_of(feed, cutting.spindle, tool.flutes) * wide
    return Suggestion(cutting, depth, load, (low, high), cutting_speed(tool.diameter, cutting.spindle), tuple(notes))


def check_feeds(
    toolpaths: Iterable[Toolpath], stock: Stock, material: Material, machine: Machine | None = None
) -> tuple[Finding, ...]:
    """Warnings where values of a job leave the usual range of chip loads or depths, or exceed the machine.

    One finding for each matter and each set of like values, at the first toolpath that has it. Bits that drill, vee and
    single points have no chip load to judge. Nothing is changed.
    """
    if material not in get_args(Material):
        raise InputError(f"no chip loads are known for {material!r}; there are: {', '.join(CHIP_LOAD)}")
    groups: dict[tuple[Tool, Cutting, float | None, bool], list[Toolpath]] = {}
    for path in toolpaths:
        straight = isinstance(path.entry, Plunge | Peck)
        groups.setdefault((path.tool, path.cutting, _deepest(path, stock), straight), []).append(path)
    found: dict[tuple[str, Tool, Cutting], tuple[Finding, int]] = {}
    for (tool, cutting, depth, straight), paths in groups.items():
        said = _chips(tool, cutting, depth, material) + (_machine(cutting, machine, straight) if machine else [])
        for finding in said:
            key = (finding.what, tool, cutting)
            first, count = found.get(key, (finding.at(toolpath=paths[0].name), 0))
            found[key] = first, count + len(paths)
    return tuple(_counted(finding, count) for finding, count in found.values())


def _counted(finding: Finding, count: int) -> Finding:
    return finding if count == 1 else replace(finding, what=f"{finding.what} ({count} toolpaths)")


def _deepest(path: Toolpath, stock: Stock) -> float | None:
    """mm cut at once; None where there is no chip load to judge."""
    if path.curve.is_trace or path.curve.is_point or path.tool.kind in ("drill", "vee"):
        return None
    heights = (path.highest(stock), *path.depths(stock))
    # A pass round a wall takes only an allowance however deep it goes at once.
    return 0.0 if path.role == "finish" else round(max(high - low for high, low in pairwise(heights)), 6)


def _chips(tool: Tool, cutting: Cutting, depth: float | None, material: Material) -> list[Finding]:
    if depth is None or cutting.spindle <= 0.0:
        return []
    found: list[Finding] = []
    chip = chip_load_of(cutting.feed, cutting.spindle, tool.flutes)
    low, high = usual_chip_load(tool, material, depth)
    about = f"{tool.name!r} takes {chip:.3f} mm a tooth, and usual in {material} are {low:.3f} to {high:.3f} mm"
    if depth > tool.diameter + SAME_PLACE:
        about += f" at {depth:g} mm deep"
    # A finishing pass thins its chips, so that only rubbing tells nothing there.
    if chip < low - ROUNDING and depth > 0.0:
        found.append(_note(f"{about}: it rubs and burns", "feed faster, or turn slower", severity="warning"))
    if chip > high + ROUNDING:
        found.append(_note(f"{about}: it may break", "feed slower, or turn faster", severity="warning"))
    if depth > tool.diameter + SAME_PLACE:
        what = f"{tool.name!r} cuts {depth:g} mm deep at once, and usual is up to its diameter, {tool.diameter:g} mm"
        found.append(_note(what, "a smaller stepdown", severity="warning"))
    if not USUAL_SPEED[0] <= cutting.spindle <= USUAL_SPEED[1]:
        what = f"{cutting.spindle:g} rpm; usual in wood are 10 000 to 24 000"
        found.append(_note(what, "another speed, and a feed that goes with it", severity="warning"))
    return found


def _machine(cutting: Cutting, machine: Machine, straight: bool) -> list[Finding]:
    plane = min(machine.motion.feed_limit[:2])
    upright = machine.motion.feed_limit[2]
    spindle = machine.spindle
    found = []
    if cutting.feed > plane + ROUNDING:
        what = f"a feed of {cutting.feed:g} mm/min; {machine.name!r} moves at most {plane:g} in the plane"
        found.append(_note(what, "it will feed slower, and its chips will be thinner", severity="warning"))
    if straight and cutting.plunge > upright + ROUNDING:
        what = f"a plunge of {cutting.plunge:g} mm/min; {machine.name!r} moves at most {upright:g} up and down"
        found.append(_note(what, "a slower plunge", severity="warning"))
    if not spindle.min <= cutting.spindle <= spindle.max:
        what = f"{cutting.spindle:g} rpm; the spindle of {machine.name!r} turns {spindle.min:g} to {spindle.max:g}"
        found.append(_note(what, "a speed that it has, and a feed that goes with it", severity="warning"))
    return found


def _check(spindle: object, *values: float | None) -> None:
    faults = Faults("feeds")
    ends = faults.sequence(spindle, "spindle")
    if len(ends) != 2 or not all(faults.number(end, "spindle", above=0.0) for end in ends) or ends[0] > ends[1]:
        faults.add(f"spindle is {spindle!r}", "the slowest and the fastest it turns, rpm", "spindle")
    for name, value in zip(("stepdown", "engagement", "feed_limit", "plunge_limit"), values, strict=True):
        faults.number(value, name, above=0.0, optional=True)
    faults.raise_any()


def _note(what: str, fix: str = "", *, severity: Literal["warning", "note"] = "note") -> Finding:
    return Finding(check="feeds", what=what, fix=fix, severity=severity)
