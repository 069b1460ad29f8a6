"""A recipient's wider bit must cut what the job's own bit would: it may round corners more, but not lose a neck.

This is judged from the shapes alone: where the centre of each bit can go, and how far its edge reaches from there.
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
"""mm more of a corner that may always stay uncut. If a corner of 60 degrees loses more, that much may: a disc of radius
r leaves r (1 / sin(a/2) − 1) of a corner of angle a, at 60 degrees r itself, so a wider bit leaves the difference of
the radii more."""


def judge_reach(works: Sequence[Work], report: Report) -> None:
    """Judge every operation that is cut with a wider bit than the job's own; of two bits, by the narrower one."""
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
                what = (
                    f"{work.part_name!r} {work.title!r} stays uncut at {plane.place_text(lost)}, where the job's own"
                    " bit would cut"
                )
                report.add(CUTS, what, (*work.key, "shape"), fix="build it for a narrower bit")


def _areas(work: Work) -> Iterator[Any]:
    """The areas (shapely) from which wood is to be taken, one by one: the operation's own, or all round a part."""
    import shapely

    if work.goes_round:
        for outline in work.outlines():
            part = work.fitted(outline.outer, stays=True)
            far = 3.0 * work.asked.diameter
            yield shapely.box(*part.bounds).buffer(far, join_style="mitre").difference(part)
    openings = [line for figure in work.figures_of("open_edges") for line in figure.every] if _opens(work) else []
    for feature in features_of(work):
        past = [plane.grown(plane.line(points), work.asked.diameter) for points in openings]
        yield shapely.union_all([feature.region, *past])


def _opens(work: Work) -> bool:
    return work.kind == "pocket" and bool(work.table["open_edges"])


def _lost(area: Any, own: float, wide: float) -> plane.Points | None:
    """A place (2,) that a bit of radius ``own`` reaches and one of ``wide`` misses by more than a corner's rounding."""
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
