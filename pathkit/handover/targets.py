"""Where the folders of many builds go: a folder of this computer, or a URL. Each variant is put there whole.

A `Target` keeps one manifest for all: its files with their SHA-256, a row of the index for each folder, and the digest
that each folder was made with.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Protocol

from pathkit.errors import OutputError
from pathkit.handover.atomic_write import about, add_claimed, claim_folder, listed_in, write_claimed
from pathkit.handover.finished import finished_among
from pathkit.handover.journal import mark_of
from pathkit.handover.kept import INDEX, kept_in
from pathkit.handover.pages import render
from pathkit.handover.pages.sheet import index_row
from pathkit.handover.result import Folder
from pathkit.handover.stored_once import NOTE, shared_in, to_share

Index = Callable[[str, str, Sequence[Mapping[str, Any]], Sequence[Mapping[str, Any]]], bytes]


class Target(Protocol):
    """An open place for results. Only one process writes to it."""

    def finished(self, digests: Mapping[str, str]) -> frozenset[str]:
        """The folders (of folder → digest) that are there, whole, and made with that digest."""

    def put(self, folder: Folder, digest: str) -> None:
        """Put a folder in place, whole or not at all. Raises `InputError` for foreign files in its place, `OutputError`
        if it cannot be written."""

    def close(self) -> None:
        """Write the index of everything that is there."""


@contextmanager
def target_of(
    out: str | Path, *, force: bool, mark: str, title: str, index: Index = render.index_of, once: bool = False
) -> Iterator[Target]:
    """Open ``out`` for writing; its index is written when it is left, also early. ``mark`` is that of all jobs, empty
    if they have several. ``index`` makes the page from title, that mark, the rows of all folders, and their files.
    ``once``: in a folder of this computer, files of equal cuts are stored once (`pathkit.handover.stored_once`).

    Raises `InputError` for foreign files unless ``force``, if another build is at work there, and for a URL that cannot
    be used; `OutputError` if it cannot be written.
    """
    if isinstance(out, str) and "://" in out:
        from pathkit.handover.remote import RemoteTarget, opened

        place = opened(out)
        if not isinstance(place, Path):
            yield from _closing(RemoteTarget(*place, force=force, mark=mark, title=title, index=index))
            return
        out = place
    with claim_folder(Path(out), force=force) as claim:
        yield from _closing(LocalTarget(claim, force=force, mark=mark, title=title, index=index, once=once))


def _closing(target: Target) -> Iterator[Target]:
    try:
        yield target
    except OutputError:
        raise  # the index could not be written either
    except BaseException:
        target.close()
        raise
    target.close()


class LocalTarget:
    """A claimed folder of this computer: each variant is one exchange of `pathkit.handover.journal`."""

    def __init__(self, claim: Path, *, force: bool, mark: str, title: str, index: Index, once: bool = False) -> None:
        self.claim, self.force, self.mark, self.title, self.index = claim, force, mark, title, index
        self.once = once
        self._changed = False

    def finished(self, digests: Mapping[str, str]) -> frozenset[str]:
        """The folders that are there, whole, and made with that digest."""
        return finished_among(
            digests, listed_in(self.claim), about(self.claim), lambda name: mark_of(self.claim / name)
        )

    def put(self, folder: Folder, digest: str) -> None:
        """Put a folder in place, whole or not at all."""
        files = {f"{folder.name}/{name}": data for name, data in folder.files.items()}
        notes = with_folder(about(self.claim), folder.name, row_of(folder), digest, self.mark)
        add_claimed(self.claim, files, among=folder.name, force=self.force, notes=notes)
        self._changed = True

    def close(self) -> None:
        """Write the index of everything that is there."""
        if not self._changed:
            return
        kept, _ = kept_in(self.claim, ())
        columns = list(dict.fromkeys(name for each in kept for name in each.row if name not in ("href", "mark")))
        rows = [each.index_row(self.mark or each.mark, columns) for each in kept]
        current = {each.folder for each in kept if not self.mark or each.is_of(self.mark)}
        every, notes = listed_in(self.claim), about(self.claim)
        if self.once:
            shared = to_share(every, shared_in(notes), rows)
            notes = {**notes, NOTE: dict(sorted(shared.items()))}
            every = {name: value for name, value in every.items() if name not in shared}
            for row in rows:
                mine = f"{row['folder']}/"
                row["stored"] = {n.removeprefix(mine): p for n, p in shared.items() if n.startswith(mine)}
        sums = {n: v for n, v in every.items() if n != INDEX and n.rpartition("/")[0] in current}
        listed = [{"name": n, "size": (self.claim / n).stat().st_size, "sha": v} for n, v in sums.items()]
        index = {INDEX: self.index(self.title, self.mark, rows, listed)}
        if self.once:
            # Also removes what is stored elsewhere from now on.
            write_claimed(self.claim, index, force=self.force, kept=set(every), notes=notes)
        else:
            add_claimed(self.claim, index, among=INDEX, force=self.force, notes=notes)


def row_of(folder: Folder) -> dict[str, str]:
    """The folder's row of the index, as the manifest keeps it."""
    return {key: str(value) for key, value in index_row(folder).items()}


def with_folder(
    notes: Mapping[str, Any], folder: str, row: Mapping[str, str], digest: str, mark: str
) -> dict[str, Any]:  # fmt: skip
    """The notes of a manifest with one more folder. ``mark`` is empty if there are jobs of several marks."""

    def table(name: str) -> dict[str, Any]:
        found = notes.get(name)
        return dict(found) if isinstance(found, dict) else {}

    rows, finished = {**table("rows"), folder: dict(row)}, {**table("finished"), folder: digest}
    marked = {"mark": mark} if mark else {}
    # All files of this folder are in it again.
    shared = {name: place for name, place in shared_in(notes).items() if not name.startswith(f"{folder}/")}
    elsewhere = {NOTE: shared} if shared else {}
    return {**marked, "rows": dict(sorted(rows.items())), "finished": dict(sorted(finished.items())), **elsewhere}
