"""Which variants of a build are finished: named by a digest of everything that their files are made from.

The manifest of the handover folder says with which digest each of its folders was made, and lists its files with their
SHA-256. A variant is finished if its digest is the one that would be made now and every one of its files is there with
its own bytes.
"""

from __future__ import annotations

import functools
import hashlib
import inspect
import json
from collections.abc import Iterable, Mapping, Sequence
from importlib import metadata
from pathlib import Path
from typing import Any, Final

from pathkit.errors import PathkitError
from pathkit.handover.stored_once import shared_in
from pathkit.jobs.order import Order, made_from

LIBRARIES: Final = ("numpy", "scipy", "shapely", "numba", "networkx", "jinja2", "spyrrow", "fluent.runtime")
"""What computes or writes: with another version of one of them nothing counts as finished."""


def digest_of(order: Order, boards: Sequence[tuple[int, ...]] = ()) -> str:
    """SHA-256 (hexadecimal) of everything that the files of ``order`` are made from: job, machine, setup, passes, what
    was asked besides, sources, pathkit's own code, that of its dialect and plugins, and the versions of `LIBRARIES`."""
    values = {
        "code": _code(order),
        "made_from": {**made_from(order), "passes": [repr(step) for step in order.passes]},
        "machine": repr(order.machine),
        "setup": repr(order.setup),
        "place": [
            order.folder,
            order.times,
            order.mark,
            order.material,
            order.wood,
            order.handout,
            repr(order.about),
            order.language.code,
        ],
        "fit": order.fit,
        "photos": [photo.digest for photo in order.photos],
        "layout": None if order.layout is None else repr(order.layout.as_dict()),
        "strength": repr(order.strength),
        "notes": [note.as_dict() for note in order.notes],
        "boards": [list(board) for board in boards],
        "sources": None if order.sources is None else _sources(order.sources),
    }
    text = json.dumps(values, sort_keys=True, default=repr)
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def finished_among(
    digests: Mapping[str, str], listed: Mapping[str, str], notes: Mapping[str, Any], there: Any
) -> frozenset[str]:
    """The folders of ``digests`` (folder → digest) that are finished.

    ``listed`` (file → SHA-256) and ``notes`` are those of the manifest; ``there(name)`` is the SHA-256 of a file as it
    is now, None if it is gone.
    """
    made = notes.get("finished")
    made = made if isinstance(made, dict) else {}
    files: dict[str, list[str]] = {}
    for name in listed:
        files.setdefault(name.rpartition("/")[0], []).append(name)
    for name, place in shared_in(notes).items():
        files.setdefault(name.rpartition("/")[0], []).append(place)
    return frozenset(
        folder
        for folder, digest in digests.items()
        if made.get(folder) == digest and folder in files and all(there(n) == listed.get(n, "") for n in files[folder])
    )


def _sources(sources: Any) -> list[Any]:
    given = [(sources.name, sources.job), *sorted(sources.beside.items())]
    return [[name, hashlib.sha256(data).hexdigest()] for name, data in given]


def _code(order: Order) -> list[str]:
    import pathkit
    from pathkit import registry

    try:
        dialect: Any = registry.find_dialect(order.machine.dialect)
    except PathkitError:
        dialect = None  # the build itself says so
    plugins = [dialect, *order.passes, *registry.checks()]
    return [pathkit.__version__, own_code(), *libraries(), *_modules(plugins)]


@functools.cache
def libraries() -> tuple[str, ...]:
    """The versions of `LIBRARIES`."""
    return tuple(f"{name} {metadata.version(name)}" for name in LIBRARIES)


_OWN: Final = frozenset({".py", ".html", ".css", ".js", ".toml", ".ftl"})


@functools.cache
def own_code() -> str:
    """SHA-256 of pathkit's own files: a version number alone does not change while somebody works on it."""
    home = Path(__file__).resolve().parents[1]
    files = sorted(p for p in home.rglob("*") if p.is_file() and p.suffix in _OWN)
    whole = hashlib.sha256()
    for path in files:
        whole.update(path.relative_to(home).as_posix().encode("utf-8") + b"\0")
        whole.update(hashlib.sha256(path.read_bytes()).digest())
    return whole.hexdigest()


def _modules(values: Iterable[Any]) -> tuple[str, ...]:
    """SHA-256 of the modules in which these plugins, and all classes that they are made from, are written."""
    found: set[str] = set()
    for value in values:
        kind = value if isinstance(value, type) or inspect.isfunction(value) else type(value)
        for each in inspect.getmro(kind) if isinstance(kind, type) else (kind,):
            found.add(_module(each.__module__, each))
    return tuple(sorted(found))


@functools.cache
def _module(name: str, value: Any) -> str:
    if name.partition(".")[0] in ("pathkit", "builtins", "typing", "abc"):
        return ""
    try:
        path = inspect.getsourcefile(value)
        return f"{name} {hashlib.sha256(Path(path or '').read_bytes()).hexdigest()}"
    except (OSError, TypeError):
        return f"{name} unknown"
