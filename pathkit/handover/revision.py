"""Whether everything in a folder was made from one revision of a job.

The job's mark (`pathkit.jobs.mark`) is in every cut file, sheet and certificate of a build and in its index.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Final

from pathkit.errors import InputError
from pathkit.files import read_bytes
from pathkit.findings import Finding
from pathkit.handover.atomic_write import MANIFEST, about, below, listed_in
from pathkit.handover.stored_once import stored
from pathkit.jobs.mark import DIGITS

if TYPE_CHECKING:
    from pathkit.proof.certificate import Certificate

SHEET: Final = "setup-sheet.html"
PREVIEW: Final = "preview.html"
_SUFFIX: Final = ".proof.json"
_HEAD: Final = 4096
_IN_TEXT: Final = re.compile(rb"pathkit: job ([0-9a-f]{%d})\b" % DIGITS)
_IN_PAGE: Final = re.compile(rb"<code>([0-9a-f]{%d})</code>" % DIGITS)
_LARGEST_PAGE: Final = 64_000_000


def revisions(path: Path) -> tuple[Finding, ...]:
    """An error for each folder (below ``path``, or that of the cut file ``path``) whose certificate, cut file, sheet
    and index do not all have the same mark: something in it comes from another revision of the job."""
    from pathkit.handover.recheck import certificate_at

    beside = below(path, _SUFFIX) if path.is_dir() else sorted(path.parent.glob(f"*{_SUFFIX}"))
    found: list[Finding] = []
    for each in beside:
        try:
            certificate = certificate_at(each)
        except InputError:
            continue  # that is reported by the proof
        mine = (certificate.file.name, None if certificate.twin is None else certificate.twin.name)
        if path.is_dir() or path.name in mine:
            found += _of_certificate(each, certificate)
    return tuple(dict.fromkeys(found))


def _of_certificate(path: Path, certificate: Certificate) -> Iterator[Finding]:
    folder, mark = path.parent, certificate.mark
    index = _index_mark(path)
    if index is not None and index != mark:
        what = (
            f"this folder was made from another revision of the job: it has no mark, and the index {index}"
            if mark is None
            else f"this folder was made from another revision of the job: it has the mark {mark}, and the index {index}"
        )
        yield Finding(check="revision", what=what, fix="build it again, and cut nothing from it", file=str(folder))
    if mark is None:
        return
    for name, pattern, strange in (
        (certificate.file.name, _IN_TEXT, "the cut file belongs to another revision of the job"),
        (certificate.twin.name if certificate.twin else None, _IN_TEXT,
         "the air cut belongs to another revision of the job"),
        (SHEET if (folder / SHEET).is_file() else None, _IN_PAGE, "the sheet belongs to another revision of the job"),
    ):  # fmt: skip
        if name is None or (pattern is _IN_TEXT and not _has_comments(certificate)):
            continue
        try:
            place = stored(folder / name)
            data = read_bytes(place) if pattern is _IN_TEXT else read_bytes(place, _LARGEST_PAGE)
        except InputError:
            continue  # that is reported by the proof
        marks = [each.decode("ascii") for each in pattern.findall(data[:_HEAD] if pattern is _IN_TEXT else data)]
        if mark not in marks:
            has = f"it has {marks[0]}" if marks else "it has none"
            told = f"{strange}: its certificate has the mark {mark}, and {has}"
            yield Finding(check="revision", what=told, fix="build the folder again", file=str(folder / name))


def _index_mark(path: Path) -> str | None:
    """The mark of the index that lists this certificate, in one of the folders above; None if there is none."""
    for out in path.resolve().parents[:3]:
        if (out / MANIFEST).is_file():
            mark = about(out).get("mark")
            listed = path.resolve().relative_to(out).as_posix() in listed_in(out)
            return mark if listed and isinstance(mark, str) else None
    return None


def _has_comments(certificate: Certificate) -> bool:
    from pathkit import registry

    return registry.capabilities_of(certificate.machine).comment is not None
