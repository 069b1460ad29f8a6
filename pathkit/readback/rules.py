"""What a controller refuses in a whole block before anything moves: missing words, left-over words, wrong numbers.

The checks come in the order in which a controller makes them (NISTIR 6556, table 8: order of execution), so that a
block with two faults gets the controller's own answer.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from pathkit.machine.grammar import Grammar
from pathkit.readback.blocks import Block
from pathkit.readback.faults import Refusal

FEED_MOVES: Final = frozenset({"G1", "G2", "G3", "G38.2", "G38.3", "G38.4", "G38.5"})
ARCS: Final = frozenset({"G2", "G3"})
PROBES: Final = frozenset({"G38.2", "G38.3", "G38.4", "G38.5"})
CYCLES: Final = frozenset({"G81", "G82", "G83", "G84", "G85", "G86", "G87", "G88", "G89"})
_AXES: Final = frozenset("XYZ")
_FREE: Final = frozenset("NFST")  # words that need nothing else in the block
_PLANES: Final[Mapping[str, str]] = {"G17": "XY", "G18": "XZ", "G19": "YZ"}
_OFFSETS: Final[Mapping[str, str]] = {"X": "I", "Y": "J", "Z": "K"}
_CYCLE_WORDS: Final[Mapping[str, str]] = {"G82": "P", "G83": "Q", "G86": "P", "G88": "P", "G89": "P"}


def moving(block: Block, modes: Mapping[str, str]) -> str:
    """The motion code to which this block's axis words belong; empty if it makes no such motion."""
    if block.claim:
        return block.claim if block.codes.get("motion") == block.claim else ""
    return modes.get("motion", "") if block.axes else ""


def check(block: Block, modes: Mapping[str, str], feed: float, grammar: Grammar) -> None:
    """Raise `Refusal` for the first thing that the controller would refuse.

    ``modes`` and ``feed`` are those in force with the block's own codes and F. Whether an arc's end lies on its circle
    is checked where the arc is computed.
    """
    values = block.values
    line = values.get("N", 0.0)
    if grammar.line_number_max is not None and line > grammar.line_number_max:
        raise Refusal("line number", block.place("N"), f"N{line:g}")
    motion = moving(block, modes)
    if modes.get("feed mode") == "G93" and motion in FEED_MOVES and "F" not in values:
        raise Refusal("no feed", block.place(motion), motion)
    used = _non_modal(block, grammar) if "non-modal" in block.codes else set()
    if block.codes.get("length") == "G43.1" and _AXES & values.keys() != {"Z"}:
        raise Refusal("length offset axis", block.place("G43.1"), "G43.1")
    if block.codes.get("non-modal") == "G53" and modes.get("motion") not in ("G0", "G1"):
        raise Refusal("machine coordinates", block.place("G53"), "G53")
    _check_g80(block, modes, grammar)
    if motion == "G0" and not grammar.slanting_rapids and "Z" in values and ("X" in values or "Y" in values):
        raise Refusal("slanting rapid", block.place("Z"), "Z")
    if motion in FEED_MOVES or motion in CYCLES:
        used |= _feed_move(block, motion, modes, feed, grammar)
    if block.codes.get("length") == "G43":
        used.add("H")
    if block.codes.get("cutter") in ("G41", "G42"):
        used.add("D")
    if block.codes.get("path") == "G64":
        used |= grammar.path_words
    if block.claim or motion:
        used |= _AXES
    if left := values.keys() - used - _FREE:
        word = min(left, key=block.place)
        raise Refusal("words left", block.place(word), f"{word}{values[word]:g}")


def _check_g80(block: Block, modes: Mapping[str, str], grammar: Grammar) -> None:
    ended = modes.get("motion", "G80") == "G80"
    if not (ended and block.axes and (grammar.strict_g80 or not block.claim)):
        return
    word = min(_AXES & block.values.keys(), key=block.place)
    raise Refusal("axis words left" if "motion" in modes else "no motion mode", block.place(word), word)


def _non_modal(block: Block, grammar: Grammar) -> set[str]:
    """Check G4, G10 and G92; returns the words that they use."""
    code, values = block.codes.get("non-modal", ""), block.values
    if code == "G4":
        given = [word for word in grammar.dwell_words if word in values]
        if not given:
            raise Refusal("value missing", block.place("G4"), "G4")
        return set(given)
    if code == "G92" and not block.axes:
        raise Refusal("no axis words", block.place(code), code)
    if code != "G10":
        return set()
    if not block.axes:
        raise Refusal("no axis words", block.place(code), code)
    if "P" not in values and "L" not in values:
        raise Refusal("value missing", block.place(code), code)
    system = int(min(values.get("P", 0.0), 1e6))
    if system > grammar.offset_systems or (system == 0 and not grammar.offset_zero):
        raise Refusal("offset number", block.place("P"), f"P{system}")
    if int(min(values.get("L", 0.0), 1e6)) not in grammar.offset_kinds or "R" in values:
        raise Refusal("unsupported", block.place("L") or block.place(code), code)
    return {"L", "P"}


def _feed_move(block: Block, motion: str, modes: Mapping[str, str], feed: float, grammar: Grammar) -> set[str]:
    """Check a move that needs a feed; returns the words that it uses besides the axes."""
    if feed == 0.0:
        raise Refusal("no feed", block.place(motion), motion)
    if motion in CYCLES:
        return _cycle(block, motion)
    if motion == "G1":
        return set()
    if motion in PROBES and not block.axes:
        raise Refusal("no axis words", block.place(motion), motion)
    return set() if motion in PROBES else _arc(block, motion, modes, grammar)


def _arc(block: Block, motion: str, modes: Mapping[str, str], grammar: Grammar) -> set[str]:
    """Check the words of an arc; returns those that it uses besides the axes."""
    rule, values = grammar.arc, block.values
    plane = _PLANES[modes.get("plane", "G17")]
    offsets = {_OFFSETS[axis] for axis in plane}
    bare = rule.bare_turns and "R" not in values and not offsets.isdisjoint(values)
    if not (block.axes or bare):
        raise Refusal("no axis words", block.place(motion), motion)
    if not (any(axis in values for axis in plane) or bare):
        raise Refusal("no axis in plane", block.place(motion), motion)
    if "R" in values:
        return {"R"}
    if offsets.isdisjoint(values):
        raise Refusal("no arc offset", block.place(motion), motion)
    for word in sorted({"I", "J", "K"} - offsets):
        dropped = rule.stray_offset if rule.stray_offset != "zero" else values.get(word) == 0.0
        if word in values and not dropped:
            raise Refusal("arc offset out of plane", block.place(word), word)
    return {"I", "J", "K"}


def _cycle(block: Block, motion: str) -> set[str]:
    """Words that a drill cycle may use; whether sticky ones are known is checked where the cycle is expanded."""
    if not block.axes:
        raise Refusal("no axis words", block.place(motion), motion)
    extra = _CYCLE_WORDS.get(motion)
    return {"R", "L"} | ({extra} if extra else set())
