"""Files put in place whole or not at all, and never over somebody else's.

A manifest in the folder lists every file written there, with its SHA-256. A file that it does not list, or lists with
other bytes, is foreign: the build is refused unless overwriting was requested, and even then only files of the same
name are replaced. Files whose bytes did not change are not touched.

One process writes at a time (`pathkit.handover.claim`). What a killed process left half done is finished by the next
one before anything else (`pathkit.handover.journal`).
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from pathkit.errors import InputError, OutputError
from pathkit.files import read_bytes
from pathkit.findings import Finding
from pathkit.handover.claim import LOCK, claimed
from pathkit.handover.journal import DONE, JOURNAL, STAGING, exchange, leads_through_link, mark_of, settle, stays_inside

MANIFEST: Final = "pathkit-manifest.json"
OWN: Final = frozenset({STAGING, DONE, LOCK})
"""The folder that exists only during writing, or after writing was interrupted."""

_VERSION: Final = 1
_LARGEST: Final = 64_000_000
_DROPPINGS: Final = frozenset({".DS_Store", "Thumbs.db", "desktop.ini"})  # file browsers leave them everywhere


@dataclass(frozen=True)
class Written:
    """Result of writing: paths relative to the folder, sorted; ``new`` and ``changed`` were written, others not."""

    new: tuple[str, ...]
    changed: tuple[str, ...]
    unchanged: tuple[str, ...]
    removed: tuple[str, ...]


def sha256(data: bytes) -> str:
    """Hexadecimal, lower case (FIPS 180-4)."""
    return hashlib.sha256(data).hexdigest()


def write_folder(out: Path, files: Mapping[str, bytes], *, force: bool = False) -> Written:
    """Make ``out`` hold exactly ``files`` (relative paths with ``/``) and the manifest, beside foreign files.

    Files of an earlier build that are no longer among them are removed. Raises `InputError` naming every foreign file
    unless ``force``, and if another process is writing there; `OutputError` if something cannot be written, and then
    the folder is as it was.
    """
    with claim_folder(out, force=force) as claim:
        return write_claimed(claim, files, force=force)


@contextmanager
def claim_folder(out: Path, *, force: bool = False) -> Iterator[Path]:
    """Claim ``out`` for writing, finish what a killed process left there, and refuse foreign files in it.

    Yields the absolute path that `write_claimed` takes. Raises what `write_folder` raises.
    """
    out = Path(os.path.abspath(out))
    if out.exists() and not out.is_dir():
        raise InputError(f"{str(out)!r} is not a folder; name another, or move the file away")
    with claimed(out):
        settle(out, force=force)
        refuse_foreign(out, force=force)
        yield out


def write_claimed(
    out: Path, files: Mapping[str, bytes], *, force: bool = False, kept: Collection[str] = (),
    notes: Mapping[str, Any] | None = None,
) -> Written:  # fmt: skip
    """`write_folder` for a folder that is claimed by `claim_folder`. Of an earlier build's files those in ``kept`` stay
    as they are, and listed; ``notes`` are plain values that `about` returns later."""
    refuse_foreign(out, force=force)
    _refuse_blocked(out, files)
    listed = listed_in(out)
    staying = {name: listed[name] for name in kept if name in listed and name not in files}
    every = {**files, MANIFEST: _manifest(files, staying, notes or {})}
    plan = _plan(out, every, {name: value for name, value in listed.items() if name not in staying})
    fresh = {name: every[name] for name in (*plan.new, *plan.changed)}
    if fresh or plan.removed:
        _exchanged(out, fresh, plan.removed)
    return plan


def add_claimed(
    out: Path, files: Mapping[str, bytes], *, among: str, force: bool = False, notes: Mapping[str, Any]
) -> Written:  # fmt: skip
    """Like `write_claimed`, for a part of a claimed folder: what the last build listed in its folder ``among`` becomes
    exactly ``files`` (paths in ``out``), and everything else stays as it is, and listed. ``notes`` replace the last.

    Foreign files are looked for in ``among`` alone, so that the thousandth part costs no more than the first.
    """
    listed = listed_in(out)
    mine = {name: value for name, value in listed.items() if name.startswith(f"{among}/") or name in files}
    taken = [n for n in sorted({*mine, *files}) if os.path.lexists(out / n) and not _is_ours(out, n, listed)]
    if taken and not force:
        fix = "move it away, or use --force, which replaces it"
        raise InputError(
            Finding(check="folder", what="was changed since it was written", fix=fix, file=str(out / n)) for n in taken
        )
    _refuse_blocked(out, files)
    staying = {name: value for name, value in listed.items() if name not in mine}
    every = {**files, MANIFEST: _manifest(files, staying, notes)}
    plan = _plan(out, every, mine)
    fresh = {name: every[name] for name in (*plan.new, *plan.changed)}
    if fresh or plan.removed:
        _exchanged(out, fresh, plan.removed)
    return plan


def write_beside(folder: Path, files: Mapping[str, bytes], *, force: bool = False) -> None:
    """Put ``files`` (bare names) into a folder that may hold other things: all of them or none.

    Raises `InputError` naming every file of that name with other bytes unless ``force``; `OutputError` if something
    cannot be written, and then the folder is as it was.
    """
    folder = Path(os.path.abspath(folder))
    if folder.exists() and not folder.is_dir():
        raise InputError(f"{str(folder)!r} is not a folder; name another")
    with claimed(folder):
        settle(folder, force=force)
        _refuse_blocked(folder, files)
        taken = [n for n in sorted(files) if os.path.lexists(folder / n) and not _same(folder / n, files[n])]
        if taken and not force:
            fix = "choose another name, move it away, or use --force"
            raise InputError(
                Finding(check="folder", what="a file of that name is there already", fix=fix, file=str(folder / n))
                for n in taken
            )
        _exchanged(folder, files, ())


def _exchanged(out: Path, files: Mapping[str, bytes], removed: tuple[str, ...]) -> None:
    try:
        exchange(out, files, removed)
    except OSError as error:
        reason = error.strerror or str(error)
        raise OutputError(f"{str(out)!r} cannot be written: {reason}; it is as it was before") from None


def _manifest(files: Mapping[str, bytes], kept: Mapping[str, str], notes: Mapping[str, Any]) -> bytes:
    return manifest_text({**kept, **{name: sha256(data) for name, data in files.items()}}, notes)


def manifest_text(sums: Mapping[str, str], notes: Mapping[str, Any]) -> bytes:
    """A manifest of files (path → SHA-256) with its notes; `manifest_from` reads it."""
    values = {"pathkit": "manifest", "version": _VERSION, **({"about": dict(notes)} if notes else {})}
    return (json.dumps({**values, "files": dict(sorted(sums.items()))}, indent=1) + "\n").encode("ascii")


def listed_in(out: Path) -> dict[str, str]:
    """File → SHA-256 of the last build; empty if there was none. A manifest that makes no sense lists nothing; one that
    cannot be read is an `InputError`."""
    return _manifest_of(out)[0]


def about(out: Path) -> dict[str, Any]:
    """The notes of the last build on the folder. They may come from anywhere, so nothing in them is certain."""
    return _manifest_of(out)[1]


def _manifest_of(out: Path) -> tuple[dict[str, str], dict[str, Any]]:
    if not os.path.lexists(out / MANIFEST):
        return {}, {}
    # A failing disk is not an empty list: the files in it would then be left behind for ever.
    return manifest_from(read_bytes(out / MANIFEST, _LARGEST))


def manifest_from(text: bytes) -> tuple[dict[str, str], dict[str, Any]]:
    """Files (path → SHA-256) and notes of a manifest; both are empty for one that makes no sense."""
    files, notes = _understood(text)
    return dict(files), dict(notes)


@lru_cache(maxsize=1)
def _understood(text: bytes) -> tuple[dict[str, str], dict[str, Any]]:
    """Each folder of a hand-out asks the one manifest for each of its files: the same bytes are read once. Nobody
    changes what is within the notes."""
    try:
        data = json.loads(text)
        if data["pathkit"] != "manifest" or data["version"] != _VERSION:
            return {}, {}
        files, notes = dict(data["files"]), data.get("about")
    except (ValueError, KeyError, TypeError, RecursionError):
        return {}, {}
    # The folder may come from anywhere: a path that leads out of it would remove somebody else's file.
    inside = {name: str(value) for name, value in files.items() if stays_inside(str(name))}
    return inside, notes if isinstance(notes, dict) else {}


def below(folder: Path, suffix: str) -> list[Path]:
    """The files below ``folder`` with this suffix, sorted; without those that are still being put in place."""
    found = folder.rglob(f"*{suffix}")
    return sorted(path for path in found if OWN.isdisjoint(path.relative_to(folder).parts))


def broken_off(folder: Path) -> tuple[Finding, ...]:
    """An error for ``folder`` and each folder below it in which a writer was killed between the first file and the
    last: old and new files may be mixed there."""
    places = [path.parent.parent for path in sorted(folder.rglob(f"{STAGING}/{JOURNAL}"))]
    what = "a build was broken off here: old and new files may be mixed, so cut none of them"
    fix = "build into this folder again; that first finishes the build that was broken off"
    return tuple(Finding(check="folder", what=what, fix=fix, file=str(place)) for place in places)


def refuse_foreign(out: Path, *, force: bool = False) -> None:
    """Raise `InputError` naming every file in ``out`` that no build wrote, or that was changed since; not if ``force``.

    `write_folder` checks again; checking before a long build saves the wait.
    """
    out = Path(os.path.abspath(out))
    if out.exists() and not out.is_dir():
        raise InputError(f"{str(out)!r} is not a folder; name another, or move the file away")
    if force or not out.is_dir():
        return
    listed = listed_in(out)
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
        what = "a link or a folder is in the place of a file or a folder of this build"
        fix = "move it away, or choose another folder"
        raise InputError(Finding(check="folder", what=what, fix=fix, file=str(out / name)) for name in blocked)


def _present(out: Path) -> list[str]:
    """Every file and link below ``out``, except in the staging folder of a build that was broken off."""
    found: list[str] = []
    for place, folders, names in os.walk(out):
        here = Path(place)
        if here == out:
            folders[:] = [name for name in folders if name not in OWN]
            names = [name for name in names if name != LOCK]
        links = [name for name in folders if (here / name).is_symlink()]
        found += [(here / name).relative_to(out).as_posix() for name in (*names, *links) if name not in _DROPPINGS]
    return found


def _is_ours(out: Path, name: str, listed: Mapping[str, str]) -> bool:
    try:
        return name in listed and mark_of(out / name) == listed[name]
    except OSError:
        return False


def _is_blocked(out: Path, name: str) -> bool:
    """Whether a folder on the way to ``name`` is a link or a file, or a folder is in its place."""
    return (out / name).is_dir() or leads_through_link(out, name)


def _plan(out: Path, every: Mapping[str, bytes], listed: Mapping[str, str]) -> Written:
    new: list[str] = []
    changed: list[str] = []
    unchanged: list[str] = []
    for name in sorted(every):
        path = out / name
        if not os.path.lexists(path):
            new.append(name)
        elif _same(path, every[name]):
            unchanged.append(name)
        else:
            changed.append(name)
    gone = [name for name in sorted(listed) if name not in every and _is_ours(out, name, listed)]
    return Written(tuple(new), tuple(changed), tuple(unchanged), tuple(gone))


def _same(path: Path, data: bytes) -> bool:
    try:
        return mark_of(path) == sha256(data)
    except OSError:
        return False
