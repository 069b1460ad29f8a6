"""Round holes wider than the bit: bored along a helix, or entered in the middle and cleared out to the wall."""

from __future__ import annotations

import math

from pathkit.curves.regions import refusal
from pathkit.errors import InputError
from pathkit.model.checking import Faults
from pathkit.model.curve import Curve
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import NARROWEST_HELIX, Entry, Helix, Peck, Plunge, Toolpath, helix_gains
from pathkit.operations.contour import refuse_bit
from pathkit.operations.leads import ANGLE
from pathkit.operations.pocket import STEPOVER
from pathkit.tolerances import QUOTIENT_ROUNDING

WIDEST_BORE = 0.95
"""The widest helix that bores a hole by itself, as a share of the bit's diameter. At the full diameter its cuts only
just meet in the middle, and a bit that is a little worn leaves a post there (geometry)."""

WAY_IN = 0.8
"""The helix that enters a wider hole, as a share of the bit's diameter (common practice, no source)."""


def bore(  # noqa: PLR0913 - each is asked for by its name
    name: str,
    centre: tuple[float, float],
    diameter: float,
    tool: Tool,
    cutting: Cutting,
    *,
    bottom: float,
    top: float | None = None,
    stepdown: float | None = None,
    peck: float | None = None,
    angle: float = ANGLE,
    part: str | None = None,
    stepover: float = STEPOVER,
) -> tuple[Toolpath, ...]:
    """One toolpath (role ``drill``) for a hole of ``diameter`` mm, wider than the bit, about ``centre`` (x, y).

    If the hole is wider than the bit by at most `WIDEST_BORE` bit diameters, it is bored: the bit goes down a helix at
    the wall, never steeper than ``angle`` degrees and by at most ``stepdown`` mm a turn, with a level turn at the
    bottom. Where such a helix would only rub (see `helix_gains`), the bit goes straight down in the middle, ``peck`` mm
    at a time if given, and once round the wall at each level. A wider hole is entered along a helix, and cleared at
    each level in turns from the middle to the wall. All of it is climb cutting and leaves no core. z in mm; ``top``
    None is the stock's highest top.

    Raises `InputError`, naming the hole, if it is no wider than the bit, or if the bit does not cut at its centre and
    has no other way in. The error says what would do.
    """
    faults = Faults("bore")
    faults.number(diameter, "diameter", above=0.0)
    faults.raise_any()
    refuse_bit(name, tool)
    play = diameter - tool.diameter
    if play <= 0.0:
        what = f"the hole of {diameter:g} mm is no wider than the bit {tool.name!r} of {tool.diameter:g} mm"
        raise refusal(name, what, "drill it, or take a narrower bit")
    wide = play > WIDEST_BORE * tool.diameter
    # A compression bit gets a curve, because what first cuts the top edge of its hole is judged along a curve.
    by_helix = not wide and tool.kind != "compression"
    helix = play if by_helix else min(play, WAY_IN * tool.diameter)
    entry: Entry
    if wide or helix_gains(helix, angle, tool):
        entry = Helix(angle, helix)
    elif tool.plunges:
        by_helix = False
        entry = Plunge() if peck is None else Peck(peck)
    elif helix >= NARROWEST_HELIX * tool.diameter:
        entry = Helix(angle, helix)
    else:
        raise _no_way_in(name, diameter, tool)
    begin = helix / 2.0 if isinstance(entry, Helix) else 0.0
    curve = Curve.point(centre) if by_helix else turns(centre, play / 2.0, stepover * tool.diameter, begin)
    return (
        Toolpath(
            name, curve, tool, cutting, top=top, bottom=bottom, stepdown=stepdown, part=part, role="drill", entry=entry,
            reversible=None if by_helix else False,
        ),
    )  # fmt: skip


def turns(centre: tuple[float, float], radius: float, step: float, begin: float = 0.0) -> Curve:
    """A curve counter-clockwise from ``centre`` outwards, once round at ``radius`` mm, and back to ``centre``.

    It is made of half circles that meet along their tangents. Each turn lies at most ``step`` mm outside the one
    before; the first may lie further out, ``begin`` mm from the centre.
    """
    first = min(begin, radius)
    count = max(1, math.ceil((radius - first) / (step / 2.0) - QUOTIENT_ROUNDING))
    reach = [
        0.0,
        *([first] if 0.0 < first < radius else []),
        *(first + (radius - first) * k / count for k in range(1, count)),
    ]
    reach += [radius, radius, radius, 0.0]
    x, y = centre
    points = [(x - r if k % 2 else x + r, y) for k, r in enumerate(reach)]
    return Curve(points, [math.pi] * (len(points) - 1))


def _no_way_in(name: str, diameter: float, tool: Tool) -> InputError:
    widest, least = diameter / (1.0 + NARROWEST_HELIX), tool.diameter * (1.0 + NARROWEST_HELIX)
    what = (
        f"the bit {tool.name!r} of {tool.diameter:g} mm does not cut at its centre: it cannot go straight down into the"
        f" hole of {diameter:g} mm, and on a helix of {diameter - tool.diameter:.3g} mm it would only rub"
    )
    fix = (
        f"say centre_cutting = true if the bit does, take a drill of {diameter:g} mm or a bit of at most"
        f" {math.floor(widest * 100.0) / 100.0:g} mm, or make the hole {math.ceil(least * 100.0) / 100.0:g} mm wide"
    )
    return refusal(name, what, fix)
