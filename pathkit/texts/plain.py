"""Texts whose English stands in the code: what is said of keys, the command line's help, comments of files to begin
from. They are found by it.

Their catalogues hold lines ``name = text`` without placeholders, which are read as they are: the library of messages
takes longer to import than a command takes to show its help.
"""

from __future__ import annotations

import functools
import re
from typing import TYPE_CHECKING, Final

from pathkit.texts.language import ENGLISH, Language

if TYPE_CHECKING:
    from collections.abc import Mapping

FILES = ("keys", "help", "columns", "starters")
"""The catalogues that are read so."""
_QUOTED_MARK: Final = re.compile(r'\{"([^"]*)"\}')


def translated(text: str, file: str, say: Language) -> str:
    """A text in another language; what the catalogue ``file`` does not have stays as it is."""
    return text if say == ENGLISH else _by_english(say.code, file).get(text, text)


@functools.cache
def lines(code: str, file: str) -> Mapping[str, str]:
    """The texts of a catalogue by their names."""
    from importlib import resources

    text = resources.files("pathkit.texts").joinpath(code).joinpath(f"{file}.ftl").read_text(encoding="utf-8")
    pairs = (line.partition(" = ") for line in text.splitlines() if line and not line.startswith("#"))
    return {name: value for name, _, value in pairs}


def unquoted(text: str) -> str:
    """A line of a catalogue with its braces as they are read: ``{"{"}`` is ``{``."""
    return _QUOTED_MARK.sub(r"\1", text)


@functools.cache
def _by_english(code: str, file: str) -> Mapping[str, str]:
    theirs = lines(code, file)
    return {unquoted(text): unquoted(theirs[name]) for name, text in lines(ENGLISH.code, file).items()}
