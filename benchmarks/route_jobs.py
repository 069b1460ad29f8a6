"""The travel problems of a job file, as the pass that orders travel hands them to the solver."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pathkit.tour
from pathkit.tour import Problem, Tour


def problems_of(path: Path) -> list[Problem]:
    """Every problem that is solved while the job's passes run, each listed once."""
    from pathkit.jobs.requests import Wishes, orders_for

    asked: list[Problem] = []
    honest = pathkit.tour.solve

    def listening(problem: Problem, **options: Any) -> Tour:
        asked.append(problem)
        return honest(problem, **options)

    pathkit.tour.solve = listening
    try:
        for order in orders_for(path, (), Wishes(effort=0.01)):
            job = order.job
            for step in order.passes:
                job = step(job, order.machine).job
    finally:
        pathkit.tour.solve = honest
    once: list[Problem] = []
    for problem in asked:
        if problem not in once:
            once.append(problem)
    if len(once) == 1:
        return once
    return [replace(problem, name=f"{problem.name} {number}") for number, problem in enumerate(once, start=1)]
