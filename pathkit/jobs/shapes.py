"""The shapes of a job file as curves: written in the file, or taken from a drawing beside it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from pathkit.curves.at_once import areas_of, polygons
from pathkit.curves.regions import moved, obround, rectangle, refusal
from pathkit.drawings.drawing import LARGEST, Drawing, crossing_of, crossings_of, named_loops
from pathkit.drawings.joining import Loose
from pathkit.errors import InputError
from pathkit.files import read_bytes
from pathkit.findings import Finding
from pathkit.jobs.overlaps import Pair, described, lying_over, overlapping, refuse_drawn_twice, twice
from pathkit.jobs.reading import JobFile
from pathkit.jobs.shape_forms import SHAPES, Shape
from pathkit.model.curve import Curve
from pathkit.tolerances import (
    BOX_AT_LEAST,
    COARSE_CHORDS,
    COMMON_EDGE,
    DRAWING_GAP,
    DRAWING_SIZE,
    SHAPE_CHORDS,
    UNIT_GUESS,
)
from pathkit.toml_source import Path as KeyPath


@dataclass(frozen=True)
class Outline:
    """Closed curves that belong together: an outer one and the holes in it. ``names`` are theirs in the drawing, the
    outer one's first; empty if there are none."""

    outer: Curve
    holes: tuple[Curve, ...] = ()
    names: tuple[str, ...] = ()

    def described(self, which: int = 0) -> str:
        """Words by which a person finds a curve: name and place; ``which``: 0 the outer one, k the k-th hole."""
        return described(self.outer if which == 0 else self.holes[which - 1], self.names[which] if self.names else "")


@dataclass(frozen=True)
class Shaped:
    """One shape of the file: ``name`` is its key; ``curves`` are closed, open or points. ``names`` are what a drawing
    calls the curves."""

    name: str
    curves: tuple[Curve, ...]
    names: tuple[str, ...] = ()

    @cached_property
    def outlines(self) -> tuple[Outline, ...]:
        """Its closed curves as outlines and holes, by the even-odd rule by which drawings are filled."""
        return nested(self.curves, self.names)

    def described(self, which: int) -> str:
        """Words by which a person finds a curve: its name and place."""
        return described(self.curves[which], self.names[which] if self.names else "")

    def closed(self, toolpath: str) -> tuple[Outline, ...]:
        """Its outlines, for a toolpath. Raises `InputError` for points, for open lines, with their gap, and for curves
        that overlap, with the place."""
        for curve in self.curves:
            if curve.is_point:
                raise refusal(toolpath, f"shape {self.name!r} consists of points, which have no inside", "drill them")
            if not curve.closed:
                a, b = curve.points[0], curve.points[-1]
                what = (
                    f"shape {self.name!r} is open by {math.dist(a, b):.3g} mm, from ({a[0]:.3f}, {a[1]:.3f})"
                    f" to ({b[0]:.3f}, {b[1]:.3f})"
                )
                raise refusal(toolpath, what, "close it, or give a larger join (mm) if the gap is only rounding")
        if found := [lying_over(self.described(p.one), self.described(p.other), p, toolpath) for p in self._overlaps]:
            raise InputError(found)
        return self.outlines

    def lines(self, toolpath: str) -> tuple[Curve, ...]:
        """Its lines, for a toolpath. Raises `InputError` for points."""
        if any(curve.is_point for curve in self.curves):
            what = f"shape {self.name!r} consists of points, and this operation needs lines"
            raise refusal(toolpath, what, "drill them")
        return self.curves

    @cached_property
    def _overlaps(self) -> tuple[Pair, ...]:
        return overlapping(self.curves)


