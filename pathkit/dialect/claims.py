"""Whether a dialect can do what it claims: its capabilities compared with its words and its grammar."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from pathkit.dialect.base import Dialect
from pathkit.dialect.words import LINE_NUMBERS, Words
from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.grammar import Checksum, Grammar

_CODE = re.compile(r"([GM])0*(\d+(?:\.\d+)?)")
_FIX = "declare what the controller's documents say, the same in capabilities, words and grammar"
_NOT_WITHOUT = {
    "modal": "it leaves out motion words that stay the same",
    "modal_feed": "it leaves out feeds that stay the same",
    "slanting_rapids": "its rapids move Z together with X or Y",
}
"""What both a capability and a grammar may allow: in words, what the writer would do."""
_DRILLS = {"G81": "drill", "G82": "drill_wait", "G83": "drill_peck"}


def claims(dialect: Any) -> tuple[Finding, ...]:
    """Everything that a dialect claims and cannot do; empty for a sound dialect. Never raises."""
    name = getattr(dialect, "name", None)
    if not isinstance(dialect, Dialect):
        return (_finding(name, f"{dialect!r} is not an instance of Dialect"),)
    caps, words = getattr(dialect, "capabilities", None), dialect.words
    lacking = [field for field in ("name", "title", "suffix") if not isinstance(getattr(dialect, field, None), str)]
    if lacking or not isinstance(caps, Capabilities) or not isinstance(words, Words):
        nothing = f"it declares no {' and no '.join(lacking)}" if lacking else "it declares no capabilities or no words"
        return (_finding(name, nothing),)
    found = [_finding(name, what) for what in _against_words(caps, words)]
    if caps.grammar is None and not callable(dialect.reader):
        found.append(_finding(name, "it has neither a grammar nor a reader of its own"))
    if caps.grammar is not None:
        found += [_finding(name, what) for what in _against_grammar(caps, words, caps.grammar)]
    return tuple(found)


def _against_words(caps: Capabilities, words: Words) -> Iterator[str]:
    if caps.arcs != "none" and caps.arcs not in words.arc_modes:
        yield f"it claims arcs = {caps.arcs!r}, but its words have {', '.join(words.arc_modes) or 'none'}"
    for group, wanted, had in (
        ("units", set(caps.decimals), set(words.units)),
        ("coolant", {*caps.coolants, *_off(caps)}, set(words.coolant)),
        ("spindle", {*caps.spindle_senses, 0} | ({-1} if caps.beam else set()), set(words.spindle)),
    ):
        if lost := wanted - had:
            yield f"it claims {group} {', '.join(sorted(map(str, lost)))}, but has no word for it"
    if caps.units not in caps.decimals:
        yield f"it counts in {caps.units!r}, but declares no decimals for that"
    if caps.line_numbers and not words.block:
        yield "it claims line numbers, but has no word for them"
    if caps.line_numbers and words.opening:
        yield "it claims line numbers, but each line begins with a text of its own"
    limit = None if caps.grammar is None else caps.grammar.line_number_max
    if caps.line_numbers and not 0 <= caps.line_number_start <= (limit or LINE_NUMBERS):
        yield f"it numbers lines from {caps.line_number_start}, but its controller reads 0 to {limit or LINE_NUMBERS}"
    if caps.line_number_step < 1:
        yield f"it numbers lines in steps of {caps.line_number_step}"
    if caps.beam and caps.speed_unit == "rpm":
        yield "it has a beam, but does not say what S is at full power"
    if caps.beam and caps.spindle_senses:
        yield "it has a beam, and claims that a spindle turns"
    if caps.beam and caps.drill_cycles:
        yield "it claims drill cycles for a beam"
    if not isinstance(caps.speed_unit, str) and not caps.speed_unit > 0:
        yield f"its fastest speed is S{caps.speed_unit}"


def _against_grammar(caps: Capabilities, words: Words, grammar: Grammar) -> Iterator[str]:
    """Every code that it would write must be one that its controller reads."""
    written = {
        "units": words.units.values(),
        "modes": [words.modes],
        "arcs": [words.arc_modes.get(caps.arcs, ""), *((words.clockwise, words.counter_clockwise) if caps.arcs != "none"
                                                       else ())],
        "motion": [words.rapid, words.line],
        "drill_cycles": [getattr(words, _DRILLS[code], code) if code in _DRILLS else code
                         for code in sorted(caps.drill_cycles)],
        "spindle": [words.spindle.get(sense, "") for sense in (*sorted(caps.spindle_senses), 0)],
        "beam": [words.spindle.get(-1, "")] if caps.beam else [],
        "coolants": [words.coolant.get(kind, "") for kind in (*sorted(caps.coolants), *_off(caps))],
        "offsets": caps.offsets,
        "tool_change": [words.change] if caps.tool_change == "word" else [],
        "machine_coordinates": [words.machine] if caps.machine_coordinates else [],
        "sets_zero": [words.zero] if caps.sets_zero else [],
        "dwell": [words.dwell],
        "pause": [words.pause],
        "program_end": [caps.program_end],
    }  # fmt: skip
    for capability, texts in written.items():
        codes = {f"{letter}{number}" for text in texts for letter, number in _CODE.findall(text)}
        if lost := sorted(codes - grammar.codes - grammar.other_words.keys()):
            yield f"it claims {capability}, but its grammar does not read {', '.join(lost)}"
    if grammar.line_limit is not None and (caps.line_length is None or caps.line_length > grammar.line_limit):
        own, read = caps.line_length, grammar.line_limit
        if own is None:
            yield f"it writes lines of any length, but its grammar reads {read} characters"
        else:
            yield f"it writes lines of {own} characters, but its grammar reads {read} characters"
    if caps.comment is not None and caps.comment not in grammar.comments:
        yield f"it writes comments by {' '.join(caps.comment)}, but its grammar does not read them"
    for name, what in _NOT_WITHOUT.items():
        if getattr(caps, name) and not getattr(grammar, name):
            yield f"{what}, but its grammar does not read that"
    if caps.checksum != grammar.checksum:
        yield f"it writes {_summed(caps.checksum)}, but its grammar reads {_summed(grammar.checksum)}"
    if caps.full_circles and grammar.arc.single:
        yield "it claims full circles, but its grammar computes turns in 32-bit floats, which may lose them"
    if caps.tape_mark and not grammar.tape_mark:
        yield "it writes tape marks, but its grammar does not read them"


def _summed(rule: Checksum | None) -> str:
    return "no checksums" if rule is None else f"checksums by {rule.kind} after {rule.mark}"


def _off(caps: Capabilities) -> tuple[str, ...]:
    return ("off",) if caps.coolants else ()


def _finding(name: object, what: str) -> Finding:
    return Finding(check="dialect", what=f"the dialect {name!r} cannot be used: {what}", fix=_FIX)
