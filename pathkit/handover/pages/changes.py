"""The steps of a setup sheet by which bits are changed: one for each change, and how Z is set for it."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from pathkit.handover.pages.names import bit_name, place_name, reach, size_name
from pathkit.machine.profile import Machine
from pathkit.model.stock import Stock
from pathkit.model.tool import Tool
from pathkit.registry import capabilities_of

if TYPE_CHECKING:
    from pathkit.handover.result import Folder


def change_steps(folder: Folder) -> list[str]:
    """A step for each change of bit, in order: which bit, how Z is set, with which file or line it goes on."""
    wanted = [after for before, after in pairwise(path.tool for path in folder.job.toolpaths) if before != after]
    steps = [
        _next_file(folder, number, tool) if folder.further else _in_the_file(folder, number, tool)
        for number, tool in enumerate(wanted, 1)
    ]
    return [f"Change {number} of {len(wanted)}. {step}" for number, step in enumerate(steps, 1)]


def _next_file(folder: Folder, number: int, tool: Tool) -> str:
    cut, air, _ = folder.further[number - 1]
    before = folder.cut_files[number - 1]
    again = "Jog it to the zero again" if capabilities_of(folder.machine).sets_zero else _again(folder.job.stock)
    return (
        f"When {before} has ended, the bit is up{_where(folder.machine)}. {_still(folder.machine)} Without a bit and"
        f" with the spindle off, run the air cut {air}. {_fit(folder, tool)} {again}. Then run {cut} from its first"
        " line."
    )


def _in_the_file(folder: Folder, number: int, tool: Tool) -> str:
    line = folder.change_lines[number - 1]
    return (
        f"{folder.cut_file} waits before its line {line}, the bit up{_where(folder.machine)}. {_still(folder.machine)}"
        f" {_fit(folder, tool)} {_z_in_pause(folder)} Let the file go on: it does so with line {line}."
    )


def _fit(folder: Folder, tool: Tool) -> str:
    far = size_name(folder.machine, reach(folder.job, tool))
    return f"Fit {bit_name(tool)}. Below the collet it must reach at least {far}."


def _still(machine: Machine) -> str:
    if machine.spindle.control == "manual":
        return "Switch the spindle off, and wait until it stands still."
    return "The spindle is off: wait until it stands still."


def _where(machine: Machine) -> str:
    place = machine.change_place
    return "" if place is None else f", at {place_name(place, machine)}"


def _again(stock: Stock) -> str:
    where = "on the bed" if stock.z_zero == "bed" else "on top of the board, where nothing is cut"
    return f"Set Z zero again, {where}; X and Y stay as they are"


def _z_in_pause(folder: Folder) -> str:
    kind = capabilities_of(folder.machine).z_in_pause
    if kind == "no":
        return (
            "While it waits the controller takes no jog and no zero: do not try. So the bit must stick out exactly as"
            " far as the one before it."
        )
    if kind == "yes":
        return f"{_again(folder.job.stock)}."
    return (
        "If your control takes a jog and a zero while it waits, do this now:"
        f" {_again(folder.job.stock)}. If it does not, the bit must stick out exactly as far as the one before it."
    )
