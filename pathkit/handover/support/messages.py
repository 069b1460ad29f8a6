"""The numbered messages of GRBL 1.1, and what they most likely meant at a line.

The numbers are those of GRBL's documentation of its interface (lists of error and alarm codes), in words of our own.
What errors 1 to 4, 9, 11 and 20 to 38 answer to was reproduced with the controller's own parser, as in its `Grammar`;
the others, and all alarms but 2, are from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.handover.support.texts import Units, shown
from pathkit.readback.at_line import nth_block
from pathkit.texts.findings import in_words
from pathkit.texts.language import ENGLISH, Language

if TYPE_CHECKING:
    from pathkit.handover.support.placing import Known
    from pathkit.machine.grammar import Grammar
    from pathkit.readback.at_line import LineRead

ERRORS: Final = frozenset((*range(1, 18), *range(20, 39)))
"""The numbers of errors that are known."""

ALARMS: Final = frozenset(range(1, 11))
"""The numbers of alarms that are known."""

_LIKELY: Final = frozenset({9, 13})
_LIKELY_ALARM: Final = frozenset({1, 2, 3})
"""Those that have a likely cause of their own."""

_OF_SETTINGS: Final = frozenset({3, 5, 6, 7, 8, 10, 12, 14, 15, 16, 17})
_COUNTED: Final = 4_000_000
"""Bytes of a file that is counted in the other way too."""

_IN_THE_MIDDLE: Final = frozenset({22, 31, 32, 33, 34})
"""Errors that a good line answers with if what stands before it has not been run."""


@dataclass(frozen=True)
class Message:
    """A numbered message: ``code`` as the controller shows it, what it ``means``, and its most ``likely`` cause at the
    line, a few sentences."""

    code: str
    means: str
    likely: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {"code": self.code, "means": self.means, "most_likely": list(self.likely)}


def error_at(number: int, line: LineRead, known: Known, say: Language = ENGLISH) -> Message:
    """What GRBL's ``error:number`` most likely meant at a line. Raises `InputError` for a number that it does not have,
    and for a controller that numbers its messages otherwise or not at all."""
    _refuse_others(number, ERRORS, "message", known.evidence.capabilities.grammar)
    code = f"error:{number}"
    mine = [finding for finding in line.findings if finding.code == code]
    others = [finding for finding in line.findings if finding.code not in (None, code)]
    if mine:
        what, column = in_words(mine[0].what, say), mine[0].column
        very = say("grbl-this-very", what=what)
        likely = [very if column is None else say("grbl-this-very-at", column=column, what=what)]
        likely += [say("grbl-settle", fix=in_words(mine[0].fix, say))] if mine[0].fix else []
    elif number in _LIKELY:
        likely = [say(f"grbl-likely-error-{number}")]
    elif number in _OF_SETTINGS:
        likely = [say("grbl-likely-by-hand")]
    else:
        likely = [say("grbl-likely-garbled")]
        if number in _IN_THE_MIDDLE:
            likely.append(say("grbl-in-the-middle"))
        likely += [say("grbl-instead", code=str(f.code), what=in_words(f.what, say)) for f in others]
        near = [f.line for f in known.evidence.reading.findings if f.code == code and f.line is not None]
        if near:
            nearest = min(near, key=lambda there: abs(there - line.number))
            likely.insert(0, say("grbl-look-there", line=nearest))
    return Message(code, say(f"grbl-error-{number}"), (*likely, *_counted_otherwise(line, known, say)))


def alarm_at(number: int, line: LineRead, known: Known, units: Units) -> Message:
    """The same for ``ALARM:number``."""
    _refuse_others(number, ALARMS, "alarm", known.evidence.capabilities.grammar)
    say = units.say
    likely = [say(f"grbl-likely-alarm-{number}" if number in _LIKELY_ALARM else "grbl-likely-other-alarm")]
    if number in (1, 2) and (reach := _reach(line, known, units)):
        likely.append(reach)
    likely.append(say("grbl-ahead"))
    means = say(f"grbl-alarm-{number}")
    return Message(f"ALARM:{number}", means, (*likely, *_counted_otherwise(line, known, say)))


def _counted_otherwise(line: LineRead, known: Known, say: Language) -> tuple[str, ...]:
    """Programs that send files may count only what they send (common practice, no source)."""
    one = known.evidence
    if len(one.text) > _COUNTED or (other := nth_block(one.text, one.capabilities, line.number)) is None:
        return ()
    if other[0] == line.number:
        return ()
    text = shown(other[1].strip(), say=say)
    return (say("grbl-counted-otherwise", line=line.number, other=other[0], text=text),)


def _reach(line: LineRead, known: Known, units: Units) -> str:
    """Between which places of the file's axes the line moves, against the whole file."""
    say = units.say
    rows = slice(line.first_row, len(line.program))
    ends = line.program.end[rows]
    if not len(ends):
        return say("grbl-moves-nothing")
    told = []
    every = known.read.end
    for axis, name in enumerate("XYZ"):
        mine, all_of_it = ends[:, axis], every[:, axis]
        mine, all_of_it = mine[~np.isnan(mine)], all_of_it[~np.isnan(all_of_it)]
        if not len(mine):
            continue
        place, low, high = (units.told(float(mm)) for mm in (mine[-1], all_of_it.min(), all_of_it.max()))
        told.append(say("grbl-axis-reach", axis=name, place=place, low=low, high=high))
    travel = known.machine.travel
    size = " x ".join(units.told(length) for length in (travel.x, travel.y, travel.z))
    return say("grbl-reach", places=", ".join(told), travel=f"{size} {units.name}")


def _refuse_others(number: int, table: frozenset[int], option: str, grammar: Grammar | None) -> None:
    if grammar is None or not any(code.startswith("error:") for code in grammar.errors.values()):
        what = (
            f"--{option} tells the numbered messages of GRBL, and {grammar.title} does not number its messages that way"
            if grammar is not None
            else f"--{option} tells the numbered messages of GRBL, and this file's controller does not number its"
            " messages that way"
        )
        raise InputError([Finding(check="message", what=what, fix="look in that controller's manual")])
    if number not in table:
        numbers = sorted(table)
        what = f"--{option} {number} is not among the numbers of GRBL 1.1 that are known here"
        raise InputError([Finding(check="message", what=what, fix=f"give one from {numbers[0]} to {numbers[-1]}")])
