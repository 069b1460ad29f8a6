"""The public face as text: every name with its signature, kept in ``face.txt``.

    python tests/face/listing.py      writes it again

A change in it is a change for everyone who depends on pathkit; DEVELOPERS.md says how such changes are made.
"""

from __future__ import annotations

import importlib
import inspect
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

FACE = Path(__file__).with_name("face.txt")
MODULES = ("pathkit", "pathkit.operations", "pathkit.testing", "pathkit.tour")


def listing() -> str:
    """All of it, sorted."""
    lines: list[str] = []
    for module in MODULES:
        face = importlib.import_module(module)
        for name in sorted(face.__all__):
            lines += of_value(f"{module}.{name}", getattr(face, name))
    return "\n".join(lines) + "\n"


def of_value(name: str, value: Any) -> Iterator[str]:
    if inspect.isclass(value):
        yield f"class {name}{_signature(value)}"
        for member in sorted(dir(value)):
            if not member.startswith("_") and _own(value, member):
                yield from of_member(f"{name}.{member}", inspect.getattr_static(value, member))
    elif inspect.isfunction(value):
        yield f"def {name}{_signature(value)}"
    elif isinstance(value, int) or type(value).__module__ in ("typing", "types", "collections.abc"):
        yield f"{name} = {value!r}"
    else:
        yield f"{name}: {type(value).__name__}"


def of_member(name: str, value: Any) -> Iterator[str]:
    if isinstance(value, (classmethod, staticmethod)):
        yield f"  {type(value).__name__} {name}{_signature(value.__func__)}"
    elif inspect.isfunction(value):
        yield f"  def {name}{_signature(value)}"
    elif inspect.isdatadescriptor(value) or hasattr(value, "func"):
        made = getattr(value, "fget", None) or getattr(value, "func", None)
        returns = getattr(made, "__annotations__", {}).get("return", "")
        yield f"  property {name}{f' -> {returns}' if returns else ''}"
    elif not hasattr(value, "__get__"):
        yield f"  {name}"


def _own(value: type, member: str) -> bool:
    """Whether the member comes from pathkit, not from tuple or Exception."""
    return any(member in vars(base) for base in value.__mro__ if base.__module__.startswith("pathkit"))


def _signature(value: Any) -> str:
    try:
        # A default that is a function shows where it happens to lie in memory.
        return re.sub(r"<function (\w+) at 0x\w+>", r"\1", str(inspect.signature(value)))
    except (TypeError, ValueError):
        return ""


if __name__ == "__main__":
    FACE.write_text(listing(), encoding="utf-8")
