"""How far round GRBL 1.1h takes an arc, against what its own arc code made of it in 32-bit floats.

Data: ``data/grbl_arc_turns.tsv``, measured for this project: 400 arcs, and for each the chords and degrees that the
controller's own published code drew on a host. 68 of the 220 whole turns were drawn as one chord.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path
from typing import NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pathkit_posts.grbl import Grbl

import pathkit as pk
from pathkit.motion.program import ARC
from pathkit.readback import Reading, arcs, interpret


class Turn(NamedTuple):
    unit: str
    code: str
    x0: str
    y0: str
    x: str
    y: str
    i: str
    j: str
    answer: str
    chords: str
    turned_degrees: str

    @property
    def whole(self) -> bool:
        return (self.x0, self.y0) == (self.x, self.y)


with (Path(__file__).parent / "data" / "grbl_arc_turns.tsv").open(encoding="ascii") as file:
    ROWS = [Turn(*row) for row in list(csv.reader(file, delimiter="\t"))[1:]]


def read(turn: Turn) -> Reading:
    units = "G20" if turn.unit == "inch" else "G21"
    text = f"{units} G17 G90 G94 G54\nG0 Z5\nG0 X{turn.x0} Y{turn.y0}\n"
    return interpret(text + f"{turn.code} X{turn.x} Y{turn.y} I{turn.i} J{turn.j} F600\n", Grbl.capabilities)


def test_all_rows_are_here() -> None:
    assert len(ROWS) == 400
    assert all(row.answer == "ok" for row in ROWS)
    assert sum(row.whole for row in ROWS) == 220
    assert sum(row.whole and row.chords == "1" for row in ROWS) == 68


@pytest.mark.parametrize("turn", ROWS, ids=[f"{k} {row.code} {row.unit}" for k, row in enumerate(ROWS)])
def test_the_reader_turns_as_far_as_the_controller(turn: Turn) -> None:
    reading = read(turn)
    last = len(reading.program) - 1
    turned = math.degrees(reading.program.sweep[last]) if reading.program.kind[last] == ARC else 0.0
    # The table has hundredths of a degree; near zero, rounding shifts the controller's own angle.
    assert turned == pytest.approx(float(turn.turned_degrees), abs=0.02)
    # n = floor(|θ r / 2| / sqrt(s (2 r − s))) for chords that leave the arc by s = 0.002 mm; fewer than two are one.
    mm = 25.4 if turn.unit == "inch" else 1.0
    radius = math.hypot(float(turn.i), float(turn.j)) * mm
    chords = math.floor(abs(0.5 * math.radians(turned) * radius) / math.sqrt(0.002 * (2.0 * radius - 0.002)))
    assert max(chords, 1) == pytest.approx(int(turn.chords), abs=1)


@pytest.mark.parametrize("turn", ROWS, ids=[f"{k} {row.code} {row.unit}" for k, row in enumerate(ROWS)])
def test_whole_turns_are_open_and_no_other_arc_is(turn: Turn) -> None:
    """Another build rounds differently: an arc whose turn depends on rounding is refused, whatever this build drew."""
    said = [finding for finding in read(turn).findings if finding.check == "open turn"]
    assert bool(said) == turn.whole
    assert all(finding.severity == "error" and finding.line == 4 for finding in said)


@given(
    start=st.tuples(st.floats(-999, 999), st.floats(-999, 999)),
    radius=st.floats(0.05, 3000.0),
    begin=st.floats(0.0, 2 * math.pi),
    length=st.floats(1e-4, 0.05),
    back=st.booleans(),
    clockwise=st.booleans(),
)
@settings(max_examples=500)
def test_where_nothing_is_said_32_bits_and_64_turn_alike(
    start: tuple[float, float], radius: float, begin: float, length: float, back: bool, clockwise: bool
) -> None:
    x, y = (round(number, 4) for number in start)
    i, j = round(-radius * math.cos(begin), 4), round(-radius * math.sin(begin), 4)
    ahead = begin + (-length if back else length) / radius
    to_x, to_y = round(x + i + radius * math.cos(ahead), 4), round(y + j + radius * math.sin(ahead), 4)
    assert Grbl.capabilities.grammar is not None
    cx, cy, cutoff = x + i, y + j, Grbl.capabilities.grammar.arc.full_turn
    if math.hypot(i, j) == 0.0 or arcs.left_open(x, y, to_x, to_y, cx, cy, clockwise, cutoff):
        return
    sweep = arcs.sweep_of(x - cx, y - cy, to_x - cx, to_y - cy, clockwise, cutoff)
    assert arcs.goes_round(x, y, to_x, to_y, i, j, 1.0, clockwise, cutoff) == (abs(sweep) > math.pi)


def test_a_lost_turn_takes_no_time() -> None:
    machine = pk.load_machine("grbl-front-left")
    lost, drawn = (next(row for row in ROWS if row.whole and row.unit == "mm" and (row.chords == "1") == gone)
                   for gone in (True, False))  # fmt: skip
    for row, turns in ((lost, False), (drawn, True)):
        program = read(row).program
        seconds = pk.run_time(program, machine).per_move[len(program) - 1]
        length = 2.0 * math.pi * math.hypot(float(row.i), float(row.j))
        assert (seconds >= length / 600.0 * 60.0) == turns
        assert (seconds == 0.0) != turns
