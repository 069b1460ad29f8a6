"""Files of a hand-out that are equal are stored once: different choices may lead to the same cut.

Zero in another corner, axes that run the other way: if the board is cut alike from both, the cut files are equal, byte
for byte. Then the folder that comes first by its name keeps cut file, air cut, job and job file, and the others keep
what speaks of their own machine: sheet, preview, certificate, profile, and what is rehearsed. The manifest says where
the files that they lack are, and whoever proves a folder again finds them there by `stored`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from pathkit.handover.atomic_write import MANIFEST, about
from pathkit.handover.journal import leads_through_link, stays_inside

NOTE = "shared"
"""The note of a manifest: path of a file that is stored elsewhere → the path where it is."""


def shared_in(notes: Mapping[str, Any]) -> dict[str, str]:
    """What the notes of a manifest say is stored elsewhere. A folder may come from anywhere: paths that lead out of it
    are left out."""
    found = notes.get(NOTE)
    pairs = found.items() if isinstance(found, dict) else ()
    return {n: p for n, p in pairs if isinstance(p, str) and stays_inside(str(n)) and stays_inside(p)}


def shared_note(out: Path, folders: Collection[str]) -> dict[str, Any]:
    """The note for a manifest of ``out`` in which these folders stay as they are."""
    shared = {name: place for name, place in shared_in(about(out)).items() if name.rpartition("/")[0] in folders}
    return {NOTE: shared} if shared else {}


def stored(path: Path) -> Path:
    """Where a file of a hand-out is: ``path`` itself, or where the manifest of a folder above says."""
    if path.is_file():
        return path
    whole = path.absolute()
    for out in whole.parents[1:4]:
        if (out / MANIFEST).is_file():
            place = _place_of(whole.relative_to(out).as_posix(), about(out))
            return path if place is None or leads_through_link(out, place) else out / place
    return path


def _place_of(name: str, notes: Mapping[str, Any]) -> str | None:
    """Where the file of this path is stored instead; of all pairs in the notes only this one is looked at."""
    found = notes.get(NOTE)
    return shared_in({NOTE: {name: found.get(name)}}).get(name) if isinstance(found, dict) else None


def to_share(
    listed: Mapping[str, str], before: Mapping[str, str], rows: Sequence[Mapping[str, Any]]
) -> dict[str, str]:  # fmt: skip
    """Path → the equal file that is stored in its stead, for all folders (``rows`` of the index) whose cut files are
    those of a folder before them. ``listed`` are the files that are there, with their SHA-256; ``before`` is what has
    been stored elsewhere until now."""
    sums = {**{name: listed[place] for name, place in before.items() if place in listed}, **listed}
    own: dict[str, list[str]] = {}
    for name in sums:
        own.setdefault(name.rpartition("/")[0], []).append(name)
    found: dict[str, str] = {}
    firsts: dict[tuple[str, ...], Mapping[str, Any]] = {}
    for row in sorted(rows, key=lambda row: str(row["folder"])):
        cuts = tuple(sums.get(name, "") for name in _files(row, "cut_files"))
        if not all(cuts):
            continue
        first = firsts.setdefault(cuts, row)
        if first is row:
            continue
        pairs = [*_pairs(first, row), *((_beside(first, row, name), name) for name in own[str(row["folder"])])]
        found |= {name: kept for kept, name in pairs if kept in listed and sums[kept] == sums.get(name)}
    return found


def _pairs(first: Mapping[str, Any], row: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Cut files and air cuts, whatever their names: two controllers may call them differently."""
    for kind in ("cut_files", "air_files"):
        yield from zip(_files(first, kind), _files(row, kind), strict=True)


def _files(row: Mapping[str, Any], kind: str) -> list[str]:
    return [f"{row['folder']}/{name}" for name in str(row.get(kind, "")).split("\n") if name]


def _beside(first: Mapping[str, Any], row: Mapping[str, Any], name: str) -> str:
    """The file of the same name in the folder that comes first."""
    return f"{first['folder']}/{name.removeprefix(str(row['folder']) + '/')}"
