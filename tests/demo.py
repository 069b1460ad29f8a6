"""The job of the demo, made once for all tests: nothing can change a job."""

from __future__ import annotations

from functools import lru_cache

from pathkit.jobs.demo import NAME, demo_job, demo_text
from pathkit.jobs.reading import JobFile, job_file_of
from pathkit.model.job import Job


@lru_cache(maxsize=1)
def demo() -> Job:
    """Twelve cable-tidy plates on a board, before any pass."""
    return demo_job()


def two_of_the_demo() -> JobFile:
    """The demo's job file with two plates on whatever board a machine takes: all that a page says of a full board is
    said of it, in a sixth of the lines and less."""
    whole = demo_text()
    text = whole.replace('copies = "fill"', "copies = 2")
    assert text != whole
    return job_file_of(text, NAME)


def demo_plates(*names: str) -> Job:
    """The demo's board with these plates alone."""
    job = demo()
    paths = tuple(path for path in job.toolpaths if path.part in names)
    return Job(job.name, job.stock, paths, parts=tuple(part for part in job.parts if part.name in names))
