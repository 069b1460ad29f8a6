"""Ways down into the wood: straight, back and forth along the curve, or round a helix."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from pathkit.geometry import spans as geometry
from pathkit.lowering.cut import Course, Cut, course_of, cut_of, refusal, vertices
from pathkit.lowering.rows import Rows
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting
from pathkit.model.toolpath import Descend, Helix, Peck, Plunge, Ramp, Spiral, Toolpath
from pathkit.tolerances import GRAZE, QUOTIENT_ROUNDING, SAME_HEIGHT, SAME_PLACE, SWEEP_CHORDS

DEFAULT_ANGLE = 3.0
"""Degrees, where a bit must go down at an angle and no entry names one. Common practice is 2-5, no source."""

MOST_TURNS = 5000
"""More legs or laps than this for one way down means that the curve is too short for the angle."""

ABOVE_FLOOR = 0.5
"""mm above the bottom of the last peck at which the rapid ends and the next peck begins (common practice, no
source)."""


@dataclass(frozen=True)
class HelixDown:
    """A helix with its place: the bit's centre goes round ``centre`` at ``radius``, from and back to ``begin``."""

    centre: tuple[float, float]
    radius: float
    angle: float
    begin: tuple[float, float]


WayDown = Plunge | Peck | Ramp | HelixDown


def way_down(cut: Cut, course: Course) -> WayDown:
    """The entry of each level at the start of ``course``; a helix that fits nowhere becomes a ramp of its angle.

    Raises `Refused` where the bit must not go straight down, or where a helix would leave a post.
    """
    toolpath = cut.toolpath
    entry = toolpath.entry
    if isinstance(entry, Helix):
        check_helix(toolpath, entry)
        helix = place_helix(cut, course, entry)
        return helix if helix is not None else Ramp(entry.angle)
    if isinstance(entry, Ramp):
        return entry
    if isinstance(entry, Spiral):
        return Ramp(entry.angle)
    if isinstance(entry, Descend):
        return Plunge()
    check_plunge(toolpath)
    return entry


def check_plunge(toolpath: Toolpath) -> None:
    """Raises `Refused` unless the bit cuts at its centre."""
    if not toolpath.tool.plunges:
        what = f"{toolpath.tool.name!r} does not cut at its centre, so it must not go straight down into wood"
        fix = "enter by Ramp, Spiral or Helix, or set centre_cutting = true if the bit does cut there"
        raise refusal(toolpath, what, fix)


def check_helix(toolpath: Toolpath, entry: Helix) -> None:
    """Raises `Refused` where the helix is wider than the bit: a post would be left in its middle."""
    if entry.diameter > toolpath.tool.diameter + SAME_PLACE:
        what = f"a helix of {entry.diameter:g} mm leaves a post: the bit is only {toolpath.tool.diameter:g} mm wide"
        raise refusal(toolpath, what, "make the helix no wider than the bit")


def go_down(rows: Rows, cut: Cut, course: Course, way: WayDown, z_from: float, z_to: float) -> None:
    """From ``z_from``, where the wood begins, to ``z_to`` at the start of ``course``.

    The bit stands at the start (for a helix, at its ``begin``). Any wedge that a ramp leaves lies on the course ahead,
    so that the level's own run cleans it.
    """
    cutting = cut.toolpath.cutting
    if isinstance(way, Plunge):
        rows.sink(z_to, cutting.plunge)
        return
    if isinstance(way, Peck):
        peck_down(rows, cut, way.depth, z_from, z_to)
        return
    rows.sink(z_from, cutting.plunge)
    if isinstance(way, HelixDown):
        turn_down(rows, way, z_from, z_to, cut)
        rows.line(*course.start, z_to, cutting.feed)
    else:
        longest = math.inf if way.within is None else way.within
        ramp_down(rows, cut, course, 0.0, z_from, z_to, way.angle, longest)


def peck_down(rows: Rows, cut: Cut, depth: float, z_from: float, z_to: float) -> None:
    """Straight down in equal bites of at most ``depth`` mm.

    Before each bite a bit that stands on the wood goes up to the approach height.
    """
    drop = z_from - z_to
    bites = math.ceil(drop / depth - QUOTIENT_ROUNDING)
    for bite in range(1, bites + 1):
        floor = z_from - drop * (bite - 1) / bites
        if rows.z <= floor + SAME_HEIGHT:
            rows.to_height(cut.approach)
            rows.to_height(min(floor + ABOVE_FLOOR, cut.approach))
        rows.sink(z_to if bite == bites else z_from - drop * bite / bites, cut.toolpath.cutting.plunge)


