"""What is understood of a program, and what is not."""

from __future__ import annotations

import math

import numpy as np
import pytest

import pathkit as pk
from tests.tuning import written

MACHINE = pk.load_machine("grbl-front-left")
BIT = pk.Tool("3 mm", 3.0)
BOARD = pk.Stock(200.0, 150.0, 9.0, underlay=3.0, thickness_tolerance=0.0)


def lifted(*lines: list[str], bits: pk.Tool | None = BIT, stock: pk.Stock | None = BOARD) -> pk.Lifted:
    text = written.text([line for group in lines for line in group])
    return pk.lift(pk.read_any(text).program, MACHINE, bits=bits, stock=stock)


def test_laps_at_growing_depth_become_one_toolpath_with_levels() -> None:
    found = lifted(written.square(20, 20, 30, (-1, -2, -3)), written.square(80, 20, 30, (-2,)))
    assert [path.levels for path in found.job.toolpaths] == [(-1.0, -2.0, -3.0), (-2.0,)]
    assert all(path.free_start and path.curve.closed for path in found.job.toolpaths)
    assert not found.job.precedence


def test_levels_of_two_parts_in_turn_are_joined_too() -> None:
    turns = [written.square(x, 20, 30, (z,)) for z in (-1, -2) for x in (20, 80)]
    assert [path.levels for path in lifted(*turns).job.toolpaths] == [(-1.0, -2.0)] * 2


def test_nothing_is_joined_across_a_cut_that_comes_between() -> None:
    across = ["G0 X35 Y10", "G1 Z-1.5 F300", "G1 Y60 F900", "G0 Z6"]
    found = lifted(written.square(20, 20, 30, (-1,)), across, written.square(20, 20, 30, (-2,)))
    assert [path.levels for path in found.job.toolpaths] == [(-1.0,), (-1.5,), (-2.0,)]
    names = [path.name for path in found.job.toolpaths]
    assert {(names[0], names[1]), (names[1], names[2])} <= set(found.job.precedence)


def test_holes_keep_their_pecks() -> None:
    plain, pecked = lifted(written.drilled([(20.0, 20.0)]), written.pecked(60, 20)).job.toolpaths
    assert isinstance(plain.entry, pk.Plunge)
    # From R1 the file takes bites of 1, 2, 2 and 1 mm: as many, and none deeper.
    assert pecked.entry == pk.Peck(1.5)
    assert (plain.bottom, pecked.bottom) == (-5.0, -6.0)


def test_a_spiral_goes_down_evenly_in_as_many_laps() -> None:
    (path,) = lifted(written.spiral(50, 50, 12, -4, 4)).job.toolpaths
    assert isinstance(path.entry, pk.Spiral)
    # Its slope: a lap of 2 π 12 mm for each mm (geometry).
    assert path.entry.angle == pytest.approx(math.degrees(math.atan(1.0 / (24.0 * math.pi))), abs=1e-3)
    assert path.levels == (-1.0, -2.0, -3.0, -4.0)
    assert path.free_start


def test_a_spiral_that_does_not_end_level_is_a_trace_of_helical_arcs() -> None:
    (path,) = lifted(written.spiral(50, 50, 12, -4, 4)[:-2]).job.toolpaths
    assert path.curve.is_trace
    assert (path.curve.sweeps > 0.0).all()
    assert np.isclose(path.curve.points[:, 2].min(), -4.0)


def test_cuts_within_a_cut_come_first_as_in_the_file() -> None:
    inside, round_it = written.drilled([(35.0, 35.0)]), written.square(20, 20, 30, (-9,))
    first, second = lifted(inside, round_it).job, lifted(round_it, inside).job
    for job in (first, second):
        assert job.precedence == ((job.toolpaths[0].name, job.toolpaths[1].name),)


def test_what_several_cuts_go_round_together_counts_as_within() -> None:
    halves = [
        ["G0 X20 Y20", "G1 Z-9 F300", "G1 X50 F900", "Y50", "G0 Z6"],
        ["G0 X50 Y50", "G1 Z-9 F300", "G1 X20 F900", "Y20", "G0 Z6"],
    ]
    job = lifted(written.drilled([(35.0, 35.0)]), *halves).job
    hole = job.toolpaths[0].name
    assert {(hole, path.name) for path in job.toolpaths[1:]} <= set(job.precedence)


def test_cuts_far_apart_are_free() -> None:
    assert not lifted(written.drilled([(20.0, 20.0), (60.0, 20.0), (20.0, 60.0)])).job.precedence


def test_an_unknown_bit_is_taken_to_be_wide() -> None:
    near = written.drilled([(20.0, 20.0), (40.0, 20.0)])
    assert not lifted(near).job.precedence
    found = lifted(near, bits=None)
    assert len(found.job.precedence) == 1
    assert any("diameter" in each.what for each in found.findings)


def test_a_lap_entered_where_another_cut_has_made_room_begins_there() -> None:
    found = lifted(written.drilled([(20.0, 20.0)], -4.0), written.square(20, 20, 30, (-3,)))
    assert [path.free_start for path in found.job.toolpaths if path.curve.closed] == [False]


def test_rapids_below_the_top_are_made_at_a_feed() -> None:
    low = ["G0 X20 Y20", "G1 Z-2 F300", "G1 X40 F900", "G0 Y30", "G1 X20", "G0 Z6"]
    found = lifted(low)
    assert len(found.job.toolpaths) == 1
    assert any("rapids run below" in each.what for each in found.findings)


def test_several_bits_are_told_apart() -> None:
    text = written.text(
        ["T1 M6", "S16000 M3", *written.drilled([(20.0, 20.0)]), "T2 M6", "S12000 M3", *written.drilled([(60.0, 20.0)])]
    )
    bits = {1: pk.Tool("3 mm", 3.0), 2: pk.Tool("6 mm", 6.0)}
    found = pk.lift(pk.read_any(text).program, MACHINE, bits=bits, stock=BOARD)
    assert [(path.tool.diameter, path.cutting.spindle) for path in found.job.toolpaths] == [(3.0, 16000), (6.0, 12000)]
    with pytest.raises(pk.InputError, match="one bit is given for all"):
        pk.lift(pk.read_any(text).program, MACHINE, bits=BIT, stock=BOARD)


def test_a_program_that_cuts_nothing_is_refused() -> None:
    with pytest.raises(pk.InputError, match="nothing is cut"):
        lifted([])


def test_the_board_that_is_assumed_holds_all_cuts() -> None:
    found = lifted(written.square(20, 30, 40, (-2,)), stock=None)
    board = found.job.stock
    assert (board.width, board.depth, board.thickness, board.z_zero) == (61.5, 71.5, 2.0, "top")


def test_what_was_lifted_travels() -> None:
    import copy
    import pickle

    found = lifted(written.square(20, 20, 30, (-1,)))
    assert pickle.loads(pickle.dumps(found)).job == found.job
    assert copy.deepcopy(found).job == found.job
    assert len(repr(found)) < 200
