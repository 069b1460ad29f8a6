"""Many files replaced as one: a journal records what is under way, so that the next start can finish it.

Everything new is first written into a staging folder. Then the journal is put beside it. From that moment the exchange
counts: only renames remain, and it can be seen from outside which of them have happened. A process that is killed
before the journal exists has changed nothing; one that is killed later is finished by `settle`. The last step renames
the staging folder, which ends the exchange at once.

Tested by ending the process at every call. A power cut is different: files are flushed before the journal is, and the
journal before the first rename, but what a disk does with its own cache is not known here.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import stat
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from pathkit.errors import InputError, OutputError
from pathkit.files import read_bytes
from pathkit.findings import Finding
from pathkit.handover.claim import remove_empty

STAGING: Final = ".pathkit-staging"
DONE: Final = ".pathkit-staging-done"
JOURNAL: Final = "journal.json"
_VERSION: Final = 1
_LARGEST: Final = 64_000_000

completed: list[str] = []
"""The folders and files that this process has put in place, oldest first: what an interrupted command may report."""


@dataclass(frozen=True)
class Journal:
    """An exchange: ``fresh`` maps each file that is put in place to its SHA-256, ``removed`` are taken away.

    ``before`` maps each of these names to what was there (see `mark_of`), None for nothing.
    """

    fresh: Mapping[str, str]
    removed: tuple[str, ...]
    before: Mapping[str, str | None]

    @property
    def names(self) -> tuple[str, ...]:
        return (*self.removed, *self.fresh)


def exchange(out: Path, files: Mapping[str, bytes], removed: Sequence[str] = ()) -> None:
    """Put ``files`` into the folder ``out`` and take ``removed`` away: all of it or nothing.

    ``out`` exists, is claimed, and settled. Raises `OSError` if something cannot be written; all is then as it was.
    """
    staging, names = out / STAGING, (*removed, *files)
    journal = Journal(
        {name: hashlib.sha256(data).hexdigest() for name, data in files.items()},
        tuple(removed),
        {name: mark_of(out / name) for name in names},
    )
    made: list[Path] = []
    before = len(completed)
    try:
        os.mkdir(staging)
        _stage(staging / "new", files)
        _write(staging / f"{JOURNAL}.part", _as_json(journal))
        os.rename(staging / f"{JOURNAL}.part", staging / JOURNAL)
        _flush_folder(staging)
        _finish(out, journal, made)
        # Before the last rename, so that no interrupt can fall between it and this record.
        completed.append(str(out))
        os.rename(staging, out / DONE)
    except BaseException:
        if not os.path.lexists(out / DONE):
            del completed[before:]
            _undo(out, journal, made)
        shutil.rmtree(out / DONE, ignore_errors=True)
        raise
    shutil.rmtree(out / DONE, ignore_errors=True)


def replace_file(path: Path, data: bytes) -> None:
    """One file in place of another, whole or not at all. Raises `OSError`; the file is then as it was."""
    temporary, before = path.with_name(f".{path.name}.new"), len(completed)
    try:
        temporary.write_bytes(data)
        completed.append(str(path))
        os.replace(temporary, path)
    except BaseException:
        # If it is no longer there, it is in its place.
        if temporary.exists():
            del completed[before:]
            temporary.unlink(missing_ok=True)
        raise


def is_broken_off(out: Path) -> bool:
    """Whether files of two builds may be mixed in ``out``."""
    return (out / STAGING / JOURNAL).is_file()


def settle(out: Path, *, force: bool = False) -> None:
    """Finish what a killed process began in ``out`` (claimed); if it had not come that far, only its litter is removed.

    Raises `InputError` if the files that it left were changed since, so that finishing would lose something (``force``
    overwrites it) or cannot be done; `OutputError` if a rename fails.
    """
    staging = out / STAGING
    shutil.rmtree(out / DONE, ignore_errors=True)
    if not os.path.lexists(staging):
        return
    if staging.is_symlink() or not staging.is_dir():
        raise InputError(_finding(staging, "this is in the place where a build stages its files"))
    if not is_broken_off(out):
        if (staging / "old").exists():
            raise InputError(_finding(staging, "files that a broken off build set aside, and no journal of it"))
        shutil.rmtree(staging, ignore_errors=True)
        return
    journal = _read(staging / JOURNAL)
    if linked := [name for name in journal.names if any(leads_through_link(b, name) for b in _bases(out))]:
        raise InputError(_finding(out / linked[0], "a build was broken off, and a link or a file leads elsewhere now"))
    if lost := [name for name in journal.fresh if not _is_whole(out, name, journal)]:
        raise InputError(_finding(staging / "new" / lost[0], "a build was broken off, and this is not what it staged"))
    taken = [name for name in journal.names if _is_foreign(out, name, journal)]
    if taken and not force:
        what = "a build was broken off here, and this file was changed since"
        fix = "move it away, or use --force, which replaces it"
        raise InputError(Finding(check="folder", what=what, fix=fix, file=str(out / name)) for name in taken)
    try:
        _finish(out, journal, [])
        os.rename(staging, out / DONE)
    except OSError as error:
        reason = error.strerror or str(error)
        raise OutputError(
            f"the build that was broken off in {str(out)!r} cannot be finished: {reason}; old and new files are mixed"
            " there: cut none of them"
        ) from None
    shutil.rmtree(out / DONE, ignore_errors=True)


def mark_of(path: Path) -> str | None:
    """What is at ``path``: a file's SHA-256, a link's target, or that it is neither; None for nothing."""
    try:
        kind = os.lstat(path).st_mode
    except (FileNotFoundError, NotADirectoryError):
        return None
    if stat.S_ISLNK(kind):
        return f"link to {os.readlink(path)}"
    if not stat.S_ISREG(kind):
        return "no file"
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _finish(out: Path, journal: Journal, made: list[Path]) -> None:
    """Every rename that has not happened yet. Folders that it makes are added to ``made``."""
    staging = out / STAGING
    for name in journal.names:
        path, aside, staged = out / name, staging / "old" / name, staging / "new" / name
        pending = name in journal.removed or os.path.lexists(staged)
        if pending and os.path.lexists(path) and not os.path.lexists(aside):
            if name in journal.removed and mark_of(path) != journal.before[name]:
                continue  # somebody put it there after the build was broken off
            aside.parent.mkdir(parents=True, exist_ok=True)
            os.rename(path, aside)
        if os.path.lexists(staged):
            made += [p for p in path.parents if not p.exists()]
            path.parent.mkdir(parents=True, exist_ok=True)
            os.replace(staged, path)
    for name in journal.removed:
        for parent in (out / name).parents:
            if parent == out or not remove_empty(parent):
                break


def _undo(out: Path, journal: Journal, made: list[Path]) -> None:
    """Undo everything. Raises `OutputError` if that fails too: the next start then finishes instead."""
    while True:
        try:
            _take_back(out, journal, made)
            return
        except KeyboardInterrupt:
            continue  # a second one must not interrupt this
        except OSError as error:
            reason = error.strerror or str(error)
            raise OutputError(
                f"{str(out)!r} cannot be written: {reason}; old and new files are mixed there: cut none of them, and"
                " build into it again, which finishes this build first"
            ) from None


def _take_back(out: Path, journal: Journal, made: list[Path]) -> None:
    """Undo the renames of `_finish`, as far as they happened."""
    staging = out / STAGING
    if is_broken_off(out):
        for name in reversed(journal.names):
            path, aside, staged = out / name, staging / "old" / name, staging / "new" / name
            if name in journal.fresh and not os.path.lexists(staged):
                os.rename(path, staged)
            if os.path.lexists(aside):
                path.parent.mkdir(parents=True, exist_ok=True)
                os.rename(aside, path)
        # Nothing old is left in it, and the journal is removed with it.
        os.rename(staging, out / DONE)
        shutil.rmtree(out / DONE, ignore_errors=True)
    shutil.rmtree(staging, ignore_errors=True)
    for folder in made:
        remove_empty(folder)


def _is_whole(out: Path, name: str, journal: Journal) -> bool:
    """Whether a fresh file is staged correctly, or is already in its place."""
    staged = out / STAGING / "new" / name
    return mark_of(staged) == journal.fresh[name] if os.path.lexists(staged) else True


def _is_foreign(out: Path, name: str, journal: Journal) -> bool:
    """Whether finishing would overwrite something that came here after the build was broken off."""
    path, staging = out / name, out / STAGING
    if name in journal.removed or not os.path.lexists(staging / "new" / name) or not os.path.lexists(path):
        return False
    return os.path.lexists(staging / "old" / name) or mark_of(path) != journal.before[name]


def _stage(folder: Path, files: Mapping[str, bytes]) -> None:
    os.mkdir(folder)
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        _write(path, data)


def _write(path: Path, data: bytes) -> None:
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    try:
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(handle, rest) :]
        # A full disk may show only here.
        os.fsync(handle)
    finally:
        os.close(handle)


def _flush_folder(folder: Path) -> None:
    if os.name != "posix":
        return  # Windows has no such call
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _as_json(journal: Journal) -> bytes:
    values = {"pathkit": "journal", "version": _VERSION, "fresh": dict(journal.fresh), "removed": list(journal.removed)}
    return json.dumps({**values, "before": dict(journal.before)}, indent=1).encode("ascii")


def _read(path: Path) -> Journal:
    """The journal, if it is valid and no path in it leads out of its folder. Raises `InputError`."""
    try:
        data = json.loads(read_bytes(path, _LARGEST))
        if data["pathkit"] != "journal" or data["version"] != _VERSION:
            raise ValueError("another version")
        journal = Journal(
            {str(k): str(v) for k, v in data["fresh"].items()},
            tuple(str(name) for name in data["removed"]),
            {str(k): None if v is None else str(v) for k, v in data["before"].items()},
        )
        if not all(stays_inside(name) and name in journal.before for name in journal.names):
            raise ValueError("names outside")
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise InputError(_finding(path, "the journal of a build that was broken off cannot be read")) from None
    return journal


def stays_inside(name: str) -> bool:
    """Whether a relative path leads only further down: folders may come from anywhere."""
    parts = name.replace("\\", "/").split("/")
    return not any(part in ("", ".", "..") or ":" in part or "\0" in part for part in parts)


def leads_through_link(base: Path, name: str) -> bool:
    """Whether a folder on the way from ``base`` to ``name`` is a link or not a folder."""
    path = base / name
    above = [parent for parent in path.parents if parent != base and base in parent.parents]
    return any(p.is_symlink() or (p.exists() and not p.is_dir()) for p in above)


def _bases(out: Path) -> tuple[Path, Path, Path]:
    return out, out / STAGING / "new", out / STAGING / "old"


def _finding(path: Path, what: str) -> list[Finding]:
    fix = "cut nothing from this folder; build into a new one, and move your own files away"
    return [Finding(check="folder", what=what, fix=fix, file=str(path))]
