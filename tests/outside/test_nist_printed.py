"""Lines that are printed in NISTIR 6556 (Kramer, Proctor, Messina, The NIST RS274/NGC Interpreter, Version 3, 2000),
with the moves that are printed beside them. Retyped from memory: sections 3.5.3.1, 3.5.3.2 and 3.5.16.2.
"""

from __future__ import annotations

import math

import pytest

import pathkit as pk

HEAD = "G21 G90 G94 G17\nM3 S9000\nF100\n"


def rows(text: str) -> list[tuple[int, list[float]]]:
    """Kind and end of each move behind the first two, which go to where the example begins."""
    program = pk.read_any(f"{HEAD}{text}\nG80\nM2\n").program
    return list(zip(program.kind.tolist(), program.end.tolist(), strict=True))[2:]


@pytest.mark.parametrize(("from_z", "helix"), [(9, False), (5, True)])
def test_an_arc_by_its_centre(from_z: float, helix: bool) -> None:
    """3.5.3.2: from (7, 7) the centre is at (10, 11), the radius 5; from another height it is a helix."""
    program = pk.read_any(f"{HEAD}G0 Z{from_z}\nX7 Y7\nG17 G2 x 10 y 16 i 3 j 4 z 9\nM2\n").program
    assert program.kind[-1] == pk.ARC
    assert program.centre[-1].tolist() == [10, 11]
    assert math.hypot(*(program.origins[-1, :2] - program.centre[-1])) == 5
    assert program.end[-1].tolist() == [10, 16, 9]
    assert bool(program.origins[-1, 2] != program.end[-1, 2]) == helix
    assert program.sweep[-1] < 0


def test_an_arc_by_its_radius() -> None:
    """3.5.3.1: ends at (10, 15), helical if the start is not at Z5; at most half a turn, for the radius is positive."""
    program = pk.read_any(f"{HEAD}G0 Z9\nX0 Y0\nG17 G2 x 10 y 15 r 20 z 5\nM2\n").program
    assert program.kind[-1] == pk.ARC
    for place in (program.origins[-1], program.end[-1]):
        assert math.hypot(*(place[:2] - program.centre[-1])) == pytest.approx(20)
    assert -math.pi < program.sweep[-1] < 0


def test_drilling_in_absolute_numbers() -> None:
    """3.5.16.2, the first example, from (1, 2, 3)."""
    assert rows("G0 Z3\nX1 Y2\nG90 G81 G98 X4 Y5 Z1.5 R2.8") == [
        (pk.RAPID, [4, 5, 3]), (pk.RAPID, [4, 5, 2.8]), (pk.LINE, [4, 5, 1.5]), (pk.RAPID, [4, 5, 3]),
    ]  # fmt: skip


def test_drilling_in_increments_three_times() -> None:
    """3.5.16.2, the second example, from (1, 2, 3): the R plane is at 4.8, the bottom at 4.2."""
    found = rows("G0 Z3\nX1 Y2\nG91 G81 G98 X4 Y5 Z-0.6 R1.8 L3")
    meant = [(pk.RAPID, (1.0, 2.0, 4.8))]
    for x, y in ((5, 7), (9, 12), (13, 17)):
        meant += [(pk.RAPID, (x, y, 4.8)), (pk.LINE, (x, y, 4.2)), (pk.RAPID, (x, y, 4.8))]
    assert [kind for kind, _ in found] == [kind for kind, _ in meant]
    for (_, place), (_, expected) in zip(found, meant, strict=True):
        assert place == pytest.approx(expected)
