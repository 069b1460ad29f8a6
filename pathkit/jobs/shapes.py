"""The shapes of a job file as curves: written in the file, or taken from a drawing beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from pathkit.curves.regions import moved, obround, rectangle
from pathkit.drawings.drawing import LARGEST, Drawing, Drawn, crossing_of, loops
from pathkit.errors import InputError
from pathkit.files import read_bytes
from pathkit.findings import Finding
from pathkit.jobs import forms
from pathkit.jobs.reading import JobFile
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
    """Closed curves that belong together: an outer one and the holes within it."""

    outer: Curve
    holes: tuple[Curve, ...] = ()


@dataclass(frozen=True)
class Shaped:
    """One shape of the file. ``curves`` may be open, or points, as the shape is; ``name`` for messages."""

    name: str
    curves: tuple[Curve, ...]

    @cached_property
    def outlines(self) -> tuple[Outline, ...]:
        """Closed curves by who lies within whom: even ones enclose, odd ones are holes (as drawings are filled)."""
        return nested(self.curves)


@dataclass
class Shapes:
    """Makes the shapes of one job file; each drawing is read once. Findings gather in ``found`` and ``notes``."""

    file: JobFile
    found: list[Finding] = field(default_factory=list)
    notes: list[Finding] = field(default_factory=list)
    _drawings: dict[tuple[Any, ...], Drawing | None] = field(default_factory=dict)

    def shape(self, name: str, form: forms.Shape, path: KeyPath) -> Shaped | None:
        """The shape that stands at a key path; None, with the reason among ``found``, where it is none."""
        try:
            curves = self._curves(form)
        except InputError as error:
            kind = next(k for k in forms.SHAPES if getattr(form, k) is not None)
            here = self.file.finding((*path, kind), "")
            # A fault of a drawing points into the drawing; the line of the job that names it says the rest.
            self.found += [
                self.file.finding((*path, kind), f"shape {name!r}: {_told(f)}", f.fix) if f.file != here.file else f
                for f in error.findings
            ]
            return None
        if form.at is not None:
            curves = tuple(moved(curve, form.at) for curve in curves)
        return Shaped(name, curves)

    def _curves(self, form: forms.Shape) -> tuple[Curve, ...]:
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
        if form.path is not None:
            from pathkit.drawings.svg_path import curves_of_path

            curves = curves_of_path(form.path)
            if not curves:
                raise InputError("the path has no length")
            return tuple(_simple(curve) if curve.closed else curve for curve in curves)
        return self._drawn(form)

    def _drawn(self, form: forms.Shape) -> tuple[Curve, ...]:
        drawing = self._drawing(form)
        if drawing is None:
            raise InputError("its drawing cannot be used, as said before")
        chosen = drawing.pick(form.layer, form.colour)
        points = tuple(s.curve for s in chosen if s.curve.is_point)
        lines = [s for s in chosen if not s.curve.is_point]
        within = DRAWING_GAP if form.join is None else form.join
        curves = (*points, *loops(lines, drawing.source, within=within, closed=False))
        for ring, drawn in _closed(curves, lines):
            if (crossing := crossing_of(ring)) is not None:
                raise InputError(f"{drawn}: the shape {crossing}")
        if form.size is not None:
            _check_size(curves, form.size)
        return curves

    def _drawing(self, form: forms.Shape) -> Drawing | None:
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


def nested(curves: Sequence[Curve]) -> tuple[Outline, ...]:
    """Closed curves as outlines with their holes, by the rule of even and odd; open ones are left out."""
    import shapely
    from shapely.geometry import Polygon

    rings = sorted((curve for curve in curves if curve.closed), key=lambda ring: -abs(ring.area))
    if len(rings) < 2:
        return tuple(Outline(ring) for ring in rings)
    plates = [Polygon(ring.flattened(SHAPE_CHORDS)) for ring in rings]
    tree = shapely.STRtree(plates)
    inside = shapely.points([plate.exterior.coords[0] for plate in plates])
    pairs = tree.query(inside, predicate="within")
    holders: list[list[int]] = [[] for _ in rings]
    for inner, outer in zip(*(column.tolist() for column in pairs), strict=True):
        if outer != inner and outer < inner:
            holders[inner].append(outer)
    holes: dict[int, list[Curve]] = {}
    for k, around in enumerate(holders):
        if len(around) % 2 == 0:
            holes[k] = []
        else:
            # The smallest of those round it, which is the last, is the one it is a hole of.
            holes.setdefault(max(around), []).append(rings[k])
    return tuple(Outline(rings[k], tuple(inner)) for k, inner in sorted(holes.items()))


def bounds_of(curves: Sequence[Curve]) -> tuple[float, float, float, float]:
    """(min x, min y, max x, max y) of them all, mm."""
    boxes = np.array([curve.bounds for curve in curves])
    low, high = boxes.min(axis=0), boxes.max(axis=0)
    return float(low[0]), float(low[1]), float(high[2]), float(high[3])


def box_round(curves: Sequence[Curve]) -> Curve:
    """The rectangle round them all, at least `BOX_AT_LEAST` mm wide and deep."""
    box = bounds_of(curves)
    return rectangle(box[:2], max(box[2] - box[0], BOX_AT_LEAST), max(box[3] - box[1], BOX_AT_LEAST))


def _simple(curve: Curve) -> Curve:
    if (crossing := crossing_of(curve)) is not None:
        raise InputError(f"the shape {crossing}")
    return curve


def _closed(curves: Sequence[Curve], lines: Sequence[Drawn]) -> list[tuple[Curve, str]]:
    names = {id(drawn.curve): drawn.name for drawn in lines}
    return [(curve, names.get(id(curve), "a loop of several lines")) for curve in curves if curve.closed]


def _check_size(curves: Sequence[Curve], size: Sequence[float]) -> None:
    box = bounds_of(curves)
    found = box[2] - box[0], box[3] - box[1]
    if max(abs(found[0] - size[0]), abs(found[1] - size[1])) <= DRAWING_SIZE:
        return
    what = f"it measures {found[0]:.3f} × {found[1]:.3f} mm and should measure {size[0]:g} × {size[1]:g} mm"
    ratios = [want / have for want, have in zip(size, found, strict=True) if have > 0.0]
    for factor, said in (
        (25.4, "the drawing is in inches"),
        (1 / 25.4, "the drawing is in mm, and was read as inches"),
    ):
        if ratios and all(abs(ratio / factor - 1.0) < UNIT_GUESS for ratio in ratios):
            what += f"; perhaps {said}"
    raise InputError([Finding(check="drawing", what=what, fix="mend the drawing, its units, or use scale")])


def _told(finding: Finding) -> str:
    return f"{finding.file}: {finding.what}" if finding.file else finding.what


def area_of(curve: Curve) -> Any:
    """The inside of a closed curve (shapely), within `COARSE_CHORDS` mm."""
    from shapely.geometry import Polygon

    return Polygon(curve.flattened(COARSE_CHORDS)).buffer(0.0)


def overlap(one: Curve, other: Curve) -> bool:
    """Whether two closed curves have more in common than an edge."""
    return bool(area_of(one).intersection(area_of(other)).area > COMMON_EDGE)
