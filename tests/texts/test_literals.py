"""No template and no module that makes pages or letters holds a sentence of its own: all come from the catalogue."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest

import pathkit
from pathkit.machine.grammar import GROUP_OF
from pathkit.texts import catalogue
from pathkit.texts.language import ENGLISH

HANDOVER = Path(pathkit.__file__).parent / "handover"
TEMPLATES = HANDOVER / "pages/templates"
SPOKEN = ("alt", "aria-label", "aria-valuetext", "placeholder", "title")
ALLOWED = {"SHA-256"}
SCRIPTS = {
    "use strict", "button, summary, input[type=checkbox]", "the data of this page are damaged",
    '"DejaVu Sans", "Segoe UI", Arial, sans-serif', "M4 3H8V17H4ZM12 3H16V17H12Z",
}  # fmt: skip
"""Strings of scripts that no person reads."""


class Said(HTMLParser):
    """What a template says itself: texts between its tags, and in attributes that are read out."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.said: list[str] = []
        self._silent = 0
        self.feed(re.sub(r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}", " ", text, flags=re.DOTALL))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._silent += tag in ("script", "style")
        self.said += [value for name, value in attrs if name in SPOKEN and value]

    def handle_endtag(self, tag: str) -> None:
        self._silent -= tag in ("script", "style")

    def handle_data(self, data: str) -> None:
        if not self._silent:
            self.said.append(data.strip())


@pytest.mark.parametrize("path", sorted(TEMPLATES.glob("*.html")), ids=lambda path: path.name)
def test_templates_say_nothing_themselves(path: Path) -> None:
    said = Said(path.read_text(encoding="utf-8")).said
    assert [text for text in said if re.search("[A-Za-z]", text) and text not in ALLOWED] == []


def sentences(texts: Iterator[str]) -> list[str]:
    """Texts with two words in a row, tags and what is put in left out."""
    bare = (re.sub(r"<[^>]*>?|[^<]*/>|\$\{[^}]*\}", "\0", text) for text in texts)
    return [text for text in bare if re.search(r"[A-Za-z]{2,},? [a-z]{2,}", text)]


@pytest.mark.parametrize("path", sorted(TEMPLATES.rglob("*.js")), ids=lambda path: path.name)
def test_scripts_say_nothing_themselves(path: Path) -> None:
    text = re.sub(r"^\s*//.*$", "", path.read_text(encoding="utf-8"), flags=re.MULTILINE)
    text = re.sub(r"/[^/\n]+/\.test", "", text)
    found = re.findall(r"\"((?:[^\"\\\n]|\\.)*)\"|'((?:[^'\\\n]|\\.)*)'|`((?:[^`\\]|\\.)*)`", text)
    assert [each for each in sentences("".join(groups) for groups in found) if each not in SCRIPTS] == []


DATA = {
    # What a finding or a manifest holds, and this room looks for.
    "an unknown amount", "the file as sent", "the returned file", ", and the program at", ", as sent at",
    "nothing but the board around it", "not proved", "not run",
    # Kinds of lines, for JSON, and the command that starts again.
    "bit change", "program end", "after the end", "acts at once", "not read", "pathkit resume ",
}  # fmt: skip
"""Strings of modules that go to no page as they are."""


def of_the_library() -> set[str]:
    """Names of checks and of modal groups, in English as the library has them."""
    checks = {ENGLISH(name) for name in catalogue.messages("en", "checks")}
    return {*DATA, *checks, *GROUP_OF.values(), "real-time bytes", "same board", "feed mode"}


PAGES = [*(HANDOVER / "pages").glob("*.py"), *(HANDOVER / "support").glob("*.py"), HANDOVER / "chooser.py"]
OF_FINDINGS = {"Finding", "InputError", "UnknownName", "Refused", "warn"}
"""Calls whose texts are findings (`pathkit.texts.findings`), or errors for whoever types a command."""
NAMED = {"what", "fix", "remedy", "whose", "_CORNER", "_JOG", "_TOO_WEAK"}
STYLES = re.compile(r"^[\w\s#:;.,%()/'\"=-]*(sans-serif|stroke|font|fill)[\w\s#:;.,%()/'\"=-]*$")


def spoken(tree: ast.AST) -> Iterator[str]:
    """The strings of a module, without docstrings, findings and errors."""
    docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    apart: set[int] = set()
    for node in ast.walk(tree):
        call = isinstance(node, ast.Call) and getattr(node.func, "id", getattr(node.func, "attr", "")) in OF_FINDINGS
        kept = (
            isinstance(node, ast.Assign | ast.AugAssign | ast.AnnAssign)
            and {
                getattr(name, "id", "")
                for target in (node.targets if isinstance(node, ast.Assign) else [node.target])
                for name in ast.walk(target)
            }
            & NAMED
        )
        if call or kept or isinstance(node, ast.Raise | ast.Assert):
            apart |= {id(inner) for inner in ast.walk(node)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs | apart:
            yield node.value


@pytest.mark.parametrize("path", sorted(PAGES), ids=lambda path: f"{path.parent.name}/{path.name}")
def test_modules_of_pages_say_nothing_themselves(path: Path) -> None:
    found = sentences(spoken(ast.parse(path.read_text(encoding="utf-8"))))
    assert [text for text in found if not STYLES.match(text) and text not in of_the_library()] == []


def test_the_search_finds_what_it_looks_for() -> None:
    assert Said('<p aria-label="The cut">{{ t("a") }} Take care</p>').said == ["The cut", "Take care"]
    assert sentences(iter(["Take care", '<p class="a b">', "sheet-zero"])) == ["Take care"]
    tree = ast.parse(
        '"""A doc string."""\nwhat = f"it is wrong {1}"\nlabel = "you stand here"\nraise InputError("no way")'
    )
    assert sentences(spoken(tree)) == ["you stand here"]
