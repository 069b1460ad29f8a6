"""Holes to drill: at points, or in circles."""

from __future__ import annotations

import math

from pathkit.curves.regions import refusal
from pathkit.jobs.reading import JobFile
from pathkit.model.curve import Curve
from pathkit.operations.leads import ANGLE
from pathkit.tolerances import ROUND_HOLE


def hole_of(curve: Curve, given: float | None, bit: float, name: str) -> tuple[tuple[float, float], float]:
    """Centre and diameter (mm) of the hole at a point or in a circle, however many arcs make up the circle.

    ``given`` is the diameter that the job gives; without it, it is the circle's, or the ``bit``'s at a point. Raises
    `InputError` for any other shape.
    """
    if curve.is_point:
        return (float(curve.points[0][0]), float(curve.points[0][1])), given or bit
    box = curve.bounds
    width, depth = box[2] - box[0], box[3] - box[1]
    round_ = curve.closed and bool(curve.sweeps.all()) and abs(width - depth) < ROUND_HOLE
    if not round_ or abs(abs(curve.area) - math.pi * width * width / 4.0) > ROUND_HOLE * width * width:
        raise refusal(name, "one of its shapes is neither a point nor a circle", "drill only points or circles")
    return ((box[0] + box[2]) / 2.0, (box[1] + box[3]) / 2.0), given or round(width, 6)


def angle_down(file: JobFile) -> float:
    """Ramp angle (degrees) that the job gives its pass ``ramp_entries``; the usual one if it gives none."""
    options = file.form.passes.get("ramp_entries")
    return float(options["angle"]) if isinstance(options, dict) and "angle" in options else ANGLE
