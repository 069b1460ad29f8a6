"""Bevelled edges: the tip of a vee runs on the edge's own line, so deep that its cone is as wide as asked at the edge.

At a height h above its tip a cone whose whole angle is A is h · tan(A/2) wide to each side of its axis (plain
trigonometry of a cone). So a chamfer w mm across has its foot w / tan(A/2) below its edge: w at 90 degrees, and
w · √3 at 60. What the cone takes lies within a distance of the line, whatever the line does: corners are exact, and
the wall may be cut before or after.
"""

from __future__ import annotations

from typing import Literal, get_args

from pathkit.curves.regions import Shape, backward, refusal, region_of
from pathkit.model.checking import Faults
from pathkit.model.curve import Curve
from pathkit.model.job import Chamfer
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import FINEST, Toolpath
from pathkit.operations.contour import Direction, numbered
from pathkit.tolerances import SAME_PLACE

Edge = Literal["outside", "inside"]


def other_side(side: Edge) -> Edge:
    """The side on which the edges of holes lie in what an edge of this ``side`` goes round."""
    return "inside" if side == "outside" else "outside"


def slope_of(tool: Tool, name: str) -> float:
    """mm that the cone of a vee is wide, to each side, for each mm above its tip: tan(A/2) (see above).

    Raises `InputError`, naming the operation called ``name``, for any other bit.
    """
    if tool.kind != "vee":
        what = f"the bit {tool.name!r} is a {tool.kind} bit, which has no cone to cut a bevel with"
        raise refusal(name, what, 'tool: name a vee bit (kind = "vee", angle = 90, say)')
    return tool.flare


def depth_of(width: float, tool: Tool, name: str) -> float:
    """mm from the edge down to the foot of a chamfer ``width`` mm across: w / tan(A/2) (see above).

    Raises `InputError` where the bit has no cone, or none as wide as that.
    """
    slope = slope_of(tool, name)
    if width > tool.radius + SAME_PLACE:
        what = f"a chamfer {width:g} mm across, and the cone of {tool.name!r} reaches {tool.radius:g} mm to each side"
        raise refusal(name, what, f"width = {tool.radius:g} at most, or a wider bit")
    return width / slope


def chamfer(  # noqa: PLR0913 - each is asked for by its name
    name: str,
    shape: Shape,
    tool: Tool,
    cutting: Cutting,
    *,
    width: float,
    edge: float,
    side: Edge = "outside",
    direction: Direction = "climb",
    top: float | None = None,
    stepdown: float | None = None,
    part: str | None = None,
) -> tuple[Toolpath, ...]:
    """Toolpaths (role ``chamfer``) that bevel the edge of ``shape``, one for each of its rings.

    ``shape`` is a closed `Curve` (arcs stay exact) or a shapely polygon; the bit's tip runs on its line. ``outside``:
    the line goes round what stays; the holes of a Polygon then are openings in it. ``inside``: it is the rim of an
    opening or recess, and the holes of a Polygon are islands. ``width`` mm is measured across, seen from above;
    ``edge`` is the z of the edge, mm: there the chamfer is that wide. Its foot lies ``width`` / tan(A/2) lower for a
    vee of the whole angle A (see the top of this module). ``top`` is where the wood begins (None: the stock's highest
    top).

    ``direction`` holds for a spindle that turns clockwise seen from above: climb is clockwise round what stays and
    counter-clockwise round an opening (common practice, no source).

    One toolpath a ring, numbered where there are several. Raises `InputError` for a bit without a cone, a chamfer that
    is wider than the cone, and a shape that is open or crosses itself.
    """
    faults = Faults("chamfer")
    faults.choice(side, get_args(Edge), "side")
    faults.choice(direction, get_args(Direction), "direction")
    faults.number(width, "width", least=FINEST)
    faults.number(edge, "edge")
    faults.raise_any()
    foot = edge - depth_of(width, tool, name)
    # The rings have the shape to their left. Climb cutting keeps the wood that stays to the right of the bit's way.
    reverse = (side == "outside") == (direction == "climb")
    rings = region_of(shape, name).rings
    return tuple(
        Toolpath(
            each, backward(ring) if reverse else ring, tool, cutting, top=top, bottom=foot, stepdown=stepdown,
            part=part, role="chamfer",
        )
        for each, ring in zip(numbered(name, len(rings)), rings, strict=True)
    )  # fmt: skip


def bevels(
    name: str, shape: Shape, tool: Tool, *, width: float, edge: float, side: Edge = "outside", top: float | None = None
) -> tuple[Chamfer, ...]:
    """What `chamfer` makes of a part, for its finished shape: a `Chamfer` for each ring of ``shape``.

    The arguments are those of `chamfer`; ``top`` is the z of an edge that does not lie on the board's own top. Raises
    `InputError` as that does.
    """
    foot, slope = edge - depth_of(width, tool, name), slope_of(tool, name)

    def bevel(ring: Curve) -> Chamfer:
        if ring.area > 0.0:
            return Chamfer(ring, foot, slope, side, top)
        return Chamfer(backward(ring), foot, slope, other_side(side), top)

    return tuple(bevel(ring) for ring in region_of(shape, name).rings)
