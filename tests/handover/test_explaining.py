"""A line of a cut file in words: every kind of line, where it stands, and what a numbered message meant there."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import pathkit as pk
from pathkit.errors import InputError
from pathkit.handover.build import build
from pathkit.handover.support.explaining import Explained, explain
from pathkit.handover.support.mail import WIDTH, as_mail
from pathkit.handover.support.messages import ALARMS, ERRORS
from pathkit.handover.support.texts import shown
from pathkit.handover.support.words import CODES, code_in_words
from pathkit.machine.grammar import GROUP_OF
from pathkit.operations import contour, drill, rectangle
from pathkit.registry import capabilities_of
from pathkit.texts.language import ENGLISH

FRONT = pk.load_machine("grbl-front-left")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    bit = pk.Tool("4 mm end mill", 4.0, centre_cutting=True)
    feeds = pk.Cutting(feed=1200.0, plunge=400.0, spindle=16000.0)
    stock = pk.Stock(160, 100, 6, z_zero="bed", underlay=2)
    toolpaths = (
        *drill("hole", [(45, 50)], bit, feeds, bottom=stock.underside - 0.3, peck=3),
        *contour("outline", rectangle((30, 25), 100, 50, radius=6), bit, feeds, bottom=stock.underside - 0.3,
                 stepdown=3),
    )  # fmt: skip
    out = tmp_path_factory.mktemp("made") / "out"
    machines = [pk.load_machine(name) for name in ("grbl-front-left", "portrait-inch")]
    assert build(pk.Job("plate", stock, toolpaths), machines, out).ok
    return out


def at(made: Path, text: str, *, nth: int = 0, machine: str = "grbl-front-left", file: str = "plate.nc") -> Explained:
    """The explanation of the ``nth`` line that reads so."""
    path = made / machine / file
    numbers = [n for n, line in enumerate(path.read_text().splitlines(), 1) if line == text]
    return explain(path, numbers[nth])


def alone(tmp_path: Path, text: bytes, line: int = 1, machine: pk.Machine = FRONT) -> Explained:
    """The explanation of a line of a file without a certificate."""
    path = tmp_path / "alone.nc"
    path.write_bytes(text)
    return explain(path, line, machine=machine)


def test_a_cut_is_told_with_its_direction_end_feed_and_depth(made: Path) -> None:
    told = at(made, "G1 X124")
    assert told.kind == "move"
    assert told.sentence.startswith("Line 29 cuts along +X to X 124 Y 77 at 1200 mm/min, 1.77 mm below the top")
    assert (told.where.toolpath, told.where.before, told.where.after) == ("outline", "hole", None)
    assert told.words == (("G1", code_in_words("G1", ENGLISH)), ("X124", "to X 124 mm, counted from the work zero"))
    assert told.carried == (("F1200", "feed 1200 mm/min (set by an earlier line)"),)
    begin, end = told.spots
    assert begin.axes == "X 36 Y 77 Z 6.233 (mm, the file's axes)"
    assert end.on_board == "124 mm to the right, 77 mm away, 1.77 mm below the top of the board"
    assert told.as_dict()["ends"] == {
        "unit": "mm", "file": {"x": 124.0, "y": 77.0, "z": 6.233}, "board_mm": {"x": 124.0, "y": 77.0, "z": 6.233}
    }  # fmt: skip
    assert told.where.seconds is not None
    assert told.where.total is not None
    assert 3.0 < told.where.seconds < told.where.total
    assert not told.cautions


def test_places_on_the_board_go_by_the_machine_s_own_axes_and_inches(made: Path) -> None:
    """X runs away from the operator there, Y to the right, and the frame is left-handed."""
    told = at(made, "G1 X2.7165", machine="portrait-inch", file="plate.ngc")
    assert "cuts along +X to X 2.7165 Y 1.1024 at 47.2 in/min (1200 mm/min)" in told.sentence
    assert told.spots[1].on_board.startswith("1.102 in (28 mm) to the right, 2.716 in (69 mm) away")
    # The file says G3, and the bit turns the other way seen from above.
    arc = at(made, "G3 X1.2205 Y1.1024 I0.315 J0 F47.244", machine="portrait-inch", file="plate.ngc")
    assert "an arc, clockwise seen from above, of radius 0.315 in through 90 degrees" in arc.sentence


@pytest.mark.parametrize(
    ("text", "kind", "says"),
    [
        ("(pathkit: hole)", "comment", "is a comment for people, and the machine does nothing: (pathkit: hole)"),
        ("G21", "setting", "sets how it and the lines after it are read (lengths are millimetres)"),
        ("G0 Z16.5", "move", "moves straight up or down to Z 16.5 at full speed, 8.5 mm above the top of the board"),
        ("S16000 M3", "spindle", "turns the spindle on, clockwise, at 16000 rpm"),
        ("G4 P3", "dwell", "stands still for 3 s"),
        ("G0 X45 Y50", "move", "moves in a straight line to X 45 Y 50 at full speed"),
        ("Z9.5", "move", "moves straight down to Z 9.5 at full speed, 1.5 mm above the top of the board"),
        ("Z1.7 F400", "move", "cuts straight down to Z 1.7 at 400 mm/min, 6.3 mm below the top of the board"),
        ("G2 X36 Y77 I8 J0", "move", "cuts an arc, clockwise seen from above, of radius 8 mm through 90 degrees to"),
        ("M5", "spindle", "turns the spindle off."),
        ("M5 M9", "spindle", "turns the spindle off (it is off already) and turns coolant and air off"),
        ("M2", "program end", "ends the program"),
    ],
)
def test_every_kind_of_line_of_a_cut_file(made: Path, text: str, kind: str, says: str) -> None:
    told = at(made, text)
    assert told.kind == kind
    assert says in told.sentence


@pytest.mark.parametrize(
    ("line", "kind", "says"),
    [
        (b"", "blank", "is blank: it does nothing"),
        (b" \t", "blank", "is blank"),
        (b"; a note", "comment", "is a comment"),
        (b"N20 (a note)", "comment", "is a comment for people, and the machine does nothing: N20 (a note)"),
        (b"!", "acts at once", "it does something: the byte 0x21 acts on the controller the moment it arrives"),
        (b"(done?)", "acts at once", "the byte 0x3F acts on the controller"),
        (b"G90 M5", "spindle", "(numbers are places, counted from zero) and turns the spindle off (it is off already)"),
        (b"N20", "number", "holds only a line number"),
        (b"T3", "bit change", "names bit 3, and moves nothing"),
        (b"M0", "pause", "stops until cycle start is pressed"),
        (b"M1", "pause", "would be a pause, which this controller leaves out"),
        (b"M8", "coolant", "turns the flood on"),
        (b"S9000", "spindle", "sets a speed of 9000 rpm for when the spindle is turned on"),
        (b"F300", "setting", "sets the feed to 300 mm/min"),
        (b"G0", "setting", "chooses for the lines after it: move at full speed"),
        (b"G55", "setting", "takes the work zero G55"),
        (b"G92 X0", "offset", "moves nothing and changes what is stored"),
        (b"G28", "move", "moves to a place that the file does not say"),
        (b"G0 X1 Y2", "move", "moves nowhere: the bit is at X 1 Y 2"),
        (b"G91 G0 X-3", "move", "moves along -X to X -2 Y 2 at full speed"),
        (b"G20 G0 X1", "move", "to X 1 Y 0.0787 at full speed"),
        (b"G1 X9", "refused", "is refused by the controller (error:22)"),
        (b"$H", "refused", "(error:3)"),
        (b"G81 X1", "refused", "(error:20)"),
    ],
)
def test_other_lines_that_a_file_may_hold(tmp_path: Path, line: bytes, kind: str, says: str) -> None:
    told = alone(tmp_path, b"G21 G90 G94 G17 G54\nG0 Z5\nG0 X1 Y2\n" + line + b"\nG0 X5\n", 4)
    assert told.kind == kind
    assert says in told.sentence
    assert told.where.toolpath is None
    assert "nothing is proved" in told.cautions[-1].what


def test_the_end_of_a_program_turns_off_what_turns(tmp_path: Path) -> None:
    text = b"G21 G90 G94 G54\nS9000 M3\nM8\nM2\n"
    assert alone(tmp_path, text, 4).sentence == (
        "Line 4 turns coolant and air off and ends the program, which also turns the spindle off."
    )
    assert alone(tmp_path, text.replace(b"M2", b"M5 M0"), 4).sentence == (
        "Line 4 turns the spindle off and stops until cycle start is pressed."
    )


def test_a_file_that_is_wrong_throughout_is_not_read_to_its_end(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"reading stopped at line 500 .*is this a file for GRBL"):
        alone(tmp_path, b"G81 X1\n" * 700, 700)
    assert alone(tmp_path, b"G81 X1\n" * 700, 400).kind == "refused"


def test_the_other_controllers_words(made: Path, tmp_path: Path) -> None:
    inch = pk.load_machine("portrait-inch")
    hole = at(made, "G83 X1.9685 Y1.7717 Z0.0669 R0.374 Q0.0768 F15.748", machine="portrait-inch", file="plate.ngc")
    assert "drills a hole at X 1.9685 Y 1.7717 down to Z 0.0669 in pecks of 0.0768" in hole.sentence
    assert "0.248 in (6.3 mm) below the top of the board, 0.012 in (0.3 mm) below its underside" in hole.sentence
    assert at(made, "%", machine="portrait-inch", file="plate.ngc").kind == "mark"
    # A second mark ends the file.
    assert alone(tmp_path, b"%\nG21\n%\nG0 X1\n", 3, inch).kind == "mark"
    told = alone(tmp_path, b"%\nG21\n%\nG0 X1\n", 4, inch)
    assert told.kind == "after the end"
    assert "T2" not in alone(tmp_path, b"%\nT2 M6\nM2\n", 2, inch).sentence
    assert alone(tmp_path, b"%\nT2 M6\nM2\n", 2, inch).kind == "bit change"


def test_a_table_of_moves_has_no_words_and_is_told_all_the_same(tmp_path: Path) -> None:
    import dataclasses

    table = dataclasses.replace(FRONT, dialect="csv")
    text = b"unit,mm\nmove,x,y,z,i,j,feed\nrapid,,,5,,,\nrapid,1,2,,,,\nspindle,clockwise,9000\nline,1,2,3,,,300\nend\n"
    told = alone(tmp_path, text, 6, table)
    assert "straight down to Z 3 at 300 mm/min" in told.sentence
    assert told.words == ()
    assert "turns the spindle on" in alone(tmp_path, text, 5, table).sentence
    assert alone(tmp_path, text, 7, table).kind == "program end"


@pytest.mark.parametrize(
    "file", ["grbl-front-left/plate.nc", "grbl-front-left/plate-air.nc", "portrait-inch/plate.ngc"]
)
def test_every_line_of_a_cut_file_is_told(made: Path, file: str) -> None:
    """No line does "nothing", and all moves but the first and the last belong to a toolpath."""
    path = made / file
    told = [explain(path, number) for number in range(1, len(path.read_text().splitlines()) + 1)]
    assert {each.kind for each in told}.isdisjoint({"nothing", "not read", "refused"})
    moves = [each for each in told if each.kind == "move"]
    assert all(each.where.toolpath for each in moves[1:-1])
    seconds = [each.where.seconds or 0.0 for each in told]
    assert seconds == sorted(seconds)


def test_a_line_between_two_toolpaths_names_both(made: Path) -> None:
    told = at(made, "(pathkit: outline)")
    assert (told.where.toolpath, told.where.before, told.where.after) == (None, "hole", "outline")
    first = at(made, "G21")
    assert (first.where.before, first.where.after) == (None, "hole")
    last = at(made, "M2")
    assert (last.where.before, last.where.after) == ("outline", None)
    assert last.where.seconds == last.where.total


def test_an_air_cut_is_told_by_the_toolpaths_of_its_cut(made: Path) -> None:
    told = at(made, "G1 X124", file="plate-air.nc")
    assert told.sentence.startswith("Line 27 moves along +X")
    assert told.where.toolpath == "outline"
    assert "air cut" in told.cautions[-1].what


def test_a_file_that_was_edited_is_told_with_a_caution(made: Path, tmp_path: Path) -> None:
    folder = tmp_path / "edited"
    shutil.copytree(made / "grbl-front-left", folder)
    path = folder / "plate.nc"
    path.write_bytes(path.read_bytes().replace(b"Z3.967 F400", b"Z2.967 F400", 1))
    told = explain(path, 38)
    assert told.sentence.startswith("Line 38 cuts along +X to X 124 Y 77 at 1200 mm/min, 5.03 mm below")
    assert told.where.toolpath == "outline"
    assert "nothing in it is proved any more" in told.cautions[0].what


@pytest.mark.parametrize("line", [0, -3, 57, 10**30])
def test_a_line_outside_of_the_file_is_refused(made: Path, line: int) -> None:
    with pytest.raises(InputError, match=r"give a line from 1 to 56"):
        explain(made / "grbl-front-left" / "plate.nc", line)


def test_what_is_missing_is_said(made: Path, tmp_path: Path) -> None:
    path = tmp_path / "plate.nc"
    path.write_bytes((made / "grbl-front-left" / "plate.nc").read_bytes())
    with pytest.raises(InputError, match="--machine"):
        explain(path, 1)
    with pytest.raises(InputError, match="is not there"):
        explain(tmp_path / "none.nc", 1, machine=FRONT)


# --- numbered messages ------------------------------------------------------------------------------------------------


def test_a_message_that_the_line_itself_gives_is_told_with_its_reason(tmp_path: Path) -> None:
    path = tmp_path / "bad.nc"
    path.write_bytes(b"G21 G90 G54\nG1 X5\n")
    told = explain(path, 2, machine=FRONT, message=22).message
    assert told is not None
    assert told.means == ENGLISH("grbl-error-22")
    assert "gives this very message" in told.likely[0]
    other = explain(path, 2, machine=FRONT, message=33).message
    assert other is not None
    assert any("gives error:22 instead" in each for each in other.likely)


def test_a_message_at_a_sound_line_points_at_what_was_sent(made: Path) -> None:
    path = made / "grbl-front-left" / "plate.nc"
    told = explain(path, 30, message=33)
    assert told.message is not None
    assert "something else" in told.message.likely[0]
    assert "start in the middle" in told.message.likely[1]
    by_hand = explain(path, 30, message=8).message
    assert by_hand is not None
    assert "given by hand" in by_hand.likely[0]
    locked = explain(path, 30, message=9).message
    assert locked is not None
    assert "alarm came before" in locked.likely[0]


def test_a_message_that_another_line_gives_points_there(tmp_path: Path) -> None:
    path = tmp_path / "bad.nc"
    path.write_bytes(b"G21 G90 G54\nG0 Z5\nG0 X5\nG81 X1\nG0 X7\n")
    told = explain(path, 5, machine=FRONT, message=20).message
    assert told is not None
    assert told.likely[0].startswith("line 4 of this file gives that message")


def test_an_alarm_is_told_with_how_far_the_line_goes(made: Path) -> None:
    told = explain(made / "grbl-front-left" / "plate.nc", 29, alarm=2).message
    assert told is not None
    assert told.code == "ALARM:2"
    assert "X 124 (the whole file: 0 to 132)" in told.likely[1]
    assert "later than the one that ran" in told.likely[-2]
    # Seven comments stand before it.
    assert told.likely[-1].endswith("its line 29 is line 36 here: G1 Y69")


def test_messages_are_refused_where_they_mean_nothing(made: Path) -> None:
    grbl, inch = made / "grbl-front-left" / "plate.nc", made / "portrait-inch" / "plate.ngc"
    for message, alarm in ((18, None), (0, None), (None, 99)):
        with pytest.raises(InputError, match="not among the numbers"):
            explain(grbl, 5, message=message, alarm=alarm)
    with pytest.raises(InputError, match="does not number its messages"):
        explain(inch, 5, message=22)
    with pytest.raises(InputError, match="two questions"):
        explain(grbl, 5, message=22, alarm=1)


def test_the_tables_know_all_that_the_reader_knows() -> None:
    """Codes: those that the reader can follow or knows by group. Messages: every answer of the controller's grammar."""
    assert set(GROUP_OF) - set(CODES) <= {"G84", "G85", "G86", "G87", "G88", "G89"}
    grammar = capabilities_of(FRONT).grammar
    assert grammar is not None
    assert {int(code.removeprefix("error:")) for code in grammar.errors.values()} <= set(ERRORS)
    assert set(ALARMS) == set(range(1, 11))


