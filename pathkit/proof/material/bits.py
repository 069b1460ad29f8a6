"""Which bit makes each move of a file, and the shape of its body."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pathkit.model.tool import Tool
from pathkit.motion.program import Program, ToolChange

Numbers = NDArray[np.int32]


def bits_by_events(program: Program, tools: Sequence[Tool]) -> Numbers:
    """(n,) the index in ``tools`` of the bit at each row by the program's own tool changes, −1 if it is not known.

    A change names a bit by its number, or else by its name. With a single bit and a program without changes it is that
    bit.
    """
    changes = [(int(at), e) for at, e in zip(program.event_at, program.event, strict=True) if isinstance(e, ToolChange)]
    found = np.full(len(program), 0 if len(tools) == 1 and not changes else -1, np.int32)
    by_number = {tool.number: index for index, tool in enumerate(tools) if tool.number is not None}
    by_name = {tool.name: index for index, tool in enumerate(tools)}
    for at, change in changes:
        known = by_name.get(change.name, -1)
        found[at:] = by_number.get(change.number, known) if change.number is not None else known
    return found


def width_at(tool: Tool, height: float) -> float:
    """Radius in mm of what the bit sweeps ``height`` mm above its tip (0 at the very tip of a ball or vee).

    Ball: sqrt(r² − (r − h)²). Vee, and a drill whose point angle is known: h tan(angle/2). Others: r.
    """
    radius = tool.radius
    if tool.kind == "ball":
        under = max(radius - height, 0.0)
        return math.sqrt(max(radius * radius - under * under, 0.0))
    if (slope := cone(tool)) > 0.0:
        return min(radius, max(height, 0.0) / slope)
    return radius


def full_width(tool: Tool) -> float:
    """mm above its tip from which a bit is as wide as its diameter."""
    return tool.radius if tool.kind == "ball" else tool.radius * cone(tool)


def cone(tool: Tool) -> float:
    """mm that a pointed bit rises for each mm from its axis, 1 / tan(angle/2); 0 for a bit without a point."""
    if tool.kind not in ("vee", "drill") or tool.angle is None:
        return 0.0
    return 1.0 / math.tan(math.radians(tool.angle) / 2.0)


BARE: Final = 0.5
"""mm by which a shank of unknown width is taken to be wider than the bit: it rubs on what the flutes do not clear."""

WIDE: Final = 20.0
"""mm of radius for a holder of unknown width: common practice, no source; collet nuts of small routers."""


def assumed_bodies(tool: Tool) -> tuple[tuple[float, float], tuple[float, float]]:
    """`bodies_of`, with the worst case for a shank or holder of unknown width whose height is known."""
    shank, holder = bodies_of(tool)
    if tool.shank is None and tool.cut_length is not None:
        shank = tool.radius + BARE, tool.cut_length
    if tool.holder is None and tool.reach is not None:
        holder = max(WIDE, tool.radius), tool.reach
    return shank, holder


def bodies_of(tool: Tool) -> tuple[tuple[float, float], tuple[float, float]]:
    """(radius, height above the tip) of a shank wider than the bit, and of the holder; radius 0 for none."""
    wide = tool.shank is not None and tool.shank > tool.diameter and tool.cut_length is not None
    shank = ((tool.shank or 0.0) / 2.0, tool.cut_length or 0.0) if wide else (0.0, 0.0)
    known = tool.holder is not None and tool.reach is not None
    return shank, ((tool.holder or 0.0) / 2.0, tool.reach or 0.0) if known else (0.0, 0.0)
