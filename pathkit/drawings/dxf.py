"""Shapes from a DXF drawing: lines, arcs and bulges exact, ellipses and splines within a tolerance, blocks expanded.

Read by ezdxf. Coordinates are the drawing's own, converted to mm. Only what lies flat in the plan is taken; what cannot
be cut as a shape (text, dimensions, hatches, solids) is named and left out.
"""

from __future__ import annotations

import io
import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from pathkit.drawings.curve_builder import Chain
from pathkit.drawings.drawing import (
    LARGEST,
    MOST_SHAPES,
    MOST_VISITS,
    Drawing,
    Drawn,
    Unit,
    millimetres_per_unit,
    refusal,
)
from pathkit.errors import InputError, ModelError
from pathkit.findings import Finding
from pathkit.model.curve import Curve
from pathkit.tolerances import ANGLE_ROUNDING, DRAWN_CURVE, RELATIVE_ROUNDING, SAME_HEIGHT, SAME_PLACE, VANISHING

Floats = NDArray[np.float64]

_INSUNITS: Final = {
    1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 8: 25.4e-6, 9: 25.4e-3, 10: 914.4, 13: 1e-3, 14: 100.0,
}  # fmt: skip
"""mm in the unit that the header's $INSUNITS names (the published DXF reference): 1 inch, 2 foot, 4 mm, 5 cm, 6 m, …"""

_DEEPEST: Final = 16


def read_dxf(
    data: bytes, source: str, *, units: Unit | None = None, scale: float = 1.0, tolerance: float = DRAWN_CURVE
) -> Drawing:
    """The shapes in the drawing's model space that are on visible layers, splines within ``tolerance`` mm.

    The header's $INSUNITS gives the unit; if it does not, ``units`` must. ``scale`` enlarges the drawing on purpose.
    Raises `InputError` if ``data`` is not DXF, and for shapes that have no size or do not lie flat, each named.
    """
    document = _document(data, source)
    number = int(document.header.get("$INSUNITS", 0))
    words = f"$INSUNITS is {number}"
    mm = millimetres_per_unit(_INSUNITS.get(number), words, units, scale, source)
    reader = _Reader(source, document, mm, tolerance)
    for entity in document.modelspace():
        reader.entity(entity, "", 0)
    if reader.faults:
        raise InputError(reader.faults)
    return Drawing(source, tuple(reader.shapes), tuple(reader.left_out.values()))


def _document(data: bytes, source: str) -> Any:
    try:
        from ezdxf import recover
        from ezdxf.lldxf.const import DXFError
    except ImportError:
        raise InputError("drawings in DXF need the extra 'dxf': pip install 'pathkit-cam[dxf]'") from None
    if len(data) > LARGEST:
        raise refusal(source, f"it is larger than {LARGEST} bytes", "split the drawing")
    if not (data[:22].startswith(b"AutoCAD Binary DXF") or b"SECTION" in data[:4096]):
        raise refusal(source, "not a DXF drawing", "name a DXF file")
    try:
        document, auditor = recover.read(io.BytesIO(data))
    except (DXFError, OSError, ValueError, TypeError, KeyError, IndexError, AttributeError) as error:
        raise refusal(source, f"not a sound DXF drawing: {str(error)[:120]}", "save it again") from None
    if auditor.has_errors:
        faults = [
            Finding(check="drawing", what=f"damaged: {error.message}", fix="save it again", file=source)
            for error in auditor.errors[:20]
        ]
        raise InputError(faults)
    return document


