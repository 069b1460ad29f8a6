"""The [about] of a job file: who made it, and what it looks like."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from pathkit.forms import Filled, Table, fills
from pathkit.jobs import about

FileName = Annotated[str, Field(min_length=1, max_length=200)]


class Photo(Table):
    """A photo: its ``file`` (JPEG, PNG or WebP, in the job file's folder), and the ``caption`` that stands under it and
    says what it shows to whoever does not see it."""

    file: FileName
    caption: Annotated[str, Field(min_length=1, max_length=200, pattern=r"^[^\x00-\x1f\x7f]+$")] | None = None


@fills(about.About)
class About(Filled):
    """Who made the job, and which one it is: on sheets and pages, and in comments of the cut files. ``photos`` are
    files beside the job file, or tables with their ``file`` and a ``caption``: small copies stand on sheets and pages.
    """

    photos: Annotated[list[FileName | Photo], Field(max_length=4, default_factory=list)]
