"""Drawings read a second time, by other means than for the job, and only far enough to say where their lines run.

This small reader names what it does not understand (`CannotRead`), and shapes with it are not judged. Béziers are
approximated by points, DXF objects by the flattening of the DXF library; loose lines are joined end to end.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

import numpy as np

from pathkit.jobs.audit.chains import Chain, chain_of, filled, joined, kinds_of_curve
from pathkit.jobs.audit.figures import CURVED, JOIN, STRAIGHT, CannotRead, Figure
from pathkit.jobs.audit.plane import Points
from pathkit.jobs.audit.tables import Table
from pathkit.jobs.audit.tolerances import CHORDED, EXACT, FINE

PER: Final = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "inch": 25.4, "in": 25.4, "pt": 25.4 / 72, "px": 25.4 / 96}
"""mm in a unit; pt and px as CSS Values 3 defines them."""

INSUNITS: Final = {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0}
"""mm in the unit of a DXF's $INSUNITS (DXF reference): inch, foot, millimetre, centimetre, metre."""

PIECES: Final = 64
"""Straight pieces that approximate a Bézier or an arc of a path."""

_SVG: Final = "{http://www.w3.org/2000/svg}"
_LABEL: Final = "{http://www.inkscape.org/namespaces/inkscape}label"
_SHAPES: Final = ("path", "rect", "circle", "ellipse", "line", "polyline", "polygon")
_PAINT: Final = ("stroke", "fill", "fill-rule", "visibility", "display")
_STRANGE: Final = ("use", "style", "switch", "svg")
_NUMBER: Final = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"
_NAMES: Final = {
    "black": "#000000", "silver": "#c0c0c0", "gray": "#808080", "white": "#ffffff", "maroon": "#800000",
    "red": "#ff0000", "purple": "#800080", "fuchsia": "#ff00ff", "magenta": "#ff00ff", "green": "#008000",
    "lime": "#00ff00", "olive": "#808000", "yellow": "#ffff00", "navy": "#000080", "blue": "#0000ff",
    "teal": "#008080", "aqua": "#00ffff", "cyan": "#00ffff",
}  # fmt: skip


def path_figure(text: str) -> Figure:
    """The subpaths of a path in SVG's syntax, not mirrored: y points away from the operator."""
    chains = list(_subpaths(text))
    return _figure([c for c in chains if c.closed], [c for c in chains if not c.closed], (), EXACT + CHORDED)


def svg_figure(data: bytes, shape: Table) -> Figure:
    """The lines of an SVG that the job file selects, mm, y upward from the page's lower edge.

    A filled shape is closed; if it has no stroke, its lines are the edge of the fill.
    """
    try:
        from defusedxml.ElementTree import fromstring
    except ImportError:
        raise CannotRead("the extra 'svg' is not installed") from None
    root = fromstring(data)
    left, low, height, mm = _page(root, shape)
    scale = mm * (shape["scale"] or 1.0)
    page = np.array([[scale, 0.0, -scale * left], [0.0, -scale, scale * (low + height)], [0.0, 0.0, 1.0]])
    chains: list[Chain] = []
    for element, matrix, layers, paint in _elements(root, page, (), _painted(root, {})):
        if shape["layer"] is not None and shape["layer"] not in layers:
            continue
        stroke, fill = paint.get("stroke", "none"), paint.get("fill", "#000000")
        seen = stroke if stroke != "none" else fill
        if seen == "none" or (shape["colour"] is not None and _hex(seen) != _hex(shape["colour"])):
            continue
        mine = [chain.mapped(matrix) for chain in _chains(element)]
        if stroke == "none":
            mine = filled(mine, "evenodd" if paint.get("fill-rule") == "evenodd" else "nonzero")
        elif paint.get("fill", "none") != "none":
            mine = [chain_of(c.points, c.kinds.tolist(), c.closed or len(c.points) > 2) for c in mine]
        chains += mine
    return _joined(chains, (), shape)


def dxf_figure(data: bytes, shape: Table) -> Figure:
    """The lines of a DXF's model space that the job file selects, mm."""
    try:
        from ezdxf import path, recover
        from ezdxf.disassemble import recursive_decompose
    except ImportError:
        raise CannotRead("the extra 'dxf' is not installed") from None
    document, _ = recover.read(io.BytesIO(data))
    scale = _unit(INSUNITS.get(document.header.get("$INSUNITS", 0)), shape) * (shape["scale"] or 1.0)
    space = document.modelspace()
    picks = shape["layer"] is not None or shape["colour"] is not None
    if picks and len(space.query("INSERT")):
        raise CannotRead("layers and colours within the blocks of a DXF are not read by the audit")
    chains: list[Chain] = []
    points: list[tuple[float, float]] = []
    entities: Any = recursive_decompose(space)
    for entity in entities:
        layer = document.layers.get(entity.dxf.layer) if entity.dxf.layer in document.layers else None
        hidden = entity.dxf.get("invisible", 0) or (layer is not None and (layer.is_off() or layer.is_frozen()))
        if hidden or shape["layer"] not in (None, entity.dxf.layer):
            continue
        if shape["colour"] is not None and _dxf_colour(entity, layer) != _hex(shape["colour"]):
            continue
        if entity.dxftype() == "POINT":
            x, y, _ = entity.dxf.location
            points.append((x * scale, y * scale))
            continue
        try:
            drawn = path.make_path(entity)
        except TypeError:
            continue  # an object without lines is left out
        if len(drawn):
            chains.append(_dxf_chain(drawn, scale))
    return _joined(chains, points, shape)


