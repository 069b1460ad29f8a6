"""What is refused by its name: words that are well known, and that a three-axis router's path cannot be read from."""

from __future__ import annotations

import re
from typing import Final

_ROTARY: Final = ("turns or tilts the work or the head: only files for X, Y and Z are read", "post it for three axes")
_SECOND: Final = ("is a second axis along X, Y or Z, or a lathe's: only files for X, Y and Z are read",
                  "post it for three axes")  # fmt: skip
_LATHE: Final = ("is a word of lathes", "post it for a three-axis mill")
_RADIUS: Final = ("shifts the path by a bit's radius that only the controller knows",
                  "post it with the radius worked out, so that the file holds the bit's own path")  # fmt: skip
_PROGRAM: Final = ("calls another program, or begins one: what it does is not in these lines",
                   "post it as one program, without subprograms")  # fmt: skip
_MACRO: Final = ("is a parameter, an expression or a macro: its value is known to the controller alone",
                 "post it with plain numbers")  # fmt: skip
_TOUCH: Final = ("moves until something is touched, which the file does not say", "take the probing out")
_CURVE: Final = ("is a curve that is neither a line nor an arc", "post it with lines and arcs")
_CYCLE: Final = ("is a cycle that controllers run in different ways", "post it with G0 and G1, or with G81 to G83")
_FRAME: Final = ("turns, scales or mirrors all that follows, or ends that", "post it without")
_SHIFT: Final = ("shifts the zero in a way that not all controllers share", "post it without, or with G92")
_REV: Final = ("feeds by the turn of the spindle", "post it with G94")
_SURFACE: Final = ("is a word of lathes: it says what S means", "take it out: S is read as turns a minute")
_SIGNAL: Final = ("switches or waits for a signal of one machine alone", "take it out if nothing moves by it")

_LETTERS: Final = {
    **dict.fromkeys("ABC", _ROTARY), **dict.fromkeys("UVW", _SECOND), "D": _RADIUS, "O": _PROGRAM,
    "E": ("feeds a printer's plastic", "give a file for a router"), "#": _MACRO, "[": _MACRO,
}  # fmt: skip
_CODES: Final = {
    "G41 G42 G41.1 G42.1": _RADIUS, "M97 M98 M99 G22 G23": _PROGRAM, "G65 G66 G66.1 G67": _MACRO,
    "G31 G36 G37 G38 G38.2 G38.3 G38.4 G38.5": _TOUCH, "G5 G5.1 G5.2 G5.3 G6 G6.1 G6.2": _CURVE,
    "G73 G84 G85 G86 G87 G88 G89": _CYCLE, "G15 G16 G50 G51 G50.1 G51.1 G68 G68.2 G69": _FRAME, "G52": _SHIFT,
    "G95": _REV,
    "G96 G97": _SURFACE, "G7 G8 G32 G33 G33.1 G34 G72 G74 G75 G76 G77 G78 G79": _LATHE,
    "M10 M11 M12 M13 M14 M19 M62 M63 M64 M65 M66 M67 M68": _SIGNAL,
}  # fmt: skip
_BY_CODE: Final = {code: why for names, why in _CODES.items() for code in names.split()}
_TURNING_CYCLE: Final = re.compile(r"G7[0-6](?![0-9.]).*P[0-9].*Q[0-9]")


def name_of(bare: str, at: int) -> tuple[str, str] | None:
    """What the word at index ``at`` of a bare block is, and what to do; None if it has no name here.

    >>> name_of("G1X5A90", 4)[0]
    'A90 turns or tilts the work or the head: only files for X, Y and Z are read'
    """
    word = re.compile(r"[A-Z]?[+-]?[0-9.]*|.").match(bare, at)
    text = word[0] if word and word[0] else bare[at : at + 1]
    why = _LETTERS.get(text[:1])
    if text[:1] in ("G", "M"):
        code = re.fullmatch(r"([GM])0*([0-9]+)(?:\.0*([1-9])0*|\.0*)?", text)
        why = _BY_CODE.get(f"{code[1]}{code[2]}" + (f".{code[3]}" if code[3] else "")) if code else None
    if why is None and text[:1] in ("P", "Q") and _TURNING_CYCLE.search(bare):
        text, why = bare[:3], _LATHE
    if why is None and (follows := bare[at + 1 : at + 2]) and follows in "#[":
        text, why = bare[at : at + 12], _MACRO
    if why is None and bare.startswith("$"):
        text, why = bare, ("is a command to the controller's settings, not a block", "take it out of the file")
    return None if why is None else (f"{text[:24]} {why[0]}", why[1])
