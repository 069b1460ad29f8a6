"""Openings that a contour cuts along their inside, and what happens to the wood within."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from pathkit.jobs.audit import plane
from pathkit.jobs.audit.tables import Table
from pathkit.jobs.audit.tolerances import EXACT
from pathkit.jobs.audit.works import Work

NOTHING: Final = "nothing"
"""The core of an opening that the bit clears completely on its way round."""

WIDE: Final = 5.0
"""Bit diameters: the core of a narrower opening is cleared by default (common practice, no source)."""


CHIP: Final = 4.0
"""mm²: of a core that falls into pieces, smaller ones do not count (common practice, no source)."""


THIN: Final = 1.0
"""mm: a thinner web between two of its pieces holds nothing (common practice, no source)."""


@dataclass(frozen=True)
class Opening:
    """A region (shapely) cut along its edge, and what may happen to its core: one thing, or two if its width is within
    rounding of the limit between them."""

    region: Any
    cores: frozenset[str]

    def holds(self, path: Table) -> bool:
        """Whether a toolpath begins within it."""
        import shapely

        return bool(self.region.intersects(shapely.Point(path["curve"]["points"][0][:2])))

    @property
    def promised(self) -> frozenset[str]:
        """The words for its core in a finished part, where no core and a cleared one are the same."""
        return frozenset("clear" if core == NOTHING else core for core in self.cores)


def openings_of(work: Work) -> list[Opening]:
    """The openings of a contour. A ring with islands is none: both its edges are cut, and the wood between may stay.

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
    wide = _wide_all_over(region, work.radius)
    found = {NOTHING} if False in left else set()
    if True in left:
        found |= {told} if told is not None else {"keep" if it else "clear" for it in wide}
    return frozenset(found)


def _wide_all_over(region: Any, radius: float) -> set[bool]:
    """Whether a region is `WIDE` round each piece of its core; both answers where that hangs on rounding."""
    found = set()
    for by in (-EXACT, EXACT):
        wide = plane.grown(region, -WIDE * radius + by)
        pieces = pieces_of(plane.grown(region, -2.0 * radius + by))
        found.add(bool(pieces) and all(piece.intersects(wide) for piece in pieces))
    return found


def pieces_of(wood: Any) -> list[Any]:
    """What wood (shapely) falls into where webs under `THIN` break: its pieces, less the chips."""
    import shapely

    cores = shapely.get_parts(plane.grown(wood, -THIN / 2.0))
    pieces = [wood.intersection(plane.grown(core, THIN)) for core in cores]
    return [piece for piece in pieces or [wood] if piece.area > CHIP]


def is_wider(region: Any, than: float) -> set[bool]:
    """Whether anything lies more than ``than`` mm from the edge; both answers if that depends on rounding."""
    return {not plane.grown(region, -than + by).is_empty for by in (-EXACT, EXACT)}
