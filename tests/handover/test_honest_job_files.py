"""Random job files, built as a maker would build them: none may raise an alarm."""

from __future__ import annotations

from pathlib import Path

import pytest

import pathkit as pk
from pathkit.errors import Refused
from pathkit.handover.build import build_orders
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.testing.job_files import honest_job
from tests.how_long import usually

MACHINES = [pk.load_machine(name) for name in ("grbl-back-right", "grbl-front-left", "portrait-inch")]


@pytest.mark.parametrize("first", usually(range(0, 10, 5), of=range(0, 40, 5)))
def test_honest_jobs_raise_no_alarm(first: int, tmp_path: Path) -> None:
    built = 0
    for seed in range(first, first + 5):
        file = job_file_of(honest_job(seed), "job.toml", ".")
        try:
            orders = orders_of(file, [MACHINES[seed % 3]], effort=0)
        except Refused as refused:
            wrong = [finding.what for finding in refused.findings if "of wood would stand between" not in finding.what]
            # A web too thin to stand between two kerfs is refused before anything is made.
            if not wrong:
                continue
            raise
        result = build_orders(orders, tmp_path / str(seed))
        assert result.ok, (seed, [str(finding) for finding in result.findings if finding.severity == "error"])
        built += 1
    assert built >= 4


def test_the_same_seed_is_the_same_job() -> None:
    assert honest_job(7) == honest_job(7)
    assert len({honest_job(seed) for seed in range(40)}) == 40
