"""Shapes from an SVG drawing (W3C SVG 1.1): what is visible, in mm, y upward, the page's lower left corner at 0.

Read by defusedxml: entities and references to other files are refused, and nothing is ever fetched.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from pathkit.drawings.curve_builder import Chain, Place
from pathkit.drawings.drawing import (
    LARGEST,
    MM_PER,
    MOST_SHAPES,
    MOST_VISITS,
    Drawing,
    Drawn,
    Unit,
    millimetres_per_unit,
    normal_colour,
    refusal,
)
from pathkit.drawings.filling import closed_by_fill, edges_of_fill
from pathkit.drawings.svg_path import Affine, curves_of_path
from pathkit.drawings.svg_styles import Styles, read_styles
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.model.curve import FARTHEST, Curve
from pathkit.tolerances import DRAWN_CURVE, ROUNDING, SAME_PLACE, SAME_STRETCH

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

_SVG: Final = "{http://www.w3.org/2000/svg}"
_LABEL: Final = "{http://www.inkscape.org/namespaces/inkscape}label"
_HREF: Final = ("href", "{http://www.w3.org/1999/xlink}href")
_SHAPES: Final = frozenset({"path", "rect", "circle", "ellipse", "line", "polyline", "polygon"})
_GROUPS: Final = frozenset({"g", "a", "svg", "switch"})
_SILENT: Final = frozenset(
    {"defs", "symbol", "title", "desc", "metadata", "style", "clipPath", "mask", "marker", "pattern", "namedview",
     "linearGradient", "radialGradient", "filter", "script"}
)  # fmt: skip
_NUMBER: Final = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"
_LENGTH: Final = re.compile(rf"\s*({_NUMBER})\s*(mm|cm|in|pt|pc|px|q|Q)?\s*$")
_PER: Final = {"in": 25.4, "pc": 25.4 / 6.0, "q": 0.25, "mm": 1.0, "cm": 10.0, "pt": MM_PER["pt"], "px": MM_PER["px"]}
_DEEPEST: Final = 100
_NOT_YET: Final = Curve([(0.0, 0.0)])


def read_svg(
    data: bytes, source: str, *, units: Unit | None = None, scale: float = 1.0, tolerance: float = DRAWN_CURVE
) -> Drawing:
    """The visible shapes of the drawing; ``scale`` enlarges it on purpose, Béziers keep within ``tolerance`` mm.

    A page width and height with physical units give the size; without them ``units`` must say what a unit of the
    drawing is. A filled shape is closed, and if it has no stroke it becomes the edge of what is seen. A shape with a
    stroke for which the drawing states no fill stays the line as drawn. Raises `InputError` if ``data`` is not SVG or
    holds entities, and for shapes of no size (each named).
    """
    root = _root(data, source)
    box, mm = _page(root, units, scale, source)
    page = Affine(mm, 0.0, 0.0, -mm, -mm * box[0], mm * (box[1] + box[3]))
    styles = read_styles(root)
    reader = _Reader(source, tolerance, styles, _by_id(root))
    # What is on the page inherits the page's own paint.
    reader.children(root, _Place(page, paint=_inherited(styles.of(root, "svg"))), 0)
    if reader.faults:
        raise InputError(reader.faults)
    return Drawing(source, reader.finished(), tuple(reader.left_out))


@dataclass(frozen=True)
class _Place:
    """What an element inherits: the map to the page, the layers around it, and its paint."""

    to_page: Affine
    layers: tuple[str, ...] = ()
    paint: dict[str, str] = field(default_factory=dict)


@dataclass
class _Reader:
    source: str
    tolerance: float
    styles: Styles
    by_id: dict[str, Element]
    shapes: list[Drawn] = field(default_factory=list)
    faults: list[Finding] = field(default_factory=list)
    left_out: list[Finding] = field(default_factory=list)
    lines: dict[int, tuple[Place, Place]] = field(default_factory=dict)
    visits: int = 0

    def children(self, element: Element, place: _Place, depth: int) -> None:
        if depth > _DEEPEST:
            raise refusal(self.source, f"groups are nested more than {_DEEPEST} deep", "flatten the drawing")
        for child in element:
            if isinstance(child.tag, str):
                self.element(child, place, depth + 1)

    def element(self, element: Element, place: _Place, depth: int) -> None:
        self.visits += 1
        if self.visits > MOST_VISITS:
            raise refusal(self.source, f"its copies come to more than {MOST_VISITS} elements", "split the drawing")
        kind = element.tag.removeprefix(_SVG)
        if kind in _SILENT or kind.startswith("{"):
            return
        own_paint = self.styles.of(element, kind)
        paint = {**place.paint, **own_paint} if own_paint else place.paint
        if paint.get("display") == "none":
            return
        paint = _inherited(paint)
        own = [name for name in (element.get(_LABEL), element.get("id")) if name]
        layers = (*own, *place.layers) if own else place.layers
        to_page = place.to_page if element.get("transform") is None else place.to_page.after(self.transform(element))
        same = paint is place.paint and layers is place.layers and to_page is place.to_page
        here = place if same else _Place(to_page, layers, paint)
        if kind in _GROUPS:
            if kind == "svg" and (element.get("viewBox") or element.get("x") or element.get("y")):
                self.leave_out(element, kind, "it is a drawing within the drawing")
                return
            self.children(element, here, depth)
        elif kind == "use":
            self.use(element, here, depth)
        elif kind in _SHAPES:
            self.shape(element, kind, here)
        else:
            self.leave_out(element, kind, "turn it into a path first" if kind == "text" else "it is not a shape")

    def transform(self, element: Element) -> Affine:
        text = element.get("transform", "")
        try:
            return _transform(text)
        except ValueError as error:
            self.fault(element, f"transform {text[:60]!r} cannot be read: {error}", "flatten transforms in the drawing")
            return Affine()

    def use(self, element: Element, place: _Place, depth: int) -> None:
        href = next((element.get(name) for name in _HREF if element.get(name)), "") or ""
        target = self.by_id.get(href.removeprefix("#")) if href.startswith("#") else None
        if target is None:
            self.fault(element, f"refers to {href[:60]!r}, which is not in this drawing", "put it into the drawing")
            return
        if depth > _DEEPEST:
            raise refusal(self.source, "a copy (use) contains itself", "remove it")
        shift = Affine(e=self.length(element, "x"), f=self.length(element, "y"))
        moved = replace(place, to_page=place.to_page.after(shift))
        if target.tag == f"{_SVG}symbol":
            if target.get("viewBox"):
                self.leave_out(element, "use", "its symbol has a viewBox of its own; ungroup it")
                return
            self.children(target, moved, depth + 1)
        else:
            self.element(target, moved, depth + 1)

    def shape(self, element: Element, kind: str, place: _Place) -> None:
        paint = place.paint
        if paint.get("visibility") in ("hidden", "collapse"):
            return
        stroke, fill = paint.get("stroke", "none"), paint.get("fill", "#000000")
        visible = stroke if stroke != "none" else fill
        if visible == "none":
            self.leave_out(element, kind, "it has neither stroke nor fill, so it is not visible")
            return
        name, colour = _name(element, kind), normal_colour(visible)
        # No fill closes or changes a straight line, and a drawing may have nothing else.
        if kind == "line" and self.is_plain_line(element, place.to_page):
            self.shapes.append(Drawn(_NOT_YET, name, place.layers, colour))
            self.refuse_many()
            return
        try:
            curves = tuple(self.curves(element, kind, place.to_page))
        except InputError as error:
            self.fault(element, error.findings[0].what, "mend it in the drawing")
            return
        if fill != "none" and (stroke == "none" or "fill" in paint):
            curves = tuple(closed_by_fill(curve) for curve in curves)
        if stroke == "none":
            curves = edges_of_fill(curves, even_odd=paint.get("fill-rule") == "evenodd")
        if not curves:
            self.fault(element, "has no size", "delete it, or draw it as what it should be")
        self.shapes += [
            Drawn(curve, name if len(curves) == 1 else f"{name}, subpath {k}", place.layers, colour)
            for k, curve in enumerate(curves, 1)
        ]
        self.refuse_many()

    def is_plain_line(self, element: Element, place: Affine) -> bool:
        """Remember where the next shape, a line, goes, if nothing is wrong with it: `finished` makes all the curves."""
        try:
            begin = place.at(self.length(element, "x1"), self.length(element, "y1"))
            end = place.at(self.length(element, "x2"), self.length(element, "y2"))
        except InputError:
            return False
        if not math.dist(begin, end) > ROUNDING or not max(map(abs, begin + end)) <= FARTHEST:
            return False
        self.lines[len(self.shapes)] = begin, end
        return True

    def finished(self) -> tuple[Drawn, ...]:
        """All shapes, in the order of the drawing."""
        for at, curve in zip(self.lines, Curve.lines(list(self.lines.values())), strict=True):
            shape = self.shapes[at]
            self.shapes[at] = Drawn(curve, shape.name, shape.layers, shape.colour)
        return tuple(self.shapes)

    def refuse_many(self) -> None:
        if len(self.shapes) > MOST_SHAPES:
            raise refusal(self.source, f"it has more than {MOST_SHAPES} shapes", "split the drawing")

    def curves(self, element: Element, kind: str, place: Affine) -> Iterator[Curve]:
        def number(name: str) -> float:
            return self.length(element, name)

        if kind == "path":
            yield from curves_of_path(element.get("d", ""), place, tolerance=self.tolerance)
        elif kind == "rect":
            width, height = number("width"), number("height")
            if width > 0.0 and height > 0.0:
                rx, ry = _corners(element, number, width, height)
                yield _rounded(place, number("x"), number("y"), width, height, rx, ry, self.tolerance)
        elif kind in ("circle", "ellipse"):
            rx, ry = (number("r"), number("r")) if kind == "circle" else (number("rx"), number("ry"))
            if rx > 0.0 and ry > 0.0:
                axes = place.vectors(np.array([[rx, 0.0], [0.0, ry]]))
                centre = place.point(number("cx"), number("cy"))
                chain = Chain(centre + axes[0])
                chain.elliptic(centre, axes[0], axes[1], 0.0, 2.0 * math.pi, self.tolerance)
                yield from filter(None, [chain.curve(closed=True, gap=SAME_PLACE)])
        else:
            ends = [(number("x1"), number("y1")), (number("x2"), number("y2"))]
            vertices = ends if kind == "line" else _points(element.get("points", ""))
            if vertices:
                outline = Chain(place.at(*vertices[0]))
                for vertex in vertices[1:]:
                    outline.line(place.at(*vertex))
                yield from filter(None, [outline.curve(closed=kind == "polygon")])

    def length(self, element: Element, name: str) -> float:
        text = element.get(name)
        if text is None:
            return 0.0
        found = _LENGTH.match(text)
        if found is None:
            what = f"{name} is {text[:40]!r}, not a length that can be used here"
            raise refusal(self.source, what, "give a plain number, in units of the drawing")
        value, unit = float(found[1]), found[2]
        # A unit inside the drawing counts in the drawing's own pixels, 96 to the inch (CSS Values 3).
        return value if unit in (None, "px") else value * _PER[unit.lower()] / _PER["px"]

    def fault(self, element: Element, what: str, fix: str) -> None:
        name = _name(element, element.tag.removeprefix(_SVG))
        self.faults.append(Finding(check="drawing", what=f"{name}: {what}", fix=fix, file=self.source))

    def leave_out(self, element: Element, kind: str, why: str) -> None:
        what = f"{_name(element, kind)} is left out: {why}"
        self.left_out.append(Finding(check="drawing", what=what, severity="warning", file=self.source))


def _root(data: bytes, source: str) -> Element:
    try:
        from defusedxml import DefusedXmlException
        from defusedxml.ElementTree import ParseError, fromstring
    except ImportError:
        raise InputError("drawings in SVG need the extra 'svg': pip install 'pathkit-cam[svg]'") from None
    if len(data) > LARGEST:
        raise refusal(source, f"it is larger than {LARGEST} bytes", "split the drawing")
    try:
        root: Any = fromstring(data)
    except DefusedXmlException as error:
        what = f"it defines entities or refers to other files ({type(error).__name__}), which are not followed"
        raise refusal(source, what, "save it as plain SVG") from None
    except (ParseError, ValueError, LookupError) as error:
        raise refusal(source, f"not an SVG drawing: {error}", "name an SVG file") from None
    if root.tag != f"{_SVG}svg":
        raise refusal(source, f"not an SVG drawing: its root is {str(root.tag)[:60]!r}", "name an SVG file")
    element: Element = root
    return element


def _inherited(paint: dict[str, str]) -> dict[str, str]:
    """The paint that an element passes on to what is inside it: all but ``display``."""
    if "display" not in paint:
        return paint
    return {name: value for name, value in paint.items() if name != "display"}


def _by_id(root: Element) -> dict[str, Element]:
    return {name: element for element in root.iter() if (name := element.get("id"))}


def _page(
    root: Element, units: Unit | None, scale: float, source: str
) -> tuple[tuple[float, float, float, float], float]:
    """The view box (x, y, width, height) in units of the drawing, and mm in one unit."""
    sides = [_LENGTH.match(root.get(name, "")) for name in ("width", "height")]
    box = [float(n) for n in re.findall(_NUMBER, root.get("viewBox", ""))]
    if root.get("viewBox") and (len(box) != 4 or not (box[2] > 0.0 and box[3] > 0.0)):
        raise refusal(source, f"its viewBox is {root.get('viewBox')!r}", "give four numbers, width and height above 0")
    if not box:
        size = [float(side[1]) if side else 0.0 for side in sides]
        if not (size[0] > 0.0 and size[1] > 0.0):
            raise refusal(source, "it has neither a viewBox nor a width and a height", "save it with a page size")
        box = [0.0, 0.0, *size]
        physical = [_PER[side[2].lower()] for side in sides if side is not None and side[2] not in (None, "px")]
        if len(physical) == 2:
            # Without a viewBox a unit is a pixel, whatever the page is measured in (SVG 1.1, 7.10).
            box[2:] = [side * per / _PER["px"] for side, per in zip(size, physical, strict=True)]
            words = f"width is {root.get('width')!r}, and without a viewBox a unit is a pixel"
            mm = millimetres_per_unit(_PER["px"], words, units, scale, source)
            return (box[0], box[1], box[2], box[3]), mm
    says, words = None, f"width is {root.get('width')!r}, height {root.get('height')!r}"
    width, height = sides
    if width is not None and height is not None and width[2] not in (None, "px") and height[2] not in (None, "px"):
        across = float(width[1]) * _PER[width[2].lower()] / box[2]
        along = float(height[1]) * _PER[height[2].lower()] / box[3]
        if not math.isclose(across, along, rel_tol=SAME_STRETCH):
            what = f"its page is stretched: {words}, viewBox {root.get('viewBox')!r}"
            raise refusal(source, what, "give width and height in the proportion of the viewBox")
        says = across
    mm = millimetres_per_unit(says, f"{words}, viewBox {root.get('viewBox')!r}", units, scale, source)
    return (box[0], box[1], box[2], box[3]), mm


def _transform(text: str) -> Affine:
    whole = Affine()
    rest = re.sub(rf"\s*([a-zA-Z]+)\s*\(\s*((?:{_NUMBER}[\s,]*)*)\)[\s,]*", "", text)
    if rest.strip():
        raise ValueError(f"{rest.strip()[:40]!r}")
    for name, inside in re.findall(r"([a-zA-Z]+)\s*\(([^)]*)\)", text):
        n = [float(number) for number in re.findall(_NUMBER, inside)]
        whole = whole.after(_step(name, n))
    return whole


def _step(name: str, n: list[float]) -> Affine:
    match name, len(n):
        case "matrix", 6:
            return Affine(*n)
        case "translate", 1 | 2:
            return Affine(e=n[0], f=n[1] if len(n) > 1 else 0.0)
        case "scale", 1 | 2:
            return Affine(a=n[0], d=n[-1])
        case "rotate", 1 | 3:
            cos, sin = math.cos(math.radians(n[0])), math.sin(math.radians(n[0]))
            x, y = n[1:] if len(n) == 3 else (0.0, 0.0)
            return Affine(e=x, f=y).after(Affine(cos, sin, -sin, cos)).after(Affine(e=-x, f=-y))
        case "skewX", 1:
            return Affine(c=math.tan(math.radians(n[0])))
        case "skewY", 1:
            return Affine(b=math.tan(math.radians(n[0])))
    raise ValueError(f"{name} with {len(n)} numbers")


def _corners(element: Element, number: Any, width: float, height: float) -> tuple[float, float]:
    """The radii of a rectangle's corners: one given counts for both, neither exceeds half a side (SVG 1.1, 9.2)."""
    rx, ry = (number(n) if element.get(n) not in (None, "auto") else None for n in ("rx", "ry"))
    rx, ry = (ry if rx is None else rx) or 0.0, (rx if ry is None else ry) or 0.0
    return min(rx, width / 2.0), min(ry, height / 2.0)


