"""Which findings are told in other languages: the list of those that are not may only grow shorter."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

import pathkit
from pathkit.texts.findings import in_words
from pathkit.texts.language import Language

HOME = Path(pathkit.__file__).parent
GERMAN = Language("de")
NAMES = {"what", "fix", "remedy"}
RAISED = {"InputError", "UnknownName", "OutputError"}
MOST_LEFT: dict[str, int] = {}
"""Sentences by room that have no German yet. Lower a number when you translate; never raise one."""


def sentence(node: ast.expr) -> str | None:
    """A text of the code, with a word of its own for each value that is put in; None for anything else."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        parts = [part.value if isinstance(part, ast.Constant) else f"V{k}" for k, part in enumerate(node.values)]
        return "".join(map(str, parts))
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
        left, right = sentence(node.left), sentence(node.right)
        return None if left is None or right is None else left + right
    return None


@cache
def told(path: Path) -> tuple[str, ...]:
    """The sentences of findings and errors in a module."""
    said: list[str] = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        found: list[ast.expr] = []
        if isinstance(node, ast.Call):
            found += [each.value for each in node.keywords if each.arg in NAMES]
            if getattr(node.func, "id", getattr(node.func, "attr", "")) in RAISED:
                found += node.args[:1]
        elif isinstance(node, ast.Assign) and any(isinstance(t, ast.Name) and t.id in NAMES for t in node.targets):
            found.append(node.value)
        for each in found:
            branches = [each.body, each.orelse] if isinstance(each, ast.IfExp) else [each]
            texts = [text for branch in branches if (text := sentence(branch)) and len(text.split()) > 2]
            said += [text for text in texts if not text.startswith("pip install")]
    return tuple(said)


def test_findings_without_german_grow_fewer() -> None:
    left: dict[str, set[str]] = {}
    for path in sorted(HOME.rglob("*.py")):
        room = path.relative_to(HOME).parts[0].removesuffix(".py")
        left.setdefault(room, set()).update(text for text in told(path) if in_words(text, GERMAN) == text)
    counts = {room: len(texts) for room, texts in sorted(left.items()) if texts}
    assert counts == MOST_LEFT