def _dxf_chain(drawn: Any, scale: float) -> Chain:
    """A path of the DXF library, its curves flattened by that library."""
    from ezdxf.math import Bezier3P, Bezier4P
    from ezdxf.path import Command

    places, kinds, here = [(drawn.start.x, drawn.start.y)], [], drawn.start
    for command in drawn.commands():
        along = [here, command.end]
        if command.type == Command.CURVE4_TO:
            along = list(Bezier4P((here, command.ctrl1, command.ctrl2, command.end)).flattening(FINE / scale, 16))
        elif command.type == Command.CURVE3_TO:
            along = list(Bezier3P((here, command.ctrl, command.end)).flattening(FINE / scale, 16))
        elif command.type != Command.LINE_TO:
            raise CannotRead("a DXF object in several pieces is not read by the audit")
        places += [(v.x, v.y) for v in along[1:]]
        kinds += kinds_of_curve(np.array([(v.x, v.y) for v in along]))
        here = command.end
    return chain_of(np.array(places) * scale, kinds, bool(drawn.is_closed))


def _dxf_colour(entity: Any, layer: Any) -> str:
    """``#rrggbb`` of an object, or of its layer if it has none of its own; empty if neither has one."""
    from ezdxf import colors

    rgb, number = entity.rgb, int(entity.dxf.get("color", colors.BYLAYER))
    if rgb is None and number in (colors.BYLAYER, colors.BYBLOCK) and layer is not None:
        rgb, number = layer.rgb, abs(int(layer.color))
    if rgb is None and 1 <= number <= 255:
        rgb = colors.aci2rgb(number)
    return "" if rgb is None else "#{:02x}{:02x}{:02x}".format(*rgb)


def _unit(says: float | None, shape: Table) -> float:
    """mm in one unit of a drawing: as the drawing says, else the job file. Raises `CannotRead` if neither does."""
    told = None if shape["units"] is None else PER[shape["units"]]
    if says is None and told is None:
        raise CannotRead("neither the drawing nor the job file (units) says how large the drawing is")
    return float(says if says is not None else told or 1.0)


def _page(root: Any, shape: Table) -> tuple[float, float, float, float]:
    """Left edge, upper edge and height of the view box in units of the drawing, and mm in one unit."""
    if root.tag != f"{_SVG}svg":
        raise CannotRead("the file is not an SVG")
    sides = [re.fullmatch(rf"\s*({_NUMBER})\s*(mm|cm|in|pt|px)?\s*", root.get(s, "")) for s in ("width", "height")]
    box = [float(n) for n in re.findall(_NUMBER, root.get("viewBox", ""))]
    if len(box) != 4 or (sides[0] is None and root.get("width")):
        raise CannotRead("an SVG without a viewBox, or whose width is not a length, is not read by the audit")
    physical = [side is not None and side[2] not in (None, "px") for side in sides]
    says = float(sides[0][1]) * PER[sides[0][2]] / box[2] if all(physical) and sides[0] is not None else None
    return box[0], box[1], box[3], _unit(says, shape)


def _elements(
    parent: Any, matrix: Points, layers: tuple[str, ...], paint: Mapping[str, str]
) -> Iterator[tuple[Any, Points, tuple[str, ...], Mapping[str, str]]]:
    """Every shape that is drawn, with its map to the page, the layers that it is in, and its paint."""
    for element in parent:
        kind = str(element.tag).removeprefix(_SVG)
        if kind in _STRANGE:
            raise CannotRead(f"an SVG with <{kind}> in it is not read by the audit")
        if kind not in ("g", "a", *_SHAPES):
            continue
        here = _painted(element, paint)
        if here.pop("display", None) == "none":
            continue
        names = tuple(name for name in (element.get(_LABEL), element.get("id")) if name)
        placed = matrix @ _transform(element.get("transform"))
        if kind in ("g", "a"):
            yield from _elements(element, placed, (*names, *layers), here)
        elif here.get("visibility") not in ("hidden", "collapse"):
            yield element, placed, (*names, *layers), here


def _painted(element: Any, around: Mapping[str, str]) -> dict[str, str]:
    """How an element is painted: by its own values, else by those of the element around it."""
    own = dict(pair.split(":", 1) for pair in element.get("style", "").split(";") if ":" in pair)
    own = {key.strip(): value.strip() for key, value in own.items()}
    return {**around, **{k: v for k in _PAINT if (v := own.get(k) or element.get(k))}}


