"""The catalogues: the same messages in every language, all used, safe on a page, and right in their plurals."""

from __future__ import annotations

import ast
import html
import re
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest
from babel import Locale
from fluent.syntax import ast as fluent
from fluent.syntax.visitor import Visitor
from hypothesis import given
from hypothesis import strategies as st

import pathkit
from pathkit.errors import InputError
from pathkit.handover.pages.cautions import cautions, cautions_of_previews
from pathkit.handover.support.messages import ALARMS, ERRORS
from pathkit.handover.support.words import CODES
from pathkit.texts import catalogue, plain
from pathkit.texts import findings as told_in
from pathkit.texts.language import ENGLISH, LANGUAGES, Code, Language, language_of

HOME = Path(pathkit.__file__).parent
TEXTS = HOME / "texts"
PAGES = HOME / "handover/pages/templates"
FILES = catalogue.files_of("en")
OTHERS = [code for code in LANGUAGES if code != "en"]
PATTERNS = told_in.FILES
"""Files whose English messages are what a finding is recognised by."""
IN_PAGES = ("common", "index", "chooser", "choose", "preview", "watch", "sheet", "cautions", "least")
GERMAN = Language("de")


def names(code: Code = "en") -> list[str]:
    return [name for file in catalogue.files_of(code) for name in catalogue.messages(code, file)]


def message(code: Code, name: str) -> fluent.Message:
    return catalogue.messages(code, name.partition("-")[0])[name]


@cache
def every_text(code: Code, name: str) -> tuple[str, ...]:
    return catalogue.literals(message(code, name))


class Said(NamedTuple):
    """What a module says: every string (also each piece of one with values), how strings with values begin, and the
    names of its classes."""

    strings: frozenset[str]
    beginnings: frozenset[str]
    classes: frozenset[str]


@cache
def said_by(path: Path) -> Said:
    """Read once for all tests that look for something in every module."""
    strings, beginnings, classes = set(), set(), set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            strings.add(node.value)
        elif isinstance(node, ast.JoinedStr) and node.values and isinstance(node.values[0], ast.Constant):
            beginnings.add(str(node.values[0].value))
        elif isinstance(node, ast.ClassDef):
            classes.add(node.name)
    return Said(frozenset(strings), frozenset(beginnings), frozenset(classes))


@cache
def modules() -> tuple[Path, ...]:
    return tuple(HOME.rglob("*.py"))


def test_a_message_is_the_same_by_itself_as_in_its_whole_file() -> None:
    # parsed by Fluent's own library, which reads a file as a whole
    for code in LANGUAGES:
        for name in names(code):
            assert catalogue.message(code, name).equals(message(code, name), ["comment", "span"])
        assert {each for file in catalogue.files_of(code) for each in catalogue._sources(code, file)} == {*names(code)}


# --- the same in every language ---------------------------------------------------------------------------------------


def test_every_language_has_a_folder_and_every_folder_a_language() -> None:
    assert {path.name for path in TEXTS.iterdir() if (path / "common.ftl").exists()} == set(LANGUAGES)


@pytest.mark.parametrize("code", OTHERS)
def test_every_message_is_there_with_the_same_placeholders(code: Code) -> None:
    assert sorted(names(code)) == sorted(names())
    for name in names():
        mine, theirs = message(code, name), message("en", name)
        assert catalogue.placeholders(mine) == catalogue.placeholders(theirs), name
        assert catalogue.references(mine) == catalogue.references(theirs), name


@pytest.mark.parametrize("code", OTHERS)
def test_nothing_is_left_untranslated(code: Code) -> None:
    """Whole sentences differ; what is short may be alike in two languages."""
    same = [name for name in names() if every_text(code, name) == every_text("en", name)]
    assert not [name for name in same if len(" ".join(every_text("en", name)).split()) > 3], same


class Selects(Visitor):
    """The keys of every choice in a message."""

    def __init__(self) -> None:
        self.keys: list[set[str]] = []

    def visit_SelectExpression(self, node: fluent.SelectExpression) -> None:  # noqa: N802 - the library's name
        keys = (variant.key for variant in node.variants)
        self.keys.append({key.name if isinstance(key, fluent.Identifier) else key.value for key in keys})
        self.generic_visit(node)


def choices(code: Code, name: str) -> list[set[str]]:
    found = Selects()
    found.visit(message(code, name))
    return found.keys


@pytest.mark.parametrize("code", LANGUAGES)
def test_a_choice_by_number_has_every_form_that_the_language_has(code: Code) -> None:
    """The forms are those of the Unicode CLDR's plural rules, as Babel has them."""
    forms = {*Locale.parse(code, sep="-").plural_form.tags, "other"}
    for name in names(code):
        for keys in choices(code, name):
            if "one" in keys and "other" in keys and not {"none", "several"} & keys:
                assert forms <= keys, name


