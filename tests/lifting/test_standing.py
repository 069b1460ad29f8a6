"""A place that a file states again is no move: it must neither stop the reader nor become a cut."""

from __future__ import annotations

import numpy as np
import pytest

import pathkit as pk

HEAD = "G21 G90 G94 G17\nM3 S9000\nG0 Z5.0\nX5.0 Y5.0\n"


def lifted(body: str) -> pk.Job:
    machine = pk.load_machine("grbl-front-left")
    return pk.lift(pk.read_any(f"{HEAD}{body}G0 Z5.0\nM5\nM30\n").program, machine).job


@pytest.mark.parametrize("body", ["G1 Z-2.0 F200\nX5.0\n", "G1 Z-2.0 F200\nX5.0 Y5.0\nX5.0\n"])
def test_a_hole_whose_place_is_stated_again_is_a_hole(body: str) -> None:
    (path,) = lifted(body).toolpaths
    assert path.role == "drill"
    assert path.bottom == -2.0


def test_a_place_above_the_board_that_is_stated_again_is_no_cut() -> None:
    (path,) = lifted("G1 X5.0 Z5.0 F300\nG0 X8.0\nG1 Z-1.0\nX20.0\n").toolpaths
    assert np.allclose(path.curve.bounds, (8.0, 5.0, 20.0, 5.0))
