"""Bits as they are given on the command line: by what each is, and by its number in a file."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from pathkit.cli.new_job import millimetres
from pathkit.errors import InputError
from pathkit.model.tool import SMALLEST, Tool

if TYPE_CHECKING:
    from pathkit.tuning import Tuned

_WIDEST: Final = 50.0
"""mm: no small router turns a wider bit (common practice, no source)."""

_FLATTEST: Final = 170.0
"""Degrees: a point that is wider open cuts no groove (common practice, no source)."""

_EXAMPLES: Final = {"--bit": "6", "--ball": "6", "--vee": "12x60"}


@dataclass(frozen=True)
class GivenBits:
    """Bits as they were given: one for all, or by their number in the file. ``with_flutes``: the names of those whose
    flutes are known."""

    one: Tool | None
    numbered: Mapping[int | None, Tool]
    with_flutes: frozenset[str]

    @property
    def by_number(self) -> Tool | dict[int | None, Tool] | None:
        return self.one or dict(self.numbered) or None

    @property
    def every(self) -> tuple[Tool, ...]:
        return tuple(self.numbered.values()) if self.one is None else (self.one,)

    def refuse_unused(self, tuned: Tuned) -> None:
        """Raises `InputError` for a number that no cut has."""
        used = {tool.number for tool in tuned.job.tools}
        strange = [number for number in self.numbered if number not in used]
        if strange and used != {None}:
            there = ", ".join(str(number) for number in sorted(n for n in used if n is not None))
            option = next(option for option, kind in _KINDS.items() if kind == self.numbered[strange[0]].kind)
            raise InputError(f"{option} names {strange[0]}, a number that no cut of the file has; it has {there}")


_KINDS: Final = {"--bit": "flat", "--ball": "ball", "--vee": "vee"}


def given_bits(flat: Sequence[str], ball: Sequence[str], vee: Sequence[str], flutes: Sequence[str]) -> GivenBits:
    """What ``--bit``, ``--ball``, ``--vee`` and ``--flutes`` say. Raises `InputError`."""
    every = [("--bit", text) for text in flat] + [("--ball", text) for text in ball] + [("--vee", text) for text in vee]
    sizes, teeth = _numbered(every), _numbered([("--flutes", text) for text in flutes])
    if extra := [number for number in teeth if number not in sizes]:
        what = "--flutes" if extra[0] is None else f"--flutes {extra[0]}=…"
        raise InputError(f"{what} is given without its bit; give --bit for the same number too")
    found: dict[int | None, Tool] = {}
    for number, (option, text) in sizes.items():
        tool = _vee(text) if option == "--vee" else _round(option, text)
        name = tool.name
        if any(name == other.name for other in found.values()):
            name = f"{name}, number {number}"
        told = _flutes(teeth[number][1]) if number in teeth else tool.flutes
        found[number] = Tool(name, tool.diameter, number=number, kind=tool.kind, angle=tool.angle, flutes=told)
    known = frozenset(tool.name for number, tool in found.items() if number in teeth)
    return GivenBits(found.get(None), {n: tool for n, tool in found.items() if n is not None}, known)


def _round(option: str, text: str) -> Tool:
    wide = millimetres(text)
    if wide is None or not SMALLEST <= wide <= _WIDEST:
        raise InputError(
            f"{option} is {text!r}; give a diameter up to {_WIDEST:g} mm: {option} 6, {option} 1/4in, {option} 1=6"
        )
    return Tool(f"{wide:g} mm bit", wide) if option == "--bit" else Tool(f"{wide:g} mm ball", wide, kind="ball")


def _vee(text: str) -> Tool:
    size, crossed, degrees = re.sub("[X×]", "x", text).rpartition("x")
    wide, bare = millimetres(size) if crossed else None, degrees.strip().removesuffix("°")
    angle = float(bare) if re.fullmatch(r"[0-9]{1,3}(\.[0-9]{1,3})?", bare) else 0.0
    if wide is None or not SMALLEST <= wide <= _WIDEST or not 0.0 < angle <= _FLATTEST:
        raise InputError(
            f"--vee is {text!r}; give its diameter up to {_WIDEST:g} mm and its full angle up to {_FLATTEST:g} "
            "degrees: --vee 12x60, --vee 1/2inx60, --vee 1=12x60"
        )
    return Tool(f"{wide:g} mm vee of {angle:g} degrees", wide, kind="vee", angle=angle)


def _numbered(given: Sequence[tuple[str, str]]) -> dict[int | None, tuple[str, str]]:
    """The option and what it gives for each number of a bit, or under None for all of them."""
    found: dict[int | None, tuple[str, str]] = {}
    for option, text in given:
        example = _EXAMPLES.get(option, "2")
        before, named, value = text.strip().rpartition("=")
        if named and not (before.isascii() and before.isdecimal() and len(before) <= 6):
            raise InputError(f"{option} is {text!r}; give the bit's number in the file: {option} 1={example}")
        number = int(before) if named else None
        if number in found or (found and (number is None) != (None in found)):
            other = option if option == next(iter(found.values()))[0] else "bit"
            fix = f"give one for all, {option} {example}, or one for each number: {option} 1={example} {option} 2=3"
            raise InputError(f"{option} {text} contradicts another {other}; {fix}")
        found[number] = option, value.strip()
    return found


def _flutes(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and len(text) <= 2 and 1 <= int(text) <= 16):
        raise InputError(f"--flutes is {text!r}; give how many cutting edges the bit has, 1 to 16: --flutes 2")
    return int(text)
