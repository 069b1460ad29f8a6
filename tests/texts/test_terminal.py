"""What the command line says is said in the language of the terminal: its own lines, and those of the library that
reads the words."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

import pathkit
from pathkit.cli import showing
from pathkit.cli.main import run
from pathkit.cli.progress import _in_words
from pathkit.cli.spoken import VARIABLE, column, told
from pathkit.handover.build import _STEPS
from pathkit.texts import catalogue, plain, terminal
from pathkit.texts.findings import in_words
from pathkit.texts.language import ENGLISH, LANGUAGES, Language
from tests.small_jobs import DISC
from tests.texts.test_findings_told import sentence

CLI = Path(pathkit.__file__).parent / "cli"
GERMAN = Language("de")
SPOKEN = {"echo", "told", "sure", "value", "one", "rest", "prompt", "confirm"}
"""Calls whose texts a person at the terminal reads."""
NAMED = {"question", "what", "words", "over"}
"""Names of texts that are handed on to them."""


@pytest.fixture(autouse=True)
def german(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, "de")


def ways(text: ast.expr) -> Iterator[ast.expr]:
    """A text, or both of those that a condition chooses between, also within one with values."""
    if isinstance(text, ast.IfExp):
        yield from (text.body, text.orelse)
        return
    yield text


def lines_of(path: Path) -> Iterator[str]:
    """What a module of the command line says."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        texts: list[ast.expr] = []
        if isinstance(node, ast.Call) and getattr(node.func, "id", getattr(node.func, "attr", "")) in SPOKEN:
            texts += node.args
        named = isinstance(node, ast.Assign) and {getattr(target, "id", "") for target in node.targets} & NAMED
        if (named or isinstance(node, ast.Return)) and node.value is not None:  # type: ignore[attr-defined]
            texts.append(node.value)  # type: ignore[attr-defined]
        for each in texts:
            for text in ways(each):
                said = sentence(text)
                if said is not None and re.search(r"[A-Za-z]{2,},? [a-z]{2,}", re.sub(r"V\d+", "", said)):
                    yield said


def test_the_command_line_says_nothing_in_english_alone() -> None:
    """Like `test_findings_told`, but nothing is left here."""
    left = {
        text
        for path in CLI.glob("*.py")
        for text in lines_of(path)
        if (shown := text.strip()) and terminal.told(shown, GERMAN) == shown
    }
    assert {text for text in left if not text.startswith("pip install")} == set()


def test_the_search_finds_what_it_looks_for(tmp_path: Path) -> None:
    path = tmp_path / "a.py"
    path.write_text('echo(f"{a}: it is done" if b else "it is not done")\nclick.echo(f"{a}: {b}")\necho("")\n')
    assert list(lines_of(path)) == ["V0: it is done", "it is not done"]


@pytest.mark.parametrize("code", [code for code in LANGUAGES if code != "en"])
def test_every_line_is_recognised_as_itself(code: str) -> None:
    say = Language(code)  # type: ignore[arg-type]
    texts = set()
    for name, message in catalogue.messages("en", "terminal").items():
        values = {each: f"V{k}" for k, each in enumerate(sorted(catalogue.placeholders(message)))}
        line = ENGLISH(name, **values)
        assert line not in texts, name
        texts.add(line)
        assert terminal.told(line, say) == say(name, **values), name
        assert terminal.told(line, ENGLISH) == line


def words_of_click() -> str:
    """All strings of the library that reads the words."""
    found = []
    for path in Path(click.__file__).parent.glob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        found += [n.value for n in ast.walk(tree) if isinstance(n, ast.Constant) and isinstance(n.value, str)]
    return "\0".join(found)


