"""A handed-over folder as one archive: the same files give the same bytes, whenever and wherever it is made."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path
from typing import Final

from pathkit.errors import InputError, OutputError
from pathkit.findings import Finding
from pathkit.handover.atomic_write import MANIFEST, listed_in, sha256
from pathkit.handover.journal import replace_file

_EPOCH: Final = (1980, 1, 1, 0, 0, 0)
"""The earliest time that an archive can hold (APPNOTE.TXT 4.4.6, from memory): the clock says nothing of a job."""
_MODE: Final = 0o644 << 16


def zipped(out: Path) -> bytes:
    """Everything that the manifest of ``out`` lists, and the manifest, in order of name, within a folder of its name.

    Raises `InputError` for a folder that no build wrote, and for files that are gone or were changed since.
    """
    listed = listed_in(out)
    if not listed:
        raise InputError(f"{str(out)!r} was not written by a build; build it first")
    whole = io.BytesIO()
    wrong: list[Finding] = []
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name in sorted([*listed, MANIFEST]):
            path = out / name
            data = path.read_bytes() if path.is_file() else None
            if data is None or (name != MANIFEST and sha256(data) != listed[name]):
                what = "it is gone" if data is None else "it was changed since it was written"
                wrong.append(Finding(check="archive", what=what, fix="build again", file=str(path)))
                continue
            entry = zipfile.ZipInfo(f"{out.resolve().name}/{name}", _EPOCH)
            entry.external_attr, entry.create_system = _MODE, 3
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, data)
    if wrong:
        raise InputError(wrong)
    return whole.getvalue()


def write_archive(out: Path, *, force: bool = False) -> Path:
    """Write the archive of ``out`` beside it, whole or not at all; one that is there is replaced only with ``force``.

    Raises what `zipped` raises, `InputError` for another file in its place, `OutputError` if it cannot be written.
    """
    data = zipped(out)
    path = out.resolve().with_name(f"{out.resolve().name}.zip")
    if path.exists() and path.read_bytes() != data and not force:
        raise InputError(f"{str(path)!r} is there already; move it away, or use --force, which replaces it")
    try:
        replace_file(path, data)
    except OSError as error:
        raise OutputError(f"{str(path)!r} cannot be written: {error.strerror or error}") from None
    return path
