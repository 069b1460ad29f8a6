"""Questions to whoever describes a machine: a wrong answer is asked for again, and the others are kept."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Final, TypeVar

import click

from pathkit.cli.spoken import echo, told
from pathkit.errors import InputError
from pathkit.units import MM_PER_UNIT

SHORTEST, LONGEST = 10.0, 6000.0
"""mm that an axis of such a machine may move: other lengths suggest the wrong units."""
FASTEST: Final = 100_000.0
"""rpm that no spindle of such a machine turns (common practice, no source)."""

T = TypeVar("T")


class Asking:
    """Asks for what was not given as an option, but not if the output is to be JSON (``silent``).

    ``asked`` is whether anything was asked: whoever has given all that is needed is not asked for the rest either.
    """

    def __init__(self, silent: bool) -> None:
        self.silent = silent
        self.asked = False

    def value(self, flag: str, given: str | None, question: str, example: str, read: Callable[[str], T]) -> T:
        """What ``read`` makes of the option, or of an answer. ``read`` raises `InputError` for what cannot be; an
        option that cannot be is refused, an answer is asked for again."""
        if given is not None:
            return read(given)
        if self.silent:
            raise InputError(f"{flag} is missing; --json asks no questions")
        self.asked = True
        while True:
            answer = str(click.prompt(told(question), default=example, err=True)).strip()
            try:
                return read(answer)
            except InputError as error:
                tell_again(error, flag)

    def one(self, flag: str, given: str | None, question: str, choices: Sequence[str], usual: str | None = None) -> str:
        """One of ``choices``; with a ``usual`` one, that is taken unless something else is asked anyway."""
        if given is None and usual is not None and not self.asked:
            return usual
        if given is None and self.silent:
            raise InputError(f"{flag} is missing; one of: {', '.join(choices)}")
        asks = given is None
        while True:
            answer = given
            if answer is None:
                self.asked = True
                answer = str(click.prompt(f"{told(question)} ({', '.join(choices)})", default=usual, err=True)).strip()
            if answer in choices:
                return answer
            error = InputError(f"{flag} is {answer!r}; one of: {', '.join(choices)}")
            if not asks:
                raise error
            tell_again(error, flag)

    def rest(self, flag: str, given: str | None, question: str, example: str, read: Callable[[str], T], usual: T) -> T:
        """As `value`, for what may be left out: then it is ``usual``, and it is asked for only if something else is."""
        if given is None and not self.asked:
            return usual
        return self.value(flag, given, question, example, read)

    def sure(self, what: str) -> bool:
        """Whether somebody who can be asked says yes, in English or in the language of the terminal."""
        yes, no = told("yes/no").split("/")
        hint = f"[{yes[0]}/{no[0].upper()}]"
        while True:
            answer = str(click.prompt(f"{told(what)} {hint}", default=no, show_default=False, err=True)).strip().lower()
            if answer in (yes, yes[0], "yes", "y"):
                return True
            if answer in (no, no[0], "no", "n"):
                return False
            echo(f"answer {yes} or {no}", indent="  ", err=True)


def tell_again(error: InputError, flag: str = "") -> None:
    """Tell what is wrong with an answer. No option was given, so none is named."""
    for finding in error.findings:
        what, fix = told(finding.what), told(finding.fix)
        # Each language of the catalogues has its own verb.
        said = re.sub(rf"^{re.escape(flag)} (?:is|ist) ", "", f"{what} ({fix})" if fix else what) if flag else what
        click.echo(f"  {said.replace(f'{flag} ', '').replace(f'{flag}=', '') if flag else said}", err=True)


def bed_of(text: str, units: str) -> tuple[float, float, float]:
    """mm, from three numbers in the machine's own units. Raises `InputError`."""
    name, example = bed_in(units)
    try:
        x, y, z = (round(float(part) * MM_PER_UNIT[units], 4) for part in text.split(","))
    except ValueError:
        raise InputError(f"--bed is {text!r}; give three numbers in {name}, as in --bed {example}") from None
    for axis, length in zip("XYZ", (x, y, z), strict=True):
        if not SHORTEST <= length <= LONGEST:
            raise InputError(
                f"--bed is {text!r}: {axis} would move {length:g} mm; give {name}, or the other --units. Between"
                f" {SHORTEST:g} and {LONGEST:g} mm are accepted"
            )
    return x, y, z


def bed_in(units: str) -> tuple[str, str]:
    """What the units are called, and an example of a bed in them."""
    return ("inches", "24,16,3") if units == "inch" else ("mm", "300,200,60")


def place_of(text: str, flag: str, units: str) -> tuple[float, float] | None:
    """mm from the zero, or none. Raises `InputError`."""
    if text.strip().lower() == "none":
        return None
    try:
        x, y = (round(float(part) * MM_PER_UNIT[units], 4) for part in text.split(","))
    except ValueError:
        raise InputError(f"{flag} is {text!r}; give two numbers, as in {flag}=-30,-30, or none") from None
    if not (abs(x) <= LONGEST and abs(y) <= LONGEST):
        raise InputError(f"{flag} is {text!r}, further than any such machine reaches; give numbers in --units")
    return x, y


def speeds_of(text: str) -> tuple[float, float]:
    """The slowest and the fastest speed of a spindle, rpm. Raises `InputError`."""
    example = "--rpm 8000,24000"
    try:
        low, high = (float(part) for part in text.split(","))
    except ValueError:
        raise InputError(f"--rpm is {text!r}; give the slowest and the fastest speed, as in {example}") from None
    if not 0.0 <= low <= high <= FASTEST or high <= 0.0:
        raise InputError(f"--rpm is {text!r}; give the slowest speed first, up to {FASTEST:g}, as in {example}")
    return low, high
