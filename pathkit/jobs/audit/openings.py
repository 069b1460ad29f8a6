"""Openings that a contour goes round on their inside, and what becomes of the wood within."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from pathkit.jobs.audit import plane
from pathkit.jobs.audit.tables import Table
from pathkit.jobs.audit.tolerances import EXACT
from pathkit.jobs.audit.works import Work

NOTHING: Final = "nothing"
"""What is left of an opening through which the bit has gone everywhere on its way round."""

WIDE: Final = 5.0
"""Bit diameters: of what is narrower nothing is kept unless told (common practice, no source)."""


@dataclass(frozen=True)
class Opening:
    """A region (shapely) cut by its edge, and what may become of its core: one thing, or two where its width is within
    rounding of the limit between them."""

    region: Any
    cores: frozenset[str]

    def holds(self, path: Table) -> bool:
        """Whether a toolpath begins within it."""
        import shapely

        return bool(self.region.intersects(shapely.Point(path["curve"]["points"][0][:2])))

    @property
    def promised(self) -> frozenset[str]:
        """The words for it in a finished part, where nothing and a cleared core are one."""
        return frozenset("clear" if core == NOTHING else core for core in self.cores)


def openings_of(work: Work) -> list[Opening]:
    """The openings of a contour. What has islands is none: both edges of it are cut, and all between them may stand.

    Raises `CannotRead`.
    """
    if "openings" not in work.kept:
        work.kept["openings"] = list(_openings(work))
    openings: list[Opening] = work.kept["openings"]
    return openings


def _openings(work: Work) -> Iterator[Opening]:
    if work.kind != "contour" or (side := work.table["side"]) == "on":
        return
    for outline in work.outlines():
        if side == "inside" and outline.holes:
            continue
        for which in range(1, 1 + len(outline.holes)) if side == "outside" else (0,):
            region = work.inside(outline, which)
            yield Opening(region, _cores(region, work))


def _cores(region: Any, work: Work) -> frozenset[str]:
    told = work.table["core"]
    left = is_wider(region, 2.0 * work.radius)
    wide = is_wider(region, WIDE * work.radius)
    found = {NOTHING} if False in left else set()
    if True in left:
        found |= {told} if told is not None else {"keep" if it else "clear" for it in wide}
    return frozenset(found)


def is_wider(region: Any, than: float) -> set[bool]:
    """Whether anything is left ``than`` mm from the edge; both answers where that hangs on rounding."""
    return {not plane.grown(region, -than + by).is_empty for by in (-EXACT, EXACT)}