@pytest.mark.parametrize("code", OTHERS)
def test_a_choice_by_word_has_the_same_words(code: Code) -> None:
    for name in names():
        theirs, mine = ({frozenset(keys) for keys in choices(each, name)} for each in ("en", code))
        plural = {keys for keys in theirs | mine if "other" in keys and "one" in keys}
        if name.partition("-")[0] in PATTERNS:
            # The English is a pattern, and puts a word of the code in as it is.
            words = frozenset().union(*(mine - plural)) - {"other"}
            assert theirs == set(), name
            assert words <= code_words(), name
        else:
            assert theirs - plural == mine - plural, name


@cache
def code_words() -> frozenset[str]:
    """Every text of the code, and what its classes are called in findings."""
    every = [said_by(path) for path in modules()]
    return frozenset().union(*(each.strings | {name.lower() for name in each.classes} for each in every))


def test_an_installed_package_has_every_catalogue() -> None:
    """As hatchling would pack it: a catalogue needs no step of its own to be built."""
    from hatchling.builders.wheel import WheelBuilder

    packed = {Path(each.path) for each in WheelBuilder(str(HOME.parent)).recurse_included_files()}
    assert set(TEXTS.rglob("*.ftl")) <= packed
    assert len(list(TEXTS.rglob("*.ftl"))) == len(LANGUAGES) * len(FILES)


# --- nothing is missing, nothing is left over -------------------------------------------------------------------------


def scripts() -> list[tuple[str, str]]:
    """(file of the catalogue, text) of each script."""
    parts = (
        (file, path)
        for file, glob in (("choose", "chooser.js"), ("watch", "preview/*.js"))
        for path in PAGES.glob(glob)
    )
    return [(file, path.read_text(encoding="utf-8")) for file, path in parts]


def called() -> set[str]:
    """The names that templates and scripts ask for in a call."""
    found = {name for path in PAGES.glob("*.html") for name in re.findall(r'\bt\("([\w-]+\w)"', path.read_text())}
    for file, text in scripts():
        found |= {f"{file}-{name}" for name in re.findall(r'\b(?:say|word)\("([\w-]+)"[,)]', text) if name[:2] != "n-"}
    return found


def asked() -> tuple[set[str], set[str]]:
    """The names that modules, templates and scripts may ask for, and beginnings of names."""
    whole: set[str] = set()
    begun: set[str] = set()
    for path in modules():
        whole |= said_by(path).strings
        begun |= said_by(path).beginnings
    for path in PAGES.glob("*.html"):
        text = path.read_text(encoding="utf-8")
        whole |= set(re.findall(r'\bt\("([\w-]+)"', text))
        begun |= set(re.findall(r'\bt\("([\w-]+-)" ~', text))
    for file, text in scripts():
        whole |= {f"{file}-{name}" for name in re.findall(r'"([a-z][\w-]*)"', text)}
        begun |= {f"{file}-{name}" for name in re.findall(r"\b(?:say|word)\(`([\w-]+-)\$\{", text)}
    return whole, {each for each in begun if each.count("-")}


def test_no_message_is_left_over() -> None:
    whole, begun = asked()
    starts = tuple(begun | {f"{each}-" for each in whole if re.fullmatch(r"[a-z]+(-[a-z]+)+", each)})
    used = {name for name in names() if name in whole or name.startswith(starts)}
    inner = {each for name in names() for each in catalogue.references(message("en", name))}
    apart = {name for name in names() if name.partition("-")[0] in (*PATTERNS, "terminal", *plain.FILES)}
    assert set(names()) - used - inner - apart == set()


def test_no_message_that_is_asked_for_is_missing() -> None:
    known = set(names())
    like = re.compile(rf"({'|'.join(FILES)})(-[a-z0-9]+)+")
    whole = {text for path in modules() for text in said_by(path).strings if like.fullmatch(text)}
    missing = {each for each in whole - known if not any(name.startswith(f"{each}-") for name in known)}
    assert missing <= {"grbl-front-left", "grbl-back-right"}, "machines of the demo"
    assert called() - known == {"watch-busy"}, "the script's own say(id, words)"


def test_tables_of_numbers_and_codes_have_a_text_for_each() -> None:
    texts = set(names())
    assert {f"codes-{code.replace('.', '_')}" for code in CODES} == {
        name for name in texts if name.startswith("codes-") and name[6] in "GM"
    }
    for kind, numbers in (("error", ERRORS), ("alarm", ALARMS)):
        assert {f"grbl-{kind}-{n}" for n in numbers} == {name for name in texts if name.startswith(f"grbl-{kind}-")}