@dataclass
class Shapes:
    """Makes the shapes of one job file; each drawing is read once. Findings go into ``found`` and ``notes``."""

    file: JobFile
    found: list[Finding] = field(default_factory=list)
    notes: list[Finding] = field(default_factory=list)
    _drawings: dict[tuple[Any, ...], Drawing | None] = field(default_factory=dict)

    def shape(self, name: str, form: Shape, path: KeyPath) -> Shaped | None:
        """The shape at a key path; None if it is unusable, with the reason added to ``found``."""
        try:
            shaped = self._shaped(name, form)
            _refuse_twice(shaped, form)
        except InputError as error:
            kind = next(k for k in SHAPES if getattr(form, k) is not None)
            here = self.file.finding((*path, kind), "")
            # Findings about a drawing point into it: add the line of the job file that names it.
            self.found += [
                self.file.finding((*path, kind), f"shape {name!r}: {_filed(f)}", f.fix) if f.file != here.file else f
                for f in error.findings
            ]
            return None
        return shaped

    def _shaped(self, name: str, form: Shape) -> Shaped:
        drawn = self._drawn(form) if form.svg is not None or form.dxf is not None else None
        curves = self._curves(form) if drawn is None else tuple(each.curve for each in drawn)
        names = () if drawn is None else tuple(each.name for each in drawn)
        if drawn is None and len(curves) > 1 and not any(curve.is_point for curve in curves):
            names = tuple(f"subpath {k}" for k in range(1, 1 + len(curves)))
        if form.at is not None:
            curves = tuple(moved(curve, form.at) for curve in curves)
        return Shaped(name, curves, names)

    def _curves(self, form: Shape) -> tuple[Curve, ...]:
        if form.rectangle is not None:
            box = form.rectangle
            return (rectangle(box.corner, box.width, box.depth, box.radius),)
        if form.circle is not None:
            return (Curve.circle(form.circle.centre, form.circle.radius),)
        if form.slot is not None:
            return (obround(form.slot.first, form.slot.last, form.slot.width),)
        if form.polygon is not None:
            return (_simple(Curve.polyline(form.polygon, closed=True)),)
        if form.line is not None:
            return (Curve.polyline(form.line),)
        if form.points is not None:
            return tuple(Curve.point(point) for point in form.points)
        from pathkit.drawings.svg_path import curves_of_path

        curves = curves_of_path(form.path or "")
        if not curves:
            raise InputError("the path has no length; draw at least one line, as in M 0 0 H 20")
        return tuple(_simple(curve) if curve.closed else curve for curve in curves)

    def _drawn(self, form: Shape) -> tuple[Loose, ...]:
        drawing = self._drawing(form)
        if drawing is None:
            raise InputError("its drawing cannot be used; mend what is reported for it")
        chosen = drawing.pick(form.layer, form.colour)
        points = tuple(Loose(s.curve, s.name) for s in chosen if s.curve.is_point)
        lines = [s for s in chosen if not s.curve.is_point]
        refuse_drawn_twice(lines, drawing.source)
        within = DRAWING_GAP if form.join is None else form.join
        found = (*points, *named_loops(lines, drawing.source, within=within, closed=False))
        for loose, crossing in zip(found, crossings_of([loose.curve for loose in found]), strict=True):
            if crossing is not None:
                raise InputError(f"{loose.name}: {_crossed(crossing)}")
        if form.size is not None:
            _check_size([loose.curve for loose in found], form.size)
        return found

    def _drawing(self, form: Shape) -> Drawing | None:
        name = form.svg or form.dxf or ""
        key = (name, form.units, form.scale)
        if key not in self._drawings:
            self._drawings[key] = None
            from pathkit.drawings import dxf, svg

            read = svg.read_svg if form.svg is not None else dxf.read_dxf
            data = read_bytes(self.file.folder / Path(name), LARGEST)
            drawing = read(data, name, units=form.units, scale=form.scale or 1.0)
            self.notes += drawing.left_out
            self._drawings[key] = drawing
        return self._drawings[key]


def nested(curves: Sequence[Curve], names: Sequence[str] = ()) -> tuple[Outline, ...]:
    """Closed curves as outlines with their holes, by the even-odd rule; open curves are left out. ``names`` are those
    of the curves, in the same order, or none."""
    import shapely

    closed = [k for k, curve in enumerate(curves) if curve.closed]
    areas = np.abs(areas_of([curves[k] for k in closed]))
    order = [closed[k] for k in np.argsort(-areas, kind="stable")]
    if len(order) < 2:
        return tuple(Outline(curves[k], (), tuple(names[k : k + 1])) for k in order)
    plates = polygons([curves[k] for k in order], SHAPE_CHORDS)
    tree = shapely.STRtree(plates)
    # Any place inside a ring will do, since rings do not cross, but not one on its edge: rings may touch.
    inside = shapely.point_on_surface(plates)
    pairs = tree.query(inside, predicate="within")
    holders: list[list[int]] = [[] for _ in order]
    for inner, outer in zip(*(column.tolist() for column in pairs), strict=True):
        if outer != inner and outer < inner:
            holders[inner].append(outer)
    holes: dict[int, list[int]] = {}
    for k, around in enumerate(holders):
        if len(around) % 2 == 0:
            holes[k] = []
        else:
            # It is a hole of the smallest ring round it, which is the last.
            holes.setdefault(max(around), []).append(k)
    found: list[Outline] = []
    for outer, inner in sorted(holes.items()):
        first, *others = (order[k] for k in (outer, *inner))
        called = tuple(names[k] for k in (first, *others)) if names else ()
        found.append(Outline(curves[first], tuple(curves[k] for k in others), called))
    return tuple(found)


