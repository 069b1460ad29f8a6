"""What a public function is handed, looked at before anything is done with it: the right kind of value, or one error
that names the argument, what it is, and where the right one comes from."""

from __future__ import annotations

from collections.abc import Iterator
from types import NoneType
from typing import Any, Final

from pathkit.errors import InputError
from pathkit.findings import Finding

_SOURCES: Final = {
    "Job": "Job(name, stock, toolpaths)",
    "Program": "lower(job, machine) makes one of a job",
    "Posted": "post(program, machine) makes one",
    "Machine": "load_machine(path_or_name), or Machine.from_toml(text)",
    "Setup": "Setup(turn=1), say",
    "Problem": "Problem.from_points(points), or Problem.from_items(items)",
}
"""Where a value of each kind comes from."""


def expect(verb: str, **given: tuple[object, *tuple[type, ...]]) -> None:
    """Raise `InputError` for each argument that is of no kind that its function takes.

    ``given`` holds, by the argument's name, its value and the kinds allowed; ``NoneType`` among them allows None.
    """
    if found := list(_wrong(verb, given)):
        raise InputError(found)


def expect_number(verb: str, name: str, value: object, *, whole: bool = False) -> None:
    """Raise `InputError` unless the value is a number, or a whole one. True and False are neither."""
    kinds = ("__index__",) if whole else ("__float__", "__index__")
    if isinstance(value, (bool, str, bytes)) or not any(hasattr(value, kind) for kind in kinds):
        what = f"{verb}: {name} is {_shown(value)}"
        fix = "pass a whole number" if whole else "pass a number"
        raise InputError([Finding(check=verb, what=what, fix=fix, path=f"$.{name}")])


def _wrong(verb: str, given: dict[str, tuple[Any, ...]]) -> Iterator[Finding]:
    for name, (value, *kinds) in given.items():
        if isinstance(value, tuple(kinds)):
            continue
        wanted = [kind.__name__ for kind in kinds if kind is not NoneType]
        sources = [_SOURCES[each] for each in wanted if each in _SOURCES]
        fix = f"pass {_article(wanted[0])} {' or '.join(wanted)}" + "".join(f": {each}" for each in sources)
        yield Finding(check=verb, what=f"{verb}: {name} is {_shown(value)}", fix=fix, path=f"$.{name}")


def _shown(value: object) -> str:
    """A value of the wrong kind, in a few words: its kind, and itself if that is short."""
    if value is None:
        return "None"
    if isinstance(value, type):
        return f"the class {value.__name__}"
    kind = f"{_article(type(value).__name__)} {type(value).__name__}"
    text = repr(value) if isinstance(value, (str, bytes, bool, int, float)) else ""
    return f"{kind}, {text}" if 0 < len(text) <= 40 else kind


def _article(word: str) -> str:
    return "an" if word[:1].lower() in "aeiou" else "a"
