"""Marks along lines: the bit's centre follows the lines."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from pathkit.curves.regions import Shape, refusal
from pathkit.model.curve import Curve
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Toolpath
from pathkit.operations.contour import numbered

_LINES = ("LineString", "LinearRing", "MultiLineString", "Polygon", "MultiPolygon", "GeometryCollection")


def engrave(
    name: str,
    lines: Shape | Iterable[Shape],
    tool: Tool,
    cutting: Cutting,
    *,
    bottom: float,
    top: float | None = None,
    stepdown: float | None = None,
    part: str | None = None,
) -> tuple[Toolpath, ...]:
    """One toolpath (role ``engrave``) for each line, in the order given: ``name``, or ``name 1``, ``name 2``, ….

    ``lines`` are `Curve`s (arcs stay exact; traces are cut as they lie, without ``bottom``) and shapely lines; every
    ring of a Polygon is followed. Lines may cross. Neither side of a line is a part, so an open one may be run from
    either end, and any kind of bit will do. Raises `InputError` for points and for anything else that is not a line.
    """
    curves = as_lines(lines, name)
    return tuple(
        Toolpath(each, curve, tool, cutting, part=part, role="engrave")
        if curve.is_trace
        else Toolpath(
            each, curve, tool, cutting, top=top, bottom=bottom, stepdown=stepdown, part=part, role="engrave"
        )
        for each, curve in zip(numbered(name, len(curves)), curves, strict=True)
    )  # fmt: skip


def as_lines(lines: Any, name: str) -> list[Curve]:
    """Curves and shapely lines as curves; `InputError` for points and for anything else that is not a line."""
    if isinstance(lines, Curve) or hasattr(lines, "geom_type"):
        lines = (lines,)
    elif isinstance(lines, (str, bytes)) or not isinstance(lines, Iterable):
        raise refusal(name, f"the lines are {lines!r:.80}", "pass Curves or shapely lines")
    curves: list[Curve] = []
    for index, line in enumerate(lines):
        if isinstance(line, Curve):
            curves.append(line)
            continue
        if getattr(line, "geom_type", None) not in _LINES or line.is_empty:
            raise refusal(name, f"line {index + 1} is {line!r:.80}", "pass Curves or shapely lines")
        curves += _rings_and_lines(line)
    if not curves or any(curve.is_point for curve in curves):
        raise refusal(name, "there is no line, or one of them is a point", "engrave lines; drill points")
    return curves


def _rings_and_lines(geometry: Any) -> list[Curve]:
    kind = geometry.geom_type
    if kind in ("MultiLineString", "MultiPolygon", "GeometryCollection"):
        return [curve for part in geometry.geoms for curve in _rings_and_lines(part)]
    if kind == "Polygon":
        return [Curve.from_shapely(ring) for ring in (geometry.exterior, *geometry.interiors)]
    if kind == "LineString" and geometry.is_ring:
        return [Curve(list(geometry.coords)[:-1], closed=True)]
    return [Curve.from_shapely(geometry)]
