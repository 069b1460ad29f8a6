"""Where the bit's centre has to run, and whether it does: size, place, side, sense and handedness of every cut."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

import numpy as np

from pathkit.jobs.audit import plane
from pathkit.jobs.audit.figures import Outline
from pathkit.jobs.audit.levels import lap
from pathkit.jobs.audit.plane import Points
from pathkit.jobs.audit.tables import Table
from pathkit.jobs.audit.tolerances import HAIR, ROUNDING, SIZES_ALIKE, TINY
from pathkit.jobs.audit.works import Work

_SHORTEST: Final = 0.35  # share of the lead asked for that remains where there is little room


@dataclass(frozen=True)
class Track:
    """A line for the bit's centre; ``sense`` is 1 counter-clockwise, −1 clockwise, 0 either way."""

    points: Points
    sense: int = 0

    @property
    def closed(self) -> bool:
        return len(self.points) > 3 and math.dist(self.points[0], self.points[-1]) < ROUNDING


@dataclass(frozen=True)
class Tracks:
    """All the lines of one operation, and how far off them (mm) its cuts may run."""

    every: tuple[Track, ...]
    slack: float

    @cached_property
    def _segments(self) -> tuple[Any, Any]:
        return plane.segments([track.points for track in self.every])

    @property
    def tree(self) -> Any:
        """All of them, to measure how far something lies from the nearest."""
        return self._segments[0]

    @cached_property
    def _ends(self) -> tuple[Points, Points]:
        """(k, 2) where each track begins, and where it ends."""
        return np.array([track.points[0] for track in self.every]), np.array([track.points[-1] for track in self.every])

    def followed(self, points: Points) -> int | None:
        """The number of a track along which a polyline runs vertex by vertex, either way, within `slack`; None if there
        is none. No place of a straight piece is further from another's than the further of their ends."""
        for there in (points, points[::-1]):
            off = [np.hypot(*(ends - end).T) for ends, end in zip(self._ends, (there[0], there[-1]), strict=True)]
            for number in np.flatnonzero(np.maximum(*off) <= self.slack).tolist():
                track = self.every[number].points
                if len(track) == len(points) and (np.hypot(*(track - there).T) <= self.slack).all():
                    return int(number)
        return None

    def nearest(self, place: Points) -> Track:
        """The track that runs nearest to a place (2,)."""
        import shapely

        tree, owner = self._segments
        return self.every[int(owner[int(tree.nearest(shapely.Point(place)))])]


def judge_lines(tracks: Tracks, paths: Sequence[Table], lead: float, shortest: float | None = None) -> list[str]:
    """What is wrong with cuts that follow ``tracks`` with leads of at most ``lead`` mm radius; empty if nothing is.

    A lead is at least ``shortest`` mm long, by default a share of the full one.
    """
    if not tracks.every:
        return ["is cut, and nothing is to be cut there"] if paths else []
    said: list[str] = []
    run = [lap(path) for path in paths]
    followed = [tracks.followed(points) for points in run]
    for path, points, number in zip(paths, run, followed, strict=True):
        said += _judge_lead(path, lead, tracks, shortest)
        off, place = (0.0, points[0]) if number is not None else plane.apart([points], tracks.tree)
        if off > tracks.slack:
            said.append(f"runs {off:.3f} mm off the line that it has to follow, at {plane.place_text(place)}")
        elif any(track.sense for track in tracks.every):
            said += _judge_sense(path, points, tracks)
    cut: Any = None
    done = set(followed)
    for number, track in enumerate(tracks.every):
        if not run or number in done or (track.closed and plane.length(track.points) < TINY):
            continue
        cut = cut or plane.segments(run)[0]
        off, place = plane.apart([track.points], cut)
        if off > tracks.slack:
            said.append(f"leaves out a line: the nearest cut is {off:.3f} mm away, at {plane.place_text(place)}")
    if said and run:
        said[0] += _likeness(run, tracks)
    return said


