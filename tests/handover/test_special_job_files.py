"""A random job file of each special kind, built as a maker would build it: none may raise an alarm."""

from __future__ import annotations

from pathlib import Path

import pytest

import pathkit as pk
from pathkit.handover.build import build_orders
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.testing.special_jobs import KINDS, MACHINES, special_job

CASES = [("nested", 13), ("nested", 34), *((kind, 3) for kind in KINDS if kind != "nested")]


@pytest.mark.parametrize(("kind", "seed"), CASES)
def test_special_jobs_raise_no_alarm(kind: str, seed: int, tmp_path: Path) -> None:
    file = job_file_of(special_job(kind, seed), "job.toml", ".")
    orders = orders_of(file, [pk.load_machine(MACHINES[seed % 3])], effort=0)
    result = build_orders(orders, tmp_path)
    assert result.ok, [str(finding) for finding in result.findings if finding.severity == "error"]


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_seed_is_the_same_job(kind: str) -> None:
    assert special_job(kind, 7) == special_job(kind, 7)
    assert len({special_job(kind, seed) for seed in range(40)}) == 40


def test_what_nested_parts_may_be_asked_for_is_drawn() -> None:
    drawn = "\n".join(special_job("nested", seed) for seed in range(40))
    keys = ("quantity =", "at = [", "turn = 1", "turn = 2", 'like = "plate"', "texts = [", "number_from =", 'text = "')
    assert [key for key in keys if key not in drawn] == []
