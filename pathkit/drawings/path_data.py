"""The path syntax of SVG (W3C SVG 2, chapter 9.3; SVG 1.1, chapter 8.3), read strictly into segments.

A viewer draws a faulty path up to the fault. A path silently cut short would be a different part: it is refused here.
"""

from __future__ import annotations

import cmath
import math
import re
from collections.abc import Iterator
from typing import Final, Literal, NamedTuple

from pathkit.errors import InputError

LONGEST: Final = 2_000_000
"""The most characters of one path that are read."""

_NUMBER: Final = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_FLAG: Final = re.compile("[01]")
_BETWEEN: Final = re.compile(r"[ \t\r\n\f]*(,?)[ \t\r\n\f]*")
_OTHERS: Final = re.compile(r"[^A-DF-Za-df-z]*")  # up to the next command; e and E occur in numbers
_ARGUMENTS: Final = {
    "M": "nn", "L": "nn", "T": "nn", "H": "n", "V": "n", "S": "nnnn", "Q": "nnnn", "C": "nnnnnn", "A": "nnnffnn",
    "Z": "",
}  # fmt: skip
"""What follows each command: n is a number, f a flag."""


class Segment(NamedTuple):
    """A piece of a path. ``points`` are complex numbers x + yi: where it starts, its handles, where it ends.

    A ``bezier`` has one handle or two. An ``arc`` has ``radii`` (rx + ry·i), its ellipse is turned by ``tilt`` degrees,
    and its flags say which of the four arcs between its ends it is.
    """

    kind: Literal["move", "line", "bezier", "arc", "close"]
    points: tuple[complex, ...]
    radii: complex = 0j
    tilt: float = 0.0
    large: bool = False
    sweep: bool = False

    @property
    def start(self) -> complex:
        return self.points[0]

    @property
    def end(self) -> complex:
        return self.points[-1]


class Ellipse(NamedTuple):
    """An arc by its centre: the half axes turned by ``tilt`` radians, from angle ``start`` through ``delta``."""

    centre: complex
    radii: complex
    tilt: float
    start: float
    delta: float


def segments_of(text: str) -> tuple[Segment, ...]:
    """The segments of a path. Raises `InputError` that quotes what is not a command, or lacks a number."""
    if len(text) > LONGEST:
        raise InputError(f"a path of more than {LONGEST} characters; split the drawing")
    found = tuple(_segments(text))
    if not all(cmath.isfinite(place) for segment in found for place in (*segment.points, segment.radii)):
        raise InputError("a path with numbers that are not finite")
    return found


def ellipse_of(arc: Segment) -> Ellipse | None:
    """The arc by its centre (SVG 1.1, appendix F.6.5 and F.6.6); None where it is drawn as a line.

    Radii too small to reach from end to end are widened until they do.
    """
    rx, ry = abs(arc.radii.real), abs(arc.radii.imag)
    if not (rx > 0.0 and ry > 0.0):
        return None
    tilt = math.radians(arc.tilt)
    turn = cmath.exp(1j * tilt)
    half = (arc.start - arc.end) / 2.0 / turn
    # Where the ellipse is a circle of radius 1.
    near = complex(half.real / rx, half.imag / ry)
    reach = abs(near)
    if reach > 1.0:
        rx, ry, near = rx * reach, ry * reach, near / reach
    away = math.sqrt(max(0.0, 1.0 / abs(near) ** 2 - 1.0)) if reach < 1.0 else 0.0
    middle = near * (-1j if arc.large != arc.sweep else 1j) * away
    first, last = near - middle, -near - middle
    start, delta = cmath.phase(first), cmath.phase(last / first)
    if arc.sweep and delta < 0.0:
        delta += 2.0 * math.pi
    elif not arc.sweep and delta > 0.0:
        delta -= 2.0 * math.pi
    centre = complex(middle.real * rx, middle.imag * ry) * turn + (arc.start + arc.end) / 2.0
    return Ellipse(centre, complex(rx, ry), tilt, start, delta)


def _segments(text: str) -> Iterator[Segment]:
    here, first, handle = 0j, 0j, None  # handle: where a smooth command goes on from, with the kind of its curve
    for command, numbers in _commands(text):
        kind, origin = command.upper(), here if command.islower() else 0j
        places = [complex(x, y) + origin for x, y in zip(numbers[::2], numbers[1::2], strict=False)]
        smooth: tuple[str, complex] | None = None
        if kind == "M":
            first = places[0]
            yield Segment("move", (first,))
            places = [first]
        elif kind == "Z":
            yield Segment("close", (here, first))
            places = [first]
        elif kind == "A":
            rx, ry, tilt, large, sweep, x, y = numbers
            places = [complex(x, y) + origin]
            if places[0] != here:  # else the standard leaves it out
                yield Segment("arc", (here, *places), complex(rx, ry), tilt, bool(large), bool(sweep))
        elif kind in "LHV":
            if kind == "H":
                places = [complex(numbers[0] + origin.real, here.imag)]
            elif kind == "V":
                places = [complex(here.real, numbers[0] + origin.imag)]
            yield Segment("line", (here, *places))
        else:
            if kind in "ST":
                family = "CS" if kind == "S" else "QT"
                places.insert(0, 2.0 * here - handle[1] if handle is not None and handle[0] in family else here)
            smooth = kind, places[-2]
            yield Segment("bezier", (here, *places))
        here, handle = places[-1], smooth


def _commands(text: str) -> Iterator[tuple[str, list[float]]]:
    """Each command with one set of its numbers; pairs after the first of an M are lines."""
    at = _past(text, 0)
    if at == len(text):
        raise _wrong("it has no command")
    if text[at] not in "Mm":
        found = text[at] if text[at].upper() in _ARGUMENTS else repr(text[at : at + 20])
        raise _wrong(f"it begins with {found}, not with M")
    while at < len(text):
        command, at = text[at], at + 1
        wanted = _ARGUMENTS.get(command.upper())
        if wanted is None:
            raise _wrong(f"{text[at - 1 : at + 19]!r} is not a command")
        begin, at = at, _past(text, at)
        more = True
        while more:
            numbers, at = _numbers(text, at, wanted, command, begin)
            yield command, numbers
            command = {"M": "L", "m": "l"}.get(command, command)
            between = _BETWEEN.match(text, at)
            assert between is not None, "it matches nothing too"
            at = between.end()
            more = bool(wanted) and (bool(between[1]) or _NUMBER.match(text, at) is not None)
            if not wanted and between[1]:
                raise _fault(text, command, begin)


def _numbers(text: str, at: int, wanted: str, command: str, begin: int) -> tuple[list[float], int]:
    found: list[float] = []
    for k, kind in enumerate(wanted):
        if k:
            between = _BETWEEN.match(text, at)
            assert between is not None, "it matches nothing too"
            at = between.end()
        number = (_FLAG if kind == "f" else _NUMBER).match(text, at)
        if number is None:
            raise _fault(text, command, begin)
        found.append(float(number[0]))
        at = number.end()
    return found, at


def _past(text: str, at: int) -> int:
    """Past white space."""
    while at < len(text) and text[at] in " \t\r\n\f":
        at += 1
    return at


def _fault(text: str, command: str, begin: int) -> InputError:
    others = _OTHERS.match(text, begin)
    return _wrong(f"{command} with {(others[0] if others else '').strip()[:40]!r}")


def _wrong(what: str) -> InputError:
    return InputError(f"not a path in SVG's syntax: {what}")
