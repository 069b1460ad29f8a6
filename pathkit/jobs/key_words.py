"""What is said of a key in another language: its sentences whole, its type, unit and limits word by word."""

from __future__ import annotations

import functools
import re
from dataclasses import replace
from typing import TYPE_CHECKING

from pathkit.texts.language import ENGLISH, Language
from pathkit.texts.plain import lines, translated

if TYPE_CHECKING:
    from pathkit.jobs.keys import Key

FILE = "keys"
_WORD = "keys-word-"
_QUOTED = re.compile(r'("(?:[^"\\]|\\.)*")')


def in_language(key: Key, say: Language) -> Key:
    """The key with its words in a language. Names of keys, values, and what a plugin says of its own stay."""
    if say == ENGLISH:
        return key
    needed = lines(ENGLISH.code, FILE)[f"{_WORD}needed"]
    inner = tuple(each.replace(f" {needed}", f" {lines(say.code, FILE)[f'{_WORD}needed']}") for each in key.inner)
    kind, limits, unit = (_by_words(text, say) for text in (key.kind, key.limits, key.unit))
    return replace(key, kind=kind, limits=limits, unit=unit, says=translated(key.says, FILE, say), inner=inner)


def word(name: str, say: Language) -> str:
    """One of the words beside them, such as ``row-type``."""
    return lines(say.code, FILE)[f"keys-{name}"]


def _by_words(text: str, say: Language) -> str:
    """Everything but what stands in quotes, which is a value of the file."""
    pattern, words = _table(say.code)
    pieces = _QUOTED.split(text)
    pieces[::2] = [pattern.sub(lambda found: words[found[0]], piece) for piece in pieces[::2]]
    return "".join(pieces)


@functools.cache
def _table(code: str) -> tuple[re.Pattern[str], dict[str, str]]:
    theirs = lines(code, FILE)
    words = {text: theirs[name] for name, text in lines(ENGLISH.code, FILE).items() if name.startswith(_WORD)}
    longest_first = sorted(map(re.escape, words), key=len, reverse=True)
    return re.compile(rf"(?<!\w)(?:{'|'.join(longest_first)})(?!\w)"), words
