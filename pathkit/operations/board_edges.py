"""Parts, and the cuts that free them, that run over an edge of the board."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from pathkit.findings import Finding
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.tolerances import SAME_PLACE

SIDES: Final = ("left", "front", "right", "back")


def check_edges(job: Job) -> tuple[Finding, ...]:
    """Warnings where a part, or the bit that cuts it free, passes an edge of the board: which, and by how much.

    It may be meant, to use a board to its edge. But then nothing is left of the board there, the bit meets whatever
    holds or stops it, and a board that lies a little aside spoils the part.
    """
    return (*_parts_over(job), *_cuts_over(job))


def _parts_over(job: Job) -> Iterator[Finding]:
    for number, part in enumerate(job.parts):
        if part.outline is not None and (over := _over(part.outline.bounds, job.stock)):
            what = f"the part {part.name!r} hangs over the board: {over}"
            fix = "take a larger board, or move the part"
            yield Finding(check="board edges", what=what, fix=fix, severity="warning", path=f"$.parts[{number}]")


def _cuts_over(job: Job) -> Iterator[Finding]:
    for path in job.toolpaths:
        if path.role != "outline" or path.curve.is_point:
            continue
        left, front, right, back = path.curve.bounds
        r = path.tool.radius
        if over := _over((left - r, front - r, right + r, back + r), job.stock):
            what = f"the cut round {path.part or path.name!r} runs over the board's edge: {over}"
            fix = "leave a margin, or see that nothing holds or stops the board there"
            yield Finding(check="board edges", what=what, fix=fix, severity="warning", toolpath=path.name)


def _over(bounds: tuple[float, float, float, float], stock: Stock) -> str:
    """In words, by how much a box (x0, y0, x1, y1) passes each edge of the board; empty if it passes none."""
    left, front, right, back = bounds
    by = (-left, -front, right - stock.width, back - stock.depth)
    return ", ".join(f"{far:.2f} mm at the {side}" for side, far in zip(SIDES, by, strict=True) if far > SAME_PLACE)
