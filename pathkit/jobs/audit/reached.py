"""A recipient's wider bit must cut what the job's own bit would: rounder corners are another bit's, a lost neck is not.

Judged from the shapes alone: where the middle of each bit can go, and how far from there its edge reaches.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

import numpy as np

from pathkit.jobs.audit import plane
from pathkit.jobs.audit.cuts import CUTS
from pathkit.jobs.audit.figures import CannotRead
from pathkit.jobs.audit.finished import features_of
from pathkit.jobs.audit.report import Report
from pathkit.jobs.audit.tolerances import SPARE_REACH
from pathkit.jobs.audit.works import Work

SEEN: Final = 0.5
"""mm that a corner may be rounder whatever its angle. Else it may be what a corner of 60 degrees loses: a disc of
radius r leaves r (1 / sin(a/2) - 1) of a corner of the angle a, so a wider one that much of the difference more."""


def judge_reach(works: Sequence[Work], report: Report) -> None:
    """Every operation that is cut with a wider bit than the job's own; of two bits the narrower reaches further."""
    for work in works:
        bits = [work.asked] if work.rest is None else [work.asked, work.rest]
        own, wide = min(float(bit.means["diameter"]) for bit in bits), min(bit.diameter for bit in bits)
        if wide <= own:
            continue
        try:
            areas = list(_areas(work))
        except CannotRead as reason:
            report.leave_open(CUTS, str(reason))
            continue
        for area in areas:
            lost = _lost(area, own / 2.0, wide / 2.0)
            if lost is not None:
                what = f"{work.part_name!r} {work.title!r} stays uncut at {plane.place_text(lost)}, where the job's own"
                report.add(CUTS, f"{what} bit would cut", (*work.key, "shape"), fix="build it for a narrower bit")


def _areas(work: Work) -> Iterator[Any]:
    """Where wood is to be taken away, each piece for itself: the operation's own, or all round a part."""
    import shapely

    if work.goes_round:
        for outline in work.outlines():
            part = plane.plate(outline.outer)
            far = 3.0 * work.asked.diameter
            yield shapely.box(*part.bounds).buffer(far, join_style="mitre").difference(part)
    openings = [line for figure in work.figures_of("open_edges") for line in figure.every] if _opens(work) else []
    for feature in features_of(work):
        past = [plane.grown(plane.line(points), work.asked.diameter) for points in openings]
        yield shapely.union_all([feature.region, *past])


def _opens(work: Work) -> bool:
    return work.kind == "pocket" and bool(work.table["open_edges"])


def _lost(area: Any, own: float, wide: float) -> plane.Points | None:
    """A place (x, y) that a bit of radius ``own`` reaches, and one of radius ``wide`` leaves for more than corners."""
    import shapely

    most = max(SEEN, wide - own) + SPARE_REACH
    for room in shapely.get_parts(plane.grown(area, -own)):
        swept = plane.grown(room, own)
        there = plane.grown(plane.grown(swept, -wide), wide)
        if there.is_empty or len(shapely.get_parts(there)) > 1:
            return plane.spot(swept.difference(there))
        rim = shapely.get_coordinates(shapely.segmentize(swept.boundary, 0.2))
        away = shapely.distance(shapely.points(rim), there)
        if float(away.max()) > most:
            place: plane.Points = rim[int(np.argmax(away))]
            return place
    return None
