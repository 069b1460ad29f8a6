"""How a sheet names a bit, a height and a place, and how far a bit must reach."""

from __future__ import annotations

import math
from collections.abc import Iterable

from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.model.tool import Tool
from pathkit.model.toolpath import Toolpath
from pathkit.units import MM_PER_INCH, shown


def bit_name(tool: Tool) -> str:
    """With its number, if it has one."""
    number = "" if tool.number is None else f" (T{tool.number})"
    return f"{tool.name}{number}"


def place_name(place: tuple[float, float], machine: Machine) -> str:
    """Work coordinates (mm) in the units of the file."""
    x, y = (shown(value, machine.units) for value in place)
    return f"X {x}, Y {y}"


def height_name(z: float, machine: Machine) -> str:
    """In the units of the file, and in mm beside it where that counts in inches."""
    if machine.units == "inch":
        return f"Z {z / MM_PER_INCH:.4f} in ({z:g} mm)"
    return f"Z {z:g} mm"


def size_name(machine: Machine, *sizes: float, between: str = " × ") -> str:
    """Lengths (mm) in the units of the file, and in mm beside it where that counts in inches."""
    in_mm = f"{between.join(f'{size:g}' for size in sizes)} mm"
    if machine.units != "inch":
        return in_mm
    return f"{between.join(f'{size / MM_PER_INCH:.4g}' for size in sizes)} in ({in_mm})"


def range_name(machine: Machine, values: Iterable[float]) -> str:
    """The least and the greatest of some lengths (mm), or the one that they all are."""
    every = sorted({round(value, 3) for value in values})
    return size_name(machine, *dict.fromkeys((every[0], every[-1])), between=" to ")


def depth_of(path: Toolpath, job: Job) -> float:
    """mm below the nominal top."""
    return job.stock.top - path.lowest


def reach(job: Job, tool: Tool) -> float:
    """mm from the collet down to the deepest cut of the thickest board, rounded up."""
    deepest = max(depth_of(path, job) for path in job.toolpaths if path.tool == tool)
    return math.ceil(deepest + (job.stock.highest_top - job.stock.top))


def fit_name(fit: float, machine: Machine) -> str:
    """What a fit (mm) other than 0 does to what is cut."""
    inner, outer = ("wider", "narrower") if fit > 0.0 else ("narrower", "wider")
    moved = f"openings {size_name(machine, abs(fit))} {inner} than drawn, parts as much {outer}"
    return f"{moved}, but nothing that is as wide as its bit"


def least_of(machine: Machine) -> list[str]:
    """What a machine must have at least to be as good as this one, in the units of its file."""
    units, motion, spindle = machine.units, machine.motion, machine.spindle
    sizes = (machine.travel.x, machine.travel.y)
    across, away = sizes if machine.axes.x in ("right", "left") else sizes[::-1]
    rapid, limit = ([shown(speed, units) for speed in speeds[1:]] for speeds in (motion.rapid, motion.feed_limit))
    found = [
        f"room for the bit to move {shown(across, units)} from left to right, {shown(away, units)} from front to back"
        f" and {shown(machine.travel.z, units)} up",
        f"rapid moves of {rapid[0]} a minute sideways, {rapid[1]} up and down",
        f"feeds of {limit[0]} a minute sideways, {limit[1]} up and down",
    ]
    if spindle.control == "words":
        found.append(f"a spindle that the file starts, which turns at {spindle.min:g} to {spindle.max:g} rpm")
    else:
        found.append(f"a spindle that you start by hand, which turns at up to {spindle.max:g} rpm")
    return found
