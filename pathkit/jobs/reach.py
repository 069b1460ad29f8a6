"""Places that the job's own bit cuts and a recipient's wider bit does not reach: the part would be a different one.

A wider bit leaves larger fillets, which are accepted in corners of 60 degrees and more. It must not leave a neck or an
end uncut.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any, Final

from pathkit.curves.regions import line_of, refusal
from pathkit.jobs.shapes import area_of
from pathkit.model.curve import Curve
from pathkit.model.tool import Tool
from pathkit.tolerances import COARSE_CHORDS, ROOM_CRUMB, WIDEST_BIT_STEP

_SEEN: Final = 0.5  # mm that a wider bit may leave in a corner of any angle
_SMOOTH: Final = 32  # chords in a quarter circle


Area = tuple[Curve, Sequence[Curve], Sequence[Curve]]
"""An area to clear: its edge, the islands in it, and the lines along which it has no wall."""


def refuse_unreached(title: str, area: Area, meant: Tool, tool: Tool) -> None:
    """Raises `InputError` if ``tool`` leaves uncut what the job's bit ``meant`` reaches in an area: more than the
    fillet of a corner, or the passage between two rooms. Names the place and the widest bit that reaches it."""
    if tool.radius > meant.radius:
        edge, islands, open_edges = area
        whole = area_of(edge).difference(_union(map(area_of, islands)))
        past = _union(line_of(each, COARSE_CHORDS).buffer(tool.diameter) for each in open_edges)
        _refuse(title, whole.union(past), meant, tool)


def refuse_unreached_beside(title: str, outline: Curve, meant: Tool, tool: Tool) -> None:
    """The same for the waste round a part: notches in its outline."""
    if tool.radius > meant.radius:
        around = area_of(outline).envelope.buffer(2.0 * tool.diameter)
        _refuse(title, around.difference(area_of(outline)), meant, tool)


def _refuse(title: str, area: Any, meant: Tool, tool: Tool) -> None:
    if (piece := _unreached(area, meant.radius, tool.radius)) is None:
        return
    low, high = meant.diameter, tool.diameter
    while high - low > WIDEST_BIT_STEP / 2.0:
        middle = (low + high) / 2.0
        if _unreached(area, meant.radius, middle / 2.0) is None:
            low = middle
        else:
            high = middle
    place = piece.representative_point()
    what = (
        f"the bit {tool.name!r} does not reach ({place.x:.1f}, {place.y:.1f}), where the job's bit {meant.name!r} of"
        f" {meant.diameter:g} mm cuts"
    )
    widest = max(meant.diameter, math.floor(low / WIDEST_BIT_STEP) * WIDEST_BIT_STEP)
    raise refusal(title, what, f"the widest bit that fits has {widest:g} mm")


def _unreached(area: Any, meant: float, radius: float) -> Any:
    """The deepest piece of what a disc of radius ``meant`` reaches and one of ``radius`` does not; None if fillets are
    all that is left."""
    import shapely

    before, after = _reached(area, meant), _reached(area, radius)
    pieces = [each for each in shapely.get_parts(before.difference(after)) if each.area > ROOM_CRUMB]
    if not pieces:
        return None
    if after.is_empty:
        return max(pieces, key=lambda piece: piece.area)
    rooms = shapely.get_parts(after)
    depths = [_depth(piece, after) for piece in pieces]
    deepest = max(range(len(pieces)), key=depths.__getitem__)
    # A disc of radius r stays r (1 / sin(a/2) - 1) away from a corner of angle a. At 60 degrees that is r, and two
    # discs differ by the difference of their radii.
    if depths[deepest] > max(_SEEN, radius - meant):
        return pieces[deepest]
    if len(rooms) > len(shapely.get_parts(before)):
        between = [piece for piece in pieces if sum(room.dwithin(piece, WIDEST_BIT_STEP) for room in rooms) > 1]
        return max(between, key=lambda piece: piece.area, default=None)
    return None


def _depth(piece: Any, reached: Any) -> float:
    """How far (mm) the piece extends from what is reached. The farthest place lies on the piece's edge."""
    import shapely

    edge = shapely.points(shapely.get_coordinates(shapely.segmentize(piece.boundary, 0.25)))
    return float(shapely.distance(edge, reached).max())


def _union(areas: Iterable[Any]) -> Any:
    import shapely

    return shapely.union_all(list(areas))


def _reached(area: Any, radius: float) -> Any:
    return area.buffer(-radius, quad_segs=_SMOOTH).buffer(radius, quad_segs=_SMOOTH)
