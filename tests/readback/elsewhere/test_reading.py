"""Files of any hand: spellings, modes and words that are read alike, and those that are refused by their name."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import pathkit as pk

HEAD = "G21 G90 G94 G17\nM3 S9000\nG0 Z5\nG0 X0 Y0\nG1 Z-1 F300\n"
END = "G0 Z5\nM5\nM30\n"
PART = HEAD + "G1 X40.5 Y3\nG2 X50.5 I5 J0\nG3 X40.5 Y3 R5\nG1 X-7.25\n" + END


def same_moves(one: pk.Program, other: pk.Program, far: float = 1e-9) -> None:
    for column in ("kind", "end", "centre", "sweep", "feed"):
        np.testing.assert_allclose(getattr(one, column), getattr(other, column), rtol=1e-12, atol=far)
    assert one.event == other.event
    assert one.event_at.tolist() == other.event_at.tolist()


@pytest.mark.parametrize(
    "spelt",
    [
        PART.lower(),
        PART.replace(" ", ""),
        PART.replace(" ", "  \t"),
        PART.replace("\n", "\r\n"),
        PART.replace("G0 ", "G00 ").replace("G1 ", "G01").replace("G2 ", "G002 "),
        PART.replace("X40.5", "X+040.500"),
        PART.replace("Y3", "Y3."),
        "%\nO1234 (a plate)\n" + PART + "%\n",
        "(how (ever it is named)\n" + PART,
        "".join(f"N{10 * k} {line} ; {k}\n" for k, line in enumerate(PART.splitlines(), 1)),
        PART.replace("G21 G90 G94 G17", "G00 G17 G21 G40 G49 G80 G90 G94\nG64 P0.05\nG54"),
        PART.replace("G21", "G71"),
        "\ufeff" + PART,
        PART.replace("M30", "M2"),
    ],
)
def test_spellings(spelt: str) -> None:
    reading, plain = pk.read_any(spelt), pk.read_any(PART)
    assert plain.findings == ()
    assert [f for f in reading.findings if f.severity == "error"] == []
    kept = [event for event in reading.program.event if not isinstance(event, pk.Offset)]
    assert kept == list(plain.program.event)
    for column in ("kind", "end", "centre", "sweep", "feed"):
        np.testing.assert_array_equal(getattr(reading.program, column), getattr(plain.program, column))


places = st.lists(
    st.tuples(*(st.integers(-90_000, 90_000) for _ in range(3))), min_size=2, max_size=20
)  # thousandths of a mm


@given(places)
def test_increments_throughout_are_the_same_as_places(spots: list[tuple[int, int, int]]) -> None:
    """A file in G91 from its first block: it counts from where the bit stands, which is its zero."""
    absolute, steps, before = [], [], (0, 0, 0)
    for spot in spots:
        absolute.append("G1 " + " ".join(f"{a}{v / 1000:.3f}" for a, v in zip("XYZ", spot, strict=True)))
        step = [v - b for v, b in zip(spot, before, strict=True)]
        steps.append("G1 " + " ".join(f"{a}{v / 1000:.3f}" for a, v in zip("XYZ", step, strict=True)))
        before = spot
    head = "G21 G94 G17 F300\nM3 S9000\n"
    reading = pk.read_any(f"{head}G91\nG0 X0 Y0 Z0\n" + "\n".join(steps) + f"\n{END}")
    end = END.replace("Z5", f"Z{before[2] / 1000 + 5:.3f}")
    stated = pk.read_any(f"{head}G90\nG0 X0 Y0 Z0\n" + "\n".join(absolute) + f"\n{end}")
    np.testing.assert_allclose(reading.program.end, stated.program.end, atol=1e-9)
    assert reading.program.start.tolist() == [0, 0, 0]
    assert [f.check for f in reading.findings] == ["start"]


@given(st.integers(0, 2**32))
def test_inches_are_millimetres(seed: int) -> None:
    rng = random.Random(seed)
    inch, mm = ["G20 G90 G94 G17", "M3 S9000", "G0 Z1"], ["G21 G90 G94 G17", "M3 S9000", "G0 Z25.4"]
    for _ in range(8):
        x, y, radius = (round(rng.uniform(-9, 9), 4) for _ in range(3))
        for lines, unit in ((inch, 1.0), (mm, 25.4)):
            lines.append(f"G1 X{x * unit:.9f} Y{y * unit:.9f} F{20 * unit:.9f}")
            lines.append(f"G3 X{(x + 2 * radius) * unit:.9f} Y{y * unit:.9f} I{radius * unit:.9f}")
    same_moves(pk.read_any("\n".join(inch) + "\nM30\n").program, pk.read_any("\n".join(mm) + "\nM30\n").program, 1e-7)


def test_feed_by_time() -> None:
    program = pk.read_any(HEAD + "G93 G1 X30 Y40 F2\nG2 X50 Y40 I10 J0 F3\nG94 F500 G1 X0\n" + END).program
    assert program.feed[3:6].tolist() == pytest.approx([100.0, 3 * 10 * math.pi, 500.0])


def test_drill_cycles() -> None:
    """NISTIR 6556, 3.5.16: worked out by hand for two holes in pecks, back to R, then to the height before."""
    text = HEAD + "G0 Z10\nG99 G83 X10 Y0 Z-5 R2 Q4 F100\nX20\nG98 G82 X30 Z-3 R2 P0.5\nG80\n" + END
    reading = pk.read_any(text)
    assert [(f.check, f.severity) for f in reading.findings] == []
    z = reading.program.end[4:, 2].tolist()
    pecks = [-2, 2, -2 + 0.254, -5, 2]
    assert z == [10, 2, *pecks, 2, *pecks, 2, -3, 2, 5]
    assert [cycle.peck for cycle in reading.program.cycles] == [4, 4, None]
    assert pk.Dwell(0.5) in reading.program.event
    # X and Y need not be known, if the cycle states them.
    assert len(pk.read_any("G21 G90 G94\nG0 Z5\nM3 S900\nG81 X3 Y4 Z-2 R1 F90\nG80\nM30\n").program.cycles) == 1


def test_places_that_only_the_controller_knows() -> None:
    """Unknown until stated again, never a failure."""
    text = (
        "G21 G90 G94 G17 G54\nT1 M6\nG43 H1 Z20.\nM3 S9000\nG0 X1.5 Y2\nG1 Z-1 F300\nG0 Z20\nG53 G0 Z-2\nG0 X3 Y4\n"
        "G49\nG91 G28 Z0\nG90\nG28 X0 Y0\nG0 X5 Y6\nG0 Z9\nG10 L2 P1 X7\nG0 X8\nG10 L20 P1 X0\nG0 X1\nM5\nM30\n"
    )
    reading = pk.read_any("O7\n" + text)
    end = {int(line): row for line, row in zip(reading.program.line, reading.program.end.tolist(), strict=True)}
    assert end[4] == [pytest.approx(math.nan, nan_ok=True)] * 2 + [20]
    assert end[7] == [1.5, 2, -1]
    assert reading.program.event.count(pk.Lift(-2.0)) == 1
    assert end[10][:2] == [3, 4]
    assert math.isnan(end[10][2])
    assert np.isnan(end[12]).all()
    assert end[15][:2] == [5, 6]
    assert end[16] == [5, 6, 9]
    assert end[18] == [8, 6, 9]
    assert end[20] == [9, 6, 9]  # the bit's place was named 0, and it went on by 1
    assert {f.severity for f in reading.findings} == {"warning"}
    assert all(f.line and f.column for f in reading.findings)


def test_shifts_of_the_zero() -> None:
    program = pk.read_any(
        "G49\n" + HEAD + "G92 X10 Y20\nG1 X15 Y20\nG92.1\nG1 X2\nG43.1 Z3\nG1 Z0\nG49\nG0 Z5\nM5\nM30\n"
    ).program
    assert program.end[3:].tolist() == [[5, 0, -1], [2, 0, -1], [2, 0, 3], [2, 0, 5]]


def test_moves_home_beside_a_rapid() -> None:
    text = "O1\n" + HEAD + "G0 Z5.5\nG91 G0 G28 Z0\nG90 G0 X5 Y5\n" + END
    assert np.isnan(pk.read_any(text).program.end[5, 2])
    with pytest.raises(pk.InputError):
        pk.read_any(text.removeprefix("O1\n"), "grbl")


@pytest.mark.parametrize(
    ("block", "columns"),
    [("G1 X−5", (4, 5)), ("G1 X1/2", (6, 6)), ("/G1 X1/2", (7, 7)), ("(!) G1 X5 ~", (11, 11))],
)
def test_what_a_controller_drops_from_among_its_words(block: str, columns: tuple[int, int]) -> None:
    """GRBL takes bytes from 0x80 on, slashes and ! ~ ? out of a line, and would read X5 and X12."""
    for dialect, column in zip((None, "grbl"), columns, strict=True):
        with pytest.raises(pk.InputError) as caught:
            pk.read_any(f"{HEAD}{block}\n{END}", dialect)
        assert (caught.value.findings[0].line, caught.value.findings[0].column) == (6, column)
    # In a comment they move nothing.
    assert pk.read_any(f"{HEAD}G1 X5 (1/2−)\n{END}").program.end[3].tolist() == [5, 0, -1]


@pytest.mark.parametrize(
    ("block", "word"),
    [
        ("G1 X5 A90", "A90"), ("G1 B1", "B1"), ("C5", "C5"), ("G1 U1", "U1"), ("W2", "W2"),
        ("G41 D1", "G41"), ("G42", "G42"), ("G1 X[1+2]", "expression"), ("#1=5", "parameter"), ("G1 X#2", "parameter"),
        ("M98 P1000", "M98"), ("O100 sub", "O100"), ("O<name> call", "O"), ("G65 P9", "G65"), ("M99", "M99"),
        ("G96 S200", "G96"), ("G71 U2 R1", "U2"), ("G71 P10 Q20", "G71"), ("G76 P1", "G76"), ("G33 Z-5 K1", "G33"),
        ("G95", "G95"), ("G38.2 Z-5 F50", "G38.2"), ("G5 X1 Y1 I1 J1 P1 Q1", "G5"), ("G73 X1 Z-5 R1 Q1", "G73"),
        ("G68 X0 Y0 R45", "G68"), ("G51 P2", "G51"), ("G52 X5", "G52"), ("M64 P1", "M64"), ("$H", "$H"),
        ("G1 E5", "E5"),
        ("G123", "G123"), ("M77", "M77"), ("G1 X1e3", "E3"), ("hello", "HELLO"), ("G4 X2", "needs"),
        ("G1 X1 X2", "twice"), ("G0 G1 X2", "axis"), ("G1 X99999999", "no machine reaches"),
    ],
)  # fmt: skip
def test_refused_by_name(block: str, word: str) -> None:
    text = "O9\n" + HEAD + "G1 X1.5\n" + block + "\n" + END
    with pytest.raises(pk.InputError) as caught:
        pk.read_any(text, file="plate.nc")
    (first, *_) = caught.value.findings
    assert word in first.what
    assert first.fix
    assert (first.file, first.line, first.severity) == ("plate.nc", 8, "error")
    assert first.column


def test_all_that_is_refused_is_told_at_once() -> None:
    with pytest.raises(pk.InputError) as caught:
        pk.read_any(HEAD + "G1 A5\nG41 D1\nM98 P2\nG2 X5 I1\nG3 X6 I1\n" + END)
    assert [(f.line, f.column) for f in caught.value.findings] == [(6, 4), (7, 1), (8, 1)]


def test_radius_compensation_is_named_for_a_controller_that_has_it() -> None:
    with pytest.raises(pk.InputError, match="G41 shifts the path") as caught:
        pk.read_any(HEAD + "G41 D1\nG1 X5\nG40\n" + END, "rs274ngc")
    assert [(f.line, f.column) for f in caught.value.findings] == [(6, 1)]


def test_a_text_without_a_block() -> None:
    for text in ("", "\n\n", "%\n%\n", "(a note)\n; more\n", b"\xef\xbb\xbf"):
        with pytest.raises(pk.InputError, match="no block"):
            pk.read_any(text)
    with pytest.raises(pk.InputError, match="UTF-16"):
        pk.read_any(PART.encode("utf-16"))


def test_junk_stops_early() -> None:
    for junk in ("no gcode here\n" * 1_000_000, bytes(range(256)) * 20_000):
        with pytest.raises(pk.InputError) as caught:
            pk.read_any(junk)
        assert len(caught.value.findings) <= 503
        assert "stopped" in caught.value.findings[-1].what


def test_the_input_is_never_changed() -> None:
    data = bytearray(PART.encode())
    kept = bytes(data)
    pk.read_any(bytes(data))
    assert data == kept
