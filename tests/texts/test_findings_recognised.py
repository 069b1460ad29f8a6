"""Findings are recognised by their English sentences, whatever names they hold, and told in every other language."""

from __future__ import annotations

import errno
import os
import re
from collections.abc import Callable, Iterator
from itertools import chain, pairwise

import pytest

from pathkit.feeds.materials import USUAL
from pathkit.proof.certificate import NOT_PROVED
from pathkit.readback.faults import WORDING
from pathkit.texts import catalogue, plain
from pathkit.texts import findings as told_in
from pathkit.texts.findings import in_words
from pathkit.texts.language import ENGLISH, Code, Language
from pathkit.texts.patterns import pattern_of
from tests.texts.test_catalogues import GERMAN, OTHERS, PATTERNS, TEXTS, every_text, message, modules, said_by
from tests.texts.test_findings_told import told as told_of

MADE_OF_PARTS = (
    *(
        f"findings-{name}"
        for name in (
            "turned-board-fix", "zero-jog-", "change", "chords", "arcs-in-parts", "weak-", "steady",
            "value-works-share", "start-feeds", "rubs", "breaks", "edge", "feed-", "signal-spindle-on-", "at-",
            "lift-", "unset-", "mixed-units", "unknown-arc-fix",
        )
    ),
    "findings_audit-hole-none", "findings_audit-line-inches-", "findings_audit-not-cut-in-copy",
    "findings_audit-rest-lines", "findings_audit-rest-rings",
    "findings_forms-value-", "findings_jobs-there-are-none", "findings_model-entry-fix",
    "findings_parts-a-", "findings_parts-the-one-at", "findings_proof-end-not", "findings_proof-loose-waste",
    "findings_proof-on-",
    "findings_cli-bed-", "findings_dialect-claims-arcs-none", "findings_drawings-there-", "findings_drawings-crossing",
    "findings_drawings-touching", "findings_drawings-shape-", "findings_drawings-path-", "findings_handover-revision-",
    "findings_handover-stale-", "findings_operations-relief-", "findings_operations-copy-large",
    "findings_operations-part-large",
    "findings_tour-start-in-matrix", "findings_tour-end-in-matrix", "terminal-check-of-no-job", "terminal-ask-",
)  # fmt: skip
"""Patterns of findings that the code puts together from a few parts."""

NOT_OF_THE_CODE = ("findings_forms-must-", "findings_forms-no-language")
"""Patterns of what pydantic says, and of what this room itself says."""


SYSTEM = (
    errno.ENOENT, errno.EACCES, errno.EPERM, errno.ENOSPC, errno.EROFS, errno.EISDIR, errno.ENOTDIR, errno.ENAMETOOLONG,
    errno.EIO, errno.EBUSY,
)  # fmt: skip
"""Refusals of the system that have German."""


def test_refusals_of_the_system_are_told() -> None:
    for number in SYSTEM:
        told = in_words(f"'out' cannot be written: {os.strerror(number)}; it is as it was before", GERMAN)
        assert os.strerror(number) not in told, told


def test_every_pattern_is_a_sentence_of_the_code() -> None:
    """Of each text between two placeholders: a finding that was reworded must be reworded here, too."""
    every = [text for path in modules() if TEXTS not in path.parents for text in said_by(path).strings]
    code = "\0".join([*every, *map(os.strerror, SYSTEM)])
    pairs = {pair for text in code.split("\0") for pair in pairwise(re.findall(r"[\w/²-]+", text))}
    pieces = [
        (name, piece.strip(" ();:,.'"))
        for file in (*PATTERNS, "terminal")
        if file != "click"
        for name in catalogue.messages("en", file)
        if not name.startswith(NOT_OF_THE_CODE)
        for piece in every_text("en", name)
    ]
    long = [(name, words) for name, words in pieces if len(words) > 3 and words not in code]
    assert [each for each in long if not each[0].startswith(MADE_OF_PARTS)] == []
    for name, words in long:
        joints = [pair for pair in pairwise(re.findall(r"[\w/²-]+", words)) if pair not in pairs]
        assert len(joints) <= 2, (name, joints)


