"""Floors: where the bit clears, how far its lines lie apart and at what angle, and the pass at the wall."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from pathkit.jobs.audit import mouths, plane
from pathkit.jobs.audit.figures import Outline
from pathkit.jobs.audit.levels import lap
from pathkit.jobs.audit.lines import Tracks, judge_lines, tracks_of
from pathkit.jobs.audit.tables import OPERATIONS, Table
from pathkit.jobs.audit.tolerances import CRUMB, EDGE, LEVEL, ROUNDING
from pathkit.jobs.audit.works import Work

FINER: Final = 1.5
"""Times as many lines as asked for are allowed: some are ways from one line to the next, along the floor's edges."""

WHOLE: Final = 0.95
"""Share of a floor's width that its lines must cover; those at its very ends do not count."""

ALLOWANCE: Final = (0.2, 0.1)
"""What a floor leaves by default for the pass along its wall: mm, or a share of the bit's diameter, whichever is less.
"""


@dataclass(frozen=True)
class Floor:
    """A region (shapely) to be cleared, and how: ``step`` mm between lines at ``angle`` degrees from x, or rings.

    ``before`` its open edges, if it has any, there is room for the bit (shapely).
    """

    region: Any
    allowance: float
    step: float
    angle: float
    rings: bool
    climb: bool
    lead: float
    before: Any = None


def judge_floor(floor: Floor, paths: Sequence[Table], work: Work) -> list[str]:
    """What is wrong with the cuts that clear a floor."""
    radius = work.radius
    clears = [path for path in paths if path.get("role") == "pocket"]
    walls = [path for path in paths if path.get("role") == "finish"]
    if floor.before is not None:
        past = plane.grown(floor.region, 2.0 * radius + floor.allowance + 2.0 * EDGE)
        off, place = plane.apart([lap(path) for path in paths], past)
        said = (
            [] if off <= work.slack else [f"runs {off:.3f} mm too far past its open edge, at {plane.place_text(place)}"]
        )
        return said + _left_over(floor, paths, work)
    tracks = Tracks(tuple(tracks_of(plane.grown(floor.region, -radius), 1 if floor.climb else -1)), work.slack)
    said = judge_lines(tracks, walls, floor.lead)
    field = plane.grown(floor.region, -radius - floor.allowance)
    if clears:
        off, place = plane.apart([lap(path) for path in clears], field)
        if off > work.slack:
            said.append(f"clears {off:.3f} mm too near its wall, at {plane.place_text(place)}")
        else:
            said += _judge_rings(floor, field, clears) if floor.rings else _judge_rows(floor, field, clears, work)
    said += _judge_bite(floor, field, walls, work)
    return said + _left_over(floor, paths, work)


def _judge_bite(floor: Floor, field: Any, walls: Sequence[Table], work: Work) -> list[str]:
    """A pass along a wall may go down at once only where the floor beside it was cleared before."""
    if work.asked.stepdown is None:
        return []
    near = max(2.0 * floor.allowance, work.radius / 2.0) + EDGE
    said = []
    for path in walls:
        if path.get("stepdown") is None and (field.is_empty or plane.apart([lap(path)], field)[0] > near):
            said.append("goes down at once along a wall where nothing was cleared before it")
    return said


def _judge_rows(floor: Floor, field: Any, clears: Sequence[Table], work: Work) -> list[str]:
    """Each piece of the floor has lines at the angle asked for, from end to end, and no further apart than asked."""
    import shapely
    from shapely import affinity

    strokes = strokes_of(clears, floor.angle)
    level = affinity.rotate(field, -floor.angle, origin=(0.0, 0.0))
    said: list[str] = []
    for piece in shapely.get_parts(level):
        left, front, right, back = piece.bounds
        if max(right - left, back - front) <= 2.0 * (work.radius - floor.allowance):
            continue
        shapely.prepare(wide := piece.buffer(EDGE))
        mine = strokes[shapely.covers(wide, shapely.points(strokes[:, :2]))] if len(strokes) else strokes
        if not len(mine):
            said.append(f"has no lines at {floor.angle:g} degrees in a piece of its floor")
            continue
        rows = _rows(mine, piece)
        gaps = np.diff(np.concatenate([[front], rows[:, 0], [back]]))
        widest, ends = float(gaps[1:-1].max(initial=0.0)), float(max(gaps[0], gaps[-1]))
        if widest > floor.step + 10.0 * LEVEL or ends > EDGE + 10.0 * LEVEL:
            apart = max(widest, ends)
            said.append(f"clears by lines up to {apart:.3f} mm apart, and {floor.step:.3f} mm are asked for")
        elif len(rows) > FINER * math.ceil((back - front) / floor.step) + 4:
            said.append(
                f"clears by {len(rows)} lines, too many for the {floor.step:.3f} mm between them that are asked for"
            )
        elif len(rows) > 2 and rows[1:-1, 1].sum() < WHOLE * rows[1:-1, 2].sum():
            said.append("clears by lines that do not run from wall to wall")
    return said[:2]


