"""An opening, cut by going round it or by clearing it, and what becomes of its core."""

from __future__ import annotations

from typing import Any, Final

from pathkit.curves.regions import Shape, area_of, pieces_of, refusal, region_of
from pathkit.model.job import Core
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Toolpath
from pathkit.operations.contour import contour
from pathkit.operations.finishing import Finish, finished_contour
from pathkit.operations.offset import inset
from pathkit.operations.pocket import STEPOVER, pocket
from pathkit.tolerances import NO_CORE

WIDE: Final = 5.0
"""In bit diameters: the core of a narrower opening is too small to hold, so it is cleared (common practice, no
source)."""


def core_of(opening: Shape, tool: Tool) -> Core:
    """What becomes of the core of an opening unless the job says so: ``keep`` if the opening is `WIDE` bit diameters
    wide somewhere, else ``clear``. A core that falls into several pieces is kept only if the opening is that wide
    around each of them."""
    rings = region_of(opening, "core").rings
    wide = area_of(inset(rings, WIDE / 2.0 * tool.diameter - NO_CORE))
    pieces = pieces_of(area_of(inset(rings, tool.diameter + NO_CORE)))
    return "keep" if pieces and all(piece.intersects(wide) for piece in pieces) else "clear"


def leaves_a_core(opening: Shape, tool: Tool) -> bool:
    """Whether any wood is left standing within once the bit has gone round the inside."""
    return bool(inset(region_of(opening, "core").rings, tool.diameter + NO_CORE))


def opening(
    name: str,
    shape: Shape,
    tool: Tool,
    cutting: Cutting,
    *,
    core: Core | None = None,
    angle: float = 0.0,
    finish: Finish | None = None,
    stepover: float = STEPOVER,
    **options: Any,
) -> tuple[tuple[Toolpath, ...], Core]:
    """The toolpaths of an opening, and what becomes of its core (as `core_of` says unless given).

    ``clear`` cuts it as a `pocket`, ``keep`` and ``drop`` as a `contour` on its inside. An opening in which going round
    leaves no core is cut as a contour too. ``finish`` leaves an allowance on the wall for a last lap (in a pocket, for
    its wall pass). ``angle`` (degrees from x) and ``stepover`` are those of a pocket, ``options`` are those of
    `contour`. Raises `InputError` as these do, and if ``drop`` is asked for together with ``finish``.
    """
    if not leaves_a_core(shape, tool):
        return finished_contour(name, shape, tool, cutting, finish=finish, side="inside", **options), "clear"
    core = core or core_of(shape, tool)
    if core == "clear":
        # A lead of 0 is a contour's own default, and would leave a mark where the wall pass of a pocket begins.
        options = {**options, "lead": options.get("lead") or None}
        if finish is not None:
            options["wall_allowance"] = finish.allowance
        return pocket(name, shape, tool, cutting, angle=angle, stepover=stepover, **options), core
    if core == "drop":
        if finish is not None:
            what = "dropping the core takes one cut, and finish makes two"
            raise refusal(name, what, 'leave out finish, or core = "keep"')
        return contour(name, shape, tool, cutting, side="inside", drop=True, **options), core
    return finished_contour(name, shape, tool, cutting, finish=finish, side="inside", **options), core
