"""Reading a file of which nobody says for which controller it was written.

It is read as the family of controllers has it, and again as each known controller would. Where those that take the file
agree, that is what it does. Where they do not, or none of them takes it, the difference is told, with its line.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final, NamedTuple

import numpy as np

from pathkit.errors import InputError
from pathkit.findings import Finding, errors_of
from pathkit.machine.capabilities import Capabilities
from pathkit.motion.program import ARC, Dwell, Program
from pathkit.readback.elsewhere.differences import line_of, parting, told
from pathkit.readback.elsewhere.family import FAMILY, GRAMMAR
from pathkit.readback.elsewhere.lenient import LenientReader
from pathkit.readback.elsewhere.traps import NAME_IT, first_word, in_the_program, in_the_text
from pathkit.readback.faults import WORDING
from pathkit.readback.foreign import Read
from pathkit.readback.interpret import UNSET, Reading
from pathkit.units import MM_PER_INCH

_POINT: Final = re.compile(rb"[XYZIJKRxyzijkr][ \t]*[-+]?[0-9]*\.")
_WIDE_TEXT: Final = (b"\xff\xfe", b"\xfe\xff")
_UNITS: Final = UNSET["units"][0]
_MISSES: Final = WORDING["arc target"][0]


class Known(NamedTuple):
    """A controller that is known: the name of its dialect, its title, and what it takes."""

    name: str
    title: str
    capabilities: Capabilities


@dataclass(frozen=True)
class Heard:
    """One reading of the text by one grammar. It is sound if there was nothing that could not be followed."""

    reader: LenientReader
    program: Program
    findings: tuple[Finding, ...]

    @property
    def sound(self) -> bool:
        return not errors_of(self.findings)


def read_as(text: str | bytes, capabilities: Capabilities, *, file: str | None = None) -> Reading:
    """Read a file as one controller would. Raises `InputError` with all that it refuses, or that cannot be followed."""
    data = _bytes_of(text, file)
    return _finished(_heard(data, capabilities, file), data, file, given=True)


def read_of_moves(text: str | bytes, capabilities: Capabilities, read: Read, *, file: str | None = None) -> Reading:
    """Read a file that is not made of words, by its dialect's own reader. Raises `InputError` likewise."""
    data = _bytes_of(text, file)
    reading = read(data, capabilities, file=file)
    if wrong := errors_of(reading.findings):
        raise InputError(wrong)
    more = (finding.at(file=file) for finding in in_the_program(reading.program, data))
    return Reading(reading.program, (*reading.findings, *more))


def read_whoever(text: str | bytes, known: Iterable[Known], *, file: str | None = None) -> Reading:
    """Read a file whoever wrote it; ``known`` are the controllers that it may have been written for.

    Raises `InputError` with all that neither the family nor one of them can follow.
    """
    data = _bytes_of(text, file)
    family = _heard(data, FAMILY, file)
    taken = _taken_by(data, known, file)
    others = [heard for heard, _ in taken]
    more: list[Finding] = []
    chosen = family
    if others and not (family.sound and all(parting(family.program, each.program) is None for each in others)):
        if all(parting(others[0].program, each.program) is None for each in others[1:]):
            chosen = others[0]
            more = [] if family.sound else [_refused_elsewhere(family, taken, data)]
        elif family.sound:
            more = [_disagreement(taken, data)]
    if not others and family.sound:
        more = [*_other_rules(family, data, file), *_without_points(family, data)]
    if not chosen.sound and (counted := _from_zero(family, data, file)) is not None:
        chosen, more = counted
    return _finished(chosen, data, file, given=False, more=more)


def _bytes_of(text: str | bytes, file: str | None) -> bytes:
    data = text.encode("utf-8", "surrogatepass") if isinstance(text, str) else bytes(text)
    if data.startswith(_WIDE_TEXT):
        what = "this text has two bytes for each letter (UTF-16)"
        raise InputError([Finding(check="text", what=what, fix="save it as plain text (ASCII or UTF-8)", file=file)])
    # Some editors begin a file with an invisible mark. Blanks in its place leave the columns as they are.
    return b"   " + data[3:] if data.startswith(b"\xef\xbb\xbf") else data


