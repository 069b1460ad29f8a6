"""Folders at a URL, through ``fsspec``: object stores, other computers, memory.

Such a place has no renaming of folders and no locks, so the rule is another than for a folder of this computer:

1. The files of a variant are uploaded below a name that nobody reads yet: ``FOLDER/ID/``, where ID is made from their
   bytes. Each upload is checked by its size.
2. Then the manifest is uploaded beside the old one and moved over it. Only from that moment does anything name the new
   files. Moving one object over another is taken to be one step, as it is in object stores and on POSIX systems.

So whoever follows the manifest (`handed_over`) sees each variant wholly old or wholly new, also while a build runs, and
after one was killed at any moment. Files that no manifest names any more are removed at the next start, not before: a
reader may still be at work on them. Objects that are neither named by the manifest nor uploaded by a build are foreign:
the build is refused unless ``force``, and never removes them.

One build at a time writes there. Nothing enforces that, but a build that finds the manifest changed stops.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final, TypeVar

from pathkit.errors import InputError, OutputError
from pathkit.findings import Finding
from pathkit.handover.atomic_write import MANIFEST, manifest_from, manifest_text, sha256
from pathkit.handover.finished import finished_among
from pathkit.handover.result import Folder
from pathkit.handover.revision import PREVIEW
from pathkit.handover.targets import Index, row_of, with_folder

DIGITS: Final = 16
PENDING: Final = f"{MANIFEST}.new"
_OURS: Final = re.compile(rf".+/[0-9a-f]{{{DIGITS}}}/[^/]+|index-[0-9a-f]{{{DIGITS}}}\.html|{re.escape(PENDING)}")
_T = TypeVar("_T")


def opened(url: str) -> Path | tuple[Any, str]:
    """The file system and the path that a URL names; a `Path` for one of this computer (``file://``), where the usual
    machinery writes. Raises `InputError` if ``fsspec``, or what it needs for this kind of URL, is missing."""
    try:
        from fsspec.core import url_to_fs
        from fsspec.implementations.local import LocalFileSystem
    except ImportError:
        fix = "install pathkit-cam[remote], or give a folder of this computer"
        raise InputError([Finding(check="folder", what=f"{url!r} is a URL, which needs fsspec", fix=fix)]) from None
    try:
        system, path = url_to_fs(url)
    except ImportError as error:
        raise InputError([Finding(check="folder", what=f"{url!r} needs another package: {error}")]) from None
    except ValueError as error:
        fix = "give a folder, or a URL such as s3://bucket/folder"
        raise InputError([Finding(check="folder", what=f"{url!r} cannot be used: {error}", fix=fix)]) from None
    if isinstance(system, LocalFileSystem):
        return Path(path)
    return system, path.rstrip("/")


def handed_over(url: str | tuple[Any, str]) -> dict[str, bytes]:
    """The files at a URL as its manifest names them, each checked against its SHA-256; by folder and name, without the
    part that is made from their bytes.

    Raises `InputError` if there is no manifest, or if a file is not what it says.
    """
    place = opened(url) if isinstance(url, str) else url
    if isinstance(place, Path):
        from pathkit.handover.atomic_write import listed_in

        return {name: (place / name).read_bytes() for name in listed_in(place)}
    system, root = place
    before: bytes | None = None
    while True:
        text = _manifest_at(system, root)
        if text is None:
            raise InputError(f"no manifest ({MANIFEST}) at {root!r}; name a place that was built")
        try:
            return _named_by(system, root, text)
        except InputError:
            if text == before:
                raise
            before = text  # a build may have replaced it meanwhile


def _named_by(system: Any, root: str, text: bytes) -> dict[str, bytes]:
    files: dict[str, bytes] = {}
    for name, digest in manifest_from(text)[0].items():
        data = _bytes(system, f"{root}/{name}")
        if data is None or sha256(data) != digest:
            what = "it is gone" if data is None else "its bytes are not those that were written"
            raise InputError([Finding(check="folder", what=what, fix="build it again", file=f"{root}/{name}")])
        folder, _, last = name.rpartition("/")
        files[f"{folder.rpartition('/')[0]}/{last}" if folder else name] = data
    return files


class RemoteTarget:
    """An open place at a URL (see the module for what is promised)."""

    def __init__(self, system: Any, root: str, *, force: bool, mark: str, title: str, index: Index) -> None:
        self.system, self.root, self.mark, self.title, self.index = system, root, mark, title, index
        self._text = self._asked(lambda: _manifest_at(system, root))
        self.files, self.notes = manifest_from(self._text or b"")
        self._changed = False
        found = self._asked(self._present)
        self._sums = self._asked(lambda: {name: self._sum(name) for name in self.files if name in found})
        self._refuse_foreign(found, force=force)
        self._asked(lambda: self._remove([n for n in found if n not in self.files and _OURS.fullmatch(n)]))

    def finished(self, digests: Mapping[str, str]) -> frozenset[str]:
        """The folders that are there, whole, and made with that digest."""
        by_folder = {_folder_of(name): name.rpartition("/")[0] for name in self.files if "/" in name}
        made = self.notes.get("finished")
        made = made if isinstance(made, dict) else {}
        asked = {by_folder[folder]: digest for folder, digest in digests.items() if folder in by_folder}
        notes = {"finished": {by_folder[folder]: made.get(folder) for folder in by_folder}}
        whole = finished_among(asked, self.files, notes, self._sums.get)
        return frozenset(folder for folder in digests if by_folder.get(folder) in whole)

    def put(self, folder: Folder, digest: str) -> None:
        """Upload a folder, then name it in the manifest."""
        own = {name: sha256(data) for name, data in folder.files.items()}
        prefix = f"{folder.name}/{_id_of(own)}"
        notes = with_folder(self.notes, folder.name, row_of(folder), digest, self.mark)
        kept = {name: value for name, value in self.files.items() if _folder_of(name) != folder.name}
        self._place(
            {f"{prefix}/{name}": data for name, data in folder.files.items()},
            {**kept, **{f"{prefix}/{name}": value for name, value in own.items()}}, notes,
        )  # fmt: skip
        self._changed = True

    def close(self) -> None:
        """Write the index of everything that is there, below a name made from its bytes."""
        if not self._changed:
            return
        places = {_folder_of(name): name.rpartition("/")[0] for name in self.files if "/" in name}
        rows = [self._row(folder, places[folder]) for folder in sorted(places)]
        inside = {name: value for name, value in self.files.items() if "/" in name}
        sizes = self._asked(lambda: {name: self._size(name) for name in inside})
        listed = [{"name": name, "size": sizes[name], "sha": value} for name, value in inside.items()]
        index = self.index(self.title, self.mark, rows, listed)
        name = f"index-{sha256(index)[:DIGITS]}.html"
        self._place({name: index}, {**inside, name: sha256(index)}, self.notes)

    def _row(self, folder: str, place: str) -> dict[str, Any]:
        told = self.notes.get("rows")
        told = told.get(folder) if isinstance(told, dict) else None
        row = {str(key): str(value) for key, value in told.items()} if isinstance(told, dict) else {}
        columns = ("machine", "proved", "board", "times", "each", "parts", "waste", "time", "deviation")
        mark = row.get("mark", "–")
        current = not self.mark or mark == self.mark
        href = row.get("href", "").rpartition("/")[2]
        named = [f"{place}/{name}" if current else "" for name in (href, PREVIEW)]
        link, watch = (name if name in self.files else "" for name in named)
        return {
            **{name: row.get(name, "–") for name in columns},
            "folder": folder, "href": link, "preview": watch, "mark": mark, "current": current,
        }  # fmt: skip

    def _place(self, fresh: Mapping[str, bytes], files: dict[str, str], notes: dict[str, Any]) -> None:
        """Upload ``fresh``, then the manifest that names ``files``. If that fails, the old manifest still holds."""
        text = manifest_text(files, notes)
        try:
            self._upload({**fresh, PENDING: text})
            if _manifest_at(self.system, self.root) != self._text:
                what = "another build has written there meanwhile"
                raise InputError([Finding(check="folder", what=what, fix="build again", file=self.root)])
            self.system.mv(self._at(PENDING), self._at(MANIFEST))
        except BaseException as error:
            self._clear([*(name for name in fresh if name not in self.files), PENDING])
            if isinstance(error, Exception) and not isinstance(error, InputError):
                # The move itself may have been done before its answer was lost; then it counts.
                raise self._refused(error) from error
            raise
        self._text, self.files, self.notes = text, files, notes

    def _upload(self, files: Mapping[str, bytes]) -> None:
        for folder in sorted({self._at(name).rpartition("/")[0] for name in files}):
            self.system.makedirs(folder, exist_ok=True)
        for name, data in files.items():
            self.system.pipe_file(self._at(name), data)
            if (size := self._size(name)) != len(data):
                raise OSError(f"{name} has {size} bytes there instead of {len(data)}")

    def _clear(self, names: list[str]) -> None:
        """Remove what no manifest names. What cannot be removed now is removed at the next start."""
        try:
            text = _manifest_at(self.system, self.root)
            named = manifest_from(text or b"")[0]
            for name in names:
                if name not in named and self.system.exists(self._at(name)):
                    self.system.rm_file(self._at(name))
        except Exception:
            return

    def _refuse_foreign(self, found: set[str], *, force: bool) -> None:
        foreign = [n for n in found if n != MANIFEST and n not in self.files and not _OURS.fullmatch(n)]
        foreign += [name for name, value in self._sums.items() if value != self.files[name]]
        if MANIFEST in found and not self.files:
            foreign.append(MANIFEST)
        if foreign and not force:
            what = "was not written by a build, or was changed since"
            fix = "choose another place, move it away, or use --force, which replaces files of the same name"
            raise InputError(Finding(check="folder", what=what, fix=fix, file=self._at(n)) for n in sorted(foreign))

    def _remove(self, names: list[str]) -> None:
        for name in names:
            self.system.rm_file(self._at(name))

    def _present(self) -> set[str]:
        if not self.system.exists(self.root):
            return set()
        start = len(self.root) + 1
        return {str(path)[start:] for path in self.system.find(self.root)}

    def _sum(self, name: str) -> str | None:
        data = _bytes(self.system, self._at(name))
        return None if data is None else sha256(data)

    def _size(self, name: str) -> int:
        return int(self.system.info(self._at(name))["size"])

    def _at(self, name: str) -> str:
        return f"{self.root}/{name}"

    def _asked(self, ask: Callable[[], _T]) -> _T:
        try:
            return ask()
        except InputError:
            raise
        except Exception as error:
            raise self._refused(error) from error

    def _refused(self, error: Exception) -> OutputError:
        return OutputError(f"{self.root!r} cannot be written: {error}; what its manifest names is as it was before")


def _manifest_at(system: Any, root: str) -> bytes | None:
    return _bytes(system, f"{root}/{MANIFEST}")


def _bytes(system: Any, path: str) -> bytes | None:
    system.invalidate_cache()
    try:
        return bytes(system.cat_file(path))
    except FileNotFoundError:
        return None


def _folder_of(name: str) -> str:
    """The variant's folder that an uploaded file belongs to: without its own name and the part made from bytes."""
    return name.rpartition("/")[0].rpartition("/")[0]


def _id_of(sums: Mapping[str, str]) -> str:
    text = "\n".join(f"{value} {name}" for name, value in sorted(sums.items()))
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:DIGITS]
