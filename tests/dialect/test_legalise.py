"""What a controller lacks is rewritten, or refused by name; the operator is called only with the spindle stopped."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from pathkit_posts.grbl import GRAMMAR, Grbl
from pathkit_posts.rs274ngc import Rs274ngc

from pathkit.dialect.legalise import Legal, legalise
from pathkit.errors import CapabilityError, InputError
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.profile import Axes, Machine, SpindleControl
from pathkit.model.job import Setup
from pathkit.motion.program import (
    ARC,
    LINE,
    RAPID,
    Coolant,
    Dwell,
    Event,
    Note,
    Offset,
    Pause,
    Program,
    Spindle,
    Stop,
    ToolChange,
)
from pathkit.testing.programs import machine_for, program_of

NAN = math.nan
GRBL = Grbl()
EXACT = replace(GRAMMAR, arc=replace(GRAMMAR.arc, single=False))
WHOLE = replace(GRBL.capabilities, full_circles=True, grammar=EXACT)
"""A similar controller that takes a whole turn in one block."""
OFF = Spindle(0.0, 0)


def legal(
    program: Program,
    capabilities: Capabilities = WHOLE,
    machine: Machine | None = None,
    setup: Setup | None = None,
) -> Legal:
    return legalise(program, machine or machine_for(GRBL), capabilities, GRBL.words, setup)


def cut(*events: tuple[int, Event], rows: int = 4) -> Program:
    """Up, across, and then lines along X."""
    moves: list[tuple[Any, ...]] = [(RAPID, (NAN, NAN, 5.0), None, 0.0, NAN), (RAPID, (0.0, 0.0, 5.0), None, 0.0, NAN)]
    moves += [(LINE, (float(n), 0.0, 0.0), None, 0.0, 600.0) for n in range(1, rows - 1)]
    return program_of(moves, list(events), frame="controller")


def script(*events: tuple[int, Event], **rest: Any) -> list[tuple[int, Event]]:
    made = legal(cut(*events), **rest).script
    return list(zip(made.at.tolist(), made.events, strict=True))


# --- places --------------------------------------------------------------------------------------------------------


def test_a_first_move_at_travel_height_is_split() -> None:
    program = program_of(
        [(RAPID, (1.0, 2.0, 8.0), None, 0.0, NAN), (LINE, (1.0, 2.0, 0.0), None, 0.0, 600.0)], [], frame="controller"
    )
    made = legal(program)
    assert made.source.tolist() == [0, 0, 1]
    assert np.isnan(made.program.end[0, :2]).all()
    assert made.program.end[1].tolist() == [1.0, 2.0, 8.0]


def test_a_sideways_first_move_below_the_greatest_height_is_refused() -> None:
    rows = [(RAPID, (1.0, 2.0, 3.0), None, 0.0, NAN), (RAPID, (1.0, 2.0, 8.0), None, 0.0, NAN)]
    with pytest.raises(InputError, match="sideways"):
        legal(program_of(rows, [], frame="controller"))
    # Where Z grows downwards, 3 is higher than 8.
    made = legal(program_of(rows, [], frame="controller"), machine=machine_for(GRBL, axes=Axes(y="toward", z="down")))
    assert made.source.tolist() == [0, 0, 1]


@pytest.mark.parametrize(
    "rows",
    [
        [(LINE, (1.0, 2.0, 3.0), None, 0.0, 600.0)],
        [(RAPID, (1.0, 2.0, NAN), None, 0.0, NAN)],
        [(RAPID, (NAN, NAN, 5.0), None, 0.0, NAN), (LINE, (1.0, 0.0, 0.0), None, 0.0, 600.0)],
        [(RAPID, (NAN, NAN, 5.0), None, 0.0, NAN), (LINE, (NAN, NAN, 0.0), None, 0.0, 600.0)],
        [(RAPID, (NAN, NAN, 5.0), None, 0.0, NAN), (ARC, (1.0, 0.0, 5.0), (0.0, 0.0), 3.0, 600.0)],
    ],
)
def test_cuts_from_an_unknown_place_are_refused(rows: list[tuple[Any, ...]]) -> None:
    with pytest.raises(InputError):
        legal(program_of(rows, [], frame="controller"))


def test_a_known_start_is_not_trusted() -> None:
    """The program may assume where the bit stands at the start; the machine does not know it."""
    rows = [(LINE, (1.0, 0.0, 0.0), None, 0.0, 600.0)]
    with pytest.raises(InputError):
        legal(program_of(rows, [], frame="controller").replace(start=[0.0, 0.0, 5.0]))
    rows = [(RAPID, (NAN, NAN, 5.0), None, 0.0, NAN), *rows]
    with pytest.raises(InputError, match="does not give"):
        legal(program_of(rows, [], frame="controller").replace(start=[0.0, 0.0, 1.0]))
    rows = [(RAPID, (0.0, 0.0, 5.0), None, 0.0, NAN), (RAPID, (4.0, 0.0, 5.0), None, 0.0, NAN)]
    made = legal(program_of(rows, [], frame="controller").replace(start=[0.0, 0.0, 1.0]))
    assert np.isnan(made.program.end[0, :2]).all()


def test_every_fault_of_the_rows_is_named() -> None:
    program = cut(rows=6)
    kind, feed = program.kind.copy(), program.feed.copy()
    kind[4] = ARC
    feed[3] = NAN
    centre, sweep = program.centre.copy(), program.sweep.copy()
    centre[4], sweep[4] = (0.0, 0.0), 1.0
    with pytest.raises(InputError) as caught:
        legal(program.replace(kind=kind, feed=feed, centre=centre, sweep=sweep))
    whats = [finding.what for finding in caught.value.findings]
    assert len(whats) == 2
    assert "row 3 cuts without a feed" in whats[0]
    assert "row 4 is an arc whose start, end, centre and sweep disagree" in whats[1]


def test_the_bench_frame_is_refused() -> None:
    with pytest.raises(InputError, match="bench frame"):
        legal(cut().replace(frame="bench"))


# --- arcs ----------------------------------------------------------------------------------------------------------


def arc(sweep: float, drop: float = 0.0, radius: float = 10.0) -> Program:
    end = (radius * math.cos(sweep), radius * math.sin(sweep), -drop)
    lead = [(RAPID, (NAN, NAN, 5.0), None, 0.0, NAN), (RAPID, (radius, 0.0, 5.0), None, 0.0, NAN)]
    down = (LINE, (radius, 0.0, 0.0), None, 0.0, 600.0)
    return program_of([*lead, down, (ARC, end, (0.0, 0.0), sweep, 600.0)], [(3, Note("arc"))], frame="controller")


@pytest.mark.parametrize("sweep", [0.5, -2.0, 6.0, 2 * math.pi, -2 * math.pi, 9.0, -20.0])
@pytest.mark.parametrize(
    "change", [{}, {"full_circles": False}, {"arcs": "radius"}, {"arcs": "none"}, {"helical": False}]
)
def test_split_arcs_go_the_same_way(sweep: float, change: dict[str, Any]) -> None:
    program = arc(sweep, drop=3.0)
    capabilities = replace(WHOLE, **change)
    made = legal(program, capabilities)
    rows = np.flatnonzero(made.source == 3)
    lines = change.get("arcs") == "none" or change.get("helical") is False
    assert (made.program.kind[rows] == (LINE if lines else ARC)).all()
    end = made.program.end[rows]
    assert end[-1] == pytest.approx(program.end[3])
    assert np.hypot(end[:, 0], end[:, 1]) == pytest.approx(10.0)
    share = np.arange(1, len(rows) + 1) / len(rows)
    assert end[:, 2] == pytest.approx(-3.0 * share)
    assert np.exp(1j * sweep * share) == pytest.approx((end[:, 0] + 1j * end[:, 1]) / 10.0)
    if lines:
        # Sagitta of a chord: r(1 − cos(θ/2)) (circle geometry); two chords fewer would not be enough.
        def sagitta(count: int) -> float:
            return 10.0 * (1.0 - math.cos(abs(sweep) / count / 2.0))

        assert sagitta(len(rows)) <= 0.002 < sagitta(len(rows) - 1)
    else:
        largest = {"full_circles": math.pi, "arcs": math.radians(120.0)}.get(next(iter(change), ""), 2 * math.pi)
        assert len(rows) == math.ceil(abs(sweep) / largest - 1e-9)
    assert made.script.at.tolist() == [3]


def test_a_way_of_giving_arcs_that_the_dialect_lacks_is_refused() -> None:
    with pytest.raises(CapabilityError, match="absolute"):
        legal(arc(1.0), replace(GRBL.capabilities, arcs="absolute"))


# --- events --------------------------------------------------------------------------------------------------------


def test_needless_spindle_words_go() -> None:
    events = [(1, Spindle(9000.0)), (2, Spindle(9000.0)), (3, OFF), (4, OFF)]
    assert script(*events) == [(1, Spindle(9000.0)), (3, OFF)]


def test_a_spindle_never_reverses_while_it_turns() -> None:
    assert script((1, Spindle(9000.0, 1)), (2, Spindle(9000.0, -1))) == [
        (1, Spindle(9000.0, 1)),
        (2, OFF),
        (2, Spindle(9000.0, -1)),
    ]


def test_a_pause_stops_the_spindle_and_brings_it_back() -> None:
    made = legal(cut((1, Spindle(9000.0)), (2, Pause("look"))))
    assert list(zip(made.script.at.tolist(), made.script.events, strict=True)) == [
        (1, Spindle(9000.0)),
        (2, OFF),
        (2, Pause("look")),
        (2, Spindle(9000.0)),
        (2, Dwell(2.0)),
    ]
    assert made.script.spinning == (True, True, False, True, True)
    assert any("pause" in finding.what for finding in made.findings)


def test_a_pause_does_not_bring_back_what_the_program_changes() -> None:
    events = script((1, Spindle(9000.0)), (2, Pause("look")), (2, Spindle(12000.0)))
    assert events[1:] == [(2, OFF), (2, Pause("look")), (2, Spindle(12000.0))]
    assert script((1, Spindle(9000.0)), (4, Pause("done"))) == [(1, Spindle(9000.0)), (4, OFF), (4, Pause("done"))]


def test_a_bit_is_changed_with_the_spindle_off() -> None:
    one, two = ToolChange("flat", 1), ToolChange("drill", 2)
    events: list[tuple[int, Event]] = [(0, one), (1, Spindle(9000.0)), (2, two), (2, Spindle(8000.0))]
    assert script(*events) == [
        (0, one),
        (1, Spindle(9000.0)),
        (2, OFF),
        (2, two),
        (2, Pause("put in bit drill")),
        (2, Spindle(8000.0)),
    ]
    worded = script(*events, capabilities=Rs274ngc.capabilities)
    assert worded == [(0, one), (1, Spindle(9000.0)), (2, OFF), (2, two), (2, Spindle(8000.0))]
    assert script((0, one), (1, one)) == [(0, one)]


def test_a_hand_switched_spindle_becomes_a_pause() -> None:
    machine = machine_for(GRBL, spindle=SpindleControl("manual", 0.0, 24000.0, 3.0))
    made = legal(cut((1, Spindle(9000.0)), (1, Dwell(3.0)), (2, Pause("look")), (3, OFF)), machine=machine)
    assert [event for event in made.script.events if isinstance(event, Spindle)] == []
    pauses = [event.message for event in made.script.events if isinstance(event, Pause)]
    assert pauses[0] == "set the spindle to 9000 rpm clockwise, then go on"
    assert pauses[1] == "switch the spindle off. look"
    assert pauses[2] == pauses[0]
    assert pauses[3] == "switch the spindle off, then go on", "he is told to switch off what he was told to switch on"
    assert made.script.spinning == (True, True, False, True, True, True)
    notes = [finding for finding in made.findings if finding.check == "not proved"]
    assert len(notes) == 1
    assert notes[0].severity == "note"


@pytest.mark.parametrize(
    ("event", "words"),
    [
        (Spindle(30000.0), "30000 rpm: 'Makerspace router' turns between 0 and 24000"),
        (Spindle(0.2), "more than 0"),
        (Coolant("mist"), "coolant 'mist'"),
        (ToolChange("many", 256), "tool number 256: the controller counts to 255"),
        (Stop(), "stop before the last move"),
        (Offset("G59.1"), "G59.1"),
    ],
)
def test_what_cannot_be_rewritten_is_refused_by_name(event: Event, words: str) -> None:
    with pytest.raises(CapabilityError) as caught:
        legal(cut((1, event)))
    assert words in str(caught.value)


def test_all_refusals_come_at_once() -> None:
    with pytest.raises(CapabilityError) as caught:
        legal(cut((0, Coolant("mist")), (1, Spindle(30000.0)), (2, Spindle(40000.0))))
    assert len(caught.value.findings) == 3


def test_the_work_offset() -> None:
    assert legal(cut()).script.offset == "G54"
    assert legal(cut((0, Offset("G55")))).script.offset == "G55"
    assert legal(cut(), setup=Setup(offset="G57")).script.offset == "G57"
    assert legal(cut((0, Offset("G55")), (2, Offset("G55")))).script.offset == "G55"
    with pytest.raises(CapabilityError, match="G55"):
        legal(cut((0, Offset("G55"))), setup=Setup(offset="G54"))
    with pytest.raises(CapabilityError, match="unknown"):
        legal(cut((0, Offset("G54")), (2, Offset("G55"))))
    none = replace(GRBL.capabilities, offsets=())
    assert legal(cut((0, Offset("G54"))), none).script.offset == ""
    with pytest.raises(CapabilityError, match="none"):
        legal(cut((0, Offset("G55"))), none)
