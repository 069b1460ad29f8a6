"""Chamfered edges: all that the job's parts promise to be bevelled away is cut."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from pathkit.findings import Finding
from pathkit.model.job import Chamfer
from pathkit.proof.checks.gouges import BEVEL, MOST, bevelled, solid_of, tolerance
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.result import Figure, Verdict
from pathkit.tolerances import BEVEL_CRUMB, HALF_COUNT, WALL

NARROWEST: Final = 2.0
"""Of what is granted: a chamfer that is less wide at a height is not judged there."""


@check(
    "chamfered edges",
    "board",
    "job",
    "parts",
    scope="whole",
    kept=True,
    limits=(
        f"To {WALL} mm beside the grid of the file, at a few heights between the foot and the top of the thinnest "
        "board; how smooth it is is not judged."
    ),
)
def chamfered_edges(evidence: Evidence) -> Verdict:
    """Along every chamfered edge of a part all the wood is cut that the chamfer takes, in every board allowed."""
    job = evidence.job
    assert job is not None
    found: list[Finding] = []
    number = 0
    for k, part in enumerate(job.parts):
        solid = solid_of(part) if part.outline is not None else None
        for index, chamfer in enumerate(part.chamfers):
            number += 1
            name = f"chamfer {index + 1} of the part {part.name!r}"
            for what in _lacking(evidence, chamfer, solid):
                fix = "check that it is cut, with which vee, how deep and along which line"
                path = f"$.parts[{k}].chamfers[{index}]"
                found.append(Finding(check="chamfered edges", what=f"{name} {what}", fix=fix, path=path))
    figures: dict[str, Figure] = {"chamfers": number}
    return Verdict(found[:MOST], figures=figures, proved=evidence.cuts.known)


def _lacking(evidence: Evidence, chamfer: Chamfer, solid: Any) -> Iterator[str]:
    """What of a chamfer is not cut, in words, at the height where the most is left."""
    import shapely

    slack = tolerance(evidence) + chamfer.slope * HALF_COUNT * evidence.count
    top = evidence.ends.lowest_top if chamfer.top is None else min(chamfer.top, evidence.ends.lowest_top)
    if top <= chamfer.bottom:
        yield f"has its foot at z = {chamfer.bottom:.3f} mm, and the top of the thinnest board lies at {top:.3f} mm"
        return
    worst: tuple[float, str] = (0.0, "")
    for share in BEVEL:
        z = chamfer.bottom + (top - chamfer.bottom) * share
        if chamfer.slope * (z - chamfer.bottom) < NARROWEST * slack:
            continue
        wanted = bevelled(chamfer, z, 0.0, slack)
        wanted = wanted if solid is None else shapely.intersection(wanted, solid)
        level = evidence.cuts.at(z)
        left = shapely.difference(wanted, level.swept(level.near(wanted)))
        pieces = [piece for piece in shapely.get_parts(left) if shapely.area(piece) > BEVEL_CRUMB]
        area = sum(map(shapely.area, pieces))
        if area > worst[0]:
            x, y = shapely.get_coordinates(shapely.point_on_surface(max(pieces, key=shapely.area)))[0]
            worst = (
                area,
                f"is not all cut: {area:.2f} mm² are left at z = {z:.3f} mm, the most about ({x:.2f}, {y:.2f})",
            )
    if worst[1]:
        yield worst[1]
