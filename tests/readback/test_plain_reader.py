"""What every dialect of words writes is read as a plain reader with a regular expression reads it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given

import pathkit as pk
from pathkit.registry import installed
from pathkit.testing.programs import grid_programs, machine_for
from tests.posts.shown.odd_mill import OddMill
from tests.readback.plain_reader import read_moves

SHIPPED = [p.value for p in installed().provided("dialect") if "pathkit_posts" in p.package and p.name != "csv"]


@pytest.mark.parametrize("dialect", [*SHIPPED, OddMill()], ids=lambda dialect: dialect.name)
def test_the_same_moves_on_the_same_lines(dialect: pk.Dialect) -> None:
    machine = machine_for(dialect)

    @given(grid_programs(dialect.capabilities))
    def same(program: pk.Program) -> None:
        data = pk.post(program, machine, dialect=dialect).files[0].data
        read = pk.read(data, dialect).program
        rows = np.array(read_moves(data.decode("ascii")), float).reshape(-1, 8)
        assert np.array_equal(read.kind, np.minimum(rows[:, 0], 2))
        assert np.array_equal(read.end, rows[:, 1:4], equal_nan=True)
        assert np.array_equal(read.centre, rows[:, 4:6], equal_nan=True)
        cutting = rows[:, 0] > 0
        assert np.array_equal(read.feed[cutting], rows[cutting, 6])
        assert np.array_equal(read.line, rows[:, 7])

    same()
