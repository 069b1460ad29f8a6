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
from typing import Final

from pathkit.findings import Finding
from pathkit.texts import catalogue
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


def in_words(text: str, say: Language) -> str:
    """An English sentence of a finding, or the name of a check, in another language."""
    if say == ENGLISH or not text:
        return text
    for name, pattern in _patterns():
        if (found := pattern.fullmatch(text)) is not None:
            return say(name, **{key: _inner(key, value, say) for key, value in found.groupdict().items()})
    return text


def _inner(key: str, value: str, say: Language) -> str:
    """A value that is a sentence itself, or several; any other stands for itself, whatever it says: it may be a
    name."""
    if key in _LISTS:
        told = [in_words(each, say) for each in re.split(_LISTS[key], value)]
        return say.listed(told) if " and " in _LISTS[key] else ", ".join(told)
    return in_words(value, say) if key in _SENTENCES else value


def said_with_remedy(finding: Finding, say: Language) -> str:
    """What a finding says, and what to do about it."""
    what = in_words(finding.what, say)
    return say("finding-remedy", what=what, fix=in_words(finding.fix, say)) if finding.fix else what


def said(finding: Finding, say: Language) -> str:
    """All of a finding in one line: where, what, the controller's code, and what to do."""
    if say == ENGLISH:
        return str(finding)
    what = said_with_remedy(finding, say)
    if finding.code:
        what = say("finding-code", what=in_words(finding.what, say), code=finding.code)
        what = say("finding-remedy", what=what, fix=in_words(finding.fix, say)) if finding.fix else what
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
            found.append((len(own), name, re.compile(_expression(name), re.DOTALL)))
    return tuple((name, pattern) for _, name, pattern in sorted(found, key=lambda each: (-each[0], each[1])))


def _expression(name: str) -> str:
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
