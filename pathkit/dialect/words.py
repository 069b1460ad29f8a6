"""The words of a dialect, and how numbers and comments are spelled. None of this moves a machine."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field

from pathkit.machine.capabilities import Capabilities
from pathkit.motion.program import Beam, Lift, Spindle
from pathkit.units import MM_PER_UNIT

COMMENT_PREFIX = "pathkit: "
"""Every comment begins with it, so that no outside text can become an active comment (NIST RS274/NGC: ``(MSG,``)."""

LINE_NUMBERS = 99_999
"""The highest block number where no grammar says otherwise: the limit of NIST RS274/NGC (NISTIR 6556)."""

_HARMLESS = re.compile(r"[^A-Za-z0-9 .,_+\-=:/']+")


@dataclass(frozen=True, kw_only=True)
class Words:
    """A word table. Motion: ``rapid`` … ``drill_peck`` and what stands before numbers, at most 32 characters each, with
    ``between`` (one character) between the words; ``opening`` and ``closing`` text around the words of each block of
    motion, such as a pair of braces. ``plane`` is the height to which a drill cycle retracts, ``bite`` the
    depth of a peck, ``wait`` the time at the bottom. An empty ``block``: lines cannot be numbered.

    ``units`` has a block of its own, since RS274/NGC reads F before G20/G21 (NISTIR 6556). ``modes`` are the words that
    set every other modal group; the work offset, if the dialect has any, is added. ``arc_modes`` maps each way of
    giving an arc that this dialect can write to the word that chooses it (empty: none is needed). ``zero`` sets the
    work zero if the dialect does that; ``tool`` names a bit, ``change`` puts it in. ``machine`` makes the numbers
    of its block machine coordinates. ``power`` stands before the power of a beam in a block of motion; ``spindle[-1]``
    (M4) switches a beam on, ``spindle[0]`` off.

    >>> pk.Words(line="LINE", x="X=", y="Y=", between=" ").x
    'X='
    """

    rapid: str = "G0"
    line: str = "G1"
    clockwise: str = "G2"
    counter_clockwise: str = "G3"
    x: str = "X"
    y: str = "Y"
    z: str = "Z"
    i: str = "I"
    j: str = "J"
    r: str = "R"
    feed: str = "F"
    power: str = "S"
    block: str = "N"
    drill: str = "G81"
    drill_wait: str = "G82"
    drill_peck: str = "G83"
    plane: str = "R"
    bite: str = "Q"
    wait: str = "P"
    between: str = " "
    opening: str = ""
    closing: str = ""

    units: Mapping[str, str] = field(default_factory=lambda: {"mm": "G21", "inch": "G20"})
    modes: str = "G17 G40 G49 G80 G90 G94"
    arc_modes: Mapping[str, str] = field(default_factory=lambda: {"incremental": ""})
    zero: str = "G92 X0 Y0 Z0"

    tool: str = "T"
    change: str = "M6"
    speed: str = "S"
    spindle: Mapping[int, str] = field(default_factory=lambda: {1: "M3", -1: "M4", 0: "M5"})
    coolant: Mapping[str, str] = field(default_factory=lambda: {"flood": "M8", "mist": "M7", "off": "M9"})
    dwell: str = "G4 P"
    pause: str = "M0"
    machine: str = "G53"


@dataclass(frozen=True, kw_only=True)
class Context:
    """What the hooks of a dialect know about the file being written.

    ``offset`` is the work coordinate system in force for the whole file (empty if the dialect has none), ``spindle``
    whether the file may hold spindle words at all: not for a hand-switched one, nor in an air-cut twin. ``mark``
    identifies the revision of the job; it is written after the prologue, whatever the dialect does, and so are the
    lines of ``about``: who made it.

    >>> context = pk.Context(title="tidy", capabilities=pk.Capabilities(), words=pk.Words())
    >>> context.comment("slot 1"), context.seconds(1.5), context.speed(pk.Spindle(18000.0, 1))
    (('(pathkit: slot 1)',), '1.5', 'S18000')
    """

    title: str
    capabilities: Capabilities
    words: Words
    offset: str = "G54"
    spindle: bool = True
    mark: str = ""
    about: tuple[str, ...] = ()

    def comment(self, text: str) -> tuple[str, ...]:
        """One line that does nothing, whatever the text; no line if the controller has no comments."""
        caps = self.capabilities
        room = caps.line_length
        if room is not None and caps.line_numbers:
            room -= len(f"{self.words.block}{block_numbers(caps)[-1]} ")
        return () if caps.comment is None else (comment(text, caps.comment, room),)

    def speed(self, event: Spindle) -> str:
        """The S word, in the unit that the controller counts in."""
        caps = self.capabilities
        steps = counts(event.speed, 1.0 / caps.speed_step)
        return self.words.speed + number(steps, caps.speed_decimals, fixed=caps.fixed_decimals)

    def beam(self, event: Beam) -> str:
        """The words that make a beam ready, with no power yet, or switch it off."""
        words = self.words
        if event.mode == "off":
            return words.spindle[0]
        caps = self.capabilities
        return f"{words.speed}{number(0, caps.speed_decimals, fixed=caps.fixed_decimals)} {words.spindle[-1]}"

    def lift(self, event: Lift) -> str:
        """Z alone, at rapid, in machine coordinates."""
        caps, words = self.capabilities, self.words
        count = counts(event.z / MM_PER_UNIT[caps.units], 10.0**caps.unit_decimals)
        height = number(count, caps.unit_decimals, fixed=caps.fixed_decimals)
        point = "." if caps.decimal_point and "." not in height else ""
        return f"{words.machine} {words.rapid} {words.z}{height}{point}"

    def seconds(self, seconds: float) -> str:
        """A dwell in the unit that the controller counts in; the finest step is a thousandth of a second."""
        milliseconds, fixed = counts(seconds, 1000.0), self.capabilities.fixed_decimals
        return str(milliseconds) if self.capabilities.dwell_unit == "ms" else number(milliseconds, 3, fixed=fixed)


def block_numbers(capabilities: Capabilities) -> range:
    """The numbers of the first blocks; then they begin again. Never empty."""
    limit = None if capabilities.grammar is None else capabilities.grammar.line_number_max
    start, step = capabilities.line_number_start, capabilities.line_number_step
    return range(start, max(limit or LINE_NUMBERS, start) + 1, step)


def counts(value: float, per_unit: float) -> int:
    """A value as whole steps of the grid: half-even of value · ``per_unit``. The array form is in `quantise`."""
    return round(value * per_unit)


def number(count: int, decimals: int, *, fixed: bool = False) -> str:
    """An integer of the grid as a plain decimal: no exponent, no −0, no needless zeros unless they are ``fixed``."""
    whole, part = divmod(abs(count), 10**decimals)
    digits = f"{whole}.{part:0{decimals}d}" if decimals else str(whole)
    if decimals and not fixed:
        digits = digits.rstrip("0").rstrip(".")
    return f"-{digits}" if count < 0 else digits


def comment(text: str, marks: tuple[str, str], line_length: int | None = None) -> str:
    """A comment that can do nothing: letters folded to ASCII, all but harmless characters replaced by a hyphen.

    Real-time characters (``! ? ~`` and bytes from 0x80, which GRBL takes out of the stream even inside comments),
    comment marks and line breaks never pass. Cut to ``line_length`` characters in all.
    """
    letters = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    words = " ".join(_HARMLESS.sub("-", letters).split())
    opening, closing = marks
    room = None if line_length is None else max(line_length - len(opening) - len(closing), 0)
    return opening + (COMMENT_PREFIX + words)[:room].rstrip() + closing
