"""Which revision of a job something was made from: a short mark, computed from what the job asks.

The same mark is in every cut file, sheet and certificate of a build and in its index, so that last week's sheet beside
today's cut file is noticed on paper. It is computed before any machine, recipient's bit or pass comes in: who cuts the
job, and with which of their own bits, does not make it another job.
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
"""Hexadecimal digits of a mark: with 40 bits, two revisions of one job hardly ever have the same mark by chance."""


def mark_of_file(file: JobFile) -> str:
    """The mark of a job file: of its meaning, of the bits it uses and of the bytes of its drawings.

    Machines, who made it, for whom and in which language, comments, the layout of the text, and keys set to their
    defaults do not count.
    """
    from pathkit.drawings.drawing import LARGEST

    form = file.form
    apart = {"machine", "handout", "about", "language", "tools", "tool_table"}
    asked = form.model_dump(mode="json", exclude_defaults=True, exclude=apart)
    names = {name for shape in _shapes(file) for name in (shape.svg, shape.dxf) if name is not None}
    drawings = {name: hashlib.sha256(read_bytes(file.folder / name, LARGEST)).hexdigest() for name in names}
    return _mark(
        {"asked": asked, "tools": {name: asdict(file.tools[name]) for name in file.used_bits()}, "drawings": drawings}
    )


def mark_of_jobs(jobs: Iterable[Job]) -> str:
    """The mark of jobs given as toolpaths, as they are before their passes. Their order does not count."""
    return _mark(sorted({job.digest for job in jobs}))


def _shapes(file: JobFile) -> Iterator[Shape]:
    for part in file.form.part:
        yield from part.shapes.values()
    for board in file.form.board:
        yield from (zone.shape for zone in board.zones)


def _mark(value: Any) -> str:
    text = json.dumps(value, sort_keys=True, allow_nan=False, ensure_ascii=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()[:DIGITS]
