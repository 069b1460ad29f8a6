"""What every word of a line means.

The codes are those of RS274/NGC (NISTIR 6556, version 3) and of GRBL 1.1 (its interface documents), in words of our
own.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Final

from pathkit.handover.support.texts import Units, trimmed

if TYPE_CHECKING:
    from pathkit.machine.capabilities import Capabilities
    from pathkit.readback.at_line import LineRead

CODES: Final[Mapping[str, str]] = {
    "G0": "move at full speed, in a straight line or nearly so, for travel above the work",
    "G1": "move in a straight line at the feed",
    "G2": "move along an arc at the feed, clockwise as the file's X and Y are drawn",
    "G3": "move along an arc at the feed, counter-clockwise as the file's X and Y are drawn",
    "G4": "stand still for a while",
    "G10": "store an offset in the controller",
    "G17": "arcs lie in the XY plane",
    "G18": "arcs lie in the XZ plane",
    "G19": "arcs lie in the YZ plane",
    "G20": "lengths are inches",
    "G21": "lengths are millimetres",
    "G70": "lengths are inches",
    "G71": "lengths are millimetres",
    "G28": "go to the first place stored in the controller",
    "G28.1": "store the place where the bit is as the first one",
    "G30": "go to the second place stored in the controller",
    "G30.1": "store the place where the bit is as the second one",
    "G38.2": "move until the probe touches; an error if it does not",
    "G38.3": "move until the probe touches",
    "G38.4": "move until the probe lets go; an error if it does not",
    "G38.5": "move until the probe lets go",
    "G40": "follow the path with the middle of the bit, without compensation for its radius",
    "G41": "keep the bit to the left of the path by a radius from the controller's table",
    "G42": "keep the bit to the right of the path by a radius from the controller's table",
    "G43": "add a bit's length from the controller's table to Z",
    "G43.1": "add the given length to Z",
    "G49": "no bit's length is added to Z",
    "G53": "the numbers of this line are machine coordinates, counted from the machine's own zero",
    "G54": "count from work zero 1",
    "G55": "count from work zero 2",
    "G56": "count from work zero 3",
    "G57": "count from work zero 4",
    "G58": "count from work zero 5",
    "G59": "count from work zero 6",
    "G59.1": "count from work zero 7",
    "G59.2": "count from work zero 8",
    "G59.3": "count from work zero 9",
    "G61": "follow the path exactly, corners too",
    "G61.1": "follow the path exactly, with a stop at every corner",
    "G64": "round corners off to keep the speed",
    "G80": "no kind of move is chosen; a drill cycle ends",
    "G81": "drill a hole in one go",
    "G82": "drill a hole in one go and wait at the bottom",
    "G83": "drill a hole in pecks, and clear the chips in between",
    "G90": "numbers are places, counted from zero",
    "G90.1": "I and J are places, counted from zero",
    "G91": "numbers are distances from where the bit is",
    "G91.1": "I and J are distances from where the arc begins",
    "G92": "the place where the bit is gets the given numbers",
    "G92.1": "end the shift made by G92, and forget it",
    "G92.2": "end the shift made by G92",
    "G92.3": "take up the last shift made by G92 again",
    "G93": "F says how many times a minute the move could be made",
    "G94": "F is a speed, in units of length a minute",
    "G98": "after drilling go back up to the height before the hole",
    "G99": "after drilling go back up to R",
    "M0": "stop and wait for cycle start",
    "M1": "stop and wait for cycle start, if the switch for that is on",
    "M2": "the program ends",
    "M30": "the program ends, ready to begin again",
    "M60": "stop and wait for cycle start (made for machines that change pallets)",
    "M3": "spindle on, clockwise seen from above",
    "M4": "spindle on, counter-clockwise seen from above",
    "M5": "spindle off",
    "M6": "change to the bit that T names",
    "M7": "mist on (air or coolant)",
    "M8": "flood on (coolant; on some machines air or suction)",
    "M9": "mist and flood off",
    "M48": "the knobs for feed and speed act",
    "M49": "the knobs for feed and speed do not act",
    "M400": "wait until all moves are done",
}
"""Every code that the reader knows; a test holds the table to it."""

SETTINGS: Final = frozenset(
    {"plane", "distance", "arc distance", "feed mode", "units", "cutter", "length", "return", "offset", "path",
     "override"}
)  # fmt: skip
"""Modal groups that only set how the following lines are read or run."""

_CYCLES: Final = frozenset({"G81", "G82", "G83", "G84", "G85", "G86", "G87", "G88", "G89"})
_OFFSETS: Final[Mapping[str, str]] = {"I": "X", "J": "Y", "K": "Z"}


def code_of(letter: str, text: str) -> str:
    """``G01`` as ``G1``."""
    try:
        return f"{letter}{float(text):.4g}"
    except ValueError:
        return letter + text


def meanings(line: LineRead, capabilities: Capabilities, units: Units) -> tuple[tuple[str, str], ...]:
    """(word as written, what it means) for every word of the line, in its order."""
    modes = in_force(line)
    return tuple(
        (letter + text, CODES.get(code_of(letter, text), "this controller does not have this code")
         if letter in "GM" else _meaning(letter, text, line, modes, capabilities, units))
        for letter, text in line.words
    )  # fmt: skip


def in_force(line: LineRead) -> dict[str, str]:
    """Modal group → code, with the line's own codes."""
    return {**(line.before.modes if line.before is not None else {}), **line.codes}


