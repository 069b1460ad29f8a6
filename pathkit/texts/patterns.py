"""English sentences recognised: each message of a catalogue is a pattern, and what stands in the place of its
placeholders are its values.

What a sentence of the library holds is looked up by, so it must not matter how many messages there are: a sentence is
held only against those of which it has the rarest word. Names in quotes may hold anything, the words of a message too:
a pattern is looked for outside the quotes first.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from pathkit.texts.plain import unquoted

_QUOTED: Final = re.compile(r"""(?<![\w'"])('(?:[^'\\]|\\.)*'|"(?:[^"\\]|\\.)*")(?![\w'"])""", re.DOTALL)
"""A text as `repr` writes it; the apostrophe in a word opens none."""

_BRACKETS: Final = r"\((?:[^()]|\([^()]*\))*\)|\[(?:[^\[\]]|\[[^\[\]]*\])*\]|\{[^{}]*\}|<[^<>]*>"
_SHAPES: Final = {
    # A key or a class: what begins with another word may be any sentence.
    "field": re.compile(r"(?!(?:it|this|that|there|what|which|one)\Z)\S+"),
    "type": re.compile(r"\S+"),
    # A value as `repr` writes it, and no more.
    "shown": re.compile(rf"""(?:{_BRACKETS}|'(?:[^'\\]|\\.)*'|"(?:[^"\\]|\\.)*"|[^\s'"()\[\]{{}}<>])+…?""", re.DOTALL),
}
"""Placeholders of which not every text is a value."""

_ANY: Final = re.compile(r".+", re.DOTALL)
_PLACE: Final = re.compile(r"\{ \$([a-z_0-9]+) \}")
_HIDDEN: Final = "\ue002"


@dataclass(frozen=True)
class Pattern:
    """A message: the ``literals`` before, between and behind its placeholders, and the ``keys`` of these."""

    name: str
    literals: tuple[str, ...]
    keys: tuple[str, ...]

    @property
    def own(self) -> int:
        """How many characters are its own."""
        return sum(map(len, self.literals))

    def values(self, text: str, seen: str) -> dict[str, str] | None:
        """What stands in the places, each at least one character and as short as may be; None if the text is another.
        ``seen`` is the text with its quotes hidden: literals are found there, but for those that have a quote."""
        if not (text.startswith(self.literals[0]) and text.endswith(self.literals[-1])):
            return None
        if not self.keys:
            return {} if text == self.literals[0] else None
        at, end = len(self.literals[0]), len(text) - len(self.literals[-1])
        values: dict[str, str] = {}
        for key, literal in zip(self.keys, (*self.literals[1:-1], None), strict=True):
            if literal is None:
                until = end
            else:
                until = (text if "'" in literal or '"' in literal else seen).find(literal, at + 1, end)
            if until <= at or values.setdefault(key, text[at:until]) != text[at:until]:
                return None
            if not _SHAPES.get(key, _ANY).fullmatch(values[key]):
                return None
            at = until + len(literal or "")
        return values


def pattern_of(name: str, text: str) -> Pattern:
    """A message's pattern from its line in the catalogue. Patterns have placeholders, and no choices: the library of
    messages, which takes long to read a catalogue, is not needed to tell them apart."""
    pieces = _PLACE.split(text)
    return Pattern(name, tuple(unquoted(each) for each in pieces[::2]), tuple(pieces[1::2]))


def hidden(text: str) -> str:
    """The text with as many characters of another kind in the place of each that stands in quotes."""
    return _QUOTED.sub(lambda found: _HIDDEN * len(found[0]), text) if "'" in text or '"' in text else text


def split(text: str, between: str) -> list[str]:
    """The members of a list that this expression parts, except where it stands in quotes."""
    seen, parts, at = hidden(text), [], 0
    for found in re.finditer(between, seen):
        parts.append(text[at : found.start()])
        at = found.end()
    return [*parts, text[at:]]


class Index:
    """Patterns by the rarest of their words."""

    def __init__(self, patterns: Sequence[Pattern]) -> None:
        words = [frozenset(_words(pattern)) for pattern in patterns]
        often = Counter(word for each in words for word in each)
        self._by_word: dict[str, list[Pattern]] = {}
        self._always: list[Pattern] = []
        for pattern, mine in zip(patterns, words, strict=True):
            rarest = min(mine, key=lambda word: (often[word], -len(word), word), default=None)
            (self._always if rarest is None else self._by_word.setdefault(rarest, [])).append(pattern)

    def matches(self, text: str) -> Iterator[tuple[Pattern, Mapping[str, str]]]:
        """Every pattern that a text has, with its values: as it stands between the quotes, or else wherever."""
        near = [self._by_word[word] for word in dict.fromkeys(re.findall(r"\w+", text)) if word in self._by_word]
        patterns = [*self._always, *(pattern for some in near for pattern in some)]
        for seen in dict.fromkeys((hidden(text), text)):
            found = [(each, values) for each in patterns if (values := each.values(text, seen)) is not None]
            if found:
                yield from found
                return


def _words(pattern: Pattern) -> Iterator[str]:
    """The whole words in its literals: none that a value may go on."""
    last = len(pattern.literals) - 1
    for number, literal in enumerate(pattern.literals):
        for found in re.finditer(r"\w+", literal):
            if (number == 0 or found.start() > 0) and (number == last or found.end() < len(literal)):
                yield found[0]
