"""Feeds and speeds to start from, within what a bit and a machine usually take (see `chips`, `materials`).

Every range is common practice, no source: a starting point, to be tried on a piece of waste.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

from pathkit.feeds.chips import chip_load_of, cutting_speed, feed_rate, slant, thinning, usual_chip_load
from pathkit.feeds.materials import USUAL, Material
from pathkit.findings import Finding
from pathkit.model.checking import Faults
from pathkit.model.tool import Cutting, Tool
from pathkit.tolerances import ROUNDING

USUAL_SPEED: Final = (10_000.0, 24_000.0)
"""rpm. Common practice, no source."""

PREFERRED_SPEED: Final = 18_000.0
"""rpm that a suggestion starts from: the speed in the example for the handbook's feed formula, and a usual one."""

PLUNGE_SHARE: Final = 0.25
"""Plunge feed as a share of the feed. Common practice, from memory, no source."""

STARTING_POINT: Final = "a starting point (common practice, no source): try it on waste first"


@dataclass(frozen=True)
class Suggestion:
    """Values to start from: ``cutting`` and ``stepdown`` (mm), the ``chip_load`` (mm a tooth) they give, the usual
    ``chip_range``, the cutting ``speed`` at the bit's edge (m/min), and ``notes`` that must be shown with them."""

    cutting: Cutting
    stepdown: float
    chip_load: float
    chip_range: tuple[float, float]
    speed: float
    notes: tuple[Finding, ...]


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
    """Feed, plunge and stepdown for a bit in a material. ``spindle`` is its slowest and its fastest speed, rpm.

    ``stepdown`` mm (the bit's diameter unless given, and no more than the length of its flutes), ``engagement`` mm
    (radial; the whole diameter unless given: a slot), ``feed_limit`` and ``plunge_limit`` mm/min of the machine. The
    chip load is the middle of the usual range. If the machine cannot feed that fast, the spindle turns slower first;
    only if that is not enough does the chip get thinner, and a warning says so. A drill's feed is its plunge feed.
    """
    _check(spindle, stepdown, engagement, feed_limit, plunge_limit)
    drills = tool.kind == "drill"
    depth = stepdown if stepdown is not None else tool.diameter
    if tool.cut_length is not None:
        depth = min(depth, tool.cut_length)
    low, high = usual_chip_load(tool, material, depth)
    wide = thinning(min(engagement, tool.diameter), tool.diameter) if engagement is not None else 1.0
    wide *= slant(tool, depth)
    per_tooth = (low + high) / 2.0 / wide
    slowest, fastest = max(spindle[0], USUAL_SPEED[0]), min(spindle[1], USUAL_SPEED[1])
    notes = [_note(f"feeds for {tool.name!r} in {material} are {STARTING_POINT}")]
    if slowest > fastest:
        slowest = fastest = spindle[1] if spindle[1] < USUAL_SPEED[0] else spindle[0]
        what = f"the spindle turns {spindle[0]:g} to {spindle[1]:g} rpm; usual in wood is 10 000 to 24 000"
        notes.append(_note(what, severity="warning"))
    if not 3.0 <= tool.diameter <= 6.0:
        what = f"chip loads are known for bits of 3 to 6 mm; for {tool.diameter:g} mm this is a guess"
        notes.append(_note(what, severity="warning"))
    # A wide bit turns slower, so that its edge is no faster than usual.
    edge = USUAL[material].speed / cutting_speed(tool.diameter, 1.0)
    speed = min(max(PREFERRED_SPEED, slowest), fastest, max(edge, slowest))
    limits = (plunge_limit if drills else None, None if drills else feed_limit)
    limit = min((value for value in limits if value is not None), default=math.inf)
    if feed_rate(speed, tool.flutes, per_tooth) > limit:
        speed = max(slowest, limit / (tool.flutes * per_tooth))
    feed = min(feed_rate(speed, tool.flutes, per_tooth), limit)
    chip = chip_load_of(feed, speed, tool.flutes) * wide
    if chip < low - ROUNDING:
        what = (
            f"the machine feeds at most {limit:g} mm/min, which makes chips of {chip:.3f} mm; usual is {low:.3f} to"
            f" {high:.3f} mm"
        )
        notes.append(_note(what, "take a bit with fewer flutes, or a shallower stepdown", severity="warning"))
    # Rounded down to what a person would write, so that neither the limit nor the range is exceeded.
    feed = math.floor(feed / 10.0) * 10.0 if feed >= 100.0 else feed
    plunge = feed if drills else min(PLUNGE_SHARE * feed, math.inf if plunge_limit is None else plunge_limit)
    cutting = Cutting(feed=feed, plunge=plunge, spindle=math.floor(speed))
    load = chip_load_of(feed, cutting.spindle, tool.flutes) * wide
    return Suggestion(cutting, depth, load, (low, high), cutting_speed(tool.diameter, cutting.spindle), tuple(notes))


def _check(spindle: object, *values: float | None) -> None:
    faults = Faults("feeds")
    ends = faults.sequence(spindle, "spindle")
    if len(ends) != 2 or not all(faults.number(end, "spindle", above=0.0) for end in ends) or ends[0] > ends[1]:
        faults.add(f"spindle is {spindle!r}", "the slowest and the fastest speed, rpm", "spindle")
    for name, value in zip(("stepdown", "engagement", "feed_limit", "plunge_limit"), values, strict=True):
        faults.number(value, name, above=0.0, optional=True)
    faults.raise_any()


def _note(what: str, fix: str = "", *, severity: Literal["warning", "note"] = "note") -> Finding:
    return Finding(check="feeds", what=what, fix=fix, severity=severity)