def _rows(strokes: plane.Points, piece: Any) -> plane.Points:
    """The lines (k, 3) in a piece of a floor: the height of each, its length, and how long it could be, mm.

    A line less than half as long as it could be is a way from one line to the next, and is left out.
    """
    import shapely

    strokes = strokes[np.argsort(strokes[:, 1])]
    which = np.cumsum(np.diff(strokes[:, 1], prepend=strokes[0, 1]) > 10.0 * LEVEL)
    lengths = np.bincount(which, weights=strokes[:, 2])
    heights = np.bincount(which, weights=strokes[:, 1]) / np.bincount(which)
    left, _, right, _ = piece.bounds
    across = np.full(len(heights), np.inf)
    # Rounding puts a line along the floor's edge inside or outside it: the shortest length nearby is enough.
    for off in (-EDGE, 0.0, EDGE):
        lines = shapely.linestrings([[(left - 1.0, y + off), (right + 1.0, y + off)] for y in heights.tolist()])
        across = np.minimum(across, shapely.length(shapely.intersection(lines, piece)))
    rows: plane.Points = np.stack([heights, lengths, across], axis=1)[lengths >= across / 2.0]
    return rows


def strokes_of(clears: Sequence[Table], angle: float) -> plane.Points:
    """Middles and lengths (k, 3) of the stretches that run at an angle (degrees), in a frame where they are level."""
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    back = np.array([[cos, -sin], [sin, cos]])
    found: list[plane.Points] = []
    for path in clears:
        points = np.asarray(path["curve"]["points"], dtype=float) @ back
        sweeps = np.asarray(path["curve"].get("sweeps", np.zeros(len(points) - 1)), dtype=float)
        ahead = np.roll(points, -1, axis=0)[: len(sweeps)]
        points = points[: len(sweeps)]
        straight = (sweeps == 0.0) & (np.abs(ahead - points)[:, 1] <= LEVEL)
        lengths = np.abs(ahead - points)[straight, :1]
        found.append(np.concatenate([(points + ahead)[straight] / 2.0, lengths], axis=1))
    return np.concatenate(found) if found else np.zeros((0, 3))


def _judge_rings(floor: Floor, field: Any, clears: Sequence[Table]) -> list[str]:
    """No place of the floor is further than a step from a ring."""
    lines = plane.join_lines(plane.vertices_of(path["curve"]) for path in clears)
    left = field.difference(plane.grown(lines, floor.step + EDGE))
    if plane.grown(left, -CRUMB).is_empty:
        return []
    return [f"clears by rings more than {floor.step:.3f} mm apart, at {plane.place_text(plane.spot(left))}"]


def _left_over(floor: Floor, paths: Sequence[Table], work: Work) -> list[str]:
    """What the bit could clear and does not."""
    if not paths:
        return []
    radius = work.radius
    room = floor.region if floor.before is None else plane.union([floor.region, floor.before])
    reach = plane.grown(plane.grown(room, -radius), radius).intersection(floor.region)
    lines = plane.join_lines(lap(path) for path in paths)
    left = reach.difference(plane.grown(lines, radius))
    if plane.grown(left, -CRUMB - work.slack).is_empty:
        return []
    return [f"leaves wood standing that is to be cleared, at {plane.place_text(plane.spot(left))}"]