def bounds_of(curves: Sequence[Curve]) -> tuple[float, float, float, float]:
    """(min x, min y, max x, max y) of all the curves, mm."""
    boxes = np.array([curve.bounds for curve in curves])
    low, high = boxes.min(axis=0), boxes.max(axis=0)
    return float(low[0]), float(low[1]), float(high[2]), float(high[3])


def box_round(curves: Sequence[Curve]) -> Curve:
    """The rectangle round all the curves, at least `BOX_AT_LEAST` mm wide and deep."""
    box = bounds_of(curves)
    return rectangle(box[:2], max(box[2] - box[0], BOX_AT_LEAST), max(box[3] - box[1], BOX_AT_LEAST))


def _refuse_twice(shaped: Shaped, form: Shape) -> None:
    """Raises `InputError` for curves of one shape that are the same: both would be cut."""
    found = [
        Finding(check="shape", what=f"{shaped.described(a)} and {shaped.described(b)} are one and the same",
                fix="delete one of them" if form.path is not None else "delete one of them in the drawing")
        for a, b in twice(shaped.curves)
    ]  # fmt: skip
    if found:
        raise InputError(found)


def _simple(curve: Curve) -> Curve:
    if (crossing := crossing_of(curve)) is not None:
        fix = "give its points in order along the outline"
        raise InputError([Finding(check="drawing", what=_crossed(crossing), fix=fix)])
    return curve


def _crossed(crossing: str) -> str:
    """The finding about a shape that crosses itself or encloses nothing (in words)."""
    return f"the shape {crossing}"


def _check_size(curves: Sequence[Curve], size: Sequence[float]) -> None:
    box = bounds_of(curves)
    found = box[2] - box[0], box[3] - box[1]
    if max(abs(found[0] - size[0]), abs(found[1] - size[1])) <= DRAWING_SIZE:
        return
    what = f"it measures {found[0]:.3f} × {found[1]:.3f} mm and should measure {size[0]:g} × {size[1]:g} mm"
    ratios = [want / have for want, have in zip(size, found, strict=True) if have > 0.0]
    for factor, said in (
        (25.4, "the drawing is in inches"),
        (1 / 25.4, "the drawing is in mm, but was read as inches"),
    ):
        if ratios and all(abs(ratio / factor - 1.0) < UNIT_GUESS for ratio in ratios):
            what = f"{what}; perhaps {said}"
    raise InputError(
        [
            Finding(
                check="drawing",
                what=what,
                fix=f"mend the drawing or its units, or set scale or size = [{found[0]:.6g}, {found[1]:.6g}]",
            )
        ]
    )


def _filed(finding: Finding) -> str:
    return f"{finding.file}: {finding.what}" if finding.file else finding.what


def area_of(curve: Curve) -> Any:
    """The inside of a closed curve (shapely), within `COARSE_CHORDS` mm."""
    from shapely.geometry import Polygon

    return Polygon(curve.flattened(COARSE_CHORDS)).buffer(0.0)


def area_beyond(one: Any, other: Any) -> float | None:
    """mm² of an area (shapely) that lie beyond another; None if they have no more in common than an edge."""
    import shapely

    # Prepared, it tells at once that a shape lies within it, as nearly all do.
    shapely.prepare(other)
    within = bool(shapely.contains_properly(other, one))
    common = one if within else one.intersection(other)
    if common.area <= COMMON_EDGE:
        return None
    return 0.0 if within else float(one.difference(other).area)


def overlap(one: Any, other: Any) -> bool:
    """Whether two areas (shapely) have more in common than an edge."""
    return bool(one.intersection(other).area > COMMON_EDGE)
