"""The wood that tabs may leave standing, as regions with a height."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from pathkit.model.toolpath import TAB_SLOPE, Tab, Toolpath
from pathkit.proof.material.cross_sections import quarters
from pathkit.tolerances import CUT_RIM, SAME_PLACE, STUB_STEP, TAB_SEARCH

STEPS: Final = 6
"""Steps that stand for the slope at an end of a sloped tab: the wood may be up to one step higher than the slope."""


@dataclass(frozen=True)
class Stub:
    """``plan`` (shapely) of the wood that a tab may leave, up to z = ``top``."""

    plan: Any
    top: float


def stubs_of(path: Toolpath, tab: Tab, underside: float) -> list[Stub]:
    """What a tab may leave above ``underside``: its width up to its top, and the slopes of a sloped one in `STEPS`
    steps."""
    import shapely

    whole, top = stub_of(path, tab), underside + tab.height
    stubs = [Stub(whole, top)]
    if tab.shape == "sloped" and (rise := top - path.lowest) > 0.0:
        for step in range(STEPS):
            # As wide as the slope is at the step's lower end, and as high as it is at the upper end.
            low, high = (top - rise * (step + share) / STEPS for share in (1.0, 0.0))
            wider = stub_of(path, tab, (top - low) / math.tan(math.radians(TAB_SLOPE)))
            stubs.append(Stub(shapely.difference(wider, whole), high))
            whole = wider
    return stubs


def half_way(path: Toolpath, tab: Tab, apart: float) -> float:
    """How far (mm along the curve) from the middle of a tab two places lie, one on either side, that are ``apart`` mm
    in a straight line."""
    half = apart / 2.0
    while 2.0 * half < path.curve.length:
        lacking = apart - math.dist(path.curve.at(tab.at - half)[:2], path.curve.at(tab.at + half)[:2])
        if lacking <= SAME_PLACE:
            break
        half += max(lacking / 2.0, TAB_SEARCH)
    return half


def stub_of(path: Toolpath, tab: Tab, foot: float = 0.0) -> Any:
    """The plan (shapely) of all that a tab may leave: along the path its width, the bit's diameter and a ``foot`` (mm)
    at either end; across the path the width of the cut.

    On a bend, width and diameter are measured in a straight line.
    """
    import shapely

    half = half_way(path, tab, tab.width + path.tool.diameter + 2.0 * CUT_RIM) + foot
    stations = np.linspace(tab.at - half, tab.at + half, max(2, math.ceil(half / STUB_STEP)))
    line = shapely.linestrings(path.curve.along(stations))
    wide = path.tool.radius + CUT_RIM
    return shapely.buffer(line, wide, cap_style="flat", quad_segs=quarters(wide))
