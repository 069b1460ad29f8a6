"""An order by seconds counts what the run-time model of the program counts."""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathkit.lowering.lower import lower
from pathkit.machine.kinematics import rest_to_rest, run_time
from pathkit.machine.profile import Axes, Machine
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.motion.program import RAPID
from tests.passes.test_order_travel import hole, order

if TYPE_CHECKING:
    from tests.passes.conftest import Cut


@settings(max_examples=20)
@given(st.integers(0, 2**32 - 1), st.sampled_from([(Axes(), False), (Axes("away", "right"), True)]))
def test_seconds_of_the_order_are_those_of_the_program_that_is_run(
    cut: Cut, board: Stock, machine: Machine, seed: int, lies: tuple[Axes, bool]
) -> None:
    """With corners taken at rest, as the order counts them, the model of the controller's planner (checked against the
    controller's own code) takes as long for the travel; short moves never reach full speed, long ones do."""
    motion = dataclasses.replace(machine.motion, rapid=(7000.0, 3500.0, 2000.0), junction_deviation=0.0)
    router = dataclasses.replace(machine, park=None, motion=motion, axes=lies[0], left_handed=lies[1])
    spots = np.random.default_rng(seed).integers(1, 25, (8, 2)) ** 1.75  # some a few mm apart, some half a board
    paths = tuple(hole(cut, f"h{k}", float(x), float(y)) for k, (x, y) in enumerate(np.unique(spots, axis=0)))
    job, figures = order(Job("j", board, paths), router, objective="seconds")
    program = lower(job, router)
    along = np.diff(np.vstack([program.start, program.end])[:, :2], axis=0)
    across = (program.kind == RAPID) & (np.hypot(*along.T) > 0.0)  # not the way to the first hole, from nowhere known
    first = np.array([*job.toolpaths[0].curve.points[0][:2], 0.0])
    lead = rest_to_rest(first[[1, 0, 2]] if lies[1] else first, motion)[0]
    assert np.count_nonzero(across) == len(paths) - 1
    spent = float(run_time(program, router).per_move[across].sum())
    assert figures["cost"]["after"] == pytest.approx(spent + lead, rel=1e-9)
