"""Findings in the language of a page.

Whatever judges in the library writes its findings in English and knows nothing of languages: they are data that comes
back from certificates, manifests and other processes. So a finding's English sentence is what it is looked up by: each
message of the English catalogues in `_FILES` is also a pattern, and what stands in the place of its placeholders is put
into the same message of the other language. A sentence without a message, such as one of a plugin's own check, stays as
it is.
"""

from __future__ import annotations

import functools
import re
from dataclasses import replace
from typing import Final

from pathkit.findings import Finding
from pathkit.texts import catalogue, in_inches
from pathkit.texts.language import ENGLISH, Language

_FILES: Final = (
    "findings",
    "findings_cli",
    "findings_dialect",
    "findings_drawings",
    "findings_handover",
    "findings_operations",
    "findings_starters",
    "findings_tour",
    "click",
    "jobs",
    "checks",
    "limits",
)
_SENTENCES: Final = frozenset({"what", "why", "material", "who", "whoever"})
"""Placeholders for what is a sentence of a finding, too."""
_LISTS: Final = {
    "where": ", ",
    "places": r", (?=\S+ mm²)",
    "limits": " and ",
    "lacking": " and no ",
    "tops": " and ",
    "shapes": ", ",
    "changes": r", (?![^()]*\))(?!the precedence or how)",
}
"""Placeholders for several of them, and what stands between."""


def in_words(text: str, say: Language, units: str = "mm") -> str:
    """An English sentence of a finding, or the name of a check, in another language; its figures in inches for whoever
    reads these (``units`` is ``inch``)."""
    return _in_words(text, say, inches=units == "inch", both=True)


def _in_words(text: str, say: Language, *, inches: bool, both: bool) -> str:
    if (say == ENGLISH and not inches) or not text:
        return text
    for name, pattern in _patterns():
        if (found := pattern.fullmatch(text)) is not None:
            values = {key: _inner(key, value, say, inches) for key, value in found.groupdict().items()}
            if not inches:
                return say(name, **values)
            return in_inches.told(say(name, **in_inches.marked(name, values)), say, both=both)
    return text


def _inner(key: str, value: str, say: Language, inches: bool) -> str:
    """A value that is a sentence itself, or several; any other stands for itself, whatever it says: it may be a
    name."""
    if key in _LISTS:
        told = [_in_words(each, say, inches=inches, both=False) for each in re.split(_LISTS[key], value)]
        return say.listed(told) if " and " in _LISTS[key] else ", ".join(told)
    return _in_words(value, say, inches=inches, both=True) if key in _SENTENCES else value


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
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    """(name, pattern) of every English message, those with most words of their own first."""
    found = []
    for file in _FILES:
        for name, message in catalogue.messages(ENGLISH.code, file).items():
            own = "".join(catalogue.literals(message))
            found.append((len(own), name, re.compile(expression_of(name), re.DOTALL)))
    return tuple((name, pattern) for _, name, pattern in sorted(found, key=lambda each: (-each[0], each[1])))


def expression_of(name: str) -> str:
    """The regular expression of a message: a group for each placeholder, which the second time must hold the same."""
    message = catalogue.messages(ENGLISH.code, name.partition("-")[0])[name]
    places = {each: f"\ue000{each}\ue001" for each in catalogue.placeholders(message)}
    text = re.escape(ENGLISH(name, **places))
    seen: set[str] = set()

    def group(found: re.Match[str]) -> str:
        key = found[1]
        again = key in seen
        seen.add(key)
        return f"(?P={key})" if again else f"(?P<{key}>.+?)"

    return re.sub("\ue000([a-z_0-9]+)\ue001", group, text)
