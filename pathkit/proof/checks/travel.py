"""Checks of places: within the machine's travel, above the bed, out of clamps, and safely up before anything moves."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.model.stock import Zone
from pathkit.motion.program import ARC, RAPID, Lift, Program
from pathkit.proof.evidence import Evidence, check, top_of
from pathkit.proof.material.bits import bodies_of
from pathkit.proof.material.cleared import centrelines
from pathkit.proof.result import Verdict
from pathkit.tolerances import HALF_COUNT, LIFT_SLACK, ROUNDING, SAME_PLACE

Array = NDArray[np.float64]


def extents(program: Program) -> tuple[Array, Array]:
    """(n, 3) lowest and highest place of each move, mm: its ends, and the quadrants that an arc passes. NaN unknown."""
    origin, end = program.origins, program.end
    low, high = np.fmin(origin, end), np.fmax(origin, end)
    rows = np.flatnonzero(program.kind == ARC)
    if len(rows):
        centre, sweep = program.centre[rows], program.sweep[rows]
        arm = origin[rows, :2] - centre
        radius, first = np.hypot(*arm.T), np.arctan2(arm[:, 1], arm[:, 0])
        for quadrant in range(4):
            ahead = ((quadrant * math.pi / 2 - first) * np.sign(sweep)) % (2 * math.pi)
            passed = ahead <= np.abs(sweep)
            direction = np.array([(1, 0), (0, 1), (-1, 0), (0, -1)][quadrant], dtype=float)
            place = centre[passed] + radius[passed, None] * direction
            hit = rows[passed]
            low[hit, :2] = np.fmin(low[hit, :2], place)
            high[hit, :2] = np.fmax(high[hit, :2], place)
    return low, high


@check(
    "travel limits",
    limits="Where the zero's place in machine coordinates is not known, only the size of the path is judged.",
)
def travel_limits(evidence: Evidence) -> Verdict:
    """The whole path within the machine's travel: as it lies if the zero is known, else by size."""
    if not len(evidence.read):
        return Verdict()
    low, high = extents(evidence.read)
    travel, zero = evidence.machine.travel, evidence.setup.zero_at
    room = np.array([travel.x, travel.y, travel.z])
    reach_low, reach_high = np.fmin.reduce(low), np.fmax.reduce(high)
    figures: dict[str, float | int | str] = {}
    found: list[Finding] = []
    placed = zero is not None and travel.low is not None
    figures["judged"] = "as placed" if placed else "by size"
    floor = np.array(travel.low) - np.array(zero) if placed else None
    for axis, name in enumerate("XYZ"):
        if np.isnan(reach_low[axis]):
            continue
        span = float(reach_high[axis] - reach_low[axis])
        figures[f"{name}_mm"] = round(span, 4)
        if floor is None:
            margin = float(room[axis]) - span
            row = int(np.nanargmax(high[:, axis]))
            what = f"the path needs {span:.3f} mm along {name}, and the machine moves {room[axis]:g} mm"
            fix = "turn the board, or split the job"
        else:
            below = float(reach_low[axis] - floor[axis])
            above = float(floor[axis] + room[axis] - reach_high[axis])
            margin = min(below, above)
            row = int(np.nanargmin(low[:, axis]) if below < above else np.nanargmax(high[:, axis]))
            end = "lower" if below < above else "upper"
            what = f"goes {-margin:.3f} mm beyond the {end} end of {name}"
            fix = "set the zero elsewhere, or turn the board"
        figures[f"{name}_margin_mm"] = round(margin, 4)
        if margin < -SAME_PLACE:
            found.append(Finding(check="travel limits", what=what, fix=fix, line=evidence.line(row)))
    return Verdict(found, figures=figures)


SIDES = ("right", "back", "left", "front")
"""Counter-clockwise as seen from above, so that each quarter turn of the board moves a side on by one."""


