"""How a sheet names a bit, a height and a place, and how far a bit must reach."""

from __future__ import annotations

import math

from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.model.tool import Tool
from pathkit.model.toolpath import Toolpath
from pathkit.units import MM_PER_INCH


def bit_name(tool: Tool) -> str:
    """With its number, if it has one."""
    number = "" if tool.number is None else f" (T{tool.number})"
    return f"{tool.name}{number}"


def place_name(place: tuple[float, float], machine: Machine) -> str:
    """Work coordinates (mm) in the units of the file."""
    inch = machine.output.get("units") == "inch"
    x, y = (f"{value / MM_PER_INCH:.4g} in" if inch else f"{value:g} mm" for value in place)
    return f"X {x}, Y {y}"


def height_name(z: float, machine: Machine) -> str:
    """In mm, and in inches beside it where the file counts in them."""
    if machine.output.get("units") == "inch":
        return f"Z {z:g} mm ({z / MM_PER_INCH:.4f} in)"
    return f"Z {z:g} mm"


def depth_of(path: Toolpath, job: Job) -> float:
    """mm below the nominal top."""
    return job.stock.top - path.lowest


def reach(job: Job, tool: Tool) -> float:
    """mm from the collet down to the deepest cut of the thickest board, rounded up."""
    deepest = max(depth_of(path, job) for path in job.toolpaths if path.tool == tool)
    return math.ceil(deepest + (job.stock.highest_top - job.stock.top))
