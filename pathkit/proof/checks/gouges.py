"""No cut goes into a finished part: the file against the parts that the job promises.

The check is exact: it compares the lines on which the bit's centre runs at a height, and the bit's width there, with
the shapes. It uses the file, the bits and the finished shapes, and not the program.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.model.curve import Curve
from pathkit.model.job import Chamfer, Job, Part
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Helix, Toolpath
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.material.cross_sections import Level, grown, line_of, united
from pathkit.proof.material.marks import Marks, marks_of
from pathkit.proof.result import Figure, Verdict
from pathkit.tolerances import PART_CHORDS, SAME_HEIGHT, WALL, WALL_CHORDS, WALL_RIM

MOST: Final = 20
"""Places named one by one."""

KEPT: Final = 32_768
"""Plans that are kept: several checks ask for those of all parts, one after the other. A kept one takes some KB."""

BEVEL: Final = (0.25, 0.5, 1.0)
"""Shares of its height at which a chamfer is judged: it is straight, so that two of them would tell."""


@check(
    "gouges",
    "board",
    "job",
    "parts",
    scope="whole",
    kept=True,
    limits=(
        f"Exact to {WALL} mm plus the grid of the file; sloping cuts of balls and points are judged in steps of "
        "height. It knows only the parts that the job draws; where a toolpath engraves, a part may be cut to the depth "
        "of the engraving. A chamfered edge is judged at a few heights."
    ),
)
def gouges(evidence: Evidence) -> Verdict:
    """No cut goes into a finished part: not into a wall, a floor or an edge."""
    import shapely

    job, board = evidence.job, evidence.board
    assert job is not None
    cuts, slack = evidence.cuts, tolerance(evidence)
    marks, rims = marks_of(job, slack), _rims(job, slack)
    found: list[Finding] = []
    deepest = -math.inf
    for number, part in enumerate(job.parts):
        solid = solid_of(part)
        for z in _heights(part, solid, marks, board, slack):
            level, keep, bevels = cuts.at(z), _kept(part, solid, z), part.chamfers
            marked, held = marks.at(z, solid), np.zeros(0, np.int64)
            if len(marked) and number not in rims:
                # What runs along a mark cuts nothing else. The others meet only the marks beside them.
                lines = level.near(keep)
                within = marks.within(level, lines, marked)
                held, marked = lines[within], marks.beside(level, lines[~within], marked)
            if len(marked):
                keep = shapely.difference(keep, marks.plan(marked))
            if number in rims:
                keep = shapely.union(keep, rims[number])
                # What of a rim is another part's is bevelled for that one.
                bevels = tuple(chamfer for each in job.parts for chamfer in each.chamfers)
            gone = [plan for each in bevels if (plan := bevelled(each, z, slack)) is not None]
            keep = shapely.difference(keep, united(gone)) if gone else keep
            shapely.prepare(keep)
            # What is neither deeper than anything before nor too deep need not be measured.
            near, into = _depths(level, keep, held, min(deepest, slack))
            if not len(near):
                continue
            worst = float(into.max())
            deepest = max(deepest, worst)
            if worst > slack:
                row = level.row_of(int(near[np.flatnonzero(into > slack)[0]]), keep)
                what = f"cuts {worst:.3f} mm into the part {part.name!r} at z = {z:.3f} mm"
                fix = "check side, bit and depth of the cut, and the part's shape"
                place = f"$.parts[{number}]"
                name = evidence.toolpath_name(row)
                found.append(
                    Finding(check="gouges", what=what, fix=fix, line=evidence.line(row), path=place, toolpath=name)
                )
    figures: dict[str, Figure] = {"parts": len(job.parts), "tolerance_mm": round(slack, 4)}
    if math.isfinite(deepest):
        figures["deepest_mm"] = round(deepest, 4)
    return Verdict(found[:MOST], figures=figures, proved=cuts.known)


def tolerance(evidence: Evidence) -> float:
    """mm by which a wall may be off: `WALL`, a step of the file's numbers, and the chords that the file draws."""
    chorded = evidence.capabilities.arcs == "none" or not evidence.capabilities.helical
    chords = evidence.machine.motion.arc_tolerance if chorded else 0.0
    return WALL + evidence.count + WALL_CHORDS + chords


@lru_cache(maxsize=KEPT)
def solid_of(part: Part) -> Any:
    """The plan of a part (shapely): its outline without the holes right through it.

    Without an outline, what lies under its recesses: no more is known to belong to the part.
    """
    import shapely

    through = [region_of(f.curve, f.islands) for f in (*part.holes, *part.recesses) if f.bottom is None]
    if part.outline is None:
        whole = united([region_of(f.curve, f.islands) for f in part.recesses if f.bottom is not None])
    else:
        whole = region_of(part.outline)
    return shapely.difference(whole, united(through))