@check(
    "room",
    "board",
    limits="Without the job the bit has no width; without the zero's place the board is judged by its size.",
)
def room(evidence: Evidence) -> Verdict:
    """The placed board within the machine's travel, and how far beyond its edges the bit reaches as it cuts."""
    board, bench = evidence.board, evidence.bench
    found = _board_within_travel(evidence)
    cutting = (bench.kind != RAPID) & np.isfinite(bench.end).all(axis=1)
    if not cutting.any():
        return Verdict(found)
    low, high = extents(bench)
    radius = np.nan_to_num(evidence.radius[cutting])[:, None]
    low, high = np.fmin.reduce(low[cutting, :2] - radius), np.fmax.reduce(high[cutting, :2] + radius)
    over = {"right": high[0] - board.width, "back": high[1] - board.depth, "left": -low[0], "front": -low[1]}
    # The operator sees the board as it lies after turning.
    seen = {SIDES[(SIDES.index(side) + evidence.setup.turn) % 4]: float(by) for side, by in over.items()}
    beyond = {side: round(by, 3) for side, by in seen.items() if by > evidence.count}
    if beyond:
        where = ", ".join(f"{by:.1f} mm at the {side}" for side, by in beyond.items())
        what = f"the bit reaches beyond the board's edges: {where}, as you face the machine"
        fix = "keep clamps, rails and fingers out of there"
        found.append(Finding(check="room", what=what, fix=fix, severity="note"))
    return Verdict(found, figures={f"beyond_{side}_mm": max(0.0, round(by, 3)) for side, by in seen.items()})


def _board_within_travel(evidence: Evidence) -> list[Finding]:
    board, travel, zero = evidence.board, evidence.machine.travel, evidence.setup.zero_at
    corners = evidence.frame.to_controller(np.array([[0.0, 0.0, 0.0], [board.width, board.depth, 0.0]]))[:, :2]
    low, high = corners.min(axis=0), corners.max(axis=0)
    found: list[Finding] = []
    for axis, (name, reach) in enumerate((("X", travel.x), ("Y", travel.y))):
        size = float(high[axis] - low[axis])
        what = ""
        if size > reach + SAME_PLACE:
            what = f"the board needs {size:g} mm along {name}, and the machine moves {reach:g} mm"
        elif zero is not None and travel.low is not None:
            below = travel.low[axis] - (low[axis] + zero[axis])
            above = high[axis] + zero[axis] - (travel.low[axis] + reach)
            if max(below, above) > SAME_PLACE:
                end = "lower" if below > above else "upper"
                what = f"the board lies {max(below, above):.3f} mm beyond the {end} end of {name}"
        if what:
            found.append(Finding(check="room", what=what, fix="lay it elsewhere, turn it, or take a smaller one"))
    return found


@check("first motion", "board", limits="It assumes that nothing stands higher than the clamps that the job draws.")
def first_motion(evidence: Evidence) -> Verdict:
    """The first motion is Z alone, up to travel height: the bit may stand at bed level beside the board.

    On a homed machine it may go up in machine coordinates instead; it comes down over the first place.
    """
    bench = evidence.bench
    if not len(bench):
        return Verdict()
    if any(isinstance(event, Lift) and at == 0 for at, event in zip(bench.event_at, bench.event, strict=True)):
        return _lifted_first(evidence)
    safe = evidence.board.highest_top + evidence.machine.heights.travel
    x, y, z = bench.end[0]
    fix = "begin with Z alone, up to travel height"
    line = evidence.line(0)
    if not (_same(x, bench.start[0]) and _same(y, bench.start[1])):
        return Verdict([Finding(check="first motion", what="the first motion is not Z alone", fix=fix, line=line)])
    if not z >= safe - evidence.count:
        what = f"the first motion goes to {z:.3f} mm, below the travel height of {safe:.3f} mm"
        return Verdict([Finding(check="first motion", what=what, fix=fix, line=line)], figures={"height_mm": float(z)})
    return Verdict(figures={"height_mm": round(float(z), 6), "travel_height_mm": safe})


