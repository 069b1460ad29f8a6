"""Moves are held against each other however they are parted; a fault in any of them is found."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

import pathkit as pk
from pathkit.lifting.chains import Chain, chains_of
from pathkit.lifting.same_moves import same_moves
from tests.tuning import written

LINES = ("G0 X20 Y20", "G1 Z-2 F300", "G1 X60 F900", "G3 X60 Y60 J20 I0", "G1 X20 Z-3 F600", "G1 Y20")


def chain(lines: tuple[str, ...]) -> Chain:
    machine, stock = pk.load_machine("grbl-front-left"), pk.Stock(200.0, 150.0, 9.0)
    program = pk.lift(pk.read_any(written.text(lines)).program, machine, stock=stock).program
    (found,) = chains_of(program, stock.top).chains
    return found


PARTED = (
    *LINES[:2], "G1 X35 F900", "X60", "G3 X80 Y40 J20 I0", "X60 Y60 I-20 J0", "G1 X50 Z-2.25 F600", "X20 Z-3", "Y50",
    "Y20",
)  # fmt: skip


def test_parted_moves_are_the_same() -> None:
    assert same_moves(chain(LINES), chain(PARTED))
    assert same_moves(chain(PARTED), chain(LINES))


def _moved(axis: int, by: float) -> Callable[[Chain], Chain]:
    def fault(one: Chain) -> Chain:
        points = one.points.copy()
        points[2, axis] += by
        return replace(one, points=points)

    return fault


FAULTS: dict[str, Callable[[Chain], Chain]] = {
    "aside": _moved(1, 0.01),
    "deeper": _moved(2, 0.01),
    "another feed": lambda one: replace(one, feeds=np.where(np.arange(len(one.feeds)) == 2, 1000.0, one.feeds)),
    "a flatter arc": lambda one: replace(one, sweeps=one.sweeps * 0.99),
    "an arc the other way round": lambda one: replace(one, sweeps=-one.sweeps),
    "a move less": lambda one: replace(
        one, points=np.delete(one.points, 2, axis=0), sweeps=np.delete(one.sweeps, 1), feeds=np.delete(one.feeds, 1),
        rapid=np.delete(one.rapid, 1),
    ),
}  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS)
@pytest.mark.parametrize("lines", [LINES, PARTED])
def test_each_fault_is_found(fault: str, lines: tuple[str, ...]) -> None:
    good = chain(lines)
    wrong = FAULTS[fault](good)
    for other in (chain(LINES), chain(PARTED)):
        assert same_moves(good, other)
        if not (fault == "a move less" and len(lines) > len(LINES)):
            assert not same_moves(wrong, other)
            assert not same_moves(other, wrong)
