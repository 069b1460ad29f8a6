"""The toolpaths of one piece, repeated at every place of a layout.

The shapes are worked out once, and a copy is the same columns moved, so a board with thousands of toolpaths takes
little longer than one piece.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Literal, NamedTuple, get_args

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import InputError
from pathkit.model.checking import Faults
from pathkit.model.curve import Curve
from pathkit.model.job import Feature, Part
from pathkit.model.toolpath import STAGE, Toolpath
from pathkit.operations.layout import Placement

Order = Literal["stage", "part"]

_STAGE = {**STAGE, "cut": 1}
_QUARTERS = ((1.0, 0.0, 0.0, 1.0), (0.0, -1.0, 1.0, 0.0), (-1.0, 0.0, 0.0, -1.0), (0.0, 1.0, -1.0, 0.0))


class Copies(NamedTuple):
    """All copies of a piece, as a `Job` takes them."""

    toolpaths: tuple[Toolpath, ...]
    parts: tuple[Part, ...]
    precedence: tuple[tuple[str, str], ...]


def laid_out(
    toolpaths: Sequence[Toolpath],
    placements: Iterable[Placement | tuple[float, float]],
    *,
    parts: Sequence[Part] = (),
    precedence: Sequence[tuple[str, str]] = (),
    order: Order = "stage",
    first: int = 1,
    digits: int = 2,
) -> Copies:
    """Every toolpath, part and precedence pair of a piece, once for each placement.

    Copies are numbered from ``first`` with at least ``digits`` digits: ``01``, ``02``, …. The number follows the part's
    name, in the names of parts (``plate 01``) and of toolpaths that begin with it (``plate 01 outline``); in other
    toolpaths' names it is at the end (``recess 01``). ``order`` is the order of the list: all pockets, then drills and
    slots, then outlines over the whole board (``stage``), or copy by copy (``part``). A pass may still reorder them.

    Everything is turned with the piece, rasters too: see `Layout.grain`. Traces keep their heights.

    Raises `InputError` for wrong placements or options, and if ``precedence`` names no toolpath of the piece.
    """
    faults = Faults("layout")
    faults.choice(order, get_args(Order), "order")
    if isinstance(first, bool) or not isinstance(first, int) or first < 0:
        faults.add(f"first is {first!r}", "a whole number, at least 0", "first")
    places = [_placement(place, k, faults) for k, place in enumerate(placements)]
    faults.raise_any()
    width = max(digits, len(str(first + len(places) - 1)))
    numbers = [f"{first + k:0{width}d}" for k in range(len(places))]
    owners = {part.name for part in parts} | {path.part for path in toolpaths if path.part is not None}
    names = [_split(path.name, path.part, owners) for path in toolpaths]
    called = {path.name: split for path, split in zip(toolpaths, names, strict=True)}
    copies = [
        [
            replace(
                path,
                name=head + number + tail,
                part=None if path.part is None else f"{path.part} {number}",
                curve=placed(path.curve, place),
                finishes=None if path.finishes is None else number.join(called[path.finishes]),
            )
            for path, (head, tail) in zip(toolpaths, names, strict=True)
        ]
        for place, number in zip(places, numbers, strict=True)
    ]
    if lost := sorted({name for pair in precedence for name in pair} - called.keys()):
        raise InputError(f"layout: the piece has no toolpath called {lost[0]!r}; name one of its own in precedence")
    pairs = tuple((number.join(called[a]), number.join(called[b])) for number in numbers for a, b in precedence)
    solid = tuple(
        _placed_part(part, place, f"{part.name} {number}")
        for place, number in zip(places, numbers, strict=True)
        for part in parts
    )
    every = tuple(path for copy in copies for path in copy)
    return Copies(every if order == "part" else by_stage(every), solid, pairs)


def placed(curve: Curve, place: Placement) -> Curve:
    """The curve turned by quarter turns about the origin, exactly, and moved to its place."""
    a, b, c, d = _QUARTERS[place.turn % 4]
    points: NDArray[np.float64] = curve.points.copy()
    if place.turn % 4:
        points[:, 0], points[:, 1] = (
            a * curve.points[:, 0] + b * curve.points[:, 1],
            c * curve.points[:, 0] + d * curve.points[:, 1],
        )
    points[:, 0] += place.x
    points[:, 1] += place.y
    return Curve(points, curve.sweeps, curve.closed)


def by_stage(toolpaths: Sequence[Toolpath]) -> tuple[Toolpath, ...]:
    """Toolpaths in the order of their stages: all pockets first, then drills and slots, then outlines."""
    return tuple(sorted(toolpaths, key=lambda path: _STAGE[path.role]))


def _split(name: str, part: str | None, owners: set[str]) -> tuple[str, str]:
    """What comes before the number in a toolpath's name, and what comes after it."""
    if part is not None and part in owners and (name == part or name.startswith(f"{part} ")):
        return f"{part} ", name[len(part) :]
    return f"{name} ", ""


def _placed_part(part: Part, place: Placement, name: str) -> Part:
    def feature(each: Feature) -> Feature:
        islands = tuple(placed(curve, place) for curve in each.islands)
        return Feature(placed(each.curve, place), each.bottom, islands, each.core)

    recesses = tuple(feature(each) for each in part.recesses)
    outline = None if part.outline is None else placed(part.outline, place)
    holes = tuple(feature(each) for each in part.holes)
    chamfers = tuple(replace(each, curve=placed(each.curve, place)) for each in part.chamfers)
    return Part(name, outline, recesses, holes, part.skin, chamfers)


def _placement(place: object, index: int, faults: Faults) -> Placement:
    try:
        found = Placement(*place)  # type: ignore[misc]
    except TypeError:
        faults.add(f"placement {index} is {place!r}", "pass Placement(x, y, turn)", f"placements[{index}]")
        return Placement(0.0, 0.0)
    good = faults.number(found.x, f"placements[{index}].x") and faults.number(found.y, f"placements[{index}].y")
    if isinstance(found.turn, bool) or found.turn not in (0, 1, 2, 3):
        faults.add(f"turn is {found.turn!r}", "quarter turns: 0, 1, 2 or 3", f"placements[{index}].turn")
        good = False
    return found if good else Placement(0.0, 0.0)
