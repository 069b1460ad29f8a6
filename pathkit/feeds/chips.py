"""How thick the chips of a cut are, from the kind of bit, its depth and its engagement.

Formulas (Machinery's Handbook, chapter Speeds and Feeds; from memory): feed = rpm · flutes · feed per tooth; cutting
speed v = π·D·n/1000; an engagement a_e of less than half the diameter D thins the chip to
h = f_z · 2·√(a_e/D · (1 − a_e/D)). An edge at an angle κ to the feed thins it to h = f_z · sin κ (the same chapter,
lead angle; from memory). For a vee, κ is half its angle. For a ball at depth d, sin κ = D_e/D, where
D_e = 2·√(d·(D − d)) is the width of the ball at the surface (geometry of the sphere).
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Final

from pathkit.errors import InputError
from pathkit.feeds.materials import USUAL, Material
from pathkit.model.tool import Tool

DEPTH: Final = ((1.0, 1.0), (2.0, 0.75), (3.0, 0.5))
"""Depth in diameters → share of the chip load: a quarter less at 2 × D, half at 3 × D. Common practice, no single
source."""

DRILLED: Final = (0.02, 0.15)
"""mm a tooth of a 6 mm drill on its way down; in proportion to the diameter of narrower ones. Common practice, no
source."""

STRAIGHT_DOWN: Final = 0.5
"""Share of its chip load that a bit other than a drill takes straight down. Common practice, no source."""


def feed_rate(spindle: float, flutes: int, chip_load: float) -> float:
    """mm/min: rpm · flutes · feed per tooth (mm) (see above)."""
    return spindle * flutes * chip_load


def chip_load_of(feed: float, spindle: float, flutes: int) -> float:
    """mm a tooth at a feed in mm/min (see above)."""
    return feed / (spindle * flutes)


def cutting_speed(diameter: float, spindle: float) -> float:
    """m/min at the edge of a bit of ``diameter`` mm: π·D·n/1000 (see above)."""
    return math.pi * diameter * spindle / 1000.0


def thinning(engagement: float, diameter: float) -> float:
    """The chip's thickness as a share of the feed per tooth, 0 to 1: 2·√(a_e/D·(1 − a_e/D)) for an engagement below
    half the diameter (see above), else 1."""
    share = engagement / diameter
    return 1.0 if share >= 0.5 else 2.0 * math.sqrt(share * (1.0 - share))


def width_at(tool: Tool, depth: float) -> float:
    """Width (mm) of the cut at the surface when the bit's tip is ``depth`` mm below it."""
    if tool.kind == "vee":
        return min(tool.diameter, 2.0 * depth * tool.flare)
    if tool.kind == "ball" and depth < tool.radius:
        return 2.0 * math.sqrt(depth * (tool.diameter - depth))
    return tool.diameter


def slant(tool: Tool, depth: float) -> float:
    """sin κ of the edge at the surface, 0 to 1: the chip's thickness as a share of the feed per tooth (see above)."""
    if tool.kind == "vee":
        assert tool.angle is not None
        return math.sin(math.radians(tool.angle / 2.0))
    return width_at(tool, depth) / tool.diameter if tool.kind == "ball" else 1.0


def usual_chip_load(tool: Tool, material: Material, depth: float | None = None) -> tuple[float, float]:
    """The usual range (mm a tooth) for this bit in a material, ``depth`` mm deep at once (its diameter unless given).

    The range is in proportion to the diameter up to 6 mm; a wider bit gets that of a 6 mm bit, since no source gives
    more. For a vee, the lower end follows the width of its cut, the upper end its diameter. For a drill, it is the
    range on its way down. Raises `InputError` for a material that is not known.
    """
    if material not in USUAL:
        raise InputError(f"no chip loads are known for {material!r}; there are: {', '.join(USUAL)}")
    share = min(tool.diameter / 6.0, 1.0)
    if tool.kind == "drill":
        return DRILLED[0] * share, DRILLED[1] * share
    low, high = USUAL[material].chips
    if tool.kind == "vee":
        wide = width_at(tool, tool.diameter if depth is None else depth)
        return low * min(wide / 6.0, 1.0), high * share
    share *= depth_share((depth or 0.0) / tool.diameter / USUAL[material].depth)
    return low * share, high * share


def depth_share(diameters: float) -> float:
    """Share of the chip load at a depth in diameters, interpolated between the values of `DEPTH`."""
    for (shallow, more), (deep, less) in pairwise(DEPTH):
        if diameters <= deep:
            return more + (less - more) * max(0.0, diameters - shallow) / (deep - shallow)
    return DEPTH[-1][1]
