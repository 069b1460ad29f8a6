"""Holes to drill: at points, or in circles."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from pathkit.curves.regions import refusal
from pathkit.jobs import schema
from pathkit.jobs.cut import Cut
from pathkit.jobs.fit import Fit
from pathkit.jobs.reading import JobFile
from pathkit.model.curve import Curve
from pathkit.operations.leads import ANGLE
from pathkit.tolerances import ROUND_HOLE

Hole = tuple[tuple[float, float], float]


def hole_of(curve: Curve, form: schema.Drill, job: Cut, fit: Fit, name: str) -> Hole:
    """Centre and finished diameter (mm) of the hole at a point or in a circle, however many arcs make up the circle.

    Unless the operation gives the diameter, it is the circle's, or at a point that of the job's own bit. Raises
    `InputError` for any other shape.
    """
    if curve.is_point:
        sized = form.diameter is not None
        diameter = fit.hole(form.diameter or job.meant.diameter, form, job.tool, sized=sized)
        return (float(curve.points[0][0]), float(curve.points[0][1])), diameter
    box = curve.bounds
    width, depth = box[2] - box[0], box[3] - box[1]
    round_ = curve.closed and bool(curve.sweeps.all()) and abs(width - depth) < ROUND_HOLE
    if not round_ or abs(abs(curve.area) - math.pi * width * width / 4.0) > ROUND_HOLE * width * width:
        raise refusal(name, "one of its shapes is neither a point nor a circle", "drill only points or circles")
    diameter = fit.hole(form.diameter or round(width, 6), form, job.tool, sized=True)
    return ((box[0] + box[2]) / 2.0, (box[1] + box[3]) / 2.0), diameter


def refuse_twice(holes: Sequence[Hole], name: str) -> None:
    """Raises `InputError` for two holes at one place."""
    places = Counter((round(x, 3), round(y, 3)) for (x, y), _ in holes)
    if twice := next((place for place, count in places.items() if count > 1), None):
        raise refusal(name, f"two holes are at {twice}", "remove one of them")


def angle_down(file: JobFile) -> float:
    """Ramp angle (degrees) that the job gives its pass ``ramp_entries``; the usual one if it gives none."""
    options = file.form.passes.get("ramp_entries")
    return float(options["angle"]) if isinstance(options, dict) and "angle" in options else ANGLE