def _lifted_first(evidence: Evidence) -> Verdict:
    """Up as high as the homed machine goes; then across, and straight down to travel height."""
    bench, top = evidence.bench, top_of(evidence.machine)
    (lift, *_) = (event.z for event in bench.event if isinstance(event, Lift))
    line, found = evidence.line(0), []
    if top is None or abs(lift - top) > LIFT_SLACK:
        if top is None:
            what = f"the first motion goes to {lift:g} mm in the coordinates of a machine which is not homed"
        else:
            what = f"the first motion goes to {lift:g} mm in the coordinates of a machine whose bit goes up to {top:g}"
        found.append(Finding(check="first motion", what=what, fix="post it again for this machine", line=line))
    safe = evidence.board.highest_top + evidence.machine.heights.travel
    known = np.flatnonzero(np.isfinite(bench.end[:, 2]))
    if len(known):
        row = int(known[0])
        beside = not np.array_equal(bench.end[row, :2], bench.origins[row, :2])
        if beside or not bench.end[row, 2] >= safe - evidence.count:
            z = bench.end[row, 2]
            what = f"the first motion down goes to {z:.3f} mm, below the travel height of {safe:.3f} mm"
            what = "the first motion down goes sideways" if beside else what
            fix = "come straight down to travel height"
            found.append(Finding(check="first motion", what=what, fix=fix, line=evidence.line(row)))
    return Verdict(found, figures={"machine_height_mm": round(lift, 6), "travel_height_mm": safe})


@check("above the bed", "board", limits="It trusts the board's thickness, the underlay and the zero that is set.")
def above_the_bed(evidence: Evidence) -> Verdict:
    """Nothing goes below the machine's bed, however thin board and underlay may be; over an underlay, nothing touches
    the bed either."""
    bench, bed = evidence.bench, evidence.ends.bed
    margin = HALF_COUNT * evidence.count * (1.0 if evidence.board.underlay > 0.0 else -1.0)
    below = np.flatnonzero(bench.end[:, 2] < bed + margin)

    def says(z: float) -> str:
        what = f"goes to {z:.3f} mm, and the bed lies at {bed:.3f} mm under the thinnest board and underlay"
        return what if bed > evidence.board.bed + ROUNDING else f"goes to {z:.3f} mm, and the bed lies at {bed:.3f} mm"

    found = [
        Finding(
            check="above the bed",
            what=says(float(bench.end[row, 2])),
            fix="cut less deep, or put an underlay under the board",
            line=evidence.line(int(row)),
            toolpath=evidence.toolpath_name(int(row)),
        )
        for row in below[:20]
    ]
    lowest = np.fmin.reduce(bench.end[:, 2], initial=math.inf)
    figures = {"lowest_mm": round(float(lowest), 6), "bed_mm": bed} if math.isfinite(lowest) else {}
    return Verdict(found, figures=figures)


@check(
    "keep-out zones",
    "board",
    limits="It knows only the zones that the job draws, and the sizes of shank and holder that the job gives.",
)
def keep_out_zones(evidence: Evidence) -> Verdict:
    """The bit keeps out of screws and clamps, by its whole width if the job gives it."""
    zones = [zone for zone in evidence.board.zones if zone.is_keep_out]
    found = [finding for zone in zones for finding in _touching(evidence, zone)]
    return Verdict(found, figures={"zones": len(zones)}, proved=not zones or evidence.job is not None)


@check(
    "travel height",
    "board",
    limits="It takes a rapid to run straight, and knows only the sizes of shank and holder that the job gives.",
)
def travel_height(evidence: Evidence) -> Verdict:
    """Every rapid sideways is above the thickest board by the profile's travel height, and by as much above each clamp
    and screw that bit, shank or holder crosses on that move. Below the wood's top `rapids clear the wood` judges it."""
    bench, board, travel = evidence.bench, evidence.board, evidence.machine.heights.travel
    origin, end = bench.origins, bench.end
    still = (origin[:, :2] == end[:, :2]) | np.isnan(end[:, :2])
    sideways = (bench.kind == RAPID) & ~still.all(axis=1)
    low = np.fmin(origin[:, 2], end[:, 2])
    slack = HALF_COUNT * evidence.count
    fix = "retract higher before it"
    safe = board.highest_top + travel
    found = [
        Finding(
            check="travel height",
            what=f"a rapid sideways at {low[row]:.3f} mm; over the board it must be at {safe:.3f} mm",
            fix=fix, line=evidence.line(int(row)), toolpath=evidence.toolpath_name(int(row)),
        )
        for row in np.flatnonzero(sideways & (low >= board.highest_top - slack) & (low < safe - slack))[:10]
    ]  # fmt: skip
    raised = 0
    for zone in board.zones if sideways.any() else ():
        if not zone.is_keep_out:
            continue
        for row, lift in _crossings(evidence, zone, np.flatnonzero(sideways)):
            raised += 1
            wanted = board.highest_top + zone.height + travel - lift
            if low[row] < wanted - slack and len(found) < 20:
                x, y = _middle(zone)
                what = (
                    f"a rapid at {low[row]:.3f} mm crosses a {zone.kind} at ({x:.1f}, {y:.1f}); it must be at"
                    f" {wanted:.3f}"
                )
                line, name = evidence.line(row), evidence.toolpath_name(row)
                found.append(Finding(check="travel height", what=what, fix=fix, line=line, toolpath=name))
    figures: dict[str, float | int | str] = {"rapids": int(sideways.sum()), "over_clamps": raised}
    if np.isfinite(low[sideways]).any():
        figures["lowest_mm"] = round(float(np.nanmin(low[sideways])), 6)
    return Verdict(found, figures=figures)