def _heard(data: bytes, capabilities: Capabilities, file: str | None, *, hasty: bool = False) -> Heard:
    reader = LenientReader(capabilities, file, hasty=hasty)
    reader.read(data)
    return Heard(reader, *reader.result())


def _taken_by(data: bytes, known: Iterable[Known], file: str | None) -> list[tuple[Heard, list[Known]]]:
    """The readings of the controllers that take the file, each with those that read it by the same rules."""
    taken: list[tuple[Heard, list[Known]]] = []
    for each in known:
        rules = _rules(each.capabilities)
        if alike := next((names for _, names in taken if _rules(names[0].capabilities) == rules), None):
            alike.append(each)
        elif (heard := _heard(data, each.capabilities, file, hasty=True)).sound:
            taken.append((heard, [each]))
    return taken


def _rules(capabilities: Capabilities) -> tuple[Any, ...]:
    """What decides how a controller reads a file that it takes."""
    assert capabilities.grammar is not None, "only what is made of words is read here"
    grammar = replace(capabilities.grammar, title="", codes=GRAMMAR.codes, errors={})
    return (
        grammar, capabilities.dwell_unit, capabilities.rpm_per_s, capabilities.sets_zero,
        capabilities.machine_coordinates,
    )  # fmt: skip


# --- what is not certain ---------------------------------------------------------------------------------------------


def _disagreement(taken: Sequence[tuple[Heard, list[Known]]], data: bytes) -> Finding:
    """The first place where controllers that take the file do not do the same."""
    groups: list[tuple[Heard, list[Known]]] = []
    for heard, names in taken:
        for one, listed in groups:
            if parting(one.program, heard.program) is None:
                listed.extend(names)
                break
        else:
            groups.append((heard, list(names)))
    first = groups[0][0]
    partings = [at for heard, _ in groups[1:] if (at := parting(first.program, heard.program)) is not None]
    at = min(partings, key=lambda at: (at.row is None, at.row if at.row is not None else at.event))
    what = "; ".join(f"{', '.join(each.title for each in names)}: {told(heard.program, at)}" for heard, names in groups)
    line = line_of([heard.program for heard, _ in groups], at, first.reader.trail.events)
    choice = ", ".join(each.name for _, listed in groups for each in listed)
    fix = f"{NAME_IT}: {choice}"
    return _warning(f"controllers differ here: {what}", fix, data, line)


def _refused_elsewhere(family: Heard, taken: Sequence[tuple[Heard, list[Known]]], data: bytes) -> Finding:
    """What stands in the way of all but those controllers that take the file."""
    titles = ", ".join(each.title for _, names in taken for each in names)
    wrong = errors_of(family.findings)[0]
    return _warning(f"it is read as by {titles}; others refuse this line: {wrong.what}", NAME_IT, data, wrong.line)


def _other_rules(family: Heard, data: bytes, file: str | None) -> Iterator[Finding]:
    """What controllers of other habits would do, if no known one takes the file."""
    for who, capabilities in _habits(family):
        heard = _heard(data, capabilities, file, hasty=True)
        if heard.sound and (at := parting(family.program, heard.program)) is not None:
            line = line_of([family.program, heard.program], at, family.reader.trail.events)
            what = f"controllers differ here: a usual one: {told(family.program, at)}; {who}: {told(heard.program, at)}"
            yield _warning(what, f"{NAME_IT}, or look at this line", data, line)