# --- text from outside ------------------------------------------------------------------------------------------------


@given(st.binary(max_size=300))
def test_no_byte_of_a_line_comes_out_as_anything_but_printable_ascii(raw: bytes) -> None:
    text = shown(raw)
    assert text.isascii()
    assert text.isprintable()
    assert len(text) < 500


@given(line=st.binary(max_size=200).filter(lambda b: b"\n" not in b and b"\r" not in b and b"\0" not in b))
def test_hostile_lines_are_told_in_plain_text(tmp_path_factory: pytest.TempPathFactory, line: bytes) -> None:
    path = tmp_path_factory.getbasetemp() / "hostile.nc"
    path.write_bytes(b"G21 G90 G94 G17\nG0 Z5\n" + line + b"\nG0 X1 Y1\n")
    told = explain(path, 3, machine=FRONT)
    for each in as_mail(told):
        assert each.isprintable()


def test_a_line_of_a_million_words_is_told_shortly(tmp_path: Path) -> None:
    told = alone(tmp_path, b"G21 G90\n" + b"X1" * 1_000_000 + b"\n", 2)
    assert told.kind == "refused"
    assert "more bytes" in told.text
    assert len("\n".join(as_mail(told))) < 3000


def test_the_text_fits_into_a_mail(made: Path) -> None:
    path = made / "grbl-front-left" / "plate.nc"
    for number in (1, 3, 14, 26, 29, 56):
        lines = as_mail(explain(path, number, alarm=1))
        assert all(len(line) <= WIDTH for line in lines)
        assert lines[-1].endswith("manual come before this text.")
