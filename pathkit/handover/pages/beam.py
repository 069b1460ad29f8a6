"""What a sheet says of a beam instead of a bit."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

from pathkit.handover.pages.names import height_name, place_name, range_name, size_name
from pathkit.lowering.lower import travel_height
from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.proof.verify import FOR_BITS
from pathkit.registry import capabilities_of
from pathkit.texts.findings import in_words
from pathkit.texts.language import ENGLISH, Language

if TYPE_CHECKING:
    from pathkit.handover.result import Folder

OF_BITS: Final = "what is judged of a bit in wood"
"""Stands for the names of all those checks at once."""


def collapsed(names: Iterable[str]) -> list[str]:
    """Names of checks; those that no beam has are named as one, if all of them are there."""
    every = list(names)
    if not set(every) >= FOR_BITS:
        return every
    return [*(name for name in every if name not in FOR_BITS), OF_BITS]


def start_height(job: Job, machine: Machine, say: Language = ENGLISH) -> str:
    """Where the head may stand when a file starts."""
    return say("sheet-beam-start", height=height_name(travel_height(job, machine), machine, say))


def hold_down(say: Language = ENGLISH) -> list[str]:
    """What may be on the board while the head travels over it."""
    return [say("sheet-beam-flat"), say("sheet-beam-grate")]


def steps(folder: Folder) -> list[str]:
    """From preparation to taking the parts out, in order."""
    job, machine, stock, say = folder.job, folder.machine, folder.job.stock, folder.order.language
    thick = range_name(machine, (stock.thickness + sign * stock.thickness_tolerance for sign in (-1, 1)), say)
    full = say.number(f"{capabilities_of(machine).full_speed:g}")
    lines = [
        say("sheet-beam-cautions"),
        say("sheet-step-measure", size=size_name(machine, stock.width, stock.depth, say=say), thickness=thick),
        say("sheet-beam-material"),
        say("sheet-step-fix"),
        say("sheet-beam-settings", full=full),
        say("sheet-beam-directions"),
        say("sheet-step-zero"),
        say("sheet-beam-focus", height=height_name(job.toolpaths[0].lowest, machine, say)),
        start_height(job, machine, say),
        say("sheet-beam-air", file=folder.air_file),
        say("sheet-beam-trial"),
        say("sheet-beam-run", file=folder.cut_file),
        say("sheet-beam-watch"),
        *([] if machine.park is None else [say("sheet-beam-park", place=place_name(machine.park, machine, say))]),
        say("sheet-beam-open"),
        say("sheet-step-keep"),
    ]
    if folder.order.times > 1:
        lines.append(say("sheet-step-next-board", count=folder.order.times))
    return lines


def not_run(say: Language = ENGLISH) -> str:
    """Why checks of a bit say nothing of this file, in one line for all of them."""
    return say("sheet-beam-not-run", checks=", ".join(in_words(name, say) for name in sorted(FOR_BITS)))
