"""The shapes of a job file as plain vertices: its own ones by the audit's own arithmetic, drawings by libraries.

All in mm, in the part's own frame: x to the right, y away from the operator.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final

import numpy as np

from pathkit.jobs.audit import plane
from pathkit.jobs.audit.plane import Points
from pathkit.jobs.audit.tables import Table
from pathkit.jobs.audit.tolerances import EXACT, ROUNDING

JOIN: Final = 0.05
"""mm: gaps in a drawing up to this are closed, unless the job file says otherwise."""

SHARP: Final = 135.0
"""Degrees: corners up to this get room for a square peg, if that is asked for."""

STRAIGHT, CURVED, UNCLEAR = range(3)
"""Kinds of span of a ring: a corner lies between two straight ones."""

PEG: Final = 0.05
"""mm by which the radius of such room is larger than the bit's."""


class CannotRead(Exception):
    """Why the audit does not judge a shape."""


@dataclass(frozen=True)
class Corner:
    """A corner between straight sides: its ``place`` (2,), the unit vector ``way`` (2,) along its bisector, and its
    ``angle`` in degrees.

    ``within``: the angle lies inside the ring; otherwise it lies outside.
    """

    place: Points
    way: Points
    angle: float
    within: bool

    def moved(self, by: float) -> Points:
        """Where it is once both its sides are moved out of the ring by ``by`` mm: away from its angle if that lies
        within, and into it if not."""
        far = by / math.sin(math.radians(self.angle) / 2.0)
        place: Points = self.place + (-far if self.within else far) * self.way
        return place


@dataclass(frozen=True)
class Outline:
    """A ring and the rings directly within it (first vertex repeated), with the corners of each (None: not known)."""

    outer: Points
    holes: tuple[Points, ...] = ()
    corners: Mapping[int, tuple[Corner, ...] | None] | None = None

    def ring(self, which: int) -> Points:
        """``which``: 0 for the outer ring, k for the k-th hole."""
        return self.outer if which == 0 else self.holes[which - 1]

    def relieved(
        self, which: int, radius: float, whole: Any, *, by: float = 0.0, outside: bool = False,
        mouths: Sequence[Points] = (),
    ) -> Any:  # fmt: skip
        """The inside of a `ring` (shapely) with room for square pegs in the corners on the bit's side: inside the ring,
        or ``outside`` it. ``whole`` is the inside of the ring without that, its edge moved out ``by`` so many mm.
        Corners on ``mouths``, polylines along which there is no wall, get none. Raises `CannotRead`.

        The room is a disc a little wider than the bit, through each corner, with its centre on the corner's bisector.
        """
        import shapely

        known = None if self.corners is None else self.corners[which]
        if known is None:
            raise CannotRead("it is not clear to the audit where a drawing has corners to be relieved")
        bite = radius + PEG
        inside = [corner for corner in known if corner.within != outside and not plane.lies_on(corner.place, mouths)]
        centres = [(corner.moved(by) + bite * corner.way).tolist() for corner in inside]
        room = shapely.union_all([shapely.Polygon(plane.circle(centre, bite)) for centre in centres])
        return shapely.difference(whole, room) if outside else shapely.union(whole, room)


@dataclass(frozen=True)
class Figure:
    """One shape: closed ``rings`` (first vertex repeated), open ``lines``, single ``points``.

    ``slack`` is how far off (mm) it may be drawn. ``corners`` are those of each ring, None if they are not known.
    """

    rings: tuple[Points, ...] = ()
    lines: tuple[Points, ...] = ()
    points: tuple[tuple[float, float], ...] = ()
    slack: float = EXACT
    corners: tuple[tuple[Corner, ...] | None, ...] | None = None

    @property
    def every(self) -> tuple[Points, ...]:
        return (*self.rings, *self.lines, *(np.array([point]) for point in self.points))

    @cached_property
    def outlines(self) -> tuple[Outline, ...]:
        """Rings by how deeply they are nested: outer rings at even depths, holes of the ring round them at odd ones."""
        import shapely

        order = sorted(range(len(self.rings)), key=lambda k: -abs(plane.area(self.rings[k][:-1])))
        if len(order) < 2:
            return tuple(self._outline([k]) for k in order)
        plates = shapely.STRtree([shapely.Polygon(self.rings[k]) for k in order])
        firsts = shapely.points([self.rings[k][0] for k in order])
        around: list[list[int]] = [[] for _ in order]
        for inner, outer in zip(*plates.query(firsts, predicate="within").tolist(), strict=True):
            if outer < inner:
                around[inner].append(outer)
        around = [sorted(holders) for holders in around]
        holes: dict[int, list[int]] = {k: [] for k in range(len(order)) if len(around[k]) % 2 == 0}
        for k, holders in enumerate(around):
            if len(holders) % 2:
                holes.setdefault(holders[-1], []).append(k)
        return tuple(self._outline([order[i] for i in (k, *inner)]) for k, inner in sorted(holes.items()))

    def _outline(self, members: Sequence[int]) -> Outline:
        outer, *holes = (self.rings[k] for k in members)
        known = None if self.corners is None else {i: self.corners[k] for i, k in enumerate(members)}
        return Outline(outer, tuple(holes), known)

    def moved(self, by: Sequence[float]) -> Figure:
        offset = np.asarray(by, dtype=float)
        corners = self.corners and tuple(
            each and tuple(replace(corner, place=corner.place + offset) for corner in each) for each in self.corners
        )
        return replace(
            self,
            rings=tuple(ring + offset for ring in self.rings),
            lines=tuple(line + offset for line in self.lines),
            points=tuple((x + float(offset[0]), y + float(offset[1])) for x, y in self.points),
            corners=corners,
        )


