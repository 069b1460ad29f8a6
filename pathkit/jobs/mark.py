"""Which revision of a job something was made from: one short mark of what the job asks.

The same mark stands in every cut file, sheet and certificate of a build and in its index, so that a sheet of last week
beside a file of today shows on paper. It is worked out from what is asked, before any machine, bit or pass comes to it:
who is to cut it, and with which bit of theirs, makes no other job of it.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from dataclasses import asdict
from typing import TYPE_CHECKING, Any, Final

from pathkit.files import read_bytes
from pathkit.model.job import Job

if TYPE_CHECKING:
    from pathkit.jobs.reading import JobFile
    from pathkit.jobs.shape_forms import Shape

DIGITS: Final = 10
"""Hexadecimal digits of a mark: 40 bits, of which no two revisions of one job share all by chance."""


def mark_of_file(file: JobFile) -> str:
    """The mark of a job file: of its meaning, of the bits it uses and of the bytes of its drawings.

    Its machines do not count, nor do comments, layout of the text, and what is said that holds anyway.
    """
    from pathkit.drawings.drawing import LARGEST

    form = file.form
    asked = form.model_dump(mode="json", exclude_defaults=True, exclude={"machine", "tools", "tool_table"})
    names = {name for shape in _shapes(file) for name in (shape.svg, shape.dxf) if name is not None}
    drawings = {name: hashlib.sha256(read_bytes(file.folder / name, LARGEST)).hexdigest() for name in names}
    return _mark(
        {"asked": asked, "tools": {name: asdict(file.tools[name]) for name in file.used_bits()}, "drawings": drawings}
    )


def mark_of_jobs(jobs: Iterable[Job]) -> str:
    """The mark of jobs that came as toolpaths: of what they are before their passes, in whatever order."""
    from pathkit.model.codec import dumps

    return _mark(sorted({hashlib.sha256(dumps(job).encode("utf-8")).hexdigest() for job in jobs}))


def _shapes(file: JobFile) -> Iterator[Shape]:
    for part in file.form.part:
        yield from part.shapes.values()
    for board in file.form.board:
        yield from (zone.shape for zone in board.zones)


def _mark(value: Any) -> str:
    text = json.dumps(value, sort_keys=True, allow_nan=False, ensure_ascii=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()[:DIGITS]
