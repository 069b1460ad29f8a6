"""Contours: cuts along the edge of a shape, outside it, inside it, or on its line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final, Literal, get_args

import numpy as np

from pathkit.curves.regions import Region, Shape, area_of, backward, refusal, region_of, turned, widest_bit
from pathkit.errors import InputError
from pathkit.model.checking import Faults
from pathkit.model.curve import Curve
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Role, Toolpath
from pathkit.operations.leads import WithLead, with_lead
from pathkit.operations.offset import inset
from pathkit.tolerances import WIDEST_BIT_STEP

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

Side = Literal["outside", "inside", "on"]
Direction = Literal["climb", "conventional"]

LONG: Final = 3.0
"""Diameters of the bit: half of a span that is as long is more than the diameter. So far before the end of a ring the
bit frees what is within, and the move that goes on from there must be the last one."""


def contour(  # noqa: PLR0913 - each is asked for by its name
    name: str,
    shape: Shape,
    tool: Tool,
    cutting: Cutting,
    *,
    side: Side = "outside",
    direction: Direction = "climb",
    bottom: float,
    top: float | None = None,
    stepdown: float | None = None,
    part: str | None = None,
    role: Role | None = None,
    lead: float = 0.0,
    overlap: float | None = None,
    allowance: float = 0.0,
    drop: bool = False,
) -> tuple[Toolpath, ...]:
    """Toolpaths that follow the edge of ``shape``.

    ``shape`` is a `Curve` (arcs stay exact) or a shapely geometry. ``outside``: the shape is what stays, and the bit
    runs round it; the holes of a Polygon are followed on their inside. ``inside``: the shape is the opening. ``on``:
    the bit's centre runs along the line itself, which may be open.

    ``direction`` is for a spindle that turns clockwise seen from above: climb is clockwise round what stays and
    counter-clockwise round an opening (common practice, no source). What a closed line encloses is taken to stay; an
    open line is run as it is drawn. ``role`` is ``outline`` unless given, ``cut`` on a line. z in mm; ``top`` None is
    the stock's highest top.

    ``lead`` (mm) is the radius of the quarter circles on which the bit joins and leaves each ring, in the waste beside
    it; they are smaller where there is less room. The ring is then an open curve, run one way and entered on its lead
    alone, with ``overlap`` mm (the bit's radius unless given) run twice. A ring whose leads have no room gets none, and
    neither does a line.

    ``allowance`` mm are left on the wall, for a later cut to take off.

    With ``drop`` the piece inside may come loose: the rings get no tabs, and each is entered straight down in the
    middle or at the end of a long span, so that the last move of its last level is the one that frees the piece.

    One toolpath per ring, holes first, numbered if there are several. Raises `InputError`, naming the shape, if it is
    open or crosses itself, or if it is narrower than the bit, with the widest bit that fits.
    """
    faults = Faults("contour")
    faults.choice(side, get_args(Side), "side")
    faults.choice(direction, get_args(Direction), "direction")
    faults.number(lead, "lead", least=0.0)
    faults.number(overlap, "overlap", least=0.0, optional=True)
    faults.number(allowance, "allowance", least=0.0)
    faults.raise_any()
    if drop:
        _refuse_drop(name, tool, lead)
    runs: Sequence[WithLead]
    if side == "on":
        runs = [WithLead(curve, 0.0) for curve in _on_the_line(shape, name, direction)]
    else:
        refuse_bit(name, tool)
        region = region_of(shape, name)
        rings = _beside(region, name, tool, allowance, outside=side == "outside")
        # The rings have the shape to their left. Climb cutting keeps the wood that stays to the right of the bit.
        reverse = (side == "outside") == (direction == "climb")
        curves = [backward(ring) if reverse else ring for ring in rings]
        runs = [WithLead(curve, 0.0) for curve in curves]
        if lead > 0.0:
            room, over = _room(rings, lead, outside=side == "outside"), tool.radius if overlap is None else overlap
            runs = [with_lead(curve, room, tool, lead, over, left=direction == "climb") for curve in curves]
    role = role or ("cut" if side == "on" else "outline")
    names = numbered(name, len(runs))
    return tuple(
        Toolpath(
            each, run.curve, tool, cutting, top=top, bottom=bottom, stepdown=stepdown, part=part, role=role,
            entry=run.entry, **(_freed_at_last(run.curve, tool) if drop else {}),
        )
        for each, run in zip(names, runs, strict=True)
    )  # fmt: skip


def _refuse_drop(name: str, tool: Tool, lead: float) -> None:
    if not tool.plunges:
        what = f"dropping the core takes a cut straight down, and the bit {tool.name!r} does not cut at its centre"
        raise refusal(name, what, 'core = "keep", or a bit that cuts at its centre (centre_cutting = true)')
    if lead > 0.0:
        what = "dropping the core takes a cut that ends where it began, and this one has a lead"
        raise refusal(name, what, "leave out lead (lead = 0)")


def _freed_at_last(curve: Curve, tool: Tool) -> dict[str, Any]:
    """Options for a ring whose last move must be long: it begins in the middle of its longest straight span if that is
    `LONG` enough, else at the end of its longest span of any kind."""
    spans = curve.spans
    straight = np.where(spans.sweep == 0.0, spans.length, 0.0)
    longest = int(np.argmax(straight))
    if straight[longest] >= LONG * tool.diameter:
        start = float(spans.station[longest] + spans.station[longest + 1]) / 2.0
    else:
        start = float(spans.station[int(np.argmax(spans.length)) + 1])
    return {"start": start, "free_start": False, "hold": False}


def _room(rings: Sequence[Curve], lead: float, *, outside: bool) -> BaseGeometry:
    """Where the bit's centre may be: within the rings of an opening, outside the rings round a part."""
    import shapely

    area = area_of(rings)
    if not outside:
        return area
    low_x, low_y, high_x, high_y = area.bounds
    far = 4.0 * lead
    return shapely.box(low_x - far, low_y - far, high_x + far, high_y + far).difference(area)


def numbered(name: str, count: int) -> tuple[str, ...]:
    """``name`` for one thing, ``name 1``, ``name 2``, … for several."""
    return (name,) if count == 1 else tuple(f"{name} {k}" for k in range(1, count + 1))


def refuse_bit(name: str, tool: Tool) -> None:
    """Refuse bits whose sides leave no upright wall, where the job relies on one."""
    if tool.kind in ("vee", "drill"):
        what = f"the bit {tool.name!r} is a {tool.kind}, which cuts no upright wall"
        raise refusal(name, what, "tool: name a flat, ball or compression bit")


def no_room(name: str, allowance: float) -> InputError:
    """The error for a contour that an allowance leaves no way round."""
    what = f"an allowance of {allowance:g} mm leaves the bit no room to go round"
    return refusal(name, what, "make finish.allowance smaller, or leave finish out")


def too_narrow(name: str, region: Region, tool: Tool) -> InputError:
    """The error for an opening that the bit does not fit into."""
    place = region.area.representative_point()
    x, y = place.x, place.y
    what = f"the bit {tool.name!r} of {tool.diameter:g} mm fits nowhere in the shape near ({x:.1f}, {y:.1f})"
    widest = widest_bit(region)
    if widest >= tool.diameter - WIDEST_BIT_STEP:
        return refusal(name, what, "the shape is as wide as the bit: drill it, or cut a slot along its middle")
    return refusal(name, what, f"tool: the widest bit that fits has {widest:g} mm")


def _beside(region: Region, name: str, tool: Tool, allowance: float, *, outside: bool) -> tuple[Curve, ...]:
    aside = tool.radius + allowance
    rings = inset(region.rings, -aside if outside else aside)
    if not rings:
        if allowance > 0.0 and inset(region.rings, tool.radius):
            raise no_room(name, allowance)
        raise too_narrow(name, region, tool)
    if outside and (swallowed := [ring for ring in region.rings if ring.area < 0.0]):
        for hole in swallowed:
            if not inset((backward(hole),), tool.radius):
                raise too_narrow(f"{name}, a hole of it", Region((backward(hole),)), tool)
    # Holes go first: once the outer ring is cut through, nothing holds the part.
    return tuple(sorted(rings, key=lambda ring: ring.area))


def _on_the_line(shape: Shape, name: str, direction: Direction) -> tuple[Curve, ...]:
    if isinstance(shape, Curve):
        curve = shape
    else:
        kind = getattr(shape, "geom_type", None)
        if kind in ("Polygon", "MultiPolygon", "LinearRing"):
            rings = region_of(shape, name).rings
            return tuple(sorted((backward(r) if direction == "climb" else r for r in rings), key=lambda r: abs(r.area)))
        if kind not in ("LineString", "MultiLineString") or shape.is_empty:
            raise refusal(name, f"the shape is {shape!r:.80}", "pass a Curve, or a shapely line or polygon")
        lines = tuple(Curve.from_shapely(line) for line in getattr(shape, "geoms", [shape]))
        if len(lines) > 1:
            return lines
        curve = lines[0]
    if curve.is_point or curve.is_trace:
        raise refusal(name, "the shape is a point or a trace", "a contour follows a plane line; use drill for points")
    return (turned(curve, counter_clockwise=direction != "climb") if curve.closed else curve,)
