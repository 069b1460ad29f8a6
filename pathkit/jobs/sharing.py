"""Parts that are ``like`` another: its shapes and operations are filled in before anything else looks at the file.

Line numbers are copied with the values, so that a fault in something shared is reported at the line where it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final, NamedTuple

from pathkit.toml_source import Path as KeyPath
from pathkit.toml_source import TomlSource

SHARED: Final = ("outline", "zones", "precedence")
"""Keys besides shapes and operations that a part takes from the one it is like, unless it sets them itself."""


class Fault(NamedTuple):
    """What is wrong with a ``like``, where, and what to do."""

    path: KeyPath
    what: str
    fix: str


def with_shared(document: TomlSource) -> tuple[TomlSource, list[Fault]]:
    """The document with every part complete, and what is wrong with its ``like`` keys."""
    parts = document.data.get("part")
    if not isinstance(parts, list) or not any(isinstance(part, dict) and "like" in part for part in parts):
        return document, []
    found: list[Fault] = []
    lines = dict(document.lines)
    whole: list[Any] = []
    for index, part in enumerate(parts):
        model = _model(parts, index, found)
        whole.append(part if model is None else _merged(parts[model], part, ("part", model), ("part", index), lines))
    return replace(document, data={**document.data, "part": whole}, lines=lines), found


def title_of(operation: Mapping[str, Any]) -> str:
    """The operation's name, or that of its (first) shape if it has none; a chamfer's then says that it is one."""
    shape = operation.get("shape", "text")
    first = shape[0] if isinstance(shape, list) and shape else shape
    return str(operation.get("name") or (f"{first} chamfer" if operation.get("kind") == "chamfer" else first))


def _model(parts: list[Any], index: int, found: list[Fault]) -> int | None:
    """The index of the part that this one is like; None if there is none."""
    name = parts[index].get("like") if isinstance(parts[index], dict) else None
    if not isinstance(name, str):
        return None
    named = {part["name"]: k for k, part in enumerate(parts)
             if isinstance(part, dict) and isinstance(part.get("name"), str)}  # fmt: skip
    path: KeyPath = ("part", index, "like")
    others = [repr(other) for other in named if other != parts[index].get("name")]
    if name not in named or named[name] == index:
        found.append(Fault(path, f"no other part is called {name!r}", f"there are: {', '.join(others) or 'none'}"))
        return None
    if "like" in parts[named[name]]:
        what = f"the part {name!r} is itself like {parts[named[name]]['like']!r}"
        found.append(Fault(path, what, f"write like = {parts[named[name]]['like']!r}, and give what differs"))
        return None
    return named[name]


def _merged(
    model: Mapping[str, Any], part: Mapping[str, Any], there: KeyPath, here: KeyPath, lines: dict[KeyPath, int]
) -> dict[str, Any]:
    whole = dict(part)
    old = dict(lines)
    for key in SHARED:
        if key in model and key not in part:
            whole[key] = model[key]
            _carry(old, lines, (*there, key), (*here, key))
    ours, theirs = part.get("shapes", {}), model.get("shapes", {})
    if isinstance(ours, dict) and isinstance(theirs, dict):
        whole["shapes"] = {**theirs, **ours}
        for name in theirs.keys() - ours.keys():
            _carry(old, lines, (*there, "shapes", name), (*here, "shapes", name))
    own, given = part.get("operations", []), model.get("operations", [])
    if isinstance(own, list) and isinstance(given, list) and all(isinstance(each, dict) for each in (*own, *given)):
        # The first of several with one title: the others stay, and are refused where titles are looked at.
        places = {title_of(operation): k for k, operation in reversed(list(enumerate(own)))}
        left = set(range(len(own)))
        taken: list[tuple[KeyPath, Any]] = []
        for k, operation in enumerate(given):
            mine = places.pop(title_of(operation), None)
            left.discard(-1 if mine is None else mine)
            taken.append(
                ((*there, "operations", k), operation) if mine is None else ((*here, "operations", mine), own[mine])
            )
        taken += [((*here, "operations", k), own[k]) for k in sorted(left)]
        whole["operations"] = [operation for _, operation in taken]
        for k, (path, _) in enumerate(taken):
            _carry(old, lines, path, (*here, "operations", k))
    return whole


def _carry(old: Mapping[KeyPath, int], lines: dict[KeyPath, int], there: KeyPath, here: KeyPath) -> None:
    """Copies the line numbers of everything below the key path ``there`` to ``here``."""
    for path in [path for path in lines if path[: len(here)] == here]:
        del lines[path]
    lines |= {(*here, *path[len(there) :]): line for path, line in old.items() if path[: len(there)] == there}
