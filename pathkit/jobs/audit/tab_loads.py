"""Whether tabs hold if their number was worked out: the estimate is made once more, by the audit's own table and sums.

The sheet that goes with the files says which strengths and forces are used, and where they come from. `FIGURES` has
only the values: strength along the grain, across it and in shear (MPa), cutting force (N/mm²) and density (kg/m³) (from
memory of the Wood Handbook, USDA FPL-GTR-282, chapter 5, for softwood and hardwood; all others common practice, no
source).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Final

import numpy as np

from pathkit.jobs.audit import heights, plane
from pathkit.jobs.audit.tables import Table
from pathkit.jobs.audit.tolerances import ROUNDING

FIGURES: Final[Mapping[str, tuple[float, float, float, float, float]]] = {
    "softwood": (45.0, 1.5, 5.9, 20.0, 500.0),
    "hardwood": (58.0, 1.8, 5.9, 40.0, 750.0),
    "plywood": (12.0, 12.0, 1.5, 30.0, 680.0),
    "mdf": (10.0, 10.0, 2.0, 30.0, 750.0),
    "hdf": (15.0, 15.0, 3.0, 45.0, 900.0),
    "bamboo": (50.0, 1.8, 5.0, 45.0, 700.0),
    "acrylic": (40.0, 40.0, 20.0, 60.0, 1190.0),
    "hdpe": (12.0, 12.0, 8.0, 30.0, 950.0),
}

DULL: Final = 2.0
"""Cutting force of a dull bit over that of a sharp one."""

SAFE: Final = 2.0
"""Safety factor: how many times the load the tabs must bear."""

UP: Final = 0.6
"""Lift over push of an up-cut bit."""

ROUNDED: Final = 1.02
"""Most that may be asked of tabs, over what they bear: arcs are chords here and there."""


def taken(
    path: Table, outline: plane.Points, load: tuple[float, float], tool: Table, stock: Table, grain: float
) -> float:  # fmt: skip
    """What a ``load`` (push and lift, N) asks of the weakest tab, times `SAFE`, over what that tab bears.

    ``outline`` (k, 2) is the path without its leads; ``grain`` degrees as the path lies.
    """
    along, across, shear, _, _ = FIGURES[str(stock["material"])]
    push, lift = load
    line = plane.vertices_of(path["curve"])
    station = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    places, ways = zip(*(_place(line, station, float(tab["at"])) for tab in path["tabs"]), strict=True)
    worst = 0.0
    for tab, part, way in zip(path["tabs"], _parts(np.array(places), outline), ways, strict=True):
        wide, high, kerf = float(tab["width"]), float(tab["height"]), float(tool["diameter"])
        # A tab runs across the contour: at a quarter turn to the way ahead.
        turn = math.radians(math.degrees(math.atan2(way[1], way[0])) + 90.0 - grain)
        sine, cosine = abs(math.sin(turn)) ** 1.5, abs(math.cos(turn)) ** 1.5
        # A sheet that is as strong both ways has no grain.
        bears = along if along == across else along * across / (along * sine + across * cosine)
        moments = 3.0 * part * push * kerf / (high * wide**2), 3.0 * part * lift * kerf / (wide * high**2)
        stress = max(moments[0], part * push / (wide * high)) + moments[1]
        slides = 1.5 * part * math.hypot(push, lift) / (wide * high)
        worst = max(worst, stress / bears, slides / shear)
    return SAFE * worst


def load(
    path: Table, outline: plane.Points, tool: Table, stock: Table, machine: Table
) -> tuple[float, float]:  # fmt: skip
    """Push and lift (N) of a dull bit at full width; the mass within the ``outline`` (k, 2) adds to the push."""
    *_, force, density = FIGURES[str(stock["material"])]
    mass = density * abs(plane.area(outline)) * (float(stock["thickness"]) + float(stock["thickness_tolerance"])) * 1e-9
    cutting, motion = path["cutting"], machine["motion"]
    feed = min(float(cutting["feed"]), *(float(limit) for limit in list(motion["feed_limit"])[:2]))
    wood = heights.wood_above(path.get("top"), stock)
    levels = path.get("levels") or _equal(wood, float(path["bottom"]), path.get("stepdown"))
    bite = max(above - below for above, below in zip([wood, *levels], levels, strict=False))
    teeth = float(tool["flutes"])
    cut = DULL * force * bite * feed / (float(cutting["spindle"]) * teeth) * max(1.0, teeth / 2.0)
    return cut + mass * max(float(a) for a in list(motion["acceleration"])[:2]) / 1000.0, UP * cut


def _equal(wood: float, bottom: float, stepdown: float | None) -> list[float]:
    count = 1 if stepdown is None else max(1, math.ceil((wood - bottom) / float(stepdown) - ROUNDING))
    return [wood - (wood - bottom) * (k + 1) / count for k in range(count)]


def _place(line: plane.Points, station: plane.Points, at: float) -> tuple[plane.Points, plane.Points]:
    """Where a tab stands, and which way the contour runs there."""
    at = at % float(station[-1])
    k = min(int(np.searchsorted(station, at, side="right")) - 1, len(line) - 2)
    way = line[k + 1] - line[k]
    return line[k] + way * (at - station[k]) / (station[k + 1] - station[k]), way


def _parts(places: plane.Points, line: plane.Points) -> Sequence[Any]:
    """The share of a load at the farthest place of the contour that each tab bears."""
    middle = places.mean(axis=0)
    arms = np.hypot(*(places - middle).T)
    far = np.hypot(*(line - middle).T).max()
    return [1.0 / len(places) + far * arm / max(float((arms**2).sum()), 1e-12) for arm in arms]
