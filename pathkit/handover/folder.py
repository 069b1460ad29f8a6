"""Files put in place whole or not at all, and never over somebody else's.

A manifest in the folder lists every file written there, with its SHA-256. What it does not list, or lists with other
bytes, is foreign: it stands in the way unless overwriting was asked for, and even then only files of the same name are
replaced. Files whose bytes did not change are not touched.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from pathkit.errors import InputError, OutputError
from pathkit.findings import Finding

MANIFEST: Final = "pathkit-manifest.json"
STAGING: Final = ".pathkit-staging"
_VERSION: Final = 1
_DROPPINGS: Final = frozenset({".DS_Store", "Thumbs.db", "desktop.ini"})  # file browsers leave them everywhere


@dataclass(frozen=True)
class Written:
    """What came of it: paths relative to the folder, sorted. ``new`` and ``changed`` were written."""

    new: tuple[str, ...]
    changed: tuple[str, ...]
    unchanged: tuple[str, ...]
    removed: tuple[str, ...]


def sha256(data: bytes) -> str:
    """Hexadecimal, lower case (FIPS 180-4)."""
    return hashlib.sha256(data).hexdigest()


def write_folder(out: Path, files: Mapping[str, bytes], *, force: bool = False) -> Written:
    """Make ``out`` hold exactly ``files`` (relative paths with ``/``) and the manifest, beside what is foreign.

    Files of an earlier build that are no longer among them are removed. Raises `InputError` naming every foreign file
    unless ``force``; `OutputError` where something cannot be written, and then the folder is as it was.
    """
    out = Path(os.path.abspath(out))
    refuse_foreign(out, force=force)
    _refuse_blocked(out, files)
    listed = _listed(out)
    every = {**files, MANIFEST: _manifest(files)}
    plan = _plan(out, every, listed)
    fresh = {name: every[name] for name in (*plan.new, *plan.changed)}
    if fresh or plan.removed:
        try:
            _put(out, fresh, plan.removed)
        except OSError as error:
            reason = error.strerror or str(error)
            raise OutputError(f"{str(out)!r} cannot be written: {reason}; it is as it was before") from None
    return plan


def write_beside(folder: Path, files: Mapping[str, bytes], *, force: bool = False) -> None:
    """Put ``files`` (bare names) into a folder that may hold other things: all of them or none.

    Raises `InputError` naming every file of that name with other bytes unless ``force``; `OutputError` where something
    cannot be written, and then the folder is as it was.
    """
    folder = Path(os.path.abspath(folder))
    if folder.exists() and not folder.is_dir():
        raise InputError(f"{str(folder)!r} is not a folder; name another")
    _refuse_blocked(folder, files)
    taken = [n for n in sorted(files) if os.path.lexists(folder / n) and not _same(folder / n, files[n])]
    if taken and not force:
        fix = "choose another name, move it away, or use --force"
        raise InputError(
            Finding(check="folder", what="a file of that name is there already", fix=fix, file=str(folder / n))
            for n in taken
        )
    try:
        _put(folder, files, ())
    except OSError as error:
        reason = error.strerror or str(error)
        raise OutputError(f"{str(folder)!r} cannot be written: {reason}; it is as it was before") from None


def _manifest(files: Mapping[str, bytes]) -> bytes:
    sums = {name: sha256(files[name]) for name in sorted(files)}
    return (json.dumps({"pathkit": "manifest", "version": _VERSION, "files": sums}, indent=1) + "\n").encode("ascii")


def _listed(out: Path) -> dict[str, str]:
    """File → SHA-256 of the last build; empty where there was none. A manifest that cannot be read lists nothing."""
    try:
        data = json.loads((out / MANIFEST).read_bytes())
        if data["pathkit"] != "manifest" or data["version"] != _VERSION:
            return {}
        files = dict(data["files"])
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return {}
    # The folder may have come from anywhere: a path that leads out of it would remove a stranger's file.
    return {name: str(value) for name, value in files.items() if _stays_inside(str(name))}


def _stays_inside(name: str) -> bool:
    parts = name.replace("\\", "/").split("/")
    return not any(part in ("", ".", "..") or ":" in part for part in parts)


def refuse_foreign(out: Path, *, force: bool = False) -> None:
    """Raise `InputError` naming every file in ``out`` that no build wrote, or that was changed since; not if ``force``.

    `write_folder` asks again; asked before a long build it saves the wait.
    """
    out = Path(os.path.abspath(out))
    if out.exists() and not out.is_dir():
        raise InputError(f"{str(out)!r} is not a folder; name another, or move the file away")
    if force or not out.is_dir():
        return
    listed = _listed(out)
    foreign = [name for name in _present(out) if name != MANIFEST and not _is_ours(out, name, listed)]
    if (out / MANIFEST).exists() and not listed:
        foreign.append(MANIFEST)
    if foreign:
        what = "was not written by a build, or was changed since"
        fix = "choose another folder, move the file away, or use --force, which replaces files of the same name"
        raise InputError(Finding(check="folder", what=what, fix=fix, file=str(out / name)) for name in sorted(foreign))


def _refuse_blocked(out: Path, files: Mapping[str, bytes]) -> None:
    blocked = [name for name in files if _is_blocked(out, name)]
    if blocked:
        what = "a link or a folder stands where a file or a folder of this build belongs"
        fix = "move it away, or choose another folder"
        raise InputError(Finding(check="folder", what=what, fix=fix, file=str(out / name)) for name in blocked)


def _present(out: Path) -> list[str]:
    """Every file and link below ``out``, but for what a broken-off build left in its staging folder."""
    found: list[str] = []
    for place, folders, names in os.walk(out):
        here = Path(place)
        if here == out and STAGING in folders:
            folders.remove(STAGING)
        links = [name for name in folders if (here / name).is_symlink()]
        found += [(here / name).relative_to(out).as_posix() for name in (*names, *links) if name not in _DROPPINGS]
    return found


def _is_ours(out: Path, name: str, listed: Mapping[str, str]) -> bool:
    path = out / name
    try:
        return name in listed and not path.is_symlink() and sha256(path.read_bytes()) == listed[name]
    except OSError:
        return False


def _is_blocked(out: Path, name: str) -> bool:
    """Whether a folder on the way to ``name`` is a link or a file, or a folder stands in its own place."""
    path = out / name
    above = [parent for parent in path.parents if parent != out and out in parent.parents]
    return path.is_dir() or any(p.is_symlink() or (p.exists() and not p.is_dir()) for p in above)


def _plan(out: Path, every: Mapping[str, bytes], listed: Mapping[str, str]) -> Written:
    new: list[str] = []
    changed: list[str] = []
    unchanged: list[str] = []
    for name in sorted(every):
        path = out / name
        if not os.path.lexists(path):
            new.append(name)
        elif not path.is_symlink() and _same(path, every[name]):
            unchanged.append(name)
        else:
            changed.append(name)
    gone = [name for name in sorted(listed) if name not in every and _is_ours(out, name, listed)]
    return Written(tuple(new), tuple(changed), tuple(unchanged), tuple(gone))


def _same(path: Path, data: bytes) -> bool:
    try:
        return path.read_bytes() == data
    except OSError:
        return False


def _put(out: Path, fresh: Mapping[str, bytes], removed: tuple[str, ...]) -> None:
    """Write everything into a staging folder first; then only renames are left, and each can be undone."""
    exists = out.is_dir()
    made = [] if exists else [p for p in (out, *out.parents) if not p.exists()]
    staging = out / STAGING if exists else out.parent / f"{STAGING}-{out.name}"
    try:
        staging.parent.mkdir(parents=True, exist_ok=True)
        if staging.is_dir() and not staging.is_symlink():
            shutil.rmtree(staging)
        staging.mkdir()
        _stage(staging / "new", fresh)
        if exists:
            _exchange(out, staging, tuple(fresh), removed)
        else:
            os.rename(staging / "new", out)
    except BaseException:
        shutil.rmtree(staging, ignore_errors=True)
        for folder in made:
            # Only what is empty goes: nobody else's file may vanish with a folder that was made here.
            _remove_empty(folder)
        raise
    shutil.rmtree(staging, ignore_errors=True)


def _stage(folder: Path, files: Mapping[str, bytes]) -> None:
    folder.mkdir()
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("wb") as file:
            file.write(data)
            file.flush()
            # A full disk may show only here.
            os.fsync(file.fileno())


def _exchange(out: Path, staging: Path, fresh: tuple[str, ...], removed: tuple[str, ...]) -> None:
    """Old files into the staging folder, new ones out of it; everything is put back if one step fails."""
    undo: list[tuple[Path, Path]] = []
    folders: list[Path] = []
    try:
        for name in (*removed, *fresh):
            path = out / name
            if os.path.lexists(path):
                aside = staging / "old" / name
                aside.parent.mkdir(parents=True, exist_ok=True)
                os.rename(path, aside)
                undo.append((aside, path))
            if name in removed:
                continue
            folders += [p for p in path.parents if not p.exists()]
            path.parent.mkdir(parents=True, exist_ok=True)
            os.rename(staging / "new" / name, path)
            undo.append((path, staging / "new" / name))
    except BaseException:
        for here, there in reversed(undo):
            os.rename(here, there)
        for folder in folders:
            _remove_empty(folder)
        raise
    for name in removed:
        for parent in (out / name).parents:
            if parent == out or not _remove_empty(parent):
                break


def _remove_empty(folder: Path) -> bool:
    try:
        folder.rmdir()
    except OSError:
        return False
    return True
