"""Where top, underside and bed may lie for any board that is allowed, and how deep a through cut goes.

Common practice, no source: a through cut goes a little into the waste sheet, and never into the bed.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import pathkit as pk
from pathkit.errors import InputError
from pathkit.proof.ends import ends_of

# T, tolerance, underlay, its tolerance, zero → highest, lowest top, undersides from thin or thick, bed; by hand.
WORKED: list[tuple[float, float, float, float, Any, tuple[float, float, float, float, float]]] = [
    # The top is zero: a board of 11.5 to 12.5 mm ends between −11.5 and −12.5, and the bed lies 3 mm below −11.5.
    (12.0, 0.5, 3.0, 0.0, "top", (0.0, 0.0, -11.5, -12.5, -14.5)),
    # A waste sheet of at least 2.8 mm.
    (12.0, 0.5, 3.0, 0.2, "top", (0.0, 0.0, -11.5, -12.5, -14.3)),
    # The bed is zero: the underside lies on the waste sheet, and the thickest board on the thickest sheet is highest.
    (12.0, 0.5, 3.0, 0.0, "bed", (15.5, 14.5, 3.0, 3.0, 0.0)),
    (12.0, 0.5, 3.0, 0.2, "bed", (15.7, 14.3, 3.2, 2.8, 0.0)),
    (6.0, 0.0, 0.0, 0.0, "top", (0.0, 0.0, -6.0, -6.0, -6.0)),
    (6.0, 0.0, 0.0, 0.0, "bed", (6.0, 6.0, 0.0, 0.0, 0.0)),
]


@pytest.mark.parametrize(("thick", "by", "under", "under_by", "zero", "ends"), WORKED)
def test_the_ends_of_the_range(
    thick: float, by: float, under: float, under_by: float, zero: Any, ends: tuple[float, ...]
) -> None:
    board = pk.Stock(100, 60, thick, z_zero=zero, thickness_tolerance=by, underlay=under, underlay_tolerance=under_by)
    mine = (board.highest_top, board.lowest_top, board.highest_underside, board.lowest_underside, board.highest_bed)
    assert mine == pytest.approx(ends)
    # The proof works the same numbers out by itself.
    assert tuple(ends_of(board)) == pytest.approx(ends)


@pytest.mark.parametrize(
    ("by", "under", "under_by", "zero", "past", "z"),
    [
        # −(12 + 0.5) − 0.3; on the board of 11.5 mm that is 1.3 mm into the sheet.
        (0.5, 3.0, 0.0, "top", 0.3, -12.8),
        # The sheet's least thickness must be more than 0.3 + 2 × 0.5.
        (0.5, 1.31, 0.0, "top", 0.3, -12.8),
        (0.5, 1.3, 0.0, "top", 0.3, None),
        (0.5, 1.5, 0.2, "top", 0.3, None),
        (0.0, 0.5, 0.0, "top", 0.3, -12.3),
        (0.5, 0.0, 0.0, "top", 0.3, None),
        # With zero on the bed the board's tolerance does not matter: 3 − 0.3, and 3 − 0.2 − 0.3.
        (0.5, 3.0, 0.0, "bed", 0.3, 2.7),
        (0.5, 3.0, 0.2, "bed", 0.3, 2.5),
        (0.5, 0.5, 0.2, "bed", 0.3, None),
        (0.5, 0.5, 0.1, "bed", 0.3, 0.1),
    ],
)
def test_right_through(by: float, under: float, under_by: float, zero: Any, past: float, z: float | None) -> None:
    board = pk.Stock(100, 60, 12, z_zero=zero, thickness_tolerance=by, underlay=under, underlay_tolerance=under_by)
    if z is not None:
        assert board.through(past) == pytest.approx(z)
        return
    with pytest.raises(InputError, match=r"right through takes 0\.3 mm past the underside") as raised:
        board.through(past)
    # What the refusal asks for is enough, and anything less is not.
    wanted = float(raised.value.findings[0].fix.split(" mm")[0].split()[-1])
    rest: dict[str, Any] = {"z_zero": zero, "thickness_tolerance": by, "underlay_tolerance": under_by}
    assert pk.Stock(100, 60, 12, underlay=wanted + 0.001, **rest).through(past) > -20.0
    if wanted > under_by:
        with pytest.raises(InputError):
            pk.Stock(100, 60, 12, underlay=wanted, **rest).through(past)


@given(
    st.floats(1.0, 40.0),
    st.floats(0.0, 0.9),
    st.floats(0.0, 6.0),
    st.floats(0.0, 1.0),
    st.sampled_from(("top", "bed")),
    st.floats(0.01, 2.0),
)
def test_a_cut_right_through_parts_every_board_and_spares_every_bed(
    thick: float, by: float, under: float, share: float, zero: Any, past: float
) -> None:
    board = pk.Stock(
        100, 60, thick, z_zero=zero, thickness_tolerance=by, underlay=under, underlay_tolerance=under * share
    )
    try:
        z = board.through(past)
    except InputError:
        return
    for thickness in (thick - by, thick, thick + by):
        for underlay in (under * (1.0 - share), under * (1.0 + share)):
            underside = -thickness if zero == "top" else underlay
            assert z <= underside - past + 1e-9
            assert z > underside - underlay


@pytest.mark.parametrize(
    ("wrong", "what"),
    [
        ({"thickness_tolerance": 12.0}, "leaves no board"),
        ({"underlay": 1.0, "underlay_tolerance": 1.1}, "more than the underlay"),
        ({"underlay_tolerance": -0.1}, "underlay_tolerance"),
    ],
)
def test_tolerances_that_cannot_be(wrong: dict[str, Any], what: str) -> None:
    with pytest.raises(InputError, match=what):
        pk.Stock(100, 60, 12, **wrong)