def carried(line: LineRead, units: Units) -> tuple[tuple[str, str], ...]:
    """(word, what it means) of what holds from an earlier line and decides what this line does: kind of move, feed."""
    before = line.before
    moves = any(letter in "XYZ" for letter, _ in line.words) and "non-modal" not in line.codes
    if before is None or not moves or line.ended:
        return ()
    found = []
    motion = in_force(line).get("motion", "")
    if "motion" not in line.codes and motion in CODES:
        found.append((motion, f"{CODES[motion]} (set by an earlier line)"))
    timed = before.feed > 0.0 and in_force(line).get("feed mode") == "G94"
    if timed and motion not in ("", "G0", "G80") and "F" not in line.values:
        found.append((f"F{units.number(before.feed)}", f"feed {units.feed(before.feed)} (set by an earlier line)"))
    return tuple(found)


def _meaning(
    letter: str, text: str, line: LineRead, modes: Mapping[str, str], capabilities: Capabilities, units: Units
) -> str:  # fmt: skip
    number, own = trimmed_text(text), modes.get("non-modal", "") if "non-modal" in line.codes else ""
    motion = modes.get("motion", "")
    if letter in "XYZ":
        return _axis(letter, f"{number} {units.name}", own or motion, modes)
    if letter in "IJK":
        frm = "zero" if modes.get("arc distance") == "G90.1" else "where the arc begins"
        return f"the arc's centre lies {number} {units.name} along {_OFFSETS[letter]} from {frm}"
    if letter == "R":
        if motion in _CYCLES:
            return f"the hole begins at Z {number} {units.name}; down to there the bit goes at full speed"
        return f"the arc's radius is {number} {units.name}"
    if letter == "F":
        if modes.get("feed mode") == "G93":
            return f"the move takes 1/{number} of a minute"
        told = f"feed {number} {units.name}/min"
        return f"{told}, for moves at the feed; some controllers travel at it too" if motion == "G0" else told
    if letter == "S":
        if own == "G4" and capabilities.grammar is not None and "S" in capabilities.grammar.dwell_words:
            return f"for {number} s"
        return f"spindle speed {trimmed(line.values.get('S', 0.0) * capabilities.rpm_per_s, 1)} rpm"
    if letter == "P":
        unit = "ms" if capabilities.dwell_unit == "ms" else "s"
        return f"number {number} of the stored offsets" if own == "G10" else f"for {number} {unit}"
    return {
        "N": "the line's number, for people; it decides nothing",
        "T": f"bit number {number} of the table",
        "H": f"number {number} of the table of lengths",
        "D": f"number {number} of the table of bits",
        "Q": f"each peck is {number} {units.name} deep",
        "L": f"what G10 stores, kind {number}" if own == "G10" else f"{number} times",
    }.get(letter, "a word that this controller does not know")


def _axis(letter: str, length: str, code: str, modes: Mapping[str, str]) -> str:
    if code == "G92":
        return f"the bit's place is called {letter} {length} from here on"
    if code == "G53":
        return f"to {letter} {length} in machine coordinates"
    if code == "G10":
        return f"the {letter} of the stored offset: {length}"
    if code in _CYCLES and letter == "Z":
        return f"the hole's bottom: Z {length}"
    if code in ("G28", "G30"):
        return f"by way of {letter} {length}"
    if modes.get("distance") == "G91":
        return f"by {length} along {letter} from where the bit is"
    return f"to {letter} {length}, counted from the work zero"


def trimmed_text(text: str) -> str:
    """A number as written, without a plus and needless zeros; at most some twenty characters."""
    sign, digits = ("-", text[1:]) if text[:1] == "-" else ("", text.removeprefix("+"))
    whole, point, fraction = digits.partition(".")
    fraction = fraction.rstrip("0")
    text = sign + (whole.lstrip("0") or "0") + (point + fraction if fraction else "")
    return "0" if text == "-0" else text if len(text) <= 20 else f"{text[:20]}..."
