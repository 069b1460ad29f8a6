"""The plan of a cut: lines and true arcs, or a trace in space."""

from __future__ import annotations

import math
from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pathkit.errors import ModelError
from pathkit.findings import Finding
from pathkit.geometry import spans as geometry
from pathkit.model.checking import Faults, locked
from pathkit.tolerances import COARSE_CHORDS, ROUNDING

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

FARTHEST = 1e6
"""mm. A kilometre: nothing on a bench is farther away, and squares of such numbers still resolve a micrometre."""


class Curve:
    """A frozen chain of lines and arcs in the bench frame, mm; see `polyline`, `circle`, `point`, `from_shapely`.

    ``points`` is (n, 2) for the plan of a cut, (n, 3) for a *trace*, which is cut at its own heights. ``sweeps`` holds
    one signed angle in radians for each span (0 a line, positive counter-clockwise, |sweep| < 2π); along an arc of a
    trace z changes evenly. A closed curve does not repeat its first point.

    Raises `ModelError` naming every impossible value.

    >>> pk.Curve.polyline([(0, 0), (30, 0), (30, 40)], closed=True).length
    120.0
    >>> pk.Curve.circle((10, 10), 5.0).bounds
    (5.0, 5.0, 15.0, 15.0)
    """

    __slots__ = ("__dict__", "closed", "points", "sweeps")

    points: NDArray[np.float64]
    sweeps: NDArray[np.float64]
    closed: bool

    def __init__(self, points: ArrayLike, sweeps: ArrayLike | None = None, closed: bool = False) -> None:
        if not isinstance(closed, (bool, np.bool_)):
            raise ModelError(
                [Finding(check="curve", what=f"closed is {closed!r}", fix="True or False", path="$.closed")]
            )
        made = _faultless(points, sweeps, closed) or _checked(points, sweeps, closed)
        for array in made:
            array.setflags(write=False)
        object.__setattr__(self, "points", made[0])
        object.__setattr__(self, "sweeps", made[1])
        object.__setattr__(self, "closed", bool(closed))

    def __setattr__(self, name: str, value: Any) -> None:
        raise AttributeError(f"a Curve is frozen: {name} cannot be set")

    def __delattr__(self, name: str) -> None:
        raise AttributeError(f"a Curve is frozen: {name} cannot be deleted")

    @classmethod
    def polyline(cls, points: ArrayLike, *, closed: bool = False, angles: ArrayLike | None = None) -> Curve:
        """Vertices joined by lines, or by arcs that turn by ``angles``: degrees for each span, 0 a line, positive
        counter-clockwise, less than a full turn."""
        if angles is None:
            return cls(points, None, closed)
        try:
            return cls(points, np.radians(np.asarray(angles, dtype=float)), closed)
        except (TypeError, ValueError) as error:
            if isinstance(error, ModelError):
                raise
            what = f"angles are {angles!r:.80}, not numbers"
            fix = "one angle in degrees for each span"
            raise ModelError([Finding(check="curve", what=what, fix=fix, path="$.angles")]) from None

    @classmethod
    def circle(cls, centre: ArrayLike, radius: float, ccw: bool = True) -> Curve:
        """A full circle that starts at its rightmost point; two half turns."""
        faults = Faults("circle")
        faults.number(radius, "radius", above=0.0)
        try:
            middle = np.asarray(centre, dtype=float)
        except (TypeError, ValueError):
            middle = np.full(2, np.nan)
        if middle.shape != (2,) or not np.isfinite(middle).all():
            faults.add(f"centre is {centre!r}", "two finite numbers", "centre")
        faults.raise_any()
        arm = np.array([radius, 0.0])
        turn = math.pi if ccw else -math.pi
        return cls(np.stack([middle + arm, middle - arm]), [turn, turn], closed=True)

    @classmethod
    def lines(cls, ends: ArrayLike) -> list[Curve]:
        """Straight lines between pairs of places (n, 2, 2), mm: what `Curve` makes of each, in a fraction of the time.

        Raises what `Curve` raises.
        """
        pairs = locked(ends).reshape(-1, 2, 2)
        step = pairs[:, 1] - pairs[:, 0]
        far = not np.abs(pairs).max(initial=0.0) <= FARTHEST
        if far or (step * step).sum(axis=1).min(initial=math.inf) <= 4.0 * ROUNDING * ROUNDING:
            return [cls(pair) for pair in pairs]
        straight = locked([0.0])
        found = []
        for pair in pairs:
            line = cls.__new__(cls)
            for name, value in (("points", pair), ("sweeps", straight), ("closed", False)):
                object.__setattr__(line, name, value)
            found.append(line)
        return found

    @classmethod
    def point(cls, xy: ArrayLike) -> Curve:
        """A single place, for a drill."""
        return cls(np.asarray(xy, dtype=float).reshape(1, -1))

    @classmethod
    def from_shapely(cls, geom: BaseGeometry) -> Curve:
        """A shapely Point, LineString, LinearRing, or a Polygon without holes (its ring keeps its direction).

        Raises `ModelError` for anything else, and for a LineString that ends where it begins: it may be meant closed,
        or as a cut that begins and ends in one place.
        """
        kind = getattr(geom, "geom_type", None)
        if kind is None:
            raise ModelError(f"from_shapely was given a {type(geom).__name__}; pass a shapely geometry")
        if geom.is_empty:
            raise ModelError(f"an empty {kind} has no curve; pass a shape with points")
        if kind == "Polygon":
            if len(geom.interiors):  # type: ignore[attr-defined]
                raise ModelError("a Polygon with holes is several curves; pass its rings one by one")
            return cls(np.asarray(geom.exterior.coords)[:-1], closed=True)  # type: ignore[attr-defined]
        if kind == "LinearRing":
            return cls(np.asarray(geom.coords)[:-1], closed=True)
        if kind == "LineString" and geom.is_closed:
            raise ModelError(
                "a LineString that ends where it begins may be meant open or closed; pass a LinearRing or Polygon, or"
                " Curve(points) for an open cut"
            )
        if kind in ("LineString", "Point"):
            return cls(np.asarray(geom.coords))
        raise ModelError(f"a {kind} is not one curve; pass a Point, LineString, LinearRing or Polygon")

    @cached_property
    def spans(self) -> geometry.Spans:
        """The curve split into columns; see `pathkit.geometry.spans`."""
        return geometry.take_apart(self.points, self.sweeps, self.closed)

    @property
    def is_trace(self) -> bool:
        return bool(self.points.shape[1] == 3)

    @property
    def is_point(self) -> bool:
        return len(self.points) == 1

    @property
    def length(self) -> float:
        """Arc length in mm."""
        return float(self.spans.station[-1])

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """(min x, min y, max x, max y) in mm; arcs are exact."""
        if self.sweeps.any():
            return geometry.bounds(self.spans)
        low, high = self.points.min(axis=0), self.points.max(axis=0)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])

    @property
    def area(self) -> float:
        """Signed area in mm², positive counter-clockwise; 0 for an open curve."""
        return geometry.signed_area(self.spans) if self.closed and not self.is_trace else 0.0

    def at(self, station: float) -> NDArray[np.float64]:
        """The point (2,) at ``station`` mm along; a closed curve wraps, an open one stops at its ends."""
        if self.is_point:
            place: NDArray[np.float64] = self.points[0]
            return place
        if self.closed:
            station = station % self.length
        return geometry.point_at(self.spans, station)

    def along(self, stations: ArrayLike) -> NDArray[np.float64]:
        """The points (k, 2) in the plan at ``stations`` (k,) mm along, as `at` gives them one by one."""
        at = np.asarray(stations, dtype=float)
        if self.is_point:
            return np.tile(self.points[0], (len(at), 1))
        return geometry.points_at(self.spans, at % self.length if self.closed else at)

    def flattened(self, tolerance: float = COARSE_CHORDS) -> NDArray[np.float64]:
        """Vertices (k, 2 or 3) of a polyline within ``tolerance`` mm; a closed one does not repeat its first vertex."""
        if self.is_trace and not self.sweeps.any():
            return self.points
        if tolerance not in self._flattened:
            self.keep_flattened(tolerance, geometry.flatten(self.points, self.sweeps, self.closed, tolerance))
        return self._flattened[tolerance]

    def has_flattened(self, tolerance: float) -> bool:
        """Whether the vertices within ``tolerance`` mm have been worked out."""
        return tolerance in self._flattened

    def keep_flattened(self, tolerance: float, vertices: NDArray[np.float64]) -> None:
        """Keep the vertices within ``tolerance`` mm, from here or from `pathkit.curves.at_once`."""
        vertices.setflags(write=False)
        self._flattened[tolerance] = vertices

    @cached_property
    def _flattened(self) -> dict[float, NDArray[np.float64]]:
        """What `flattened` found, by tolerance: a proof asks for the same few again and again."""
        return {}

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Curve):
            return NotImplemented
        return (
            self.closed == other.closed
            and np.array_equal(self.points, other.points)
            and np.array_equal(self.sweeps, other.sweeps)
        )

    def __hash__(self) -> int:
        return hash((self.closed, self.points.tobytes(), self.sweeps.tobytes()))

    def __reduce__(self) -> tuple[type[Curve], tuple[Any, Any, bool]]:
        return Curve, (np.array(self.points), np.array(self.sweeps), self.closed)

    def __repr__(self) -> str:
        kind = "closed" if self.closed else "open"
        return f"Curve({len(self.points)} points, {kind}, {self.length:.3f} mm)"


