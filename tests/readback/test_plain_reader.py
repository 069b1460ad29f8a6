"""What every dialect of words writes is read as a plain reader with a regular expression reads it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given

import pathkit as pk
from pathkit.registry import find_dialect, installed
from pathkit.testing.programs import grid_programs, machine_for
from tests.readback.plain_reader import read_moves

NAMES = sorted(p.name for p in installed().provided("dialect") if "pathkit_posts" in p.package and p.name != "csv")


@pytest.mark.parametrize("name", NAMES)
def test_the_same_moves_on_the_same_lines(name: str) -> None:
    machine = machine_for(find_dialect(name))

    @given(grid_programs(find_dialect(name).capabilities))
    def same(program: pk.Program) -> None:
        data = pk.post(program, machine).files[0].data
        read = pk.read(data, name).program
        rows = np.array(read_moves(data.decode("ascii")), float).reshape(-1, 8)
        assert np.array_equal(read.kind, np.minimum(rows[:, 0], 2))
        assert np.array_equal(read.end, rows[:, 1:4], equal_nan=True)
        assert np.array_equal(read.centre, rows[:, 4:6], equal_nan=True)
        cutting = rows[:, 0] > 0
        assert np.array_equal(read.feed[cutting], rows[cutting, 6])
        assert np.array_equal(read.line, rows[:, 7])

    same()