def _rounded(
    place: Affine, x: float, y: float, width: float, height: float, rx: float, ry: float, tolerance: float
) -> Curve:
    if rx <= 0.0 or ry <= 0.0:
        corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]
        return Curve([place.point(*corner) for corner in corners], closed=True)
    axes = place.vectors(np.array([[rx, 0.0], [0.0, ry]]))
    chain = Chain(place.point(x + rx, y))
    for k, (cx, cy) in enumerate(
        ((x + width - rx, y + ry), (x + width - rx, y + height - ry), (x + rx, y + height - ry), (x + rx, y + ry))
    ):
        centre = place.point(cx, cy)
        start = math.pi / 2.0 * (k - 1)
        chain.line(centre + axes[0] * math.cos(start) + axes[1] * math.sin(start))
        chain.elliptic(centre, axes[0], axes[1], start, math.pi / 2.0, tolerance)
    curve = chain.curve(closed=True, gap=SAME_PLACE)
    assert curve is not None
    return curve


def _points(text: str) -> list[tuple[float, float]]:
    numbers = [float(n) for n in re.findall(_NUMBER, text)]
    if len(numbers) % 2 or re.sub(_NUMBER, "", text).strip(" \t\r\n,"):
        raise InputError(f"points are {text[:40]!r}, not pairs of numbers")
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def _name(element: Element, kind: str) -> str:
    name = element.get(_LABEL) or element.get("id")
    return f"{kind} {name!r}" if name else f"{kind} without an id"
