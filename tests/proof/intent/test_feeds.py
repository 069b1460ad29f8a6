"""Feeds as the job asks for them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import pathkit as pk
from pathkit.proof.intent.feeds import asked_feeds
from pathkit.proof.intent.speed import asked_speed
from pathkit.proof.result import Verdict

Judge = Callable[..., Verdict]


def feeds_changed(
    role: str, job: pk.Job, change: Callable[[Any], Any], falling: bool | None = None
) -> Callable[[pk.Program], pk.Program]:
    """Change the feeds of one role's cuts: of all moves, or only of those that fall (or do not)."""
    numbers = {k for k, path in enumerate(job.toolpaths) if path.role == role}

    def changed(program: pk.Program) -> pk.Program:
        feed = np.array(program.feed)
        fall = program.origins[:, 2] - program.end[:, 2] > 1e-6
        rows = np.isin(program.toolpath, list(numbers)) & (program.kind != pk.RAPID)
        if falling is not None:
            rows &= fall == falling
        assert rows.any()
        feed[rows] = change(feed[rows])
        return program.replace(feed=feed)

    return changed


def test_the_job_as_it_should_be(judge: Judge) -> None:
    assert judge(asked_feeds) == ()
    assert judge(asked_speed) == ()


@pytest.mark.parametrize(
    ("role", "change", "falling"),
    [
        ("pocket", lambda feed: feed * 1.05, None),
        ("pocket", lambda feed: feed * 0.95, False),
        ("outline", lambda feed: feed * 1.05, True),
        ("slot", lambda feed: feed * 1.05, True),
        ("drill", lambda feed: feed * 1.05, True),
        ("finish", lambda feed: feed * 0.9, None),
    ],
)
def test_another_feed_than_asked(case: Any, judge: Judge, role: str, change: Any, falling: bool | None) -> None:
    found = judge(asked_feeds, feeds_changed(role, case.job, change, falling))
    assert found
    assert all(f.toolpath and case.job.by_name[f.toolpath].role == role and f.line for f in found)


def test_a_ramp_feed_of_the_job(case: Any, judge: Judge) -> None:
    """The job asks for a slower way down than the file has."""
    paths = tuple(replace(p, cutting=replace(p.cutting, ramp=600.0)) for p in case.job.toolpaths)
    found = judge(asked_feeds, job=case.job.with_toolpaths(paths))
    assert {f.toolpath for f in found} >= {p.name for p in paths if p.role == "outline"}


def test_another_speed_than_asked(case: Any, judge: Judge) -> None:
    def slower(program: pk.Program) -> pk.Program:
        events = [pk.Spindle(15000.0) if isinstance(e, pk.Spindle) and e.sense else e for e in program.event]
        return program.replace(event=tuple(events))

    assert len(judge(asked_speed, slower)) == len(case.job.toolpaths)


def test_the_other_sense_than_asked(case: Any, judge: Judge) -> None:
    def turned(program: pk.Program) -> pk.Program:
        events = [replace(e, sense=-e.sense) if isinstance(e, pk.Spindle) else e for e in program.event]
        return program.replace(event=tuple(events))

    assert len(judge(asked_speed, turned)) >= len(case.job.toolpaths)


def test_no_time_to_come_up(judge: Judge) -> None:
    def hurried(program: pk.Program) -> pk.Program:
        events = [pk.Dwell(e.seconds / 2.0) if isinstance(e, pk.Dwell) else e for e in program.event]
        return program.replace(event=tuple(events))

    assert "the spindle needs" in str(judge(asked_speed, hurried)[0])


def test_no_time_to_come_up_from_a_slower_speed(case: Any, judge: Judge) -> None:
    """The spindle speeds up between two cuts of one bit, and nothing waits for it."""
    names = [path.name for path in case.job.toolpaths if path.tool.number == 1]
    faster = {name: replace(case.job.by_name[name].cutting, spindle=12000.0) for name in names[: len(names) // 2]}
    paths = tuple(replace(p, cutting=faster.get(p.name, p.cutting)) for p in case.job.toolpaths)
    job = case.job.with_toolpaths(paths)
    right = pk.lower(job, case.machine)
    assert judge(asked_speed, lambda _: right, job=job) == ()

    def hurried(program: pk.Program) -> pk.Program:
        kept = [k for k, e in enumerate(right.event) if not isinstance(e, pk.Dwell) or right.event_at[k] < 3]
        return right.replace(event=tuple(right.event[k] for k in kept), event_at=right.event_at[kept])

    assert any("from a rise in spindle speed" in f.what for f in judge(asked_speed, hurried, job=job))