Arrays: TypeAlias = "tuple[NDArray[np.float64], NDArray[np.float64]]"


def _faultless(points: ArrayLike, sweeps: ArrayLike | None, closed: bool) -> Arrays | None:
    """Points and sweeps as arrays of their own; None if anything may be wrong with them. Drawings have many curves, and
    nearly all are in order."""
    try:
        array = np.array(points, dtype=float)
        if array.ndim != 2 or array.shape[1] not in (2, 3) or not np.abs(array).max(initial=0.0) <= FARTHEST:
            return None
        spans = len(array) if closed else len(array) - 1
        angles = np.zeros(max(spans, 0)) if sweeps is None else np.array(sweeps, dtype=float)
    except (TypeError, ValueError):
        return None
    step = array[1:] - array[:-1]
    if closed:
        step = np.concatenate([step, array[:1] - array[-1:]])
    turns = angles.shape == (spans,) and bool(np.abs(angles).max(initial=0.0) < 2 * math.pi)
    if spans < 2 * closed or not turns:
        return None
    if array.shape[1] == 3 and angles.any():
        # An arc needs two places in the plan.
        step[angles != 0.0, 2] = 0.0
    return (array, angles) if (step * step).sum(axis=1).min(initial=math.inf) > 4.0 * ROUNDING * ROUNDING else None


