"""Compression cuts that spare the top edge: they enter through a hole bored in waste, and their first level is deep.

Where the bit goes down along the contour at an angle, its up-cut tip alone cuts the top edge. A hole bored beside the
contour (a bit of diameter D led round a circle of diameter d bores a hole of D + d) touches the edge at a single point.
In it the bit goes straight down through air to a first level deeper than its tip, and cuts the whole edge at that
depth.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from pathkit.curves.alike import loop_of
from pathkit.geometry.spans import heading_at
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Helix, Plunge, Toolpath, equal_levels
from pathkit.passes.compression import reach_of_tip, tears_the_top
from pathkit.passes.start_points import starts_of
from pathkit.tolerances import BESIDE_PART, ROUNDING, SAME_PLACE

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

ANGLE = 3.0
SHARE = 0.4
"""The helix' angle (degrees), and its diameter as a share of the bit's: it bores a small hole and leaves no post
(SHARE ≤ 1). Common practice, no source."""

BEYOND_TIP = 0.5
"""mm by which a first level that has to be made deeper goes beyond the tip, if the stepdown allows it (common
practice, no source)."""

Point = tuple[float, float]


def enter_in_waste(job: Job) -> tuple[Job, dict[str, str]]:
    """The job with every closed compression cut from the board's top entered in waste where possible, and by name the
    reason why each of the others cannot be."""
    paths: list[Toolpath] = []
    pairs = list(job.precedence)
    reasons: dict[str, str] = {}
    names = set(job.by_name)
    entered = holes_for_entries(job)
    tearing = {path.name for path in job.toolpaths if path.curve.closed and tears_the_top(path, job.stock)}
    if not tearing - entered.keys():
        return job, {}
    kept = _material(job)
    for path in job.toolpaths:
        if path.name in entered or path.name not in tearing:
            paths.append(path)
            continue
        levels = _deep_first(path, job.stock)
        place = _place(path, job, kept) if not isinstance(levels, str) else None
        why = levels if isinstance(levels, str) else place
        if isinstance(levels, str) or not isinstance(place, tuple):
            reasons[path.name] = str(why)
            paths.append(path)
            continue
        start, centre = place
        name = _free_name(f"{path.name} entry", names)
        paths.append(_hole(path, name, centre))
        paths.append(replace(path, levels=levels, start=start, free_start=False, entry=Plunge()))
        pairs.append((name, path.name))
    if len(paths) == len(job.toolpaths):
        return job, reasons
    return replace(job, toolpaths=tuple(paths), precedence=tuple(pairs)), reasons


def holes_for_entries(job: Job) -> dict[str, str]:
    """Name of the cut → name of the hole, for every cut that enters through a hole bored first and no less deep."""
    found: dict[str, str] = {}
    for first, second in job.precedence:
        hole, path = job.by_name[first], job.by_name[second]
        if not hole.curve.is_point or not isinstance(hole.entry, Helix) or path.curve.is_trace or path.free_start:
            continue
        room = (hole.tool.diameter + hole.entry.diameter) / 2.0 - path.tool.radius
        deep = hole.bottom is not None and path.bottom is not None and hole.bottom <= path.bottom + ROUNDING
        if deep and math.dist(hole.curve.points[0], path.curve.at(path.start)) <= room + SAME_PLACE:
            found[second] = first
    return found


def _hole(path: Toolpath, name: str, centre: Point) -> Toolpath:
    entry = Helix(ANGLE, SHARE * path.tool.diameter)
    return Toolpath(
        name,
        Curve.point(centre),
        path.tool,
        path.cutting,
        top=path.top,
        bottom=path.bottom,
        stepdown=path.stepdown,
        part=path.part,
        entry=entry,
    )


def _deep_first(path: Toolpath, stock: Stock) -> tuple[float, ...] | str:
    """Levels whose first is deeper than the tip on every board allowed, or why there are none."""
    wood, bottom, reach = path.highest(stock), path.depths(stock)[-1], reach_of_tip(path, stock)
    levels = path.depths(stock)
    if not path.tool.plunges:
        return f"{path.tool.name!r} does not cut at its centre, so it cannot go straight down in the hole bored for it"
    if wood - levels[0] > reach:
        return levels
    if wood - bottom <= reach:
        return f"it is only {wood - bottom:g} mm deep, so the {path.tool.tip_length:g} mm up-cut tip cuts it alone"
    first = min(path.stepdown if path.stepdown is not None else math.inf, reach + BEYOND_TIP, wood - bottom)
    if first <= reach:
        return (
            f"its stepdown of {first:g} mm does not go beyond the {path.tool.tip_length:g} mm up-cut tip"
            f" ({reach:g} mm with the thickness tolerance)"
        )
    if wood - first <= bottom + ROUNDING:
        return (bottom,)
    return (wood - first, *equal_levels(wood - first, bottom, path.stepdown))


def _place(path: Toolpath, job: Job, kept: BaseGeometry | None) -> tuple[float, Point] | str:
    """Where the contour can be entered from waste: its start there and the centre of the hole; or why it cannot."""
    import shapely

    if kept is None or (path.role != "outline" and not job.parts):
        return "the job has no parts, so it is not known which side of it is waste"
    board = shapely.box(0.0, 0.0, job.stock.width, job.stock.depth)
    barred = shapely.union_all([kept, *(zone.shape for zone in job.stock.zones if zone.is_keep_out)])
    shapely.prepare(barred)
    # A hair smaller, since the hole touches the part's edge at the point where the contour does.
    radius = (1.0 + SHARE) * path.tool.radius - BESIDE_PART
    for start in starts_of(path, job.stock):
        for centre in _beside(path, start):
            hole = shapely.Point(centre).buffer(radius)
            if shapely.intersects(board, shapely.Point(centre)) and not shapely.intersects(barred, hole):
                return start, centre
    return "no waste beside it has room for an entry hole"


def _beside(path: Toolpath, start: float) -> Iterator[Point]:
    """Centres of the holes on either side of the contour at a station."""
    place, ahead = path.curve.at(start), heading_at(path.curve.spans, start)
    offset = SHARE * path.tool.radius * np.array([-ahead[1], ahead[0]])
    for centre in (place + offset, place - offset):
        yield float(centre[0]), float(centre[1])


def _material(job: Job) -> BaseGeometry | None:
    """What must be left: the parts less their through holes; without parts, what the outlines surround."""
    import shapely

    if job.parts:
        parts: list[BaseGeometry] = []
        for part in job.parts:
            if part.outline is None:
                continue
            openings: list[BaseGeometry] = []
            for hole in part.holes:
                if hole.bottom is None:
                    opening = shapely.Polygon(hole.curve.flattened())
                    islands = [shapely.Polygon(island.flattened()) for island in hole.islands]
                    openings.append(opening.difference(shapely.union_all(islands)) if islands else opening)
            parts.append(shapely.Polygon(part.outline.flattened()).difference(shapely.union_all(openings)))
        return shapely.union_all(parts)
    loops = [(loop_of(path.curve), path.tool.radius) for path in job.toolpaths if path.role == "outline"]
    rings = [shapely.Polygon(loop.flattened()).buffer(-radius) for loop, radius in loops if loop is not None]
    return shapely.union_all(rings) if rings else None


def _free_name(wanted: str, names: set[str]) -> str:
    name, count = wanted, 2
    while name in names:
        name, count = f"{wanted} {count}", count + 1
    names.add(name)
    return name
