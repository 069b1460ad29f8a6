"""Shapes that are drawn twice, that overlap, or that are closer to each other than the bit is wide."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from pathkit.curves.at_once import bounds_of, polygons
from pathkit.curves.regions import line_of
from pathkit.drawings.drawing import Drawn
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.model.curve import Curve
from pathkit.tolerances import BETWEEN_SHAPES, DRAWN_TWICE, SAME_LENGTH, SHAPE_CHORDS, WIDEST_BIT_STEP

if TYPE_CHECKING:
    from pathkit.jobs.shapes import Outline


class Pair(NamedTuple):
    """Two shapes by their indices, the ``area`` that they have in common (mm²), and a ``place`` in it (mm)."""

    one: int
    other: int
    area: float
    place: tuple[float, float]


def lying_over(one: str, other: str, pair: Pair, toolpath: str) -> Finding:
    """The finding that two shapes, given in words, overlap."""
    what = f"{one} and {other} overlap by {pair.area:.2f} mm², at ({pair.place[0]:.2f}, {pair.place[1]:.2f})"
    fix = "unite them into one shape, or move them apart"
    return Finding(check="shape", what=what, fix=fix, toolpath=toolpath)


def described(curve: Curve, name: str) -> str:
    """Words by which a person finds a curve: its name in the drawing, and the middle of its bounding box (mm)."""
    left, front, right, back = curve.bounds
    place = f"about ({(left + right) / 2.0:.1f}, {(front + back) / 2.0:.1f})"
    return f"{name} {place}" if name else f"the one {place}"


def twice(curves: Sequence[Curve]) -> Iterator[tuple[int, int]]:
    """Pairs of indices of curves that run along the same line, in whichever direction and from whichever start."""
    import shapely

    plain = [k for k, curve in enumerate(curves) if not curve.is_point]
    if len(plain) < 2:
        return
    boxes = bounds_of([curves[k] for k in plain])
    corners = np.asarray(shapely.points(boxes[:, :2]))
    near = shapely.STRtree(corners).query(corners, "dwithin", 2.0 * DRAWN_TWICE)
    near = near[:, near[0] < near[1]]
    near = near[:, np.abs(boxes[near[0]] - boxes[near[1]]).max(axis=1, initial=0.0) <= 2.0 * DRAWN_TWICE]
    for one, other in near.T.tolist():
        a, b = curves[plain[one]], curves[plain[other]]
        if a.closed != b.closed or not math.isclose(a.length, b.length, rel_tol=SAME_LENGTH, abs_tol=DRAWN_TWICE):
            continue
        if shapely.hausdorff_distance(line_of(a), line_of(b), densify=0.1) <= DRAWN_TWICE:
            yield plain[one], plain[other]


def refuse_drawn_twice(shapes: Sequence[Drawn], source: str) -> None:
    """Raises `InputError` for lines of a drawing that coincide from end to end."""
    found = [
        Finding(
            check="drawing", file=source, fix="delete one of them, or select one by its layer or colour",
            what=f"{described(shapes[a].curve, shapes[a].name)} and {shapes[b].name} are one and the same",
        )
        for a, b in twice([shape.curve for shape in shapes])
    ]  # fmt: skip
    if found:
        raise InputError(found)


def overlapping(curves: Sequence[Curve]) -> tuple[Pair, ...]:
    """Pairs of closed curves that have more in common than an edge, while neither lies within the other."""
    import shapely

    rings = [k for k, curve in enumerate(curves) if curve.closed]
    if len(rings) < 2:
        return ()
    plates = polygons([curves[k] for k in rings], SHAPE_CHORDS)
    found: list[Pair] = []
    for one, other in zip(*(c.tolist() for c in shapely.STRtree(plates).query(plates, "overlaps")), strict=True):
        if one < other and (common := _in_common(plates[one], plates[other])) is not None:
            found.append(Pair(rings[one], rings[other], common.area, _place(common)))
    return tuple(found)


def refuse_too_near(named: Sequence[tuple[str, Outline]], diameter: float, bit: str) -> None:
    """Raises `InputError` for outlines (with their toolpaths' names) so close together that the bit would cut into
    both, and for outlines that overlap."""
    import shapely

    solids = [
        shapely.difference(_plate(o.outer), shapely.union_all([_plate(hole) for hole in o.holes])) for _, o in named
    ]  # fmt: skip
    found: list[Finding] = []
    first, second = shapely.STRtree(solids).query(solids, "dwithin", distance=diameter - BETWEEN_SHAPES)
    for a, b in zip(first.tolist(), second.tolist(), strict=True):
        if a >= b:
            continue
        (name, one), (_, other) = named[a], named[b]
        if (common := _in_common(solids[a], solids[b])) is not None:
            found.append(lying_over(one.described(), other.described(), Pair(a, b, common.area, _place(common)), name))
            continue
        gap = float(shapely.distance(solids[a], solids[b]))
        what = (
            f"{one.described()} and {other.described()} are {gap:.3f} mm apart, and the bit {bit!r} of {diameter:g} mm"
            " would cut into both"
        )
        fix = (
            f"tool: a bit of at most {math.floor(100.0 * gap) / 100.0:g} mm; or scale the shape up, or move them apart"
        )
        fix = fix if gap >= WIDEST_BIT_STEP else "unite them, or move them apart"
        found.append(Finding(check="shape", what=what, fix=fix, toolpath=name))
    if found:
        raise InputError(found)


def _in_common(one: Any, other: Any) -> Any:
    """What two areas have in common, if it is more than chords and rounding can explain; else None."""
    import shapely

    common = shapely.intersection(one, other)
    rounding = 2.0 * SHAPE_CHORDS * min(one.length, other.length)
    return common if min(common.area, one.area, other.area) > rounding else None


def _place(area: Any) -> tuple[float, float]:
    point = area.representative_point()
    return float(point.x), float(point.y)


def _plate(curve: Curve) -> Any:
    import shapely

    return shapely.Polygon(curve.flattened(SHAPE_CHORDS))
