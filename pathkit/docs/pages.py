"""The pages of the site as text: guides as they stand, public names by what they are for, keys from their forms."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any, Final

import pathkit
from pathkit.errors import InputError
from pathkit.jobs.keys import PROFILE, Key, every_key

_ROOT: Final = Path(pathkit.__file__).resolve().parent.parent

GUIDES: Final = {
    "using": "README.md",
    "embed": "",
    "dialects": "posts/README.md",
    "pass_and_check": "",
    "developers": "DEVELOPERS.md",
}
"""Each guide, and where it stands in the source if not beside this module. A wheel has them all beside it."""

_BESIDE: Final = {"posts/README.md": "dialects.md", "DEVELOPERS.md": "developers.md", "README.md": "using.md"}

_TOPICS: Final = {
    "Values of a job": ("pathkit.model",),
    "Moves and events": ("pathkit.motion",),
    "Machines": ("pathkit.machine",),
    "From a job to moves": ("pathkit.lowering", "pathkit.passes"),
    "Files and their proof": ("pathkit.api", "pathkit.posting", "pathkit.proof", "pathkit.readback"),
    "Dialects and plugins": ("pathkit.dialect", "pathkit.registry", "pathkit.hookspecs"),
    "Many variants": ("pathkit.handover",),
    "Errors and findings": ("pathkit.errors", "pathkit.findings"),
}
"""The public names by the modules that they come from."""


def guide(name: str) -> str:
    """The text of a guide, Markdown."""
    beside: Traversable = files("pathkit.docs") / "guides" / f"{name}.md"
    if beside.is_file():
        return beside.read_text(encoding="utf-8")
    source = _ROOT / GUIDES[name]
    if not source.is_file():
        raise InputError(f"the guide {name!r} is missing from this installation; install pathkit again")
    return source.read_text(encoding="utf-8")


def topics() -> dict[str, list[str]]:
    """Topic → the public names that belong to it, in the order of the list of names."""
    found: dict[str, list[str]] = {topic: [] for topic in _TOPICS}
    for name in sorted(set(dir(pathkit)) - {"__version__"}):
        found[_topic(name)].append(name)
    return found


def _topic(name: str) -> str:
    module = module_of(name)
    return next((topic for topic, rooms in _TOPICS.items() if module.startswith(rooms)), "Moves and events")


def module_of(name: str) -> str:
    """The module that a public name comes from, as the list of names says; constants have none of their own."""
    stub = (files("pathkit") / "__init__.pyi").read_text(encoding="utf-8")
    for module, names in re.findall(r"^from \.(\S+) import (\([^)]*\)|[^\n]+)", stub, re.M):
        if re.search(rf"\b{name} as {name}\b", names):
            return f"pathkit.{module}"
    return "pathkit"


def pages() -> Iterator[tuple[str, str]]:
    """Each page's file name and text; the index is first."""
    names = topics()
    reference = [f"names/{_slug(topic)}" for topic in names]
    yield "index.md", _index([*GUIDES, "job_file", "profile"], reference)
    for name in GUIDES:
        yield f"{name}.md", _linked(guide(name))
    every = every_key()
    about_profile = [key for key in every if key.path.split(".")[0] == PROFILE]
    yield "job_file.md", _keys("Every key of a job file", [key for key in every if key not in about_profile])
    yield "profile.md", _keys("Every key of a machine's profile", about_profile)
    for topic, listed in names.items():
        yield f"names/{_slug(topic)}.rst", _reference(topic, listed)


def _slug(topic: str) -> str:
    return topic.lower().replace(" ", "_")


def _index(first: list[str], then: list[str]) -> str:
    trees = "".join(
        f"```{{toctree}}\n:caption: {caption}\n:maxdepth: 1\n\n{chr(10).join(listed)}\n```\n\n"
        for caption, listed in (("To read", first), ("Every public name", then))
    )
    return f"# pathkit {pathkit.__version__}\n\nCut files for small 3-axis routers, with proof.\n\n{trees}"


def _linked(text: str) -> str:
    """A guide with its links to other guides leading to their pages; links into the source become plain text."""

    def led(link: re.Match[str]) -> str:
        told, path = link[1], link[2]
        if path.startswith(("http", "#")):
            return link[0]
        page = _BESIDE.get(path.split("#")[0])
        return f"[{told}]({page})" if page else told

    return re.sub(r"(?<!!)\[([^\]]+)\]\(([^)\s]+)\)", led, text)


def _keys(title: str, keys: list[Key]) -> str:
    """One entry a key: where it stands, its type, unit, limits and default, and what is said of it."""
    names = "NAME stands for a name of your own."
    told = [f"# {title}\n\n{names} `pathkit schema KEY` says the same at the command line.\n"]
    for key in keys:
        path = key.path.removeprefix(f"{PROFILE}.")
        parts = [key.kind, key.unit, key.limits, f"default {key.default}" if key.default else ""]
        parts.append("needed" if key.needed else "")
        told.append(f"## `{path}`\n\n*{'; '.join(filter(None, parts))}*\n")
        if key.says:
            told.append(f"{_plain(key.says)}\n")
        if key.inner:
            told.append(f"Its keys: {', '.join(f'`{each}`' for each in key.inner)}.\n")
        if key.also:
            also = [each.removeprefix(f"{PROFILE}.") for each in key.also]
            told.append(f"Also: {', '.join(f'`{each}`' for each in also)}.\n")
    return "\n".join(told)


def _plain(text: str) -> str:
    """A sentence in which nothing is a mark of Markdown."""
    return re.sub(r"([\\*_\[\]<>{}|#])", r"\\\1", text)


_BEGUN: Final = """Examples begin with ``import pathkit as pk`` and ``from dataclasses import replace``; ``job`` is a
small job of one groove, ``machine`` is ``pk.load_machine("grbl-front-left")``.
"""


def _reference(topic: str, names: list[str]) -> str:
    told = [f"{topic}\n{'=' * len(topic)}\n", _BEGUN]
    for name in names:
        value: Any = getattr(pathkit, name)
        how = "data"
        if inspect.isclass(value):
            how = "exception" if issubclass(value, BaseException) else "class"
        elif callable(value) and inspect.isroutine(inspect.unwrap(value)):
            how = "function"
        told.append(f".. auto{how}:: pathkit.{name}\n")
        if how == "class":
            told[-1] += "   :members:\n   :member-order: bysource\n"
    return "\n".join(told)
