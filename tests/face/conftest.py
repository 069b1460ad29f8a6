"""A job of one line, and what comes of it: the values that an embedder holds."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

import pathkit as pk


@dataclass(frozen=True)
class Made:
    """One small job, all the way to its proof."""

    job: pk.Job
    machine: pk.Machine
    outcome: pk.Outcome
    program: pk.Program
    posted: pk.Posted
    proof: pk.Proof


@pytest.fixture(scope="session")
def made() -> Made:
    bit = pk.Tool("6 mm end mill", 6.0, centre_cutting=True)
    feeds = pk.Cutting(feed=2400.0, plunge=600.0, spindle=16000.0)
    mark = pk.Toolpath("mark", pk.Curve.polyline([[10, 10], [50, 10]]), bit, feeds, bottom=-2.0, role="engrave")
    job = pk.Job("plate", pk.Stock(300, 200, 12), [mark])
    machine = pk.load_machine("grbl-front-left")
    outcome = pk.Pipeline([pk.OrderTravel()]).run(job, machine)
    program = pk.lower(outcome.job, machine)
    posted = pk.post(program, machine)
    return Made(job, machine, outcome, program, posted, pk.verify(posted, program, machine, job=outcome.job))
