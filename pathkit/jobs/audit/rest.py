"""What the second bit of a pocket cuts: all that the first cannot reach, at the wall and off it, and no more."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import Any, Final

import numpy as np

from pathkit.jobs.audit import plane
from pathkit.jobs.audit.levels import lap
from pathkit.jobs.audit.lines import Track, tracks_of
from pathkit.jobs.audit.pockets import Floor, beginning_in, strokes_of, usual_allowance
from pathkit.jobs.audit.tables import Table
from pathkit.jobs.audit.tolerances import CRUMB, EDGE, HAIR, HEADING_STEP, THIN
from pathkit.jobs.audit.works import Work

FURTHER: Final = 2.5
"""Radii of the second bit: how far its centre may run from wood that the first bit leaves; leads do not count."""

_PART: Final = re.compile(r"(?: rest)? (?:rows|raster|rings|wall)(?: \d+)?$")


def together(wide: str, narrow: str) -> bool:
    """Whether two toolpaths, by their names, belong to the same pocket of an operation, which may have several."""
    return _PART.sub("", wide) == _PART.sub("", narrow)


def judge_rests(floors: Sequence[Floor], paths: Sequence[Table], work: Work) -> list[str]:
    """What is wrong with the second bit's cuts in the floors of a pocket."""
    said: list[str] = []
    left = list(paths)
    for floor in floors:
        mine, left = beginning_in(plane.grown(floor.region, work.slack), left)
        said += _judge(floor, mine, work)
    return said + ["has cuts of its second bit where nothing is asked for"] * bool(left)


def _judge(floor: Floor, paths: Sequence[Table], work: Work) -> list[str]:
    assert work.rest is not None
    radius, slack = work.rest.diameter / 2.0, work.slack
    room = plane.grown(floor.region, -radius)
    reach = plane.grown(room, radius)
    wide = plane.grown(plane.grown(floor.region, -work.radius), work.radius)
    wood = _solid(reach.difference(wide))
    if wood.is_empty:
        return ["has cuts of its second bit, and the first reaches as far"] if paths else []
    walls = [path for path in paths if path.get("role") == "finish"]
    clears = [path for path in paths if path.get("role") != "finish"]
    said = _at_the_wall(walls, room, wood, radius, slack, 1 if floor.climb else -1)
    said += _leads(walls, radius if work.table["lead"] is None else floor.lead, radius)
    if work.rest.stepdown is not None and any(path.get("stepdown") is None for path in paths):
        said.append("goes down at once with its second bit where wood is left")
    off, place = plane.apart([lap(path) for path in paths], plane.grown(wood, FURTHER * radius + EDGE))
    if off > slack:
        said.append(
            f"takes its second bit {off:.3f} mm too far from wood that the first leaves, at {plane.place_text(place)}"
        )
    along = plane.grown(plane.join_lines(map(lap, walls)), radius)
    said += _off_the_wall(clears, floor, _solid(wood.difference(along)), work)
    swept = along.union(plane.grown(plane.join_lines(map(lap, clears)), radius))
    missed = wood.difference(swept)
    if not plane.grown(missed, -CRUMB - slack).is_empty:
        said.append(f"leaves wood standing that its second bit reaches, at {plane.place_text(plane.spot(missed))}")
    return said


def _at_the_wall(walls: Sequence[Table], room: Any, wood: Any, radius: float, slack: float, sense: int) -> list[str]:
    """The passes keep to the edge of where the bit's centre may be, run the right way round, and leave nothing out."""
    import shapely

    tracks = tracks_of(room, sense)
    edge = plane.segments([track.points for track in tracks])[0]
    said: list[str] = []
    for path in walls:
        points = lap(path)
        off, place = plane.apart([points], edge)
        if off > slack:
            said.append(
                f"runs its second bit {off:.3f} mm off the line along the wall that it has to follow, "
                f"at {plane.place_text(place)}"
            )
        elif not _runs_with(points, tracks, bool(path.get("backward", False))):
            said.append("runs its second bit along a wall the wrong way round")
    asked = room.boundary.intersection(plane.grown(wood, radius - EDGE))
    made = plane.grown(plane.join_lines(map(lap, walls)), slack)
    lacking = asked.difference(made)
    if shapely.length(lacking) > EDGE:
        spot = max(shapely.get_parts(lacking), key=shapely.length).interpolate(0.5, normalized=True)
        said.append(f"leaves out a wall that its second bit has to cut, at ({spot.x:.3f}, {spot.y:.3f})")
    return said


