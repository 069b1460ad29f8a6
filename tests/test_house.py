"""Rules of the project that a program can check."""

from __future__ import annotations

import ast
import dataclasses
import inspect
import re
import subprocess
import sys
from pathlib import Path
from typing import get_origin

import pytest

import pathkit as pk

PUBLIC: list[str] = vars(pk)["__all__"]

ROOT = Path(__file__).resolve().parent.parent
SOURCES = sorted([*(ROOT / "pathkit").rglob("*.py"), *(ROOT / "posts").rglob("*.py")])
HEAVY = ("numba", "scipy", "shapely", "networkx", "pydantic", "jinja2", "click", "rich", "fluent", "babel")


def loaded_after(statement: str) -> set[str]:
    code = f"{statement}; import sys; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return {name.split(".")[0] for name in done.stdout.split()}


def test_importing_the_package_loads_nothing_heavy() -> None:
    assert loaded_after("import pathkit").isdisjoint({*HEAVY, "numpy"})


def test_values_can_be_made_without_the_heavy_libraries() -> None:
    made = "import pathkit as pk; pk.Stock(1, 1, 1); pk.Curve.circle((0, 0), 1); pk.Tool('a', 1)"
    assert loaded_after(made).isdisjoint(HEAVY)


@pytest.mark.parametrize("name", PUBLIC)
def test_every_public_name_is_there_and_documented(name: str) -> None:
    value = getattr(pk, name)
    if callable(value) and not name.startswith("__") and get_origin(value) is None:
        assert value.__doc__, f"{name} has no docstring"


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))
def test_modules_and_functions_stay_readable(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.count("\n") <= 400, "split the module"
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            lines = (node.end_lineno or node.lineno) - node.lineno + 1
            assert lines <= 75, f"{node.name} has {lines} lines"


def test_the_top_level_holds_what_the_plan_allows() -> None:
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if tracked.returncode:
        return  # a source distribution has no history to ask
    tops = {line.split("/")[0] for line in tracked.stdout.splitlines()}
    allowed = {"pyproject.toml", "README.md", "DEVELOPERS.md", "pathkit", "posts", "tests", "benchmarks"}
    assert {top for top in tops if not top.startswith(".")} <= allowed


UNITS = re.compile(r"\b(mm|degrees?|rpm|seconds?|s|radians?|inch(es)?|share)\b", re.IGNORECASE)


@pytest.mark.parametrize("name", sorted(PUBLIC))
def test_public_docstrings_say_what_and_in_which_unit(name: str) -> None:
    """What takes or holds lengths, speeds or angles names the unit; a function that refuses says what it raises."""
    value = getattr(pk, name)
    if not callable(value) or get_origin(value) is not None:
        return  # an alias of a type has no docstring of its own
    told = inspect.getdoc(value) or ""
    assert len(told) > 15
    assert not told.startswith(f"{name}("), "the docstring is the signature that a dataclass makes"
    if dataclasses.is_dataclass(value):
        types = [str(field.type) for field in dataclasses.fields(value)]
    elif inspect.isfunction(value):
        signature = inspect.signature(value)
        types = [str(each.annotation) for each in signature.parameters.values()] + [str(signature.return_annotation)]
    else:
        return
    numbers = re.compile("float|Length|Least0|From0|Above0|Number|Speeds|Angle|Bite")
    assert not any(numbers.search(each) for each in types) or UNITS.search(told)
    if inspect.isfunction(value) and re.search(r"^    +raise ", inspect.getsource(value), re.MULTILINE):
        assert "Raises" in told
