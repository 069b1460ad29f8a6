"""A plugin project for one dialect: as written, it installs, is listed, passes the conformance kit and posts."""

from __future__ import annotations

import re
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path
from typing import Final

from pathkit.errors import InputError, OutputError

NAME: Final = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")
_LONGEST: Final = 40


def dialect_project(name: str, title: str | None = None) -> dict[str, str]:
    """File name → text of the project for a dialect called ``name`` (lower-case letters, digits, single hyphens).

    Raises `InputError` for an impossible name, or one that a dialect already has.
    """
    if not NAME.fullmatch(name) or len(name) > _LONGEST:
        raise InputError(
            f"{name!r} cannot be a dialect's name: lower-case letters, digits and single hyphens, such as my-router"
        )
    taken = _taken()
    if name in taken:
        raise InputError(f"{taken[name]} has a dialect called {name!r} already; choose another name")
    title = name.replace("-", " ").capitalize() if title is None else title
    if not re.fullmatch(r"[ -~]{1,60}", title) or set(title) & set('"\\{}'):
        raise InputError(f"the title {title!r}: at most 60 plain characters, no quotes, braces or backslashes")
    module = f"{name.replace('-', '_')}_posts"
    values = {
        "name": name,
        "title": title,
        "project": f"{name}-posts",
        "module": module,
        "class_name": "".join(part.capitalize() for part in name.split("-")),
    }
    named = {"pyproject.toml": "pyproject.toml", "README.md": "README.md"}
    named |= {f"{module}.py": "dialect.py", f"test_{module}.py": "tests.py"}
    return {file: _rendered(template, values) for file, template in named.items()}


def refuse_taken(folder: Path) -> None:
    """Raise `InputError` unless the folder is new or empty, `OutputError` if that cannot be seen."""
    try:
        taken = folder.exists() and (not folder.is_dir() or any(folder.iterdir()))
    except OSError as error:
        raise OutputError(f"{str(folder)!r} cannot be written: {error.strerror or error}") from None
    if taken:
        raise InputError(f"{str(folder)!r} is there already and not empty; choose another place with --out")


def _taken() -> dict[str, str]:
    from pathkit.registry import installed

    return {provided.name: provided.package for provided in installed().provided("dialect")}


def _rendered(template: str, values: Mapping[str, str]) -> str:
    from jinja2 import Environment, StrictUndefined

    text = (files("pathkit.starters") / "dialect" / f"{template}.j2").read_text(encoding="utf-8")
    made: str = Environment(undefined=StrictUndefined, keep_trailing_newline=True).from_string(text).render(values)
    return made
