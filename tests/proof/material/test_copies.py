"""Moves of copies: which are the same but for a shift and a few counts of the grid."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import pathkit as pk
from pathkit.proof.material.copies import Known, Moves, all_in, passing
from pathkit.proof.material.cross_sections import Cuts, Level, _first_times
from pathkit.proof.material.segments import Segments

BIT = pk.Tool("bit", 3.0, centre_cutting=True)
CUTTING = pk.Cutting(feed=1000.0, plunge=300.0, spindle=16000.0)
STOCK = pk.Stock(200.0, 100.0, 6.0, z_zero="bed", underlay=2.0)
APART = 0.004
ENDS = st.lists(st.tuples(*4 * [st.integers(0, 6)]), min_size=1, max_size=30)


def moves(ends: Any, radius: float = 1.5, tool: int = 0) -> Moves:
    count = len(ends)
    return Moves(
        np.array(ends, float).reshape(-1, 4), np.full(count, radius), np.full(count, tool, np.int32),
        np.ones(count, np.bool_),
    )  # fmt: skip


def plainly_all_in(these: Moves, those: Moves, apart: float) -> bool:
    """Each with each."""

    def same(i: int, j: int) -> bool:
        if these.tool[i] != those.tool[j] or these.radius[i] != those.radius[j]:
            return False
        a, b = these.ends[i].reshape(2, 2), those.ends[j].reshape(2, 2)
        return any(max(np.hypot(*(a - way).T)) <= apart for way in (b, b[::-1]))

    return all(any(same(i, j) for j in range(len(those.ends))) for i in range(len(these.ends)))


@given(ENDS, ENDS, st.integers(0, 2**32 - 1), st.floats(0.0, 2.0))
def test_moves_are_found_among_others_as_each_with_each_would_find_them(
    one: list[Any], other: list[Any], seed: int, share: float
) -> None:
    """A grid of few places, so that many moves lie on each other and on one line; noise about as large as allowed."""
    random = np.random.default_rng(seed)
    noisy = np.array(one, float) + random.uniform(-1.0, 1.0, (len(one), 4)) * APART * share
    turned = np.where(random.random((len(one), 1)) < 0.5, noisy, noisy[:, [2, 3, 0, 1]])
    those = moves(random.permutation(np.concatenate([turned, np.array(other, float)])))
    these = moves(one)
    assert all_in(these, those, APART) == plainly_all_in(these, those, APART + 1e-6)
    if share <= 0.7:
        assert all_in(these, those, APART)


@pytest.mark.parametrize("other", [moves([(0, 0, 5, 0)], tool=1), moves([(0, 0, 5, 0)], radius=1.499), moves([])])
def test_a_move_by_another_bit_or_width_is_another(other: Moves) -> None:
    assert not all_in(moves([(0, 0, 5, 0)]), other, APART)
    assert all_in(moves([]), other, APART)


def test_more_moves_cut_at_least_as_much_and_exactly_the_same_means_no_more() -> None:
    few, more = moves([(0, 0, 5, 0)]), moves([(5, 0.002, 0, 0), (0, 0, 0, 5)])
    known, exactly = Known(), Known()
    known.add((few,), APART)
    exactly.add((few,), 0.0)
    assert known.vouch_for((more,))
    assert exactly.vouch_for((few,))
    assert not exactly.vouch_for((moves([(0, 0, 5, 0), (0, 0, 0, 5)]),))
    fewer = Known()
    fewer.add((more,), APART)
    assert not fewer.vouch_for((few,))


def level_of(lines: list[Any], z: float = 1.0) -> Level:
    paths = tuple(
        pk.Toolpath(f"line {k}", pk.Curve.polyline(line), BIT, CUTTING, bottom=STOCK.underside, stepdown=2.0)
        for k, line in enumerate(lines)
    )
    program = pk.lower(pk.Job("board", STOCK, paths), pk.load_machine("grbl-front-left"))
    return Cuts(program, (BIT,), np.zeros(len(program), np.int32), STOCK.highest_top).at(STOCK.underside + z)


def test_what_passes_a_box_counts_from_its_corner() -> None:
    level = level_of([((20.0, 20.0), (60.0, 20.0)), ((20.0, 60.0), (60.0, 60.0)), ((80.0, 20.0), (120.0, 20.0))])
    here, there = (passing(level, (x, 10.0, x + 50.0, 30.0), APART) for x in (15.0, 75.0))
    for one, other in ((here, there), (there, here)):
        # The way along, and the way down at one of its ends.
        assert len(one.ends) == 2
        assert one.inside.all()
        assert {(5.0, 10.0), (45.0, 10.0)} == {place for x, y, u, v in one.ends.tolist() for place in ((x, y), (u, v))}
        assert all_in(one, other, APART)
    # What comes within a few counts of the box is there to be found, and is none of the box's own.
    beside = passing(level, (15.0, 20.003, 65.0, 30.0), APART)
    assert (len(beside.ends), beside.inside.sum()) == (2, 0)
    assert all_in(beside, moves([]), APART)


@given(ENDS, st.integers(0, 2**32 - 1))
def test_one_of_several_moves_over_the_same_ground_is_kept(ends: list[Any], seed: int) -> None:
    random = np.random.default_rng(seed)
    places = np.array(ends, float).reshape(-1, 2, 2)
    z = random.uniform(-3.0, 0.0, (len(ends), 2, 1))
    start, end = np.concatenate([places, z], axis=2).transpose(1, 0, 2)
    radius, bit = random.integers(1, 3, len(ends)) / 2.0, random.integers(0, 2, len(ends)).astype(np.int32)
    kept = _first_times(Segments(start, end, np.arange(len(ends), dtype=np.int32)), radius, bit)
    seen: set[Any] = set()
    for k, each in enumerate(ends):
        plan = (frozenset([each[:2], each[2:]]), radius[k], bit[k])
        assert kept[k] == (plan not in seen)
        seen.add(plan)