def _checked(points: ArrayLike, sweeps: ArrayLike | None, closed: bool) -> Arrays:
    """The same, slower: raises `ModelError` naming every impossible value."""
    faults = Faults("curve")
    array = _as_points(points, faults)
    spans = max(len(array) if closed else len(array) - 1, 0)
    angles = _as_sweeps(sweeps, spans, faults)
    if not faults.findings:
        _refuse_short_spans(array, angles, closed, faults)
    faults.raise_any()
    return locked(array), locked(angles)


def _as_points(points: ArrayLike, faults: Faults) -> NDArray[np.float64]:
    try:
        array = np.array(points, dtype=float)
    except (TypeError, ValueError):
        faults.add("points are not numbers", "pass an (n, 2) or (n, 3) array", "points")
        return np.zeros((1, 2))
    if array.ndim != 2 or array.shape[1] not in (2, 3) or len(array) == 0:
        faults.add(f"points have the shape {array.shape}", "pass (n, 2), or (n, 3) for a trace, n at least 1", "points")
        return np.zeros((1, 2))
    bad = np.flatnonzero(~(np.abs(array) <= FARTHEST).all(axis=1))
    if len(bad):
        fix = f"every number must be finite and within ±{FARTHEST:g} mm"
        faults.add(f"point {bad[0]} is {array[bad[0]].tolist()}", fix, f"points[{bad[0]}]")
        return np.zeros((1, 2))
    return array


def _as_sweeps(sweeps: ArrayLike | None, spans: int, faults: Faults) -> NDArray[np.float64]:
    if sweeps is None or faults.findings:
        return np.zeros(spans)
    try:
        angles = np.array(sweeps, dtype=float)
    except (TypeError, ValueError):
        faults.add("sweeps are not numbers", "one angle in radians for each span", "sweeps")
        return np.zeros(spans)
    if angles.shape != (spans,):
        faults.add(f"{angles.size} sweeps for {spans} spans", "one angle in radians for each span, 0 a line", "sweeps")
        return np.zeros(spans)
    for index in np.flatnonzero(~(np.abs(angles) < 2 * math.pi)):
        faults.add(f"sweep {index} is {angles[index]}", "it must lie between −2π and 2π", f"sweeps[{index}]")
    return angles


def _refuse_short_spans(
    points: NDArray[np.float64], sweeps: NDArray[np.float64], closed: bool, faults: Faults
) -> None:  # fmt: skip
    if closed and len(points) < 2:
        faults.add("a closed curve of one point", "pass at least two points", "points")
        return
    steps = (np.roll(points, -1, axis=0) - points) if closed else np.diff(points, axis=0)
    short = np.flatnonzero(np.sqrt((steps**2).sum(axis=1)) <= ROUNDING)
    if len(short):
        after = (int(short[0]) + 1) % len(points)
        hint = "a closed curve does not repeat its first point" if closed and after == 0 else "drop one of them"
        faults.add(f"points {short[0]} and {after} are the same place", hint, f"points[{after}]")
    elif points.shape[1] == 3:
        for index in np.flatnonzero((sweeps != 0.0) & (np.hypot(steps[:, 0], steps[:, 1]) <= ROUNDING)):
            what = f"span {index} is an arc that begins and ends above one place"
            faults.add(what, "give a whole turn as two halves", f"sweeps[{index}]")
