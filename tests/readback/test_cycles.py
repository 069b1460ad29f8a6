"""Drill cycles become the moves that the controller makes of them (NISTIR 6556, 3.5.16).

The moves themselves are held against the reference interpreter in `tests/outside`.
"""

from __future__ import annotations

import pytest
from pathkit_posts.rs274ngc import GRAMMAR

from pathkit.machine.capabilities import Capabilities
from pathkit.motion.program import Dwell, Program
from pathkit.readback import interpret

NIST = Capabilities(grammar=GRAMMAR, tool_change="word")
HEAD = "G21\nG90 G94 G17 G54\nG0 Z5\nG0 X0 Y0\n"


def read(body: str) -> Program:
    return interpret(HEAD + body, NIST).program


def checks(body: str) -> list[tuple[str, int | None]]:
    return [(f.check, f.line) for f in interpret(HEAD + body, NIST).findings]


def test_cycles_are_named_beside_their_rows() -> None:
    program = read("G98 G83 X5 Y5 Z-7 R2 Q3 F120\nM8\nX9\nG80\nM2")
    first, second = program.cycles
    for cycle in (first, second):
        assert (cycle.top, cycle.bottom, cycle.peck, cycle.feed) == (2.0, -7.0, 3.0, 120.0)
        assert program.end[cycle.first].tolist()[2] == 2.0
        assert program.end[cycle.last].tolist()[2] == 5.0
        assert program.end[cycle.first : cycle.last + 1, 2].min() == -7.0
    assert second.first == first.last + 2


def test_a_dwell_at_the_bottom_stands_between_the_rows() -> None:
    program = read("G98 G82 X5 Z-3 R2 P0.5 F120\nX6\nG80\nM2")
    dwells = [at for event, at in zip(program.event, program.event_at, strict=True) if isinstance(event, Dwell)]
    assert [program.end[at - 1, 2] for at in dwells] == [-3.0, -3.0]
    assert [cycle.dwell for cycle in program.cycles] == [0.5, 0.5]
    assert [program.end[c.first : c.last + 1, 0].tolist() for c in program.cycles] == [[5.0] * 3, [6.0] * 3]


def test_incremental_cycles_and_repeats() -> None:
    program = read("G91 G99 G81 X5 Z-4 R-3 L3 F100\nG80\nM2")
    assert [c.top for c in program.cycles] == [2.0, 2.0, 2.0]
    assert [c.bottom for c in program.cycles] == [-2.0, -2.0, -2.0]
    assert program.end[[c.first for c in program.cycles], 0].tolist() == [5, 10, 15]


@pytest.mark.parametrize(
    "block",
    ["G81 X1 Z-1", "G81 X1 R1", "G82 X1 Z-1 R1", "G83 X1 Z-1 R1", "G83 X1 Z-1 R1 Q0", "G81 X1 Z-1 R1 Q1", "G81 R1"],
)
def test_incomplete_cycles_are_refused(block: str) -> None:
    assert checks(f"G98 F100\n{block}\nM2") == [("controller", 6)]


@pytest.mark.parametrize("block", ["G85 X1 Z-1 R1", "G81 X1 Z3 R1", "G81 X1 Z-1 R1 L9999999", "G83 X1 Z-9 R1 Q.00001"])
def test_cycles_that_are_not_followed_are_named(block: str) -> None:
    assert checks(f"G98 F100\n{block}\nM2") == [("not interpreted", 6)]