def _habits(family: Heard) -> Iterator[tuple[str, Capabilities]]:
    """Habits that differ and of which the file has an occasion: whose, and how such a controller reads."""
    program, trail = family.program, family.reader.trail
    if (program.kind == ARC).any() and "arc distance" not in family.reader.trail.groups:
        yield "one that counts I and J from zero", _with(power_up={**GRAMMAR.power_up, "arc distance": "G90.1"})
    if any(isinstance(event, Dwell) for event in program.event):
        yield "one that counts dwells in milliseconds", replace(FAMILY, dwell_unit="ms")
    if trail.went_home:
        yield "one that moves only the axes that are named", _with(home_all=False)
    yield "one that takes F before the units of its line", _with(feed_before_units=True)


def _with(**rules: Any) -> Capabilities:
    return replace(FAMILY, grammar=replace(GRAMMAR, **rules))


def _without_points(family: Heard, data: bytes) -> Iterator[Finding]:
    program = family.program
    if not len(program) or not np.isfinite(program.end).any() or _POINT.search(data):
        return
    what = (
        "no length in this file has a decimal point: it is read as whole units, and some controllers count "
        "thousandths of a mm instead"
    )
    yield _warning(what, "is the part as large as this says? else post it with decimal points", data,
                   int(program.line[0]))  # fmt: skip


def _from_zero(family: Heard, data: bytes, file: str | None) -> tuple[Heard, list[Finding]] | None:
    """The reading with centres counted from zero, if none fits otherwise and all of them fit so."""
    wrong = errors_of(family.findings)
    if "arc distance" in family.reader.trail.groups or any(not each.what.startswith(_MISSES) for each in wrong):
        return None
    heard = _heard(data, _with(power_up={**GRAMMAR.power_up, "arc distance": "G90.1"}), file, hasty=True)
    if not heard.sound:
        return None
    what = "I and J are read as counted from zero: from the start of each arc they fit no circle, from zero all do"
    return heard, [_warning(what, "write G90.1 first", data, wrong[0].line)]


def _warning(what: str, fix: str, data: bytes, line: int | None) -> Finding:
    column = None if line is None else first_word(data, line).column
    return Finding(check="which controller", what=what, fix=fix, severity="warning", line=line, column=column)


# --- the reading -----------------------------------------------------------------------------------------------------


def _finished(heard: Heard, data: bytes, file: str | None, *, given: bool, more: Sequence[Finding] = ()) -> Reading:
    """The reading with all remarks, in the text's order. Raises `InputError` if it is not sound."""
    if wrong := errors_of(heard.findings):
        if wrong[-1].line == heard.reader.lines and data[-1:] not in b"\r\n" and len(wrong) == 1:
            fix = f"{wrong[-1].fix}; the file stops in this line, so it may be cut short"
            wrong = (*wrong[:-1], replace(wrong[-1], fix=fix))
        raise InputError(wrong)
    if not heard.reader.begun:
        what, fix = "there is no block in this text", "is it the right file?"
        raise InputError([Finding(check="text", what=what, fix=fix, file=file)])
    trail, program = heard.reader.trail, heard.program
    found = [
        *(_with_size(finding, program) for finding in heard.findings), *more,
        *in_the_program(program, data, trail.events, trail.changes),
        *in_the_text(heard.reader, program, data, given=given),
    ]  # fmt: skip
    found.sort(key=lambda finding: (finding.line is None, finding.line, finding.column))
    return Reading(program, tuple(finding.at(file=file) for finding in found))


def _with_size(finding: Finding, program: Program) -> Finding:
    """What is told of units that are not set, with how large the moves are either way."""
    if finding.check != "unknown state" or _UNITS not in finding.what or not np.isfinite(program.end[:, :2]).any():
        return finding
    known = program.end[:, :2][np.isfinite(program.end[:, :2]).all(axis=1)]
    if not len(known):
        return finding
    width, depth = (known.max(axis=0) - known.min(axis=0)).tolist()
    size, inches = (f"{width * unit:.4g} x {depth * unit:.4g} mm" for unit in (1.0, MM_PER_INCH))
    return replace(finding, what=f"{finding.what}: {size}; in inches it would be {inches}")
