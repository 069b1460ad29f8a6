"""Holes: drilled if the bit is as wide, bored along a helix, or milled in turns; their size, and how they are cut."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Final, NamedTuple

import numpy as np

from pathkit.jobs.audit import plane
from pathkit.jobs.audit.figures import CannotRead, Figure
from pathkit.jobs.audit.tables import Table
from pathkit.jobs.audit.tolerances import AS_WIDE, EXACT, HAIR, HOLE, ROUND
from pathkit.jobs.audit.works import Work

STEP: Final = 0.4
"""Share of the bit's diameter: how far one turn lies outside the one before it."""

LEAST_PITCH: Final = 0.05
"""Share of the bit's diameter that each turn on the way down must gain, if there is another way down."""

NARROWEST: Final = 0.25
"""Share of the bit's diameter: no helix is narrower."""

WIDEST: Final = 0.95
"""Share of the bit's diameter: a helix wider than this does not bore a hole by itself."""

WAY_IN: Final = 0.8
"""Share of the bit's diameter: the helix by which the bit enters wider holes."""

USUAL_ANGLE: Final = 3.0
"""Degrees of a helix if the job file gives no angle."""


class Hole(NamedTuple):
    """A hole as the job file has it, mm. ``slack`` is how far a drawing may be off, 0 for the file's own shapes."""

    centre: tuple[float, float]
    diameter: float
    slack: float


def holes_of(work: Work) -> list[Hole]:
    """Each hole: at points, or in the middle of circles. Raises `CannotRead`."""
    if "holes" not in work.kept:
        said, bit = work.table["diameter"], float(work.asked.means["diameter"])
        # A drill makes holes of its own size, and so does any bit where no size is given.
        fit = 0.0 if work.asked.tool["kind"] == "drill" else float(work.tables.job["fit"])
        work.kept["holes"] = [hole for figure in work.figures_of() for hole in _holes(figure, said, bit, fit)]
    holes: list[Hole] = work.kept["holes"]
    return holes


def _nearest(work: Work, place: Sequence[float]) -> Hole:
    """The hole whose centre lies nearest to a place (mm), the first of several. Raises `CannotRead`."""
    import shapely

    holes = holes_of(work)
    if "tree" not in work.kept:
        work.kept["tree"] = shapely.STRtree(shapely.points([hole.centre for hole in holes]))
    nearest: int = min(work.kept["tree"].query_nearest(shapely.Point(place)).tolist())
    return holes[nearest]


def _holes(figure: Figure, said: float | None, bit: float, fit: float) -> list[Hole]:
    found: list[Hole] = []
    slack = max(figure.slack - EXACT, 0.0)
    for ring in figure.rings:
        left, front, right, back = plane.box([ring])
        across = right - left
        # Chords lie inside the circle: for a small one, that takes off more than a hundredth of its area.
        if abs(abs(plane.area(ring[:-1])) - math.pi * across**2 / 4.0) > across * max(ROUND * across, HOLE):
            raise CannotRead("a hole that is not a circle is not judged by the audit")
        found.append(Hole(((left + right) / 2.0, (front + back) / 2.0), (said or across) + fit, slack))
    at_points = bit if said is None else said + fit
    return [*found, *(Hole((point[0], point[1]), at_points, 0.0) for point in figure.points)]


def is_drilled(path: Table) -> bool:
    """Whether the bit only goes straight down, in one go or by pecks."""
    return len(path["curve"]["points"]) == 1 and path.get("entry", {}).get("kind", "plunge") in ("plunge", "peck")


def is_wide(hole: Hole, work: Work) -> bool:
    """Whether there is enough room for the bit that its turns cut instead of rubbing."""
    return hole.diameter - work.asked.diameter >= NARROWEST * work.asked.diameter