@dataclass
class _Reader:
    source: str
    document: Any
    mm: float
    tolerance: float
    shapes: list[Drawn] = field(default_factory=list)
    faults: list[Finding] = field(default_factory=list)
    left_out: dict[str, Finding] = field(default_factory=dict)
    visits: int = 0
    off: dict[str, bool] = field(default_factory=dict)
    """By layer: whether it is not seen. A drawing has few layers and very many shapes."""
    colours: dict[tuple[int, str, str], str] = field(default_factory=dict)

    def entity(self, entity: Any, block_layer: str, depth: int, block_colour: str = "") -> None:
        """``block_layer`` is the layer of the insert around it, which entities on layer 0 of a block take on."""
        self.visits += 1
        if self.visits > MOST_VISITS:
            raise refusal(self.source, f"its blocks come to more than {MOST_VISITS} objects", "explode and split it")
        kind = entity.dxftype()
        layer = str(entity.dxf.layer)
        layer = block_layer if block_layer and layer == "0" else layer
        if self.is_off(layer) or entity.dxf.get("invisible", 0):
            return
        colour = self.colour(entity, layer, block_colour)
        name = f"{kind} #{entity.dxf.get('handle') or '?'} on layer {layer!r}"
        if kind == "INSERT":
            self.insert(entity, layer, depth, colour, name)
            return
        try:
            curve = self.curve(entity, kind)
        except _Apart as reason:
            self.faults.append(self.finding(f"{name}: {reason}", "draw it flat, in the plan"))
            return
        except (ModelError, ValueError, ZeroDivisionError) as error:
            what = error.findings[0].what if isinstance(error, ModelError) else str(error)[:80]
            self.faults.append(self.finding(f"{name}: {what}", "mend it in the drawing"))
            return
        if curve is _UNKNOWN:
            what = f"{kind} on layer {layer!r} is left out: it is not a shape that can be cut"
            self.left_out.setdefault(what, Finding(check="drawing", what=what, severity="warning", file=self.source))
        elif curve is None:
            self.faults.append(self.finding(f"{name} has no size", "delete it"))
        else:
            self.shapes.append(Drawn(curve, name, (layer,), colour))
            if len(self.shapes) > MOST_SHAPES:
                raise refusal(self.source, f"it has more than {MOST_SHAPES} shapes", "split the drawing")

    def insert(self, entity: Any, layer: str, depth: int, colour: str, name: str) -> None:
        if depth >= _DEEPEST:
            raise refusal(self.source, f"{name}: blocks are nested more than {_DEEPEST} deep", "explode them")
        inserts = entity.multi_insert() if entity.mcount > 1 else (entity,)
        for one in inserts:
            lost: list[str] = []
            for inner in one.virtual_entities(skipped_entity_callback=lambda e, _, lost=lost: lost.append(e.dxftype())):
                self.entity(inner, layer, depth + 1, colour)
            for kind in sorted(set(lost)):
                what = f"a {kind} in {name} is left out: it cannot be placed as the block asks"
                self.faults.append(self.finding(what, "explode the block in the drawing"))

    def is_off(self, layer: str) -> bool:
        if layer not in self.off:
            known = self.document.layers
            self.off[layer] = layer in known and (known.get(layer).is_off() or known.get(layer).is_frozen())
        return self.off[layer]

    def colour(self, entity: Any, layer: str, block_colour: str) -> str:
        from ezdxf import colors

        if entity.dxf.hasattr("true_color"):
            red, green, blue = colors.int2rgb(entity.dxf.true_color)
            return f"#{red:02x}{green:02x}{blue:02x}"
        asked = int(entity.dxf.get("color", colors.BYLAYER)), layer, block_colour
        if asked not in self.colours:
            self.colours[asked] = self.indexed(*asked)
        return self.colours[asked]

    def indexed(self, number: int, layer: str, block_colour: str) -> str:
        """The colour of an entity by its number, which may leave it to its layer or block."""
        from ezdxf import colors

        if number == colors.BYBLOCK and block_colour:
            return block_colour
        if number in (colors.BYLAYER, colors.BYBLOCK):
            if layer not in self.document.layers:
                return ""
            style = self.document.layers.get(layer)
            if style.rgb is not None:
                return "#{:02x}{:02x}{:02x}".format(*style.rgb)
            number = abs(int(style.color))
        if not 1 <= number <= 255:
            return ""
        red, green, blue = colors.aci2rgb(number)
        return f"#{red:02x}{green:02x}{blue:02x}"

    def curve(self, entity: Any, kind: str) -> Any:
        """The curve; None where it has no length, `_UNKNOWN` for what is not a shape."""
        match kind:
            case "LINE":
                return _lines(self.flat([entity.dxf.start, entity.dxf.end]), closed=False)
            case "POINT":
                return Curve.point(self.flat([entity.dxf.location])[0])
            case "CIRCLE" | "ARC":
                return self.arc(entity, whole=kind == "CIRCLE")
            case "LWPOLYLINE":
                places = [(x, y, entity.dxf.elevation) for x, y in entity.get_points("xy")]
                return self.polyline(entity, places, [b for (b,) in entity.get_points("b")], bool(entity.closed))
            case "POLYLINE" if entity.is_2d_polyline and entity.dxf.get("smooth_type", 0) == 0:
                places = [tuple(v.dxf.location) for v in entity.vertices]
                bulges = [float(v.dxf.get("bulge", 0.0)) for v in entity.vertices]
                return self.polyline(entity, places, bulges, bool(entity.is_closed))
            case "POLYLINE" if entity.is_3d_polyline:
                return _lines(self.flat([v.dxf.location for v in entity.vertices]), closed=bool(entity.is_closed))
            case "ELLIPSE":
                return self.ellipse(entity)
            case "SPLINE":
                return self.spline(entity)
        return _UNKNOWN

    def flat(self, places: Any) -> Floats:
        """World coordinates (k, 3) as the plan's (k, 2), mm; all must be at one height."""
        array = np.array([tuple(place) for place in places], dtype=float).reshape(-1, 3)
        if np.ptp(array[:, 2]) * self.mm > SAME_HEIGHT:
            raise _Apart(f"it runs through heights from {array[:, 2].min():g} to {array[:, 2].max():g}")
        plan: Floats = array[:, :2] * self.mm
        return plan

    def sense(self, entity: Any) -> float:
        """1, or −1 where the object is drawn as seen from below."""
        normal = entity.dxf.get("extrusion", (0.0, 0.0, 1.0))
        x, y, z = normal
        if math.hypot(x, y) > RELATIVE_ROUNDING * abs(z):
            raise _Apart("it stands at an angle to the plan")
        return math.copysign(1.0, z)

    def arc(self, entity: Any, *, whole: bool) -> Curve | None:
        sense, radius = self.sense(entity), float(entity.dxf.radius) * self.mm
        centre = self.flat([entity.ocs().to_wcs(entity.dxf.center)])[0]
        if not radius > 0.0:
            return None
        if whole:
            return Curve.circle(centre, radius, ccw=sense > 0.0)
        start, end = math.radians(entity.dxf.start_angle), math.radians(entity.dxf.end_angle)
        delta = (end - start) % (2.0 * math.pi) or 2.0 * math.pi
        u, v = np.array([sense * radius, 0.0]), np.array([0.0, radius])
        chain = Chain(centre + u * math.cos(start) + v * math.sin(start))
        chain.elliptic(centre, u, v, start, delta, self.tolerance)
        return chain.curve()

    def polyline(self, entity: Any, places: list[Any], bulges: list[float], closed: bool) -> Curve | None:
        """A bulge is the tangent of a quarter of the sweep (the published DXF reference)."""
        if not places:
            return None
        sense = self.sense(entity)
        plan = self.flat(list(entity.ocs().points_to_wcs(places)))
        chain = Chain(plan[0])
        following = [*plan[1:], plan[0]] if closed else plan[1:]
        for to, bulge in zip(following, bulges, strict=False):
            chain.arc(to, sense * 4.0 * math.atan(bulge))
        return chain.curve(gap=SAME_PLACE) if closed else chain.curve()

    def ellipse(self, entity: Any) -> Curve | None:
        sense = self.sense(entity)
        centre = self.flat([entity.dxf.center])[0]
        u = np.array(tuple(entity.dxf.major_axis)[:2]) * self.mm
        v = np.array([-u[1], u[0]]) * float(entity.dxf.ratio) * sense
        if not (np.abs(u).max() > 0.0 and np.abs(v).max() > 0.0):
            return None
        start, end = float(entity.dxf.start_param), float(entity.dxf.end_param)
        delta = (end - start) % (2.0 * math.pi) or 2.0 * math.pi
        if delta < ANGLE_ROUNDING:
            delta = 2.0 * math.pi
        chain = Chain(centre + u * math.cos(start) + v * math.sin(start))
        chain.elliptic(centre, u, v, start, delta, self.tolerance)
        return chain.curve(gap=SAME_PLACE)

    def spline(self, entity: Any) -> Curve | None:
        tool = entity.construction_tool()
        self.flat(tool.control_points)

        def at(t: Floats) -> tuple[Floats, Floats]:
            pairs = [tool.derivative(float(x), n=1) for x in t]
            places = np.array([tuple(p)[:2] for p, _ in pairs]) * self.mm
            return places, np.array([tuple(d)[:2] for _, d in pairs]) * self.mm

        # Between knots a spline is smooth; across one it may turn.
        knots = sorted({float(k) for k in tool.knots() if tool.knots()[tool.order - 1] <= k <= tool.max_t})
        chain = Chain(at(np.array([knots[0]]))[0][0])
        for low, high in pairwise(knots):
            inside = (high - low) * VANISHING
            chain.smooth(at, low + inside if low != knots[0] else low, high - inside, self.tolerance)
        return chain.curve(gap=SAME_PLACE)

    def finding(self, what: str, fix: str) -> Finding:
        return Finding(check="drawing", what=what, fix=fix, file=self.source)


class _Apart(Exception):
    """The entity does not lie in the plan; says how."""


_UNKNOWN: Final = object()


def _lines(places: Floats, *, closed: bool) -> Curve | None:
    chain = Chain(places[0])
    for place in places[1:]:
        chain.line(place)
    return chain.curve(closed=closed)