def beginning_in(region: Any, paths: Sequence[Table]) -> tuple[list[Table], list[Table]]:
    """The toolpaths that begin in a region (shapely), and the others."""
    import shapely

    shapely.prepare(region)
    inside = [bool(region.intersects(shapely.Point(path["curve"]["points"][0][:2]))) for path in paths]
    return (
        [path for path, here in zip(paths, inside, strict=True) if here],
        [path for path, here in zip(paths, inside, strict=True) if not here],
    )


def pocket_regions(work: Work) -> list[Any]:
    """What a pocket takes out (shapely): the inside of each outline of its shapes, without the islands in it."""
    lands = [outline.outer for outline in work.outlines("islands")]
    return [
        work.inside(outline).difference(
            plane.union([work.fitted(ring, stays=True) for ring in (*outline.holes, *lands)])
        )
        for outline in work.outlines()
    ]


def pocket_floors(work: Work, grain: float) -> list[Floor]:
    """The floors of a pocket."""
    table, diameter = work.table, work.asked.diameter
    return [
        Floor(
            region, usual_allowance(diameter) if table["wall_allowance"] is None else float(table["wall_allowance"]),
            float(table["stepover"]) * work.asked.stepover * diameter,
            grain if table["angle"] is None else float(table["angle"]), table["style"] in ("rings", "offset"),
            table["direction"] == "climb", work.radius if table["lead"] is None else float(table["lead"]),
            before=_before(outline, work),
        )
        for outline, region in zip(work.outlines(), pocket_regions(work), strict=True)
    ]  # fmt: skip


def _before(outline: Outline, work: Work) -> Any:
    """Room for the bit before the open edges of a pocket (shapely), None if it has none."""
    if not work.open_edges:
        return None
    return mouths.before(outline.outer, work.open_edges, work.asked.diameter + abs(float(work.tables.job["fit"])))


def usual_allowance(diameter: float) -> float:
    """mm that a floor leaves by default for the pass along its wall."""
    return min(ALLOWANCE[0], ALLOWANCE[1] * diameter)


def groove(work: Work) -> tuple[float, list[tuple[Any, float]]]:
    """Width (mm) of a slot; for each of its lines, the region that it takes (shapely) and its angle (degrees)."""
    # A slot without a width is as wide as its bit, whatever the fit.
    given = work.table["width"]
    width = float(work.asked.means["diameter"] if given is None else given + work.tables.job["fit"])
    regions: list[tuple[Any, float]] = []
    for figure in work.figures_of():
        for points in (*figure.rings, *figure.lines):
            way = points[-1] - points[0]
            closed = math.hypot(*way) < ROUNDING
            angle = 0.0 if closed else math.degrees(math.atan2(way[1], way[0]))
            regions.append((plane.grown(plane.line(points), width / 2.0), angle))
    return width, regions


def round_floor(centre: tuple[float, float], diameter: float, work: Work, grain: float) -> Floor:
    """A hole wider than the bit, cleared like a pocket."""
    return groove_floor(plane.plate(plane.circle(centre, diameter / 2.0)), diameter, work, grain)


def opening_floor(region: Any, work: Work, grain: float) -> Floor:
    """An opening whose core is cleared by a pocket with defaults; lead and allowance are the contour's, if any."""
    usual, table = OPERATIONS["pocket"], work.table
    finish = table["finish"]
    left = usual_allowance(work.asked.diameter) if finish is None else float(finish["allowance"])
    return Floor(
        region, left,
        float(usual["stepover"]) * work.asked.stepover * work.asked.diameter, grain, False,
        table["direction"] == "climb", float(table["lead"]) or work.radius,
    )  # fmt: skip


def groove_floor(region: Any, width: float, work: Work, angle: float) -> Floor:
    """A floor for which the job file gives only the shape, ``width`` mm wide, cleared at ``angle`` degrees."""
    diameter = work.asked.diameter
    allowance = min(usual_allowance(diameter), (width - diameter) / 4.0)
    step = float(OPERATIONS["pocket"]["stepover"]) * work.asked.stepover * diameter
    return Floor(region, allowance, step, angle, False, True, work.radius)