def _hex(colour: str) -> str:
    """``#rrggbb`` of a colour; of the colour words of CSS, only the basic ones are known."""
    word = colour.strip().lower()
    if re.fullmatch(r"#[0-9a-f]{3}", word):
        return "#" + "".join(2 * digit for digit in word[1:])
    if (numbers := re.fullmatch(r"rgb\(\s*(\d+)\s*,\s*(\d+)\s*,\s*(\d+)\s*\)", word)) is not None:
        return "#" + "".join(f"{min(int(n), 255):02x}" for n in numbers.groups())
    return _NAMES.get(word, word)


def _transform(text: str | None) -> Points:
    whole = np.eye(3)
    for name, inside in re.findall(r"([a-zA-Z]+)\s*\(([^)]*)\)", text or ""):
        n = [float(number) for number in re.findall(_NUMBER, inside)]
        step = np.eye(3)
        if name == "matrix" and len(n) == 6:
            step[:2] = np.array(n).reshape(3, 2).T
        elif name == "translate":
            step[:2, 2] = n[0], n[1] if len(n) > 1 else 0.0
        elif name == "scale":
            step[0, 0], step[1, 1] = n[0], n[-1]
        elif name == "rotate" and len(n) == 1:
            cos, sin = math.cos(math.radians(n[0])), math.sin(math.radians(n[0]))
            step[:2, :2] = [[cos, -sin], [sin, cos]]
        else:
            raise CannotRead(f"the transform {name} with {len(n)} numbers is not read by the audit")
        whole = whole @ step
    return whole


def _chains(element: Any) -> Iterator[Chain]:
    kind = element.tag.removeprefix(_SVG)

    def number(name: str) -> float:
        text = element.get(name, "0")
        if not re.fullmatch(rf"\s*{_NUMBER}\s*(px)?\s*", text):
            raise CannotRead(f"{name} = {text[:20]!r} in an SVG is not read by the audit")
        return float(text.strip().removesuffix("px"))

    if kind == "path":
        yield from _subpaths(element.get("d", ""))
    elif kind == "rect":
        x, y, w, h = (number(name) for name in ("x", "y", "width", "height"))
        rx, ry = (number(name) if element.get(name) else None for name in ("rx", "ry"))
        rx, ry = min((rx if rx is not None else ry) or 0.0, w / 2), min((ry if ry is not None else rx) or 0.0, h / 2)
        turns = np.linspace(0.0, math.pi / 2.0, PIECES)
        corners = [(x + w - rx, y + h - ry, 0), (x + rx, y + h - ry, 1), (x + rx, y + ry, 2), (x + w - rx, y + ry, 3)]
        arcs = [np.stack([cx + rx * np.cos(turns + q * math.pi / 2), cy + ry * np.sin(turns + q * math.pi / 2)], axis=1)
                for cx, cy, q in corners]  # fmt: skip
        kinds = ([CURVED] * (PIECES - 1) + [STRAIGHT]) * 4
        yield chain_of(np.concatenate([*arcs, arcs[0][:1]]), kinds, closed=True)
    elif kind in ("circle", "ellipse"):
        rx, ry = (number("r"), number("r")) if kind == "circle" else (number("rx"), number("ry"))
        turns = np.linspace(0.0, 2.0 * math.pi, 8 * PIECES)[:-1]
        yield chain_of(
            np.stack([number("cx") + rx * np.cos(turns), number("cy") + ry * np.sin(turns)], axis=1),
            CURVED,
            closed=True,
        )
    elif kind == "line":
        yield chain_of([[number("x1"), number("y1")], [number("x2"), number("y2")]], STRAIGHT)
    else:
        places = np.array([float(n) for n in re.findall(_NUMBER, element.get("points", ""))]).reshape(-1, 2)
        yield chain_of(places, STRAIGHT, kind == "polygon")


def _subpaths(text: str) -> Iterator[Chain]:
    from svg.path import parse_path

    places: list[complex] = []
    kinds: list[int] = []
    for segment in parse_path(text):
        kind = type(segment).__name__
        if kind in ("Move", "Close"):
            if len(places) > 1:
                yield chain_of(_plain(places), kinds, kind == "Close")
            places, kinds = [segment.end], []
        elif kind == "Line":
            places.append(segment.end)
            kinds.append(STRAIGHT)
        else:
            along = [segment.point(k / PIECES) for k in range(PIECES + 1)]
            places += along[1:]
            kinds += kinds_of_curve(_plain(along))
    if len(places) > 1:
        yield chain_of(_plain(places), kinds)


def _plain(places: Sequence[complex]) -> Points:
    return np.array([(place.real, place.imag) for place in places])


def _joined(chains: Sequence[Chain], points: Sequence[tuple[float, float]], shape: Table) -> Figure:
    """Loose lines joined end to end if their ends lie no more than the job file's ``join`` (mm) apart."""
    within = JOIN if shape["join"] is None else float(shape["join"])
    return _figure(*joined(chains, within), points, EXACT + CHORDED + within)


def _figure(
    rings: Sequence[Chain], lines: Sequence[Chain], points: Sequence[tuple[float, float]], slack: float
) -> Figure:  # fmt: skip
    return Figure(
        tuple(ring.points for ring in rings), tuple(line.points for line in lines), tuple(points), slack,
        tuple(ring.corners() for ring in rings),
    )  # fmt: skip
