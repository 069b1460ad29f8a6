"""What the code says in English of keys and commands has its German, and is said in the language of the terminal."""

from __future__ import annotations

import inspect
import json
import re
from collections.abc import Iterator

import click
import pytest

from pathkit.cli.main import cli, run
from pathkit.cli.spoken import VARIABLE, spoken
from pathkit.jobs.key_words import in_language
from pathkit.jobs.keys import every_key
from pathkit.texts import catalogue, plain
from pathkit.texts.language import ENGLISH, LANGUAGES, Code, Language

GERMAN = Language("de")
OTHERS = [code for code in LANGUAGES if code != "en"]
CLICK = ("Usage", "Options", "Commands", "Show this message and exit.", "Show the version and exit.", "required",
         "default")  # fmt: skip
"""What the library of the command line says itself."""


def commands(group: click.Group) -> Iterator[click.Command]:
    yield group
    for command in group.commands.values():
        yield from commands(command) if isinstance(command, click.Group) else [command]


def help_texts() -> set[str]:
    found: set[str] = set()
    for command in commands(cli):
        found |= {" ".join(each.split()) for each in inspect.cleandoc(command.help or "").split("\n\n")}
        found |= {option.help for option in command.params if isinstance(option, click.Option) and option.help}
    return found


def test_every_help_text_is_in_the_catalogue_and_no_other() -> None:
    assert set(plain.lines("en", "help").values()) == help_texts() | set(CLICK)


def test_all_that_is_said_of_keys_is_in_the_catalogue_and_nothing_else() -> None:
    says = {name: text for name, text in plain.lines("en", "keys").items() if name.startswith("keys-says-")}
    assert set(says.values()) == {key.says for key in every_key() if key.says}


@pytest.mark.parametrize("code", LANGUAGES)
@pytest.mark.parametrize("file", plain.FILES)
def test_catalogues_without_places_are_read_as_fluent_reads_them(code: Code, file: str) -> None:
    messages = catalogue.messages(code, file)
    assert not any(catalogue.placeholders(each) or catalogue.references(each) for each in messages.values())
    read = {name: plain.unquoted(line) for name, line in plain.lines(code, file).items()}
    assert read == {name: Language(code)(name) for name in messages}


def test_types_limits_and_units_have_no_english_left() -> None:
    for key in every_key():
        told = in_language(key, GERMAN)
        for text in (told.kind, told.limits, told.unit):
            bare = re.sub(r'"[^"]*"|\bin\b|mm(/min)?', "", text)
            assert not re.search(r"\b(the|of|at|or|list|text|number|length|needed|above|most|least)\b", bare), told
        assert (told.path, told.default, told.also) == (key.path, key.default, key.also)
        assert in_language(key, ENGLISH) == key


def test_names_of_keys_stay_as_they_are() -> None:
    (cutting,) = (key for key in every_key() if key.path == "cutting")
    assert "feed (needed)" in cutting.inner
    assert in_language(cutting, GERMAN).inner == tuple(each.replace("needed", "nötig") for each in cutting.inner)


def test_values_in_quotes_stay_as_they_are() -> None:
    (material,) = (key for key in every_key() if key.path == "stock.material")
    assert in_language(material, GERMAN).kind.startswith('eines von "softwood", "hardwood", "plywood"')


@pytest.mark.parametrize(
    ("variables", "code"),
    [
        ({}, "en"),
        ({"LANG": "de_AT.UTF-8"}, "de"),
        ({"LANG": "C.UTF-8"}, "en"),
        ({"LANG": "fr_FR.UTF-8"}, "en"),
        ({"LANG": "de_DE", "LC_MESSAGES": "en_GB.UTF-8"}, "en"),
        ({"LC_MESSAGES": "en_GB", "LC_ALL": "de"}, "de"),
        ({"LC_ALL": "", "LANG": "de_DE@euro"}, "de"),
        ({VARIABLE: "de", "LC_ALL": "en_GB"}, "de"),
        ({VARIABLE: "en", "LANG": "de_DE"}, "en"),
    ],
)
def test_the_terminal_names_its_language(monkeypatch: pytest.MonkeyPatch, variables: dict[str, str], code: str) -> None:
    """The order of the locale's variables is that of POSIX.1-2017, Base Definitions, 8.2."""
    for name in (VARIABLE, "LC_ALL", "LC_MESSAGES", "LANG"):
        monkeypatch.delenv(name, raising=False)
    for name, value in variables.items():
        monkeypatch.setenv(name, value)
    assert spoken().code == code


@pytest.mark.parametrize("code", OTHERS)
def test_help_is_in_the_language_of_the_terminal(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], code: str
) -> None:  # fmt: skip
    english = [text for text in help_texts() | set(CLICK) if len(text.split()) > 2]
    monkeypatch.setenv(VARIABLE, code)
    for words in ([], ["build", "--help"], ["machine", "new", "--help"], ["rehearse", "--help"], ["job"]):
        assert run(words) == 0
        told = " ".join(capsys.readouterr().out.split())
        assert [text for text in english if text in told] == []
        assert "required" not in told
        assert plain.lines(code, "help")["help-usage"] in told


def test_a_key_is_told_in_the_language_asked_for_but_not_to_programs(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["schema", "stepover", "--language", "de"]) == 0
    told = capsys.readouterr().out
    assert "ein Anteil des Fräserdurchmessers" in told
    assert re.search(r"Grenzen +mindestens 0.01, höchstens 1\n", told)
    monkeypatch.setenv(VARIABLE, "de")
    assert run(["schema", "stepover"]) == 0
    assert capsys.readouterr().out == told
    assert run(["schema", "stepover", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["keys"][0]["says"] == "stepover is a share of the bit's diameter."