def _runs_with(points: plane.Points, tracks: Sequence[Track], backward: bool) -> bool:
    """Whether a pass runs along the nearest track in the sense of that, judged by its longest piece."""
    import shapely

    longest = int(np.argmax(np.hypot(*np.diff(points, axis=0).T)))
    first, last = points[longest], points[longest + 1]
    middle = shapely.Point((first + last) / 2.0)
    track = min(tracks, key=lambda track: shapely.distance(plane.line(track.points), middle))
    line = plane.line(track.points)
    here = float(shapely.line_locate_point(line, middle))
    ahead = shapely.get_coordinates(shapely.line_interpolate_point(line, (here + HEADING_STEP) % line.length))[0]
    back = shapely.get_coordinates(shapely.line_interpolate_point(line, (here - HEADING_STEP) % line.length))[0]
    turns = 1.0 if plane.area(track.points[:-1]) > 0.0 else -1.0
    along = float((last - first) @ (ahead - back)) * turns * track.sense
    return (along > 0.0) != backward


def _leads(walls: Sequence[Table], lead: float, radius: float) -> list[str]:
    """Leads are no longer than quarter circles of the radius asked for, or than the bit's radius along the wall."""
    longest = max(lead * math.pi / 2.0, radius) + HAIR
    within = max((float(path.get("entry", {}).get("within") or 0.0) for path in walls), default=0.0)
    if within <= longest:
        return []
    return [f"has a lead of its second bit {within:.3f} mm long, and one of radius {lead:g} mm is asked for"]


def _off_the_wall(clears: Sequence[Table], floor: Floor, wood: Any, work: Work) -> list[str]:
    """What is not reached from the wall is cleared by lines at the angle asked for, or by rings, close enough."""
    assert work.rest is not None
    radius = work.rest.diameter / 2.0
    if not clears:
        return []
    said: list[str] = []
    laps = [lap(path) for path in clears]
    allowance = usual_allowance(work.rest.diameter) if work.table["wall_allowance"] is None else floor.allowance
    off, place = plane.apart(laps, plane.grown(floor.region, -radius - allowance))
    if off > work.slack:
        said.append(f"clears {off:.3f} mm too near its wall with its second bit, at {plane.place_text(place)}")
    step = floor.step * work.rest.diameter / work.asked.diameter
    if floor.rings:
        done, how = plane.grown(plane.join_lines(laps), step + EDGE), "rings"
    else:
        done, how = plane.grown(_rows(clears, floor.angle), step / 2.0 + EDGE), f"lines at {floor.angle:g} degrees"
    gap = wood.difference(done)
    if not plane.grown(gap, -CRUMB - work.slack).is_empty:
        place = plane.spot(gap)
        said.append(f"has {how} of its second bit more than {step:.3f} mm apart, at {plane.place_text(place)}")
    return said


def _rows(clears: Sequence[Table], angle: float) -> Any:
    """The stretches that run at an angle (shapely); ways from one to the next do not count."""
    import shapely
    from shapely import affinity

    x, y, length = strokes_of(clears, angle).T
    level = np.stack([np.stack([x - length / 2.0, y], axis=1), np.stack([x + length / 2.0, y], axis=1)], axis=1)
    return affinity.rotate(shapely.multilinestrings(list(level)), angle, origin=(0.0, 0.0))


def _solid(area: Any) -> Any:
    """An area (shapely) without what is thinner than rounding."""
    return plane.grown(plane.grown(area, -THIN / 2.0), THIN).intersection(area)
