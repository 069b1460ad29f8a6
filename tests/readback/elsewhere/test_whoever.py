"""Where it is not said who wrote a file: what controllers agree on is read, where they differ it is told."""

from __future__ import annotations

from contextlib import suppress

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pathkit_posts.csv_moves import CsvMoves
from pathkit_posts.grbl import Grbl
from pathkit_posts.iso6983 import Iso6983
from pathkit_posts.reprap import RepRap
from pathkit_posts.rs274ngc import Rs274ngc

import pathkit as pk
from pathkit.readback.elsewhere.family import FAMILY
from pathkit.readback.elsewhere.lenient import LenientReader
from pathkit.testing.programs import grid_programs, machine_for

HEAD = "G21 G90 G94 G17 G54\nM3 S9000\nG0 Z5\nG0 X0 Y0\nG1 Z-1 F300\n"
END = "G0 Z5\nM5\nM30\n"
DIALECTS = (Grbl(), Iso6983(), RepRap(), Rs274ngc())


def told(text: str) -> list[str]:
    return [f.what for f in pk.read_any(text).findings if f.check == "which controller"]


def without_stop(program: pk.Program) -> pk.Program:
    """A dialect may have no word for the end; then no file in it ends surely, except for its own reader."""
    stays = [k for k, event in enumerate(program.event) if not isinstance(event, pk.Stop)]
    return program.replace(event=tuple(program.event[k] for k in stays), event_at=program.event_at[stays])


@pytest.mark.parametrize("dialect", DIALECTS, ids=lambda dialect: dialect.name)
def test_what_our_posts_write_is_read_as_their_dialect_reads_it(dialect: pk.Dialect) -> None:
    @given(grid_programs(dialect.capabilities))
    def same(program: pk.Program) -> None:
        text = pk.post(program, machine_for(dialect), dialect=dialect).text
        own = pk.read(text, dialect).program
        read = pk.read_any(text)
        assert not [f for f in read.findings if f.check == "which controller"]
        assert without_stop(read.program) == without_stop(own)
        assert pk.read_any(text, dialect).program == own
        # The family's own reading makes the same moves. It counts dwells in seconds.
        reader = LenientReader(FAMILY, None)
        reader.read(text.encode())
        family, findings = reader.result()
        assert not [f for f in findings if f.severity == "error"]
        for column in ("kind", "end", "centre", "sweep", "feed", "line"):
            np.testing.assert_allclose(getattr(family, column), getattr(own, column), rtol=0, atol=1e-6)

    same()


def test_a_table_of_moves_is_read_by_its_own_reader() -> None:
    table = "unit,mm\nmove,x,y,z,centre x,centre y,feed\nrapid,0,0,5,,,\nline,0,0,-1,,,300\nend\n"
    reading = pk.read_any(table, CsvMoves())
    assert reading.program.end[-1].tolist() == [0, 0, -1]
    assert [f.check for f in reading.findings] == ["spindle off"]
    with pytest.raises(pk.InputError, match="unknown kind"):
        pk.read_any(table + "spline,1\n", CsvMoves())


def test_where_all_that_take_it_agree_nothing_is_told() -> None:
    assert pk.read_any(HEAD + "G1 X10\nG2 X20 I5\nG4 P2\n" + END).findings == ()


@pytest.mark.parametrize(
    ("text", "line", "parts"),
    [
        # NISTIR 6556, table 8: F is set before the units; GRBL's documents: units first.
        ("G20 G1 X1 F10\nG21\nX20\n", 6, ["GRBL 1.1", "254 mm/min", "RS274/NGC", "10 mm/min"]),
        # NISTIR 6556, 3.5.6: G28 moves all axes; GRBL moves those that are named.
        ("G0 Z5\nG28 Z7\nG0 X1 Y1\n", 7, ["GRBL 1.1", "X0 Y0 Z?", "X? Y? Z?"]),
    ],
)
def test_controllers_that_take_it_and_differ(text: str, line: int, parts: list[str]) -> None:
    reading = pk.read_any(HEAD + text + END)
    (found,) = [f for f in reading.findings if f.check == "which controller"]
    assert (found.line, found.column, found.severity) == (line, 1, "warning")
    for part in parts:
        assert part in found.what
    assert "--from" in found.fix
    for name in ("grbl", "rs274ngc"):
        assert name in found.fix
        assert not [f for f in pk.read_any(HEAD + text + END, name).findings if f.check == "which controller"]


def test_only_one_of_them_reads_on_behind_the_end() -> None:
    (found,) = told(HEAD + END + "G1 X50 F300\n")
    assert "no further move" in found
    assert "X50" in found


