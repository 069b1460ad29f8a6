"""Folders of an earlier build for machines that this build does not name: they stay, and the index lists them."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from pathkit.handover.atomic_write import about, listed_in
from pathkit.handover.revision import PREVIEW, SHEET
from pathkit.jobs.mark import DIGITS

INDEX: Final = "index.html"
_MARK: Final = re.compile(rf"[0-9a-f]{{{DIGITS}}}")
_LONGEST: Final = 200


@dataclass(frozen=True)
class Kept:
    """A folder of one machine's board that stays as it is. ``files`` are its own, by path; ``mark`` that of the job it
    was made from, empty if it has none; ``row`` its row in the last index, as far as that can be read."""

    folder: str
    files: tuple[str, ...]
    mark: str
    row: Mapping[str, str]

    def is_of(self, mark: str) -> bool:
        """Whether it was made from this revision of the job."""
        return self.mark == mark

    def index_row(self, mark: str, columns: Collection[str]) -> dict[str, Any]:
        """Its row of the index; without a link if it was made from another revision."""
        sheet, preview = f"{self.folder}/{SHEET}", f"{self.folder}/{PREVIEW}"
        whole = {name: self.row.get(name, "–") for name in columns}
        href, watch = (page if self.is_of(mark) and page in self.files else "" for page in (sheet, preview))
        return {
            **whole,
            "folder": self.folder,
            "href": href,
            "preview": watch,
            "mark": self.mark or "–",
            "current": self.is_of(mark),
        }


def kept_in(out: Path, slugs: Collection[str]) -> tuple[tuple[Kept, ...], tuple[str, ...]]:
    """What the last build listed in ``out`` that a build for the machines of these ``slugs`` leaves alone: its folders,
    and every file by path, including those outside any folder."""
    names = tuple(n for n in listed_in(out) if n != INDEX and n.split("/")[0] not in slugs and (out / n).is_file())
    rows = about(out).get("rows")
    rows = rows if isinstance(rows, dict) else {}
    own: dict[str, list[str]] = {}
    for name in names:
        if "/" in name:
            own.setdefault(name.rsplit("/", 1)[0], []).append(name)
    return tuple(_kept(folder, own[folder], rows.get(folder)) for folder in sorted(own)), names


def _kept(folder: str, files: list[str], told: Any) -> Kept:
    # The folder may come from anywhere: only short texts are taken, and the pages escape them.
    told = told if isinstance(told, dict) else {}
    row = {str(k): str(v)[:_LONGEST] for k, v in told.items() if isinstance(v, (str, int))}
    mark = row.get("mark", "")
    return Kept(folder, tuple(sorted(files)), mark if _MARK.fullmatch(mark) else "", row)
