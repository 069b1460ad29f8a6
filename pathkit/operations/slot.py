"""A groove along a line: as wide as the bit, or wider."""

from __future__ import annotations

import math
from typing import Any

from pathkit.curves.regions import Shape, refusal
from pathkit.model.checking import Faults
from pathkit.model.curve import Curve
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Toolpath
from pathkit.operations.contour import refuse_bit
from pathkit.operations.offset import swept_rings
from pathkit.operations.pocket import STEPOVER, pocket, usual_allowance
from pathkit.tolerances import SAME_PLACE


def slot(  # noqa: PLR0913 - each is asked for by its name
    name: str,
    centre_line: Shape,
    tool: Tool,
    cutting: Cutting,
    *,
    bottom: float,
    top: float | None = None,
    stepdown: float | None = None,
    width: float | None = None,
    part: str | None = None,
    stepover: float = STEPOVER,
) -> tuple[Toolpath, ...]:
    """Toolpaths for a groove of ``width`` mm whose middle is ``centre_line``, a `Curve` or shapely line.

    Without ``width``, or if it is the bit's diameter, the result is one pass along the line, role ``slot``. A wider
    slot is a pocket in the shape of the slot, cleared in rows ``stepover`` (a share of the bit's diameter) apart, in
    the direction from the line's first end to its last. Raises `InputError` for a slot narrower than the bit.
    """
    line = _line(centre_line, name)
    faults = Faults("slot")
    faults.number(width, "width", above=0.0, optional=True)
    faults.raise_any()
    refuse_bit(name, tool)
    if width is None or math.isclose(width, tool.diameter, abs_tol=SAME_PLACE):
        return (Toolpath(name, line, tool, cutting, top=top, bottom=bottom, stepdown=stepdown, part=part, role="slot"),)
    if width < tool.diameter:
        x, y = line.points[0][:2]
        what = f"the slot from ({x:.1f}, {y:.1f}) is {width:g} mm wide, and the bit {tool.name!r} {tool.diameter:g} mm"
        raise refusal(name, what, f"tool: the widest bit that fits has {width:g} mm")
    way = line.points[-1] - line.points[0]
    outer, *holes = sorted(swept_rings(line, width / 2.0), key=lambda ring: -ring.area)
    return pocket(
        name, outer, tool, cutting, bottom=bottom, top=top, stepdown=stepdown, part=part, islands=holes,
        angle=0.0 if line.closed else math.degrees(math.atan2(way[1], way[0])),
        wall_allowance=min(usual_allowance(tool), (width - tool.diameter) / 4.0), stepover=stepover,
    )  # fmt: skip


def _line(shape: Any, name: str) -> Curve:
    if not isinstance(shape, Curve):
        if getattr(shape, "geom_type", None) not in ("LineString", "LinearRing") or shape.is_empty:
            raise refusal(name, f"the centre line is {shape!r:.80}", "pass a Curve or a shapely LineString")
        shape = Curve.from_shapely(shape)
    line: Curve = shape
    if line.is_point or line.is_trace:
        raise refusal(name, "the centre line is a point or a trace", "a slot follows a plane line; drill points")
    return line
