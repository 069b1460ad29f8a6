"""The job of the demo, made once for all tests: nothing can change a job."""

from __future__ import annotations

from functools import lru_cache

from pathkit.jobs.demo import demo_job
from pathkit.model.job import Job


@lru_cache(maxsize=1)
def demo() -> Job:
    """Twelve cable-tidy plates on a board, before any pass."""
    return demo_job()


def demo_plates(*names: str) -> Job:
    """The demo's board with these plates alone."""
    job = demo()
    paths = tuple(path for path in job.toolpaths if path.part in names)
    return Job(job.name, job.stock, paths, parts=tuple(part for part in job.parts if part.name in names))
