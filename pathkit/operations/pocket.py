"""Pockets: a level floor, cleared by rows or by rings, then one pass round the wall."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, Literal, get_args

from pathkit.curves.regions import Region, Shape, backward, line_of, near, refusal, region_of
from pathkit.model.checking import Faults
from pathkit.model.curve import Curve
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Descend, Entry, Plunge, Ramp, Toolpath
from pathkit.operations.contour import Direction, numbered, refuse_bit, too_narrow
from pathkit.operations.leads import ANGLE, with_lead
from pathkit.operations.offset import inset
from pathkit.operations.open_edges import OpenRegion, along_walls, open_region
from pathkit.operations.rings import nested
from pathkit.operations.rows import zigzags
from pathkit.tolerances import COARSE_CHORDS, IN_CLEARED, NO_AREA, SHAPE_CHORDS

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

Style = Literal["rows", "rings"]

ALLOWANCE = 0.2
"""mm left at a wall for its own pass, unless given; a tenth of the diameter for bits narrower than 2 mm, which could
not clear the floor beside a larger one (common practice, no source)."""

FINEST_STEPOVER = 0.01
"""The least stepover, as a share of the diameter: a smaller one clears nothing better and takes hundreds of times as
long (common practice, no source)."""

STEPOVER: Final = 0.4
"""As a share of the diameter, unless given. Common practice, no source."""


def pocket(  # noqa: PLR0913 - each is asked for by its name
    name: str,
    shape: Shape,
    tool: Tool,
    cutting: Cutting,
    *,
    bottom: float,
    top: float | None = None,
    stepdown: float | None = None,
    stepover: float = STEPOVER,
    angle: float | None = None,
    stock: Stock | None = None,
    islands: Sequence[Shape] = (),
    wall_allowance: float | None = None,
    direction: Direction = "climb",
    part: str | None = None,
    style: Style = "rows",
    open_edges: Shape | Sequence[Shape] = (),
    lead: float | None = None,
    overlap: float | None = None,
) -> tuple[Toolpath, ...]:
    """Toolpaths that clear the inside of ``shape`` down to z = ``bottom``.

    First the floor (role ``pocket``), ``wall_allowance`` mm (`usual_allowance` unless given) off the wall: zigzags of
    rows ``stepover`` (a share of the bit's diameter) apart, at ``angle`` degrees from x, or along the grain of
    ``stock`` if no angle is given; or, with ``style`` ``rings``, rings from the middle outwards. Then one pass round
    the wall and round each island (role ``finish``), in ``direction`` for a spindle that turns clockwise seen from
    above. The wall passes go to the bottom in one level if they have only the allowance to take off, and level by
    level if they are the first to cut somewhere (narrow necks).

    A wall pass joins and leaves the wall along quarter circles of ``lead`` mm radius (the bit's radius unless given; 0
    for none), or smaller ones if there is less room. It goes straight down where the floor is cleared, else along the
    first quarter circle, and runs ``overlap`` mm (the bit's radius unless given) twice, so that the entry leaves no
    mark. If there is no room for leads, it is the plain ring.

    ``open_edges`` are lines or closed shapes (the part's outline, say): where the edge of ``shape`` lies on them,
    there is no wall. The floor runs past it by the bit's radius, and the wall pass leaves it out.

    Names: ``name rows`` (``name rings``) and ``name wall``, numbered if there are several. Only what the bit cannot
    reach is left uncut. Raises `InputError`, naming the shape, if the bit does not fit into it, with the widest bit
    that does.
    """
    allowance = usual_allowance(tool) if wall_allowance is None else wall_allowance
    _check(name, tool, stepover, angle, stock, allowance, direction, style, lead, overlap)
    region = region_of(shape, name, islands)
    bounded = not isinstance(open_edges, Sequence) or len(open_edges) > 0
    past = tool.diameter + allowance + 5.0 * SHAPE_CHORDS
    whole = open_region(region, open_edges, past, name) if bounded else OpenRegion(region, ())
    inner = inset(whole.region.rings, tool.radius)
    if not inner:
        raise too_narrow(name, region, tool)
    walls = along_walls(inner, whole.rim, tool.radius)
    inset_field = Region(inset(whole.region.rings, tool.radius + allowance))
    field = _worth_clearing(inset_field, tool, allowance)
    grain = stock.grain if stock is not None else 0.0
    floor = floor_of(field, style, stepover * tool.diameter, grain if angle is None else angle, direction)
    bite = None if _only_allowance(walls, field, tool, allowance) else stepdown
    radius, over = (tool.radius if value is None else value for value in (lead, overlap))
    rounds = _rounds(walls, Region(inner), tool, direction, (radius, over), past - tool.radius)
    if bite is None:
        lines = [line_of(curve) for curve in floor]
        rounds = [_straight_down(each, lines, tool) for each in rounds]
    return floor_and_walls(
        name, style, tool, cutting, floor, rounds, stepdown, bite, top=top, bottom=bottom, part=part
    )  # fmt: skip


def usual_allowance(tool: Tool) -> float:
    """mm left at a wall if no allowance is given: `ALLOWANCE`, less for narrow bits."""
    return min(ALLOWANCE, tool.diameter / 10.0)


@dataclass(frozen=True)
class Round:
    """One pass along a wall, and how it is entered."""

    curve: Curve
    entry: Entry


def _rounds(
    walls: Sequence[Curve], room: Region, tool: Tool, direction: Direction, leads: tuple[float, float], before: float
) -> list[Round]:
    """The wall passes as they are run, with ``leads`` (radius, overlap). Those along an open side begin ``before`` mm
    outside it, and go down there."""
    climb = direction == "climb"
    lead, overlap = leads
    rounds: list[Round] = []
    for wall in walls:
        run = wall if climb else backward(wall)
        if not run.closed:
            rounds.append(Round(run, Ramp(ANGLE, within=before)))
        elif lead > 0.0:
            found = with_lead(run, room.area, tool, lead, overlap, left=climb)
            rounds.append(Round(found.curve, found.entry))
        else:
            rounds.append(Round(run, Plunge()))
    return rounds


def _straight_down(one: Round, lines: Sequence[BaseGeometry], tool: Tool) -> Round:
    """The pass, straight down if the floor's own cuts (``lines``) have cleared the place where its lead begins."""
    import shapely

    if not isinstance(one.entry, Ramp) or one.entry.within is None:
        return one
    place = shapely.Point(one.curve.points[0])
    beside = [line for line in lines if shapely.dwithin(line, place, 2.0 * tool.radius)]
    cleared = shapely.union_all([line.buffer(tool.radius, quad_segs=32) for line in beside])
    if not shapely.covers(cleared, place.buffer(tool.radius - IN_CLEARED)):
        return one
    return Round(one.curve, Descend(one.entry.within))


def floor_of(
    field: Region, style: Style, step: float, angle: float, direction: Direction
) -> tuple[Curve, ...]:  # fmt: skip
    """The lines of the bit's centre that clear a field: rows or rings ``step`` mm apart; none for an empty field."""
    if not field.rings:
        return ()
    if style == "rows":
        return zigzags(field, step, angle)
    return tuple(nested(field, step, backward=direction == "conventional"))


def floor_and_walls(
    name: str,
    style: Style,
    tool: Tool,
    cutting: Cutting,
    floor: Sequence[Curve],
    walls: Sequence[Round],
    stepdown: float | None,
    bite: float | None,
    **common: Any,
) -> tuple[Toolpath, ...]:
    """The toolpaths of a floor, ``stepdown`` mm at a time, and of the passes along its walls, ``bite`` mm at a time."""
    return (
        *(
            Toolpath(
                each, curve, tool, cutting, stepdown=stepdown, role="pocket", **common,
                # A zigzag cuts climb one way and conventional the other, whichever end it begins at.
                reversible=True if style == "rows" else None,
            )
            for each, curve in zip(numbered(f"{name} {style}", len(floor)), floor, strict=True)
        ),
        *(
            Toolpath(each, one.curve, tool, cutting, stepdown=bite, role="finish", entry=one.entry, **common)
            for each, one in zip(numbered(f"{name} wall", len(walls)), walls, strict=True)
        ),
    )  # fmt: skip


def _check(  # noqa: PLR0913 - each is asked for by its name
    name: str, tool: Tool, stepover: float, angle: float | None, stock: Stock | None, allowance: float, direction: str,
    style: str, lead: float | None, overlap: float | None,
) -> None:  # fmt: skip
    faults = Faults("pocket")
    faults.number(stepover, "stepover", least=FINEST_STEPOVER)
    faults.number(angle, "angle", optional=True)
    faults.number(allowance, "wall_allowance", least=0.0)
    faults.number(lead, "lead", least=0.0, optional=True)
    faults.number(overlap, "overlap", least=0.0, optional=True)
    faults.choice(direction, get_args(Direction), "direction")
    faults.choice(style, get_args(Style), "style")
    if angle is None and stock is None and style == "rows":
        faults.add("neither angle nor stock", "give the rows' angle, or the stock whose grain they follow", "angle")
    faults.raise_any()
    refuse_bit(name, tool)
    refuse_wide_steps(name, tool, stepover, allowance, style)


def refuse_wide_steps(name: str, tool: Tool, stepover: float, allowance: float, style: str) -> None:
    """Refuse steps that leave wood between two lines, or between the last line and the wall pass.

    ``name`` is the operation's, for the error.
    """
    # Lines: a point 2r from the wall has its nearest line's foot within half a step; it must still lie r + allowance
    # inside. Rings: at a sharp corner a point may lie a whole step from the nearest ring, and the bit reaches r.
    widest = 1.0 - allowance / tool.radius
    if style == "rings":
        widest = min(0.5, 1.0 if allowance <= tool.radius else 0.0)
    if stepover > widest:
        what = (
            f"stepover {stepover:g} with an allowance of {allowance:g} mm leaves wood standing between the rings"
            if style == "rings"
            else f"stepover {stepover:g} with an allowance of {allowance:g} mm leaves wood standing between the rows"
        )
        low = math.floor(100.0 * widest) / 100.0
        fix = f"stepover = {low:g} at most" if low > 0 else f"wall_allowance = {tool.radius / 4.0:.3g}, or a wider bit"
        raise refusal(name, what, fix)


def _worth_clearing(field: Region, tool: Tool, allowance: float) -> Region:
    """The field without pieces so small that the wall pass alone clears them."""
    if not field.rings:
        return field
    kept: list[Curve] = []
    for piece in field.components():
        low_x, low_y, high_x, high_y = piece.rings[0].bounds
        if max(high_x - low_x, high_y - low_y) > tool.diameter - 2.0 * allowance:
            kept += piece.rings
    return Region(tuple(kept))


def _only_allowance(walls: Sequence[Curve], field: Region, tool: Tool, allowance: float) -> bool:
    """Whether the wall passes are everywhere so near the cleared floor that they take off only the allowance."""
    if not field.rings:
        return False
    within = max(2.0 * allowance, tool.radius / 2.0)
    lines = [line_of(wall, COARSE_CHORDS) for wall in walls if not wall.closed or abs(wall.area) > NO_AREA]
    return all(near(line, field.area, within) for line in lines)
