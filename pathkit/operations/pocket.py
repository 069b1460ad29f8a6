"""A level floor within a wall: rastered, then one pass round the wall."""

from __future__ import annotations

from collections.abc import Sequence
from typing import get_args

from pathkit.model.checking import Faults
from pathkit.model.curve import Curve
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Toolpath
from pathkit.operations.contour import Direction, numbered, refuse_bit, too_narrow
from pathkit.operations.offset import inset
from pathkit.operations.raster import zigzags
from pathkit.operations.shapes import SMALLEST, Region, Shape, backward, near, refusal, region_of


def pocket(
    name: str,
    shape: Shape,
    tool: Tool,
    cutting: Cutting,
    *,
    bottom: float,
    top: float | None = None,
    stepdown: float | None = None,
    stepover: float = 0.4,
    angle: float | None = None,
    stock: Stock | None = None,
    islands: Sequence[Shape] = (),
    wall_allowance: float = 0.2,
    direction: Direction = "climb",
    part: str | None = None,
) -> tuple[Toolpath, ...]:
    """Toolpaths that clear the inside of ``shape`` down to z = ``bottom``.

    First zigzags (role ``pocket``) of lines ``stepover`` (a fraction of the bit's diameter) apart at ``angle`` degrees
    from x, or along the grain of ``stock`` where no angle is given; they stay ``wall_allowance`` mm off the wall. Then
    one pass round the wall and round each island (role ``finish``), in ``direction`` for a spindle that turns clockwise
    seen from above. The wall pass goes to the bottom in one level where it has only the allowance to take, level by
    level where the bit is first to come (narrow necks).

    Names: ``name raster`` and ``name wall``, numbered where there are several. What is left uncut is only what the bit
    cannot reach. Raises `InputError` that names a shape into which the bit does not go, with the widest that does.
    """
    _check(name, tool, stepover, angle, stock, wall_allowance, direction)
    along = angle if angle is not None else stock.grain if stock is not None else 0.0
    region = region_of(shape, name, islands)
    walls = inset(region.rings, tool.radius)
    if not walls:
        raise too_narrow(name, region, tool)
    field = _worth_rastering(Region(inset(region.rings, tool.radius + wall_allowance)), tool, wall_allowance)
    rasters = zigzags(field, stepover * tool.diameter, along) if field.rings else ()
    bite = None if _only_allowance(walls, field, tool, wall_allowance) else stepdown
    rounds = [backward(ring) if direction == "conventional" else ring for ring in walls]
    # A zigzag cuts climb one way and conventional the other whichever end it begins at, so it may be reversed.
    return (
        *(
            Toolpath(
                each, curve, tool, cutting, top=top, bottom=bottom, stepdown=stepdown, part=part, role="pocket",
                reversible=True,
            )
            for each, curve in zip(numbered(f"{name} raster", len(rasters)), rasters, strict=True)
        ),
        *(
            Toolpath(each, ring, tool, cutting, top=top, bottom=bottom, stepdown=bite, part=part, role="finish")
            for each, ring in zip(numbered(f"{name} wall", len(rounds)), rounds, strict=True)
        ),
    )  # fmt: skip


def _check(
    name: str, tool: Tool, stepover: float, angle: float | None, stock: Stock | None, allowance: float, direction: str
) -> None:
    faults = Faults("pocket")
    faults.number(stepover, "stepover", above=0.0)
    faults.number(angle, "angle", optional=True)
    faults.number(allowance, "wall_allowance", least=0.0)
    faults.choice(direction, get_args(Direction), "direction")
    if angle is None and stock is None:
        faults.add("neither angle nor stock", "give the raster's angle, or the stock whose grain it follows", "angle")
    faults.raise_any()
    refuse_bit(name, tool)
    # A point 2r from the wall has its nearest line's foot within half a step; it must still lie r + allowance inside.
    widest = 1.0 - allowance / tool.radius
    if stepover > widest:
        what = f"stepover {stepover:g} with an allowance of {allowance:g} mm leaves wood standing between the lines"
        fix = f"at most {widest:.2f} of the diameter" if widest > 0 else f"an allowance under {tool.radius:g} mm"
        raise refusal(name, what, fix)


def _worth_rastering(field: Region, tool: Tool, allowance: float) -> Region:
    """Without the pieces so small that the wall pass alone clears them."""
    if not field.rings:
        return field
    kept: list[Curve] = []
    for piece in field.components():
        low_x, low_y, high_x, high_y = piece.rings[0].bounds
        if max(high_x - low_x, high_y - low_y) > tool.diameter - 2.0 * allowance:
            kept += piece.rings
    return Region(tuple(kept))


def _only_allowance(walls: Sequence[Curve], field: Region, tool: Tool, allowance: float) -> bool:
    """Whether the bit on the wall pass is nowhere far from where the raster has been."""
    from shapely.geometry import LinearRing

    if not field.rings:
        return False
    within = max(2.0 * allowance, tool.radius / 2.0)
    return all(
        near(LinearRing(ring.flattened(0.01)), field.area, within) for ring in walls if abs(ring.area) > SMALLEST
    )
