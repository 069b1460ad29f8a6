"""What the second bit of a pocket has to cut, if the job file names two."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from pathkit.jobs import schema
from pathkit.model.curve import Curve
from pathkit.model.tool import Tool
from pathkit.model.toolpath import Toolpath
from pathkit.operations.rest import rest

if TYPE_CHECKING:
    from pathkit.jobs.cut import Cut


class Rest(NamedTuple):
    """The second bit's toolpaths, and notes about them (what, fix)."""

    toolpaths: tuple[Toolpath, ...]
    notes: tuple[tuple[str, str], ...]


def rest_of(
    title: str,
    outer: Curve,
    islands: Sequence[Curve],
    form: schema.Pocket,
    wide: Tool,
    cut: Cut,
    *,
    angle: float,
    stepover: float,
) -> Rest:
    """What the ``wide`` bit leaves of one pocket, cut with the bit and at the feeds of ``cut``."""
    paths = rest(
        f"{title} rest", outer, cut.tool, cut.cutting, wide=wide, bottom=cut.bottom, top=cut.top,
        stepdown=cut.stepdown, stepover=stepover, angle=angle, islands=islands,
        wall_allowance=form.wall_allowance, direction=form.direction, part=cut.part, style=form.style, lead=form.lead,
        overlap=form.overlap,
    )  # fmt: skip
    if paths:
        return Rest(paths, ())
    what = f"{title!r} leaves nothing for the bit {cut.tool.name!r} to cut: the bit {wide.name!r} reaches all of it"
    return Rest((), ((what, "name only one bit as its tool"),))