def _judge_sense(path: Table, points: Points, tracks: Tracks) -> list[str]:
    nearest = tracks.nearest(points[len(points) // 2])
    if not nearest.sense:
        return []
    area = plane.area(points[:-1] if np.allclose(points[0], points[-1]) else points)
    sense = math.copysign(1.0, area) * (-1.0 if path.get("backward", False) else 1.0)
    if sense == nearest.sense:
        return []
    ways = {1: "counter-clockwise", -1: "clockwise"}
    return [f"runs {ways[-nearest.sense]}, and {ways[nearest.sense]} is asked for"]


def _judge_lead(path: Table, lead: float, tracks: Tracks, shortest: float | None) -> list[str]:
    """A ring is cut as a ring, or with leads of quarter circles no larger than asked for."""
    within = path.get("entry", {}).get("within")
    if within is None:
        rings = all(track.closed for track in tracks.every)
        return ["is an open cut, and its shape is closed"] if rings and not path["curve"].get("closed", False) else []
    quarter = lead * math.pi / 2.0
    least = _SHORTEST * quarter if shortest is None else shortest
    if not least - HAIR <= within <= quarter + HAIR:
        return [f"has a lead {within:.3f} mm long, and one of radius {lead:g} mm is asked for"]
    return []


def _likeness(run: Sequence[Points], tracks: Tracks) -> str:
    """What would explain a line that does not fit: it is mirrored, turned, or of another size."""
    left, front, right, back = plane.box(run)
    middle = np.array([(left + right) / 2.0, (front + back) / 2.0])
    low_x, low_y, high_x, high_y = plane.box(track.points for track in tracks.every)
    aim = np.array([(low_x + high_x) / 2.0, (low_y + high_y) / 2.0])
    about = [points - middle for points in run]
    sizes = (right - left) / max(high_x - low_x, ROUNDING), (back - front) / max(high_y - low_y, ROUNDING)
    for factor, words in ((25.4, "25.4 times too large"), (1 / 25.4, "25.4 times too small")):
        if all(abs(size / factor - 1.0) < SIZES_ALIKE for size in sizes):
            return f" (it is {words}: inches and millimetres are mixed up)"
    for quarters in range(4):
        for flip, words in ((1.0, "turned"), (-1.0, "mirrored")):
            moved = [plane.turned(points * np.array([flip, 1.0]), quarters) + aim for points in about]
            if plane.apart(moved, tracks.tree)[0] <= tracks.slack:
                return f" (it is {words})" if quarters or flip < 0.0 else " (it lies elsewhere)"
    return ""


def contour_tracks(work: Work, cleared: Sequence[Any] = (), allowance: float = 0.0) -> Tracks:
    """The lines of a contour, ``allowance`` mm off its wall, except round the regions (shapely) that are cleared.

    Climb goes clockwise round what stays and counter-clockwise round an opening, for a spindle that turns clockwise
    seen from above (common practice, no source).
    """
    side, climb = work.table["side"], 1 if work.table["direction"] == "climb" else -1
    tracks: list[Track] = []
    for figure in work.figures_of():
        if side == "on":
            tracks += [Track(ring, -climb) for ring in figure.rings] + [Track(line) for line in figure.lines]
            continue
        for outline in figure.outlines:
            for which in range(1 + len(outline.holes)):
                outside = (side == "outside") == (which == 0)
                area = work.inside(outline, which, outside=outside)
                if any(area.equals(region) for region in cleared):
                    continue
                sense = -climb if outside else climb
                aside = work.radius + allowance
                tracks += tracks_of(plane.grown(area, aside if outside else -aside), sense)
    return Tracks(tuple(tracks), work.slack)


def judge_neighbours(work: Work, paths: Sequence[Table]) -> list[str]:
    """Whether a contour round several shapes cuts into one of them: if they are closer together than the bit is wide,
    the line round one runs into the next."""
    if work.table["side"] != "outside":
        return []
    solids = [_solid(outline, work) for outline in work.outlines()]
    if len(solids) < 2:
        return []
    stays = plane.union(solids)
    swept = plane.grown(plane.join_lines(lap(path) for path in paths), work.radius - work.slack)
    common = swept.intersection(stays)
    if common.area <= work.slack**2:
        return []
    return [f"cuts into a shape beside it that is to stay, at {plane.place_text(plane.spot(common))}"]


def _solid(outline: Outline, work: Work) -> Any:
    """What stays of an outline that is cut round: without its holes, and without the room for pegs in both."""
    holes = [work.inside(outline, which) for which in range(1, 1 + len(outline.holes))]
    return work.inside(outline, outside=True).difference(plane.union(holes))


def line_tracks(work: Work) -> Tracks:
    """The lines themselves, for marks and for grooves as wide as the bit."""
    figures = work.figures_of()
    every = [Track(points) for figure in figures for points in (*figure.rings, *figure.lines)]
    return Tracks(tuple(every), work.slack)


def tracks_of(area: Any, sense: int) -> list[Track]:
    """The edges of a shapely area: its outer ones in ``sense``, its inner ones in the opposite sense."""
    import shapely

    tracks: list[Track] = []
    for piece in shapely.get_parts(area):
        if piece.geom_type == "Polygon" and not piece.is_empty:
            tracks.append(Track(shapely.get_coordinates(piece.exterior), sense))
            tracks += [Track(shapely.get_coordinates(ring), -sense) for ring in piece.interiors]
    return tracks
