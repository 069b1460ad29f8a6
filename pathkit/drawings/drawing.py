"""A drawing as shapes with layers and a colour: one form for every file format."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final, Literal

import numpy as np

from pathkit.curves.at_once import flatten_all, polygons
from pathkit.drawings.joining import Loose, joined
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.model.curve import Curve
from pathkit.tolerances import DRAWING_GAP, NO_AREA, SAME_UNIT, SHAPE_CHORDS

Unit = Literal["mm", "cm", "m", "inch", "pt", "px"]

MM_PER: Final[dict[str, float]] = {
    "mm": 1.0, "cm": 10.0, "m": 1000.0, "inch": 25.4, "pt": 25.4 / 72.0, "px": 25.4 / 96.0,
}  # fmt: skip
"""mm in one unit; pt and px as CSS has them (W3C CSS Values 3: 1 in = 72 pt = 96 px)."""

LARGEST: Final = 50_000_000
"""The most bytes of a drawing that are read."""

MOST_SHAPES: Final = 100_000
"""The most shapes that are taken from one drawing; blocks within blocks multiply quickly. A drawing whose outlines are
exploded to single lines has a shape for each, and as many as this are still read."""

MOST_VISITS: Final = 200_000
"""The most elements that are visited in one drawing, those of copies each time: empty groups multiply too."""


@dataclass(frozen=True)
class Drawn:
    """One shape, mm. ``name`` says what it is in the drawing; ``layers`` its own and enclosing ones, innermost first.

    ``colour`` is ``#rrggbb``, empty where the drawing gives none that is known.
    """

    curve: Curve
    name: str
    layers: tuple[str, ...] = ()
    colour: str = ""


@dataclass(frozen=True)
class Drawing:
    """What a file holds: shapes in mm, y upward; ``left_out`` names what in it cannot be cut as a shape."""

    source: str
    shapes: tuple[Drawn, ...]
    left_out: tuple[Finding, ...] = ()

    @property
    def layers(self) -> tuple[str, ...]:
        return tuple(sorted({layer for shape in self.shapes for layer in shape.layers}))

    @property
    def colours(self) -> tuple[str, ...]:
        return tuple(sorted({shape.colour for shape in self.shapes if shape.colour}))

    def pick(self, layer: str | None = None, colour: str | None = None) -> tuple[Drawn, ...]:
        """The shapes on a layer and of a colour (any, where None). Raises `InputError` where there is none."""
        wanted = None if colour is None else normal_colour(colour)
        found = tuple(
            s for s in self.shapes if (layer is None or layer in s.layers) and (wanted is None or s.colour == wanted)
        )
        if found:
            return found
        there = f"layers: {_listed(self.layers)}; colours: {_listed(self.colours)}"
        raise refusal(self.source, _none_there(layer, colour), there if self.shapes else "it is empty")


def loops(
    shapes: Sequence[Drawn], source: str, *, within: float = DRAWING_GAP, closed: bool = True
) -> tuple[Curve, ...]:
    """The curves of `named_loops`."""
    return tuple(loose.curve for loose in named_loops(shapes, source, within=within, closed=closed))


def named_loops(
    shapes: Sequence[Drawn], source: str, *, within: float = DRAWING_GAP, closed: bool = True
) -> tuple[Loose, ...]:  # fmt: skip
    """The shapes as closed curves, with ends that are within ``within`` mm joined; open ones too unless ``closed``.
    Each comes with its name in the drawing.

    Raises `InputError` naming every place where more than two ends meet and, if ``closed``, every loop that stays open
    (with its gap) and every shape that crosses itself or encloses nothing.
    """
    rings = [Loose(s.curve, s.name) for s in shapes if s.curve.closed]
    lines = [Loose(s.curve, s.name) for s in shapes if not s.curve.closed]
    chains, found = joined(lines, within)
    faults = [Finding(check="drawing", what=what, fix=fix, file=source) for what, fix in found]
    for chain in chains:
        if closed and not chain.curve.closed:
            a, b = chain.curve.points[0], chain.curve.points[-1]
            what = (
                f"{chain.name}: the loop is open by {math.dist(a, b):.3g} mm, from ({a[0]:.3f}, {a[1]:.3f}) to"
                f" ({b[0]:.3f}, {b[1]:.3f})"
            )
            faults.append(Finding(check="drawing", what=what, fix=_OPEN, file=source))
    every = [*rings, *chains]
    if closed:
        for ring, crossing in zip(every, crossings_of([ring.curve for ring in every]), strict=True):
            if crossing is not None:
                wrong = f"{ring.name}: the shape {crossing}"
                faults.append(Finding(check="drawing", what=wrong, fix="mend the drawing there", file=source))
    if faults:
        raise InputError(faults)
    return tuple(every)


_OPEN: Final = "close it in the drawing, or raise join (mm) if the gap is only rounding"


def crossings_of(curves: Sequence[Curve]) -> list[str | None]:
    """`crossing_of` for each of them; None for those that are open."""
    import shapely

    flatten_all([curve for curve in curves if curve.closed], SHAPE_CHORDS)
    solid = np.array([curve.closed and len(curve.flattened(SHAPE_CHORDS)) > 2 for curve in curves], bool)
    plates = polygons([curve for curve, ring in zip(curves, solid, strict=True) if ring], SHAPE_CHORDS)
    sound = np.zeros(len(curves), bool)
    sound[solid] = shapely.is_valid(plates) & (shapely.area(plates) > NO_AREA)
    return [None if fine or not curve.closed else crossing_of(curve) for curve, fine in zip(curves, sound, strict=True)]


def crossing_of(curve: Curve) -> str | None:
    """How and where a closed curve crosses itself, or that it encloses nothing; None where it is a simple ring."""
    from shapely.geometry import Polygon
    from shapely.validation import explain_validity

    vertices = curve.flattened(SHAPE_CHORDS)
    if len(vertices) < 3:
        return "encloses nothing"
    plate = Polygon(vertices)
    if not plate.is_valid:
        # A shape without any area is called invalid too; only what truly crosses has an inside.
        crossing = plate.buffer(0.0).area > NO_AREA or abs(curve.area) < NO_AREA < plate.convex_hull.area
        return f"crosses itself: {explain_validity(plate)}" if crossing else "encloses nothing"
    return None if plate.area > NO_AREA else "encloses nothing"


def millimetres_per_unit(says: float | None, words: str, units: Unit | None, scale: float, source: str) -> float:
    """mm in one unit, times ``scale``: what the drawing itself ``says``, or the job's ``units`` if it says nothing.

    ``words`` quotes the drawing. Raises `InputError` if neither says it, and if the two differ.
    """
    given = None if units is None else MM_PER[units]
    if says is None and given is None:
        raise refusal(source, f"its size is not known: {words}", 'give its unit, as in units = "mm"')
    if says is not None and given is not None and not math.isclose(says, given, rel_tol=SAME_UNIT):
        what = f"the job says its unit is {units} ({given:g} mm), but the drawing itself says {says:g} mm: {words}"
        raise refusal(source, what, "leave units out, or use scale to enlarge it on purpose")
    return (says if says is not None else given or 1.0) * scale


def refusal(source: str, what: str, fix: str = "", **place: Any) -> InputError:
    """Why a drawing cannot be used, and where in it."""
    return InputError([Finding(check="drawing", what=what, fix=fix, file=source, **place)])


_NAMED: Final = {
    "black": "000000", "silver": "c0c0c0", "gray": "808080", "grey": "808080", "white": "ffffff", "maroon": "800000",
    "red": "ff0000", "purple": "800080", "fuchsia": "ff00ff", "magenta": "ff00ff", "green": "008000", "lime": "00ff00",
    "olive": "808000", "yellow": "ffff00", "navy": "000080", "blue": "0000ff", "teal": "008080", "aqua": "00ffff",
    "cyan": "00ffff", "orange": "ffa500",
}  # fmt: skip
"""The colour words of CSS level 2 and their synonyms."""


@lru_cache(maxsize=256)
def normal_colour(text: str) -> str:
    """``#rrggbb``, lower case, of a CSS colour: a word, #rgb, #rrggbb or rgb(); other text as it is."""
    word = text.strip().lower()
    if word in _NAMED:
        return "#" + _NAMED[word]
    if re.fullmatch(r"#[0-9a-f]{3}", word):
        return "#" + "".join(2 * digit for digit in word[1:])
    numbers = re.fullmatch(r"rgb\(\s*(\d+)\s*,\s*(\d+)\s*,\s*(\d+)\s*\)", word)
    if numbers:
        return "#" + "".join(f"{min(int(n), 255):02x}" for n in numbers.groups())
    return word


def _none_there(layer: str | None, colour: str | None) -> str:
    if layer is None:
        return "no shape" if colour is None else f"no shape of colour {colour!r}"
    return f"no shape on layer {layer!r}" if colour is None else f"no shape on layer {layer!r} and of colour {colour!r}"


def _listed(names: Sequence[str]) -> str:
    shown = [repr(name) for name in names[:12]]
    return (", ".join(shown) + (", …" if len(names) > 12 else "")) or "none"