def test_the_library_still_says_what_is_translated() -> None:
    """Each piece between two values; a new version may word it otherwise, and then it would be shown in English."""
    known = words_of_click()
    lost = []
    for name, message in catalogue.messages("en", "click").items():
        for text in catalogue.literals(message):
            pieces = [piece.strip(" ().?:") for piece in re.split(r"[.:] ", text)]
            lost += [(name, piece) for piece in pieces if len(piece) > 3 and piece not in known]
    # Numbers have a name of their kind there, and what is missing is put together.
    kinds = {"is not a valid integer", "is not a valid integer range", "is not a valid float",
             "is not a valid float range"}  # fmt: skip
    assert [each for each in lost if each[1] not in kinds] == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["build", "--nope"], "Fehler: Die Option '--nope' gibt es nicht. Meinten Sie '--force'?"),
        (["buidl"], "Fehler: Den Befehl 'buidl' gibt es nicht. Meinten Sie 'build'?"),
        (["build"], "Fehler: Das Argument 'JOB' fehlt. (Aufruf: pathkit build"),
        (["build", "a.toml"], "Fehler: Die Option '--out' fehlt."),
        (["build", "a", "--out", "b", "--effort", "x"], "Ungültiger Wert für '--effort': 'x' ist keine ganze Zahl."),
        (["build", "a", "--out", "b", "--turn", "9"], "für '--turn': 9 liegt nicht im Bereich 0<=x<=3."),
        (["time", "a", "b", "--machine", "c"], "Fehler: Ein Argument zu viel (b)"),
        (["time", "a", "b", "c", "--machine", "d"], "Fehler: Argumente zu viel (b c)"),
        (["draw", "a", "--out"], "Fehler: Die Option '--out' braucht einen Wert."),
        (["demo", "a", "--quiet=3"], "Fehler: Die Option '--quiet' nimmt keinen Wert an."),
        (["tune", "a", "--machine", "b", "--out", "c", "--zero", "side"], "'side' ist keines von 'top', 'bed'."),
        (["tune", "a", "--machine", "b", "--out", "c", "--ramps", "x"], "'x' ist keine Zahl."),
        (["explain", "a", "x"], "für 'LINE': 'x' ist keine ganze Zahl."),
        (["rehearse", "--machine", "a", "--turn", "1"], "JOB und --out angeben, um die Dateien zu machen"),
        (["machine", "new", "--json", "--out", "m.toml"], "Fehler: --dialect fehlt; mit --json wird nicht gefragt"),
    ],
)
def test_refused_words_are_told_in_german(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(words) == showing.WRONG
    assert said in capsys.readouterr().err


def test_steps_of_work_are_told_in_german() -> None:
    steps = [*_STEPS, "reading", "job file", "air cut", "tabs", "reading a.nc", "comparing what they leave"]
    for step in steps:
        for message in (step, f"router: {step}", f"out/a: b/job.nc: {step}"):
            assert _in_words(message) != message, message
            assert _in_words(message).startswith(message.removesuffix(step))
    assert _in_words("router: what a plugin does") == "router: what a plugin does"
    assert _in_words("tabs: what a plugin does") == "tabs: what a plugin does"


def test_tables_have_german_names() -> None:
    english = plain.lines("en", "columns")
    assert {column(name) for name in english.values()} == set(plain.lines("de", "columns").values())
    used = {
        node.value
        for path in CLI.glob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    assert set(english.values()) <= used


def test_a_build_and_a_check_have_no_english_left(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, out = tmp_path / "job.toml", tmp_path / "out"
    job.write_text(DISC)
    assert run(["build", str(job), "--machine", "grbl-front-left", "--out", str(out)]) == showing.DONE
    said = capsys.readouterr()
    built = said.out + said.err
    assert "Bevor Sie fräsen:" in built
    assert re.search(r": \d+ neu, 0 geändert, 0 wie vorher\n", built)
    assert "nachgewiesen" in built.splitlines()[0]
    assert run(["check", str(out)]) == showing.DONE
    checked = capsys.readouterr().out
    assert re.search(r"  \d+ Prüfungen: \d+ bestanden", checked)
    assert ": in Ordnung\n" in checked
    english = re.compile(r"\b(the|and|before|proved|run|checks|machine|not|of|with)\b")
    bare = re.sub(r'".*?"|`.*?`|/\S+|\[\S+\]', "", built + checked)
    assert [line for line in bare.splitlines() if english.search(line)] == []


def test_programs_read_english(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = tmp_path / "job.toml"
    job.write_text(DISC)
    words = ["build", str(job), "--machine", "grbl-front-left", "--out", str(tmp_path / "out"), "--json"]
    assert run(words) == showing.DONE
    said = capsys.readouterr().out
    assert "Take parts out only when the spindle has stopped" in said
    assert not re.search("nachgewiesen|Fräs|Spindel", said)
    assert run(["build", "--json", "--nope"]) == showing.WRONG
    assert "No such option" in capsys.readouterr().out


def test_a_name_in_a_line_stays_as_it_is() -> None:
    for name in ("tabs", "the bit", "3 mm: ok", "Befehl", "{ $name }"):
        assert told(f"{name}: ok", "inch") == f"{name}: in Ordnung"
        assert told(f"removed: {name}") == f"entfernt: {name}"
    assert told("largest deviation 0.0254 mm", "inch") == "größte Abweichung 0,001 in (0,0254 mm)"
    assert in_words("yes", GERMAN) == "yes"
