"""The ways to give a shape in a job file: by dimensions, by points, as a path, or as a drawing."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from pathkit.fields import Least0, Length, Place
from pathkit.forms import Table

Point = Annotated[list[Place], Field(min_length=2, max_length=2)]
Points = Annotated[list[Point], Field(min_length=1, max_length=100_000)]


def exactly_one(table: Table, names: tuple[str, ...]) -> None:
    """Raises `ValueError` unless one of these keys is given, and only one."""
    given = [name for name in names if getattr(table, name) is not None]
    listed = ", ".join(names)
    if not given:
        raise ValueError(f"exactly one of {listed} is needed; give {names[0]}, for example")
    if len(given) > 1:
        raise ValueError(f"exactly one of {listed} is needed, not {' and '.join(given)}; keep one")


class Rectangle(Table):
    """``corner`` is the front left one; ``radius`` rounds all four; ``width`` is from left to right, ``depth`` away
    from you, mm.
    """

    corner: Point = [0.0, 0.0]
    width: Length
    depth: Length
    radius: Least0 = 0.0


class Circle(Table):
    """``centre`` and ``radius``, mm. It runs counter-clockwise."""

    centre: Point
    radius: Length


class SlotShape(Table):
    """What a disc of diameter ``width`` sweeps from ``first`` to ``last``."""

    first: Point
    last: Point
    width: Length


SHAPES = ("rectangle", "circle", "slot", "polygon", "line", "points", "path", "svg", "dxf")


class Shape(Table):
    """Exactly one kind of shape, in the part's own frame: x to the right, y away from you.

    ``rectangle``, ``circle`` and ``slot`` are given by their dimensions. ``polygon`` is closed from its last point to
    its first; ``line`` runs from point to point; ``points`` are single places, for holes. ``path`` is in SVG path
    syntax. ``svg`` and ``dxf`` name a drawing beside the job file: ``layer`` and ``colour`` select from it, ``units``
    gives its unit if the drawing does not say, ``scale`` scales it, ``size`` (width, depth) is what the selected shapes
    must measure, ``join`` is the widest gap that is closed. ``at`` moves the shape.
    """

    rectangle: Rectangle | None = None
    circle: Circle | None = None
    slot: SlotShape | None = None
    polygon: Annotated[list[Point], Field(min_length=3, max_length=100_000)] | None = None
    line: Annotated[list[Point], Field(min_length=2, max_length=100_000)] | None = None
    points: Points | None = None
    path: Annotated[str, Field(min_length=1, max_length=2_000_000)] | None = None
    svg: Annotated[str, Field(min_length=1)] | None = None
    dxf: Annotated[str, Field(min_length=1)] | None = None
    layer: str | None = None
    colour: str | None = None
    units: Literal["mm", "cm", "m", "inch", "pt", "px"] | None = None
    scale: Annotated[float, Field(gt=0.0, le=1000.0)] | None = None
    size: Annotated[list[Length], Field(min_length=2, max_length=2)] | None = None
    join: Least0 | None = None
    at: Point | None = None

    @model_validator(mode="after")
    def _one(self) -> Shape:
        exactly_one(self, SHAPES)
        if self.svg is None and self.dxf is None:
            given = [n for n in ("layer", "colour", "units", "scale", "size", "join") if getattr(self, n) is not None]
            if given:
                raise ValueError(f"{given[0]} is only for a drawing (svg or dxf); remove it")
        return self