def ramp_down(
    rows: Rows, cut: Cut, course: Course, station: float, z_from: float, z_to: float, angle: float,
    longest: float = math.inf,
) -> None:  # fmt: skip
    """Back and forth on the stretch after ``station``, ending there at ``z_to``.

    Legs are equal and even in number, never steeper than ``angle`` degrees. After a turn the bit meets wood twice as
    deep as a leg's drop, so a leg drops by at most half a bite. Legs are as long as the drop needs and at least two
    diameters, since a bit that does not cut at its centre must move off its own footprint, but no longer than
    ``longest`` mm and the free stretch. Raises `Refused` where that stretch is too short.
    """
    toolpath = cut.toolpath
    drop = z_from - z_to
    if drop <= SAME_HEIGHT:
        return
    slope = math.tan(math.radians(angle))
    ahead = course.free_ahead(station, z_to)
    leg = min(ahead, longest, max(drop / (2.0 * slope), 2.0 * toolpath.tool.diameter))
    legs = (
        0 if leg <= SAME_PLACE else 2 * math.ceil(max(drop / (2.0 * leg * slope), drop / cut.bite) - QUOTIENT_ROUNDING)
    )
    if not 0 < legs <= MOST_TURNS or (leg < toolpath.tool.radius and not toolpath.tool.plunges):
        what = f"a ramp of {angle:g}° has only {leg:.3g} mm of the curve to go down {drop:.3g} mm"
        raise refusal(toolpath, what, "start further from a tab, use a helix, or a bit that cuts at its centre")
    back_and_forth(rows, course, (station, station + leg), z_from, z_to, legs, toolpath.cutting)


def back_and_forth(
    rows: Rows, course: Course, stretch: tuple[float, float], z_from: float, z_to: float, legs: int, cutting: Cutting
) -> None:
    """``legs`` along the stretch (two stations) and back, each with the same drop."""
    ahead = course.stretch(*stretch)
    back = geometry.turned_round(ahead)
    drop = z_from - z_to
    feed = cutting.ramp_feed(drop / math.hypot(legs * float(ahead.station[-1]), drop))
    z = z_from
    for leg in range(1, legs + 1):
        lower = z_to if leg == legs else z_from - drop * leg / legs
        rows.along(ahead if leg % 2 else back, z, lower, feed)
        z = lower


def turn_down(rows: Rows, helix: HelixDown, z_from: float, z_to: float, cut: Cut) -> None:
    """Counter-clockwise (climb, with a clockwise spindle) turns from ``z_from`` to ``z_to`` and a flat one there.

    Drop per turn ≤ min(π d tan α, bite): the helix' slope, and what one turn removes. Raises `Refused` for more
    than `MOST_TURNS`.
    """
    cutting = cut.toolpath.cutting
    drop = z_from - z_to
    round_ = 2.0 * math.pi * helix.radius
    turns = math.ceil(max(drop / (round_ * math.tan(math.radians(helix.angle))), drop / cut.bite) - QUOTIENT_ROUNDING)
    if turns > MOST_TURNS:
        what = f"a helix of {2.0 * helix.radius:.3g} mm at {helix.angle:g}° takes {turns} turns for {drop:.3g} mm"
        raise refusal(cut.toolpath, what, "make it wider or steeper, or go straight down")
    if turns > 0:
        feed = cutting.ramp_feed(drop / math.hypot(turns * round_, drop))
        for turn in range(1, turns + 1):
            z = z_to if turn == turns else z_from - drop * turn / turns
            rows.turn(helix.centre, 2.0 * math.pi, z, feed)
    rows.turn(helix.centre, 2.0 * math.pi, z_to, cutting.feed)


def helix_fits(toolpath: Toolpath, stock: Stock) -> bool:
    """Whether this toolpath's `Helix` finds room at its start within what the toolpath itself sweeps.

    True for a point, whose helix is the bore itself. Raises `Refused` where it is wider than the bit.
    """
    entry = toolpath.entry
    if not isinstance(entry, Helix):
        return False
    check_helix(toolpath, entry)
    if toolpath.curve.is_point:
        return True
    cut = cut_of(toolpath, stock)
    return place_helix(cut, course_of(cut, stock), entry) is not None