def test_what_only_one_of_them_takes_is_read_as_that_one_does() -> None:
    """GRBL drops a K in the XY plane; elsewhere it is the pitch of a helix, or refused."""
    text = HEAD + "G2 X10 I5 K3\n" + END
    reading = pk.read_any(text)
    assert reading.program == pk.read(text, "grbl").program
    (found,) = reading.findings
    assert (found.check, found.line, found.severity) == ("which controller", 6, "warning")
    assert "GRBL 1.1" in found.what
    assert "arc's plane" in found.what


def test_a_program_number_is_for_no_known_controller_so_habits_are_told() -> None:
    text = "O1234 (plate)\n" + HEAD + "G4 P500\nG28 Z9\nG0 X1.5 Y0\n" + END
    found = told(text)
    assert any("waits 500 s" in what and "waits 0.5 s" in what for what in found)
    assert any("named" in what for what in found)
    assert told("O1234\n" + HEAD + "G1 X1.5\n" + END) == []


def test_no_decimal_point_at_all() -> None:
    assert any("thousandths" in what for what in told("O1234\n" + HEAD + "G1 X1500\n" + END))
    assert told(HEAD + "G1 X1500\n" + END) == []


def test_a_dwell_of_minutes_was_meant_in_milliseconds() -> None:
    (found,) = pk.read_any(HEAD + "G4 P1500\n" + END).findings
    assert (found.check, found.line) == ("dwell", 6)
    assert "1.5 s" in found.what
    assert pk.read_any(HEAD + "G4 P1500\n" + END, "grbl").findings == ()


def test_a_dialect_is_read_as_it_is_and_refuses_what_it_refuses() -> None:
    assert pk.read_any(HEAD + "G18 G2 X10 Z-1 I5 K0\n" + END, "grbl").program.end[-2].tolist() == [10, 0, -1]
    for text, dialect in (("M6 T1\n", "grbl"), ("G91.1\n", "rs274ngc"), ("G17\n", "reprap"), ("g1 x5\n", "iso6983")):
        with pytest.raises(pk.InputError):
            pk.read_any(HEAD + text + END, dialect)
    machine = pk.load_machine("grbl-front-left")
    assert pk.read_any(HEAD + END, machine).program == pk.read_any(HEAD + END, "grbl").program
    with pytest.raises(pk.UnknownName):
        pk.read_any(HEAD, "nobody")
    with pytest.raises(pk.InputError, match="read_any: text"):
        pk.read_any(5)  # type: ignore[arg-type]


def test_modes_that_a_controller_has_no_default_for_are_told() -> None:
    """ISO 6983-1 leaves to each control what holds after switching on."""
    text = "%\nG71\nM03 S9000\nG00 Z5.\nG00 X0. Y0.\nG01 Z-1. F100.\nG02 X10. I5.\nG00 Z5.\nM30\n%\n"
    reading = pk.read_any(text, "iso6983")
    assert reading.program.kind.tolist() == [pk.RAPID, pk.RAPID, pk.LINE, pk.ARC, pk.RAPID]
    assert {f.what.split(";")[0] for f in reading.findings} == {
        f"the file does not say {what}"
        for what in ("whether its numbers are absolute", "which work offset it counts from", "what F means",
                     "in which plane it lies")
    }  # fmt: skip


def test_block_delete_says_what_is_assumed() -> None:
    text = HEAD + "/G1 X5\nN7 /G1 X6\nG1 X7\n" + END
    for dialect in (None, "rs274ngc"):
        reading = pk.read_any(text, dialect)
        assert reading.program.end[3:6, 0].tolist() == [5, 6, 7]
        assert [(f.check, f.line, f.column) for f in reading.findings] == [("block delete", 6, 1)]


def test_what_is_not_said_is_told_if_it_matters() -> None:
    found = pk.read_any("M3 S9\nZ5\nX0 Y0\nG1 Z-1 F100\nX50 Y20\nG0 Z5\nM2\n").findings
    assert [(f.check, f.line) for f in found] == [("unknown state", 2)] * 2
    assert "50 x 20 mm; in inches it would be 1270 x 508 mm" in found[0].what + found[1].what
    assert "kind of move" in found[0].what + found[1].what


@given(st.binary(max_size=200))
def test_any_bytes(junk: bytes) -> None:
    with suppress(pk.InputError):
        reading = pk.read_any(junk)
        assert all(f.severity != "error" for f in reading.findings)


@given(st.text(alphabet="GMXYZIJKRFSTPQLNHOAD0123456789.-+ \n(%;)/#[]$", max_size=300))
def test_any_words(text: str) -> None:
    lines = text.count("\n") + 1
    try:
        found = pk.read_any(HEAD + text).findings
    except pk.InputError as error:
        found = error.findings
    for finding in found:
        assert finding.line is None or (1 <= finding.line <= lines + 5 and finding.column is not None)
