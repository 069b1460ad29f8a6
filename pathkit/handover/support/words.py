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
    from pathkit.texts.language import Language

_CODES: Final = """
    G0 G1 G2 G3 G4 G10 G17 G18 G19 G20 G21 G70 G71 G28 G28.1 G30 G30.1 G38.2 G38.3 G38.4 G38.5 G40
    G41 G42 G43 G43.1 G49 G53 G54 G55 G56 G57 G58 G59 G59.1 G59.2 G59.3 G61 G61.1 G64 G80 G81 G82
    G83 G90 G90.1 G91 G91.1 G92 G92.1 G92.2 G92.3 G93 G94 G98 G99 M0 M1 M2 M30 M60 M3 M4 M5 M6 M7 M8
    M9 M48 M49 M400
"""

CODES: Final = frozenset(_CODES.split())
"""Every code that the reader knows, and that the catalogue has words for; a test holds the set to the reader."""

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


def code_in_words(code: str, say: Language) -> str:
    """What a code of `CODES` means."""
    return say(f"codes-{code.replace('.', '_')}")


def meanings(line: LineRead, capabilities: Capabilities, units: Units) -> tuple[tuple[str, str], ...]:
    """(word as written, what it means) for every word of the line, in its order."""
    modes, say = in_force(line), units.say

    def of_code(code: str) -> str:
        if capabilities.beam and code in _OF_BEAMS:
            return beam_in_words(code, 0.0, capabilities, say)
        return code_in_words(code, say) if code in CODES else say("codes-unknown")

    return tuple(
        (letter + text, of_code(code_of(letter, text)) if letter in "GM"
         else _meaning(letter, text, line, modes, capabilities, units))
        for letter, text in line.words
    )  # fmt: skip


def in_force(line: LineRead) -> dict[str, str]:
    """Modal group → code, with the line's own codes."""
    return {**(line.before.modes if line.before is not None else {}), **line.codes}


def carried(line: LineRead, units: Units) -> tuple[tuple[str, str], ...]:
    """(word, what it means) of what holds from an earlier line and decides what this line does: kind of move, feed."""
    before, say = line.before, units.say
    moves = any(letter in "XYZ" for letter, _ in line.words) and "non-modal" not in line.codes
    if before is None or not moves or line.ended:
        return ()
    found = []
    motion = in_force(line).get("motion", "")
    if "motion" not in line.codes and motion in CODES:
        found.append((motion, say("codes-earlier", means=code_in_words(motion, say))))
    timed = before.feed > 0.0 and in_force(line).get("feed mode") == "G94"
    if timed and motion not in ("", "G0", "G80") and "F" not in line.values:
        feed = say("words-feed", feed=units.feed(before.feed))
        found.append((f"F{units.number(before.feed)}", say("codes-earlier", means=feed)))
    return tuple(found)


def _meaning(
    letter: str, text: str, line: LineRead, modes: Mapping[str, str], capabilities: Capabilities, units: Units
) -> str:  # fmt: skip
    number, own = trimmed_text(text), modes.get("non-modal", "") if "non-modal" in line.codes else ""
    motion, say = modes.get("motion", ""), units.say
    figure = say.number(number)
    length, feed = f"{figure} {units.name}", f"{figure} {units.name}/min"
    if letter in "XYZ":
        return say(_axis(letter, own or motion, modes), axis=letter, length=length)
    if letter in "IJK":
        name = "words-arc-centre-from-zero" if modes.get("arc distance") == "G90.1" else "words-arc-centre"
        return say(name, length=length, axis=_OFFSETS[letter])
    if letter == "R":
        return say("words-hole-begins" if motion in _CYCLES else "words-arc-radius", length=length)
    if letter == "F":
        if modes.get("feed mode") == "G93":
            return say("words-minutes", number=figure)
        return say("words-feed-for-later" if motion == "G0" else "words-feed", feed=feed)
    if letter == "S":
        if own == "G4" and capabilities.grammar is not None and "S" in capabilities.grammar.dwell_words:
            return say("words-for", time=f"{figure} s")
        if capabilities.beam:
            return beam_in_words("S", line.values.get("S", 0.0), capabilities, say)
        speed = trimmed(line.values.get("S", 0.0) * capabilities.rpm_per_s, 1)
        return say("words-speed", speed=say.number(speed))
    if letter == "P":
        unit = "ms" if capabilities.dwell_unit == "ms" else "s"
        if own == "G10":
            return say("words-offset-number", number=number)
        return say("words-for", time=f"{figure} {unit}")
    if letter == "Q":
        return say("words-peck", length=length)
    if letter == "L" and own == "G10":
        return say("words-stored-kind", number=number)
    if letter in _NUMBERED:
        return say(_NUMBERED[letter], number=number)
    return say("words-line-number" if letter == "N" else "words-unknown")


def beam_in_words(code: str, value: float, capabilities: Capabilities, say: Language) -> str:
    """What M3, M4, M5 or S (of this ``value``) mean to a controller with a beam."""
    share = trimmed(100.0 * value / capabilities.full_speed, 1)
    return say("words-power", percent=say.number(share)) if code == "S" else say("moves-beam", mode=_OF_BEAMS[code])


_OF_BEAMS: Final[Mapping[str, str]] = {"M3": "constant", "M4": "dynamic", "M5": "off"}
_NUMBERED: Final[Mapping[str, str]] = {
    "T": "words-bit-number", "H": "words-length-number", "D": "words-diameter-number", "L": "words-times",
}  # fmt: skip


def _axis(letter: str, code: str, modes: Mapping[str, str]) -> str:
    """The name of the text that says what a word of an axis means."""
    own = {"G92": "words-named", "G53": "words-machine", "G10": "words-stored"}
    if code in own:
        return own[code]
    if code in _CYCLES and letter == "Z":
        return "words-hole-bottom"
    if code in ("G28", "G30"):
        return "words-by-way"
    return "words-by" if modes.get("distance") == "G91" else "words-to"


def trimmed_text(text: str) -> str:
    """A number as written, without a plus and needless zeros; at most some twenty characters."""
    sign, digits = ("-", text[1:]) if text[:1] == "-" else ("", text.removeprefix("+"))
    whole, point, fraction = digits.partition(".")
    fraction = fraction.rstrip("0")
    text = sign + (whole.lstrip("0") or "0") + (point + fraction if fraction else "")
    return "0" if text == "-0" else text if len(text) <= 20 else f"{text[:20]}..."
