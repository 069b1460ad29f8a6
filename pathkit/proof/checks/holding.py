"""Checks of what holds the pieces: none comes loose while the bit is near, and tabs are as strong as drawn."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding, Severity
from pathkit.model.curve import Curve
from pathkit.model.job import Job, Part
from pathkit.model.stock import Stock
from pathkit.model.toolpath import TAB_SLOPE, Tab, Toolpath
from pathkit.proof.checks.gouges import region_of, solid_of, tolerance
from pathkit.proof.ends import ends_of, in_which
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.material.cross_sections import united
from pathkit.proof.material.heightmap import GRID, SKIN, Removal
from pathkit.proof.material.segments import segments_of
from pathkit.proof.result import Figure, Verdict
from pathkit.tolerances import MAP_SLACK, SAME_HEIGHT, WALL_CHORDS

Array = NDArray[np.float64]

MOST = 20
"""Pieces named one by one."""

DUST = 4.0
"""mm². Smaller pieces are chips (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Loose:
    """A piece that nothing holds: ``row`` cuts it free, ``last`` (−1: none) is the last row that cuts into it again.

    ``place`` (x, y) lies in it; ``area`` (mm²) counts only what lies at least one grid point from every cut.
    """

    row: int
    place: tuple[float, float]
    area: float
    last: int


def loose_pieces(removal: Removal) -> tuple[tuple[Loose, ...], int]:
    """Pieces that come loose, in the order in which they do, and how many pieces there are at the end.

    Wood counts where it stands more than `SKIN` mm above the underside, a whole grid step from every cut. Two such
    points hold together if they are neighbours, so webs of up to two steps count as nothing. Tape, screws and clamps
    hold whatever wood lies over or under them. The largest piece of every parting counts as held: the job does not say
    how the rest of the board is held down.
    """
    from pathkit.proof.material.pieces_kernel import latest_first, partings

    nx = removal.opened.shape[1]
    dust = max(1, math.ceil(DUST / removal.grid**2))
    # Large arrays are made by numpy, which asks for large pages: those that a kernel makes take longer to come by.
    when = np.empty_like(removal.opened)
    order, begin, runs = latest_first(removal.opened, when)
    known = np.empty((6, runs + len(order)), np.int32)
    events, counts = partings(when, order, begin, runs, _held_points(removal), dust, known)
    found = [
        Loose(
            int(row),
            ((cell % nx + 0.5) * removal.grid, (cell // nx + 0.5) * removal.grid),
            float(cells * removal.grid**2),
            int(last),
        )
        for row, cell, cells, last in events
    ]
    return tuple(sorted(found, key=lambda p: (p.row, p.place))), int(np.count_nonzero(counts >= dust))


def _held_points(removal: Removal) -> NDArray[np.bool_]:
    ny, nx = removal.opened.shape
    held = np.zeros((ny, nx), np.bool_)
    for zone in removal.stock.zones:
        x0, y0, x1, y1 = (v / removal.grid - 0.5 for v in zone.shape.bounds)
        i = np.arange(max(math.ceil(x0), 0), min(math.floor(x1), nx - 1) + 1)
        j = np.arange(max(math.ceil(y0), 0), min(math.floor(y1), ny - 1) + 1)
        if len(i) and len(j):
            over = inside(zone.shape, (i + 0.5) * removal.grid, (j + 0.5) * removal.grid)
            held[j[0] : j[-1] + 1, i[0] : i[-1] + 1] |= over
    return held


def inside(shape: Any, x: Array, y: Array) -> NDArray[np.bool_]:
    """(ny, nx) which points of a grid lie inside a polygon, and not on its edge."""
    import shapely

    x0, y0, x1, y1 = shape.bounds
    ring = [tuple(corner) for corner in shapely.get_coordinates(shape).tolist()]
    # Most tape is cut at right angles.
    if len(ring) == len(set(ring)) + 1 and set(ring) == {(x0, y0), (x1, y0), (x1, y1), (x0, y1)}:
        found: NDArray[np.bool_] = ((x > x0) & (x < x1))[None, :] & ((y > y0) & (y < y1))[:, None]
    else:
        shapely.prepare(shape)
        found = shapely.contains_xy(shape, *np.meshgrid(x, y))
    return found


@check(
    "holding",
    "board",
    "job",
    scope="whole",
    kept=True,
    limits=(
        "It assumes that tape, screws, clamps and tabs, as drawn, hold whatever is attached to them, and that the "
        f"board's largest piece is held. A skin under {SKIN:g} mm and a web under {3 * GRID:g} mm (more on boards over "
        f"1 m²) count as holding nothing, pieces under {DUST:g} mm² as chips."
    ),
)
def holding(evidence: Evidence) -> Verdict:
    """No piece comes loose: tabs, tape, screws or clamps hold each until the last cut that touches it."""
    removal, job = evidence.removal, evidence.job
    assert job is not None
    pieces, count = loose_pieces(removal)
    shapes = [(part, _body(part)) for part in job.parts]
    cores = _cores(job)
    found: list[Finding] = []
    unheld: set[str] = set()
    dropped = 0
    for piece in pieces:
        part = _part_at(piece.place, shapes)
        if part is not None:
            unheld.add(part.name)
        core = None if part is not None else next((c for c in cores if _holds(c, piece.place)), None)
        if core is not None and core.dropped:
            dropped += 1
            if why := _touched(evidence, piece, core):
                found.append(_dropped(evidence, piece, core, why))
        elif len(found) < MOST:
            found.append(_loose(evidence, piece, part, core))
    figures: dict[str, Figure] = {"pieces": count, "loose": len(pieces) - dropped}
    if dropped:
        figures["cores that lie loose"] = dropped
    tape = _over_tape(evidence.board, shapes)
    for name, area in tape.items():
        figures[f"tape_mm2 {name}"] = round(area, 1)
    without = sorted(name for name, area in tape.items() if area <= 0.0 and name in unheld)
    if without:
        figures["without tape or tabs"] = ", ".join(without)
    return Verdict(found[:MOST], figures=figures, proved=removal.known and len(pieces) == dropped)


@check(
    "tab strength",
    "board",
    "job",
    scope="whole",
    kept=True,
    limits=(
        f"Cross-sections are measured on a map of points {GRID:g} mm apart along the toolpath's line; how much wood "
        "a part needs is for the operator to judge."
    ),
)
def tab_strength(evidence: Evidence) -> Verdict:
    """Every tab keeps, after everything has been cut, the cross-section that it was drawn with."""
    removal, job = evidence.removal, evidence.job
    assert job is not None
    found: list[Finding] = []
    least = math.inf
    count = 0
    for path, tab in _tabs(job, evidence.board):
        count += 1
        area = tab_section(removal, path.curve, tab, path.tool.diameter)
        least = min(least, area)
        # The measurement may miss one and a half points of the map at either end.
        height = min(tab.height, removal.stock.highest_top - ends_of(removal.stock).highest_underside)
        # The triangles under its two slopes add up to one rectangle.
        slope = _slope(tab, height)
        wanted = max(tab.width + slope - 3.0 * removal.grid, 0.0) * (height - MAP_SLACK)
        if area < wanted and len(found) < MOST:
            x, y = path.curve.at(tab.at)[:2]
            what = f"the tab at ({x:.1f}, {y:.1f}) keeps {area:.1f} mm² of the {(tab.width + slope) * height:.1f} drawn"
            what += in_which(evidence.board, "highest")
            fix = "keep other cuts off it, or move it"
            found.append(Finding(check="tab strength", what=what, fix=fix, toolpath=path.name))
    figures: dict[str, Figure] = {"tabs": count}
    if count:
        figures["least_section_mm2"] = round(least, 2)
    return Verdict(found, figures=figures, proved=removal.known)


def tab_section(removal: Removal, curve: Curve, tab: Tab, width: float) -> float:
    """Cross-section (mm²) of the wood along the curve round a tab's middle, up to where the cut on either side ends.

    Measured at the points of the map nearest to the line, as far out as the gap that a bit of ``width`` mm leaves.
    """
    step = removal.grid / 2.0
    reach = tab.width + width + 2.0 * _slope(tab, tab.height)
    stations = tab.at + np.arange(-math.ceil(reach / step), math.ceil(reach / step) + 1) * step
    if not curve.closed:
        stations = stations[(stations >= 0.0) & (stations <= curve.length)]
    places = curve.along(stations)
    ny, nx = removal.height.shape
    i = np.clip((places[:, 0] / removal.grid).astype(int), 0, nx - 1)
    j = np.clip((places[:, 1] / removal.grid).astype(int), 0, ny - 1)
    wood = removal.height[j, i] - ends_of(removal.stock).highest_underside
    stands = wood > SKIN
    middle = int(np.argmin(np.abs(stations - tab.at)))
    if not stands[middle]:
        return 0.0
    before = np.flatnonzero(~stands[:middle])
    after = np.flatnonzero(~stands[middle:])
    low = int(before[-1]) + 1 if len(before) else 0
    high = middle + int(after[0]) if len(after) else len(stands)
    return float(wood[low:high].sum() * step)


def _slope(tab: Tab, height: float) -> float:
    """mm along the path of the slope at one end of a tab ``height`` mm high; 0 for a square one."""
    return height / math.tan(math.radians(TAB_SLOPE)) if tab.shape == "sloped" else 0.0


def _part_at(place: tuple[float, float], shapes: list[tuple[Part, Any]]) -> Part | None:
    import shapely

    point = shapely.Point(place)
    return next((part for part, solid in shapes if shapely.intersects(solid, point)), None)


def _body(part: Part) -> Any:
    """The plan of a part without the cores in its openings, which do not belong to it."""
    import shapely

    # Other openings right through are missing in its solid as they are.
    cored = [region_of(hole.curve) for hole in part.holes if hole.islands or hole.bottom is not None]
    return shapely.difference(solid_of(part), united(cored)) if cored else solid_of(part)


@dataclass(frozen=True)
class _Core:
    """The wood in an opening right through a part until it is taken out; ``dropped``: it may lie loose."""

    title: str
    region: Any
    dropped: bool


def _cores(job: Job) -> list[_Core]:
    return [
        _Core(f"the core of hole {k} of the part {part.name!r}", region_of(hole.curve), hole.core == "drop")
        for part in job.parts
        for k, hole in enumerate(part.holes, 1)
        if hole.core != "clear"
    ]


def _holds(core: _Core, place: tuple[float, float]) -> bool:
    import shapely

    return bool(shapely.intersects(core.region, shapely.points(place)))


def _touched(evidence: Evidence, piece: Loose, core: _Core) -> str:
    """Why a piece may not lie loose: the bit moves beside it once it is free. Empty if it does not."""
    bench, sections, row = evidence.bench, evidence.sections, piece.row
    if piece.last >= 0:
        return "is cut again once it is free"
    mine = int(sections.owner[row])
    if mine < 0 or bool((sections.owner[row + 1 :] == mine).any()):
        return "comes free before its cut is done, so that the bit goes on beside it"
    if row + 1 >= len(bench):
        return "comes free by the file's last move, and the bit stays beside it"
    start, end = bench.end[row], bench.end[row + 1]
    level = float(np.hypot(*(end - start)[:2]))
    if level > evidence.count or end[2] < evidence.board.highest_top:
        return "comes free, and the bit does not go straight up from it"
    if (line := _back_at(evidence, row + 2, core)) is not None:
        return f"lies loose when the bit comes back to it, in line {line}"
    return ""


def _back_at(evidence: Evidence, first: int, core: _Core) -> int | None:
    """The line of the first move from row ``first`` that brings the bit below the board's top within the opening."""
    import shapely

    bench = evidence.bench
    low = np.fmin(bench.origins[:, 2], bench.end[:, 2]) < evidence.board.highest_top
    later = low & (np.arange(len(bench)) >= first)
    start, end, row = segments_of(bench, WALL_CHORDS, later)
    lines = shapely.linestrings(np.stack([start[:, :2], end[:, :2]], axis=1))
    near = shapely.distance(lines, core.region) < np.nan_to_num(evidence.radius[row], nan=np.inf) - tolerance(evidence)
    return evidence.line(int(row[near].min())) if near.any() else None


def _dropped(evidence: Evidence, piece: Loose, core: _Core, why: str) -> Finding:
    x, y = piece.place
    return Finding(
        check="holding", what=f"{core.title}, about ({x:.1f}, {y:.1f}), {why}{in_which(evidence.board, 'highest')}",
        fix='keep the core (core = "keep"), or clear it (core = "clear")', line=evidence.line(piece.row),
        toolpath=evidence.toolpath_name(piece.row),
    )  # fmt: skip


def _loose(evidence: Evidence, piece: Loose, part: Part | None, core: _Core | None) -> Finding:
    x, y = piece.place
    name = f"the part {part.name!r}" if part is not None else "a piece of waste" if core is None else core.title
    what = f"{name} of {piece.area:.0f} mm² about ({x:.1f}, {y:.1f}) comes loose"
    what += in_which(evidence.board, "highest")
    if piece.last < 0:
        what = f"{what}: neither tabs nor tape hold it"
    elif (line := evidence.line(piece.last)) is None:
        what = f"{what}: neither tabs nor tape hold it and it is cut again"
    else:
        what = f"{what}: neither tabs nor tape hold it and it is cut again up to line {line}"
    # A job that draws no tape, screw or clamp does not say how its board is held: a vacuum table holds waste as well.
    certain = part is not None or core is not None or bool(evidence.board.zones)
    severity: Severity = "error" if certain else "warning"
    fix = "leave tabs on it, or put tape under it"
    if core is not None:
        fix = 'leave tabs on it, or put tape under it, or clear it (core = "clear")'
    return Finding(
        check="holding", what=what, fix=fix, severity=severity,
        line=evidence.line(piece.row), toolpath=evidence.toolpath_name(piece.row),
    )  # fmt: skip


def _over_tape(stock: Stock, shapes: list[tuple[Part, Any]]) -> dict[str, float]:
    """mm² of each part that lie over tape."""
    import shapely

    tape = shapely.union_all([zone.shape for zone in stock.zones if zone.kind == "tape"])
    return {part.name: float(shapely.area(shapely.intersection(solid, tape))) for part, solid in shapes}


def _tabs(job: Job, stock: Stock) -> list[tuple[Toolpath, Tab]]:
    """Tabs whose top lies above the bottom of their cut, and that are higher than `SKIN`."""
    return [
        (path, tab)
        for path in job.toolpaths
        for tab in path.tabs
        if path.bottom is not None and ends_of(stock).highest_underside + tab.height > path.bottom + SAME_HEIGHT
        and tab.height > SKIN
    ]  # fmt: skip