def figure_of(shape: Table, beside: Mapping[str, bytes]) -> Figure:
    """The shape of a table from `read_tables`. Raises `CannotRead` for a drawing that the audit does not judge."""
    figure = _drawn(shape, beside)
    return figure if shape["at"] is None else figure.moved(shape["at"])


def _drawn(shape: Table, beside: Mapping[str, bytes]) -> Figure:
    kind, given = shape["kind"], shape["is"]
    if kind == "rectangle":
        return _ring(*_rectangle(given))
    if kind == "circle":
        (x, y), r = given["centre"], given["radius"]
        return _ring([(x + r, y), (x - r, y)], [math.pi, math.pi])
    if kind == "slot":
        return _ring(*_stadium(given))
    if kind == "polygon":
        return _ring(given, [0.0] * len(given))
    if kind == "line":
        return Figure(lines=(plane.vertices(given),))
    if kind == "points":
        return Figure(points=tuple((float(x), float(y)) for x, y in given))
    from pathkit.jobs.audit import drawings

    if kind == "path":
        return drawings.path_figure(given)
    if given not in beside:
        raise CannotRead(f"the drawing {given!r} is missing")
    read = drawings.svg_figure if kind == "svg" else drawings.dxf_figure
    return read(beside[given], shape)


def _rectangle(given: Table) -> tuple[list[tuple[float, float]], list[float]]:
    """Eight vertices (four without a radius), counter-clockwise from the front side."""
    x, y = given["corner"]
    w, d, r = given["width"], given["depth"], given["radius"]
    if not r:
        return [(x, y), (x + w, y), (x + w, y + d), (x, y + d)], [0.0] * 4
    points = [
        (x + r, y), (x + w - r, y), (x + w, y + r), (x + w, y + d - r), (x + w - r, y + d), (x + r, y + d),
        (x, y + d - r), (x, y + r),
    ]  # fmt: skip
    return points, [0.0, math.pi / 2.0] * 4


def _stadium(given: Table) -> tuple[list[tuple[float, float]], list[float]]:
    (ax, ay), (bx, by) = given["first"], given["last"]
    away = math.hypot(bx - ax, by - ay)
    nx, ny = -(by - ay) / away * given["width"] / 2.0, (bx - ax) / away * given["width"] / 2.0
    points = [(ax - nx, ay - ny), (bx - nx, by - ny), (bx + nx, by + ny), (ax + nx, ay + ny)]
    return points, [0.0, math.pi, 0.0, math.pi]


def _ring(points: Sequence[Any], sweeps: Sequence[float]) -> Figure:
    ring = plane.vertices(points, sweeps, closed=True)
    kinds = [CURVED if sweep else STRAIGHT for sweep in sweeps]
    return Figure(rings=(ring,), corners=(corners_of(points, kinds, plane.area(ring[:-1])),))


def corners_of(points: Any, kinds: Sequence[int], area: float) -> tuple[Corner, ...] | None:
    """Corners between straight sides, sharp enough to be relieved, of a ring (k, 2) whose spans are of these ``kinds``
    and whose signed ``area`` says on which side its inside lies. None if it is not clear whether a side is straight.
    """
    ring = np.asarray(points, dtype=float)
    found: list[Corner] = []
    for k in range(len(ring)):
        if CURVED in (kinds[k - 1], kinds[k]):
            # If rounds fill a rectangle's side, that side has no length.
            continue
        back, ahead = ring[k - 1] - ring[k], ring[(k + 1) % len(ring)] - ring[k]
        back, ahead = back / math.hypot(*back), ahead / math.hypot(*ahead)
        angle = math.degrees(math.acos(max(-1.0, min(1.0, float(back @ ahead)))))
        if angle > SHARP + ROUNDING:
            continue
        if UNCLEAR in (kinds[k - 1], kinds[k]):
            return None
        way = back + ahead
        if not math.hypot(*way) > ROUNDING:
            return None
        within = area * (ahead[0] * back[1] - ahead[1] * back[0]) > 0.0
        found.append(Corner(ring[k], way / math.hypot(*way), angle, within))
    return tuple(found)
