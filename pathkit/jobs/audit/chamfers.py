"""Chamfered edges: the lines that a vee's tip has to follow, and what the finished parts promise of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pathkit.jobs.audit import heights, plane
from pathkit.jobs.audit.figures import Outline
from pathkit.jobs.audit.lines import Tracks, tracks_of
from pathkit.jobs.audit.tables import Table, Tables, listed
from pathkit.jobs.audit.tolerances import HAIR, ROUNDING
from pathkit.jobs.audit.works import Work


@dataclass(frozen=True)
class Edge:
    """The inside (shapely) of a line that is bevelled, and whether what is inside stays (``outside``, as the job file
    words it) or what lies round it."""

    area: Any
    outside: bool


def edges_of(work: Work) -> list[Edge]:
    """The edges that a chamfer names, holes on the other side than what they lie in. Raises `CannotRead`."""
    if "edges" not in work.kept:
        outside = work.table["side"] == "outside"
        work.kept["edges"] = [
            Edge(_as_cut(work, outline, which, outside == (which == 0)), outside == (which == 0))
            for outline in work.outlines()
            for which in range(1 + len(outline.holes))
        ]
    edges: list[Edge] = work.kept["edges"]
    return edges


def _as_cut(work: Work, outline: Outline, which: int, outside: bool) -> Any:
    """The inside of a line as it is once its wall is cut: with the room for pegs that an operation makes there."""
    ring = outline.ring(which)
    for wall in work.walls:
        for other in wall.outlines():
            for k in range(1 + len(other.holes)):
                rim = wall.kind == "pocket" or wall.table["side"] == "inside"
                stays = rim != (k == 0)
                relieved = k == 0 if wall.kind == "pocket" else wall.table["side"] != "on"
                if relieved and stays == outside and np.array_equal(other.ring(k), ring):
                    return wall.inside(other, k, outside=outside)
    return plane.plate(ring) if _is_drilled(work, ring) else work.fitted(ring, stays=outside)


def _is_drilled(work: Work, ring: plane.Points) -> bool:
    """Whether a drill makes the wall along a ring: its holes have its own size, whatever the fit."""
    bits = work.tables.tools
    drills = {name for name, bit in bits.items() if bit["kind"] == "drill"}
    return any(
        np.array_equal(each, ring)
        for table in work.tables.parts[work.part]["operations"]
        if table["kind"] == "drill" and (table["tool"] or next(iter(bits))) in drills
        for name in listed(table["shape"])
        for each in work.figures[name].rings
    )


def chamfer_tracks(work: Work) -> Tracks:
    """The lines themselves. Climb goes clockwise round what stays and counter-clockwise round an opening, for a spindle
    that turns clockwise seen from above (common practice, no source). Raises `CannotRead`."""
    climb = 1 if work.table["direction"] == "climb" else -1
    every = [track for edge in edges_of(work) for track in tracks_of(edge.area, -climb if edge.outside else climb)]
    return Tracks(tuple(every), work.slack)


def groove(tables: Tables, works: Sequence[Work]) -> float:
    """mm that chamfers of parts' own edges reach beyond them; 0 for none."""
    found = [0.0]
    for work in works:
        if work.kind != "chamfer" or work.table["side"] != "outside":
            continue
        names = {tables.parts[work.part]["outline"]}
        names.update(*(listed(w.table["shape"]) for w in works if w.part == work.part and w.goes_round))
        if not names.isdisjoint(listed(work.table["shape"])):
            found.append(float(work.table["width"]))
    return max(found)


def unlike_edge(made: Mapping[str, Any], work: Work, edge: Edge) -> str:
    """What a promised chamfer says of an edge that is not asked for, in words; empty for nothing. Its line is judged
    by whoever knows where the copy lies."""
    if (made.get("side", "outside") == "outside") != edge.outside:
        return "is promised on the other side of its line"
    if abs(float(made["bottom"]) - work.bottom) > HAIR:
        return f"is promised down to z = {made['bottom']:g}, and its width asks for z = {work.bottom:g}"
    slope = heights.slope(work.asked.means)
    if abs(float(made["slope"]) - slope) > ROUNDING:
        return f"is promised {made['slope']:g} mm wide for each mm of height, and the bit's angle makes it {slope:g}"
    sunk = work.top is not None and work.top < heights.top(work.tables.stock) - HAIR
    top = made.get("top")
    if sunk != (top is not None) or (sunk and abs(float(top or 0.0) - float(work.top or 0.0)) > HAIR):
        return "is promised up to another height than that of its edge"
    return ""


def print_of(made: Table) -> tuple[Any, ...]:
    """All of a promised chamfer but its line."""
    return made["bottom"], made["slope"], made.get("side"), made.get("top")