def judge_hole(hole: Hole, path: Table, work: Work) -> list[str]:
    """What is wrong with the size of a hole and with the path round it; the way down is judged separately."""
    play = hole.diameter - work.asked.diameter
    slack = HOLE + hole.slack
    if len(path["curve"]["points"]) > 1 and play > 0.0:
        return _judge_turns(hole, path, play / 2.0, slack, work)
    helix = 0.0 if is_drilled(path) else float(path.get("entry", {}).get("diameter", 0.0))
    wrong = abs(helix - play) > (AS_WIDE + hole.slack + HAIR if is_drilled(path) else slack)
    return [_unlike(work.asked.diameter + helix, hole)] if wrong or helix > work.asked.diameter else []


def _judge_turns(hole: Hole, path: Table, radius: float, slack: float, work: Work) -> list[str]:
    """From the middle outwards, turn by turn and counter-clockwise (climb), and once all the way round at the wall."""
    import shapely

    bit, points, step = work.asked.diameter, plane.vertices_of(path["curve"]), STEP * work.asked.stepover
    line = plane.line(points)
    widest = float(np.hypot(*(points - np.array(hole.centre)).T).max())
    missed, place = plane.apart([plane.circle(hole.centre, radius)], line)
    said: list[str] = []
    if widest > radius + slack:
        said.append(_unlike(bit + 2.0 * widest, hole))
    elif missed > slack:
        said.append(
            f"does not go all the way round its wall: it stays {missed:.3f} mm away from {plane.place_text(place)}"
        )
    floor = shapely.Polygon(plane.circle(hole.centre, radius))
    if path.get("entry", {}).get("kind") == "helix":
        # The first turn goes on from what the way down has cleared.
        floor = floor.difference(plane.plate(plane.circle(hole.centre, (WAY_IN + step) / 2.0 * bit)))
    if not floor.difference(plane.grown(line, step / 2.0 * bit + HOLE)).is_empty:
        said.append(f"is cleared by turns more than {step * bit:.3f} mm apart")
    if _turning(points) <= 0.0:
        said.append("runs clockwise, and counter-clockwise is asked for")
    return said


def _turning(points: plane.Points) -> float:
    """Radians by which the path turns to the left in total."""
    way = np.diff(points, axis=0)
    cross = way[:-1, 0] * way[1:, 1] - way[:-1, 1] * way[1:, 0]
    return float(np.arctan2(cross, (way[:-1] * way[1:]).sum(axis=1)).sum())


def _unlike(made: float, hole: Hole) -> str:
    place = plane.place_text(np.array(hole.centre))
    return f"makes a hole of {made:.3f} mm at {place}, and {hole.diameter:g} mm are asked for"


def hole_entries(work: Work, path: Table) -> list[Mapping[str, Any]]:
    """The ways down that are right for the hole in which a toolpath begins.

    A helix is as wide as the hole and the bit allow. If its turns gain too little, a bit that cuts at its centre goes
    straight down.
    """
    hole = _nearest(work, path["curve"]["points"][0][:2])
    peck, tool, bit = work.table["peck"], work.asked.tool, work.asked.diameter
    straight = {"kind": "plunge"} if peck is None else {"kind": "peck", "depth": float(peck)}
    ramping = work.tables.passes["ramp_entries"]
    angle = USUAL_ANGLE if ramping is None else float(ramping["angle"])
    plunges = tool["kind"] == "drill" or tool["centre_cutting"]
    said: list[Mapping[str, Any]] = []
    # If a drawing may be off a little, its hole may lie on either side of the limit between two ways down.
    for play in {hole.diameter - bit + by for by in (-hole.slack - HOLE, 0.0, hole.slack + HOLE)}:
        roomy = play > WIDEST * bit
        alone = not roomy and tool["kind"] != "compression"
        wide = play if alone else min(play, WAY_IN * bit)
        gains = roomy or (
            wide >= NARROWEST * bit and math.pi * wide * math.tan(math.radians(angle)) >= LEAST_PITCH * bit
        )
        if abs(play) <= AS_WIDE or (plunges and not gains):
            said.append(straight)
        else:
            made = path.get("entry", {}).get("diameter", 0.0)
            near = abs(made - wide) <= hole.slack + HOLE and (len(path["curve"]["points"]) == 1) == alone
            said.append({"kind": "helix", "angle": angle, "diameter": made if near else wide})
    return said