@pytest.mark.parametrize("code", LANGUAGES)
def test_cautions_are_complete_in_every_language(code: Code) -> None:
    """What each must name, in the words of the language; common practice, no source."""
    words = {
        "en": ("manual", "rules", "trained", "eye and ear", "dust", "mask", "gloves", "hold-down", "collet", "zero",
               "air-cut", "extinguisher", "stop button", "stop first", "spindle has stopped"),
        "de": ("Anleitung", "Regeln", "ausgebildet", "Schutzbrille und Gehörschutz", "Staub", "Staubmaske",
               "Handschuhe", "Aufspannung", "Spannzange", "Nullpunkt", "Luftschnitt", "Feuerlöscher", "Not-Aus",
               "zuerst anhalten", "Spindel steht"),
    }  # fmt: skip
    said = " ".join(cautions(Language(code)))
    assert [word for word in words[code] if word not in said] == []
    assert len(cautions(Language(code))) == len(cautions())
    assert all(any(word in each for each in cautions_of_previews(Language(code))) for word in words[code][-3:-2])


# --- safe on a page ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("code", LANGUAGES)
def test_texts_hold_no_markup_but_for_a_few_tags_in_templates(code: Code) -> None:
    templates = {name for path in PAGES.glob("*.html") for name in re.findall(r'\bt\("([\w-]+)"', path.read_text())}
    for name in names(code):
        text = "".join(every_text(code, name))
        bare = re.sub(r"</?(strong|code|kbd)>", "", text)
        assert not re.search(r"[<>&]", bare), name
        assert bare == text or name in templates, name
        assert not any(ord(letter) < 32 or 0x202A <= ord(letter) <= 0x202E for letter in text), name
        if name.partition("-")[0] in IN_PAGES:
            assert '"' not in text, name  # it may stand in an attribute


HOSTILE = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\ue000\ue001"), max_size=40)


@given(HOSTILE, HOSTILE)
def test_a_value_is_never_read_as_a_message(title: str, machine: str) -> None:
    for say in map(Language, LANGUAGES):
        assert title in say("preview-title", title=title, machine=machine)
        page = say.marked_up("preview-of", machine=machine)
        assert "<" not in str(page).replace("<strong>", "").replace("</strong>", "")
        assert machine in html.unescape(re.sub(r"</?strong>", "", page))


def test_a_value_may_look_like_a_placeholder_or_be_long() -> None:
    for text in ("{ $machine }", "{machine}", "{ cautions-manual }", "$&", "x" * 5000, "‮abc‏", "'\"<script>"):
        assert ENGLISH("draw-for", file=text, machine="m") == f"{text} for m"
        assert ENGLISH("draw-for", file="f", machine=text) == f"f for {text}"
        assert GERMAN("draw-for", file=text, machine=text) == f"{text} für {text}"


def test_scripts_get_each_message_with_its_places_by_name() -> None:
    for file in ("choose", "watch"):
        for say in map(Language, LANGUAGES):
            told = say.templates(file)
            assert set(told) == set(catalogue.messages("en", file))
            for name, text in told.items():
                assert set(re.findall(r"\{(\w+)\}", text)) == catalogue.placeholders(message("en", name)), name


def test_numbers_have_the_marks_of_the_language() -> None:
    """Decimal comma in German: DIN 1333, and the Unicode CLDR."""
    assert ENGLISH.number("3.5 × 12 mm (0.25 in)") == "3.5 × 12 mm (0.25 in)"
    assert GERMAN.number("3.5 × 12 mm (0.25 in)") == "3,5 × 12 mm (0,25 in)"
    assert GERMAN.number("End. 3.") == "End. 3."
    assert [say("mail-order", count=12000) for say in (ENGLISH, GERMAN)] == [
        "12000 differences in the order of moves", "12000 Unterschiede in der Reihenfolge der Bewegungen",
    ]  # fmt: skip
    assert GERMAN("preview-wrong", count=1) == "Die Prüfung hat darin 1 Fehler gefunden; unten sind alle aufgeführt."
    assert ENGLISH("sheet-step-tabs", count=1, width="w", height="h").startswith("Each part is held by 1 tab, w wide")
    assert GERMAN("sheet-step-tabs", count=2, width="w", height="h").startswith("Jedes Teil wird von 2 Haltestegen")


def test_a_language_without_texts_is_refused() -> None:
    with pytest.raises(InputError, match=r"no texts in the language 'xx'; choose one of en, de"):
        language_of("xx")
    assert language_of("de") == GERMAN


def test_a_missing_value_is_an_error_and_never_a_hole_in_a_sentence() -> None:
    with pytest.raises(LookupError, match="draw-for"):
        ENGLISH("draw-for", file="f")
    with pytest.raises(LookupError):
        ENGLISH("draw-nothing")
