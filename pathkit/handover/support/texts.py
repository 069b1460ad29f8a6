"""Lines of a foreign file as text that no terminal and no mail program can take for anything else."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from pathkit.texts.language import ENGLISH, Language
from pathkit.units import MM_PER_INCH

LONGEST: Final = 100
"""Bytes of a line that are shown; the rest is counted."""

AXES: Final = "XYZ"
_PRINTED: Final = range(0x20, 0x7F)


def shown(raw: bytes, longest: int = LONGEST, say: Language = ENGLISH) -> str:
    r"""The bytes of a line in printable ASCII: every other byte as ``\x1b``, a backslash doubled, long ones cut."""
    kept = raw[:longest]
    text = "".join(
        "\\\\" if byte == ord("\\") else chr(byte) if byte in _PRINTED else f"\\x{byte:02x}" for byte in kept
    )
    return text if len(raw) <= longest else say("mail-more-bytes", text=text, count=len(raw) - longest)


def file_name(name: str) -> str:
    """A file's name as it is, unless it holds what is not printed; then in quotes, with that escaped."""
    return name if name.isprintable() else repr(name)


def plain(text: str) -> str:
    r"""A line of text without anything that is not printed: that is written as ``\x1b``."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in text)


def named(text: str) -> str:
    """A name in quotes; what is no plain character is escaped."""
    return repr(text)


def trimmed(value: float, decimals: int) -> str:
    """A number with at most so many decimals, and never ``-0``."""
    text = f"{value:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


class Units:
    """How lengths of a file are told: in its own unit, and in a language."""

    def __init__(self, inches: bool, say: Language = ENGLISH) -> None:
        self.inches, self.say = inches, say
        self.name = "in" if inches else "mm"
        self._mm = MM_PER_INCH if inches else 1.0
        self._decimals = 4 if inches else 3

    def number(self, mm: float) -> str:
        """A length in mm as a number of the file's unit."""
        return trimmed(mm / self._mm, self._decimals)

    def told(self, mm: float) -> str:
        """The same for people."""
        return self.say.number(self.number(mm))

    def value(self, mm: float) -> float | None:
        """The same as a number; None for what is not known."""
        return None if mm != mm else float(self.number(mm))

    def length(self, mm: float) -> str:
        """A length with its unit, and in mm beside it where the file counts in inches."""
        in_mm = f"{self.say.number(trimmed(mm, 2))} mm"
        return f"{self.say.number(trimmed(mm / self._mm, 3))} in ({in_mm})" if self.inches else in_mm

    def feed(self, mm_per_minute: float) -> str:
        """A feed with its unit."""
        say = self.say
        if self.inches:
            inches = say.number(trimmed(mm_per_minute / self._mm, 1))
            return say("moves-feed-inches", inches=inches, mm=trimmed(mm_per_minute, 0))
        return say("moves-feed", mm=say.number(trimmed(mm_per_minute, 1)))

    def place(self, point: NDArray[np.float64], axes: str = AXES) -> str:
        """``X 41.2 Y 18``: a place (3,) in mm in the file's unit, without what is not known; empty if nothing is."""
        return " ".join(
            f"{axis} {self.told(value)}"
            for axis, value in zip(AXES, point.tolist(), strict=True)
            if axis in axes and value == value
        )


def on_board(point: NDArray[np.float64], top: float, units: Units) -> str:
    """A place (3,) on the bench, mm, in words; empty if nothing of it is known."""
    x, y, z = point.tolist()
    ways = (x, "moves-right"), (y, "moves-away")
    parts = [units.say(way, length=units.length(value)) for value, way in ways if value == value]
    return ", ".join([*parts, height(z, top, units)] if z == z else parts)


def height(z: float, top: float, units: Units) -> str:
    """A height in mm on the bench against the board's top, in words."""
    apart = abs(z - top)
    side = "level" if trimmed(apart, 2) == "0" else "above" if z > top else "below"
    return units.say("moves-height", side=side, length=units.length(apart))
