"""Findings in the language of a page.

Whatever judges in the library writes its findings in English and knows nothing of languages: they are data that comes
back from certificates, manifests and other processes. So a finding's English sentence is what it is looked up by: each
message of the English catalogues in `FILES` is also a pattern, and what stands in the place of its placeholders is put
into the same message of the other language. A sentence that several messages fit is read as the one that leaves least
of it to values. A sentence without a message, such as one of a plugin's own check, stays as it is.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from pathkit.findings import Finding
from pathkit.texts import catalogue, in_inches
from pathkit.texts.language import ENGLISH, Language
from pathkit.texts.patterns import Index, Pattern, pattern_of, split
from pathkit.texts.plain import lines

FILES: Final = (
    "findings",
    "jobs",
    "checks",
    "limits",
    "findings_audit",
    "findings_forms",
    "findings_jobs",
    "findings_machine",
    "findings_model",
    "findings_passes",
    "findings_proof",
    "findings_readback",
    "findings_parts",
    "findings_cli",
    "findings_dialect",
    "findings_drawings",
    "findings_handover",
    "findings_operations",
    "findings_starters",
    "findings_tour",
    "click",
)
_WITHIN: Final = "findings_parts"
"""The file of what is no sentence: it is read in the place of a placeholder only."""
_KNOWN: Final = frozenset({"known", "also"})
"""Placeholders for what must be a sentence that is read."""
_SENTENCES: Final = frozenset({"what", "why", "material", "who", "whoever", "spot", *_KNOWN})
"""Placeholders for what is a sentence of a finding, too."""
_LISTS: Final = {
    "where": ", ",
    "places": r", (?=\S+ mm²)",
    "limits": " and ",
    "every": " and ",
    "either": " or ",
    "lacking": " and no ",
    "tops": " and ",
    "shapes": ", ",
    "changes": r", (?![^()]*\))(?!the precedence or how)",
}
"""Placeholders for several of them, and what stands between."""
_DEEPEST: Final = 8
"""Sentences within sentences that are read."""
_REMEMBERED: Final = 2048


def in_words(text: str, say: Language, units: str = "mm") -> str:
    """An English sentence of a finding, or the name of a check, in another language; its figures in inches for whoever
    reads these (``units`` is ``inch``)."""
    if (say == ENGLISH and units != "inch") or not text:
        return text
    return _told(text, _reading(text, 0), say, units)


@dataclass(frozen=True)
class Reading:
    """A sentence as a message: its values, and how they are read (several, where they are a list)."""

    pattern: Pattern
    values: Mapping[str, str]
    parts: Mapping[str, tuple[tuple[str, Reading | None], ...]]

    @functools.cached_property
    def own(self) -> int:
        """Characters that are those of messages."""
        inner = (each for parts in self.parts.values() for _, each in parts)
        return self.pattern.own + sum(each.own for each in inner if each is not None)


def _told(text: str, reading: Reading | None, say: Language, units: str, *, both: bool = True) -> str:
    if reading is None:
        return text
    values: dict[str, str] = {}
    for key, value in reading.values.items():
        if key in reading.parts:
            parts = [_told(*each, say, units, both=key not in _LISTS) for each in reading.parts[key]]
            values[key] = _listed(key, parts, say)
        else:
            values[key] = value
    return message(reading.pattern.name, values, say, units, both=both)


def message(name: str, values: Mapping[str, str], say: Language, units: str, *, both: bool = True) -> str:
    """The text of a message that was recognised, in the reader's ``units``. What it chooses by is taken as a number; a
    length that stands alone is told in mm, too, where it is told in inches, if ``both``."""
    counted = catalogue.counted(say.code, name)
    given = {key: int(value) if key in counted and _is_count(value) else value for key, value in values.items()}
    if units != "inch":
        return say(name, **given)
    return in_inches.told(say(name, **in_inches.marked(name, given)), say, both=both)


def _is_count(value: str) -> bool:
    return value.isdecimal() and str(int(value)) == value


def _listed(key: str, told: list[str], say: Language) -> str:
    if " and " in _LISTS.get(key, ""):
        return say.listed(told)
    return say.either(told) if key == "either" else ", ".join(told)


@functools.lru_cache(_REMEMBERED)
def _reading(text: str, depth: int) -> Reading | None:
    """The sentence as the message that has most of it."""
    found = readings(text, depth) if depth <= _DEEPEST else ()
    return min(found, key=lambda each: (-each.own, each.pattern.name), default=None)


def readings(text: str, depth: int = 0) -> Iterator[Reading]:
    """The sentence as each message that fits it. ``depth``: how many sentences it stands within."""
    for pattern, values in _index(within=depth > 0).matches(text):
        inner = [key for key in values if key in _SENTENCES or key in _LISTS]
        parts = {key: tuple(_parts(key, values[key], depth + 1)) for key in inner}
        if all(reading is not None for key in _KNOWN for _, reading in parts.get(key, ())):
            yield Reading(pattern, values, parts)


def _parts(key: str, value: str, depth: int) -> Iterator[tuple[str, Reading | None]]:
    """A value that is a sentence itself, or several; any other stands for itself, whatever it says: it may be a
    name."""
    for each in split(value, _LISTS[key]) if key in _LISTS else [value]:
        yield each, _reading(each, depth)


def said_with_remedy(finding: Finding, say: Language, units: str = "mm") -> str:
    """What a finding says, and what to do about it, in the reader's ``units``."""
    what = in_words(finding.what, say, units)
    return say("finding-remedy", what=what, fix=in_words(finding.fix, say, units)) if finding.fix else what


def said(finding: Finding, say: Language, units: str = "mm") -> str:
    """All of a finding in one line: where, what, the controller's code, and what to do; in the reader's ``units``."""
    if say == ENGLISH:
        told = replace(finding, what=in_words(finding.what, say, units), fix=in_words(finding.fix, say, units))
        return str(told)
    what = said_with_remedy(finding, say, units)
    if finding.code:
        what = say("finding-code", what=in_words(finding.what, say, units), code=finding.code)
        what = say("finding-remedy", what=what, fix=in_words(finding.fix, say, units)) if finding.fix else what
    places = [] if finding.file is None else [finding.file]
    places += [] if finding.line is None else [say("finding-line", line=finding.line)]
    places += [] if finding.toolpath is None else [say("finding-toolpath", name=f"{finding.toolpath!r}")]
    places += [] if finding.path is None else [finding.path]
    return say("finding-placed", where=", ".join(places), what=what) if places else what


@functools.cache
def _index(*, within: bool) -> Index:
    """The English messages, and those that are read within a sentence only."""
    return Index([each for file in FILES if within or file != _WITHIN for each in _patterns(file)])


@functools.cache
def _patterns(file: str) -> tuple[Pattern, ...]:
    return tuple(pattern_of(name, text) for name, text in lines(ENGLISH.code, file).items())
