"""A cut file that came back: every way in which it may differ, and what that does."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import pathkit as pk
from pathkit.errors import InputError
from pathkit.handover.build import build
from pathkit.handover.resume import resume
from pathkit.handover.support.differing import SHOWN_EDITS, Difference, differ
from pathkit.handover.support.edits import MOST_EDITS, cut_short, edits_of, lines_of
from pathkit.handover.support.mail import WIDTH, difference_as_mail
from pathkit.operations import contour, drill, pocket, rectangle

FRONT = pk.load_machine("grbl-front-left")


@pytest.fixture(scope="module")
def sent(tmp_path_factory: pytest.TempPathFactory) -> Path:
    bit = pk.Tool("4 mm end mill", 4.0, centre_cutting=True)
    feeds = pk.Cutting(feed=1200.0, plunge=400.0, spindle=16000.0)
    stock = pk.Stock(160, 100, 6, z_zero="bed", underlay=2)
    toolpaths = (
        *drill("hole", [(45, 50)], bit, feeds, bottom=stock.underside - 0.3, peck=3),
        *contour("outline", rectangle((30, 25), 100, 50, radius=6), bit, feeds, bottom=stock.underside - 0.3,
                 stepdown=3),
    )  # fmt: skip
    out = tmp_path_factory.mktemp("made") / "out"
    assert build(pk.Job("plate", stock, toolpaths), [FRONT], out).ok
    return out / "grbl-front-left" / "plate.nc"


def back(sent: Path, tmp_path: Path, old: bytes = b"", new: bytes = b"", *, nth: int = 0) -> Difference:
    """The difference to the file with its ``nth`` such line changed; a line is named from its beginning to its end."""
    data = sent.read_bytes()
    places = [m.start() for m in re.finditer(rb"(?m)^" + re.escape(old) + rb"$", data)]
    at = places[nth]
    return came(sent, tmp_path, data[:at] + new + data[at + len(old) :])


def came(sent: Path, tmp_path: Path, data: bytes) -> Difference:
    path = tmp_path / "back.nc"
    path.write_bytes(data)
    return differ(sent, path)


def mail(told: Difference) -> str:
    return " ".join(" ".join(difference_as_mail(told)).split())


# --- nothing but layout -----------------------------------------------------------------------------------------------


def test_the_same_bytes_are_the_same(sent: Path, tmp_path: Path) -> None:
    told = came(sent, tmp_path, sent.read_bytes())
    assert told.same_bytes
    assert told.ok
    assert told.layout == ()
    assert "the same, byte for byte" in mail(told)
    assert not told.cautions


@given(st.data())
def test_changing_nothing_but_line_ends_is_told_as_only_line_ends(
    sent: Path, tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:  # fmt: skip
    lines = sent.read_bytes().split(b"\n")[:-1]
    ends = data.draw(st.lists(st.sampled_from([b"\n", b"\r\n", b"\r"]), min_size=len(lines), max_size=len(lines)))
    last = data.draw(st.sampled_from([ends[-1], b""]))
    changed = b"".join(line + end for line, end in zip(lines, [*ends[:-1], last], strict=True))
    told = came(sent, tmp_path_factory.getbasetemp(), changed)
    assert told.ok
    assert told.layout == (() if told.same_bytes else ("line ends",))
    assert (told.cut, told.edits, told.moves, told.objections) == (None, 0, (), ())


@given(st.data())
def test_changing_nothing_but_blanks_is_told_as_only_that(
    sent: Path, tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:  # fmt: skip
    lines = sent.read_bytes().split(b"\n")[:-1]
    blanks = st.text(" \t", max_size=3).map(str.encode)
    trailing = data.draw(st.lists(blanks, min_size=len(lines), max_size=len(lines)))
    empty = data.draw(st.lists(st.sampled_from([b"", b"", b"\n", b" \n"]), min_size=len(lines), max_size=len(lines)))
    changed = b"".join(line + blank + b"\n" + more for line, blank, more in zip(lines, trailing, empty, strict=True))
    told = came(sent, tmp_path_factory.getbasetemp(), changed)
    wanted = {name for name, there in (("trailing blanks", any(trailing)), ("blank lines", any(empty))) if there}
    assert set(told.layout) == wanted
    assert told.ok
    assert told.edits == 0


# --- cut short --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("last", "nth", "toolpath", "begun"),
    [("G21", 0, "hole", False), ("G1 Z3.967", 0, "hole", True), ("G0 Z16.5", 1, "outline", False),
     ("G0 X36 Y23", 0, "outline", False), ("G1 X124", 1, "outline", True)],
)  # fmt: skip
def test_a_file_that_ends_early_names_the_toolpath_to_start_again_with(
    sent: Path, tmp_path: Path, last: str, nth: int, toolpath: str, begun: bool
) -> None:
    lines = sent.read_text().splitlines(keepends=True)
    after = [n for n, line in enumerate(lines, 1) if line == last + "\n"][nth]
    told = came(sent, tmp_path, "".join(lines[:after]).encode())
    assert not told.ok
    assert told.cut is not None
    assert (told.cut.after, told.cut.missing, told.cut.partial) == (after, len(lines) - after, None)
    again = told.cut.again
    assert again is not None
    assert (again.toolpath, again.begun, again.start) == (toolpath, begun, toolpath)
    assert resume(sent, again.start or "", "rest.nc").proof.ok
    assert f"  {again.command}" in difference_as_mail(told)
    text = mail(told)
    # A toolpath, never a line to jump to.
    assert "Do not start the file in its middle" in text
    assert not re.search(r"(start|go on|jump|resume)\w* (at|from|with) line", text)


def test_a_last_line_that_is_cut_in_the_middle_is_shown(sent: Path, tmp_path: Path) -> None:
    data = sent.read_bytes()
    told = came(sent, tmp_path, data[: data.index(b"G1 X124") + len(b"G1 X12")])
    assert told.cut is not None
    assert told.cut.partial == "G1 X12"
    assert told.cut.again is not None
    assert told.cut.again.toolpath == "outline"
    assert told.cut.does.startswith("Line 29 cuts along -X to X 12 Y 77")
    assert "look at the board where it leads: G1 X12 Line 29 cuts along -X" in mail(told)


def test_a_file_that_was_edited_and_cut_short_is_told_as_both(sent: Path, tmp_path: Path) -> None:
    data = sent.read_bytes().replace(b"F1200", b"F1300")
    told = came(sent, tmp_path, data[: data.index(b"G1 Y31")])
    assert told.edits == 1
    assert told.places[0].returned == ((26, "G2 X28 Y31 I0 J8 F1300"),)
    assert told.cut is not None
    assert (told.cut.after, told.cut.partial) == (30, None)
    assert told.cut.again is not None
    assert told.cut.again.toolpath == "outline"
    assert told.board is None


def test_a_file_that_lacks_only_its_end_needs_no_second_cut(sent: Path, tmp_path: Path) -> None:
    data = sent.read_bytes()
    told = came(sent, tmp_path, data[: data.rindex(b"M5\n")])
    assert told.cut is not None
    assert told.cut.again is not None
    assert told.cut.again.toolpath is None
    assert "Nothing is to be cut again" in mail(told)


def test_a_start_that_leans_on_earlier_cuts_goes_back_to_them(tmp_path: Path) -> None:
    """A wall after its raster: it would take in one go what the raster has opened level by level."""
    bit = pk.Tool("4 mm end mill", 4.0, centre_cutting=True)
    feeds = pk.Cutting(feed=1200.0, plunge=400.0, spindle=16000.0)
    stock = pk.Stock(100, 80, 9)
    toolpaths = pocket("recess", rectangle((20, 20), 40, 30, radius=5), bit, feeds, bottom=-5, stepdown=2, stock=stock)
    assert [path.role for path in toolpaths] == ["pocket", "finish"]
    assert build(pk.Job("recess", stock, tuple(toolpaths)), [FRONT], tmp_path / "out").ok
    path = tmp_path / "out" / "grbl-front-left" / "recess.nc"
    data = path.read_bytes()
    told = came(path, tmp_path, data[: data.index(b"(pathkit: recess wall)")])
    assert told.cut is not None
    again = told.cut.again
    assert again is not None
    assert (again.toolpath, again.begun, again.start) == ("recess wall", False, "recess rows")
    assert "It leans on what comes before it, so start again with toolpath 'recess rows'" in mail(told)


def test_without_a_certificate_no_toolpath_is_named(sent: Path, tmp_path: Path) -> None:
    alone, path = tmp_path / "alone.nc", tmp_path / "back.nc"
    alone.write_bytes(sent.read_bytes())
    path.write_bytes(sent.read_bytes()[:500])
    with pytest.raises(InputError, match="--machine"):
        differ(alone, path)
    told = differ(alone, path, machine=FRONT)
    assert told.cut is not None
    assert told.cut.again is None
    assert "is not known" in mail(told)


# --- edited -----------------------------------------------------------------------------------------------------------


def test_an_edited_depth_shows_both_lines_and_what_they_cut(sent: Path, tmp_path: Path) -> None:
    told = back(sent, tmp_path, b"Z3.967 F400", b"Z2.967 F400")
    assert not told.ok
    (place,) = told.places
    assert (place.sent, place.returned) == (((34, "Z3.967 F400"),), ((34, "Z2.967 F400"),))
    assert place.toolpath == "outline"
    assert "4.03 mm below the top" in place.as_sent[0]
    assert "5.03 mm below the top" in place.as_returned[0]
    assert told.moves[-1] == "the moves part at its line 34, toolpath 'outline'"
    # A later lap cuts there in any case.
    assert told.board == ()
    assert "In the end nothing changes on the board" in mail(told)


def test_a_deeper_last_lap_is_found_on_the_board(sent: Path, tmp_path: Path) -> None:
    told = back(sent, tmp_path, b"Z1.7 F400", b"Z1.2 F400")
    assert told.board
    assert "the returned file cuts away" in told.board[0].what
    assert "the file as sent leaves it" in told.board[0].what
    assert "leaves it (it cuts there in its line 4" in mail(told)


def test_a_toolpath_taken_out_is_found_on_the_board(sent: Path, tmp_path: Path) -> None:
    lines = sent.read_bytes().splitlines(keepends=True)
    told = came(sent, tmp_path, b"".join(lines[:11] + lines[21:]))
    assert told.edits == 1
    assert told.places[0].counts[1] == 0
    assert told.board
    assert "the file as sent cuts away" in told.board[0].what
    assert "near x 45" in told.board[0].what


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (b"S16000 M3", b"S12000 M3", "it lacks the spindle on, clockwise, 16000 rpm"),
        (b"G4 P3", b"", "it lacks a dwell of 3 s"),
        (b"M2", b"M30\nM2", None),
        (
            b"G2 X28 Y31 I0 J8 F1200",
            b"G2 X28 Y31 I0 J8 F1500",
            "its line 26 cuts at F1500, as sent at F1200 (and 7 more moves)",
        ),
        (b"G0 X45 Y50", b"G0 X45 Y51", "the moves part at its line 12, toolpath 'hole'"),
    ],
)
def test_other_edits_are_told_by_what_they_change(
    sent: Path, tmp_path: Path, old: bytes, new: bytes, says: str | None
) -> None:
    told = back(sent, tmp_path, old, new)
    assert not told.ok
    assert told.edits == 1
    assert says is None or any(each.startswith(says) for each in told.moves)
    assert "nothing that was proved holds for it" in told.cautions[-1].what


def test_an_edit_that_the_controller_refuses_is_told_with_its_code(sent: Path, tmp_path: Path) -> None:
    told = back(sent, tmp_path, b"G1 X124", b"G1 X126")
    assert {finding.code for finding in told.objections} >= {"error:33"}
    assert told.board is None
    assert "was not compared" in mail(told)


def test_an_edited_comment_changes_no_move_unless_a_byte_of_it_acts(sent: Path, tmp_path: Path) -> None:
    told = back(sent, tmp_path, b"(pathkit: hole)", b"(the hole)")
    assert told.ok
    assert told.edits == 1
    assert "They make the same moves, though their text differs" in mail(told)
    # A question mark, an exclamation mark or a letter beyond ASCII acts at once, in a comment too.
    told = back(sent, tmp_path, b"(pathkit: hole)", b"(hole!)")
    assert not told.ok
    assert "takes the returned file otherwise" in mail(told)


def test_what_rewrites_places_stored_in_the_controller_is_told(sent: Path, tmp_path: Path) -> None:
    """It moves nothing, and the next job would be cut somewhere else."""
    told = back(sent, tmp_path, b"M2", b"G10 L2 P2 X5\nM2")
    assert not told.moves
    assert not told.ok
    assert "rewrites an offset stored in the controller" in told.objections[0].what


def test_one_more_byte_that_acts_is_told_though_the_sent_file_has_one(tmp_path: Path) -> None:
    one, other = tmp_path / "one.nc", tmp_path / "other.nc"
    one.write_bytes(b"G21 G90\n(now)\n(here!)\nG0 Z5\n")
    other.write_bytes(b"G21 G90\n(now!)\n(here!)\nG0 Z5\n")
    told = differ(one, other, machine=FRONT)
    assert [finding.line for finding in told.objections] == [2]
    assert not told.ok


@given(st.data())
def test_no_changed_digit_of_a_number_passes_for_the_same_moves(
    sent: Path, tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:  # fmt: skip
    text = sent.read_bytes()
    digits = [
        block.start() + word.start() + digit.start()
        for block in re.finditer(rb"(?m)^[^(\n]+$", text)
        for word in re.finditer(rb"[XYZIJFSP]-?[0-9.]+", block.group())
        for digit in re.finditer(rb"[0-9]", word.group())
    ]
    at = data.draw(st.sampled_from(digits))
    other = data.draw(st.sampled_from([d for d in b"0123456789" if d != text[at]]))
    told = came(sent, tmp_path_factory.getbasetemp(), text[:at] + bytes([other]) + text[at + 1 :])
    assert not told.ok
    assert told.edits == 1


def test_moves_that_differ_by_less_than_the_grid_are_the_same(sent: Path, tmp_path: Path) -> None:
    told = back(sent, tmp_path, b"G0 X45 Y50", b"G0 X45.0003 Y50")
    assert told.ok
    assert 0.0002 < told.apart < 0.0004
    assert not back(sent, tmp_path, b"G0 X45 Y50", b"G0 X45.001 Y50").ok


def test_words_written_otherwise_make_the_same_moves(sent: Path, tmp_path: Path) -> None:
    told = back(sent, tmp_path, b"G1 X124", b"g01x124.000")
    assert told.ok
    assert told.apart == 0.0


def test_many_edits_are_counted_and_the_first_shown(sent: Path, tmp_path: Path) -> None:
    told = came(sent, tmp_path, sent.read_bytes().replace(b"\nG1 X", b"\nG01 X"))
    assert told.edits > SHOWN_EDITS
    assert len(told.places) == SHOWN_EDITS
    assert told.ok


def test_a_sent_file_that_was_itself_edited_is_said(sent: Path, tmp_path: Path) -> None:
    folder = tmp_path / "edited"
    shutil.copytree(sent.parent, folder)
    path = folder / sent.name
    path.write_bytes(path.read_bytes().replace(b"G1 X124", b"G1 X120"))
    told = differ(path, sent)
    assert told.cautions[0].file == "the file as sent"
    assert "nothing in it is proved any more" in told.cautions[0].what


# --- the comparison of texts ------------------------------------------------------------------------------------------

TEXTS = st.lists(st.sampled_from([b"a", b"b", b"c", b"X1", b"X2"]), max_size=40)


@given(TEXTS, TEXTS)
def test_the_edits_turn_the_one_text_into_the_other(one: list[bytes], other: list[bytes]) -> None:
    edits = edits_of(tuple(one), tuple(other))
    made: list[bytes] = []
    at = 0
    for edit in edits:
        (a, b), (c, d) = edit.sent, edit.returned
        assert (a, c) != (b, d)
        made += one[at:a] + other[c:d]
        at = b
    assert made + one[at:] == other


@given(TEXTS.filter(lambda lines: len(lines) > 1), st.data())
def test_every_beginning_of_a_text_is_cut_short(lines: list[bytes], data: st.DataObject) -> None:
    count = data.draw(st.integers(0, len(lines) - 1))
    assert cut_short(tuple(lines), tuple(lines[:count])) == (count, False)


def test_texts_without_anything_alike_are_told_in_bounded_time() -> None:
    one, other = tuple(b"a%d" % n for n in range(50_000)), tuple(b"b%d" % n for n in range(40_000))
    assert len(edits_of(one, other)) == 1
    mixed = tuple(line for n, line in enumerate(one) for line in ((line, b"new") if n % 9 else (line,)))
    assert len(edits_of(one, mixed)) <= MOST_EDITS


@given(st.binary(max_size=200))
def test_lines_are_those_of_the_bytes(data: bytes) -> None:
    lines = lines_of(data)
    ends = (*lines.ends, b"") if len(lines.ends) < len(lines.raw) else lines.ends
    assert b"".join(line + end for line, end in zip(lines.raw, ends, strict=True)) == data


# --- text from outside ------------------------------------------------------------------------------------------------


@given(st.binary(max_size=120))
def test_hostile_bytes_come_out_as_plain_text(
    sent: Path, tmp_path_factory: pytest.TempPathFactory, junk: bytes
) -> None:  # fmt: skip
    data = sent.read_bytes()
    at = len(data) // 2
    told = came(sent, tmp_path_factory.getbasetemp(), data[:at] + junk.replace(b"\0", b"") + data[at:])
    for line in difference_as_mail(told):
        assert line.isprintable()


@pytest.mark.parametrize(
    ("data", "says"), [(b"", "is not G-code"), ("G21\n".encode("utf-16"), "UTF-16"), (b"G1 X1\0", "is not G-code")]
)
def test_what_is_no_cut_file_is_refused(sent: Path, tmp_path: Path, data: bytes, says: str) -> None:
    with pytest.raises(InputError, match=says):
        came(sent, tmp_path, data)


def test_the_text_fits_into_a_mail(sent: Path, tmp_path: Path) -> None:
    for told in (back(sent, tmp_path, b"Z1.7 F400", b"Z1.2 F400"), came(sent, tmp_path, sent.read_bytes()[:600])):
        lines = difference_as_mail(told)
        assert all(len(line) <= WIDTH for line in lines if "pathkit resume" not in line)
