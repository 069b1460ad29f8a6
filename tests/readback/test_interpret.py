"""Text becomes the moves that the controller would make; what the text leaves open and what is refused is said."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from pathkit_posts.grbl import GRAMMAR as GRBL_GRAMMAR
from pathkit_posts.rs274ngc import GRAMMAR as NIST_GRAMMAR

from pathkit.errors import CapabilityError, InputError
from pathkit.machine.capabilities import Capabilities
from pathkit.motion.program import (
    ARC,
    LINE,
    RAPID,
    Coolant,
    Dwell,
    Offset,
    Pause,
    Spindle,
    Stop,
    ToolChange,
)
from pathkit.readback import Reading, interpret, verdict

GRBL = Capabilities(grammar=GRBL_GRAMMAR)
NIST = Capabilities(grammar=NIST_GRAMMAR, tool_change="word")
HEAD = "G21\nG90 G94 G17 G54\nG0 Z5\nG0 X0 Y0\n"


def read(body: str, capabilities: Capabilities = GRBL, head: str = HEAD) -> Reading:
    return interpret(head + body, capabilities)


def checks(reading: Reading) -> list[tuple[str, int | None]]:
    return [(f.check, f.line) for f in reading.findings]


def test_a_file_that_sets_everything_raises_nothing() -> None:
    reading = read("M3 S12000\nG4 P3\nG1 Z-1 F200\nX10\nG2 X20 Y0 I5 J0 F900\nG0 Z5\nM5\nM2\n")
    program = reading.program
    assert reading.findings == ()
    assert program.frame == "controller"
    assert program.stock is None
    assert np.isnan(program.start).all()
    assert program.kind.tolist() == [RAPID, RAPID, LINE, LINE, ARC, RAPID]
    assert program.line.tolist() == [3, 4, 7, 8, 9, 10]
    assert np.isnan(program.end[0, :2]).all()
    assert program.end[1:].tolist() == [[0, 0, 5], [0, 0, -1], [10, 0, -1], [20, 0, -1], [20, 0, 5]]
    np.testing.assert_array_equal(program.feed, [math.nan, math.nan, 200, 200, 900, math.nan])
    assert program.centre[4].tolist() == [15, 0]
    assert program.sweep[4] == pytest.approx(-math.pi)
    assert program.event == (Offset("G54"), Spindle(12000.0, 1), Dwell(3.0), Spindle(0.0, 0), Stop())
    assert program.event_at.tolist() == [0, 2, 2, 6, 6]


# What each line relies on, from unknown units, plane, modes and position.
@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("G0 Z5", ["units", "absolute", "offset"]),
        ("G21 G90 G54\nZ5", ["kind of move"]),
        ("G21 G90 G54 G94\nG0 Z5\nG0 X0 Y0\nG1 Z0 F100\nG2 X2 I1", ["plane"]),
        ("G21 G90 G54 G17\nG0 Z5\nG0 X0 Y0\nG1 Z0 F100", ["F means"]),
        ("G90 G54 G17 G94\nG1 F100", ["units"]),
        ("G21 G90 G54 G94\nG0 X0 Y0\nG0 Z5", ["height"]),
        ("G21 G90 G54 G94\nG0 Z5\nG1 X1 F100\nY2\nX3", ["place that is not known"]),
        ("G21 G91 G54 G94\nG0 Z5", ["increment"]),
        ("G21 G90 G54 G94 G17\nG0 Z5\nG2 X5 Y5 I1 F100\nG2 X5 Y5 I1", ["arc from or to a place"]),
        ("M3", ["speed"]),
    ],
)
def test_what_the_text_leaves_open_is_told_once(text: str, told: list[str]) -> None:
    findings = interpret(text, GRBL).findings
    assert {f.check for f in findings} == {"unknown state"}
    assert len(findings) == len(told)
    for part in told:
        assert any(part in f.what for f in findings), (part, findings)


def test_a_known_start_is_taken() -> None:
    reading = interpret("G21 G90 G54 G94 G1 X1 F10", GRBL, start=(0, 2, 3))
    assert reading.findings == ()
    assert reading.program.start.tolist() == [0, 2, 3]
    assert reading.program.end.tolist() == [[1, 2, 3]]


def test_inches_become_millimetres_also_in_feeds_and_centres() -> None:
    program = interpret("G20\nG90 G94 G17 G54\nG0 Z1\nX1 Y0\nG1 Z-.5 F10\nG3 X-1 I-1", GRBL).program
    assert program.end[-2:].tolist() == [[25.4, 0, -12.7], [-25.4, 0, -12.7]]
    assert program.centre[-1].tolist() == [0, 0]
    assert program.feed[-1] == 254.0


def test_a_feed_beside_its_units_counts_as_the_controller_takes_it() -> None:
    text = "G21 G90 G94 G17 G54\nG0 Z5\nX0 Y0\nG20 G1 X1 F10"
    assert interpret(text, GRBL).program.feed[-1] == 254.0
    # NISTIR 6556, table 8: the feed rate is set before the units.
    assert interpret(text, NIST).program.feed[-1] == 10.0


def test_increments_add_up() -> None:
    program = read("G91\nG0 X1 Y2\nG1 Z-6 F100\nX1\nG3 X2 I1").program
    assert program.end[2:].tolist() == [[1, 2, 5], [1, 2, -1], [2, 2, -1], [4, 2, -1]]
    assert program.centre[-1].tolist() == [3, 2]
    assert program.sweep[-1] == pytest.approx(math.pi)


def test_inverse_time_becomes_a_feed_of_each_move() -> None:
    program = read("G93\nG1 X30 Y40 F2\nG94\nG1 X0 Y0 F77").program
    assert program.feed[2:].tolist() == [100.0, 77.0]
    assert ("controller", 6) in checks(read("G93\nG1 X30"))


@pytest.mark.parametrize(
    ("block", "sweep"),
    [
        ("G3 X0 Y10 I-10", math.pi / 2),
        ("G2 X0 Y10 I-10", -3 * math.pi / 2),
        ("G3 X10 Y0 I-10", 2 * math.pi),
        ("G2 X10 Y0 I-10", -2 * math.pi),
        ("G3 X0 Y10 R10", math.pi / 2),
        ("G3 X0 Y10 R-10", 3 * math.pi / 2),
        ("G2 X0 Y10 R10", -math.pi / 2),
        ("G2 X0 Y10 R-10", -3 * math.pi / 2),
        ("G2 X10 Y0 Z-3 I-10", -2 * math.pi),
    ],
)
def test_how_far_round(block: str, sweep: float) -> None:
    program = read(f"X10\nG1 F100\n{block}").program
    assert program.kind[-1] == ARC
    assert program.sweep[-1] == pytest.approx(sweep)
    reach = np.hypot(*(program.end[-1, :2] - program.centre[-1]))
    assert reach == pytest.approx(10.0)


def test_an_arc_whose_rounded_end_is_its_start_goes_all_the_way_round() -> None:
    # GRBL 1.1h does so up to 5e-7 radians (reproduced with its own code): the bit cuts a circle that nobody wanted.
    program = read("X10\nG1 F100\nG3 X10 Y-0.000003 I-10").program
    assert program.sweep[-1] == pytest.approx(2 * math.pi)


def test_a_refused_block_does_nothing_and_leaves_the_place_unknown() -> None:
    reading = read("G1 Z-1 F100\nG1 X10 X20 M3 S500\nX30\nY1\nG0 Z5\nX0 Y0\nG1 X5\n")
    refusal, after = reading.findings
    assert (refusal.check, refusal.code, refusal.line, refusal.column) == ("controller", "error:25", 6, 8)
    assert "nothing in this block is done" in refusal.what
    assert (after.check, after.line) == ("unknown state", 7)
    assert not any(isinstance(event, Spindle) for event in reading.program.event)
    assert 6 not in reading.program.line
    assert np.isnan(reading.program.end[3]).tolist() == [False, True, True]
    assert reading.program.end[-1].tolist() == [5, 0, 5]


def test_a_refused_switch_leaves_the_place_known() -> None:
    reading = read("G1 Z-1 F100\nM6\nX5")
    assert checks(reading) == [("controller", 6)]
    assert reading.program.end[-1].tolist() == [5, 0, -1]


@pytest.mark.parametrize(("plane", "arc"), [("G18", "X2 Z5 I1"), ("G19", "Y2 Z5 J1")])
def test_arcs_in_other_planes_are_refused_by_name(plane: str, arc: str) -> None:
    for capabilities in (GRBL, NIST):
        reading = read(f"G1 F100\n{plane} G2 {arc}\nG17 G0 Z5\nX1 Y1\nM2", capabilities)
        assert checks(reading) == [("not interpreted", 6)]
        assert "plane" in reading.findings[0].what
        assert reading.program.line.tolist() == [3, 4, 7, 8]


def test_spindle_and_coolant_events_are_changes() -> None:
    events = read("S500\nM5\nM3\nM3 S500\nS600\nM4\nM8\nM8\nM9\nM9\nM5\nS700\nM30").program.event
    assert events[1:] == (
        Spindle(500.0, 1),
        Spindle(600.0, 1),
        Spindle(600.0, -1),
        Coolant("flood"),
        Coolant("off"),
        Spindle(0.0, 0),
        Stop(),
    )


def test_the_end_switches_off_what_still_runs() -> None:
    events = read("S500 M3 M8\nM2").program.event
    assert events[-4:] == (Coolant("flood"), Spindle(0.0, 0), Coolant("off"), Stop())


def test_tools_pauses_and_dwells() -> None:
    reading = read("T3 M6\nM0\nM1\nG4 P0.5\nM2", NIST)
    assert reading.findings == ()
    named = reading.program.event[1:]
    assert named[0] == ToolChange("T3", 3)
    assert isinstance(named[1], Pause)
    assert isinstance(named[2], Pause)
    assert named[3:] == (Dwell(0.5), Stop())
    assert [type(e) for e in read("T3\nM0\nM1\nG4 P2").program.event] == [Offset, Pause, Dwell]
    milliseconds = replace(GRBL, dwell_unit="ms")
    assert read("G4 P250", milliseconds).program.event[-1] == Dwell(0.25)


def test_comments_do_not_matter() -> None:
    plain = read("G1 Z-1 F100\nX5\nM2").program
    noisy = read("G1 (M3 S9) Z-1 F100 ; X9\n(G1 X99) X5\n;x\nM2").program
    assert noisy.replace(line=plain.line) == plain


# --- what only the controller knows ---


@pytest.mark.parametrize(
    ("block", "check"),
    [
        ("G28", "machine coordinates"),
        ("G30 Z5", "machine coordinates"),
        ("G53 G0 Z-1", "machine coordinates"),
        ("G10 L2 P1 X0", "unknown state"),
        ("G10 L2 P0 X0", "unknown state"),
        ("G38.2 Z-5 F50", "unknown state"),
    ],
)
def test_places_that_the_text_does_not_tell_are_unknown(block: str, check: str) -> None:
    reading = read(f"{block}\nG91 G0 X1 Z1")
    assert reading.findings[0].check == check
    assert reading.findings[0].line == 5
    assert np.isnan(reading.program.end[-1]).any()


def test_writing_to_stored_offsets_is_a_warning() -> None:
    for block in ("G10 L2 P2 X0", "G10 L20 P1 X3", "G28.1", "G30.1"):
        reading = read(block + "\nG0 X1")
        assert [(f.check, f.severity) for f in reading.findings] == [("stored offsets", "warning")]


def test_g92_shifts_numbers_and_not_the_bit() -> None:
    reading = read("G92 X10 Y20\nG0 X10 Y20\nG0 X15\nG91 X1\nG90\nG92.1\nG0 X2")
    assert reading.findings == ()
    assert reading.program.end[2:].tolist() == [[0, 0, 5], [5, 0, 5], [6, 0, 5], [2, 0, 5]]


def test_g92_sets_the_zero_only_where_the_dialect_says_so() -> None:
    text = "G21 G90 G94 G17 G54\nG92 X0 Y0 Z0\nG0 Z5\nX3"
    assert checks(interpret(text, GRBL)) == [("unknown state", 2)]
    reading = interpret(text, replace(GRBL, sets_zero=True))
    assert reading.findings == ()
    assert reading.program.end.tolist() == [[0, 0, 5], [3, 0, 5]]


def test_a_length_offset_shifts_z() -> None:
    reading = read("G49\nG43.1 Z2\nG0 Z5\nG49\nG0 Z5")
    assert reading.findings == ()
    assert reading.program.end[2:, 2].tolist() == [7, 5]
    assert checks(read("G43.1 Z2")) == [("unknown state", 5)]
    assert checks(read("G43 H1\nM2", NIST)) == [("unknown state", 5)]


def test_another_work_offset_is_another_frame() -> None:
    reading = read("G55\nG0 Z5\nX1 Y2")
    assert reading.findings == ()
    assert reading.program.event == (Offset("G54"), Offset("G55"))
    assert np.isnan(reading.program.end[2]).tolist() == [True, True, False]
    assert reading.program.end[3].tolist() == [1, 2, 5]


def test_cutter_compensation_is_not_followed() -> None:
    reading = read("G41 D1\nG1 X5 F100\nG40\nG0 Z5\nX0 Y0\nM2", NIST)
    assert [c for c, _ in checks(reading)][:2] == ["not interpreted", "not interpreted"]
    assert 6 not in reading.program.line


# --- frames of files ---


def test_a_tape_ends_at_its_second_mark() -> None:
    reading = interpret("%\n" + HEAD + "X1\n%\nG1 garbage\n", NIST)
    assert reading.findings == ()
    assert len(reading.program) == 3


def test_rs274_wants_an_end() -> None:
    reading = interpret(HEAD, NIST)
    assert [(f.check, f.line) for f in reading.findings] == [("controller", None)]
    assert interpret("%\n" + HEAD, NIST).findings
    assert interpret(HEAD + "M30\nrubbish", NIST).findings == ()
    assert [f.line for f in interpret(HEAD + "%\nM2", NIST).findings] == [5]


def test_grbl_reads_on_after_the_end() -> None:
    reading = read("G91 F100 M2\nX5\nX6")
    assert reading.program.event[-1] == Stop()
    # M2 sets G1 and G90.
    assert reading.program.end[2:].tolist() == [[5, 0, 5], [6, 0, 5]]
    assert reading.program.kind[2:].tolist() == [LINE, LINE]
    assert checks(read("M2\nX5")) == [("controller", 6)]


def test_bytes_that_act_at_once_are_told_even_in_comments() -> None:
    reading = interpret(HEAD.encode() + "X1 (größe!)\n".encode(), GRBL)
    assert checks(reading) == [("real-time bytes", 5)]
    assert reading.findings[0].column == 7
    assert reading.program.end[-1, 0] == 1
    assert interpret(HEAD + "X1 (größe!)\nM2", NIST).findings == ()
    after_reset = interpret(HEAD + "\x18\nX1", GRBL)
    assert after_reset.findings[0].check == "real-time bytes"
    assert len(after_reset.findings) > 2


def test_a_block_behind_a_switch_is_not_taken_for_read() -> None:
    assert checks(read("/G0 X1\nM2", NIST)) == [("unknown state", 5)]
    assert read("/G0 X1").program.end[-1, 0] == 1


def test_settings_commands_are_refused() -> None:
    reading = read("$H\n$110=9000\nX1")
    assert [f.code for f in reading.findings[:2]] == ["error:3", "error:3"]
    assert reading.findings[2].check == "unknown state"


def test_expressions_are_named() -> None:
    assert checks(read("#1=5\nG0 X#1\nM2", NIST)) == [("not interpreted", 5), ("not interpreted", 6)]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_line_ends(end: str) -> None:
    text = (HEAD + "\nX1\n\nX2 X3\n").replace("\n", end)
    reading = interpret(text, GRBL, file="plate.nc")
    assert reading.program.line.tolist() == [3, 4, 6]
    assert [(f.file, f.line, f.column) for f in reading.findings] == [("plate.nc", 8, 4)]


# --- bad input ---


def test_a_dialect_without_words_and_a_bad_start_are_refused() -> None:
    with pytest.raises(CapabilityError):
        interpret("G0", Capabilities())
    for start in ((1.0, 2.0), (1.0, 2.0, math.inf)):
        with pytest.raises(InputError):
            interpret("G0", GRBL, start=start)


def test_verdicts_of_a_grammar_without_numbers() -> None:
    assert verdict("G0 X1", NIST) == "ok"
    assert verdict("A1", NIST) == "refused"
    assert verdict("M3 M7 M6 M2 M48", NIST) == "refused"
    assert verdict("G0 X1 N5", NIST) == "refused"
    assert verdict("N5 G0 X1", NIST) == "ok"
    assert verdict("X1", NIST) == "refused"
    assert verdict("G1 X1 F9 P1", NIST) == "refused"
    assert verdict("G2 X2 I1 K1 F9", NIST) == "refused"


def test_the_grammar_refuses_codes_without_a_meaning() -> None:
    with pytest.raises(InputError, match="G7 has no meaning"):
        replace(GRBL_GRAMMAR, codes=GRBL_GRAMMAR.codes | {"G7"})
    with pytest.raises(InputError, match="modal group"):
        replace(GRBL_GRAMMAR, power_up={"plane": "G90"})
    with pytest.raises(InputError, match="name of a fault"):
        replace(GRBL_GRAMMAR, errors={"oops": "error:1"})  # type: ignore[dict-item]
