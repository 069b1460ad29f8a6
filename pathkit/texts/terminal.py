"""What the command line says, in the language of the terminal.

Its English stands in the code, since most commands end before the library of messages would be imported. A line is
looked up as findings are: each message of ``terminal.ftl`` is also a pattern. These patterns are short, so no finding
is held against them; what none of them fits may still be a finding's sentence.
"""

from __future__ import annotations

import functools
from typing import Final

from pathkit.texts.findings import in_words, message
from pathkit.texts.language import ENGLISH, Language
from pathkit.texts.patterns import Index, pattern_of, split
from pathkit.texts.plain import lines

_SENTENCES: Final = frozenset({"verdict", "what", "why"})
"""Placeholders for what is said here itself, or by a finding."""
_LISTS: Final = frozenset({"counts", "where"})
"""Placeholders for several of them."""


def told(text: str, say: Language, units: str = "mm") -> str:
    """An English line of the command line in another language, its figures in the reader's ``units``."""
    if (say == ENGLISH and units == "mm") or not text:
        return text
    found = min(_index().matches(text), key=lambda each: (-each[0].own, each[0].name), default=None)
    if found is None:
        return in_words(text, say, units)
    pattern, values = found
    return message(pattern.name, {key: _inner(key, value, say, units) for key, value in values.items()}, say, units)


def _inner(key: str, value: str, say: Language, units: str) -> str:
    if key in _LISTS:
        return ", ".join(told(each, say, units) for each in split(value, ", "))
    return told(value, say, units) if key in _SENTENCES else value


@functools.cache
def _index() -> Index:
    return Index([pattern_of(name, text) for name, text in lines(ENGLISH.code, "terminal").items()])
