"""What the command line says, in the language of the terminal.

Its English stands in the code, since most commands end before the library of messages would be imported. A line is
looked up as findings are: each message of ``terminal.ftl`` is also a pattern. These patterns are short, so no finding
is held against them; what none of them fits may still be a finding's sentence.
"""

from __future__ import annotations

import functools
import re
from typing import Final

from pathkit.texts import catalogue, in_inches
from pathkit.texts.findings import expression_of, in_words
from pathkit.texts.language import ENGLISH, Language

_FILE: Final = "terminal"
_SENTENCES: Final = frozenset({"verdict", "what", "why"})
"""Placeholders for what is said here itself, or by a finding."""
_LISTS: Final = frozenset({"counts", "where"})
"""Placeholders for several of them."""


def told(text: str, say: Language, units: str = "mm") -> str:
    """An English line of the command line in another language, its figures in the reader's ``units``."""
    if (say == ENGLISH and units == "mm") or not text:
        return text
    for name, pattern in _patterns():
        if (found := pattern.fullmatch(text)) is not None:
            values = {key: _inner(key, value, say, units) for key, value in found.groupdict().items()}
            if units == "mm":
                return say(name, **values)
            return in_inches.told(say(name, **in_inches.marked(name, values)), say)
    return in_words(text, say, units)


def _inner(key: str, value: str, say: Language, units: str) -> str:
    if key in _LISTS:
        return ", ".join(told(each, say, units) for each in value.split(", "))
    return told(value, say, units) if key in _SENTENCES else value


@functools.cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    """(name, pattern) of every English message, those with most words of their own first."""
    messages = catalogue.messages(ENGLISH.code, _FILE)
    own = {name: len("".join(catalogue.literals(message))) for name, message in messages.items()}
    return tuple((name, re.compile(expression_of(name), re.DOTALL)) for name in sorted(own, key=lambda n: -own[n]))
