"""The finished shape of a part, made from the same shapes as its toolpaths."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from pathkit.curves.regions import Shape, backward, refusal, region_of
from pathkit.model.curve import Curve
from pathkit.model.job import Chamfer, Feature, Part


def part_of(
    name: str,
    outline: Shape,
    *,
    recesses: Iterable[tuple[Shape | Feature, float]] = (),
    holes: Iterable[Shape | Feature] = (),
    chamfers: Iterable[Chamfer] = (),
) -> Part:
    """The `Part` within ``outline``: ``recesses`` are shapes with the z of their floors, ``holes`` go right through,
    ``chamfers`` are its bevelled edges (see `bevels`).

    Shapes are closed `Curve`s, whose arcs stay exact, or shapely polygons: the holes in a polygon become islands in a
    recess, and holes of the part in its outline. A MultiPolygon gives a feature for each of its polygons. Raises
    `InputError`, naming the part, if a shape is open, crosses itself or encloses nothing, or if the outline is several
    shapes.
    """
    plates = region_of(outline, name).components()
    if len(plates) != 1:
        raise refusal(name, f"its outline is {len(plates)} separate shapes", "make a part of each")
    edge, *openings = plates[0].rings
    floors = [feature for shape, bottom in recesses for feature in features_of(f"{name} recess", shape, bottom)]
    through = [Feature(backward(ring)) for ring in openings]
    through += [feature for shape in holes for feature in features_of(f"{name} hole", shape)]
    return Part(name, edge, tuple(floors), tuple(through), chamfers=tuple(chamfers))


def features_of(name: str, shape: Any, bottom: float | None = None) -> tuple[Feature, ...]:
    """A `Feature` for each connected piece of ``shape``; with ``bottom`` None it goes right through."""
    if isinstance(shape, Feature):
        return (shape,)
    pieces = region_of(shape, name).components()
    return tuple(Feature(piece.rings[0], bottom, _islands(piece.rings[1:])) for piece in pieces)


def _islands(rings: Iterable[Curve]) -> tuple[Curve, ...]:
    return tuple(backward(ring) for ring in rings)
