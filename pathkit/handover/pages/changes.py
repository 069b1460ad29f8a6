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
    from pathkit.texts.language import Language


def change_steps(folder: Folder) -> list[str]:
    """A step for each change of bit, in order: which bit, how Z is set, with which file or line it goes on."""
    say = folder.order.language
    wanted = [after for before, after in pairwise(path.tool for path in folder.job.toolpaths) if before != after]
    steps = [
        " ".join((_next_file if folder.further else _in_the_file)(folder, number, tool, say))
        for number, tool in enumerate(wanted, 1)
    ]
    return [say("sheet-change", number=number, count=len(wanted), step=step) for number, step in enumerate(steps, 1)]


def _next_file(folder: Folder, number: int, tool: Tool, say: Language) -> list[str]:
    """The sentences of a change between two files."""
    cut, air, _ = folder.further[number - 1]
    place = _place(folder.machine, say)
    ended = {"file": folder.cut_files[number - 1]}
    zero = say("sheet-change-jog") if capabilities_of(folder.machine).sets_zero else _again(folder.job.stock, say)
    return [
        say("sheet-change-ended-at", place=place, **ended) if place else say("sheet-change-ended", **ended),
        _still(folder.machine, say), say("sheet-change-air", file=air), _fit(folder, tool, say), zero,
        say("sheet-change-run", file=cut),
    ]  # fmt: skip


def _in_the_file(folder: Folder, number: int, tool: Tool, say: Language) -> list[str]:
    """The sentences of a change for which a file waits."""
    line, place = folder.change_lines[number - 1], _place(folder.machine, say)
    waits = {"file": folder.cut_file, "line": str(line)}
    return [
        say("sheet-change-waits-at", place=place, **waits) if place else say("sheet-change-waits", **waits),
        _still(folder.machine, say), _fit(folder, tool, say), _z_in_pause(folder, say),
        say("sheet-change-go-on", line=line),
    ]  # fmt: skip


def _fit(folder: Folder, tool: Tool, say: Language) -> str:
    far = size_name(folder.machine, reach(folder.job, tool), say=say)
    return say("sheet-step-fit", bit=bit_name(tool), reach=far)


def _still(machine: Machine, say: Language) -> str:
    return say("sheet-change-still-manual" if machine.spindle.control == "manual" else "sheet-change-still")


def _place(machine: Machine, say: Language) -> str:
    place = machine.change_place
    return "" if place is None else place_name(place, machine, say)


def _again(stock: Stock, say: Language) -> str:
    return say("sheet-change-z-bed" if stock.z_zero == "bed" else "sheet-change-z-top")


def _z_in_pause(folder: Folder, say: Language) -> str:
    kind, stock = capabilities_of(folder.machine).z_in_pause, folder.job.stock
    if kind == "no":
        return say("sheet-change-no-jog")
    if kind == "yes":
        return _again(stock, say)
    return say("sheet-change-perhaps-bed" if stock.z_zero == "bed" else "sheet-change-perhaps-top")
