"""The shapes that a part of a job file may have, each in a way of its own: measures, points, or a drawing."""

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
    if len(given) != 1:
        said = f"{' and '.join(given)}; keep one" if given else f"nothing; say {names[0]}, for one"
        raise ValueError(f"exactly one of {', '.join(names)} is wanted, not {said}")


class Rectangle(Table):
    """From its front left corner."""

    corner: Point = [0.0, 0.0]
    width: Length
    depth: Length
    radius: Least0 = 0.0


class Circle(Table):
    """Drawn counter-clockwise, mm."""

    centre: Point
    radius: Length


class SlotShape(Table):
    """What a disc of diameter ``width`` sweeps from ``first`` to ``last``."""

    first: Point
    last: Point
    width: Length


SHAPES = ("rectangle", "circle", "slot", "polygon", "line", "points", "path", "svg", "dxf")


class Shape(Table):
    """One of the shapes, in the part's own frame: x to the right, y away from you.

    ``path`` is in the syntax of SVG paths. ``svg`` and ``dxf`` name a drawing beside the job file; ``layer`` and
    ``colour`` choose from it, ``units`` says what its unit is where it does not say so itself, ``scale`` enlarges it on
    purpose, ``size`` (width, depth) is what the chosen shapes must measure, ``join`` the gap that is closed.
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
                raise ValueError(f"{given[0]} belongs to a drawing (svg or dxf); remove it")
        return self
