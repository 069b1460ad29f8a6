"""One audit serves all machines that the audit cannot tell apart, and no others."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

import pathkit as pk
from pathkit.jobs.order import Order
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.jobs.sources import audited, boards_of
from pathkit.model.codec import dumps
from pathkit.once import Once
from pathkit.proof.result import CheckResult

MACHINE = replace(pk.load_machine("grbl-front-left"), name="unlisted")


@pytest.fixture
def order(tags: str) -> Order:
    return orders_of(job_file_of(tags, "job.toml"), [MACHINE])[0]


def job_of(order: Order) -> pk.Job:
    return pk.Pipeline(order.passes).run(order.job, order.machine).job


def verdicts(known: Once | None, order: Order, **changed: Any) -> tuple[CheckResult, ...]:
    other = replace(order, machine=replace(order.machine, **changed))
    return audited(other, boards_of([other], other), dumps(job_of(order)).encode(), known)


def failures(found: tuple[CheckResult, ...]) -> list[str]:
    return [check.name for check in found if check.status == "failed"]


@pytest.mark.parametrize(
    ("changed", "shared"),
    [
        ({"name": "another"}, True),
        ({"dialect": "rs274ngc"}, True),
        ({"origin": "back-right", "axes": pk.Axes("left", "toward")}, True),
        ({"axes": pk.Axes("away", "left")}, False),
        ({"travel": pk.Travel(150, 100, 80)}, False),
        ({"motion": replace(MACHINE.motion, feed_limit=(900, 900, 900))}, False),
        ({"motion": replace(MACHINE.motion, acceleration=(900, 900, 900))}, False),
    ],
    ids=str,
)
def test_machines_share_an_audit_only_if_it_sees_no_difference(
    order: Order, changed: dict[str, Any], shared: bool
) -> None:
    known = Once(4)
    first = verdicts(known, order)
    assert (verdicts(known, order, **changed) is first) == shared
    assert failures(verdicts(None, order, **changed)) == failures(first) == []


def test_another_job_has_an_audit_of_its_own(order: Order) -> None:
    known = Once(4)
    first = verdicts(known, order)
    path = order.job.toolpaths[0]
    faster = replace(path, cutting=replace(path.cutting, feed=path.cutting.feed / 2))
    wrong = replace(order, job=order.job.with_toolpaths((faster, *order.job.toolpaths[1:])))
    found = verdicts(known, wrong)
    assert found is not first
    assert failures(found) == ["feeds as asked"]


def test_a_machine_that_the_job_file_lists_is_known_by_its_name(tags: str) -> None:
    listed = f'{tags}\n[[machine]]\nprofile = "grbl-front-left"\ncutting = {{ feed = "50%" }}\n'
    own = orders_of(job_file_of(listed, "job.toml"))[0]
    known = Once(4)
    assert failures(verdicts(known, own)) == []
    assert "feeds as asked" in failures(verdicts(known, own, name="another"))