def _crossings(evidence: Evidence, zone: Zone, rows: NDArray[np.int64]) -> list[tuple[int, float]]:
    """Those of these rapids that cross a zone, each with the height above the tip (mm) of the lowest body that does.

    A rapid from an unknown place may come from anywhere, and counts as crossing the zone.
    """
    import shapely

    bench, slack = evidence.bench, evidence.count
    apart = shapely.distance(centrelines(bench, rows), zone.shape)
    apart[np.isnan(bench.origins[rows, :2]).any(axis=1)] = 0.0
    tools = evidence.job.tools if evidence.job is not None else ()
    bodies = [((tool.radius, 0.0), *bodies_of(tool)) for tool in tools] + [((0.0, 0.0),) * 3]
    found = []
    for row, gap in zip(rows.tolist(), apart.tolist(), strict=True):
        over = [lift for radius, lift in bodies[evidence.bits[row]] if gap <= 0.0 or gap < radius - slack]
        if over:
            found.append((row, min(over)))
    return found


def _touching(evidence: Evidence, zone: Zone) -> list[Finding]:
    """Findings where bit, shank or holder, each by its width, meets the zone below its top; at most ten of each."""
    found: list[Finding] = []
    tools = evidence.job.tools if evidence.job is not None else ()
    bodies = np.array([((tool.radius, 0.0), *bodies_of(tool)) for tool in tools] + [((0.0, 0.0),) * 3])
    x, y = _middle(zone)
    for which, name in enumerate(("bit", "shank", "holder")):
        radius, lift = bodies[evidence.bits, which].T
        if which and not radius.any():
            continue
        found += [
            Finding(
                check="keep-out zones",
                what=f"at {height:.3f} mm the {name} meets a {zone.kind} at ({x:.1f}, {y:.1f}) whose top is at"
                f" {top:.3f}",
                fix="move the clamp or screw, or the part",
                line=evidence.line(row),
                toolpath=evidence.toolpath_name(row),
            )
            for row, height, top in _below_top(evidence, zone, radius, lift, bare=which == 0)
        ]
    return found


def _below_top(
    evidence: Evidence, zone: Zone, radius: Array, lift: Array, *, bare: bool
) -> list[tuple[int, float, float]]:
    """Rows on which a body whose lower end is ``lift`` (m,) mm above the tip comes into the zone; how low it is there,
    and how high the zone's top is, mm.

    A ``bare`` path counts even if the body's width is not known.
    """
    import shapely

    bench = evidence.bench
    top = evidence.board.highest_top + zone.height
    low, high = extents(bench)
    x0, y0, x1, y1 = zone.shape.bounds
    near = (
        (high[:, 0] > x0 - radius) & (low[:, 0] < x1 + radius) & (high[:, 1] > y0 - radius) & (low[:, 1] < y1 + radius)
    )
    near &= (radius > 0.0) | bare
    rows = np.flatnonzero(near & (low[:, 2] + lift < top - evidence.count))
    apart = shapely.distance(centrelines(bench, rows), zone.shape)
    # Where the path lies inside the zone its distance is 0, whatever the bit.
    hit = rows[(apart < radius[rows] - evidence.count) | (apart <= 0.0)]
    return [(int(row), float(low[row, 2] + lift[row]), top) for row in hit[:10]]


def _middle(zone: Zone) -> tuple[float, float]:
    return zone.shape.centroid.x, zone.shape.centroid.y


def _same(a: float, b: float) -> bool:
    return bool(a == b or (np.isnan(a) and np.isnan(b)))
