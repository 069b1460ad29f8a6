"""A range of feeds stands in a job only where the job file asks for one, and is no wider than that."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

import pathkit as pk
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.jobs.sources import audited, boards_of
from pathkit.model.codec import dumps
from pathkit.model.job import Job
from pathkit.passes.pipeline import Pipeline
from tests.jobs.audit.conftest import TAGS

MACHINE = pk.load_machine("grbl-front-left")
ASKED = "steady_load = { slowest = 0.7, fastest = 1.5 }\n"
OWN = TAGS.replace("feed = 1400", "feed = 1400\nslowest = 1000\nfastest = 1800")


def told(text: str, seed: dict[str, Any] | None = None) -> set[str]:
    """The checks of the audit that find something, after one toolpath's range was changed to ``seed``."""
    orders = orders_of(job_file_of(text, "tag.toml"), [MACHINE])
    order = orders[0]
    job: Job = Pipeline(order.passes).run(order.job, MACHINE).job
    if seed is not None:
        first = next(path for path in job.toolpaths if not path.curve.is_point)
        wrong = replace(first, cutting=replace(first.cutting, **seed))
        job = job.with_toolpaths(tuple(wrong if path is first else path for path in job.toolpaths))
    checks = audited(order, boards_of(orders, order), dumps(job).encode())
    return {check.name for check in checks if check.findings}


@pytest.mark.parametrize("text", [TAGS, TAGS + ASKED, OWN, OWN + ASKED], ids=["none", "asked", "own", "both"])
def test_honest_ranges(text: str) -> None:
    assert told(text) == set()


@pytest.mark.parametrize(
    ("text", "seed"),
    [
        (TAGS, {"slowest": 1000.0, "fastest": 1800.0}),
        (TAGS + ASKED, {"slowest": 900.0, "fastest": 1800.0}),
        (TAGS + ASKED, {"slowest": 1000.0, "fastest": 2200.0}),
        (OWN, {"slowest": None, "fastest": None}),
        (OWN, {"slowest": 1000.0, "fastest": 1900.0}),
        (OWN + ASKED, {"slowest": 990.0, "fastest": 1800.0}),
    ],
    ids=["not asked for", "too slow", "too fast", "lost", "own widened", "own widened where asked"],
)
def test_a_range_that_was_not_asked_for(text: str, seed: dict[str, Any]) -> None:
    assert told(text, seed) == {"feeds as asked"}
