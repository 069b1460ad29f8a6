"""The language of the command line's own words: its help, and what `pathkit schema` says of keys."""

from __future__ import annotations

import inspect
import os
import re
import textwrap
from collections.abc import Iterable

import click

from pathkit.texts.language import ENGLISH, LANGUAGES, Language
from pathkit.texts.plain import translated

VARIABLE = "PATHKIT_LANGUAGE"
_LOCALE = ("LC_ALL", "LC_MESSAGES", "LANG")
"""The variables that name the language of messages, in this order (POSIX.1-2017, Base Definitions, 8.2)."""


def spoken() -> Language:
    """The language that PATHKIT_LANGUAGE names, else that of the terminal's locale; English if it has no texts."""
    wish = next((value for name in (VARIABLE, *_LOCALE) if (value := os.environ.get(name))), "")
    # de_AT.UTF-8@euro: language, territory, encoding, variant.
    code = wish.replace("-", "_").partition("_")[0].partition(".")[0].lower()
    return next((Language(each) for each in LANGUAGES if each == code), ENGLISH)


class SpokenHelp(click.HelpFormatter):
    """Help in the language of the terminal. The English of the code is looked up only where it is shown."""

    def write_usage(self, prog: str, args: str = "", prefix: str | None = None) -> None:
        super().write_usage(prog, args, f"{_told('Usage')}: " if prefix is None else prefix)

    def write_heading(self, heading: str) -> None:
        super().write_heading(_told(heading))

    def write_text(self, text: str) -> None:
        super().write_text("\n\n".join(map(_told, text.split("\n\n"))))

    def write_dl(self, rows: Iterable[tuple[str, str]], col_max: int = 30, col_spacing: int = 2) -> None:
        super().write_dl([(first, _with_extras(second)) for first, second in rows], col_max, col_spacing)


class SpokenContext(click.Context):
    """A command's context whose help is `SpokenHelp`."""

    formatter_class = SpokenHelp


def summary_of(command: click.Command, size: int) -> str:
    """The first sentences of a command's help in the language of the terminal, within ``size`` characters."""
    first = inspect.cleandoc(command.help or "").partition("\n\n")[0]
    return textwrap.shorten(_told(first), size, placeholder=" …")


def told(text: str, units: str = "mm") -> str:
    """A line of the command line in the language of the terminal, its figures in the reader's ``units``."""
    say = spoken()
    if say == ENGLISH and units == "mm":
        return text
    from pathkit.texts import terminal

    return terminal.told(text, say, units)


def echo(text: str, *, indent: str = "", err: bool = False, units: str = "mm") -> None:
    """Print a line in the language of the terminal."""
    click.echo(f"{indent}{told(text, units)}", err=err)


def figure(text: str) -> str:
    """Figures with the decimal mark of the terminal's language."""
    say = spoken()
    return text if say == ENGLISH else say.number(text)


def column(name: str) -> str:
    """The name of a column or a row."""
    return translated(name, "columns", spoken())


def _told(text: str) -> str:
    say = spoken()
    return text if say == ENGLISH else translated(" ".join(text.split()), "help", say)


def _with_extras(text: str) -> str:
    """An option's help, and what stands behind it in brackets: whether it is needed, and what holds unless given."""
    found = re.fullmatch(r"(.*?)(  \[.*\])?", text, re.DOTALL)
    assert found is not None
    extras = re.sub(r"\b(?:required|default)\b", lambda word: _told(word[0]), found[2] or "")
    return _told(found[1]) + extras
