"""How a sheet names a bit, a height and a place, and how far a bit must reach."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from functools import reduce

from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.model.tool import Tool
from pathkit.model.toolpath import Toolpath
from pathkit.texts.language import ENGLISH, Language
from pathkit.units import MM_PER_INCH, NEWTON_PER_POUND, shown


def bit_name(tool: Tool) -> str:
    """With its number, if it has one."""
    number = "" if tool.number is None else f" (T{tool.number})"
    return f"{tool.name}{number}"


def place_name(place: tuple[float, float], machine: Machine, say: Language = ENGLISH) -> str:
    """Work coordinates (mm) in the units of the file."""
    x, y = (say.number(shown(value, machine.units)) for value in place)
    return f"X {x}, Y {y}"


def height_name(z: float, machine: Machine, say: Language = ENGLISH) -> str:
    """In the units of the file, and in mm beside it where that counts in inches."""
    if machine.units == "inch":
        return say.number(f"Z {z / MM_PER_INCH:.4f} in ({z:g} mm)")
    return say.number(f"Z {z:g} mm")


def size_name(machine: Machine, *sizes: float, say: Language = ENGLISH) -> str:
    """Lengths (mm) in the units of the file, and in mm beside it where that counts in inches."""
    return _sizes(machine, sizes, say, " × ".join)


def range_name(machine: Machine, values: Iterable[float], say: Language = ENGLISH) -> str:
    """The least and the greatest of some lengths (mm), or the one that they all are."""
    every = sorted({round(value, 3) for value in values})
    return _sizes(machine, (every[0], every[-1]), say, lambda texts: range_of(texts[0], texts[-1], say))


def range_of(least: str, most: str, say: Language = ENGLISH) -> str:
    """``2 to 3``, or the one that both are."""
    return least if least == most else say("common-range", least=least, most=most)


def in_turn(names: Sequence[str], say: Language) -> str:
    """``a, then b``."""
    return reduce(lambda told, following: say("sheet-then", first=told, next=following), names)


def _sizes(machine: Machine, sizes: Sequence[float], say: Language, joined: Callable[[Sequence[str]], str]) -> str:
    in_mm = f"{joined([f'{size:g}' for size in sizes])} mm"
    if machine.units == "inch":
        return say.number(f"{joined([f'{size / MM_PER_INCH:.4g}' for size in sizes])} in ({in_mm})")
    return say.number(in_mm)


def force_name(newton: float, machine: Machine, say: Language = ENGLISH) -> str:
    """A force in the units that go with those of the file."""
    if machine.units == "inch":
        return say.number(f"{newton / NEWTON_PER_POUND:.2g} lbf")
    return say.number(f"{newton:.2g} N" if newton < 1.0 else f"{newton:.0f} N")


def area_name(mm2: float, machine: Machine, say: Language = ENGLISH) -> str:
    """An area in the units of the file."""
    return say.number(f"{mm2 / MM_PER_INCH**2:.3g} in²" if machine.units == "inch" else f"{mm2:.0f} mm²")


def pressure_name(newton_per_mm2: float, machine: Machine, say: Language = ENGLISH) -> str:
    """A strength in the units that go with those of the file."""
    if machine.units == "inch":
        return say.number(f"{newton_per_mm2 * MM_PER_INCH**2 / NEWTON_PER_POUND:.2g} lbf/in²")
    return say.number(f"{newton_per_mm2:g} N/mm²")


def depth_of(path: Toolpath, job: Job) -> float:
    """mm below the nominal top."""
    return job.stock.top - path.lowest


def reach(job: Job, tool: Tool) -> float:
    """mm from the collet down to the deepest cut of the thickest board, rounded up."""
    deepest = max(depth_of(path, job) for path in job.toolpaths if path.tool == tool)
    return math.ceil(deepest + (job.stock.highest_top - job.stock.top))


def fit_name(fit: float, machine: Machine, say: Language = ENGLISH) -> str:
    """What a fit (mm) other than 0 does to what is cut."""
    return say("sheet-fit-wider" if fit > 0.0 else "sheet-fit-narrower", by=size_name(machine, abs(fit), say=say))


def least_of(machine: Machine, say: Language = ENGLISH) -> list[str]:
    """What a machine must have at least to be as good as this one, in the units of its file."""
    units, motion, spindle = machine.units, machine.motion, machine.spindle
    sizes = (machine.travel.x, machine.travel.y)
    across, away = sizes if machine.axes.x in ("right", "left") else sizes[::-1]

    def size(mm: float) -> str:
        return say.number(shown(mm, units))

    least, most = (say.number(f"{speed:g}") for speed in (spindle.min, spindle.max))
    return [
        say("least-travel", across=size(across), away=size(away), up=size(machine.travel.z)),
        say("least-rapid", level=size(motion.rapid[1]), upright=size(motion.rapid[2])),
        say("least-feed", level=size(motion.feed_limit[1]), upright=size(motion.feed_limit[2])),
        say("least-spindle-words", least=least, most=most)
        if spindle.control == "words"
        else say("least-spindle-manual", most=most),
    ]