@lru_cache(maxsize=KEPT)
def region_of(curve: Curve, islands: tuple[Curve, ...] = ()) -> Any:
    """The inside of a closed curve without its islands, as a shapely geometry within `PART_CHORDS` mm."""
    import shapely

    whole = _polygon(curve)
    return shapely.difference(whole, united([_polygon(i) for i in islands])) if islands else whole


def _polygon(ring: Curve) -> Any:
    import shapely

    points = ring.flattened(PART_CHORDS)
    # Two half turns drawn as one chord each would have no inside.
    return shapely.make_valid(shapely.Polygon(points)) if len(points) > 2 else shapely.Polygon()


def _rims(job: Job, slack: float) -> dict[int, Any]:
    """The wood right round the recesses and holes of parts without an outline (shapely, by the part's number).

    Left out is what other features take up there, and what toolpaths that do not stay within the feature may cut.
    """
    import shapely

    bare = [number for number, part in enumerate(job.parts) if part.outline is None]
    if not bare:
        return {}
    features = [region_of(f.curve, f.islands) for part in job.parts for f in (*part.recesses, *part.holes)]
    tree = shapely.STRtree(features)
    # What bevels an edge is judged by the chamfer that it makes.
    paths = [path for path in job.toolpaths if path.role != "chamfer"]
    lines = [_centre_line(path) for path in paths]
    near = shapely.STRtree(lines)
    widest = max((path.tool.radius for path in paths), default=0.0)
    rims: dict[int, Any] = {}
    for number in bare:
        part = job.parts[number]
        found = []
        for feature in (*part.recesses, *part.holes):
            region = region_of(feature.curve, feature.islands)
            within = grown(region, slack)
            rim = shapely.difference(grown(region, WALL_RIM), region)
            others = [k for k in near.query(rim, "dwithin", widest + slack) if not shapely.covers(within, lines[k])]
            swept = [grown(lines[k], paths[k].tool.radius + slack) for k in others]
            found.append(shapely.difference(rim, united([*swept, *(features[k] for k in tree.query(rim))])))
        rims[number] = united(found)
    return rims


def _centre_line(path: Toolpath) -> Any:
    """Where the bit's centre goes (shapely): a line within `WALL_CHORDS`, or a point and the turns of a helix there."""
    line = line_of(path.curve, WALL_CHORDS)
    if path.curve.is_point and isinstance(path.entry, Helix):
        return grown(line, path.entry.diameter / 2.0)
    return line


def _heights(part: Part, solid: Any, marks: Marks, board: Stock, slack: float) -> list[float]:
    """z (mm) just below each change of the part's cross-section: between two changes a cut is widest at the top."""
    floors = {f.bottom for f in (*part.recesses, *part.holes) if f.bottom is not None}
    floors |= set(marks.bottom[marks.over(solid)].tolist())
    heights = {floor - slack for floor in floors} | {board.highest_top - slack}
    for chamfer in part.chamfers:
        foot, top = chamfer.bottom, board.highest_top if chamfer.top is None else chamfer.top
        heights |= {foot - slack, *(foot + (top - foot) * share for share in BEVEL)}
    return sorted(heights)


def _kept(part: Part, solid: Any, z: float) -> Any:
    """The plan of the part's wood at height ``z``; ``solid`` is its plan as `solid_of` has it."""
    import shapely

    gone = [
        region_of(f.curve, f.islands) for f in (*part.recesses, *part.holes) if f.bottom is not None and f.bottom <= z
    ]
    return shapely.difference(solid, united(gone)) if gone else solid


def bevelled(chamfer: Chamfer, z: float, slack: float, less: float = 0.0) -> Any:
    """The plan (shapely) of what a chamfer takes at height ``z``, on the side where wood stays, and ``slack`` mm beyond
    the line on the other; None where it takes nothing there. ``less`` mm of its width are left out."""
    import shapely

    wide = chamfer.slope * (z - chamfer.bottom) - less
    if wide <= 0.0 or (chamfer.top is not None and z > chamfer.top + SAME_HEIGHT):
        return None
    band, inside = grown(line_of(chamfer.curve, PART_CHORDS), wide), region_of(chamfer.curve)
    if chamfer.side == "outside":
        return shapely.intersection(band, grown(inside, slack))
    return shapely.difference(band, grown(inside, -slack))


def _depths(
    level: Level, keep: Any, held: NDArray[np.int64], least: float
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """The lines on which the bit gets ``least`` mm or more into what must stay, and touches it, those that are ``held``
    left out, and how far (mm) it goes into it."""
    import shapely

    near = np.setdiff1d(level.near(keep, max(least, 0.0)), held, assume_unique=True)
    return near, level.radius[near] - shapely.distance(keep, level.lines[near])