def place_helix(cut: Cut, course: Course, entry: Helix) -> HelixDown | None:
    """A place near the start of ``course`` where the helix stays within the cut's swept area; None if there is none.

    Tried in this order: centres round the start at the helix' radius (it then passes through the start), at √2 times
    that (into a square corner), a little further (clear of the scallops that a raster leaves on its side), then on the
    curve itself.
    """
    radius, bit = entry.diameter / 2.0, cut.toolpath.tool.radius
    start = np.array(course.start)
    reach = min(course.length, 4.0 * (radius + bit))
    ring = np.stack([(math.cos(a), math.sin(a)) for a in np.arange(16) * (math.pi / 8.0)])
    along = geometry.points_at(course.spans, np.arange(0.0, reach, max(radius, bit) / 2.0))
    corner = math.sqrt(2.0) * radius
    offsets = (radius, corner, *(corner + share * bit for share in (0.05, 0.1, 0.2, 0.4, 0.8)))
    centres = np.concatenate([*(start + offset * ring for offset in offsets), along])
    lines = _near(course, cut.bottom, start, reach + 2.0 * (radius + bit))
    # Equal parts have equal pockets: only how the curve lies round its start decides, so that is the key of the cache.
    key = np.round(lines - start, 6).tobytes(), np.round(centres - start, 6).tobytes()
    index = _first_fit(*key, radius, bit)
    if index < 0:
        return None
    centre = centres[index]
    return HelixDown((float(centre[0]), float(centre[1])), radius, entry.angle, _nearest_on(centre, radius, start))


def _nearest_on(centre: NDArray[np.float64], radius: float, place: NDArray[np.float64]) -> tuple[float, float]:
    arm = place - centre
    distance = math.hypot(arm[0], arm[1])
    unit = arm / distance if distance > SAME_PLACE else np.array([1.0, 0.0])
    if abs(distance - radius) <= SAME_PLACE:
        return float(place[0]), float(place[1])
    begin = centre + radius * unit
    return float(begin[0]), float(begin[1])


@lru_cache(maxsize=256)
def _first_fit(lines: bytes, centres: bytes, radius: float, bit: float) -> int:
    """Index of the first centre whose disc and lead to the origin (the start) lie in what the lines sweep, else −1."""
    import shapely

    segments = np.frombuffer(lines).reshape(-1, 2, 2)
    middle = np.frombuffer(centres).reshape(-1, 2)
    swept = shapely.union_all(shapely.buffer(shapely.linestrings(segments), bit, quad_segs=24))
    shapely.prepare(swept)
    fits = shapely.covers(swept, shapely.buffer(shapely.points(middle), radius + bit - GRAZE, quad_segs=24))
    for index in np.flatnonzero(fits):
        begin = _nearest_on(middle[index], radius, np.zeros(2))
        lead = shapely.linestrings([begin, (0.0, 0.0)])
        if shapely.covers(swept, shapely.buffer(lead, bit - GRAZE, quad_segs=24)):
            return int(index)
    return -1


def _near(course: Course, z: float, place: NDArray[np.float64], reach: float) -> NDArray[np.float64]:
    """Segments (k, 2, 2) of the course, within 0.002 mm, that the bit runs at ``z`` no further than ``reach`` away."""
    parts = []
    for piece in course.pieces_at(z):
        if piece.gap is None or piece.gap.top <= z + SAME_HEIGHT:
            points = vertices(piece.spans, SWEEP_CHORDS)
            parts.append(np.stack([points[:-1], points[1:]], axis=1))
    segments: NDArray[np.float64] = np.concatenate(parts)
    begin, step = segments[:, 0], segments[:, 1] - segments[:, 0]
    square = (step**2).sum(axis=1)
    share = np.clip(((place - begin) * step).sum(axis=1) / np.where(square > 0.0, square, 1.0), 0.0, 1.0)
    distance = np.sqrt(((begin + share[:, None] * step - place) ** 2).sum(axis=1))
    near: NDArray[np.float64] = segments[distance <= reach]
    return near
