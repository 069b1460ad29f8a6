"""The numbered messages of GRBL 1.1, and what they most likely meant at a line.

The numbers are those of GRBL's documentation of its interface (lists of error and alarm codes), in words of our own.
What errors 1 to 4, 9, 11 and 20 to 38 answer to was reproduced with the controller's own parser, as in its `Grammar`;
the others, and all alarms but 2, are from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.handover.support.texts import Units, shown
from pathkit.readback.at_line import nth_block

if TYPE_CHECKING:
    from pathkit.handover.support.placing import Known
    from pathkit.machine.grammar import Grammar
    from pathkit.readback.at_line import LineRead

ERRORS: Final[Mapping[int, str]] = {
    1: "a word of the line does not begin with a letter",
    2: "a word has no number that can be read",
    3: "a line that begins with $ is no command that the controller knows",
    4: "a word is negative that may not be",
    5: "homing is switched off in the settings",
    6: "the setting for the length of a step pulse is too short",
    7: "the stored settings could not be read; the controller has gone back to those it was delivered with",
    8: "a $ command came while the controller was not idle",
    9: "the controller is locked, after an alarm or while jogging, and takes no G-code",
    10: "soft limits need homing to be switched on",
    11: "the line is longer than the controller takes",
    12: "a setting asks for more steps a second than the controller can make",
    13: "the safety door is open, or was opened",
    14: "a start-up line or the build's text is too long to be stored",
    15: "a jog would leave the machine's travel",
    16: "a jog command is incomplete or holds a word that it may not",
    17: "laser mode needs a spindle output that can be varied",
    20: "the line holds a code or word that this controller does not have",
    21: "the line holds two codes of the same group, of which only one can be in force",
    22: "the line cuts, and no feed has been set",
    23: "the line holds a fraction where a whole number must stand",
    24: "two codes of the line both want its X, Y and Z",
    25: "a word stands twice in the line",
    26: "a code of the line needs X, Y or Z, and there is none",
    27: "the line's number is too large",
    28: "a code of the line needs a word, P or L say, that is missing",
    29: "there is no stored offset of that number",
    30: "machine coordinates (G53) go only with G0 and G1",
    31: "X, Y or Z stands in the line, and no kind of move is in force (G80)",
    32: "the arc has no word for the plane in which it lies",
    33: "the arc cannot be: its end does not lie on the circle round its centre",
    34: "the arc's radius is too small to reach its end",
    35: "the arc has neither a centre nor a radius",
    36: "words are left over in the line that no code of it uses",
    37: "a length of a bit can be set along Z only",
    38: "the number of the bit is too large",
}
"""Number → what the controller says by it."""

ALARMS: Final[Mapping[int, str]] = {
    1: "a limit switch was hit, or electric noise looked like it: the machine stopped at once, and its place is lost",
    2: "the line would leave the machine's travel (soft limits): nothing was moved, and the place is still known",
    3: "the controller was reset while it moved: its place is lost",
    4: "the probe was touching, or not touching, before the probing began",
    5: "the probe did not touch within the way that it was given",
    6: "homing was reset before it ended",
    7: "the safety door was opened during homing",
    8: "homing failed: the switch stayed pressed as the axis backed off",
    9: "homing failed: no switch was found",
    10: "homing failed: on an axis with two motors the second switch was not found",
}
"""Number → what the controller says by it."""

_LIKELY: Final[Mapping[int, str]] = {
    9: "an alarm came before, at this line or an earlier one: look for its number, clear it by homing or unlocking as"
       " the machine's manual says, and set zero again before you start",
    13: "close the door, and go on as the machine's manual says",
}  # fmt: skip

_LIKELY_ALARM: Final[Mapping[int, str]] = {
    1: "the zero was set in another place than the sheet shows, so that this move ran into an end; or a cable of a"
       " switch picked up noise",
    2: "the zero was set in another place than the sheet shows, the board lies turned, or the machine's travel is set"
       " shorter than its profile says",
    3: "somebody pressed reset or stop, or the connection or the power broke off",
}  # fmt: skip

_OF_SETTINGS: Final = frozenset({3, 5, 6, 7, 8, 10, 12, 14, 15, 16, 17})
_BY_HAND: Final = (
    "no line of a cut file gives that message: most likely it answers a setting, a jog or another command that was"
    " given by hand or by the sender at that moment"
)

_GARBLED: Final = (
    "as it stands in this file the line is no reason for that message. Most likely the controller received something"
    " else: a line lost or garbled on the way, a file that was changed or saved otherwise after it was sent, or a start"
    " in the middle of the file, so that settings before the line were missing. Or the message belongs to a line near"
    " it, since lines are sent ahead"
)
_OTHER_ALARM: Final = "the message belongs to homing or probing: most likely it was not this line that caused it"
_COUNTED: Final = 4_000_000
"""Bytes of a file that is counted in the other way too."""

_AHEAD: Final = (
    "the line that a sender shows at an alarm may be later than the one that ran: the controller holds up to 15 moves"
    " ahead"
)
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


def error_at(number: int, line: LineRead, known: Known) -> Message:
    """What GRBL's ``error:number`` most likely meant at a line. Raises `InputError` for a number that it does not have,
    and for a controller that numbers its messages otherwise or not at all."""
    _refuse_others(number, ERRORS, "message", known.evidence.capabilities.grammar)
    code = f"error:{number}"
    mine = [finding for finding in line.findings if finding.code == code]
    others = [finding for finding in line.findings if finding.code not in (None, code)]
    if mine:
        column = "" if mine[0].column is None else f" at column {mine[0].column}"
        likely = [f"read by the controller's rules, the line gives this very message{column}: {mine[0].what}"]
        likely += [f"what would settle it: {mine[0].fix}"] if mine[0].fix else []
    elif number in _LIKELY:
        likely = [_LIKELY[number]]
    elif number in _OF_SETTINGS:
        likely = [_BY_HAND]
    else:
        likely = [_GARBLED]
        if number in _IN_THE_MIDDLE:
            likely.append("a start in the middle of the file is the usual reason for this number at a good line")
        likely += [f"read by the controller's rules, the line gives {f.code} instead: {f.what}" for f in others]
        near = [f.line for f in known.evidence.reading.findings if f.code == code and f.line is not None]
        if near:
            nearest = min(near, key=lambda there: abs(there - line.number))
            likely.insert(0, f"line {nearest} of this file gives that message, and this one does not: look there first")
    return Message(code, ERRORS[number], (*likely, *_counted_otherwise(line, known)))


def alarm_at(number: int, line: LineRead, known: Known, units: Units) -> Message:
    """The same for ``ALARM:number``."""
    _refuse_others(number, ALARMS, "alarm", known.evidence.capabilities.grammar)
    likely = [_LIKELY_ALARM.get(number, _OTHER_ALARM)]
    if number in (1, 2) and (reach := _reach(line, known, units)):
        likely.append(reach)
    likely.append(_AHEAD)
    return Message(f"ALARM:{number}", ALARMS[number], (*likely, *_counted_otherwise(line, known)))


def _counted_otherwise(line: LineRead, known: Known) -> tuple[str, ...]:
    """Programs that send files may count only what they send (common practice, no source)."""
    one = known.evidence
    if len(one.text) > _COUNTED or (other := nth_block(one.text, one.capabilities, line.number)) is None:
        return ()
    if other[0] == line.number:
        return ()
    what = "if the program that sent the file counts no comments and no blank lines, as some do, its line"
    return (f"{what} {line.number} is line {other[0]} here: {shown(other[1].strip())}",)


def _reach(line: LineRead, known: Known, units: Units) -> str:
    """Between which places of the file's axes the line moves, against the whole file."""
    rows = slice(line.first_row, len(line.program))
    ends = line.program.end[rows]
    if not len(ends):
        return "the line moves nothing, so an earlier one did it"
    told = []
    every = known.read.end
    for axis, name in enumerate("XYZ"):
        mine, all_of_it = ends[:, axis], every[:, axis]
        mine, all_of_it = mine[~np.isnan(mine)], all_of_it[~np.isnan(all_of_it)]
        if not len(mine):
            continue
        low, high = units.number(float(all_of_it.min())), units.number(float(all_of_it.max()))
        told.append(f"{name} {units.number(float(mine[-1]))} (the whole file: {low} to {high})")
    travel = known.machine.travel
    size = " x ".join(units.number(length) for length in (travel.x, travel.y, travel.z))
    return f"the line goes to {', '.join(told)}; the profile's travel is {size} {units.name}"


def _refuse_others(number: int, table: Mapping[int, str], option: str, grammar: Grammar | None) -> None:
    if grammar is None or not any(code.startswith("error:") for code in grammar.errors.values()):
        whose = "this file's controller" if grammar is None else grammar.title
        what = f"--{option} tells the numbered messages of GRBL, and {whose} does not number its messages that way"
        raise InputError([Finding(check="message", what=what, fix="look in that controller's manual")])
    if number not in table:
        numbers = sorted(table)
        what = f"--{option} {number} is not among the numbers of GRBL 1.1 that are known here"
        raise InputError([Finding(check="message", what=what, fix=f"give one from {numbers[0]} to {numbers[-1]}")])
