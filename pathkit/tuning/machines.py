"""Two machines: the one that a file was made for, and the one that it is written for, held to what the file is known
to clear."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.lifting import Lifted
from pathkit.lowering.air import summit
from pathkit.machine.profile import Axes, Corner, Heights, Machine
from pathkit.tolerances import SAME_HEIGHT

ELSEWHERE: Final = "elsewhere"
USUAL: Final = Axes("right", "away", "up")


def made_for(machine: Machine, axes: Axes | None = None, origin: Corner | None = None) -> Machine:
    """The machine that a file was made for: as far as is not said, X to the right, Y away, Z up, zero at the front left
    corner, and as quick as ``machine``."""
    axes = axes or USUAL
    return replace(
        machine, name=ELSEWHERE, axes=axes, left_handed=axes.left_handed, origin=origin or "front-left", homed=False,
        rehearsed=None,
    )  # fmt: skip


def held_to(machine: Machine, lifted: Lifted, *, clear: bool) -> Machine:
    """The machine that goes no other ways above the board than the file did: as high between cuts as its highest move,
    and to no place of its own for parking or changing bits.

    A high move may clear a clamp that the file says nothing of. With ``clear`` there are none, or the board's zones
    tell of them all: the machine's own height is then used where it is the lower one, and its place to change bits.
    """
    top = lifted.job.stock.highest_top
    if lifted.height - top < SAME_HEIGHT:
        what = f"the file never goes higher than z = {lifted.height:g} mm, and the board's top is at {top:g} mm"
        raise InputError([Finding(check="tune", what=what, fix="is the board as thick as you said?")])
    approach = min(machine.heights.approach, lifted.height - top)
    # Travel counts from the highest place of any cut; there has to be some, even above one that goes as high.
    travel = max(lifted.height - max(summit(path, lifted.job.stock) for path in lifted.job.toolpaths), approach)
    if clear:
        heights = Heights(travel=min(travel, machine.heights.travel), approach=approach)
        return replace(machine, heights=heights, park=None)
    return replace(machine, heights=Heights(travel=travel, approach=approach), park=None, change=None)


def same_corner(machine: Machine, source: Machine) -> None:
    """Raises `InputError` if zero lies at another corner of a board whose size is not known."""
    if machine.origin != source.origin:
        what = f"the file has its zero at the {source.origin} corner, {machine.name!r} at the {machine.origin} one"
        fix = "give the board's size, so that the one can be found from the other"
        raise InputError([Finding(check="tune", what=what, fix=fix)])