@pytest.mark.parametrize("code", OTHERS)
def test_every_pattern_is_recognised_as_itself(code: Code) -> None:
    say = Language(code)
    texts = set()
    for name in patterns():
        english, told = with_values(name, say, lambda k: f"V{k}")
        assert english not in texts, name
        texts.add(english)
        assert in_words(english, say) == told, name
        assert in_words(english, ENGLISH) == english


def test_patterns_are_what_their_messages_say() -> None:
    """They are read without the library that reads messages."""
    for name in patterns():
        file = name.partition("-")[0]
        pattern = pattern_of(name, plain.lines("en", file)[name])
        values = {key: f"V{k}" for k, key in enumerate(sorted(catalogue.placeholders(message("en", name))))}
        assert set(pattern.keys) == set(values), name
        pieces = chain(*zip(pattern.literals, [*(values[key] for key in pattern.keys), ""], strict=True))
        assert "".join(pieces) == ENGLISH(name, **values), name
    assert all(len(plain.lines("en", file)) == len(catalogue.messages("en", file)) for file in PATTERNS)


def patterns() -> Iterator[str]:
    return (name for file in PATTERNS for name in catalogue.messages("en", file))


def with_values(name: str, say: Language, value: Callable[[int], str]) -> tuple[str, str]:
    """A message with values, in English and in another language: within another one if it is read only there."""
    words = {"field": "width", "type": "str"}
    values = {k: words.get(k) or value(n) for n, k in enumerate(sorted(catalogue.placeholders(message("en", name))))}
    known = "findings_parts-crossing-empty"

    def told(speak: Language) -> str:
        text = speak(name, **{key: speak(known) if key in ("known", "also") else each for key, each in values.items()})
        return speak("findings_proof-change-after", what=text) if name.startswith("findings_parts-") else text

    return told(ENGLISH), told(say)


@pytest.mark.parametrize("code", OTHERS)
@pytest.mark.parametrize(
    "text",
    ["x at (1.5, 2), and the job asks for 3 mm", "a; it is cut (twice) or not", "2.5 mm in the thinnest board (5 mm)",
     'it\'s "the part"', "tabs", "plywood", "is never cut"],
)  # fmt: skip
def test_names_may_hold_the_words_of_any_message(text: str, code: Code) -> None:
    """A name stands in quotes, and is handed on as it is."""
    say = Language(code)
    for name in patterns():
        if not any(re.search(r"^['\"]|['\"]$", piece) for piece in every_text("en", name)):  # it has quotes of its own
            english, told = with_values(name, say, lambda _: repr(text))
            assert in_words(english, say) == told, name


def test_of_two_messages_that_fit_a_sentence_of_the_code_one_fits_better() -> None:
    for path in modules():
        for text in told_of(path):
            fits = sorted((each.own for each in told_in.readings(text)), reverse=True)
            assert len(set(fits[:2])) == len(fits[:2]), text


def test_what_is_known_by_heart_is_recognised() -> None:
    every = [*NOT_PROVED, *(text for pair in WORDING.values() for text in pair), *USUAL]
    every += [usual.caution for usual in USUAL.values() if usual.caution]
    same = {"mdf", "hdf", "hdpe"}
    assert [text for text in every if in_words(text, GERMAN) == text and text not in same] == []


def test_a_name_in_a_finding_stays_as_it_is() -> None:
    """Names come from outside, and may be words of a check, of a material or of a finding."""
    for name in ("'tabs'", "'plywood'", "'the spindle off'", "'3.5 mm { $x }'", "'<b>'"):
        told = in_words(f"the bit changes to {name}: set Z again unless both stick out equally far", GERMAN)
        assert told == f"der Fräser wechselt auf {name}: Setzen Sie Z neu, außer beide ragen gleich weit heraus"
    assert in_words("what a plugin found", GERMAN) == "what a plugin found"
